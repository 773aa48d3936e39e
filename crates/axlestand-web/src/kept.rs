//! The pages of a job that a device keeps for the time without the server.
//!
//! A device says which pages it holds, each with its mark; it gets those that changed, the nearest
//! steps first, and the order of the rows, by which it goes on alone. Only what stands between the
//! head of a page and its bar is kept: head and bar are those that the device saw last.

use crate::app::Shared;
use crate::choices::Choices;
use crate::pages::{address, corner, item_address, ledger, open, shell, stage, step_address, work};
use crate::problem::Problem;
use axlestand_garage::photos::photos_of;
use axlestand_garage::views::{
    BlockView, HeadView, WorkView, blocks, has_to_come_down, item_stands, log, one_step, open_to_work_from,
    open_view,
};
use axlestand_garage::{Garage, GarageError, Hand, Job, Room, Units, corner_ends, corner_picture};
use axum::Json;
use axum::extract::{Path, State};
use maud::Markup;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeSet, HashMap};
use std::hash::{DefaultHasher, Hasher as _};
use std::sync::{Arc, Mutex, PoisonError};

/// The most that the kept pages of a job may take together, bytes.
const MOST: usize = 12 * 1024 * 1024;
/// The most that is sent in one answer, bytes; one page is always sent.
const AT_ONCE: usize = 400 * 1024;
/// Sets of pages that the server remembers: one for each job and manner of showing.
const REMEMBERED: usize = 4;

/// What a device holds: path and mark.
#[derive(Debug, Default, Deserialize)]
pub(crate) struct Held {
    have: HashMap<String, String>,
}

/// What a device has to change.
#[derive(Debug, Serialize)]
pub(crate) struct Changes {
    position: i64,
    /// The garage's own name.
    garage: String,
    /// The rows that are still to be done, in their order.
    order: Vec<OrderRow>,
    /// Every page that is to be kept; others may be forgotten.
    all: Vec<String>,
    /// Pages that are new or changed, as many as fit into one answer.
    pages: Vec<KeptPage>,
    /// Whether more have changed: ask again.
    more: bool,
    /// Whether pages were left out since they are too many.
    cut: bool,
}

/// A row in the order of work.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
struct OrderRow {
    number: Option<u32>,
    action: String,
    text: String,
    place: String,
}

/// A page.
#[derive(Debug, Clone, Serialize)]
struct KeptPage {
    path: String,
    title: String,
    /// The same as long as the page is the same.
    mark: String,
    /// The content of its `main`.
    main: String,
}

/// All pages of a job at one position.
pub(crate) struct Set {
    key: Key,
    garage: String,
    order: Vec<OrderRow>,
    pages: Vec<KeptPage>,
    cut: bool,
}

#[derive(Debug, Clone, PartialEq, Eq)]
struct Key {
    job: String,
    position: i64,
    units: Units,
}

/// The sets that were made last: several devices ask for the same.
#[derive(Default)]
pub(crate) struct Sets(Mutex<Vec<Arc<Set>>>);

impl Sets {
    fn get(&self, key: &Key) -> Option<Arc<Set>> {
        let sets = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        sets.iter().find(|set| set.key == *key).map(Arc::clone)
    }

    fn put(&self, set: &Arc<Set>) {
        let mut sets = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        sets.retain(|old| old.key.job != set.key.job || old.key.units != set.key.units);
        sets.insert(0, Arc::clone(set));
        sets.truncate(REMEMBERED);
    }
}

/// Tells a device what to change in what it keeps.
pub(crate) async fn kept(
    State(app): State<Shared>,
    Path(job): Path<String>,
    choices: Choices,
    Json(held): Json<Held>,
) -> Result<Json<Changes>, Problem> {
    let units = choices.units(&app);
    let name = job.clone();
    let position = app.job(job.clone(), |garage, _| garage.position()).await?;
    let known = app.sets.get(&Key { job: name, position, units });
    let set = match known {
        Some(set) => set,
        None => {
            let set = app
                .garage(Some(job), move |garage| {
                    let identity = garage.identity()?;
                    let job = garage.job()?;
                    set(garage, identity, &job, units)
                })
                .await?;
            let set = Arc::new(set);
            app.sets.put(&set);
            set
        }
    };
    Ok(Json(changes(&set, &held)))
}

