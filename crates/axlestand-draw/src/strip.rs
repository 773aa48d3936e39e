//! The plan as a strip along time.

use crate::face;
use crate::look::{Tone, size, weight};
use crate::scene::{Anchor, Dash, Drawing, Item, Pen};

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

/// A stretch of time: a car state, or a wait.
#[derive(Debug, Clone, PartialEq)]
pub struct StripBand {
    /// The state: "on stands"; what goes on by itself: "sealant cures, 1 h".
    pub label: String,
    /// Minutes from the start of the work.
    pub start: f64,
    /// Length in minutes.
    pub minutes: f64,
}

/// Where one may stop for the night: the car stands safely.
#[derive(Debug, Clone, PartialEq)]
pub struct StripStop {
    /// Why here: "all wheels on, on its wheels".
    pub label: String,
    /// Minutes from the start of the work.
    pub at: f64,
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
    /// Waits.
    pub waits: Vec<StripBand>,
    /// Where one may stop for the night.
    pub stops: Vec<StripStop>,
    /// From where on nothing goes back as it was: the row before which one may still turn round.
    pub no_return: Option<StripStop>,
    /// Where the work stands, where it has begun.
    pub now: Option<StripStop>,
}

const LEFT: f64 = 40.0;
const WIDTH: f64 = 220.0;
const EDGE: f64 = 3.0;
const TOP: f64 = 24.5;
/// Upper edge and height of the band of car states.
const STATES: [f64; 2] = [15.0, 6.5];
const LANE: f64 = 7.5;
const TEXT: f64 = size::SMALL;

/// The plan along time: places as lanes, car states as bands above them, waits as lanes under the places, stops marked
/// below, an axis in hours. Done work is filled, open work is outlined.
#[must_use]
pub fn plan_strip(strip: &Strip) -> Drawing {
    let strip = &sound(strip);
    let stretches = strip.blocks.iter().map(|b| (b.start, b.minutes));
    let bands = strip.bands.iter().chain(&strip.waits).map(|b| (b.start, b.minutes));
    let total = stretches.chain(bands).map(|(start, minutes)| start + minutes).fold(1.0_f64, f64::max);
    let x = |minutes: f64| LEFT + (minutes / total).clamp(0.0, 1.0) * WIDTH;
    let mut lanes: Vec<&str> = Vec::new();
    for block in &strip.blocks {
        if !lanes.contains(&block.lane.as_str()) {
            lanes.push(&block.lane);
        }
    }
    // What goes on by itself comes under the work.
    let places = lanes.len();
    for wait in &strip.waits {
        if !lanes[places..].contains(&wait.label.as_str()) {
            lanes.push(&wait.label);
        }
    }
    let bottom = TOP + LANE * lanes.len() as f64;
    let title = face::fitted(&strip.title, size::HEADING, true, LEFT + WIDTH - EDGE);
    let mut items = vec![Item::strong([EDGE, 7.0], &title, size::HEADING, Tone::Ink)];
    items.extend(strip.bands.iter().map(|band| state(band, &x)));
    let untold: Vec<&StripBand> = strip.bands.iter().filter(|band| !fits(band, &x)).collect();
    items.extend(lanes.iter().enumerate().flat_map(|(at, lane)| lane_lines(lane, TOP + LANE * at as f64)));
    for wait in &strip.waits {
        let lane = lanes[places..].iter().position(|lane| *lane == wait.label).unwrap_or(0);
        items.push(waiting(wait, TOP + LANE * (places + lane) as f64, &x));
    }
    for block in &strip.blocks {
        let lane = lanes.iter().position(|lane| *lane == block.lane).unwrap_or(0);
        items.push(work(block, TOP + LANE * lane as f64, &x));
    }
    items.extend(strip.stops.iter().map(|stop| night(stop, bottom, &x)));
    items.extend(strip.no_return.iter().map(|mark| no_return(mark, bottom, &x)));
    items.extend(strip.now.iter().map(|mark| work_stands(mark, bottom, &x)));
    items.extend(axis(total, bottom + 4.5, &x));
    let mut down = bottom + 13.0;
    if !strip.stops.is_empty() {
        items.extend(stop_words(down + 1.0));
        down += 5.0;
    }
    for band in untold {
        let hours = |minutes: f64| format!("{:.1} h", minutes / 60.0);
        let (from, to) = (hours(band.start), hours(band.start + band.minutes));
        let words = format!("car {}: from {from} to {to}", band.label);
        items.push(Item::text([LEFT, down + 1.0 + TEXT * 0.36], &words, TEXT, Tone::Ink));
        down += 4.2;
    }
    Drawing {
        size: [LEFT + WIDTH + 7.0, down],
        title: strip.title.clone(),
        description: description(strip, total),
        items,
    }
}

