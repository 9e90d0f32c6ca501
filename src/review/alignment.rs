//! Alignment: items of the plan paired with bouts in order, by dynamic programming.
//!
//! A *node* is an item paired with a candidate. A path through nodes, with items and time increasing, says which items
//! were done by which bouts; what it passes over is missing or a stray bout. The costs are negative log-likelihoods, so the
//! path of least cost is the likeliest account, and the sum of `exp(-cost)` over all paths through a node, over that of
//! all paths, is the node's posterior probability ([`crate::review::ambiguity`]).
//!
//! With a constant cost for what is passed over and no other structure this is the alignment of Needleman and Wunsch
//! (1970), J Mol Biol 48:443, 10.1016/0022-2836(70)90057-4; a test holds it to a search through all alignments.

use std::cell::OnceCell;

/// What may pair with what, and at what cost. Costs are in nats; `None` is impossible.
pub trait Problem {
    /// What is known of two items that follow each other, whichever candidates they pair with.
    type Link;
    /// How many items.
    fn items(&self) -> usize;
    /// How many candidates.
    fn candidates(&self) -> usize;
    /// The kind of each item, from 0: items of one kind pair with a candidate at the same cost.
    fn kind(&self, item: usize) -> usize;
    /// The cost of pairing an item with a candidate.
    fn pair(&self, item: usize, candidate: usize) -> Option<f64>;
    /// The items that are worth pairing with a candidate, increasing; `None` where that is not known.
    fn worth(&self, candidate: usize) -> Option<&[usize]>;
    /// No path begins with a pairing at a lower cost than this, that of the pairing included.
    fn least_begin(&self) -> f64;
    /// The items that may come directly before an item, all earlier items between being missing.
    fn before(&self, item: usize) -> Vec<(usize, Self::Link)>;
    /// When a candidate starts, and when it stops, s.
    fn span_s(&self, candidate: usize) -> (f64, f64);
    /// How long before the later item of a link the earlier may stop, s.
    fn reach_s(&self, link: &Self::Link) -> f64;
    /// The candidates that may come before `candidate` in a path and stop at most so long before it starts, as a half-open
    /// range of candidate indices.
    fn window(&self, reach_s: f64, candidate: usize) -> (usize, usize);
    /// No step of a link costs less than this.
    fn least(&self, link: &Self::Link) -> f64;
    /// No step of a link into a candidate costs less than this, from where up to `passed_over` was passed over.
    fn least_from(&self, link: &Self::Link, passed_over: f64, to: usize) -> f64;
    /// The cost of the later item's pairing directly following the earlier's, by their candidates; `None` also where it is
    /// dearer than `within`, which need not be worked out to the end.
    fn step(&self, link: &Self::Link, from: usize, to: usize, within: f64) -> Option<f64>;
    /// The cost of a path that begins with this pairing.
    fn first(&self, item: usize, candidate: usize) -> f64;
    /// The cost of a path that ends with this pairing.
    fn last(&self, item: usize, candidate: usize) -> f64;
    /// The cost of passing over all that lies before the end of a candidate.
    fn passed_over(&self, candidate: usize) -> f64;
    /// About the cost of what is stranded behind a pairing: bouts that the items left are too few for.
    fn stranded(&self, item: usize, candidate: usize) -> f64;
    /// The cost of pairing nothing at all.
    fn nothing(&self) -> f64;
}

/// An item paired with a candidate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Node {
    /// The item.
    pub item: usize,
    /// The candidate.
    pub candidate: usize,
    /// The cost of the pairing itself.
    pub cost: f64,
}

/// All nodes of a problem with the steps between them.
#[derive(Clone, Debug)]
pub struct Lattice {
    /// By candidate, then item: no step leads backwards.
    pub nodes: Vec<Node>,
    /// The steps into node `k` are `steps[into[k]..into[k + 1]]`.
    pub into: Vec<usize>,
    /// Where each step comes from, and its cost.
    pub steps: Vec<(u32, f32)>,
    /// Cost of beginning with each node.
    pub first: Vec<f64>,
    /// Cost of ending with each node.
    pub last: Vec<f64>,
    /// Cost of the path without nodes.
    pub nothing: f64,
}

