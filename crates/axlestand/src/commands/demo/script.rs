//! What happens to the mechanic of the demo.

use super::story::Story;
use crate::output::Failure;

/// What the mechanic does with a row.
enum Turn {
    /// Does it.
    Do,
    /// Does it with these options.
    With(&'static [&'static str]),
    /// Forgets it.
    Forget,
}

/// Tells the weekend; gives whether the road check is clear in the end.
pub(super) fn tell(story: &mut Story<'_, '_>) -> Result<bool, Failure> {
    prepare(story)?;
    on_wheels(story)?;
    strip(story)?;
    refit(story)?;
    finals(story)?;
    prove(story)
}

/// The first half of it: the car is apart, and the first new parts are on.
pub(super) fn tell_half(story: &mut Story<'_, '_>) -> Result<(), Failure> {
    prepare(story)?;
    on_wheels(story)?;
    strip(story)?;
    story.clock_at(4, 9);
    work(story, "fit:arm-front-bolt.left", &|_| Turn::Do)
}

fn prepare(story: &mut Story<'_, '_>) -> Result<(), Failure> {
    story.tell("An invented estate car failed its yearly inspection: a ball joint with play, a snapped spring, a torn joint boot, rusted-through bar links. It is needed on Monday morning. (Car and values are invented; none may be used on a real car.)")?;
    let car = story.file("wagtail.toml");
    let toolbox = story.file("toolbox.toml");
    story.show(&["car", "check", &car], 2)?;
    let start = [
        "job",
        "start",
        &car,
        "--rust",
        "3",
        "--toolbox",
        &toolbox,
        "--replace",
        "control-arm",
        "tie-rod-end",
        "arb-link",
        "strut",
        "drive-axle",
        "wheel-bearing.left",
    ];
    story.show(&start, 2)?;
    story.tell("Wednesday: what to have ready.")?;
    story.show(&["prepare"], 5)?;
    story.tell(
        "The hydraulic puller would have to be hired: so the axles are to come out in the usual manner.",
    )?;
    story.show(&["choose", "axle-spline.left", "usual"], 2)?;
    story.run(&["choose", "axle-spline.right", "usual"])?;
    Ok(())
}

fn on_wheels(story: &mut Story<'_, '_>) -> Result<(), Failure> {
    story
        .tell("Saturday, eight o'clock: read first what is lost once it is loosened, then raise the car.")?;
    story.clock_at(3, 8);
    work(story, "do:raise", &|_| Turn::Do)?;
    story.show(&["next", "-n", "1"], 3)?;
    Ok(())
}

fn strip(story: &mut Story<'_, '_>) -> Result<(), Failure> {
    work(story, "undo:sensor-bore.left", &|_| Turn::Do)?;
    story.tell("The wheel speed sensor has rusted in.")?;
    story.show(&["stuck", "sensor-bore.left"], 2)?;
    story.show(&["done", "undo:sensor-bore.left", "--note", "came out in two pieces"], 2)?;
    story.show(&["broken", "wheel-sensor.left"], 2)?;
    work(story, "undo:pinch-bolt.right", &|_| Turn::Do)?;
    story.tell("The right pinch bolt does not move either: another way is gone, and the plan follows.")?;
    story.run(&["stuck", "pinch-bolt.right"])?;
    story.show(&["done", "drill-pinch-bolt.right"], 2)?;
    work(story, "on:", &|_| Turn::Do)?;
    story.tell("Saturday night: what is open, the most dangerous first.")?;
    story.show(&["open"], 2)?;
    Ok(())
}

