//! Time spent by place: a Gaussian kernel density on a metric grid.

use std::ops::Range;

use crate::estimation::quantile::{median, of_rank};
use crate::motion::{Motion, Sample};

/// Least bandwidth, m: a stride to either side; below it the picture shows single runs instead of where time went.
const LEAST_BANDWIDTH_M: f64 = 1.5;
/// The kernel is cut off after so many bandwidths, where it has lost 99.97 % of its height.
const KERNEL_REACH: f64 = 4.0;
/// Most cells of a side of a map as wide as the page.
pub(super) const MOST_CELLS: f64 = 480.0;
/// The share of time left outside a side before what lies far beyond is cropped.
const TAIL: f64 = 0.0025;

/// Seconds per square metre on a grid of square cells.
#[derive(Clone, Debug)]
pub(super) struct Density {
    /// West edge of the grid, m.
    pub(super) west_m: f64,
    /// South edge of the grid, m.
    pub(super) south_m: f64,
    /// Side of a cell, m.
    pub(super) cell_m: f64,
    /// Cells from west to east.
    pub(super) columns: usize,
    /// Cells from south to north.
    pub(super) rows: usize,
    /// Seconds per square metre, row by row from the south-west corner.
    pub(super) cells: Vec<f64>,
    /// Standard deviation of the kernel, m.
    pub(super) bandwidth_m: f64,
    /// The share of the time with a position that lies inside the grid.
    pub(super) shown: f64,
}

/// Rates from here on are those of receivers worn between the shoulders, Hz.
const FAST_HZ: f64 = 5.0;
/// What a place on earth is off along one axis, one standard deviation, m: by receivers of 10 Hz worn on the back (the
/// poorer of two), and by a watch on the wrist.
///
/// The smoother knows how positions scatter from fix to fix and not how far all of them lie off together, so this comes
/// from the literature: third quartiles of the horizontal error of 2.09 and 5.29 m, which are 1.665 standard deviations
/// of an axis.
///
/// # References
/// Gløersen, Kocbach, Gilgien (2018), Front Physiol 9:1425, 10.3389/fphys.2018.01425.
const PLACE_SD_M: [f64; 2] = [2.09 / 1.665, 5.29 / 1.665];

/// What a place of a motion may be off along one axis, one standard deviation, m.
pub(super) fn place_sd_m(motion: &Motion) -> f64 {
    let known = PLACE_SD_M[usize::from(motion.rate_hz < FAST_HZ)];
    let placed: Vec<&Sample> = motion.samples.iter().collect();
    median_sd(&placed).max(known)
}

/// Where a player was, sample by sample.
#[derive(Clone, Debug)]
pub(super) struct Stay {
    /// Places, m.
    places_m: Vec<[f64; 2]>,
    /// Time that each of them stands for, s.
    step_s: f64,
    /// What a place may be off along one axis, one standard deviation, m.
    pub(super) position_sd_m: f64,
}

impl Stay {
    /// Where `motion` was, each place moved by `to`; `None` without positions.
    pub(super) fn of(motion: &Motion, to: impl Fn([f64; 2]) -> [f64; 2]) -> Option<Self> {
        Self::each(motion, [f64::NEG_INFINITY..f64::INFINITY], to).pop()?
    }

    /// The same of parts of its time.
    pub(super) fn each(
        motion: &Motion,
        spans_s: impl IntoIterator<Item = Range<f64>>,
        to: impl Fn([f64; 2]) -> [f64; 2],
    ) -> Vec<Option<Self>> {
        let position_sd_m = place_sd_m(motion);
        let part = |span_s: Range<f64>| {
            let from = motion.samples.partition_point(|s| s.time_s < span_s.start);
            let until = motion.samples.partition_point(|s| s.time_s < span_s.end);
            let places_m: Vec<[f64; 2]> = motion.samples[from..until.max(from)]
                .iter()
                .map(|s| [s.x_m, s.y_m])
                .filter(|[x, y]| motion.has_position && x.is_finite() && y.is_finite())
                .map(&to)
                .collect();
            (!places_m.is_empty()).then_some(Self {
                places_m,
                step_s: motion.step_s,
                position_sd_m,
            })
        };
        spans_s.into_iter().map(part).collect()
    }

    /// All of its time, s.
    pub(super) fn time_s(&self) -> f64 {
        self.places_m.len() as f64 * self.step_s
    }
}