/// A step is left out when the best path over it to a node is dearer by this than the best path to that node: odds below
/// 1e-4. The best path of all is never lost by it.
const BEAM: f64 = 9.0;

/// A node is left out when the best path up to it is dearer by this than another path that accounts for the recording up
/// to there: one to another item, or one that passes over all since. It takes a dozen reps gone astray to be so far behind.
const BEHIND: f64 = 40.0;

/// Of a candidate's nodes so many at most are kept, so that the work grows with the recording and not with the plan as well:
/// half of them those with the cheapest path up to them, half those for which that and what is stranded behind them is the
/// least. The one half follows who began as planned, the other who will end so, and each of them the plan around what it
/// follows; where fewer items could be meant, nothing is lost.
const MOST_NODES: usize = 32;

/// The nodes of one item so far, by candidate.
#[derive(Clone, Debug, Default)]
struct Row(Vec<Reached>);

/// A node that was reached. Most links are too dear for all of a window, or for what lies far back in it, and are left by
/// one look at the least there is up to it.
#[derive(Clone, Copy, Debug)]
struct Reached {
    candidate: usize,
    node: u32,
    stop_s: f64,
    /// The cost of the best path up to and with the node.
    cost: f64,
    /// Of this node and those before in the row the least cost, the latest stop, s, and the most that is passed over up to
    /// the end.
    least: f64,
    latest_s: f64,
    passed_over: f64,
}

impl Row {
    fn push(&mut self, node: Reached) {
        let node = self.0.last().map_or(node, |before| Reached {
            least: before.least.min(node.least),
            latest_s: before.latest_s.max(node.latest_s),
            passed_over: before.passed_over.max(node.passed_over),
            ..node
        });
        self.0.push(node);
    }

    /// The nodes of the candidates before `high`.
    fn up_to(&self, high: usize) -> &[Reached] {
        &self.0[..self.0.partition_point(|r| r.candidate < high)]
    }
}

/// What lies before a candidate, for an item.
struct Before<'a, L> {
    rows: &'a [Row],
    /// The items that may come directly before, with what lies between.
    links: &'a [(usize, L)],
    /// The candidates before this one may come before it in a path.
    high: usize,
    start_s: f64,
}

/// Which items may follow on which.
struct Followers {
    of_item: Vec<Vec<usize>>,
    /// The longest reach of any link, s.
    reach_s: f64,
    /// The items met when last asked: those that were paired, and those that may follow on these.
    paired: Marked,
    following: Marked,
}

/// Some of the items, each once.
struct Marked {
    list: Vec<usize>,
    is_in: Vec<bool>,
}

impl Marked {
    fn none_of(items: usize) -> Self {
        Self {
            list: Vec::new(),
            is_in: vec![false; items],
        }
    }

    fn add(&mut self, item: usize) {
        if !std::mem::replace(&mut self.is_in[item], true) {
            self.list.push(item);
        }
    }

    fn clear(&mut self) {
        for item in self.list.drain(..) {
            self.is_in[item] = false;
        }
    }
}

impl Followers {
    fn new<P: Problem>(problem: &P, before: &[Vec<(usize, P::Link)>]) -> Self {
        let mut of_item = vec![Vec::new(); before.len()];
        let mut reach_s = 0.0;
        for (item, links) in before.iter().enumerate() {
            for (from, link) in links {
                of_item[*from].push(item);
                reach_s = f64::max(reach_s, problem.reach_s(link));
            }
        }
        Self {
            of_item,
            reach_s,
            paired: Marked::none_of(before.len()),
            following: Marked::none_of(before.len()),
        }
    }