fn refit(story: &mut Story<'_, '_>) -> Result<(), Failure> {
    story.tell("Sunday: a bolt from the wrong bag, and one that would be final too early.")?;
    story.clock_at(4, 9);
    work(story, "fit:arm-front-bolt.left", &|_| Turn::Do)?;
    let long = ["done", "fit:arm-front-bolt.left", "--length", "104 mm"];
    story.show(&long, 3)?;
    story.show(&["done", "fit:arm-front-bolt.left", "--length", "82 mm"], 2)?;
    story.show(&["done", "final:arm-front-bolt.left"], 3)?;
    work(story, "do:look-over-corner.left", &|action| match action {
        "fit:tie-rod-nut.left" => Turn::With(&["--seated"]),
        "lock:tie-rod-nut.left" => Turn::Forget,
        _ => Turn::Do,
    })?;
    story.tell("The left castle nut was only run down by hand, 'torque it later'. Nothing hides it:")?;
    story.show(&["done", "on:wheel.left"], 3)?;
    story.show(&["check", "lowering"], 2)?;
    story.show(&["done", "fit:tie-rod-nut.left", "--wrench", "click, 3/8"], 2)?;
    story.show(&["done", "lock:tie-rod-nut.left"], 2)?;
    work(story, "do:lower", &|_| Turn::Do)?;
    story.show(&["check", "lowering"], 1)?;
    story.show(&["done", "lower"], 1)?;
    Ok(())
}

fn finals(story: &mut Story<'_, '_>) -> Result<(), Failure> {
    story.tell(
        "On its wheels: nothing rolls before wheels and axles are final; the bushings wait for ride height.",
    )?;
    story.show(&["next", "-n", "1"], 4)?;
    work(story, "again:", &|_| Turn::Do)?;
    Ok(())
}

fn prove(story: &mut Story<'_, '_>) -> Result<bool, Failure> {
    story.tell("Toe by strings: the first reading at the end is out of its tolerance.")?;
    story.show(&["read", "toe-front", "0.42 ± 0.06 °"], 1)?;
    work(story, "", &|_| Turn::Do)?;
    story.show(&["check", "road"], 2)?;
    story.show(&["read", "toe-front", "0.12 ± 0.06 °"], 1)?;
    let road = story.show(&["check", "road"], 3)?;
    story.tell("Prove.")?;
    story.show(&["report"], 3)?;
    Ok(road.yes)
}

/// Does the pending rows in the order of the plan up to (not including) the first whose action
/// begins with `until`; readings get values. `turn` says what becomes of each row.
fn work(story: &mut Story<'_, '_>, until: &str, turn: &dyn Fn(&str) -> Turn) -> Result<(), Failure> {
    let mut batch: Vec<String> = Vec::new();
    for (number, action) in story.rows_to_do()? {
        if !until.is_empty() && action.starts_with(until) {
            break;
        }
        let number = number.to_string();
        if let Some((verb, item)) = action.split_once(':')
            && matches!(verb, "read" | "again")
        {
            record(story, &mut batch)?;
            let value = reading(verb, item);
            story.run(&["read", item, value])?;
            continue;
        }
        match turn(&action) {
            Turn::Do => batch.push(number),
            Turn::Forget => {}
            Turn::With(options) => {
                record(story, &mut batch)?;
                let mut line = vec!["done", &number];
                line.extend(options);
                story.run(&line)?;
            }
        }
    }
    record(story, &mut batch)
}

/// Records rows in one command.
fn record(story: &mut Story<'_, '_>, batch: &mut Vec<String>) -> Result<(), Failure> {
    if batch.is_empty() {
        return Ok(());
    }
    let mut line = vec!["done"];
    line.extend(batch.iter().map(String::as_str));
    let answer = story.run(&line)?;
    if !answer.yes {
        return Err(Failure::Usage(format!("the demo's script no longer fits its car: {}", answer.text)));
    }
    batch.clear();
    Ok(())
}

/// What tape, string and gauge show in the invented garage.
fn reading(verb: &str, item: &str) -> &'static str {
    match (verb, item.split('.').next().unwrap_or(item)) {
        ("read", "height-front") => "357 ± 1.5 mm",
        ("read", "height-rear") => "368 ± 1.5 mm",
        ("read", "toe-front") => "0.31 ± 0.08 °",
        ("read", "camber-front") => "-0.9 ± 0.2 °",
        ("read", "tie-rod-threads") => "21.4 ± 0.3 mm",
        ("read", "tie-rod-length") => "53.0 ± 0.5 mm",
        (_, "height-front") => "366 ± 1.5 mm",
        (_, "height-rear") => "369 ± 1.5 mm",
        (_, "toe-front") => "0.12 ± 0.06 °",
        (_, "camber-front") => "-0.6 ± 0.2 °",
        _ => "10 ± 1 mm",
    }
}
