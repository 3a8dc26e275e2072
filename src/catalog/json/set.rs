//! `--set KEY=VALUE`: one entry of a case changed for one answer.

use crate::catalog::json::case::{Beside, HARM, PLAIN, SURROUNDINGS, input_names, kind_of, read};
use crate::catalog::json::tree::{Seg, Tree, segments};
use crate::catalog::words::meant;
use crate::duty::Case;
use crate::problem::{Fault, Place, Problem};
use serde_json::Value;

/// The file that a changed entry's Problems name.
const FILE: &str = "--set";

/// Reads a case with some of its entries changed.
pub(super) fn read_changed(
    file: &str,
    text: &str,
    sets: &[(String, String)],
    beside: Beside<'_>,
) -> Result<Case, Vec<Problem>> {
    if sets.is_empty() {
        return read(file, text, beside);
    }
    let tree = Tree::parse(file, text)?;
    let Ok(mut value) = serde_json::from_str::<Value>(text) else {
        return read(file, text, beside);
    };
    let mut problems = Vec::new();
    let mut paths = Vec::new();
    for (key, new) in sets {
        match path_of(&tree, key) {
            Ok(path) => {
                put_as_fits(&mut value, &path, new, beside);
                paths.push((path, key, new));
            }
            Err(f) => problems.push(f.at(place(key, new))),
        }
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    read(file, &value.to_string(), beside).map_err(|found| {
        // The text was written anew: its lines are nobody's, so every Problem is shown at the
        // change it names, else at the entry of the file that stands.
        found
            .into_iter()
            .map(|p| {
                let field = p.at.field.clone().unwrap_or_default();
                let by = paths.iter().find(|(path, _, _)| {
                    field.starts_with(path.as_str()) || path.starts_with(&field)
                });
                let at = match by {
                    Some((_, key, new)) => place(key, new),
                    None => tree.at(&field),
                };
                Problem { at, ..p }
            })
            .collect()
    })
}

fn place(key: &str, new: &str) -> Place {
    Place {
        file: FILE.to_owned(),
        line: 1,
        column: key.chars().count() + 2,
        field: Some(key.to_owned()),
        source_line: Some(format!("{key}={new}")),
        length: new.chars().count().max(1),
    }
}

/// Puts a new value at a path: as text where text belongs there, else as the number or yes/no that
/// it is, else as a list parted by commas. Where nothing fits, the one that is told best stays.
fn put_as_fits(value: &mut Value, path: &str, new: &str, beside: Beside<'_>) {
    let text = Value::String(new.to_owned());
    put(value, path, text.clone());
    let Some(code) = fault_at(value, path, beside) else {
        return;
    };
    let bare = serde_json::from_str::<Value>(new)
        .ok()
        .filter(|v| !v.is_string() && !v.is_null());
    let list = new.split(',').map(|w| Value::String(w.trim().to_owned()));
    for other in [bare.clone(), Some(Value::Array(list.collect()))]
        .into_iter()
        .flatten()
    {
        put(value, path, other);
        if fault_at(value, path, beside).is_none() {
            return;
        }
    }
    // A figure that lacks its unit is best told as the text it is.
    let lacks_unit = code.starts_with("unit::");
    put(value, path, bare.filter(|_| !lacks_unit).unwrap_or(text));
}

/// The code of the first fault that reading the changed case finds in the entry at `path`.
fn fault_at(value: &Value, path: &str, beside: Beside<'_>) -> Option<String> {
    let found = read(FILE, &value.to_string(), beside).err()?;
    found
        .into_iter()
        .find(|p| p.at.field.as_deref().is_some_and(|f| f.starts_with(path)))
        .map(|p| p.code)
}

/// The path of the entry that a key means.
fn path_of(tree: &Tree<'_>, key: &str) -> Result<String, Fault> {
    let inputs = kind_of(tree).map(input_names).unwrap_or_default();
    let first = key.split(['.', '[']).next().unwrap_or(key);
    let tops = ["inputs", "surroundings", "harm", "limits", "weights"];
    if tops.contains(&first) && key.contains('.') {
        let inside = key.split('.').nth(1).unwrap_or("");
        let inside = inside.split('[').next().unwrap_or("");
        let known: Vec<&str> = match first {
            "inputs" => inputs.iter().map(String::as_str).collect(),
            "surroundings" => SURROUNDINGS.to_vec(),
            "harm" => HARM.to_vec(),
            _ => return Ok(key.to_owned()),
        };
        return if known.contains(&inside) {
            Ok(key.to_owned())
        } else {
            Err(unknown(key, inside, &known))
        };
    }
    if tops.contains(&key) && !inputs.iter().any(|i| i == key) {
        return Err(group(key, &inputs));
    }
    let homes = [
        (
            "inputs.",
            inputs.iter().map(String::as_str).collect::<Vec<_>>(),
        ),
        ("surroundings.", SURROUNDINGS.to_vec()),
        ("", PLAIN.to_vec()),
        ("harm.", HARM.to_vec()),
    ];
    for (home, names) in &homes {
        if names.contains(&first) {
            return Ok(format!("{home}{key}"));
        }
    }
    let all: Vec<&str> = homes.into_iter().flat_map(|(_, names)| names).collect();
    Err(unknown(key, first, &all))
}

/// What a key is told that names a group of entries and none of them.
fn group(key: &str, inputs: &[String]) -> Fault {
    let names: Vec<&str> = match key {
        "inputs" => inputs.iter().map(String::as_str).collect(),
        "surroundings" => SURROUNDINGS.to_vec(),
        "harm" => HARM.to_vec(),
        "limits" => vec!["ID.at_least", "ID.at_most"],
        _ => vec!["points.AIM"],
    };
    let names: Vec<String> = names.iter().map(|n| format!("{key}.{n}")).collect();
    Fault::new(
        "set::unknown-key",
        format!("`{key}` is a group of entries, and `--set` changes one"),
        meant(key, names.iter().map(String::as_str)),
    )
}

fn unknown(key: &str, name: &str, known: &[&str]) -> Fault {
    Fault::new(
        "set::unknown-key",
        format!("`{key}` is no entry of this case"),
        meant(name, known.iter().copied()),
    )
}

/// Puts a value at a path, with the objects on the way.
fn put(root: &mut Value, path: &str, new: Value) {
    let mut at = root;
    let steps = segments(path);
    let Some((last, way)) = steps.split_last() else {
        return;
    };
    for step in way {
        let next = match (step, at) {
            (Seg::Key(k), Value::Object(o)) => o
                .entry(k.clone())
                .or_insert_with(|| Value::Object(serde_json::Map::new())),
            (Seg::Index(i), Value::Array(a)) => match a.get_mut(*i) {
                Some(v) => v,
                None => return,
            },
            _ => return,
        };
        at = next;
    }
    match (last, at) {
        (Seg::Key(k), Value::Object(o)) => {
            o.insert(k.clone(), new);
        }
        (Seg::Index(i), Value::Array(a)) => {
            if let Some(v) = a.get_mut(*i) {
                *v = new;
            }
        }
        _ => {}
    }
}
