//! Words that leave open what is meant, each meaning of which is offered: `rest 60`, `w/b`, `3 x max`, `30 m (5)`.

use super::ask::question;
use super::cutter::cut;
use super::kind::kind_of;
use super::meaning::{Around, Scribble};
use super::phrase::counts;
use super::slip::lines_of;
use super::token::{Piece, Token, is_amount, is_way, lower, number, seconds, text_of, unit, whole};
use super::{floats, gait, protocol, several_ways, stations, turned, unsaid, ways};
use crate::plan::Category;
use crate::plan::near::is_one_of;
use crate::plan::word::{is_double_quote, letters};

/// From here on a way without its unit written out is no rep, m: `3 x 30 k`.
const FAR_KM: f64 = 10.0;
/// Said of a rest without a unit.
pub(in crate::plan) const NO_UNIT: &str = "has no unit";
/// Below it a rest without a unit is in minutes.
const LEAST_S: f64 = 10.0;

/// What is open in a line, and the pieces as they may be meant, the likelier first.
pub(super) struct Open {
    pub message: String,
    pub written: String,
    pub meant: Vec<Vec<Piece>>,
    /// So many rounds of what is meant first are offered as well.
    rounds: Option<u32>,
    /// All that is meant is done one after the other.
    in_turn: bool,
    /// What is kept of the words behind each line.
    remark: Option<String>,
    /// What else all of it may be, in one.
    or_else: Option<Vec<Piece>>,
}

impl Open {
    pub(super) fn new(message: String, written: String, meant: Vec<Vec<Piece>>) -> Self {
        Self {
            message,
            written,
            meant,
            rounds: None,
            in_turn: false,
            remark: None,
            or_else: None,
        }
    }

    /// The same, with words that are kept behind each line.
    pub(super) fn with_remark(self, remark: String) -> Self {
        Self {
            remark: Some(remark),
            ..self
        }
    }

    /// The same, which may be this as well.
    pub(super) fn or(self, or_else: Option<Vec<Piece>>) -> Self {
        Self { or_else, ..self }
    }

    /// All that is meant is done one after the other.
    pub(super) fn in_turn(message: String, written: String, meant: Vec<Vec<Piece>>) -> Self {
        Self {
            in_turn: true,
            ..Self::new(message, written, meant)
        }
    }
}

/// Asks about the first thing that is open. `None` where nothing is, or no meaning of it makes a line.
pub(super) fn asked(pieces: &[Piece], content: &str, around: Around<'_>) -> Option<Scribble> {
    let open = to_the_utmost(pieces)
        .or_else(|| far(pieces))
        .or_else(|| four_levels(pieces))
        .or_else(|| protocol::tabata_in_a_time(pieces))
        .or_else(|| protocol::shuttle_by_its_ways(pieces))
        .or_else(|| protocol::half_on_each_side(pieces))
        .or_else(|| protocol::shuttle_run_test(pieces))
        .or_else(|| floats::in_one_rep(pieces))
        .or_else(|| floats::in_turn(pieces))
        .or_else(|| floats::out_and_back(pieces))
        .or_else(|| floats::ways_of_a_rep(pieces))
        .or_else(|| sets_behind_a_way(pieces))
        .or_else(|| ways_without_a_unit(pieces))
        .or_else(|| a_speed_each(pieces))
        .or_else(|| unsaid::low_share(pieces))
        .or_else(|| unsaid::a_few(pieces))
        .or_else(|| unsaid::compared(pieces))
        .or_else(|| unsaid::of_what(pieces))
        .or_else(|| walk_or_ball(pieces))
        .or_else(|| time_behind_a_count(pieces))
        .or_else(|| on_a_time(pieces))
        .or_else(|| turned::ways_of_one_rep(pieces))
        .or_else(|| turned::there_in_brackets(pieces))
        .or_else(|| stations::counted(pieces))
        .or_else(|| several_ways::with_one_count(pieces))
        .or_else(|| time_for_all(pieces))
        .or_else(|| sides_without_a_length(pieces, around))
        .or_else(|| left_and_right(pieces))
        .or_else(|| time_at_the_end(pieces))
        .or_else(|| rests_without_a_unit(pieces))?;
    let mut each = (open.meant.into_iter()).map(|pieces| lines_of(pieces, content, around));
    let mut lines = Vec::new();
    if open.in_turn {
        let each: Vec<Vec<String>> = each.collect();
        let least = each.iter().map(Vec::len).min()?;
        for index in 0..least {
            let row: Vec<&str> = (each.iter())
                .filter_map(|lines| Some(lines.get(index)?.as_str()))
                .collect();
            lines.push(row.join("\n"));
        }
    } else {
        if let Some(rounds) = open.rounds {
            let rows = each.next()?.into_iter().filter(|_| !around.inside);
            lines.extend(rows.map(|line| format!("{rounds} rounds of\n  {line}")));
        }
        lines.extend(each.flatten());
    }
    let other = open.or_else.map(|pieces| lines_of(pieces, content, around));
    lines.extend(other.into_iter().flatten());
    if let Some(remark) = &open.remark {
        let plain = lines.iter_mut().filter(|line| !line.contains("  # "));
        plain.for_each(|line| *line = format!("{line}  # {remark}"));
    }
    question(open.message, Some(open.written), lines)
}