    /// The items that may follow on a node of these candidates, increasing.
    fn of(&mut self, nodes: &[Node], (low, high): (usize, usize)) -> &[usize] {
        self.paired.clear();
        self.following.clear();
        let from = nodes.partition_point(|n| n.candidate < low);
        let to = nodes.partition_point(|n| n.candidate < high);
        for node in nodes.get(from..to).unwrap_or_default() {
            self.paired.add(node.item);
        }
        for &item in &self.paired.list {
            for &follows in &self.of_item[item] {
                self.following.add(follows);
            }
        }
        self.following.list.sort_unstable();
        &self.following.list
    }
}

impl Lattice {
    /// Lays out a problem, candidate by candidate.
    pub fn new(problem: &impl Problem) -> Self {
        let items = problem.items();
        let before: Vec<Vec<_>> = (0..items).map(|item| problem.before(item)).collect();
        let mut followers = Followers::new(problem, &before);
        let all: Vec<usize> = (0..items).collect();
        let kinds: Vec<usize> = all.iter().map(|item| problem.kind(*item)).collect();
        let mut costs = vec![OnceCell::new(); kinds.iter().max().map_or(0, |most| most + 1)];
        let mut rows = vec![Row::default(); items];
        // The cost of the best path up to and with each node.
        let mut reached: Vec<f64> = Vec::new();
        let mut lattice = Self {
            nodes: Vec::new(),
            into: vec![0],
            steps: Vec::new(),
            first: Vec::new(),
            last: Vec::new(),
            nothing: problem.nothing(),
        };
        // The least cost of a path so far, less that of passing over all before its end.
        let mut ahead = f64::INFINITY;
        for candidate in 0..problem.candidates() {
            let begin = lattice.nodes.len();
            let span_s = problem.span_s(candidate);
            let passed_over = problem.passed_over(candidate);
            let window = problem.window(followers.reach_s, candidate);
            let most = ahead + passed_over + BEHIND;
            // Once a path that begins here is left behind by those that began before, only what follows on these can pair.
            let likely: &[usize] = match problem.worth(candidate) {
                Some(items) => items,
                None if problem.least_begin() > most => followers.of(&lattice.nodes, window),
                None => &all,
            };
            costs.fill(OnceCell::new());
            for &item in likely {
                let cost = costs[kinds[item]].get_or_init(|| problem.pair(item, candidate));
                let Some(cost) = *cost else {
                    continue;
                };
                let node = Node {
                    item,
                    candidate,
                    cost,
                };
                let first = problem.first(item, candidate);
                let rows = Before {
                    rows: &rows,
                    links: &before[item],
                    high: window.1,
                    start_s: span_s.0,
                };
                let best = lattice.step_into(problem, &rows, &reached, (node, first), most);
                lattice.nodes.push(node);
                lattice.into.push(lattice.steps.len());
                lattice.first.push(first);
                reached.push(best + cost);
            }
            ahead = reached[begin..]
                .iter()
                .fold(ahead, |least, r| least.min(r - passed_over));
            let most = ahead + passed_over + BEHIND;
            let kept = lattice.worth_keeping(problem, begin, &reached, most);
            lattice.keep(begin, &mut reached, &kept);
            for (k, node) in lattice.nodes.iter().enumerate().skip(begin) {
                lattice.last.push(problem.last(node.item, node.candidate));
                rows[node.item].push(Reached {
                    candidate,
                    node: k as u32,
                    stop_s: span_s.1,
                    cost: reached[k],
                    least: reached[k],
                    latest_s: span_s.1,
                    passed_over,
                });
            }
        }
        lattice
    }

