//! The most that is taken of anything: no file, however large or made up, takes all the memory or time there is.
//!
//! Every bound stands here once. The table of limits in docs/recordings.md is held to these by a test, and each is tried from beyond.

/// Bytes of a recording, as it is or unpacked: 24 hours at 25 Hz as GPX are some 500 MB.
pub const RECORDING_BYTES: u64 = 512 << 20;
/// How many times its size a packed recording may unpack to. A GPX of somebody standing still reaches some 60.
pub const EXPANSION: u64 = 200;
/// Unpacked bytes up to which its size does not matter.
pub const SMALL_EXPANSION_BYTES: u64 = 8 << 20;
/// Usable fixes of a recording: more than 48 hours at 25 Hz.
pub const FIXES: usize = 5_000_000;
/// Recordings that are joined to one session.
pub const JOINED: usize = 50;
/// Hours of a recording without its gaps. Motion is estimated at regular times, however few the fixes are.
pub const RECORDED_H: f64 = 48.0;

/// Bytes of a line of names or base64: the largest recording in base64, and its name.
pub const NDJSON_LINE_BYTES: u64 = RECORDING_BYTES / 3 * 4 + (1 << 20);

/// Depth of elements in GPX; with extensions within extensions about ten are needed.
pub const XML_DEPTH: usize = 128;
/// Bytes of a tag with its attributes; a root with a dozen namespaces needs two thousand.
pub const XML_TAG_BYTES: usize = 64 << 10;
/// Bytes of text, of a comment or of any other stretch without a tag.
pub const XML_TEXT_BYTES: usize = 1 << 20;

/// Bytes of a line of a table; a row of fifty columns takes about a thousand.
pub const TABLE_LINE_BYTES: usize = 64 << 10;
/// Cells of a row.
pub const TABLE_CELLS: usize = 512;

/// Rows of a spreadsheet of unrecorded sessions: a squad of 40 with five a week makes 10,000 a year.
pub const SHEET_ROWS: usize = 100_000;
/// Bytes of a spreadsheet, as it is or of a part of a workbook unpacked.
pub const SHEET_BYTES: u64 = 64 << 20;

/// Bytes of a plan.
pub const PLAN_BYTES: u64 = 4 << 20;
/// Bytes of a line of a plan.
pub const PLAN_LINE_BYTES: usize = 2_000;
/// Blocks of a plan. Each may have changed places with the next, which is tried.
pub const PLAN_BLOCKS: usize = 200;
/// Reps of a plan, and so of a block, all sets together.
pub const PLAN_REPS: u32 = 10_000;

/// Bytes of a settings file.
pub const SETTINGS_BYTES: u64 = 1 << 20;
/// Bytes of a file with the corners of a pitch.
pub const PITCH_BYTES: u64 = 1 << 20;
/// Characters of the name of a kept pitch.
pub const PITCH_NAME_CHARS: usize = 60;
/// Characters of the name of a device.
pub const DEVICE_NAME_CHARS: usize = 60;

/// Recordings beside each other: more are a matter for the diary, and fill no screen.
pub const COMPARED: usize = 26;

/// Hours of a plan that is simulated; four take a hundred megabytes at 100 Hz.
pub const SIMULATED_H: f64 = 4.0;
/// Simulated sessions of one receiver.
pub const SIMULATED_SESSIONS: u32 = 500;

/// Length of the longest sound track that is written, s: four hours.
pub const CUES_S: f64 = 4.0 * 3600.0;
