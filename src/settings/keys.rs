//! The settings, one entry each.

use crate::motion::Method;
use crate::profile::Request;
use crate::settings::key::Key;
use crate::settings::quantity::Kind;
use crate::settings::set::Set;
use crate::settings::value::Value;
use crate::trace::DateOrder;
use crate::units::SpeedUnit;

/// Settings that belong together.
#[derive(Clone, Copy, Debug)]
pub struct Section {
    /// In the words of the manual.
    pub title: &'static str,
    /// In the order in which they are printed.
    pub keys: &'static [Key],
}

/// Every setting, by section.
pub const SECTIONS: &[Section] = &[
    Section {
        title: "Player",
        keys: PLAYER,
    },
    Section {
        title: "Units",
        keys: UNITS,
    },
    Section {
        title: "Speed bands",
        keys: BANDS,
    },
    Section {
        title: "Efforts",
        keys: EFFORTS,
    },
    Section {
        title: "Smoothing",
        keys: SMOOTHING,
    },
    Section {
        title: "Recording",
        keys: RECORDING,
    },
    Section {
        title: "Plan",
        keys: PLAN,
    },
    Section {
        title: "Air and models",
        keys: MODELS,
    },
];

/// The settings that must increase in this order.
pub(super) const BAND_EDGES: [&str; 5] = [
    "walk.from",
    "jog.from",
    "run.from",
    "high_speed_run.from",
    "sprint.from",
];

/// Every setting.
pub(super) fn all() -> impl Iterator<Item = &'static Key> {
    SECTIONS.iter().flat_map(|section| section.keys)
}

const PRACTICE: &str = "common practice, no source";
const BRADLEY: &str = "Bradley et al. 2009, J Sports Sci 27:159, 10.1080/02640410802512775; there is no consensus \
    (Gualtieri et al. 2023, 10.3389/fspor.2023.1116293)";
const VARLEY: &str = "Varley et al. 2017, Int J Sports Physiol Perform, 10.1123/ijspp.2016-0534";
const SAMOZINO: &str = "common practice; the drag is that of Samozino et al. 2016, Scand J Med Sci Sports 26:648, 10.1111/sms.12490";
const HARPER: &str = "common practice; Harper, Carling and Kiely 2019, Sports Med 49:1923, 10.1007/s40279-019-01170-1, \
    use 2.5 and 3.5 m/s2";

static PLAYER: &[Key] = &[
    Key {
        name: "set",
        kind: Kind::Choice(Set::NAMES),
        optional: false,
        default: Value::word("men"),
        about: "Speed bands of adult men, of adult women (run 3.5, high-speed run 5.3, sprint 6.3 m/s), or the player's \
            own: 45, 60 and 80 % of athlete.top_speed. For children and youths use the own set only; cut-offs of adults \
            say nothing about them.",
        source: "men: Bradley et al. 2009, J Sports Sci 27:159; women: common practice near Park, Scott and Lovell 2019, \
            Sci Med Football 3:21; own: common practice, for youths see Buchheit et al. 2010, Int J Sports Med 31:709",
        apply: |_, _| {},
    },
    Key {
        name: "athlete.top_speed",
        kind: Kind::Speed(4.5, 12.5),
        optional: true,
        default: Value::None,
        about: "The player's own top speed, from earlier sessions. Shares of top speed refer to it, unless the plan gives \
            one; without either, to the best of the session.",
        source: "the player; the fastest man measured ran 12.4 m/s",
        apply: |settings, value| settings.review.top_speed_m_s = value.number(),
    },
    Key {
        name: "athlete.mass",
        kind: Kind::Mass(20.0, 200.0),
        optional: true,
        default: Value::None,
        about: "The player's mass. Force and power of sprints need it, and athlete.height.",
        source: "the player",
        apply: |settings, value| settings.profile.mass_kg = value.number(),
    },
    Key {
        name: "athlete.height",
        kind: Kind::Length(1.0, 2.5),
        optional: true,
        default: Value::None,
        about: "The player's height, for the drag of the air on him.",
        source: "the player",
        apply: |settings, value| settings.profile.height_m = value.number(),
    },
];

static UNITS: &[Key] = &[Key {
    name: "units.speed",
    kind: Kind::Choice(&["m/s", "km/h"]),
    optional: false,
    default: Value::word("m/s"),
    about: "The unit that speeds are told in, on the terminal, on pages and in pictures; the other stands beside the first. JSON and \
        table keep to m/s.",
    source: "the reader",
    apply: |settings, value| {
        settings.speeds = match value.as_text() {
            Some("km/h") => SpeedUnit::KilometresPerHour,
            _ => SpeedUnit::MetresPerSecond,
        }
    },
}];