    /// Adds the steps into a node from what lies before it; gives the cost of the best path up to it,
    /// without its own cost, which is `first` where it begins with it. Steps by which the node is not reached for `most`
    /// may be passed over.
    fn step_into<P: Problem>(
        &mut self,
        problem: &P,
        before: &Before<'_, P::Link>,
        reached: &[f64],
        (node, first): (Node, f64),
        most: f64,
    ) -> f64 {
        let begin = self.steps.len();
        let mut best = first;
        let mut mark = (best + BEAM).min(most - node.cost);
        for (from_item, link) in before.links {
            let least = problem.least(link);
            let row = &before.rows[*from_item];
            let too_dear = |last: Option<&Reached>| last.is_none_or(|r| r.least + least > mark);
            if too_dear(row.0.last()) {
                continue;
            }
            let row = row.up_to(before.high);
            if too_dear(row.last()) {
                continue;
            }
            let since_s = before.start_s - problem.reach_s(link);
            // The latest first: most likely the one just before, it sets the mark that the others must meet.
            for from in row.iter().rev().take_while(|r| r.latest_s >= since_s) {
                if from.least + problem.least_from(link, from.passed_over, node.candidate) > mark {
                    break;
                }
                let within = mark - from.cost;
                if least > within || from.stop_s < since_s {
                    continue;
                }
                if let Some(cost) = problem.step(link, from.candidate, node.candidate, within) {
                    self.steps.push((from.node, cost as f32));
                    best = best.min(from.cost + cost);
                    mark = mark.min(best + BEAM);
                }
            }
        }
        let mut kept = begin;
        for k in begin..self.steps.len() {
            let (from, cost) = self.steps[k];
            if reached[from as usize] + f64::from(cost) <= best + BEAM {
                self.steps[kept] = self.steps[k];
                kept += 1;
            }
        }
        self.steps.truncate(kept);
        best
    }

