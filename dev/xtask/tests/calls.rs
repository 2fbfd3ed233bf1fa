//! The program as it is called: cargo makes it for this, so that lints and docs see all of it.

use std::process::{Command, Output};

fn xtask(args: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_xtask"));
    command.args(args).output().expect("xtask starts")
}

#[test]
fn help_names_what_the_readme_names() {
    let help = xtask(&["help"]);
    assert!(help.status.success());
    let text = String::from_utf8(help.stdout).expect("plain text");
    let readme = include_str!("../../../README.md");
    let named = readme.split("cargo xtask ").skip(1);
    let mut words: Vec<&str> = named
        .filter_map(|rest| {
            rest.split(|c: char| !(c.is_ascii_lowercase() || c == '-'))
                .next()
        })
        .collect();
    words.sort_unstable();
    words.dedup();
    assert!(
        words.contains(&"demo") && words.contains(&"check"),
        "{words:?}"
    );
    for word in words {
        assert!(
            text.contains(&format!("\n  {word} ")),
            "help has no `{word}`"
        );
    }
}

#[test]
fn a_wrong_call_ends_with_2_and_says_where_help_is() {
    let wrong = xtask(&["no-such-command"]);
    assert_eq!(wrong.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&wrong.stderr).contains("cargo xtask help"));
}
