//! Pictures and paper: from a job to the plain inputs of the drawings and sheets.
//!
//! [`Garage::sheet`] makes one file: a picture (SVG), sheets to print (PDF), a calendar or a table. The same
//! job gives the same bytes: dates come from the ledger, never from the clock.

mod angles;
mod calendar;
mod corner;
mod finish;
mod friction_plot;
mod hardpoints;
mod job_sheet;
mod labels;
mod layouts;
mod lists;
mod pins;
mod plots;
mod readings;
mod reports;
mod values;
mod written;

use crate::error::GarageError;
use crate::forecast::Ask;
use crate::job::{Garage, Job};
use crate::neighbours::Neighbour;
use crate::picture::plan_picture;
use crate::units::Units;
use crate::views::{ReportView, prepare, report};
use axlestand_draw::corner::{Room, View};
use axlestand_draw::look::Theme;
use axlestand_draw::paper::{Block, Document, Paper};
use axlestand_model::{AxleEnd, Hand};
use axlestand_plan::Plan;

pub(crate) use corner::{Wanted, corner_of, end_of};
pub use written::{REPORT_PAGE, plan_file, write_report_page};

/// What a file is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SheetKind {
    /// The whole job's paper in one file.
    All,
    /// Rows to tick, by stage and side.
    Job,
    /// Open items only.
    Open,
    /// Final torques that wait, by car state.
    Deferred,
    /// What to buy, look up and start days before.
    Shopping,
    /// Tools.
    Tools,
    /// Labels for bags and tray places.
    Labels,
    /// The card for the windscreen.
    Card,
    /// Report: fitness for the road.
    Road,
    /// Report: hand-over to whoever aligns the wheels.
    Alignment,
    /// What to read on the wheels, with room to write.
    Readings,
    /// Report: record for the next owner.
    Owner,
    /// Report: own notes for next time.
    Notes,
    /// Camber, toe and track against wheel travel.
    Curves,
    /// When it will be done, as a plot, with what would help most.
    Forecast,
    /// Clamp load of a fastener's torque against friction.
    Torque,
    /// A corner of the car, as a picture.
    Corner,
    /// The plan along time, as a picture.
    Plan,
    /// The calendar.
    Calendar,
    /// Parts and fasteners, as a table.
    Parts,
}

/// Which file is wanted, and how.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetWanted {
    /// What about.
    pub kind: SheetKind,
    /// One side only.
    pub side: Option<Hand>,
    /// The axle whose corner is drawn.
    pub axle: AxleEnd,
    /// One stage only: "strip".
    pub stage: Option<String>,
    /// The paper.
    pub paper: Paper,
    /// From where a corner is looked at.
    pub view: View,
    /// How wide a picture is wanted.
    pub room: Room,
    /// The ground of a picture.
    pub theme: Theme,
    /// The fastener whose torque is drawn, or the method whose readings are listed, as typed.
    pub item: Option<String>,
    /// The day on which the work starts, for the calendar.
    pub day: Option<String>,
    /// What the forecast is asked: hours of work, from when, by when.
    pub ask: Ask,
}

/// A file that was made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetFile {
    /// What it is about.
    pub kind: SheetKind,
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// How its name ends: `pdf`, `svg`, `ics`, `csv`.
    pub extension: &'static str,
    /// Its pages, where it is paper.
    pub pages: Option<usize>,
}

impl Garage {
    /// The file that is wanted, from the current job as it stands.
    ///
    /// # Errors
    /// [`GarageError`] where no plan exists, the day is none, or the file cannot be made.
    pub fn sheet(&mut self, wanted: &SheetWanted, units: Units) -> Result<SheetFile, GarageError> {
        let job = self.job()?;
        if wanted.kind == SheetKind::Forecast {
            let (view, drawn) = self.forecast_drawn(&job, &wanted.ask)?;
            return printed(&job, wanted, finish::sheet(&view, &drawn));
        }
        let neighbours = self.neighbours(&job)?;
        sheet(&job, &neighbours, wanted, units)
    }
}

fn sheet(
    job: &Job,
    neighbours: &[Neighbour],
    wanted: &SheetWanted,
    units: Units,
) -> Result<SheetFile, GarageError> {
    let plan = job.plan()?;
    let kind = wanted.kind;
    let text =
        |text: String, extension| Ok(SheetFile { kind, bytes: text.into_bytes(), extension, pages: None });
    let picture = |svg: String| Ok(picture_file(kind, &svg));
    match wanted.kind {
        SheetKind::Corner => {
            let side = wanted.side.unwrap_or(Hand::Left);
            let corner = Wanted { end: wanted.axle, side, view: wanted.view, room: wanted.room, units };
            picture(corner_of(job, &plan, corner, None).svg(wanted.theme))
        }
        SheetKind::Plan => picture(plan_picture(job)?.svg(wanted.theme)),
        SheetKind::Parts => text(values::parts(job), "csv"),
        SheetKind::Calendar => {
            let (ready, told) = (prepare(job, units)?, report(job, units)?);
            text(calendar::file(job, &ready, &told, wanted.day.as_deref())?, "ics")
        }
        _ => printed(job, wanted, paper(job, neighbours, &plan, wanted, units)?),
    }
}

