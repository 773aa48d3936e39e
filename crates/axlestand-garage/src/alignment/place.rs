//! Where something is read for the wheels' alignment, and how that place is called.
//!
//! A place is one number off one instrument. Its name is made of words joined by dots
//! (`string.front-left.front-edge`, with `.half-turn` behind it once the wheel was rolled on); the
//! first word is typed whole, of the others any beginning that tells them apart will do, and a wheel
//! may be `fl`, `fr`, `rl`, `rr`.

use super::survey::Spot;
use crate::error::GarageError;
use crate::units::Units;
use axlestand_geometry::conventions::Side;
use axlestand_geometry::estimation::alignment::{Axle, Edge, Wheel};
use axlestand_quantity::Dimension;
use std::collections::HashMap;
use std::sync::OnceLock;

/// One place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum Place {
    /// String to an edge of the rim.
    Rim { wheel: Wheel, edge: Edge, half_turn: bool },
    /// String to the hub's centre.
    Hub(Wheel),
    /// Between the strings, beyond an axle.
    Spacing(Axle),
    /// Between the two edges of a rim where it is read.
    RimSize,
    /// Tape across the plates of an axle, in front of or behind the wheels.
    Plates { axle: Axle, tape: Edge, half_turn: bool },
    /// Trammel between the scribed lines.
    Trammel { axle: Axle, line: Edge },
    /// Straight-edge from the rear rim to an edge of the front one.
    Straight { side: Side, gap: Edge, half_turn: bool },
    /// Gauge on a rim.
    Camber { wheel: Wheel, half_turn: bool },
    /// Dial gauge on a rim: its front edge less its rear edge, or top less bottom.
    RunOut { wheel: Wheel, top: bool },
    /// Water level above the floor under a wheel.
    Floor(Wheel),
    /// Gauge on a board across the floor under an axle, and turned end for end.
    Slope { axle: Axle, reversed: bool },
    /// By how much a front wheel is turned for the sweep.
    SweepTurn { wheel: Side, to: Side },
    /// Its camber then.
    SweepCamber { wheel: Side, to: Side },
    /// Hub to hub along a side.
    Wheelbase(Side),
    /// Front hub of a side to the rear hub of the other one.
    Diagonal(Side),
    /// Where the steering wheel is held.
    Steering,
    /// Where it stands when the car runs straight.
    SteeringRoad,
    /// Hub to arch.
    Height(Wheel),
    /// Thread that shows at a tie rod.
    Thread(Side),
    /// Pressure of a tyre.
    Pressure(Wheel),
    /// What is in the car.
    Load(Load),
    /// Camber of a wheel on stands with the hub raised by so much.
    BumpCamber(Wheel),
    /// Toe likewise.
    BumpToe(Wheel),
    /// A point of a wheel's corner, for the survey.
    Survey { wheel: Wheel, spot: Spot },
}

/// Where a load lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum Load {
    /// On the front seats.
    FrontSeats,
    /// On the rear seats.
    RearSeats,
    /// In the boot.
    Boot,
}

pub(crate) const AXLES: [Axle; 2] = [Axle::Front, Axle::Rear];
pub(crate) const SIDES: [Side; 2] = [Side::Left, Side::Right];
pub(crate) const EDGES: [Edge; 2] = [Edge::Front, Edge::Rear];
const LOADS: [Load; 3] = [Load::FrontSeats, Load::RearSeats, Load::Boot];

/// `front-left`.
pub(crate) fn wheel_word(wheel: Wheel) -> String {
    format!("{}-{}", wheel.axle, side_word(wheel.side))
}

/// `left`.
pub(crate) fn side_word(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
    }
}

fn edge_word(edge: Edge) -> &'static str {
    match edge {
        Edge::Front => "front",
        Edge::Rear => "rear",
    }
}

