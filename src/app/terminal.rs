//! What the terminal can show, what is said while a command goes on, and what time it is: the only
//! place that asks the environment and the clock.
//!
//! In: the process's surroundings and what is typed. Out: width, colours, now, lines. Whatever is
//! asked on the terminal is asked here.

use crate::quantity::Moment;
pub use crate::quantity::many;
use crate::records::kennel::Kennel;
use chrono::{DateTime, Utc};
use std::io::{BufRead, IsTerminal, Read, Write, stderr, stdin, stdout};
use std::path::PathBuf;
use std::sync::{Mutex, PoisonError};
use std::time::SystemTime;
use textwrap::WordSplitter;
use textwrap::core::display_width;

/// What problems are drawn for.
pub struct Terminal {
    pub width: usize,
    pub colours: bool,
}

/// Looks at standard error, where problems go.
pub fn terminal() -> Terminal {
    let width =
        terminal_size::terminal_size_of(stderr()).map_or(100, |(width, _)| usize::from(width.0));
    Terminal {
        width: width.clamp(40, 140),
        colours: stderr().is_terminal() && may_be_coloured(),
    }
}

/// Looks at standard output, where a command talks with the keeper.
pub fn talk() -> Terminal {
    let width =
        terminal_size::terminal_size_of(stdout()).map_or(80, |(width, _)| usize::from(width.0));
    Terminal {
        width: width.clamp(40, 100),
        colours: stdout().is_terminal() && may_be_coloured(),
    }
}

#[expect(
    clippy::disallowed_methods,
    reason = "the environment is asked here and nowhere else"
)]
fn may_be_coloured() -> bool {
    std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty())
        && std::env::var_os("TERM").is_none_or(|term| term != "dumb")
}

/// A value of the environment.
#[expect(
    clippy::disallowed_methods,
    reason = "the environment is asked here and nowhere else"
)]
pub fn environment(name: &str) -> Option<std::ffi::OsString> {
    std::env::var_os(name).filter(|value| !value.is_empty())
}

/// Whose account this is, where the system tells.
#[expect(
    clippy::disallowed_methods,
    reason = "the environment is asked here and nowhere else"
)]
pub fn user() -> Option<String> {
    let name = ["USER", "LOGNAME", "USERNAME"]
        .iter()
        .find_map(|name| std::env::var(name).ok())?;
    let name: String = name.chars().filter(|c| !c.is_control()).take(60).collect();
    (!name.is_empty()).then_some(name)
}

/// What came of a question.
#[derive(Debug, PartialEq, Eq)]
pub enum TypedLine {
    /// A line that was ended.
    Line(String),
    /// Nothing more will come; what was typed and not ended, if anything.
    End(String),
}

/// Asks, and waits for a line.
pub fn ask(prompt: &str) -> TypedLine {
    say(prompt);
    let mut bytes = Vec::new();
    // What cannot be read will not be heard later either.
    let read = stdin().lock().read_until(b'\n', &mut bytes);
    let line = String::from_utf8_lossy(&bytes).into_owned();
    // A terminal shows what is typed; for a pipe, the answer is shown where it would stand.
    if !stdin().is_terminal() {
        say(&format!("{}\n", line.trim_end().escape_debug()));
    }
    match line.strip_suffix('\n') {
        Some(line) if read.is_ok() => TypedLine::Line(line.trim_end_matches('\r').to_owned()),
        _ => TypedLine::End(line),
    }
}

/// All of standard input, but no more than `most` bytes and one.
pub fn all_input(most: u64) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    stdin().lock().take(most + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// What is done when the keeper breaks off (Ctrl-C) or the terminal goes away. The run ends with
/// it.
pub fn when_broken_off(mut act: impl FnMut() + Send + 'static) {
    // Where no such thing can be noticed, the run just ends: nothing confirmed is lost by that.
    let _ = ctrlc::set_handler(move || {
        act();
        std::process::exit(130);
    });
}

/// Looks at standard output, where answers go; 80 columns where it is no terminal.
#[expect(
    clippy::disallowed_methods,
    reason = "NO_COLOR is asked here and nowhere else"
)]
pub fn answers() -> Terminal {
    let width =
        terminal_size::terminal_size_of(stdout()).map_or(80, |(width, _)| usize::from(width.0));
    let colours =
        stdout().is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty());
    Terminal {
        width: width.clamp(40, 100),
        colours,
    }
}