/// The pieces with what stands at a place of one of them replaced.
pub(super) fn with(
    pieces: &[Piece],
    index: usize,
    at: std::ops::Range<usize>,
    put: &[Token],
) -> Vec<Piece> {
    let mut out = pieces.to_vec();
    if let Some(piece) = out.get_mut(index) {
        piece.splice(at, put.iter().cloned());
    }
    out.retain(|piece| !piece.is_empty());
    out
}

/// The first place of the pieces where something stands.
pub(super) fn find<T>(
    pieces: &[Piece],
    at: impl Fn(&[Token], usize) -> Option<T>,
) -> Option<(usize, usize, T)> {
    (pieces.iter().enumerate()).find_map(|(index, piece)| {
        (0..piece.len()).find_map(|place| Some((index, place, at(piece, place)?)))
    })
}

/// `press-ups 3 x max`, `pull-ups to failure x 3`: as many as one can, which is no amount.
fn to_the_utmost(pieces: &[Piece]) -> Option<Open> {
    const UTMOST: &str = "max, maximum, failure, exhaustion, amrap";
    let kind = kind_of(&pieces.concat());
    let amounts: &[(&str, &str)] = match () {
        () if kind.is(Category::Gym) || kind.is(Category::Technical) => {
            &[("10", "reps"), ("30", "s")]
        }
        () if kind.is(Category::Speed) => &[("30", "m")],
        () => &[("30", "s"), ("30", "m")],
    };
    let amount =
        |(amount, unit): &(&str, &str)| [Token::Number((*amount).to_owned()), Token::word(unit)];
    let flat_out = || ["flat", "out"].map(Token::word).to_vec();
    let message = |written: &str| format!("`{written}` does not say how much");
    let behind = find(pieces, |piece, at| {
        let counted = at > 1 && piece.get(at - 1) == Some(&Token::Times);
        let ends = piece.get(at + 1).is_none() || seconds(piece, at + 1).is_some();
        let word = is_one_of(&lower(piece, at), UTMOST);
        (counted && number(piece, at - 2).is_some() && word && ends).then_some(())
    });
    if let Some((index, at, ())) = behind {
        let piece = pieces.get(index)?;
        let written = text_of(piece.get(at - 2..=at)?);
        let rest = piece.get(at + 1..)?.to_vec();
        let meant = (amounts.iter())
            .map(|each| {
                let mut out = with(pieces, index, at..piece.len(), &amount(each));
                out.insert(index + 1, flat_out());
                out.insert(index + 2, rest.clone());
                out.retain(|piece| !piece.is_empty());
                out
            })
            .collect();
        return Some(Open::new(message(&written), written, meant));
    }
    // What is lifted so: a sprint flat out is run over its way.
    let (index, at, ()) = find(pieces, |piece, at| {
        let numbers = piece.iter().filter(|token| token.is_number()).count();
        let last = matches!(piece.get(at..), Some([Token::Times, Token::Number(_)]));
        let said = piece.iter().any(|token| is_one_of(&token.lower(), UTMOST));
        (last && numbers == 1 && said && kind.is(Category::Gym)).then_some(())
    })?;
    let piece = pieces.get(index)?;
    let written = text_of(piece);
    let sets = piece.get(at + 1)?.clone();
    let named: Vec<Token> = (piece.iter().take(at))
        .filter(|token| !is_one_of(&token.lower(), "max, maximum"))
        .cloned()
        .collect();
    let meant = (amounts.iter())
        .map(|each| {
            let dose = [
                named.clone(),
                vec![sets.clone(), Token::Times],
                amount(each).to_vec(),
            ];
            let mut out = with(pieces, index, 0..piece.len(), &dose.concat());
            out.insert(index + 1, flat_out());
            out
        })
        .collect();
    Some(Open::new(message(&written), written, meant))
}

