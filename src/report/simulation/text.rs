//! How well receivers could judge a plan, as text of 80 columns: a table a receiver, and what it comes to in plain words.

use std::fmt::Write as _;

use crate::plan::{Block, Category, Dose, Plan, Work};
use crate::report::layout::{clock, count, hanging, left, right, safe, short};
use crate::report::words;
use crate::simulation::outlook::{Intervals, Judged, Outlook, ReceiverOutlook, Shares};
use crate::simulation::{Outcome, Simulated, UnplannedKind};
use crate::units::SpeedUnit;

/// Columns of a terminal that we may use.
const WIDTH: usize = 80;
/// Columns of a block's name in front of its numbers.
const NAME: usize = 34;

/// Writes the outlook as text for a terminal of 80 columns.
#[must_use]
pub fn render(outlook: &Outlook) -> String {
    let mut out = head(outlook);
    if outlook.receivers.len() > 1 {
        out += &overview(outlook);
    }
    for receiver in &outlook.receivers {
        out.push('\n');
        out += &table(receiver, &outlook.plan, outlook.speeds);
        out += &in_words(receiver, &outlook.plan);
    }
    out.push('\n');
    out += &legend();
    out
}

fn head(outlook: &Outlook) -> String {
    let mut out = String::new();
    let header = &outlook.plan.header;
    if let Some(title) = &header.title {
        out += &hanging("", &safe(title), WIDTH);
    }
    let athlete = match header.top_speed_m_s {
        Some(top) => format!(
            "an athlete with a top speed of {}",
            outlook.speeds.text(top, 1)
        ),
        None => "athletes of any top speed, since neither plan nor settings give one".to_owned(),
    };
    let sessions = outlook.study.sessions as usize;
    let clean = sessions / 2;
    let text = format!(
        "How well this plan could be judged: {} by {athlete}, {} with up to 5 departures and {clean} as planned; seed {}.",
        count(sessions, "simulated session", "simulated sessions"),
        sessions - clean,
        outlook.study.seed
    );
    out + &hanging("", &text, WIDTH)
}

/// A row a block, a column a receiver.
fn overview(outlook: &Outlook) -> String {
    let columns: Vec<usize> = (outlook.receivers.iter())
        .map(|r| r.kind.word().len().max(4) + 1)
        .collect();
    let name = WIDTH - columns.iter().sum::<usize>();
    let mut out = format!("\n{}", left("block", name));
    for (receiver, &columns) in outlook.receivers.iter().zip(&columns) {
        out += &right(receiver.kind.word(), columns);
    }
    out.push('\n');
    for (at, block) in outlook.plan.blocks.iter().enumerate() {
        out += &left(&label(at + 1, block), name);
        for (receiver, &columns) in outlook.receivers.iter().zip(&columns) {
            let judged = receiver.blocks.get(at).map_or("", |b| brief(b.judged));
            out += &right(judged, columns);
        }
        out.push('\n');
    }
    out
}

fn brief(judged: Judged) -> &'static str {
    match judged {
        Judged::RepByRep => "reps",
        Judged::AsBout => "bout",
        Judged::NotAtAll => "no",
    }
}

fn label(index: usize, block: &Block) -> String {
    let name = block.name.as_deref().map(safe).unwrap_or_default();
    if name.is_empty() {
        format!("{index}. {}", block.category)
    } else {
        format!("{index}. {} \"{name}\"", block.category)
    }
}

fn table(receiver: &ReceiverOutlook, plan: &Plan, speeds: SpeedUnit) -> String {
    let kind = receiver.kind;
    let mut out = hanging(&format!("{}: ", kind.word()), kind.description(), WIDTH);
    if receiver.failed > 0 {
        let text = format!(
            "{} could not be read; nothing of them counts as judged",
            count(receiver.failed, "recording", "recordings")
        );
        out += &hanging("  ", &text, WIDTH);
    }
    let _ = writeln!(
        out,
        "{}judged  told right  named   work   peak   rest",
        left("  block", NAME)
    );
    let _ = writeln!(
        out,
        "{}           %     %            s{}      s",
        " ".repeat(NAME),
        right(speeds.sign(), 7)
    );
    for (told, block) in receiver.blocks.iter().zip(&plan.blocks) {
        let name = left(&format!("  {}", label(told.index, block)), NAME);
        let _ = writeln!(
            out,
            "{name}{:>6}{}",
            brief(told.judged),
            cells(&told.shares, speeds)
        );
    }
    if receiver.blocks.len() > 1 {
        let all = left("  all", NAME);
        let _ = writeln!(out, "{all}{:>6}{}", "", cells(&receiver.all, speeds));
    }
    out
}

