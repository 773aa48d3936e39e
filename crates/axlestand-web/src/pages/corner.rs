//! The corner as a picture: every fastener at its place, to be tapped.

use super::shell::{Frame, page};
use super::{address, item_address};
use crate::app::Shared;
use crate::choices::Choices;
use crate::problem::Problem;
use axlestand_garage::views::{HeadView, OpenView, open_view};
use axlestand_garage::{AxleEnd, Hand, Room, View, corner_ends, corner_picture};
use axum::extract::{Path, Query, State};
use maud::{Markup, PreEscaped, html};
use serde::Deserialize;

/// Which side, from where.
#[derive(Debug, Default, Deserialize)]
pub(crate) struct Asked {
    side: Option<String>,
    view: Option<String>,
    end: Option<String>,
}

pub(crate) const VIEWS: [(&str, &str, View); 4] = [
    ("oblique", "Oblique", View::Oblique),
    ("front", "Front", View::Front),
    ("side", "Side", View::Side),
    ("above", "Above", View::Above),
];

/// Everything that the page shows.
pub(crate) struct Corner {
    pub(crate) head: HeadView,
    pub(crate) picture: String,
    /// The ends of the car that the job touches, and the one that is shown.
    pub(crate) ends: Vec<AxleEnd>,
    pub(crate) end: AxleEnd,
    pub(crate) side: &'static str,
    pub(crate) view: &'static str,
    pub(crate) open: Vec<OpenView>,
}

pub(crate) async fn corner(
    State(app): State<Shared>,
    Path(job): Path<String>,
    Query(asked): Query<Asked>,
    choices: Choices,
) -> Result<Markup, Problem> {
    let units = choices.units(&app);
    let (side, hand) =
        if asked.side.as_deref() == Some("right") { ("right", Hand::Right) } else { ("left", Hand::Left) };
    let (view, _, from) =
        *VIEWS.iter().find(|(word, ..)| Some(*word) == asked.view.as_deref()).unwrap_or(&VIEWS[0]);
    let end = if asked.end.as_deref() == Some("rear") { AxleEnd::Rear } else { AxleEnd::Front };
    let shown = app
        .job(job, move |garage, job| {
            let picture = corner_picture(job, end, hand, from, Room::Narrow, None, units)?;
            let open =
                open_view(job).into_iter().filter(|item| item.item.ends_with(&format!(".{side}"))).collect();
            Ok(Corner { head: garage.head(job)?, picture, ends: corner_ends(job), end, side, view, open })
        })
        .await?;
    Ok(corner_page(&shown, choices))
}

/// The address of a corner; the front one is what is meant where no end is named.
pub(crate) fn corner_address(job: &str, end: AxleEnd, side: &str, view: &str) -> String {
    let end = if end == AxleEnd::Rear { "&end=rear" } else { "" };
    address(job, &format!("corner?side={side}&view={view}{end}"))
}

pub(crate) fn corner_page(shown: &Corner, choices: Choices) -> Markup {
    let job = &shown.head.job;
    let at = |end: AxleEnd, side: &str, view: &str| corner_address(job, end, side, view);
    let here = |side: &str, view: &str| at(shown.end, side, view);
    let title = if shown.end == AxleEnd::Rear { "Rear" } else { "Front" };
    let body = html! {
        h1 { (title) " corner, " (shown.side) }
        @if shown.ends.len() > 1 {
            nav.choose aria-label="End of the car" {
                @for (end, title) in [(AxleEnd::Front, "FRONT"), (AxleEnd::Rear, "REAR")] {
                    a.button href=(at(end, shown.side, shown.view)) aria-current=[(end == shown.end).then_some("true")] { (title) }
                }
            }
        }
        nav.choose aria-label="Side" {
            @for side in ["left", "right"] {
                a.button href=(here(side, shown.view)) aria-current=[(side == shown.side).then_some("true")] { (side.to_uppercase()) }
            }
        }
        nav.choose aria-label="Seen from" {
            @for (word, title, _) in VIEWS {
                a.button href=(here(shown.side, word)) aria-current=[(word == shown.view).then_some("true")] { (title) }
            }
        }
        figure.picture data-tap { (PreEscaped(&shown.picture)) }
        h2 { "Open on this side: " (shown.open.len()) }
        ul.open { @for item in &shown.open { li { a href=(item_address(job, &item.item)) { (item.name) } ": " (item.stands) } } }
    };
    page(&Frame { title: "Corner", head: Some(&shown.head), here: "corner", choices }, &body)
}
