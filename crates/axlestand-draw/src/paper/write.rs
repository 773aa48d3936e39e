//! From pages to a tagged PDF.

use super::flow::{Page, Piece, Tag};
use super::{Document, Pdf};
use crate::face;
use crate::look::{Theme, Tone, size};
use crate::scene::{Anchor, Dash, Item, Pen, Spot};
use krilla::SerializeSettings;
use krilla::color::rgb;
use krilla::configure::{Accessibility, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::geom::{Path, PathBuilder, Point, Rect, Transform};
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, BBox, ContentTag, Identifier, Node, SpanTag, TableHeaderScope, Tag as Pdftag,
    TagGroup, TagTree,
};
use krilla::text::{Font, GlyphId, KrillaGlyph};
use std::num::NonZeroU16;

/// Why a document cannot be written.
#[derive(Debug, thiserror::Error)]
pub enum PaperError {
    /// The typeface or a length is not what it has to be.
    #[error("the sheet cannot be laid out: {0}")]
    Setting(&'static str),
    /// The writer of PDF refuses the document.
    #[error("the PDF cannot be written: {0}")]
    Pdf(String),
}

/// Points in a millimetre.
const PER_MM: f32 = (1.0 / size::POINT) as f32;

pub(super) fn write(document: &Document, pages: &[Page]) -> Result<Pdf, PaperError> {
    let fonts = [font(false)?, font(true)?];
    let configuration = ConfigurationBuilder::new()
        .with_accessibility_validator(Accessibility::UA1)
        .finish()
        .map_err(|why| PaperError::Pdf(format!("{why:?}")))?;
    let settings = SerializeSettings { configuration, enable_tagging: true, ..SerializeSettings::default() };
    let mut pdf = krilla::Document::new_with(settings);
    let mut tree = Tree::default();
    let mut outline = Outline::new();
    let [w, h] = document.paper.size().map(|mm| mm as f32 * PER_MM);
    for (at, page) in pages.iter().enumerate() {
        let sheet = PageSettings::from_wh(w, h).ok_or(PaperError::Setting("the paper has no size"))?;
        let mut leaf = pdf.start_page_with(sheet);
        let mut surface = leaf.surface();
        for piece in &page.pieces {
            tree.piece(piece, at, &mut surface, &fonts);
            if let (Tag::Heading(_, text), Some(([_, top, ..], _))) = (&piece.tag, piece.text_boxes().first())
            {
                let point = Point::from_xy(0.0, (*top as f32 * PER_MM).max(0.0));
                outline.push_child(OutlineNode::new(text.clone(), XyzDestination::new(at, point)));
            }
        }
        surface.finish();
        leaf.finish();
    }
    pdf.set_outline(outline);
    let title = face::drawable(&document.title);
    let title = if title.trim().is_empty() { "axlestand".to_owned() } else { title };
    let keywords = Some(face::drawable(&document.keyword)).filter(|keyword| !keyword.trim().is_empty());
    let told = Metadata::new().title(title).language("en-GB".to_owned()).creator("axlestand".to_owned());
    pdf.set_metadata(told.keywords(keywords.into_iter().collect()));
    pdf.set_tag_tree(tree.finish());
    let bytes = pdf.finish().map_err(|why| PaperError::Pdf(format!("{why:?}")))?;
    Ok(Pdf { bytes, pages: pages.len() })
}

fn font(bold: bool) -> Result<Font, PaperError> {
    Font::new(face::file(bold).to_vec().into(), 0).ok_or(PaperError::Setting("the typeface cannot be read"))
}

/// The structure of the document as it grows in reading order.
#[derive(Default)]
struct Tree {
    nodes: Vec<Open>,
}

/// A node that may still get further children.
enum Open {
    Group(TagGroup, Option<usize>),
    Table { number: usize, rows: Vec<(usize, Vec<Cell>)> },
}

struct Cell {
    column: usize,
    head: bool,
    leaves: Vec<Identifier>,
}

impl Tree {
    fn piece(&mut self, piece: &Piece, page: usize, surface: &mut Surface<'_>, fonts: &[Font; 2]) {
        if piece.items.is_empty() {
            return;
        }
        let artifact = ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout));
        let tag = match piece.tag {
            Tag::Artifact => artifact,
            Tag::Figure(_) => ContentTag::Other,
            _ => ContentTag::Span(SpanTag::empty()),
        };
        let leaf = surface.start_tagged(tag);
        surface.push_transform(&Transform::from_scale(PER_MM, PER_MM));
        for item in &piece.items {
            draw(item, surface, fonts);
        }
        surface.pop();
        surface.end_tagged();
        self.put(piece, page, leaf);
    }

    fn put(&mut self, piece: &Piece, page: usize, leaf: Identifier) {
        match &piece.tag {
            Tag::Artifact => {}
            Tag::Heading(level, text) => {
                let level = NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN);
                let tag = Pdftag::Hn(level, Some(face::drawable(text)));
                self.nodes.push(Open::Group(TagGroup::with_children(tag, vec![leaf.into()]), None));
            }
            Tag::Figure(words) => {
                let tag = Pdftag::Figure(Some(words.clone())).with_bbox(bounds(&piece.items, page));
                self.nodes.push(Open::Group(TagGroup::with_children(tag, vec![leaf.into()]), None));
            }
            Tag::Paragraph(number) => match self.nodes.last_mut() {
                Some(Open::Group(group, Some(last))) if last == number => group.push(leaf),
                _ => {
                    let group = TagGroup::with_children(Pdftag::P, vec![leaf.into()]);
                    self.nodes.push(Open::Group(group, Some(*number)));
                }
            },
            Tag::Cell { table, row, column, head } => self.cell(*table, *row, *column, *head, leaf),
        }
    }

    fn cell(&mut self, table: usize, row: usize, column: usize, head: bool, leaf: Identifier) {
        if !matches!(self.nodes.last(), Some(Open::Table { number, .. }) if *number == table) {
            self.nodes.push(Open::Table { number: table, rows: Vec::new() });
        }
        let Some(Open::Table { rows, .. }) = self.nodes.last_mut() else { return };
        if rows.last().is_none_or(|(last, _)| *last != row) {
            rows.push((row, Vec::new()));
        }
        let Some((_, cells)) = rows.last_mut() else { return };
        match cells.iter_mut().find(|cell| cell.column == column) {
            Some(cell) => cell.leaves.push(leaf),
            None => cells.push(Cell { column, head, leaves: vec![leaf] }),
        }
    }

    fn finish(self) -> TagTree {
        let mut tree = TagTree::new().with_lang(Some("en-GB".to_owned()));
        for node in self.nodes {
            match node {
                Open::Group(group, _) => tree.push(group),
                Open::Table { rows, .. } => tree.push(table(rows)),
            }
        }
        tree
    }
}

