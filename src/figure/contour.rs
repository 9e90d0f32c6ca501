//! Lines of equal value on a grid: marching squares, joined to long lines.
//!
//! By hand, since what we keep has no lines of a grid (plotters fills cells, `geo` knows shapes alone), and a library for it would bring
//! its own arrays and no rule for saddles that stays the same from version to version, as pictures must.

/// No edge.
const NONE: usize = usize::MAX;

/// The lines along which the values of a grid pass `level`, in cell units from the centre of the first cell.
///
/// ## Definition
/// Each square of four neighbouring cells is cut where the values, linear along its edges, pass the level; a saddle is
/// decided by the mean of its corners. A closed line ends where it began.
///
/// ## References
/// Lorensen and Cline (1987), Marching cubes, Computer Graphics 21(4), 163-169, in two dimensions.
pub(super) fn contours(cells: &[f64], columns: usize, level: f64) -> Vec<Vec<(f64, f64)>> {
    let rows = cells.len().checked_div(columns).unwrap_or(0);
    let value = |c: usize, r: usize| cells.get(r * columns + c).copied().unwrap_or(0.0);
    // Every edge is named by the cell it starts from: even names go east, odd ones north.
    let mut links = vec![[NONE; 2]; 2 * cells.len()];
    for r in 0..rows.saturating_sub(1) {
        for c in 0..columns.saturating_sub(1) {
            let corners = [
                value(c, r),
                value(c + 1, r),
                value(c + 1, r + 1),
                value(c, r + 1),
            ];
            let at = r * columns + c;
            let edges = [2 * at, 2 * (at + 1) + 1, 2 * (at + columns), 2 * at + 1];
            for (a, b) in segments(corners, level).into_iter().flatten() {
                join(&mut links, edges[a], edges[b]);
            }
        }
    }
    let point = |edge: usize| {
        let (c, r) = (edge / 2 % columns, edge / 2 / columns);
        let (here, next) = if edge.is_multiple_of(2) {
            (value(c, r), value(c + 1, r))
        } else {
            (value(c, r), value(c, r + 1))
        };
        let part = ((level - here) / (next - here)).clamp(0.0, 1.0);
        if edge.is_multiple_of(2) {
            (c as f64 + part, r as f64)
        } else {
            (c as f64, r as f64 + part)
        }
    };
    // Open lines first, from one of their ends; what is left is closed.
    let ends = (0..links.len()).filter(|e| links[*e][0] != NONE && links[*e][1] == NONE);
    let starts: Vec<usize> = ends.chain(0..links.len()).collect();
    let mut lines = Vec::new();
    let mut walked = vec![false; links.len()];
    for start in starts {
        if links[start][0] == NONE || walked[start] {
            continue;
        }
        let mut line = Vec::new();
        let mut edge = start;
        loop {
            walked[edge] = true;
            line.push(point(edge));
            match links[edge]
                .into_iter()
                .find(|next| *next != NONE && !walked[*next])
            {
                Some(next) => edge = next,
                None => break,
            }
        }
        if line.len() > 2 && links[edge].contains(&start) {
            line.push(point(start));
        }
        lines.push(line);
    }
    lines
}

/// Ties two edges together.
fn join(links: &mut [[usize; 2]], a: usize, b: usize) {
    for (from, to) in [(a, b), (b, a)] {
        if let Some(slot) = links
            .get_mut(from)
            .and_then(|slots| slots.iter_mut().find(|s| **s == NONE))
        {
            *slot = to;
        }
    }
}

/// Which edges of a square are joined: south, east, north, west are 0 to 3.
fn segments(corners: [f64; 4], level: f64) -> [Option<(usize, usize)>; 2] {
    let bits = corners
        .iter()
        .enumerate()
        .fold(0, |bits, (i, v)| bits | (usize::from(*v >= level) << i));
    let high = corners.iter().sum::<f64>() / 4.0 >= level;
    match bits {
        1 | 14 => [Some((3, 0)), None],
        2 | 13 => [Some((0, 1)), None],
        3 | 12 => [Some((3, 1)), None],
        4 | 11 => [Some((1, 2)), None],
        6 | 9 => [Some((0, 2)), None],
        7 | 8 => [Some((3, 2)), None],
        5 if high => [Some((3, 2)), Some((0, 1))],
        5 => [Some((3, 0)), Some((1, 2))],
        10 if high => [Some((3, 0)), Some((1, 2))],
        10 => [Some((3, 2)), Some((0, 1))],
        _ => [None, None],
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::contours;

    /// The line of a cone at height h is a circle; its length and area are known.
    #[test]
    fn a_cone_gives_one_closed_circle() {
        let (columns, radius) = (61, 20.0);
        let cells: Vec<f64> = (0..columns * columns)
            .map(|i| {
                let (x, y) = ((i % columns) as f64 - 30.0, (i / columns) as f64 - 30.0);
                100.0 - x.hypot(y)
            })
            .collect();
        let lines = contours(&cells, columns, 100.0 - radius);
        assert_eq!(lines.len(), 1);
        assert_eq!(lines[0].first(), lines[0].last());
        let length: f64 = lines[0]
            .windows(2)
            .map(|w| (w[1].0 - w[0].0).hypot(w[1].1 - w[0].1))
            .sum();
        assert!(
            (length / (2.0 * PI * radius) - 1.0).abs() < 0.01,
            "{length}"
        );
        let twice_area: f64 = lines[0]
            .windows(2)
            .map(|w| w[0].0 * w[1].1 - w[1].0 * w[0].1)
            .sum();
        assert!((0.5 * twice_area.abs() / (PI * radius * radius) - 1.0).abs() < 0.01);
    }

    #[test]
    fn a_plane_gives_one_open_line_and_a_flat_grid_none() {
        let cells: Vec<f64> = (0..50).map(|i| f64::from(i % 10)).collect();
        let lines = contours(&cells, 10, 4.5);
        assert_eq!(lines.len(), 1);
        assert_eq!(lines[0].len(), 5);
        assert!(lines[0].iter().all(|p| (p.0 - 4.5).abs() < 1e-12));
        assert!(contours(&[1.0; 50], 10, 4.5).is_empty());
        assert!(contours(&[], 0, 1.0).is_empty());
    }
}
