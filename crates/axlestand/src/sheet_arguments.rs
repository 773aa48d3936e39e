//! The arguments of `sheet`.

use axlestand_garage::forecast::Ask;
use axlestand_garage::sheets::{SheetKind, SheetWanted};
use axlestand_garage::{AxleEnd, Hand, Paper, Room, Theme, View};
use clap::{Args, ValueEnum};
use std::path::PathBuf;

#[derive(Debug, Args)]
pub(crate) struct SheetArgs {
    /// What to make.
    #[arg(value_enum)]
    pub(crate) kind: Kind,
    /// One side only; a corner is drawn of the left side if absent.
    #[arg(long, value_enum)]
    pub(crate) side: Option<Side>,
    /// The axle whose corner is drawn.
    #[arg(long, value_enum, default_value_t = End::Front)]
    pub(crate) axle: End,
    /// One stage only, of the job sheets.
    #[arg(long, value_enum)]
    pub(crate) stage: Option<StageName>,
    /// The paper in the printer.
    #[arg(long, value_enum, default_value_t = PaperSize::A4)]
    pub(crate) paper: PaperSize,
    /// The fastener whose torque is drawn; of readings the method: strings.
    #[arg(long, value_name = "ITEM")]
    pub(crate) item: Option<String>,
    /// The day on which the work starts, for the calendar: 2027-04-10.
    #[arg(long, value_name = "DAY")]
    pub(crate) day: Option<String>,
    /// When you work, for the forecast, as often as needed: "Sat 9-18"; the forecast file's if absent.
    #[arg(long = "session", value_name = "DAYS HOURS")]
    pub(crate) sessions: Vec<String>,
    /// When work begins, for the forecast; now, if absent.
    #[arg(long, value_name = "WHEN")]
    pub(crate) from: Option<String>,
    /// By when it should be done, for the forecast: "Sun 18:00".
    #[arg(long, value_name = "WHEN")]
    pub(crate) by: Option<String>,
    /// From where a corner is looked at.
    #[arg(long, value_enum, default_value_t = From::Oblique)]
    pub(crate) view: From,
    /// For a phone: numbers beside the marks instead of names.
    #[arg(long)]
    pub(crate) narrow: bool,
    /// Light lines on a dark ground; for pictures only.
    #[arg(long)]
    pub(crate) dark: bool,
    /// The file to write; a sheet of the same kind is replaced.
    #[arg(short, long, value_name = "FILE")]
    pub(crate) out: Option<PathBuf>,
    /// Overwrite the file whatever it is.
    #[arg(long)]
    pub(crate) replace: bool,
}

/// What there is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Kind {
    /// The whole job's paper in one file (PDF).
    All,
    /// Rows to tick, by stage and side (PDF).
    Job,
    /// Open items only, the most dangerous first (PDF).
    Open,
    /// Final torques that wait, by car state (PDF).
    Deferred,
    /// What to buy, look up and start days before (PDF).
    Shopping,
    /// Tools to have, with those missing first (PDF).
    Tools,
    /// Labels for bags and tray places, with square codes (PDF).
    Labels,
    /// The card for the windscreen: DO NOT DRIVE, and what is open (PDF).
    Card,
    /// Report: fitness for the road (PDF).
    Road,
    /// Report: hand-over to whoever aligns the wheels (PDF).
    Alignment,
    /// What to read on the wheels, with boxes to write numbers in (PDF).
    Readings,
    /// Report: record for the next owner (PDF).
    Owner,
    /// Report: own notes for next time (PDF).
    Notes,
    /// Camber, toe and track against wheel travel (PDF).
    Curves,
    /// When it will be done: chances against working hours (PDF); takes --session, --by.
    Forecast,
    /// Clamp load of a fastener's torque against friction (PDF); takes --item.
    Torque,
    /// A corner of the car with its fasteners, as a picture (SVG).
    Corner,
    /// The plan along time, as a picture (SVG).
    Plan,
    /// What starts days before, the start, the rechecks (iCalendar).
    Calendar,
    /// Parts and fasteners (comma-separated values).
    Parts,
}

