//! Sheets as PDF: read back by an independent reader (lopdf), nothing clipped, nothing on another,
//! the same bytes each time. The square code is read by an independent decoder (rqrr).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use axlestand_draw::corner::{Corner, Piece, Room, Shape, Standing, View};
use axlestand_draw::look::Theme;
use axlestand_draw::paper::{Block, Document, Label, Paper, Row, Table};
use axlestand_draw::{qr_svg, square_code};

fn row(number: u32) -> Row {
    Row {
        number: Some(number),
        done: number.is_multiple_of(5),
        what: format!("Fit: control arm front bush bolt, left, number {number}"),
        tool: Some("M14×1.5 × 82 mm, hex 21, hold with hex 21".to_owned()),
        set: number.is_multiple_of(3).then(|| "140 N·m (103 lb·ft), then 90°".to_owned()),
        told: vec![
            "thread dry, the car at ride height, [manual: workshop sheet 40-11, page 3 (invented)]"
                .to_owned(),
        ],
        caution: number.is_multiple_of(4).then(|| {
            "Stands under the sills, shaken by hand; nothing of you under the car until then.".to_owned()
        }),
        write: "length".to_owned(),
    }
}

fn corner() -> axlestand_draw::Drawing {
    let arm = Shape::Tube { through: vec![[12.0, 350.0, 222.0], [4.0, 694.0, 198.0]], radius: 19.0 };
    let piece = Piece {
        id: "arm.left".to_owned(),
        name: "control arm".to_owned(),
        shape: arm,
        standing: Standing::There,
    };
    Corner {
        title: "Left front corner".to_owned(),
        schematic: None,
        step: None,
        pieces: vec![piece],
        pins: vec![],
        measures: vec![],
    }
    .drawing(View::Oblique, Room::Wide)
}

fn document(paper: Paper) -> Document {
    let label = |n: u32| Label {
        short: format!("{n} L"),
        name: "Anti-roll bar link nut at the strut, with a long name that takes two lines".to_owned(),
        lines: vec!["M10×1.25".to_owned(), "wheel well, left".to_owned()],
        code: format!("axlestand wagtail {n} link-upper-nut.left"),
    };
    let cells =
        |n: usize| vec![format!("{n} pieces"), "a word ".repeat(n % 40), "Überwurfmutter, €, ≥".to_owned()];
    Document {
        title: "Refit: left side · wagtail".to_owned(),
        running: "Tarnfell Wagtail 1.6 estate, 2009 (invented) · job wagtail".to_owned(),
        disclaimer: "No inspection certificate.".to_owned(),
        keyword: String::new(),
        paper,
        blocks: vec![
            Block::Title { text: "Refit: left side".to_owned(), under: "40 rows".to_owned() },
            Block::Picture(corner()),
            Block::Heading("The car on stands".to_owned()),
            Block::Rows((1..=40).map(row).collect()),
            Block::Danger("Springs are under load: the plate stays on until the nut is home.".to_owned()),
            Block::Text("word ".repeat(900)),
            Block::Table(Table {
                columns: vec![("amount".to_owned(), 1.0), ("what".to_owned(), 4.0), ("for".to_owned(), 2.0)],
                rows: (0..60).map(cells).collect(),
                tick: true,
            }),
            Block::Card("DO NOT DRIVE".to_owned()),
            Block::Title { text: "Labels".to_owned(), under: String::new() },
            Block::Labels((1..=40).map(label).collect()),
            Block::Lines { what: "notes".to_owned(), count: 3 },
        ],
    }
}

/// Sizes of the standards: ISO 216 A4 and ANSI/ASME Y14.1 A ("Letter"), in points of 1/72 in.
#[test]
fn the_page_has_the_size_of_the_paper() {
    for (paper, [w, h]) in [(Paper::A4, [595.276, 841.890]), (Paper::Letter, [612.0, 792.0])] {
        let pdf = document(paper).pdf().unwrap();
        let read = lopdf::Document::load_mem(&pdf.bytes).unwrap();
        assert_eq!(read.get_pages().len(), pdf.pages);
        for id in read.get_pages().values() {
            let page = read.get_dictionary(*id).unwrap();
            let sides: Vec<f32> = page
                .get(b"MediaBox")
                .unwrap()
                .as_array()
                .unwrap()
                .iter()
                .map(|n| n.as_float().unwrap())
                .collect();
            assert!(
                (f64::from(sides[2]) - w).abs() < 0.01 && (f64::from(sides[3]) - h).abs() < 0.01,
                "{sides:?}"
            );
        }
    }
}

