//! From well-formed records to a car: sides expanded, references resolved.

use super::fields::{WHEELS_AND_AXLES, example_of};
use super::plausible;
use super::record::{Record, Sink};
use super::registry::{Registry, sides};
use crate::car::{
    Axle, Balance, Car, Connection, Fastener, Fluid, Minutes, Operation, Part, Reading, Target, TorqueSpec,
    Use, Wait, Way, Work,
};
use crate::id::ItemId;
use crate::provenance::Provenance;
use crate::words::{
    AxleEnd, CarState, Condition, Driven, Duty, Exposure, FillRule, Form, Hand, Joint, Lock, Neighbour,
    Origin, Place, ReadingKind, Stage, WaitKind,
};
use axlestand_quantity::{Band, Dimension, Length, Mass, Parsed, Volume};
use std::collections::BTreeMap;
use std::ops::Range;

/// Where items and their fields stand in the file.
#[derive(Debug, Default)]
pub(crate) struct Places {
    records: BTreeMap<ItemId, Record>,
}

impl Places {
    /// The place of a field of an item, else of the item's name.
    pub(crate) fn of(&self, id: &ItemId, field: &str) -> Range<usize> {
        self.records.get(id).map_or(0..0, |record| record.span_of(field))
    }

    /// Whether the field stands there, well-formed or not.
    pub(crate) fn has(&self, id: &ItemId, field: &str) -> bool {
        self.records.get(id).is_some_and(|record| record.has(field))
    }
}

/// A car that may still contradict itself.
pub(super) struct Built {
    pub(super) car: Car,
    pub(super) places: Places,
}

pub(super) fn build(file: &Record, sink: &mut Sink<'_>) -> Built {
    let registry = Registry::new(file, sink);
    let mut builder = Builder { registry, sink, places: Places::default() };
    let mut car = Car::default();
    if let Some(record) = file.record("car") {
        builder.general(record, &mut car);
    }
    builder.each(file, "axle", |b, name, _, record| car.axles.push(b.axle(name, record)));
    builder.each(file, "part", |b, name, side, record| car.parts.push(b.part(name, side, record)));
    builder.each(file, "fastener", |b, name, side, record| {
        b.axle_is_described(record, &car.axles);
        car.fasteners.push(b.fastener(name, side, record));
    });
    builder.each(file, "connection", |b, name, side, record| {
        car.connections.push(b.connection(name, side, record));
    });
    builder.each(file, "operation", |b, name, side, record| {
        car.operations.push(b.operation(name, side, record));
    });
    builder.each(file, "way", |b, name, side, record| car.ways.extend(b.way(name, side, record)));
    builder.each(file, "reading", |b, name, side, record| car.readings.push(b.reading(name, side, record)));
    builder.each(file, "fluid", |b, name, side, record| car.fluids.push(b.fluid(name, side, record)));
    builder.each(file, "target", |b, name, side, record| car.targets.extend(b.target(name, side, record)));
    car.build_index();
    Built { car, places: builder.places }
}

pub(super) struct Builder<'a, 'b> {
    registry: Registry,
    pub(super) sink: &'a mut Sink<'b>,
    places: Places,
}

impl Builder<'_, '_> {
    /// Calls `make` for each item of a list, once per side.
    fn each(
        &mut self,
        file: &Record,
        key: &str,
        mut make: impl FnMut(&mut Self, &str, Option<Hand>, &Record),
    ) {
        for (name, record) in file.items(key).into_iter().flatten() {
            for side in sides(record) {
                if key != "axle" {
                    self.places
                        .records
                        .entry(ItemId::new(&name.value, side))
                        .or_insert_with(|| record.clone());
                }
                make(self, &name.value, side, record);
            }
        }
    }

