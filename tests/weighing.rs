//! `weigh` from the outside: weights given, tables, the dialogue through a pseudo-terminal, many at
//! once, killed at any moment. What was there stays, and what was confirmed is there.

use crate::support::{Kennel, Ran, lock, program};
use litterfolio::records::WeighIn;
use litterfolio::records::adding::weigh_ins;
use std::collections::BTreeMap;
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const FILE: &str = "litters/autumn-2026/weights.yaml";
const BEFORE: &str = "# The blue basin, tared.\n- at: 2026-10-06 07:30\n  fern: 209 g   # \
                      sleepy\n  reed: 7 3/4 oz\n  sage: 198 g\n  moss: 240 g\n- at: 2026-10-06 \
                      19:30\n  fern: 215 g\n  reed: 226 g\n  sage: 204 g\n  moss: 249 g";

/// Four puppies of three days, one of them called by another name, and one that died.
fn kennel() -> Kennel {
    let kennel = Kennel::empty();
    let head = "name: Hollowby\nbreed: Scottish Terrier\ncontact: { keeper: K, email: \
                k@hollowby.example, emergency_vet: { clinic: Fellgate Vets, phone: \"+44 1632 \
                960456\" } }\ncountry: GB\ntime_zone: Europe/London\nas_of: 2026-10-07\n";
    kennel.write("kennel.yaml", head);
    kennel.write("dogs/juno.yaml", "name: Juno\nsex: female\n");
    kennel.write("dogs/corvin.yaml", "name: Corvin\nsex: male\n");
    let puppies = [
        ("fern", "green", 212),
        ("reed", "blue", 220),
        ("sage", "red", 200),
        ("moss", "yellow", 244),
    ];
    let puppies: String = puppies
        .iter()
        .map(|(id, ribbon, grams)| {
            format!(
                "  - {{ id: {id}, ribbon: {ribbon}, sex: male, born: \"09:14\", weight: {grams} g \
                 }}\n"
            )
        })
        .collect();
    let litter = format!(
        "name: Autumn 2026\ndam: juno\nsire: corvin\nbirth: {{ on: 2026-10-05, how: natural \
         }}\npuppies:\n{puppies}  - {{ id: ash, sex: male, fate: died, on: 2026-10-05 }}\n"
    );
    kennel.write(
        "litters/autumn-2026/litter.yaml",
        &litter.replace("id: reed,", "id: reed, name: Reedmace,"),
    );
    kennel.write(FILE, BEFORE);
    kennel
}

fn read(kennel: &Kennel) -> Vec<WeighIn> {
    weigh_ins(FILE, &kennel.text(FILE)).unwrap().into_inner()
}

/// All weights of one time in grams, to a hundredth.
fn at(kennel: &Kennel, time: &str) -> BTreeMap<String, String> {
    let of = read(kennel)
        .into_iter()
        .filter(|weigh_in| weigh_in.at.to_string() == time);
    of.flat_map(|weigh_in| weigh_in.weights)
        .map(|(id, weight)| (id.to_string(), format!("{:.2}", weight.grams())))
        .collect()
}

#[test]
fn weights_given_as_arguments_stand_at_the_end_of_the_file() {
    let kennel = kennel();
    let ran = kennel.run(&[
        "weigh",
        "autumn",
        "fern=221",
        "Reedmace=8.1oz",
        "red=7 1/2 oz",
        "moss=0,255kg",
        "--at",
        "2026-10-07 07:30",
        "--by",
        "N.",
        "--remark",
        "wet: cold",
    ]);
    ran.ends_with(0);
    assert_eq!(
        kennel.text(FILE),
        format!(
            "{BEFORE}\n- at: 2026-10-07 07:30\n  by: N.\n  fern: 221 g\n  reed: 8.1 oz\n  sage: 7 \
             1/2 oz\n  moss: 0.255 kg\n  remark: \"wet: cold\"\n"
        )
    );
    assert!(
        told(&ran).contains("+6 g (+2.8 %) in 12 h") && told(&ran).contains("4 weights saved in"),
        "{}",
        ran.out
    );
    kennel.run(&["inspect"]).ends_with(0);
    // Once more, it is there already; with another weight for the same time, it is a problem.
    let again = kennel.run(&["weigh", "autumn", "fern=221 g", "--at", "2026-10-07 07:30"]);
    assert!(
        told(again.ends_with(0)).contains("nothing new; 1 weight was already there"),
        "{}",
        again.out
    );
    let before = kennel.text(FILE);
    kennel
        .run(&["weigh", "autumn", "fern=222 g", "--at", "2026-10-07 07:30"])
        .ends_with(1)
        .says(&["another weight", "nothing was saved"]);
    assert_eq!(kennel.text(FILE), before);
}

