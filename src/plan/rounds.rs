//! `3 rounds of`, with an indented list of blocks below: the blocks stand in the plan once for each round.

use std::fmt;

use crate::plan::amount::time_text;
use crate::plan::{Block, Round};

/// The line above the list.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Rounds {
    /// How many times the list is done.
    pub times: u32,
    /// Rest between two rounds, s.
    pub between_s: Option<f64>,
    /// Rest after the last round, s.
    pub then_s: Option<f64>,
}

impl Rounds {
    /// Puts the blocks of a round into the plan as often as they are done.
    pub(crate) fn unroll(&self, list: &[Block], blocks: &mut Vec<Block>) {
        for number in 1..=self.times {
            for (index, block) in list.iter().enumerate() {
                let mut block = block.clone();
                if self.times > 1 {
                    block.round = Some(Round {
                        number,
                        of: self.times,
                    });
                }
                if index + 1 == list.len() {
                    let rest_s = if number < self.times {
                        self.between_s
                    } else {
                        self.then_s
                    };
                    block.then_s = rest_s.or(block.then_s);
                }
                blocks.push(block);
            }
        }
    }

    /// The rounds that begin with the first of these blocks, and how many blocks a round has.
    pub(crate) fn at(blocks: &[Block]) -> Option<(Self, usize)> {
        let first = blocks.first()?.round?;
        let length = blocks
            .iter()
            .take_while(|block| block.round == Some(Round { number: 1, ..first }))
            .count();
        let times = first.of as usize;
        let all = blocks.get(..length.checked_mul(times)?)?;
        let end_of = |round: usize| -> Option<f64> { all.get(round * length - 1)?.then_s };
        let rounds = Self {
            times: first.of,
            between_s: end_of(1),
            then_s: end_of(times),
        };
        let mut list = all.get(..length)?.to_vec();
        if let Some(last) = list.last_mut() {
            last.then_s = None;
        }
        let mut again = Vec::with_capacity(all.len());
        rounds.unroll(&list, &mut again);
        for (block, written) in again.iter_mut().zip(all) {
            block.line = written.line;
        }
        (length > 0 && first.number == 1 && again == all).then_some((rounds, length))
    }
}

impl fmt::Display for Rounds {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = if self.times == 1 { "round" } else { "rounds" };
        write!(f, "{} {word} of", self.times)?;
        if let Some(seconds) = self.between_s {
            write!(f, ", {} between rounds", time_text(seconds))?;
        }
        if let Some(seconds) = self.then_s {
            write!(f, ", then {}", time_text(seconds))?;
        }
        Ok(())
    }
}
