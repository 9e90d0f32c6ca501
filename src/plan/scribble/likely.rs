//! The kind of work where the words do not say it: what the dose and the place in the plan make likely.

use super::apart::Scribbled;
use super::kind::Kind;
use super::meaning::Around;
use super::token::{Piece, Token, is_each_side};
use crate::plan::phrase::unit_of;
use crate::plan::{Block, Category, Dose, Effort, FreeRest, Rest, Work};

/// Runs of this length or longer are no maximal sprints, m.
pub(super) const ENDURANCE_M: f64 = 200.0;

impl Scribbled {
    /// The categories that a dose may be of, and whether the line leaves open which.
    pub(crate) fn categories(
        &self,
        kind: Kind,
        around: Around<'_>,
        said: &str,
        dosed: Option<&Block>,
    ) -> (Vec<Category>, bool) {
        match kind {
            Kind::One { category, .. } => (vec![category], false),
            Kind::Several(several) => (several, true),
            // `post match 10 min jog`
            Kind::Moving { jogging: true }
                if self.words.iter().any(|word| word.lower() == "post") =>
            {
                (vec![Category::CoolDown], false)
            }
            Kind::Moving { jogging } => {
                let bare = said.parse::<f64>().is_ok();
                // Who is asked for a speed neither warms up nor cools down.
                let one = dosed.map_or(bare, |block| {
                    block.reps() * block.sets() == 1 && block.target.is_none()
                });
                moving(around, jogging, one)
            }
            // `3 x 8 each leg`: lifts, or steps.
            Kind::Nothing if dosed.is_none() && is_for_each(said) => (
                vec![Category::Gym, Category::Technical, Category::Strength],
                true,
            ),
            // `Y drill 6`
            Kind::Nothing if dosed.is_none() && said.parse::<f64>().is_ok() => {
                (vec![Category::Technical, Category::Strength], true)
            }
            Kind::Nothing if self.is_a_match(dosed) => (vec![Category::Game], false),
            // `6 x 1000, 2 min`: so far nobody sprints.
            Kind::Nothing if dosed.is_none() && is_a_long_run(said) => {
                (vec![Category::Resistance], true)
            }
            // `pyramid 1-2-3-2-1 min`: nothing but runs has it by the clock.
            Kind::Nothing if dosed.is_some_and(rises_by_time) && self.says("pyramid") => {
                (vec![Category::Resistance], false)
            }
            // `45 min zone 2`: of a heart rate, which one holds on a run.
            Kind::Nothing if self.is_in_a_zone(dosed) => moving(around, false, true),
            Kind::Nothing => {
                let likely = likely(dosed);
                let open = likely.len() > 1;
                (likely, open)
            }
        }
    }

    fn is_in_a_zone(&self, dosed: Option<&Block>) -> bool {
        let timed = dosed.is_some_and(|block| matches!(block.dose, Dose::Continuous { .. }));
        let zone = |remark: &String| remark.to_lowercase().starts_with("zone ");
        timed && self.words.iter().all(Token::is_unit) && self.remarks.iter().any(zone)
    }

    fn says(&self, word: &str) -> bool {
        self.words.iter().any(|token| token.lower() == word)
    }

    /// Whether `match` is all that stands beside a dose, or its day beside one that is played.
    fn is_a_match(&self, dosed: Option<&Block>) -> bool {
        let words = self.words.iter().map(Token::lower);
        let others: Vec<String> = words.filter(|word| unit_of(word).is_none()).collect();
        let played = dosed.is_some_and(|block| block.work_s().is_some());
        match others.join(" ").as_str() {
            "match" | "training match" | "practice match" => true,
            "match day" | "matchday" => played,
            _ => false,
        }
    }
}

/// Whether the reps of a set differ by their time.
fn rises_by_time(block: &Block) -> bool {
    matches!(block.mixed.first(), Some(Work::Duration(_)))
}

/// Whether a dose without its unit is of runs that are no sprints.
fn is_a_long_run(said: &str) -> bool {
    let dose = said.split(", ").next().unwrap_or_default();
    let last = dose.rsplit(" x ").next().unwrap_or_default();
    // `800-600-400-200`
    let list = last.contains('-');
    let long = |metres: &str| {
        metres
            .parse::<f64>()
            .is_ok_and(|metres| metres >= ENDURANCE_M)
    };
    (dose.contains(" x ") || list) && last.split('-').all(long)
}

/// Whether reps are for each side, so that a number without a unit counts them.
pub(super) fn is_for_each(said: &str) -> bool {
    let words: Piece = said.split([' ', ',']).map(Token::word).collect();
    (0..words.len()).any(|at| is_each_side(&words, at))
}

/// What a run or a jog is, told by its place, and whether that is open.
pub(super) fn moving(around: Around<'_>, jogging: bool, one: bool) -> (Vec<Category>, bool) {
    match around {
        Around { first: true, .. } if jogging && one => (vec![Category::WarmUp], false),
        Around { last: true, .. } if jogging && one => (vec![Category::CoolDown], false),
        Around { first: true, .. } if one => (vec![Category::WarmUp, Category::Resistance], true),
        _ if one => (vec![Category::Resistance, Category::CoolDown], true),
        _ => (vec![Category::Resistance, Category::Speed], true),
    }
}

/// The categories that a dose alone makes likely.
fn likely(block: Option<&Block>) -> Vec<Category> {
    let walks_back = block
        .is_some_and(|block| block.rest == Rest::WalkBack && block.free_rest != FreeRest::Full);
    match block.map(|block| block.dose) {
        Some(Dose::Continuous { .. }) if block.is_some_and(|b| b.effort == Some(Effort::Easy)) => {
            vec![Category::Resistance, Category::CoolDown, Category::WarmUp]
        }
        Some(Dose::Continuous { .. }) => {
            vec![Category::Technical, Category::Game, Category::WarmUp]
        }
        // What one walks back from is run.
        Some(Dose::Reps {
            work: Work::Count, ..
        }) if walks_back => {
            vec![Category::Speed, Category::Resistance, Category::Strength]
        }
        // `halfway and back x 10` is run.
        Some(Dose::Reps {
            work: Work::Count, ..
        }) if block.is_some_and(|block| block.there_and_back) => {
            vec![Category::Strength, Category::Resistance, Category::Speed]
        }
        Some(Dose::Reps {
            work: Work::Count, ..
        }) => vec![Category::Technical, Category::Strength, Category::Gym],
        // `10 x 20 s, jog down`
        Some(Dose::Reps {
            work: Work::Duration(_),
            ..
        }) if walks_back => {
            vec![Category::Resistance, Category::Speed]
        }
        Some(Dose::Reps {
            work: Work::Duration(_),
            ..
        }) => vec![Category::Resistance, Category::Technical],
        Some(Dose::Reps {
            work: Work::Distance(metres),
            ..
        }) if metres >= ENDURANCE_M => {
            let once = block.is_some_and(|block| block.reps() * block.sets() == 1);
            let mut likely = vec![Category::Resistance];
            if once {
                likely.extend([Category::WarmUp, Category::CoolDown]);
            }
            likely
        }
        Some(Dose::Reps {
            work: Work::Distance(metres),
            ..
        }) if metres > 100.0 => vec![Category::Resistance, Category::Speed],
        _ => vec![Category::Speed, Category::Resistance],
    }
}