static BANDS: &[Key] = &[
    Key {
        name: "walk.from",
        kind: Kind::Speed(0.0, 2.0),
        optional: false,
        default: Value::Number(0.2),
        about: "Walking from this speed on; below it the player stands.",
        source: BRADLEY,
        apply: |settings, value| put(&mut settings.efforts.bands.walk_m_s, value),
    },
    Key {
        name: "jog.from",
        kind: Kind::Speed(0.5, 5.0),
        optional: false,
        default: Value::Number(2.0),
        about: "Jogging from this speed on.",
        source: BRADLEY,
        apply: |settings, value| put(&mut settings.efforts.bands.jog_m_s, value),
    },
    Key {
        name: "run.from",
        kind: Kind::Speed(1.0, 8.0),
        optional: false,
        default: Value::Number(4.0),
        about: "Running from this speed on.",
        source: BRADLEY,
        apply: |settings, value| put(&mut settings.efforts.bands.run_m_s, value),
    },
    Key {
        name: "high_speed_run.from",
        kind: Kind::Speed(2.0, 10.0),
        optional: false,
        default: Value::Number(5.5),
        about: "High-speed running from this speed on, as a band and as an effort. A high-speed run holds the sprints in it.",
        source: BRADLEY,
        apply: |settings, value| put(&mut settings.efforts.bands.high_speed_m_s, value),
    },
    Key {
        name: "sprint.from",
        kind: Kind::Speed(2.5, 12.5),
        optional: false,
        default: Value::Number(7.0),
        about: "Sprinting from this speed on, as a band and as an effort.",
        source: BRADLEY,
        apply: |settings, value| put(&mut settings.efforts.bands.sprint_m_s, value),
    },
];

static EFFORTS: &[Key] = &[
    Key {
        name: "sprint.lasting",
        kind: Kind::Time(0.1, 10.0),
        optional: false,
        default: Value::Number(1.0),
        about: "Least duration of a sprint. Counts fall steeply as it grows.",
        source: VARLEY,
        apply: |settings, value| put(&mut settings.efforts.sprint_dwell_s, value),
    },
    Key {
        name: "high_speed_run.lasting",
        kind: Kind::Time(0.1, 10.0),
        optional: false,
        default: Value::Number(1.0),
        about: "Least duration of a high-speed run.",
        source: VARLEY,
        apply: |settings, value| put(&mut settings.efforts.high_speed_dwell_s, value),
    },
    Key {
        name: "effort.bridge",
        kind: Kind::Time(0.0, 5.0),
        optional: false,
        default: Value::Number(0.5),
        about: "Longest dip below the threshold that does not end a sprint, high-speed run, acceleration or deceleration.",
        source: "common practice; no consensus is published",
        apply: |settings, value| put(&mut settings.efforts.bridge_s, value),
    },
    Key {
        name: "acceleration.from",
        kind: Kind::Acceleration(0.5, 10.0),
        optional: false,
        default: Value::Number(3.0),
        about: "An acceleration: speed grows at this rate or faster. Counted from 5 fixes a second on.",
        source: HARPER,
        apply: |settings, value| put(&mut settings.efforts.acceleration_m_s2, value),
    },
    Key {
        name: "deceleration.from",
        kind: Kind::Acceleration(0.5, 12.0),
        optional: false,
        default: Value::Number(3.0),
        about: "A deceleration: speed falls at this rate or faster. Written without a sign. Counted from 5 fixes a second on.",
        source: HARPER,
        apply: |settings, value| put(&mut settings.efforts.deceleration_m_s2, value),
    },
    Key {
        name: "acceleration.lasting",
        kind: Kind::Time(0.1, 5.0),
        optional: false,
        default: Value::Number(0.5),
        about: "Least duration of an acceleration or deceleration.",
        source: "common practice; 0.3 to 0.8 s are in use",
        apply: |settings, value| put(&mut settings.efforts.acceleration_dwell_s, value),
    },
    Key {
        name: "turn.from",
        kind: Kind::Angle(20.0, 180.0),
        optional: false,
        default: Value::Number(90.0),
        about: "Least change of course of a turn. Counted from 5 fixes a second on.",
        source: PRACTICE,
        apply: |settings, value| put(&mut settings.efforts.turn_deg, value),
    },
    Key {
        name: "turn.within",
        kind: Kind::Time(0.2, 10.0),
        optional: false,
        default: Value::Number(1.6),
        about: "Longest time that the change of course may take.",
        source: PRACTICE,
        apply: |settings, value| put(&mut settings.efforts.turn_within_s, value),
    },
    Key {
        name: "turn.speed",
        kind: Kind::Speed(0.5, 8.0),
        optional: false,
        default: Value::Number(2.0),
        about: "Least speed before and after a turn.",
        source: PRACTICE,
        apply: |settings, value| put(&mut settings.efforts.turn_speed_m_s, value),
    },
    Key {
        name: "sequence.recovery",
        kind: Kind::Time(1.0, 600.0),
        optional: false,
        default: Value::Number(60.0),
        about: "Longest time from the end of a sprint to the start of the next in a sequence of sprints.",
        source: "Buchheit et al. 2010, Int J Sports Med 31:709, 10.1055/s-0030-1261897",
        apply: |settings, value| put(&mut settings.efforts.sequence_recovery_s, value),
    },
    Key {
        name: "sequence.sprints",
        kind: Kind::Count(2, 100),
        optional: false,
        default: Value::Number(2.0),
        about: "Fewest sprints in a sequence.",
        source: "Buchheit et al. 2010, Int J Sports Med 31:709; Spencer et al. 2004, J Sports Sci 22:843, ask for 3",
        apply: |settings, value| {
            if let Some(count) = value.number() {
                settings.efforts.sequence_sprints = count as usize;
            }
        },
    },
];