#[test]
fn a_bare_number_is_in_the_unit_of_the_file_or_else_of_the_kennel() {
    let kennel = kennel();
    kennel.change("kennel.yaml", "country: GB", "units: oz\ncountry: GB");
    kennel
        .run(&["weigh", "autumn", "fern=7.9", "--at", "2026-10-07 07:30"])
        .ends_with(0);
    assert!(kennel.text(FILE).ends_with("  fern: 7.9 oz\n"));
    kennel.write(FILE, &format!("- unit: g\n{BEFORE}"));
    kennel
        .run(&["weigh", "autumn", "fern=221", "--at", "2026-10-07 07:30"])
        .ends_with(0);
    assert!(kennel.text(FILE).ends_with("  fern: 221 g\n"));
}

#[test]
fn every_fault_is_told_at_once_and_nothing_is_half_taken_in() {
    let kennel = kennel();
    let ran = kennel.run(&[
        "weigh",
        "autumn",
        "fern=221",
        "fren=221",
        "green=222",
        "ash=200",
        "sage",
        "moss=much",
        "--at",
        "2026-10-07 07:30",
    ]);
    ran.ends_with(1).says(&[
        "did you mean `fern`?",
        "weight-twice",
        "`ash` died on 2026-10-05",
        "`sage` says no weight",
        "not-a-weight",
        "5 problems; nothing was saved",
    ]);
    assert_eq!(kennel.text(FILE), BEFORE);
    for (arguments, word) in [
        (
            vec!["weigh", "autum", "fern=221", "--at", "2026-10-08 07:30"],
            "still to come",
        ),
        (
            vec!["weigh", "autumn", "fern=221", "--at", "2026-10-05 09:13"],
            "before `fern` was born",
        ),
        (
            vec!["weigh", "autumn", "fern=221", "--at", "7 o'clock"],
            "--at: ",
        ),
        (
            vec!["weigh", "spring", "fern=221"],
            "there is no litter `spring`; there are: autumn-2026",
        ),
        (
            vec!["weigh", "autumn", "fern=221", "--by", "\u{202e}x"],
            "cannot be seen",
        ),
    ] {
        let ran = kennel.run(&arguments);
        assert_ne!(ran.code, Some(0));
        ran.says(&[word]);
    }
    assert_eq!(kennel.text(FILE), BEFORE);
}

#[test]
fn a_weight_that_looks_like_a_slip_is_saved_and_warned_about_or_with_strict_not_saved() {
    let kennel = kennel();
    let arguments = [
        "weigh",
        "autumn",
        "fern=2210",
        "reed=236",
        "sage=214",
        "moss=259",
        "--at",
        "2026-10-07 07:30",
    ];
    let strict = [&arguments[..], &["--strict"]].concat();
    kennel.run(&strict).ends_with(1).says(&[
        "a digit too many",
        "nothing was saved",
        "leave --strict out",
    ]);
    assert_eq!(kennel.text(FILE), BEFORE);
    kennel
        .run(&arguments)
        .ends_with(0)
        .says(&["warning[weight-doubtful]", "a digit too many"]);
    assert_eq!(at(&kennel, "2026-10-07 07:30")["fern"], "2210.00");
    // Half of what it was, and no slip explains it: better weighed again.
    let ran = kennel.run(&["weigh", "autumn", "sage=150", "--at", "2026-10-07 19:30"]);
    ran.ends_with(0).says(&["% less than 12 h before"]);
    assert!(
        told(&ran).contains("call the vet: has lost")
            && told(&ran).contains("emergency vet: Fellgate Vets, +44 1632 960456")
            && told(&ran).contains("The program computes, the vet"),
        "{}",
        ran.out
    );
}

