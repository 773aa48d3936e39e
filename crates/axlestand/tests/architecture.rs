//! The house as it is against the house as ARCHITECTURE.md draws it; licences against deny.toml.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails loudly")]

use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

fn read(name: &str) -> String {
    std::fs::read_to_string(root().join(name)).unwrap()
}

/// The machine's own platform: what other platforms would need was never downloaded.
fn platform() -> String {
    let output = std::process::Command::new("rustc").arg("-vV").output().unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    text.lines().find_map(|line| line.strip_prefix("host: ")).unwrap().to_owned()
}

fn metadata() -> Value {
    let output = std::process::Command::new(env!("CARGO"))
        .args([
            "metadata",
            "--format-version",
            "1",
            "--offline",
            "--locked",
            "--filter-platform",
            &platform(),
        ])
        .current_dir(root())
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

/// The lines of a fenced block of ARCHITECTURE.md.
fn block(name: &str) -> Vec<String> {
    let text = read("ARCHITECTURE.md");
    let start = text.find(&format!("```{name}\n")).unwrap() + name.len() + 4;
    let end = start + text[start..].find("```").unwrap();
    text[start..end].lines().map(str::to_owned).collect()
}

/// Own crates with the names of what they depend on, tests' dependencies left out.
fn members(metadata: &Value) -> BTreeMap<String, BTreeSet<String>> {
    let packages = metadata["packages"].as_array().unwrap();
    let own = packages.iter().filter(|p| p["source"].is_null());
    own.map(|p| {
        let dependencies = p["dependencies"].as_array().unwrap().iter();
        let names =
            dependencies.filter(|d| d["kind"].is_null()).map(|d| d["name"].as_str().unwrap().to_owned());
        (p["name"].as_str().unwrap().to_owned(), names.collect())
    })
    .collect()
}

#[test]
fn the_crate_graph_is_the_one_in_architecture_md() {
    let drawn: BTreeMap<String, BTreeSet<String>> = block("crates")
        .iter()
        .map(|line| {
            let (name, uses) = line.split_once(" ->").unwrap();
            let uses =
                uses.split(',').map(str::trim).filter(|u| !u.is_empty()).map(|u| format!("axlestand-{u}"));
            (name.to_owned(), uses.collect())
        })
        .collect();
    let real: BTreeMap<String, BTreeSet<String>> = members(&metadata())
        .into_iter()
        .map(|(name, uses)| (name, uses.into_iter().filter(|u| u.starts_with("axlestand")).collect()))
        .collect();
    assert_eq!(drawn, real);
}

#[test]
fn some_libraries_are_known_to_one_crate_only() {
    let members = members(&metadata());
    for line in block("only") {
        let (library, owner) = line.split_once(": ").unwrap();
        let users: Vec<&String> =
            members.iter().filter(|(_, uses)| uses.contains(library)).map(|(name, _)| name).collect();
        assert_eq!(users, [owner], "{library}");
    }
}

#[test]
fn every_crate_inherits_lints_and_versions() {
    for entry in std::fs::read_dir(root().join("crates")).unwrap() {
        let path = entry.unwrap().path().join("Cargo.toml");
        let manifest = std::fs::read_to_string(&path).unwrap();
        assert!(
            manifest.contains("[lints]\nworkspace = true"),
            "{} does not inherit the lints",
            path.display()
        );
        assert!(manifest.contains("version.workspace = true"), "{} has a version of its own", path.display());
        assert!(manifest.contains("description = \""), "{} says nothing about itself", path.display());
    }
}

#[test]
fn every_licence_is_an_allowed_one() {
    let text = read("deny.toml");
    let start = text.find("allow = [").unwrap();
    let list = &text[start..start + text[start..].find(']').unwrap()];
    let allowed: BTreeSet<&str> = list.split('"').skip(1).step_by(2).collect();
    assert!(allowed.contains("MIT"));
    for package in metadata()["packages"].as_array().unwrap() {
        let name = package["name"].as_str().unwrap();
        let licence = package["license"].as_str().unwrap_or_default();
        // "MIT OR Apache-2.0" is fine with one of the two; "A AND B" needs both.
        let fine = licence.replace('/', " OR ").replace(['(', ')'], "").split(" AND ").all(|all| {
            all.split(" OR ").any(|one| {
                let one = one.trim().split(" WITH ").next().unwrap_or_default();
                allowed.contains(one)
            })
        });
        assert!(fine, "{name} is under '{licence}', which deny.toml does not allow");
    }
}

/// Every source id of the table of rust odds stands in SOURCES.md; the tables of fasteners have a
/// test of their own.
#[test]
fn every_source_id_of_the_rust_odds_is_explained() {
    let sources = read("SOURCES.md");
    let odds = read("data/rust_odds.csv");
    let rows: Vec<&str> = odds.lines().filter(|line| !line.starts_with('#')).skip(1).collect();
    assert!(!rows.is_empty());
    for line in rows {
        let id = line.rsplit(',').next().unwrap();
        assert!(sources.contains(&format!("| {id} |")), "{id} is not in SOURCES.md");
    }
}
