//! When a job is done, as a rising line of chances over the hours of work.

use crate::face;
use crate::look::{Tone, size, weight};
use crate::scene::{Anchor, Dash, Drawing, Item, Pen, Spot};

/// An end with its chance.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FinishEnd {
    /// The chance to be done by then, 0 to 1.
    pub chance: f64,
    /// Hours of work from now until then.
    pub hours: f64,
    /// When that is: "Sunday 19:30"; empty where nobody said when work is done.
    pub when: String,
}

/// A stretch of time in which work is done.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FinishSession {
    /// Its name: "Saturday".
    pub name: String,
    /// Hours of work from now until it begins.
    pub from: f64,
    /// Hours of work from now until it ends.
    pub to: f64,
}

/// How the end of a job is spread.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Finish {
    /// The title.
    pub title: String,
    /// What it rests on.
    pub note: String,
    /// Ends with their chances, in any order.
    pub ends: Vec<FinishEnd>,
    /// Sessions, one after the other: nights between them take no room.
    pub sessions: Vec<FinishSession>,
    /// By when it has to be done: its name, the hours of work until then, the chance.
    pub due: Option<FinishEnd>,
}

const WIDTH: f64 = 140.0;
const HEIGHT: f64 = 70.0;
const LEFT: f64 = 16.0;
const RIGHT: f64 = 8.0;
const EDGE: f64 = 3.0;
const TEXT: f64 = size::SMALL;
/// Chances that are told with their time, in 100.
const TOLD: [f64; 3] = [50.0, 80.0, 95.0];

/// Places of the plot on the paper.
struct Field {
    top: f64,
    last: f64,
}

impl Field {
    fn x(&self, hours: f64) -> f64 {
        let part = hours / self.last;
        LEFT + part.clamp(0.0, 1.0) * (WIDTH - LEFT - RIGHT)
    }

    fn y(&self, chance: f64) -> f64 {
        self.top + HEIGHT * (1.0 - chance.clamp(0.0, 1.0))
    }

    fn bottom(&self) -> f64 {
        self.top + HEIGHT
    }
}

/// The chance to be done against hours of work: sessions as bands, three ends told with their time, and a
/// mark for the hour by which it has to be done.
#[must_use]
pub fn finish_plot(finish: &Finish) -> Drawing {
    let finish = &sound(finish);
    let mut items = Vec::new();
    let mut y = EDGE + size::HEADING * 0.8;
    for line in face::lines(&finish.title, size::HEADING, true, WIDTH - 2.0 * EDGE) {
        items.push(Item::strong([EDGE, y], &line, size::HEADING, Tone::Ink));
        y += size::HEADING * 1.2;
    }
    items.push(Item::text([EDGE, y], "chance to be done, in 100", TEXT, Tone::Ink));
    let ends = finish.ends.iter().chain(&finish.due).map(|end| end.hours);
    let last = ends.chain(finish.sessions.iter().map(|s| s.to)).fold(1.0, f64::max);
    let field = Field { top: y + 7.0, last };
    items.extend(finish.sessions.iter().enumerate().map(|(at, session)| band(session, at, &field)));
    items.extend(grid(&field));
    items.push(line(&finish.ends, &field));
    items.extend(finish.due.iter().flat_map(|due| due_mark(due, &field)));
    items.extend(axis(&field));
    let mut down = field.bottom() + 12.0;
    for words in told(finish) {
        for line in face::lines(&words, size::BODY, false, WIDTH - 2.0 * EDGE) {
            items.push(Item::text([EDGE, down], &line, size::BODY, Tone::Ink));
            down += size::BODY * 1.32;
        }
    }
    for line in face::lines(&finish.note, TEXT, false, WIDTH - 2.0 * EDGE) {
        items.push(Item::text([EDGE, down], &line, TEXT, Tone::Quiet));
        down += TEXT * 1.35;
    }
    Drawing {
        size: [WIDTH, down + 1.0],
        title: finish.title.clone(),
        description: told(finish).join(" "),
        items,
    }
}

/// The same without numbers that are none; ends in their order, never falling.
fn sound(finish: &Finish) -> Finish {
    let fine = |end: &FinishEnd| (0.0..=1.0).contains(&end.chance) && (0.0..1e5).contains(&end.hours);
    let mut finish = finish.clone();
    finish.ends.retain(fine);
    finish.ends.sort_by(|a, b| a.chance.total_cmp(&b.chance).then(a.hours.total_cmp(&b.hours)));
    let mut least: f64 = 0.0;
    for end in &mut finish.ends {
        least = least.max(end.hours);
        end.hours = least;
    }
    finish.sessions.retain(|s| s.from >= 0.0 && s.to > s.from && s.to < 1e5);
    finish.due = finish.due.filter(fine);
    finish
}

/// The ends that are told, and the hour that was asked for.
fn told(finish: &Finish) -> Vec<String> {
    let when = |end: &FinishEnd| if end.when.is_empty() { String::new() } else { format!(", {}", end.when) };
    let end = |chance: &f64| {
        let end = finish.ends.iter().find(|end| (end.chance * 100.0 - chance).abs() < 0.5)?;
        Some(format!("{chance:.0} in 100: after {:.1} working hours{}.", end.hours, when(end)))
    };
    let due = finish.due.iter().map(|due| format!("By {}: {}.", due.when, chance(due.chance)));
    due.chain(TOLD.iter().filter_map(end)).collect()
}