/// The first thing that could not be said: a run in which something was not said has not gone well,
/// and goes on all the same.
static UNSAID: Mutex<Option<std::io::Error>> = Mutex::new(None);

/// Says something on standard output at once: for commands that go on after it. What a command has
/// to say at its end it puts into its [`Outcome`](super::Outcome).
pub fn say(text: &str) {
    let mut out = stdout().lock();
    said(out.write_all(text.as_bytes()).and_then(|()| out.flush()));
}

/// Says something on standard error at once.
pub fn warn(text: &str) {
    let mut err = stderr().lock();
    said(err.write_all(text.as_bytes()).and_then(|()| err.flush()));
}

fn said(written: std::io::Result<()>) {
    if let Err(error) = written {
        UNSAID
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .get_or_insert(error);
    }
}

/// What the system said when something could not be said, if that happened.
pub fn unsaid() -> Option<std::io::Error> {
    UNSAID.lock().unwrap_or_else(PoisonError::into_inner).take()
}

/// Asks a question that yes or no answers; nothing when nobody sits at a terminal to answer it.
/// Anything but a yes is a no.
pub fn agreed(question: &str) -> Option<bool> {
    if !stdin().is_terminal() || !stdout().is_terminal() {
        return None;
    }
    say(&format!("{question} [y/n] "));
    let mut answer = String::new();
    let _ = stdin().read_line(&mut answer);
    Some(matches!(answer.trim().to_lowercase().as_str(), "y" | "yes"))
}

/// The kennel's folder as it has to be typed in a command that is shown; nothing where the keeper
/// stands in it.
pub fn typed_kennel(kennel: &std::path::Path) -> Option<String> {
    (kennel != std::path::Path::new(".")).then(|| typed(&crate::output::shown_path(kennel)))
}

/// A word as it is typed in a shell.
pub fn typed(word: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || "-_./,:=+@".contains(c);
    if !word.is_empty() && word.chars().all(plain) {
        word.to_owned()
    } else {
        format!("\"{}\"", word.replace('"', "\\\""))
    }
}

/// Whether somebody sits at a terminal to answer.
pub fn is_answered() -> bool {
    stdin().is_terminal() && stdout().is_terminal()
}

/// Asks for a value; nothing when nobody sits at a terminal to answer, or when the answer is empty.
pub fn value(question: &str) -> Option<String> {
    if !is_answered() {
        return None;
    }
    match ask(question) {
        TypedLine::Line(line) | TypedLine::End(line) => {
            Some(line.trim().to_owned()).filter(|line| !line.is_empty())
        }
    }
}

/// Asks for something that must not be seen on the screen; nothing when nobody sits at a terminal
/// to answer, or when the answer is empty.
pub fn secret(question: &str) -> Option<String> {
    if !is_answered() {
        return None;
    }
    let typed = rpassword::prompt_password(question).ok()?;
    Some(typed).filter(|typed| !typed.trim().is_empty())
}

/// The passphrase that a script hands over, which has no terminal to type it at.
pub fn handed_passphrase() -> Option<String> {
    environment("LITTERFOLIO_PASSPHRASE")?.into_string().ok()
}

/// The time now on the clock of this machine.
pub fn local_time() -> chrono::NaiveDateTime {
    now().with_timezone(&chrono::Local).naive_local()
}

/// The time now.
#[expect(
    clippy::disallowed_methods,
    reason = "the clock is asked here and nowhere else"
)]
pub fn now() -> DateTime<Utc> {
    Utc::now()
}

/// The time now on a kennel's wall; on the pinned day, where `as_of` pins one.
pub fn wall_time(kennel: &Kennel) -> Moment {
    let local = now().with_timezone(&kennel.time_zone.0).naive_local();
    let day = kennel.as_of.map_or(local.date(), |pinned| pinned.date());
    Moment::from(day.and_time(local.time())).to_the_minute()
}