impl Place {
    /// Every place, in the order in which they are read.
    pub(crate) fn all() -> Vec<Self> {
        let mut all = vec![Self::RimSize];
        all.extend(AXLES.map(Self::Spacing));
        all.extend(Wheel::ALL.map(Self::Hub));
        for half_turn in [false, true] {
            all.extend(
                Wheel::ALL.iter().flat_map(|w| EDGES.map(|edge| Self::Rim { wheel: *w, edge, half_turn })),
            );
            all.extend(
                AXLES.iter().flat_map(|a| EDGES.map(|tape| Self::Plates { axle: *a, tape, half_turn })),
            );
            all.extend(
                SIDES.iter().flat_map(|s| EDGES.map(|gap| Self::Straight { side: *s, gap, half_turn })),
            );
            all.extend(Wheel::ALL.map(|wheel| Self::Camber { wheel, half_turn }));
        }
        all.extend(AXLES.iter().flat_map(|a| EDGES.map(|line| Self::Trammel { axle: *a, line })));
        all.extend(Wheel::ALL.iter().flat_map(|w| [false, true].map(|top| Self::RunOut { wheel: *w, top })));
        all.extend(Wheel::ALL.map(Self::Floor));
        all.extend(
            AXLES.iter().flat_map(|a| [false, true].map(|reversed| Self::Slope { axle: *a, reversed })),
        );
        for wheel in SIDES {
            for to in SIDES {
                all.extend([Self::SweepTurn { wheel, to }, Self::SweepCamber { wheel, to }]);
            }
        }
        all.extend(SIDES.map(Self::Wheelbase));
        all.extend(SIDES.map(Self::Diagonal));
        all.extend([Self::Steering, Self::SteeringRoad]);
        all.extend(Wheel::ALL.map(Self::Height));
        all.extend(SIDES.map(Self::Thread));
        all.extend(Wheel::ALL.map(Self::Pressure));
        all.extend(LOADS.map(Self::Load));
        all.extend(Wheel::ALL.iter().flat_map(|w| [Self::BumpCamber(*w), Self::BumpToe(*w)]));
        all.extend(Wheel::ALL.iter().flat_map(|w| Spot::all().map(|spot| Self::Survey { wheel: *w, spot })));
        all
    }

    /// The words of its name.
    fn words(self) -> Vec<String> {
        let own = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>();
        let axle = |axle: Axle| axle.to_string();
        let turned = |half: bool| if half { vec!["half-turn".to_owned()] } else { Vec::new() };
        match self {
            Self::Rim { wheel, edge, half_turn } => {
                let edge = format!("{}-edge", edge_word(edge));
                [vec!["string".to_owned(), wheel_word(wheel), edge], turned(half_turn)].concat()
            }
            Self::Hub(wheel) => vec!["string".to_owned(), wheel_word(wheel), "hub".to_owned()],
            Self::Spacing(a) => vec!["string".to_owned(), "spacing".to_owned(), axle(a)],
            Self::RimSize => own(&["string", "rim-size"]),
            Self::Plates { axle: a, tape, half_turn } => {
                let tape = format!("{}-tape", edge_word(tape));
                [vec!["plates".to_owned(), axle(a), tape], turned(half_turn)].concat()
            }
            Self::Trammel { axle: a, line } => {
                vec!["trammel".to_owned(), axle(a), format!("{}-lines", edge_word(line))]
            }
            Self::Straight { side, gap, half_turn } => {
                let gap = format!("{}-gap", edge_word(gap));
                [vec!["edge".to_owned(), side_word(side).to_owned(), gap], turned(half_turn)].concat()
            }
            Self::Camber { wheel, half_turn } => {
                [vec!["camber".to_owned(), wheel_word(wheel)], turned(half_turn)].concat()
            }
            Self::RunOut { wheel, top } => {
                let which = if top { "top" } else { "front" };
                vec!["run-out".to_owned(), wheel_word(wheel), which.to_owned()]
            }
            Self::Floor(wheel) => vec!["floor".to_owned(), wheel_word(wheel)],
            Self::Slope { axle: a, reversed } => {
                let last = if reversed { vec!["reversed".to_owned()] } else { Vec::new() };
                [vec!["floor".to_owned(), "slope".to_owned(), axle(a)], last].concat()
            }
            Self::SweepTurn { wheel, to } => sweep_words(wheel, to, "turn"),
            Self::SweepCamber { wheel, to } => sweep_words(wheel, to, "camber"),
            Self::Wheelbase(side) => own(&["length", "wheelbase", side_word(side)]),
            Self::Diagonal(side) => own(&["length", "diagonal", side_word(side)]),
            Self::Steering => own(&["steering", "held"]),
            Self::SteeringRoad => own(&["steering", "road"]),
            Self::Height(wheel) => vec!["height".to_owned(), wheel_word(wheel)],
            Self::Thread(side) => own(&["thread", side_word(side)]),
            Self::Pressure(wheel) => vec!["pressure".to_owned(), wheel_word(wheel)],
            Self::Load(Load::FrontSeats) => own(&["load", "front-seats"]),
            Self::Load(Load::RearSeats) => own(&["load", "rear-seats"]),
            Self::Load(Load::Boot) => own(&["load", "boot"]),
            Self::BumpCamber(wheel) => vec!["bump".to_owned(), wheel_word(wheel), "camber".to_owned()],
            Self::BumpToe(wheel) => vec!["bump".to_owned(), wheel_word(wheel), "toe".to_owned()],
            Self::Survey { wheel, spot } => {
                vec!["survey".to_owned(), wheel_word(wheel), spot.word().to_owned()]
            }
        }
    }

