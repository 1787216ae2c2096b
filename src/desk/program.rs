//! The program itself, run beside the desk: the one way in which a site is published, papers are
//! made and records exported.
//!
//! In: a command and its words. Out: how far it is while it runs, and what it said. It takes the
//! same locks as from a terminal, and gives all its memory back when it ends.

use crate::app::progress::StepTold;
use crate::app::terminal;
use std::io::{self, BufRead, BufReader, Read};
use std::path::Path;
use std::process::{Child, Command, Stdio};

/// What a run came to.
pub(super) struct Ran {
    pub(super) went_well: bool,
    /// What it printed.
    pub(super) out: Vec<u8>,
    /// What the keeper should look at, or why it stopped.
    pub(super) said: String,
}

impl Ran {
    /// What it said, line by line.
    pub(super) fn lines(&self) -> Vec<String> {
        let lines = self.said.lines().map(str::trim);
        lines
            .filter(|line| !line.is_empty())
            .map(str::to_owned)
            .collect()
    }
}

const REPLACED: &str = "the program was updated or moved while the desk ran; end the desk and \
                        start it again";

/// Runs a command on a kennel.
pub(super) fn run(kennel: &Path, words: &[&str]) -> Ran {
    run_watched(kennel, words, |_| {})
}

/// Runs a command on a kennel, and passes on how far it says it is.
pub(super) fn run_watched(kennel: &Path, words: &[&str], told: impl FnMut(StepTold)) -> Ran {
    let stopped = |why: &str| Ran {
        went_well: false,
        out: Vec::new(),
        said: format!("it could not be begun: {why}"),
    };
    let Some(program) = terminal::program() else {
        return stopped("the program does not find itself");
    };
    let begun = Command::new(program)
        .arg("--kennel")
        .arg(kennel)
        .args(words)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn();
    match begun {
        Ok(run) => heard(run, told).unwrap_or_else(|error| stopped(&error.to_string())),
        // An update puts another file in the place of the one that runs.
        Err(error) if error.kind() == io::ErrorKind::NotFound => stopped(REPLACED),
        Err(error) => stopped(&error.to_string()),
    }
}

/// Reads both that it prints and that it says, so that it never waits for a reader.
fn heard(mut run: Child, mut told: impl FnMut(StepTold)) -> io::Result<Ran> {
    let out = run.stdout.take();
    let reader = std::thread::spawn(move || {
        let mut bytes = Vec::new();
        // What could not be read is missed by whoever looks for it.
        let _ = out.map(|mut out| out.read_to_end(&mut bytes));
        bytes
    });
    let mut said = String::new();
    for line in run
        .stderr
        .take()
        .into_iter()
        .flat_map(|err| BufReader::new(err).split(b'\n'))
    {
        let line = String::from_utf8_lossy(&line?).into_owned();
        match serde_json::from_str(&line) {
            Ok(step) => told(step),
            Err(_) => said.extend([line.as_str(), "\n"]),
        }
    }
    Ok(Ran {
        went_well: run.wait()?.success(),
        out: reader.join().unwrap_or_default(),
        said,
    })
}
