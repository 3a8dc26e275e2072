//! Where files come from: a folder on disk, or the demo embedded in the program.
#![expect(
    clippy::disallowed_methods,
    reason = "the one place that reads the workspace"
)]

use crate::problem::{Fault, Place, Problem};
use std::io::{ErrorKind, Read};
use std::path::Path;

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

/// A place that holds a workspace's files.
#[derive(Clone, Debug)]
pub enum Source {
    /// The embedded demo.
    Demo,
    /// A folder: the catalog's; `cases`, `weights` and `policy.json` stand beside it.
    Folder(std::path::PathBuf),
}

/// Why a file's content is not there.
#[derive(Clone, Debug)]
pub(crate) enum Unread {
    /// It could not be read.
    Fault(FileFault),
    /// It is wrong, or larger than any file of its kind may be.
    Problems(Vec<Problem>),
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
            format!("cannot be read: {e}"),
            "try again, or copy the file elsewhere",
        ),
    };
    FileFault {
        file: file.to_owned(),
        what,
        fix: fix.to_owned(),
    }
}
