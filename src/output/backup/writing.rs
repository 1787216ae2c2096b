//! Writing a backup.
//!
//! In: a kennel's folder, what the backup says of itself, a place that is free. Out: the file,
//! whole and read again, or nothing at all. Texts are read under the lock of the records, so that
//! none is of another moment than its neighbours; pictures, which are added and taken away but not
//! rewritten, are read after it, so that nobody waits for them.

use super::collecting::{BackupPart, BackupParts, collect};
use super::reading::{BackupFile, hash_of};
use super::{
    ABOUT, BackupError, BackupList, COMMENT, KENNEL, KIND, LIST, ListedFile, NOTATION, PIECE,
    SECRETS, SecretsKept,
};
use crate::error::WriteError;
use crate::{disk, locking, system, waiting};
use fs4::FileExt;
use sha2::{Digest as _, Sha256};
use std::fs::File;
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::Path;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, System, ZipWriter};

/// What a backup is to be.
#[derive(Debug, Clone, Copy)]
pub struct BackupWish<'a> {
    /// The kennel's folder.
    pub root: &'a Path,
    /// The folder of what the program remembers, where the lock is.
    pub state: &'a Path,
    /// The new file.
    pub to: &'a Path,
    /// The kennel's name.
    pub kennel: &'a str,
    /// When it is made, as text.
    pub made: &'a str,
    /// The version of the program.
    pub program: &'a str,
    /// The secrets, sealed.
    pub sealed: Option<&'a str>,
    /// What becomes of them.
    pub secrets: SecretsKept,
}

/// What is told in the file itself.
const ABOUT_TEXT: &str = "\
This is a backup of a kennel's records, made by litterfolio.

To set the kennel up again:   litterfolio restore THIS-FILE NEW-FOLDER
or, at the desk, choose a backup where it asks for the folder of a kennel.

Without the program: the folder `kennel` in this file is the folder of the kennel as it was.
list.json names every file with its SHA-256. secrets.jwe, where it is there, holds the access codes
of the families' pages and the signing keys; it is a JWE (RFC 7516, PBES2-HS512+A256KW) and opens
with the passphrase that was chosen when the backup was made.

The records name people. Keep this file as you keep the records.
";

/// Makes a backup.
///
/// # Errors
/// [`BackupError`]; then there is no new file.
pub fn write_backup(wish: &BackupWish<'_>) -> Result<(BackupList, BackupParts), BackupError> {
    if disk::look(wish.to)?.is_some() {
        return Err(BackupError::NoPlace {
            place: wish.to.to_owned(),
            why: "something of that name is there, and a backup replaces nothing",
        });
    }
    let folder = folder_of(wish.to);
    waiting::sweep_left_behind(folder, |file| file.ends_with(".zip"))?;
    let beside = waiting::place(wish.to);
    let made = written(wish, &beside).and_then(|made| {
        disk::rename(&beside, wish.to)?;
        Ok(made)
    });
    if made.is_err() {
        // The first error is the one to tell.
        let _ = disk::remove_file(&beside);
    }
    let made = made?;
    disk::sync_folder(folder)?;
    Ok(made)
}

fn folder_of(file: &Path) -> &Path {
    file.parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        .unwrap_or(Path::new("."))
}

/// The whole file beside its place, read again.
fn written(wish: &BackupWish<'_>, beside: &Path) -> Result<(BackupList, BackupParts), BackupError> {
    let on_disk = |source| WriteError::disk("write", beside, source);
    // A disk may have room for the file and refuse to tell so: nothing is asked beforehand.
    let file = system::create_new(beside, 0o600).map_err(on_disk)?;
    // Where files cannot be locked, nothing is ever taken for left behind. On Windows a locked file
    // could not be read again.
    if cfg!(not(windows)) {
        let _ = FileExt::lock(&file);
    }
    system::set_mode(beside, 0o600).map_err(on_disk)?;
    let mut pack = Pack {
        zip: ZipWriter::new(OnceBroken::new(&file)).set_auto_large_file(),
        place: beside,
        files: Vec::new(),
    };
    let parts = pack.kennel(wish)?;
    if let Some(sealed) = wish.sealed {
        pack.bytes(SECRETS, sealed.as_bytes())?;
    }
    pack.bytes(ABOUT, ABOUT_TEXT.as_bytes())?;
    let mut list = BackupList {
        kind: KIND.to_owned(),
        notation: NOTATION,
        kennel: wish.kennel.to_owned(),
        made: wish.made.to_owned(),
        program: wish.program.to_owned(),
        secrets: wish.secrets,
        files: std::mem::take(&mut pack.files),
        folders: parts.folders.clone(),
    };
    list.files.sort_by(|one, other| one.path.cmp(&other.path));
    let json = serde_json::to_vec_pretty(&list).map_err(io::Error::from);
    pack.bytes(LIST, &json.map_err(on_disk)?)?;
    let Pack { mut zip, .. } = pack;
    let room = format!("{COMMENT}{}", "0".repeat(64));
    zip.set_comment(room)
        .map_err(|error| on_disk(error.into()))?;
    zip.finish().map_err(|error| on_disk(error.into()))?;
    end(&file, beside).map_err(on_disk)?;
    let mut again = BackupFile::open(beside)?;
    again.verify()?;
    if again.list() != &list {
        return Err(again.damaged("the list of its files is not as it was written".to_owned()));
    }
    Ok((list, parts))
}

