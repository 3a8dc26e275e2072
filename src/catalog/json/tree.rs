//! JSON text with the place of every value in it.

use crate::catalog::text::LONGEST_SOURCE_LINE;
use crate::catalog::words::meant;
use crate::problem::{Fault, Place, Problem};
use jsonc_parser::ast::{Object, Value};
use jsonc_parser::common::{Range, Ranged};
use jsonc_parser::{CollectOptions, ParseOptions, parse_to_ast};
use std::collections::HashSet;

/// A step from a value to one inside it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Seg {
    /// Into an object.
    Key(String),
    /// Into an array.
    Index(usize),
}

/// Reads `limits[0].property`; `.` and nothing mean the value itself.
pub(super) fn segments(path: &str) -> Vec<Seg> {
    let mut out = Vec::new();
    for part in path.split('.') {
        let mut rest = part;
        let name = rest.split('[').next().unwrap_or("");
        if !name.is_empty() {
            out.push(Seg::Key(name.to_owned()));
        }
        rest = rest.get(name.len()..).unwrap_or("");
        while let Some((index, after)) = rest.strip_prefix('[').and_then(|r| r.split_once(']')) {
            if let Ok(i) = index.parse() {
                out.push(Seg::Index(i));
            }
            rest = after;
        }
    }
    out
}

/// A JSON file that is well formed and holds an object.
pub(super) struct Tree<'a> {
    /// The file as the user named it.
    pub(super) file: &'a str,
    /// Its text.
    pub(super) text: &'a str,
    root: Object<'a>,
}

/// A value that was left out when the text was written again, by where it begins.
pub(super) type Removed = HashSet<usize>;

impl<'a> Tree<'a> {
    /// Parses a file and refuses what no file may hold: `null`, a name twice in one object.
    ///
    /// # Errors
    /// `json::empty`, `json::syntax`, `json::truncated`, `json::too-deep`, `json::not-an-object`,
    /// `json::null`, `json::twice`.
    pub(super) fn parse(file: &'a str, text: &'a str) -> Result<Self, Vec<Problem>> {
        if let Err(e) = serde_json::from_str::<serde_json::Value>(text) {
            return Err(vec![syntax(file, text, &e)]);
        }
        let strict = ParseOptions {
            allow_comments: false,
            allow_loose_object_property_names: false,
            allow_trailing_commas: false,
            allow_missing_commas: false,
            allow_single_quoted_strings: false,
            allow_hexadecimal_numbers: false,
            allow_unary_plus_numbers: false,
            allow_bare_decimal_point_numbers: false,
            allow_non_finite_numbers: false,
            allow_extended_string_escapes: false,
        };
        let parsed = parse_to_ast(text, &CollectOptions::default(), &strict)
            .ok()
            .and_then(|p| p.value);
        let root = match parsed {
            Some(Value::Object(o)) => o,
            other => {
                let range = other.map_or(Range::new(0, 1), |v| v.range());
                return Err(vec![
                    Fault::new(
                        "json::not-an-object",
                        "the file does not hold an object",
                        "put everything between `{` and `}`",
                    )
                    .at(place(file, text, range.start, range.end, None)),
                ]);
            }
        };
        let tree = Tree { file, text, root };
        let mut problems = Vec::new();
        tree.check_object(&tree.root, "", &mut problems);
        if problems.is_empty() {
            Ok(tree)
        } else {
            Err(problems)
        }
    }

