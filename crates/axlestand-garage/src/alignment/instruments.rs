//! With what a number is read and how uncertain it is: the table's usual values, the owner's own, and
//! what repeated readings teach.

use super::place::Place;
use crate::error::GarageError;
use crate::toolbox::GaugeEntry;
use std::collections::BTreeSet;

/// The table.
const TEXT: &str = include_str!("../../../../data/alignment_readings.csv");

/// How many readings the usual uncertainty counts as against repeated ones (AX-21).
const WEIGHT_OF_USUAL: f64 = 6.0;

/// One kind of number.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Instrument {
    /// What it is read with.
    pub(crate) name: String,
    /// Standard uncertainty of one reading, in the place's own unit.
    pub(crate) u: f64,
    /// How long one takes, minutes.
    pub(crate) minutes: f64,
    /// Where the uncertainty comes from.
    pub(crate) from: String,
}

/// The instrument for a place: of the owner's toolbox, else the usual one.
pub(crate) fn instrument(place: Place, gauges: &[GaugeEntry]) -> Instrument {
    let usual = usual(place.kind());
    let Some(own) = gauges.iter().find(|gauge| gauge.reading == place.kind()) else { return usual };
    let u = place.dimension().parse(&own.u).map_or(usual.u, |parsed| parsed.value);
    let name = own.instrument.clone().unwrap_or(usual.name);
    Instrument { name, u, minutes: usual.minutes, from: "your toolbox file".to_owned() }
}

/// The table's row of a kind.
fn usual(kind: &str) -> Instrument {
    let rows = TEXT.lines().filter(|line| !line.starts_with('#')).skip(1);
    let found = rows.map(|line| line.split(',').collect::<Vec<_>>()).find(|row| row.first() == Some(&kind));
    let field = |at: usize| found.as_ref().and_then(|row| row.get(at)).copied().unwrap_or_default();
    Instrument {
        name: field(1).to_owned(),
        u: field(2).parse().unwrap_or(1.0),
        minutes: field(4).parse().unwrap_or(1.0),
        from: format!("usual, {}", field(5)),
    }
}

/// Checks the gauges of a toolbox file.
///
/// # Errors
/// [`GarageError::FaultyToolbox`] for a kind there is not and an uncertainty that is none.
pub(crate) fn check_gauges(gauges: &[GaugeEntry]) -> Result<(), GarageError> {
    let places = Place::all();
    for gauge in gauges {
        let faulty = |why: String| GarageError::FaultyToolbox(format!("gauge '{}': {why}", gauge.reading));
        let Some(place) = places.iter().find(|place| place.kind() == gauge.reading) else {
            let mut seen = BTreeSet::new();
            let kinds: Vec<&str> =
                places.iter().map(|place| place.kind()).filter(|kind| seen.insert(*kind)).collect();
            return Err(faulty(format!("there is no such reading; there are {}", kinds.join(", "))));
        };
        let parsed = place.dimension().parse(&gauge.u).map_err(|why| faulty(why.to_string()))?;
        if parsed.value <= 0.0 {
            return Err(faulty("its uncertainty has to be above nought".to_owned()));
        }
    }
    Ok(())
}

/// Repeated readings make the uncertainty of a kind no smaller than this share of the usual one (AX-21).
const LEAST_SHARE: f64 = 0.5;
/// More readings of one place in one round count as so many: eye, scale and place stay the same (AX-21).
pub(crate) const MOST_REPEATS: usize = 4;
/// A typed uncertainty below this share of the usual one is a slip (AX-23).
pub(crate) const FINEST_SHARE: f64 = 0.05;

/// What repeated readings say of one kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Repeated {
    /// Readings more than places.
    pub(crate) freedom: usize,
    /// Their pooled standard deviation.
    pub(crate) spread: f64,
}