/// Writes the hash of all that stands before it into the comment at the end.
fn end(file: &File, path: &Path) -> io::Result<()> {
    let length = file.metadata()?.len();
    let hash = hash_of(&mut File::open(path)?, length - 64)?;
    let mut file = file;
    file.seek(SeekFrom::End(-64))?;
    file.write_all(hash.as_bytes())?;
    file.sync_all()
}

/// A file that takes everything once it refused something: the first error is the one to tell, and
/// whoever drops an unfinished zip file tries to end it.
struct OnceBroken<'a> {
    file: &'a File,
    is_broken: bool,
}

impl<'a> OnceBroken<'a> {
    fn new(file: &'a File) -> Self {
        Self {
            file,
            is_broken: false,
        }
    }
}

impl Write for OnceBroken<'_> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if self.is_broken {
            return Ok(bytes.len());
        }
        let written = self.file.write(bytes);
        self.is_broken = written
            .as_ref()
            .is_err_and(|error| error.kind() != io::ErrorKind::Interrupted);
        written
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

impl Seek for OnceBroken<'_> {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        self.file.seek(to)
    }
}

/// A zip file that is being written.
struct Pack<'a> {
    zip: ZipWriter<OnceBroken<'a>>,
    place: &'a Path,
    files: Vec<ListedFile>,
}

impl Pack<'_> {
    fn start(&mut self, name: &str) -> Result<(), BackupError> {
        // Times and rights are the same every time and on every system: what counts of a file is
        // its bytes.
        let options = SimpleFileOptions::default()
            .compression_method(CompressionMethod::Stored)
            .last_modified_time(DateTime::default())
            .system(System::Unix)
            .unix_permissions(0o644);
        self.zip
            .start_file(name, options)
            .map_err(|error| self.failed(error.into()))
    }

    fn failed(&self, source: io::Error) -> BackupError {
        WriteError::disk("write", self.place, source).into()
    }

    fn bytes(&mut self, name: &str, bytes: &[u8]) -> Result<(), BackupError> {
        self.start(name)?;
        let written = self.zip.write_all(bytes);
        written.map_err(|error| self.failed(error))
    }

    /// All files of the kennel.
    fn kennel(&mut self, wish: &BackupWish<'_>) -> Result<BackupParts, BackupError> {
        let lock = match locking::lock(wish.state, "backup") {
            Ok(lock) => Some(lock),
            // Where nothing can be written, nobody else writes either.
            Err(WriteError::Disk { source, .. })
                if matches!(
                    source.kind(),
                    io::ErrorKind::ReadOnlyFilesystem | io::ErrorKind::PermissionDenied
                ) =>
            {
                None
            }
            Err(error) => return Err(error.into()),
        };
        let parts = collect(wish.root)?;
        let (texts, pictures): (Vec<_>, Vec<_>) =
            parts.files.iter().partition(|part| !is_picture(&part.name));
        texts.into_iter().try_for_each(|part| self.part(part))?;
        drop(lock);
        pictures.into_iter().try_for_each(|part| self.part(part))?;
        Ok(parts)
    }

    fn part(&mut self, part: &BackupPart) -> Result<(), BackupError> {
        let unread = |source| BackupError::from(WriteError::disk("read", &part.path, source));
        let mut file = File::open(&part.path).map_err(unread)?;
        self.start(&format!("{KENNEL}{}", part.name))?;
        let (mut hash, mut bytes) = (Sha256::new(), 0);
        let mut piece = vec![0; PIECE];
        loop {
            let read = file.read(&mut piece).map_err(unread)?;
            if read == 0 {
                break;
            }
            hash.update(&piece[..read]);
            bytes += read as u64;
            let written = self.zip.write_all(&piece[..read]);
            written.map_err(|error| self.failed(error))?;
        }
        self.files.push(ListedFile {
            path: part.name.clone(),
            bytes,
            sha256: super::reading::hexadecimal(hash),
        });
        Ok(())
    }
}

/// Whether a file is a picture, which nobody writes again in place.
fn is_picture(name: &str) -> bool {
    let name = name.to_ascii_lowercase();
    [".jpg", ".jpeg", ".png", ".webp"]
        .iter()
        .any(|ending| name.ends_with(ending))
}
