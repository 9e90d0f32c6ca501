//! Items: the plan laid out in order, as what one bout can be.

use crate::bouts::Bout;
use crate::plan::{Block, Category, Dose, Plan, Rest, Work};
use crate::review::expect::{self, Guess};

/// The plan as a line of items, block after block.
#[derive(Clone, Debug)]
pub(super) struct Schedule {
    /// In the order in which the plan, or a reordering of it, has them.
    pub items: Vec<Item>,
}

/// What one bout, or one stretch of the session, can be.
#[derive(Clone, Debug)]
pub(super) struct Item {
    /// Index of the block in the plan, from 0.
    pub block: usize,
    /// Index of the set in the block, from 0.
    pub set: usize,
    /// Index of the first rep in the set, from 0.
    pub rep: usize,
    /// How many reps it holds: 1, or all reps of a set that runs on.
    pub reps: usize,
    /// What it is.
    pub kind: Kind,
    /// Expected time of work, s.
    pub work: Guess,
    /// Planned length on the ground, m: the path of a rep, all reps together when they run on.
    pub distance_m: Option<f64>,
    /// How long this receiver measures that length, as a share; 1 until learnt.
    pub length_bias: f64,
    /// Shuttles: the length of one way, and how many ways when the plan counts them.
    pub shuttle: Option<Shuttle>,
    /// Whether the plan gives the time of work, so that it is kept to and not only guessed.
    pub timed: bool,
    /// Whether work ends at a line, where he stops at it or runs on over it.
    pub to_line: bool,
    /// Where a run of a given length that does not turn round ends.
    pub ends: Ends,
    /// Expected peak speed, m/s.
    pub peak: Guess,
    /// Expected rest from its end to the next item, s.
    pub rest_after: Guess,
    /// Whether the next item of the plan belongs to the same set, set apart from the end of a set or block.
    pub last_of_set: bool,
    /// What kind of work.
    pub category: Category,
    /// The middle of where the reps of its block were, m; `None` until learnt.
    pub place_m: Option<[f64; 2]>,
}

impl Item {
    /// Whether another item asks for the same work, but for the ball and the rests.
    pub(crate) fn is_alike(&self, other: &Self) -> bool {
        let asked = |i: &Self| (i.category, i.reps, i.distance_m, i.shuttle, i.timed);
        asked(self) == asked(other) && (!self.timed || self.work == other.work)
    }

    /// The share of the time of a rep that passes while so large a part of its way is run.
    pub(crate) fn time_of_part(&self, part: f64) -> f64 {
        let time_s = |m| expect::usual_time_s(m, self.peak.value);
        self.straight_m()
            .map_or(part, |m| time_s(part * m) / time_s(m))
    }

    /// The share of the peak speed of a rep that is reached while so large a part of its way is run: a sprint goes on getting faster.
    pub(crate) fn peak_of_part(&self, part: f64) -> f64 {
        let share = |m| expect::share_of_top(m, self.peak.value);
        match self.straight_m() {
            Some(m) if self.category == Category::Speed && part < 1.0 => share(part * m) / share(m),
            _ => 1.0,
        }
    }

    /// The planned length of a run that does not turn round, m.
    pub(crate) fn straight_m(&self) -> Option<f64> {
        self.distance_m.filter(|_| self.shuttle.is_none())
    }

    /// The way of a bout that counts for a run that does not turn round, m.
    pub(crate) fn straight_way_m(&self, bout: &Bout) -> f64 {
        match self.ends {
            Ends::AtStop => bout.path_m,
            Ends::Open | Ends::AtBrake => bout.path_to_end_m,
        }
    }
}

/// Where the line of a run lies, as its player takes it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Ends {
    /// Nobody knows until it is learnt.
    #[default]
    Open,
    /// Where he begins to brake: he runs over it.
    AtBrake,
    /// Where he has come to a stop: he stands on it.
    AtStop,
}

/// What an item is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// A rep, or a set that runs on: one bout.
    Bout,
    /// One rep more than planned, at the end of a set: may be there, costs nothing when it is not.
    Extra,
    /// A continuous block, or a rep of intermittent work: a stretch of the session rather than a bout.
    Stretch,
}

/// A way run out and home again, or from line to line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Shuttle {
    /// Length of one way, m.
    pub leg_m: f64,
    /// How many ways, when the plan counts them; a timed shuttle does not.
    pub legs: Option<f64>,
}

/// Lays the plan out, with its blocks in the order given.
pub(super) fn schedule(plan: &Plan, order: &[usize], top_speed_m_s: Option<f64>) -> Schedule {
    let mut items = Vec::new();
    for &index in order {
        if let Some(block) = plan.blocks.get(index)
            && block.is_recorded()
        {
            lay_out(index, block, top_speed_m_s, &mut items);
        }
    }
    Schedule { items }
}

