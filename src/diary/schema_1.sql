-- What was done: a session that was recorded, or a note. Numbers are not given out twice.
CREATE TABLE session (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    athlete TEXT NOT NULL,
    date TEXT NOT NULL,
    activity TEXT NOT NULL,
    title TEXT,
    duration_ms INTEGER NOT NULL CHECK (duration_ms >= 0),
    rpe_tenths INTEGER CHECK (rpe_tenths BETWEEN 0 AND 100),
    note TEXT
) STRICT;
CREATE INDEX session_of_athlete ON session (athlete, date);
CREATE INDEX session_of_day ON session (date);

-- What is kept of a recording: all that weeks and bests need stands in one row.
CREATE TABLE recording (
    session_id INTEGER PRIMARY KEY REFERENCES session (id) ON DELETE CASCADE,
    sha256 BLOB NOT NULL UNIQUE,
    path TEXT,
    start TEXT,
    distance_mm INTEGER NOT NULL,
    distance_low_mm INTEGER NOT NULL,
    distance_high_mm INTEGER NOT NULL,
    top_mm_s INTEGER,
    top_low_mm_s INTEGER,
    top_high_mm_s INTEGER,
    high_speed_from_mm_s INTEGER NOT NULL,
    sprint_from_mm_s INTEGER NOT NULL,
    high_speed_mm INTEGER NOT NULL,
    sprint_mm INTEGER NOT NULL,
    sprints INTEGER NOT NULL,
    rests_kept INTEGER NOT NULL,
    rests_judged INTEGER NOT NULL,
    curve_mm_s INTEGER,
    curve_low_mm_s INTEGER,
    curve_high_mm_s INTEGER,
    rate_mhz INTEGER NOT NULL,
    counts TEXT,          -- JSON [planned, done, short, slow, missed, unresolved]
    bands TEXT NOT NULL,  -- JSON [[name, from_mm_s, to_mm_s, time_ms, distance_mm], ...]
    peaks TEXT NOT NULL,  -- JSON [[value_mm_s, low, high], ...]
    splits TEXT NOT NULL, -- JSON [[distance_mm, time_ms, low, high], ...]
    plan TEXT,
    settings TEXT NOT NULL,
    reading TEXT NOT NULL,
    version TEXT NOT NULL
) STRICT;

-- The recording itself, gzip, where it was asked for.
CREATE TABLE trace (
    session_id INTEGER PRIMARY KEY REFERENCES recording (session_id) ON DELETE CASCADE,
    gzip BLOB NOT NULL
) STRICT;

CREATE TABLE effort (
    session_id INTEGER NOT NULL REFERENCES recording (session_id) ON DELETE CASCADE,
    n INTEGER NOT NULL,
    kind INTEGER NOT NULL CHECK (kind BETWEEN 1 AND 5),
    start_ms INTEGER NOT NULL,
    duration_ms INTEGER NOT NULL,
    distance_mm INTEGER NOT NULL,
    peak_mm_s INTEGER NOT NULL,
    peak_low_mm_s INTEGER NOT NULL,
    peak_high_mm_s INTEGER NOT NULL,
    acceleration_mm_s2 INTEGER,
    acceleration_low_mm_s2 INTEGER,
    acceleration_high_mm_s2 INTEGER,
    turn_tenths_deg INTEGER,
    PRIMARY KEY (session_id, n)
) STRICT, WITHOUT ROWID;

CREATE TABLE block (
    session_id INTEGER NOT NULL REFERENCES recording (session_id) ON DELETE CASCADE,
    block INTEGER NOT NULL,
    category TEXT NOT NULL,
    name TEXT,
    with_ball INTEGER NOT NULL,
    verdict TEXT NOT NULL,
    start_ms INTEGER,
    end_ms INTEGER,
    PRIMARY KEY (session_id, block)
) STRICT, WITHOUT ROWID;

CREATE TABLE rep (
    session_id INTEGER NOT NULL,
    block INTEGER NOT NULL,
    set_no INTEGER NOT NULL,
    rep INTEGER NOT NULL,
    verdict TEXT NOT NULL,
    why TEXT,
    start_ms INTEGER,
    end_ms INTEGER,
    work_ms INTEGER,
    work_low_ms INTEGER,
    work_high_ms INTEGER,
    work_planned_ms INTEGER,
    distance_mm INTEGER,
    distance_low_mm INTEGER,
    distance_high_mm INTEGER,
    distance_planned_mm INTEGER,
    peak_mm_s INTEGER,
    peak_low_mm_s INTEGER,
    peak_high_mm_s INTEGER,
    of_top_thousandths INTEGER,
    of_top_low_thousandths INTEGER,
    of_top_high_thousandths INTEGER,
    reached TEXT,
    PRIMARY KEY (session_id, block, set_no, rep),
    FOREIGN KEY (session_id, block) REFERENCES block (session_id, block) ON DELETE CASCADE
) STRICT, WITHOUT ROWID;

-- After a rep, or after the whole set where `rep` is 0.
CREATE TABLE rest (
    session_id INTEGER NOT NULL,
    block INTEGER NOT NULL,
    set_no INTEGER NOT NULL,
    rep INTEGER NOT NULL,
    rest_ms INTEGER,
    rest_low_ms INTEGER,
    rest_high_ms INTEGER,
    planned_ms INTEGER,
    verdict TEXT,
    PRIMARY KEY (session_id, block, set_no, rep),
    FOREIGN KEY (session_id, block) REFERENCES block (session_id, block) ON DELETE CASCADE
) STRICT, WITHOUT ROWID;

