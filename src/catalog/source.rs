//! Where files come from: a folder on disk, or the demo or the handbook embedded in the program.
#![expect(
    clippy::disallowed_methods,
    reason = "the one place that reads the workspace"
)]

use crate::catalog::store::{Reading, for_reading};
use crate::catalog::{Origin, embedded};
use crate::problem::{Fault, Place, Problem};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::io::{ErrorKind, Read};
use std::path::Path;
use std::sync::Arc;

/// Largest JSON file, bytes.
pub(crate) const LARGEST_JSON: u64 = 1 << 20;
/// Largest CSV file, bytes.
pub(crate) const LARGEST_CSV: u64 = 1 << 30;

/// A file that could not be read at all: exit code 4.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{file}: {what}")]
pub struct FileFault {
    /// The file as the user named it.
    pub file: String,
    /// What went wrong, in words.
    pub what: String,
    /// What to do.
    pub fix: String,
}

impl FileFault {
    /// This fault as a Problem, where other files can still be answered for.
    pub(crate) fn problem(&self) -> Problem {
        Fault::new("file::unreadable", &self.what, &self.fix).at(Place::file(self.file.clone()))
    }
}

/// A place that holds a workspace's files.
#[derive(Clone, Debug)]
pub enum Source {
    /// The embedded demo.
    Demo,
    /// The embedded handbook: ranges of polymers.
    Handbook,
    /// A folder: the catalog's; `cases`, `weights` and `policy.json` stand beside it.
    Folder(std::path::PathBuf),
    /// A folder as it would be with some files changed: their bytes by workspace name.
    ///
    /// It takes no lock; it is for whoever holds the one for writing, or writes nothing.
    Changed(std::path::PathBuf, Arc<BTreeMap<String, Vec<u8>>>),
    /// A workspace in memory: the bytes of its files by workspace name (`catalog/materials.csv`).
    Memory(Arc<BTreeMap<String, Vec<u8>>>),
}

impl Source {
    /// Whose figures it holds.
    pub(super) fn origin(&self) -> Origin {
        match self {
            Source::Demo => Origin::Demo,
            Source::Handbook => Origin::Handbook,
            Source::Folder(_) | Source::Changed(..) | Source::Memory(_) => Origin::Own,
        }
    }

    /// Where a file of the workspace stands (`catalog/...`, `cases/...`, `weights/...`, `policy.json`).
    pub(super) fn path(folder: &Path, name: &str) -> std::path::PathBuf {
        match name.strip_prefix("catalog/") {
            Some(inside) => folder.join(inside),
            None => folder.parent().unwrap_or(Path::new("")).join(name),
        }
    }

    /// The same workspace with these files, by workspace name, in place of its own.
    #[must_use]
    pub(crate) fn changed(&self, files: impl IntoIterator<Item = (String, Vec<u8>)>) -> Self {
        match self {
            Source::Demo | Source::Handbook => self.clone(),
            Source::Memory(before) => {
                let mut all = BTreeMap::clone(before);
                all.extend(files);
                Source::Memory(Arc::new(all))
            }
            Source::Folder(f) => Source::Changed(f.clone(), Arc::new(files.into_iter().collect())),
            Source::Changed(f, before) => {
                let mut all = BTreeMap::clone(before);
                all.extend(files);
                Source::Changed(f.clone(), Arc::new(all))
            }
        }
    }

    /// Keeps writers away while the files are read; the guard gives them way when dropped.
    ///
    /// # Errors
    /// [`FileFault`] where a writer does not come to an end, or a dead one left
    /// a change that cannot be brought to its end.
    pub(super) fn hold(&self) -> Result<Option<Reading>, FileFault> {
        match self {
            Source::Folder(f) => for_reading(f).map(Some),
            Source::Demo | Source::Handbook | Source::Changed(..) | Source::Memory(_) => Ok(None),
        }
    }

    /// The name of a workspace file as shown to people.
    pub(crate) fn shown(&self, name: &str) -> String {
        match self {
            Source::Demo | Source::Handbook | Source::Memory(_) => name.to_owned(),
            Source::Folder(f) | Source::Changed(f, _) => shown(&Source::path(f, name)),
        }
    }

    /// Whether the folder of the catalog is there.
    pub(super) fn is_there(&self) -> bool {
        match self {
            Source::Demo | Source::Handbook | Source::Memory(_) => true,
            Source::Folder(f) | Source::Changed(f, _) => f.exists(),
        }
    }

