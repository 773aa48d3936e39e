//! Vehicle files in the garage's folder, and a new one from a layout template.

use super::piece;
use super::shell::{Frame, page};
use super::words::count;
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::{Answers, OwnCarView, QuestionKind, STRUT_QUESTIONS, vehicle};
use axum::Form;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use std::collections::BTreeMap;

/// The address of a vehicle file's page.
pub(crate) fn car_address(file: &str) -> String {
    format!("/cars/{}", piece(file))
}

pub(crate) async fn cars(State(app): State<Shared>, choices: Choices) -> Result<Markup, Problem> {
    let (cars, folder) = app.garage(None, |garage| Ok((garage.own_cars()?, garage.folder_said()))).await?;
    Ok(cars_page(&cars, &folder, choices))
}

pub(crate) fn cars_page(cars: &[OwnCarView], folder: &str, choices: Choices) -> Markup {
    let body = html! {
        h1 { "Cars" }
        p.quiet { "Vehicle files in this garage’s folder. A file describes one car: parts, fasteners, and what is specified." }
        @if cars.is_empty() { (none_yet(folder)) }
        ul.jobs {
            @for car in cars {
                li.car {
                    p { strong { (car.name.as_deref().unwrap_or(&car.file)) } " " span.quiet { (car.file) } }
                    @if car.errors > 0 { p.state { (count(car.errors, "fault")) ": no job can start on it yet" } }
                    @if car.warnings > 0 { p { (car.warnings) " to look at" } }
                    p.choose {
                        a.button href=(car_address(&car.file)) { "Look and fill in" }
                        @if car.errors == 0 { a.button href=(format!("/start?car={}", piece(&car.file))) { "Start a job" } }
                    }
                }
            }
        }
        p { a.button href="/cars/new" { "New vehicle file" } }
        p { a.button href="/" { "Jobs" } }
    };
    page(&Frame { title: "Cars", head: None, here: "", choices }, &body)
}

/// Where vehicle files are looked for, and what to do where there is none.
pub(crate) fn none_yet(folder: &str) -> Markup {
    html! {
        p { "There is no vehicle file in this garage yet: only its own folder is looked into, on the computer " code { (folder) } ". Copy yours into it, or make a new one from a layout template." }
    }
}

/// The questions as they were answered, with what is wrong.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct NewCar {
    /// Name of the file, as typed.
    pub(crate) file: String,
    /// Key and answer, as typed.
    pub(crate) typed: BTreeMap<String, String>,
    /// Key (`file` for the name) and what is wrong there; the empty key for all of it.
    pub(crate) wrong: BTreeMap<String, String>,
}

pub(crate) async fn new(choices: Choices) -> Markup {
    new_page(&NewCar { file: "my-car".to_owned(), ..NewCar::default() }, choices)
}

/// Writes the new file, or shows beside each answer what is wrong.
pub(crate) async fn make(
    State(app): State<Shared>,
    choices: Choices,
    Form(fields): Form<Vec<(String, String)>>,
) -> Result<Response, Problem> {
    let mut form = NewCar::default();
    for (key, value) in fields {
        if key == "file" {
            form.file = value;
        } else {
            form.typed.insert(key, value);
        }
    }
    let answers = answered(&mut form);
    let name = form.file.clone();
    let made = app
        .garage(None, move |garage| {
            let (file, path) = match garage.path_of_new(&name) {
                Ok(new) => new,
                Err(why) => return Ok(Err(why.to_string())),
            };
            // The name is judged with the answers, so that all that is wrong is said at once.
            let Some(answers) = answers else { return Ok(Err(String::new())) };
            match vehicle::new_car("strut", &answers, &path) {
                Ok(()) => Ok(Ok(file)),
                Err(axlestand_garage::GarageError::Exists(_)) => {
                    Ok(Err(format!("there is a file '{file}' already: give another name")))
                }
                Err(why) if why.is_of_the_machine() => Err(why),
                Err(why) => Ok(Err(why.to_string())),
            }
        })
        .await?;
    match made {
        Ok(file) => Ok(Redirect::to(&format!("{}?made=yes", car_address(&file))).into_response()),
        Err(why) => {
            if !why.is_empty() {
                form.wrong.insert("file".to_owned(), why);
            }
            Ok((StatusCode::UNPROCESSABLE_ENTITY, new_page(&form, choices)).into_response())
        }
    }
}

/// The answers, where all can be used; what is wrong is noted beside each.
fn answered(form: &mut NewCar) -> Option<Answers> {
    let mut answers = Answers::default();
    for question in STRUT_QUESTIONS {
        let typed = form.typed.get(question.key).map_or("", |text| text.trim());
        match question.read(if typed.is_empty() { question.usual } else { typed }) {
            Ok(value) if question.kind == QuestionKind::YesNo => {
                answers.conditions.insert(question.key, value == "yes");
            }
            Ok(value) if value.contains(['"', '\\']) || value.chars().any(char::is_control) => {
                let why = "leave out quotes, backslashes and line breaks".to_owned();
                form.wrong.insert(question.key.to_owned(), why);
            }
            Ok(value) => {
                answers.texts.insert(question.key, value);
            }
            Err(why) => {
                form.wrong.insert(question.key.to_owned(), why);
            }
        }
    }
    form.wrong.is_empty().then_some(answers)
}

