//! The folders that the writer fills, and whether they can be filled.
//!
//! In: the roots as the keeper named them, and the folders that must stay apart from them. Out:
//! sites with absolute roots, or what is wrong with one. Apart from one probing file that it
//! removes at once, looking changes nothing.

use std::ffi::OsString;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use super::disk::{self, Result};
use super::error::{Unsuitable, WriteError};
use super::system;

/// One folder that the writer fills.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Target {
    /// Where the folder stands or shall stand; the folder around it must exist.
    pub root: PathBuf,
    /// What it is called in reports and in the names of lists: `public` or `private`.
    pub name: &'static str,
    /// Who may read what is written to it.
    pub mode: FileMode,
    /// Whether it must stand when the power fails.
    pub durability: Durability,
}

/// Whether what is written must be on the disk before it counts as written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Durability {
    /// It stands when the power fails.
    Durable,
    /// It can be made again at any time: the disk is not waited for. After the power failed, files
    /// may lack bytes; they are to be read once before they are relied on.
    Remade,
}

/// Who may read what is written, on systems that have rights of this kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileMode {
    /// Everybody: files 0644, folders 0755.
    Public,
    /// Only the keeper: files 0600, folders 0700.
    Private,
}

impl FileMode {
    pub(super) fn file(self) -> u32 {
        match self {
            Self::Public => 0o644,
            Self::Private => 0o600,
        }
    }

    pub(super) fn folder(self) -> u32 {
        match self {
            Self::Public => 0o755,
            Self::Private => 0o700,
        }
    }

    /// Whether `found` lets in whom it must and nobody whom it must not; more rights for the
    /// keeper's own group on a public file are the keeper's choice.
    fn suits(self, found: u32, wanted: u32) -> bool {
        let closed = match self {
            Self::Public => 0,
            Self::Private => 0o077,
        };
        found & wanted == wanted && found & closed == 0
    }
}

/// A target that has been looked at: its root is absolute and is no link.
#[derive(Debug, Clone)]
pub(super) struct Site {
    pub(super) name: &'static str,
    pub(super) mode: FileMode,
    durability: Durability,
    pub(super) root: PathBuf,
    /// The folder around the root, where new trees are built.
    pub(super) parent: PathBuf,
    /// Whether rights given to a file stay; memory sticks have none.
    keeps_modes: bool,
}

impl Site {
    /// Looks at the root of `target` and what is around it.
    pub(super) fn new(target: &Target) -> Result<Self> {
        let unsuitable = |why| unsuitable(target, why);
        let name = target
            .root
            .file_name()
            .ok_or_else(|| unsuitable(Unsuitable::NoName))?;
        let around = match target.root.parent() {
            Some(parent) if !parent.as_os_str().is_empty() => parent,
            _ => Path::new("."),
        };
        let parent = match around.canonicalize() {
            Ok(parent) if parent.is_dir() => parent,
            Err(error)
                if !matches!(error.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) =>
            {
                return Err(WriteError::disk("look at", around, error));
            }
            _ => return Err(unsuitable(Unsuitable::NoParent(around.to_path_buf()))),
        };
        let root = parent.join(name);
        if let (Some(found), Some(outside)) = (disk::look(&root)?, disk::look(&parent)?) {
            if found.is_symlink() {
                return Err(unsuitable(Unsuitable::IsLink));
            }
            if !found.is_dir() {
                return Err(unsuitable(Unsuitable::IsFile));
            }
            if system::other_disk(&found, &outside) {
                return Err(unsuitable(Unsuitable::IsMount));
            }
        }
        Ok(Self {
            name: target.name,
            mode: target.mode,
            durability: target.durability,
            root,
            parent,
            keeps_modes: false,
        })
    }

    /// Tries whether a file can be made beside the root and whether it keeps its rights. The
    /// name is as long as any that the writer will use there.
    pub(super) fn probe(&mut self) -> Result<()> {
        let place = self.probing_place();
        if let Err(error) = disk::write_new(&place, b"", self.mode.file(), false) {
            // The first error is the one to tell, and often there is no file.
            let _ = disk::remove_file(&place);
            return Err(error);
        }
        let found = disk::look(&place)?;
        let kept = found.is_some_and(|found| system::mode_of(&found) == self.mode.file());
        self.keeps_modes = cfg!(unix) && kept;
        disk::remove_file(&place)
    }

    /// Whether the disk is waited for.
    pub(super) fn is_durable(&self) -> bool {
        self.durability == Durability::Durable
    }

