//! Whatever is answered to the questions of a layout template, the file that comes of it has no
//! findings.

use axlestand_garage::{Answers, STRUT_QUESTIONS, render};
use axlestand_model::template::fill_in;

/// Every combination of yes and no.
fn combinations() -> impl Iterator<Item = Answers> {
    let keys: Vec<&'static str> = STRUT_QUESTIONS
        .iter()
        .filter(|q| q.kind == axlestand_garage::QuestionKind::YesNo)
        .map(|q| q.key)
        .collect();
    (0_u32..1 << keys.len()).map(move |bits| {
        let condition = |(at, key): (usize, &&'static str)| (*key, bits & (1 << at) != 0);
        Answers { conditions: keys.iter().enumerate().map(condition).collect(), ..Answers::default() }
    })
}

#[test]
fn every_combination_of_the_strut_template_is_a_car_without_findings() {
    let (mut files, mut faulty) = (0, Vec::new());
    for answers in combinations() {
        files += 1;
        let text = fill_in("strut", &answers).expect("usual answers can stand in a file");
        let reading = axlestand_garage::vehicle::read_car(&text);
        if !reading.findings.is_empty() {
            let shown = render(&reading.findings, &text, "strut.toml", false);
            faulty.push(format!("{:?}\n{shown}", answers.conditions));
        }
    }
    assert!(files >= 512, "{files} combinations");
    assert!(faulty.is_empty(), "{} of {files}; the first:\n{}", faulty.len(), faulty[0]);
}

#[test]
fn no_placeholder_and_no_condition_is_left() {
    for answers in combinations() {
        let text = fill_in("strut", &answers).expect("usual answers can stand in a file");
        for question in STRUT_QUESTIONS {
            assert!(!text.contains(&format!("{{{}}}", question.key)), "{}", question.key);
        }
        let left = text.lines().find(|line| line.trim().starts_with("#if") || line.trim() == "#end");
        assert_eq!(left, None);
    }
}

#[test]
fn nothing_in_a_template_pretends_to_be_a_specification() {
    let text = fill_in("strut", &Answers::default()).expect("usual answers");
    let car = axlestand_garage::vehicle::read_car(&text).car.expect("a car");
    for fastener in &car.fasteners {
        let Some(torque) = &fastener.torque else { continue };
        assert!(torque.steps.is_empty(), "{} has a torque", fastener.id);
        assert!(!torque.provenance.may_be_worked_to(), "{}", fastener.id);
        assert!(!fastener.critical || torque.look_in.is_some(), "{} says nowhere where to look", fastener.id);
    }
}

#[test]
fn answers_that_would_break_the_file_are_refused() {
    for answer in ["a \"quoted\" car", "back\\slash", "two\nlines", "bell\u{7}"] {
        let answers = Answers { texts: [("name", answer.to_owned())].into(), ..Answers::default() };
        let why = fill_in("strut", &answers).expect_err("refused").to_string();
        assert!(why.contains("leave out quotes"), "{why}");
    }
}

#[test]
fn answers_in_other_units_and_scripts_stand_in_the_file() {
    let texts = [
        ("name", "Ďábel {track_front} 🚗".to_owned()),
        ("wheelbase", "102 in".to_owned()),
        ("mass_front", "1500 lb".to_owned()),
    ];
    let answers = Answers { texts: texts.into(), ..Answers::default() };
    let text = fill_in("strut", &answers).expect("a file");
    let reading = axlestand_garage::vehicle::read_car(&text);
    assert!(reading.findings.is_empty(), "{}", render(&reading.findings, &text, "strut.toml", false));
    let car = reading.car.expect("a car");
    assert_eq!(car.name, "Ďábel {track_front} 🚗");
}
