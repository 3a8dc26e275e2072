//! The case as far as it has been told, and the same filled up so that it can be tried.
//!
//! Nothing here knows the mechanics of a part. What applies, what is needed and what fits is found
//! by reading the case with and without an entry, by the reader that reads every case file.

use crate::catalog::{Beside, read_case};
use crate::describe::common::{self, ROWS, Row};
use crate::describe::effect::effect;
use crate::describe::file::{Node, Ordered, merge, set};
use crate::describe::inputs::{self, FINER};
use crate::describe::question::{Takes, name_of};
use crate::describe::reply::Refusal;
use crate::describe::schema::{self, Entry, example, names_in};
use crate::describe::steps::STEPS;
use crate::describe::{plain, swing};
use crate::duty::{Case, Decline, NotAbout, PartKind};
use crate::problem::Problem;
use serde_json::{Map, Value, json};
use std::cell::Cell;

/// The name under which a draft is read.
const FILE: &str = "the case";
/// Most entries that are put in or taken out to fill a draft up.
const MOST_REPAIRS: usize = 12;
/// Factors on a plausible figure, tried one after the other until one fits.
const FACTORS: [f64; 7] = [1.0, 0.1, 10.0, 0.3, 3.0, 0.01, 100.0];

/// The entry of the surface in contact.
const SURFACE: &str = "surroundings.counterface";

/// What was said of one entry.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Said {
    /// This.
    Value(Value),
    /// It is not known: this stands in, or nothing does.
    Assumed(Option<Value>),
    /// The default will do.
    Default,
}

impl Said {
    fn value(&self) -> Option<&Value> {
        match self {
            Said::Value(v) | Said::Assumed(Some(v)) => Some(v),
            Said::Assumed(None) | Said::Default => None,
        }
    }
}

/// A case as far as it has been told.
pub(super) struct Draft<'a> {
    pub(super) kind: &'static PartKind,
    /// The entries of its inputs, in the order in which they are asked.
    pub(super) entries: Vec<Entry>,
    /// What was said, by key, in the order of saying.
    pub(super) said: Vec<(String, Said)>,
    /// Doubtful words answered.
    pub(super) not_about: Vec<NotAbout>,
    beside: Beside<'a>,
    /// Whether every input that applies is known to be said; forgotten with the next one said.
    pub(super) inputs_said: Cell<bool>,
    /// Whether the surface in contact counts for this part; forgotten likewise.
    surface_counts: Cell<Option<bool>>,
}

/// A draft filled up from the worked example, as far as that could be done.
pub(super) struct Trial {
    /// The case, where nothing is wrong with it.
    pub(super) case: Option<Case>,
    /// What is wrong.
    pub(super) problems: Vec<Problem>,
}

impl Trial {
    /// Whether a Problem is about an entry: it stands there, or names it.
    pub(super) fn blames(&self, name: &str) -> bool {
        self.problems
            .iter()
            .any(|p| about(p, &[name]).contains(&name))
    }
}

/// The names among `known` that a Problem is about: its place, and what it names in back-ticks; what
/// its remedy names, where that is none.
pub(super) fn about<'n>(problem: &Problem, known: &[&'n str]) -> Vec<&'n str> {
    let mut names = names_in(&problem.what, known);
    let field = problem.at.field.as_deref().unwrap_or("");
    let first = |home: &str| {
        let inside = field.strip_prefix(home)?;
        inside.split(['.', '[']).next()
    };
    let at = ["inputs.", "surroundings.", "harm.", ""]
        .into_iter()
        .find_map(first);
    if let Some(name) = known.iter().find(|k| Some(**k) == at)
        && !names.contains(name)
    {
        names.push(name);
    }
    if names.is_empty() {
        names = names_in(&problem.fix, known);
    }
    names
}

impl<'a> Draft<'a> {
    pub(super) fn new(kind: &'static PartKind, beside: Beside<'a>) -> Self {
        Draft {
            kind,
            entries: schema::inputs(kind),
            said: Vec::new(),
            not_about: Vec::new(),
            beside,
            inputs_said: Cell::new(false),
            surface_counts: Cell::new(None),
        }
    }

