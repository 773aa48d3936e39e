//! The condition of a thread and its bearing face.

use std::fmt;

/// What is on a thread and under its head.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Condition {
    /// Clean and dry as it comes out of the bag: phosphate, zinc or zinc flake without lubricant.
    AsSupplied,
    /// Zinc plated, dry.
    ZincDry,
    /// Black or bare steel, dry.
    BlackDry,
    /// Bare steel washed with solvent or brake cleaner: inconsistent, and it galls.
    Degreased,
    /// A drop of engine oil.
    Oiled,
    /// Plain grease.
    Greased,
    /// Molybdenum disulphide paste or grease.
    Molybdenum,
    /// Graphite paste.
    Graphite,
    /// Copper anti-seize.
    CopperPaste,
    /// Nickel anti-seize.
    NickelPaste,
    /// A coating with wax, top coat or lubricant in it.
    LubricatedCoating,
    /// Cadmium plated, dry.
    Cadmium,
    /// Liquid thread locker, wet.
    ThreadLocker,
    /// Adhesive already on the thread (micro-encapsulated).
    PreCoated,
    /// Hot-dip galvanised, dry.
    HotDip,
    /// Stainless, dry: galls.
    StainlessDry,
    /// Stainless, oiled.
    StainlessOiled,
    /// Rusty: nothing is published, and nothing could be.
    Rusty,
}

/// Why a condition was not understood.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("'{text}' is not a thread condition known here; give one of {known}")]
pub struct ConditionError {
    /// What was typed.
    pub text: String,
    /// The conditions that are known.
    pub known: String,
}

impl Condition {
    /// Every condition, in the order of the enumeration.
    pub const ALL: [Self; 18] = [
        Self::AsSupplied,
        Self::ZincDry,
        Self::BlackDry,
        Self::Degreased,
        Self::Oiled,
        Self::Greased,
        Self::Molybdenum,
        Self::Graphite,
        Self::CopperPaste,
        Self::NickelPaste,
        Self::LubricatedCoating,
        Self::Cadmium,
        Self::ThreadLocker,
        Self::PreCoated,
        Self::HotDip,
        Self::StainlessDry,
        Self::StainlessOiled,
        Self::Rusty,
    ];

    /// The word used in files and commands.
    #[must_use]
    pub fn slug(self) -> &'static str {
        match self {
            Self::AsSupplied => "as-supplied",
            Self::ZincDry => "zinc-dry",
            Self::BlackDry => "black-dry",
            Self::Degreased => "degreased",
            Self::Oiled => "oiled",
            Self::Greased => "greased",
            Self::Molybdenum => "molybdenum",
            Self::Graphite => "graphite",
            Self::CopperPaste => "copper-paste",
            Self::NickelPaste => "nickel-paste",
            Self::LubricatedCoating => "lubricated-coating",
            Self::Cadmium => "cadmium",
            Self::ThreadLocker => "thread-locker",
            Self::PreCoated => "pre-coated",
            Self::HotDip => "hot-dip",
            Self::StainlessDry => "stainless-dry",
            Self::StainlessOiled => "stainless-oiled",
            Self::Rusty => "rusty",
        }
    }

    /// The word that people use for it; [`Condition::parse`] reads it.
    #[must_use]
    pub fn trade_word(self) -> &'static str {
        match self {
            Self::AsSupplied => "dry",
            Self::Molybdenum => "moly",
            Self::CopperPaste => "anti-seize",
            other => other.slug(),
        }
    }

    /// Other words for the condition, lower case, words joined by hyphens.
    fn aliases(self) -> &'static [&'static str] {
        match self {
            Self::AsSupplied => {
                &["dry", "clean", "clean-and-dry", "clean-dry", "new", "phosphate", "zinc-flake"]
            }
            Self::ZincDry => &["zinc", "zinc-plated", "galvanised"],
            Self::BlackDry => &["black", "bare", "bare-dry", "plain"],
            Self::Degreased => &["brake-cleaner", "solvent-clean"],
            Self::Oiled => &["oil", "engine-oil", "lubricated", "wet"],
            Self::Greased => &["grease"],
            Self::Molybdenum => &["moly", "mos2", "moly-paste", "moly-grease"],
            Self::Graphite => &["graphite-paste"],
            Self::CopperPaste => &["anti-seize", "antiseize", "copper", "copper-grease", "ceramic-paste"],
            Self::NickelPaste => &["nickel", "nickel-anti-seize"],
            Self::LubricatedCoating => &["waxed", "wax", "top-coat", "ptfe"],
            Self::Cadmium => &["cad"],
            Self::ThreadLocker => &["threadlocker", "thread-lock"],
            Self::PreCoated => &["micro-encapsulated", "patch"],
            Self::HotDip => &["hot-dip-galvanised"],
            Self::StainlessDry => &["stainless"],
            Self::StainlessOiled => &["stainless-lubricated"],
            Self::Rusty => &["rust", "rusted", "corroded"],
        }
    }

    /// Reads a condition by its slug or a trade word: `dry`, `oiled`, `anti-seize`, `moly` …
    ///
    /// # Errors
    /// [`ConditionError`] with the words that are known.
    pub fn parse(text: &str) -> Result<Self, ConditionError> {
        let words: Vec<String> = text.to_lowercase().split([' ', '_', '-']).map(str::to_owned).collect();
        let plain = words.iter().filter(|word| !word.is_empty()).cloned().collect::<Vec<_>>().join("-");
        Self::ALL
            .into_iter()
            .find(|condition| condition.slug() == plain || condition.aliases().contains(&plain.as_str()))
            .ok_or_else(|| ConditionError {
                text: text.trim().chars().take(40).collect(),
                known: Self::ALL.map(Self::trade_word).join(", "),
            })
    }

    /// Whether somebody put a lubricant on: oil, grease, a paste.
    #[must_use]
    pub fn is_lubricated(self) -> bool {
        matches!(
            self,
            Self::Oiled
                | Self::Greased
                | Self::Molybdenum
                | Self::Graphite
                | Self::CopperPaste
                | Self::NickelPaste
                | Self::StainlessOiled
        )
    }
}

impl fmt::Display for Condition {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::AsSupplied => "clean and dry",
            Self::ZincDry => "dry zinc-plated",
            Self::BlackDry => "dry black or bare steel",
            Self::Degreased => "degreased bare steel",
            Self::Oiled => "oiled",
            Self::Greased => "greased",
            Self::Molybdenum => "lubricated with molybdenum paste",
            Self::Graphite => "lubricated with graphite paste",
            Self::CopperPaste => "coated with copper paste",
            Self::NickelPaste => "coated with nickel paste",
            Self::LubricatedCoating => "supplied with a lubricated coating",
            Self::Cadmium => "dry cadmium-plated",
            Self::ThreadLocker => "wet with thread locker",
            Self::PreCoated => "pre-coated with adhesive",
            Self::HotDip => "dry hot-dip galvanised",
            Self::StainlessDry => "dry stainless",
            Self::StainlessOiled => "oiled stainless",
            Self::Rusty => "rusty",
        })
    }
}

impl std::str::FromStr for Condition {
    type Err = ConditionError;

    /// The same as [`Condition::parse`].
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
    }
}
