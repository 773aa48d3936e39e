//! The forecast file field by field: hours, prices and assumptions as a form asks for them. What the owner
//! wrote besides, comments and things with prices, stays as it is.

use super::file::Stated;
use super::week::Hours;
use crate::devices::fingerprint;
use crate::error::GarageError;
use crate::held_file::HeldFile;
use crate::job::{Garage, read_text};
use crate::typed;
use axlestand_model::Exposure;
use axlestand_model::file::{KeyedText, KeyedValue};
use axlestand_plan::risk::Assumptions;

/// One field of the form.
#[derive(Debug, Clone, PartialEq)]
pub struct StatedField {
    /// Its name in the file.
    pub name: String,
    /// What it is, in words.
    pub what: String,
    /// The unit of its value; empty where it has none.
    pub unit: &'static str,
    /// What the owner stated; empty where nothing is.
    pub stated: String,
    /// What is taken where nothing is stated.
    pub typical: String,
    /// Where a stated one comes from; `None` where that is not asked.
    pub from: Option<String>,
}

/// A field as it was filled in.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct TypedField {
    /// Its name.
    pub name: String,
    /// The value; empty takes back what was stated.
    pub value: String,
    /// Where it comes from.
    pub from: String,
}

/// A field that was not understood: its name, and why.
pub type FieldFault = (String, String);

/// The tables of stated assumptions and of where they come from.
const ASSUME: Option<&str> = Some("assume");
const FROM: Option<&str> = Some("from");

/// Hours and prices: name, what, unit, what is taken else.
const GENERAL: [(&str, &str, &str, &str); 5] = [
    ("sessions", "When you work: Sat 9-18, Sun 10-16", "", "no hours: only minutes of work are told"),
    ("shops", "When your shop is open: Mon-Fri 8-18, Sat 9-13", "", "always open"),
    ("currency", "Your currency", "", "none"),
    ("stranded-day", "What a day costs on which the car stands and waits", "in your currency", "nothing"),
    ("trip", "What a trip to the shop costs", "in your currency", "nothing"),
];

/// The fields of a forecast file, hours and prices first, then every assumption.
///
/// # Errors
/// [`GarageError::Input`] where the text is not understood.
pub fn stated_fields(text: &str) -> Result<Vec<StatedField>, GarageError> {
    let stated = Stated::of_text(text)
        .map_err(|why| GarageError::Input(format!("the forecast file is not understood: {why}")))?;
    let file = parsed(text)?;
    let mut fields: Vec<StatedField> = GENERAL
        .iter()
        .map(|(name, what, unit, typical)| StatedField {
            name: (*name).to_owned(),
            what: (*what).to_owned(),
            unit,
            stated: file.shown(None, name),
            typical: (*typical).to_owned(),
            from: None,
        })
        .collect();
    let own = |name: &str| file.shown(ASSUME, name);
    let from = |name: &str| Some(stated.from.get(name).cloned().unwrap_or_default());
    fields.extend(Assumptions::default().iter().map(|one| StatedField {
        name: one.name.to_owned(),
        what: one.what.to_owned(),
        unit: unit(one.name),
        stated: own(one.name),
        typical: format!("{}, from {} to {} [typical, AX-30]", one.value, one.range.0, one.range.1),
        from: from(one.name),
    }));
    fields.extend(Exposure::ALL.iter().map(|exposure| {
        let name = format!("stuck_{}", exposure.word());
        StatedField {
            what: format!("chance of being stuck, {}", exposure.phrase()),
            unit: "of 1",
            stated: own(&name),
            typical: "by the rust grade [typical]".to_owned(),
            from: from(&name),
            name,
        }
    }));
    Ok(fields)
}

impl Garage {
    /// Writes the fields that were filled in, whole or not at all; comments and all else stay. Gives the
    /// fields that were not understood: where there are any, nothing was written.
    ///
    /// # Errors
    /// [`GarageError::Input`] where the file was changed since `mark` was given or is not understood;
    /// [`GarageError`] where it cannot be written.
    pub fn state_forecast(
        &mut self,
        typed: &[TypedField],
        mark: &str,
    ) -> Result<Vec<FieldFault>, GarageError> {
        let path = self.own_forecast_file()?;
        let held = HeldFile::take(&path)?;
        let text = read_text(&path)?;
        if fingerprint(text.as_bytes()) != mark {
            return Err(GarageError::Input(
                "it was changed meanwhile, elsewhere, and stays as it is there: open it anew and change that"
                    .to_owned(),
            ));
        }
        let mut file = parsed(&text)?;
        let faults: Vec<FieldFault> = typed
            .iter()
            .filter_map(|one| state(&mut file, one).err().map(|why| (one.name.clone(), why)))
            .collect();
        if !faults.is_empty() {
            return Ok(faults);
        }
        let changed = file.to_string();
        Stated::of_text(&changed).map_err(|why| {
            GarageError::Input(format!("it was not written, since it would not be understood: {why}"))
        })?;
        if changed != text {
            held.replace(&changed)?;
        }
        Ok(faults)
    }
}

fn parsed(text: &str) -> Result<KeyedText, GarageError> {
    KeyedText::parse(text)
        .map_err(|_| GarageError::Input("the forecast file is not TOML: mend it as a file".to_owned()))
}

/// The unit of an assumption, by what its name says.
fn unit(name: &str) -> &'static str {
    match name {
        "weight" => "fasteners",
        _ if name.ends_with("_minutes") => "minutes",
        _ if name.ends_with("_days") => "days",
        _ if name.starts_with("breaks_") || matches!(name, "soak" | "neighbour") => "of 1",
        _ => "times",
    }
}