    /// The whole object.
    pub(super) fn root(&self) -> &Object<'a> {
        &self.root
    }

    fn check_object(&self, object: &Object<'a>, path: &str, problems: &mut Vec<Problem>) {
        let mut seen = HashSet::new();
        for p in &object.properties {
            let name = p.name.as_str();
            let inside = if path.is_empty() {
                name.to_owned()
            } else {
                format!("{path}.{name}")
            };
            if !seen.insert(name) {
                problems.push(
                    Fault::new(
                        "json::twice",
                        format!("`{name}` stands here a second time"),
                        "keep one of the two",
                    )
                    .at(self.place_of(p.name.range(), &inside)),
                );
            }
            self.check_value(&p.value, &inside, problems);
        }
    }

    fn check_value(&self, value: &Value<'a>, path: &str, problems: &mut Vec<Problem>) {
        match value {
            Value::Object(o) => self.check_object(o, path, problems),
            Value::Array(a) => {
                for (i, v) in a.elements.iter().enumerate() {
                    self.check_value(v, &format!("{path}[{i}]"), problems);
                }
            }
            Value::NullKeyword(n) => problems.push(
                Fault::new(
                    "json::null",
                    "`null` says nothing",
                    "leave the whole entry out where nothing is known",
                )
                .at(self.place_of(n.range, path)),
            ),
            _ => {}
        }
    }

    /// The place of a range of bytes.
    pub(super) fn place_of(&self, range: Range, path: &str) -> Place {
        let field = (!path.is_empty()).then(|| path.to_owned());
        place(self.file, self.text, range.start, range.end, field)
    }

    /// The place of the value at a path from the root, or of the nearest one around it.
    pub(super) fn at(&self, path: &str) -> Place {
        let mut range = self.root.range;
        let mut object = Some(&self.root);
        let mut value: Option<&Value<'a>> = None;
        for seg in segments(path) {
            let next = match (&seg, object, value) {
                (Seg::Key(k), Some(o), _) => o.get(k).map(|p| &p.value),
                (Seg::Index(i), _, Some(Value::Array(a))) => a.elements.get(*i),
                _ => None,
            };
            let Some(v) = next else { break };
            range = v.range();
            object = v.as_object();
            value = Some(v);
        }
        self.place_of(range, path)
    }

    /// The place of the name of an entry of the root's object at `path`.
    pub(super) fn name_at(&self, path: &str, name: &str) -> Place {
        let inside = if path.is_empty() {
            name.to_owned()
        } else {
            format!("{path}.{name}")
        };
        let mut object = Some(&self.root);
        for seg in segments(path) {
            object = match seg {
                Seg::Key(k) => object
                    .and_then(|o| o.get(&k))
                    .and_then(|p| p.value.as_object()),
                Seg::Index(_) => None,
            };
        }
        match object.and_then(|o| o.get(name)) {
            Some(p) => self.place_of(p.name.range(), &inside),
            None => self.at(path),
        }
    }

    /// A value's text without what was removed.
    pub(super) fn written(&self, value: &Value<'a>, removed: &Removed) -> String {
        let mut out = String::new();
        self.write(value, removed, &mut out);
        out
    }

    /// The whole text without what was removed.
    pub(super) fn root_written(&self, removed: &Removed) -> String {
        let mut out = String::new();
        self.write_object(&self.root, removed, &mut out);
        out
    }

    fn write(&self, value: &Value<'a>, removed: &Removed, out: &mut String) {
        match value {
            Value::Object(o) => self.write_object(o, removed, out),
            Value::Array(a) => {
                out.push('[');
                let kept = a
                    .elements
                    .iter()
                    .filter(|v| !removed.contains(&v.range().start));
                for (i, v) in kept.enumerate() {
                    if i > 0 {
                        out.push(',');
                    }
                    self.write(v, removed, out);
                }
                out.push(']');
            }
            leaf => out.push_str(self.slice(leaf.range())),
        }
    }

    fn write_object(&self, o: &Object<'a>, removed: &Removed, out: &mut String) {
        out.push('{');
        let kept = o
            .properties
            .iter()
            .filter(|p| !removed.contains(&p.value.range().start));
        for (i, p) in kept.enumerate() {
            if i > 0 {
                out.push(',');
            }
            out.push_str(self.slice(p.name.range()));
            out.push(':');
            self.write(&p.value, removed, out);
        }
        out.push('}');
    }

    fn slice(&self, range: Range) -> &'a str {
        self.text.get(range.start..range.end).unwrap_or("")
    }
}

fn syntax(file: &str, text: &str, e: &serde_json::Error) -> Problem {
    let message = e.to_string();
    let what = message
        .split(" at line ")
        .next()
        .unwrap_or(&message)
        .to_owned();
    // serde_json counts bytes, and names the last one read.
    let line_text = text
        .split('\n')
        .nth(e.line().saturating_sub(1))
        .unwrap_or("");
    let byte = e.column().saturating_sub(1).min(line_text.len());
    let column = line_text
        .char_indices()
        .take_while(|(i, _)| *i < byte)
        .count()
        + 1;
    let fault = if text.trim().is_empty() {
        Fault::new(
            "json::empty",
            "there is nothing in this file",
            "write its entries between `{` and `}`; `dutyfit schema` says which there are",
        )
    } else if e.is_eof() {
        Fault::new(
            "json::truncated",
            "the file ends before its last bracket or quote is closed",
            "close what is open; the end of the file may be missing",
        )
    } else if what.contains("recursion limit") {
        Fault::new(
            "json::too-deep",
            "values are nested deeper than any file of ours is",
            "take the nesting out",
        )
    } else {
        Fault::new(
            "json::syntax",
            format!("this is not JSON: {what}"),
            "look for a missing comma, quote or bracket just before this place",
        )
    };
    fault.at(Place {
        file: file.to_owned(),
        line: e.line().max(1),
        column,
        field: None,
        source_line: shown_line(line_text.trim_end_matches('\r')),
        length: 1,
    })
}

fn shown_line(line: &str) -> Option<String> {
    (line.len() <= LONGEST_SOURCE_LINE).then(|| line.to_owned())
}

fn place(file: &str, text: &str, start: usize, end: usize, field: Option<String>) -> Place {
    let before = text.get(..start).unwrap_or("");
    let begin = before.rfind('\n').map_or(0, |i| i + 1);
    let line_text = text
        .get(begin..)
        .unwrap_or("")
        .split(['\n', '\r'])
        .next()
        .unwrap_or("");
    let marked = text.get(start..end).unwrap_or("");
    Place {
        file: file.to_owned(),
        line: before.matches('\n').count() + 1,
        column: before.get(begin..).unwrap_or("").chars().count() + 1,
        field,
        source_line: shown_line(line_text),
        length: marked.lines().next().unwrap_or("").chars().count().max(1),
    }
}

/// Refuses a `format` that is not the one expected.
pub(super) fn check_format(tree: &Tree<'_>, expected: &str, problems: &mut Vec<Problem>) {
    let found = tree.root().get_string("format");
    if let Some(f) = found
        && f.value != expected
    {
        problems.push(
            Fault::new(
                "json::format",
                format!("`{}` is not the format of such a file", f.value),
                meant(&f.value, [expected]),
            )
            .at(tree.place_of(f.range, "format")),
        );
    }
}
