//! Paper and pictures of a whole job, from the command line to the file: read back, and looked at for
//! what must stand on them.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use std::path::{Path, PathBuf};
use std::process::Command;

struct Paper {
    folder: tempfile::TempDir,
}

impl Paper {
    /// The garage of the demo, its job done.
    fn demo() -> Self {
        let paper = Self { folder: tempfile::tempdir().unwrap() };
        assert_eq!(paper.run(&["demo", "--folder", "."]).0, Some(0));
        paper
    }

    fn run(&self, arguments: &[&str]) -> (Option<i32>, String) {
        let output = Command::new(env!("CARGO_BIN_EXE_axlestand"))
            .current_dir(self.folder.path())
            .env("AXLESTAND_GARAGE", self.folder.path())
            .args(arguments)
            .output()
            .unwrap();
        let text = [output.stdout, output.stderr].concat();
        (output.status.code(), String::from_utf8(text).unwrap())
    }

    fn file(&self, arguments: &[&str], name: &str) -> Vec<u8> {
        let (code, told) = self.run(&[&["sheet"], arguments, &["--replace", "-o", name]].concat());
        assert_eq!(code, Some(0), "{arguments:?}: {told}");
        std::fs::read(self.path(name)).unwrap()
    }

    fn path(&self, name: &str) -> PathBuf {
        Path::new(self.folder.path()).join(name)
    }
}

