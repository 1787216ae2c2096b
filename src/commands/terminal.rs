//! What the terminal can show, what is said while a command goes on, and what time it is: the only place that asks the environment and the clock.
//!
//! In: the process's surroundings. Out: width, colours, now.

use chrono::{DateTime, Utc};
use std::io::{IsTerminal, Write, stderr, stdout};

/// What problems are drawn for.
pub(super) struct Terminal {
    pub(super) width: usize,
    pub(super) colours: bool,
}

/// Looks at standard error, where problems go.
#[expect(clippy::disallowed_methods, reason = "NO_COLOR is asked here and nowhere else")]
pub(super) fn terminal() -> Terminal {
    let width = terminal_size::terminal_size_of(stderr()).map_or(100, |(width, _)| usize::from(width.0));
    let colours = stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty());
    Terminal { width: width.clamp(40, 140), colours }
}

/// Says something on standard output at once: for commands that go on after it. What a command has to say at its end it puts into its [`Outcome`](super::Outcome).
pub(super) fn say(text: &str) {
    let mut out = stdout().lock();
    // A closed pipe is no reason to complain.
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}

/// The time now.
#[expect(clippy::disallowed_methods, reason = "the clock is asked here and nowhere else")]
pub(super) fn now() -> DateTime<Utc> {
    Utc::now()
}

/// `1 page`, `2 pages`.
pub(super) fn many(n: usize, one: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") }
}

/// A text in lines of at most `width` columns, each after the first begun with `indent` blanks. A word that is longer stands on a line of its own.
pub(super) fn wrapped(text: &str, width: usize, indent: usize) -> String {
    let (mut out, mut column) = (String::new(), indent);
    for word in text.split_whitespace() {
        let length = word.chars().count();
        if column > indent && column + 1 + length > width {
            out.push('\n');
            out.push_str(&" ".repeat(indent));
            column = indent;
        }
        if column > indent {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += length;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::wrapped;

    #[test]
    fn no_line_is_wider_than_the_terminal_unless_a_word_is() {
        assert_eq!(wrapped("one two three", 9, 2), "one two\n  three");
        assert_eq!(wrapped("", 9, 2), "");
        assert_eq!(wrapped("a verylongword b", 6, 1), "a\n verylongword\n b");
    }
}