#[test]
fn text_can_be_selected_and_stands_in_reading_order() {
    let pdf = document(Paper::A4).pdf().unwrap();
    let read = lopdf::Document::load_mem(&pdf.bytes).unwrap();
    let pages: Vec<u32> = read.get_pages().keys().copied().collect();
    let text = read.extract_text(&pages).unwrap();
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut from = 0;
    for words in [
        "Refit: left side",
        "Left front corner",
        "The car on stands",
        "front bush bolt, left, number 1",
        "140 N·m (103 lb·ft), then 90°",
        "number 40",
        "Springs are under load",
        "Überwurfmutter, €, ≥",
        "DO NOT DRIVE",
        "40 L",
    ] {
        let at = text[from..].find(words);
        assert!(
            at.is_some(),
            "'{words}' is missing or out of order behind: {}",
            &text[from..].chars().take(300).collect::<String>()
        );
        from += at.unwrap();
    }
}

/// ISO 14289-1 (PDF/UA-1) and ISO 32000-1, 14.7 and 14.8: marked content, a structure tree, a
/// language, a title that is displayed, alternative text for figures, heads of tables.
#[test]
fn the_file_is_tagged_titled_and_in_a_language() {
    let pdf = document(Paper::A4).pdf().unwrap();
    let read = lopdf::Document::load_mem(&pdf.bytes).unwrap();
    let catalog = read.catalog().unwrap();
    assert_eq!(catalog.get(b"Lang").unwrap().as_str().unwrap(), b"en-GB");
    let follow = |object: &lopdf::Object| match object {
        lopdf::Object::Reference(id) => read.get_object(*id).unwrap().clone(),
        other => other.clone(),
    };
    let marks = follow(catalog.get(b"MarkInfo").unwrap());
    assert!(marks.as_dict().unwrap().get(b"Marked").unwrap().as_bool().unwrap());
    let viewer = follow(catalog.get(b"ViewerPreferences").unwrap());
    assert!(viewer.as_dict().unwrap().get(b"DisplayDocTitle").unwrap().as_bool().unwrap());
    assert!(catalog.get(b"Outlines").is_ok(), "bookmarks");
    let mut kinds = std::collections::BTreeMap::new();
    let mut figures_without_words = 0;
    for object in read.objects.values() {
        let Ok(dict) = object.as_dict() else { continue };
        let Ok(kind) = dict.get(b"S").and_then(lopdf::Object::as_name) else { continue };
        let name = String::from_utf8_lossy(kind).into_owned();
        if name == "Figure" && dict.get(b"Alt").is_err() {
            figures_without_words += 1;
        }
        *kinds.entry(name).or_insert(0) += 1;
    }
    assert_eq!(figures_without_words, 0);
    for (kind, least) in
        [("H1", 2), ("H2", 1), ("Table", 2), ("TH", 7), ("TR", 100), ("Figure", 41), ("P", 4)]
    {
        assert!(kinds.get(kind).is_some_and(|count| *count >= least), "{kind}: {kinds:?}");
    }
}

#[test]
fn nothing_is_clipped_and_nothing_lies_on_another() {
    for paper in [Paper::A4, Paper::Letter] {
        let [w, h] = paper.size();
        for (page, boxes) in document(paper).text_boxes().iter().enumerate() {
            for (at, (a, text)) in boxes.iter().enumerate() {
                let inside = a[0] >= 5.0 && a[1] >= 5.0 && a[2] <= w - 5.0 && a[3] <= h - 5.0;
                assert!(inside, "page {page}: '{text}' leaves the paper: {a:?}");
                for (b, other) in &boxes[at + 1..] {
                    let on = a[0] < b[2] && b[0] < a[2] && a[1] + 0.15 < b[3] && b[1] + 0.15 < a[3];
                    assert!(!on, "page {page}: '{text}' {a:?} lies on '{other}' {b:?}");
                }
            }
        }
    }
}

/// Row numbers are 14 pt high at least, to be typed in later from a greasy sheet.
#[test]
fn row_numbers_are_large() {
    let pages = document(Paper::A4).text_boxes();
    for number in ["1", "39"] {
        let (number, _) = pages.iter().flatten().find(|(_, text)| text == number).unwrap();
        assert!(number[3] - number[1] >= 14.0 * 25.4 / 72.0 - 1e-9, "{number:?}");
    }
}

#[test]
fn the_same_document_gives_the_same_bytes() {
    assert_eq!(document(Paper::A4).pdf().unwrap().bytes, document(Paper::A4).pdf().unwrap().bytes);
    assert!(document(Paper::A4).pdf().unwrap().bytes.len() < 2_000_000);
}

#[test]
fn foreign_signs_and_emptiness_are_printed_or_left_out_but_never_refused() {
    let mut strange = document(Paper::Letter);
    strange.title = "\u{feff}日本 🔧\u{0}".to_owned();
    strange.running = "x".repeat(2000);
    strange.blocks = vec![
        Block::Title { text: "日本語 🔧 \u{202e}abc\u{0}".to_owned(), under: "z".repeat(3000) },
        Block::Rows(vec![Row { what: "W".repeat(400), ..Row::default() }]),
        Block::Rows(vec![]),
        Block::Table(Table { columns: vec![(String::new(), f64::NAN)], rows: vec![vec![]], tick: false }),
        Block::Heading(String::new()),
        Block::Card(String::new()),
        Block::Labels(vec![Label::default()]),
        Block::Text(String::new()),
    ];
    let pdf = strange.pdf().unwrap();
    assert!(lopdf::Document::load_mem(&pdf.bytes).is_ok());
    let nothing = Document { blocks: vec![], ..document(Paper::A4) };
    assert_eq!(nothing.pdf().unwrap().pages, 1);
}

