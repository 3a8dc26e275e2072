//! One JSON file by its path, and the cases of a folder.
#![expect(
    clippy::disallowed_methods,
    reason = "folders of cases are listed here"
)]

use crate::catalog::source::{LARGEST_JSON, file_fault, read_file, shown};
use crate::catalog::text::json_text;
use crate::catalog::{FileFault, Unread};
use std::path::{Path, PathBuf};

/// The text of a JSON file; a byte order mark is left out.
///
/// # Errors
/// [`Unread::Fault`] where it cannot be read, [`Unread::Problems`] where it is too large or not UTF-8.
pub(crate) fn read_json_text(path: &Path) -> Result<String, Unread> {
    let bytes = read_file(path, LARGEST_JSON)?;
    json_text(&shown(path), &bytes)
        .map(str::to_owned)
        .map_err(|p| Unread::Problems(vec![*p]))
}

/// The JSON files of a folder, by name.
///
/// # Errors
/// [`FileFault`] where the folder cannot be listed.
pub(crate) fn json_files(folder: &Path) -> Result<Vec<PathBuf>, FileFault> {
    let fault = |e: &std::io::Error| file_fault(&shown(folder), e);
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(|e| fault(&e))? {
        let path = entry.map_err(|e| fault(&e))?.path();
        if path.extension().is_some_and(|x| x == "json") {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}
