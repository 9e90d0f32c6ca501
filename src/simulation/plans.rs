//! Random plans such as a player writes.

use crate::plan::{Block, Category, Dose, Header, PitchSize, Plan, Rest, Target, Work};
use crate::simulation::athlete::Athlete;
use crate::simulation::rng::Rng;

/// A random plan that this athlete can carry out, of 20 to 110 minutes.
#[must_use]
pub fn random(athlete: &Athlete, rng: &mut Rng) -> Plan {
    let header = header(athlete, rng);
    // A session longer than two hours helps nobody, and short ones are common.
    let goal_s = 60.0 * rng.either(0.75, rng.clone().range(22.0, 75.0), 105.0);
    let mut blocks = Vec::new();
    if rng.chance(0.88) {
        blocks.push(continuous(
            Category::WarmUp,
            60.0 * f64::from(rng.whole(4, 14)),
            rng,
        ));
    }
    if rng.chance(0.5) {
        blocks.push(continuous(
            Category::Technical,
            60.0 * f64::from(rng.whole(4, 10)),
            rng,
        ));
    }
    let cool_s = 60.0 * f64::from(rng.whole(4, 9));
    let cools = rng.chance(0.65);
    let reserved_s = if cools { cool_s } else { 0.0 };
    let mut main = 0;
    while blocks.iter().map(length_s).sum::<f64>() + reserved_s < goal_s && main < 7 {
        let mut block = self::main(athlete, &header, rng);
        // A plan without reps would leave little to hold against a recording.
        while main < 2 && !matches!(block.dose, Dose::Reps { .. }) {
            block = self::main(athlete, &header, rng);
        }
        // A block that would overshoot by far is drawn again, unless there is none yet.
        let total = blocks.iter().map(length_s).sum::<f64>() + reserved_s + length_s(&block);
        main += 1;
        if total > goal_s + 600.0 && main > 1 {
            continue;
        }
        let twin = (rng.chance(0.2) && matches!(block.dose, Dose::Reps { .. })).then(|| Block {
            with_ball: !block.with_ball,
            ..block.clone()
        });
        blocks.push(block);
        blocks.extend(twin.filter(|t| total + length_s(t) < goal_s + 600.0));
    }
    if cools {
        blocks.push(continuous(Category::CoolDown, cool_s, rng));
    }
    for (line, block) in (1..).zip(&mut blocks) {
        block.line = line;
    }
    if let Some(last) = blocks.last_mut() {
        last.then_s = None;
    }
    Plan { header, blocks }
}

/// A plan of which some games and technical blocks are carried out in bouts with rests: `4 x 4 min, rest 90 s`.
#[must_use]
pub(crate) fn with_bouts(mut plan: Plan, rng: &mut Rng) -> Plan {
    for block in &mut plan.blocks {
        let Dose::Continuous { duration_s } = block.dose else {
            continue;
        };
        let share = match block.category {
            Category::Game => 0.7,
            Category::Technical => 0.25,
            _ => 0.0,
        };
        if !rng.chance(share) {
            continue;
        }
        let reps = rng.whole(2, 6);
        let minutes = (duration_s / 60.0 / f64::from(reps) * 2.0).round() / 2.0;
        block.dose = Dose::Reps {
            sets: 1,
            reps,
            work: Work::Duration(60.0 * minutes.max(1.0)),
        };
        block.rest = Rest::Timed(choice(rng, &[45.0, 60.0, 90.0, 120.0, 180.0]));
    }
    // A game in bouts is the commonest block of football: a plan without one gets it now and then.
    let any = plan.blocks.iter().any(|b| b.category == Category::Game);
    if !any && rng.chance(0.3) {
        let work_s = choice(rng, &[60.0, 90.0, 120.0, 180.0, 240.0]);
        let bouts = Block {
            name: named(Category::Game, rng),
            rest: Rest::Timed(choice(rng, &[60.0, 90.0, 120.0, 180.0])),
            then_s: then(rng),
            ..Block::new(
                Category::Game,
                doses(rng, (1, 1), (2, 6), Work::Duration(work_s)),
            )
        };
        let last = u32::try_from(plan.blocks.len()).unwrap_or(0);
        let cools = plan
            .blocks
            .last()
            .is_some_and(|b| b.category == Category::CoolDown);
        let at = rng.whole(1, (last - u32::from(cools)).max(1)) as usize;
        plan.blocks.insert(at.min(plan.blocks.len()), bouts);
    }
    for (line, block) in (1..).zip(&mut plan.blocks) {
        block.line = line;
    }
    if let Some(last) = plan.blocks.last_mut() {
        last.then_s = None;
    }
    plan
}

fn header(athlete: &Athlete, rng: &mut Rng) -> Header {
    let pitch = rng.chance(0.5).then(|| PitchSize {
        length_m: f64::from(rng.whole(90, 110)),
        width_m: f64::from(rng.whole(50, 70)),
    });
    Header {
        title: rng.chance(0.5).then(|| "A simulated session".to_owned()),
        pitch,
        // A player knows his top speed to a decimal.
        top_speed_m_s: rng
            .chance(0.75)
            .then(|| (athlete.top_speed_m_s * 10.0).round() / 10.0),
        ..Header::default()
    }
}

