//! One line of the plan: a category, a name, a dose, and how to rest.

use crate::plan::{Dose, Work};

/// One line of the plan: a drill with its dose.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// What kind of work.
    pub category: Category,
    /// The name in quotes.
    pub name: Option<String>,
    /// `with ball`
    pub with_ball: bool,
    /// Sets, reps and work.
    pub dose: Dose,
    /// `over 9 m`: the length of one way, m.
    pub over_m: Option<f64>,
    /// `there and back`: a rep goes out and home again.
    pub there_and_back: bool,
    /// `at 95%`, `at 6.5 m/s`: the speed that a rep must reach.
    pub target: Option<Target>,
    /// Between the reps of a set.
    pub rest: Rest,
    /// `90 s between sets`
    pub between_sets_s: Option<f64>,
    /// `then 3 min`: rest after the block.
    pub then_s: Option<f64>,
    /// Line in the file, from 1; 0 when it comes from none.
    pub line: u32,
}

/// Categories of work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Category {
    /// `warm-up`
    WarmUp,
    /// `technical`
    Technical,
    /// `strength`: repeated change of direction.
    Strength,
    /// `resistance`: longer runs, endurance.
    Resistance,
    /// `speed`: maximal sprints.
    Speed,
    /// `game`: small-sided or free play.
    Game,
    /// `cool-down`
    CoolDown,
}

impl Category {
    /// All of them, in the order of a session.
    pub const ALL: [Self; 7] = [
        Self::WarmUp,
        Self::Technical,
        Self::Strength,
        Self::Resistance,
        Self::Speed,
        Self::Game,
        Self::CoolDown,
    ];

    /// The word of the notation.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::WarmUp => "warm-up",
            Self::Technical => "technical",
            Self::Strength => "strength",
            Self::Resistance => "resistance",
            Self::Speed => "speed",
            Self::Game => "game",
            Self::CoolDown => "cool-down",
        }
    }
}

/// The speed that a rep must reach.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Target {
    /// A share of top speed, 0.95 for `at 95%`.
    ShareOfTop(f64),
    /// A speed, m/s.
    Speed(f64),
}

/// Rest between the reps of a set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Rest {
    /// None: the reps of a set run on, and a set is one bout.
    RunOn,
    /// So many seconds.
    Timed(f64),
    /// `walk back`: self-paced, its length is not checked.
    WalkBack,
}

impl Block {
    /// A block that says what and how much and nothing else: without a name, its reps running on, on no line of a file.
    #[must_use]
    pub fn new(category: Category, dose: Dose) -> Self {
        Self {
            category,
            name: None,
            with_ball: false,
            dose,
            over_m: None,
            there_and_back: false,
            target: None,
            rest: Rest::RunOn,
            between_sets_s: None,
            then_s: None,
            line: 0,
        }
    }

    /// Number of sets; 1 for a continuous bout.
    #[must_use]
    pub fn sets(&self) -> u32 {
        match self.dose {
            Dose::Continuous { .. } => 1,
            Dose::Reps { sets, .. } => sets,
        }
    }

    /// Reps in a set; 1 for a continuous bout.
    #[must_use]
    pub fn reps(&self) -> u32 {
        match self.dose {
            Dose::Continuous { .. } => 1,
            Dose::Reps { reps, .. } => reps,
        }
    }

    /// The planned time of one rep, s, if the plan gives it.
    #[must_use]
    pub fn work_s(&self) -> Option<f64> {
        match self.dose {
            Dose::Continuous { duration_s } => Some(duration_s),
            Dose::Reps {
                work: Work::Duration(s),
                ..
            } => Some(s),
            Dose::Reps { .. } => None,
        }
    }

    /// The planned length of one rep's path, m, if the plan gives it: out and home again where it says so.
    #[must_use]
    pub fn rep_distance_m(&self) -> Option<f64> {
        match self.dose {
            Dose::Reps {
                work: Work::Distance(m),
                ..
            } if self.there_and_back && self.over_m.is_none() => Some(2.0 * m),
            Dose::Reps {
                work: Work::Distance(m),
                ..
            } => Some(m),
            Dose::Reps {
                work: Work::Count, ..
            } => self
                .over_m
                .map(|m| if self.there_and_back { 2.0 * m } else { m }),
            _ => None,
        }
    }

    /// The length of one way, m: `over 9 m`, else the distance of a rep that is run straight out or, with
    /// `there and back`, out and home again.
    #[must_use]
    pub fn one_way_m(&self) -> Option<f64> {
        match self.dose {
            Dose::Reps {
                work: Work::Distance(m),
                ..
            } => self.over_m.or(Some(m)),
            _ => self.over_m,
        }
    }

    /// Whether the reps of a set run on without rest, so that a set is one bout.
    #[must_use]
    pub fn runs_on(&self) -> bool {
        self.rest == Rest::RunOn && self.reps() > 1
    }
}
