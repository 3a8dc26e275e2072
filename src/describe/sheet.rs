//! A part kind at a glance: what it asks, where it leads in its worked example, what it always warns of.

use crate::catalog::{Beside, read_case};
use crate::describe::common;
use crate::describe::draft::{Draft, Said};
use crate::describe::inputs::{key, need};
use crate::describe::question::{Choice, Takes};
use crate::describe::schema::{Entry, said};
use crate::duty::{Caution, Duty, PartKind, always_raised};
use crate::policy::Policy;
use crate::property::Properties;
use std::collections::BTreeMap;

/// Whether an input must be given.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Needed {
    /// Always; or one of those named in its place.
    Always(Vec<String>),
    /// Where another input is one of these words.
    Where(String, Vec<String>),
    /// Never.
    No,
}

/// One input of a part kind.
#[derive(Clone, Debug, PartialEq)]
pub struct InputLine {
    /// Name in the case file.
    pub name: String,
    /// What it is.
    pub what: String,
    /// Why it is asked and what it decides; may be empty.
    pub why: String,
    /// Whether it must be given.
    pub needed: Needed,
    /// What holds when it is left out, where its description says so.
    pub default: Option<String>,
    /// Its value in the worked example; of an input that may be needed elsewhere, one of its kind; else empty.
    pub example: String,
    /// The words that it takes, where they are a closed list.
    pub words: Vec<Choice>,
}

/// A part kind at a glance.
#[derive(Clone)]
pub struct PartSheet {
    /// The part kind.
    pub kind: &'static PartKind,
    /// Its inputs, in the order of asking.
    pub inputs: Vec<InputLine>,
    /// Entries of every case that this one cannot do without.
    pub needs_of_use: Vec<&'static str>,
    /// The duty of its worked example.
    pub duty: Option<Duty>,
    /// The cautions that each of its cases raises.
    pub cautions: Vec<&'static Caution>,
}

impl PartSheet {
    /// The sheet of a part kind: what is needed when is found by leaving it out.
    pub fn of(kind: &'static PartKind) -> Self {
        let (policy, properties) = (Policy::default(), Properties::default());
        let beside = Beside {
            policy: &policy,
            properties: &properties,
            surfaces: &[],
        };
        let draft = Draft::new(kind, beside);
        let needs = needs(&draft);
        let line = |e: &Entry| InputLine {
            name: e.name.clone(),
            what: e.what.clone(),
            why: e.why.clone(),
            needed: needs.get(&e.name).cloned().unwrap_or(Needed::No),
            default: e.default().map(str::to_owned),
            example: match draft.in_example(&key(e)) {
                Some(v) if !v.is_array() && !v.is_object() => said(&v),
                // A figure of its kind says how it is written, not how large it is here.
                _ if matches!(needs.get(&e.name), None | Some(Needed::No)) => String::new(),
                _ => e.example.clone(),
            },
            words: match &e.takes {
                Some(Takes::Word(words)) => words.clone(),
                _ => Vec::new(),
            },
        };
        let case = read_case(kind.id, kind.example, &[], beside).ok();
        PartSheet {
            kind,
            inputs: draft.entries.iter().map(line).collect(),
            needs_of_use: common::ROWS
                .iter()
                .filter(|r| draft.needs_row(r))
                .map(|r| r.key.rsplit('.').next().unwrap_or(r.key))
                .collect(),
            duty: case.and_then(|c| c.duty().ok()),
            cautions: always_raised(kind.id),
        }
    }
}

/// Which inputs are needed: as the worked example stands, and for each word of an input that
/// decides which others are.
fn needs(draft: &Draft<'_>) -> BTreeMap<String, Needed> {
    let mut found: BTreeMap<String, Needed> = BTreeMap::new();
    let deciders: Vec<(&Entry, &Vec<Choice>)> = draft
        .entries
        .iter()
        .filter_map(|e| match &e.takes {
            Some(Takes::Word(words)) => Some((e, words)),
            _ => None,
        })
        .collect();
    for e in &draft.entries {
        if e.required {
            found.insert(e.name.clone(), Needed::Always(Vec::new()));
            continue;
        }
        let usual = need(draft, e);
        // The input whose words part where this one is needed from where it is not.
        let parted = deciders
            .iter()
            .filter(|(d, _)| d.name != e.name)
            .find_map(|(d, words)| {
                let asks = |word: &str| {
                    let mut other = Draft::new(draft.kind, draft.beside());
                    other.put(&key(d), Said::Value(word.into()));
                    need(&other, e).is_some()
                };
                let (yes, no): (Vec<&Choice>, Vec<&Choice>) =
                    words.iter().partition(|w| asks(&w.word));
                let words = yes.iter().map(|w| w.word.clone()).collect();
                (!yes.is_empty() && !no.is_empty()).then(|| Needed::Where(d.name.clone(), words))
            });
        let needed = match (parted, usual) {
            (Some(parted), _) => parted,
            (None, Some(instead)) => Needed::Always(instead),
            (None, None) => continue,
        };
        found.insert(e.name.clone(), needed);
    }
    found
}
