//! From the path of a request to a file below the folder.
//!
//! In: a folder and the path as it was sent. Out: what to answer with. A path that the writer could
//! not have written is never looked for on the disk: no `..`, no backslash, no hidden file, nothing
//! encoded twice. What is found must lie in the folder once all links are followed. A folder is its
//! `index.html`, and never a list.

use crate::output::SitePath;
use percent_encoding::percent_decode_str;
use std::path::{Path, PathBuf};

/// What a path leads to.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Found {
    /// A file.
    File(PathBuf),
    /// A folder that was asked for without its slash: the path to ask for.
    Folder(String),
    /// Nothing.
    Nothing,
}

/// Looks for the file of a path, which begins with a slash.
pub(super) fn find(root: &Path, path: &str) -> Found {
    let Ok(decoded) = percent_decode_str(path).decode_utf8() else {
        return Found::Nothing;
    };
    let Some(below) = decoded.strip_prefix('/') else {
        return Found::Nothing;
    };
    let (name, is_folder) = match below.strip_suffix('/') {
        Some(folder) => (format!("{folder}/index.html"), true),
        None if below.is_empty() => ("index.html".to_owned(), true),
        None => (below.to_owned(), false),
    };
    let Ok(name) = SitePath::new(&name) else {
        return Found::Nothing;
    };
    let Some(file) = inside(root, name.as_ref()) else {
        return Found::Nothing;
    };
    if file.is_file() {
        return Found::File(file);
    }
    let has_index = !is_folder
        && file.is_dir()
        && inside(root, &format!("{}/index.html", name.as_ref()))
            .is_some_and(|index| index.is_file());
    if has_index {
        Found::Folder(format!("/{}/", name.as_ref()))
    } else {
        Found::Nothing
    }
}

/// Where something lies once all links are followed, when that is below the folder.
fn inside(root: &Path, name: &str) -> Option<PathBuf> {
    let root = root.canonicalize().ok()?;
    let file = root.join(name).canonicalize().ok()?;
    file.starts_with(&root).then_some(file)
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests put files where they like")]
mod tests {
    use super::*;
    use std::fs;

    fn site() -> tempfile::TempDir {
        let home = tempfile::tempdir().unwrap();
        let at = |name: &str| home.path().join(name);
        for folder in [
            "site/litters/autumn",
            "site/empty",
            "site/.hidden",
            "beside",
        ] {
            fs::create_dir_all(at(folder)).unwrap();
        }
        for file in [
            "site/index.html",
            "site/litters/autumn/index.html",
            "site/style.css",
            "site/.hidden/a.html",
            "beside/secret.html",
            "site-secret.html",
        ] {
            fs::write(at(file), file).unwrap();
        }
        home
    }

    #[test]
    fn pages_and_folders_are_found_and_no_folder_is_listed() {
        let home = site();
        let root = home.path().join("site");
        let file = |name: &str| Found::File(root.canonicalize().unwrap().join(name));
        assert_eq!(find(&root, "/"), file("index.html"));
        assert_eq!(find(&root, "/style.css"), file("style.css"));
        assert_eq!(find(&root, "/st%79le.css"), file("style.css"));
        assert_eq!(
            find(&root, "/litters/autumn/"),
            file("litters/autumn/index.html")
        );
        assert_eq!(
            find(&root, "/litters/autumn"),
            Found::Folder("/litters/autumn/".to_owned())
        );
        for path in [
            "/empty",
            "/empty/",
            "/litters/",
            "/nothing.html",
            "/index.html/",
            "/style.css/index.html",
        ] {
            assert_eq!(find(&root, path), Found::Nothing, "{path}");
        }
        assert_eq!(find(&home.path().join("nowhere"), "/"), Found::Nothing);
    }

    #[test]
    fn no_path_leads_out() {
        let home = site();
        let root = home.path().join("site");
        for path in [
            "/../beside/secret.html",
            "/litters/../../beside/secret.html",
            "/litters/../style.css",
            "/./style.css",
            "/%2e%2e/beside/secret.html",
            "/%2E%2E%2Fbeside%2Fsecret.html",
            "/..%2fbeside/secret.html",
            "/%252e%252e/beside/secret.html",
            "/..\\beside\\secret.html",
            "/..%5cbeside%5csecret.html",
            "/\\beside\\secret.html",
            "//beside/secret.html",
            "///etc/passwd",
            "/%2fetc%2fpasswd",
            "/C:/secret.html",
            "/C:%5Csecret.html",
            "/style.css%00.html",
            "/style.css%0a",
            "/style.css.",
            "/style.css%20",
            "/style.css::$DATA",
            "/.hidden/a.html",
            "/..site-secret.html",
            "/%c0%ae%c0%ae/beside/secret.html",
            "/%ff",
            "/CON",
            "/aux.html",
            "*",
            "",
            "style.css",
        ] {
            assert_eq!(find(&root, path), Found::Nothing, "{path}");
        }
    }

    #[cfg(unix)]
    #[test]
    fn no_link_leads_out() {
        let home = site();
        let root = home.path().join("site");
        std::os::unix::fs::symlink(
            home.path().join("beside/secret.html"),
            root.join("link.html"),
        )
        .unwrap();
        std::os::unix::fs::symlink(home.path().join("beside"), root.join("folder")).unwrap();
        std::os::unix::fs::symlink(root.join("style.css"), root.join("inner.css")).unwrap();
        assert_eq!(find(&root, "/link.html"), Found::Nothing);
        assert_eq!(find(&root, "/folder/secret.html"), Found::Nothing);
        assert!(matches!(find(&root, "/inner.css"), Found::File(_)));
    }
}