CREATE TABLE planned (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    athlete TEXT NOT NULL,
    date TEXT NOT NULL,
    title TEXT,
    text TEXT NOT NULL,
    done_by INTEGER REFERENCES session (id) ON DELETE SET NULL
) STRICT;
CREATE INDEX planned_of_athlete ON planned (athlete, date);
CREATE INDEX planned_done ON planned (done_by);

-- `athlete` is NULL where the match is everybody's.
CREATE TABLE match_day (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    date TEXT NOT NULL,
    athlete TEXT,
    label TEXT
) STRICT;
CREATE UNIQUE INDEX match_day_once ON match_day (date, ifnull(athlete, char(0)));

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
    EXISTS (SELECT 1 FROM trace t WHERE t.session_id = s.id) AS trace_kept
FROM session s LEFT JOIN recording r ON r.session_id = s.id;

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
    e.turn_tenths_deg / 10.0 AS turn_deg
FROM effort e JOIN session s ON s.id = e.session_id;

CREATE VIEW blocks AS
SELECT b.session_id, s.athlete, s.date, b.block, b.category, b.name, b.with_ball, b.verdict,
    b.start_ms / 1000.0 AS start_s, b.end_ms / 1000.0 AS end_s
FROM block b JOIN session s ON s.id = b.session_id;

CREATE VIEW reps AS
SELECT p.session_id, s.athlete, s.date, p.block, b.category, b.name AS block_name, b.with_ball, p.set_no, p.rep, p.verdict,
    p.why, p.start_ms / 1000.0 AS start_s, p.end_ms / 1000.0 AS end_s,
    p.work_ms / 1000.0 AS work_s, p.work_low_ms / 1000.0 AS work_low_s, p.work_high_ms / 1000.0 AS work_high_s,
    p.work_planned_ms / 1000.0 AS work_planned_s,
    p.distance_mm / 1000.0 AS distance_m, p.distance_low_mm / 1000.0 AS distance_low_m,
    p.distance_high_mm / 1000.0 AS distance_high_m, p.distance_planned_mm / 1000.0 AS distance_planned_m,
    p.peak_mm_s / 1000.0 AS peak_speed_m_s, p.peak_low_mm_s / 1000.0 AS peak_speed_low_m_s,
    p.peak_high_mm_s / 1000.0 AS peak_speed_high_m_s,
    p.of_top_thousandths / 1000.0 AS of_top_speed, p.of_top_low_thousandths / 1000.0 AS of_top_speed_low,
    p.of_top_high_thousandths / 1000.0 AS of_top_speed_high, p.reached
FROM rep p JOIN block b ON b.session_id = p.session_id AND b.block = p.block JOIN session s ON s.id = p.session_id;

CREATE VIEW rests AS
SELECT p.session_id, s.athlete, s.date, p.block, p.set_no, nullif(p.rep, 0) AS after_rep,
    p.rest_ms / 1000.0 AS rest_s, p.rest_low_ms / 1000.0 AS rest_low_s, p.rest_high_ms / 1000.0 AS rest_high_s,
    p.planned_ms / 1000.0 AS rest_planned_s, p.verdict
FROM rest p JOIN session s ON s.id = p.session_id;

CREATE VIEW bands AS
SELECT r.session_id, s.athlete, s.date, j.value ->> 0 AS band, (j.value ->> 1) / 1000.0 AS from_m_s,
    (j.value ->> 2) / 1000.0 AS to_m_s, (j.value ->> 3) / 1000.0 AS time_s, (j.value ->> 4) / 1000.0 AS distance_m
FROM recording r JOIN session s ON s.id = r.session_id, json_each(r.bands) j;

CREATE VIEW splits AS
SELECT r.session_id, s.athlete, s.date, (j.value ->> 0) / 1000.0 AS distance_m, (j.value ->> 1) / 1000.0 AS time_s,
    (j.value ->> 2) / 1000.0 AS time_low_s, (j.value ->> 3) / 1000.0 AS time_high_s
FROM recording r JOIN session s ON s.id = r.session_id, json_each(r.splits) j;

CREATE VIEW match_days AS SELECT date, athlete, label FROM match_day;

CREATE VIEW plans AS SELECT id AS plan_id, athlete, date, title, text, done_by AS session_id FROM planned;

-- Sums over what is known: `recorded` and `rated` say of how many entries.
CREATE VIEW weeks AS
SELECT athlete, monday, count(*) AS entries, count(distance_m) AS recorded, sum(duration_s) / 60.0 AS duration_min,
    sum(load_rpe_min) AS load_rpe_min, count(rpe) AS rated, sum(distance_m) AS distance_m,
    sum(high_speed_distance_m) AS high_speed_distance_m, sum(sprint_distance_m) AS sprint_distance_m,
    sum(sprints) AS sprints, max(top_speed_m_s) AS top_speed_m_s, sum(reps_planned) AS reps_planned,
    sum(reps_done) AS reps_done
FROM sessions GROUP BY athlete, monday;