/// The strip without times that are none.
fn sound(strip: &Strip) -> Strip {
    let sound = |start: f64, minutes: f64| (0.0..1e6).contains(&start) && (0.0..1e6).contains(&minutes);
    let mut strip = strip.clone();
    strip.blocks.retain(|block| sound(block.start, block.minutes));
    strip.bands.retain(|band| sound(band.start, band.minutes));
    strip.waits.retain(|wait| sound(wait.start, wait.minutes));
    strip.stops.retain(|stop| sound(stop.at, 0.0));
    strip.no_return = strip.no_return.filter(|mark| sound(mark.at, 0.0));
    strip.now = strip.now.filter(|mark| sound(mark.at, 0.0));
    strip
}

fn description(strip: &Strip, total: f64) -> String {
    let states: Vec<_> =
        strip.bands.iter().map(|band| format!("{} {:.0} min", band.label, band.minutes)).collect();
    let mut words = format!(
        "{} stretches of work over {total:.0} minutes. The car stands: {}.",
        strip.blocks.len(),
        states.join(", ")
    );
    if let Some(mark) = &strip.no_return {
        words.push_str(&format!(" No way back from minute {:.0}: {}.", mark.at, mark.label));
    }
    if let Some(mark) = &strip.now {
        words.push_str(&format!(" The work stands at minute {:.0}: {}.", mark.at, mark.label));
    }
    for wait in &strip.waits {
        words.push_str(&format!(" From minute {:.0}: {}.", wait.start, wait.label));
    }
    for stop in &strip.stops {
        words.push_str(&format!(" Stop for the night after {:.0} minutes: {}.", stop.at, stop.label));
    }
    words
}

/// A named part of the strip.
fn named(kind: &str, label: &str, at: f64, items: Vec<Item>) -> Item {
    Item::Group {
        id: format!("{kind}-{at:.0}"),
        title: label.to_owned(),
        description: format!("{kind}, {at:.0} minutes from the start"),
        tap: None,
        items,
    }
}

/// Whether a band has room for its words.
fn fits(band: &StripBand, x: &impl Fn(f64) -> f64) -> bool {
    x(band.start + band.minutes) - x(band.start) > face::width(&band.label, TEXT, false) + 2.4
}

fn state(band: &StripBand, x: &impl Fn(f64) -> f64) -> Item {
    let (from, to) = (x(band.start), x(band.start + band.minutes));
    let pen = Pen::new(Tone::Ink, weight::USUAL);
    let mut items = vec![Item::rect([from, STATES[0]], [(to - from).max(0.3), STATES[1]], Some(pen), None)];
    // A label is written only where it fits, else below the axis.
    if fits(band, x) {
        items.push(Item::text([from + 1.2, STATES[0] + 4.3], &band.label, TEXT, Tone::Ink));
    }
    named("the-car", &band.label, band.start, items)
}

fn lane_lines(lane: &str, y: f64) -> [Item; 2] {
    let fine = Pen::new(Tone::Faint, weight::FINE);
    let name = face::fitted(lane, TEXT, false, LEFT - EDGE - 2.0);
    [
        Item::text([LEFT - 2.0, y + LANE / 2.0 + TEXT * 0.36], &name, TEXT, Tone::Ink).anchored(Anchor::End),
        Item::line(vec![[LEFT, y + LANE], [LEFT + WIDTH, y + LANE]], fine),
    ]
}

fn work(block: &StripBlock, y: f64, x: &impl Fn(f64) -> f64) -> Item {
    let (from, to) = (x(block.start), x(block.start + block.minutes));
    let fill = if block.done { Tone::Ink } else { Tone::Ground };
    let pen = Pen::new(Tone::Ink, weight::USUAL);
    let bar = Item::rect([from, y + 1.2], [(to - from).max(0.4), LANE - 2.4], Some(pen), Some(fill));
    named("work", &block.label, block.start, vec![bar])
}