    fn general(&mut self, record: &Record, car: &mut Car) {
        car.name = record.text("name").cloned().unwrap_or_default();
        car.note = record.text("note").cloned();
        car.wheelbase = record.quantity("wheelbase").and_then(length);
        car.track_front = record.quantity("track_front").and_then(length);
        car.track_rear = record.quantity("track_rear").and_then(length);
        car.tyre = record.text("tyre").cloned();
        car.driven = word(record, "driven", Driven::from_word);
        self.masses(record, car);
        car.balance = record.record("balance").map(|balance| self.balance(balance));
        plausible::field(record, "wheelbase", &plausible::WHEELBASE, self.sink);
        plausible::field(record, "track_front", &plausible::TRACK, self.sink);
        plausible::field(record, "track_rear", &plausible::TRACK, self.sink);
    }

    fn balance(&mut self, record: &Record) -> Balance {
        plausible::field(record, "cg_height", &plausible::CG_HEIGHT, self.sink);
        Balance {
            cg_height: record.quantity("cg_height").and_then(length),
            brake_share_front: record.number("brake_share_front").copied(),
            drive_share_front: record.number("drive_share_front").copied(),
            provenance: self.provenance(record),
        }
    }

    fn masses(&mut self, record: &Record, car: &mut Car) {
        let known = WHEELS_AND_AXLES;
        for (key, mass) in record.quantities("masses").into_iter().flatten() {
            if !known.contains(&key.as_str()) {
                let near = crate::car::nearest(key, known.into_iter());
                self.sink.error(
                    "unknown-key",
                    &mass.span,
                    format!("'{key}' is neither a wheel nor an axle"),
                    near.map_or_else(
                        || format!("known here: {}", known.join(", ")),
                        |near| format!("did you mean '{near}'?"),
                    ),
                );
                continue;
            }
            plausible::value(&mass.value, key, &mass.span, &plausible::WHEEL_MASS, self.sink);
            if let Ok(mass) = Mass::from_kg(mass.value.value) {
                car.masses.insert(key.clone(), mass);
            }
        }
    }

    fn part(&mut self, name: &str, side: Option<Hand>, record: &Record) -> Part {
        plausible::field(record, "mass", &plausible::PART_MASS, self.sink);
        Part {
            id: ItemId::new(name, side),
            name: label(record, name, side),
            part_of: self.one(record, "part_of", side, &["a part"]),
            cover: record.flag("cover"),
            critical: record.flag("critical"),
            mass_kg: record.quantity("mass").map(|parsed| parsed.value),
            near: self.near(record),
            buy_with: self.uses(record, "buy_with"),
            work: self.work(record, side),
        }
    }

    fn fastener(&mut self, name: &str, side: Option<Hand>, record: &Record) -> Fastener {
        self.measured_names(record);
        plausible::field(record, "length", &plausible::BOLT, self.sink);
        let joins = self.joins(record, side);
        Fastener {
            id: ItemId::new(name, side),
            name: label(record, name, side),
            joins,
            count: count(record),
            form: word(record, "form", Form::from_word),
            thread: record.text("thread").cloned(),
            length: record.quantity("length").and_then(length),
            class: record.text("class").cloned(),
            drive: record.drive("drive").cloned(),
            hold: record.drive("hold").cloned(),
            torque: record.record("torque").map(|torque| self.torque(torque)).or_else(|| {
                // A life hangs on it, so its value is asked for even where the file forgets it; a pin
                // through slots may be all that holds.
                let lock = word(record, "lock", Lock::from_word).unwrap_or(Lock::None);
                (record.flag("critical") && !lock.is_own_act()).then(TorqueSpec::to_look_up)
            }),
            duty: word(record, "duty", Duty::from_word),
            axle: word(record, "axle", AxleEnd::from_word),
            lock: word(record, "lock", Lock::from_word).unwrap_or(Lock::None),
            captive: record.flag("captive"),
            one_use: record.flag("one_use"),
            exposure: word(record, "exposure", Exposure::from_word).unwrap_or(Exposure::Sheltered),
            critical: record.flag("critical"),
            loosen_state: word(record, "loosen_state", CarState::from_word),
            final_after: self.many(record, "final_after", side, REACHABLE),
            provenance: self.provenance(record),
            measured: record.texts("measured").into_iter().flatten().cloned().collect(),
            work: self.work(record, side),
        }
    }

