//! Text as it may be set.
//!
//! In: any string. Out: a string with single spaces and, after a space, single line feeds, without
//! control and format characters. It never changes a letter that can be seen.

/// Most combining marks that one letter may carry; more would climb into the lines above.
const MOST_MARKS: usize = 4;

/// Drops what cannot be seen, makes every run of spaces one space and every run of line ends one
/// line feed.
pub(super) fn clean(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let (mut space, mut feed, mut marks) = (false, false, 0);
    for letter in text.chars() {
        if ends_line(letter) {
            feed = true;
        } else if is_space(letter) {
            space = true;
        } else if !is_dropped(letter) {
            marks = if is_mark(letter) { marks + 1 } else { 0 };
            if marks > MOST_MARKS {
                continue;
            }
            if !out.is_empty() && feed {
                // With a space before it, so that the words stay apart for those who hear them.
                out.push_str(" \n");
            } else if !out.is_empty() && space {
                out.push(' ');
            }
            (space, feed) = (false, false);
            out.push(letter);
        }
    }
    out
}

/// Text for one line: as [`clean`], without line feeds.
pub(super) fn clean_line(text: &str) -> String {
    clean(text).replace('\n', "")
}

fn ends_line(letter: char) -> bool {
    matches!(
        letter,
        '\n' | '\r' | '\u{B}' | '\u{C}' | '\u{85}' | '\u{2028}' | '\u{2029}'
    )
}

/// Spaces at which a line may be broken. The no-break spaces are letters to us.
fn is_space(letter: char) -> bool {
    letter.is_whitespace() && !matches!(letter, '\u{A0}' | '\u{2007}' | '\u{202F}')
}

fn is_mark(letter: char) -> bool {
    matches!(
        letter,
        '\u{300}'..='\u{36F}'
            | '\u{483}'..='\u{489}'
            | '\u{1AB0}'..='\u{1AFF}'
            | '\u{1DC0}'..='\u{1DFF}'
    ) || matches!(letter, '\u{20D0}'..='\u{20FF}' | '\u{FE20}'..='\u{FE2F}')
}

/// Control characters, joiners, marks of direction, variation selectors, tags and code points that
/// are no characters.
fn is_dropped(letter: char) -> bool {
    letter.is_control()
        || u32::from(letter) & 0xFFFE == 0xFFFE
        || matches!(
            letter,
            '\u{AD}'
                | '\u{34F}'
                | '\u{61C}'
                | '\u{115F}'
                | '\u{1160}'
                | '\u{17B4}'
                | '\u{17B5}'
                | '\u{180B}'..='\u{180F}'
        )
        || matches!(
            letter,
            '\u{200B}'..='\u{200F}'
                | '\u{202A}'..='\u{202E}'
                | '\u{2060}'..='\u{206F}'
                | '\u{3164}'
                | '\u{FDD0}'..='\u{FDEF}'
        )
        || matches!(
            letter,
            '\u{FE00}'..='\u{FE0F}'
                | '\u{FEFF}'
                | '\u{FFA0}'
                | '\u{FFF0}'..='\u{FFFB}'
                | '\u{1BCA0}'..='\u{1BCA3}'
        )
        || matches!(letter, '\u{1D173}'..='\u{1D17A}' | '\u{E0000}'..='\u{E0FFF}')
}
