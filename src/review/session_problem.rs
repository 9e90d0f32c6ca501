//! The alignment of a plan with the bouts of a session: what may follow what, and at what cost.

use crate::bouts::{Bout, Bouts};
use crate::review::alignment::Problem;
use crate::review::between::{Between, stray_share};
use crate::review::cost::{self, Gap, Gaps, Quality};
use crate::review::expect::Guess;
use crate::review::items::{Item, Kind, Schedule};

/// A plan in one order of its blocks, against the bouts of a session.
pub(super) struct SessionProblem<'a> {
    items: &'a [Item],
    candidates: &'a [Bout],
    quality: Quality,
    /// When the recording starts and ends, s.
    span_s: (f64, f64),
    /// The cost of leaving out the first so many bouts of the account.
    stray_sum: Vec<f64>,
    /// That cost up to the start and the stop of each candidate.
    stray_to_start: Vec<f64>,
    stray_to_stop: Vec<f64>,
    /// How many reps lie behind each item, and how many bouts of the account behind each candidate.
    items_left: Vec<usize>,
    bouts_left: Vec<usize>,
    /// For each item, how the time from the recording's start to it and from it to the recording's end may have passed.
    edges: Vec<(Edge, Edge)>,
    /// The cost of pairing nothing at all.
    nothing: f64,
    /// For each candidate the items that are worth a look; all, if not known.
    promising: Option<Vec<Vec<usize>>>,
}

/// Between an item and an end of the recording.
struct Edge {
    missing: f64,
    ways: Vec<Gap>,
    stray_weight: f64,
    /// If the recording was cut: for so long at most a stretch next to the item may have been recorded, in which stray
    /// bouts weigh so much; what lies farther off was not part of the plan.
    stretch_s: f64,
    stretch_weight: f64,
}

/// Two items with all planned items between them missing.
pub(super) struct Link {
    from: usize,
    to: usize,
    /// The cost of what is missing between.
    missing: f64,
    /// The ways in which the time between may have passed.
    gaps: Gaps,
    /// The longest gap considered, s.
    longest_s: f64,
    /// What a stray bout costs here: nothing inside a game.
    stray_weight: f64,
    same_block: bool,
    same_set: bool,
}

/// More missing than this between two reps is not considered; the ends of the recording are free of it.
const DEAREST_MISSING: f64 = 24.0;
/// What a match earns, with more than all clues together can add to it; the time before costs nothing less than 0.
const LEAST_BEGIN: f64 = cost::MATCH - 3.0;
/// More items than this are left out only from the end of a set or up to the start of one.
const MOST_ALONE: usize = 16;
/// More than this are left out only with the whole of the set before, and not from the start of a set.
const MOST_OF_SET: usize = 64;
/// More sets than this are left out only from the end of a block.
const MOST_SETS: usize = 8;
/// A stop may seem to lie behind the next start by this much, s.
const OVERLAP_S: f64 = 0.3;
/// A drink, a talk, a ball over the fence: the longest pause that no plan asks for, s.
const LONGEST_PAUSE_S: f64 = 240.0;
/// Self-paced rest where there is no way to walk back.
const NO_WAY_BACK: Guess = Guess::new(10.0, 0.5);
/// The same between two blocks.
const LONGEST_BREAK_S: f64 = 900.0;

impl<'a> SessionProblem<'a> {
    pub fn new(
        schedule: &'a Schedule,
        bouts: &'a Bouts,
        quality: Quality,
        span_s: (f64, f64),
        promising: Option<Vec<Vec<usize>>>,
    ) -> Self {
        let mut sum = 0.0;
        let mut stray_sum = vec![0.0];
        let mut stray_at = Vec::with_capacity(bouts.list.len());
        for bout in &bouts.list {
            sum += cost::stray(bout);
            stray_sum.push(sum);
            stray_at.push(0.5 * (bout.start_s + bout.stop_s));
        }
        let up_to = |t: f64| stray_sum[stray_at.partition_point(|&at| at < t)];
        let stray_to_start = bouts.candidates.iter().map(|c| up_to(c.start_s)).collect();
        let stray_to_stop = bouts.candidates.iter().map(|c| up_to(c.stop_s)).collect();
        let bouts_left = bouts
            .candidates
            .iter()
            .map(|c| bouts.list.len() - bouts.list.partition_point(|b| b.start_s < c.stop_s))
            .collect();
        let mut left = schedule
            .items
            .iter()
            .filter(|i| i.kind == Kind::Bout)
            .count();
        let items_left = schedule
            .items
            .iter()
            .map(|item| {
                left -= usize::from(item.kind == Kind::Bout);
                left
            })
            .collect();
        let mut problem = Self {
            items: &schedule.items,
            candidates: &bouts.candidates,
            quality,
            span_s,
            stray_sum,
            stray_to_start,
            stray_to_stop,
            items_left,
            bouts_left,
            edges: Vec::new(),
            nothing: 0.0,
            promising,
        };
        let mut before = Between::nothing();
        let ahead: Vec<Edge> = (0..schedule.items.len())
            .map(|item| {
                let edge = problem.edge(&before, None, problem.items[..item].iter().rev());
                before.push_back(&problem.items[item]);
                edge
            })
            .collect();
        problem.nothing = before.missing() + before.stray_weight() * problem.all_strays();
        let mut after = Between::nothing();
        let mut behind: Vec<Edge> = (0..schedule.items.len())
            .rev()
            .map(|item| {
                let rest = Some(problem.items[item].rest_after);
                let edge = problem.edge(&after, rest, problem.items[item + 1..].iter());
                after.push_front(&problem.items[item]);
                edge
            })
            .collect();
        behind.reverse();
        problem.edges = ahead.into_iter().zip(behind).collect();
        problem
    }