static SMOOTHING: &[Key] = &[
    Key {
        name: "smoothing.method",
        kind: Kind::Choice(&["kalman", "savitzky-golay", "butterworth"]),
        optional: false,
        default: Value::word("kalman"),
        about: "The filter that makes speed and acceleration from the fixes. The intervals are derived for kalman only; the \
            others are for those who must report a named filter.",
        source: "Rauch, Tung and Striebel 1965, AIAA J 3:1445; Savitzky and Golay 1964, Anal Chem 36:1627; Winter, \
            Biomechanics and Motor Control of Human Movement",
        apply: |settings, value| {
            settings.motion.method = match value.as_text() {
                Some("savitzky-golay") => Method::SavitzkyGolay { window_s: WINDOW_S },
                Some("butterworth") => Method::Butterworth {
                    cutoff_hz: CUTOFF_HZ,
                },
                _ => Method::Kalman,
            }
        },
    },
    Key {
        name: "smoothing.window",
        kind: Kind::Time(0.2, 30.0),
        optional: false,
        default: Value::Number(WINDOW_S),
        about: "The window of savitzky-golay, a parabola fitted to so much time. The other methods do not use it.",
        source: PRACTICE,
        apply: |settings, value| {
            if let Method::SavitzkyGolay { window_s } = &mut settings.motion.method {
                put(window_s, value);
            }
        },
    },
    Key {
        name: "smoothing.cutoff",
        kind: Kind::Frequency(0.05, 10.0),
        optional: false,
        default: Value::Number(CUTOFF_HZ),
        about: "The cutoff of butterworth after both passes. The other methods do not use it.",
        source: "common practice, 1 to 2 Hz for speed at 10 Hz",
        apply: |settings, value| {
            if let Method::Butterworth { cutoff_hz } = &mut settings.motion.method {
                put(cutoff_hz, value);
            }
        },
    },
];

/// The default window, s.
const WINDOW_S: f64 = 1.1;
/// The default cutoff, Hz.
const CUTOFF_HZ: f64 = 2.0;

static RECORDING: &[Key] = &[
    Key {
        name: "recording.bridge",
        kind: Kind::Time(0.0, 60.0),
        optional: false,
        default: Value::Number(10.0),
        about: "Longest silence of the receiver that is bridged; a longer one is a gap, in which nothing is known. Of a receiver that \
            writes every few seconds, up to two and a half of its intervals are bridged.",
        source: PRACTICE,
        apply: |settings, value| put(&mut settings.track.bridge_s, value),
    },
    Key {
        name: "recording.max_speed",
        kind: Kind::Speed(5.0, 50.0),
        optional: false,
        default: Value::Number(12.5),
        about: "Fastest believable speed; fixes that ask for more are set aside.",
        source: "the fastest man measured ran 12.4 m/s (Graubner and Nixdorf 2011, New Stud Athl 26:19)",
        apply: |settings, value| put(&mut settings.track.max_speed_m_s, value),
    },
    Key {
        name: "recording.leave_out",
        kind: Kind::Choice(&["on", "off"]),
        optional: false,
        default: Value::word("on"),
        about: "Whether what is no session is left out: the way there or home by car or bicycle with the watch running, and a watch \
            that lies forgotten. off counts all.",
        source: PRACTICE,
        apply: |settings, value| settings.track.leave_out = value.as_text() != Some("off"),
    },
    Key {
        name: "recording.dates",
        kind: Kind::Choice(&["dmy", "mdy"]),
        optional: true,
        default: Value::None,
        about: "Order of day and month in a table whose dates do not tell.",
        source: "the file",
        apply: |settings, value| {
            settings.trace.dates = match value.as_text() {
                Some("dmy") => Some(DateOrder::DayMonthYear),
                Some("mdy") => Some(DateOrder::MonthDayYear),
                _ => None,
            }
        },
    },
    Key {
        name: "recording.columns",
        kind: Kind::Text,
        optional: true,
        default: Value::None,
        about: "Columns of a table without a header, such as time,lat,lon,speed:km/h,- where - skips one.",
        source: "the file",
        apply: |settings, value| settings.trace.columns = value.as_text().map(str::to_owned),
    },
];