/// Puts one field into the file, or takes it out.
fn state(file: &mut KeyedText, typed: &TypedField) -> Result<(), String> {
    let (name, text) = (typed.name.as_str(), typed.value.trim());
    match name {
        "sessions" | "shops" => hours(file, name, text),
        "currency" => put(file, None, name, (!text.is_empty()).then(|| KeyedValue::Text(text.to_owned()))),
        "stranded-day" | "trip" => match number(text)? {
            Some(amount) if amount < 0.0 => Err(format!("0 or more, not {amount}")),
            amount => put(file, None, name, amount.map(KeyedValue::Number)),
        },
        _ => assumption(file, typed, text),
    }
}

fn put(file: &mut KeyedText, table: Option<&str>, name: &str, to: Option<KeyedValue>) -> Result<(), String> {
    file.put(table, name, to).map_err(|_| format!("[{}] in the file is no table", table.unwrap_or_default()))
}

fn hours(file: &mut KeyedText, name: &str, text: &str) -> Result<(), String> {
    let all: Vec<String> =
        text.split([',', ';']).map(|one| one.trim().to_owned()).filter(|one| !one.is_empty()).collect();
    for one in &all {
        Hours::read(one).map_err(|why| why.to_string())?;
    }
    put(file, None, name, (!all.is_empty()).then_some(KeyedValue::List(all)))
}

fn assumption(file: &mut KeyedText, typed: &TypedField, text: &str) -> Result<(), String> {
    let stated = number(text)?;
    let name = typed.name.as_str();
    let before = file.shown(ASSUME, name);
    if let Some(stated) = stated {
        Assumptions::default().state(name, stated).map_err(|why| why.to_string())?;
        if typed.from.trim().is_empty() && before != text {
            return Err(
                "say where your value comes from: timed at this car, counted, your own judgement".to_owned()
            );
        }
    }
    if before != text {
        put(file, ASSUME, name, stated.map(KeyedValue::Number))?;
    }
    let from = typed::optional("the source", Some(typed.from.clone()).filter(|from| !from.trim().is_empty()))
        .map_err(|why| why.to_string())?
        .filter(|_| stated.is_some());
    if file.shown(FROM, name) != from.clone().unwrap_or_default() {
        put(file, FROM, name, from.map(KeyedValue::Text))?;
    }
    Ok(())
}

/// A number as people type it; none where the field is empty.
fn number(text: &str) -> Result<Option<f64>, String> {
    if text.is_empty() {
        return Ok(None);
    }
    let number: Option<f64> = text.replace(',', ".").parse().ok().filter(|number: &f64| number.is_finite());
    number.map(Some).ok_or_else(|| format!("'{text}' is no number; write it like 1.5"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(name: &str, value: &str, from: &str) -> TypedField {
        TypedField { name: name.to_owned(), value: value.to_owned(), from: from.to_owned() }
    }

    fn after(text: &str, fields: &[TypedField]) -> Result<String, String> {
        let mut file = KeyedText::parse(text).unwrap();
        for one in fields {
            state(&mut file, one)?;
        }
        Ok(file.to_string())
    }

    #[test]
    fn what_is_stated_is_read_back_and_the_rest_stays() {
        let text =
            super::super::file::new_forecast_file(&[]) + "# mine\n[[thing]]\nitem = \"x\"\nprice = 3\n";
        let fields = [
            typed("sessions", "Sat 9-18, Sun 10-16", ""),
            typed("trip", "4,5", ""),
            typed("try_minutes", "30", "timed at this car"),
            typed("stuck_spray", "0.4", "counted last year"),
        ];
        let changed = after(&text, &fields).unwrap();
        let stated = Stated::of_text(&changed).unwrap();
        assert_eq!(stated.session_texts, ["Sat 9-18", "Sun 10-16"]);
        assert_eq!(stated.market.trip, Some(4.5));
        assert!((stated.assumptions.of("try_minutes") - 30.0).abs() < 1e-12);
        assert_eq!(stated.from["try_minutes"], "timed at this car");
        for line in text.lines() {
            assert!(changed.lines().any(|one| one == line), "'{line}' is gone: {changed}");
        }
        let back: Vec<TypedField> = fields.iter().map(|one| typed(&one.name, "", "")).collect();
        let stated = Stated::of_text(&after(&changed, &back).unwrap()).unwrap();
        assert!(stated.sessions.is_empty() && stated.from.is_empty() && stated.market.trip.is_none());
        assert!(stated.assumptions.iter().all(|one| !one.stated));
    }

    #[test]
    fn what_is_wrong_is_said_of_its_field() {
        for (name, value, from, says) in [
            ("sessions", "Sat 9", "", "Sat 9"),
            ("trip", "-3", "", "0 or more"),
            ("trip", "nan", "", "no number"),
            ("try_minutes", "soon", "x", "no number"),
            ("try_minutes", "30", " ", "where your value comes from"),
            ("soak", "3", "x", "goes from 0.05 to 1"),
            ("luck", "1", "x", "is no assumption"),
            ("stuck_spray", "7", "x", "0 to 1"),
        ] {
            let why = after("", &[typed(name, value, from)]).unwrap_err();
            assert!(why.contains(says), "{name}: {why}");
        }
        // What stood there without a source may stay so.
        let text = "[assume]\ntry_minutes = 30\n";
        assert_eq!(after(text, &[typed("try_minutes", "30", "")]).unwrap(), text);
    }
}
