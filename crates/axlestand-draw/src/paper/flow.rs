//! From blocks to pages.

use super::{Block, Document, label, row, table};
use crate::face;
use crate::look::{Tone, size, weight};
use crate::scene::{Drawing, Item, Pen, hatch, text_boxes};

/// Free edges of the page, mm: left and right, top, bottom.
pub(super) const SIDE: f64 = 14.0;
const TOP: f64 = 13.0;
const BOTTOM: f64 = 19.0;
/// Line height over the size of the text.
pub(super) const LEADING: f64 = 1.32;

/// What a piece is, for who reads the page aloud.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Tag {
    /// Rules, page numbers, repeated heads: not read.
    Artifact,
    /// A heading of this level.
    Heading(u16, String),
    /// A part of the paragraph of this number.
    Paragraph(usize),
    /// A picture with its words.
    Figure(String),
    /// A cell: table, row, column, and whether it heads its column or, in the first column, its row.
    Cell { table: usize, row: usize, column: usize, head: bool },
}

/// Something on a page that is read as one.
#[derive(Debug, Clone)]
pub(super) struct Piece {
    pub(super) tag: Tag,
    pub(super) items: Vec<Item>,
}

impl Piece {
    pub(super) fn new(tag: Tag, items: Vec<Item>) -> Self {
        Self { tag, items }
    }

    fn moved(self, by: [f64; 2]) -> Self {
        Self { tag: self.tag, items: self.items.into_iter().map(|item| item.moved(by, 1.0)).collect() }
    }

    pub(super) fn text_boxes(&self) -> Vec<([f64; 4], String)> {
        text_boxes(&self.items)
    }
}

/// A page: its pieces in the order in which they are read.
#[derive(Debug, Clone, Default)]
pub(super) struct Page {
    pub(super) pieces: Vec<Piece>,
}

/// Something that is not broken over pages. Its pieces are set from its own upper left corner.
#[derive(Debug, Clone)]
pub(super) struct Strip {
    pub(super) height: f64,
    /// How much must find room below it on the same page.
    pub(super) keep: f64,
    pub(super) pieces: Vec<Piece>,
}

/// Pages as they fill.
pub(super) struct Flow {
    paper: [f64; 2],
    pages: Vec<Page>,
    y: f64,
    count: usize,
    /// The page on which the head over rows of work was last set.
    headed: usize,
}

impl Flow {
    /// Sets the head over rows of work where the page still lacks it.
    pub(super) fn set_head(&mut self, head: Strip) {
        if self.headed != self.pages.len() {
            self.set(head, None);
            self.headed = self.pages.len();
        }
    }

    /// The width between the edges.
    pub(super) fn room(&self) -> f64 {
        self.paper[0] - 2.0 * SIDE
    }

    fn bottom(&self) -> f64 {
        self.paper[1] - BOTTOM
    }

    /// A number that no other paragraph or table of the document has.
    pub(super) fn number(&mut self) -> usize {
        self.count += 1;
        self.count
    }

    pub(super) fn new_page(&mut self) {
        self.pages.push(Page::default());
        self.y = TOP;
    }

    fn is_fresh(&self) -> bool {
        self.pages.last().is_some_and(|page| page.pieces.is_empty())
    }

    /// Sets a strip; on a new page where it finds no room, under `head` repeated there.
    pub(super) fn set(&mut self, strip: Strip, head: Option<&Strip>) {
        if self.y + strip.height + strip.keep > self.bottom() && !self.is_fresh() {
            self.new_page();
            if let Some(head) = head {
                let mut head = head.clone();
                for piece in &mut head.pieces {
                    piece.tag = Tag::Artifact;
                }
                self.place(head);
                self.headed = self.pages.len();
            }
        }
        self.place(strip);
    }

    fn place(&mut self, strip: Strip) {
        let by = [SIDE, self.y];
        if let Some(page) = self.pages.last_mut() {
            page.pieces.extend(strip.pieces.into_iter().map(|piece| piece.moved(by)));
        }
        self.y += strip.height;
    }

    pub(super) fn gap(&mut self, height: f64) {
        if !self.is_fresh() {
            self.y += height;
        }
    }

    /// A paragraph, line by line.
    fn text(&mut self, text: &str, high: f64, bold: bool, tone: Tone) {
        let id = self.number();
        for line in face::lines(text, high, bold, self.room()) {
            let item = Item::text([0.0, high * 0.95], &line, high, tone);
            let item = if bold { item.bold() } else { item };
            let pieces = vec![Piece::new(Tag::Paragraph(id), vec![item])];
            self.set(Strip { height: high * LEADING, keep: 0.0, pieces }, None);
        }
        self.gap(1.2);
    }
}