    /// Its name in commands and in the ledger.
    pub(crate) fn name(self) -> String {
        self.words().join(".")
    }

    /// The place of that whole name.
    pub(crate) fn named(name: &str) -> Option<Self> {
        static NAMES: OnceLock<HashMap<String, Place>> = OnceLock::new();
        let names =
            NAMES.get_or_init(|| Self::all().into_iter().map(|place| (place.name(), place)).collect());
        names.get(name).copied()
    }

    /// What kind of number it is: `rim-gap`; a row of data/alignment_readings.csv.
    pub(crate) fn kind(self) -> &'static str {
        match self {
            Self::Rim { .. } => "rim-gap",
            Self::Hub(_) => "hub-gap",
            Self::Spacing(_) => "spacing",
            Self::RimSize => "rim-size",
            Self::Plates { .. } => "plate-tape",
            Self::Trammel { .. } => "trammel",
            Self::Straight { .. } => "edge-gap",
            Self::Camber { .. } => "camber",
            Self::RunOut { .. } => "run-out",
            Self::Floor(_) => "water-level",
            Self::Slope { .. } => "slope",
            Self::SweepTurn { .. } => "steer-turn",
            Self::SweepCamber { .. } => "steer-camber",
            Self::Wheelbase(_) | Self::Diagonal(_) => "long-tape",
            Self::Steering | Self::SteeringRoad => "steering-wheel",
            Self::Height(_) => "height",
            Self::Thread(_) => "thread",
            Self::Pressure(_) => "pressure",
            Self::Load(_) => "load",
            Self::BumpCamber(_) => "bump-camber",
            Self::BumpToe(_) => "bump-toe",
            Self::Survey { spot, .. } => spot.instrument(),
        }
    }

    /// The place that stands for the whole reading this number is a part of: two tapes are one, and the
    /// four numbers of a sweep.
    pub(crate) fn reading(self) -> Self {
        let front = Edge::Front;
        match self {
            Self::Plates { axle, half_turn, .. } => Self::Plates { axle, tape: front, half_turn },
            Self::Trammel { axle, .. } => Self::Trammel { axle, line: front },
            Self::Straight { side, half_turn, .. } => Self::Straight { side, gap: front, half_turn },
            Self::Slope { axle, .. } => Self::Slope { axle, reversed: false },
            Self::SweepTurn { wheel, .. } | Self::SweepCamber { wheel, .. } => {
                Self::SweepCamber { wheel, to: Side::Left }
            }
            other => other,
        }
    }

    /// In what it is read.
    pub(crate) fn dimension(self) -> Dimension {
        match self {
            Self::Camber { .. }
            | Self::Slope { .. }
            | Self::SweepTurn { .. }
            | Self::SweepCamber { .. }
            | Self::Steering
            | Self::SteeringRoad
            | Self::BumpCamber(_)
            | Self::BumpToe(_) => Dimension::Angle,
            Self::Survey { spot, .. } if spot.is_angle() => Dimension::Angle,
            Self::Pressure(_) => Dimension::Pressure,
            Self::Load(_) => Dimension::Mass,
            _ => Dimension::Length,
        }
    }

    /// Its unit as it stands behind a number, with the blank where one belongs.
    pub(crate) fn unit(self) -> &'static str {
        match self.dimension() {
            Dimension::Angle => "°",
            Dimension::Pressure => " kPa",
            Dimension::Mass => " kg",
            _ => " mm",
        }
    }

    /// The same for lengths in the user's unit.
    pub(crate) fn unit_in(self, units: Units) -> &'static str {
        if self.dimension() == Dimension::Length && units == Units::Inch { " in" } else { self.unit() }
    }

    /// A standard uncertainty with its unit, lengths in the user's.
    pub(crate) fn uncertainty(self, u: f64, units: Units) -> String {
        match self.dimension() {
            Dimension::Length => units.uncertainty(u),
            _ => format!("{}{}", (u * 100.0).round() / 100.0, self.unit()),
        }
    }

    /// A number with its unit and so many places, lengths in the user's unit: `0.50 mm`, `0.12°`.
    pub(crate) fn said(self, value: f64, places: usize, units: Units) -> String {
        match self.dimension() {
            Dimension::Length => units.length(value, places),
            _ => format!("{value:.places$}{}", self.unit()),
        }
    }

    /// The same without its unit.
    pub(crate) fn figure(self, value: f64, places: usize, units: Units) -> String {
        let (value, places, _) = units.figure_in(value, places, self.dimension().own_unit());
        format!("{value:.places$}")
    }

    /// What `--at` means here; `None` where it means nothing.
    pub(crate) fn at_means(self) -> Option<&'static str> {
        match self {
            Self::Spacing(Axle::Front) => Some("how far ahead of the front hubs the bar with the strings is"),
            Self::Spacing(Axle::Rear) => Some("how far behind the rear hubs the bar with the strings is"),
            Self::Plates { .. } => Some("how far apart the two tapes are along a plate"),
            Self::Trammel { .. } => Some("how far apart the two places are, front to rear"),
            Self::Straight { .. } => Some("how far apart the two gaps are along the front rim"),
            Self::BumpCamber(_) | Self::BumpToe(_) => Some("by how much the hub is raised from ride height"),
            _ => None,
        }
    }

    /// Whether it stays as it is when an adjuster is turned and the car is raised and let down: the
    /// floor, the rim and a corner's geometry do.
    pub(crate) fn stays(self) -> bool {
        matches!(self, Self::Floor(_) | Self::Slope { .. } | Self::RimSize) || self.is_on_stands()
    }

    /// Whether it is read with the car on stands and the wheel off.
    pub(crate) fn is_on_stands(self) -> bool {
        matches!(self, Self::BumpCamber(_) | Self::BumpToe(_) | Self::Survey { .. })
    }

    /// The wheel that was typed: `fl`, `front-left` or a beginning of it that tells it.
    pub(crate) fn wheel(typed: &str) -> Option<Wheel> {
        let short = |wheel: &Wheel| initials(&wheel_word(*wheel)).as_deref() == Some(typed);
        let fits: Vec<Wheel> = Wheel::ALL
            .into_iter()
            .filter(|w| short(w) || (typed.len() > 2 && wheel_word(*w).starts_with(typed)))
            .collect();
        if let [wheel] = fits.as_slice() { Some(*wheel) } else { None }
    }

    /// Whether the first word of what was typed is that of a place.
    pub(crate) fn is_one(typed: &str) -> bool {
        let first = typed.trim().split_once('.').map(|(first, _)| first);
        first.is_some_and(|first| Self::all().iter().any(|place| place.words()[0] == first))
    }

    /// The place that was typed.
    ///
    /// # Errors
    /// [`GarageError::Selection`] with the names that could be meant.
    pub(crate) fn parse(typed: &str) -> Result<Self, GarageError> {
        let pieces: Vec<&str> = typed.trim().split('.').map(str::trim).collect();
        let fits: Vec<Self> = Self::all().into_iter().filter(|place| place.fits(&pieces)).collect();
        let exact = fits.iter().find(|place| place.name() == typed.trim());
        // The shorter name is meant where the longer one only adds to it.
        let short = fits.iter().filter(|place| place.words().len() == pieces.len()).collect::<Vec<_>>();
        match (exact, short.as_slice(), fits.as_slice()) {
            (Some(place), _, _) => Ok(*place),
            (None, [place], _) => Ok(**place),
            (None, [], [place]) => Ok(*place),
            _ => Err(GarageError::Selection(not_one(typed, &pieces, &fits))),
        }
    }

    fn fits(self, pieces: &[&str]) -> bool {
        let words = self.words();
        pieces.len() <= words.len()
            && pieces.first().is_some_and(|first| *first == words[0])
            && pieces.iter().zip(&words).skip(1).all(|(piece, word)| {
                let short = matches!(*piece, "fl" | "fr" | "rl" | "rr");
                !piece.is_empty()
                    && if short { initials(word).as_deref() == Some(piece) } else { word.starts_with(piece) }
            })
    }
}

