//! One JSON file by its path, and the cases of a folder.
#![expect(
    clippy::disallowed_methods,
    reason = "folders of cases are listed here"
)]

use crate::catalog::source::{LARGEST_JSON, file_fault, read_file, shown};
use crate::catalog::{FileFault, Unread};
use crate::problem::{Fault, Place};
use std::path::{Path, PathBuf};

/// The text of a JSON file; a byte order mark is left out.
///
/// # Errors
/// [`Unread::Fault`] where it cannot be read, [`Unread::Problems`] where it is too large or not UTF-8.
pub(crate) fn read_json_text(path: &Path) -> Result<String, Unread> {
    let bytes = read_file(path, LARGEST_JSON)?;
    let text = String::from_utf8(bytes).map_err(|e| {
        let head = e.as_bytes().get(..e.utf8_error().valid_up_to());
        let head = String::from_utf8_lossy(head.unwrap_or_default()).into_owned();
        let line = head.matches('\n').count() + 1;
        let column = head.rsplit('\n').next().unwrap_or("").chars().count() + 1;
        Unread::Problems(vec![
            Fault::new(
                "json::not-utf8",
                "the text is not UTF-8 from here on",
                "save the file as UTF-8",
            )
            .at(Place {
                line,
                column,
                ..Place::file(shown(path))
            }),
        ])
    })?;
    Ok(text.trim_start_matches('\u{feff}').to_owned())
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