/// The pages of a document.
pub(super) fn pages(document: &Document) -> Vec<Page> {
    let mut flow = Flow { paper: document.paper.size(), pages: Vec::new(), y: TOP, count: 0, headed: 0 };
    flow.new_page();
    for (at, block) in document.blocks.iter().enumerate() {
        let below = opening(&document.blocks[at + 1..], &flow);
        block_on(block, below, &mut flow);
    }
    let mut pages = flow.pages;
    let count = pages.len();
    for (at, page) in pages.iter_mut().enumerate() {
        page.pieces.push(foot(document, at + 1, count));
    }
    pages
}

/// The height of what a block begins with and its heading should stay with: a picture, two rows.
fn opening(blocks: &[Block], flow: &Flow) -> f64 {
    match blocks.split_first() {
        None => 0.0,
        Some((Block::Heading(text), below)) => {
            let lines = face::lines(text, size::HEADING, true, flow.room()).len() as f64;
            lines * size::HEADING * 1.2 + 4.5 + opening(below, flow)
        }
        Some((Block::Rows(rows), _)) => row::opening(rows, flow.room()),
        Some((Block::Picture(drawing), _)) => drawing.size[1] * scale(drawing, flow),
        Some((Block::Table(_), _)) => 26.0,
        Some(_) => 12.0,
    }
}

/// Sets a block; `below` is the height that a heading keeps free for what follows it.
fn block_on(block: &Block, below: f64, flow: &mut Flow) {
    match block {
        // A heading without words would be read aloud as nothing.
        Block::Heading(text) if face::drawable(text).trim().is_empty() => {}
        Block::Title { text, under } => {
            if !flow.is_fresh() {
                flow.new_page();
            }
            title(text, under, 0.0, flow);
        }
        Block::Section { text, under } => {
            flow.gap(8.0);
            title(text, under, below, flow);
        }
        Block::Heading(text) => {
            flow.gap(3.0);
            heading(text, below, flow);
        }
        Block::Text(text) => flow.text(text, size::BODY, false, Tone::Ink),
        Block::Aside(text) => flow.text(text, size::SMALL, false, Tone::Quiet),
        Block::Danger(text) => danger(text, flow),
        Block::Rows(rows) => row::set(rows, flow),
        Block::Table(table) => table::set(table, flow),
        Block::Picture(drawing) => picture(drawing, flow),
        Block::Labels(labels) => label::set(labels, flow),
        Block::Card(text) => card(text, flow),
        Block::Lines { what, count } => lines(what, *count, flow),
    }
}

fn title(text: &str, under: &str, keep: f64, flow: &mut Flow) {
    let mut y = 0.0;
    let mut items = Vec::new();
    for line in face::lines(text, size::TITLE, true, flow.room()) {
        items.push(Item::strong([0.0, y + size::TITLE * 0.85], &line, size::TITLE, Tone::Ink));
        y += size::TITLE * 1.15;
    }
    let id = flow.number();
    let wordless = face::drawable(text).trim().is_empty();
    let tag = if wordless { Tag::Artifact } else { Tag::Heading(1, text.to_owned()) };
    let mut pieces = vec![Piece::new(tag, items)];
    for line in face::lines(under, size::BODY, false, flow.room()) {
        let item = Item::text([0.0, y + size::BODY], &line, size::BODY, Tone::Ink);
        pieces.push(Piece::new(Tag::Paragraph(id), vec![item]));
        y += size::BODY * LEADING;
    }
    y += 2.0;
    let rule = Item::line(vec![[0.0, y], [flow.room(), y]], Pen::new(Tone::Ink, weight::STRONG));
    pieces.push(Piece::new(Tag::Artifact, vec![rule]));
    flow.set(Strip { height: y + 2.5, keep, pieces }, None);
}

fn heading(text: &str, keep: f64, flow: &mut Flow) {
    let mut y = 0.0;
    let mut items = Vec::new();
    for line in face::lines(text, size::HEADING, true, flow.room()) {
        items.push(Item::strong([0.0, y + size::HEADING * 0.9], &line, size::HEADING, Tone::Ink));
        y += size::HEADING * 1.2;
    }
    let pieces = vec![Piece::new(Tag::Heading(2, text.to_owned()), items)];
    flow.set(Strip { height: y + 1.5, keep, pieces }, None);
}

