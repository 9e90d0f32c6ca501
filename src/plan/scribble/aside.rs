//! What a line says that is for the player and no part of the plan: a heart rate, a share of what no recording shows, that
//! there is no ball.

use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;

use super::token::{Piece, Token, is_rest, is_way, lower, number, seconds, text_of, whole};

/// Below it a share is rather how steep a hill is, %: nobody sprints at a quarter of his top speed.
pub(super) const STEEPEST_PERCENT: f64 = 30.0;

/// Takes it out of a piece and keeps its words.
pub(super) fn take(piece: &mut Piece, remarks: &mut Vec<String>) {
    while let Some((from, to)) = share(piece)
        .or_else(|| beats(piece))
        .or_else(|| named_first(piece))
        .or_else(|| without_ball(piece))
        .or_else(|| weight(piece))
        .or_else(|| in_a_time(piece))
        .or_else(|| gradient(piece))
        .or_else(|| day_or_zone(piece))
        .or_else(|| at_its_end(piece))
    {
        let taken: Vec<Token> = piece.drain(from..to).collect();
        remarks.push(text_of(&taken));
    }
    if let Some(at) = rest_at_most(piece) {
        piece.remove(at);
        remarks.push("rest at most".to_owned());
    }
    if let Some((from, to)) = at_least(piece) {
        piece.drain(from..to);
        let least = piece.get(from..=from).unwrap_or_default();
        remarks.push(format!("at least {}", text_of(least)));
    }
}

/// Takes a share out of a piece: in the gym it is of what one can lift, beside `MAS` of that speed.
pub(super) fn take_share(piece: &mut Piece, remarks: &mut Vec<String>) {
    let percent = piece.iter().position(|token| *token == Token::Percent);
    if let Some(at) = percent.and_then(|at| at.checked_sub(1))
        && piece.get(at).is_some_and(Token::is_number)
    {
        let taken: Vec<Token> = piece.drain(with_lead(piece, at)..at + 2).collect();
        remarks.push(text_of(&taken));
    }
}

/// What a share is of that is not top speed: a heart rate, an uptake of oxygen, the speed at it, a lift.
pub(super) fn is_measure(word: &str) -> bool {
    is_one_of(
        word,
        "hr, hrmax, maxhr, mhr, hrr, bpm, heart, heartrate, pulse, vo, vo2, vvo, \
             mas, vma, vift, rm",
    )
}

/// Words that belong to such a measure behind it.
fn goes_on(token: &Token) -> bool {
    is_one_of(&token.lower(), "rate, max, maximum, reserve, monitor, bpm")
}

/// From the word in front of the number, which leads to it.
fn with_lead(piece: &[Token], mut from: usize) -> usize {
    const LEADS: [&str; 9] = [
        "at", "with", "under", "below", "above", "around", "about", "in", "to",
    ];
    while let Some(before) = from.checked_sub(1)
        && LEADS.contains(&lower(piece, before).as_str())
    {
        from = before;
    }
    from
}

/// `at 85% of max HR`, `90 % VO2max`, `85% 1RM`
fn share(piece: &[Token]) -> Option<(usize, usize)> {
    let percent = piece
        .iter()
        .position(|token| *token == Token::Percent)
        .filter(|at| *at > 0)?;
    let between = |token: &&Token| {
        is_one_of(&token.lower(), "of, my, your, the, max, maximum, maximal")
            || matches!(token, Token::Number(text) if text == "1")
    };
    let behind = piece.iter().skip(percent + 1).take_while(between).count();
    let at = percent + 1 + behind;
    is_measure(&lower(piece, at)).then(|| {
        let more = piece.iter().skip(at + 1).take_while(|t| goes_on(t)).count();
        (with_lead(piece, percent - 1), at + 1 + more)
    })
}

