//! Opens the keeper's browser with the link to the desk.
//!
//! In: the folder of the desk, which nobody else may enter, and the link. Out: a browser, where
//! there is a screen. The link itself is never an argument of another program, since every user of
//! a machine may list those: it stands in a page in that folder, which leads on to it.

use crate::app::terminal;
use crate::output::replace_private;
use std::path::Path;
use std::process::{Command, Stdio};

/// The program that opens a file as the keeper's own choice of programs has it.
#[cfg(not(windows))]
fn opener(page: &Path) -> Command {
    let program = if cfg!(target_os = "macos") {
        "open"
    } else {
        "xdg-open"
    };
    let mut command = Command::new(program);
    command.arg(page);
    command
}

/// On Windows that is a word of the shell, which reads its line by rules of its own: a name in
/// quotes is one name, whatever else is in it. No window is shown for it.
#[cfg(windows)]
fn opener(page: &Path) -> Command {
    use std::os::windows::process::CommandExt;
    const NO_WINDOW: u32 = 0x0800_0000;
    let mut command = Command::new("cmd");
    command
        .raw_arg(format!("/C start \"\" \"{}\"", page.display()))
        .creation_flags(NO_WINDOW);
    command
}

/// When a browser is opened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Browsing {
    /// Never: the links are printed.
    Never,
    /// When somebody sits at a terminal of this machine.
    AtTerminal,
    /// Wherever there is a screen: the program was started by a press.
    Always,
}

/// Opens the link, where somebody sits at a screen. Whether it worked is not waited for: the link
/// stands in the terminal too.
pub(super) fn open(place: &Path, link: &str, when: Browsing) {
    let may_open = match when {
        Browsing::Never => false,
        Browsing::AtTerminal => terminal::has_screen() && terminal::is_read(),
        Browsing::Always => terminal::has_screen(),
    };
    if !may_open {
        return;
    }
    let page = place.join("open.html");
    let html = format!(
        "<!DOCTYPE html><html lang=\"en\"><meta charset=\"utf-8\"><meta http-equiv=\"refresh\" \
         content=\"0; url={link}\"><title>Desk</title><p><a href=\"{link}\">Open the \
         desk</a></p></html>\n"
    );
    if replace_private(&page, html.as_bytes()).is_err() {
        return;
    }
    let _ = opener(&page)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn();
}