/// The text of a PDF in reading order, read by a library that shares no code with the writer.
fn text(pdf: &[u8]) -> String {
    let read = lopdf::Document::load_mem(pdf).unwrap();
    let pages: Vec<u32> = read.get_pages().keys().copied().collect();
    read.extract_text(&pages).unwrap().split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn every_kind_of_sheet_says_what_it_is_for() {
    let paper = Paper::demo();
    let disclaimer = "It is no inspection certificate";
    for (kind, words) in [
        ("shopping", &["Shopping list", "Split pin", "before the car is lifted"][..]),
        ("tools", &["Tool list", "ball joint separator"]),
        ("open", &["Open items only"]),
        ("deferred", &["Final torques that wait", "Seated is not final"]),
        ("labels", &["Bag and tray labels", "Ball joint pinch bolt"]),
        ("card", &["this card may come off"]),
        ("curves", &["Camber against wheel travel", "Toe against wheel travel"]),
        ("road", &["Fitness for the road", disclaimer, "Measured", "±", "Not done", "To recheck"]),
        (
            "alignment",
            &["For the alignment shop", disclaimer, "Jam nuts", "Targets", "Strings around the car"],
        ),
        ("readings", &["Readings: string box", "string.front-left.hub", "Strings around the car", "number"]),
        ("owner", &["Record for the next owner", disclaimer, "Renewed", "To recheck"]),
        ("notes", &["Notes for next time", disclaimer, "What gave trouble"]),
    ] {
        let text = text(&paper.file(&[kind], "sheet.pdf"));
        for words in words {
            assert!(text.contains(words), "{kind} lacks '{words}': {text}");
        }
        assert!(text.contains("page 1 of"), "{kind}");
    }
}

/// The plot of a torque: 140 N·m on M14×1.5 at a friction of 0.12 clamps about 62 to 65 kN by the
/// tables after VDI 2230 (nut factor near 0.16: 140/(0.16·14) = 62.5 kN), well inside the plot.
#[test]
fn a_torque_is_drawn_against_friction() {
    let paper = Paper::demo();
    let text = text(&paper.file(&["torque", "--item", "arm-front-bolt.left"], "t.pdf"));
    for words in ["clamp load, kN", "90 % of yield", "140 N·m", "published friction", "class 10.9"] {
        assert!(text.contains(words), "'{words}' is missing: {text}");
    }
}

/// The sheet says when by the same runs as `forecast`, and refuses hours that it does not understand.
#[test]
fn a_forecast_is_drawn_with_the_ends_that_forecast_tells() {
    let paper = Paper::demo();
    paper.run(&["job", "start", "wagtail.toml", "--replace", "control-arm", "--name", "second"]);
    let hours = ["--session", "daily 9-17", "--from", "2099-12-05 09:00", "--by", "2099-12-06 17:00"];
    let (_, told) = paper.run(&[&["forecast", "--json"][..], &hours].concat());
    let told: serde_json::Value = serde_json::from_str(&told).unwrap();
    let text = text(&paper.file(&[&["forecast"][..], &hours].concat(), "f.pdf"));
    for end in told["ends"].as_array().unwrap() {
        let percent = (end["fraction"].as_f64().unwrap() * 100.0).round();
        let end = end["when"].as_str().unwrap();
        let at = text.find(&format!("{percent} in 100: after ")).expect(&text);
        assert!(text[at..].split(" in 100").nth(1).unwrap().contains(end), "{percent}: {end}: {text}");
    }
    let chance = match told["chance"].as_f64().unwrap() * 100.0 {
        below if below < 1.0 => "By Sun 6 Dec 17:00: less than 1 in 100".to_owned(),
        above if above > 99.0 => "By Sun 6 Dec 17:00: more than 99 in 100".to_owned(),
        percent => format!("By Sun 6 Dec 17:00: {percent:.0} in 100"),
    };
    for words in
        [chance.as_str(), "working hours from now", "What would help most", "Work begins Sat 5 Dec 09:00"]
    {
        assert!(text.contains(words), "'{words}' is missing: {text}");
    }
    let (code, told) = paper.run(&["sheet", "forecast", "--session", "Sat 18-9", "-o", "g.pdf"]);
    assert_ne!(code, Some(0));
    assert!(told.contains("ends before it begins"), "{told}");
    assert!(!paper.path("g.pdf").exists());
}

#[test]
fn a_job_sheet_shows_numbers_torques_cautions_and_sources() {
    let paper = Paper::demo();
    paper.run(&["job", "start", "wagtail.toml", "--replace", "control-arm", "--name", "second"]);
    let left = text(&paper.file(&["job", "--side", "left", "--stage", "refit"], "left.pdf"));
    for words in [
        "Refit: left side",
        "Left front corner",
        "Final torque: control arm front bush bolt, left",
        "140 N·m (103 lb·ft)",
        "the car at ride height",
        "[manual: Wagtail workshop sheet 40-11 (invented)]",
        "torque, wrench",
    ] {
        assert!(left.contains(words), "'{words}' is missing: {left}");
    }
    assert!(!left.contains("bush bolt, right"), "only the left side was asked for");
    // Nothing is done yet, so the card forbids nothing; a loosened nut changes that.
    assert!(text(&paper.file(&["card"], "card.pdf")).contains("may come off"));
}

/// Works on the current job until a wheel is off.
fn until_a_wheel_is_off(paper: &Paper) {
    for _ in 0..40 {
        let (_, next) = paper.run(&["next", "-n", "1", "--json"]);
        let next: serde_json::Value = serde_json::from_str(&next).unwrap();
        let action = next["rows"][0]["action"].as_str().unwrap().to_owned();
        match action.split_once(':').unwrap() {
            ("read", item) if item.contains("toe") || item.contains("camber") => {
                paper.run(&["read", item, "0.1°"])
            }
            ("read", item) => paper.run(&["read", item, "360 mm"]),
            _ => paper.run(&["done", &action]),
        };
        if action.starts_with("off:wheel.") {
            return;
        }
    }
    panic!("no wheel came off");
}

#[test]
fn the_card_forbids_driving_while_anything_is_open() {
    let paper = Paper::demo();
    paper.run(&["job", "start", "wagtail.toml", "--replace", "tie-rod-end", "--name", "second"]);
    until_a_wheel_is_off(&paper);
    let card = text(&paper.file(&["card"], "card.pdf"));
    assert!(card.contains("DO NOT DRIVE") && card.contains("open:") && card.contains("on stands"), "{card}");
    let svg = String::from_utf8(paper.file(&["corner", "--side", "left"], "left.svg")).unwrap();
    assert!(svg.contains("OUT") && svg.contains("taken off"), "the picture follows the ledger");
}

/// What `check road` says of another job on the same car stands on paper as well.
#[test]
fn what_another_job_has_open_keeps_the_car_off_the_road_on_paper_too() {
    let paper = Paper::demo();
    paper.run(&["job", "start", "wagtail.toml", "--replace", "tie-rod-end", "--name", "second"]);
    until_a_wheel_is_off(&paper);
    paper.run(&["job", "start", "wagtail.toml", "--replace", "control-arm", "--name", "third"]);
    let (_, check) = paper.run(&["check", "road"]);
    assert!(check.contains("another job on this car is open, 'second'"), "{check}");
    let road = text(&paper.file(&["road"], "road.pdf"));
    assert!(road.contains("NOT FIT") && road.contains("nother job on this car is open, 'second'"), "{road}");
    let card = text(&paper.file(&["card"], "card.pdf"));
    assert!(
        card.contains("DO NOT DRIVE") && card.contains("nother job on this car is open, 'second'"),
        "{card}"
    );
}

/// The nut of the tie rod, by the reading of its thread; whether it turns is what an alignment shop asks first.
#[test]
fn a_jam_nut_that_was_stuck_is_told_to_who_aligns() {
    let paper = Paper::demo();
    paper.run(&["job", "start", "wagtail.toml", "--replace", "control-arm", "--name", "second"]);
    let sheet = |paper: &Paper| text(&paper.file(&["alignment"], "alignment.pdf"));
    assert!(!sheet(&paper).contains("STUCK"));
    let (code, told) = paper.run(&["stuck", "jam-nut.left"]);
    assert_eq!(code, Some(0), "{told}");
    let told = sheet(&paper);
    assert!(told.contains("tie-rod jam nut, left STUCK when it was tried"), "{told}");
    assert!(told.contains("tie-rod jam nut, right not turned in this job"), "{told}");
}

/// The curves of the axle that was asked for: of a twist beam both wheels go together.
#[test]
fn curves_are_those_of_the_axle_that_is_asked_for() {
    let paper = Paper::demo();
    let rear = text(&paper.file(&["curves", "--axle", "rear", "--side", "right"], "rear.pdf"));
    let front = text(&paper.file(&["curves", "--side", "right"], "front.pdf"));
    assert!(front.contains("Right front wheel") && !front.contains("rear wheel"), "{front}");
    assert!(rear.to_lowercase().contains("rear wheel") && !rear.contains("front wheel"), "{rear}");
    assert!(rear.contains("Camber against wheel travel"), "{rear}");
}

/// Sheets of who chose inches have them, 2 1/2 in for 60 mm and so on; paper is in millimetres as it was.
#[test]
fn sheets_follow_the_chosen_unit() {
    let paper = Paper::demo();
    for (kind, says) in [
        ("curves", &["wheel travel, up, in", "full droop at -3.29 in"][..]),
        ("readings", &["Raise the hub to -2 1/2, -1 1/4, 0", "2 1/2 and 1 1/4 in below", "± 0.04 in"]),
        ("alignment", &["14.33 ± 0.47 in"]),
    ] {
        let sheet = |units| text(&paper.file(&["--units", units, kind], "sheet.pdf")).replace('\u{a0}', " ");
        let (inch, metric) = (sheet("inch"), sheet("metric"));
        for words in says {
            assert!(inch.contains(words) && !metric.contains(words), "{kind}: {words}: {inch}");
        }
        let millimetres = |text: &str| text.split_whitespace().any(|word| word.trim_matches('.') == "mm");
        assert!(!millimetres(&inch) && millimetres(&metric), "{kind}: {inch}");
    }
}

/// A slip of the finger in a file's name costs no vehicle file; an older picture or page is renewed.
#[test]
fn pictures_and_pages_are_written_over_their_own_kind_only() {
    let paper = Paper::demo();
    let car = std::fs::read(paper.path("wagtail.toml")).unwrap();
    for (command, option, own) in [("prepare", "--picture", "plan.svg"), ("report", "--page", "report.html")]
    {
        let (code, told) = paper.run(&[command, option, "wagtail.toml"]);
        assert_eq!(code, Some(2), "{told}");
        assert!(told.contains("wagtail.toml is there already") && told.contains("--replace"), "{told}");
        assert_eq!(std::fs::read(paper.path("wagtail.toml")).unwrap(), car, "{command}");
        for _ in 0..2 {
            assert_eq!(paper.run(&[command, option, own]).0, Some(0), "{command}");
        }
        std::fs::write(paper.path(own), "words of the owner").unwrap();
        assert_eq!(paper.run(&[command, option, own]).0, Some(2), "{command}");
        assert_eq!(paper.run(&[command, option, own, "--replace"]).0, Some(0), "{command}");
    }
    assert_eq!(
        paper.run(&["sheet", "plan", "-o", "plan.svg"]).0,
        Some(0),
        "the same picture by another name"
    );
}

/// A whole job's paper is small, and the same job gives the same bytes.
#[test]
fn the_same_job_gives_the_same_bytes_on_either_paper() {
    let paper = Paper::demo();
    for size in ["a4", "letter"] {
        let first = paper.file(&["all", "--paper", size], "one.pdf");
        assert!(first == paper.file(&["all", "--paper", size], "two.pdf"), "{size}");
        assert!(first.len() < 2_000_000, "{} bytes", first.len());
    }
    assert_eq!(paper.file(&["corner"], "a.svg"), paper.file(&["corner"], "b.svg"));
}

/// The days of the current job's calendar, its work starting on 10 April 2027.
fn dates(paper: &Paper) -> Vec<String> {
    let days = String::from_utf8(paper.file(&["calendar", "--day", "2027-04-10"], "c.ics")).unwrap();
    let unfolded = icalendar::parser::unfold(&days);
    let read = icalendar::parser::read_calendar(&unfolded).unwrap();
    let starts = |c: &icalendar::parser::Component<'_>| -> Vec<String> {
        c.properties.iter().filter(|p| p.name == "DTSTART").map(|p| p.val.to_string()).collect()
    };
    read.components.iter().flat_map(starts).collect()
}

