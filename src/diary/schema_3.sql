-- The heart rate of a recording, where it has one.
CREATE TABLE heart (
    session_id INTEGER PRIMARY KEY REFERENCES recording (session_id) ON DELETE CASCADE,
    mean_mbpm INTEGER NOT NULL,
    highest_mbpm INTEGER NOT NULL,
    classes TEXT NOT NULL -- JSON [[from_bpm, time_ms], ...], classes of five beats a minute
) STRICT;

CREATE TABLE block_heart (
    session_id INTEGER NOT NULL,
    block INTEGER NOT NULL,
    mean_mbpm INTEGER NOT NULL,
    highest_mbpm INTEGER NOT NULL,
    recoveries TEXT NOT NULL, -- JSON [[set, end_mbpm, drop_mbpm], ...]
    PRIMARY KEY (session_id, block),
    FOREIGN KEY (session_id, block) REFERENCES block (session_id, block) ON DELETE CASCADE
) STRICT, WITHOUT ROWID;

-- What is known of an athlete beside the sessions.
CREATE TABLE athlete (
    name TEXT PRIMARY KEY,
    heart_max_mbpm INTEGER,
    heart_rest_mbpm INTEGER,
    heart_load TEXT
) STRICT, WITHOUT ROWID;

CREATE VIEW heart_rates AS
SELECT h.session_id, s.athlete, s.date, h.mean_mbpm / 1000.0 AS mean_bpm, h.highest_mbpm / 1000.0 AS highest_bpm,
    j.value ->> 0 AS from_bpm, (j.value ->> 0) + 5 AS to_bpm, (j.value ->> 1) / 1000.0 AS time_s
FROM heart h JOIN session s ON s.id = h.session_id, json_each(h.classes) j;

CREATE VIEW block_heart_rates AS
SELECT h.session_id, s.athlete, s.date, h.block, h.mean_mbpm / 1000.0 AS mean_bpm, h.highest_mbpm / 1000.0 AS highest_bpm
FROM block_heart h JOIN session s ON s.id = h.session_id;

-- The drop in the first minute after a set.
CREATE VIEW recoveries AS
SELECT h.session_id, s.athlete, s.date, h.block, j.value ->> 0 AS set_no, (j.value ->> 1) / 1000.0 AS at_end_bpm,
    (j.value ->> 2) / 1000.0 AS drop_bpm
FROM block_heart h JOIN session s ON s.id = h.session_id, json_each(h.recoveries) j;
