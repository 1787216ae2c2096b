//! How far a run is, for who waits at a terminal, or for a program that shows it elsewhere.
//!
//! In: steps, and a tick for each thing that is done. Out: at a terminal one line on standard error
//! that is written over, from the second second on, and gone when its step ends; for a program a
//! line of JSON for each step and, ten times a second at most, for how many things of it are done;
//! nothing at all where nobody watches.

use super::terminal;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use serde::{Deserialize, Serialize};
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// A run shorter than this shows nothing at a terminal.
const PATIENCE: Duration = Duration::from_secs(1);
/// How often a program is told of things that are done.
const TOLD: Duration = Duration::from_millis(100);

/// Who wants to know how far a run is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Watched {
    Nobody,
    AtTerminal,
    ByProgram,
}

impl Watched {
    /// A quiet run shows nothing, and neither does one without a terminal.
    pub fn unless(quiet: bool) -> Self {
        if !quiet && terminal::is_watched() {
            Self::AtTerminal
        } else {
            Self::Nobody
        }
    }
}

/// How far a run is, as one program tells another.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct StepTold {
    /// What is being done.
    pub step: String,
    /// How many things of it are done.
    pub done: u64,
    /// How many there are, when that is known.
    pub of: Option<u64>,
}

/// A run with its steps.
#[derive(Debug)]
pub struct Progress {
    begun: Instant,
    watched: Watched,
}

/// One step of a run.
#[derive(Debug)]
pub struct ProgressStep {
    what: &'static str,
    bar: ProgressBar,
    begun: Instant,
    watched: Watched,
    shown: AtomicBool,
    told: Mutex<Option<Duration>>,
}

impl Progress {
    /// Begins a run.
    #[expect(
        clippy::disallowed_methods,
        reason = "what takes long is measured here, and nothing depends on it"
    )]
    pub fn new(watched: Watched) -> Self {
        Self {
            begun: Instant::now(),
            watched,
        }
    }

    /// How long the run has taken, s.
    pub fn seconds(&self) -> f64 {
        self.begun.elapsed().as_secs_f64()
    }

    /// Begins a step, of so many things if that is known.
    pub fn step(&self, what: &'static str, of: Option<usize>) -> ProgressStep {
        let bar =
            ProgressBar::with_draw_target(of.map(|of| of as u64), ProgressDrawTarget::hidden());
        let line = if of.is_some() {
            "{msg} {pos} of {len} {wide_bar:.dim}"
        } else {
            "{msg} …"
        };
        if let Ok(style) = ProgressStyle::with_template(line) {
            bar.set_style(style.progress_chars("── "));
        }
        bar.set_message(what);
        let step = ProgressStep {
            what,
            bar,
            begun: self.begun,
            watched: self.watched,
            shown: AtomicBool::new(false),
            told: Mutex::new(None),
        };
        step.show();
        step
    }
}

impl ProgressStep {
    /// One thing is done.
    pub fn tick(&self) {
        self.bar.inc(1);
        self.show();
    }

    fn show(&self) {
        match self.watched {
            Watched::Nobody => {}
            Watched::AtTerminal => self.draw(),
            Watched::ByProgram => self.tell(),
        }
    }

    /// Draws the line once the run has taken long.
    fn draw(&self) {
        if self.begun.elapsed() > PATIENCE && !self.shown.swap(true, Ordering::Relaxed) {
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
            self.bar.tick();
        }
    }

    fn tell(&self) {
        // Whoever tells at this moment tells for all.
        let Ok(mut told) = self.told.try_lock() else {
            return;
        };
        let now = self.begun.elapsed();
        if told.is_some_and(|told| now.saturating_sub(told) < TOLD) {
            return;
        }
        *told = Some(now);
        let line = StepTold {
            step: self.what.to_owned(),
            done: self.bar.position(),
            of: self.bar.length(),
        };
        if let Ok(line) = serde_json::to_string(&line) {
            terminal::warn(&format!("{line}\n"));
        }
    }
}

impl Drop for ProgressStep {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