fn changes(set: &Set, held: &Held) -> Changes {
    let changed = |page: &&KeptPage| held.have.get(&page.path) != Some(&page.mark);
    let mut pages = Vec::new();
    let (mut size, mut more) = (0, false);
    for page in set.pages.iter().filter(changed) {
        size += page.main.len();
        if size > AT_ONCE && !pages.is_empty() {
            more = true;
            break;
        }
        pages.push(page.clone());
    }
    Changes {
        position: set.key.position,
        garage: set.garage.clone(),
        order: set.order.clone(),
        all: set.pages.iter().map(|page| page.path.clone()).collect(),
        pages,
        more,
        cut: set.cut,
    }
}

/// Renders everything that is kept of a job, the nearest steps first.
fn set(garage: &Garage, identity: String, job: &Job, units: Units) -> Result<Set, GarageError> {
    let head = garage.head(job)?;
    let blocks = blocks(job, units)?;
    let come_down = has_to_come_down(job)?;
    let mut pages = Pages { head, job, units, come_down, pages: Vec::new(), size: 0, cut: false };
    let pending: Vec<OrderRow> = order(&blocks);
    pages.lists(&blocks);
    for row in &pending {
        pages.step(&row.action)?;
    }
    pages.corners()?;
    pages.items(&pending);
    let key = Key { job: job.name.clone(), position: pages.head.position, units };
    Ok(Set { key, garage: identity, order: pending, pages: pages.pages, cut: pages.cut })
}

fn order(blocks: &[BlockView]) -> Vec<OrderRow> {
    let rows = blocks.iter().flat_map(|block| &block.rows).filter(|row| row.status == "pending");
    rows.map(|row| OrderRow {
        number: row.number,
        action: row.action.clone(),
        text: row.text.clone(),
        place: row.place.clone(),
    })
    .collect()
}

/// Pages as they are gathered.
struct Pages<'a> {
    head: HeadView,
    job: &'a Job,
    units: Units,
    come_down: Option<String>,
    pages: Vec<KeptPage>,
    size: usize,
    cut: bool,
}

