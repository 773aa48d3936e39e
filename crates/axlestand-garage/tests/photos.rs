//! Photos that are kept under the id that their device gave them.

#![expect(clippy::unwrap_used, reason = "a test that cannot be set up has failed")]

use axlestand_garage::{CountingClock, Garage, GarageError};
use std::path::Path;

fn garage(folder: &Path) -> Garage {
    Garage::open_or_create(folder, Box::new(CountingClock::default())).unwrap()
}

fn jpeg(tone: u8) -> Vec<u8> {
    let mut jpeg = Vec::new();
    let grey = image::GrayImage::from_pixel(8, 8, image::Luma([tone]));
    image::codecs::jpeg::JpegEncoder::new(&mut jpeg).encode_image(&grey).unwrap();
    jpeg
}

/// Another picture under the id of one that is kept is not taken for it.
#[test]
fn a_second_picture_under_one_id_is_refused_and_the_first_stays() {
    let folder = tempfile::tempdir().unwrap();
    let garage = garage(folder.path());
    let id = "b".repeat(32);
    let file = garage.keep_photo(&id, &jpeg(10)).unwrap();
    let kept = garage.photo(&file).unwrap();
    assert_eq!(garage.keep_photo(&id, &jpeg(10)).unwrap(), file);
    let why = garage.keep_photo(&id, &jpeg(200)).unwrap_err();
    assert!(matches!(&why, GarageError::Input(text) if text.contains("another picture before")), "{why}");
    assert_eq!(garage.photo(&file).unwrap(), kept);
}

/// Who presses twice sends it twice at once: it is kept once, and both are told so.
#[test]
fn a_picture_that_is_sent_often_at_once_is_kept_once() {
    let folder = tempfile::tempdir().unwrap();
    garage(folder.path());
    for round in 0..20 {
        let id = format!("{round:032x}");
        let start = std::sync::Barrier::new(8);
        let files: Vec<String> = std::thread::scope(|scope| {
            let send = || {
                let garage = garage(folder.path());
                start.wait();
                garage.keep_photo(&id, &jpeg(10)).unwrap()
            };
            let sent: Vec<_> = (0..8).map(|_| scope.spawn(send)).collect();
            sent.into_iter().map(|sent| sent.join().unwrap()).collect()
        });
        assert!(files.iter().all(|file| *file == format!("{id}.jpg")), "{files:?}");
        let kept = std::fs::read_dir(folder.path().join("photos")).unwrap().count();
        assert_eq!(kept, round + 1, "nothing half written stays");
    }
}

/// Two pictures sent at once under one id: one is kept, whoever sent the other is told to add it as a photo of its own.
#[test]
fn of_two_pictures_sent_at_once_under_one_id_one_is_kept_and_the_other_refused() {
    let folder = tempfile::tempdir().unwrap();
    garage(folder.path());
    for round in 0..20 {
        let id = format!("{round:032x}");
        let start = std::sync::Barrier::new(8);
        let answers: Vec<(u8, Result<String, GarageError>)> = std::thread::scope(|scope| {
            let (id, start, folder) = (&id, &start, folder.path());
            let send = |tone: u8| {
                let garage = garage(folder);
                start.wait();
                (tone, garage.keep_photo(id, &jpeg(tone)))
            };
            let sent: Vec<_> = (0..8).map(|at| scope.spawn(move || send(at * 30))).collect();
            sent.into_iter().map(|sent| sent.join().unwrap()).collect()
        });
        let taken: Vec<u8> =
            answers.iter().filter(|(_, answer)| answer.is_ok()).map(|(tone, _)| *tone).collect();
        assert_eq!(taken.len(), 1, "{answers:?}");
        let kept = garage(folder.path()).photo(&format!("{id}.jpg")).unwrap();
        let grey = image::load_from_memory(&kept).unwrap().to_luma8().get_pixel(4, 4).0[0];
        assert!(grey.abs_diff(taken[0]) < 4, "{grey} is the one that was taken: {taken:?}");
    }
}