/// About how long a block takes, its rest after it included, s.
fn length_s(block: &Block) -> f64 {
    let (sets, reps) = (f64::from(block.sets()), f64::from(block.reps()));
    let way_s = |m: f64| m / 5.0 + 1.5;
    let work_s = match block.dose {
        Dose::Continuous { duration_s } => return duration_s + block.then_s.unwrap_or(40.0),
        Dose::Reps { work, .. } => match work {
            Work::Duration(s) => s,
            Work::Distance(m) => way_s(m),
            Work::Count => block.rep_distance_m().map_or(8.0, |m| m / 2.4 + 1.0),
        },
    };
    let rest_s = match block.rest {
        Rest::RunOn => 0.0,
        Rest::Timed(s) => s,
        Rest::WalkBack => block.rep_distance_m().unwrap_or(40.0) / 1.4 + 5.0,
    };
    sets * reps * work_s
        + sets * (reps - 1.0) * rest_s
        + (sets - 1.0) * block.between_sets_s.unwrap_or(60.0)
        + block.then_s.unwrap_or(40.0)
}

fn named(category: Category, rng: &mut Rng) -> Option<String> {
    let names: &[&str] = match category {
        Category::WarmUp => &["two laps and leg swings", "laps and skips"],
        Category::Technical => &["wall passes", "juggling", "slow dribbling"],
        Category::Strength => &["cone shuffles", "line touches", "five cones"],
        Category::Resistance => &["channel runs", "box to box", "long lines"],
        Category::Speed => &[
            "edge of the area to halfway",
            "flying starts",
            "first steps",
        ],
        Category::Game => &["three against three", "small goals"],
        Category::CoolDown => &["easy lap"],
        Category::Gym => &["legs"],
    };
    let name = rng.pick(names).map(|n| (*n).to_owned());
    name.filter(|_| rng.chance(0.7))
}

fn then(rng: &mut Rng) -> Option<f64> {
    let minutes = [60.0, 90.0, 120.0, 120.0, 180.0, 180.0, 240.0];
    let pick = rng.pick(&minutes).copied();
    pick.filter(|_| rng.chance(0.7))
}

fn continuous(category: Category, duration_s: f64, rng: &mut Rng) -> Block {
    Block {
        name: named(category, rng),
        with_ball: category == Category::Technical && rng.chance(0.5),
        then_s: if rng.chance(0.4) { then(rng) } else { None },
        ..Block::new(category, Dose::Continuous { duration_s })
    }
}

/// A block of the main part.
fn main(athlete: &Athlete, header: &Header, rng: &mut Rng) -> Block {
    let mut block = match rng.whole(0, 11) {
        0..=2 => strength(rng),
        3..=5 => resistance(athlete, rng),
        6..=9 => speed(athlete, header, rng),
        10 => continuous(Category::Game, 60.0 * f64::from(rng.whole(6, 18)), rng),
        _ => continuous(Category::Technical, 60.0 * f64::from(rng.whole(4, 9)), rng),
    };
    if matches!(block.dose, Dose::Reps { .. }) {
        block.name = named(block.category, rng);
        block.then_s = then(rng);
    }
    block
}

fn doses(rng: &mut Rng, sets: (u32, u32), reps: (u32, u32), work: Work) -> Dose {
    Dose::Reps {
        sets: rng.whole(sets.0, sets.1),
        reps: rng.whole(reps.0, reps.1),
        work,
    }
}

fn choice(rng: &mut Rng, choices: &[f64]) -> f64 {
    rng.pick(choices).copied().unwrap_or(1.0)
}

/// Shuttles: counted sets that run on, timed ones with rest, single ones with rest.
fn strength(rng: &mut Rng) -> Block {
    let over_m = choice(rng, &[4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 12.0, 15.0]);
    let between = Some(choice(rng, &[60.0, 75.0, 90.0, 120.0]));
    let with_ball = rng.chance(0.15);
    match rng.whole(0, 9) {
        0..=4 => {
            let there_and_back = rng.chance(0.85);
            let reps = if there_and_back { (3, 8) } else { (6, 12) };
            let over = rng.chance(0.88).then_some(over_m);
            Block {
                over_m: over,
                there_and_back: there_and_back && over.is_some(),
                between_sets_s: between,
                with_ball,
                ..Block::new(Category::Strength, doses(rng, (2, 5), reps, Work::Count))
            }
        }
        5..=7 => {
            let seconds = choice(rng, &[8.0, 10.0, 12.0, 15.0, 20.0, 30.0]);
            let rest = choice(rng, &[1.0, 1.5, 2.0, 2.5]) * seconds;
            Block {
                over_m: Some(over_m),
                there_and_back: rng.chance(0.85),
                rest: Rest::Timed((rest / 5.0).ceil() * 5.0),
                between_sets_s: between,
                with_ball,
                ..Block::new(
                    Category::Strength,
                    doses(rng, (1, 3), (4, 8), Work::Duration(seconds)),
                )
            }
        }
        8 => Block {
            there_and_back: true,
            rest: Rest::Timed(choice(rng, &[20.0, 30.0, 40.0])),
            between_sets_s: between,
            with_ball,
            ..Block::new(
                Category::Strength,
                doses(rng, (1, 2), (4, 8), Work::Distance(over_m.max(8.0))),
            )
        },
        _ => Block {
            over_m: Some(over_m),
            there_and_back: true,
            rest: Rest::Timed(choice(rng, &[15.0, 20.0, 25.0, 30.0])),
            between_sets_s: between,
            with_ball,
            ..Block::new(Category::Strength, doses(rng, (1, 3), (4, 8), Work::Count))
        },
    }
    .trimmed()
}