/// `speed 3 x 30 k`
fn far(pieces: &[Piece]) -> Option<Open> {
    let (index, at, ()) = find(pieces, |piece, at| {
        let counted = at > 0 && piece.get(at - 1) == Some(&Token::Times);
        let far = number(piece, at).is_some_and(|way| way >= FAR_KM);
        (counted && far && is_one_of(&lower(piece, at + 1), "k, km, kms")).then_some(())
    })?;
    let written = text_of(pieces.get(index)?.get(at..at + 2)?);
    let metres = with(pieces, index, at + 1..at + 2, &[Token::word("m")]);
    let message = format!("`{written}` is far for a rep; metres are usual");
    Some(Open::new(message, written, vec![metres, pieces.to_vec()]))
}

/// `2 x 3 x 4 x 20 m`: rounds of sets of reps, or all sets in one.
fn four_levels(pieces: &[Piece]) -> Option<Open> {
    let (index, at, (rounds, sets)) = find(pieces, |piece, at| {
        let times = |at: usize| piece.get(at) == Some(&Token::Times);
        let level = |at: usize| whole(piece, at).filter(|count| (1..100).contains(count));
        let (rounds, sets) = (level(at)?, level(at + 2)?);
        let reps = level(at + 4).is_some() && number(piece, at + 6).is_some();
        (times(at + 1) && times(at + 3) && times(at + 5) && reps).then_some((rounds, sets))
    })?;
    let piece = pieces.get(index)?;
    let end = at + 7 + usize::from(unit(piece, at + 7).is_some());
    let written = text_of(piece.get(at..end)?);
    let inner = with(pieces, index, at..at + 2, &[]);
    let all = [Token::Number((rounds * sets).to_string())];
    let all = with(pieces, index, at..at + 3, &all);
    Some(Open {
        rounds: Some(rounds),
        ..Open::new(
            format!("`{written}` has more than sets and reps"),
            written,
            vec![inner, all],
        )
    })
}

/// `30 m sprints 10x3`: sets and reps behind their way, of which either may stand first.
fn sets_behind_a_way(pieces: &[Piece]) -> Option<Open> {
    let (index, at, ()) = find(pieces, |piece, at| {
        let [one, other] = [at, at + 2].map(|at| whole(piece, at).is_some_and(|count| count < 31));
        let counts =
            one && other && piece.get(at + 1) == Some(&Token::Times) && piece.len() == at + 3;
        let figures = piece.iter().filter(|token| token.is_number()).count();
        let words = (piece.get(2..at)?.iter()).any(|token| matches!(token, Token::Word { .. }));
        (counts && figures == 3 && words && is_way(piece, 0)).then_some(())
    })?;
    let piece = pieces.get(index)?;
    let written = text_of(piece.get(at..)?);
    let (way, words) = (piece.get(..2)?, piece.get(2..at)?);
    let (one, other) = (piece.get(at)?.clone(), piece.get(at + 2)?.clone());
    let line = |sets: &Token, reps: &Token| {
        let count = [sets.clone(), Token::Times, reps.clone(), Token::Times];
        with(
            pieces,
            index,
            0..piece.len(),
            &[words, &count, way].concat(),
        )
    };
    let mut meant = vec![line(&other, &one)];
    if one != other {
        meant.push(line(&one, &other));
    }
    let message = format!("`{written}` may be sets of so many, or so many sets");
    Some(Open::new(message, written, meant))
}