/// The initials of a wheel's word: `fl`.
fn initials(word: &str) -> Option<String> {
    let (axle, side) = word.split_once('-')?;
    matches!(side, "left" | "right").then(|| axle.chars().take(1).chain(side.chars().take(1)).collect())
}

fn sweep_words(wheel: Side, to: Side, what: &str) -> Vec<String> {
    vec!["caster".to_owned(), side_word(wheel).to_owned(), format!("to-{}", side_word(to)), what.to_owned()]
}

fn not_one(typed: &str, pieces: &[&str], fits: &[Place]) -> String {
    let listed = |places: &[Place]| {
        let names: Vec<String> = places.iter().take(8).map(|place| place.name()).collect();
        let more = places.len().saturating_sub(8);
        let and = if more > 0 { format!(" and {more} more") } else { String::new() };
        format!("{}{and}", names.join(", "))
    };
    if !fits.is_empty() {
        return format!("'{typed}' may mean {}; type more of the name", listed(fits));
    }
    let all: Vec<Place> =
        Place::all().into_iter().filter(|place| pieces.first() == Some(&place.words()[0].as_str())).collect();
    let known = if all.is_empty() { listed(&Place::all()) } else { listed(&all) };
    format!("there is no place '{typed}'; there are {known} ('axlestand read --guide' shows the methods)")
}