pub(crate) fn new_page(form: &NewCar, choices: Choices) -> Markup {
    let body = html! {
        h1 { "New vehicle file" }
        p { "From the layout template of a strut front axle. Everything in it is typical: it can drive a plan, and nothing in it is a specification until you write it in with its source." }
        @if !form.wrong.is_empty() { p.not-yet role="alert" { (count(form.wrong.len(), "answer")) " cannot be used: see below. Nothing was written." } }
        form method="post" action="/cars/new" {
            label {
                span { "Name of the file" }
                input name="file" value=(form.file) required autocomplete="off" aria-invalid=[form.wrong.contains_key("file").then_some("true")];
                (wrong(form, "file"))
            }
            @for question in STRUT_QUESTIONS {
                @let typed = form.typed.get(question.key).map_or(question.usual, String::as_str);
                @if question.kind == QuestionKind::YesNo {
                    fieldset { legend { (question.ask) }
                        @for word in ["yes", "no"] {
                            label.switch { input type="radio" name=(question.key) value=(word) checked[typed == word]; span { (word) @if question.usual == word { span.quiet { " (usual)" } } } }
                        }
                        (wrong(form, question.key))
                    }
                } @else {
                    label {
                        span { (question.ask) " " span.quiet { "usual: " (question.usual) } }
                        input name=(question.key) value=(typed) autocomplete="off" aria-invalid=[form.wrong.contains_key(question.key).then_some("true")];
                        (wrong(form, question.key))
                    }
                }
            }
            button.big type="submit" { "Write the file" }
        }
    };
    page(&Frame { title: "New vehicle file", head: None, here: "", choices }, &body)
}

fn wrong(form: &NewCar, key: &str) -> Markup {
    html! { @if let Some(why) = form.wrong.get(key) { strong.wrong { (why) } } }
}

#[cfg(test)]
mod tests {
    use crate::workbench::Workbench;
    use axum::http::StatusCode;

    #[test]
    fn every_vehicle_file_of_the_folder_is_listed_and_nothing_else() {
        let bench = Workbench::empty();
        std::fs::write(bench.path().join("torn.toml"), "format = 1\n[car]\nname = 5\n").unwrap();
        let page = bench.get("/cars").page();
        assert!(page.contains("/cars/wagtail.toml") && page.contains("/start?car=wagtail.toml"));
        assert!(page.contains("torn.toml") && page.contains("no job can start on it yet"));
        assert!(!page.contains("/start?car=torn.toml"));
        assert!(!page.contains("toolbox.toml"));
    }

    #[test]
    fn a_new_file_comes_from_the_usual_answers() {
        let bench = Workbench::empty();
        let form = bench.get("/cars/new").page();
        assert!(form.contains("Wheelbase?") && form.contains("2600 mm"));
        let answer = bench.post("/cars/new", &[("file", "my-car"), ("wheelbase", "2550"), ("abs", "no")]);
        assert_eq!(answer.location.as_deref(), Some("/cars/my-car.toml?made=yes"));
        let written = std::fs::read_to_string(bench.path().join("my-car.toml")).unwrap();
        assert!(written.contains("wheelbase = \"2550 mm\""));
        let page = bench.get("/cars/my-car.toml?made=yes").page();
        assert!(page.contains("nothing is a specification yet") && !page.contains("Specified: "), "{page}");
        assert!(page.contains("Hand-tight, no torque to look up: "), "{page}");
        // Sent again, or another one of the same name: the first stays.
        let again = bench.post("/cars/new", &[("file", "my-car"), ("wheelbase", "2700")]);
        assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(
            again.page().contains("there is a file &#x27;my-car.toml&#x27; already")
                || again.page().contains("there is a file 'my-car.toml' already")
        );
        assert_eq!(std::fs::read_to_string(bench.path().join("my-car.toml")).unwrap(), written);
    }

    #[test]
    fn what_is_wrong_stands_beside_the_answer_and_all_that_was_typed_is_kept() {
        let bench = Workbench::empty();
        let fields = [
            ("file", "../../etc/passwd"),
            ("name", "Old \"Nan\""),
            ("wheelbase", "25 mm"),
            ("tyre", "205/55 R16"),
        ];
        let answer = bench.post("/cars/new", &fields);
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        let page = answer.page();
        for said in [
            "3 answers cannot be used",
            "letters, digits",
            "leave out quotes",
            "give a value from 1200 to 4500 mm",
        ] {
            assert!(page.contains(said), "{said}: {page}");
        }
        for kept in ["../../etc/passwd", "value=\"25 mm\"", "205/55 R16", "Old &quot;Nan&quot;"] {
            assert!(page.contains(kept), "{kept}");
        }
    }
}
