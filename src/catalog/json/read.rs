//! From JSON text to a struct, with every fault at its place.
//!
//! serde stops at the first fault. Each fault's entry is therefore taken out
//! and the rest read again, until nothing new is found.

use crate::catalog::json::tree::{Removed, Seg, Tree, segments};
use crate::catalog::words::{meant, nearest};
use crate::duty::InputFault;
use crate::problem::{Fault, Problem, Severity};
use crate::quantity::{FAULT_MARK, NAME_MARK};
use jsonc_parser::ast::{Object, Value};
use jsonc_parser::common::Ranged;
use serde::de::DeserializeOwned;

/// Most faults looked for in one file.
const MOST_FAULTS: usize = 200;

/// Deserialises text, the fault with its path.
pub(super) fn from_text<T: DeserializeOwned>(text: &str) -> Result<T, InputFault> {
    let mut de = serde_json::Deserializer::from_str(text);
    serde_path_to_error::deserialize::<_, T>(&mut de).map_err(|e| {
        let path = e.path().to_string();
        let inner = e.into_inner();
        InputFault {
            path,
            line: inner.line(),
            column: inner.column(),
            message: inner.to_string(),
        }
    })
}

/// What could be read of a value.
pub(super) struct Found<T> {
    /// The value; where faults were found, what is left without their entries.
    pub(super) value: Option<T>,
    /// The faults.
    pub(super) problems: Vec<Problem>,
}

impl<T> Found<T> {
    /// Adds the Problems found later in what was left, but those in an object from which an
    /// entry was taken out: they may come from that alone.
    pub(super) fn add_later(&mut self, later: Vec<Problem>) {
        let short: Vec<String> = self
            .problems
            .iter()
            .filter_map(|p| p.at.field.as_deref())
            .filter_map(|f| f.rsplit_once('.').map(|(parent, _)| parent.to_owned()))
            .collect();
        self.problems.extend(later.into_iter().filter(|p| {
            let field = p.at.field.as_deref().unwrap_or("");
            !short.iter().any(|s| field.starts_with(s.as_str()))
        }));
    }
}

/// Reads the whole file.
pub(super) fn read_root<T: DeserializeOwned>(tree: &Tree<'_>) -> Found<T> {
    read_value(tree, None, "", &from_text::<T>)
}

/// Reads one value of the file, `value` at `path`; `None` is the whole file.
pub(super) fn read_value<T>(
    tree: &Tree<'_>,
    value: Option<&Value<'_>>,
    path: &str,
    read: &dyn Fn(&str) -> Result<T, InputFault>,
) -> Found<T> {
    let mut removed = Removed::new();
    let mut problems = Vec::new();
    while problems.len() < MOST_FAULTS {
        let text = match value {
            Some(v) => tree.written(v, &removed),
            None => tree.root_written(&removed),
        };
        let fault = match read(&text) {
            Ok(t) => {
                return Found {
                    value: Some(t),
                    problems,
                };
            }
            Err(f) => f,
        };
        let root = match value {
            Some(Value::Object(o)) => Inside::Object(o),
            Some(v) => Inside::Value(v),
            None => Inside::Object(tree.root()),
        };
        let found = resolve(root, &segments(&fault.path), &removed);
        let (problem, out) = explain(tree, path, &fault, &found, &removed);
        problems.extend(problem);
        match out {
            Some(start) if removed.insert(start) => {}
            // The whole value is wrong: there is nothing left to read.
            _ => break,
        }
    }
    Found {
        value: None,
        problems,
    }
}

/// A node on the way.
#[derive(Clone, Copy)]
enum Inside<'t, 'a> {
    Object(&'t Object<'a>),
    Value(&'t Value<'a>),
}

impl<'t, 'a> Inside<'t, 'a> {
    fn object(self) -> Option<&'t Object<'a>> {
        match self {
            Inside::Object(o) => Some(o),
            Inside::Value(v) => v.as_object(),
        }
    }
    fn range(self) -> jsonc_parser::common::Range {
        match self {
            Inside::Object(o) => o.range,
            Inside::Value(v) => v.range(),
        }
    }
}

