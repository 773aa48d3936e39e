//! Starting a job: which car, what is replaced, how rusty, who helps, with which tools.

use super::cars::{car_address, none_yet};
use super::form::hidden;
use super::shell::{Frame, page};
use super::{address, piece};
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::vehicle::{self, PartChoice};
use axlestand_garage::{Garage, GarageError, OwnCarView, StartJob};
use axum::Form;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use serde::Deserialize;

/// The rust grades in words (data/rust_odds.csv).
const RUST: [(&str, &str); 5] = [
    ("0", "dry and young"),
    ("1", "light surface rust"),
    ("2", "some fasteners will be seized"),
    ("3", "many winters in a road-salt region"),
    ("4", "long salt, or it stood in a flood"),
];

/// Which car.
#[derive(Debug, Default, Deserialize)]
pub(crate) struct Asked {
    car: Option<String>,
}

/// The form as it was filled in.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Typed {
    pub(crate) car: String,
    pub(crate) replace: Vec<String>,
    pub(crate) rust: String,
    pub(crate) help: bool,
    pub(crate) toolbox: String,
    pub(crate) name: String,
    /// The field that is wrong, and why.
    pub(crate) wrong: Option<(&'static str, String)>,
}

/// Everything that the form shows.
pub(crate) struct StartPage {
    pub(crate) car: String,
    pub(crate) parts: Vec<PartChoice>,
    pub(crate) toolboxes: Vec<String>,
    pub(crate) typed: Typed,
}

pub(crate) async fn start(
    State(app): State<Shared>,
    Query(asked): Query<Asked>,
    choices: Choices,
) -> Result<Response, Problem> {
    let wanted = asked.car.filter(|car| !car.is_empty());
    let shown = app
        .garage(None, move |garage| {
            let cars = garage.own_cars()?;
            let sound: Vec<&OwnCarView> = cars.iter().filter(|car| car.errors == 0).collect();
            let file = match (wanted, sound.as_slice()) {
                (Some(file), _) => file,
                (None, [only]) if cars.len() == 1 => only.file.clone(),
                _ => return Ok(Err((cars, garage.folder_said()))),
            };
            let path = garage.own_file(&file)?;
            let name = garage.free_name(&path)?;
            let toolbox = garage.own_toolboxes()?.into_iter().next().unwrap_or_default();
            let typed = Typed { car: file, rust: "2".to_owned(), toolbox, name, ..Typed::default() };
            gather(garage, typed).map(Ok)
        })
        .await?;
    Ok(match shown {
        Ok(form) => start_page(&form, choices),
        Err((cars, folder)) => choose_page(&cars, &folder, choices),
    }
    .into_response())
}

fn gather(garage: &mut Garage, typed: Typed) -> Result<StartPage, GarageError> {
    let (_, car) = vehicle::load_car(&garage.own_file(&typed.car)?)?;
    Ok(StartPage {
        parts: vehicle::part_choices(&car),
        car: car.name,
        toolboxes: garage.own_toolboxes()?,
        typed,
    })
}

pub(crate) async fn begin(
    State(app): State<Shared>,
    choices: Choices,
    Form(fields): Form<Vec<(String, String)>>,
) -> Result<Response, Problem> {
    let mut typed = Typed::default();
    for (name, value) in fields {
        match name.as_str() {
            "car" => typed.car = value,
            "replace" => typed.replace.push(value),
            "rust" => typed.rust = value,
            "help" => typed.help = true,
            "toolbox" => typed.toolbox = value,
            "name" => typed.name = value,
            _ => {}
        }
    }
    let result = app.garage(None, move |garage| started(garage, typed)).await?;
    Ok(match result {
        Ok(job) => Redirect::to(&address(&job, "prepare")).into_response(),
        Err(form) => (StatusCode::UNPROCESSABLE_ENTITY, start_page(&form, choices)).into_response(),
    })
}

/// The name of the job that was started, or the form that says why not.
fn started(garage: &mut Garage, mut typed: Typed) -> Result<Result<String, Box<StartPage>>, GarageError> {
    let car = garage.own_file(&typed.car)?;
    let toolbox = Some(typed.toolbox.as_str()).filter(|file| !file.is_empty());
    let name = Some(typed.name.trim().to_owned()).filter(|name| !name.is_empty());
    typed.wrong = match typed.rust.parse::<u8>() {
        _ if typed.replace.is_empty() => Some(("replace", "tick at least one part to replace".to_owned())),
        Ok(_) => None,
        Err(_) => Some(("rust", "choose how rusty the car is".to_owned())),
    };
    if typed.wrong.is_none() {
        let start = StartJob {
            car,
            replace: typed.replace.clone(),
            helper: typed.help,
            rust: typed.rust.parse().unwrap_or_default(),
            toolbox: toolbox.map(|file| garage.own_file(file)).transpose()?,
            name,
        };
        match garage.start_job(&start) {
            Ok(recorded) => return Ok(Ok(recorded.job.name)),
            // The button was pressed twice: the job is there already.
            Err(GarageError::JobExists(name)) if is_the_same(garage, &name, &typed)? => {
                return Ok(Ok(name));
            }
            Err(why) if why.is_of_the_machine() => return Err(why),
            Err(why) => typed.wrong = Some((field_of(&why), why.to_string())),
        }
    }
    gather(garage, typed).map(|form| Err(Box::new(form)))
}

/// Whether the job of that name is to replace the same parts.
fn is_the_same(garage: &Garage, name: &str, typed: &Typed) -> Result<bool, GarageError> {
    let goals = garage.goals_of(name)?;
    let mut wanted = typed.replace.clone();
    wanted.dedup();
    Ok(goals.len() == wanted.len() && wanted.iter().all(|part| goals.contains(part)))
}