    /// Waits until the disk has the names around the root.
    pub(super) fn sync_names(&self) -> Result<()> {
        if self.is_durable() {
            disk::sync_folder(&self.parent)?;
        }
        Ok(())
    }

    /// A name in the folder around the root that says which root it belongs to.
    pub(super) fn beside(&self, suffix: &str) -> PathBuf {
        let mut name = OsString::from(".");
        name.push(self.root.file_name().unwrap_or_default());
        name.push(suffix);
        self.parent.join(name)
    }

    /// The folder with this number for what is put aside; in plain sight, for the keeper to look
    /// at.
    pub(super) fn kept_place(&self, number: usize) -> PathBuf {
        let mut name = self.root.file_name().unwrap_or_default().to_owned();
        name.push(format!(".kept-{number}"));
        self.parent.join(name)
    }

    /// A file to try the folder around the root with; as long as the longest name used there.
    fn probing_place(&self) -> PathBuf {
        self.beside(&format!(".building-{:020}", std::process::id()))
    }

    /// Whether a file of ours with these rights can stay as it is.
    pub(super) fn suits_file(&self, found: &std::fs::Metadata) -> bool {
        !self.keeps_modes
            || self
                .mode
                .suits(system::mode_of(found), self.mode.file() & 0o444)
    }

    /// Whether a folder of ours with these rights can stay as it is.
    pub(super) fn suits_folder(&self, found: &std::fs::Metadata) -> bool {
        !self.keeps_modes
            || self
                .mode
                .suits(system::mode_of(found), self.mode.folder() & 0o555)
    }
}

/// Refuses targets that overlap with each other, with a forbidden folder, or that would hold the
/// state folder, whose lists name sealed pages.
pub(super) fn keep_apart(
    targets: &[Target],
    sites: &[Site],
    state: &Path,
    forbidden: &[PathBuf],
) -> Result<()> {
    let forbidden: Vec<_> = forbidden.iter().map(|path| (path, settle(path))).collect();
    for (index, (target, site)) in targets.iter().zip(sites).enumerate() {
        let refuse = |with: &Path| Err(unsuitable(target, Unsuitable::Overlaps(with.into())));
        if inside(&settle(state), &site.root) {
            return refuse(state);
        }
        if let Some((named, _)) = forbidden.iter().find(|(_, path)| overlap(path, &site.root)) {
            return refuse(named);
        }
        for (other, earlier) in targets.iter().zip(sites).take(index) {
            if overlap(&earlier.root, &site.root) || other.name == target.name {
                return refuse(&other.root);
            }
        }
    }
    Ok(())
}

fn unsuitable(target: &Target, why: Unsuitable) -> WriteError {
    WriteError::Unsuitable {
        name: target.name,
        root: target.root.clone(),
        why,
    }
}

/// The absolute path without links, also of something that does not exist yet.
fn settle(path: &Path) -> PathBuf {
    let absolute = std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
    absolute
        .canonicalize()
        .unwrap_or_else(|_| match (absolute.parent(), absolute.file_name()) {
            (Some(parent), Some(name)) => settle(parent).join(name),
            _ => absolute.clone(),
        })
}

fn overlap(one: &Path, other: &Path) -> bool {
    inside(one, other) || inside(other, one)
}

/// Whether `inner` is `outer` or lies in it.
fn inside(inner: &Path, outer: &Path) -> bool {
    // Systems that usually ignore the case of letters must not be fooled by it.
    if cfg!(any(windows, target_vendor = "apple")) {
        let fold = |path: &Path| PathBuf::from(path.to_string_lossy().to_lowercase());
        return fold(inner).starts_with(fold(outer));
    }
    inner.starts_with(outer)
}

#[cfg(test)]
impl Target {
    /// What a test writes to.
    pub(super) fn durable(root: &Path, name: &'static str, mode: FileMode) -> Self {
        Self {
            root: root.to_path_buf(),
            name,
            mode,
            durability: Durability::Durable,
        }
    }
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "tests put files where they like")]
mod tests {
    use super::*;
    use std::fs;

    fn target(root: &Path, name: &'static str) -> Target {
        Target::durable(root, name, FileMode::Public)
    }

    fn why(error: WriteError) -> Unsuitable {
        match error {
            WriteError::Unsuitable { why, .. } => why,
            other => panic!("{other}"),
        }
    }