/// `at 160 bpm`
fn beats(piece: &[Token]) -> Option<(usize, usize)> {
    let at = (piece.iter()).position(|token| matches!(token.lower().as_str(), "bpm" | "beats"))?;
    let number = at
        .checked_sub(1)
        .filter(|at| piece.get(*at).is_some_and(Token::is_number))?;
    Some((with_lead(piece, number), at + 1))
}

/// `HRmax 85%`, `heart rate under 150`
fn named_first(piece: &[Token]) -> Option<(usize, usize)> {
    let at = piece.iter().position(|token| is_measure(&token.lower()))?;
    let leads = |token: &&Token| {
        goes_on(token)
            || is_one_of(
                &token.lower(),
                "at, of, under, below, above, about, around, is, up, to",
            )
    };
    let behind = piece.iter().skip(at + 1).take_while(leads).count();
    let number = at + 1 + behind;
    piece.get(number).filter(|token| token.is_number())?;
    match piece.get(number + 1) {
        None => Some((at, number + 1)),
        Some(next) if *next == Token::Percent || goes_on(next) => Some((at, number + 2)),
        Some(_) => None,
    }
}

/// `6 x 40 m 8% gradient`, `at 12 km/h 1%`: how steep it is, which is no share of a speed.
pub(super) fn gradient(piece: &[Token]) -> Option<(usize, usize)> {
    let at = (1..piece.len()).find(|at| piece.get(*at) == Some(&Token::Percent))?;
    let steep = number(piece, at - 1);
    let words = "gradient, incline, inclination, slope, hill, grade, uphill, downhill";
    let named = is_one_of(&lower(piece, at + 1), words);
    // `gradient of 8%`, `uphill 8%`
    let lead = with_lead(piece, at - 1);
    let lead = lead - usize::from(lead > 0 && is_one_of(&lower(piece, lead - 1), "of, is"));
    let told = lead > 0
        && is_one_of(&lower(piece, lead - 1), words)
        && steep.is_some_and(|percent| percent < STEEPEST_PERCENT);
    if told && !named {
        return Some((lead - 1, at + 1));
    }
    let number = piece.get(at - 1).is_some_and(Token::is_number);
    let speed = at > 1 && matches!(unit_of(&lower(piece, at - 2)), Some("km/h" | "m/s" | "mph"));
    (number && (named || speed)).then_some((with_lead(piece, at - 1), at + 1 + usize::from(named)))
}

/// `at 60 kg`
fn weight(piece: &[Token]) -> Option<(usize, usize)> {
    let at = (1..piece.len())
        .find(|at| is_one_of(&lower(piece, *at), "kg, kgs, kilo, kilos, lb, lbs"))?;
    piece.get(at - 1).filter(|token| token.is_number())?;
    Some((with_lead(piece, at - 1), at + 1))
}

/// `at 3:45`, behind a way without a unit.
fn pace_behind(piece: &[Token], at: usize) -> bool {
    lower(piece, at) == "at"
        && matches!(piece.get(at + 1), Some(Token::Number(text)) if text.contains(':'))
}

