//! The questions of the dialogue's own steps, and which question comes next.

use crate::describe::common::{self, ROWS};
use crate::describe::draft::{Draft, Said};
use crate::describe::inputs::{self, FINER};
use crate::describe::kinds::choices;
use crate::describe::question::{Choice, OnEnter, Question, Section, Takes, name_of};
use crate::describe::reply::{Keep, Refusal};
use crate::describe::schema::{said, unknown};
use crate::describe::{plain, swing};
use crate::duty::{Decline, innocent_use, parts};
use crate::problem::{Fault, Problem};
use serde_json::Value;

/// Steps of the dialogue that are no entries of the case file.
pub(super) const STEPS: &[&str] = &[
    PART,
    FINER,
    swing::HOW,
    swing::ORDER,
    MEND,
    ID,
    REPLACE,
    WRITE,
    OFFER,
];
pub(super) const PART: &str = "part";
pub(super) const MEND: &str = "mend";
pub(super) const ID: &str = "id";
pub(super) const REPLACE: &str = "replace";
pub(super) const WRITE: &str = "write";
pub(super) const OFFER: &str = "shortlist";
/// Before a doubtful word, in the key of the question whether the case is about that.
pub(super) const ABOUT: &str = "about.";
/// Before a doubtful word, in the key of what it is instead.
pub(super) const BECAUSE: &str = "because.";

/// The next question of a draft; `None` where all is said.
///
/// # Errors
/// The first Problem, where what was said does not go together.
pub(super) fn next(draft: &Draft<'_>) -> Result<Option<Question>, Box<Problem>> {
    if draft.said("title").is_none() {
        return Ok(Some(title(draft)));
    }
    let of_part = if plain::is_plain(draft.kind) {
        plain::next(&draft.said, draft.beside().properties)
    } else {
        inputs::next(draft)
    };
    if of_part.is_some() {
        return Ok(of_part);
    }
    let trial = draft.tried(&[]);
    if let Some(p) = trial.problems.into_iter().next() {
        return Err(Box::new(p));
    }
    let open = ROWS
        .iter()
        .find(|r| draft.said(r.key).is_none() && draft.asks(r));
    if let Some(row) = open {
        return Ok(Some(row_asked(draft, row)));
    }
    let case = draft.told().map_err(first)?;
    let duty = case.duty().map_err(|f| first(placed(f)))?;
    Ok(swing::next(&draft.said, &duty))
}

pub(super) fn placed(faults: Vec<Fault>) -> Vec<Problem> {
    let at = crate::problem::Place::file("the case");
    faults.into_iter().map(|f| f.at(at.clone())).collect()
}

/// The first of several Problems; of none, that the case cannot be read.
pub(super) fn first(problems: Vec<Problem>) -> Box<Problem> {
    Box::new(problems.into_iter().next().unwrap_or_else(|| {
        Fault::new(
            "json::invalid",
            "the case cannot be read",
            "change an answer",
        )
        .at(crate::problem::Place::file("the case"))
    }))
}

/// Keys that can be asked: what was said, every input and every entry that all cases have.
pub(super) fn askable(draft: &Draft<'_>) -> Vec<String> {
    let mut keys: Vec<String> = draft.said.iter().map(|(k, _)| k.clone()).collect();
    keys.push("title".to_owned());
    if !plain::is_plain(draft.kind) {
        let all = draft
            .entries
            .iter()
            .filter(|e| e.takes.is_some() && e.name != "note");
        keys.extend(all.map(inputs::key));
    }
    keys.extend(ROWS.iter().map(|r| r.key.to_owned()));
    keys.extend(
        draft
            .not_about
            .iter()
            .map(|n| format!("{BECAUSE}{}", n.word)),
    );
    let mut once: Vec<String> = Vec::new();
    for k in keys {
        if !once.contains(&k) {
            once.push(k);
        }
    }
    once
}

/// The question of a key, whatever was said of it.
pub(super) fn question_of(draft: &Draft<'_>, key: &str) -> Option<Question> {
    if key == "title" {
        return Some(title(draft));
    }
    if let Some(row) = common::row(key) {
        return Some(row_asked(draft, row));
    }
    if let Some(e) = key.strip_prefix("inputs.").and_then(|n| draft.entry(n)) {
        return Some(inputs::again(draft, e));
    }
    if plain::row_path(key).is_some() {
        return plain::next(&draft.said, draft.beside().properties);
    }
    if key == FINER {
        return inputs::next(draft);
    }
    let duty = draft.told().ok()?.duty().ok()?;
    swing::next(&draft.said, &duty)
}

