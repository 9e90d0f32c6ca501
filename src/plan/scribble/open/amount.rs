//! Amounts that are open: `3 x max`, `3 x 30 k`, sets of sets, ways without a unit, several speeds, one time for all.

use super::{NO_UNIT, Open, find, with};
use crate::plan::Category;
use crate::plan::near::is_one_of;
use crate::plan::scribble::kind::kind_of;
use crate::plan::scribble::token::{
    Piece, Token, is_way, lower, number, seconds, text_of, unit, whole,
};

/// From here on a way without its unit written out is no rep, m: `3 x 30 k`.
const FAR_KM: f64 = 10.0;

/// `press-ups 3 x max`, `pull-ups to failure x 3`: as many as one can, which is no amount.
pub(super) fn to_the_utmost(pieces: &[Piece]) -> Option<Open> {
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
pub(super) fn far(pieces: &[Piece]) -> Option<Open> {
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
pub(super) fn four_levels(pieces: &[Piece]) -> Option<Open> {
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

/// `30 m sprints 10x3`, `20 m sprint in 3 x 6`: sets and reps behind their way, of which either may stand first.
pub(super) fn sets_behind_a_way(pieces: &[Piece]) -> Option<Open> {
    let (index, at, led) = find(pieces, |piece, at| {
        let [one, other] = [at, at + 2].map(|at| whole(piece, at).is_some_and(|count| count < 31));
        let counts =
            one && other && piece.get(at + 1) == Some(&Token::Times) && piece.len() == at + 3;
        let figures = piece.iter().filter(|token| token.is_number()).count();
        let words = (piece.get(2..at)?.iter()).any(|token| matches!(token, Token::Word { .. }));
        (counts && figures == 3 && words && is_way(piece, 0))
            .then_some(lower(piece, at - 1) == "in")
    })?;
    let piece = pieces.get(index)?;
    let written = text_of(piece.get(at..)?);
    let (way, words) = (piece.get(..2)?, piece.get(2..at - usize::from(led))?);
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
        // `in 3 x 6` are rather three sets.
        meant.insert(usize::from(!led), line(&one, &other));
    }
    let message = format!("`{written}` may be sets of so many, or so many sets");
    Some(Open::new(message, written, meant))
}

/// `10 20 30 20 10 sprints`, `20/40/60 sprints`: a rep each, without the unit that is usual.
pub(super) fn ways_without_a_unit(pieces: &[Piece]) -> Option<Open> {
    const LEAST: usize = 3;
    if let Some(open) = list_without_a_unit(pieces) {
        return Some(open);
    }
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

/// `20/40/60 sprints, walk back`, in front of its noun, where no count says how often.
fn list_without_a_unit(pieces: &[Piece]) -> Option<Open> {
    let (index, at, ()) = find(pieces, |piece, at| {
        let list = piece.get(at).is_some_and(Token::is_list);
        let noun = is_one_of(
            &lower(piece, at + 1),
            "sprint, sprints, accelerations, accels",
        );
        (at == 0 && list && noun && !piece.contains(&Token::Times)).then_some(())
    })?;
    let written = text_of(pieces.get(index)?.get(at..=at)?);
    let message = format!("`{written}` {NO_UNIT}; metres are usual");
    let metres = with(pieces, index, at + 1..at + 1, &[Token::word("m")]);
    Some(Open::new(message, written, vec![metres]))
}

/// `4 x 60 m at 70/80/90/100%`: a speed for each rep, of which a block has one.
pub(super) fn a_speed_each(pieces: &[Piece]) -> Option<Open> {
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
        return Some(Open::new(message, written.clone(), all.to_vec()).with_remark(written));
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
pub(super) fn time_for_all(pieces: &[Piece]) -> Option<Open> {
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