#[test]
fn records_that_are_broken_elsewhere_do_not_stop_a_weigh_in_and_those_of_the_litter_do() {
    let kennel = kennel();
    kennel.write("owners.yaml", "familes: []\n");
    kennel
        .run(&["weigh", "autumn", "fern=221", "--at", "2026-10-07 07:30"])
        .ends_with(0)
        .says(&["other records have 1 problem"]);
    kennel.write(FILE, "- at: 2026-10-06 07:30\n  fern: 209\n");
    kennel
        .run(&["weigh", "autumn", "fern=221", "--at", "2026-10-07 07:30"])
        .ends_with(1)
        .says(&["unit-missing", "nothing was weighed"]);
    kennel.write(FILE, "[]\n");
    kennel
        .run(&["weigh", "autumn", "fern=221", "--at", "2026-10-07 07:30"])
        .ends_with(1)
        .says(&["list-in-brackets", "nothing was added"]);
    assert_eq!(kennel.text(FILE), "[]\n");
    fs::remove_file(kennel.content().join(FILE)).unwrap();
    kennel
        .run(&["weigh", "autumn", "fern=221", "--at", "2026-10-07 07:30"])
        .ends_with(0);
    assert_eq!(kennel.text(FILE), "- at: 2026-10-07 07:30\n  fern: 221 g\n");
    kennel.change(
        "litters/autumn-2026/litter.yaml",
        "how: natural",
        "how: natura",
    );
    kennel
        .run(&["weigh", "autumn", "fern=225", "--at", "2026-10-07 08:30"])
        .ends_with(1)
        .says(&["word-unknown"]);
}