/// Shares, and half the median intervals.
fn cells(shares: &Shares, speeds: SpeedUnit) -> String {
    let percent =
        |share: Option<f64>| share.map_or("-".to_owned(), |s| format!("{:.0}", 100.0 * s));
    let named = if shares.not_done == 0 {
        "-".to_owned()
    } else {
        format!("{}/{}", shares.named, shares.not_done)
    };
    let half = |intervals: Option<Intervals>, times: f64| {
        intervals.map_or("-".to_owned(), |i| format!("±{:.1}", 0.5 * times * i.width))
    };
    format!(
        "{}{}{}{}{}{}",
        right(&percent(shares.resolved_share()), 6),
        right(&percent(shares.right_share()), 6),
        right(&named, 7),
        right(&half(shares.work_s, 1.0), 7),
        right(&half(shares.peak_speed_m_s, speeds.of(1.0)), 7),
        right(&half(shares.rest_s, 1.0), 7)
    )
}

fn legend() -> String {
    let text = "reps: judged rep by rep. bout: only found as a whole, as any continuous block is. no: not at all. told: \
                reps that got a verdict; right: verdicts that were true. named: reps not done that were named, of all not \
                done. work, peak, rest: half the usual 95 % interval of a rep that was found. Simulated receivers err as their \
                kind does; yours may err otherwise.";
    hanging("", text, WIDTH)
}

/// What the numbers come to: what it can judge, what it only sees, what it cannot.
fn in_words(receiver: &ReceiverOutlook, plan: &Plan) -> String {
    let noun = receiver.kind.noun();
    let (mut can, mut bouts, mut cannot) = (Tasks::default(), Vec::new(), Tasks::default());
    for (told, block) in receiver.blocks.iter().zip(&plan.blocks) {
        let continuous = matches!(block.dose, Dose::Continuous { .. });
        match told.judged {
            Judged::AsBout if !continuous => push(&mut bouts, what(block)),
            Judged::RepByRep | Judged::AsBout => can.push(block),
            Judged::NotAtAll => cannot.push(block),
        }
    }
    let mut sentences = Vec::new();
    let able = can.told("; ");
    sentences.extend(able.map(|tasks| format!("This {noun} can {tasks}.")));
    if !bouts.is_empty() {
        sentences.push(format!(
            "This {noun} sees only as bouts, without telling their reps apart: {}.",
            bouts.join(", ")
        ));
    }
    let unable = cannot.told("; nor ");
    sentences.extend(unable.map(|tasks| format!("This {noun} cannot {tasks}.")));
    sentences.extend(marks(&receiver.all));
    (sentences.iter())
        .map(|sentence| hanging("  ", sentence, WIDTH))
        .collect()
}

/// How often it is known whether a rep reached the speed asked for.
fn marks(all: &Shares) -> Option<String> {
    let reps = count(all.marked, "rep", "reps");
    match (all.marked, all.answered) {
        (0, _) => None,
        (_, 0) => Some(format!(
            "Whether the speed asked for was reached could be told of none of {reps}."
        )),
        (_, answered) => Some(format!(
            "Whether the speed asked for was reached could be told of {answered} of {reps}, rightly of {}.",
            all.answered_right
        )),
    }
}

/// What there is to judge, by what it takes.
#[derive(Default)]
struct Tasks {
    one_by_one: Vec<String>,
    counted: Vec<String>,
    found: Vec<String>,
}

impl Tasks {
    fn push(&mut self, block: &Block) {
        let list = match block.dose {
            Dose::Continuous { .. } => &mut self.found,
            Dose::Reps { .. } if block.runs_on() => &mut self.counted,
            Dose::Reps { .. } => &mut self.one_by_one,
        };
        push(list, what(block));
    }

    fn told(&self, between: &str) -> Option<String> {
        let verbs = [
            ("judge one by one", &self.one_by_one),
            ("count", &self.counted),
            ("find", &self.found),
        ];
        let tasks: Vec<String> = (verbs.into_iter())
            .filter(|(_, list)| !list.is_empty())
            .map(|(verb, list)| format!("{verb} {}", list.join(", ")))
            .collect();
        (!tasks.is_empty()).then(|| tasks.join(between))
    }
}

/// Blocks of the same work are told of once.
fn push(list: &mut Vec<String>, text: String) {
    if !list.contains(&text) {
        list.push(text);
    }
}