    /// Which of the nodes from `begin` on, all of one candidate, are kept: none that cannot be reached for `most`, and not
    /// too many.
    fn worth_keeping(
        &self,
        problem: &impl Problem,
        begin: usize,
        reached: &[f64],
        most: f64,
    ) -> Vec<bool> {
        let mut kept: Vec<bool> = reached[begin..].iter().map(|cost| *cost <= most).collect();
        let mut likely: Vec<(f64, f64, usize)> = (0..kept.len())
            .filter(|&k| kept[k])
            .map(|k| {
                let node = self.nodes[begin + k];
                let cost = reached[begin + k];
                let stranded = problem.stranded(node.item, node.candidate);
                (cost, cost + stranded, k)
            })
            .collect();
        if likely.len() <= MOST_NODES {
            return kept;
        }
        kept.fill(false);
        let half = MOST_NODES / 2;
        likely.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.2.cmp(&b.2)));
        for (_, _, k) in likely.drain(..half) {
            kept[k] = true;
        }
        likely.sort_unstable_by(|a, b| a.1.total_cmp(&b.1).then(b.2.cmp(&a.2)));
        for (_, _, k) in likely.drain(..half) {
            kept[k] = true;
        }
        kept
    }

    /// Takes out those of the nodes from `begin` on that are not kept.
    fn keep(&mut self, begin: usize, reached: &mut Vec<f64>, keep: &[bool]) {
        let (mut kept, mut kept_steps) = (begin, self.into[begin]);
        for k in begin..self.nodes.len() {
            if !keep[k - begin] {
                continue;
            }
            let steps = self.into[k]..self.into[k + 1];
            self.steps.copy_within(steps.clone(), kept_steps);
            kept_steps += steps.len();
            self.nodes[kept] = self.nodes[k];
            self.first[kept] = self.first[k];
            reached[kept] = reached[k];
            kept += 1;
            self.into[kept] = kept_steps;
        }
        self.nodes.truncate(kept);
        self.first.truncate(kept);
        self.into.truncate(kept + 1);
        self.steps.truncate(kept_steps);
        reached.truncate(kept);
    }

    /// The steps into a node.
    pub fn steps_into(&self, node: usize) -> &[(u32, f32)] {
        &self.steps[self.into[node]..self.into[node + 1]]
    }

    /// For each of `candidates` candidates the items that it pairs with on some path at most `slack` dearer than the best,
    /// increasing.
    pub fn promising(&self, candidates: usize, slack: f64) -> Vec<Vec<usize>> {
        let mut ahead = vec![0.0; self.nodes.len()];
        for (k, node) in self.nodes.iter().enumerate() {
            let least = self
                .steps_into(k)
                .iter()
                .map(|&(from, step)| ahead[from as usize] + f64::from(step))
                .fold(self.first[k], f64::min);
            ahead[k] = least + node.cost;
        }
        let mut behind = self.last.clone();
        for (k, node) in self.nodes.iter().enumerate().rev() {
            for &(from, step) in self.steps_into(k) {
                let from = from as usize;
                behind[from] = behind[from].min(behind[k] + node.cost + f64::from(step));
            }
        }
        let through = |k: usize| ahead[k] + behind[k];
        let best = (0..self.nodes.len())
            .map(through)
            .fold(self.nothing, f64::min);
        let mut kept = vec![Vec::new(); candidates];
        for (k, node) in self.nodes.iter().enumerate() {
            if through(k) <= best + slack {
                kept[node.candidate].push(node.item);
            }
        }
        kept
    }

    /// The path of least cost, and its cost.
    #[must_use]
    pub fn best(&self) -> (Vec<Node>, f64) {
        let mut cost = vec![0.0; self.nodes.len()];
        let mut from = vec![u32::MAX; self.nodes.len()];
        let mut best = (self.nothing, u32::MAX);
        for (k, node) in self.nodes.iter().enumerate() {
            let mut least = (self.first[k], u32::MAX);
            for &(f, step) in self.steps_into(k) {
                let total = cost[f as usize] + f64::from(step);
                if total < least.0 {
                    least = (total, f);
                }
            }
            cost[k] = least.0 + node.cost;
            from[k] = least.1;
            let total = cost[k] + self.last[k];
            if total < best.0 {
                best = (total, k as u32);
            }
        }
        let mut path = Vec::new();
        let mut at = best.1;
        while let Some(&node) = self.nodes.get(at as usize) {
            path.push(node);
            at = from[at as usize];
        }
        path.reverse();
        (path, best.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Two words aligned letter by letter with one cost for a mismatch and one for a gap.
    struct Words<'a> {
        a: &'a [u8],
        b: &'a [u8],
        mismatch: f64,
        gap: f64,
    }

    impl Words<'_> {
        fn gaps(&self, n: usize) -> f64 {
            self.gap * n as f64
        }
    }

    impl Problem for Words<'_> {
        type Link = usize;
        fn items(&self) -> usize {
            self.a.len()
        }
        fn candidates(&self) -> usize {
            self.b.len()
        }
        fn kind(&self, item: usize) -> usize {
            self.a[item].into()
        }
        fn pair(&self, item: usize, candidate: usize) -> Option<f64> {
            let same = self.a[item] == self.b[candidate];
            Some(if same { 0.0 } else { self.mismatch })
        }
        fn worth(&self, _: usize) -> Option<&[usize]> {
            None
        }
        fn least_begin(&self) -> f64 {
            0.0
        }
        fn before(&self, item: usize) -> Vec<(usize, usize)> {
            (0..item).map(|from| (from, item - from - 1)).collect()
        }
        fn span_s(&self, candidate: usize) -> (f64, f64) {
            (candidate as f64, candidate as f64)
        }
        fn reach_s(&self, _: &usize) -> f64 {
            f64::INFINITY
        }
        fn window(&self, _: f64, candidate: usize) -> (usize, usize) {
            (0, candidate)
        }
        fn least(&self, _: &usize) -> f64 {
            0.0
        }
        fn least_from(&self, _: &usize, _: f64, _: usize) -> f64 {
            0.0
        }
        fn step(&self, passed_over: &usize, from: usize, to: usize, _: f64) -> Option<f64> {
            Some(self.gaps(passed_over + to - from - 1))
        }
        fn first(&self, item: usize, candidate: usize) -> f64 {
            self.gaps(item + candidate)
        }
        fn last(&self, item: usize, candidate: usize) -> f64 {
            self.gaps(self.a.len() - item - 1 + self.b.len() - candidate - 1)
        }
        fn passed_over(&self, candidate: usize) -> f64 {
            self.gaps(candidate + 1)
        }
        fn stranded(&self, item: usize, candidate: usize) -> f64 {
            let (items, letters) = (self.a.len() - item, self.b.len() - candidate);
            self.gaps(letters.saturating_sub(items))
        }
        fn nothing(&self) -> f64 {
            self.gaps(self.a.len() + self.b.len())
        }
    }

    /// The least cost over all alignments, by trying every one.
    fn by_search(a: &[u8], b: &[u8], mismatch: f64, gap: f64) -> f64 {
        match (a.split_first(), b.split_first()) {
            (None, _) => gap * b.len() as f64,
            (_, None) => gap * a.len() as f64,
            (Some((x, a_rest)), Some((y, b_rest))) => {
                let pair = if x == y { 0.0 } else { mismatch };
                (pair + by_search(a_rest, b_rest, mismatch, gap))
                    .min(gap + by_search(a_rest, b, mismatch, gap))
                    .min(gap + by_search(a, b_rest, mismatch, gap))
            }
        }
    }

    fn cost(a: &[u8], b: &[u8], mismatch: f64, gap: f64) -> f64 {
        Lattice::new(&Words {
            a,
            b,
            mismatch,
            gap,
        })
        .best()
        .1
    }

    /// The least cost over all alignments, by the whole table of Needleman and Wunsch.
    fn by_table(a: &[u8], b: &[u8], mismatch: f64, gap: f64) -> f64 {
        let mut above: Vec<f64> = (0..=b.len()).map(|n| gap * n as f64).collect();
        for x in a {
            let mut row = vec![above[0] + gap];
            for (k, y) in b.iter().enumerate() {
                let pair = above[k] + if x == y { 0.0 } else { mismatch };
                row.push(pair.min(above[k + 1] + gap).min(row[k] + gap));
            }
            above = row;
        }
        above[b.len()]
    }

    /// Levenshtein (1966): three edits turn "kitten" into "sitting".
    #[test]
    fn kitten_is_three_edits_from_sitting() {
        assert!((cost(b"kitten", b"sitting", 1.0, 1.0) - 3.0).abs() < 1e-6);
    }

    /// Any letter may be any other, so that each could be paired with all: few are kept, and the best path is among them.
    #[test]
    fn of_alike_letters_few_are_kept() {
        let letters = [b'x'; 300];
        for (from, to) in [(0, 300), (0, 120), (180, 300), (90, 210)] {
            let lattice = Lattice::new(&Words {
                a: &letters,
                b: &letters[from..to],
                mismatch: 1.0,
                gap: 1.0,
            });
            assert!(lattice.nodes.len() <= MOST_NODES * (to - from));
            let missing = (300 - (to - from)) as f64;
            assert!((lattice.best().1 - missing).abs() < 1e-4);
        }
    }

    proptest! {
        /// Needleman and Wunsch (1970): the programme finds the optimum that a search through all alignments finds.
        #[test]
        fn equals_a_search_through_all_alignments(
            a in proptest::collection::vec(0_u8..3, 0..6),
            b in proptest::collection::vec(0_u8..3, 0..6),
            mismatch in 0.1_f64..3.0,
            gap in 0.1_f64..2.0,
        ) {
            let found = cost(&a, &b, mismatch, gap);
            let least = by_search(&a, &b, mismatch, gap);
            prop_assert!((found - least).abs() < 1e-5, "{found} is not {least}");
        }

        /// Long words that differ here and there: what is left behind and not looked at is no part of the best path.
        #[test]
        fn equals_the_whole_table(
            a in proptest::collection::vec(0_u8..3, 60..120),
            edits in proptest::collection::vec((0_usize..60, proptest::option::of(0_u8..3)), 0..8),
            mismatch in 0.5_f64..3.0,
            gap in 0.5_f64..2.0,
        ) {
            let mut b = a.clone();
            for (at, letter) in edits {
                match letter {
                    Some(letter) => b.insert(at, letter),
                    None => {
                        b.remove(at.min(b.len() - 1));
                    }
                }
            }
            let (found, least) = (cost(&a, &b, mismatch, gap), by_table(&a, &b, mismatch, gap));
            prop_assert!((found - least).abs() < 1e-4, "{found} is not {least}");
        }
    }
}
