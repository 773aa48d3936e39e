//! What to read next: the readings that bring most for their minutes.

use super::aims::Aim;
use super::chain::Chain;
use super::instruments::instrument;
use super::place::{AXLES, EDGES, Place, SIDES};
use super::rounds::{Gauged, Round};
use super::sizes::Sizes;
use super::taken::collected;
use crate::toolbox::GaugeEntry;
use axlestand_geometry::estimation::alignment::{Axle, Plan, Quantity, Wheel};
use axlestand_geometry::estimation::conformity::Zone;
use serde::Serialize;

/// Readings worth taking.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct NextReading {
    /// What to read.
    pub what: String,
    /// The method whose list guides through it.
    pub method: &'static str,
    /// Minutes (AX-20).
    pub minutes: f64,
    /// What it brings: quantity, standard uncertainty now and then.
    pub brings: Vec<String>,
    /// Line for people.
    pub line: String,
}

/// Readings that belong together.
struct Block {
    what: &'static str,
    method: &'static str,
    /// Minutes besides those of the readings: setting up (AX-20).
    set_up: f64,
    places: Vec<Place>,
}

impl Block {
    /// Half a turn on is read after the first position; bars and hubs alone tell nothing without rims.
    fn is_due(&self, round: &Round) -> bool {
        let read = |place: Place| round.readings.iter().any(|one| one.place == place);
        self.places.iter().all(|place| match *place {
            Place::Rim { wheel, edge, half_turn: true } => read(Place::Rim { wheel, edge, half_turn: false }),
            Place::Plates { axle, tape, half_turn: true } => {
                read(Place::Plates { axle, tape, half_turn: false })
            }
            Place::Camber { wheel, half_turn: true } => read(Place::Camber { wheel, half_turn: false }),
            Place::Hub(wheel) if self.places.len() < 8 => {
                read(Place::Rim { wheel, edge: EDGES[0], half_turn: false })
            }
            _ => true,
        })
    }
}

fn rims(half_turn: bool) -> Vec<Place> {
    Wheel::ALL.iter().flat_map(|w| EDGES.map(|edge| Place::Rim { wheel: *w, edge, half_turn })).collect()
}

fn blocks() -> Vec<Block> {
    let plates = |half_turn| EDGES.map(|tape| Place::Plates { axle: Axle::Front, tape, half_turn }).to_vec();
    let lines: Vec<Place> = AXLES.map(Place::Spacing).into_iter().chain(Wheel::ALL.map(Place::Hub)).collect();
    let cambers = |half_turn| Wheel::ALL.map(|wheel| Place::Camber { wheel, half_turn }).to_vec();
    let sweep = SIDES.iter().flat_map(|wheel| {
        SIDES.iter().flat_map(|to| {
            [Place::SweepTurn { wheel: *wheel, to: *to }, Place::SweepCamber { wheel: *wheel, to: *to }]
        })
    });
    let block = |what, method, set_up, places| Block { what, method, set_up, places };
    vec![
        block(
            "strings: bars, hubs and both edges of every rim",
            "strings",
            20.0,
            [lines.clone(), rims(false)].concat(),
        ),
        block("strings: lengths of the bars and gaps at the hubs", "strings", 2.0, lines),
        block("strings: the rims half a turn on", "strings", 4.0, rims(true)),
        block("toe plates, front", "plates", 4.0, plates(false)),
        block("toe plates, front, half a turn on", "plates", 4.0, plates(true)),
        block("camber of every wheel", "camber", 2.0, cambers(false)),
        block("camber of every wheel, half a turn on", "camber", 4.0, cambers(true)),
        block("the floor by water level", "floor", 8.0, Wheel::ALL.map(Place::Floor).to_vec()),
        block("the caster sweep", "caster", 10.0, sweep.collect()),
    ]
}

/// A number that might be read there; its size does not matter.
fn imagined(place: Place, gauges: &[GaugeEntry]) -> Gauged {
    let (value, at) = match place {
        Place::Spacing(_) => (2000.0, Some(900.0)),
        Place::Plates { .. } => (1500.0, Some(600.0)),
        Place::Camber { .. } | Place::SweepCamber { .. } => (0.0, None),
        Place::SweepTurn { .. } => (20.0, None),
        _ => (100.0, None),
    };
    Gauged { place, value, u: instrument(place, gauges).u, own_u: false, at }
}

/// How uncertain each unfinished quantity should be: a third of half its tolerance lets it be proven.
const WANTED_SHARE: f64 = 1.0 / 3.0;
/// Half a tolerance where the file's target is still to be looked up, degrees (AX-23).
const UNKNOWN_HALF: f64 = 0.3;
/// For the steering wheel, degrees at the road wheel.
const WANTED_THRUST: f64 = 0.07;

/// The best readings to take next, at most three, and whether any is worth it.
pub(crate) fn next_readings(
    chain: &Chain,
    sizes: &Sizes,
    aims: &[Aim],
    round: &Round,
    gauges: &[GaugeEntry],
) -> Vec<NextReading> {
    let Some(estimate) = &chain.estimate else { return Vec::new() };
    let open =
        aims.iter().filter(|aim| !matches!(aim.judged(chain.known(aim.quantity)), Some((_, Zone::In))));
    let mut wanted: Vec<(Quantity, f64)> = open
        .filter_map(|aim| {
            let half = aim.limits.map_or(UNKNOWN_HALF, |limits| (limits.upper() - limits.lower()) / 2.0);
            (aim.limits.is_some() || chain.known(aim.quantity).is_none())
                .then_some((aim.quantity, WANTED_SHARE * half))
        })
        .collect();
    if chain.told(Quantity::Thrust).is_none()
        && aims.iter().any(|aim| aim.quantity == Quantity::TotalToe(Axle::Front))
    {
        wanted.push((Quantity::Thrust, WANTED_THRUST));
    }
    if wanted.is_empty() {
        return Vec::new();
    }
    let plan = |block: &Block| {
        let readings: Vec<Gauged> = block.places.iter().map(|place| imagined(*place, gauges)).collect();
        let minutes: f64 =
            block.set_up + block.places.iter().map(|place| instrument(*place, gauges).minutes).sum::<f64>();
        let round = Round { readings, turned: Vec::new() };
        Plan { name: block.what.to_owned(), minutes, readings: collected(&sizes.car, &round).taken }
    };
    let blocks: Vec<Block> = blocks().into_iter().filter(|block| block.is_due(round)).collect();
    let plans: Vec<Plan> = blocks.iter().map(plan).collect();
    let Ok(ranked) = estimate.rank_next(&wanted, &plans) else { return Vec::new() };
    let quantities: Vec<Quantity> = wanted.iter().map(|(quantity, _)| *quantity).collect();
    let Ok(now) = estimate.assumed(&quantities) else { return Vec::new() };
    let view = |worth: &axlestand_geometry::estimation::Worth| {
        let block = &blocks[worth.candidate];
        let better = |i: &usize| worth.u[*i] < 0.9 * now.list()[*i].u;
        let brings: Vec<String> = (0..quantities.len())
            .filter(better)
            .map(|i| format!("{} to ± {:.2}°", quantities[i], worth.u[i]))
            .collect();
        let minutes = plans[worth.candidate].minutes;
        let line = format!(
            "{} (some {minutes:.0} min): {}",
            block.what,
            if brings.len() > 3 { format!("{} and more", brings[..3].join(", ")) } else { brings.join(", ") }
        );
        (!brings.is_empty()).then(|| NextReading {
            what: block.what.to_owned(),
            method: block.method,
            minutes,
            brings,
            line,
        })
    };
    ranked.iter().filter_map(view).take(3).collect()
}
