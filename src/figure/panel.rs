//! A rectangle of the page with two axes, in which plotters draws.

use std::fmt::Write as _;

use plotters::chart::ChartContext;
use plotters::coord::cartesian::Cartesian2d;
use plotters::prelude::*;

use super::Error;
use super::axis::{self, Axis};
use super::backend::Backend;
use super::canvas::Canvas;
use super::style::{self, Anchor, Colour};
use super::svg::Svg;

/// plotters places points at whole pixels, so a panel is drawn this much larger and scaled down.
const FINE: f64 = 8.0;

/// Where a panel lies on the page, and its axes.
pub(super) struct Panel {
    /// Left edge.
    pub(super) left: f64,
    /// Upper edge.
    pub(super) top: f64,
    /// Width.
    pub(super) width: f64,
    /// Height.
    pub(super) height: f64,
    /// From left to right.
    pub(super) across: Axis,
    /// From bottom to top.
    pub(super) up: Axis,
}

/// What is drawn into.
pub(super) type Chart<'a, 'b> = ChartContext<'a, Backend<'b>, Cartesian2d<Axis, Axis>>;

impl Panel {
    /// The page's x of a value of the axis across.
    pub(super) fn x(&self, value: f64) -> f64 {
        self.left + self.width * self.across.share(value)
    }

    /// The page's y of a value of the axis up.
    pub(super) fn y(&self, value: f64) -> f64 {
        self.top + self.height * (1.0 - self.up.share(value))
    }

    /// The lower edge.
    pub(super) fn bottom(&self) -> f64 {
        self.top + self.height
    }

    /// The right edge.
    pub(super) fn right(&self) -> f64 {
        self.left + self.width
    }

    /// A line across at a height of the page; `dash` as in SVG, or empty.
    pub(super) fn level(&self, page: &mut Canvas, y: f64, colour: Colour, width: f64, dash: &str) {
        page.line((self.left, y), (self.right(), y), colour, width, dash);
    }

    /// The grid, then what `series` draws over it, as an SVG fragment in page coordinates.
    pub(super) fn draw<F>(&self, series: F) -> Result<Svg, Error>
    where
        F: FnOnce(&mut Chart<'_, '_>) -> Result<(), Error>,
    {
        let size = (
            (self.width * FINE).round().max(1.0) as u32,
            (self.height * FINE).round().max(1.0) as u32,
        );
        let mut svg = Svg::default();
        let _ = writeln!(
            svg,
            "<g transform=\"translate({:.2} {:.2}) scale({})\">",
            self.left,
            self.top,
            1.0 / FINE
        );
        {
            let area = Backend::new(&mut svg, size).into_drawing_area();
            let mut chart = ChartBuilder::on(&area)
                .build_cartesian_2d(self.across.clone(), self.up.clone())
                .map_err(Error::drawing)?;
            chart
                .configure_mesh()
                .disable_axes()
                .bold_line_style(stroke(style::RULE, style::HAIR))
                .light_line_style(TRANSPARENT)
                .draw()
                .map_err(Error::drawing)?;
            series(&mut chart)?;
            area.present().map_err(Error::drawing)?;
        }
        svg.push("</g>\n");
        Ok(svg)
    }
}

/// The axis line below a panel, and the numbers beside it.
pub(super) fn frame(page: &mut Canvas, panel: &Panel) {
    let y = panel.bottom();
    panel.level(page, y, style::FRAME, 1.0, "");
    let whole_steps = (panel.up.numbers_told()).all(|t| (t - t.round()).abs() < 1e-9);
    let decimals = usize::from(!whole_steps);
    for tick in &panel.up.ticks {
        let text = format!("{:.decimals$}", tick * panel.up.per);
        page.text(
            panel.left - 7.0,
            panel.y(*tick) + 4.0,
            &text,
            style::TICK,
            Anchor::End,
        );
    }
}

/// A line of `width` page pixels.
pub(super) fn stroke(colour: Colour, width: f64) -> ShapeStyle {
    rgb(colour).stroke_width((width * FINE).round() as u32)
}

/// A fill.
pub(super) fn fill(colour: Colour, opacity: f64) -> ShapeStyle {
    rgb(colour).mix(opacity).filled()
}

/// The radius of a disc of `radius` page pixels.
pub(super) fn radius(radius: f64) -> u32 {
    (radius * FINE).round() as u32
}

/// The colour as plotters has it: as it is on paper, by which the [`Backend`] knows it again.
fn rgb(colour: Colour) -> RGBColor {
    let (r, g, b) = colour.light;
    RGBColor(r, g, b)
}

/// Seconds below a chart of reps, with what they are from so far below it.
pub(super) fn seconds_of_rep(page: &mut Canvas, chart: &Panel, caption_below: f64) {
    let bottom = chart.bottom();
    for tick in &chart.across.ticks {
        let text = axis::whole(*tick);
        page.text(
            chart.x(*tick),
            bottom + 15.0,
            &text,
            style::TICK,
            Anchor::Middle,
        );
    }
    let (at, caption) = (bottom + caption_below, "s from the start of the rep");
    page.text(chart.right(), at, caption, style::TICK, Anchor::End);
}
