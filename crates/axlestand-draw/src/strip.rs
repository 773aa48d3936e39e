//! The plan as a strip along time.

use crate::xml::escape;
use std::fmt::Write as _;

/// A stretch of work in one place.
#[derive(Debug, Clone, PartialEq)]
pub struct StripBlock {
    /// Lane: the place.
    pub lane: String,
    /// What it is: "Strip, 12 rows".
    pub label: String,
    /// Minutes from the start of the work.
    pub start: f64,
    /// Length in minutes.
    pub minutes: f64,
    /// Whether all of it is done.
    pub done: bool,
}

/// A stretch of time in one car state.
#[derive(Debug, Clone, PartialEq)]
pub struct StripBand {
    /// The state: "on stands".
    pub label: String,
    /// Minutes from the start of the work.
    pub start: f64,
    /// Length in minutes.
    pub minutes: f64,
}

/// A plan to draw.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Strip {
    /// The title.
    pub title: String,
    /// Stretches of work in their order.
    pub blocks: Vec<StripBlock>,
    /// Car states in their order.
    pub bands: Vec<StripBand>,
}

const LEFT: f64 = 190.0;
const WIDTH: f64 = 1000.0;
const TOP: f64 = 84.0;
const LANE: f64 = 30.0;

/// The plan along time as an SVG document: places as lanes, car states as hatched or plain bands
/// above them, an axis in hours. Done work is filled, open work is outlined.
#[must_use]
pub fn plan_strip(strip: &Strip) -> String {
    let end = |start: f64, minutes: f64| start + minutes;
    let total = strip
        .blocks
        .iter()
        .map(|b| end(b.start, b.minutes))
        .chain(strip.bands.iter().map(|b| end(b.start, b.minutes)))
        .fold(1.0_f64, f64::max);
    let mut lanes: Vec<&str> = Vec::new();
    for block in &strip.blocks {
        if !lanes.contains(&block.lane.as_str()) {
            lanes.push(&block.lane);
        }
    }
    let x = |minutes: f64| LEFT + minutes / total * WIDTH;
    let height = TOP + LANE * lanes.len() as f64 + 40.0;
    let mut svg = String::new();
    let _ = write!(
        svg,
        r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {w} {height}" role="img" aria-labelledby="t d" font-family="DejaVu Sans, Verdana, sans-serif" font-size="13" fill="none" stroke="#111"><title id="t">{title}</title><desc id="d">{desc}</desc><rect x="0" y="0" width="{w}" height="{height}" fill="#fff" stroke="none"/><text x="8" y="26" font-size="18" fill="#111" stroke="none">{title}</text>"##,
        w = LEFT + WIDTH + 30.0,
        title = escape(&strip.title),
        desc = escape(&description(strip, total)),
    );
    bands(strip, &x, &mut svg);
    for (at, lane) in lanes.iter().enumerate() {
        let y = TOP + LANE * at as f64;
        let _ = write!(
            svg,
            r##"<text x="{}" y="{}" text-anchor="end" fill="#111" stroke="none">{}</text><line x1="{LEFT}" y1="{}" x2="{}" y2="{}" stroke="#bbb"/>"##,
            LEFT - 8.0,
            y + 19.0,
            escape(lane),
            y + LANE,
            LEFT + WIDTH,
            y + LANE,
        );
    }
    for block in &strip.blocks {
        let lane = lanes.iter().position(|lane| *lane == block.lane).unwrap_or(0);
        let y = TOP + LANE * lane as f64 + 5.0;
        let fill = if block.done { "#111" } else { "#fff" };
        let _ = write!(
            svg,
            r##"<g><title>{}</title><rect x="{:.1}" y="{y}" width="{:.1}" height="{}" fill="{fill}" stroke-width="1.5"/></g>"##,
            escape(&block.label),
            x(block.start),
            (x(block.start + block.minutes) - x(block.start)).max(2.0),
            LANE - 10.0,
        );
    }
    axis(total, height, &x, &mut svg);
    svg.push_str("</svg>");
    svg
}

fn description(strip: &Strip, total: f64) -> String {
    let states: Vec<_> =
        strip.bands.iter().map(|band| format!("{} {:.0} min", band.label, band.minutes)).collect();
    format!(
        "{} stretches of work over {total:.0} minutes. The car stands: {}.",
        strip.blocks.len(),
        states.join(", ")
    )
}

fn bands(strip: &Strip, x: &impl Fn(f64) -> f64, svg: &mut String) {
    for band in &strip.bands {
        let (from, to) = (x(band.start), x(band.start + band.minutes));
        let _ = write!(
            svg,
            r##"<g><title>{label}</title><rect x="{from:.1}" y="44" width="{:.1}" height="26" fill="#eee"/>"##,
            (to - from).max(1.0),
            label = escape(&format!("the car {}: {:.0} min", band.label, band.minutes)),
        );
        // A label is written only where it fits: 7.2 is the mean advance of a letter at 13 px.
        if to - from > 7.2 * band.label.chars().count() as f64 + 8.0 {
            let _ = write!(
                svg,
                r##"<text x="{:.1}" y="62" fill="#111" stroke="none">{}</text>"##,
                from + 5.0,
                escape(&band.label),
            );
        }
        svg.push_str("</g>");
    }
}

/// Hours below the lanes; every hour, every two or more where they would crowd.
fn axis(total: f64, height: f64, x: &impl Fn(f64) -> f64, svg: &mut String) {
    let hours = (total / 60.0).floor();
    let step = (hours / 14.0).ceil().max(1.0);
    let mut hour = 0.0;
    while hour <= hours {
        let at = x(hour * 60.0);
        let _ = write!(
            svg,
            r##"<line x1="{at:.1}" y1="{}" x2="{at:.1}" y2="{}"/><text x="{at:.1}" y="{}" text-anchor="middle" fill="#111" stroke="none">{hour:.0} h</text>"##,
            height - 34.0,
            height - 28.0,
            height - 12.0,
        );
        hour += step;
    }
}
