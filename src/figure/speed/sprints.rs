//! The sprints of the speed chart: found, marked, numbered.

use crate::efforts::{Effort, Kind};
use crate::figure::canvas::{Canvas, Mark};
use crate::figure::panel::Panel;
use crate::figure::style::{self, Anchor};
use crate::figure::{Scene, lettering};

/// The sprints, in order of start.
pub(super) fn of<'a>(scene: &Scene<'a>) -> impl Iterator<Item = &'a Effort> {
    scene.efforts.of_kind(Kind::Sprint)
}

/// When an effort is fastest, s.
fn peak_time(scene: &Scene<'_>, effort: &Effort) -> f64 {
    let samples = scene.motion.samples.get(effort.window.clone());
    samples
        .unwrap_or_default()
        .iter()
        .max_by(|a, b| a.speed_m_s.total_cmp(&b.speed_m_s))
        .map_or(0.5 * (effort.start_s + effort.end_s), |s| s.time_s)
}

/// A triangle above each sprint; the fastest carry their peak where there is room.
pub(super) fn mark(page: &mut Canvas, scene: &Scene<'_>, plot: &Panel) {
    let range = &plot.across.range;
    let mut inside: Vec<&Effort> = of(scene)
        .filter(|e| range.start <= e.start_s && e.start_s < range.end)
        .filter(|e| e.peak_speed_m_s.value.is_finite())
        .collect();
    inside.sort_by(|a, b| b.peak_speed_m_s.value.total_cmp(&a.peak_speed_m_s.value));
    let mut taken: Vec<(f64, f64)> = Vec::new();
    for sprint in inside {
        let peak_s = peak_time(scene, sprint).clamp(range.start, range.end);
        let peak = sprint.peak_speed_m_s.value.clamp(0.0, plot.up.range.end);
        let (x, y) = (plot.x(peak_s), (plot.y(peak) - 9.0).max(plot.top + 14.0));
        let sign = if sprint.near_threshold {
            Mark::OpenDown
        } else {
            Mark::Down
        };
        page.mark(sign, (x, y), 8.0, style::PICKED);
        let text = scene.speeds.number(sprint.peak_speed_m_s.value, 1);
        let half = lettering::width(&text, style::VALUE) / 2.0 + 3.0;
        if taken
            .iter()
            .all(|(from, to)| x + half < *from || *to < x - half)
        {
            page.text(x, y - 7.0, &text, style::VALUE, Anchor::Middle);
            taken.push((x - half, x + half));
        }
    }
}