fn lay_out(index: usize, block: &Block, top_speed_m_s: Option<f64>, items: &mut Vec<Item>) {
    let after_block = block
        .then_s
        .map_or(expect::BETWEEN_BLOCKS, expect::timed_rest);
    match block.dose {
        Dose::Continuous { duration_s } => items.push(Item {
            block: index,
            set: 0,
            rep: 0,
            reps: 1,
            kind: Kind::Stretch,
            work: expect::stretch(duration_s),
            distance_m: None,
            length_bias: 1.0,
            shuttle: None,
            timed: true,
            to_line: false,
            ends: Ends::Open,
            peak: Guess::new(5.0, 2.0),
            rest_after: after_block,
            last_of_set: true,
            category: block.category,
            place_m: None,
        }),
        Dose::Reps { sets, reps, work } => {
            let runs_on = block.runs_on();
            let (bouts, per_bout) = if runs_on { (1, reps) } else { (reps, 1) };
            let model = rep_item(block, work, per_bout, top_speed_m_s);
            let rest = match block.rest {
                Rest::RunOn => Guess::new(20.0, 0.8),
                Rest::Timed(s) => expect::timed_rest(s),
                Rest::WalkBack => expect::walk_back(model.distance_m, model.work),
            };
            let between = block
                .between_sets_s
                .map_or_else(|| expect::between_sets(&rest), expect::timed_rest);
            for set in 0..sets as usize {
                let last_set = set + 1 == sets as usize;
                let after_set = if last_set { after_block } else { between };
                for bout in 0..bouts as usize {
                    let last = bout + 1 == bouts as usize;
                    let model = match block.mixed.get(bout) {
                        Some(&own) if !runs_on => rep_item(block, own, 1, top_speed_m_s),
                        _ => model.clone(),
                    };
                    items.push(Item {
                        block: index,
                        set,
                        rep: if runs_on { 0 } else { bout },
                        reps: per_bout as usize,
                        rest_after: if last { after_set } else { rest },
                        last_of_set: last,
                        ..model
                    });
                }
                if !runs_on && model.kind == Kind::Bout {
                    // The rest before an extra rep is that of its set; after it comes the rest of the set's end.
                    items.push(Item {
                        block: index,
                        set,
                        rep: bouts as usize,
                        kind: Kind::Extra,
                        rest_after: after_set,
                        last_of_set: true,
                        ..model.clone()
                    });
                }
            }
        }
    }
}

/// Whether work is no bout but a spell in which the player stands, walks and runs as it comes.
fn is_intermittent(category: Category, work: Work) -> bool {
    let by_nature = matches!(
        category,
        Category::Game | Category::Technical | Category::WarmUp | Category::CoolDown
    );
    by_nature && !matches!(work, Work::Distance(_))
}

/// One rep, or one set that runs on, as a bout or a stretch.
fn rep_item(block: &Block, work: Work, per_bout: u32, top_speed_m_s: Option<f64>) -> Item {
    let mut model = rep_model(block, work, per_bout, top_speed_m_s);
    if is_intermittent(block.category, work) {
        model.kind = Kind::Stretch;
        model.to_line = false;
        if let Work::Duration(s) = work {
            model.work = expect::stretch(f64::from(per_bout) * s);
        }
    }
    model
}

/// A distance run on and on without rest is a shuttle up to this length, m; beyond, it is a lap.
const LONGEST_WAY_M: f64 = 60.0;

/// One rep, or one set that runs on, without its place in the plan.
fn rep_model(block: &Block, work: Work, per_bout: u32, top_speed_m_s: Option<f64>) -> Item {
    let n = f64::from(per_bout);
    // The length of one way and of a whole rep. A distance run there and back, or on and on, is one way of its own.
    let (leg_m, rep_m) = match (work, block.over_m) {
        (Work::Distance(m), None) if block.there_and_back => (Some(m), Some(2.0 * m)),
        (Work::Distance(m), None) if block.runs_on() && m < LONGEST_WAY_M => (Some(m), Some(m)),
        (Work::Distance(m), over) => (over, Some(m)),
        (Work::Count, over) => (over, block.rep_distance_m()),
        (Work::Duration(_), over) => (over, None),
    };
    let distance_m = rep_m.map(|m| n * m);
    // A single way from line to line is a run, not a shuttle.
    let shuttle = leg_m
        .map(|leg_m| Shuttle {
            leg_m,
            legs: distance_m.map(|m| m / leg_m),
        })
        .filter(|s| s.legs.is_none_or(|legs| legs > 1.5));
    let peak = expect::peak(
        block.category,
        distance_m,
        shuttle,
        block.with_ball,
        top_speed_m_s,
        work.seconds(),
    );
    let expected = match work {
        Work::Duration(s) => expect::timed_work(n * s),
        _ => expect::untimed_work(distance_m, shuttle, peak, n, block.category),
    };
    Item {
        block: 0,
        set: 0,
        rep: 0,
        reps: per_bout as usize,
        kind: Kind::Bout,
        work: expected,
        distance_m,
        length_bias: 1.0,
        shuttle,
        timed: matches!(work, Work::Duration(_)),
        // A timed shuttle ends with its time, wherever he is; one of a given length or count at its line.
        to_line: work == Work::Count || (leg_m.is_some() && !matches!(work, Work::Duration(_))),
        ends: Ends::Open,
        peak,
        rest_after: expect::BETWEEN_BLOCKS,
        last_of_set: false,
        category: block.category,
        place_m: None,
    }
}
