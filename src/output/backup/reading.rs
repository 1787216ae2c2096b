//! Reading a backup: whether it is one, what it says of itself, and whether all of it is as it was
//! written.
//!
//! In: a file that anybody may have made. Out: a [`BackupFile`], whose list can be trusted as far
//! as the file is unchanged, or why it cannot be used. Its hash is looked at before anything else
//! of it is believed. No name in it is used as a path before it was looked at.

use super::names::fault;
use super::{
    ABOUT, BackupError, BackupList, COMMENT, KENNEL, KIND, LIST, NOTATION, PIECE, SECRETS,
    SecretsKept,
};
use crate::error::WriteError;
use serde::Deserialize;
use sha2::{Digest as _, Sha256};
use std::collections::BTreeSet;
use std::fs::File;
use std::io::{self, BufReader, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use zip::ZipArchive;

/// The longest list that is read; one of a million files has less.
const LONGEST_LIST: u64 = 512 * 1024 * 1024;
/// The longest sealed secrets that are read.
const LONGEST_SECRETS: u64 = 64 * 1024 * 1024;
/// How many characters the hash has.
const HASH: usize = 64;

/// A backup that was opened, unchanged since it was made.
pub struct BackupFile {
    path: PathBuf,
    zip: ZipArchive<BufReader<File>>,
    list: BackupList,
}

impl std::fmt::Debug for BackupFile {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "BackupFile({})", self.path.display())
    }
}

/// What every notation of the list says.
#[derive(Deserialize)]
struct Head {
    kind: String,
    notation: u32,
    program: String,
}

/// The hash of the next bytes of a file.
pub(super) fn hash_of(file: &mut File, bytes: u64) -> io::Result<String> {
    let mut hash = Sha256::new();
    let mut piece = vec![0; PIECE];
    let mut left = file.take(bytes);
    loop {
        let read = left.read(&mut piece)?;
        if read == 0 {
            break;
        }
        hash.update(&piece[..read]);
    }
    if left.limit() > 0 {
        return Err(io::ErrorKind::UnexpectedEof.into());
    }
    Ok(hexadecimal(hash))
}