/// A chance in words that never say never.
fn chance(chance: f64) -> String {
    match chance * 100.0 {
        below if below < 1.0 => "less than 1 in 100".to_owned(),
        above if above > 99.0 => "more than 99 in 100".to_owned(),
        percent => format!("{percent:.0} in 100"),
    }
}

/// A session: the edge at which it begins, its name above where that has room.
fn band(session: &FinishSession, at: usize, field: &Field) -> Item {
    let (from, to) = (field.x(session.from), field.x(session.to));
    let mut items = Vec::new();
    if session.from > 0.0 {
        let pen = Pen { tone: Tone::Quiet, weight: weight::FINE, dash: Dash::Long };
        items.push(Item::line(vec![[from, field.top], [from, field.bottom()]], pen));
    }
    if let Some(name) = short(&session.name, to - from - 1.0) {
        let spot = [(from + to) / 2.0, field.top - 1.2];
        items.push(Item::text(spot, name, TEXT, Tone::Quiet).anchored(Anchor::Middle));
    }
    Item::Group {
        id: format!("session-{at}"),
        title: session.name.clone(),
        description: format!("from {:.1} to {:.1} working hours", session.from, session.to),
        tap: None,
        items,
    }
}

/// As many whole words of a name as have room.
fn short(name: &str, room: f64) -> Option<&str> {
    let ends = name.match_indices(' ').map(|(at, _)| at).chain([name.len()]);
    let fits = |words: &&str| !words.is_empty() && face::width(words, TEXT, false) <= room;
    ends.map(|end| &name[..end]).rfind(fits)
}

fn grid(field: &Field) -> Vec<Item> {
    let fine = Pen::new(Tone::Faint, weight::FINE * 0.7);
    let mut items = Vec::new();
    for level in [0.0, 25.0, 50.0, 75.0, 100.0] {
        let y = field.y(level / 100.0);
        items.push(Item::line(vec![[LEFT, y], [WIDTH - RIGHT, y]], fine));
        let text = Item::text([LEFT - 1.5, y + TEXT * 0.35], &format!("{level:.0}"), TEXT, Tone::Ink);
        items.push(text.anchored(Anchor::End));
    }
    items
}

/// The rising line, level before its first end and after its last.
fn line(ends: &[FinishEnd], field: &Field) -> Item {
    let spots: Vec<Spot> = ends.iter().map(|end| [field.x(end.hours), field.y(end.chance)]).collect();
    let mut items = vec![Item::line(spots, Pen::new(Tone::Ink, weight::STRONG))];
    for end in ends.iter().filter(|end| TOLD.iter().any(|told| (end.chance * 100.0 - told).abs() < 0.5)) {
        let at = [field.x(end.hours), field.y(end.chance)];
        let pen = Some(Pen::new(Tone::Ink, weight::USUAL));
        items.push(Item::Circle { at, radius: 1.1, pen, fill: Some(Tone::Ground) });
    }
    Item::Group {
        id: "chances".to_owned(),
        title: "chance to be done".to_owned(),
        description: "against hours of work".to_owned(),
        tap: None,
        items,
    }
}

/// The hour by which it has to be done: an upright line, a dot where it meets the chances, and its name on
/// the side where the rising line is not: above and before it while the chance is small, else below it.
fn due_mark(due: &FinishEnd, field: &Field) -> [Item; 4] {
    let [x, y] = [field.x(due.hours), field.y(due.chance)];
    let words = face::fitted(&format!("by {}", due.when), TEXT, true, WIDTH / 2.0 - RIGHT);
    let wide = face::width(&words, TEXT, true) + 1.2;
    let early = due.chance < 0.5;
    let left = if early { x - wide > LEFT } else { x + wide > WIDTH - EDGE };
    let base = if early { field.top + TEXT + 0.8 } else { field.bottom() - 1.6 };
    let under = [if left { x - wide } else { x + 0.6 }, base - TEXT];
    let text = Item::strong([if left { x - 1.2 } else { x + 1.2 }, base], &words, TEXT, Tone::Ink);
    [
        Item::line(vec![[x, field.top], [x, field.bottom()]], Pen::new(Tone::Ink, weight::USUAL)),
        Item::Circle { at: [x, y], radius: 1.3, pen: None, fill: Some(Tone::Ink) },
        // No edge of a session goes through the words.
        Item::rect(under, [wide - 0.6, TEXT * 1.3], None, Some(Tone::Ground)),
        text.anchored(if left { Anchor::End } else { Anchor::Start }),
    ]
}

/// Hours of work below: every hour, every two or more where they would crowd.
fn axis(field: &Field) -> Vec<Item> {
    let step = (field.last / 12.0).ceil().max(1.0);
    let mut items = Vec::new();
    let mut hour = 0.0;
    while hour <= field.last + 1e-9 {
        let x = field.x(hour);
        let pen = Pen::new(Tone::Ink, weight::USUAL);
        items.push(Item::line(vec![[x, field.bottom()], [x, field.bottom() + 1.4]], pen));
        let text = Item::text([x, field.bottom() + 1.8 + TEXT], &format!("{hour:.0}"), TEXT, Tone::Ink);
        items.push(text.anchored(Anchor::Middle));
        hour += step;
    }
    let middle = [(LEFT + WIDTH - RIGHT) / 2.0, field.bottom() + 2.6 + 2.0 * TEXT];
    items.push(Item::text(middle, "working hours from now", TEXT, Tone::Ink).anchored(Anchor::Middle));
    items
}