    /// What stands beside the case.
    pub(super) fn beside(&self) -> Beside<'a> {
        self.beside
    }

    pub(super) fn said(&self, key: &str) -> Option<&Said> {
        self.said.iter().find(|(k, _)| k == key).map(|(_, s)| s)
    }

    pub(super) fn put(&mut self, key: &str, said: Said) {
        self.forget(key);
        self.said.retain(|(k, _)| k != key);
        self.said.push((key.to_owned(), said));
    }

    /// What was found out about the inputs holds until one of them changes.
    fn forget(&self, key: &str) {
        if key.starts_with("inputs.") || key == FINER {
            self.inputs_said.set(false);
            self.surface_counts.set(None);
        }
    }

    pub(super) fn take_back(&mut self, key: &str) -> Option<Said> {
        self.forget(key);
        let at = self.said.iter().position(|(k, _)| k == key)?;
        Some(self.said.remove(at).1)
    }

    /// The entry of an input.
    pub(super) fn entry(&self, name: &str) -> Option<&Entry> {
        self.entries.iter().find(|e| e.name == name)
    }

    /// The value of the worked example for a key.
    pub(super) fn in_example(&self, key: &str) -> Option<Value> {
        let path = format!("/{}", key.replace('.', "/"));
        Value::Object(example(self.kind)).pointer(&path).cloned()
    }

    /// What the case file would hold now, entry by entry, in the order of writing.
    fn groups(&self) -> Vec<(String, Node)> {
        let mut out: Vec<(String, Node)> =
            vec![("format".to_owned(), Node::Value("dutyfit.case/1".into()))];
        let mut put = |key: &str, node: Node| out.push((key.to_owned(), node));
        let top = |key: &str| self.said(key).and_then(Said::value).cloned();
        for key in ["title", "note"] {
            if let Some(v) = top(key) {
                put(key, Node::Value(v));
            }
        }
        put("part", Node::Value(self.kind.id.into()));
        let inputs = if plain::is_plain(self.kind) {
            plain::inputs(&self.said)
        } else {
            let named = self.entries.iter().filter_map(|e| {
                let v = top(&format!("inputs.{}", e.name))?;
                Some((e.name.clone(), v))
            });
            named.collect()
        };
        put("inputs", Node::Group(inputs));
        for home in ["surroundings", "harm"] {
            let prefix = format!("{home}.");
            if home == "harm" {
                for (key, said) in &self.said {
                    if let (false, Some(v)) = (is_own(key), said.value())
                        && !["title", "note"].contains(&key.as_str())
                    {
                        put(key, Node::Value(v.clone()));
                    }
                }
            }
            let inside: Vec<(String, Value)> = self
                .said
                .iter()
                .filter_map(|(k, s)| {
                    Some((k.strip_prefix(&prefix)?.to_owned(), s.value()?.clone()))
                })
                .collect();
            if !inside.is_empty() {
                put(home, Node::Group(inside));
            }
        }
        if let Some(weights) = swing::weights(&self.said) {
            put("weights", Node::Value(weights));
        }
        if !self.not_about.is_empty() {
            put("not_about", Node::Value(json!(self.not_about)));
        }
        let assumed: Vec<&str> = self
            .said
            .iter()
            .filter(|(_, s)| matches!(s, Said::Assumed(_)))
            .map(|(k, _)| name_of(k))
            .collect();
        if !assumed.is_empty() {
            put("assumed", Node::Value(json!(assumed)));
        }
        out
    }

    /// The text of the case file.
    pub(super) fn text(&self) -> String {
        let mut text = serde_json::to_string_pretty(&Ordered(&self.groups())).unwrap_or_default();
        text.push('\n');
        text
    }

    /// The case as told, nothing filled up.
    pub(super) fn told(&self) -> Result<Case, Vec<Problem>> {
        read_case(FILE, &self.text(), &[], self.beside)
    }

    /// The case filled up, with `force` in place of what was said: a value for a key, or nothing.
    pub(super) fn tried(&self, force: &[(&str, Option<Value>)]) -> Trial {
        self.filled(force, true)
    }

    fn filled(&self, force: &[(&str, Option<Value>)], repair: bool) -> Trial {
        let mut whole = example(self.kind);
        for key in ["assumed", "weights", "title", "note"] {
            whole.remove(key);
        }
        let mut told = match serde_json::from_str(&self.text()) {
            Ok(Value::Object(o)) => o,
            _ => Map::new(),
        };
        told.remove("assumed");
        told.remove("inputs");
        let mut value = Value::Object(whole);
        for (key, said) in &self.said {
            if common::row(key).is_some() && said.value().is_none() {
                set(&mut value, key, None);
            }
        }
        merge(&mut value, Value::Object(told));
        for (key, v) in force.iter().filter(|(k, _)| !k.starts_with("inputs.")) {
            set(&mut value, key, v.clone());
        }
        if plain::is_plain(self.kind) {
            let own = plain::inputs(&self.said);
            if !own.is_empty() {
                let own: Map<String, Value> = own.into_iter().collect();
                set(&mut value, "inputs", Some(Value::Object(own)));
            }
            for (key, v) in force.iter().filter(|(k, _)| k.starts_with("inputs.")) {
                set(&mut value, key, v.clone());
            }
            return self.read(&value);
        }
        let mut open: Vec<&Entry> = Vec::new();
        for e in &self.entries {
            let key = format!("inputs.{}", e.name);
            let forced = force.iter().find(|(k, _)| *k == key);
            match (forced, self.said(&key)) {
                (Some((_, v)), _) => set(&mut value, &key, v.clone()),
                (None, Some(said)) => set(&mut value, &key, said.value().cloned()),
                (None, None) => open.push(e),
            }
        }
        if repair {
            self.repaired(value, &open)
        } else {
            self.read(&value)
        }
    }

    /// Whether the finer points are gone through as well.
    pub(super) fn goes_finer(&self) -> bool {
        self.said(FINER) == Some(&Said::Value(true.into()))
    }

    /// Refuses a value for a key: where the reader refuses it itself, or where it does not go with
    /// what was said. What hangs on answers that are still to come is let pass.
    ///
    /// # Errors
    /// What the reader says of it.
    pub(super) fn check(&self, key: &str, v: &Value) -> Result<(), Refusal> {
        if let Some(path) = plain::row_path(key) {
            let told = self.with(key, v).tried(&[]);
            let here = |p: &&Problem| p.at.field.as_deref().is_some_and(|f| f.starts_with(&path));
            return match told.problems.iter().find(here) {
                Some(p) => Err(p.into()),
                None => Ok(()),
            };
        }
        if key.starts_with("weights.") || STEPS.contains(&key) {
            return Ok(());
        }
        let trial = self.tried(&[(key, Some(v.clone()))]);
        let name = name_of(key);
        let names = self.names();
        let said = |n: &&str| *n == name || self.said.iter().any(|(k, _)| name_of(k) == *n);
        let refused = trial.problems.iter().find(|p| {
            let here = p.at.field.as_deref() == Some(key);
            let of_use = ["duty::", "caution::"]
                .iter()
                .any(|a| p.code.starts_with(a));
            let blamed = about(p, &names);
            here && !of_use || blamed.contains(&name) && blamed.iter().all(said)
        });
        match refused {
            Some(p) => Err(p.into()),
            None => Ok(()),
        }
    }

    /// The names of all entries that an answer can fill.
    fn names(&self) -> Vec<&str> {
        let own = self.entries.iter().map(|e| e.name.as_str());
        own.chain(ROWS.iter().map(|r| name_of(r.key))).collect()
    }

    /// The same draft with one more thing said.
    fn with(&self, key: &str, v: &Value) -> Draft<'a> {
        let mut other = Draft {
            kind: self.kind,
            entries: Vec::new(),
            said: self.said.clone(),
            not_about: self.not_about.clone(),
            beside: self.beside,
            inputs_said: Cell::new(false),
            surface_counts: Cell::new(None),
        };
        // A row of which the last entry is still to come is read with the one that there is.
        if let Some((row, _)) = key.rsplit_once(".zero") {
            other.put(&format!("{row}.one"), Said::Value(v.clone()));
        }
        other.put(key, Said::Value(v.clone()));
        other
    }

    /// Forgets what no longer applies once `key` has been answered; the names of it.
    pub(super) fn drop_foreign(&mut self, key: &str) -> Vec<String> {
        if !key.starts_with("inputs.") {
            return Vec::new();
        }
        let trial = self.tried(&[]);
        let mut gone = Vec::new();
        for e in self.entries.iter().filter(|e| trial.blames(&e.name)) {
            let own = format!("inputs.{}", e.name);
            let given = self.said(&own).is_some_and(|s| s.value().is_some());
            if own == key || !given || inputs::applies(self, e) {
                continue;
            }
            gone.push(e.name.clone());
        }
        self.said
            .retain(|(k, _)| !gone.iter().any(|n| *k == format!("inputs.{n}")));
        gone
    }

    /// Why no pick would be given for what was said so far.
    pub(super) fn declined(&self) -> Option<Decline> {
        self.tried(&[]).case?.duty().ok()?.declined
    }

    /// Whether an entry that all cases have is asked of this part: a surface only where it counts.
    pub(super) fn asks(&self, row: &Row) -> bool {
        if row.key != SURFACE {
            return true;
        }
        let known = self.surface_counts.get();
        let counts = known.unwrap_or_else(|| {
            self.in_example(row.key).is_some()
                || self.needs_row(row)
                || !effect(self, row.key).limits.is_empty()
        });
        self.surface_counts.set(Some(counts));
        counts
    }

    /// Whether a case of this part cannot be read without an entry.
    pub(super) fn needs_row(&self, row: &Row) -> bool {
        row.key == SURFACE && self.bare(&[(row.key, None)]).blames(name_of(row.key))
    }

    /// As [`Draft::tried`], but nothing is put in or taken out beyond `force`: what is missing stays
    /// missing.
    pub(super) fn bare(&self, force: &[(&str, Option<Value>)]) -> Trial {
        self.filled(force, false)
    }

    /// Puts open inputs in and takes them out until nothing is wrong, or nothing helps.
    fn repaired(&self, mut value: Value, open: &[&Entry]) -> Trial {
        let names: Vec<&str> = open.iter().map(|e| e.name.as_str()).collect();
        let mut trial = self.read(&value);
        for _ in 0..MOST_REPAIRS {
            if trial.problems.is_empty() {
                break;
            }
            let blamed: Vec<&str> = trial
                .problems
                .iter()
                .flat_map(|p| about(p, &names))
                .collect();
            let before = trial.problems.len();
            let mut better = None;
            'search: for e in open.iter().filter(|e| blamed.contains(&e.name.as_str())) {
                let key = format!("inputs.{}", e.name);
                let there = value.pointer(&format!("/inputs/{}", e.name)).is_some();
                let out = (there && !e.required).then_some(None);
                for v in out
                    .into_iter()
                    .chain(self.variants(e).into_iter().map(Some))
                {
                    let mut other = value.clone();
                    set(&mut other, &key, v);
                    let t = self.read(&other);
                    if t.problems.len() < before {
                        better = Some((other, t));
                        break 'search;
                    }
                }
            }
            match better {
                Some((v, t)) => (value, trial) = (v, t),
                None => break,
            }
        }
        trial
    }

    fn read(&self, value: &Value) -> Trial {
        match read_case(FILE, &value.to_string(), &[], self.beside) {
            Ok(case) => Trial {
                case: Some(case),
                problems: Vec::new(),
            },
            Err(problems) => Trial {
                case: None,
                problems,
            },
        }
    }

    /// Values that an input could have: the worked example's first, then others of its kind.
    pub(super) fn variants(&self, e: &Entry) -> Vec<Value> {
        let own = self.in_example(&format!("inputs.{}", e.name));
        variants(e.takes.as_ref(), own, &e.example)
    }
}