/// The code as it is drawn, painted into a grid of pixels, and read by a decoder that shares no code
/// with the encoder.
#[test]
fn the_square_code_is_read_back() {
    for said in
        ["axlestand wagtail 41 tie-rod-nut.left", "http://192.168.1.20:8080/pair?token=abcDEF123", "Ü"]
    {
        let drawing = square_code(said, 40.0).unwrap();
        let svg = drawing.svg(Theme::Paper);
        let tree = roxmltree::Document::parse(&svg).unwrap();
        let side = 400_usize;
        let mut dark = vec![false; side * side];
        for path in
            tree.descendants().filter(|n| n.has_tag_name("path") && n.attribute("fill") == Some("#111111"))
        {
            let numbers = path.attribute("d").unwrap().split(['M', 'L', 'Z', ' ']).filter(|t| !t.is_empty());
            let v: Vec<f64> = numbers.map(|t| t.parse().unwrap()).collect();
            let pixel = |mm: f64| (mm * 10.0).round() as usize;
            for y in pixel(v[1])..pixel(v[5]).min(side) {
                for x in pixel(v[0])..pixel(v[4]).min(side) {
                    dark[y * side + x] = true;
                }
            }
        }
        let mut image =
            rqrr::PreparedImage::prepare_from_greyscale(
                side,
                side,
                |x, y| if dark[y * side + x] { 0 } else { 255 },
            );
        let grids = image.detect_grids();
        assert_eq!(grids.len(), 1, "{said}");
        assert_eq!(grids[0].decode().unwrap().1, said);
    }
}

/// The code for a page, four pixels a module, read by the same foreign decoder.
#[test]
fn the_code_of_a_page_is_black_on_white_and_read_back() {
    let said = format!("https://192.168.1.20:7718/pair#{}", "0123456789abcdef".repeat(4));
    let svg = qr_svg(&said).unwrap();
    let tree = roxmltree::Document::parse(&svg).unwrap();
    let of = |name| tree.descendants().find(|node| node.has_tag_name(name)).unwrap();
    assert_eq!((of("rect").attribute("fill"), of("path").attribute("fill")), (Some("#fff"), Some("#000")));
    let side: usize = of("rect").attribute("width").unwrap().parse().unwrap();
    let mut dark = vec![false; side * side];
    for module in of("path").attribute("d").unwrap().split('M').skip(1) {
        let (x, y) = module.strip_suffix("h1v1h-1z").unwrap().split_once(' ').unwrap();
        dark[y.parse::<usize>().unwrap() * side + x.parse::<usize>().unwrap()] = true;
    }
    let shade = |x: usize, y: usize| if dark[y / 4 * side + x / 4] { 0 } else { 255 };
    let mut image = rqrr::PreparedImage::prepare_from_greyscale(4 * side, 4 * side, shade);
    let grids = image.detect_grids();
    assert_eq!(grids[0].decode().unwrap().1, said);
    assert_eq!(qr_svg(&"x".repeat(4000)), None);
}

/// Which page each of the texts stands on.
fn page_of(document: &Document, wanted: &str) -> Option<usize> {
    document.text_boxes().iter().position(|page| page.iter().any(|(_, text)| text.contains(wanted)))
}

#[test]
fn short_sheets_share_a_page_and_no_heading_stands_alone() {
    let row = |n: u32| Row { number: Some(n), what: format!("Work number {n}."), ..Row::default() };
    for lead in 0..24 {
        let rows: Vec<Row> = (1..=lead).map(row).collect();
        let blocks = vec![
            Block::Title { text: "First sheet".to_owned(), under: String::new() },
            Block::Rows(rows),
            Block::Section { text: "Second sheet".to_owned(), under: "under it".to_owned() },
            Block::Heading("On stands".to_owned()),
            Block::Rows(vec![row(100), row(101), row(102)]),
        ];
        let document = Document {
            title: "t".to_owned(),
            running: String::new(),
            disclaimer: String::new(),
            keyword: String::new(),
            paper: Paper::A4,
            blocks,
        };
        let [section, heading, first, second] =
            ["Second sheet", "On stands", "Work number 100.", "Work number 101."]
                .map(|words| page_of(&document, words).unwrap());
        assert_eq!([heading, first, second], [section; 3], "{lead} rows before");
        if lead < 8 {
            assert_eq!(section, 0, "{lead} rows before leave room");
        }
    }
}