fn table(rows: Vec<(usize, Vec<Cell>)>) -> TagGroup {
    let mut table = TagGroup::new(Pdftag::Table);
    for (number, cells) in rows {
        let mut row = TagGroup::new(Pdftag::TR);
        for cell in cells {
            let leaves: Vec<Node> = cell.leaves.into_iter().map(Node::from).collect();
            row.push(if cell.head {
                let scope = if number == 0 { TableHeaderScope::Column } else { TableHeaderScope::Row };
                TagGroup::with_children(Pdftag::TH(scope), leaves)
            } else {
                TagGroup::with_children(Pdftag::TD, leaves)
            });
        }
        table.push(row);
    }
    table
}

/// The box about lines and circles, on the page.
fn bounds(items: &[Item], page: usize) -> Option<BBox> {
    let mut spots: Vec<Spot> = Vec::new();
    gather(items, &mut spots);
    let far = |axis: usize, pick: fn(f64, f64) -> f64, start: f64| {
        spots.iter().map(|spot| spot[axis]).fold(start, pick) as f32 * PER_MM
    };
    let rect = Rect::from_ltrb(
        far(0, f64::min, f64::INFINITY),
        far(1, f64::min, f64::INFINITY),
        far(0, f64::max, f64::NEG_INFINITY),
        far(1, f64::max, f64::NEG_INFINITY),
    )?;
    Some(BBox::new(page, rect))
}

fn gather(items: &[Item], spots: &mut Vec<Spot>) {
    for item in items {
        match item {
            Item::Line { spots: own, .. } => spots.extend(own),
            Item::Circle { at: [x, y], radius, .. } => {
                spots.extend([[x - radius, y - radius], [x + radius, y + radius]]);
            }
            Item::Text { at, .. } => spots.push(*at),
            Item::Group { items, .. } => gather(items, spots),
        }
    }
}

