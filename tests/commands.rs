//! What is made from the description of the commands: completions for shells and pages for `man`.
//! Nothing here lists the commands: they are asked of the help.
//!
//! Other shells and the formatters of `man` judge them in `tests/judges/prompt.sh`.

use crate::support::{Ran, program};
use std::fs;
use std::process::Command;

fn says(arguments: &[&str]) -> String {
    Ran::of(Command::new(program()).args(arguments))
        .ends_with(0)
        .out
        .clone()
}

/// The commands as the help lists them.
fn commands() -> Vec<String> {
    let help = says(&["--help"]);
    let listed = help
        .split_once("Commands:\n")
        .unwrap()
        .1
        .split("\n\n")
        .next()
        .unwrap();
    let names = listed
        .lines()
        .filter(|line| line.starts_with("  ") && !line.starts_with("   "))
        .map(|line| line.split_whitespace().next().unwrap());
    let names: Vec<String> = names
        .filter(|name| *name != "help")
        .map(str::to_owned)
        .collect();
    assert!(
        names.len() >= 9 && names.contains(&"publish".to_owned()),
        "{names:?}"
    );
    names
}

/// The long options of a command as its help lists them.
fn options(command: &str) -> Vec<String> {
    let help = says(&[command, "--help"]);
    let words = help
        .lines()
        .filter(|line| line.trim_start().starts_with('-'))
        .flat_map(|line| line.split([' ', ',', '=']));
    words
        .filter(|word| word.starts_with("--") && word.len() > 2)
        .map(str::to_owned)
        .collect()
}

#[test]
fn every_shell_is_told_of_every_command_and_option() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let script = says(&["completions", shell]);
        for command in commands() {
            assert!(
                script.contains(&command),
                "{shell} is not told of {command}"
            );
            for option in options(&command) {
                let told = if shell == "fish" {
                    format!("-l {}", option.trim_start_matches('-'))
                } else {
                    option.clone()
                };
                assert!(
                    script.contains(&told),
                    "{shell} is not told of {command} {option}"
                );
            }
        }
    }
    let refused = Ran::of(Command::new(program()).args(["completions", "dash"]));
    refused.ends_with(2).says(&["bash", "fish", "zsh"]);
}

#[test]
fn bash_completes_with_its_script() {
    let home = tempfile::tempdir().unwrap();
    let script = home.path().join("bash");
    fs::write(&script, says(&["completions", "bash"])).unwrap();
    let words = "COMP_WORDS=(litterfolio des); COMP_CWORD=1";
    let completer = r"$(complete -p litterfolio | sed -E 's/.*-F ([^ ]+).*/\1/')";
    let asked = format!(
        "source {}; {words}; {completer} litterfolio des litterfolio; echo \"${{COMPREPLY[@]}}\"",
        script.display()
    );
    let completed = Command::new("bash")
        .args(["--norc", "-c", &asked])
        .output()
        .unwrap();
    assert_eq!(
        String::from_utf8_lossy(&completed.stdout).trim(),
        "desk",
        "{}",
        String::from_utf8_lossy(&completed.stderr)
    );
}

#[test]
fn the_manual_has_a_page_for_every_command() {
    let home = tempfile::tempdir().unwrap();
    let folder = home.path().join("share/man1");
    let written = says(&["manual", "--into", folder.to_str().unwrap()]);
    assert_eq!(written.lines().count(), commands().len() + 1);
    let main = fs::read_to_string(folder.join("litterfolio.1")).unwrap();
    assert_eq!(main, says(&["manual"]));
    for command in commands() {
        assert!(
            main.contains(&format!("litterfolio\\-{}(1)", command.replace('-', "\\-"))),
            "the page does not lead to {command}"
        );
        let page = fs::read_to_string(folder.join(format!("litterfolio-{command}.1"))).unwrap();
        for option in options(&command) {
            assert!(
                page.contains(&option.replace('-', "\\-")),
                "the page of {command} does not name {option}"
            );
        }
    }
    // A page that was there is replaced; what cannot be written is said.
    says(&["manual", "--into", folder.to_str().unwrap()]);
    assert_eq!(
        fs::read_dir(&folder).unwrap().count(),
        commands().len() + 1,
        "nothing is left beside them"
    );
    fs::write(home.path().join("file"), "").unwrap();
    Ran::of(
        Command::new(program())
            .args(["manual", "--into"])
            .arg(home.path().join("file")),
    )
    .ends_with(2)
    .says(&["cannot make the folder"]);
}
