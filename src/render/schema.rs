//! The JSON Schemas of files and outputs, from the types that read and write them.

use crate::catalog::{CaseJson, MapsJson, PolicyJson, WeightsJson};
use crate::duty::parts;
use crate::render::DescribeFile;
use crate::render::compare::CompareFile;
use crate::render::edit::{AsideFile, InitFile, RenameFile};
use crate::render::explain::CodesFile;
use crate::render::form::{FormFile, FormsFile};
use crate::render::json::{
    CheckFile, ProblemsFile, SheetFile, ShortlistFile, ShortlistsFile, ShowFile, SkippedOut,
    WhyFile, written,
};
use crate::render::part::PartsFile;
use crate::render::record::RecordFile;
use crate::render::reduce::{ReduceFile, ReducedFile};
use crate::render::rig_check::RigCheckFile;
use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema};
use serde_json::{Map, Value, json};

/// Makes a schema.
type Make = fn() -> Schema;

/// Kinds that have a schema, and how it is made.
const KINDS: &[(&str, Make)] = &[
    ("case", case),
    ("weights", input::<WeightsJson>),
    ("policy", input::<PolicyJson>),
    ("maps", input::<MapsJson>),
    ("shortlist", answer::<ShortlistFile>),
    ("shortlists", answer::<ShortlistsFile>),
    ("check", answer::<CheckFile>),
    ("show", answer::<ShowFile>),
    ("why", answer::<WhyFile<'static>>),
    ("parts", output::<PartsFile<'static>>),
    ("describe", output::<DescribeFile<'static>>),
    ("set-aside", output::<AsideFile>),
    ("init", output::<InitFile>),
    ("rename", output::<RenameFile>),
    ("sheet", answer::<SheetFile>),
    ("compare", answer::<CompareFile<'static>>),
    ("rig-check", answer::<RigCheckFile<'static>>),
    ("reduced", answer::<ReducedFile>),
    ("record", output::<RecordFile>),
    ("reduce", answer::<ReduceFile>),
    ("form", output::<FormFile>),
    ("forms", output::<FormsFile>),
    ("lint", output::<ProblemsFile>),
    ("codes", output::<CodesFile<'static>>),
    ("problems", output::<ProblemsFile>),
];

/// The schema of what is written: what may be left out is not required.
fn output<T: JsonSchema>() -> Schema {
    SchemaSettings::draft2020_12()
        .for_serialize()
        .into_generator()
        .into_root_schema_for::<T>()
}

/// The schema of an answer from a catalog, which may say what `--skip-bad` left out.
fn answer<T: JsonSchema>() -> Schema {
    let mut whole = output::<T>();
    let mut skipped = output::<SkippedOut<'static>>().to_value();
    prefix_refs(&mut skipped, "skipped");
    let (Some(own), Some(object)) = (skipped.as_object_mut(), whole.as_object_mut()) else {
        return whole;
    };
    own.remove("$schema");
    if let Some(Value::Object(mine)) = own.remove("$defs") {
        let defs = object.entry("$defs").or_insert_with(|| Map::new().into());
        if let Some(defs) = defs.as_object_mut() {
            defs.extend(mine.into_iter().map(|(k, v)| (format!("skipped.{k}"), v)));
        }
    }
    if let Some(Value::Object(properties)) = object.get_mut("properties") {
        properties.insert("skipped".to_owned(), skipped);
    }
    whole
}

/// The schema of what is read: unknown fields are refused, what has a default may be left out.
fn input<T: JsonSchema>() -> Schema {
    SchemaSettings::draft2020_12()
        .into_generator()
        .into_root_schema_for::<T>()
}

/// The schema of a case: `inputs` by the part kind that `part` names.
fn case() -> Schema {
    let mut whole = input::<CaseJson>();
    let mut branches = Vec::new();
    let mut ids = Vec::new();
    let mut defs = Map::new();
    for kind in parts() {
        let mut inputs = (kind.schema)().to_value();
        prefix_refs(&mut inputs, kind.id);
        if let Some(own) = inputs.as_object_mut() {
            own.remove("$schema");
            if let Some(Value::Object(mine)) = own.remove("$defs") {
                defs.extend(
                    mine.into_iter()
                        .map(|(k, v)| (format!("{}.{k}", kind.id), v)),
                );
            }
        }
        branches.push(json!({
            "if": { "properties": { "part": { "const": kind.id } }, "required": ["part"] },
            "then": { "properties": { "inputs": inputs } },
        }));
        ids.push(kind.id);
    }
    if let Some(object) = whole.as_object_mut() {
        object.insert("allOf".to_owned(), branches.into());
        if let Some(Value::Object(properties)) = object.get_mut("properties") {
            properties.insert(
                "part".to_owned(),
                json!({ "description": "Kind of part.", "enum": ids }),
            );
            properties.insert(
                "inputs".to_owned(),
                json!({ "description": "Inputs of the part.", "type": "object" }),
            );
        }
        match object.get_mut("$defs") {
            Some(Value::Object(all)) => all.extend(defs),
            _ => {
                object.insert("$defs".to_owned(), defs.into());
            }
        }
    }
    whole
}

/// Points every reference at the definitions that carry the part's name.
fn prefix_refs(schema: &mut Value, part: &str) {
    match schema {
        Value::Object(object) => {
            for (key, value) in object {
                match value {
                    Value::String(to) if key == "$ref" => {
                        *to = to.replace("#/$defs/", &format!("#/$defs/{part}."));
                    }
                    other => prefix_refs(other, part),
                }
            }
        }
        Value::Array(all) => all.iter_mut().for_each(|v| prefix_refs(v, part)),
        _ => {}
    }
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
