//! Which inputs of a part apply, which are needed, and the questions on them: found by trying.

use crate::describe::draft::{Draft, about};
use crate::describe::question::{OnEnter, Question, Section, Takes};
use crate::describe::schema::{Entry, said};
use serde_json::Value;

/// The next question on the part's own inputs; `None` where all that apply are said.
///
/// Those that are needed or stand in the worked example come first, then one question whether to
/// go through the others.
pub(super) fn next(draft: &Draft<'_>) -> Option<Question> {
    if draft.inputs_said.get() {
        return None;
    }
    let found = search(draft);
    draft.inputs_said.set(found.is_none());
    found
}

fn search(draft: &Draft<'_>) -> Option<Question> {
    let open = |e: &&Entry| draft.said(&key(e)).is_none() && e.takes.is_some() && e.name != "note";
    for e in draft.entries.iter().filter(open) {
        let need = need(draft, e);
        let usual = draft.in_example(&key(e)).is_some();
        if need.is_some() || (usual && applies(draft, e)) {
            return Some(question(draft, e, need));
        }
    }
    let finer = || {
        draft
            .entries
            .iter()
            .filter(open)
            .filter(|e| applies(draft, e))
    };
    match draft.said(FINER) {
        None => {
            let names: Vec<String> = finer().map(|e| e.name.clone()).collect();
            (!names.is_empty()).then(|| finer_asked(names))
        }
        Some(_) if draft.goes_finer() => finer().next().map(|e| question(draft, e, None)),
        Some(_) => None,
    }
}

/// The step that asks whether to go through the finer points.
pub(super) const FINER: &str = "finer";

fn finer_asked(names: Vec<String>) -> Question {
    Question {
        key: FINER.to_owned(),
        section: Section::Inputs,
        ask: "Go through the finer points as well? Each has a default.".to_owned(),
        why: "what they say by default is printed with every answer; `change NAME` sets one later"
            .to_owned(),
        takes: Takes::YesNo,
        example: "no".to_owned(),
        on_enter: OnEnter::Take("no".to_owned()),
        instead: names,
        swing: None,
    }
}

/// The key of an input.
pub(super) fn key(e: &Entry) -> String {
    format!("inputs.{}", e.name)
}

/// Why an input is needed now: `Some` with those that may be given in its place.
pub(super) fn need(draft: &Draft<'_>, e: &Entry) -> Option<Vec<String>> {
    if e.required {
        return Some(Vec::new());
    }
    let without = draft.bare(&[(&key(e), None)]);
    let open: Vec<&str> = draft
        .entries
        .iter()
        .filter(|o| draft.said(&key(o)).is_none())
        .map(|o| o.name.as_str())
        .collect();
    let blame: Vec<Vec<&str>> = without
        .problems
        .iter()
        .map(|p| about(p, &open))
        .filter(|names| names.contains(&e.name.as_str()))
        .collect();
    let first = blame.first()?;
    let others = first.iter().filter(|n| **n != e.name);
    // Another takes its place only where giving that alone clears the fault.
    let instead: Vec<String> = others
        .filter(|n| {
            let Some(other) = draft.entry(n) else {
                return false;
            };
            draft.variants(other).into_iter().any(|v| {
                let t = draft.bare(&[(&key(e), None), (&key(other), Some(v))]);
                !t.blames(&e.name) && !t.blames(n)
            })
        })
        .map(|n| (*n).to_owned())
        .collect();
    Some(instead)
}

/// Whether an input can be given beside what was said: some value of it is not refused for itself.
pub(super) fn applies(draft: &Draft<'_>, e: &Entry) -> bool {
    let key = key(e);
    e.required
        || draft
            .variants(e)
            .into_iter()
            .any(|v| !draft.tried(&[(&key, Some(v))]).blames(&e.name))
}

/// The value that stands in for an input that is needed and not known.
pub(super) fn stand_in(draft: &Draft<'_>, e: &Entry) -> Option<Value> {
    let key = key(e);
    let fits = |v: &Value| !draft.bare(&[(&key, Some(v.clone()))]).blames(&e.name);
    let all = draft.variants(e);
    all.iter().find(|v| fits(v)).or(all.first()).cloned()
}

/// The question on an input.
pub(super) fn question(draft: &Draft<'_>, e: &Entry, need: Option<Vec<String>>) -> Question {
    let own = draft.in_example(&key(e)).map(|v| said(&v));
    let word = match &e.takes {
        Some(Takes::Word(w)) => w.first().map(|c| c.word.clone()),
        Some(Takes::YesNo) => Some("yes".to_owned()),
        Some(Takes::Whole) => Some("4".to_owned()),
        Some(Takes::Number) => Some("0.5".to_owned()),
        Some(Takes::Text) => Some(title_of_example(draft)),
        _ => None,
    };
    let example = own
        .or_else(|| Some(e.example.clone()).filter(|x| !x.is_empty()))
        .or(word)
        .unwrap_or_default();
    let on_enter = match (&need, e.default()) {
        (Some(_), _) => match stand_in(draft, e) {
            Some(v) => OnEnter::Assume(said(&v)),
            None => OnEnter::Nothing,
        },
        (None, Some(default)) => OnEnter::Take(default.to_owned()),
        (None, None) => OnEnter::LeaveOut,
    };
    Question {
        key: key(e),
        section: Section::Inputs,
        ask: e.what.clone(),
        why: e.why.clone(),
        takes: e.takes.clone().unwrap_or(Takes::Text),
        example,
        on_enter,
        instead: need.unwrap_or_default(),
        swing: None,
    }
}

/// What the worked example is about, in words.
pub(super) fn title_of_example(draft: &Draft<'_>) -> String {
    let title = draft.in_example("title").map(|v| said(&v));
    let title = title.unwrap_or_default();
    title.trim_start_matches("Worked example: ").to_owned()
}

/// The question on an input again, whatever was said of it.
pub(super) fn again(draft: &Draft<'_>, e: &Entry) -> Question {
    question(draft, e, need(draft, e))
}