/// `10 20 30 20 10 sprints`: a rep each, without the unit that is usual.
fn ways_without_a_unit(pieces: &[Piece]) -> Option<Open> {
    const LEAST: usize = 3;
    let (index, at, many) = find(pieces, |piece, at| {
        let ways = (piece.iter().skip(at))
            .take_while(|token| matches!(token, Token::Number(text) if text.parse::<u32>().is_ok_and(|way| (5..=200).contains(&way))))
            .count();
        let counted = at > 0 && piece.get(at - 1) == Some(&Token::Times);
        let named = matches!(piece.get(at + ways), None | Some(Token::Word { .. }));
        (ways >= LEAST && !counted && named && unit(piece, at + ways).is_none()).then_some(ways)
    })?;
    let kind = kind_of(&pieces.concat());
    if !kind.is(Category::Speed) && !kind.is(Category::Strength) {
        return None;
    }
    let ways = pieces.get(index)?.get(at..at + many)?;
    let written = text_of(ways);
    let put = [Token::Number(written.replace(' ', "-")), Token::word("m")];
    let message = format!("`{written}` {NO_UNIT}; metres are usual");
    Some(Open::new(
        message,
        written,
        vec![with(pieces, index, at..at + many, &put)],
    ))
}

/// `4 x 60 m at 70/80/90/100%`: a speed for each rep, of which a block has one.
fn a_speed_each(pieces: &[Piece]) -> Option<Open> {
    let (index, at, shares) = find(pieces, |piece, at| {
        let Token::Number(text) = piece.get(at)? else {
            return None;
        };
        let shares: Vec<String> = (text.split(['/', '-', ',', '\u{2013}']))
            .map(str::to_owned)
            .collect();
        let percent = piece.get(at + 1) == Some(&Token::Percent);
        (percent && shares.len() > 2 && shares.iter().all(|share| share.parse::<f64>().is_ok()))
            .then_some(shares)
    })?;
    let written = text_of(pieces.get(index)?.get(at..at + 2)?);
    let message = format!("`{written}` are several speeds; the reps of a block have one");
    // `sprint 60 m at 85/90/95/100%`: one at each.
    let counted = pieces.iter().any(|piece| piece.contains(&Token::Times));
    let way = find(pieces, |piece, at| is_way(piece, at).then_some(()));
    if let (false, Some((dose, from, ()))) = (counted, way) {
        let once = [Token::Number("1".to_owned()), Token::Times];
        // What stands behind goes first, so that the other's place stays.
        let meant = (shares.into_iter())
            .map(|share| {
                let out = with(pieces, index, at..at + 1, &[Token::Number(share)]);
                with(&out, dose, from..from, &once)
            })
            .collect();
        return Some(Open::in_turn(message, written, meant));
    }
    // So many reps at each, where they can be shared out.
    let (dose, count, reps) = find(pieces, |piece, at| {
        let counted = piece.get(at + 1) == Some(&Token::Times) && number(piece, at + 2).is_some();
        whole(piece, at).filter(|_| counted)
    })?;
    let many = u32::try_from(shares.len()).ok()?;
    let each = reps / many;
    if each == 0 || reps % many != 0 {
        let ends = [shares.first()?.clone(), shares.last()?.clone()];
        let all = ends.map(|share| with(pieces, index, at..at + 1, &[Token::Number(share)]));
        return Some(Open::new(message, written, all.to_vec()));
    }
    let meant = (shares.into_iter())
        .map(|share| {
            let put = [Token::Number(share)];
            let out = with(pieces, index, at..at + 1, &put);
            with(
                &out,
                dose,
                count..count + 1,
                &[Token::Number(each.to_string())],
            )
        })
        .collect();
    Some(Open::in_turn(message, written, meant))
}