#[test]
fn pictures_calendar_and_table_are_what_they_claim_to_be() {
    let paper = Paper::demo();
    for view in ["oblique", "front", "side", "above"] {
        for more in [&[][..], &["--narrow", "--dark"]] {
            for side in ["left", "right"] {
                let svg = paper.file(&[&["corner", "--view", view, "--side", side], more].concat(), "c.svg");
                let svg = String::from_utf8(svg).unwrap();
                let tree = roxmltree::Document::parse(&svg).unwrap();
                let ids: Vec<&str> = tree.descendants().filter_map(|n| n.attribute("id")).collect();
                let bolt = format!("item-arm-front-bolt.{side}");
                assert!(ids.contains(&bolt.as_str()), "{view} {side}");
                let other = if side == "left" { ".right" } else { ".left" };
                assert!(ids.iter().all(|id| !id.ends_with(other)), "{view} {side}");
            }
        }
    }
    let plan = String::from_utf8(paper.file(&["plan"], "p.svg")).unwrap();
    assert!(plan.contains(">it soaks for 8 h<"), "the soak of the demo is drawn as a wait: {plan}");
    let table = paper.file(&["parts"], "p.csv");
    let mut reader = csv::Reader::from_reader(table.as_slice());
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    let nut = rows.iter().find(|row| &row[0] == "axle-nut.left").unwrap();
    assert_eq!((&nut[4], &nut[8]), ("M24×1.5", "240 N·m (177 lb·ft)"));
    // The demo's job is done: the start, the morning after.
    let done = dates(&paper);
    assert!(["20270410", "20270411"].iter().all(|day| done.contains(&(*day).to_owned())), "{done:?}");
    assert!(!done.contains(&"20270403".to_owned()), "parts were ordered: {done:?}");
    // A new job on the same car: a week before, three days before, the start.
    let new = ["job", "start", "wagtail.toml", "--replace", "control-arm", "--name", "new"];
    assert_eq!(paper.run(&new).0, Some(0));
    let starts = dates(&paper);
    for day in ["20270403", "20270407", "20270410"] {
        assert!(starts.iter().any(|start| start == day), "{day}: {starts:?}");
    }
}

