//! The JSON Schemas of files and outputs, from the types that read and write them.

use crate::render::json::{
    CheckFile, ProblemsFile, ShortlistFile, ShortlistsFile, ShowFile, written,
};
use crate::render::part::PartsFile;
use crate::render::reduce::ReduceFile;
use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema};

/// Kinds that have a schema, and how it is made.
const KINDS: &[(&str, fn() -> Schema)] = &[
    ("shortlist", output::<ShortlistFile>),
    ("shortlists", output::<ShortlistsFile>),
    ("check", output::<CheckFile>),
    ("show", output::<ShowFile>),
    ("parts", output::<PartsFile>),
    ("reduce", output::<ReduceFile>),
    ("lint", output::<ProblemsFile>),
    ("problems", output::<ProblemsFile>),
];

/// The schema of what is written: what may be left out is not required.
fn output<T: JsonSchema>() -> Schema {
    SchemaSettings::draft2020_12()
        .for_serialize()
        .into_generator()
        .into_root_schema_for::<T>()
}

/// Names of the kinds.
pub(crate) fn kinds() -> impl Iterator<Item = &'static str> {
    KINDS.iter().map(|k| k.0)
}

/// The schema of a kind as JSON text; `None` for an unknown kind.
pub(crate) fn schema(kind: &str) -> Option<String> {
    KINDS
        .iter()
        .find(|k| k.0 == kind)
        .map(|k| written(&(k.1)()))
}
