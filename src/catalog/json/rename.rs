//! A material's id replaced in a JSON file, every other byte kept.

use super::tree::Tree;
use crate::problem::Problem;
use jsonc_parser::ast::{Object, Value};
use jsonc_parser::common::{Range, Ranged};

/// Fields that hold the id of a material, or a list of such ids.
const NAMES: &[&str] = &["material", "materials", "counterface", "among", "without"];

/// The text with `new` wherever a field that holds materials says `old`, and how often it did.
///
/// # Errors
/// What is wrong where the text is no JSON object.
pub(in crate::catalog) fn renamed_values(
    file: &str,
    text: &str,
    old: &str,
    new: &str,
) -> Result<(String, usize), Vec<Problem>> {
    let tree = Tree::parse(file, text)?;
    let mut found = Vec::new();
    in_object(tree.root(), old, &mut found);
    let mut out = String::with_capacity(text.len() + found.len() * new.len());
    let mut from = 0;
    for range in &found {
        out.push_str(text.get(from..range.start).unwrap_or(""));
        out.push_str(&format!("\"{new}\""));
        from = range.end;
    }
    out.push_str(text.get(from..).unwrap_or(""));
    Ok((out, found.len()))
}

fn in_object(object: &Object<'_>, old: &str, found: &mut Vec<Range>) {
    for p in &object.properties {
        in_value(&p.value, NAMES.contains(&p.name.as_str()), old, found);
    }
}

fn in_value(value: &Value<'_>, named: bool, old: &str, found: &mut Vec<Range>) {
    match value {
        Value::StringLit(s) if named && s.value == old => found.push(s.range()),
        Value::Array(a) => {
            for v in &a.elements {
                in_value(v, named, old, found);
            }
        }
        Value::Object(o) => in_object(o, old, found),
        _ => {}
    }
}