    /// What lies between an item and an end of the recording; `outwards` are the items from the one to the other, and
    /// `pending` is the rest that they begin with.
    fn edge<'i>(
        &self,
        between: &Between,
        pending: Option<Guess>,
        outwards: impl Iterator<Item = &'i Item>,
    ) -> Edge {
        let (mut stretch_s, mut stretch_weight) = (0.0, 1.0);
        for next in outwards
            .filter(|i| i.kind != Kind::Extra)
            .take_while(|i| i.kind == Kind::Stretch)
        {
            stretch_s += 1.1 * next.work.value + 120.0;
            stretch_weight = f64::min(stretch_weight, stray_share(next));
        }
        Edge {
            missing: between.missing(),
            ways: self.ways(between, pending),
            stray_weight: between.stray_weight(),
            stretch_s,
            stretch_weight,
        }
    }

    /// The cost of leaving out every bout of the account.
    fn all_strays(&self) -> f64 {
        self.stray_sum.last().copied().unwrap_or(0.0)
    }

    /// The ways in which the time over `between` may have passed, after a rest of `pending`.
    fn ways(&self, between: &Between, pending: Option<Guess>) -> Vec<Gap> {
        let mut ways = between.ways(pending, &self.quality);
        // A run that ends where the next begins, such as a lap, leaves no way to walk back.
        if let Some(rest) = pending
            && between.is_empty()
            && rest.sd > 0.45
            && rest.value > 2.0 * NO_WAY_BACK.value
        {
            ways.push(Gap::new(NO_WAY_BACK, 1.0, &self.quality));
        }
        ways
    }

    /// The rest that follows an item when the next one done is `until`: that between reps, unless an extra rep follows.
    fn rest_after(&self, item: usize, until: usize) -> Guess {
        let this = &self.items[item];
        match self.items.get(item + 1) {
            // The rest before an extra rep is the set's own.
            Some(next) if next.kind == Kind::Extra && until == item + 1 => {
                let rep_before = self.items[..item].last();
                rep_before
                    .filter(|i| !i.last_of_set && i.block == this.block)
                    .map_or(this.rest_after, |i| i.rest_after)
            }
            _ => this.rest_after,
        }
    }

    fn start_s(&self, candidate: usize) -> f64 {
        self.candidates[candidate].start_s
    }
}

