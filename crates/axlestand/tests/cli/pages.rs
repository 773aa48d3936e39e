//! Help, completions and the man page.

use crate::workshop::Workshop;

#[test]
fn the_help_of_the_whole() {
    let help = Workshop::empty().run(&["--help"]).expect(0).out;
    insta::assert_snapshot!(help);
    let version = Workshop::empty().run(&["--version"]).expect(0).out;
    assert_eq!(version, format!("axlestand {}\n", env!("CARGO_PKG_VERSION")));
}

#[test]
fn completions_for_the_usual_shells_name_every_command() {
    let workshop = Workshop::empty();
    for (shell, sign) in [
        ("bash", "_axlestand()"),
        ("zsh", "#compdef axlestand"),
        ("fish", "complete -c axlestand"),
        ("elvish", "edit:completion"),
        ("powershell", "Register-ArgumentCompleter"),
    ] {
        let text = workshop.run(&["completions", shell]).expect(0).out;
        assert!(text.contains(sign), "{shell}");
        for word in ["prepare", "undo-entry", "completions", "json", "replace"] {
            assert!(text.contains(word), "{shell} lacks {word}");
        }
    }
    let bash = workshop.shell("\"$AXLESTAND\" completions bash > completions.bash && sh -n completions.bash 2>&1 || bash -n completions.bash");
    assert_eq!(bash.code, Some(0), "{bash:?}");
}

#[test]
fn the_man_page_holds_every_command() {
    let page = Workshop::empty().run(&["man"]).expect(0).out;
    assert!(page.contains(".TH axlestand 1"), "{}", &page[..200]);
    for word in ["undo\\-entry", "prepare", "\\-\\-replace", "AXLESTAND_GARAGE", "Exit code"] {
        assert!(page.contains(word), "{word}");
    }
}

#[test]
fn every_command_has_its_help() {
    let workshop = Workshop::empty();
    let help = workshop.run(&["help"]).expect(0).out;
    for line in help.lines().filter(|line| line.starts_with("  ") && !line.starts_with("   ")) {
        let Some(name) =
            line.split_whitespace().next().filter(|word| !word.starts_with('-') && *word != "help")
        else {
            continue;
        };
        let own = workshop.run(&[name, "--help"]).expect(0);
        assert!(own.out.contains("Usage: axlestand"), "{name}: {own:?}");
    }
}
