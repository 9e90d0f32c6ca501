//! The maps of several sessions on one grid, and their places on the page.

use super::Named;
use super::ground::{Apart, Ground, stays};
use super::letter;
use crate::figure::axis::{self, Axis, round_step};
use crate::figure::canvas::Canvas;
use crate::figure::density::{Density, MOST_CELLS, Stay, laid};
use crate::figure::heatmap::{LEFT, RIGHT, TOP};
use crate::figure::panel::Panel;
use crate::figure::style::{self, Anchor};

/// Between two maps: room for the numbers of the right one.
const BETWEEN: f64 = 56.0;
/// Room above a map for its name, and below it for its numbers.
const NAME: f64 = 26.0;
const NUMBERS: f64 = 44.0;
/// Greatest height of a map.
const TALLEST: f64 = 560.0;
/// Most maps beside each other.
const MOST_COLUMNS: usize = 3;

/// The maps of several sessions.
pub(super) struct Maps {
    pub(super) ground: Ground,
    pub(super) names: Vec<String>,
    pub(super) stays: Vec<Stay>,
    pub(super) densities: Vec<Density>,
}

impl Maps {
    /// The maps, or why the sessions share no ground.
    pub(super) fn of(sessions: &[Named<'_>]) -> Result<Self, Apart> {
        let (ground, stays) = stays(sessions)?;
        let densities = laid(&stays, None, MOST_CELLS).ok_or(Apart::NoPositions)?;
        Ok(Self {
            ground,
            names: sessions
                .iter()
                .enumerate()
                .map(|(k, named)| format!("{}  {}", letter(k), named.name))
                .collect(),
            stays,
            densities,
        })
    }

    /// The grid that all maps lie on.
    pub(super) fn grid(&self) -> Option<&Density> {
        self.densities.first()
    }

    /// Places for so many maps, and the y below all of them.
    pub(super) fn places(&self, count: usize) -> (Vec<Panel>, f64) {
        let Some(grid) = self.grid() else {
            return (Vec::new(), TOP);
        };
        let columns = count.clamp(1, MOST_COLUMNS);
        let room = style::WIDTH - LEFT - RIGHT - (columns - 1) as f64 * BETWEEN;
        let (width_m, height_m) = (
            grid.columns as f64 * grid.cell_m,
            grid.rows as f64 * grid.cell_m,
        );
        let scale = (room / columns as f64 / width_m).min(TALLEST / height_m);
        let (width, height) = (width_m * scale, height_m * scale);
        // A narrow map still needs room for its name and the numbers below it.
        let pitch = (width + BETWEEN).max(150.0);
        let step_m = round_step(56.0 / scale);
        let panels = (0..count)
            .map(|k| Panel {
                left: LEFT + (k % columns) as f64 * pitch,
                top: TOP + NAME + (k / columns) as f64 * (height + NAME + NUMBERS),
                width,
                height,
                across: Axis::stepped(grid.west_m..grid.west_m + width_m, step_m),
                up: Axis::stepped(grid.south_m..grid.south_m + height_m, step_m),
            })
            .collect();
        let rows = count.div_ceil(columns);
        let below = TOP + rows as f64 * (height + NAME + NUMBERS);
        (panels, below.max(TOP + 320.0))
    }

    /// Frame, name and numbers of a map.
    pub(super) fn frame(page: &mut Canvas, map: &Panel, name: &str) {
        page.outline(
            (map.left, map.top),
            (map.width, map.height),
            style::FRAME,
            1.0,
        );
        page.fitted(
            map.left,
            map.top - 9.0,
            name,
            style::LABEL,
            map.width.max(120.0),
        );
        for tick in &map.across.ticks {
            page.text(
                map.x(*tick),
                map.bottom() + 15.0,
                &axis::whole(*tick),
                style::TICK,
                Anchor::Middle,
            );
        }
        for tick in &map.up.ticks {
            page.text(
                map.left - 7.0,
                map.y(*tick) + 4.0,
                &axis::whole(*tick),
                style::TICK,
                Anchor::End,
            );
        }
    }

    /// Which way is which, in words.
    pub(super) fn axes(&self) -> &'static str {
        match self.ground {
            Ground::Earth => "metres east and north",
            Ground::Pitch => "metres along and across the pitch",
        }
    }
}
