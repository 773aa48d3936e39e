//! What all pages share: head, state banner, stages, the bar at the lower edge.

use super::address;
use super::plain::on_page;
use crate::assets;
use crate::choices::Choices;
use axlestand_garage::Stage;
use axlestand_garage::views::HeadView;
use maud::{DOCTYPE, Markup, html};

/// The five stages, in their order: word and title.
pub(crate) fn stages() -> impl Iterator<Item = (&'static str, &'static str)> {
    Stage::ALL.iter().map(|stage| (stage.word(), stage.phrase()))
}

/// What frames a page.
pub(crate) struct Frame<'a> {
    /// The title.
    pub(crate) title: &'a str,
    /// The job, where the page belongs to one.
    pub(crate) head: Option<&'a HeadView>,
    /// Where we are: `now`, `open`, `corner`, a stage, or empty.
    pub(crate) here: &'a str,
    /// How the device wants it.
    pub(crate) choices: Choices,
}

/// A whole page.
pub(crate) fn page(frame: &Frame<'_>, body: &Markup) -> Markup {
    let job = frame.head.map(|head| head.job.as_str());
    html! {
        (DOCTYPE)
        html lang="en" data-look=(frame.choices.look.word()) data-hand=(if frame.choices.left_hand { "left" } else { "right" }) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (frame.title) @if let Some(job) = job { " · " (job) } " · Axlestand" }
                link rel="stylesheet" href=(assets::address("app.css"));
                link rel="icon" href=(assets::address("icon.svg")) type="image/svg+xml";
                script type="module" src=(assets::address("app.js")) {}
            }
            body data-shell=[(frame.here == "shell").then_some("")] data-job=[job] data-position=[frame.head.map(|head| head.position)] {
                a.skip href="#main" { "To the content" }
                @if let Some(head) = frame.head { (top(head, frame.here)) }
                div #told role="status" aria-live="polite" {}
                main #main tabindex="-1" { (body) }
                @if let Some(head) = frame.head { (bar(head, frame.here)) }
            }
        }
    }
}

/// How the car stands, and the stages.
fn top(head: &HeadView, here: &str) -> Markup {
    html! {
        header {
            (banner(head))
            nav.stages aria-label="Stages" {
                ol {
                    @for (word, title) in stages() {
                        li { a href=(address(&head.job, word)) aria-current=[(here == word).then_some("page")] {
                            (title) @if head.stage == word { span.at { " ●" span.aside { " (the work is here)" } } }
                        } }
                    }
                }
            }
        }
    }
}

/// The banner of the car's state, which cannot be overlooked.
fn banner(head: &HeadView) -> Markup {
    html! {
        div.banner.danger[head.on_stands || head.do_not_roll.is_some()] {
            p { strong { "Car " (head.car_state) } @if head.on_stands { ". Trust no jack." } }
            @if let Some(why) = &head.do_not_roll { p { strong { (why) } } }
            @if let Some(where_else) = &head.elsewhere { p { (where_else) } }
            @if head.waiting > 0 {
                p { a href=(address(&head.job, "look")) { (head.waiting) " from a phone needs a look" } }
            }
            @if let Some(notice) = &head.notice { p { (on_page(notice)) } }
        }
    }
}

/// The bar at the lower edge, within a thumb's reach.
fn bar(head: &HeadView, here: &str) -> Markup {
    let current = |word: &str| (here == word).then_some("page");
    html! {
        nav.bar aria-label="Work" {
            a href=(address(&head.job, "now")) aria-current=[current("now")] { "Now" }
            a href=(address(&head.job, "open")) aria-current=[current("open")] { "Open " b { (head.open) } }
            a href=(address(&head.job, "corner")) aria-current=[current("corner")] { "Corner" }
            a href=(address(&head.job, "ledger")) aria-current=[current("ledger")] { "Ledger" }
            a href="/settings" { "More" }
        }
    }
}
