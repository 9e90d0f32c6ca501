//! The phrases of a line as they may be meant: a unit, a count, a rest or one of two ends put where it is missing.

use super::apart::Scribbled;
use super::kind::{self, kind_of};
use super::likely::is_for_each;
use super::phrase;
use super::several;
use super::strict::{rest_s, strict};
use super::token::Token;
use crate::plan::phrase::NO_COUNT;
use crate::plan::{Block, Category, Dose, Mistake, Work, timetable};

/// Asked where the rest is as long as reps that differ.
const DIFFERS: &str = "the reps differ, and so would rests as long as they; a set has one rest";
/// Asked where the rest is as long as a run over a distance.
const AS_LONG_AS_A_RUN: &str =
    "a rest as long as a run over a distance has no length of its own; so long is usual";
/// From here on one run is rather in metres than in minutes.
const LONGEST_MIN: f64 = 60.0;
/// Lengths of runs whose plural reads as seconds, `400s x 4`, m.
const LENGTHS: [&str; 6] = ["100", "200", "300", "400", "600", "800"];

impl Scribbled {
    /// The phrases as they may be meant: both ends of a range, a work that stands apart from its count.
    pub(crate) fn readings(&self, said: &str) -> (Vec<String>, bool, Option<String>) {
        let readable = |text: &String| {
            let whole = strict(&format!("resistance {text}"));
            whole.is_ok()
                || whole.is_err_and(|wrong| wrong.iter().any(|mistake| mistake.lines.len() > 1))
        };
        // `6 x 20 m, there and back, 40 s`
        let said = said.replacen(", there and back", " there and back", 1);
        // `6 x 20 m, 1 min rest x 3 sets`
        if let Some(written) = &self.open_rest
            && readable(&said)
            && let Some(sets) = between_sets(&said)
        {
            return (vec![said, sets], true, Some(written.clone()));
        }
        // `400s x 4`
        let dose = said.split(", ").next().unwrap_or_default();
        let seconds = LENGTHS.iter().find_map(|metres| {
            let seconds = dose.strip_suffix(" s")?.strip_suffix(metres)?;
            seconds
                .ends_with(" x ")
                .then(|| format!("{seconds}{metres} m"))
        });
        if let Some(metres) = seconds {
            let metres = said.replacen(dose, &metres, 1);
            if readable(&said) {
                return (vec![metres, said], true, None);
            }
            // `200s x 5, 2 min`
            let rested = [metres, said.clone()].map(|text| text.replacen(", ", ", rest ", 1));
            if rested.iter().all(readable) {
                return (rested.to_vec(), true, None);
            }
        }
        if readable(&said) {
            return (vec![said], false, None);
        }
        // `1 set of 6, 20 s`
        if let Some((count, work)) = said.split_once(", ") {
            let apart = format!("{count}, work {work}");
            // `3 x 40 m, 2 min`: a rest, or the time that the rep should take.
            let rest = format!("{count}, rest {work}");
            // `3 x 10 press-ups, 60 s`: sets of so many lifts are rested from.
            let own = count.split(" each ").next().unwrap_or(count);
            let lifted =
                count.matches(" x ").count() > 1 || count.contains(" x ") && own.ends_with(" reps");
            let gym = kind_of(&self.words) == kind::of(Category::Gym);
            if gym && lifted && readable(&rest) && !work.contains(" x ") {
                return (vec![rest], true, None);
            }
            // `3 x 8 shots, 1 min`: neither is what is counted done for that time.
            if lifted && rest_s(&format!("rest {work}")).is_some() && readable(&rest) {
                return (vec![rest], true, None);
            }
            // `6 x 800, 2 min`, `20-40-60, 60 s`
            let alone = count.split(" each ").next().unwrap_or_default();
            if (several::is_bare(alone) || is_bare_list(alone))
                && rest_s(&format!("rest {work}")).is_some()
            {
                return (vec![rest], true, None);
            }
            if !readable(&apart) && readable(&rest) && !work.contains(" x ") {
                // Work that has a time of its own is rested from: `6 x 2 min, 1 min`.
                let timed = strict(&format!("resistance {count}"))
                    .is_ok_and(|(block, _)| block.reps() > 1 && block.work_s().is_some());
                return (vec![rest], !timed, None);
            }
            if readable(&apart) {
                // `gassers x 4, 90 s`: nobody says whether so long, or rested so long from.
                let turned = own.replace("there and back", "");
                let alone = turned.trim().strip_suffix(" reps");
                let alone = alone.is_some_and(|count| count.bytes().all(|b| b.is_ascii_digit()));
                if alone && rest_s(&format!("rest {work}")).is_some() && readable(&rest) {
                    return (vec![rest, apart], true, None);
                }
                // `shooting, 3 sets of 5, 2 min`: nobody takes so long for one of many.
                let sets = format!("{count}, {work} between sets");
                if is_long_for_one_of_many(&apart) && readable(&sets) {
                    return (vec![sets, apart], true, None);
                }
                return (vec![apart], false, None);
            }
        }
        let kept = self.splits.iter().flat_map(|split| &split.kept);
        let ranges: Vec<(&str, &str, &str)> = kept.filter_map(range).collect();
        let Some((first, ..)) = ranges.first() else {
            return (vec![said], false, None);
        };
        let put = |end: fn(&(&str, &str, &str)) -> String| {
            let text = (ranges.iter()).fold(said.clone(), |said, range| {
                said.replacen(range.0, &end(range), 1)
            });
            // `5 x 60 m, 2-3 min`: the time behind it is a rest.
            let rest = text.replacen(", ", ", rest ", 1);
            let alone = !readable(&text) && text.matches(", ").count() == 1;
            if alone && readable(&rest) { rest } else { text }
        };
        let ends = vec![
            put(|range| range.1.to_owned()),
            put(|range| range.2.to_owned()),
        ];
        // One range is what is asked about; of several it is the line.
        let one = (ranges.len() == 1).then(|| (*first).to_owned());
        (ends, true, one)
    }
}

