//! The demo: a whole invented job, through the same commands that a person types.
//!
//! Car, people and values are invented. The script decides only what happens to the mechanic (what
//! is stuck, mixed up, forgotten, read); everything the tool answers is computed.

mod script;
mod story;

use crate::arguments::DemoArgs;
use crate::output::{Failure, Output};
use axlestand_garage::GarageError;
use serde_json::json;
use std::path::{Path, PathBuf};
use story::Story;

/// The invented car.
const CAR: &str = include_str!("../../../../../cars/wagtail.toml");
/// The invented toolbox.
const TOOLBOX: &str = include_str!("../../../../../cars/toolbox.toml");

/// Runs the invented job and tells its story.
pub(super) fn demo(args: &DemoArgs, output: &mut Output<'_>) -> Result<bool, Failure> {
    let folder = make_folder(args.folder.as_ref())?;
    write(&folder.join("wagtail.toml"), CAR)?;
    write(&folder.join("toolbox.toml"), TOOLBOX)?;
    let mut story = Story::new(&folder, output);
    let clear = script::tell(&mut story)?;
    let garage = folder.display();
    if output.is_json() {
        output.json(&json!({ "garage": folder, "road-clear": clear }))?;
    } else {
        output.line("")?;
        output.line("Go on by hand, in the same garage:")?;
        output.line(format!("  export AXLESTAND_GARAGE='{garage}'"))?;
        output.line("  axlestand log; axlestand report; axlestand car show \"$AXLESTAND_GARAGE/wagtail.toml\" axle-nut")?;
        output.line("Your own car: axlestand car new, then axlestand job start car.toml --replace PART")?;
    }
    Ok(clear)
}

/// Makes a garage with the invented job half done, in a folder of its own: apart, one thing stuck, one
/// broken.
pub(super) fn half_done() -> Result<PathBuf, Failure> {
    let folder = make_folder(None)?;
    write(&folder.join("wagtail.toml"), CAR)?;
    write(&folder.join("toolbox.toml"), TOOLBOX)?;
    let mut nobody = std::io::sink();
    let mut output = Output::new(&mut nobody, true, false);
    script::tell_half(&mut Story::new(&folder, &mut output))?;
    Ok(folder)
}

fn make_folder(folder: Option<&PathBuf>) -> Result<PathBuf, GarageError> {
    let Some(folder) = folder else {
        let base = std::env::temp_dir();
        return (0u32..10_000)
            .map(|n| base.join(format!("axlestand-demo-{}-{n}", std::process::id())))
            .find(|path| std::fs::create_dir(path).is_ok())
            .ok_or_else(|| GarageError::Input(format!("no folder can be made in {}", base.display())));
    };
    std::fs::create_dir_all(folder).map_err(|why| GarageError::CannotWrite { path: folder.clone(), why })?;
    if axlestand_garage::Store::path_in(folder).exists() {
        return Err(GarageError::Input(format!(
            "{} holds a garage already: give the demo a folder of its own",
            folder.display()
        )));
    }
    Ok(std::path::absolute(folder).unwrap_or_else(|_| folder.clone()))
}

fn write(path: &Path, text: &str) -> Result<(), GarageError> {
    std::fs::write(path, text).map_err(|why| GarageError::CannotWrite { path: path.to_owned(), why })
}