/// Where a path leads.
struct Resolved<'t, 'a> {
    node: Inside<'t, 'a>,
    /// Path in the file as it stands, from the value that was read.
    path: String,
    /// The node around it and its path, unless it is the value that was read itself.
    around: Option<(Inside<'t, 'a>, String)>,
}

/// Follows a path in the written text back to the file, past what was removed.
fn resolve<'t, 'a>(root: Inside<'t, 'a>, path: &[Seg], removed: &Removed) -> Resolved<'t, 'a> {
    let mut at = Resolved {
        node: root,
        path: String::new(),
        around: None,
    };
    for seg in path {
        let next = match (seg, at.node) {
            (Seg::Key(k), node) => node
                .object()
                .and_then(|o| o.get(k))
                .map(|p| (&p.value, k.clone())),
            (Seg::Index(i), Inside::Value(Value::Array(a))) => a
                .elements
                .iter()
                .enumerate()
                .filter(|(_, v)| !removed.contains(&v.range().start))
                .nth(*i)
                .map(|(k, v)| (v, format!("[{k}]"))),
            _ => None,
        };
        let Some((value, step)) = next else { break };
        if removed.contains(&value.range().start) {
            break;
        }
        let path = joined(&at.path, &step);
        at = Resolved {
            node: Inside::Value(value),
            path,
            around: Some((at.node, at.path)),
        };
    }
    at
}

fn joined(outer: &str, inner: &str) -> String {
    match (outer.is_empty(), inner.is_empty()) {
        (true, _) => inner.to_owned(),
        (_, true) => outer.to_owned(),
        _ if inner.starts_with('[') => format!("{outer}{inner}"),
        _ => format!("{outer}.{inner}"),
    }
}

/// The Problem of a fault, if it is new, and what to take out before reading on.
fn explain(
    tree: &Tree<'_>,
    outer: &str,
    fault: &InputFault,
    found: &Resolved<'_, '_>,
    removed: &Removed,
) -> (Option<Problem>, Option<usize>) {
    let path = joined(outer, &found.path);
    let message = fault
        .message
        .rsplit_once(" at line ")
        .filter(|(_, rest)| rest.contains(" column "))
        .map_or(fault.message.as_str(), |(m, _)| m);
    let itself = found.around.as_ref().map(|_| found.node.range().start);
    // The path may end at the object or at the unknown name in it.
    let here = (found.node, found.path.clone());
    let holder = |name: &str| {
        [Some(here), found.around.clone()]
            .into_iter()
            .flatten()
            .find_map(|(node, path)| node.object()?.get(name).map(|p| (p, path)))
    };
    if let Some(name) = between(message, "unknown field `", "`")
        && let Some((p, inside)) = holder(name)
    {
        let known: Vec<&str> = quoted(message).into_iter().skip(1).collect();
        let fix = match known.as_slice() {
            [] => "take it out".to_owned(),
            _ => match nearest(name, known.iter().copied()) {
                Some(n) => format!("write `{n}` if that is what was meant, or take it out"),
                None => format!("take it out; known here are {}", listed(&known)),
            },
        };
        let f = Fault::new(
            "json::unknown-field",
            format!("`{name}` is not a name that is known here"),
            fix,
        );
        let entry = joined(&joined(outer, &inside), name);
        let at = tree.place_of(p.name.range(), &entry);
        return (Some(f.at(at)), Some(p.value.range().start));
    }
    if let Some(name) = between(message, "missing field `", "`") {
        let taken_out = found
            .node
            .object()
            .and_then(|o| o.get(name))
            .is_some_and(|p| removed.contains(&p.value.range().start));
        let f = Fault::new(
            "json::missing-field",
            format!("`{name}` is missing"),
            format!("add `\"{name}\": ...`"),
        );
        let place = crate::problem::Place {
            length: 1,
            ..tree.place_of(found.node.range(), &path)
        };
        return ((!taken_out).then(|| f.at(place)), itself);
    }
    let at = tree.place_of(found.node.range(), &path);
    let problem = match marked(message) {
        Some((code, what, fix)) => Problem {
            code: code.to_owned(),
            severity: Severity::Error,
            at,
            what: what.replace(NAME_MARK, entry_name(&path)),
            fix: fix.replace(NAME_MARK, entry_name(&path)),
        },
        None => plain(message).at(at),
    };
    (Some(problem), itself)
}

