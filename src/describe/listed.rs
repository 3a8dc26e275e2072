//! The same dialogue answered from a list, `key=value` each: for scripts and tests.

use crate::describe::dialogue::{Dialogue, is_command};
use crate::describe::question::OnEnter;
use crate::describe::reply::{Refusal, Reply, Written};
use crate::describe::steps::BECAUSE;
use crate::duty::Decline;
use crate::problem::Fault;

/// Most questions that are asked: none has so many.
const MOST_QUESTIONS: usize = 1000;

/// How a dialogue from a list ended.
#[derive(Clone, Debug, PartialEq)]
pub enum Ended {
    /// With a case.
    Written(Written),
    /// With a use that is declined.
    Declined(Box<Decline>),
    /// With answers that are not taken, are missing, or belong to nothing: the key of each, the
    /// answer as it was given, and what is wrong with it.
    Refused(Vec<(String, String, Refusal)>),
}

/// Answers every question from a list: `?` where it is not known; what the list leaves out takes
/// its default, and what is needed is missed.
pub fn from_list(dialogue: &mut Dialogue<'_>, list: &[(String, String)]) -> Ended {
    let mut used = vec![false; list.len()];
    let mut wrong: Vec<(String, String, Refusal)> = Vec::new();
    for _ in 0..MOST_QUESTIONS {
        let question = dialogue.question().clone();
        let given = find(list, &question.key, question.name());
        let text = match given.and_then(|i| Some((i, list.get(i)?))) {
            Some((i, (_, value))) => {
                if let Some(u) = used.get_mut(i) {
                    *u = true;
                }
                if value == "?" {
                    "don't know".to_owned()
                } else {
                    value.clone()
                }
            }
            None => match silent(dialogue, list, &used) {
                Silent::Say(text) => text,
                Silent::Decline(d) => return Ended::Declined(d),
                Silent::Miss => {
                    wrong.push((
                        question.name().to_owned(),
                        String::new(),
                        missing(&question),
                    ));
                    String::new()
                }
            },
        };
        if is_command(&text) {
            let refusal = Fault::new(
                "describe::command-as-answer",
                format!("`{text}` steers the dialogue and is no answer"),
                "leave it out; `?` alone stands for what is not known",
            );
            wrong.push((question.name().to_owned(), text, refusal.into()));
            return Ended::Refused(wrong);
        }
        match dialogue.answer(&text) {
            Reply::Next(_) => {}
            Reply::Again(refusal) => {
                let missed = wrong.last().is_some_and(|w| w.0 == question.name());
                if !missed {
                    wrong.push((question.name().to_owned(), text, refusal));
                }
                // What stands in for it lets the others be read; where nothing does, it ends here.
                let same = dialogue.question().key == question.key;
                let stands_in = !matches!(question.on_enter, OnEnter::Nothing);
                if !same || !stands_in || !matches!(dialogue.answer(""), Reply::Next(_)) {
                    return Ended::Refused(wrong);
                }
            }
            Reply::Declined(d) => return Ended::Declined(d),
            Reply::Write(written) => {
                let stray = list.iter().zip(&used).filter(|(_, used)| !**used);
                wrong.extend(stray.map(|((k, v), _)| (k.clone(), v.clone(), dialogue.stray(k, v))));
                return if wrong.is_empty() {
                    Ended::Written(written)
                } else {
                    Ended::Refused(wrong)
                };
            }
            // What was declined to be replaced, or a step that a list never comes to.
            Reply::Why(_) | Reply::Review(_) | Reply::Help | Reply::Quit | Reply::Over { .. } => {
                return Ended::Refused(wrong);
            }
        }
    }
    Ended::Refused(wrong)
}

/// What is said where the list has no answer.
enum Silent {
    /// This.
    Say(String),
    /// It is needed.
    Miss,
    /// The doubtful word is left unanswered.
    Decline(Box<Decline>),
}

fn silent(dialogue: &Dialogue<'_>, list: &[(String, String)], used: &[bool]) -> Silent {
    let question = dialogue.question();
    let open = || {
        list.iter()
            .zip(used)
            .filter(|(_, u)| !**u)
            .map(|((k, _), _)| k.as_str())
    };
    let say = |text: &str| Silent::Say(text.to_owned());
    match question.key.as_str() {
        "finer" => {
            let finer = open().any(|k| {
                question
                    .instead
                    .iter()
                    .any(|n| n == k.trim_start_matches("inputs."))
            });
            say(if finer { "yes" } else { "no" })
        }
        "weights" => say(if open().any(|k| k.starts_with("weights.")) {
            "points"
        } else if open().any(|k| k == "order") {
            "order"
        } else {
            "usual"
        }),
        "write" => say("yes"),
        "replace" => Silent::Miss,
        key => match key.strip_prefix("about.") {
            Some(word) if find(list, &format!("{BECAUSE}{word}"), "").is_some() => say("no"),
            Some(_) => match dialogue.doubt() {
                Some(d) => Silent::Decline(Box::new(d)),
                None => Silent::Miss,
            },
            None => match &question.on_enter {
                OnEnter::Keep(_) | OnEnter::Take(_) | OnEnter::LeaveOut => say(""),
                OnEnter::Assume(_) if open().any(|k| question.instead.iter().any(|n| n == k)) => {
                    say("skip")
                }
                OnEnter::Assume(_) | OnEnter::Nothing => Silent::Miss,
            },
        },
    }
}

/// The place in the list of a key, given whole, by its name, or with blanks or dashes for `_`.
fn find(list: &[(String, String)], key: &str, name: &str) -> Option<usize> {
    let same = |k: &str| {
        let k = k.trim();
        k == key || k == name || (!name.is_empty() && k.replace([' ', '-'], "_") == name)
    };
    list.iter().position(|(k, _)| same(k))
}

fn missing(question: &crate::describe::Question) -> Refusal {
    let name = question.name();
    let fix = match &question.on_enter {
        OnEnter::Assume(v) => format!(
            "add `--answer \"{name}={v}\"`, or `--answer \"{name}=?\"` to take {v} as an assumption"
        ),
        _ if name == "replace" => {
            "add `--answer replace=yes` to replace it, or keep the case elsewhere".to_owned()
        }
        _ if question.example.is_empty() => format!("add `--answer \"{name}=...\"`"),
        _ => format!("add for example `--answer \"{name}={}\"`", question.example),
    };
    Fault::new(
        "describe::missing-answer",
        format!("`{name}` is not answered: {}", question.ask),
        fix,
    )
    .into()
}
