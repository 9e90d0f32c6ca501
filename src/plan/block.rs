//! One line of the plan: a category, a name, a dose, and how to rest.

use std::borrow::Cow;

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
    /// `10-20-30-20-10 m`: the work of each rep of a set whose reps differ, as many as the dose has reps, whose own work is
    /// then their mean; empty where all reps are as the dose says. [`Block::of_rep`] gives the block of one of them.
    pub mixed: Vec<Work>,
    /// `every 60 s`: from start to start of two reps. The rest is what is expected to be left of it.
    pub every_s: Option<f64>,
    /// How a rest is taken whose length is free.
    pub free_rest: FreeRest,
    /// `flat out`, `easy`: how hard, in words; no speed is owed for it.
    pub effort: Option<Effort>,
    /// `build up`: the first rep works up to speed and owes none.
    pub build_up: bool,
    /// `each side`, `each leg`: half of the reps, which the dose counts all together, are for each.
    pub each: Option<Each>,
    /// Which round of how many this block was written for: it stands in the plan once for each.
    pub round: Option<Round>,
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
    /// `gym`, and other work that no recording shows.
    Gym,
}

impl Category {
    /// All of them, in the order of a session.
    pub const ALL: [Self; 8] = [
        Self::WarmUp,
        Self::Technical,
        Self::Strength,
        Self::Resistance,
        Self::Speed,
        Self::Game,
        Self::CoolDown,
        Self::Gym,
    ];

    /// The word of the notation.
    #[must_use]
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::WarmUp => "warm-up",
            Self::Technical => "technical",
            Self::Strength => "strength",
            Self::Resistance => "resistance",
            Self::Speed => "speed",
            Self::Game => "game",
            Self::CoolDown => "cool-down",
            Self::Gym => "gym",
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
    /// `walk back`: self-paced, its length is not checked. [`Block::free_rest`] says how it is taken.
    WalkBack,
}

/// How a rest of free length is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum FreeRest {
    /// `walk back`
    #[default]
    Walk,
    /// `jog back`
    Jog,
    /// `full rest`: until fresh again.
    Full,
}

/// How hard, in words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Effort {
    /// `flat out`, `max`
    FlatOut,
    /// `easy`
    Easy,
}

/// What half of the reps is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Each {
    /// `each side`
    Side,
    /// `each leg`
    Leg,
}

/// A place in `3 rounds of` several blocks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Round {
    /// From 1.
    pub number: u32,
    /// How many there are, at least 2.
    pub of: u32,
}

impl Block {
    /// Whether another block asks for the same work, but for the ball, the speed and what it is called: nothing tells the two
    /// from each other but their order.
    #[must_use]
    pub(crate) fn is_alike(&self, other: &Self) -> bool {
        let work = |b: &Self| (b.category, b.dose, b.over_m, b.there_and_back, b.rest);
        work(self) == work(other) && self.mixed == other.mixed
    }

    /// Whether nothing changes where another block takes its place, but for what it is called.
    #[must_use]
    pub(crate) fn is_interchangeable(&self, other: &Self) -> bool {
        let asked = |b: &Self| (b.with_ball, b.target, b.between_sets_s, b.then_s);
        self.is_alike(other) && asked(self) == asked(other)
    }

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
            mixed: Vec::new(),
            every_s: None,
            free_rest: FreeRest::Walk,
            effort: None,
            build_up: false,
            each: None,
            round: None,
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

    /// Whether a recording can show this work: what is done in the gym is planned and never judged.
    #[must_use]
    pub fn is_recorded(&self) -> bool {
        self.category != Category::Gym
    }

    /// The work of one rep of a set, from 0.
    #[must_use]
    pub fn work_of(&self, rep: usize) -> Option<Work> {
        match self.dose {
            Dose::Continuous { .. } => None,
            Dose::Reps { work, .. } => Some(self.mixed.get(rep).copied().unwrap_or(work)),
        }
    }

    /// The block as it is for one rep of a set, from 0: the same where all reps are alike, else with that rep's own work
    /// in the dose, and without a speed where the rep is a build-up that owes none.
    #[must_use]
    pub fn of_rep(&self, set: usize, rep: usize) -> Cow<'_, Self> {
        let owes_none = self.build_up && set == 0 && rep == 0;
        if self.mixed.is_empty() && !owes_none {
            return Cow::Borrowed(self);
        }
        let mut own = self.clone();
        own.mixed = Vec::new();
        if let (Dose::Reps { sets, reps, .. }, Some(work)) = (self.dose, self.work_of(rep)) {
            own.dose = Dose::Reps { sets, reps, work };
        }
        if owes_none {
            own.target = None;
        }
        Cow::Owned(own)
    }

    /// Gives the reps of a set their own work each, and the dose their mean. Reps that are all alike are no mixed set.
    #[must_use]
    pub fn mixing(mut self, sets: u32, works: Vec<Work>) -> Self {
        let Some((&first, _)) = works.split_first() else {
            return self;
        };
        let count = works.len() as f64;
        let mean = |value: fn(&Work) -> Option<f64>, places: f64| -> f64 {
            let sum: f64 = works.iter().filter_map(value).sum();
            (sum / count * places).round() / places
        };
        let alike = works.iter().all(|work| *work == first);
        let work = match first {
            _ if alike => first,
            Work::Duration(_) => Work::Duration(mean(Work::seconds, 1e3)),
            Work::Distance(_) => Work::Distance(mean(Work::metres, 1e4)),
            Work::Count => Work::Count,
        };
        self.dose = Dose::Reps {
            sets,
            reps: u32::try_from(works.len()).unwrap_or(u32::MAX),
            work,
        };
        self.mixed = if alike { Vec::new() } else { works };
        self
    }

    /// The planned time of one rep, s, if the plan gives it; the mean of a mixed set.
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

    /// The planned length of one rep's path, m, if the plan gives it: out and home again where it says so; the mean of a
    /// mixed set.
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
    pub(crate) fn one_way_m(&self) -> Option<f64> {
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