impl Pages<'_> {
    /// Keeps a page, where there is room.
    fn keep(&mut self, path: String, page: &Markup) {
        let Some((title, main)) = inner(&page.0) else { return };
        if self.size + main.len() > MOST {
            self.cut = true;
            return;
        }
        self.size += main.len();
        let mut hasher = DefaultHasher::new();
        hasher.write(title.as_bytes());
        hasher.write(main.as_bytes());
        let mark = format!("{:016x}", hasher.finish());
        self.pages.push(KeptPage { path, title: title.to_owned(), mark, main });
    }

    /// Open items, the stages, the ledger.
    fn lists(&mut self, blocks: &[BlockView]) {
        let choices = Choices::default();
        let name = self.head.job.clone();
        let page = open::open_page(&self.head, &open_to_work_from(self.job, self.units), choices);
        self.keep(address(&name, "open"), &page);
        // The other stages have pages of their own, which the device keeps as it sees them.
        for (word, title) in shell::stages().filter(|(word, _)| matches!(*word, "strip" | "refit")) {
            let own: Vec<BlockView> =
                blocks.iter().filter(|block| block.stage.eq_ignore_ascii_case(title)).cloned().collect();
            let page = stage::stage_page(&self.head, word, title, &own, choices);
            self.keep(address(&name, word), &page);
        }
        let page = ledger::ledger_page(&self.head, &log(self.job), choices);
        self.keep(address(&name, "ledger"), &page);
    }

    /// A step in the work view. What comes after it, the device works out from the order.
    fn step(&mut self, action: &str) -> Result<(), GarageError> {
        let step = one_step(self.job, action, self.units)?;
        let picture = work::picture(self.job, step.as_ref(), self.units);
        let photos = step.as_ref().map(|step| photos_of(self.job, &step.item)).unwrap_or_default();
        let view = WorkView { step, come_down: self.come_down.clone(), ..WorkView::default() };
        let shown =
            work::Work { head: self.head.clone(), work: view, picture, photos, told: None, change: None };
        self.keep(step_address(&self.head.job, action), &work::work_page(&shown, Choices::default()));
        Ok(())
    }

    /// The corners that the job touches, from every side, as their page opens.
    fn corners(&mut self) -> Result<(), GarageError> {
        let ends = corner_ends(self.job);
        let sides = [(Hand::Left, "left"), (Hand::Right, "right")];
        let corners = ends.iter().flat_map(|end| sides.iter().map(|side| (*end, *side)));
        for (end, (hand, side)) in corners {
            for (view, _, from) in corner::VIEWS {
                let picture = corner_picture(self.job, end, hand, from, Room::Narrow, None, self.units)?;
                let open = open_view(self.job);
                let open = open.into_iter().filter(|item| item.item.ends_with(&format!(".{side}"))).collect();
                let head = self.head.clone();
                let shown = corner::Corner { head, picture, ends: ends.clone(), end, side, view, open };
                let path = corner::corner_address(&self.head.job, end, side, view);
                self.keep(path, &corner::corner_page(&shown, Choices::default()));
            }
        }
        Ok(())
    }

    /// The items that the pending rows and the open items are about.
    fn items(&mut self, pending: &[OrderRow]) {
        let of_rows = pending.iter().filter_map(|row| row.action.split_once(':'));
        let mut items: BTreeSet<String> = of_rows.map(|(_, item)| item.to_owned()).collect();
        items.extend(open_view(self.job).into_iter().map(|open| open.item));
        for item in items {
            // What has no page of its own is not linked to either.
            let Ok(view) = item_stands(self.job, &item, self.units) else { continue };
            let page = crate::pages::item::item_page(&self.head, &view, Choices::default());
            self.keep(item_address(&self.head.job, &item), &page);
        }
    }
}

/// The title and the content of `main` of a page, without the ids of its forms: each is used once, so
/// that a kept form gets its own from the script.
fn inner(page: &str) -> Option<(&str, String)> {
    let title = between(page, "<title>", "</title>")?;
    let main = between(page, "<main", "</main>")?;
    let mut rest = main.split_once('>')?.1;
    let mut kept = String::with_capacity(rest.len());
    const ID: &str = "name=\"id\" value=\"";
    while let Some((before, after)) = rest.split_once(ID) {
        kept.push_str(before);
        kept.push_str(ID);
        rest = after.split_once('"').map_or(after, |(_, after)| after);
        kept.push('"');
    }
    kept.push_str(rest);
    Some((title, kept))
}

fn between<'a>(text: &'a str, from: &str, to: &str) -> Option<&'a str> {
    Some(text.split_once(from)?.1.rsplit_once(to)?.0)
}

#[cfg(test)]
mod what_is_kept_of_a_page {
    use super::inner;

    #[test]
    fn the_main_part_without_ids_of_forms() {
        let page = "<html><title>A &amp; B</title><body><header>h</header><main id=\"main\"><form><input \
                    name=\"id\" value=\"00ff\"><input name=\"do\" value=\"note\"></form></main><nav>n</nav>";
        let (title, main) = inner(page).unwrap();
        assert_eq!(title, "A &amp; B");
        assert_eq!(main, "<form><input name=\"id\" value=\"\"><input name=\"do\" value=\"note\"></form>");
        assert_eq!(inner("<p>no page</p>"), None);
    }
}