/// Values of a kind of answer: a given one first, then others.
pub(super) fn variants(takes: Option<&Takes>, own: Option<Value>, example: &str) -> Vec<Value> {
    let mut all: Vec<Value> = Vec::new();
    let scaled = |text: &str| -> Vec<Value> {
        let Some((n, unit)) = text.split_once(' ') else {
            return Vec::new();
        };
        let Ok(n) = n.parse::<f64>() else {
            return Vec::new();
        };
        FACTORS
            .iter()
            .map(|f| format!("{} {unit}", n * f).into())
            .collect()
    };
    all.extend(own.clone());
    match takes {
        Some(Takes::Quantity) => {
            all.extend(
                own.as_ref()
                    .and_then(Value::as_str)
                    .map(scaled)
                    .unwrap_or_default(),
            );
            all.extend(scaled(example));
            if all.is_empty() {
                all.push(example.into());
            }
        }
        Some(Takes::Number) => {
            let n = own.as_ref().and_then(Value::as_f64).unwrap_or(1.0);
            all.extend(FACTORS.iter().map(|f| Value::from(n * f)));
            all.push(0.5.into());
        }
        Some(Takes::Whole) => all.extend([1, 2, 4, 10, 20, 50].map(Value::from)),
        Some(Takes::YesNo) => all.extend([true, false].map(Value::from)),
        Some(Takes::Word(words)) => all.extend(words.iter().map(|w| Value::from(w.word.clone()))),
        Some(Takes::Text) if all.is_empty() => all.push("something".into()),
        _ => {}
    }
    let mut once: Vec<Value> = Vec::new();
    for v in all {
        if !once.contains(&v) {
            once.push(v);
        }
    }
    once
}

/// Whether a key is no entry of its own at the top of the file.
fn is_own(key: &str) -> bool {
    key.contains('.') || STEPS.contains(&key)
}