/// The name of the entry that a path leads to, without the number of its place in a list.
fn entry_name(path: &str) -> &str {
    let last = path.rsplit('.').next().unwrap_or(path);
    match last.split('[').next() {
        None | Some("") => "this entry",
        Some(name) => name,
    }
}

/// A fault of ours that travelled through serde's message.
fn marked(message: &str) -> Option<(&str, &str, &str)> {
    let mut parts = message.split(FAULT_MARK).skip(1);
    Some((parts.next()?, parts.next()?, parts.next()?))
}

/// A fault in serde's own words, turned to ours.
fn plain(message: &str) -> Fault {
    if let Some(word) = between(message, "unknown variant `", "`") {
        let known: Vec<&str> = quoted(message).into_iter().skip(1).collect();
        return Fault::new(
            "json::unknown-word",
            format!("`{word}` is not a word that is known here"),
            meant(word, known),
        );
    }
    let wrong = message
        .strip_prefix("invalid type: ")
        .or_else(|| message.strip_prefix("invalid value: "));
    if let Some((found, expected)) = wrong.and_then(|m| m.split_once(", expected ")) {
        let expected = expected_in_words(expected);
        return Fault::new(
            "json::wrong-type",
            format!(
                "this is {}, and {expected} belongs here",
                found_in_words(found)
            ),
            format!("write {expected}"),
        );
    }
    Fault::new(
        "json::invalid",
        message.replace(FAULT_MARK, ""),
        "correct the value",
    )
}

/// What serde found, in plain words.
fn found_in_words(found: &str) -> String {
    let inside = found.split_once(' ').map_or("", |(_, rest)| rest);
    match found.split(' ').next().unwrap_or(found) {
        "integer" => format!("the number {}", inside.replace('`', "")),
        "floating" => format!(
            "the number {}",
            inside.trim_start_matches("point ").replace('`', "")
        ),
        "string" => format!("the text {inside}"),
        "boolean" => inside.to_owned(),
        "sequence" => "a list".to_owned(),
        "map" => BRACES.to_owned(),
        _ => found.to_owned(),
    }
}

const BRACES: &str = "a group of entries between `{` and `}`";

/// What serde expected, in plain words.
fn expected_in_words(expected: &str) -> String {
    let words = match expected {
        "u8" | "u16" | "u32" | "u64" | "usize" => "a whole number (0, 1, 2 ...)",
        "i8" | "i16" | "i32" | "i64" | "isize" => "a whole number",
        "f32" | "f64" => "a number",
        "a string" | "string" => "text in quotes",
        "a boolean" => "`true` or `false`",
        "a sequence" => "a list between `[` and `]`",
        "a map" => BRACES,
        "string or map" => "a word in quotes",
        _ if expected.starts_with("struct ") => BRACES,
        _ if expected.starts_with("enum ") => "a word in quotes",
        _ => expected,
    };
    words.to_owned()
}

fn between<'m>(message: &'m str, from: &str, to: &str) -> Option<&'m str> {
    let rest = message.split_once(from)?.1;
    rest.split_once(to).map(|(inside, _)| inside)
}

/// Everything in back-ticks.
pub(super) fn quoted(message: &str) -> Vec<&str> {
    message.split('`').skip(1).step_by(2).collect()
}

fn listed(words: &[&str]) -> String {
    let all: Vec<String> = words.iter().map(|w| format!("`{w}`")).collect();
    all.join(", ")
}