/// `20-40-60`: reps that differ, without their unit.
fn is_bare_list(text: &str) -> bool {
    text.split('-').count() > 2 && text.split('-').all(|rep| rep.parse::<u32>().is_ok())
}

/// Whether reps of several sets last a minute or longer each.
fn is_long_for_one_of_many(said: &str) -> bool {
    strict(&format!("resistance {said}")).is_ok_and(|(block, _)| {
        block.sets() > 1 && block.reps() > 2 && block.work_s().is_some_and(|work_s| work_s >= 60.0)
    })
}

/// The phrases with the rest at their end as one between sets.
fn between_sets(said: &str) -> Option<String> {
    let behind = ["rest", "recovery", "off", "break"]
        .iter()
        .find_map(|word| said.strip_suffix(word));
    if let Some(dose) = behind {
        return Some(format!("{dose}between sets"));
    }
    // `rest 2 min`
    let (ahead, time) = said.rsplit_once(", rest ")?;
    let one = !time.contains(',');
    one.then(|| format!("{ahead}, {time} between sets"))
}

/// `6-8`: as it was written, and its ends.
fn range(token: &Token) -> Option<(&str, &str, &str)> {
    let Token::Number(text) = token else {
        return None;
    };
    let (low, high) = text.split_once(['-', '\u{2013}', '\u{2014}', '\u{2212}', '/'])?;
    let whole = |text: &str| text.chars().all(|c| c.is_ascii_digit() || c == '.');
    (whole(low) && whole(high)).then_some((text, low, high))
}

/// The block of phrases that say work and rest and not how many times, done so often as is usual.
pub(super) fn uncounted(said: &str) -> Option<(Block, String)> {
    let wrong = strict(&format!("resistance {said}")).err()?;
    let [Mistake { message, .. }] = wrong.as_slice() else {
        return None;
    };
    let counted = [format!("8 x {said}"), format!("8 reps, {said}")];
    let read = |text: String| Some((strict(&format!("resistance {text}")).ok()?.0, text));
    let mut read = counted.into_iter().filter_map(read);
    read.next().filter(|_| message == NO_COUNT)
}