/// A paper size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum PaperSize {
    /// 210 × 297 mm.
    A4,
    /// 8.5 × 11 in.
    Letter,
}

/// One stage of a job.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum StageName {
    /// Before the car is lifted.
    Prepare,
    /// Taking apart.
    Strip,
    /// Putting back.
    Refit,
    /// Heights and angles.
    Set,
    /// Proof.
    Prove,
}

/// One side of the car.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Side {
    /// Left, as seen from the driver's seat.
    Left,
    /// Right, as seen from the driver's seat.
    Right,
}

/// One axle of the car.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum End {
    /// The front axle.
    Front,
    /// The rear axle.
    Rear,
}

/// From where a corner is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum From {
    /// From outside, in front and above.
    Oblique,
    /// From in front of the car.
    Front,
    /// From the wheel's side.
    Side,
    /// From above.
    Above,
}

impl SheetArgs {
    /// The name of the file where none is given.
    pub(crate) fn file_name(&self, extension: &str) -> String {
        let kind =
            self.kind.to_possible_value().map_or_else(String::new, |value| value.get_name().to_owned());
        let side = match self.side {
            Some(Side::Left) => "-left",
            Some(Side::Right) => "-right",
            None => "",
        };
        let axle = if self.axle == End::Rear { "-rear" } else { "" };
        let stage = self.stage.and_then(|stage| stage.to_possible_value());
        let stage = stage.map_or_else(String::new, |stage| format!("-{}", stage.get_name()));
        format!("{kind}{stage}{axle}{side}.{extension}")
    }

    /// What the garage is asked for.
    pub(crate) fn wanted(&self) -> SheetWanted {
        SheetWanted {
            kind: match self.kind {
                Kind::All => SheetKind::All,
                Kind::Job => SheetKind::Job,
                Kind::Open => SheetKind::Open,
                Kind::Deferred => SheetKind::Deferred,
                Kind::Shopping => SheetKind::Shopping,
                Kind::Tools => SheetKind::Tools,
                Kind::Labels => SheetKind::Labels,
                Kind::Card => SheetKind::Card,
                Kind::Road => SheetKind::Road,
                Kind::Alignment => SheetKind::Alignment,
                Kind::Readings => SheetKind::Readings,
                Kind::Owner => SheetKind::Owner,
                Kind::Notes => SheetKind::Notes,
                Kind::Curves => SheetKind::Curves,
                Kind::Forecast => SheetKind::Forecast,
                Kind::Torque => SheetKind::Torque,
                Kind::Corner => SheetKind::Corner,
                Kind::Plan => SheetKind::Plan,
                Kind::Calendar => SheetKind::Calendar,
                Kind::Parts => SheetKind::Parts,
            },
            side: self.side.map(|side| match side {
                Side::Left => Hand::Left,
                Side::Right => Hand::Right,
            }),
            axle: match self.axle {
                End::Front => AxleEnd::Front,
                End::Rear => AxleEnd::Rear,
            },
            stage: self.stage.and_then(|stage| Some(stage.to_possible_value()?.get_name().to_owned())),
            paper: match self.paper {
                PaperSize::A4 => Paper::A4,
                PaperSize::Letter => Paper::Letter,
            },
            item: self.item.clone(),
            day: self.day.clone(),
            ask: Ask {
                sessions: self.sessions.clone(),
                from: self.from.clone(),
                by: self.by.clone(),
                ..Ask::default()
            },
            view: match self.view {
                From::Oblique => View::Oblique,
                From::Front => View::Front,
                From::Side => View::Side,
                From::Above => View::Above,
            },
            room: if self.narrow { Room::Narrow } else { Room::Wide },
            theme: if self.dark { Theme::Slate } else { Theme::Paper },
        }
    }
}