/// The work of a block in a few words: `9 m shuffles`.
fn what(block: &Block) -> String {
    let noun = match block.category {
        Category::Strength => "shuffles",
        Category::Speed => "sprints",
        Category::Game => "games",
        _ => "runs",
    };
    let over = block.over_m.map(|m| format!("{} m", short(m, 1)));
    let back = if block.there_and_back && block.over_m.is_none() {
        " there and back"
    } else {
        ""
    };
    if let (Some(shortest), Some(longest)) =
        (by_length(block, f64::min), by_length(block, f64::max))
    {
        let amount = match block.mixed.first() {
            Some(Work::Duration(_)) => {
                format!("{} to {}", clock_words(shortest), clock_words(longest))
            }
            _ => format!("{} to {} m", short(shortest, 1), short(longest, 1)),
        };
        return format!("{amount} {noun}{back}");
    }
    match block.dose {
        Dose::Continuous { duration_s } => {
            let work = match block.category {
                Category::WarmUp | Category::Game | Category::CoolDown => "",
                _ => " work",
            };
            format!("{} of {}{work}", clock_words(duration_s), block.category)
        }
        Dose::Reps { work, .. } => match (work, over) {
            (Work::Duration(s), Some(over)) => {
                format!("{} of {over} {noun}", clock_words(s))
            }
            (Work::Duration(s), None) => format!("{} {noun}", clock_words(s)),
            (Work::Distance(m), _) => format!("{} m {noun}{back}", short(m, 1)),
            (Work::Count, Some(over)) => format!("{over} {noun}"),
            (Work::Count, None) => format!("{noun} of unwritten length"),
        },
    }
}

/// One of the lengths of reps that differ, s or m; `None` where all are alike.
fn by_length(block: &Block, of: fn(f64, f64) -> f64) -> Option<f64> {
    let lengths = block.mixed.iter().filter_map(|work| match *work {
        Work::Duration(length) | Work::Distance(length) => Some(length),
        Work::Count => None,
    });
    lengths.reduce(of)
}

/// `12 min`, `90 s`.
fn clock_words(seconds: f64) -> String {
    if seconds >= 120.0 {
        format!("{} min", short(seconds / 60.0, 1))
    } else {
        format!("{} s", short(seconds, 1))
    }
}

/// What truly happened in a simulated recording, for the one who tries the tool on it.
#[must_use]
pub fn truth(simulated: &Simulated, speeds: SpeedUnit) -> String {
    let truth = &simulated.truth;
    let not_done: Vec<_> = (truth.reps.iter())
        .filter_map(|rep| Some((rep, words::not_done(rep.outcome)?)))
        .collect();
    let mut out = hanging(
        "",
        &format!(
            "What truly happened in it: {} long, {:.0} m, top speed {}, {} of {} done.",
            clock(truth.duration_s()),
            truth.distance_m,
            speeds.text(truth.top_speed_m_s, 1),
            truth.reps.len() - not_done.len(),
            count(truth.reps.len(), "rep", "reps"),
        ),
        WIDTH,
    );
    for (rep, word) in not_done {
        let (block, set, number) = (rep.block, rep.set, rep.rep);
        let when = match rep.run {
            Some(run) if rep.outcome != Outcome::Missed => {
                format!(", from {} to {}", clock(run.start_s), clock(run.end_s))
            }
            _ => String::new(),
        };
        out += &hanging(
            "- ",
            &format!("block {block}, set {set}, rep {number}: {word}{when}"),
            WIDTH,
        );
    }
    for unplanned in &truth.unplanned {
        let what = match unplanned.kind {
            UnplannedKind::ExtraRep => "a rep more than planned",
            UnplannedKind::Sprint => "a sprint that is not in the plan",
            UnplannedKind::FetchBall => "a ball fetched at a jog",
            UnplannedKind::OtherDrill => "a drill that is not in the plan",
        };
        let (from, to) = (clock(unplanned.run.start_s), clock(unplanned.run.end_s));
        out += &hanging("- ", &format!("{what}, from {from} to {to}"), WIDTH);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan;

    #[test]
    fn the_work_of_a_block_is_told_and_of_unlike_reps_both_ends() {
        for (line, told) in [
            ("speed 5 x 40 m, walk back", "40 m sprints"),
            ("speed 10-20-30-20-10 m, walk back", "10 to 30 m sprints"),
            (
                "resistance 15/30/45/30/15 s, rest 30 s",
                "15 s to 45 s runs",
            ),
            ("resistance 2/3/4 min, rest 60 s", "2 min to 4 min runs"),
        ] {
            let plan = plan::parse(line).expect("a plan");
            assert_eq!(what(&plan.blocks[0]), told, "{line}");
        }
    }
}