    /// A fastener's axle has to be one of the file's.
    fn axle_is_described(&mut self, record: &Record, axles: &[Axle]) {
        let Some(end) = word(record, "axle", AxleEnd::from_word) else { return };
        if axles.iter().any(|axle| axle.name == end.word()) {
            return;
        }
        let known: Vec<&str> = axles.iter().map(|axle| axle.name.as_str()).collect();
        let known = if known.is_empty() { "none".to_owned() } else { known.join(", ") };
        self.sink.error(
            "unknown-axle",
            &record.span_of("axle"),
            format!("the file describes no {} axle (it has: {known})", end.word()),
            format!("write [axle.{}] with its layout, or take 'axle' out here", end.word()),
        );
    }

    fn measured_names(&mut self, record: &Record) {
        let known = ["thread", "length", "class", "drive", "hold"];
        self.words_of_a_list(record, "measured", &known, "something that is measured at a fastener");
    }

    fn near(&mut self, record: &Record) -> Option<Vec<Neighbour>> {
        let given = record.texts("near")?;
        self.words_of_a_list(record, "near", Neighbour::WORDS, "something that suffers near a part");
        Some(given.iter().filter_map(|word| Neighbour::from_word(word)).collect())
    }

    /// Every word of a list has to be one of these.
    fn words_of_a_list(&mut self, record: &Record, key: &str, known: &[&str], what: &str) {
        for name in record.texts(key).into_iter().flatten().filter(|name| !known.contains(&name.as_str())) {
            self.sink.error(
                "unknown-word",
                &record.span_of(key),
                format!("'{name}' is not {what}"),
                format!("take it out; known here: {}", known.join(", ")),
            );
        }
    }

    fn torque(&mut self, record: &Record) -> TorqueSpec {
        TorqueSpec {
            steps: record.steps("value").cloned().unwrap_or_default(),
            condition: word(record, "condition", Condition::from_word),
            state: word(record, "state", CarState::from_word),
            provenance: self.provenance(record),
            look_in: record.text("look_in").cloned(),
        }
    }

    fn connection(&mut self, name: &str, side: Option<Hand>, record: &Record) -> Connection {
        let joins = self.joins(record, side);
        Connection {
            id: ItemId::new(name, side),
            name: label(record, name, side),
            joins,
            joint: word(record, "joint", Joint::from_word).unwrap_or(Joint::Bracket),
            count: count(record),
            one_use: record.flag("one_use"),
            exposure: word(record, "exposure", Exposure::from_word).unwrap_or(Exposure::Sheltered),
            critical: record.flag("critical"),
            work: self.work(record, side),
        }
    }

    fn operation(&mut self, name: &str, side: Option<Hand>, record: &Record) -> Operation {
        Operation {
            id: ItemId::new(name, side),
            name: label(record, name, side),
            stage: word(record, "stage", Stage::from_word).unwrap_or(Stage::Prepare),
            brings: word(record, "brings", CarState::from_word),
            because: self.many(record, "because", side, &["a part", "a fastener", "a connection"]),
            before: self.many(
                record,
                "before",
                side,
                &["a part", "a fastener", "a connection", "an operation", "a reading"],
            ),
            optional: record.flag("optional"),
            fluid: self.one(record, "fluid", side, &["a fluid"]),
            days_before: record.number("days_before").copied(),
            wait: record.record("wait").and_then(|wait| self.wait(wait)),
            recheck: record.text("recheck").cloned(),
            work: self.work(record, side),
        }
    }

    fn wait(&mut self, record: &Record) -> Option<Wait> {
        let stated = record.number("minutes").copied();
        let provenance = self.provenance(record);
        let kind = word(record, "as", WaitKind::from_word)?;
        let minutes = stated.unwrap_or_else(|| kind.typical_minutes());
        let provenance = if stated.is_some() { provenance } else { Provenance::typical() };
        Some(Wait { kind, minutes, provenance })
    }