/// Where the time of each stay went, all on one grid and with one bandwidth; `None` without positions.
///
/// ## Definition
/// Each sample spreads its time step as a normal distribution of the bandwidth around its place. The bandwidth is the
/// standard deviation of a place, of the stay where it is widest, and at least 1.5 m. A place so far out
/// that the grid would mostly be empty is cropped: at most 0.25 % of the time beyond each side, and only where it lies
/// more than a quarter of the extent (or 15 m) farther out than the rest. The grid holds at least what lies inside
/// `shown_m` (least and greatest along both axes) and has at most `most_cells` cells a side.
///
/// ## Units
/// Metres and seconds; the result in s/m².
///
/// ## References
/// Silverman (1986), Density Estimation for Statistics and Data Analysis, Chapman and Hall, section 4.2.
pub(super) fn laid(
    stays: &[Stay],
    shown_m: Option<[f64; 4]>,
    most_cells: f64,
) -> Option<Vec<Density>> {
    let all = |axis: usize| {
        let places = stays.iter().flat_map(|stay| &stay.places_m);
        let (least, most) = extent(places.map(|place| place[axis]).collect())?;
        Some(shown_m.map_or((least, most), |shown| {
            (least.min(shown[2 * axis]), most.max(shown[2 * axis + 1]))
        }))
    };
    let (x, y) = (all(0)?, all(1)?);
    let longest_m = (x.1 - x.0).max(y.1 - y.0);
    if !longest_m.is_finite() {
        return None;
    }
    let bandwidth_m = stays
        .iter()
        .map(|stay| stay.position_sd_m)
        .fold(LEAST_BANDWIDTH_M, f64::max)
        .max(longest_m / most_cells * 1.5);
    let margin_m = 3.0 * bandwidth_m;
    let cell_m = ((longest_m + 2.0 * margin_m) / most_cells).max(bandwidth_m / 3.0);
    let (west_m, south_m) = (x.0 - margin_m, y.0 - margin_m);
    let columns = ((x.1 + margin_m - west_m) / cell_m).ceil() as usize;
    let rows = ((y.1 + margin_m - south_m) / cell_m).ceil() as usize;
    let grid = Density {
        west_m,
        south_m,
        cell_m,
        columns,
        rows,
        cells: Vec::new(),
        bandwidth_m,
        shown: 0.0,
    };
    Some(stays.iter().map(|stay| grid.filled(stay)).collect())
}

impl Density {
    /// This grid with the time of a stay.
    fn filled(&self, stay: &Stay) -> Self {
        let mut cells = vec![0.0; self.columns * self.rows];
        let mut inside = 0usize;
        for [x_m, y_m] in &stay.places_m {
            let column = ((x_m - self.west_m) / self.cell_m).floor();
            let row = ((y_m - self.south_m) / self.cell_m).floor();
            let across = 0.0 <= column && column < self.columns as f64;
            if !(across && 0.0 <= row && row < self.rows as f64) {
                continue;
            }
            if let Some(cell) = cells.get_mut(row as usize * self.columns + column as usize) {
                *cell += stay.step_s / (self.cell_m * self.cell_m);
                inside += 1;
            }
        }
        let kernel = kernel(self.bandwidth_m / self.cell_m);
        let along = smooth(&cells, self.columns, &kernel);
        let across = smooth(&transpose(&along, self.columns), self.rows, &kernel);
        Self {
            cells: transpose(&across, self.rows),
            shown: inside as f64 / stay.places_m.len() as f64,
            ..*self
        }
    }

    /// The level that encloses `share` of the time shown in the smallest area.
    pub(super) fn level(&self, share: f64) -> f64 {
        let mut sorted = self.cells.clone();
        sorted.sort_unstable_by(|a, b| b.total_cmp(a));
        let goal = share * sorted.iter().sum::<f64>();
        let mut sum = 0.0;
        sorted
            .into_iter()
            .find(|cell| {
                sum += cell;
                goal <= sum
            })
            .unwrap_or(0.0)
    }

    /// The highest value, s/m².
    pub(super) fn highest(&self) -> f64 {
        self.cells.iter().copied().fold(0.0, f64::max)
    }

    /// The area where the density is at or above `level`, m².
    pub(super) fn area_m2(&self, level: f64) -> f64 {
        self.cells.iter().filter(|c| **c >= level).count() as f64 * self.cell_m * self.cell_m
    }
}

/// Where values lie, without what is far out; `None` when there are none.
fn extent(mut values: Vec<f64>) -> Option<(f64, f64)> {
    let last = values.len().checked_sub(1)?;
    let tail = (last as f64 * TAIL) as usize;
    let low = of_rank(&mut values, tail)?;
    let high = of_rank(&mut values, last - tail)?;
    let reach = (0.25 * (high - low)).max(15.0);
    let least = values.iter().copied().fold(f64::INFINITY, f64::min);
    let greatest = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let from = if least < low - reach { low } else { least };
    let to = if high + reach < greatest {
        high
    } else {
        greatest
    };
    Some((from, to))
}

/// The median standard deviation of the positions, m; 0 when none is known.
fn median_sd(samples: &[&Sample]) -> f64 {
    let sds = samples.iter().map(|s| s.position_sd_m);
    median(sds.filter(|sd| sd.is_finite()).collect()).unwrap_or(0.0)
}

/// A normal kernel of `sd` cells, from its middle out; the whole of it sums to 1.
fn kernel(sd: f64) -> Vec<f64> {
    let reach = (KERNEL_REACH * sd).ceil() as usize;
    let mut half: Vec<f64> = (0..=reach)
        .map(|i| (-0.5 * (i as f64 / sd).powi(2)).exp())
        .collect();
    let sum = 2.0 * half.iter().sum::<f64>() - 1.0;
    for weight in &mut half {
        *weight /= sum;
    }
    half
}

