//! Power that fails: what is on the disk then is laid out by hand and opened.

use crate::workshop::{Chance, Workshop};

/// Power that fails: with `synchronous = FULL` the log is on the disk up to the last acknowledged entry,
/// and whatever was to be written behind it may be there, in part, as noughts or as rubbish.
#[test]
fn a_log_torn_anywhere_opens_with_all_that_was_acknowledged_up_to_there() {
    let workshop = Workshop::with_job();
    // As long as this one has it open, nobody carries the log over into the database.
    let open = rusqlite::Connection::open(workshop.database()).unwrap();
    let _: i64 = open.query_row("SELECT count(*) FROM entry", [], |row| row.get(0)).unwrap();
    let wal = workshop.path().join("garage/garage.db-wal");
    let mut acknowledged = vec![(0, 2)];
    for number in 3..13 {
        workshop.run(&["note", "before the lights go out"]).expect(0);
        acknowledged.push((std::fs::metadata(&wal).unwrap().len() as usize, number));
    }
    let log = workshop.log();
    let (database, whole) = (std::fs::read(workshop.database()).unwrap(), std::fs::read(&wal).unwrap());
    let dark = Workshop::empty();
    std::fs::create_dir(dark.path().join("garage")).unwrap();
    let mut chance = Chance(5);
    let ends: Vec<usize> = acknowledged.iter().map(|(end, _)| *end).collect();
    let random = (0..40).map(|_| chance.below(whole.len() as u64) as usize);
    let cuts: Vec<usize> = ends.into_iter().chain(random).collect();
    for (round, cut) in cuts.into_iter().enumerate() {
        let mut torn = whole[..cut].to_vec();
        match round % 3 {
            0 => {}
            1 => torn.resize(whole.len(), 0),
            _ => torn.extend((cut..whole.len()).map(|_| chance.below(256) as u8)),
        }
        for file in ["garage.db", "garage.db-shm"] {
            let _ = std::fs::remove_file(dark.path().join("garage").join(file));
        }
        std::fs::write(dark.database(), &database).unwrap();
        std::fs::write(dark.path().join("garage/garage.db-wal"), torn).unwrap();
        let kept = dark.log();
        let least = acknowledged.iter().filter(|(end, _)| *end <= cut).map(|(_, count)| *count).max();
        assert!(kept.len() >= least.unwrap() && log.starts_with(&kept), "cut at {cut}: {}", kept.len());
        dark.run(&["garage", "check"]).expect(0);
        dark.run(&["note", "and it goes on"]).expect(0);
    }
}

/// Power that fails while the log is carried over into the database: any of the pages may be on the disk
/// in the new form, whole or in part, and the file of any length up to the new one. The log is whole,
/// since it is synced before and used again only after the database was synced ("Checkpointing" in
/// SQLite's description of its write-ahead log).
#[test]
fn a_database_half_carried_over_beside_its_log_opens_with_everything() {
    const PAGE: usize = 4096;
    const SECTOR: usize = 512;
    let workshop = Workshop::with_job();
    let open = rusqlite::Connection::open(workshop.database()).unwrap();
    let _: i64 = open.query_row("SELECT count(*) FROM entry", [], |row| row.get(0)).unwrap();
    let text = "long enough for the pages to fill up ".repeat(40);
    for _ in 0..25 {
        workshop.run(&["note", &text]).expect(0);
    }
    let log = workshop.log();
    let before = std::fs::read(workshop.database()).unwrap();
    let wal = std::fs::read(workshop.path().join("garage/garage.db-wal")).unwrap();
    let busy: i64 = open.query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |row| row.get(0)).unwrap();
    assert_eq!(busy, 0, "the log was carried over");
    let after = std::fs::read(workshop.database()).unwrap();
    let changed: Vec<usize> = (0..after.len() / PAGE)
        .filter(|page| {
            before.get(page * PAGE..(page + 1) * PAGE) != Some(&after[page * PAGE..(page + 1) * PAGE])
        })
        .collect();
    assert!(changed.len() > 10 && after.len() > before.len(), "{} pages changed", changed.len());

    let dark = Workshop::empty();
    let garage = dark.path().join("garage");
    std::fs::create_dir(&garage).unwrap();
    let mut chance = Chance(11);
    for round in 0..60 {
        let length = match round % 3 {
            0 => after.len(),
            1 => before.len() + PAGE * chance.below(((after.len() - before.len()) / PAGE) as u64) as usize,
            _ => before.len() + chance.below((after.len() - before.len()) as u64) as usize,
        };
        let mut mixed = before.clone();
        mixed.resize(after.len(), 0);
        // From one page carried over to all but one; in every other round by sectors.
        let share = 1 + chance.below(99);
        for page in &changed {
            for sector in 0..PAGE / SECTOR {
                let at = page * PAGE + sector * SECTOR;
                let whole_page = round % 2 == 0;
                if whole_page && sector == 0 && chance.below(100) < share {
                    mixed[at..at + PAGE].copy_from_slice(&after[at..at + PAGE]);
                } else if !whole_page && chance.below(100) < share {
                    mixed[at..at + SECTOR].copy_from_slice(&after[at..at + SECTOR]);
                }
            }
        }
        mixed.truncate(length);
        let _ = std::fs::remove_file(garage.join("garage.db-shm"));
        std::fs::write(dark.database(), &mixed).unwrap();
        std::fs::write(garage.join("garage.db-wal"), &wal).unwrap();
        assert_eq!(dark.log(), log, "round {round}, {length} bytes, {share} in 100 carried over");
        dark.run(&["garage", "check"]).expect(0);
        dark.run(&["note", "and it goes on"]).expect(0);
    }
}
