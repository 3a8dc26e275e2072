//! The system's lock on a catalog: one writer, or any number of readers.
//!
//! The lock belongs to the running process and ends with it, however it ends.
//! The file `.lock` stays where it is and means nothing by itself.
#![expect(
    clippy::disallowed_methods,
    reason = "the one place that opens the lock file"
)]

use crate::catalog::FileFault;
use crate::catalog::source::{in_words, shown};
use std::fs::{File, TryLockError};
use std::io::ErrorKind;
use std::path::Path;
use std::time::Duration;

/// Name of the lock file in the folder of the catalog.
const LOCK: &str = ".lock";

/// How long another process may keep us waiting.
pub(super) const PATIENCE: Duration = Duration::from_secs(30);

/// A lock that is held until it is dropped.
#[derive(Debug)]
pub(super) struct Held {
    /// Closing it gives the lock back.
    _file: File,
}

/// Takes the lock of a catalog for writing.
///
/// # Errors
/// [`FileFault`] where the lock file cannot be made, the disk knows no locks,
/// or another process still holds it after so long.
pub(super) fn for_writing(folder: &Path, patience: Duration) -> Result<Held, FileFault> {
    let path = folder.join(LOCK);
    let file = File::options()
        .create(true)
        .truncate(false)
        .read(true)
        .write(true)
        .open(&path)
        .map_err(|e| no_lock_file(folder, &e))?;
    wait(file, File::try_lock, File::lock, &path, patience)
}

/// Takes the lock for reading; `None` where nobody has ever written here, or the disk knows no locks.
///
/// # Errors
/// [`FileFault`] where a writer still holds it after half a minute.
pub(super) fn for_reading(folder: &Path) -> Result<Option<Held>, FileFault> {
    let path = folder.join(LOCK);
    let Ok(file) = File::open(&path) else {
        return Ok(None);
    };
    if matches!(file.try_lock_shared(), Err(TryLockError::Error(_))) {
        return Ok(None);
    }
    wait(
        file,
        File::try_lock_shared,
        File::lock_shared,
        &path,
        PATIENCE,
    )
    .map(Some)
}

fn wait(
    file: File,
    now: fn(&File) -> Result<(), TryLockError>,
    in_turn: fn(&File) -> std::io::Result<()>,
    path: &Path,
    patience: Duration,
) -> Result<Held, FileFault> {
    let failed = |e: &std::io::Error| FileFault {
        file: shown(path),
        what: format!("cannot be locked: {}", in_words(e)),
        fix: "move the catalog to a disk that can lock files, such as one of this computer"
            .to_owned(),
    };
    match now(&file) {
        Ok(()) => return Ok(Held { _file: file }),
        Err(TryLockError::Error(e)) => return Err(failed(&e)),
        Err(TryLockError::WouldBlock) => {}
    }
    // The system hands the lock out in the order of asking; only waiting for it needs a limit.
    let (give, take) = std::sync::mpsc::channel();
    std::thread::spawn(move || {
        let got = in_turn(&file);
        // Nobody may be waiting any more; then the file is closed here.
        drop(give.send(got.map(|()| file)));
    });
    match take.recv_timeout(patience) {
        Ok(Ok(file)) => Ok(Held { _file: file }),
        Ok(Err(e)) => Err(failed(&e)),
        Err(_) => Err(FileFault {
            file: shown(path),
            what: format!(
                "another running dutyfit has held the catalog for {} seconds",
                patience.as_secs()
            ),
            fix: "wait for it or end it, then try again; the file alone locks nothing and needs no deleting"
                .to_owned(),
        }),
    }
}

fn no_lock_file(folder: &Path, e: &std::io::Error) -> FileFault {
    let (what, fix) = match e.kind() {
        ErrorKind::NotFound => (
            "there is no such folder".to_owned(),
            "name the folder of a catalog with `--catalog DIR`",
        ),
        _ => (
            format!("cannot be written to: {}", in_words(e)),
            "give yourself the right to write to the folder, or copy the catalog elsewhere; nothing was changed",
        ),
    };
    FileFault {
        file: shown(folder),
        what,
        fix: fix.to_owned(),
    }
}
