//! How far a run is, for who waits at a terminal.
//!
//! In: steps, and a tick for each thing that is done. Out: one line on standard error that is written over, from the second second on; nothing at all where nobody watches. It never stays behind:
//! when a step ends, its line is gone.

use super::terminal;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// A run shorter than this shows nothing.
const PATIENCE: Duration = Duration::from_secs(1);

/// A run with its steps.
#[derive(Debug)]
pub(super) struct Progress {
    begun: Instant,
    watched: bool,
}

/// One step of a run.
#[derive(Debug)]
pub(super) struct Step {
    bar: ProgressBar,
    begun: Instant,
    watched: bool,
    shown: AtomicBool,
}

impl Progress {
    /// Begins a run; a quiet one shows nothing.
    #[expect(clippy::disallowed_methods, reason = "what takes long is measured here, and nothing depends on it")]
    pub(super) fn new(quiet: bool) -> Self {
        Self { begun: Instant::now(), watched: !quiet && terminal::is_watched() }
    }

    /// How long the run has taken, s.
    pub(super) fn seconds(&self) -> f64 {
        self.begun.elapsed().as_secs_f64()
    }

    /// Begins a step, of so many things if that is known.
    pub(super) fn step(&self, what: &'static str, of: Option<usize>) -> Step {
        let bar = ProgressBar::with_draw_target(of.map(|of| of as u64), ProgressDrawTarget::hidden());
        let line = if of.is_some() { "{msg} {pos} of {len} {wide_bar:.dim}" } else { "{msg} …" };
        if let Ok(style) = ProgressStyle::with_template(line) {
            bar.set_style(style.progress_chars("── "));
        }
        bar.set_message(what);
        let step = Step { bar, begun: self.begun, watched: self.watched, shown: AtomicBool::new(false) };
        step.show();
        step
    }
}

impl Step {
    /// One thing is done.
    pub(super) fn tick(&self) {
        self.bar.inc(1);
        self.show();
    }

    /// Shows the line once the run has taken long.
    fn show(&self) {
        if self.watched && self.begun.elapsed() > PATIENCE && !self.shown.swap(true, Ordering::Relaxed) {
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
            self.bar.tick();
        }
    }
}

impl Drop for Step {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}