#[test]
fn what_cannot_be_made_is_said_with_what_to_do() {
    let paper = Paper::demo();
    let refused = |arguments: &[&str], words: &str| {
        let (code, told) = paper.run(&[&["sheet"], arguments].concat());
        assert!(code == Some(2) && told.contains(words), "{arguments:?}: {told}");
    };
    refused(&["calendar", "--day", "soon"], "--day takes a day as year-month-day");
    refused(&["calendar", "--day", "2027-02-30"], "--day takes a day as year-month-day");
    refused(&["job", "--stage", "prepare", "--side", "left"], "nothing to print");
    refused(&["all", "-o", "no/such/folder/a.pdf"], "cannot be written");
    refused(&["torque"], "name the fastener");
    refused(&["torque", "--item", "undertray"], "not a fastener");
    refused(&["torque", "--item", "wheel-sensor-bolt-x"], "wheel-sensor-bolt-x");
    refused(&["poster"], "poster");
}

/// The demo car with the numbers of the job in `tests/jobs/alignment-good.job`, which a simulated car gave.
fn aligned() -> Paper {
    let paper = Paper::demo();
    let job = include_str!("../../../tests/jobs/alignment-good.job");
    let folder = tempfile::tempdir().unwrap();
    std::fs::copy(paper.path("wagtail.toml"), folder.path().join("wagtail.toml")).unwrap();
    let aligned = Paper { folder };
    for command in job.lines().filter_map(|line| line.strip_prefix("$ ")) {
        let words: Vec<&str> = command
            .split('"')
            .enumerate()
            .flat_map(|(at, part)| {
                let plain = at.is_multiple_of(2);
                let whole = std::iter::once(part).filter(move |_| !plain);
                whole.chain(part.split_whitespace().filter(move |_| plain))
            })
            .collect();
        let (code, told) = aligned.run(&words);
        assert!(matches!(code, Some(0 | 1)), "{command}: {told}");
    }
    aligned
}