/// Longer runs, by time or by distance.
fn resistance(athlete: &Athlete, rng: &mut Rng) -> Block {
    let with_ball = rng.chance(0.2);
    let target = rng.chance(0.25).then(|| {
        Target::Speed((athlete.top_speed_m_s * rng.range(0.55, 0.68) * 10.0).round() / 10.0)
    });
    let between = Some(choice(rng, &[90.0, 120.0, 150.0, 180.0]));
    match rng.whole(0, 9) {
        0..=4 => {
            let seconds = choice(rng, &[8.0, 10.0, 12.0, 12.0, 15.0, 20.0, 30.0]);
            let rest = choice(rng, &[1.0, 1.5, 2.0, 3.0]) * seconds;
            Block {
                rest: Rest::Timed((rest / 5.0).ceil() * 5.0),
                between_sets_s: between,
                with_ball,
                target,
                ..Block::new(
                    Category::Resistance,
                    doses(rng, (1, 3), (4, 9), Work::Duration(seconds)),
                )
            }
        }
        5 | 6 => {
            let minutes = choice(rng, &[1.0, 1.5, 2.0, 3.0, 4.0]);
            let rest = choice(rng, &[60.0, 90.0, 120.0]);
            Block {
                rest: Rest::Timed(rest),
                ..Block::new(
                    Category::Resistance,
                    doses(rng, (1, 1), (3, 6), Work::Duration(60.0 * minutes)),
                )
            }
        }
        7 | 8 => {
            let metres = choice(rng, &[60.0, 80.0, 100.0, 150.0, 200.0]);
            Block {
                rest: if metres > 120.0 || rng.chance(0.6) {
                    Rest::Timed(choice(rng, &[30.0, 45.0, 60.0, 75.0]))
                } else {
                    Rest::WalkBack
                },
                between_sets_s: between,
                with_ball,
                target,
                ..Block::new(
                    Category::Resistance,
                    doses(rng, (1, 2), (4, 8), Work::Distance(metres)),
                )
            }
        }
        _ => continuous(
            Category::Resistance,
            60.0 * f64::from(rng.whole(6, 16)),
            rng,
        ),
    }
    .trimmed()
}

/// Sprints over a distance, rarely for a time.
fn speed(athlete: &Athlete, header: &Header, rng: &mut Rng) -> Block {
    let metres = choice(rng, &[10.0, 15.0, 20.0, 20.0, 30.0, 30.0, 40.0, 40.0, 50.0]);
    let with_ball = rng.chance(0.25);
    // A share that the distance allows; with the ball nobody asks for one.
    let reachable = if metres >= 40.0 {
        0.95
    } else if metres >= 30.0 {
        0.93
    } else if metres >= 20.0 {
        0.86
    } else {
        0.0
    };
    let asks = reachable > 0.0 && !with_ball && rng.chance(0.55);
    let share = [0.8, 0.85, 0.9, 0.92, 0.95];
    let allowed: Vec<f64> = share.into_iter().filter(|s| *s <= reachable).collect();
    let share = choice(rng, &allowed);
    let speed = (share * athlete.top_speed_m_s * 10.0).floor() / 10.0;
    // A share of top speed means little where the plan does not say what the top speed is.
    let as_share = header.top_speed_m_s.is_some() && rng.chance(0.75);
    let target = asks.then_some(if as_share {
        Target::ShareOfTop(share)
    } else {
        Target::Speed(speed)
    });
    let rest = if rng.chance(0.6) {
        Rest::WalkBack
    } else {
        Rest::Timed((metres * rng.range(1.0, 2.5) / 5.0).ceil() * 5.0 + 15.0)
    };
    let work = if metres == 10.0 && rng.chance(0.3) {
        Work::Duration(4.0)
    } else {
        Work::Distance(metres)
    };
    Block {
        with_ball,
        target: target.filter(|_| work == Work::Distance(metres)),
        rest,
        between_sets_s: Some(choice(rng, &[120.0, 150.0, 180.0, 240.0])),
        ..Block::new(Category::Speed, doses(rng, (1, 2), (3, 8), work))
    }
    .trimmed()
}

impl Block {
    /// Without a rest between sets where there is one set only.
    fn trimmed(self) -> Self {
        let between_sets_s = self.between_sets_s.filter(|_| self.sets() > 1);
        Self {
            between_sets_s,
            ..self
        }
    }
}
