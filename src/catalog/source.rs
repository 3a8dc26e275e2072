//! Where files come from: a folder on disk, or the demo embedded in the program.

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
