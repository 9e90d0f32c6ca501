//! Candidates: every stretch that may be a bout, at several levels of activity.

use std::ops::Range;

use crate::bouts::{Bout, Rules, cut_leg, edge, shape};
use crate::motion::Motion;

/// Candidates whose starts and ends all lie this close are one, s.
const SAME_S: f64 = 0.35;

/// A gap longer than this parts what lies on its sides, s.
const LONGEST_GAP_S: f64 = 40.0;
/// A bout runs into a gap, or comes out of it, when its edge lies this near, s.
const NEAR_GAP_S: f64 = 1.5;

/// The stretches above each level and their unions over short dips, as windows of samples.
pub(super) fn spans(
    motion: &Motion,
    activity: &[f64],
    levels: &[f64],
    rules: &Rules,
) -> Vec<Range<usize>> {
    let in_samples = |s| motion.samples_in(s);
    let (shortest, pair) = (in_samples(rules.shortest_s), in_samples(rules.join_pair_s));
    // How many samples up to each are bridged: what was not recorded parts nothing.
    let mut bridged = vec![0];
    for sample in &motion.samples {
        bridged.push(bridged.last().copied().unwrap_or(0) + usize::from(sample.bridged));
    }
    let mut spans = Vec::new();
    for run in &motion.runs {
        for &level in levels {
            let above = above(activity, run.clone(), level);
            spans.extend(chains(&above, in_samples(rules.join_s), &bridged));
            if level <= rules.slow_m_s {
                spans.extend(chains(&above, in_samples(rules.join_slow_s), &bridged));
                spans.extend(chains(&above, in_samples(rules.join_slowest_s), &bridged));
            }
            spans.extend(
                above
                    .windows(2)
                    .filter(|two| two[1].start - two[0].end <= pair)
                    .map(|two| two[0].start..two[1].end),
            );
            spans.extend(above);
        }
    }
    spans.retain(|span| span.len() >= shortest);
    spans.sort_unstable_by_key(|span| (span.start, span.end));
    spans.dedup();
    spans
}

/// The unions of all neighbouring stretches that lie at most `join` samples apart, those not counted that are bridged.
fn chains(stretches: &[Range<usize>], join: usize, bridged: &[usize]) -> Vec<Range<usize>> {
    let apart = |from: usize, to: usize| to - from - (bridged[to] - bridged[from]);
    let mut chains: Vec<Range<usize>> = Vec::new();
    for stretch in stretches {
        match chains.last_mut() {
            Some(open) if apart(open.end, stretch.start) <= join => open.end = stretch.end,
            _ => chains.push(stretch.clone()),
        }
    }
    chains
}

/// The maximal stretches of a run in which activity is at or above a level.
fn above(activity: &[f64], run: Range<usize>, level: f64) -> Vec<Range<usize>> {
    let mut stretches = Vec::new();
    let mut start = None;
    let end = run.end;
    for k in run {
        let high = activity.get(k).is_some_and(|&a| a >= level);
        match (high, start) {
            (true, None) => start = Some(k),
            (false, Some(from)) => {
                stretches.push(from..k);
                start = None;
            }
            _ => {}
        }
    }
    if let Some(from) = start {
        stretches.push(from..end);
    }
    stretches
}

/// Gives each span its precise edges and shape; those that come out the same are kept once. In order of end.
pub(super) fn bouts(motion: &Motion, activity: &[f64], spans: &[Range<usize>]) -> Vec<Bout> {
    let mut edges: Vec<edge::Edges> = spans
        .iter()
        .flat_map(|span| edge::edges(motion, span))
        .collect();
    edges.sort_unstable_by_key(|e| (e.start, e.stop, e.end));
    edges.dedup();
    let near = motion.samples_in(SAME_S);
    let mut kept: Vec<edge::Edges> = Vec::with_capacity(edges.len());
    for e in edges {
        let twin = kept
            .iter()
            .rev()
            .take_while(|k| e.start.abs_diff(k.start) <= near)
            .any(|k| e.end.abs_diff(k.end) <= near && e.stop.abs_diff(k.stop) <= near);
        if !twin {
            kept.push(e);
        }
    }
    let cut = cut_leg::unions(motion, &kept, near);
    kept.extend(cut);
    kept.sort_unstable_by_key(|e| (e.start, e.stop, e.end));
    let path = cumulative_path(motion);
    let mut bouts: Vec<Bout> = kept
        .iter()
        .map(|e| bout(motion, activity, &path, e))
        .collect();
    let over_gaps = across_gaps(motion, &bouts);
    bouts.extend(over_gaps);
    bouts.sort_by(|a, b| {
        a.stop_s
            .total_cmp(&b.stop_s)
            .then(a.start_s.total_cmp(&b.start_s))
    });
    bouts
}

