//! Ways of jotting a line down that say one thing, put as others write it: `w=5s r=25s`, `3 laps (1 easy 1 steady 1 hard)`,
//! `20 min circuit on 30 off 30`, `4c4`.

use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;
use crate::plan::word::{is_figures, letters};

/// The line as others write it. `None` where it has nothing of that kind.
pub(super) fn put(content: &str) -> Option<String> {
    // A name in quotes stays as it is.
    if content.contains('"') {
        return None;
    }
    laps_in_a_bracket(content)
        .or_else(|| work_and_rest_by_letters(content))
        .or_else(|| on_and_off_in_front(content))
        .or_else(|| sides_by_a_letter(content))
        .or_else(|| sides_of_a_rondo(content))
        .or_else(|| named_behind_its_dose(content))
        .or_else(|| minutes_between_sets(content))
        .or_else(|| pair_in_a_bracket(content))
        .or_else(|| half_time(content))
        .or_else(|| easy_minutes(content))
        .or_else(|| doses_in_a_bracket(content))
        .or_else(|| twice_a_dose(content))
}

/// `3 laps (1 easy 1 steady 1 hard)`: the laps one after the other.
fn laps_in_a_bracket(content: &str) -> Option<String> {
    let (ahead, behind) = content.trim().split_once('(')?;
    let within = behind.strip_suffix(')')?;
    let (count, noun) = ahead.trim().split_once(' ')?;
    let one = match noun.trim().to_lowercase().as_str() {
        "laps" => "lap",
        "lengths" => "length",
        "widths" => "width",
        _ => return None,
    };
    let words: Vec<&str> = within
        .split(|c: char| c.is_whitespace() || matches!(c, ',' | '/' | '+'))
        .filter(|word| !word.is_empty())
        .collect();
    let mut sum = 0_u32;
    let mut laps = Vec::new();
    for pair in words.chunks(2) {
        let [number, how] = pair else { return None };
        let each: u32 = number.parse().ok()?;
        sum = sum.checked_add(each)?;
        let noun = if each == 1 { one } else { noun.trim() };
        laps.push(format!("{each} {noun} {how}"));
    }
    let said = count.parse() == Ok(sum) && laps.len() > 1;
    said.then(|| laps.join(", "))
}

/// `w=5s r=25s`, `10 x w: 5 s, r: 25 s`: work and rest.
fn work_and_rest_by_letters(content: &str) -> Option<String> {
    let lower = content.to_ascii_lowercase();
    let led = |letter: char| {
        lower.match_indices(letter).find_map(|(at, _)| {
            let whole = !lower.get(..at)?.ends_with(char::is_alphanumeric);
            let sign = lower.get(at + 1..)?.trim_start();
            let figure = sign.strip_prefix(['=', ':'])?.trim_start();
            let end = lower.len() - figure.len();
            let leads = whole && figure.starts_with(|c: char| c.is_ascii_digit());
            leads.then_some((at, end))
        })
    };
    let ((work, figure), (rest, rested)) = (led('w')?, led('r')?);
    if rest < figure {
        return None;
    }
    let ahead = content.get(..work)?;
    let counted = ahead.trim_end().ends_with(['x', 'X', '\u{d7}']);
    let lead = if counted { "" } else { "work " };
    let between = content.get(figure..rest)?.trim_end();
    let between = between.trim_end_matches([',', ';', '/']).trim_end();
    let sign = if counted { "," } else { "" };
    let behind = content.get(rested..)?;
    Some(format!("{ahead}{lead}{between}{sign} rest {behind}"))
}