/// The latest time at which something can have been weighed: now, or the end of a day that is
/// pinned.
pub fn latest_time(kennel: &Kennel, now: Moment) -> Moment {
    let end = now.day().date().and_hms_opt(23, 59, 0);
    let end = end.filter(|_| kennel.as_of.is_some());
    end.map_or(now, Moment::from)
}

/// The time now, as the system counts it.
#[expect(
    clippy::disallowed_methods,
    reason = "the clock is asked here and nowhere else"
)]
pub fn clock() -> SystemTime {
    SystemTime::now()
}

/// The time zone of this machine, where it is the zone of a place.
pub fn own_zone() -> Option<String> {
    let zone = iana_time_zone::get_timezone().ok()?;
    (zone.contains('/') && !zone.starts_with("Etc/")).then_some(zone)
}

/// The file of the running program, where that can be told.
pub fn program() -> Option<PathBuf> {
    std::env::current_exe().ok()
}

/// Whether somebody watches standard error.
pub fn is_watched() -> bool {
    stderr().is_terminal()
}

/// Whether this machine has a screen on which a browser can be opened.
pub fn has_screen() -> bool {
    cfg!(any(target_os = "macos", windows))
        || ["DISPLAY", "WAYLAND_DISPLAY"]
            .iter()
            .any(|name| environment(name).is_some())
}

/// Whether somebody sees what is said.
pub fn is_read() -> bool {
    stdout().is_terminal()
}

/// A text in lines of at most `width` columns, each after the first begun with `indent` blanks. A
/// word that is longer stands on a line of its own.
pub fn wrapped(text: &str, width: usize, indent: usize) -> String {
    if text.trim().is_empty() {
        return String::new();
    }
    let blanks = " ".repeat(indent);
    let options = textwrap::Options::new(width)
        .word_splitter(WordSplitter::NoHyphenation)
        .break_words(false)
        .subsequent_indent(&blanks);
    // The first line begins behind what stands there already.
    let first = options.clone().initial_indent(&blanks);
    textwrap::fill(text.trim(), first).split_off(indent)
}

/// A text whose lines fit into `width` columns, broken between words and set in as their line is.
/// What is drawn (a line with colours, or of a table) stays as it is.
pub fn folded(text: &str, width: usize) -> String {
    let mut out = String::with_capacity(text.len());
    for line in text.split_inclusive('\n') {
        let bare = line.trim_end_matches('\n');
        if display_width(bare) <= width
            || bare.contains('\u{1b}')
            || bare.contains(" | ")
            || bare.trim().contains("  ")
        {
            out.push_str(line);
            continue;
        }
        let indent = bare.len() - bare.trim_start_matches(' ').len();
        out.push_str(&bare[..indent]);
        out.push_str(&wrapped(bare, width, indent));
        out.push_str(&line[bare.len()..]);
    }
    out
}

/// What a command says, as the terminal can show it; what goes into a file or another program stays
/// as it is.
pub fn fitted(out: String, err: String) -> (String, String) {
    let width = |terminal: Option<(terminal_size::Width, terminal_size::Height)>| {
        terminal.map(|(width, _)| usize::from(width.0).max(40))
    };
    // Text for programs is shown as it is, so that it can be copied.
    let is_data = out.starts_with(['{', '[', '<', '#']);
    let out = match width(terminal_size::terminal_size_of(stdout())) {
        Some(width) if !is_data => folded(&out, width),
        _ => out,
    };
    (
        out,
        match width(terminal_size::terminal_size_of(stderr())) {
            Some(width) => folded(&err, width),
            None => err,
        },
    )
}

#[cfg(test)]
mod tests {
    use super::{folded, wrapped};

    #[test]
    fn lines_break_between_words_and_keep_their_indent() {
        let text = "short\n  one two three four\na | b | c | d | e | f | g\n";
        assert_eq!(
            folded(text, 12),
            "short\n  one two\n  three four\na | b | c | d | e | f | g\n"
        );
        assert_eq!(folded("nothing to do", 40), "nothing to do");
    }

    #[test]
    fn no_line_is_wider_than_the_terminal_unless_a_word_is() {
        assert_eq!(wrapped("one two three", 9, 2), "one two\n  three");
        assert_eq!(wrapped("", 9, 2), "");
        assert_eq!(wrapped("a verylongword b", 6, 1), "a\n verylongword\n b");
    }
}