/// A wait: a bar of broken lines, for nobody works.
fn waiting(wait: &StripBand, y: f64, x: &impl Fn(f64) -> f64) -> Item {
    let (from, to) = (x(wait.start), x(wait.start + wait.minutes));
    let pen = Pen { tone: Tone::Ink, weight: weight::USUAL, dash: Dash::Long };
    let bar = Item::rect([from, y + 2.4], [(to - from).max(0.4), LANE - 4.8], Some(pen), Some(Tone::Ground));
    named("wait", &wait.label, wait.start, vec![bar])
}

/// Where one may stop: a triangle under the lanes.
fn night(stop: &StripStop, bottom: f64, x: &impl Fn(f64) -> f64) -> Item {
    let at = x(stop.at);
    let sign = vec![[at, bottom + 0.4], [at + 1.5, bottom + 3.2], [at - 1.5, bottom + 3.2]];
    named("stop-tonight", &stop.label, stop.at, vec![Item::area(sign, None, Some(Tone::Ink))])
}

/// What the triangles mean.
fn stop_words(y: f64) -> [Item; 2] {
    let sign = vec![[LEFT, y - 1.9], [LEFT + 1.5, y + 0.9], [LEFT - 1.5, y + 0.9]];
    let words = "the work may stop here for the night: nothing hangs, nothing rolls";
    [
        Item::area(sign, None, Some(Tone::Ink)),
        Item::text([LEFT + 3.0, y + TEXT * 0.36], words, TEXT, Tone::Ink),
    ]
}

/// From where on nothing goes back as it was: a broken line through everything, named above.
fn no_return(mark: &StripStop, bottom: f64, x: &impl Fn(f64) -> f64) -> Item {
    let at = x(mark.at);
    let pen = Pen { tone: Tone::Ink, weight: weight::STRONG, dash: Dash::Long };
    let words = "no way back from here";
    let fits = at + face::width(words, TEXT, true) < LEFT + WIDTH;
    let anchor = if fits { Anchor::Start } else { Anchor::End };
    // The names of the car states stay free.
    let above = Item::line(vec![[at, STATES[0] - 3.6], [at, STATES[0]]], Pen { dash: Dash::Full, ..pen });
    let line = Item::line(vec![[at, STATES[0] + STATES[1]], [at, bottom]], pen);
    let beside = at + if fits { 1.2 } else { -1.2 };
    let text = Item::strong([beside, STATES[0] - 1.2], words, TEXT, Tone::Ink).anchored(anchor);
    named("no-way-back", &mark.label, mark.at, vec![above, line, text])
}

/// Where the work stands: a line in the tone of now, named below the lanes' end.
fn work_stands(mark: &StripStop, bottom: f64, x: &impl Fn(f64) -> f64) -> Item {
    let at = x(mark.at);
    let line = Item::line(vec![[at, STATES[0]], [at, bottom]], Pen::new(Tone::Now, weight::STRONG));
    let fits = at + 10.0 < LEFT + WIDTH;
    let anchor = if fits { Anchor::Start } else { Anchor::End };
    let beside = at + if fits { 1.2 } else { -1.2 };
    let text = Item::strong([beside, TOP - 0.9 + TEXT * 0.36], "NOW", TEXT, Tone::Now).anchored(anchor);
    named("now", &mark.label, mark.at, vec![line, text])
}

/// Hours below the lanes; every hour, every two or more where they would crowd.
fn axis(total: f64, y: f64, x: &impl Fn(f64) -> f64) -> Vec<Item> {
    let hours = (total / 60.0).floor();
    let step = (hours / 14.0).ceil().max(1.0);
    let mut items = Vec::new();
    let mut hour = 0.0;
    while hour <= hours {
        let at = x(hour * 60.0);
        items.push(Item::line(vec![[at, y], [at, y + 1.8]], Pen::new(Tone::Ink, weight::USUAL)));
        let text = Item::text([at, y + 2.2 + TEXT], &format!("{hour:.0} h"), TEXT, Tone::Ink);
        items.push(text.anchored(Anchor::Middle));
        hour += step;
    }
    items
}
