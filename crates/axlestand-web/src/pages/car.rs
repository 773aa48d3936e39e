//! One vehicle file: what is wrong with it, what is specified and where that comes from, and a form that
//! writes one value with its source.

use super::cars::car_address;
use super::form::hidden;
use super::shell::{Frame, page};
use super::words::count;
use super::{address, piece};
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::fastening;
use axlestand_garage::vehicle::{self, SetValue};
use axlestand_garage::views::{FindingView, HeadView, SpecField, SpecView, finding_views, specifications};
use axlestand_garage::{Garage, GarageError, Units, with_unit};
use axum::Form;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Redirect, Response};
use maud::{Markup, html};
use serde::Deserialize;
use std::path::PathBuf;

/// Which vehicle file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Which {
    /// One in the garage's folder.
    Own(String),
    /// The one of a job, wherever it lies.
    OfJob(String),
}

impl Which {
    fn job(&self) -> Option<String> {
        match self {
            Self::Own(_) => None,
            Self::OfJob(job) => Some(job.clone()),
        }
    }

    fn path(&self, garage: &mut Garage) -> Result<PathBuf, GarageError> {
        match self {
            Self::Own(file) => garage.own_file(file),
            Self::OfJob(_) => Ok(PathBuf::from(garage.job()?.state.car_path)),
        }
    }

    /// The address of its page.
    pub(crate) fn address(&self) -> String {
        match self {
            Self::Own(file) => car_address(file),
            Self::OfJob(job) => address(job, "car"),
        }
    }
}

/// The address where a field of an item is written into the vehicle file of a job.
pub(crate) fn fill_in_address(job: &str, item: &str) -> String {
    let base = item.split('.').next().unwrap_or(item);
    address(job, &format!("car?item={}", piece(base)))
}

/// What is looked at.
#[derive(Debug, Default, Deserialize)]
pub(crate) struct Asked {
    item: Option<String>,
    /// The field that was written just before.
    written: Option<String>,
    /// The file was made just before.
    made: Option<String>,
}

/// A value that was typed and could not be written.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub(crate) struct Typed {
    pub(crate) item: String,
    pub(crate) field: String,
    pub(crate) value: String,
    /// The unit that stood beside the field.
    #[serde(default)]
    pub(crate) unit: String,
    #[serde(default)]
    pub(crate) source: String,
    /// It was measured at the car.
    #[serde(default)]
    pub(crate) measured: String,
    /// Why it was not written.
    #[serde(skip)]
    pub(crate) wrong: Option<(WrongIn, String)>,
}

/// Where a fault is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum WrongIn {
    /// In the value.
    Value,
    /// In where it comes from.
    Source,
}

/// Everything that the page shows.
pub(crate) struct CarPage {
    pub(crate) which: Which,
    pub(crate) head: Option<HeadView>,
    pub(crate) file: String,
    /// Absent where the file has faults.
    pub(crate) name: Option<String>,
    pub(crate) findings: Vec<FindingView>,
    /// Parts that cannot be replaced as the file stands, with the reason.
    pub(crate) unreachable: Vec<(String, String)>,
    pub(crate) specs: Vec<SpecView>,
    /// The item whose fields are open.
    pub(crate) item: Option<String>,
    /// What to say first.
    pub(crate) said: Vec<String>,
    pub(crate) typed: Option<Typed>,
}

/// Gathers the page.
pub(crate) fn gather(
    garage: &mut Garage,
    which: &Which,
    asked: &Asked,
    units: Units,
) -> Result<CarPage, GarageError> {
    let path = which.path(garage)?;
    let reading = vehicle::look_at(&path)?;
    let head = match which {
        Which::OfJob(_) => {
            let job = garage.job()?;
            Some(garage.head(&job)?)
        }
        Which::Own(_) => None,
    };
    let mut said = Vec::new();
    if asked.made.is_some() {
        said.push("Written. Everything in it is typical: nothing is a specification yet.".to_owned());
    }
    if let (Some(car), Some(item), Some(field)) = (&reading.car, &asked.item, &asked.written) {
        said.push(format!("Written: {item}, {field}."));
        if field == "torque" {
            let id = car.resolve(item)?.into_iter().next();
            let value = id.as_ref().and_then(|id| car.fastener(id)?.torque.as_ref());
            let value = value.map(|spec| Units::Metric.steps(spec));
            let asked = id.zip(value).and_then(|(id, value)| {
                let bare = value.split(" (").next().unwrap_or(&value);
                fastening::question(car, &id, bare)
            });
            said.extend(asked.map(|question| format!("A question: {question}")));
        }
    }
    Ok(CarPage {
        which: which.clone(),
        head,
        file: path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default(),
        findings: finding_views(&reading),
        unreachable: reading.car.as_ref().map(unreachable).unwrap_or_default(),
        specs: reading.car.as_ref().map(|car| specifications(car, units)).unwrap_or_default(),
        name: reading.car.map(|car| car.name),
        item: asked.item.clone(),
        said,
        typed: None,
    })
}