static PLAN: &[Key] = &[
    Key {
        name: "rep.done_from",
        kind: Kind::Share(0.1, 1.0),
        optional: false,
        default: Value::Number(0.85),
        about: "A rep is done from this share of its planned work on; below it is short.",
        source: PRACTICE,
        apply: |settings, value| put(&mut settings.review.work_share, value),
    },
    Key {
        name: "rep.sure",
        kind: Kind::Share(0.6, 0.999),
        optional: false,
        default: Value::Number(0.9),
        about: "A rep is said to be missed, short or slow from this probability on; below it is left open. Less will do for one rep of a set of which half was found, the less the longer its work.",
        source: "chosen: to accuse a player of what he did is worse than to leave it open",
        apply: |settings, value| put(&mut settings.review.accuse, value),
    },
    Key {
        name: "rep.speed",
        kind: Kind::Share(0.1, 1.0),
        optional: false,
        default: Value::Number(0.95),
        about: "The share of top speed that reps of the category speed must reach when the plan does not say.",
        source: "common practice; Malone et al. 2017, J Sci Med Sport 20:250, 10.1016/j.jsams.2016.08.005, count exposures \
            from 95 % on",
        apply: |settings, value| put(&mut settings.review.speed_share, value),
    },
    Key {
        name: "rest.share",
        kind: Kind::Share(0.0, 1.0),
        optional: false,
        default: Value::Number(0.15),
        about: "A rest is kept within this share of the plan, or within rest.within, whichever is more.",
        source: PRACTICE,
        apply: |settings, value| put(&mut settings.review.rest_share, value),
    },
    Key {
        name: "rest.within",
        kind: Kind::Time(0.0, 60.0),
        optional: false,
        default: Value::Number(3.0),
        about: "Least tolerance of a rest; one interval between fixes is added.",
        source: PRACTICE,
        apply: |settings, value| put(&mut settings.review.rest_s, value),
    },
];

static MODELS: &[Key] = &[
    Key {
        name: "air.temperature",
        kind: Kind::Temperature(-30.0, 50.0),
        optional: false,
        default: Value::Number(20.0),
        about: "Temperature of the air, for the drag in force and power of sprints.",
        source: SAMOZINO,
        apply: |settings, value| put(&mut settings.profile.temperature_c, value),
    },
    Key {
        name: "air.pressure",
        kind: Kind::Pressure(400.0, 850.0),
        optional: false,
        default: Value::Number(760.0),
        about: "Pressure of the air, for the same.",
        source: SAMOZINO,
        apply: |settings, value| put(&mut settings.profile.pressure_mmhg, value),
    },
    Key {
        name: "model.metabolic",
        kind: Kind::Choice(&["off", "on", "always"]),
        optional: false,
        default: Value::word("off"),
        about: "Energy and metabolic power, a model whose worth in stop-and-go play is disputed (Buchheit et al. 2015, Brown et \
            al. 2016). on works it out from 5 fixes a second on, always from any recording.",
        source: "di Prampero et al. 2005, J Exp Biol 208:2809; Osgnach et al. 2010, Med Sci Sports Exerc 42:170",
        apply: |settings, value| {
            settings.profile.metabolic = match value.as_text() {
                Some("on") => Request::On,
                Some("always") => Request::Always,
                _ => Request::Off,
            }
        },
    },
];

/// Puts a number where it belongs.
fn put(field: &mut f64, value: &Value) {
    if let Some(number) = value.number() {
        *field = number;
    }
}
