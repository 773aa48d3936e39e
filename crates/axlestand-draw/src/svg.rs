//! A drawing as an SVG document.

use crate::face::{self, FAMILY};
use crate::look::{Theme, Tone};
use crate::scene::{Anchor, Dash, Drawing, Item, Pen, Spot};
use crate::xml::escape;
use std::fmt::Write as _;

impl Drawing {
    /// The drawing as an SVG document that scales with its width. Every named thing is an element
    /// with id, title and description that can be focused and read aloud.
    #[must_use]
    pub fn svg(&self, theme: Theme) -> String {
        let [w, h] = self.size;
        let mut svg = String::new();
        let _ = write!(
            svg,
            r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {} {}" role="group" aria-labelledby="t d" font-family="{FAMILY}" fill="none" stroke-linecap="round" stroke-linejoin="round"><title id="t">{}</title><desc id="d">{}</desc>"#,
            mm(w),
            mm(h),
            escape(&self.title),
            escape(&self.description)
        );
        let ground = Item::rect([0.0, 0.0], [w, h], None, Some(Tone::Ground));
        write_item(&ground, theme, &mut svg);
        for item in &self.items {
            write_item(item, theme, &mut svg);
        }
        svg.push_str("</svg>\n");
        svg
    }
}

fn write_item(item: &Item, theme: Theme, svg: &mut String) {
    match item {
        Item::Line { spots, closed, pen, fill } => {
            let mut path = String::new();
            for (at, [x, y]) in spots.iter().enumerate() {
                let _ = write!(path, "{}{} {}", if at == 0 { "M" } else { "L" }, mm(*x), mm(*y));
            }
            if *closed {
                path.push('Z');
            }
            let _ = write!(svg, r#"<path d="{path}"{}/>"#, paint(*pen, *fill, theme));
        }
        Item::Circle { at: [x, y], radius, pen, fill } => {
            let paint = paint(*pen, *fill, theme);
            let _ = write!(svg, r#"<circle cx="{}" cy="{}" r="{}"{paint}/>"#, mm(*x), mm(*y), mm(*radius));
        }
        Item::Text { at: [x, y], text, size, bold, tone, anchor } => {
            let anchor = match anchor {
                Anchor::Start => "",
                Anchor::Middle => r#" text-anchor="middle""#,
                Anchor::End => r#" text-anchor="end""#,
            };
            let weight = if *bold { r#" font-weight="bold""# } else { "" };
            // The length holds the words in their room where another typeface stands in.
            let _ = write!(
                svg,
                r#"<text x="{}" y="{}" font-size="{}"{weight}{anchor} fill="{}" textLength="{}" lengthAdjust="spacingAndGlyphs">{}</text>"#,
                mm(*x),
                mm(*y),
                mm(*size),
                hex(*tone, theme),
                mm(face::width(text, *size, *bold)),
                escape(text)
            );
        }
        Item::Group { id, title, description, tap, items } => {
            group(id, title, description, *tap, svg);
            for item in items {
                write_item(item, theme, svg);
            }
            svg.push_str("</g>");
        }
    }
}

/// The head of a group, with the area that takes a finger.
fn group(id: &str, title: &str, description: &str, tap: Option<(Spot, f64)>, svg: &mut String) {
    let focus = if tap.is_some() { r#" tabindex="0" role="button""# } else { r#" role="img""# };
    let label = if description.is_empty() { title.to_owned() } else { format!("{title}: {description}") };
    let _ = write!(
        svg,
        r#"<g id="{}"{focus} aria-label="{}"><title>{}</title><desc>{}</desc>"#,
        escape(id),
        escape(&label),
        escape(title),
        escape(description)
    );
    if let Some(([x, y], radius)) = tap {
        let _ = write!(
            svg,
            r#"<circle class="tap" cx="{}" cy="{}" r="{}" fill="none" pointer-events="all"/>"#,
            mm(x),
            mm(y),
            mm(radius)
        );
    }
}

fn paint(pen: Option<Pen>, fill: Option<Tone>, theme: Theme) -> String {
    let mut out = String::new();
    if let Some(pen) = pen {
        let _ = write!(out, r#" stroke="{}" stroke-width="{}""#, hex(pen.tone, theme), mm(pen.weight));
        let dash = match pen.dash {
            Dash::Full => "",
            Dash::Ghost => r#" stroke-dasharray="1.2 1.2""#,
            Dash::Long => r#" stroke-dasharray="4 1.2""#,
        };
        out.push_str(dash);
    }
    if let Some(fill) = fill {
        let _ = write!(out, r#" fill="{}""#, hex(fill, theme));
    }
    out
}

fn hex(tone: Tone, theme: Theme) -> String {
    let [r, g, b] = tone.rgb(theme);
    format!("#{r:02x}{g:02x}{b:02x}")
}

/// A length to a hundredth of a millimetre, without trailing noughts.
fn mm(length: f64) -> String {
    let text = format!("{length:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}
