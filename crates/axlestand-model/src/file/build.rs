//! From well-formed records to a car: sides expanded, references resolved.

use super::record::{Placed, Record, Sink};
use crate::car::{
    Axle, Car, Connection, Fastener, Fluid, Minutes, Operation, Part, Reading, Target, TorqueSpec, Use, Way,
    Work,
};
use crate::id::ItemId;
use crate::provenance::Provenance;
use crate::words::{
    CarState, Condition, Driven, Exposure, FillRule, Form, Hand, Joint, Layout, Lock, Origin, Place, Stage,
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
}

/// A car that may still contradict itself.
pub(super) struct Built {
    pub(super) car: Car,
    pub(super) places: Places,
}

/// The lists of items, with the word for one of each.
const KINDS: [(&str, &str); 8] = [
    ("part", "a part"),
    ("fastener", "a fastener"),
    ("connection", "a connection"),
    ("operation", "an operation"),
    ("way", "a way"),
    ("reading", "a reading"),
    ("fluid", "a fluid"),
    ("target", "a target"),
];

/// What stands under a name: its kind and on which sides.
struct Known {
    kind: &'static str,
    sides: Vec<Option<Hand>>,
    line: usize,
}

/// Names of the whole file, for resolving references.
struct Registry(BTreeMap<String, Known>);

pub(super) fn build(file: &Record, sink: &mut Sink<'_>) -> Built {
    let registry = register(file, sink);
    let mut builder = Builder { registry, sink, places: Places::default() };
    let mut car = Car::default();
    if let Some(record) = file.record("car") {
        builder.general(record, &mut car);
    }
    builder.each(file, "axle", |b, name, _, record| car.axles.push(b.axle(name, record)));
    builder.each(file, "part", |b, name, side, record| car.parts.push(b.part(name, side, record)));
    builder
        .each(file, "fastener", |b, name, side, record| car.fasteners.push(b.fastener(name, side, record)));
    builder.each(file, "connection", |b, name, side, record| {
        car.connections.push(b.connection(name, side, record))
    });
    builder.each(file, "operation", |b, name, side, record| {
        car.operations.push(b.operation(name, side, record))
    });
    builder.each(file, "way", |b, name, side, record| car.ways.extend(b.way(name, side, record)));
    builder.each(file, "reading", |b, name, side, record| car.readings.push(b.reading(name, side, record)));
    builder.each(file, "fluid", |b, name, side, record| car.fluids.push(b.fluid(name, side, record)));
    builder.each(file, "target", |b, name, side, record| car.targets.extend(b.target(name, side, record)));
    car.build_index();
    Built { car, places: builder.places }
}

fn sides(record: &Record) -> Vec<Option<Hand>> {
    match record.text("side").map(String::as_str) {
        Some("both") => vec![Some(Hand::Left), Some(Hand::Right)],
        Some(word) => vec![Hand::from_word(word)],
        None => vec![None],
    }
}

fn register(file: &Record, sink: &mut Sink<'_>) -> Registry {
    let mut known: BTreeMap<String, Known> = BTreeMap::new();
    for (key, kind) in KINDS {
        for (name, record) in file.items(key).into_iter().flatten() {
            if let Some(first) = known.get(&name.value) {
                let (first_kind, line) = (first.kind, first.line);
                sink.error(
                    "duplicate-name",
                    &name.span,
                    format!("'{}' is already the name of {first_kind} (line {line})", name.value),
                    "give each item a name of its own: commands take any name".to_owned(),
                );
                continue;
            }
            let line = sink.text.get(..name.span.start).unwrap_or_default().matches('\n').count() + 1;
            known.insert(name.value.clone(), Known { kind, sides: sides(record), line });
        }
    }
    Registry(known)
}