/// The unions of a bout that a gap in the recording cuts off with one that comes out of the gap; `bouts` are in order of
/// start.
fn across_gaps(motion: &Motion, bouts: &[Bout]) -> Vec<Bout> {
    let before = |sample: usize| bouts.partition_point(|b| b.window.start < sample);
    let within = |run: &Range<usize>| &bouts[before(run.start)..before(run.end)];
    let mut unions = Vec::new();
    for pair in motion.runs.windows(2) {
        let (Some(last), Some(first)) = (
            pair[0]
                .end
                .checked_sub(1)
                .and_then(|k| motion.samples.get(k)),
            motion.samples.get(pair[1].start),
        ) else {
            continue;
        };
        if first.time_s - last.time_s > LONGEST_GAP_S {
            continue;
        }
        let into = within(&pair[0])
            .iter()
            .filter(|b| last.time_s - b.stop_s <= NEAR_GAP_S);
        for a in into {
            let out_of = within(&pair[1])
                .iter()
                .take_while(|b| b.start_s - first.time_s <= NEAR_GAP_S);
            unions.extend(out_of.map(|b| union(motion, a, b)));
        }
    }
    unions
}

fn union(motion: &Motion, a: &Bout, b: &Bout) -> Bout {
    let window = a.window.start..b.window.end;
    let hidden_s = b.start_s - a.stop_s;
    let shape = motion
        .has_position
        .then(|| shape::shape(&motion.samples[window.clone()]));
    let hidden_m = match (&a.shape, &b.shape) {
        (Some(a), Some(b)) => shape::distance(a.stop_m, b.start_m),
        _ => hidden_s * f64::midpoint(a.activity_m_s, b.activity_m_s),
    };
    let whole_s = b.stop_s - a.start_s;
    Bout {
        start_s: a.start_s,
        end_s: b.end_s,
        stop_s: b.stop_s,
        line_s: line_s(motion, &window, shape.as_ref()).unwrap_or(b.stop_s),
        peak_m_s: a.peak_m_s.max(b.peak_m_s),
        path_m: a.path_m + hidden_m + b.path_m,
        path_to_end_m: a.path_m + hidden_m + b.path_to_end_m,
        activity_m_s: f64::midpoint(a.activity_m_s, b.activity_m_s),
        shape,
        bridged: (a.bridged * a.stop_run_s() + hidden_s + b.bridged * b.stop_run_s()) / whole_s,
        window,
    }
}

/// The length of the path up to each sample, m, from the best speed.
fn cumulative_path(motion: &Motion) -> Vec<f64> {
    let mut sum = 0.0;
    motion
        .samples
        .iter()
        .map(|sample| {
            sum += sample.speed_m_s.max(0.0) * motion.step_s;
            sum
        })
        .collect()
}

/// Who stops within this of a line has stopped at it, m: by many fixes a second, and by few.
const AT_LINE_M: [f64; 2] = [1.0, 1.5];

/// When he is over the line that ends the last leg of a shape, s; `None` where he stops at it.
fn line_s(motion: &Motion, window: &Range<usize>, shape: Option<&shape::Shape>) -> Option<f64> {
    let few = motion.irregular || motion.rate_hz < 2.0;
    let samples = motion.samples.get(window.clone())?;
    let at = shape?.line_at(samples, AT_LINE_M[usize::from(few)])?;
    samples.get(at).map(|sample| sample.time_s)
}

fn bout(motion: &Motion, activity: &[f64], path: &[f64], edges: &edge::Edges) -> Bout {
    let window = edges.start..edges.stop + 1;
    let samples = &motion.samples[window.clone()];
    let n = samples.len() as f64;
    let shape = motion.has_position.then(|| shape::shape(samples));
    let stop_s = motion.samples[edges.stop].time_s;
    Bout {
        start_s: motion.samples[edges.start].time_s,
        end_s: motion.samples[edges.end].time_s,
        stop_s,
        line_s: line_s(motion, &window, shape.as_ref()).unwrap_or(stop_s),
        peak_m_s: edge::peak_m_s(samples),
        path_m: path[edges.stop] - path[edges.start],
        path_to_end_m: path[edges.end] - path[edges.start],
        activity_m_s: activity[window.clone()].iter().sum::<f64>() / n,
        shape,
        bridged: samples.iter().filter(|s| s.bridged).count() as f64 / n,
        window,
    }
}
