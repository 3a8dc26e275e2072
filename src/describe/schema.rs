//! What a JSON Schema says of one entry: what it is, why it is asked, what answers it takes.

use crate::describe::question::{Choice, Takes};
use crate::duty::PartKind;
use crate::problem::Fault;
use serde_json::{Map, Value};

/// An entry of an object, as its schema tells it.
#[derive(Clone, Debug)]
pub(super) struct Entry {
    /// Name.
    pub(super) name: String,
    /// What it is.
    pub(super) what: String,
    /// Why it is asked; may be empty.
    pub(super) why: String,
    /// What answers it takes; `None` for what no single answer fills.
    pub(super) takes: Option<Takes>,
    /// An answer that its kind of quantity takes; may be empty.
    pub(super) example: String,
    /// Whether it must be there.
    pub(super) required: bool,
}

impl Entry {
    /// What holds when it is left out, where its description says so: `4 when left out`.
    pub(super) fn default(&self) -> Option<&str> {
        let before = self.what.split(" when left out").next()?;
        if before.len() == self.what.len() {
            return None;
        }
        before
            .rsplit([';', ':', ','])
            .next()
            .map(str::trim)
            .filter(|d| !d.is_empty())
    }
}

/// The entries of a part kind's inputs, in the order in which its type declares them.
pub(super) fn inputs(kind: &PartKind) -> Vec<Entry> {
    let schema = (kind.schema)().to_value();
    let mut all = entries(&schema, &schema);
    let order = declared(kind);
    let place = |e: &Entry| order.iter().position(|n| *n == e.name);
    all.sort_by_key(|e| place(e).unwrap_or(usize::MAX));
    all
}

/// Names in the order of declaration. A schema sorts them; the reader's own list of what it knows
/// does not.
fn declared(kind: &PartKind) -> Vec<String> {
    match (kind.read)("{\"\": 0}") {
        Ok(_) => Vec::new(),
        Err(f) => f
            .message
            .split('`')
            .skip(1)
            .step_by(2)
            .map(str::to_owned)
            .collect(),
    }
}

/// The entries of an object's schema within the whole schema that it stands in.
pub(super) fn entries(root: &Value, object: &Value) -> Vec<Entry> {
    let required: Vec<&str> = object
        .get("required")
        .and_then(Value::as_array)
        .into_iter()
        .flatten()
        .filter_map(Value::as_str)
        .collect();
    let properties = object.get("properties").and_then(Value::as_object);
    properties
        .into_iter()
        .flatten()
        .map(|(name, about)| {
            let text = |key: &str| {
                let own = about.get(key).and_then(Value::as_str);
                own.unwrap_or_default().to_owned()
            };
            let shape = resolved(root, about);
            Entry {
                what: text("description"),
                why: text("why"),
                takes: takes(shape),
                example: shape
                    .get("examples")
                    .and_then(Value::as_array)
                    .and_then(|e| e.first())
                    .map(said)
                    .unwrap_or_default(),
                required: required.contains(&name.as_str()),
                name: name.clone(),
            }
        })
        .collect()
}

/// What stands behind `$ref`, and behind an `anyOf` whose other branch is null.
pub(super) fn resolved<'s>(root: &'s Value, about: &'s Value) -> &'s Value {
    let mut at = about;
    // A schema's references here are two deep at most.
    for _ in 0..8 {
        if let Some(branches) = at.get("anyOf").and_then(Value::as_array) {
            let real = |b: &&Value| b.get("type").and_then(Value::as_str) != Some("null");
            match branches.iter().find(real) {
                Some(b) => at = b,
                None => return at,
            }
        } else if let Some(to) = at.get("$ref").and_then(Value::as_str) {
            match root.pointer(to.trim_start_matches('#')) {
                Some(b) => at = b,
                None => return at,
            }
        } else {
            return at;
        }
    }
    at
}

fn takes(shape: &Value) -> Option<Takes> {
    if let Some(words) = words(shape) {
        return Some(Takes::Word(words));
    }
    let kind = match shape.get("type") {
        Some(Value::String(t)) => t.as_str(),
        Some(Value::Array(all)) => all
            .iter()
            .filter_map(Value::as_str)
            .find(|t| *t != "null")?,
        _ => return None,
    };
    match kind {
        "string" if shape.get("examples").is_some() => Some(Takes::Quantity),
        "string" => Some(Takes::Text),
        "number" => Some(Takes::Number),
        "integer" => Some(Takes::Whole),
        "boolean" => Some(Takes::YesNo),
        "array" => {
            let items = shape.get("items")?.get("type")?.as_str()?;
            (items == "string").then_some(Takes::List)
        }
        _ => None,
    }
}

fn words(shape: &Value) -> Option<Vec<Choice>> {
    let one = |word: &Value, what: &str| {
        Some(Choice {
            word: word.as_str()?.to_owned(),
            what: what.to_owned(),
        })
    };
    if let Some(all) = shape.get("enum").and_then(Value::as_array) {
        return all.iter().map(|w| one(w, "")).collect();
    }
    let branches = shape.get("oneOf")?.as_array()?;
    let mut found = Vec::new();
    for b in branches {
        let what = b.get("description").and_then(Value::as_str).unwrap_or("");
        if let Some(word) = b.get("const") {
            found.push(one(word, what)?);
        } else {
            for word in b.get("enum")?.as_array()? {
                found.push(one(word, what)?);
            }
        }
    }
    Some(found)
}

/// A value as a person would have typed it.
pub(super) fn said(value: &Value) -> String {
    match value {
        Value::String(t) => t.clone(),
        Value::Bool(true) => "yes".to_owned(),
        Value::Bool(false) => "no".to_owned(),
        Value::Array(all) => {
            let each: Vec<String> = all.iter().map(said).collect();
            each.join(", ")
        }
        other => other.to_string(),
    }
}

/// The worked example of a part kind as JSON.
pub(super) fn example(kind: &PartKind) -> Map<String, Value> {
    match serde_json::from_str(kind.example) {
        Ok(Value::Object(o)) => o,
        _ => Map::new(),
    }
}

/// The known names that a text sets in back-ticks, alone or inside a piece of JSON.
pub(super) fn names_in<'n>(text: &str, known: &[&'n str]) -> Vec<&'n str> {
    let mut found: Vec<&'n str> = Vec::new();
    for piece in text.split('`').skip(1).step_by(2) {
        for word in piece.split(|c: char| !(c.is_alphanumeric() || c == '_')) {
            if let Some(name) = known.iter().find(|k| **k == word)
                && !found.contains(name)
            {
                found.push(name);
            }
        }
    }
    found
}

/// A fault that says what a named thing is not, with what it may have been.
pub(super) fn unknown(code: &'static str, what: String, name: &str, known: &[&str]) -> Fault {
    Fault::new(
        code,
        what,
        crate::catalog::meant(name, known.iter().copied()),
    )
}