/// What `set alignment` says stands on the sheet: every angle with its uncertainty.
#[test]
fn the_hand_over_says_what_set_alignment_says() {
    let paper = aligned();
    let (_, told) = paper.run(&["set", "alignment", "--json"]);
    let view: serde_json::Value = serde_json::from_str(&told).unwrap();
    let sheet = text(&paper.file(&["alignment"], "alignment.pdf")).replace('\u{a0}', " ");
    let angles = view["told"].as_array().unwrap();
    assert!(angles.len() >= 4, "{told}");
    for one in angles {
        let value = format!("{:.2} ± {:.2}°", one["value"].as_f64().unwrap(), one["u"].as_f64().unwrap());
        assert!(sheet.contains(&value), "the sheet lacks {value}: {sheet}");
    }
    assert!(sheet.contains("Front wheels as read against their targets"), "{sheet}");
    assert!(sheet.contains(view["verdict"]["text"].as_str().unwrap()), "{sheet}");
}

#[test]
fn what_is_no_sheet_of_the_same_kind_is_never_overwritten_unasked() {
    let paper = Paper::demo();
    for (kind, name) in [("open", "a.pdf"), ("corner", "a.svg"), ("calendar", "a.ics"), ("parts", "a.csv")] {
        let path = paper.path(name);
        std::fs::write(&path, "the owner's own words").unwrap();
        let (code, told) = paper.run(&["sheet", kind, "-o", name]);
        assert_ne!(code, Some(0), "{kind}");
        assert!(told.contains(name) && told.contains("--replace"), "{told}");
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "the owner's own words");
        assert_eq!(paper.run(&["sheet", kind, "-o", name, "--replace"]).0, Some(0), "{kind}");
        // Its own kind is renewed without being asked.
        assert_eq!(paper.run(&["sheet", kind, "-o", name]).0, Some(0), "{kind}");
    }
    assert_ne!(paper.run(&["sheet", "tools", "-o", "a.pdf"]).0, Some(0), "another kind");
    assert_ne!(paper.run(&["sheet", "plan", "-o", "a.svg"]).0, Some(0), "another kind");
}

/// `/dev/full` says that the disk is full (Linux, full(4)).
#[cfg(target_os = "linux")]
#[test]
fn a_folder_or_disk_that_takes_nothing_is_told_and_no_half_file_stays() {
    let paper = Paper::demo();
    let (code, told) = paper.run(&["sheet", "open", "-o", "/dev/full"]);
    assert_ne!(code, Some(0));
    assert!(told.contains("/dev/full") && told.contains("free space"), "{told}");
    for place in ["nowhere/open.pdf", "."] {
        let (code, told) = paper.run(&["sheet", "open", "-o", place]);
        assert_ne!(code, Some(0));
        assert!(told.contains(place) && told.contains("cannot be written"), "{told}");
    }
    paper.file(&["open"], "open.pdf");
    let left = std::fs::read_dir(paper.folder.path()).unwrap();
    let half = left.filter(|entry| entry.as_ref().unwrap().file_name().to_string_lossy().ends_with(".new"));
    assert_eq!(half.count(), 0);
}

/// The mark of an element of a picture: the middle of the area that takes a finger.
fn mark(svg: &str, id: &str) -> Option<[f64; 2]> {
    let tree = roxmltree::Document::parse(svg).unwrap();
    let group = tree.descendants().find(|n| n.attribute("id") == Some(id))?;
    let tap = group.children().find(|n| n.attribute("class") == Some("tap"))?;
    Some(["cx", "cy"].map(|name| tap.attribute(name).unwrap().parse().unwrap()))
}