/// The doubtful word of a draft that a case with this word is asked about.
pub(super) fn undecided(draft: &Draft<'_>, word: &str) -> Option<Decline> {
    draft.declined().filter(|d| d.word == word && d.doubtful)
}

/// A value as a person would have typed it.
pub(super) fn told(v: &Value) -> String {
    match v {
        Value::Object(sides) => {
            let each = sides.iter().map(|(k, v)| match k.as_str() {
                "between" => said(v),
                side => format!("{} {}", side.replace('_', " "), said(v)),
            });
            each.collect::<Vec<_>>().join(", ")
        }
        Value::Array(places) if places.iter().any(Value::is_array) => {
            let each = places.iter().map(|p| said(p).replace(", ", " = "));
            each.collect::<Vec<_>>().join(", ")
        }
        _ => said(v),
    }
}

pub(super) fn which_part() -> Question {
    Question {
        key: PART.to_owned(),
        section: Section::Part,
        ask: "What is the part like?".to_owned(),
        why: "the part kind decides the questions and the formulas; `plain` takes bounds on properties for anything else".to_owned(),
        takes: Takes::Word(choices()),
        example: "bolt-washer".to_owned(),
        on_enter: OnEnter::Nothing,
        instead: Vec::new(),
        swing: None,
    }
}

pub(super) fn title(draft: &Draft<'_>) -> Question {
    let example = inputs::title_of_example(draft);
    Question {
        key: "title".to_owned(),
        section: Section::Part,
        ask: "What is it and what is it for, in a few words?".to_owned(),
        why: "answers call the case by it, and its words count for cautions: some uses are not for a printed part".to_owned(),
        takes: Takes::Text,
        example,
        on_enter: OnEnter::Take(draft.kind.id.to_owned()),
        instead: Vec::new(),
        swing: None,
    }
}

pub(super) fn row_asked(draft: &Draft<'_>, row: &common::Row) -> Question {
    let takes = common::takes(row.key, draft.kind, draft.beside().surfaces);
    let own = draft.in_example(row.key).map(|v| said(&v));
    let needed = draft.needs_row(row);
    Question {
        key: row.key.to_owned(),
        section: row.section,
        ask: row.ask.to_owned(),
        why: row.why.to_owned(),
        takes,
        example: own.clone().unwrap_or_else(|| row.example.to_owned()),
        on_enter: match (needed, own, row.default) {
            (true, Some(own), _) => OnEnter::Assume(own),
            (true, None, _) => OnEnter::Nothing,
            (false, _, "") => OnEnter::LeaveOut,
            (false, _, default) => OnEnter::Take(default.to_owned()),
        },
        instead: Vec::new(),
        swing: None,
    }
}

pub(super) fn about_asked(d: &Decline) -> Question {
    Question {
        key: format!("{ABOUT}{}", d.word),
        section: Section::Part,
        ask: d.question.clone().unwrap_or_default(),
        why: format!(
            "the case speaks of \"{}\", which may mean a use that no bench test can answer for",
            d.word
        ),
        takes: Takes::YesNo,
        example: "no".to_owned(),
        on_enter: OnEnter::Nothing,
        instead: Vec::new(),
        swing: None,
    }
}

pub(super) fn because_asked(d: &Decline) -> Question {
    Question {
        key: format!("{BECAUSE}{}", d.word),
        section: Section::Part,
        ask: format!("What does \"{}\" mean here?", d.word),
        why: "the case keeps your answer, and every output repeats it".to_owned(),
        takes: Takes::Text,
        example: innocent_use(&d.caution.id, &d.word)
            .unwrap_or_default()
            .to_owned(),
        on_enter: OnEnter::Nothing,
        instead: Vec::new(),
        swing: None,
    }
}

pub(super) fn replace_asked(there: &str) -> Question {
    Question {
        key: REPLACE.to_owned(),
        section: Section::Keeping,
        ask: format!("{there} Replace it?"),
        why: "what is replaced is gone".to_owned(),
        takes: Takes::YesNo,
        example: "no".to_owned(),
        on_enter: OnEnter::Take("no".to_owned()),
        instead: Vec::new(),
        swing: None,
    }
}

