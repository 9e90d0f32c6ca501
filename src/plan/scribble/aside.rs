//! What a line says that is for the player and no part of the plan: a heart rate, a share of what no recording shows, that
//! there is no ball.

use super::token::{Piece, Token, text_of};

/// Takes it out of a piece and keeps its words.
pub(super) fn take(piece: &mut Piece, remarks: &mut Vec<String>) {
    while let Some((from, to)) = share(piece)
        .or_else(|| beats(piece))
        .or_else(|| named_first(piece))
        .or_else(|| without_ball(piece))
    {
        let taken: Vec<Token> = piece.drain(from..to).collect();
        remarks.push(text_of(&taken));
    }
}

/// What a share is of that is not top speed: a heart rate, an uptake of oxygen, the speed at it, a lift.
fn is_measure(word: &str) -> bool {
    matches!(
        word,
        "hr" | "hrmax"
            | "maxhr"
            | "mhr"
            | "hrr"
            | "bpm"
            | "heart"
            | "heartrate"
            | "pulse"
            | "vo"
            | "vo2"
            | "vvo"
            | "mas"
            | "vma"
            | "vift"
            | "rm"
    )
}

/// Words that belong to such a measure behind it.
fn goes_on(token: &Token) -> bool {
    matches!(
        token.lower().as_str(),
        "rate" | "max" | "maximum" | "reserve" | "monitor" | "bpm"
    )
}

fn lower(piece: &[Token], at: usize) -> String {
    piece.get(at).map(Token::lower).unwrap_or_default()
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
        matches!(
            token.lower().as_str(),
            "of" | "my" | "your" | "the" | "max" | "maximum" | "maximal"
        ) || matches!(token, Token::Number(text) if text == "1")
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
            || matches!(
                token.lower().as_str(),
                "at" | "of" | "under" | "below" | "above" | "about" | "around" | "is" | "up" | "to"
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

/// `without ball`: there is none unless the plan says so. `no goalkeepers`: a rule of the game.
fn without_ball(piece: &[Token]) -> Option<(usize, usize)> {
    const RULES: [&str; 18] = [
        "goalkeeper",
        "goalkeepers",
        "keeper",
        "keepers",
        "gk",
        "gks",
        "goals",
        "offside",
        "offsides",
        "tackling",
        "tackles",
        "contact",
        "defender",
        "defenders",
        "opposition",
        "pressure",
        "bibs",
        "cones",
    ];
    (0..piece.len()).find_map(|from| {
        let lead = matches!(lower(piece, from).as_str(), "without" | "no" | "w/o");
        let article = matches!(lower(piece, from + 1).as_str(), "a" | "the" | "any");
        let ball = from + 1 + usize::from(article);
        let word = lower(piece, ball);
        let is_ball = matches!(word.as_str(), "ball" | "balls") || RULES.contains(&word.as_str());
        (lead && is_ball).then_some((from, ball + 1))
    })
}
