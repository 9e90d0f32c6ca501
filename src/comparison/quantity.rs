//! What is compared, with its name, unit and decimals.

/// A quantity that sessions are compared by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Quantity {
    /// From the first to the last fix, s.
    Duration,
    /// Distance moved, m.
    Distance,
    /// Highest speed, m/s.
    TopSpeed,
    /// Distance from the threshold of high-speed running on, m.
    HighSpeedDistance,
    /// Distance from the threshold of sprinting on, m.
    SprintDistance,
    /// Sprints.
    Sprints,
    /// Top speed of the best sprint's curve, m/s.
    CurveTopSpeed,
    /// Time constant of that curve, s.
    TimeConstant,
    /// Time of the best sprint's first so many metres, s.
    Split(u32),
    /// Reps done of those planned.
    RepsDone,
    /// Rests kept of those judged.
    RestsKept,
    /// Mean work of the reps run in full, s.
    Work,
    /// Mean peak speed of the reps run in full, m/s.
    Peak,
    /// Mean rest between the reps, s.
    Rest,
    /// Change of peak speed from rep to rep in a set, m/s.
    Fade(usize),
}

impl Quantity {
    /// Its name for programs, with its unit.
    #[must_use]
    pub(crate) fn name(self) -> String {
        match self {
            Self::Duration => "duration_s".to_owned(),
            Self::Distance => "distance_m".to_owned(),
            Self::TopSpeed => "top_speed_m_s".to_owned(),
            Self::HighSpeedDistance => "high_speed_distance_m".to_owned(),
            Self::SprintDistance => "sprint_distance_m".to_owned(),
            Self::Sprints => "sprints".to_owned(),
            Self::CurveTopSpeed => "curve_top_speed_m_s".to_owned(),
            Self::TimeConstant => "time_constant_s".to_owned(),
            Self::Split(m) => format!("split_{m}_m_s"),
            Self::RepsDone => "reps_done".to_owned(),
            Self::RestsKept => "rests_kept".to_owned(),
            Self::Work => "work_s".to_owned(),
            Self::Peak => "peak_speed_m_s".to_owned(),
            Self::Rest => "rest_s".to_owned(),
            Self::Fade(set) => format!("fade_set_{set}_m_s"),
        }
    }

    /// Its name for people.
    #[must_use]
    pub(crate) fn label(self) -> String {
        match self {
            Self::Duration => "Recorded".to_owned(),
            Self::Distance => "Distance".to_owned(),
            Self::TopSpeed => "Top speed".to_owned(),
            Self::HighSpeedDistance => "At high speed".to_owned(),
            Self::SprintDistance => "Sprinting".to_owned(),
            Self::Sprints => "Sprints".to_owned(),
            Self::CurveTopSpeed => "Levels off at".to_owned(),
            Self::TimeConstant => "Time constant".to_owned(),
            Self::Split(m) => format!("First {m} m"),
            Self::RepsDone => "Reps done".to_owned(),
            Self::RestsKept => "Rests kept".to_owned(),
            Self::Work => "Mean work".to_owned(),
            Self::Peak => "Mean peak".to_owned(),
            Self::Rest => "Mean rest".to_owned(),
            Self::Fade(set) => format!("Fade, set {set}"),
        }
    }

    /// Its unit; empty for counts.
    #[must_use]
    pub(crate) fn unit(self) -> &'static str {
        match self {
            Self::Distance | Self::HighSpeedDistance | Self::SprintDistance => "m",
            Self::TopSpeed | Self::CurveTopSpeed | Self::Peak | Self::Fade(_) => "m/s",
            Self::Duration | Self::TimeConstant | Self::Split(_) | Self::Work | Self::Rest => "s",
            Self::Sprints | Self::RepsDone | Self::RestsKept => "",
        }
    }

    /// Whether it is a speed or a change of speed, which people are told in the unit that they asked for.
    #[must_use]
    pub(crate) fn is_speed(self) -> bool {
        self.unit() == "m/s"
    }

    /// Decimals that people are shown of the unit in JSON.
    #[must_use]
    pub(crate) fn decimals(self) -> usize {
        match self {
            Self::Duration
            | Self::Distance
            | Self::HighSpeedDistance
            | Self::SprintDistance
            | Self::Sprints
            | Self::RepsDone
            | Self::RestsKept => 0,
            Self::Work | Self::Rest => 1,
            Self::TopSpeed
            | Self::CurveTopSpeed
            | Self::TimeConstant
            | Self::Split(_)
            | Self::Peak
            | Self::Fade(_) => 2,
        }
    }
}
