//! The embedded tables: every row understood, every source resolved.

use axlestand_fastener::tables;

#[test]
fn every_row_of_every_table_is_understood() {
    for table in tables::report() {
        assert!(table.rows > 0, "{} is empty", table.name);
        assert_eq!(table.rows, table.understood, "{} has rows that are not understood", table.name);
    }
}

#[test]
fn every_source_id_has_its_full_reference() {
    let sources = include_str!("../../../SOURCES.md");
    for table in tables::report() {
        for id in table.sources {
            assert!(sources.contains(&format!("`{id}`")), "{}: {id} is not in SOURCES.md", table.name);
        }
    }
}
