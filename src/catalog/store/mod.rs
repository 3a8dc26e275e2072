//! Changing the files of a workspace: all of a change at once, or none of it.
//!
//! A change is made under the system's lock in six steps: a note that says
//! which temporaries are coming; the temporaries, flushed; the note again, now
//! `ready`; every file compared with what was read; the renames; the note
//! deleted. A process that dies on the way leaves a note, and the next one
//! finishes what is `ready` and undoes what is not.

mod append;
mod commit;
mod disk;
mod lock;
mod note;
mod recover;
#[cfg(test)]
mod tests;

pub(in crate::catalog) use append::with_column;
pub use append::{Appended, NewColumn, append_lines};

use crate::catalog::source::{Unread, in_words, read_file, shown};
use crate::catalog::{FileFault, Source};
use disk::{Disk, SystemDisk};
use lock::Held;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// One file before and after.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// Workspace name: `catalog/readings/tensile.csv`, `cases/x.json`, `maps.json`.
    pub name: String,
    /// Its bytes as they were read; `None` where it was not there.
    pub was: Option<Vec<u8>>,
    /// Its bytes as they shall be.
    pub becomes: Vec<u8>,
}

/// A workspace that nobody else can change while this is held.
///
/// Read through [`Store::source`], not through [`Source::Folder`], which would
/// wait for this very lock.
pub struct Store {
    folder: PathBuf,
    disk: Box<dyn Disk>,
    _held: Held,
}

impl Store {
    /// Takes the lock of a catalog's folder, and finishes or undoes what a dead process left.
    ///
    /// # Errors
    /// [`FileFault`] where the folder takes no writing, another process keeps
    /// the lock, or a change that was left half done cannot be brought to an end.
    pub fn open(folder: &Path) -> Result<Self, FileFault> {
        Store::open_on(folder, Box::new(SystemDisk))
    }

    fn open_on(folder: &Path, disk: Box<dyn Disk>) -> Result<Self, FileFault> {
        let held = lock::for_writing(folder, lock::PATIENCE)?;
        let mut store = Store {
            folder: folder.to_owned(),
            disk,
            _held: held,
        };
        store.recover()?;
        Ok(store)
    }

    /// The workspace as it stands, to be read while the lock is held.
    pub fn source(&self) -> Source {
        Source::Folder(self.folder.clone()).changed([])
    }

    /// The bytes of a workspace file; `None` where it is not there.
    ///
    /// # Errors
    /// [`FileFault`] where it cannot be read.
    pub fn read(&self, name: &str) -> Result<Option<Vec<u8>>, FileFault> {
        bytes_at(&self.path(name))
    }

    /// Makes a change: afterwards every file has its new bytes, or none has.
    ///
    /// # Errors
    /// [`FileFault`] where a file is no longer what was read (somebody edited
    /// it meanwhile), or a step of writing fails. The files are then as before;
    /// where even that could not be reached, the fault says so, and the next
    /// start brings the change to its end.
    pub fn commit(&mut self, changes: Vec<Change>) -> Result<(), FileFault> {
        self.commit_all(changes)
    }

    /// Where a workspace file stands; what a link leads to, so that the link stays one.
    fn path(&self, name: &str) -> PathBuf {
        let path = Source::path(&self.folder, name);
        match std::fs::symlink_metadata(&path) {
            Ok(about) if about.is_symlink() => std::fs::canonicalize(&path).unwrap_or(path),
            _ => path,
        }
    }

    /// The temporary's path: beside what `file` leads to.
    fn beside(&self, file: &str, temporary: &str) -> PathBuf {
        let name = temporary.rsplit('/').next().unwrap_or(temporary);
        self.path(file).with_file_name(name)
    }
}

/// A lock for reading, held until it is dropped.
#[derive(Debug)]
pub(in crate::catalog) struct Reading {
    _held: Option<Held>,
}

/// Keeps writers away while a catalog is read, after finishing or undoing what a dead one left.
///
/// # Errors
/// As [`Store::open`], but only where there is something to finish or to wait for.
pub(in crate::catalog) fn for_reading(folder: &Path) -> Result<Reading, FileFault> {
    let held = lock::for_reading(folder)?;
    let there = |name: &str| std::fs::symlink_metadata(folder.join(name)).is_ok();
    let noted = there(note::NOTE);
    if !noted && !there(note::COMING) {
        return Ok(Reading { _held: held });
    }
    drop(held);
    match Store::open(folder) {
        Err(fault) if noted => return Err(fault),
        // A note that never came to be keeps nobody from reading.
        _ => {}
    }
    lock::for_reading(folder).map(|held| Reading { _held: held })
}

/// The bytes at a path; `None` where nothing is there.
fn bytes_at(path: &Path) -> Result<Option<Vec<u8>>, FileFault> {
    match std::fs::symlink_metadata(path) {
        Err(e) if e.kind() == ErrorKind::NotFound => return Ok(None),
        _ => {}
    }
    match read_file(path, u64::MAX - 1) {
        Ok(bytes) => Ok(Some(bytes)),
        Err(Unread::Fault(f)) => Err(f),
        Err(Unread::Problems(_)) => Ok(None),
    }
}

/// A step of writing that failed.
fn not_written(path: &Path, e: &std::io::Error) -> FileFault {
    let fix = match e.kind() {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => {
            "make room on the disk, then try again"
        }
        ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => {
            "give yourself the right to write there, or copy the catalog elsewhere, then try again"
        }
        ErrorKind::ResourceBusy | ErrorKind::ExecutableFileBusy => {
            "close it in other programs, then try again"
        }
        _ => "see that the disk is well and no other program has the file open, then try again",
    };
    FileFault {
        file: shown(path),
        what: format!("cannot be written: {}", in_words(e)),
        fix: fix.to_owned(),
    }
}