/// Corners that are no strut corner: their own parts, their fasteners where the hardpoints say, and words
/// for what is only typical. Places are compared by hand: in the vehicle file the damper's upper bolt lies
/// above the lower one, the upper arm's front bolt before its rear one.
#[test]
fn other_corners_are_drawn_from_their_own_hardpoints() {
    let folder = tempfile::tempdir().unwrap();
    let car = include_str!("../../../tests/cars/good/other-corners.toml");
    std::fs::write(folder.path().join("car.toml"), car).unwrap();
    let paper = Paper { folder };
    let (code, told) =
        paper.run(&["job", "start", "car.toml", "--replace", "upper-arm", "--replace", "rear-damper"]);
    assert_eq!(code, Some(0), "{told}");
    let svg = |arguments: &[&str]| {
        String::from_utf8(paper.file(&[&["corner"], arguments].concat(), "c.svg")).unwrap()
    };
    let front = svg(&["--view", "above"]);
    assert!(front.contains("double wishbone") && front.contains("Left front corner"), "{front}");
    assert!(front.contains("item-upper-arm.left") && front.contains("item-front-lower-arm.left"));
    assert!(!front.contains("rear-damper"), "what is at the rear is not drawn at the front");
    let [fore, aft] =
        ["front", "rear"].map(|end| mark(&front, &format!("item-upper-arm-{end}-bolt.left")).unwrap());
    assert!(fore[1] < aft[1] - 5.0, "the front bolt is further forward: {fore:?} {aft:?}");
    let rear = svg(&["--axle", "rear", "--view", "side", "--side", "right"]);
    assert!(rear.contains("Right rear corner") && rear.contains("twist beam"), "{rear}");
    assert!(rear.contains("4 of 7 points are typical ones"), "{rear}");
    let [low, high] =
        ["lower", "upper"].map(|end| mark(&rear, &format!("item-rear-damper-{end}-bolt.right")).unwrap());
    assert!(high[1] < low[1] - 10.0, "the upper bolt is higher: {high:?} {low:?}");
    // The sheet of a side shows both of its corners.
    let sheet = text(&paper.file(&["job", "--side", "left", "--stage", "strip"], "j.pdf"));
    assert!(sheet.contains("Left front corner") && sheet.contains("Left rear corner"), "{sheet}");
    // No points at all: an honest schematic.
    let bare = car.replace("wheel-centre = [-2585, 733, 302]\nbeam-pivot = [-2165, 565, 338]\nbeam-shear-centre = [-2290, 0, 342]\n", "");
    assert_ne!(bare, car);
    for layout in ["twist-beam", "live-axle", "multi-link", "semi-trailing"] {
        let other = bare.replace("layout = \"twist-beam\"", &format!("layout = \"{layout}\""));
        std::fs::write(paper.path("bare.toml"), other).unwrap();
        let (code, told) =
            paper.run(&["job", "start", "bare.toml", "--replace", "rear-damper", "--name", layout]);
        assert_eq!(code, Some(0), "{told}");
        let rear = svg(&["--axle", "rear"]);
        assert!(
            rear.contains("no hardpoints in the vehicle file, drawn with typical ones"),
            "{layout}: {rear}"
        );
        assert!(mark(&rear, "item-rear-damper-upper-bolt.left").is_some(), "{layout}");
    }
}

/// Numbers were read that give no angle, since the rim's width is not known: the hand-over says so.
#[test]
fn the_hand_over_says_why_no_angle_can_be_told() {
    let paper = Paper { folder: tempfile::tempdir().unwrap() };
    let car = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("../../cars/wagtail.toml"));
    let car = car.unwrap();
    let without: String =
        car.lines().filter(|line| !line.starts_with("tyre = ")).map(|line| format!("{line}\n")).collect();
    std::fs::write(paper.path("car.toml"), &car).unwrap();
    assert_eq!(paper.run(&["job", "start", "car.toml", "--replace", "control-arm"]).0, Some(0));
    let nothing = text(&paper.file(&["alignment"], "nothing.pdf"));
    assert!(!nothing.contains("No angle can be told"), "{nothing}");
    let (code, told) = paper.run(&["read", "string.front-left.front-edge", "52.5 mm"]);
    assert_eq!(code, Some(0), "{told}");
    std::fs::write(paper.path("car.toml"), without).unwrap();
    let told = text(&paper.file(&["alignment"], "told.pdf"));
    assert!(told.contains("No angle can be told: how far apart the rim's edges are is not known"), "{told}");
}