fn unreachable(car: &axlestand_garage::Car) -> Vec<(String, String)> {
    vehicle::unreachable_parts(car).into_iter().map(|(part, why)| (part.to_string(), why)).collect()
}

pub(crate) async fn own(
    State(app): State<Shared>,
    Path(file): Path<String>,
    Query(asked): Query<Asked>,
    choices: Choices,
) -> Result<Markup, Problem> {
    shown(&app, Which::Own(file), asked, choices).await
}

pub(crate) async fn of_job(
    State(app): State<Shared>,
    Path(job): Path<String>,
    Query(asked): Query<Asked>,
    choices: Choices,
) -> Result<Markup, Problem> {
    shown(&app, Which::OfJob(job), asked, choices).await
}

async fn shown(app: &Shared, which: Which, asked: Asked, choices: Choices) -> Result<Markup, Problem> {
    let units = choices.units(app);
    let job = which.job();
    let view = app.garage(job, move |garage| gather(garage, &which, &asked, units)).await?;
    Ok(car_page(&view, choices))
}

pub(crate) async fn write_own(
    State(app): State<Shared>,
    Path(file): Path<String>,
    choices: Choices,
    Form(typed): Form<Typed>,
) -> Result<Response, Problem> {
    write(&app, Which::Own(file), typed, choices).await
}

pub(crate) async fn write_of_job(
    State(app): State<Shared>,
    Path(job): Path<String>,
    choices: Choices,
    Form(typed): Form<Typed>,
) -> Result<Response, Problem> {
    write(&app, Which::OfJob(job), typed, choices).await
}

/// Writes one value, or shows beside the field why not, with what was typed.
async fn write(app: &Shared, which: Which, typed: Typed, choices: Choices) -> Result<Response, Problem> {
    let units = choices.units(app);
    let job = which.job();
    let back = which.address();
    let result = app.garage(job, move |garage| written(garage, &which, typed, units)).await?;
    match result {
        Ok((item, field)) => {
            let item = piece(&item);
            let to = format!("{back}?item={item}&written={}#spec-{item}", piece(&field));
            Ok(Redirect::to(&to).into_response())
        }
        Err(view) => Ok((StatusCode::UNPROCESSABLE_ENTITY, car_page(&view, choices)).into_response()),
    }
}

/// Item and field that were written, or the page that says why not.
pub(crate) fn written(
    garage: &mut Garage,
    which: &Which,
    mut typed: Typed,
    units: Units,
) -> Result<Result<(String, String), Box<CarPage>>, GarageError> {
    let path = which.path(garage)?;
    let measured = !typed.measured.is_empty();
    let source = Some(typed.source.trim().to_owned()).filter(|source| !source.is_empty());
    if source.is_none() && !measured {
        let why = "say where the value comes from: which manual, which page or sheet".to_owned();
        typed.wrong = Some((WrongIn::Source, why));
    }
    if typed.wrong.is_none() {
        let value = with_unit(&typed.value, &typed.unit);
        let set = SetValue { item: typed.item.clone(), field: typed.field.clone(), value, source, measured };
        match vehicle::set_value(&path, &set) {
            Ok(item) => {
                if matches!(which, Which::OfJob(_)) {
                    // Takes the changed file over into the job.
                    garage.job()?;
                }
                return Ok(Ok((item, typed.field)));
            }
            Err(why) if why.is_of_the_machine() => return Err(why),
            Err(why) => {
                let at = if matches!(why, GarageError::Source(_)) { WrongIn::Source } else { WrongIn::Value };
                typed.wrong = Some((at, why.to_string()));
            }
        }
    }
    let asked = Asked { item: Some(typed.item.clone()), ..Asked::default() };
    let mut view = gather(garage, which, &asked, units)?;
    view.typed = Some(typed);
    Ok(Err(Box::new(view)))
}