/// `20 x 20 m in 4 min`: nobody takes so long for one, so all are done in that time, each begun as often as fits.
fn time_for_all(pieces: &[Piece]) -> Option<Open> {
    // Slower than any walk, m/s.
    const SLOWEST_M_S: f64 = 0.8;
    let (index, at, all_s) = find(pieces, |piece, at| {
        let all_s = (lower(piece, at) == "in").then(|| seconds(piece, at + 1))??;
        (at + 3 == piece.len()).then_some(all_s)
    })?;
    let piece = pieces.get(index)?;
    let dose = (0..at).find(|dose| {
        whole(piece, *dose).is_some()
            && piece.get(dose + 1) == Some(&Token::Times)
            && unit(piece, dose + 3) == Some("m")
    })?;
    let (count, way_m) = (whole(piece, dose)?, number(piece, dose + 2)?);
    let each_s = all_s / f64::from(count);
    if all_s <= way_m / SLOWEST_M_S || each_s < 1.0 || count < 2 {
        return None;
    }
    let written = text_of(piece.get(at..)?);
    let without = with(pieces, index, at..piece.len(), &[]);
    let mut every = without.clone();
    let time = Token::Number(((10.0 * each_s).round() / 10.0).to_string());
    every.insert(
        index + 1,
        vec![Token::word("every"), time, Token::word("s")],
    );
    let message = format!("`{written}` is long for one rep; all may be done in it");
    Some(Open::new(message, written, vec![every, without]))
}

/// `sprint length jog width x 6`, where the plan has no pitch.
fn sides_without_a_length(pieces: &[Piece], around: Around<'_>) -> Option<Open> {
    let mut meant = pieces.to_vec();
    let written = ways::sides_of_moves(&mut meant, around.pitch)?;
    let message = format!("`{written}` has no length here; that of a usual pitch is put");
    Some(Open::new(message, written, vec![meant]))
}

/// `2 x 10 passes L/R`: so many on each side, or in turn.
fn left_and_right(pieces: &[Piece]) -> Option<Open> {
    let (index, at, ()) = find(pieces, |piece, at| {
        let both = [lower(piece, at), lower(piece, at + 1)].join("/");
        is_one_of(&both, "l/r, r/l, left/right, right/left").then_some(())
    })?;
    if !pieces.iter().any(|piece| counts(piece)) {
        return None;
    }
    let written = text_of(pieces.get(index)?.get(at..at + 2)?).replace(' ', "/");
    let without = with(pieces, index, at..at + 2, &[]);
    let mut each = without.clone();
    let dose = (each.iter_mut()).find(|piece| counts(piece))?;
    dose.extend(["each", "side"].map(Token::word));
    let message = format!("`{written}` may be so many on each side, or in all");
    Some(Open::new(message, written, vec![each, without]))
}

/// `2 x 6 x 20 m, 40 s rest, 3 min`: between sets, or behind the block.
fn time_at_the_end(pieces: &[Piece]) -> Option<Open> {
    let (last, ahead) = pieces.split_last()?;
    let times = |piece: &Piece| piece.iter().filter(|token| **token == Token::Times).count();
    // `2 x 5-10-15 m` are sets as well.
    let listed = |piece: &Piece| piece.iter().any(Token::is_list);
    let said = |piece: &Piece| piece.len() == 2 && unit(piece, 1) == Some("sets");
    let sets =
        (ahead.iter()).any(|piece| times(piece) == 1 + usize::from(!listed(piece)) || said(piece));
    let rests = |piece: &Piece| {
        let walks = gait::is_gait(&lower(piece, 0)) && lower(piece, 1) == "back";
        if walks && piece.len() == 2 {
            return true;
        }
        let timed = (0..piece.len()).any(|at| seconds(piece, at).is_some());
        timed
            && piece
                .iter()
                .any(|token| is_one_of(&token.lower(), "rest, recovery, rec, r, off"))
    };
    if last.len() != 2
        || seconds(last, 0).is_none()
        || !sets
        || !(ahead.iter())
            .rfind(|piece| !said(piece))
            .is_some_and(rests)
    {
        return None;
    }
    let written = text_of(last);
    let between = [last.clone(), ["between", "sets"].map(Token::word).to_vec()].concat();
    let then = [vec![Token::word("then")], last.clone()].concat();
    let meant = [between, then].map(|rest| [ahead.to_vec(), vec![rest]].concat());
    let message = format!("`{written}` may lie between the sets, or behind the block");
    Some(Open::new(message, written, meant.to_vec()))
}

