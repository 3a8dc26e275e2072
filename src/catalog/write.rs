//! Replacing a file as a whole.
#![expect(
    clippy::disallowed_methods,
    reason = "the one place that writes answers to disk"
)]

use crate::catalog::FileFault;
use crate::catalog::source::{in_words, shown};
use std::io::Write;
use std::path::Path;

/// Writes `bytes` to a temporary file beside `path`, flushes it and renames it over `path`.
///
/// A reader sees the old file or the new one, never a part. The permissions of
/// an old file are kept.
///
/// # Errors
/// [`FileFault`] where the folder cannot be written to; nothing is left behind.
pub fn replace_file(path: &Path, bytes: &[u8]) -> Result<(), FileFault> {
    let fault = |e: &std::io::Error| FileFault {
        file: path.display().to_string(),
        what: format!("cannot be written: {}", in_words(e)),
        fix: "name a file in a folder that exists and may be written to".to_owned(),
    };
    let name = path
        .file_name()
        .ok_or_else(|| fault(&std::io::Error::from(std::io::ErrorKind::IsADirectory)))?;
    if path.is_dir() {
        return Err(fault(&std::io::Error::from(
            std::io::ErrorKind::IsADirectory,
        )));
    }
    let mut beside = name.to_os_string();
    beside.push(format!(".{}.tmp", std::process::id()));
    let temporary = path.with_file_name(beside);
    let written = (|| {
        let mut file = std::fs::File::create(&temporary)?;
        file.write_all(bytes)?;
        if let Ok(old) = std::fs::metadata(path) {
            file.set_permissions(old.permissions())?;
        }
        file.sync_all()?;
        std::fs::rename(&temporary, path)
    })();
    written.map_err(|e| {
        drop(std::fs::remove_file(&temporary));
        fault(&e)
    })
}

/// Makes a folder and those above it; one that is there is no error.
///
/// # Errors
/// [`FileFault`] where it cannot be made.
pub(crate) fn make_folder(path: &Path) -> Result<(), FileFault> {
    std::fs::create_dir_all(path).map_err(|e| FileFault {
        file: shown(path),
        what: format!("cannot be made: {}", in_words(&e)),
        fix: "name a folder where you may write".to_owned(),
    })
}
