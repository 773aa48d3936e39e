//! The car's sizes that the strings and tapes are reckoned with.

use super::place::Place;
use super::rounds::Round;
use crate::error::GarageError;
use crate::geometry::figures::rim_inches;
use crate::units::Units;
use axlestand_geometry::estimation::alignment::CarSize;
use axlestand_model::car::Car;
use axlestand_quantity::Length;

/// How much farther apart the edges of a rim are than its nominal diameter: two flanges of 17.5 mm, from
/// memory (AX-22).
const FLANGES: f64 = 35.0;

/// The sizes, and what of them is not this car's.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Sizes {
    /// For the estimate.
    pub(crate) car: CarSize,
    /// What was assumed, in words.
    pub(crate) assumed: Vec<String>,
}

/// The sizes of a car; the rim as it was read, else by the tyre's designation.
///
/// # Errors
/// [`GarageError::Input`] that names what to write into the vehicle file.
pub(crate) fn sizes(car: &Car, round: &Round, units: Units) -> Result<Sizes, GarageError> {
    let lacking: Vec<&str> =
        [("wheelbase", car.wheelbase), ("track_front", car.track_front), ("track_rear", car.track_rear)]
            .into_iter()
            .filter(|(_, length)| length.is_none())
            .map(|(key, _)| key)
            .collect();
    if !lacking.is_empty() {
        let (like, off) = match units {
            Units::Metric => ("2585 mm", "a few centimetres"),
            Units::Inch => ("101 3/4 in", "an inch or two"),
        };
        return Err(GarageError::Input(format!(
            "readings of the wheels are reckoned with the car's sizes, and the vehicle file lacks {}: write them under [car], like wheelbase = \"{like}\" ({off} off do no harm)",
            lacking.join(", ")
        )));
    }
    let mm = |length: Option<Length>| length.map_or(0.0, Length::mm);
    let read = round.readings.iter().rev().find(|one| one.place == Place::RimSize).map(|one| one.value);
    let mut assumed = Vec::new();
    let rim = match (read, car.tyre.as_deref().and_then(rim_inches)) {
        (Some(read), _) => read,
        (None, Some(inches)) => {
            let rim = inches * 25.4 + FLANGES;
            assumed.push(format!(
                "the rim's edges are taken to be {} apart, by the tyre's designation; read it for better: string.rim-size",
                units.length(rim, 0)
            ));
            rim
        }
        (None, None) => {
            return Err(GarageError::Input(format!(
                "how far apart the rim's edges are is not known: read it ('axlestand read string.rim-size \"… {}\"'), or write the tyre's designation under [car] tyre",
                units.length_unit()
            )));
        }
    };
    let car = CarSize {
        wheelbase: mm(car.wheelbase),
        front_track: mm(car.track_front),
        rear_track: mm(car.track_rear),
        rim,
    };
    car.check().map_err(|why| GarageError::Input(why.to_string()))?;
    Ok(Sizes { car, assumed })
}