pub(super) fn hexadecimal(hash: Sha256) -> String {
    hash.finalize()
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// Whether a file ends as a backup does. Nothing else of it is read.
pub(super) fn ends_as_one(file: &mut File) -> io::Result<Option<String>> {
    let comment = COMMENT.len() + HASH;
    let length = file.metadata()?.len();
    if length < comment as u64 {
        return Ok(None);
    }
    let mut end = vec![0; comment];
    file.seek(SeekFrom::Start(length - comment as u64))?;
    file.read_exact(&mut end)?;
    let end = String::from_utf8(end).ok();
    Ok(end.and_then(|end| end.strip_prefix(COMMENT).map(str::to_owned)))
}

impl BackupFile {
    /// Opens a backup. All of it is read once, and its hash looked at.
    ///
    /// # Errors
    /// [`BackupError`] when it is none, is damaged, or holds a name that leads elsewhere.
    pub fn open(path: &Path) -> Result<Self, BackupError> {
        let unread = |source| BackupError::from(WriteError::disk("read", path, source));
        let damaged = |what: &str| BackupError::Damaged {
            file: path.to_owned(),
            what: what.to_owned(),
        };
        let mut file = File::open(path).map_err(unread)?;
        if !file.metadata().map_err(unread)?.is_file() {
            return Err(BackupError::NotOne {
                file: path.to_owned(),
            });
        }
        let Some(hash) = ends_as_one(&mut file).map_err(unread)? else {
            return Err(if begins_as_one(&mut file).map_err(unread)? {
                damaged("its end is missing or changed; it may not have been copied whole")
            } else {
                BackupError::NotOne {
                    file: path.to_owned(),
                }
            });
        };
        file.rewind().map_err(unread)?;
        let length = file.metadata().map_err(unread)?.len();
        if hash_of(&mut file, length - HASH as u64).map_err(unread)? != hash {
            return Err(damaged("it is not as it was written"));
        }
        file.rewind().map_err(unread)?;
        let zip = ZipArchive::new(BufReader::new(file));
        let mut zip = zip.map_err(|error| damaged(&error.to_string()))?;
        let json =
            entry(&mut zip, LIST, LONGEST_LIST).map_err(|error| damaged(&error.to_string()))?;
        let head: Head = serde_json::from_slice(&json)
            .map_err(|_| damaged("the list of its files cannot be read"))?;
        if head.kind != KIND {
            return Err(BackupError::NotOne {
                file: path.to_owned(),
            });
        }
        if head.notation > NOTATION {
            return Err(BackupError::Later {
                file: path.to_owned(),
                program: head
                    .program
                    .chars()
                    .filter(|c| !c.is_control())
                    .take(40)
                    .collect(),
            });
        }
        let list = serde_json::from_slice(&json)
            .map_err(|_| damaged("the list of its files cannot be read"))?;
        let opened = Self {
            path: path.to_owned(),
            zip,
            list,
        };
        opened.names()?;
        Ok(opened)
    }

    /// What it says of itself.
    #[must_use]
    pub fn list(&self) -> &BackupList {
        &self.list
    }

    /// Where it stands.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    pub(super) fn damaged(&self, what: String) -> BackupError {
        BackupError::Damaged {
            file: self.path.clone(),
            what,
        }
    }

    /// Every name may be used as a path below a folder, and what the file holds is what it lists.
    fn names(&self) -> Result<(), BackupError> {
        let mut listed = BTreeSet::from([LIST.to_owned(), ABOUT.to_owned()]);
        if self.list.secrets == SecretsKept::Sealed {
            listed.insert(SECRETS.to_owned());
        }
        let files = self.list.files.iter().map(|file| &file.path);
        for path in files.clone().chain(&self.list.folders) {
            if let Some(why) = fault(path) {
                return Err(BackupError::Name {
                    file: self.path.clone(),
                    name: path.chars().filter(|c| !c.is_control()).take(200).collect(),
                    why,
                });
            }
        }
        for path in files {
            if !listed.insert(format!("{KENNEL}{path}")) {
                return Err(self.damaged(format!("`{path}` is in it twice")));
            }
        }
        let mut held = BTreeSet::new();
        for name in self.zip.file_names() {
            let name = name.map_err(|error| self.damaged(error.to_string()))?;
            held.insert(name.into_owned());
        }
        if held != listed || self.zip.len() != listed.len() {
            return Err(self.damaged("it does not hold what it lists".to_owned()));
        }
        Ok(())
    }

    /// Reads every file in it and compares it with the list.
    ///
    /// # Errors
    /// [`BackupError::Damaged`].
    pub fn verify(&mut self) -> Result<(), BackupError> {
        for index in 0..self.list.files.len() {
            self.copy(index, &mut io::sink(), Path::new(""))?;
        }
        Ok(())
    }

    /// Copies one file out, and sees to it that it is the one that was written.
    pub(super) fn copy(
        &mut self,
        index: usize,
        to: &mut impl Write,
        place: &Path,
    ) -> Result<(), BackupError> {
        let file = &self.list.files[index];
        let broken = |what: &str| BackupError::Damaged {
            file: self.path.clone(),
            what: format!("`{}` {what}", file.path),
        };
        let opened = self.zip.by_name(&format!("{KENNEL}{}", file.path));
        let mut from = opened.map_err(|error| broken(&format!("cannot be read: {error}")))?;
        let (mut hash, mut bytes, mut piece) = (Sha256::new(), 0, vec![0; PIECE]);
        loop {
            let read = from
                .read(&mut piece)
                .map_err(|error| broken(&format!("cannot be read: {error}")))?;
            if read == 0 {
                break;
            }
            bytes += read as u64;
            if bytes > file.bytes {
                return Err(broken("is longer than it was"));
            }
            hash.update(&piece[..read]);
            to.write_all(&piece[..read])
                .map_err(|source| WriteError::disk("write", place, source))?;
        }
        if bytes != file.bytes || hexadecimal(hash) != file.sha256 {
            return Err(broken("is not as it was written"));
        }
        Ok(())
    }

    /// The sealed secrets, where there are any.
    ///
    /// # Errors
    /// [`BackupError::Damaged`].
    pub fn secrets(&mut self) -> Result<Option<String>, BackupError> {
        if self.list.secrets != SecretsKept::Sealed {
            return Ok(None);
        }
        let sealed = entry(&mut self.zip, SECRETS, LONGEST_SECRETS).ok();
        match sealed.and_then(|bytes| String::from_utf8(bytes).ok()) {
            Some(sealed) => Ok(Some(sealed)),
            None => Err(self.damaged("the sealed secrets cannot be read".to_owned())),
        }
    }
}

/// Whether a file begins as a zip file (PKWARE APPNOTE, section 4.3.7) whose first file is of a
/// kennel.
fn begins_as_one(file: &mut File) -> io::Result<bool> {
    let mut begin = Vec::new();
    file.rewind()?;
    file.take(30 + KENNEL.len() as u64)
        .read_to_end(&mut begin)?;
    Ok(begin.starts_with(b"PK\x03\x04") && begin.ends_with(KENNEL.as_bytes()))
}

/// The bytes of one file in a zip file.
fn entry(zip: &mut ZipArchive<BufReader<File>>, name: &str, most: u64) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let file = zip.by_name(name)?;
    file.take(most + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > most {
        return Err(io::Error::new(io::ErrorKind::InvalidData, "it is too long"));
    }
    Ok(bytes)
}
