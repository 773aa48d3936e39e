//! Finding items of a car by name, and the holds of a part.

use super::{Car, Connection, Fastener, Fluid, Hold, Operation, Part, Reading, Target, Way};
use crate::id::ItemId;
use std::collections::{BTreeMap, BTreeSet};

/// Which list an item stands in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Part,
    Fastener,
    Connection,
    Operation,
    Way,
    Reading,
    Fluid,
    Target,
}

/// One item of any kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Item<'a> {
    /// A part.
    Part(&'a Part),
    /// A fastener.
    Fastener(&'a Fastener),
    /// A connection.
    Connection(&'a Connection),
    /// An operation.
    Operation(&'a Operation),
    /// A way.
    Way(&'a Way),
    /// A reading.
    Reading(&'a Reading),
    /// A fluid.
    Fluid(&'a Fluid),
    /// A target.
    Target(&'a Target),
}

impl<'a> Item<'a> {
    /// What people call it.
    #[must_use]
    pub fn name(self) -> &'a str {
        match self {
            Self::Part(i) => &i.name,
            Self::Fastener(i) => &i.name,
            Self::Connection(i) => &i.name,
            Self::Operation(i) => &i.name,
            Self::Way(i) => &i.name,
            Self::Reading(i) => &i.name,
            Self::Fluid(i) => &i.name,
            Self::Target(i) => &i.name,
        }
    }

    /// The word for its kind.
    #[must_use]
    pub fn kind(self) -> &'static str {
        match self {
            Self::Part(_) => "part",
            Self::Fastener(_) => "fastener",
            Self::Connection(_) => "connection",
            Self::Operation(_) => "operation",
            Self::Way(_) => "way",
            Self::Reading(_) => "reading",
            Self::Fluid(_) => "fluid",
            Self::Target(_) => "target",
        }
    }

    /// Its kind as people say it: `a part`, `an operation`.
    #[must_use]
    pub fn a_kind(self) -> &'static str {
        match self {
            Self::Part(_) => "a part",
            Self::Fastener(_) => "a fastener",
            Self::Connection(_) => "a connection",
            Self::Operation(_) => "an operation",
            Self::Way(_) => "a way",
            Self::Reading(_) => "a reading",
            Self::Fluid(_) => "a fluid",
            Self::Target(_) => "a target",
        }
    }
}

/// Why a typed name was not understood.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unresolved {
    /// Nothing of that name.
    #[error("the car has nothing called '{typed}'{}", suggestion.as_ref().map(|s| format!("; did you mean '{s}'?")).unwrap_or_default())]
    Unknown {
        /// What was typed.
        typed: String,
        /// The nearest name.
        suggestion: Option<String>,
    },
    /// The beginning fits several names.
    #[error("'{typed}' may mean {}; type more of the name", list_some(candidates))]
    Ambiguous {
        /// What was typed.
        typed: String,
        /// The names it fits.
        candidates: Vec<String>,
    },
}

fn list_some(names: &[String]) -> String {
    let shown: Vec<_> = names.iter().take(6).map(String::as_str).collect();
    let more = names.len().saturating_sub(6);
    if more > 0 { format!("{} and {more} more", shown.join(", ")) } else { shown.join(" or ") }
}

impl Car {
    /// Rebuilds the index of names after the lists were filled.
    pub(crate) fn build_index(&mut self) {
        let mut index = std::collections::BTreeMap::new();
        let mut add = |kind: Kind, ids: Vec<ItemId>| {
            for (at, id) in ids.into_iter().enumerate() {
                index.entry(id).or_insert((kind, at));
            }
        };
        add(Kind::Part, self.parts.iter().map(|i| i.id.clone()).collect());
        add(Kind::Fastener, self.fasteners.iter().map(|i| i.id.clone()).collect());
        add(Kind::Connection, self.connections.iter().map(|i| i.id.clone()).collect());
        add(Kind::Operation, self.operations.iter().map(|i| i.id.clone()).collect());
        add(Kind::Way, self.ways.iter().map(|i| i.id.clone()).collect());
        add(Kind::Reading, self.readings.iter().map(|i| i.id.clone()).collect());
        add(Kind::Fluid, self.fluids.iter().map(|i| i.id.clone()).collect());
        add(Kind::Target, self.targets.iter().map(|i| i.id.clone()).collect());
        self.index = index;
        self.gather_assemblies();
        self.gather_behind();
    }

    /// The item with exactly this name.
    #[must_use]
    pub fn item(&self, id: &ItemId) -> Option<Item<'_>> {
        let (kind, at) = *self.index.get(id)?;
        Some(match kind {
            Kind::Part => Item::Part(self.parts.get(at)?),
            Kind::Fastener => Item::Fastener(self.fasteners.get(at)?),
            Kind::Connection => Item::Connection(self.connections.get(at)?),
            Kind::Operation => Item::Operation(self.operations.get(at)?),
            Kind::Way => Item::Way(self.ways.get(at)?),
            Kind::Reading => Item::Reading(self.readings.get(at)?),
            Kind::Fluid => Item::Fluid(self.fluids.get(at)?),
            Kind::Target => Item::Target(self.targets.get(at)?),
        })
    }

    /// Every name, in alphabetical order.
    pub fn ids(&self) -> impl Iterator<Item = &ItemId> {
        self.index.keys()
    }

    /// The part of this name.
    #[must_use]
    pub fn part(&self, id: &ItemId) -> Option<&Part> {
        if let Item::Part(part) = self.item(id)? { Some(part) } else { None }
    }

    /// The fastener of this name.
    #[must_use]
    pub fn fastener(&self, id: &ItemId) -> Option<&Fastener> {
        if let Item::Fastener(fastener) = self.item(id)? { Some(fastener) } else { None }
    }

    /// The fastener or connection of this name.
    #[must_use]
    pub fn hold(&self, id: &ItemId) -> Option<Hold<'_>> {
        match self.item(id)? {
            Item::Fastener(fastener) => Some(Hold::Fastener(fastener)),
            Item::Connection(connection) => Some(Hold::Connection(connection)),
            _ => None,
        }
    }

    /// The operation of this name.
    #[must_use]
    pub fn operation(&self, id: &ItemId) -> Option<&Operation> {
        if let Item::Operation(operation) = self.item(id)? { Some(operation) } else { None }
    }

    /// The reading of this name.
    #[must_use]
    pub fn reading(&self, id: &ItemId) -> Option<&Reading> {
        if let Item::Reading(reading) = self.item(id)? { Some(reading) } else { None }
    }

    /// The way of this name.
    #[must_use]
    pub fn way(&self, id: &ItemId) -> Option<&Way> {
        if let Item::Way(way) = self.item(id)? { Some(way) } else { None }
    }

    /// The fluid of this name.
    #[must_use]
    pub fn fluid(&self, id: &ItemId) -> Option<&Fluid> {
        if let Item::Fluid(fluid) = self.item(id)? { Some(fluid) } else { None }
    }

    /// The other ways to free an item, in the order of the file.
    pub fn ways_to_free<'a>(&'a self, id: &'a ItemId) -> impl Iterator<Item = &'a Way> {
        self.ways.iter().filter(move |way| way.frees == *id)
    }

    /// All fasteners, then all connections.
    pub fn holds(&self) -> impl Iterator<Item = Hold<'_>> {
        self.fasteners.iter().map(Hold::Fastener).chain(self.connections.iter().map(Hold::Connection))
    }

    /// A part with everything that comes off with it; nothing for what is no part.
    #[must_use]
    pub fn assembly(&self, part: &ItemId) -> &BTreeSet<ItemId> {
        static NOTHING: BTreeSet<ItemId> = BTreeSet::new();
        self.assemblies.get(part).unwrap_or(&NOTHING)
    }

    /// The holds between a part (with all that comes off with it) and the rest of the car, in the
    /// order of the file, fasteners first. A hold that names a single part holds it to the body.
    #[must_use]
    pub fn outer_holds(&self, part: &ItemId) -> Vec<Hold<'_>> {
        self.outer.get(part).into_iter().flatten().filter_map(|id| self.hold(id)).collect()
    }

    /// Whatever a way undoes: what it names, and where it frees a part every other hold of that. They
    /// were cut or torn with it and have to be fitted again.
    #[must_use]
    pub fn undone_by(&self, way: &Way) -> BTreeSet<ItemId> {
        let besides = self.outer_holds(&way.frees).into_iter().map(|hold| hold.id().clone());
        way.undoes.iter().cloned().chain(besides).collect()
    }

    /// What cannot be taken apart, done or gone while this item is in its place, in the order of the
    /// names: the inverse of what each part, hold, operation and way needs away before.
    #[must_use]
    pub fn behind(&self, item: &ItemId) -> &[ItemId] {
        self.behind.get(item).map_or(&[], Vec::as_slice)
    }

    /// What has to be away before an item is taken apart, done or gone.
    fn needs_away<'a>(&'a self, item: Item<'a>) -> Vec<&'a ItemId> {
        match item {
            Item::Part(part) => {
                let holds = self.outer.get(&part.id).into_iter().flatten();
                holds.chain(&part.work.after).collect()
            }
            Item::Fastener(fastener) => fastener.work.after.iter().collect(),
            Item::Connection(connection) => connection.work.after.iter().collect(),
            Item::Operation(operation) => operation.work.after.iter().collect(),
            Item::Way(way) => way.needs.iter().collect(),
            Item::Reading(_) | Item::Fluid(_) | Item::Target(_) => Vec::new(),
        }
    }

    /// Turns what each item needs away round, once, since rules ask for it all the time.
    fn gather_behind(&mut self) {
        let mut behind: BTreeMap<ItemId, Vec<ItemId>> = BTreeMap::new();
        for id in self.index.keys() {
            for need in self.item(id).into_iter().flat_map(|item| self.needs_away(item)) {
                let list = behind.entry(need.clone()).or_default();
                if list.last() != Some(id) {
                    list.push(id.clone());
                }
            }
        }
        self.behind = behind;
    }

    /// Finds each part's assembly and outer holds once, since rules ask for them all the time.
    fn gather_assemblies(&mut self) {
        let mut assemblies: BTreeMap<ItemId, BTreeSet<ItemId>> = BTreeMap::new();
        for part in &self.parts {
            // Every host of a part has it inside; a circle of hosts ends where it began.
            let mut host = Some(&part.id);
            while let Some(id) = host {
                if !assemblies.entry(id.clone()).or_default().insert(part.id.clone()) {
                    break;
                }
                host = self.parts.iter().find(|p| p.id == *id).and_then(|p| p.part_of.as_ref());
            }
        }
        let mut outer: BTreeMap<ItemId, Vec<ItemId>> = BTreeMap::new();
        for (part, inside) in &assemblies {
            let holds = self.holds().filter(|hold| {
                let within = hold.joins().iter().filter(|join| inside.contains(*join)).count();
                within > 0 && (within < hold.joins().len() || hold.joins().len() == 1)
            });
            outer.insert(part.clone(), holds.map(|hold| hold.id().clone()).collect());
        }
        (self.assemblies, self.outer) = (assemblies, outer);
    }

    /// The items meant by `typed`: an exact name; a name without its side, which means both sides;
    /// or an unambiguous beginning of either, also with the beginning of the side (`arm-fr.l`).
    ///
    /// # Errors
    /// [`Unresolved`], with the nearest name or the names that fit.
    pub fn resolve(&self, typed: &str) -> Result<Vec<ItemId>, Unresolved> {
        let typed = typed.trim();
        let exact = ItemId::from_text(typed);
        if self.index.contains_key(&exact) {
            return Ok(vec![exact]);
        }
        let of_base = |base: &str| -> Vec<ItemId> {
            let mut ids: Vec<_> = self.index.keys().filter(|id| id.base() == base).cloned().collect();
            ids.sort_by_key(ItemId::side);
            ids
        };
        if !typed.contains('.') && !of_base(typed).is_empty() {
            return Ok(of_base(typed));
        }
        let (base, side) = typed.split_once('.').unwrap_or((typed, ""));
        let fits: Vec<&ItemId> = self
            .index
            .keys()
            .filter(|id| !base.is_empty() && id.base().starts_with(base))
            .filter(|id| side.is_empty() || id.side().is_some_and(|s| s.word().starts_with(side)))
            .collect();
        let bases: BTreeSet<&str> = fits.iter().map(|id| id.base()).collect();
        // A whole base name wins over longer ones that begin alike.
        let chosen = if bases.contains(base) {
            Some(base)
        } else {
            bases.first().copied().filter(|_| bases.len() == 1)
        };
        match chosen {
            Some(chosen) if side.is_empty() => Ok(of_base(chosen)),
            Some(chosen) => Ok(fits.into_iter().filter(|id| id.base() == chosen).cloned().collect()),
            None if fits.is_empty() => {
                Err(Unresolved::Unknown { typed: typed.to_owned(), suggestion: self.nearest(typed) })
            }
            None => Err(Unresolved::Ambiguous {
                typed: typed.to_owned(),
                candidates: bases.into_iter().map(str::to_owned).collect(),
            }),
        }
    }

    fn nearest(&self, typed: &str) -> Option<String> {
        nearest(typed, self.index.keys().flat_map(|id| [id.as_str(), id.base()])).map(str::to_owned)
    }
}

/// The candidate nearest to `typed`, if it is near enough to suggest.
#[must_use]
pub fn nearest<'a>(typed: &str, candidates: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    candidates
        .map(|candidate| (strsim::damerau_levenshtein(typed, candidate), candidate))
        .filter(|(distance, candidate)| *distance <= 1 + candidate.len().min(typed.len()) / 4)
        .min_by_key(|(distance, candidate)| (*distance, *candidate))
        .map(|(_, candidate)| candidate)
}
