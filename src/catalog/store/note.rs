//! The pending note: what a change has written beside its files, and how far it is.
//!
//! It stands in the catalog's folder from before the first temporary is made
//! until after the last rename. Whoever finds one finishes the change if the
//! note says `ready`, and undoes it if not.

use serde::{Deserialize, Serialize};
use std::path::PathBuf;

/// Name of the note in the folder of the catalog.
pub(super) const NOTE: &str = ".pending";

/// Name of a note on its way.
pub(super) const COMING: &str = ".pending.new";

const FORMAT: &str = "dutyfit.pending/1";

/// A change on its way.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Note {
    format: String,
    /// Whether every temporary is whole, so that only renames are left.
    pub(super) ready: bool,
    /// The files that change, in the order of their renames.
    pub(super) files: Vec<Entry>,
    /// Further files whose temporaries are no longer wanted.
    pub(super) discard: Vec<String>,
}

/// One file of a change.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Entry {
    /// Workspace name, `catalog/readings/tensile.csv`.
    pub(super) file: String,
    /// Workspace name of the temporary beside it.
    pub(super) beside: String,
    /// The content before; `None` where the file is new.
    pub(super) was: Option<Mark>,
    /// The content after; `None` where the file goes.
    pub(super) becomes: Option<Mark>,
}

/// What tells one content of a file from another.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Mark {
    bytes: u64,
    sum: String,
}

impl Mark {
    /// The mark of a content. Two contents that people or programs wrote do not share one by chance.
    pub(super) fn of(content: &[u8]) -> Self {
        const TURN: u32 = 5;
        const STIR: u64 = 0x517c_c1b7_2722_0a95; // odd, about 2^64 / pi
        let stirred = |sum: u64, word: u64| (sum.rotate_left(TURN) ^ word).wrapping_mul(STIR);
        let words = content.chunks_exact(8);
        let rest = words.remainder();
        let sum = words.fold(0, |sum, w| {
            let mut word = [0; 8];
            word.copy_from_slice(w);
            stirred(sum, u64::from_le_bytes(word))
        });
        let sum = rest.iter().fold(sum, |sum, b| stirred(sum, u64::from(*b)));
        Mark {
            bytes: u64::try_from(content.len()).unwrap_or(u64::MAX),
            sum: format!("{sum:016x}"),
        }
    }
}

impl Note {
    pub(super) fn new(ready: bool, files: Vec<Entry>, discard: Vec<String>) -> Self {
        Note {
            format: FORMAT.to_owned(),
            ready,
            files,
            discard,
        }
    }

    pub(super) fn to_bytes(&self) -> std::io::Result<Vec<u8>> {
        let mut bytes = serde_json::to_vec_pretty(self)?;
        bytes.push(b'\n');
        Ok(bytes)
    }

    /// Reads a note; `None` where it is none of ours, or names a file outside the workspace.
    pub(super) fn read(bytes: &[u8]) -> Option<Self> {
        let note: Note = serde_json::from_slice(bytes).ok()?;
        let named = note.files.iter().flat_map(|e| [&e.file, &e.beside]);
        let inside = named.chain(&note.discard).all(|n| is_inside(n));
        (note.format == FORMAT && inside).then_some(note)
    }
}

/// Ending of a temporary that holds what a file shall become.
pub(super) const NEW: &str = "new";
/// Ending of a temporary that holds what a file was, to put it back.
pub(super) const OLD: &str = "old";

/// The name of a temporary of a file, in the same folder.
pub(super) fn beside(file: &str, ending: &str) -> String {
    match file.rsplit_once('/') {
        Some((folder, name)) => format!("{folder}/.{name}.{ending}"),
        None => format!(".{file}.{ending}"),
    }
}

/// Whether a name is that of a file of a workspace, and leads nowhere else.
fn is_inside(name: &str) -> bool {
    let (folder, file) = name.rsplit_once('/').unwrap_or(("", name));
    let plain = !file.is_empty()
        && PathBuf::from(file).components().count() == 1
        && !file.contains(['\\', ':'])
        && file != ".."
        && file != ".";
    plain
        && matches!(
            folder,
            "" | "catalog" | "catalog/readings" | "cases" | "weights" | "schemas"
        )
}