/// Words behind a hatched edge, the words bold.
fn danger(text: &str, flow: &mut Flow) {
    let id = flow.number();
    let (strip, height) = hatched(text, size::WORK, flow.room(), Tag::Paragraph(id));
    flow.gap(1.0);
    flow.set(Strip { height: height + 1.5, keep: 0.0, pieces: strip }, None);
}

/// The width of a hatched edge with the space behind it.
pub(super) const HATCH: f64 = 6.5;

/// Words behind a hatched edge, with their height.
pub(super) fn hatched(text: &str, high: f64, room: f64, tag: Tag) -> (Vec<Piece>, f64) {
    let lines = face::lines(text, high, true, room - HATCH);
    let height = lines.len() as f64 * high * LEADING;
    let text = lines
        .iter()
        .enumerate()
        .map(|(at, line)| Item::strong([HATCH, (at as f64 * LEADING + 0.98) * high], line, high, Tone::Ink));
    let words = Piece::new(tag, text.collect());
    let edge = hatch([0.0, 0.0], [HATCH - 2.2, height], Pen::new(Tone::Ink, weight::STRONG));
    (vec![Piece::new(Tag::Artifact, edge), words], height)
}

/// The scale of a picture on a page. Never taller than two thirds of it: rows belong on the same sheet.
fn scale(drawing: &Drawing, flow: &Flow) -> f64 {
    let [w, h] = drawing.size;
    (flow.room() / w).min(flow.paper[1] * 0.66 / h).min(1.15)
}

fn picture(drawing: &Drawing, flow: &mut Flow) {
    let [w, h] = drawing.size;
    let scale = scale(drawing, flow);
    let left = (flow.room() - w * scale) / 2.0;
    let items = drawing.items.iter().cloned().map(|item| item.moved([left, 0.0], scale)).collect();
    let words = format!("{}. {}", drawing.title, drawing.description);
    let pieces = vec![Piece::new(Tag::Figure(words), items)];
    flow.set(Strip { height: h * scale + 2.0, keep: 0.0, pieces }, None);
}

/// A line as large as the page is wide, at most.
fn card(text: &str, flow: &mut Flow) {
    let id = flow.number();
    let wide = face::width(text, 1.0, true).max(1e-6);
    let high = (flow.room() / wide).min(size::CARD);
    let item = Item::strong([0.0, high * 0.85], text, high, Tone::Ink);
    let pieces = vec![Piece::new(Tag::Paragraph(id), vec![item])];
    flow.set(Strip { height: high * 1.12, keep: 0.0, pieces }, None);
}

fn lines(what: &str, count: usize, flow: &mut Flow) {
    let id = flow.number();
    for at in 0..count {
        let pen = Pen::new(Tone::Faint, weight::FINE);
        let mut pieces =
            vec![Piece::new(Tag::Artifact, vec![Item::line(vec![[0.0, 8.5], [flow.room(), 8.5]], pen)])];
        if at == 0 && !what.is_empty() {
            let item = Item::text([0.0, 3.4], what, size::SMALL, Tone::Quiet);
            pieces.push(Piece::new(Tag::Paragraph(id), vec![item]));
        }
        flow.set(Strip { height: 9.0, keep: 0.0, pieces }, None);
    }
}

/// What stands at the foot of a page.
fn foot(document: &Document, page: usize, pages: usize) -> Piece {
    let [w, h] = document.paper.size();
    let number = format!("page {page} of {pages}");
    let room = w - 2.0 * SIDE;
    let beside = room - face::width(&number, size::SMALL, false) - 4.0;
    let running = face::fitted(&document.running, size::SMALL, false, beside);
    let rule = Item::line(vec![[SIDE, h - 15.5], [w - SIDE, h - 15.5]], Pen::new(Tone::Ink, weight::FINE));
    let mut items = vec![
        rule,
        Item::text([SIDE, h - 11.8], &running, size::SMALL, Tone::Quiet),
        Item::text(
            [w - SIDE - face::width(&number, size::SMALL, false), h - 11.8],
            &number,
            size::SMALL,
            Tone::Ink,
        ),
    ];
    if !document.disclaimer.is_empty() {
        let line = face::fitted(&document.disclaimer, size::SMALL, false, room);
        items.push(Item::text([SIDE, h - 8.0], &line, size::SMALL, Tone::Quiet));
    }
    Piece::new(Tag::Artifact, items)
}
