//! The alignment of a plan with the bouts of a session: what may follow what, and at what cost.

use crate::bouts::{Bout, Bouts};
use crate::plan::Category;
use crate::review::alignment::Problem;
use crate::review::cost::{self, Gap, Quality};
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
    /// For each item, how the time from the recording's start to it and from it to the recording's end may have passed.
    edges: Vec<(Edge, Edge)>,
    /// For each item the candidates that are worth a look; all, if not known.
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
    ways: Vec<Gap>,
    /// The longest gap considered, s.
    longest_s: f64,
    /// What a stray bout costs here: nothing inside a game.
    stray_weight: f64,
    same_block: bool,
    same_set: bool,
}

/// More missing than this between two reps is not considered; the ends of the recording are free of it.
const DEAREST_MISSING: f64 = 24.0;
/// Several ways together can make a gap a little likelier than its likeliest way, by this at most.
const GAP_GAIN: f64 = 0.5;
/// More items than this are left out only from the end of a set or up to the start of one.
const MOST_ALONE: usize = 16;
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
        let mut problem = Self {
            items: &schedule.items,
            candidates: &bouts.candidates,
            quality,
            span_s,
            stray_sum,
            stray_to_start,
            stray_to_stop,
            edges: Vec::new(),
            promising,
        };
        let n = problem.items.len();
        problem.edges = (0..n)
            .map(|item| {
                let before = problem.edge(None, item, problem.items[..item].iter().rev());
                let after = problem.edge(Some(item), n, problem.items[item + 1..].iter());
                (before, after)
            })
            .collect();
        problem
    }

    /// What lies between an item and an end of the recording; `outwards` are the items from the one to the other.
    fn edge<'i>(
        &self,
        after: Option<usize>,
        until: usize,
        outwards: impl Iterator<Item = &'i Item>,
    ) -> Edge {
        let between = after.map_or(0, |f| f + 1)..until;
        let next: Vec<&Item> = outwards
            .filter(|i| i.kind != Kind::Extra)
            .take_while(|i| i.kind == Kind::Stretch)
            .collect();
        Edge {
            missing: self.missing(between.clone()),
            ways: self.ways(after, until),
            stray_weight: self.stray_weight(between),
            stretch_s: next.iter().map(|i| 1.1 * i.work.value + 120.0).sum(),
            stretch_weight: next.iter().map(|i| stray_share(i)).fold(1.0, f64::min),
        }
    }

    /// The cost of leaving out every bout of the account.
    fn all_strays(&self) -> f64 {
        self.stray_sum.last().copied().unwrap_or(0.0)
    }

    /// The ways in which the time from `from` (or the recording's start) to `to` (or its end) may have passed: what lies
    /// between took its time, or was left out with its time.
    fn ways(&self, after: Option<usize>, until: usize) -> Vec<Gap> {
        let between = &self.items[after.map_or(0, |f| f + 1)..until];
        let stretches = between.iter().filter(|i| i.kind == Kind::Stretch).count();
        let reps = between.iter().any(|i| i.kind == Kind::Bout);
        let pending = after.map(|f| self.rest_after(f, until));
        let mut ways = Vec::new();
        let choices = if stretches <= 3 {
            1_u32 << stretches
        } else {
            2
        };
        for skipped in 0..choices {
            for reps_elapse in [true, false] {
                if !reps && !reps_elapse {
                    continue;
                }
                ways.push(passing(
                    between,
                    pending,
                    (skipped, stretches > 3),
                    reps_elapse,
                    &self.quality,
                ));
            }
        }
        // A run that ends where the next begins, such as a lap, leaves no way to walk back.
        if let Some(rest) = pending
            && between.iter().all(|i| i.kind == Kind::Extra)
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
                let reps_before = self.items[..item]
                    .iter()
                    .rev()
                    .find(|i| !i.last_of_set && i.block == this.block);
                reps_before.map_or(this.rest_after, |i| i.rest_after)
            }
            _ => this.rest_after,
        }
    }

    /// The price of items missing, sets and blocks at a time.
    fn missing(&self, between: std::ops::Range<usize>) -> f64 {
        let mut total = 0.0;
        let mut items = self.items[between].iter().peekable();
        while let Some(first) = items.peek() {
            let block = first.block;
            let mut block_cost = 0.0;
            let mut sets = 0;
            while let Some(set) = items.next_if(|i| i.block == block) {
                let mut reps = usize::from(set.kind == Kind::Bout);
                while let Some(item) = items.next_if(|i| i.block == block && i.set == set.set) {
                    reps += usize::from(item.kind == Kind::Bout);
                }
                if reps > 0 {
                    let set_cost = (cost::MISSING_REP + cost::MISSING_MORE * (reps - 1) as f64)
                        .min(cost::MISSING_SET);
                    block_cost += if sets == 0 {
                        set_cost
                    } else {
                        set_cost.min(cost::MISSING_SET_MORE)
                    };
                    sets += 1;
                }
                // A stretch is priced where the ways of a gap are told apart.
            }
            total += f64::min(block_cost, cost::MISSING_BLOCK);
        }
        total
    }

    /// What a stray bout costs between two items: nothing in a game, little in a warm-up.
    ///
    /// Where reps are missing as well, a bout is more likely one of them than part of the game.
    fn stray_weight(&self, between: std::ops::Range<usize>) -> f64 {
        let between = &self.items[between];
        let least = if between.iter().any(|i| i.kind == Kind::Bout) {
            0.6
        } else {
            0.0
        };
        between
            .iter()
            .filter(|i| i.kind == Kind::Stretch)
            .map(stray_share)
            .fold(1.0, f64::min)
            .max(least)
    }

    fn start_s(&self, candidate: usize) -> f64 {
        self.candidates[candidate].start_s
    }
}

