-- What recorded a session, and what the recording shows of it: JSON [position, speed, apart_ms, lag_ms, noise_mm_s, agreement],
-- the first two the log-weights of time constants, all in thousandths.
ALTER TABLE recording ADD COLUMN device TEXT;
ALTER TABLE recording ADD COLUMN witness TEXT;
CREATE INDEX recording_of_device ON recording (device);

-- That an effort counts.
ALTER TABLE effort ADD COLUMN probability_thousandths INTEGER CHECK (probability_thousandths BETWEEN 0 AND 1000);

DROP VIEW efforts;
CREATE VIEW efforts AS
SELECT e.session_id, s.athlete, s.date, e.n AS effort,
    CASE e.kind WHEN 1 THEN 'sprint' WHEN 2 THEN 'high_speed_run' WHEN 3 THEN 'acceleration' WHEN 4 THEN 'deceleration'
        ELSE 'turn' END AS kind,
    e.start_ms / 1000.0 AS start_s, (e.start_ms + e.duration_ms) / 1000.0 AS end_s, e.duration_ms / 1000.0 AS duration_s,
    e.distance_mm / 1000.0 AS distance_m,
    e.peak_mm_s / 1000.0 AS peak_speed_m_s, e.peak_low_mm_s / 1000.0 AS peak_speed_low_m_s,
    e.peak_high_mm_s / 1000.0 AS peak_speed_high_m_s,
    e.acceleration_mm_s2 / 1000.0 AS peak_acceleration_m_s2,
    e.acceleration_low_mm_s2 / 1000.0 AS peak_acceleration_low_m_s2,
    e.acceleration_high_mm_s2 / 1000.0 AS peak_acceleration_high_m_s2,
    e.turn_tenths_deg / 10.0 AS turn_deg, e.probability_thousandths / 1000.0 AS probability
FROM effort e JOIN session s ON s.id = e.session_id;

DROP VIEW sessions;
CREATE VIEW sessions AS
SELECT s.id AS session_id, s.athlete, s.date, date(s.date, '-6 days', 'weekday 1') AS monday, s.activity, s.title,
    s.duration_ms / 1000.0 AS duration_s, s.rpe_tenths / 10.0 AS rpe,
    s.rpe_tenths / 10.0 * s.duration_ms / 60000.0 AS load_rpe_min, s.note,
    r.start AS start_utc, r.rate_mhz / 1000.0 AS rate_hz,
    r.distance_mm / 1000.0 AS distance_m, r.distance_low_mm / 1000.0 AS distance_low_m,
    r.distance_high_mm / 1000.0 AS distance_high_m,
    r.top_mm_s / 1000.0 AS top_speed_m_s, r.top_low_mm_s / 1000.0 AS top_speed_low_m_s,
    r.top_high_mm_s / 1000.0 AS top_speed_high_m_s,
    r.high_speed_from_mm_s / 1000.0 AS high_speed_from_m_s, r.sprint_from_mm_s / 1000.0 AS sprint_from_m_s,
    r.high_speed_mm / 1000.0 AS high_speed_distance_m, r.sprint_mm / 1000.0 AS sprint_distance_m, r.sprints,
    r.counts ->> 0 AS reps_planned, r.counts ->> 1 AS reps_done, r.counts ->> 2 AS reps_short, r.counts ->> 3 AS reps_slow,
    r.counts ->> 4 AS reps_missed, r.counts ->> 5 AS reps_unresolved,
    r.rests_kept, r.rests_judged,
    r.curve_mm_s / 1000.0 AS curve_top_speed_m_s, r.curve_low_mm_s / 1000.0 AS curve_top_speed_low_m_s,
    r.curve_high_mm_s / 1000.0 AS curve_top_speed_high_m_s,
    lower(hex(r.sha256)) AS sha256, r.path, r.plan, r.settings, r.version,
    EXISTS (SELECT 1 FROM trace t WHERE t.session_id = s.id) AS trace_kept, r.device
FROM session s LEFT JOIN recording r ON r.session_id = s.id;

CREATE VIEW devices AS
SELECT r.device, round(r.rate_mhz / 1000.0) AS rate_hz, count(*) AS recordings, min(s.date) AS first_date, max(s.date) AS last_date
FROM recording r JOIN session s ON s.id = r.session_id WHERE r.device IS NOT NULL GROUP BY r.device, round(r.rate_mhz / 1000.0);