/// `8 x 15 m, w/b`
fn walk_or_ball(pieces: &[Piece]) -> Option<Open> {
    let (index, at, ()) = find(pieces, |piece, at| {
        (lower(piece, at) == "w/b").then_some(())
    })?;
    let meant = [["walk", "back"], ["with", "ball"]].map(|words| {
        let mut out = with(pieces, index, at..at + 1, &[]);
        // Where it stood alone, its piece is gone.
        let behind = (index + 1).min(out.len());
        out.insert(behind, words.map(Token::word).to_vec());
        out
    });
    let message = "`w/b` may be `walk back` or `with ball`".to_owned();
    Some(Open::new(message, "w/b".to_owned(), meant.to_vec()))
}

/// `sprint the diagonals x 6 60 s`: a rest behind so many, or the time of each.
fn time_behind_a_count(pieces: &[Piece]) -> Option<Open> {
    let (index, at, ()) = find(pieces, |piece, at| {
        let counted = at > 1
            && piece.get(at - 1) == Some(&Token::Times)
            && matches!(piece.get(at - 2), Some(Token::Word { .. }))
            && unit(piece, at - 2).is_none();
        let timed = whole(piece, at).is_some() && seconds(piece, at + 1).is_some();
        (counted && timed && at + 3 == piece.len()).then_some(())
    })?;
    let piece = pieces.get(index)?;
    let time = piece.get(at + 1..)?.to_vec();
    let written = text_of(&time);
    let mut rested = with(pieces, index, at + 1..at + 3, &[]);
    rested.insert(
        index + 1,
        [vec![Token::word("rest")], time.clone()].concat(),
    );
    let dose = [vec![piece.get(at)?.clone(), Token::Times], time].concat();
    let worked = with(pieces, index, at - 1..at + 3, &dose);
    let message = format!("`{written}` may be the rest, or how long each takes");
    Some(Open::new(message, written, vec![rested, worked]))
}

/// `10 x 20 m on 30 s`: one sets off so often.
fn on_a_time(pieces: &[Piece]) -> Option<Open> {
    let (index, at, length) = find(pieces, |piece, at| {
        let on = at > 0 && lower(piece, at) == "on" && seconds(piece, at - 2.min(at)).is_none();
        let length = usize::from(lower(piece, at + 1) == "the") + 1;
        let timed = seconds(piece, at + length).is_some() && at + length + 2 == piece.len();
        // `on 30`: seconds are usual.
        let bare = whole(piece, at + length).is_some_and(|time| time >= 10);
        let timed = timed || bare && at + length + 1 == piece.len();
        let ahead = piece.get(..at).unwrap_or_default();
        (on && timed && ahead.contains(&Token::Times) && counts(ahead)).then_some(length)
    })?;
    let mut time = pieces.get(index)?.get(at + length..)?.to_vec();
    let written = text_of(pieces.get(index)?.get(at..)?);
    let ends = at + length + time.len();
    if time.len() == 1 {
        time.push(Token::word("s"));
    }
    let meant = ["every", "rest"].map(|word| {
        let mut out = with(pieces, index, at..ends, &[]);
        out.insert(index + 1, [vec![Token::word(word)], time.clone()].concat());
        out
    });
    let message = format!("`{written}` may be when each begins, or the rest");
    Some(Open::new(message, written, meant.to_vec()))
}

