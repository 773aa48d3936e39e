//! Sheets to print: what is on them, in the order in which it is read.
//!
//! A [`Document`] is a list of [`Block`]s; [`Document::pdf`] sets them on pages and writes a tagged
//! PDF: title, language, headings, tables, alternative texts, bookmarks. The same document gives
//! the same bytes.

mod flow;
mod label;
mod row;
mod table;
mod write;

pub use label::Label;
pub use row::Row;
pub use table::Table;
pub use write::PaperError;

use crate::scene::Drawing;

/// The paper in the printer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// ISO 216 A4: 210 × 297 mm.
    #[default]
    A4,
    /// ANSI A, Letter: 8.5 × 11 in.
    Letter,
}

impl Paper {
    /// Width and height in mm.
    #[must_use]
    pub const fn size(self) -> [f64; 2] {
        match self {
            Self::A4 => [210.0, 297.0],
            Self::Letter => [215.9, 279.4],
        }
    }
}

/// One thing on a sheet.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// The title of a sheet: it begins a page.
    Title {
        /// The title.
        text: String,
        /// What stands under it.
        under: String,
    },
    /// The title of a sheet that goes on where the one before it ends, with room enough for what follows.
    Section {
        /// The title.
        text: String,
        /// What stands under it.
        under: String,
    },
    /// A heading.
    Heading(String),
    /// A paragraph.
    Text(String),
    /// A paragraph that is said on the side.
    Aside(String),
    /// What endangers, behind a hatched edge.
    Danger(String),
    /// Rows of work to tick.
    Rows(Vec<Row>),
    /// A table.
    Table(Table),
    /// A drawing as wide as the page.
    Picture(Drawing),
    /// Labels to cut out.
    Labels(Vec<Label>),
    /// A line to be read from far away.
    Card(String),
    /// Lines to write on.
    Lines {
        /// What to write there.
        what: String,
        /// How many.
        count: usize,
    },
}

/// Sheets that belong together.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// Its title.
    pub title: String,
    /// What stands at the foot of every page: job and car.
    pub running: String,
    /// What it is not, at the foot of every page; empty: nothing.
    pub disclaimer: String,
    /// What kind of file it is, for programs: its keyword; empty: none.
    pub keyword: String,
    /// The paper.
    pub paper: Paper,
    /// What is on it.
    pub blocks: Vec<Block>,
}

/// A PDF with the number of its pages.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pdf {
    /// The file.
    pub bytes: Vec<u8>,
    /// How many pages.
    pub pages: usize,
}

impl Document {
    /// The document as PDF.
    ///
    /// # Errors
    /// [`PaperError`] where the writer of PDF refuses it.
    pub fn pdf(&self) -> Result<Pdf, PaperError> {
        write::write(self, &flow::pages(self))
    }

    /// The box of every text on every page: left, top, right, bottom in mm, with the text. For
    /// checks of overlap and of what leaves the paper.
    #[must_use]
    pub fn text_boxes(&self) -> Vec<Vec<([f64; 4], String)>> {
        let boxes = |page: &flow::Page| page.pieces.iter().flat_map(flow::Piece::text_boxes).collect();
        flow::pages(self).iter().map(boxes).collect()
    }
}