pub(super) fn mend_asked(draft: &Draft<'_>) -> Question {
    let said = draft
        .said
        .iter()
        .filter(|(k, _)| k.contains('.') || common::row(k).is_some());
    let names = said.map(|(k, _)| Choice {
        word: name_of(k).to_owned(),
        what: String::new(),
    });
    Question {
        key: MEND.to_owned(),
        section: Section::Inputs,
        ask: "Which answer do you want to change?".to_owned(),
        why: "what was said does not go together, and any of it may be the one that is wrong"
            .to_owned(),
        takes: Takes::Word(names.collect()),
        example: String::new(),
        on_enter: OnEnter::Nothing,
        instead: Vec::new(),
        swing: None,
    }
}

pub(super) fn needs_answer(q: &Question) -> Refusal {
    let fix = if q.example.is_empty() {
        "answer it, or write `?` for why it is asked, `help` for what else can be typed".to_owned()
    } else {
        format!(
            "write for example `{}`, or `?` for why it is asked",
            q.example
        )
    };
    Fault::new(
        "describe::needs-answer",
        format!("`{}` needs an answer", q.name()),
        fix,
    )
    .into()
}

pub(super) fn unknown_name(name: &str, names: &[&str]) -> Refusal {
    unknown(
        "describe::unknown-name",
        format!("nothing was asked that is called `{name}`"),
        name,
        names,
    )
    .into()
}

pub(super) fn written_already() -> Refusal {
    Fault::new(
        "describe::written-already",
        "the case has been written",
        "answer `yes` or `no`; to change the case, edit its file or describe it again",
    )
    .into()
}

/// An id from the title that no case has yet.
pub(super) fn free_id(draft: &Draft<'_>, taken: &[String]) -> String {
    let title = match draft.said("title") {
        Some(Said::Value(v)) => v.as_str().map(str::to_owned),
        _ => None,
    };
    let mut id = String::new();
    for c in title.unwrap_or_default().to_lowercase().chars() {
        if c.is_ascii_alphanumeric() {
            id.push(c);
        } else if !id.is_empty() && !id.ends_with('-') {
            id.push('-');
        }
    }
    // Room for a number behind it.
    id.truncate(48);
    let id = id.trim_matches('-');
    let id = if id.is_empty() { draft.kind.id } else { id };
    let free = |id: &str| !taken.iter().any(|t| t == id) && !parts().iter().any(|p| p.id == id);
    if free(id) {
        return id.to_owned();
    }
    (2..)
        .map(|n: u32| format!("{id}-{n}"))
        .find(|id| free(id))
        .unwrap_or_default()
}

pub(super) fn offer_asked() -> Question {
    Question {
        key: OFFER.to_owned(),
        section: Section::Keeping,
        ask: "Run the shortlist for it now?".to_owned(),
        why: "it ranks the materials for this case; the case is kept either way".to_owned(),
        takes: Takes::YesNo,
        example: "yes".to_owned(),
        on_enter: OnEnter::Take("yes".to_owned()),
        instead: Vec::new(),
        swing: None,
    }
}

/// The question where to keep a case that is whole.
pub(super) fn keeping(keep: &Keep, draft: &Draft<'_>) -> Question {
    let ask = |key: &str, ask: &str, takes, example: &str, on_enter| Question {
        key: key.to_owned(),
        section: Section::Keeping,
        ask: ask.to_owned(),
        why: "nothing has been written yet; `list` shows what was said, `change NAME` changes it"
            .to_owned(),
        takes,
        example: example.to_owned(),
        on_enter,
        instead: Vec::new(),
        swing: None,
    };
    match keep {
        Keep::File(true) => replace_asked("The file is there already."),
        Keep::File(false) => ask(
            WRITE,
            "Write the case?",
            Takes::YesNo,
            "yes",
            OnEnter::Take("yes".to_owned()),
        ),
        Keep::Named(taken) => {
            let id = free_id(draft, taken);
            ask(
                ID,
                "Under which name shall the case be kept?",
                Takes::Text,
                &id,
                OnEnter::Take(id.clone()),
            )
        }
    }
}