/// `rest 60`, `R2`, `rest 1m`, `rest 1.30`: seconds or minutes, as is usual for so many.
fn rests_without_a_unit(pieces: &[Piece]) -> Option<Open> {
    if !pieces.iter().any(|piece| counts(piece)) {
        return None;
    }
    let mut out = pieces.to_vec();
    let mut first = None;
    for piece in &mut out {
        // `90 off` has its word behind it.
        let alone = piece.len() == 2 && piece.first().is_some_and(Token::is_number);
        let mut at = usize::from(!alone);
        while at < piece.len() {
            if let Some((taken, put, usual)) = rest_without_a_unit(piece, at) {
                let written = text_of(
                    piece
                        .get(at.saturating_sub(1)..at + taken)
                        .unwrap_or_default(),
                );
                first.get_or_insert((written, usual));
                piece.splice(at..at + taken, put);
            }
            at += 1;
        }
    }
    let (written, usual) = first?;
    let message = format!("`{written}` {NO_UNIT}; {usual} are usual");
    Some(Open::new(message, written, vec![out]))
}

/// How many tokens a rest without a unit takes at a place, the time in their place, and what is usual.
fn rest_without_a_unit(piece: &[Token], at: usize) -> Option<(usize, [Token; 2], &'static str)> {
    let ahead = at
        .checked_sub(1)
        .map_or_else(String::new, |at| lower(piece, at));
    let led = is_one_of(&ahead, "r, rest, rests, rec, recovery, pause, break, sr");
    let Token::Number(text) = piece.get(at)? else {
        return None;
    };
    let metres = usize::from(matches!(lower(piece, at + 1).as_str(), "m"));
    let behind = lower(piece, at + 1 + metres);
    // `30 rest`
    let behind_it = is_one_of(&lower(piece, at + 1), "rest, rec, recovery, off, break");
    let led = led || (ahead == "with" || at == 0) && behind_it;
    let ends = piece.get(at + 1 + metres).is_none()
        || is_one_of(&behind, "between, r, rest, rec")
        || at == 0 && behind_it;
    if !led || !ends {
        return None;
    }
    let time = |time: String, unit: &str| [Token::Number(time), Token::word(unit)];
    // `1.30` is how a watch shows it.
    let clock = text
        .split_once(['.', ','])
        .filter(|(_, part)| part.len() == 2);
    if let Some((minutes, part)) = clock {
        let (minutes, part): (u32, u32) = (minutes.parse().ok()?, part.parse().ok()?);
        if minutes >= 60 || part >= 60 {
            return None;
        }
        let seconds = time((60 * minutes + part).to_string(), "s");
        return Some((1 + metres, seconds, "minutes and seconds"));
    }
    let value = number(piece, at).filter(|value| *value > 0.0)?;
    let (unit, usual) = if value < LEAST_S {
        ("min", "minutes")
    } else if metres == 0 {
        ("s", "seconds")
    } else {
        return None;
    };
    Some((1 + metres, time(text.clone(), unit), usual))
}

/// `30 m sprints (5)`, `30 m (3), 20 m (4)`: numbers alone in brackets may be how often. The line with them so, and the first bracket.
pub(super) fn count_in_brackets(content: &str) -> Option<(String, String)> {
    let (mut text, mut written) = (String::new(), None);
    let mut rest = content;
    while let Some((ahead, behind)) = rest.split_once('(') {
        let (within, after) = behind.split_once(')')?;
        let count: u32 = within.trim().parse().ok()?;
        let (work, _) = cut(ahead)?;
        let measured = work.iter().any(|piece| piece.windows(2).any(is_amount));
        let counted = work.iter().any(|piece| counts(piece));
        if !(2..=60).contains(&count) || !measured || counted {
            return None;
        }
        text.extend([ahead, "x ", within.trim()]);
        written.get_or_insert_with(|| format!("({within})"));
        rest = after;
    }
    let (more, _) = cut(rest)?;
    let counted = more.iter().any(|piece| counts(piece));
    text.push_str(rest);
    Some((text, written.filter(|_| !counted)?))
}