/// What a bout inside a stretch costs, as a share of a stray bout's cost.
fn stray_share(stretch: &Item) -> f64 {
    match stretch.category {
        Category::Game => 0.0,
        Category::WarmUp | Category::CoolDown => 0.1,
        _ => 0.5,
    }
}

/// One way in which the time between two items passed.
///
/// Walking along the plan, each thing that took place adds the rest before it and its own time; one left out with its
/// time merges the rests on both sides into the longer of the two.
fn passing(
    between: &[Item],
    pending: Option<Guess>,
    (skipped, all_or_none): (u32, bool),
    reps_elapse: bool,
    quality: &Quality,
) -> Gap {
    let mut rest = pending;
    let (mut total, mut variance, mut cost) = (0.0, 0.0, 0.0);
    let add = |guess: Guess, total: &mut f64, variance: &mut f64| {
        *total += guess.value;
        *variance += (guess.value * guess.sd.min(1.0)).powi(2);
    };
    let mut stretch = 0;
    for item in between {
        let elapses = match item.kind {
            Kind::Extra => continue,
            Kind::Bout => reps_elapse,
            Kind::Stretch => {
                let bit = if all_or_none { 0 } else { stretch };
                stretch += 1;
                let skip = skipped >> bit & 1 == 1;
                if skip {
                    cost += cost::MISSING_STRETCH;
                }
                !skip
            }
        };
        if elapses {
            if let Some(rest) = rest {
                add(rest, &mut total, &mut variance);
            }
            add(item.work, &mut total, &mut variance);
            rest = Some(item.rest_after);
        } else {
            rest = Some(match rest {
                Some(rest) if rest.value >= item.rest_after.value => rest,
                _ => item.rest_after,
            });
        }
    }
    if let Some(rest) = rest {
        add(rest, &mut total, &mut variance);
    }
    if !reps_elapse {
        cost += 1.0;
    }
    let total: f64 = total.max(1.0);
    let expected = Guess::new(total, (f64::sqrt(variance) / total).max(0.05));
    Gap::new(expected, cost, quality)
}

impl Problem for SessionProblem<'_> {
    type Link = Link;

    fn items(&self) -> usize {
        self.items.len()
    }

    fn pairs(&self, item: usize) -> Vec<(usize, f64)> {
        let pair = |c: usize| {
            let cost = cost::pair(&self.items[item], &self.candidates[c], &self.quality)?;
            Some((c, cost))
        };
        match &self.promising {
            Some(promising) => promising[item].iter().filter_map(|&c| pair(c)).collect(),
            None => (0..self.candidates.len()).filter_map(pair).collect(),
        }
    }

    fn before(&self, item: usize) -> Vec<(usize, Link)> {
        if self.items[item].kind == Kind::Stretch {
            return Vec::new();
        }
        let mut links = Vec::new();
        for from in (0..item).rev() {
            if self.items[from].kind == Kind::Stretch {
                continue;
            }
            // An extra rep stands for itself only after a rep of its set.
            if self.items[item].kind == Kind::Extra
                && (self.items[from].block, self.items[from].set)
                    != (self.items[item].block, self.items[item].set)
            {
                break;
            }
            let whole_sets = self.items[from].last_of_set || self.items[item - 1].last_of_set;
            if item - from > MOST_ALONE && !whole_sets {
                continue;
            }
            let missing = self.missing(from + 1..item);
            if missing > DEAREST_MISSING {
                break;
            }
            let ways = self.ways(Some(from), item);
            let longest = ways.iter().map(|w| w.expected.value).fold(0.0, f64::max);
            let same_block = self.items[from].block == self.items[item].block;
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
                    longest_s: 1.6 * longest + pause_s,
                    ways,
                    stray_weight: self.stray_weight(from + 1..item),
                    same_block,
                    same_set: same_block && self.items[from].set == self.items[item].set,
                },
            ));
        }
        links
    }

    fn window(&self, link: &Link, candidate: usize) -> (usize, usize) {
        let start = self.start_s(candidate);
        let low = self
            .candidates
            .partition_point(|c| c.stop_s < start - link.longest_s);
        let high = self
            .candidates
            .partition_point(|c| c.stop_s <= start + OVERLAP_S);
        (low, high.max(low))
    }

    fn least(&self, link: &Link) -> f64 {
        link.missing - GAP_GAIN - link.place_gain()
    }

    fn step(&self, link: &Link, from: usize, to: usize, within: f64) -> Option<f64> {
        let (before, bout) = (&self.candidates[from], &self.candidates[to]);
        if bout.start_s <= before.start_s || bout.stop_s <= before.stop_s {
            return None;
        }
        debug_assert!(link.from < link.to);
        let place_gain = link.place_gain();
        // The cheap parts first: most steps are too dear by their stray bouts alone.
        let strays = (self.stray_to_start[to] - self.stray_to_stop[from]).max(0.0);
        let mut cost = link.missing + link.stray_weight * strays;
        if cost - GAP_GAIN - place_gain > within {
            return None;
        }
        let end_s = cost::end_s(&self.items[link.from], before);
        cost += cost::gap(&link.ways, bout.start_s - end_s);
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

    fn nothing(&self) -> f64 {
        let n = self.items.len();
        self.missing(0..n) + self.stray_weight(0..n) * self.all_strays()
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
