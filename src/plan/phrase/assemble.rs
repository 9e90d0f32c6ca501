//! Makes a block of what its line has said.

use super::{EXPECTED_DOSE, Phrases, Said};
use crate::plan::timetable::{self, Assumptions};
use crate::plan::{Block, Category, Dose, Rest, Work};

/// The message where nobody says how many times.
pub(in crate::plan) const NO_COUNT: &str = "this does not say how many times";

impl Phrases<'_> {
    /// The block, unless there is a mistake.
    pub(super) fn assemble(&mut self, category: Option<Category>, said: Said) -> Option<Block> {
        let dose = self.whole_dose(&said);
        let nothing = said.dose_at.is_none() && said.work_at.is_none() && said.sets_at.is_none();
        if nothing && !said.lost && !self.doubtful && self.mistakes.is_empty() {
            self.no_dose();
        }
        if !self.mistakes.is_empty() {
            return None;
        }
        let dose = dose?;
        let mut block = Block {
            name: said.name,
            with_ball: said.with_ball.is_some(),
            over_m: said.over_m,
            there_and_back: said.there_and_back.is_some(),
            target: said.target,
            rest: said.rest.unwrap_or(Rest::RunOn),
            between_sets_s: said.between_sets_s,
            then_s: said.then_s,
            free_rest: said.free_rest,
            effort: said.effort,
            build_up: said.build_up.is_some(),
            each: said.each,
            line: self.line.number,
            ..Block::new(category?, dose)
        };
        if !said.mixed.is_empty() {
            let sets = block.sets();
            block = block.mixing(sets, said.mixed);
        }
        if let Some(every_s) = said.every_s
            && !block.start_every(every_s)
        {
            let span = said.rest_at.unwrap_or(0..0);
            self.wrong(span, "a rep takes longer than that").expected =
                Some("the time from the start of a rep to the start of the next".to_owned());
            return None;
        }
        // Nobody rests so long between two lifts: in the gym a rest is one between sets.
        let lifts = matches!(
            (block.category, block.dose),
            (
                Category::Gym,
                Dose::Reps {
                    work: Work::Count,
                    ..
                }
            )
        );
        if lifts && block.rest_is_open() && !said.rest_of_reps {
            let [between_sets, _] = block.both_rests();
            block = between_sets;
        }
        // Of a range the first end alone is asked about by what is wrong with it.
        if block.share_is_doubtful() && !said.of_top_speed && !self.doubtful {
            self.ask_of_what(&block, said.target_at.unwrap_or(0..0));
            return None;
        }
        if block.rest_is_doubtful() && !said.rest_of_reps {
            self.ask(&block, said.rest_at.unwrap_or(0..0));
            return None;
        }
        if block.rest_is_open() && !said.rest_of_reps {
            self.open_rest = said.rest_at;
        }
        Some(block)
    }

    fn no_dose(&mut self) {
        let end = self
            .words
            .last()
            .map_or(self.line.end, |word| word.span.end);
        self.wrong(end..end, "this block does not say how much")
            .expected = Some(EXPECTED_DOSE.to_owned());
    }

    /// Sets, reps and work, from all the phrases that say a part of them.
    fn whole_dose(&mut self, said: &Said) -> Option<Dose> {
        let mut dose = match (said.dose, said.work) {
            (None, None) => return self.only_sets(said),
            (Some(dose), None) => dose,
            (
                Some(Dose::Reps {
                    sets,
                    reps,
                    work: Work::Count,
                }),
                Some(work),
            ) => Dose::Reps { sets, reps, work },
            (Some(_), Some(_)) => {
                let span = said.work_at.clone().unwrap_or(0..0);
                self.wrong(span, "the work of a rep was said before on this line")
                    .expected = Some("each thing once; a second dose is a second block".to_owned());
                return None;
            }
            (None, Some(work)) => {
                if said.sets.is_none() && said.repeat.is_none() {
                    let span = said.work_at.clone().unwrap_or(0..0);
                    self.wrong(span, NO_COUNT).expected =
                        Some("a number of reps, such as `8 x 30 s, rest 30 s`".to_owned());
                    return None;
                }
                match work {
                    Work::Duration(duration_s) => Dose::Continuous { duration_s },
                    work => Dose::Reps {
                        sets: 1,
                        reps: 1,
                        work,
                    },
                }
            }
        };
        if let Some(count) = said.sets {
            dose = self.with_sets(dose, count, said)?;
        }
        if let Some(count) = said.repeat {
            dose = self.repeated(dose, count, said)?;
        }
        if said.each.is_some() {
            dose = doubled(dose);
        }
        if let (Dose::Reps { reps, .. }, true) =
            (dose, said.each.is_some() && !said.mixed.is_empty())
        {
            let span = said.each_at.clone().unwrap_or(0..0);
            self.wrong(
                span,
                format!("these {reps} reps differ, and are not for each side"),
            )
            .expected = Some("a block for each side".to_owned());
            return None;
        }
        if let Dose::Reps { sets, reps, .. } = dose {
            let span = said
                .dose_at
                .clone()
                .or(said.work_at.clone())
                .unwrap_or(0..0);
            if self.too_many(sets, reps, &span) {
                return None;
            }
        }
        Some(dose)
    }

    /// A single rep is repeated as reps, a set of several as sets.
    fn repeated(&mut self, dose: Dose, count: u32, said: &Said) -> Option<Dose> {
        let (sets, reps, work) = match dose {
            Dose::Continuous { duration_s } => (1, count, Work::Duration(duration_s)),
            Dose::Reps {
                sets: 1,
                reps: 1,
                work,
            } => (1, count, work),
            Dose::Reps {
                sets: 1,
                reps,
                work,
            } => (count, reps, work),
            Dose::Reps { sets, .. } => {
                let span = said.repeat_at.clone().unwrap_or(0..0);
                self.wrong(span, format!("this block has {sets} sets already"))
                    .expected = Some("the number of sets once".to_owned());
                return None;
            }
        };
        Some(Dose::Reps { sets, reps, work })
    }

    fn only_sets(&mut self, said: &Said) -> Option<Dose> {
        if said.sets_at.is_some() && self.mistakes.is_empty() {
            self.no_dose();
        }
        None
    }

    fn with_sets(&mut self, dose: Dose, count: u32, said: &Said) -> Option<Dose> {
        match dose {
            Dose::Continuous { duration_s } => Some(Dose::Reps {
                sets: count,
                reps: 1,
                work: Work::Duration(duration_s),
            }),
            Dose::Reps {
                sets: 1,
                reps,
                work,
            } => Some(Dose::Reps {
                sets: count,
                reps,
                work,
            }),
            Dose::Reps { sets, .. } => {
                let span = said.sets_at.clone().unwrap_or(0..0);
                self.wrong(span, format!("this block has {sets} sets already"))
                    .expected = Some("the number of sets once".to_owned());
                None
            }
        }
    }

    /// Asks what a share is of, with both readings ready to copy.
    fn ask_of_what(&mut self, block: &Block, span: std::ops::Range<usize>) {
        let written = self.line.slice(&span).to_owned();
        let bare = Block {
            target: None,
            ..block.clone()
        };
        let lines = vec![
            format!("{}  # {written}", bare.line_text(true)),
            block.line_text(true),
        ];
        let share = block
            .target
            .map_or_else(String::new, |target| target.to_string());
        let message = format!(
            "nobody keeps up {share} of top speed for so long; a share of a heart rate, or by feel, is for you"
        );
        self.wrong(span, message).lines = lines;
    }

    /// Asks which rest is meant, with both readings ready to copy.
    fn ask(&mut self, block: &Block, span: std::ops::Range<usize>) {
        let usual = Assumptions::default();
        let readings = block.both_rests();
        let [sets_s, reps_s] = [0, 1].map(|reading: usize| {
            readings
                .get(reading)
                .map_or(0.0, |block| timetable::block_s(block, &usual))
        });
        let message = format!(
            "between reps this rest makes a block of {}, between sets one of {}",
            timetable::clock_text(reps_s),
            timetable::clock_text(sets_s)
        );
        let lines = readings.map(|block| block.line_text(true)).to_vec();
        self.wrong(span, message).lines = lines;
    }
}

/// As many reps again for the other side.
fn doubled(dose: Dose) -> Dose {
    match dose {
        Dose::Continuous { duration_s } => Dose::Reps {
            sets: 1,
            reps: 2,
            work: Work::Duration(duration_s),
        },
        Dose::Reps { sets, reps, work } => Dose::Reps {
            sets,
            reps: reps.saturating_mul(2),
            work,
        },
    }
}