/// `circuit on 30 off 30`, `20 min circuit on 30 off 30`: the words behind their times, and the time of all behind them.
fn on_and_off_in_front(content: &str) -> Option<String> {
    let words: Vec<&str> = content.split_whitespace().collect();
    let is = |at: usize, word: &str| {
        words
            .get(at)
            .is_some_and(|own| own.eq_ignore_ascii_case(word))
    };
    // A time, and how many words it takes.
    let time = |at: usize| -> Option<(String, usize)> {
        let own = words.get(at)?.trim_end_matches(',');
        let unit = own.trim_start_matches(|c: char| c.is_ascii_digit());
        if unit.len() == own.len() || !unit.is_empty() && !is_time(unit) {
            return None;
        }
        let apart = words.get(at + 1).map(|next| next.trim_end_matches(','));
        Some(
            match apart.filter(|next| unit.is_empty() && is_time(next)) {
                Some(next) => (format!("{own} {next}"), 2),
                None => (own.to_owned(), 1),
            },
        )
    };
    let (on, work, rest, end) = (0..words.len()).find_map(|on| {
        let (work, length) = time(on + 1).filter(|_| is(on, "on"))?;
        let off = on + 1 + length;
        let (rest, length) = time(off + 1).filter(|_| is(off, "off"))?;
        Some((on, work, rest, off + 1 + length))
    })?;
    // `30 on 30 off`, the times in front already.
    if on.checked_sub(1).is_some_and(|at| time(at).is_some()) || words.contains(&"x") {
        return None;
    }
    let (all, from) = match time(0).filter(|_| on > 0) {
        Some((all, length)) => (format!("for {all}"), length),
        None => (String::new(), 0),
    };
    let pair = format!("{work} on {rest} off");
    let parts = [
        words.get(from..on)?.join(" "),
        pair,
        all,
        words.get(end..)?.join(" "),
    ];
    let said: Vec<&str> = (parts.iter().map(String::as_str))
        .filter(|part| !part.is_empty())
        .collect();
    Some(said.join(" "))
}

fn is_time(word: &str) -> bool {
    matches!(unit_of(&word.to_lowercase()), Some("s" | "min"))
}

/// `4c4`, as French players note it: `4v4`.
fn sides_by_a_letter(content: &str) -> Option<String> {
    let mut out = content.to_owned();
    let chars: Vec<(usize, char)> = content.char_indices().collect();
    for three in chars.windows(3) {
        let [(from, one), (at, _), (_, other)] = *three else {
            continue;
        };
        let begins = content.get(..from)?.ends_with(|c: char| c.is_alphabetic());
        let word = letters(content.get(at..)?);
        let sides = one.is_ascii_digit() && other.is_ascii_digit() && !begins;
        if sides && is_one_of(word, "c, C") {
            out.replace_range(at..=at, "v");
        }
    }
    (out != content).then_some(out)
}

/// `4x4 Norwegian`: what says the unit stands behind the dose.
fn named_behind_its_dose(content: &str) -> Option<String> {
    let (dose, behind) = content.trim().split_once(' ')?;
    let (count, work) = dose.split_once('x')?;
    let name = letters(behind);
    let named = is_one_of(&name.to_lowercase(), "norwegian, norwegians");
    let rest = behind.get(name.len()..)?;
    (named && is_figures(count) && is_figures(work)).then(|| format!("{name} {dose}{rest}"))
}

/// `3m b/w sets`: nobody rests for three metres.
fn minutes_between_sets(content: &str) -> Option<String> {
    const BETWEEN: [&str; 4] = ["m b/w sets", "m between sets", "m btw sets", "m bw sets"];
    let lower = content.to_ascii_lowercase();
    let at = BETWEEN.iter().find_map(|words| {
        let at = lower.find(words)?;
        lower
            .get(..at)?
            .ends_with(|c: char| c.is_ascii_digit())
            .then_some(at)
    })?;
    let behind = content.get(at + 1..)?;
    Some(format!("{} min{behind}", content.get(..at)?))
}

