//! A disk that is full: said clearly, nothing half recorded, and it goes on after making room.

use crate::workshop::{Workshop, missing};

#[test]
fn a_file_that_may_not_grow_is_told_and_earlier_entries_stay() {
    let workshop = Workshop::with_job();
    // A limit a little above what is there, in blocks of 512 bytes; the signal that goes with it is
    // ignored, so that writing fails as on a full disk.
    let blocks = std::fs::metadata(workshop.database()).unwrap().len() / 512 + 40;
    let text = "x".repeat(1_500);
    let script = format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$AXLESTAND\" --json note {text}");
    let mut acknowledged = Vec::new();
    let refused = (0..200).find_map(|_| {
        let answer = workshop.shell(&script);
        if answer.code == Some(0) {
            acknowledged.extend(answer.recorded());
            return None;
        }
        Some(answer)
    });
    let error = refused.expect("the limit is reached").expect(2).json();
    let message = error["error"]["message"].as_str().unwrap();
    assert!(message.contains("nothing was recorded") && message.contains("disk"), "{message}");
    assert!(error["error"]["hint"].as_str().unwrap().contains("space"), "{error}");
    let plain = workshop.shell(&script.replace("--json ", "")).expect(2);
    assert!(plain.err.starts_with("error: ") && plain.err.contains("\n  hint: "), "{plain:?}");

    let log = workshop.log();
    assert!(!acknowledged.is_empty() && acknowledged.iter().all(|id| log.contains(id)));
    assert_eq!(log.len(), 2 + acknowledged.len(), "what was refused is not there either");
    assert_eq!(workshop.integrity(), "ok");
    // Room again: the same command works.
    workshop.run(&["note", &text]).expect(0);
}

/// On a file system of its own, 1 MB in all, made in a mount name space that ends with the script.
const SMALL_DISK: &str = r#"
set -u
mkdir -p disk
mount -t tmpfs -o size=1m none disk 2>/dev/null || exit 77
cp car.toml disk/
export AXLESTAND_GARAGE=disk/garage
"$AXLESTAND" job start disk/car.toml --replace link --name small >/dev/null || exit 1
"$AXLESTAND" note "before" >/dev/null || exit 1
head -c 4000000 /dev/zero > disk/filler 2>/dev/null
"$AXLESTAND" note "while it is full"; echo "code $?"
"$AXLESTAND" job start disk/car.toml --replace wheel --name second; echo "code $?"
"$AXLESTAND" car set link-nut-upper torque "44 N·m" --source "sheet 9"; echo "code $?"
"$AXLESTAND" open; echo "code $?"
"$AXLESTAND" next | head -n 1
cmp car.toml disk/car.toml && echo "the vehicle file is as it was"
ls disk
rm disk/filler
"$AXLESTAND" note "room again"; echo "code $?"
"$AXLESTAND" job list
"$AXLESTAND" log
"#;

#[test]
fn a_full_file_system_is_told_and_after_making_room_it_goes_on() {
    let workshop = Workshop::empty();
    std::fs::write(workshop.path().join("small.sh"), SMALL_DISK).unwrap();
    let answer = workshop.shell("unshare --mount sh small.sh");
    // Without the rights of root: in a user name space of its own.
    let answer =
        if answer.code == Some(0) { answer } else { workshop.shell("unshare -r --mount sh small.sh") };
    if answer.code != Some(0) && !answer.out.contains("code ") {
        return missing("the right to mount a small file system");
    }
    let codes: Vec<&str> = answer.out.lines().filter_map(|line| line.strip_prefix("code ")).collect();
    assert_eq!(codes, ["2", "2", "2", "0", "0"], "{answer:?}");
    assert!(answer.out.contains("Nothing is open.") && answer.out.contains("small · Strip"), "{answer:?}");
    assert_eq!(answer.err.matches("nothing was recorded").count(), 2, "{answer:?}");
    assert_eq!(answer.err.matches("hint: ").count(), 3, "{answer:?}");
    assert!(answer.out.contains("the vehicle file is as it was"), "{answer:?}");
    assert!(!answer.out.contains("car.toml.new"), "half a file was left: {answer:?}");
    assert!(answer.out.contains("* small\n") && !answer.out.contains("second"), "{answer:?}");
    let log = |what: &str| answer.out.matches(what).count();
    assert_eq!([log("note: before"), log("note: while it is full"), log("note: room again")], [1, 0, 1]);
}