#[cfg(test)]
mod tests {
    use super::Place;
    use std::collections::HashSet;

    #[test]
    fn every_name_is_read_back_and_none_is_there_twice() {
        let all = Place::all();
        let names: HashSet<String> = all.iter().map(|place| place.name()).collect();
        assert_eq!(names.len(), all.len());
        for place in all {
            assert_eq!(Place::parse(&place.name()).unwrap(), place);
            assert_eq!(Place::named(&place.name()), Some(place));
        }
    }

    #[test]
    fn beginnings_are_enough_and_what_is_open_is_asked() {
        for (typed, name) in [
            ("string.fl.f", "string.front-left.front-edge"),
            ("string.fl.f.h", "string.front-left.front-edge.half-turn"),
            ("string.fr.front-edge", "string.front-right.front-edge"),
            ("string.rr.hub", "string.rear-right.hub"),
            ("string.s.f", "string.spacing.front"),
            ("plates.f.rear", "plates.front.rear-tape"),
            ("camber.front-l", "camber.front-left"),
            ("caster.l.to-r.c", "caster.left.to-right.camber"),
            ("steering.h", "steering.held"),
        ] {
            assert_eq!(Place::parse(typed).unwrap().name(), name, "{typed}");
        }
        for (typed, piece) in [
            ("string.f", "type more of the name"),
            ("string.xy.f", "there is no place"),
            ("strin.fl.f", "there is no place"),
            ("string.", "there is no place"),
            ("", "there is no place"),
        ] {
            assert!(Place::parse(typed).unwrap_err().to_string().contains(piece), "{typed}");
        }
    }
}