/// `200 m in 35 s`, `100 m @ 16 s`, `1 km at 4:00/km`: how fast on average, which is no speed that a rep reaches.
fn in_a_time(piece: &[Token]) -> Option<(usize, usize)> {
    const LEADS: [&str; 8] = [
        "in", "under", "inside", "within", "sub", "at", "below", "around",
    ];
    let number = |at: usize| piece.get(at).is_some_and(Token::is_number);
    let way = |at: usize| {
        number(at) && matches!(unit_of(&lower(piece, at + 1)), Some("m" | "yd"))
            || matches!(lower(piece, at).as_str(), "km" | "k" | "mile" | "miles")
            // `400 x 4 @ 75 s`
            || whole(piece, at).is_some_and(|metres| metres >= 100)
                && piece.get(at + 1) == Some(&Token::Times)
                && whole(piece, at + 2).is_some()
                && piece.get(at + 3).is_some_and(|lead| LEADS.contains(&lead.lower().as_str()))
            // `8 x 100 in 16 s`
            || number(at) && at > 0 && piece.get(at - 1) == Some(&Token::Times)
                && (lower(piece, at + 1) == "in" || pace_behind(piece, at + 1))
    };
    let pace = |word: &str| {
        ["/km", "/kms", "/k", "/mile", "/miles", "/mi"]
            .iter()
            .any(|each| word.ends_with(each))
    };
    if let Some(at) = (0..piece.len()).find(|at| pace(&lower(piece, *at))) {
        // `5 min/km`
        let apart = lower(piece, at).starts_with("min") && at > 0 && number(at - 1);
        let end = at + 1 + usize::from(lower(piece, at + 1) == "pace");
        return Some((with_lead(piece, at - usize::from(apart)), end));
    }
    // `at 3k pace`, `at 10 km pace`
    if let Some(at) = (1..piece.len()).find(|at| {
        lower(piece, at - 1) == "at"
            && number(*at)
            && is_one_of(&lower(piece, at + 1), "k, km, mile")
            && lower(piece, at + 2) == "pace"
    }) {
        return Some((at - 1, at + 3));
    }
    // `run 25 min at 5:30`
    if let [.., unit, at, Token::Number(text)] = piece
        && unit_of(&unit.lower()) == Some("min")
        && at.lower() == "at"
        && text.contains(':')
    {
        return Some((piece.len() - 2, piece.len()));
    }
    // `box to box x 10, under 15 s`
    let leads = piece.len().saturating_sub(2);
    let led = (piece.iter().take(leads))
        .all(|token| is_one_of(&token.lower(), "in, under, inside, within, sub, below"));
    if (1..3).contains(&leads) && led && seconds(piece, leads).is_some() {
        return Some((0, piece.len()));
    }
    let from = (1..piece.len()).find(|at| {
        LEADS.contains(&lower(piece, *at).as_str()) && number(at + 1) && (0..*at).any(way)
    })?;
    let lead = with_lead(piece, from);
    let end = match unit_of(&lower(piece, from + 2)) {
        Some("min") if number(from + 3) => {
            from + 4 + usize::from(unit_of(&lower(piece, from + 4)) == Some("s"))
        }
        Some("s" | "min") => from + 3,
        // `1 km at 4:00`
        None if matches!(piece.get(from + 1), Some(Token::Number(text)) if text.contains(':')) => {
            from + 2
        }
        // `1 km in 4`, `200 m in 32`
        None if from + 2 == piece.len()
            && !matches!(lower(piece, from).as_str(), "at" | "around") =>
        {
            from + 2
        }
        _ => return None,
    };
    Some((lead, end))
}

/// `last 5 min hard`: how its end is done.
fn at_its_end(piece: &[Token]) -> Option<(usize, usize)> {
    let the = usize::from(lower(piece, 0) == "the");
    let last = is_one_of(&lower(piece, the), "last, final");
    let timed = seconds(piece, the + 1).is_some();
    let words = (piece.iter().skip(the + 3)).all(|token| matches!(token, Token::Word { .. }));
    let says = piece.len() > the + 3;
    (last && timed && words && says).then_some((0, piece.len()))
}

/// `MD-2`, `RPE 7`, `zone 2`
fn day_or_zone(piece: &[Token]) -> Option<(usize, usize)> {
    (0..piece.len()).find_map(|at| {
        let word = lower(piece, at);
        let day = word.starts_with("md") && word.contains(|c: char| c.is_ascii_digit());
        let scale = matches!(word.as_str(), "rpe" | "zone" | "level" | "lvl");
        let next = piece.get(at + 1).is_some_and(Token::is_number);
        let end = lower(piece, at + 2);
        let alone = unit_of(&end).is_none() && piece.get(at + 2) != Some(&Token::Times);
        if day {
            return Some((at, at + 1));
        }
        (scale && next && alone).then(|| (with_lead(piece, at), at + 2))
    })
}

/// What a run-up is called.
const RUN_UPS: &str = "build, build up, buildup, build-up, run up, runup, run in, rolling start, lead in, roll in, acceleration zone";

