//! A backup whose bytes were changed after it was written, one at a time: each is refused, or brings back
//! what was recorded. Never is something else restored and called sound.

#![expect(clippy::unwrap_used, reason = "a test that cannot be set up has failed")]

use axlestand_garage::views::log;
use axlestand_garage::{CountingClock, Garage, GarageError, StartJob, restore};
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// The demo car's sizes with one part, so that a backup has few pages.
fn small() -> String {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../cars/wagtail.toml");
    let text = std::fs::read_to_string(demo).unwrap();
    let (axles, _) = text.split_once("[part.wheel]").unwrap();
    format!(
        "{axles}\n[part.tie-rod-end]\nname = \"tie-rod end\"\nside = \"both\"\nplace = \"bench\"\nminutes = 1\n"
    )
}

const NOTE: &str = "jam nut 43 N·m";

/// A folder with a backup of a job with a note and a photo; the backup's path.
fn backed_up() -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let within = |name: &str| folder.path().join(name);
    std::fs::write(within("car.toml"), small()).unwrap();
    let mut garage = Garage::open_or_create(&within("garage"), Box::new(CountingClock::default())).unwrap();
    let replace = vec!["tie-rod-end".to_owned()];
    garage.start_job(&StartJob { car: within("car.toml"), replace, ..StartJob::default() }).unwrap();
    garage.note(None, NOTE).unwrap();
    let mut jpeg = Vec::new();
    let grey = image::GrayImage::from_pixel(8, 8, image::Luma([120]));
    image::codecs::jpeg::JpegEncoder::new(&mut jpeg).encode_image(&grey).unwrap();
    let file = garage.keep_photo(&"a".repeat(32), &jpeg).unwrap();
    garage.pictured(None, &file, None).unwrap();
    let backup = within("all.backup");
    assert!(garage.back_up(&backup, false).unwrap().check.good);
    (folder, backup)
}

/// Everything that was recorded and the bytes of the photos, as the garage of a folder tells them.
fn content(folder: &Path) -> (Vec<String>, Vec<Vec<u8>>) {
    let mut garage = Garage::open(folder, Box::new(CountingClock::default()), None).unwrap();
    let job = garage.job().unwrap();
    let lines = log(&job).into_iter().map(|line| format!("{} {} {}", line.id, line.at, line.text));
    let lines = lines.chain([job.state.car_text.clone()]).collect();
    let photos = std::fs::read_dir(folder.join("photos")).unwrap();
    (lines, photos.map(|entry| std::fs::read(entry.unwrap().path()).unwrap()).collect())
}

#[test]
fn of_a_byte_that_was_changed_anywhere_nothing_wrong_comes_back_as_sound() {
    let (folder, backup) = backed_up();
    let new = folder.path().join("new");
    let good = restore(&backup, &new, false).unwrap();
    assert!(good.check.good && good.check.remarks.is_empty(), "{good:?}");
    let was = content(&new);
    std::fs::remove_dir_all(&new).unwrap();
    let bytes = std::fs::read(&backup).unwrap();
    let changed = folder.path().join("changed.backup");
    let (mut refused, mut harmless) = (0, 0);
    // The head of the file, and every 29th byte that is not empty room; another bit each time.
    let written = (0..bytes.len()).filter(|at| bytes[*at] != 0).step_by(29);
    for (turn, at) in (0..100).chain(written).enumerate() {
        let mut torn = bytes.clone();
        torn[at] ^= 1 << (turn % 8);
        std::fs::write(&changed, torn).unwrap();
        match restore(&changed, &new, false) {
            Err(
                GarageError::ChangedBackup(_)
                | GarageError::NoBackup { .. }
                | GarageError::Newer { .. }
                // A head that says that the file may only be read.
                | GarageError::NotRestored { .. },
            ) => refused += 1,
            Err(why) => panic!("byte {at}: {why}"),
            Ok(view) => {
                assert!(!view.check.good || content(&new) == was, "byte {at}: {view:?}");
                harmless += 1;
                std::fs::remove_dir_all(&new).unwrap();
            }
        }
        assert!(!new.exists(), "byte {at}: something was left");
    }
    assert!(refused > 150 && harmless > 10, "{refused} refused, {harmless} harmless");
}

#[test]
fn a_changed_value_is_refused_and_restored_only_where_that_is_wanted() {
    let (folder, backup) = backed_up();
    let mut bytes = std::fs::read(&backup).unwrap();
    let at = bytes.windows(NOTE.len()).position(|window| window == NOTE.as_bytes()).unwrap();
    bytes[at + NOTE.find('4').unwrap()] = b'9';
    std::fs::write(&backup, bytes).unwrap();
    let new = folder.path().join("new");
    let why = restore(&backup, &new, false).unwrap_err();
    assert!(matches!(why, GarageError::ChangedBackup(_)) && !new.exists(), "{why}");
    assert!(why.hint().unwrap().starts_with("restore another backup"));
    let restored = restore(&backup, &new, true).unwrap();
    assert!(!restored.check.good);
    assert_eq!(restored.check.findings.iter().map(|finding| finding.kind).collect::<Vec<_>>(), ["changed"]);
    assert!(content(&new).0.iter().any(|line| line.contains("jam nut 93 N·m")));
}

/// As axlestand wrote it before the sum: everything but the table with it.
#[test]
fn an_older_backup_without_a_sum_is_restored_and_that_is_told() {
    let (folder, backup) = backed_up();
    rusqlite::Connection::open(&backup).unwrap().execute_batch("DROP TABLE content_sum").unwrap();
    let new = folder.path().join("new");
    let restored = restore(&backup, &new, false).unwrap();
    assert!(restored.check.good);
    assert_eq!(restored.check.remarks.iter().map(|remark| remark.kind).collect::<Vec<_>>(), ["no-sum"]);
    // The garage itself is as ever: a backup of it has a sum.
    let mut garage = Garage::open(&new, Box::new(CountingClock::default()), None).unwrap();
    garage.back_up(&folder.path().join("newer.backup"), false).unwrap();
    let again = restore(&folder.path().join("newer.backup"), &folder.path().join("again"), false).unwrap();
    assert!(again.check.good && again.check.remarks.is_empty(), "{again:?}");
}