/// What was said on standard output, whatever the width of the terminal.
fn told(ran: &Ran) -> String {
    ran.out.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A table through standard input.
fn piped(kennel: &Kennel, arguments: &[&str], input: &[u8]) -> Ran {
    let mut child = Command::new(program())
        .arg("--kennel")
        .arg(kennel.path())
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // The program may end before it has read all.
    let _ = child.stdin.take().unwrap().write_all(input);
    let output = child.wait_with_output().unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    let ran = Ran {
        code: output.status.code(),
        out: text(output.stdout),
        err: text(output.stderr),
    };
    assert!(!ran.err.contains("panicked"), "{ran:#?}");
    ran
}

#[test]
fn a_table_is_taken_in_whole_and_what_is_there_is_passed_over() {
    let kennel = kennel();
    // As a spreadsheet with decimal commas writes it.
    let table = "\u{feff}Date;Time;fern \
                 (g);Blue;sage;moss;By;Remark\r\n06.10.2026;19:30;215;226;204;249;;\r\n07.10.2026;\
                 07:30;221,5;8 1/4 oz;210;;N.;moss asleep\r\n07.10.2026;19:30;227;;;262;;\r\n";
    fs::write(kennel.at("sheet.csv"), table).unwrap();
    let path = kennel.at("sheet.csv");
    let ran = kennel.run(&["weigh", "autumn", "--from", path.to_str().unwrap()]);
    assert!(
        told(ran.ends_with(0)).contains("2 weigh-ins with 5 weights saved in")
            && told(&ran).contains("4 weights were already there"),
        "{}",
        ran.out
    );
    let expected = "\n- at: 2026-10-07 07:30\n  by: N.\n  fern: 221.5 g\n  reed: 8 1/4 oz\n  \
                    sage: 210 g\n  remark: moss asleep\n- at: 2026-10-07 19:30\n  fern: 227 g\n  \
                    moss: 262 g\n";
    assert_eq!(kennel.text(FILE), format!("{BEFORE}{expected}"));
    let again = piped(
        &kennel,
        &["weigh", "autumn", "--from", "-"],
        table.as_bytes(),
    );
    assert!(
        told(again.ends_with(0)).contains("nothing new; 9 weights were already there"),
        "{}",
        again.out
    );
    // One wrong cell, and nothing of the rest is taken in.
    let before = kennel.text(FILE);
    let wrong = "at,fern,reed,sage\n2026-10-07 20:30,228,240,216\n2026-10-07 \
                 07:30,230,,\n2026-10-07 21:30,228,24o,216\n2026-10-07 20:30,229,,\n";
    let ran = piped(
        &kennel,
        &["weigh", "autumn", "--from", "-"],
        wrong.as_bytes(),
    );
    ran.ends_with(1).says(&[
        "row 4, column C",
        "standard input:4:",
        "1 problem; nothing was saved",
    ]);
    let doubles = piped(
        &kennel,
        &["weigh", "autumn", "--from", "-"],
        wrong.replace("24o", "240").as_bytes(),
    );
    doubles.ends_with(1).says(&[
        "row 3, column B: `fern` has another weight",
        "is in the records",
        "row 5, column B",
        "stands above",
    ]);
    assert_eq!(kennel.text(FILE), before);
    kennel
        .run(&["weigh", "autumn", "--from", "no-such.csv"])
        .ends_with(2)
        .says(&["no-such.csv"]);
    kennel
        .run(&["weigh", "autumn", "fern=2", "--from", "-"])
        .ends_with(2);
}

#[test]
fn many_at_once_lose_no_weight() {
    let kennel = kennel();
    let mut children = Vec::new();
    for n in 0..24 {
        let weight = format!("fern={}.{} g", 215 + n / 10, n % 10);
        let time = format!("2026-10-06 20:{n:02}");
        let mut command = Command::new(program());
        command
            .arg("--kennel")
            .arg(kennel.path())
            .args(["weigh", "autumn", &weight, "--at", &time])
            .stdout(Stdio::null())
            .stderr(Stdio::null());
        children.push(command.spawn().unwrap());
    }
    // Half of the dialogues are piped in between.
    let dialogues: Vec<_> = (0..6)
        .map(|n| {
            let (kennel, time) = (kennel.path().to_owned(), format!("2026-10-06 21:{n:02}"));
            std::thread::spawn(move || {
                let mut child = Command::new(program())
                    .arg("--kennel")
                    .arg(kennel)
                    .args(["weigh", "autumn", "--at", &time])
                    .stdin(Stdio::piped())
                    .stdout(Stdio::piped())
                    .spawn()
                    .unwrap();
                child
                    .stdin
                    .take()
                    .unwrap()
                    .write_all(format!("216.{n}\n227.{n}\n205.{n}\n250.{n}\n").as_bytes())
                    .unwrap();
                let output = child.wait_with_output().unwrap();
                assert!(
                    output.status.success(),
                    "{}",
                    String::from_utf8_lossy(&output.stdout)
                );
            })
        })
        .collect();
    for child in &mut children {
        assert!(child.wait().unwrap().success());
    }
    dialogues
        .into_iter()
        .for_each(|dialogue| dialogue.join().unwrap());
    assert!(kennel.text(FILE).starts_with(BEFORE));
    for n in 0..24 {
        assert_eq!(
            at(&kennel, &format!("2026-10-06 20:{n:02}"))["fern"],
            format!("{}.{}0", 215 + n / 10, n % 10)
        );
    }
    for n in 0..6 {
        let weights = at(&kennel, &format!("2026-10-06 21:{n:02}"));
        let expected = [
            ("fern", "216"),
            ("moss", "250"),
            ("reed", "227"),
            ("sage", "205"),
        ]
        .map(|(id, grams)| (id.to_owned(), format!("{grams}.{n}0")));
        assert_eq!(weights, BTreeMap::from(expected));
    }
    kennel.run(&["inspect"]).ends_with(0);
}

#[test]
fn killed_two_hundred_times_every_confirmed_weight_is_there() {
    const ROUNDS: u32 = 200;
    let kennel = kennel();
    let spawn = |round: u32| {
        let time = format!("2026-10-{:02} {:02}:{:02}", 6, 20 + round / 60, round % 60);
        let mut command = Command::new(program());
        command
            .arg("--kennel")
            .arg(kennel.path())
            .args(["weigh", "autumn", "--at", &time]);
        command
            .env("NO_COLOR", "1")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap()
    };
    // Every weight of every round is a number of its own, so that its words can be looked for.
    let grams = |round: u32, puppy: u32| {
        format!(
            "{}.{:04}",
            [215, 226, 204, 249][puppy as usize],
            round * 10 + puppy
        )
    };
    let lines = |round: u32| {
        (0..4)
            .map(|puppy| grams(round, puppy) + "\n")
            .collect::<String>()
    };
    let begun = Instant::now();
    let mut first = spawn(0);
    first
        .stdin
        .take()
        .unwrap()
        .write_all(lines(0).as_bytes())
        .unwrap();
    assert!(first.wait_with_output().unwrap().status.success());
    let whole = begun.elapsed();

    let (mut between, mut confirmed) = (0, 0);
    for round in 1..=ROUNDS {
        let mut child = spawn(round);
        let mut input = child.stdin.take().unwrap();
        let _ = input.write_all(lines(round).as_bytes());
        // After none, one, two, three or all four weights were confirmed, and a moment that moves
        // on through what comes next: spread over the run on a quick and on a slow machine.
        let mut output = BufReader::new(child.stdout.take().unwrap());
        let mut said = String::new();
        while said.matches("saved ").count() < round as usize % 5
            && output.read_line(&mut said).unwrap() > 0
        {}
        let part = if round % 5 == 0 { 0.8 } else { 0.1 };
        std::thread::sleep(whole.mul_f64(f64::from(round) * 0.377 % 1.0 * part));
        let _ = child.kill();
        output.read_to_string(&mut said).unwrap();
        child.wait().unwrap();
        let text = kennel.text(FILE);
        assert!(text.starts_with(BEFORE), "round {round}");
        weigh_ins(FILE, &text).unwrap_or_else(|problems| panic!("round {round}: {problems:?}"));
        let told: Vec<u32> = (0..4)
            .filter(|puppy| said.contains(&format!("saved {} g:", grams(round, *puppy))))
            .collect();
        for puppy in &told {
            assert!(
                text.contains(&format!(": {} g\n", grams(round, *puppy))),
                "round {round}: a confirmed weight is not there\n{said}"
            );
        }
        between += u32::from((1..4).contains(&told.len()));
        confirmed += told.len();
    }
    assert!(
        between >= 5 && confirmed >= 100,
        "{between} were killed between two puppies, {confirmed} weights were confirmed: the \
         moments were not spread"
    );
    kennel
        .run(&["weigh", "autumn", "fern=221", "--at", "2026-10-07 07:30"])
        .ends_with(0);
    let names: Vec<String> = fs::read_dir(kennel.content().join("litters/autumn-2026"))
        .unwrap()
        .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    assert!(names.iter().all(|name| !name.starts_with('.')), "{names:?}");
    println!(
        "{between} of {ROUNDS} killed between two puppies, {confirmed} weights confirmed, {:?}",
        begun.elapsed()
    );
}

#[test]
fn a_dialogue_through_a_pipe_says_what_is_missing() {
    let kennel = kennel();
    // The last line is not ended: whether all of it was typed cannot be known.
    let ran = piped(
        &kennel,
        &["weigh", "autumn", "--at", "2026-10-07 07:30"],
        b"221\n23",
    );
    assert!(
        told(ran.ends_with(0)).contains("`23` was not ended")
            && told(&ran).contains("not weighed: Reedmace, Sage, Moss"),
        "{}",
        ran.out
    );
    assert!(
        told(&ran).contains("1 of 4 weighed")
            && told(&ran).contains("weigh autumn-2026 --at \"2026-10-07 07:30\""),
        "{}",
        ran.out
    );
    assert!(!ran.out.contains('\u{1b}'), "colours are for terminals");
    // It goes on where it ended.
    let ran = piped(
        &kennel,
        &["weigh", "autumn", "--at", "2026-10-07 07:30"],
        b"232\ns\n256\n",
    );
    assert!(
        told(ran.ends_with(0)).contains("in the records already: Fern")
            && told(&ran).contains("not weighed: Sage"),
        "{}",
        ran.out
    );
    assert_eq!(
        at(&kennel, "2026-10-07 07:30")
            .into_keys()
            .collect::<Vec<_>>(),
        ["fern", "moss", "reed"]
    );
    for line in ran.out.lines() {
        // The place of a kennel is as long as it is.
        let is_place =
            line.contains("--kennel") || line.contains(&*kennel.path().to_string_lossy());
        assert!(line.chars().count() <= 80 || is_place, "{line}");
    }
}

#[cfg(unix)]
mod terminal {
    use super::*;
    use rexpect::session::{PtySession, spawn_command};

    fn dialogue(kennel: &Kennel, colours: bool) -> PtySession {
        let mut command = Command::new(program());
        command.arg("--kennel").arg(kennel.path()).args([
            "weigh",
            "autumn",
            "--at",
            "2026-10-07 07:30",
            "--by",
            "N.",
        ]);
        command.env("TERM", "xterm-256color");
        if colours {
            command.env_remove("NO_COLOR")
        } else {
            command.env("NO_COLOR", "1")
        };
        spawn_command(command, Some(20_000)).unwrap()
    }

    /// Waits for each text, and answers it.
    fn talk(session: &mut PtySession, turns: &[(&str, &str)]) -> String {
        let mut heard = String::new();
        for (until, answer) in turns {
            let before = session
                .exp_string(until)
                .unwrap_or_else(|error| panic!("{until:?} did not come: {error}\n{heard}"));
            heard.push_str(&before);
            heard.push_str(until);
            if !answer.is_empty() {
                session.send_line(answer).unwrap();
                // The pseudo-terminal does not echo; on a keeper's screen Enter begins a new line.
                heard.push('\n');
            }
        }
        heard
    }

    #[test]
    fn slips_are_asked_about_before_they_are_saved_and_back_skip_and_remark_do_what_they_say() {
        let kennel = kennel();
        let mut session = dialogue(&kennel, false);
        let turns = [
            ("s skip, b back, r remark, e end", ""),
            ("green   Fern      215 g 12 h ago: ", "2210"),
            ("digit too many", ""),
            ("y keeps 2210 g, or type Fern", "nonsense"),
            ("Fern      215 g 12 h ago: ", "221"),
            ("saved 221 g: +6 g (+2.8 %) in 12 h, +4 % since birth", ""),
            // Reed's and Sage's weights are exchanged; when the second is typed, that shows.
            ("Reedmace  226 g 12 h ago: ", "b"),
            (
                "Fern      215 g 12 h ago, now 221 g (Enter keeps it, 0 takes it out): ",
                "222g",
            ),
            ("saved 222 g", ""),
            ("Reedmace  226 g 12 h ago: ", "r fed at once"),
            ("saved", ""),
            ("Reedmace  226 g 12 h ago: ", "8 1/4 oz"),
            ("saved 8 1/4 oz: +8 g", ""),
            ("Sage      204 g 12 h ago: ", "s"),
            ("Moss      249 g 12 h ago: ", "208"),
            ("16 % less than 12 h before", ""),
            ("near the last weight of", ""),
            ("Sage (204 g): is it Sage?", ""),
            ("y keeps 208 g", "255"),
            ("saved 255 g", ""),
            ("Weigh-in of 2026-10-07 07:30: 3 of 4 weighed", ""),
            ("not weighed: Sage", ""),
            // She nurses, and her own weight is due.
            ("Juno, the dam (Enter passes her over): ", ""),
        ];
        talk(&mut session, &turns);
        session.send_line("").unwrap();
        session.exp_eof().unwrap();
        let block = "\n- at: 2026-10-07 07:30\n  by: N.\n  fern: 222 g\n  reed: 8 1/4 oz\n  moss: \
                     255 g\n  remark: \"Reedmace: fed at once\"\n";
        assert_eq!(kennel.text(FILE), format!("{BEFORE}{block}"));
        kennel.run(&["inspect"]).ends_with(0);
    }

    #[test]
    fn two_weights_that_were_exchanged_can_be_exchanged_again() {
        let kennel = kennel();
        let more: String = (1..=6)
            .map(|n| {
                format!(
                    "\n- at: 2026-10-06 {:02}:00\n  fern: {} g\n  moss: {} g",
                    19 - n * 2,
                    215 - n,
                    249 - n
                )
            })
            .collect();
        kennel.write(FILE, &format!("{BEFORE}{more}"));
        let mut session = dialogue(&kennel, false);
        talk(
            &mut session,
            &[
                ("Fern", "255"),
                ("Reedmace", "231"),
                ("Sage", "209"),
                ("Moss", "220"),
            ],
        );
        talk(
            &mut session,
            &[
                ("exchanged", ""),
                ("x exchanges the two", "x"),
                ("saved Moss 255 g", ""),
                ("saved Fern 220 g", ""),
                ("4 of 4 weighed", ""),
            ],
        );
        talk(
            &mut session,
            &[
                ("the dam (Enter passes her over): ", "much"),
                ("(Enter passes her over): ", "9.4kg"),
                ("1 weight saved", ""),
            ],
        );
        session.exp_eof().unwrap();
        let weights = at(&kennel, "2026-10-07 07:30");
        assert_eq!(
            (weights["fern"].as_str(), weights["moss"].as_str()),
            ("220.00", "255.00")
        );
        assert!(
            kennel.text(FILE).contains("\n  dam: 9.4"),
            "{}",
            kennel.text(FILE)
        );
    }

    #[test]
    fn breaking_off_in_any_way_keeps_what_was_confirmed_and_says_what_is_missing() {
        for way in ["e", "ctrl-c", "ctrl-d"] {
            let kennel = kennel();
            let mut session = dialogue(&kennel, false);
            talk(
                &mut session,
                &[
                    ("Fern", "221"),
                    ("saved 221 g", ""),
                    ("Reedmace  226 g 12 h ago: ", ""),
                ],
            );
            match way {
                "e" => _ = session.send_line("e").unwrap(),
                "ctrl-c" => session.send_control('c').unwrap(),
                _ => session.send_control('d').unwrap(),
            }
            talk(
                &mut session,
                &[
                    ("1 of 4 weighed", ""),
                    ("not weighed: Reedmace, Sage, Moss", ""),
                    ("to go on: litterfolio", ""),
                ],
            );
            session.exp_eof().unwrap();
            assert_eq!(at(&kennel, "2026-10-07 07:30").len(), 1, "{way}");
            assert!(kennel.text(FILE).starts_with(BEFORE));
        }
    }

    #[test]
    fn a_terminal_of_eighty_columns_is_wide_enough_with_and_without_colours() {
        for colours in [true, false] {
            let kennel = kennel();
            let mut session = dialogue(&kennel, colours);
            // A puppy that loses weight has findings, and they are long.
            let mut heard = talk(
                &mut session,
                &[
                    ("ago: ", "185"),
                    ("again: ", "y"),
                    ("call the vet", ""),
                    ("ago: ", "232"),
                    ("ago: ", "210"),
                    ("ago: ", "256"),
                ],
            );
            heard.push_str(&talk(&mut session, &[("(Enter passes her over): ", "")]));
            session.send_line("").unwrap();
            heard.push('\n');
            heard.push_str(&session.exp_eof().unwrap());
            assert_eq!(heard.contains("\u{1b}["), colours, "{heard:?}");
            assert!(heard.contains("emergency vet: Fellgate Vets"), "{heard}");
            // Each byte comes as a character of its own.
            let bytes: Vec<u8> = heard
                .chars()
                .map(|c| u8::try_from(u32::from(c)).unwrap_or(b'?'))
                .collect();
            let heard = String::from_utf8_lossy(&bytes);
            let mut plain = String::new();
            let mut rest = &*heard;
            while let Some((before, after)) = rest.split_once('\u{1b}') {
                plain.push_str(before);
                rest = after.split_once('m').map_or("", |(_, after)| after);
            }
            plain.push_str(rest);
            let place = kennel.path().to_string_lossy();
            for line in plain.lines().filter(|line| {
                let is_place = line.contains("--kennel") || line.contains(&*place);
                !is_place && !line.contains("saved in")
            }) {
                assert!(
                    line.trim_end().chars().count() <= 80,
                    "{} columns: {line}",
                    line.chars().count()
                );
            }
        }
    }
}

#[test]
fn waiting_for_another_run_has_an_end_and_says_who_it_is() {
    let kennel = kennel();
    fs::create_dir_all(kennel.at(".litterfolio")).unwrap();
    let mut held = fs::File::options()
        .read(true)
        .write(true)
        .create(true)
        .truncate(false)
        .open(kennel.at(".litterfolio/records.lock"))
        .unwrap();
    held.write_all(b"weigh, process 4711\n").unwrap();
    lock(&held);
    let begun = Instant::now();
    let ran = kennel.run(&["weigh", "autumn", "fern=221", "--at", "2026-10-07 07:30"]);
    ran.ends_with(2).says(&[
        "weigh, process 4711 is adding to them",
        "wait until it has ended",
    ]);
    assert!(begun.elapsed() < Duration::from_secs(60));
    assert_eq!(kennel.text(FILE), BEFORE);
}