/// `rest 1.30 min`: 1 min 30 s, as a watch shows it, or hundredths of a minute. The line as both, and the time as it was written.
pub(super) fn hundredths(content: &str) -> Option<([String; 2], String)> {
    let chars: Vec<(usize, char)> = content.char_indices().collect();
    let digit = |at: usize| chars.get(at).is_some_and(|(_, c)| c.is_ascii_digit());
    let (from, to) = (0..chars.len()).find_map(|at| {
        let alone = at == 0
            || !chars.get(at - 1).is_some_and(|(_, c)| {
                c.is_alphanumeric() || matches!(c, '.' | ',' | ':' | '-' | '/')
            });
        let mark = at + 1 + usize::from(digit(at + 1));
        let comma = chars.get(mark).is_some_and(|(_, c)| matches!(c, '.' | ','));
        (alone && digit(at) && comma && digit(mark + 1) && digit(mark + 2) && !digit(mark + 3))
            .then_some((at, mark + 3))
    })?;
    let place = |at: usize| chars.get(at).map_or(content.len(), |(place, _)| *place);
    let tail = content.get(place(to)..)?;
    let blanks = tail.len() - tail.trim_start().len();
    let word = letters(tail.trim_start());
    if crate::plan::phrase::unit_of(&word.to_lowercase()) != Some("min") {
        return None;
    }
    let (minutes, part) = content
        .get(place(from)..place(to))?
        .split_once(['.', ','])?;
    let (minutes, part): (u32, u32) = (minutes.parse().ok()?, part.parse().ok()?);
    // `1.50 min` may be as well; `1.75 min` shows no watch.
    if part == 0 || part >= 60 {
        return None;
    }
    let end = place(to) + blanks + word.len();
    let ahead = content.get(..place(from))?;
    let behind = content.get(end..)?;
    // `4.30 min/km` is a pace, and a name in quotes is no time.
    let quoted = ahead.chars().filter(|c| is_double_quote(*c)).count() % 2 == 1;
    if behind.starts_with('/') || quoted {
        return None;
    }
    let seconds = [
        60.0 * f64::from(minutes) + f64::from(part),
        60.0 * f64::from(minutes) + 0.6 * f64::from(part),
    ];
    let lines = seconds.map(|seconds| format!("{ahead}{seconds} s{behind}"));
    Some((lines, content.get(place(from)..end)?.to_owned()))
}

/// `on the :30`: the lines of each way in which a clock can start a rep, and the words as they were written.
pub(super) fn on_the_clock(content: &str) -> Option<([String; 2], String)> {
    let lower = content.to_ascii_lowercase();
    let (from, lead) = ["on the :", "on :", "at the :", "at :"]
        .iter()
        .find_map(|lead| {
            // A word of its own: no `station :30`, no `squat :30`.
            let mut starts = lower.match_indices(lead).map(|(from, _)| from);
            let from = starts.find(|from| {
                (lower.get(..*from)).is_some_and(|ahead| !ahead.ends_with(char::is_alphanumeric))
            })?;
            Some((from, lead))
        })?;
    let ahead = content.get(..from)?;
    let behind = content.get(from + lead.len()..)?;
    let after = behind.trim_start_matches(|c: char| c.is_ascii_digit());
    let digits = behind.get(..behind.len() - after.len())?;
    let seconds: u32 = digits
        .parse()
        .ok()
        .filter(|seconds| (1..60).contains(seconds))?;
    let ends = after.is_empty() || after.starts_with([' ', ',', ';', '.']);
    let written = content
        .get(from..from + lead.len() + digits.len())?
        .to_owned();
    let every = |seconds: u32| {
        format!(
            "{}, every {seconds} s{after}",
            ahead.trim_end_matches([' ', ','])
        )
    };
    (ends && digits.len() == 2).then(|| ([every(seconds), every(60)], written))
}