    fn way(&mut self, name: &str, side: Option<Hand>, record: &Record) -> Option<Way> {
        // Everything is read before a way without an aim is given up, so that no fault hides another.
        let frees = self.one(record, "frees", side, &["a part", "a fastener", "a connection"]);
        let needs = self.many(record, "needs", side, REACHABLE);
        let undoes = self.many(record, "undoes", side, &["a fastener", "a connection"]);
        let scraps = self.many(record, "scraps", side, &["a part", "a fastener", "a connection"]);
        let work = self.work(record, side);
        let (id, name) = (ItemId::new(name, side), label(record, name, side));
        Some(Way { id, name, frees: frees?, needs, undoes, scraps, work })
    }

    fn reading(&mut self, name: &str, side: Option<Hand>, record: &Record) -> Reading {
        let dimension = match record.text("unit").map(String::as_str) {
            Some("°") => Dimension::Angle,
            _ => Dimension::Length,
        };
        Reading {
            id: ItemId::new(name, side),
            name: label(record, name, side),
            kind: word(record, "kind", ReadingKind::from_word),
            axle: word(record, "axle", AxleEnd::from_word).unwrap_or(AxleEnd::Front),
            dimension,
            u: self.quantity_of(record, "u", dimension).map_or(0.0, |parsed| parsed.value),
            instrument: record.text("instrument").cloned(),
            how: record.text("how").cloned(),
            before: self.many(record, "before", side, REACHABLE),
            stage: word(record, "stage", Stage::from_word).unwrap_or(Stage::Strip),
            again: word(record, "again", CarState::from_word),
            work: self.work(record, side),
        }
    }

    /// A quantity kept as text until its dimension is known. An uncertainty or a tolerance is more
    /// than nought.
    fn quantity_of(&mut self, record: &Record, key: &str, dimension: Dimension) -> Option<Parsed> {
        let text = record.text(key)?;
        let spread = matches!(key, "u" | "tolerance");
        let example = match dimension {
            Dimension::Angle if spread => "0.1°",
            _ if spread => "1.5 mm",
            _ => example_of(dimension),
        };
        let (message, hint) = match dimension.parse(text) {
            Ok(parsed) if parsed.u.is_some() => (
                format!("'{key}' is wrong: '{text}' has an uncertainty"),
                "write the value alone, without ±; a tolerance stands in 'tolerance'".to_owned(),
            ),
            Ok(parsed) if spread && parsed.value <= 0.0 => (
                format!("'{key}' must be more than nought"),
                format!("write {key} = \"{example}\": no reading or setting is perfectly exact"),
            ),
            Ok(parsed) => return Some(parsed),
            Err(why) => (format!("'{key}' is wrong: {why}"), format!("write it like \"{example}\"")),
        };
        self.sink.error("bad-quantity", &record.span_of(key), message, hint);
        None
    }

    fn fluid(&mut self, name: &str, side: Option<Hand>, record: &Record) -> Fluid {
        plausible::field(record, "amount", &plausible::AMOUNT, self.sink);
        Fluid {
            id: ItemId::new(name, side),
            name: label(record, name, side),
            grade: record.text("grade").cloned(),
            amount: record.quantity("amount").and_then(|parsed| Volume::from_l(parsed.value).ok()),
            fill: word(record, "fill", FillRule::from_word).unwrap_or(FillRule::ToMark),
            provenance: self.provenance(record),
            look_in: record.text("look_in").cloned(),
        }
    }

    fn target(&mut self, name: &str, side: Option<Hand>, record: &Record) -> Option<Target> {
        let reading = self.one(record, "reading", side, &["a reading"]);
        let band = reading.as_ref().and_then(|reading| self.band(record, reading));
        let provenance = self.provenance(record);
        Some(Target {
            id: ItemId::new(name, side),
            name: label(record, name, side),
            reading: reading?,
            band,
            provenance,
            look_in: record.text("look_in").cloned(),
        })
    }