pub(crate) fn car_page(view: &CarPage, choices: Choices) -> Markup {
    let title = view.name.as_deref().unwrap_or(&view.file);
    let wanted: Vec<&SpecView> = view.specs.iter().filter(|spec| spec.is_wanted()).collect();
    let settled: Vec<&SpecView> =
        view.specs.iter().filter(|spec| !spec.is_wanted() && !spec.is_hand_tight()).collect();
    let by_hand: Vec<&SpecView> = view.specs.iter().filter(|spec| spec.is_hand_tight()).collect();
    let open = view.specs.iter().find(|spec| view.item.as_deref() == Some(spec.item.as_str()));
    let body = html! {
        h1 { (title) }
        p.quiet { (view.file) }
        @for line in &view.said { p.told { (line) } }
        (findings(view))
        @if let Some(spec) = open { (opened(view, spec)) }
        @else if let (Some(item), Some(_)) = (&view.item, &view.name) { p.not-yet { "Nothing of " code { (item) } " can be written here: only torques, sizes, fluids and targets. The rest is changed in the file with a text editor." } }
        @if !wanted.is_empty() {
            h2 { "To look up in your service manual: " (wanted.len()) }
            p.quiet { "Nothing is made up: until a value is here with its source, the road check stays closed for whatever lives depend on." }
            ul.specs { @for spec in &wanted { li.danger[spec.critical] { (spec_line(view, spec)) } } }
        } @else if view.name.is_some() {
            h2 { "To look up: nothing" }
        }
        @if !settled.is_empty() {
            details { summary { "Specified: " (settled.len()) }
                ul.specs { @for spec in &settled { li { (spec_line(view, spec)) } } }
            }
        }
        @if !by_hand.is_empty() {
            details { summary { "Hand-tight, no torque to look up: " (by_hand.len()) }
                ul.specs { @for spec in &by_hand { li { (spec_line(view, spec)) } } }
            }
        }
        p.choose {
            @match &view.which {
                Which::Own(file) => { a.button href=(format!("/start?car={}", piece(file))) { "Start a job" } a.button href="/cars" { "Cars" } },
                Which::OfJob(job) => { a.button href=(address(job, "learn")) { "What was seen at the car" } " " a.button href=(address(job, "prepare")) { "Prepare" } },
            }
        }
    };
    page(&Frame { title, head: view.head.as_ref(), here: "", choices }, &body)
}

fn findings(view: &CarPage) -> Markup {
    let errors = view.findings.iter().filter(|finding| finding.severity == "error").count();
    html! {
        @if errors > 0 {
            p.not-yet role="alert" { strong { (count(errors, "fault")) "." } " Mend them in the file with a text editor; until then nothing can be written from here and no job can start on it." }
        }
        @if !view.findings.is_empty() || !view.unreachable.is_empty() {
            section.findings {
                h2 { "Findings: " (view.findings.len() + view.unreachable.len()) }
                ol.findings {
                    @for finding in &view.findings {
                        li {
                            p { strong { @if finding.severity == "error" { "✕ " } @else { "! " } "line " (finding.line) ", column " (finding.column) ": " } (finding.message) }
                            @if !finding.text.is_empty() { p { code { (finding.text) } } }
                            @if !finding.hint.is_empty() { p.quiet { (finding.hint) } }
                        }
                    }
                    @for (part, why) in &view.unreachable { li { p { strong { "! " (part) " cannot be replaced: " } (why) } } }
                }
            }
        }
    }
}

