//! Names of files that travel between systems.
//!
//! In: the path of a file in a kennel's folder, with `/`. Out: what keeps it from being put in
//! place, anywhere or on Windows.

/// The folders of a kennel that a backup has, and the files beside them.
pub(super) const FOLDERS: [&str; 3] = ["content", "templates", ".litterfolio/history"];
pub(super) const FILES: [&str; 2] = [".gitignore", ".litterfolio/sealed.json"];

/// Why a path may not be put in place on any system: it leads elsewhere, or would mean something
/// else than it says.
pub(super) fn fault(path: &str) -> Option<&'static str> {
    let is_below = |folder: &str| {
        path.strip_prefix(folder)
            .is_some_and(|rest| rest.len() > 1 && rest.starts_with('/'))
    };
    let part_fault = |part: &str| match part {
        "" | "." | ".." => Some("it leads to another place"),
        _ if part.contains(['\\', ':']) => Some("`\\` and `:` mean something else on Windows"),
        _ if part.chars().any(char::is_control) => Some("it holds characters that are no text"),
        _ => None,
    };
    path.split('/').find_map(part_fault).or_else(|| {
        let is_known = FILES.contains(&path) || FOLDERS.iter().any(|folder| is_below(folder));
        (!is_known).then_some("it is no part of a kennel")
    })
}

/// Why Windows cannot have a file or folder of this name (Microsoft, "Naming Files, Paths, and
/// Namespaces").
#[must_use]
pub fn windows_fault(part: &str) -> Option<&'static str> {
    if part.ends_with(['.', ' ']) {
        return Some("Windows takes off a dot or blank at the end of a name");
    }
    if part.contains(['<', '>', ':', '"', '|', '?', '*', '\\']) {
        return Some("Windows allows none of `< > : \" | ? * \\` in a name");
    }
    let stem = part.split('.').next().unwrap_or(part).trim_end();
    let stem = stem.to_ascii_lowercase();
    let is_numbered = |name: &str| {
        stem.strip_prefix(name).is_some_and(|rest| {
            matches!(
                rest,
                "1" | "2" | "3" | "4" | "5" | "6" | "7" | "8" | "9" | "¹" | "²" | "³"
            )
        })
    };
    let is_device = matches!(
        stem.as_str(),
        "con" | "prn" | "aux" | "nul" | "conin$" | "conout$"
    ) || is_numbered("com")
        || is_numbered("lpt");
    is_device.then_some("Windows takes this name for a device, whatever its ending")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_name_leads_out_of_the_folder() {
        for path in [
            "content/../../x",
            "../content/x",
            "/content/x",
            "content//x",
            "content/",
            "content",
            "content/./x",
            "content/a\\..\\..\\x",
            "C:/content/x",
            "content/c:x",
            "content/a\u{0}b",
            "content/a\nb",
            "codes.yaml",
            "public/index.html",
            ".litterfolio/history",
            ".litterfolio/cache/x",
            "contents/x",
            "",
        ] {
            assert!(fault(path).is_some(), "{path:?}");
        }
        for path in [
            "content/kennel.yaml",
            "content/litters/a/photos/Ünser Hund 1.jpg",
            "templates/shared/base.css",
            ".litterfolio/history/000001.json",
            ".litterfolio/sealed.json",
            ".gitignore",
        ] {
            assert_eq!(fault(path), None, "{path:?}");
        }
    }

    #[test]
    fn what_windows_cannot_have_is_known() {
        for part in [
            "con.yaml",
            "CON",
            "Aux.md",
            "nul.tar.gz",
            "com1",
            "LPT9.txt",
            "com¹",
            "a.",
            "a ",
            "what?.jpg",
            "con .yaml",
        ] {
            assert!(windows_fault(part).is_some(), "{part}");
        }
        for part in [
            "conny.yaml",
            "com10.md",
            "com.md",
            "auxiliary",
            ".gitignore",
            "lpt0",
        ] {
            assert_eq!(windows_fault(part), None, "{part}");
        }
    }
}