    /// Value and tolerance of a target. Readings are built before targets, so the unit is known.
    fn band(&mut self, record: &Record, reading: &ItemId) -> Option<Band> {
        let unit = self.places.records.get(reading).and_then(|record| record.text("unit").cloned());
        let dimension = match unit.as_deref() {
            Some("°") => Dimension::Angle,
            Some("mm") => Dimension::Length,
            // The unit of the reading cannot be read: that is the fault to mend.
            _ => return None,
        };
        let value = self.quantity_of(record, "value", dimension);
        let tolerance = self.quantity_of(record, "tolerance", dimension);
        if value.is_some() && !record.has("tolerance") {
            self.sink.error(
                "missing-key",
                &record.span_of("value"),
                "a target value needs its tolerance".to_owned(),
                "add tolerance = \"…\" (to both sides), in the unit of the value and before it".to_owned(),
            );
        }
        let (value, tolerance) = (value?.value, tolerance?.value);
        Band::new(value, tolerance, tolerance)
    }

    pub(super) fn provenance(&mut self, record: &Record) -> Provenance {
        let origin = word(record, "provenance", Origin::from_word).unwrap_or(Origin::Typical);
        let source = record.text("source").cloned();
        if matches!(origin, Origin::Manual | Origin::Derived)
            && !record.has("source")
            && !self.sink.damage.within(self.sink.text, &record.span)
        {
            self.sink.error(
                "missing-source",
                &record.span_of("provenance"),
                format!("provenance '{}' needs its source", origin.word()),
                "add source = \"…\": which manual, which page or sheet; or make it 'typical'".to_owned(),
            );
        }
        if source.as_ref().is_some_and(|text| !text.is_empty() && !text.contains(char::is_alphanumeric)) {
            self.sink.error(
                "no-source",
                &record.span_of("source"),
                "that does not say where the value comes from".to_owned(),
                "say which manual, which page or sheet; or make it 'typical' and leave the source out"
                    .to_owned(),
            );
        }
        Provenance { origin, source }
    }

    fn work(&mut self, record: &Record, side: Option<Hand>) -> Work {
        let place = word(record, "place", Place::from_word).unwrap_or(Place::Around);
        let usual = matches!(place, Place::WheelWell | Place::Under).then_some(CarState::OnStands);
        let clean = record.number("minutes").copied().unwrap_or(0.0);
        let stuck = record.number("minutes_stuck").copied().unwrap_or(clean);
        if stuck < clean {
            self.sink.error(
                "bad-number",
                &record.span_of("minutes_stuck"),
                format!("'minutes_stuck' ({stuck}) is less than 'minutes' ({clean})"),
                format!("a stuck one takes longer: write {clean} or more"),
            );
        }
        Work {
            place,
            state: word(record, "state", CarState::from_word).or(usual),
            after: self.many(record, "after", side, REACHABLE),
            minutes: Minutes { clean, stuck, back: record.number("minutes_back").copied().unwrap_or(clean) },
            stuck_chance: record.number("stuck_chance").copied(),
            people: record.number("people").map_or(1, |n| *n as u32),
            tools: record.texts("tools").cloned().unwrap_or_default(),
            uses: self.uses(record, "uses"),
            caution: record.text("caution").cloned(),
            caution_back: record.text("caution_back").cloned(),
            tools_back: record.texts("tools_back").cloned(),
        }
    }

    fn uses(&mut self, record: &Record, key: &str) -> Vec<Use> {
        let mut uses = Vec::new();
        for one in record.records(key).into_iter().flatten() {
            let text = one.text("amount").map_or("1", String::as_str).trim();
            let Some((amount, unit)) = amount(text) else {
                self.sink.error(
                    "bad-quantity",
                    &one.span_of("amount"),
                    format!("'{text}' is not an amount"),
                    "write a number above nought, with a unit where it is not pieces: \"2\", \"2.2 l\""
                        .to_owned(),
                );
                continue;
            };
            uses.extend(one.text("item").map(|item| Use {
                item: item.clone(),
                amount,
                unit: unit.to_owned(),
            }));
        }
        uses
    }

