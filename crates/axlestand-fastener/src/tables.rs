//! The embedded tables, for a listing of sources and for the check that every row was understood.

use crate::table::{Row, Table};
use crate::{
    across_flats, bearing, castle, class, conversion, friction, locking, scatter, seized, thread, torx,
    wheel, wrench_size,
};

/// What a table holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TableReport {
    /// File name in the `data` folder.
    pub name: &'static str,
    /// Number of rows.
    pub rows: usize,
    /// The rows that were understood; the rest is left out of every answer.
    pub understood: usize,
    /// The source ids used, sorted, each once.
    pub sources: Vec<&'static str>,
    /// How many rows were recalled instead of read.
    pub from_memory: usize,
}

/// Every table of the crate.
#[must_use]
pub fn report() -> Vec<TableReport> {
    TABLES.iter().map(report_of).collect()
}

struct Embedded {
    name: &'static str,
    text: &'static str,
    understood: fn(Row<'_>) -> bool,
}

const TABLES: &[Embedded] = &[
    Embedded {
        name: "threads.csv",
        text: thread::list::TEXT,
        understood: |row| thread::list::read(row).is_some(),
    },
    Embedded {
        name: "wrench_sizes.csv",
        text: wrench_size::TEXT,
        understood: |row| wrench_size::read(row).is_some(),
    },
    Embedded {
        name: "across_flats.csv",
        text: across_flats::TEXT,
        understood: |row| across_flats::read(row).is_some(),
    },
    Embedded {
        name: "torx.csv",
        text: torx::INTERNAL_TEXT,
        understood: |row| torx::read_internal(row).is_some(),
    },
    Embedded {
        name: "torx_external.csv",
        text: torx::EXTERNAL_TEXT,
        understood: |row| torx::read_external(row).is_some(),
    },
    Embedded {
        name: "torx_by_thread.csv",
        text: torx::BY_THREAD_TEXT,
        understood: |row| torx::read_by_thread(row).is_some(),
    },
    Embedded { name: "classes.csv", text: class::TEXT, understood: |row| class::read(row).is_some() },
    Embedded { name: "nuts.csv", text: class::NUTS_TEXT, understood: |row| class::read_nut(row).is_some() },
    Embedded { name: "friction.csv", text: friction::TEXT, understood: |row| friction::read(row).is_some() },
    Embedded {
        name: "bearing_faces.csv",
        text: bearing::FACES_TEXT,
        understood: |row| bearing::read_face(row).is_some(),
    },
    Embedded {
        name: "clearance_holes.csv",
        text: bearing::HOLES_TEXT,
        understood: |row| bearing::read_hole(row).is_some(),
    },
    Embedded {
        name: "torque_practice.csv",
        text: conversion::PRACTICE_TEXT,
        understood: |row| conversion::read_practice(row).is_some(),
    },
    Embedded { name: "scatter.csv", text: scatter::TEXT, understood: |row| scatter::read(row).is_some() },
    Embedded { name: "castle_nuts.csv", text: castle::TEXT, understood: |row| castle::read(row).is_some() },
    Embedded { name: "locking.csv", text: locking::TEXT, understood: |row| locking::read(row).is_some() },
    Embedded {
        name: "prevailing.csv",
        text: locking::PREVAILING_TEXT,
        understood: |row| locking::read_prevailing(row).is_some(),
    },
    Embedded {
        name: "prevailing_inch.csv",
        text: locking::INCH_TEXT,
        understood: |row| locking::read_inch(row).is_some(),
    },
    Embedded {
        name: "torsion.csv",
        text: seized::RATIO_TEXT,
        understood: |row| seized::read_ratio(row).is_some(),
    },
    Embedded {
        name: "thread_tolerances.csv",
        text: seized::TOLERANCES_TEXT,
        understood: |row| seized::read_tolerance(row).is_some(),
    },
    Embedded {
        name: "thread_allowances.csv",
        text: seized::ALLOWANCES_TEXT,
        understood: |row| seized::read_allowance(row).is_some(),
    },
    Embedded {
        name: "wrench_proof.csv",
        text: seized::PROOF_TEXT,
        understood: |row| seized::read_proof(row).is_some(),
    },
    Embedded {
        name: "stuck_ladder.csv",
        text: seized::LADDER_TEXT,
        understood: |row| seized::read_rung(row).is_some(),
    },
    Embedded { name: "wheel_recheck.csv", text: wheel::TEXT, understood: |row| wheel::read(row).is_some() },
];

fn report_of(embedded: &Embedded) -> TableReport {
    let table = Table::parse(embedded.text);
    let mut sources: Vec<&'static str> = table.rows().filter_map(|row| row.text("source")).collect();
    let from_memory = sources.iter().filter(|source| **source == "memory").count();
    sources.sort_unstable();
    sources.dedup();
    TableReport {
        name: embedded.name,
        rows: table.rows().count(),
        understood: table
            .rows()
            .filter(|row| row.is_complete() && row.text("source").is_some() && (embedded.understood)(*row))
            .count(),
        sources,
        from_memory,
    }
}