    /// The bytes of a workspace file; `None` where it is not there.
    pub(super) fn read(
        &self,
        name: &str,
        largest: u64,
    ) -> Result<Option<Cow<'static, [u8]>>, Unread> {
        match self {
            Source::Demo | Source::Handbook => {
                Ok(embedded::file(self.origin(), name).map(Cow::Borrowed))
            }
            Source::Memory(files) => Ok(files.get(name).cloned().map(Cow::Owned)),
            Source::Changed(_, files) if files.contains_key(name) => {
                Ok(files.get(name).cloned().map(Cow::Owned))
            }
            Source::Folder(f) | Source::Changed(f, _) => {
                let path = Source::path(f, name);
                match std::fs::symlink_metadata(&path) {
                    Err(e) if e.kind() == ErrorKind::NotFound => Ok(None),
                    _ => read_file(&path, largest).map(|b| Some(Cow::Owned(b))),
                }
            }
        }
    }

    /// Names of the files in a workspace folder that end in `.ext`, sorted; none where it is not there.
    ///
    /// # Errors
    /// [`FileFault`] where a file stands in its place, or it may not be read.
    pub(super) fn list(&self, folder: &str, ext: &str) -> Result<Vec<String>, FileFault> {
        let mut names: Vec<String> = match self {
            Source::Demo | Source::Handbook => embedded::names(self.origin(), folder),
            Source::Memory(_) => Vec::new(),
            Source::Folder(f) | Source::Changed(f, _) => {
                let path = Source::path(f, &format!("{folder}/"));
                let fault = |e: &std::io::Error| file_fault(&shown(&path), e);
                let entries = match std::fs::read_dir(&path) {
                    Ok(entries) => Some(entries),
                    Err(e) if e.kind() == ErrorKind::NotFound => None,
                    Err(e) => return Err(fault(&e)),
                };
                let mut names = Vec::new();
                for entry in entries.into_iter().flatten() {
                    let entry = entry.map_err(|e| fault(&e))?;
                    names.extend(entry.file_name().into_string().ok());
                }
                names
            }
        };
        if let Source::Changed(_, files) | Source::Memory(files) = self {
            let inside = files.keys().filter_map(|n| n.rsplit_once('/'));
            names.extend(
                inside
                    .filter(|(f, _)| *f == folder)
                    .map(|(_, n)| n.to_owned()),
            );
        }
        names.retain(|n| !n.starts_with('.') && n.ends_with(&format!(".{ext}")));
        names.sort();
        names.dedup();
        Ok(names)
    }
}

/// Why a file's content is not there.
#[derive(Clone, Debug)]
pub(crate) enum Unread {
    /// It could not be read.
    Fault(FileFault),
    /// It is wrong, or larger than any file of its kind may be.
    Problems(Vec<Problem>),
}

impl Unread {
    /// Its Problems, a fault of the file as one.
    pub(crate) fn into_problems(self) -> Vec<Problem> {
        match self {
            Unread::Fault(f) => vec![f.problem()],
            Unread::Problems(p) => p,
        }
    }
}

/// A path as shown to people, with `/`.
pub(crate) fn shown(path: &Path) -> String {
    path.display().to_string().replace('\\', "/")
}

/// Reads a whole file of at most `largest` bytes; its length is checked before reading.
///
/// # Errors
/// [`Unread::Fault`] where it is missing, a folder or not to be read;
/// [`Unread::Problems`] with `file::too-large`.
pub(crate) fn read_file(path: &Path, largest: u64) -> Result<Vec<u8>, Unread> {
    let file = shown(path);
    let fault = |e: &std::io::Error| Unread::Fault(file_fault(&file, e));
    let about = std::fs::metadata(path).map_err(|e| fault(&e))?;
    if about.is_dir() {
        return Err(fault(&ErrorKind::IsADirectory.into()));
    }
    let too_large = || {
        let (n, unit) = if largest >= LARGEST_CSV {
            (largest >> 30, "GiB")
        } else {
            (largest >> 20, "MiB")
        };
        Unread::Problems(vec![
            Fault::new(
                "file::too-large",
                format!("the file is larger than {n} {unit}, the most that is read of its kind"),
                "split it, or take out what does not belong in it",
            )
            .at(Place::file(file.clone())),
        ])
    };
    if about.len() > largest {
        return Err(too_large());
    }
    let mut bytes = Vec::with_capacity(usize::try_from(about.len()).unwrap_or(0));
    // The file may grow, or be no plain file: never read more than was allowed.
    std::fs::File::open(path)
        .and_then(|f| f.take(largest + 1).read_to_end(&mut bytes))
        .map_err(|e| fault(&e))?;
    if u64::try_from(bytes.len()).is_ok_and(|n| n > largest) {
        return Err(too_large());
    }
    Ok(bytes)
}

/// What the system says is wrong, without its number for it.
pub(crate) fn in_words(e: &std::io::Error) -> String {
    match e.kind() {
        ErrorKind::NotFound => "its folder is not there".to_owned(),
        ErrorKind::PermissionDenied => "you have no right to".to_owned(),
        ErrorKind::IsADirectory => "a folder stands in its place".to_owned(),
        ErrorKind::NotADirectory => "a file stands where its folder belongs".to_owned(),
        ErrorKind::StorageFull => "the disk is full".to_owned(),
        ErrorKind::ReadOnlyFilesystem => "the disk takes no writing".to_owned(),
        _ => {
            let said = e.to_string().to_lowercase();
            said.split(" (os error")
                .next()
                .unwrap_or_default()
                .to_owned()
        }
    }
}

pub(crate) fn file_fault(file: &str, e: &std::io::Error) -> FileFault {
    let (what, fix) = match e.kind() {
        ErrorKind::NotFound => (
            "there is no such file".to_owned(),
            "check the name and the folder you are in",
        ),
        ErrorKind::IsADirectory => (
            "a folder stands where a file belongs".to_owned(),
            "name the file inside it, or move the folder away",
        ),
        ErrorKind::NotADirectory => (
            "a file stands where a folder belongs".to_owned(),
            "name the folder, or move the file away",
        ),
        ErrorKind::PermissionDenied => (
            "you may not read it".to_owned(),
            "give yourself the right to read it",
        ),
        _ => (
            format!("cannot be read: {}", in_words(e)),
            "try again, or copy the file elsewhere",
        ),
    };
    FileFault {
        file: file.to_owned(),
        what,
        fix: fix.to_owned(),
    }
}