/// `3 x 8 min (30/30)`: what the minutes are filled with.
fn pair_in_a_bracket(content: &str) -> Option<String> {
    let (ahead, behind) = content.split_once('(')?;
    let (within, after) = behind.split_once(')')?;
    let (work, rest) = within.trim().split_once('/')?;
    let figures = |text: &str| text.len() == 2 && is_figures(text);
    let timed = ahead.trim_end().to_lowercase();
    let timed = timed.ends_with("min") || timed.ends_with("mins");
    (timed && figures(work) && figures(rest))
        .then(|| format!("{} {work}/{rest}{after}", ahead.trim_end()))
}

/// `2 x 45 min + 10 HT`: halves of a game, and the rest between them.
fn half_time(content: &str) -> Option<String> {
    let text = content.trim();
    let ahead = text
        .strip_suffix("HT")
        .or_else(|| text.strip_suffix("ht"))?
        .trim_end();
    let dose = ahead.trim_end_matches(|c: char| c.is_ascii_digit());
    let minutes = ahead.get(dose.len()..)?;
    let halves = dose.trim_end().strip_suffix(['+', ','])?.trim_end();
    let two = halves.to_lowercase().starts_with("2x") || halves.to_lowercase().starts_with("2 x");
    (two && !minutes.is_empty()).then(|| format!("game {halves}, rest {minutes} min"))
}

/// `easy 20`: nobody goes easily so many seconds or metres, and what kind of work it is will be asked.
fn easy_minutes(content: &str) -> Option<String> {
    let (easy, minutes) = content.trim().split_once(' ')?;
    let count: u32 = minutes.parse().ok()?;
    let said = easy.eq_ignore_ascii_case("easy") && (5..=90).contains(&count);
    said.then(|| format!("{minutes} min {easy}"))
}

/// `speed 2 x (3 x 20 m, 3 x 30 m)`: rounds of what is counted in the bracket.
fn doses_in_a_bracket(content: &str) -> Option<String> {
    let (ahead, behind) = content.trim().split_once('(')?;
    let items = behind.strip_suffix(')')?;
    let ahead = ahead
        .trim_end()
        .strip_suffix(['x', 'X', '\u{d7}'])?
        .trim_end();
    let label = ahead.trim_end_matches(|c: char| c.is_ascii_digit());
    let count = ahead.get(label.len()..)?;
    let dosed = |item: &str| {
        let (count, work) = item.trim().split_once('x')?;
        let counted: u32 = count.trim().parse().ok()?;
        let work = work.trim_start().starts_with(|c: char| c.is_ascii_digit());
        work.then_some(counted)
    };
    let doses = items.split(',').map(dosed).collect::<Option<Vec<_>>>()?;
    (doses.len() > 1 && !count.is_empty()).then(|| format!("{label}{count} rounds: {items}"))
}

/// `speed twice 6 x 30 m`, `6 x 30 m twice`, `6 x 30 m 2 times`: a count of a counted dose.
fn twice_a_dose(content: &str) -> Option<String> {
    let words: Vec<&str> = content.split_whitespace().collect();
    // How often, and how many words say it.
    let (at, times, length) = (words.iter().enumerate()).find_map(|(at, word)| {
        let next = words
            .get(at + 1)
            .is_some_and(|next| next.eq_ignore_ascii_case("times"));
        match word.to_lowercase().as_str() {
            "twice" => Some((at, 2, 1)),
            "thrice" => Some((at, 3, 1)),
            count if next => Some((at, count.parse::<u32>().ok()?, 2)),
            _ => None,
        }
    })?;
    let (ahead, behind) = (words.get(..at)?, words.get(at + length..)?);
    let counted = |words: &[&str]| {
        words.contains(&"x")
            || (words.iter().filter_map(|word| word.split_once('x')))
                .any(|(count, _)| is_figures(count))
    };
    let leads = (behind.first()).is_some_and(|next| next.starts_with(|c: char| c.is_ascii_digit()));
    let put = match (
        leads && counted(behind),
        counted(ahead) && behind.is_empty(),
    ) {
        (true, _) => format!("{times} x"),
        (_, true) => format!("x {times}"),
        _ => return None,
    };
    let all = [ahead, &[put.as_str()], behind].concat();
    Some(all.join(" "))
}

