-- What a review was held to beside its recording: whether the plan was that of the recording, and the athlete's best top speed of an
-- earlier day as it was known then.
ALTER TABLE recording ADD COLUMN fits TEXT;
ALTER TABLE recording ADD COLUMN earlier_top_mm_s INTEGER;
ALTER TABLE recording ADD COLUMN earlier_top_low_mm_s INTEGER;
ALTER TABLE recording ADD COLUMN earlier_top_high_mm_s INTEGER;
ALTER TABLE recording ADD COLUMN earlier_top_date TEXT;
