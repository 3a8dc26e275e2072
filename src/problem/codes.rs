//! What every code means, why it matters and how to mend it.
//!
//! The words stand in `codes/*.md`, one file an area of the code base, each code
//! under a heading of its own. The examples there are run by the tests: the line
//! that begins with `-` raises the code, the line that begins with `+` does not.

use serde::Serialize;

const AREAS: &[&str] = &[
    include_str!("codes/file.md"),
    include_str!("codes/sheet.md"),
    include_str!("codes/figure.md"),
    include_str!("codes/line.md"),
    include_str!("codes/table.md"),
    include_str!("codes/doubt.md"),
    include_str!("codes/bench.md"),
    include_str!("codes/json.md"),
    include_str!("codes/duty.md"),
    include_str!("codes/intake.md"),
    include_str!("codes/describe.md"),
    include_str!("codes/usage.md"),
];

/// Who raises a code.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum CodeKind {
    /// An error that `lint` lists.
    Error,
    /// A doubt that `lint` lists.
    Doubt,
    /// A fault of what was typed, or of a file named there; `lint` never gives it.
    Command,
}

/// A line of an example.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Side {
    /// It stands in both.
    Both,
    /// It raises the code.
    Bad,
    /// It stands in the bad one's place, and does not.
    Mended,
}

/// A small file that raises a code, and how it is mended.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct ExampleFile {
    /// Its name in a workspace.
    pub name: &'static str,
    /// Line and column at which the code is found, from 1; 0 and 0 for the whole file.
    pub at: Option<(usize, usize)>,
    /// Its lines.
    pub lines: Vec<(Side, &'static str)>,
}

impl ExampleFile {
    /// The text that raises the code, or the mended one.
    pub fn text(&self, side: Side) -> String {
        let of = |s: Side| s == Side::Both || s == side;
        let lines = self.lines.iter().filter(|(s, _)| of(*s));
        lines.map(|(_, line)| format!("{line}\n")).collect()
    }
}

/// How a code is raised, and how not.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Example {
    /// The files it takes.
    pub files: Vec<ExampleFile>,
    /// What is typed after `dutyfit` to raise it, where that is not `lint`.
    pub typed: Option<&'static str>,
    /// What is typed in its place.
    pub mended: Option<&'static str>,
}

/// A code with its explanation.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Explained {
    /// The code, `area::name`.
    pub code: &'static str,
    /// Who raises it.
    pub kind: CodeKind,
    /// What it means.
    pub means: String,
    /// Why it matters.
    pub why: String,
    /// How to mend it.
    pub mend: String,
    /// An example, where a small one can be given.
    pub example: Option<Example>,
}

/// Every code, by area.
pub fn explained() -> Vec<Explained> {
    AREAS.iter().flat_map(|text| area(text)).collect()
}

/// What the next line of plain text belongs to.
#[derive(Clone, Copy)]
enum Under {
    Means,
    Why,
    Mend,
    Nothing,
}

fn area(text: &'static str) -> Vec<Explained> {
    let mut all: Vec<Explained> = Vec::new();
    let mut into = Under::Nothing;
    let mut fenced = false;
    for line in text.lines() {
        if let Some(heading) = line.strip_prefix("## ").filter(|_| !fenced) {
            all.push(begun(heading));
            into = Under::Means;
            continue;
        }
        let Some(now) = all.last_mut() else { continue };
        if line.starts_with("```") {
            fenced = !fenced;
        } else if fenced {
            example_line(now, line);
        } else if let Some((name, at)) = place(line) {
            example_file(now, name, at);
            into = Under::Nothing;
        } else if let Some(typed) = line.strip_prefix("Typed: ") {
            now.example.get_or_insert_default().typed = Some(typed);
        } else if let Some(typed) = line.strip_prefix("Mended: ") {
            now.example.get_or_insert_default().mended = Some(typed);
        } else {
            let (to, rest) = match line.split_once(": ") {
                Some(("Why", rest)) => (Under::Why, rest),
                Some(("Mend", rest)) => (Under::Mend, rest),
                _ => (into, line),
            };
            into = to;
            said(now, into, rest.trim());
        }
    }
    all
}

fn begun(heading: &'static str) -> Explained {
    let (code, kind) = heading.split_once(' ').unwrap_or((heading, ""));
    Explained {
        code,
        kind: match kind {
            "(doubt)" => CodeKind::Doubt,
            "(command)" => CodeKind::Command,
            _ => CodeKind::Error,
        },
        means: String::new(),
        why: String::new(),
        mend: String::new(),
        example: None,
    }
}

fn said(now: &mut Explained, into: Under, text: &str) {
    let to = match into {
        Under::Means => &mut now.means,
        Under::Why => &mut now.why,
        Under::Mend => &mut now.mend,
        Under::Nothing => return,
    };
    if !to.is_empty() && !text.is_empty() {
        to.push(' ');
    }
    to.push_str(text);
}

/// ``catalog/readings/density.csv` 2:17``: a file, and where in it the code is found.
fn place(line: &'static str) -> Option<(&'static str, &'static str)> {
    let (name, at) = line.strip_prefix('`')?.split_once('`')?;
    at.bytes()
        .all(|b| b.is_ascii_digit() || matches!(b, b' ' | b':'))
        .then_some((name, at))
}

fn example_file(now: &mut Explained, name: &'static str, at: &str) {
    let at = at
        .trim()
        .split_once(':')
        .and_then(|(line, column)| Some((line.parse().ok()?, column.parse().ok()?)));
    now.example.get_or_insert_default().files.push(ExampleFile {
        name,
        at,
        lines: Vec::new(),
    });
}

fn example_line(now: &mut Explained, line: &'static str) {
    let file = now.example.as_mut().and_then(|e| e.files.last_mut());
    let side = match line.as_bytes().first() {
        Some(b'-') => Side::Bad,
        Some(b'+') => Side::Mended,
        _ => Side::Both,
    };
    if let Some(file) = file {
        file.lines.push((side, line.get(1..).unwrap_or_default()));
    }
}
