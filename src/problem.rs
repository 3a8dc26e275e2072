//! Everything that can be wrong in an input: what, where, and what to write instead.
//!
//! A [`Fault`] is found by the pure core and has no place. Whoever read the
//! input knows the place and turns it into a [`Problem`] once. `render` draws
//! Problems; `lint` is the list of all of them.

mod codes;

pub use codes::{CodeKind, Example, ExampleFile, Explained, Side, explained};

use serde::Serialize;

/// Something wrong in a piece of input, not yet located.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{what}")]
pub struct Fault {
    /// Stable code of ours, `area::name` in kebab case, e.g. `unit::mass-for-force`.
    pub code: &'static str,
    /// What is wrong, in lower case, with names in back-ticks.
    pub what: String,
    /// What to write instead.
    pub fix: String,
}

impl Fault {
    /// A fault with its code, what is wrong and what to write instead.
    pub fn new(code: &'static str, what: impl Into<String>, fix: impl Into<String>) -> Self {
        Fault {
            code,
            what: what.into(),
            fix: fix.into(),
        }
    }

    /// This fault at `place`, as an error.
    pub fn at(self, place: Place) -> Problem {
        Problem {
            code: self.code.to_owned(),
            severity: Severity::Error,
            at: place,
            what: self.what,
            fix: self.fix,
        }
    }
}

/// How bad a [`Problem`] is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// The input cannot be used.
    Error,
    /// The input can be used, but deserves a second look.
    Doubt,
}

/// Where in an input a [`Problem`] is.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, schemars::JsonSchema)]
pub struct Place {
    /// The file as the user named it, with `/`.
    pub file: String,
    /// Line from 1; 0 where the whole file is meant.
    pub line: usize,
    /// Column in characters from 1; 0 where the whole line is meant.
    pub column: usize,
    /// Column name or JSON path, where known.
    pub field: Option<String>,
    /// The source line as it stands, where it helps.
    pub source_line: Option<String>,
    /// Length of the marked text in characters.
    pub length: usize,
}

impl Place {
    /// A place that means a whole file.
    pub fn file(file: impl Into<String>) -> Self {
        Place {
            file: file.into(),
            line: 0,
            column: 0,
            field: None,
            source_line: None,
            length: 0,
        }
    }
}

/// A located fault or doubt.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Problem {
    /// Stable code of ours, `area::name`.
    pub code: String,
    /// Error or doubt.
    pub severity: Severity,
    /// Where it is.
    pub at: Place,
    /// What is wrong.
    pub what: String,
    /// What to write instead.
    pub fix: String,
}
