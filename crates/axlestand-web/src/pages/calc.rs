//! Free-standing arithmetic: no car, no job, nothing recorded. The form is the address, so that an answer
//! can be kept or passed on.

use super::plain::on_page;
use super::shell::{Frame, page};
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::fastening::calc::{self, CalcView};
use axlestand_garage::{GarageError, Units, geometry, with_unit};
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Response};
use maud::{Markup, html};
use std::collections::BTreeMap;

/// The dimension of a field: which unit a bare number is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum In {
    /// A word, or a number without unit.
    Plain,
    Torque,
    Length,
    Angle,
    Force,
    Mass,
    Rate,
    /// Yes where it is ticked.
    Tick,
}

impl In {
    fn unit(self, units: Units) -> &'static str {
        match (self, units) {
            (Self::Torque, Units::Metric) => "N·m",
            (Self::Torque, Units::Inch) => "lb·ft",
            (Self::Length, Units::Metric) => "mm",
            (Self::Length, Units::Inch) => "in",
            (Self::Angle, _) => "°",
            (Self::Force, _) => "N",
            (Self::Mass, _) => "kg",
            (Self::Rate, _) => units.rate_unit(),
            _ => "",
        }
    }
}

/// A field: name, label, example, dimension, whether it has to be filled in.
type Field = (&'static str, &'static str, &'static str, In, bool);

/// A calculation.
struct Subject {
    word: &'static str,
    title: &'static str,
    about: &'static str,
    fields: &'static [Field],
}

const SUBJECTS: [Subject; 12] = [
    Subject {
        word: "torque",
        title: "Torque for another thread condition",
        about: "Converts a torque, reckons one for a clamp load, or tells the limit of a class (never the value to use).",
        fields: &[
            ("thread", "Thread", "M14x1.5", In::Plain, true),
            ("torque", "Torque to convert", "140", In::Torque, false),
            ("from", "It is given for", "dry", In::Plain, false),
            ("to", "The thread is", "anti-seize", In::Plain, false),
            (
                "place",
                "Where it is",
                "thread, wheel-fastener, taper, friction-face, pinch-joint",
                In::Plain,
                false,
            ),
            ("clamp", "Or: clamp load to reach", "31.6 kN", In::Force, false),
            ("class", "Or: class, for its limit", "8.8", In::Plain, false),
            ("share", "Share of yield, of the limit", "0.9", In::Plain, false),
            ("friction", "Coefficient of friction, instead of a condition", "0.14", In::Plain, false),
            ("elastic", "Torsion reckoned elastically, as tables before 2001 do", "", In::Tick, false),
        ],
    },
    Subject {
        word: "adapter",
        title: "Crow’s foot or other adapter",
        about: "What to set on the wrench so that the fastener gets its torque.",
        fields: &[
            ("torque", "Torque at the fastener", "110", In::Torque, true),
            ("lever", "Middle of the grip to the square", "440", In::Length, true),
            ("offset", "Middle of the square to the middle of the fastener", "60", In::Length, true),
            (
                "angle",
                "Angle between handle and adapter: 0 straight out, 90 changes nothing, 180 folded back",
                "0",
                In::Angle,
                false,
            ),
        ],
    },
    Subject {
        word: "castle",
        title: "Castle nut",
        about: "The angle to the next slot, and what turning on to it does to the torque.",
        fields: &[
            ("thread", "Thread", "M12x1.25", In::Plain, true),
            ("slots", "Slots, where not the usual number", "6", In::Plain, false),
            ("crossed", "Two holes crossing", "", In::Tick, false),
            ("from", "Least torque", "35", In::Torque, false),
            ("to", "Greatest torque", "45", In::Torque, false),
            ("grip", "Clamped length", "20", In::Length, false),
            ("past", "How far the nearest slot has gone past the hole", "10", In::Angle, false),
            ("hole", "Where the hole is seen: in, above or below the slots", "in", In::Plain, false),
            ("flat", "It sits on a flat face, not on a taper", "", In::Tick, false),
        ],
    },
    Subject {
        word: "thread",
        title: "Thread",
        about: "Sizes, stress area, spanners, proof loads.",
        fields: &[("thread", "Thread", "M14x1.5, or 1/2-20 UNF", In::Plain, true)],
    },
    Subject {
        word: "preload",
        title: "Clamp load of a torque",
        about: "And how far it loads the bolt.",
        fields: &[
            ("thread", "Thread", "M10x1.25", In::Plain, true),
            ("torque", "Torque", "50", In::Torque, true),
            ("condition", "The thread is", "dry", In::Plain, false),
            ("class", "Class on the head", "10.9", In::Plain, false),
            ("friction", "Coefficient of friction instead", "0.14", In::Plain, false),
            ("nut-factor", "Or the nut factor K", "0.2", In::Plain, false),
        ],
    },
    Subject {
        word: "break",
        title: "What a fastener withstands",
        about: "The torque before it twists off, and the pull on a bar. A limit, never a value to set.",
        fields: &[
            ("thread", "Thread", "M10", In::Plain, true),
            ("class", "Class on the head", "8.8", In::Plain, true),
            ("left", "Diameter that the rust has left", "8.5", In::Length, false),
            ("drive", "Drive", "hex 17", In::Plain, false),
            ("bar", "Length of the bar", "600", In::Length, false),
        ],
    },
    Subject {
        word: "wrench",
        title: "Torque wrench",
        about: "Whether it suits, and what to set on it.",
        fields: &[
            ("torque", "Torque at the fastener", "25", In::Torque, true),
            ("from", "Lowest mark", "10", In::Torque, true),
            ("to", "Highest mark", "60", In::Torque, true),
            ("kind", "Kind: click, beam, dial or electronic", "click", In::Plain, false),
            ("step", "Step of its scale", "1", In::Torque, false),
            ("accuracy", "What its maker states", "4 %", In::Plain, false),
        ],
    },
    Subject {
        word: "toe",
        title: "Toe in millimetres and degrees",
        about: "Total toe over a diameter, and back.",
        fields: &[
            ("value", "Total toe, with its unit", "2 mm, or 0.2°", In::Plain, true),
            ("diameter", "Over this diameter: the rim’s edge, as a rule", "400", In::Length, true),
        ],
    },
    Subject {
        word: "caster",
        title: "Caster from turned wheels",
        about: "From the camber of a wheel turned to both sides.",
        fields: &[
            ("turned-left", "Camber, turned to the left", "1.5", In::Angle, true),
            ("turned-right", "Camber, turned to the right", "-1.9", In::Angle, true),
            ("by", "Turned by, each way", "20", In::Angle, true),
            ("straight", "Camber straight ahead", "-0.5", In::Angle, false),
            ("right", "It is the right wheel", "", In::Tick, false),
        ],
    },
    Subject {
        word: "spring",
        title: "Coil spring",
        about: "Rate, force and stored energy; wheel rate and ride frequency.",
        fields: &[
            ("rate", "Rate", "24.5", In::Rate, false),
            ("wire", "Or: wire diameter", "12.6", In::Length, false),
            ("diameter", "Mean diameter of the coil: outer less the wire", "122", In::Length, false),
            ("coils", "Active coils", "4.6", In::Plain, false),
            ("free", "Free length", "381", In::Length, false),
            ("length", "Length under load", "250", In::Length, false),
            ("force", "Or: force", "3200", In::Force, false),
            ("ratio", "Motion ratio: spring over wheel", "0.97", In::Plain, false),
            ("mass", "Sprung mass of the corner", "320", In::Mass, false),
        ],
    },
    Subject {
        word: "tie-rod",
        title: "New tie-rod end",
        about: "The exposed thread that gives the old length.",
        fields: &[
            ("exposed", "Exposed thread with the old end", "12.4 ± 0.3", In::Length, true),
            ("length", "Old end, counting face to ball centre", "84.5", In::Length, true),
            ("new-length", "New end, measured alike", "83", In::Length, true),
            ("thread", "Thread", "M14x1.5", In::Plain, false),
            ("arm", "Steering arm, square to the tie rod", "120", In::Length, false),
        ],
    },
    Subject {
        word: "wheel",
        title: "Wheel fasteners",
        about: "Order, stages, when to check again.",
        fields: &[
            ("count", "How many", "5", In::Plain, true),
            ("torque", "Specified torque", "110", In::Torque, false),
        ],
    },
];

/// What was typed, by the name of the field.
type Typed = BTreeMap<String, String>;

pub(crate) async fn subjects(choices: Choices) -> Markup {
    let body = html! {
        h1 { "Calculators" }
        p.quiet { "Arithmetic with nothing but what you type: no car, nothing recorded. Each answer says how it comes about." }
        ul.methods { @for one in &SUBJECTS { li { a.button href=(format!("/calc/{}", one.word)) { b { (one.title) } br; span.quiet { (one.about) } } } } }
        p { a.button href="/" { "Jobs" } }
    };
    page(&Frame { title: "Calculators", head: None, here: "", choices }, &body)
}

pub(crate) async fn calculate(
    State(app): State<Shared>,
    Path(word): Path<String>,
    Query(typed): Query<Typed>,
    choices: Choices,
) -> Result<Response, Problem> {
    let Some(subject) = SUBJECTS.iter().find(|one| one.word == word) else {
        return Err(Problem::not_here(&format!("there is no calculator called {word}")));
    };
    let units = choices.units(&app);
    let asked =
        subject.fields.iter().any(|(name, ..)| typed.get(*name).is_some_and(|v| !v.trim().is_empty()));
    let answer = asked.then(|| answer(subject, &typed, units));
    let status = match &answer {
        Some(Err(_)) => StatusCode::UNPROCESSABLE_ENTITY,
        _ => StatusCode::OK,
    };
    Ok((status, calc_page(subject, &typed, answer.as_ref(), units, choices)).into_response())
}

/// The answer, or the field that is wrong (empty where it is all of them) and why.
fn answer(subject: &Subject, typed: &Typed, units: Units) -> Result<CalcView, (String, String)> {
    let some = |name: &str| {
        let (_, _, _, dimension, _) = subject.fields.iter().find(|(field, ..)| *field == name)?;
        let text = typed.get(name).map(|text| text.trim()).filter(|text| !text.is_empty())?;
        Some(with_unit(text, dimension.unit(units)))
    };
    for (name, label, example, _, needed) in subject.fields {
        if *needed && some(name).is_none() {
            return Err(((*name).to_owned(), format!("{label}: fill it in, like {example}")));
        }
    }
    let need = |name: &str| some(name).unwrap_or_default();
    let whole = |name: &str| match some(name) {
        None => Ok(None),
        Some(text) => match text.parse::<u32>() {
            Ok(number) => Ok(Some(number)),
            Err(_) => Err((name.to_owned(), format!("'{text}' is no whole number; write it like 6"))),
        },
    };
    let view = match subject.word {
        "torque" => calc::torque(&torque(&some, &need), units),
        "adapter" => calc::adapter(&calc::AdapterInput {
            torque: need("torque"),
            lever: need("lever"),
            offset: need("offset"),
            angle: some("angle"),
        }),
        "castle" => calc::castle(&castle(&some, &need, whole("slots")?), units),
        "thread" => calc::thread(&need("thread")),
        "preload" => calc::preload(&calc::PreloadInput {
            thread: need("thread"),
            torque: need("torque"),
            class: some("class"),
            condition: some("condition"),
            friction: some("friction"),
            nut_factor: some("nut-factor"),
        }),
        "break" => calc::breaking(
            &calc::BreakInput {
                thread: need("thread"),
                class: need("class"),
                left: some("left"),
                drive: some("drive"),
                bar: some("bar"),
            },
            units,
        ),
        "wrench" => calc::wrench(&calc::WrenchInput {
            torque: need("torque"),
            from: some("from"),
            to: some("to"),
            kind: some("kind"),
            step: some("step"),
            accuracy: some("accuracy"),
            toolbox: None,
        }),
        "toe" => geometry::calc::toe(&need("value"), &need("diameter"), units),
        "caster" => geometry::calc::caster(&geometry::calc::CasterInput {
            right_wheel: some("right").is_some(),
            turned_left: need("turned-left"),
            turned_right: need("turned-right"),
            by: need("by"),
            straight: some("straight"),
        }),
        "spring" => geometry::calc::spring(&spring(&some), units),
        "tie-rod" => geometry::calc::tie_rod(
            &geometry::calc::TieRodInput {
                exposed: need("exposed"),
                length: need("length"),
                new_length: need("new-length"),
                thread: some("thread"),
                arm: some("arm"),
            },
            units,
        ),
        _ => {
            let count = whole("count")?.unwrap_or_default();
            calc::wheel(usize::try_from(count).unwrap_or(usize::MAX), some("torque").as_deref(), units)
        }
    };
    view.map_err(|why| named(subject, typed, &why))
}

fn torque(some: &dyn Fn(&str) -> Option<String>, need: &dyn Fn(&str) -> String) -> calc::TorqueInput {
    calc::TorqueInput {
        thread: need("thread"),
        torque: some("torque"),
        from: some("from"),
        to: some("to"),
        place: some("place"),
        clamp: some("clamp"),
        class: some("class"),
        share: some("share"),
        friction: some("friction"),
        elastic: some("elastic").is_some(),
    }
}

fn castle(
    some: &dyn Fn(&str) -> Option<String>,
    need: &dyn Fn(&str) -> String,
    slots: Option<u32>,
) -> calc::CastleInput {
    calc::CastleInput {
        thread: need("thread"),
        slots,
        crossed: some("crossed").is_some(),
        from: some("from"),
        to: some("to"),
        grip: some("grip"),
        past: some("past"),
        hole: some("hole"),
        flat: some("flat").is_some(),
    }
}

fn spring(some: &dyn Fn(&str) -> Option<String>) -> geometry::calc::SpringInput {
    geometry::calc::SpringInput {
        rate: some("rate"),
        wire: some("wire"),
        diameter: some("diameter"),
        coils: some("coils"),
        free: some("free"),
        length: some("length"),
        force: some("force"),
        ratio: some("ratio"),
        mass: some("mass"),
    }
}

/// Which field an error is about: the option it names, else the one whose text it quotes.
fn named(subject: &Subject, typed: &Typed, why: &GarageError) -> (String, String) {
    let text = why.to_string();
    let option =
        |name: &str| text.starts_with(&format!("--{name}:")) || text.starts_with(&format!("--{name} "));
    let quoted = |name: &str| {
        let value = typed.get(name).map(|value| value.trim()).filter(|value| !value.is_empty());
        value.is_some_and(|value| text.contains(&format!("'{value}")))
    };
    let fields = || subject.fields.iter().map(|(name, ..)| *name);
    let found = fields().find(|name| option(name)).or_else(|| fields().find(|name| quoted(name)));
    (found.unwrap_or_default().to_owned(), on_page(&text))
}

fn calc_page(
    subject: &Subject,
    typed: &Typed,
    answer: Option<&Result<CalcView, (String, String)>>,
    units: Units,
    choices: Choices,
) -> Markup {
    let wrong = answer.and_then(|answer| answer.as_ref().err());
    let body = html! {
        h1 { (subject.title) }
        p.quiet { (subject.about) }
        @match answer {
            Some(Ok(view)) => (shown(view)),
            Some(Err((field, why))) if field.is_empty() => p.not-yet role="alert" { strong { (why) } },
            Some(Err(_)) => p.not-yet role="alert" { "One field is not understood: see below." },
            None => "",
        }
        form method="get" action=(format!("/calc/{}", subject.word)) {
            @for field in subject.fields { (field_line(field, typed, wrong, units)) }
            button.big type="submit" { "Reckon" }
        }
        p { a.button href="/calc" { "Calculators" } }
    };
    page(&Frame { title: subject.title, head: None, here: "", choices }, &body)
}

fn field_line(field: &Field, typed: &Typed, wrong: Option<&(String, String)>, units: Units) -> Markup {
    let (name, label, example, dimension, needed) = *field;
    let value = typed.get(name).map(String::as_str);
    let unit = dimension.unit(units);
    let wrong = wrong.filter(|(of, _)| of == name).map(|(_, why)| why);
    if dimension == In::Tick {
        return html! { label.switch { input type="checkbox" name=(name) value="yes" checked[value.is_some()]; span { (label) } } };
    }
    html! {
        label {
            span { (label) @if !unit.is_empty() { ", " b { (unit) } } @if needed { span.quiet { " (needed)" } } }
            input name=(name) value=[value] placeholder=(example) autocomplete="off" aria-invalid=[wrong.map(|_| "true")];
            @if let Some(why) = wrong { strong.wrong { (why) } }
        }
    }
}

fn shown(view: &CalcView) -> Markup {
    html! {
        section.answer role="status" {
            p.big-line { strong { (on_page(&view.line)) } }
            @for line in &view.lines { p { (on_page(line)) } }
            @for warning in &view.warnings { p.caution { (on_page(warning)) } }
            @if !view.reasons.is_empty() {
                details {
                    summary { "How it comes about" }
                    dl { @for reason in &view.reasons { dt { (reason.what) } dd { (on_page(&reason.text)) @if let Some(source) = &reason.source { " " span.source { "[" (source) "]" } } } } }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{In, SUBJECTS};
    use crate::workbench::Workbench;
    use axum::http::StatusCode;

    #[test]
    fn every_calculation_answers_to_the_examples_beside_its_fields() {
        let bench = Workbench::empty();
        let list = bench.get("/calc").page();
        for subject in &SUBJECTS {
            assert!(list.contains(&format!("/calc/{}", subject.word)));
            let given = |(name, _, example, _, needed): &super::Field| {
                let first = example.split(", or").next().unwrap_or(example);
                let also = matches!(
                    (subject.word, *name),
                    ("torque", "torque" | "from" | "to") | ("spring", "rate")
                );
                (*needed || also).then(|| format!("{name}={}", crate::pages::piece(first)))
            };
            let query: Vec<String> = subject.fields.iter().filter_map(given).collect();
            let answer = bench.get(&format!("/calc/{}?{}", subject.word, query.join("&")));
            assert_eq!(answer.status, StatusCode::OK, "{}: {}", subject.word, answer.text());
            let page = answer.page();
            assert!(page.contains("class=\"answer\""), "{}", subject.word);
            assert!(!page.contains("axlestand ") && !page.contains(" --"), "{}: {page}", subject.word);
        }
    }

    /// A crow's foot 60 mm ahead of the square on a lever of 440 mm: 110 · 440 / 500 = 96.8 N·m (law of the
    /// lever, as every wrench maker prints it).
    #[test]
    fn bare_numbers_are_in_the_unit_beside_the_field() {
        let bench = Workbench::empty();
        let page = bench.get("/calc/adapter?torque=110&lever=440&offset=60").page();
        assert!(page.contains("96.8") || page.contains("97 N·m"), "{page}");
    }

    #[test]
    fn a_wrong_field_is_named_and_all_is_kept() {
        let bench = Workbench::empty();
        for (path, said) in [
            ("adapter?torque=110&lever=long&offset=60", "long"),
            ("adapter?torque=110", "fill it in"),
            ("castle?thread=M12x1.25&slots=six", "no whole number"),
            ("thread?thread=%3Cscript%3E", "&lt;script&gt;"),
            ("spring?wire=12", "give the spring"),
            ("wheel?count=0", "0"),
            ("wheel?count=4294967295", "4294967295"),
        ] {
            let answer = bench.get(&format!("/calc/{path}"));
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{path}");
            let page = answer.page();
            assert!(page.contains(said) && page.contains("role=\"alert\""), "{path}: {page}");
        }
        assert!(bench.get("/calc/nothing").status.is_client_error());
        assert!(SUBJECTS.iter().all(|s| s.fields.iter().all(|f| f.3 != In::Tick || !f.4)));
    }
}