/// Each row of `width` cells smoothed along itself.
fn smooth(cells: &[f64], width: usize, kernel: &[f64]) -> Vec<f64> {
    let mut out = vec![0.0; cells.len()];
    for (row, smoothed) in cells.chunks_exact(width).zip(out.chunks_exact_mut(width)) {
        for (i, cell) in row.iter().enumerate() {
            // Most cells are empty at the start, so spreading the full ones is the short way.
            if *cell == 0.0 {
                continue;
            }
            for (offset, weight) in kernel.iter().enumerate() {
                if let Some(right) = smoothed.get_mut(i + offset) {
                    *right += weight * cell;
                }
                if offset > 0 && offset <= i {
                    smoothed[i - offset] += weight * cell;
                }
            }
        }
    }
    out
}

/// Rows of `width` cells become columns.
fn transpose(cells: &[f64], width: usize) -> Vec<f64> {
    (0..width)
        .flat_map(|column| cells.iter().skip(column).step_by(width).copied())
        .collect()
}

#[cfg(test)]
mod tests {
    use std::f64::consts::TAU;

    use super::{Density, MOST_CELLS, Stay, laid};
    use crate::motion::{Motion, Sample, SpeedFrom};

    fn density(motion: &Motion) -> Option<Density> {
        let stay = Stay::of(motion, |place| place)?;
        laid(&[stay], None, MOST_CELLS)?.pop()
    }

    fn motion(places: &[(f64, f64)]) -> Motion {
        let samples: Vec<Sample> = places
            .iter()
            .enumerate()
            .map(|(i, (x_m, y_m))| Sample {
                time_s: i as f64 * 0.1,
                x_m: *x_m,
                y_m: *y_m,
                position_sd_m: 0.5,
                ..Sample::default()
            })
            .collect();
        Motion::of_run(samples, 10.0, SpeedFrom::Both)
    }

    /// A normal distribution in the plane is 1 / (2 pi h^2) high at its middle (analytic): ten seconds on one
    /// spot with h = 1.5 m make 10 / (2 pi 2.25) s/m².
    #[test]
    fn a_still_player_gives_one_kernel() {
        let found = density(&motion(&[(3.0, -2.0); 100])).expect("positions");
        let expected = 10.0 / (TAU * 2.25);
        // The grid of a third of the bandwidth misses the middle by up to half a cell.
        assert!(
            (found.highest() / expected - 1.0).abs() < 0.03,
            "{}",
            found.highest()
        );
    }

    #[test]
    fn no_time_is_lost_and_what_is_far_out_is_cropped() {
        let mut places: Vec<(f64, f64)> = (0..10_000)
            .map(|i| (f64::from(i % 100), f64::from(i / 100 % 60)))
            .collect();
        places.extend([(5000.0, 5000.0); 10]);
        let found = density(&motion(&places)).expect("positions");
        assert!((found.shown - 10_000.0 / 10_010.0).abs() < 1e-12);
        assert!(found.columns as f64 * found.cell_m < 150.0);
        let total: f64 = found.cells.iter().sum::<f64>() * found.cell_m * found.cell_m;
        assert!((total / 1000.0 - 1.0).abs() < 2e-3, "{total}");
        let half = found.level(0.5);
        let inside: f64 = found.cells.iter().filter(|c| **c >= half).sum();
        let share = inside / found.cells.iter().sum::<f64>();
        assert!((share - 0.5).abs() < 0.01, "{share}");
    }

    /// The shares of a day add up to the day, each on the same grid.
    #[test]
    fn parts_of_the_time_lie_on_one_grid() {
        let walk: Vec<(f64, f64)> = (0..400).map(|i| (f64::from(i) * 0.1, 3.0)).collect();
        let motion = motion(&walk);
        let parts: Vec<Stay> = Stay::each(&motion, [0.0..20.0, 20.0..40.0], |place| place)
            .into_iter()
            .collect::<Option<_>>()
            .expect("positions");
        let shown_m = Some([-10.0, 60.0, -20.0, 20.0]);
        let found = laid(&parts, shown_m, MOST_CELLS).expect("positions");
        let time_s = |d: &Density| d.cells.iter().sum::<f64>() * d.cell_m * d.cell_m;
        assert!((parts[0].time_s() - 20.0).abs() < 1e-9);
        assert!(found.iter().all(|d| (time_s(d) - 20.0).abs() < 0.05));
        assert!(found[0].west_m <= -10.0 && found[0].south_m <= -20.0);
        assert_eq!(found[0].columns, found[1].columns);
    }

    #[test]
    fn without_positions_there_is_none() {
        let mut still = motion(&[(0.0, 0.0)]);
        still.has_position = false;
        assert!(density(&still).is_none());
        assert!(density(&motion(&[])).is_none());
        assert!(density(&motion(&[(f64::NAN, 0.0)])).is_none());
    }
}