fn spec_line(view: &CarPage, spec: &SpecView) -> Markup {
    let known: Vec<&SpecField> = spec.fields.iter().filter(|field| field.value.is_some()).collect();
    let wanted: Vec<&str> =
        spec.fields.iter().filter(|field| field.wanted).map(|field| field.label).collect();
    html! {
        p.name {
            a href=(format!("{}?item={}#spec-{}", view.which.address(), piece(&spec.item), spec.item)) { (spec.name) }
            @if spec.critical { " " strong { "critical" } }
        }
        @if !wanted.is_empty() {
            p { "wanted: " (wanted.join(", ")) @if let Some(place) = &spec.look_in { span.quiet { " – usually under: " (place) } } }
        }
        @if let Some(field) = known.iter().find(|field| matches!(field.field, "torque" | "value" | "amount")) {
            p { (field.value.as_deref().unwrap_or_default()) " " span.source { "[" (field.from.as_deref().unwrap_or("no source")) "]" } }
        }
    }
}

/// The fields of one item, each with a form of its own.
fn opened(view: &CarPage, spec: &SpecView) -> Markup {
    let (read_off, looked_up): (Vec<_>, Vec<_>) =
        spec.fields.iter().partition(|field| field.by == "read off");
    let is_open = |field: &str| view.typed.as_ref().is_some_and(|typed| typed.field == field);
    html! {
        section.spec id=(format!("spec-{}", spec.item)) {
            h2 { (spec.name) @if spec.critical { " · critical" } }
            p.quiet { (spec.kind) " " code { (spec.item) } @if let Some(place) = &spec.look_in { " · usually under: " (place) } }
            @for field in &looked_up { (field_form(view, spec, field)) }
            @if !read_off.is_empty() {
                details open[read_off.iter().any(|field| is_open(field.field))] {
                    summary { "Read off the car: " (read_off.iter().map(|field| field.label.to_lowercase()).collect::<Vec<_>>().join(", ")) }
                    @for field in &read_off { (field_form(view, spec, field)) }
                }
            }
        }
    }
}