struct Builder<'a, 'b> {
    registry: Registry,
    sink: &'a mut Sink<'b>,
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
        for (key, mass) in record.quantities("masses").into_iter().flatten() {
            let known = ["front-left", "front-right", "rear-left", "rear-right", "front", "rear"];
            if !known.contains(&key.as_str()) {
                self.sink.error(
                    "unknown-key",
                    &record.span_of("masses"),
                    format!("'{key}' is neither a wheel nor an axle"),
                    format!("known here: {}", known.join(", ")),
                );
            } else if let Ok(mass) = Mass::from_kg(mass.value) {
                car.masses.insert(key.clone(), mass);
            }
        }
        for key in ["wheelbase", "track_front", "track_rear"] {
            self.positive(record, key);
        }
    }

    fn positive(&mut self, record: &Record, key: &str) {
        if record.quantity(key).is_some_and(|parsed| parsed.value <= 0.0) {
            self.sink.error(
                "bad-quantity",
                &record.span_of(key),
                format!("'{key}' must be more than nought"),
                "measure it again".to_owned(),
            );
        }
    }

    fn axle(&mut self, name: &str, record: &Record) -> Axle {
        if !matches!(name, "front" | "rear") {
            self.sink.error(
                "bad-name",
                &record.span,
                format!("'{name}' is no axle"),
                "write [axle.front] or [axle.rear]".to_owned(),
            );
        }
        Axle {
            name: name.to_owned(),
            layout: word(record, "layout", Layout::from_word).unwrap_or(Layout::Strut),
            points: record.points("points").cloned().unwrap_or_default(),
            spring_rate: record.number("spring_rate").copied(),
            spring_free_length: record.quantity("spring_free_length").and_then(length),
            provenance: self.provenance(record),
        }
    }

    fn part(&mut self, name: &str, side: Option<Hand>, record: &Record) -> Part {
        Part {
            id: ItemId::new(name, side),
            name: label(record, name, side),
            part_of: self.one(record, "part_of", side, &["a part"]),
            cover: record.flag("cover"),
            critical: record.flag("critical"),
            mass_kg: record.quantity("mass").map(|parsed| parsed.value),
            buy_with: self.uses(record, "buy_with"),
            work: self.work(record, side),
        }
    }

    fn fastener(&mut self, name: &str, side: Option<Hand>, record: &Record) -> Fastener {
        self.measured_names(record);
        self.positive(record, "length");
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
            torque: record.record("torque").map(|torque| self.torque(torque)),
            lock: word(record, "lock", Lock::from_word).unwrap_or(Lock::None),
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

    fn measured_names(&mut self, record: &Record) {
        let known = ["thread", "length", "class", "drive", "hold"];
        for name in
            record.texts("measured").into_iter().flatten().filter(|name| !known.contains(&name.as_str()))
        {
            self.sink.error(
                "unknown-word",
                &record.span_of("measured"),
                format!("'{name}' is not something that is measured at a fastener"),
                format!("known here: {}", known.join(", ")),
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
            recheck: record.text("recheck").cloned(),
            work: self.work(record, side),
        }
    }

    fn way(&mut self, name: &str, side: Option<Hand>, record: &Record) -> Option<Way> {
        Some(Way {
            id: ItemId::new(name, side),
            name: label(record, name, side),
            frees: self.one(record, "frees", side, &["a part", "a fastener", "a connection"])?,
            needs: self.many(record, "needs", side, REACHABLE),
            undoes: self.many(record, "undoes", side, &["a fastener", "a connection"]),
            scraps: self.many(record, "scraps", side, &["a part", "a fastener", "a connection"]),
            work: self.work(record, side),
        })
    }

    fn reading(&mut self, name: &str, side: Option<Hand>, record: &Record) -> Reading {
        let dimension = match record.text("unit").map(String::as_str) {
            Some("°") => Dimension::Angle,
            _ => Dimension::Length,
        };
        Reading {
            id: ItemId::new(name, side),
            name: label(record, name, side),
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

    /// A quantity kept as text until its dimension is known; may not be negative for `u`.
    fn quantity_of(&mut self, record: &Record, key: &str, dimension: Dimension) -> Option<Parsed> {
        let text = record.text(key)?;
        match dimension.parse(text) {
            Ok(parsed) if (key == "u" || key == "tolerance") && parsed.value < 0.0 => {
                self.sink.error(
                    "bad-quantity",
                    &record.span_of(key),
                    format!("'{key}' cannot be negative"),
                    "write it without a sign".to_owned(),
                );
                None
            }
            Ok(parsed) => Some(parsed),
            Err(why) => {
                self.sink.error(
                    "bad-quantity",
                    &record.span_of(key),
                    format!("'{key}' is wrong: {why}"),
                    format!("give {}", dimension.offered()),
                );
                None
            }
        }
    }

    fn fluid(&mut self, name: &str, side: Option<Hand>, record: &Record) -> Fluid {
        self.positive(record, "amount");
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
        let reading = self.one(record, "reading", side, &["a reading"])?;
        let dimension = self.reading_dimension(record, &reading);
        let value = self.quantity_of(record, "value", dimension);
        let tolerance = self.quantity_of(record, "tolerance", dimension);
        let band = match (value, tolerance) {
            (Some(value), Some(tolerance)) => Band::new(value.value, tolerance.value, tolerance.value),
            (Some(_), None) if record.text("tolerance").is_none() => {
                self.sink.error(
                    "missing-key",
                    &record.span_of("value"),
                    "a target value needs its tolerance".to_owned(),
                    "add tolerance = \"0.1°\"".to_owned(),
                );
                None
            }
            _ => None,
        };
        Some(Target {
            id: ItemId::new(name, side),
            name: label(record, name, side),
            reading,
            band,
            provenance: self.provenance(record),
            look_in: record.text("look_in").cloned(),
        })
    }

    /// Readings are built before targets, so their records are known by name.
    fn reading_dimension(&self, _target: &Record, reading: &ItemId) -> Dimension {
        let unit = self.places.records.get(reading).and_then(|record| record.text("unit").cloned());
        if unit.as_deref() == Some("°") { Dimension::Angle } else { Dimension::Length }
    }

    fn provenance(&mut self, record: &Record) -> Provenance {
        let origin = word(record, "provenance", Origin::from_word).unwrap_or(Origin::Typical);
        let source = record.text("source").cloned();
        if matches!(origin, Origin::Manual | Origin::Derived) && source.is_none() {
            self.sink.error(
                "missing-source",
                &record.span_of("provenance"),
                format!("provenance '{}' needs its source", origin.word()),
                "add source = \"…\": which manual, which page or sheet".to_owned(),
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
                "a stuck one takes longer".to_owned(),
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
        }
    }

    fn uses(&mut self, record: &Record, key: &str) -> Vec<Use> {
        let mut uses = Vec::new();
        for one in record.records(key).into_iter().flatten() {
            let Some(item) = one.text("item") else { continue };
            let text = one.text("amount").map_or("1", String::as_str).trim();
            let end = text.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(text.len());
            let (digits, unit) = text.split_at(end);
            match digits.parse::<f64>() {
                Ok(amount) if amount.is_finite() && amount > 0.0 => {
                    uses.push(Use { item: item.clone(), amount, unit: unit.trim().to_owned() });
                }
                _ => self.sink.error(
                    "bad-quantity",
                    &one.span_of("amount"),
                    format!("'{text}' is not an amount"),
                    "write a number above nought, with a unit where it is not pieces: \"2\", \"2.2 l\""
                        .to_owned(),
                ),
            }
        }
        uses
    }

    fn joins(&mut self, record: &Record, side: Option<Hand>) -> Vec<ItemId> {
        let joins = self.many(record, "joins", side, &["a part"]);
        if record.names("joins").is_some_and(Vec::is_empty) {
            self.sink.error(
                "joins-nothing",
                &record.span_of("joins"),
                "it joins nothing".to_owned(),
                "name the parts it holds together, or the one it holds to the body".to_owned(),
            );
        }
        joins
    }

    fn one(&mut self, record: &Record, key: &str, side: Option<Hand>, wanted: &[&str]) -> Option<ItemId> {
        let names = record.names(key)?;
        let mut ids = self.many(record, key, side, wanted);
        if names.len() > 1 || ids.len() > 1 {
            self.sink.error(
                "one-wanted",
                &record.span_of(key),
                format!("'{key}' takes one item; here are {}", ids.len().max(names.len())),
                "name one, with .left or .right where there are two".to_owned(),
            );
            return None;
        }
        ids.pop()
    }

    fn many(&mut self, record: &Record, key: &str, side: Option<Hand>, wanted: &[&str]) -> Vec<ItemId> {
        let names: Vec<Placed<String>> = record.names(key).cloned().unwrap_or_default();
        names.iter().flat_map(|name| self.resolve(name, side, wanted)).collect()
    }

    /// The items meant by a reference: on the same side where there is one, else the only one,
    /// else both sides.
    fn resolve(&mut self, name: &Placed<String>, side: Option<Hand>, wanted: &[&str]) -> Vec<ItemId> {
        let (base, explicit) = match name.value.split_once('.') {
            Some((base, hand)) => (base, Some(Hand::from_word(hand))),
            None => (name.value.as_str(), None),
        };
        let Some(known) = self.registry.0.get(base) else {
            let near = crate::car::nearest(base, self.registry.0.keys().map(String::as_str));
            let hint = near.map_or_else(
                || format!("describe it, or name {} that is described", wanted.join(" or ")),
                |near| format!("did you mean '{near}'?"),
            );
            self.sink.error(
                "unknown-item",
                &name.span,
                format!("the car has nothing called '{}'", name.value),
                hint,
            );
            return Vec::new();
        };
        if !wanted.contains(&known.kind) {
            let (kind, line) = (known.kind, known.line);
            self.sink.error(
                "wrong-kind",
                &name.span,
                format!("'{base}' is {kind} (line {line})"),
                format!("{} is wanted here", wanted.join(" or ")),
            );
            return Vec::new();
        }
        let hands: Vec<Option<Hand>> = match explicit {
            Some(hand) => known.sides.iter().copied().filter(|s| s.is_some() && *s == hand).collect(),
            None if side.is_some() && known.sides.contains(&side) => vec![side],
            None if side.is_some() && !known.sides.contains(&None) => Vec::new(),
            None => known.sides.clone(),
        };
        if hands.is_empty() {
            let there: Vec<_> = known.sides.iter().map(|hand| ItemId::new(base, *hand).to_string()).collect();
            self.sink.error(
                "no-such-side",
                &name.span,
                format!("'{}' does not exist on the side meant", name.value),
                format!("there is {}", there.join(" and ")),
            );
        }
        hands.into_iter().map(|hand| ItemId::new(base, hand)).collect()
    }
}

/// What may stand in the way or have to be done first.
const REACHABLE: &[&str] = &["a part", "a fastener", "a connection", "an operation"];

fn word<T>(record: &Record, key: &str, from: impl Fn(&str) -> Option<T>) -> Option<T> {
    record.text(key).and_then(|word| from(word))
}

fn count(record: &Record) -> u32 {
    record.number("count").map_or(1, |n| *n as u32)
}

fn length(parsed: &Parsed) -> Option<Length> {
    Length::from_mm(parsed.value).ok()
}

/// The name shown to people, with its side.
fn label(record: &Record, name: &str, side: Option<Hand>) -> String {
    let label = record.text("name").map_or(name, String::as_str);
    match side {
        Some(hand) => format!("{label}, {}", hand.phrase()),
        None => label.to_owned(),
    }
}