/// `20 m build up`, beside a dose of its own: the run-up, which is no part of what is measured.
pub(super) fn run_ups(pieces: &mut Vec<Piece>, remarks: &mut Vec<String>) {
    let run_up = |piece: &Piece| {
        let words: Vec<String> = piece.iter().skip(2).map(Token::lower).collect();
        piece.first().is_some_and(Token::is_number)
            && matches!(unit_of(&lower(piece, 1)), Some("m" | "yd"))
            && is_one_of(&words.join(" "), RUN_UPS)
    };
    let dosed = pieces.iter().any(|piece| piece.contains(&Token::Times));
    if !dosed {
        return;
    }
    // `10 m fly with 20 m run in x 5`
    for piece in pieces.iter_mut() {
        let Some(at) = (2..piece.len()).find(|at| {
            is_one_of(&lower(piece, *at), "with, w/, w, from, after, off") && is_way(piece, at + 1)
        }) else {
            continue;
        };
        let words = |count: usize| {
            let words: Vec<String> = (piece.iter().skip(at + 3).take(count))
                .map(Token::lower)
                .collect();
            (words.len() == count && is_one_of(&words.join(" "), RUN_UPS)).then_some(count)
        };
        if let Some(count) = words(2).or_else(|| words(1)) {
            let taken: Vec<Token> = piece.drain(at..at + 3 + count).collect();
            remarks.push(text_of(taken.get(1..).unwrap_or_default()));
        }
    }
    pieces.retain(|piece| {
        let aside = run_up(piece);
        if aside {
            remarks.push(text_of(piece));
        }
        !aside
    });
}

/// `rest 2 min max`: what is at most so long is the rest.
fn rest_at_most(piece: &[Token]) -> Option<usize> {
    let most = |at: usize| is_one_of(&lower(piece, at), "max, maximum, tops");
    let timed = |at: usize| seconds(piece, at).is_some();
    (0..piece.len()).find(|at| {
        // `max rest 60 s`
        let leads = is_rest(&lower(piece, at + 1)) && timed(at + 2);
        let behind = *at > 2 && is_rest(&lower(piece, at - 3)) && timed(at - 2);
        let ahead = *at > 2 && is_rest(&lower(piece, at - 1)) && timed(at - 3);
        most(*at) && (behind || ahead || leads)
    })
}

/// `min 4 x 30 m`: the plan asks for so many, and more are welcome.
fn at_least(piece: &[Token]) -> Option<(usize, usize)> {
    (0..piece.len()).find_map(|at| {
        let least = matches!(lower(piece, at).as_str(), "min" | "minimum");
        let words = usize::from(!least) + 1;
        let least = least || lower(piece, at) == "at" && lower(piece, at + 1) == "least";
        let unit = at > 0 && piece.get(at - 1).is_some_and(Token::is_number);
        let dose = piece.get(at + words).is_some_and(Token::is_number)
            && piece.get(at + words + 1) == Some(&Token::Times);
        (least && dose && !unit).then_some((at, at + words))
    })
}

/// `without ball`: there is none unless the plan says so. `no goalkeepers`: a rule of the game.
fn without_ball(piece: &[Token]) -> Option<(usize, usize)> {
    const RULES: &str = "goalkeeper, goalkeepers, keeper, keepers, gk, gks, goals, offside, offsides, \
     tackling, tackles, contact, defender, defenders, opposition, pressure, bibs, \
     cones";
    (0..piece.len()).find_map(|from| {
        let lead = matches!(lower(piece, from).as_str(), "without" | "no" | "w/o");
        let article = matches!(lower(piece, from + 1).as_str(), "a" | "the" | "any");
        let ball = from + 1 + usize::from(article);
        let word = lower(piece, ball);
        let is_ball = matches!(word.as_str(), "ball" | "balls") || is_one_of(&word, RULES);
        (lead && is_ball).then_some((from, ball + 1))
    })
}