fn field_form(view: &CarPage, spec: &SpecView, field: &SpecField) -> Markup {
    let typed = view.typed.as_ref().filter(|typed| typed.item == spec.item && typed.field == field.field);
    let wrong = typed.and_then(|typed| typed.wrong.as_ref());
    let wrong_in = |at: WrongIn| wrong.filter(|(of, _)| *of == at).map(|(_, why)| why);
    html! {
        form.field id=(format!("field-{}", field.field)) method="post" action=(view.which.address()) {
            h3 { (field.label) @if field.wanted { " – to look up" } }
            p { @match &field.value {
                Some(value) => { "Now: " strong { (value) } " " span.source { "[" (field.from.as_deref().unwrap_or("no source")) "]" } },
                None => { span.quiet { "Not known." } },
            } }
            (hidden("item", &spec.item)) (hidden("field", field.field)) (hidden("unit", field.unit))
            label {
                span { "Value" @if !field.unit.is_empty() { " (" (field.unit) " where no unit is typed)" } }
                input name="value" value=[typed.map(|typed| &typed.value)] placeholder=(field.example) autocomplete="off" required aria-invalid=[wrong_in(WrongIn::Value).map(|_| "true")];
                @if let Some(why) = wrong_in(WrongIn::Value) { strong.wrong role="alert" { (why) } }
            }
            @if field.by == "read off" {
                (hidden("measured", "yes"))
                p.quiet { "Read off the car: it is kept as measured." }
            } @else {
                label {
                    span { "Where it stands" }
                    input name="source" value=[typed.map(|typed| &typed.source)] placeholder="manual, page or sheet" autocomplete="off" aria-invalid=[wrong_in(WrongIn::Source).map(|_| "true")];
                    @if let Some(why) = wrong_in(WrongIn::Source) { strong.wrong role="alert" { (why) } }
                }
                @if field.by == "either" {
                    label.switch { input type="checkbox" name="measured" value="yes" checked[typed.is_some_and(|typed| !typed.measured.is_empty())]; span { "Measured at this car" } }
                }
            }
            button type="submit" { "Write it" }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::workbench::{CAR, JOB, Workbench};
    use axum::http::StatusCode;

    const PINCH: &str = "item=arm-front-bolt";

    #[test]
    fn a_file_shows_what_is_to_be_looked_up_and_where_each_value_comes_from() {
        let bench = Workbench::empty();
        let page = bench.get("/cars/wagtail.toml").page();
        assert!(page.contains("To look up in your service manual"));
        assert!(page.contains("manual: Wagtail workshop sheet"));
        let open = bench.get(&format!("/cars/wagtail.toml?{PINCH}")).page();
        assert!(open.contains("id=\"spec-arm-front-bolt\"") && open.contains("name=\"source\""));
    }

    #[test]
    fn a_value_is_written_with_its_source_and_the_rest_of_the_file_stays() {
        let bench = Workbench::empty();
        let fields = [
            ("item", "arm-front-bolt"),
            ("field", "torque"),
            ("value", "118"),
            ("unit", "N·m"),
            ("source", "sheet 12-3"),
        ];
        let answer = bench.post("/cars/wagtail.toml", &fields);
        let to = answer.location.unwrap_or_else(|| panic!("{}", String::from_utf8_lossy(&answer.bytes)));
        assert!(to.starts_with("/cars/wagtail.toml?item=arm-front-bolt&written=torque"), "{to}");
        let page = bench.get(to.split('#').next().unwrap()).page();
        assert!(page.contains("118 N·m") && page.contains("manual: sheet 12-3"), "{page}");
        let now = std::fs::read_to_string(bench.path().join("wagtail.toml")).unwrap();
        assert!(now.contains("sheet 12-3"));
        assert!(now.starts_with(CAR.lines().next().unwrap()));
    }

    #[test]
    fn what_cannot_be_written_is_said_beside_the_field_and_kept() {
        let bench = Workbench::empty();
        let post = |value: &str, source: &str| {
            let fields = [
                ("item", "arm-front-bolt"),
                ("field", "torque"),
                ("value", value),
                ("unit", "N·m"),
                ("source", source),
            ];
            bench.post("/cars/wagtail.toml", &fields)
        };
        for (value, source, said) in [
            ("118", "", "say where the value comes from"),
            ("tight", "sheet 1", "tight"),
            ("118 mm", "sheet 1", "mm"),
            ("118", "--", "is not a source"),
            ("<script>alert(1)</script>", "sheet 1", "&lt;script&gt;"),
        ] {
            let answer = post(value, source);
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{value}");
            let page = answer.page();
            assert!(page.contains(said) && page.contains("aria-invalid=\"true\""), "{value}: {page}");
            assert!(!page.contains("<script>alert"));
            let kept = value.replace('<', "&lt;").replace('>', "&gt;");
            assert!(page.contains(&format!("value=\"{kept}\"")), "{kept}");
        }
        assert_eq!(std::fs::read_to_string(bench.path().join("wagtail.toml")).unwrap(), CAR);
    }

    #[test]
    fn no_name_leads_out_of_the_folder() {
        let bench = Workbench::empty();
        std::fs::write(bench.path().with_file_name("outside.toml"), "[car]\nname = \"secret\"\n").unwrap();
        for path in
            ["/cars/..%2Foutside.toml", "/cars/%2Fetc%2Fpasswd", "/cars/..", "/cars/.toml", "/cars/a%00.toml"]
        {
            let answer = bench.get(path);
            assert!(answer.status.is_client_error(), "{path}: {}", answer.status);
            assert!(!answer.text().contains("secret"));
            let wrote =
                bench.post(path, &[("item", "x"), ("field", "torque"), ("value", "1"), ("source", "s")]);
            assert!(wrote.status.is_client_error(), "{path}");
        }
    }

    #[test]
    fn the_item_of_a_job_leads_to_its_field_and_the_job_takes_the_value_over() {
        let bench = Workbench::with_job();
        let item = bench.get(&format!("/job/{JOB}/item/arm-front-bolt.left")).page();
        assert!(item.contains(&format!("/job/{JOB}/car?item=arm-front-bolt")));
        assert!(bench.get(&format!("/job/{JOB}/car?{PINCH}")).page().contains("spec-arm-front-bolt"));
        let fields =
            [("item", "arm-front-bolt"), ("field", "torque"), ("value", "118 N·m"), ("source", "sheet 12-3")];
        assert_eq!(bench.post(&format!("/job/{JOB}/car"), &fields).status, StatusCode::SEE_OTHER);
        let item = bench.get(&format!("/job/{JOB}/item/arm-front-bolt.left")).page();
        assert!(item.contains("118 N·m"), "{item}");
    }
}