fn draw(item: &Item, surface: &mut Surface<'_>, fonts: &[Font; 2]) {
    match item {
        Item::Line { spots, closed, pen, fill } => {
            if let Some(path) = polygon(spots, *closed) {
                paint(&path, *pen, *fill, surface);
            }
        }
        Item::Circle { at, radius, pen, fill } => {
            if let Some(path) = circle(*at, *radius) {
                paint(&path, *pen, *fill, surface);
            }
        }
        Item::Text { at, text, size, bold, tone, anchor } => {
            words(*at, text, *size, *bold, *tone, *anchor, surface, fonts);
        }
        Item::Group { items, .. } => items.iter().for_each(|item| draw(item, surface, fonts)),
    }
}

#[expect(clippy::too_many_arguments, reason = "the fields of a text, as they are")]
fn words(
    at: Spot,
    text: &str,
    size: f64,
    bold: bool,
    tone: Tone,
    anchor: Anchor,
    surface: &mut Surface<'_>,
    fonts: &[Font; 2],
) {
    if text.is_empty() {
        return;
    }
    let wide = face::width(text, size, bold);
    let back = match anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => wide / 2.0,
        Anchor::End => wide,
    };
    let glyph = |(range, id, advance): (std::ops::Range<usize>, u32, f64)| {
        KrillaGlyph::new(GlyphId::new(id), advance as f32, 0.0, 0.0, 0.0, range, None)
    };
    let glyphs: Vec<KrillaGlyph> = face::glyphs(text, bold).map(glyph).collect();
    surface.set_stroke(None);
    surface.set_fill(Some(filled(tone)));
    let start = Point::from_xy((at[0] - back) as f32, at[1] as f32);
    surface.draw_glyphs(start, &glyphs, fonts[usize::from(bold)].clone(), text, size as f32, false);
}

fn filled(tone: Tone) -> Fill {
    Fill { paint: colour(tone).into(), opacity: NormalizedF32::ONE, rule: FillRule::NonZero }
}

fn colour(tone: Tone) -> rgb::Color {
    let [r, g, b] = tone.rgb(Theme::Paper);
    rgb::Color::new(r, g, b)
}

fn paint(path: &Path, pen: Option<Pen>, fill: Option<Tone>, surface: &mut Surface<'_>) {
    surface.set_fill(fill.map(filled));
    surface.set_stroke(pen.map(|pen| Stroke {
        paint: colour(pen.tone).into(),
        width: pen.weight as f32,
        line_cap: LineCap::Round,
        line_join: LineJoin::Round,
        dash: match pen.dash {
            Dash::Full => None,
            Dash::Ghost => Some(StrokeDash { array: vec![1.2, 1.2], offset: 0.0 }),
            Dash::Long => Some(StrokeDash { array: vec![4.0, 1.2], offset: 0.0 }),
        },
        ..Stroke::default()
    }));
    surface.draw_path(path);
}

fn polygon(spots: &[Spot], closed: bool) -> Option<Path> {
    let mut builder = PathBuilder::new();
    for (at, [x, y]) in spots.iter().enumerate() {
        let (x, y) = (*x as f32, *y as f32);
        if at == 0 { builder.move_to(x, y) } else { builder.line_to(x, y) }
    }
    if closed {
        builder.close();
    }
    builder.finish()
}

/// Four Bézier curves: the usual approximation of a circle, off by less than 0.03 % of its radius.
fn circle([x, y]: Spot, radius: f64) -> Option<Path> {
    let (x, y, r) = (x as f32, y as f32, radius as f32);
    let k = r * 0.552_284_8;
    let mut builder = PathBuilder::new();
    builder.move_to(x + r, y);
    builder.cubic_to(x + r, y + k, x + k, y + r, x, y + r);
    builder.cubic_to(x - k, y + r, x - r, y + k, x - r, y);
    builder.cubic_to(x - r, y - k, x - k, y - r, x, y - r);
    builder.cubic_to(x + k, y - r, x + r, y - k, x + r, y);
    builder.close();
    builder.finish()
}