    #[test]
    fn a_root_is_a_folder_or_nothing_yet() {
        let home = tempfile::tempdir().unwrap();
        let at = |name: &str| home.path().join(name);
        fs::write(at("file"), "").unwrap();
        fs::create_dir(at("folder")).unwrap();
        let refused = |root: PathBuf| why(Site::new(&target(&root, "public")).unwrap_err());
        assert_eq!(refused(at("file")), Unsuitable::IsFile);
        assert_eq!(refused(at("folder/..")), Unsuitable::NoName);
        assert_eq!(refused(PathBuf::from("/")), Unsuitable::NoName);
        assert_eq!(refused(at("no/public")), Unsuitable::NoParent(at("no")));
        assert_eq!(refused(at("file/public")), Unsuitable::NoParent(at("file")));
        #[cfg(unix)]
        {
            std::os::unix::fs::symlink(at("folder"), at("link")).unwrap();
            assert_eq!(refused(at("link")), Unsuitable::IsLink);
            std::os::unix::fs::symlink(at("nowhere"), at("loose")).unwrap();
            assert_eq!(refused(at("loose")), Unsuitable::IsLink);
        }
        for root in [at("folder"), at("folder/"), at("new")] {
            let site = Site::new(&target(&root, "public")).unwrap();
            assert_eq!(
                site.root,
                home.path()
                    .canonicalize()
                    .unwrap()
                    .join(root.file_name().unwrap())
            );
        }
    }

    #[cfg(target_os = "linux")]
    #[test]
    fn a_disk_of_its_own_is_refused() {
        let error = Site::new(&target(Path::new("/proc"), "public")).unwrap_err();
        assert_eq!(why(error), Unsuitable::IsMount);
    }

    #[test]
    fn folders_that_must_stay_apart_are_told() {
        let home = tempfile::tempdir().unwrap();
        let at = |name: &str| home.path().join(name);
        for name in ["content/dogs", "public/inner"] {
            fs::create_dir_all(at(name)).unwrap();
        }
        let check = |roots: [&str; 2], state: &str, forbidden: &[&str]| {
            let names = roots.iter().zip(["public", "private"]);
            let targets: Vec<_> = names.map(|(root, name)| target(&at(root), name)).collect();
            let sites = targets
                .iter()
                .map(Site::new)
                .collect::<Result<Vec<_>>>()
                .unwrap();
            let forbidden: Vec<_> = forbidden.iter().map(|name| at(name)).collect();
            keep_apart(&targets, &sites, &at(state), &forbidden).map_err(why)
        };
        let both = ["public", "private"];
        for (roots, state, forbidden, with) in [
            (["content", "private"], "state", "content", "content"),
            (["content/dogs", "private"], "s", "content", "content"),
            (["public", "content"], "s", "content/dogs", "content/dogs"),
            (["public", "new"], "s", "new/not/yet", "new/not/yet"),
            (["public", "public/inner"], "s", "content", "public"),
            (["public/inner", "public"], "s", "content", "public/inner"),
            (["public", "public"], "s", "content", "public"),
            (both, "public/s", "content", "public/s"),
        ] {
            let overlap = Err(Unsuitable::Overlaps(at(with)));
            assert_eq!(check(roots, state, &[forbidden]), overlap);
        }
        assert_eq!(check(both, "state", &["content", "templates"]), Ok(()));
        assert_eq!(check(["public2", "public"], "state", &[]), Ok(()));
    }

    #[test]
    fn rights_may_be_wider_in_public_but_never_in_private() {
        assert!(FileMode::Public.suits(0o664, 0o444) && !FileMode::Public.suits(0o600, 0o444));
        assert!(FileMode::Private.suits(0o600, 0o400) && !FileMode::Private.suits(0o640, 0o400));
    }

    #[cfg(target_os = "linux")]
    #[test]
    fn a_folder_around_that_takes_no_files_is_found_before_the_work() {
        let mut site = Site::new(&target(Path::new("/proc/public"), "public")).unwrap();
        assert!(matches!(
            site.probe(),
            Err(WriteError::Disk { verb: "write", .. })
        ));
        let home = tempfile::tempdir().unwrap();
        let long = home.path().join("n".repeat(240));
        let error = Site::new(&target(&long, "public"))
            .unwrap()
            .probe()
            .unwrap_err();
        assert!(error.hint().contains("too long"), "{error}");
        let mut site = Site::new(&target(&home.path().join("public"), "public")).unwrap();
        site.probe().unwrap();
        assert!(site.keeps_modes);
        assert_eq!(fs::read_dir(home.path()).unwrap().count(), 0);
    }
}