/// `rest =work` in seconds, and what is asked where its length is not that of the work as written.
pub(super) fn with_equal_rest(said: &str) -> Option<(String, Option<&'static str>)> {
    let equal = phrase::EQUAL_REST;
    let alone: Vec<&str> = said.split(", ").filter(|phrase| *phrase != equal).collect();
    if !said.contains(equal) || alone.is_empty() {
        return None;
    }
    let (block, _) = strict(&format!("resistance {}", alone.join(", "))).ok()?;
    let (rest_s, asks) = match block.dose {
        Dose::Reps {
            work: Work::Duration(mean_s),
            ..
        } => {
            let differs = !block.mixed.is_empty();
            (mean_s.round(), differs.then_some(DIFFERS))
        }
        Dose::Reps { .. } => {
            let usual_s = timetable::rep_s(&block, &timetable::Assumptions::default());
            ((usual_s / 5.0).ceil() * 5.0, Some(AS_LONG_AS_A_RUN))
        }
        Dose::Continuous { .. } => return None,
    };
    Some((said.replace(equal, &format!("rest {rest_s} s")), asks))
}

/// The readings with the unit that this category makes likely, where one is missing.
pub(super) fn readings_for(texts: &[String], category: Category, holds: bool) -> Vec<String> {
    let units: &[&str] = match category {
        Category::Speed => &["m"],
        Category::Resistance => &["s", "m"],
        Category::Strength => &["reps", "m"],
        Category::WarmUp | Category::CoolDown | Category::Game => &["min"],
        Category::Gym if holds => &["s", "reps"],
        Category::Technical | Category::Gym => &["reps", "min"],
    };
    let mut out = Vec::new();
    for text in texts {
        if strict(&format!("{} {text}", category.word())).is_ok() {
            out.push(text.clone());
            continue;
        }
        let (dose, rest) = text.split_once(", ").unwrap_or((text, ""));
        // `3 x 6 each side`: the unit stands in front.
        let each = [" each ", " per "].iter().find_map(|word| dose.find(word));
        let (number, each) = dose.split_at(each.unwrap_or(dose.len()));
        let counted = is_for_each(text) && units.contains(&"reps");
        // Nobody runs 400 s several times over.
        let last = number
            .rsplit(' ')
            .next()
            .and_then(|last| last.parse::<f64>().ok());
        let list = is_bare_list(number)
            && number
                .split('-')
                .all(|rep| rep.parse::<f64>().is_ok_and(|rep| rep >= 100.0));
        let long = number.contains(" x ") && last.is_some_and(|last| last >= 100.0) || list;
        // `tempo 20` is in minutes, and `sprint 8` so often.
        let one = number.parse::<f64>().ok();
        let bout = category == Category::Resistance && one.is_some_and(|one| one <= LONGEST_MIN);
        // Nor runs for 4 s or over 4 m: a `4 x 4` is in minutes.
        let few = category == Category::Resistance && last.is_some_and(|last| last < 10.0);
        // Nor sprints for 6 m: a `2 x 6` of sprints is counted, as is what is done on each side.
        let short = category == Category::Speed
            && number.contains(" x ")
            && last.is_some_and(|last| last < 10.0);
        let units: &[&str] = match () {
            () if is_for_each(text)
                && !units.contains(&"reps")
                && last.is_some_and(|last| last < 12.0) =>
            {
                &["reps", "m"]
            }
            () if (few || bout) && !counted => &["min"],
            () if one.is_some_and(|one| one < 10.0) && category == Category::Speed => {
                &["m", "reps"]
            }
            () if short => &["reps", "m"],
            () => units,
        };
        let fits = |unit: &str| (!counted || unit == "reps") && !(long && unit == "s");
        for unit in units.iter().filter(|unit| fits(unit)) {
            let with = if rest.is_empty() {
                format!("{number} {unit}{each}")
            } else {
                format!("{number} {unit}{each}, {rest}")
            };
            out.push(with);
        }
        out.push(text.clone());
    }
    out
}