/// A picture as a file, its kind in a comment at the end.
fn picture_file(kind: SheetKind, svg: &str) -> SheetFile {
    let text = format!("{svg}\n<!-- {} -->\n", kind.keyword());
    SheetFile { kind, bytes: text.into_bytes(), extension: "svg", pages: None }
}

fn paper(
    job: &Job,
    neighbours: &[Neighbour],
    plan: &Plan,
    wanted: &SheetWanted,
    units: Units,
) -> Result<Vec<Block>, GarageError> {
    let kind = wanted.kind;
    let all = kind == SheetKind::All;
    let is = |one: SheetKind| all || kind == one;
    let mut blocks: Vec<Block> = Vec::new();
    if is(SheetKind::Card) {
        blocks.extend(labels::card(job, neighbours));
    }
    if is(SheetKind::Shopping) || is(SheetKind::Tools) || is(SheetKind::Job) {
        let ready = prepare(job, units)?;
        if is(SheetKind::Shopping) {
            blocks.extend(lists::shopping(&ready));
        }
        if is(SheetKind::Tools) {
            blocks.extend(lists::tools(&ready));
        }
        if is(SheetKind::Job) {
            blocks.extend(job_sheet::sheets(job, &ready, wanted.stage.as_deref(), wanted.side, units));
        }
    }
    if is(SheetKind::Open) {
        blocks.extend(lists::open(job, units));
    }
    if is(SheetKind::Deferred) {
        blocks.extend(lists::deferred(job, plan, units));
    }
    if is(SheetKind::Labels) {
        blocks.extend(labels::labels(job, plan, wanted.side));
    }
    let end = wanted.axle.word();
    let known = job.car.axles.iter().any(|axle| axle.name == end && !axle.points.is_empty());
    if kind == SheetKind::Curves || (all && known) {
        blocks.extend(plots::sheet(job, wanted.axle, wanted.side.unwrap_or(Hand::Left), units)?);
    }
    if kind == SheetKind::Readings {
        blocks.extend(readings::sheet(job, wanted.item.as_deref(), units)?);
    }
    if kind == SheetKind::Torque {
        blocks.extend(friction_plot::sheet(job, wanted.item.as_deref())?);
    }
    let reports = [SheetKind::Road, SheetKind::Alignment, SheetKind::Owner, SheetKind::Notes];
    if all || reports.contains(&kind) {
        let mut told = report(job, units)?;
        told.road = told.road.beside(neighbours);
        blocks.extend(told_blocks(job, &told, units, is));
    }
    Ok(blocks)
}

fn printed(job: &Job, wanted: &SheetWanted, blocks: Vec<Block>) -> Result<SheetFile, GarageError> {
    let kind = wanted.kind;
    if blocks.is_empty() {
        return Err(GarageError::Input(
            "the plan has no row for that stage and side, so there is nothing to print".to_owned(),
        ));
    }
    let title = blocks.iter().find_map(|block| match block {
        Block::Title { text, .. } => Some(text.clone()),
        _ => None,
    });
    let document = Document {
        title: format!(
            "{} · {}",
            if kind == SheetKind::All { "All sheets".to_owned() } else { title.unwrap_or_default() },
            job.name
        ),
        running: format!("{} · job {}{}", job.car.name, job.name, as_of(job)),
        disclaimer: "No inspection certificate. The vehicle maker's procedure and local law decide."
            .to_owned(),
        keyword: kind.keyword(),
        paper: wanted.paper,
        blocks,
    };
    let pdf = document.pdf().map_err(|why| GarageError::Input(why.to_string()))?;
    Ok(SheetFile { kind, bytes: pdf.bytes, extension: "pdf", pages: Some(pdf.pages) })
}

/// The reports that are wanted.
fn told_blocks(job: &Job, told: &ReportView, units: Units, is: impl Fn(SheetKind) -> bool) -> Vec<Block> {
    let mut blocks = Vec::new();
    if is(SheetKind::Road) {
        blocks.extend(reports::road(told));
    }
    if is(SheetKind::Alignment) {
        blocks.extend(reports::alignment(job, told, units));
    }
    if is(SheetKind::Owner) {
        blocks.extend(reports::owner(told));
    }
    if is(SheetKind::Notes) {
        blocks.extend(reports::notes(job, told));
    }
    blocks
}

/// The state that the sheet tells: the time of the last entry.
fn as_of(job: &Job) -> String {
    let time = job.state.entries.last().and_then(|entry| entry.at.get(..16));
    time.map_or_else(String::new, |time| format!(" · as of {}", time.replace('T', " ")))
}