    /// The parts that a hold joins; none at all where one of them is not known, since a hold with
    /// one part less would seem to hold something else.
    fn joins(&mut self, record: &Record, side: Option<Hand>) -> Vec<ItemId> {
        let names = record.names("joins").map_or(0, Vec::len);
        let resolved: Vec<_> =
            self.each_name(record, "joins", side, &["a part"]).into_iter().flatten().collect();
        if record.names("joins").is_some_and(Vec::is_empty) {
            self.sink.error(
                "joins-nothing",
                &record.span_of("joins"),
                "it joins nothing".to_owned(),
                "name the parts it holds together, or the one it holds to the body".to_owned(),
            );
        }
        if resolved.len() < names { Vec::new() } else { resolved.into_iter().flatten().collect() }
    }

    fn one(&mut self, record: &Record, key: &str, side: Option<Hand>, wanted: &[&str]) -> Option<ItemId> {
        let names = record.names(key)?.len();
        let mut ids = self.many(record, key, side, wanted);
        if names == 1 && ids.len() <= 1 {
            return ids.pop();
        }
        self.sink.shake(key);
        let message = match ids.len().max(names) {
            0 => format!("'{key}' names nothing"),
            n => format!("'{key}' takes one item; here are {n}"),
        };
        let hint = "name one, with .left or .right where there are two".to_owned();
        self.sink.error("one-wanted", &record.span_of(key), message, hint);
        None
    }

    fn many(&mut self, record: &Record, key: &str, side: Option<Hand>, wanted: &[&str]) -> Vec<ItemId> {
        self.each_name(record, key, side, wanted).into_iter().flatten().flatten().collect()
    }

    /// What each name of a field means; `None` where that is a fault.
    fn each_name(
        &mut self,
        record: &Record,
        key: &str,
        side: Option<Hand>,
        wanted: &[&str],
    ) -> Vec<Option<Vec<ItemId>>> {
        let mut list = Vec::new();
        for name in record.names(key).into_iter().flatten() {
            let found = self.registry.resolve(name, side, wanted, self.sink);
            if found.is_none() {
                self.sink.shake(key);
            }
            list.push(found);
        }
        list
    }
}

/// What may stand in the way or have to be done first.
const REACHABLE: &[&str] = &["a part", "a fastener", "a connection", "an operation"];

pub(super) fn word<T>(record: &Record, key: &str, from: impl Fn(&str) -> Option<T>) -> Option<T> {
    record.text(key).and_then(|word| from(word))
}

/// Reads "2", "2.2 l", "20 ml"; a decimal comma is fine.
fn amount(text: &str) -> Option<(f64, &str)> {
    let end = text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ','))).unwrap_or(text.len());
    let (digits, unit) = text.split_at(end);
    let amount: f64 = digits.replace(',', ".").parse().ok()?;
    (amount.is_finite() && amount > 0.0 && amount <= MOST_OF_ANYTHING).then_some((amount, unit.trim()))
}

fn count(record: &Record) -> u32 {
    record.number("count").map_or(1, |n| *n as u32)
}

pub(super) fn length(parsed: &Parsed) -> Option<Length> {
    Length::from_mm(parsed.value).ok()
}

/// The name shown to people, with its side.
fn label(record: &Record, name: &str, side: Option<Hand>) -> String {
    let label = record.text("name").map_or(name, String::as_str);
    match side {
        Some(hand) => hand.behind(label),
        None => label.to_owned(),
    }
}

/// More of a consumable than this, in whatever unit, is a slip of the finger.
const MOST_OF_ANYTHING: f64 = 10_000.0;