impl Problem for SessionProblem<'_> {
    type Link = Link;

    fn items(&self) -> usize {
        self.items.len()
    }

    fn candidates(&self) -> usize {
        self.candidates.len()
    }

    fn kind(&self, item: usize) -> usize {
        // All that a pairing costs by is learnt block by block.
        let item = &self.items[item];
        2 * item.block + usize::from(item.kind == Kind::Extra)
    }

    fn pair(&self, item: usize, candidate: usize) -> Option<f64> {
        let cost = cost::pair(
            &self.items[item],
            &self.candidates[candidate],
            &self.quality,
        )?;
        debug_assert!(cost > LEAST_BEGIN);
        Some(cost)
    }

    fn worth(&self, candidate: usize) -> Option<&[usize]> {
        self.promising.as_ref().map(|p| p[candidate].as_slice())
    }

    fn least_begin(&self) -> f64 {
        LEAST_BEGIN
    }

    fn before(&self, item: usize) -> Vec<(usize, Link)> {
        if self.items[item].kind == Kind::Stretch {
            return Vec::new();
        }
        let this = &self.items[item];
        let first_of_set = this.kind != Kind::Extra && item > 0 && self.items[item - 1].last_of_set;
        let first_of_block = item > 0 && self.items[item - 1].block != this.block;
        let mut between = Between::nothing();
        let mut sets = 0;
        let mut links = Vec::new();
        for from in (0..item).rev() {
            let before = &self.items[from];
            let missing = between.missing();
            if missing > DEAREST_MISSING {
                break;
            }
            let together = first_of_set || item - from <= MOST_OF_SET;
            if !together || (sets > MOST_SETS && !first_of_block) {
                break;
            }
            // An extra rep stands for itself only after a rep of its set.
            let same_set = (before.block, before.set) == (this.block, this.set);
            if this.kind == Kind::Extra && !same_set && before.kind != Kind::Stretch {
                break;
            }
            let whole_sets = before.last_of_set || first_of_set;
            if before.kind != Kind::Stretch && (whole_sets || item - from <= MOST_ALONE) {
                let gaps = Gaps::new(self.ways(&between, Some(self.rest_after(from, item))));
                let same_block = before.block == this.block;
                let pause_s = if same_block {
                    LONGEST_PAUSE_S
                } else {
                    LONGEST_BREAK_S
                };
                links.push((
                    from,
                    Link {
                        from,
                        to: item,
                        missing,
                        longest_s: 1.6 * gaps.longest_s() + pause_s,
                        gaps,
                        stray_weight: between.stray_weight(),
                        same_block,
                        same_set,
                    },
                ));
            }
            sets += usize::from(before.kind == Kind::Bout && before.last_of_set);
            between.push_front(before);
        }
        links
    }

    fn span_s(&self, candidate: usize) -> (f64, f64) {
        let bout = &self.candidates[candidate];
        (bout.start_s, bout.stop_s)
    }

    fn reach_s(&self, link: &Link) -> f64 {
        link.longest_s
    }

    fn window(&self, reach_s: f64, candidate: usize) -> (usize, usize) {
        let start = self.start_s(candidate);
        let low = self
            .candidates
            .partition_point(|c| c.stop_s < start - reach_s);
        let high = self
            .candidates
            .partition_point(|c| c.stop_s <= start + OVERLAP_S);
        (low, high.max(low))
    }

    fn least(&self, link: &Link) -> f64 {
        link.missing - cost::GAP_GAIN - link.place_gain()
    }

    fn least_from(&self, link: &Link, passed_over: f64, to: usize) -> f64 {
        self.least(link) + link.stray_weight * (self.stray_to_start[to] - passed_over).max(0.0)
    }

    fn step(&self, link: &Link, from: usize, to: usize, within: f64) -> Option<f64> {
        let (before, bout) = (&self.candidates[from], &self.candidates[to]);
        if bout.start_s <= before.start_s || bout.stop_s <= before.stop_s {
            return None;
        }
        debug_assert!(link.from < link.to);
        let place_gain = link.place_gain();
        // The cheap parts first: most steps are too dear by their stray bouts and one look at the gap.
        let strays = (self.stray_to_start[to] - self.stray_to_stop[from]).max(0.0);
        let mut cost = link.missing + link.stray_weight * strays;
        let gap_s = bout.start_s - cost::end_s(&self.items[link.from], before);
        if cost + link.gaps.least(gap_s) - place_gain > within {
            return None;
        }
        cost += link.gaps.cost(gap_s);
        if cost - place_gain > within {
            return None;
        }
        if link.same_block {
            cost += cost::place(link.same_set, before, bout, &self.quality);
        }
        (cost <= within).then_some(cost)
    }

    fn first(&self, item: usize, candidate: usize) -> f64 {
        if self.items[item].kind == Kind::Extra {
            return 1e3;
        }
        let lead_s = self.start_s(candidate) - self.span_s.0;
        let edge = &self.edges[item].0;
        edge.cost(lead_s, self.stray_to_start[candidate], &self.quality)
    }

    fn last(&self, item: usize, candidate: usize) -> f64 {
        let end_s = cost::end_s(&self.items[item], &self.candidates[candidate]);
        let strays = (self.all_strays() - self.stray_to_stop[candidate]).max(0.0);
        let edge = &self.edges[item].1;
        edge.cost(self.span_s.1 - end_s, strays, &self.quality)
    }

    fn passed_over(&self, candidate: usize) -> f64 {
        self.stray_to_stop[candidate]
    }

    fn stranded(&self, item: usize, candidate: usize) -> f64 {
        let bouts = self.bouts_left[candidate].saturating_sub(self.items_left[item]);
        -cost::MATCH * bouts as f64
    }

    fn nothing(&self) -> f64 {
        self.nothing
    }
}

impl Link {
    /// The most that the places of two bouts can take off the cost of a step.
    fn place_gain(&self) -> f64 {
        if self.same_block {
            cost::PLACE_GAIN
        } else {
            0.0
        }
    }
}

impl Edge {
    /// The cost of the time between an end of the recording and the nearest matched item.
    ///
    /// Either what is missing was left out and the time is as planned, give or take the minutes that a recording runs
    /// before and after a session; or the recording was cut, and what is missing costs nothing more.
    fn cost(&self, time_s: f64, strays: f64, quality: &Quality) -> f64 {
        let planned = self
            .ways
            .iter()
            .map(|way| {
                let over = time_s - way.expected.value;
                let sd = way.expected.sd * way.expected.value + 1.4 * quality.edge_sd_s + 5.0;
                let off = if over < 0.0 {
                    over / sd
                } else {
                    (over - 60.0).max(0.0) / (sd + 120.0)
                };
                way.cost + cost::bell(off, 6.0)
            })
            .fold(f64::INFINITY, f64::min);
        let cut_weight = if time_s <= self.stretch_s {
            self.stretch_weight
        } else {
            1.0
        };
        (self.missing + planned + self.stray_weight * strays)
            .min(cost::CUT_RECORDING + 0.02 * self.missing + cut_weight * strays)
    }
}