/// `rondo 4x2 10 min`: four against two, of which nobody does two of anything.
fn sides_of_a_rondo(content: &str) -> Option<String> {
    let words: Vec<&str> = content.split_whitespace().collect();
    let at = words.windows(3).position(|three| match three {
        [rondo, sides, time] => {
            let rondo = rondo.to_lowercase();
            let sides = sides.trim_end_matches(',').split_once('x');
            let players = sides.is_some_and(|(one, other)| {
                let number = |text: &str| text.parse::<u32>().ok();
                matches!((number(one), number(other)), (Some(one), Some(other)) if one > other && one < 12)
            });
            let timed = time.starts_with(|c: char| c.is_ascii_digit()) && !time.contains('x');
            is_one_of(&rondo, "rondo, rondos, toro, torello") && players && timed
        }
        _ => false,
    })?;
    let sides = words.get(at + 1)?;
    Some(content.replacen(sides, &sides.replace('x', "v"), 1))
}

#[cfg(test)]
mod tests {
    use super::put;

    #[test]
    fn a_jotted_line_is_put_as_others_write_it() {
        let others = |text: &str| put(text).unwrap_or_else(|| text.to_owned());
        assert_eq!(
            others("3 laps (1 easy 1 steady 1 hard)"),
            "1 lap easy, 1 lap steady, 1 lap hard"
        );
        assert_eq!(others("4 laps (1 easy 1 hard)"), "4 laps (1 easy 1 hard)");
        assert_eq!(others("w=5s r=25s"), "work 5s rest 25s");
        assert_eq!(others("10 x w=5s, r=25s"), "10 x 5s, rest 25s");
        assert_eq!(
            others("20 min circuit on 30 off 30"),
            "circuit 30 on 30 off for 20 min"
        );
        assert_eq!(others("30 on 30 off 30"), "30 on 30 off 30");
        assert_eq!(others("8 x 20 m on 30 s"), "8 x 20 m on 30 s");
        assert_eq!(others("jeu 4c4, 3c3 6 min"), "jeu 4v4, 3v3 6 min");
        assert_eq!(others("game \"4c4\" 6 min"), "game \"4c4\" 6 min");
        assert_eq!(others("5 x 40 m, 3m b/w sets"), "5 x 40 m, 3 min b/w sets");
        assert_eq!(others("3 x 8 min (30/30)"), "3 x 8 min 30/30");
        assert_eq!(others("6 x 40 m (20/20)"), "6 x 40 m (20/20)");
        assert_eq!(others("easy 20"), "20 min easy");
        assert_eq!(others("speed twice 6 x 30 m"), "speed 2 x 6 x 30 m");
        assert_eq!(others("6x30 m thrice"), "6x30 m x 3");
        assert_eq!(others("6 x 30 m 2 times"), "6 x 30 m x 2");
        assert_eq!(others("30 m 8 times"), "30 m 8 times");
        assert_eq!(others("sprint 40 m, twice"), "sprint 40 m, twice");
        assert_eq!(
            others("speed 2 x (3 x 20 m, 3 x 30 m)"),
            "speed 2 rounds: 3 x 20 m, 3 x 30 m"
        );
        assert_eq!(others("2 x (6 x 20 m, 30 s)"), "2 x (6 x 20 m, 30 s)");
        assert_eq!(others("2x45 min + 10 HT"), "game 2x45 min, rest 10 min");
        assert_eq!(others("4x4 Norwegian, 3 min"), "Norwegian 4x4, 3 min");
        assert_eq!(others("rondos 4x2 10 min"), "rondos 4v2 10 min");
        assert_eq!(others("rondo 4x2 min"), "rondo 4x2 min");
        assert_eq!(others("rondo 2x8 1 min"), "rondo 2x8 1 min");
    }
}