impl Repeated {
    /// From the readings of each place that was read more than once; `None` without any.
    pub(crate) fn of(groups: &[Vec<f64>]) -> Option<Self> {
        let (mut sum, mut freedom) = (0.0, 0);
        for group in groups.iter().filter(|group| group.len() > 1) {
            let mean = group.iter().sum::<f64>() / group.len() as f64;
            sum += group.iter().map(|value| (value - mean).powi(2)).sum::<f64>();
            freedom += group.len() - 1;
        }
        (freedom > 0).then(|| Self { freedom, spread: (sum / freedom as f64).sqrt() })
    }

    /// The uncertainty with which readings of that kind count: the usual one weighs as six readings
    /// against those that were repeated, √((6·u² + n·s²)/(6 + n)). What all of them have in common (a
    /// gauge's zero, a wrong place, the scale's rounding) repeating does not show: never below half the
    /// usual one.
    pub(crate) fn with_usual(self, usual: f64) -> f64 {
        let n = self.freedom as f64;
        let variance =
            (WEIGHT_OF_USUAL * usual * usual + n * self.spread * self.spread) / (WEIGHT_OF_USUAL + n);
        variance.sqrt().max(LEAST_SHARE * usual)
    }
}

#[cfg(test)]
mod tests {
    use super::{Repeated, instrument, usual};
    use crate::alignment::place::Place;
    use axlestand_geometry::conventions::Side;
    use axlestand_geometry::estimation::alignment::{Axle, Edge, Kind, Taken, Wheel};

    #[test]
    fn every_kind_has_its_row() {
        for place in Place::all() {
            let found = usual(place.kind());
            assert!(!found.name.is_empty() && found.from.starts_with("usual, AX-"), "{}", place.kind());
            assert!(found.u > 0.0 && found.minutes > 0.0);
        }
    }

    #[test]
    fn the_table_says_what_the_numbers_page_says() {
        // The estimator's own usual values stand in docs/numbers-alignment.md.
        let wheel = Wheel::of(Axle::Front, Side::Left);
        let of = |place: Place| instrument(place, &[]).u;
        let kind = Kind::RimGap { wheel, edge: Edge::Front, half_turn: false, gap: 50.0 };
        let near = |a: f64, b: f64| assert!((a - b).abs() < 0.02 * b, "{a} {b}");
        near(Taken::usual(kind).sigma, of(Place::Rim { wheel, edge: Edge::Front, half_turn: false }));
        near(Taken::usual(Kind::HubGap { wheel, gap: 50.0 }).sigma, of(Place::Hub(wheel)));
        let plates =
            Kind::ToePlates { axle: Axle::Front, base: 600.0, front: 1500.0, rear: 1500.0, half_turn: false };
        let tape = of(Place::Plates { axle: Axle::Front, tape: Edge::Front, half_turn: false });
        near(Taken::usual(plates).sigma, tape * 2f64.sqrt());
        near(
            Taken::usual(Kind::FloorStep { from: wheel, to: wheel.opposite(), rise: 0.0 }).sigma,
            of(Place::Floor(wheel)) * 2f64.sqrt(),
        );
    }

    #[test]
    fn repeated_readings_move_the_uncertainty() {
        // By hand: two pairs that differ by 1 and by 2: s² = (0.5 + 2.0)/2 = 1.25.
        let found = Repeated::of(&[vec![10.0, 11.0], vec![5.0], vec![20.0, 22.0]]).unwrap();
        assert_eq!(found.freedom, 2);
        assert!((found.spread - 1.25f64.sqrt()).abs() < 1e-12);
        // (6·0.25 + 2·1.25)/8 = 0.5.
        assert!((found.with_usual(0.5) - 0.5f64.sqrt()).abs() < 1e-12);
        // Ten times the same number: the scale is no finer for it.
        assert!((Repeated::of(&[vec![3.0; 40]]).unwrap().with_usual(0.5) - 0.25).abs() < 1e-12);
        assert!(Repeated::of(&[vec![1.0], vec![2.0]]).is_none());
    }
}