fn field_of(why: &GarageError) -> &'static str {
    match why {
        GarageError::JobExists(_) | GarageError::JobName(_) => "name",
        GarageError::FaultyToolbox(_) => "toolbox",
        _ => "replace",
    }
}

pub(crate) fn choose_page(cars: &[OwnCarView], folder: &str, choices: Choices) -> Markup {
    let body = html! {
        h1 { "Start a job: which car?" }
        @if cars.is_empty() { (none_yet(folder)) }
        ul.jobs {
            @for car in cars {
                li {
                    @if car.errors == 0 { a.button href=(format!("/start?car={}", piece(&car.file))) { (car.name.as_deref().unwrap_or(&car.file)) } }
                    @else { (car.file) ": has faults, " a href=(car_address(&car.file)) { "look at them" } }
                }
            }
        }
        p { a.button href="/cars/new" { "New vehicle file" } }
    };
    page(&Frame { title: "Start a job", head: None, here: "", choices }, &body)
}

pub(crate) fn start_page(form: &StartPage, choices: Choices) -> Markup {
    let typed = &form.typed;
    let wrong = |field: &str| {
        let why = typed.wrong.as_ref().filter(|(of, _)| *of == field);
        html! { @if let Some((_, why)) = why { p.wrong role="alert" { strong { (why) } } } }
    };
    let body = html! {
        h1 { "Start a job" }
        p { strong { (form.car) } " " span.quiet { (typed.car) } }
        @if typed.wrong.is_some() { p.not-yet { "Nothing was started yet: see below." } }
        form method="post" action="/start" {
            (hidden("car", &typed.car))
            fieldset.parts { legend { "What is to be replaced?" }
                p.quiet { "Only what gets a new part. What has to come off for it is found by itself." }
                (wrong("replace"))
                @for part in &form.parts { (part_line(part, typed)) }
            }
            fieldset { legend { "How rusty is it?" }
                @for (grade, words) in RUST {
                    label.switch { input type="radio" name="rust" value=(grade) checked[typed.rust == grade]; span { b { (grade) } " " (words) } }
                }
                (wrong("rust"))
            }
            label.switch { input type="checkbox" name="help" value="yes" checked[typed.help]; span { "Somebody can lend a hand" } }
            label { span { "Toolbox file" }
                select name="toolbox" {
                    option value="" selected[typed.toolbox.is_empty()] { "none: all tools are listed" }
                    @for file in &form.toolboxes { option value=(file) selected[typed.toolbox == *file] { (file) } }
                }
                (wrong("toolbox"))
            }
            label { span { "Name of the job" } input name="name" value=(typed.name) autocomplete="off"; (wrong("name")) }
            button.big type="submit" { "Start, and see what it takes" }
        }
    };
    page(&Frame { title: "Start a job", head: None, here: "", choices }, &body)
}

fn part_line(part: &PartChoice, typed: &Typed) -> Markup {
    html! {
        div.part {
            span.name { (part.name) }
            div.sides {
                @for (side, item) in &part.sides {
                    label.tick {
                        input type="checkbox" name="replace" value=(item) checked[typed.replace.contains(item)] aria-label=(if side.is_empty() { part.name.clone() } else { format!("{}, {side}", part.name) });
                        span { (side) }
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::workbench::Workbench;
    use axum::http::StatusCode;

    #[test]
    fn the_form_offers_every_part_with_its_sides() {
        let page = Workbench::empty().get("/start").page();
        for shown in
            ["control-arm.left", "control-arm.right", "road-salt region", "toolbox.toml", "value=\"wagtail\""]
        {
            assert!(page.contains(shown), "{shown}");
        }
    }

    #[test]
    fn where_no_vehicle_file_is_the_folder_is_named() {
        let bench = Workbench::empty();
        std::fs::remove_file(bench.path().join("wagtail.toml")).unwrap();
        let folder = bench.path().display().to_string();
        for address in ["/start", "/cars"] {
            let page = bench.get(address).page();
            assert!(page.contains(&folder) && page.contains("Copy yours into it"), "{page}");
        }
    }

    #[test]
    fn pressing_twice_starts_one_job() {
        let bench = Workbench::empty();
        let fields = [
            ("car", "wagtail.toml"),
            ("replace", "control-arm.left"),
            ("rust", "3"),
            ("toolbox", "toolbox.toml"),
            ("name", "left arm"),
        ];
        for _ in 0..2 {
            let answer = bench.post("/start", &fields);
            assert_eq!(answer.location.as_deref(), Some("/job/left%20arm/prepare"), "{}", answer.text());
        }
        assert_eq!(bench.garage().jobs().unwrap(), ["left arm"]);
        // Another one of that name is another one.
        let other =
            [("car", "wagtail.toml"), ("replace", "tie-rod-end.left"), ("rust", "3"), ("name", "left arm")];
        let answer = bench.post("/start", &other);
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(answer.page().contains("there is a job called"));
    }

    #[test]
    fn nothing_that_was_filled_in_is_lost() {
        let bench = Workbench::empty();
        let fields = [("car", "wagtail.toml"), ("rust", "4"), ("help", "yes"), ("name", "mine")];
        let answer = bench.post("/start", &fields);
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        let page = answer.page();
        assert!(page.contains("tick at least one part") && page.contains("value=\"mine\""));
        assert!(page.contains("value=\"4\" checked") && page.contains("name=\"help\" value=\"yes\" checked"));
        let wrong = [("car", "wagtail.toml"), ("replace", "bonnet-emblem"), ("rust", "1")];
        assert_eq!(bench.post("/start", &wrong).status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(
            bench.post("/start", &[("car", "../wagtail.toml"), ("replace", "x")]).status.is_client_error()
        );
    }
}
