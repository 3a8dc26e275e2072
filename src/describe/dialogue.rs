//! The state of a dialogue: what is asked now, and what each answer leads to.

use crate::catalog::{Beside, check_id};
use crate::describe::common;
use crate::describe::draft::{Draft, Said, about};
use crate::describe::effect::{Effect, effect};
use crate::describe::inputs;
use crate::describe::kinds::{kinds_called, several_parts, unknown_part};
use crate::describe::question::{
    OnEnter, Question, Section, Takes, is_none, name_of, read, word, yes_no,
};
use crate::describe::reply::{Keep, Noticed, Refusal, Reply, SaidLine, Written};
use crate::describe::steps::{
    ABOUT, BECAUSE, ID, MEND, OFFER, PART, REPLACE, STEPS, WRITE, about_asked, askable,
    because_asked, keeping, mend_asked, needs_answer, next, offer_asked, question_of,
    replace_asked, title, told, undecided, unknown_name, which_part, written_already,
};
use crate::describe::{plain, swing};
use crate::duty::{Case, Decline, NotAbout, PartKind, parts};
use crate::problem::{Fault, Problem};
use std::collections::BTreeMap;

/// A dialogue.
pub struct Dialogue<'a> {
    beside: Beside<'a>,
    keep: Keep,
    draft: Option<Draft<'a>>,
    asking: Question,
    /// Keys in the order of answering.
    history: Vec<String>,
    /// Answers taken back, which Enter gives again.
    earlier: BTreeMap<String, Said>,
    /// The doubtful word that is being asked about.
    doubt: Option<Decline>,
    id: Option<String>,
}

impl<'a> Dialogue<'a> {
    /// Begins one: for a part kind, or with the question which it is.
    pub fn begin(kind: Option<&'static PartKind>, beside: Beside<'a>, keep: Keep) -> Self {
        let draft = kind.map(|k| Draft::new(k, beside));
        let asking = match &draft {
            None => which_part(),
            Some(d) => title(d),
        };
        Dialogue {
            beside,
            keep,
            draft,
            asking,
            history: Vec::new(),
            earlier: BTreeMap::new(),
            doubt: None,
            id: None,
        }
    }

    /// What to ask now.
    pub fn question(&self) -> &Question {
        &self.asking
    }

    /// The part kind, once it is known.
    pub fn kind(&self) -> Option<&'static PartKind> {
        self.draft.as_ref().map(|d| d.kind)
    }

    /// What was said so far, in the order of saying.
    pub fn review(&self) -> Vec<SaidLine> {
        let Some(d) = &self.draft else {
            return Vec::new();
        };
        d.said
            .iter()
            .filter(|(k, _)| {
                !STEPS.contains(&k.as_str()) || [swing::HOW, swing::ORDER].contains(&k.as_str())
            })
            .map(|(k, s)| SaidLine {
                name: name_of(k).to_owned(),
                value: match s {
                    Said::Value(v) | Said::Assumed(Some(v)) => Some(told(v)),
                    Said::Assumed(None) | Said::Default => None,
                },
                assumed: matches!(s, Said::Assumed(_)),
            })
            .collect()
    }

    /// The case as it will be read; `None` before it is whole.
    pub fn case(&self) -> Option<Case> {
        self.draft.as_ref()?.told().ok()
    }

    /// The doubtful word that is being asked about.
    pub(super) fn doubt(&self) -> Option<Decline> {
        self.doubt.clone()
    }

    /// What is wrong with an answer that no question took.
    pub(super) fn stray(&self, key: &str, text: &str) -> Refusal {
        let Some(draft) = &self.draft else {
            return unknown_name(key, &[]);
        };
        let keys = askable(draft);
        let Some(known) = keys.iter().find(|k| *k == key || name_of(k) == key) else {
            let names: Vec<&str> = keys.iter().map(|k| name_of(k)).collect();
            return unknown_name(key, &names);
        };
        let refused = draft.check(known, &text.into()).err();
        refused.unwrap_or_else(|| {
            Fault::new(
                "describe::not-asked",
                format!("`{key}` does not apply to what the other answers say"),
                "leave it out, or change the answer that it does not go with",
            )
            .into()
        })
    }

    /// Takes what was typed.
    pub fn answer(&mut self, typed: &str) -> Reply {
        let plain: String = typed.chars().filter(|c| !c.is_control()).collect();
        let text = plain.trim();
        if let Some(reply) = self.command(text) {
            return reply;
        }
        match self.take(text) {
            Ok(reply) => reply,
            Err(refusal) => Reply::Again(refusal),
        }
    }

    /// The case has been written: offers the shortlist.
    pub fn written(&mut self) {
        self.asking = offer_asked();
    }

    fn command(&mut self, text: &str) -> Option<Reply> {
        let lower = text.to_lowercase();
        // A word of the question's own list is an answer.
        if let Takes::Word(all) = &self.asking.takes
            && all.iter().any(|c| c.word == lower)
        {
            return None;
        }
        match lower.as_str() {
            "?" | "why" => return Some(Reply::Why(self.effect())),
            "help" => return Some(Reply::Help),
            "list" | "review" => return Some(Reply::Review(self.review())),
            "quit" | "exit" => return Some(Reply::Quit),
            "back" => return Some(self.back()),
            _ => {}
        }
        let name = lower.strip_prefix("change ")?;
        Some(match self.change(name.trim()) {
            Ok(()) => Reply::Next(Vec::new()),
            Err(r) => Reply::Again(r),
        })
    }

    fn effect(&self) -> Effect {
        match &self.draft {
            Some(d) if self.asking.key.contains('.') || common::row(&self.asking.key).is_some() => {
                effect(d, &self.asking.key)
            }
            _ => Effect::default(),
        }
    }

    fn back(&mut self) -> Reply {
        if self.asking.key == OFFER {
            return Reply::Again(written_already());
        }
        self.doubt = None;
        match self.history.last().cloned() {
            Some(key) => {
                self.ask_again(&key);
                Reply::Next(Vec::new())
            }
            None => Reply::Again(
                Fault::new(
                    "describe::first-question",
                    "this is the first question, and nothing stands before it",
                    "answer it, or write `quit` to stop; nothing is written then",
                )
                .into(),
            ),
        }
    }

    /// Goes to the question of a name, answered or not.
    fn change(&mut self, name: &str) -> Result<(), Refusal> {
        if self.asking.key == OFFER {
            return Err(written_already());
        }
        let Some(draft) = &self.draft else {
            return Err(unknown_name(name, &[]));
        };
        if name == PART {
            return Err(Fault::new(
                "describe::part-stays",
                "the part cannot be changed on the way: its questions are its own",
                "write `quit`, and begin again with the other part",
            )
            .into());
        }
        let keys = askable(draft);
        let plain = name.replace([' ', '-'], "_");
        let fits = |k: &&String| [name, plain.as_str()].contains(&name_of(k)) || k.as_str() == name;
        let Some(key) = keys.iter().find(fits).cloned() else {
            let names: Vec<&str> = keys.iter().map(|k| name_of(k)).collect();
            return Err(unknown_name(name, &names));
        };
        self.doubt = None;
        self.ask_again(&key);
        Ok(())
    }

    /// Takes the answer to a key back and asks for it; Enter gives it again.
    fn ask_again(&mut self, key: &str) {
        self.history.retain(|k| k != key);
        let Some(draft) = &mut self.draft else { return };
        if key == PART {
            self.draft = None;
            self.asking = which_part();
            return;
        }
        if let Some(said) = draft.take_back(key) {
            self.earlier.insert(key.to_owned(), said);
        }
        if let Some(word) = key.strip_prefix(BECAUSE) {
            draft.not_about.retain(|n| n.word != word);
            if let Some(d) = undecided(draft, word) {
                self.asking = about_asked(&d);
                self.doubt = Some(d);
                return;
            }
        }
        let question = question_of(draft, key);
        if let Some(q) = question {
            self.asking = q;
        }
        let Some(earlier) = self.earlier.get(key) else {
            return;
        };
        self.asking.on_enter = match earlier {
            Said::Value(v) => OnEnter::Keep(told(v)),
            Said::Assumed(Some(_)) | Said::Assumed(None) | Said::Default => {
                self.asking.on_enter.clone()
            }
        };
    }

    fn take(&mut self, text: &str) -> Result<Reply, Refusal> {
        let key = self.asking.key.clone();
        match key.as_str() {
            PART => self.take_part(text),
            ID => self.take_id(text),
            REPLACE | WRITE => self.take_write(text),
            MEND => {
                let Takes::Word(names) = self.asking.takes.clone() else {
                    return Ok(Reply::Quit);
                };
                let name = word(MEND, &names, text)?;
                self.change(&name)?;
                Ok(Reply::Next(Vec::new()))
            }
            OFFER => Ok(Reply::Over {
                shortlist: text.is_empty() || yes_no(OFFER, text)?,
            }),
            _ if key.starts_with(ABOUT) => self.take_about(text),
            _ if key.starts_with(BECAUSE) => self.take_because(text),
            _ => self.take_entry(&key, text),
        }
    }

    fn take_part(&mut self, text: &str) -> Result<Reply, Refusal> {
        let nth = text.parse::<usize>().ok().and_then(|n| n.checked_sub(1));
        let found: Vec<&'static PartKind> = match nth.and_then(|n| parts().get(n)) {
            Some(kind) => vec![kind],
            None => kinds_called(text),
        };
        match found.as_slice() {
            [] => Err(unknown_part(text).into()),
            [kind] => {
                let draft = Draft::new(kind, self.beside);
                self.asking = title(&draft);
                self.draft = Some(draft);
                self.history.push(PART.to_owned());
                let exact = kind.id == text.to_lowercase();
                Ok(Reply::Next(if exact {
                    Vec::new()
                } else {
                    vec![Noticed::TakenAs(kind.id.to_owned())]
                }))
            }
            several => Err(several_parts(text, several).into()),
        }
    }

    fn take_entry(&mut self, key: &str, text: &str) -> Result<Reply, Refusal> {
        let question = self.asking.clone();
        let mut noticed = Vec::new();
        let said = match self.meant(&question, text)? {
            Meant::Said(s) => s,
            Meant::Unknown => self.not_known(&question)?,
            Meant::Answer => self.read_answer(&question, text, &mut noticed)?,
        };
        match &said {
            Said::Assumed(Some(v)) => noticed.push(Noticed::Assumed(told(v))),
            Said::Assumed(None) => noticed.push(Noticed::LeftOut),
            Said::Value(_) | Said::Default => {}
        }
        if let Some(draft) = &mut self.draft {
            draft.put(key, said);
            self.history.retain(|k| k != key);
            self.history.push(key.to_owned());
            self.earlier.remove(key);
            for name in draft.drop_foreign(key) {
                let gone = format!("inputs.{name}");
                self.history.retain(|k| *k != gone);
                noticed.push(Noticed::Dropped(name));
            }
        }
        Ok(self.advance(noticed))
    }

    /// What Enter, `skip` and not knowing mean for a question.
    fn meant(&self, question: &Question, text: &str) -> Result<Meant, Refusal> {
        if text.is_empty() {
            return match &question.on_enter {
                OnEnter::Keep(_) => Ok(match self.earlier.get(&question.key) {
                    Some(s) => Meant::Said(s.clone()),
                    None => Meant::Said(Said::Default),
                }),
                OnEnter::Take(_)
                    if matches!(question.takes, Takes::Points | Takes::Word(_))
                        && question.section == Section::Swings =>
                {
                    Ok(Meant::Answer)
                }
                OnEnter::Take(_) | OnEnter::LeaveOut => Ok(Meant::Said(Said::Default)),
                OnEnter::Assume(_) => Ok(Meant::Unknown),
                OnEnter::Nothing => Err(needs_answer(question)),
            };
        }
        let lower = text.to_lowercase().replace('\u{2019}', "'");
        let unknown = [
            "don't know",
            "dont know",
            "do not know",
            "i don't know",
            "i do not know",
            "not known",
            "unknown",
            "no idea",
        ];
        if unknown.contains(&lower.as_str()) && question.takes != Takes::Points {
            return Ok(Meant::Unknown);
        }
        if lower == "skip" {
            let may = !question.instead.is_empty()
                || matches!(question.on_enter, OnEnter::Take(_) | OnEnter::LeaveOut);
            return if may {
                Ok(Meant::Said(Said::Default))
            } else {
                Err(needs_answer(question))
            };
        }
        Ok(Meant::Answer)
    }

    /// What stands for an entry that is not known.
    fn not_known(&self, question: &Question) -> Result<Said, Refusal> {
        let Some(draft) = &self.draft else {
            return Err(needs_answer(question));
        };
        if let Some(name) = question.key.strip_prefix("inputs.") {
            let needed = matches!(question.on_enter, OnEnter::Assume(_) | OnEnter::Nothing);
            return Ok(Said::Assumed(
                draft
                    .entry(name)
                    .filter(|e| needed || e.required)
                    .and_then(|e| inputs::stand_in(draft, e)),
            ));
        }
        if let Some(row) = common::row(&question.key) {
            if ["title", "note"].contains(&row.key) {
                return Ok(Said::Default);
            }
            return Ok(Said::Assumed(match &question.on_enter {
                OnEnter::Assume(_) => draft.in_example(row.key),
                _ => common::default_value(row, &question.takes),
            }));
        }
        match &question.on_enter {
            // A plain case has no worked figure for a property of the user's choice.
            OnEnter::Assume(v) => Ok(Said::Value(v.clone().into())),
            OnEnter::Take(_) | OnEnter::LeaveOut => Ok(Said::Default),
            _ => Err(needs_answer(question)),
        }
    }

    /// The answer as the case holds it, checked by the reader of cases.
    fn read_answer(
        &self,
        question: &Question,
        text: &str,
        noticed: &mut Vec<Noticed>,
    ) -> Result<Said, Refusal> {
        let key = &question.key;
        let typed = match &question.on_enter {
            OnEnter::Take(default) if text.is_empty() => default,
            _ => text,
        };
        let Some(draft) = &self.draft else {
            return Ok(Said::Default);
        };
        let value = match &question.takes {
            Takes::Bound => plain::property_of(&draft.said, key, draft.beside().properties)
                .map(|p| plain::bound(typed, p))
                .transpose()?,
            Takes::Order(aims) => Some(swing::order(typed, aims)?),
            Takes::Text if key != "title" && is_none(typed) => None,
            Takes::Quantity if plain::row_path(key).is_some() => {
                plain::property_of(&draft.said, key, draft.beside().properties)
                    .map(|p| plain::figure(typed, p))
                    .transpose()?
            }
            _ => read(question, typed)?,
        };
        let Some(value) = value else {
            return Ok(Said::Default);
        };
        if let (Takes::Word(_), Some(word)) = (&question.takes, value.as_str())
            && word != typed
        {
            noticed.push(Noticed::TakenAs(word.to_owned()));
        }
        draft.check(key, &value)?;
        Ok(Said::Value(value))
    }

    fn take_about(&mut self, text: &str) -> Result<Reply, Refusal> {
        let Some(doubt) = self.doubt.clone() else {
            return Ok(self.advance(Vec::new()));
        };
        if yes_no(&doubt.word, text)? {
            return Ok(Reply::Declined(Box::new(doubt)));
        }
        self.asking = because_asked(&doubt);
        Ok(Reply::Next(Vec::new()))
    }

    fn take_because(&mut self, text: &str) -> Result<Reply, Refusal> {
        let (Some(doubt), Some(draft)) = (self.doubt.clone(), &mut self.draft) else {
            return Ok(self.advance(Vec::new()));
        };
        if text.is_empty() {
            return Err(needs_answer(&self.asking));
        }
        draft.not_about.push(NotAbout {
            caution: doubt.caution.id.clone(),
            word: doubt.word.clone(),
            because: text.to_owned(),
            note: String::new(),
        });
        self.history.push(format!("{BECAUSE}{}", doubt.word));
        self.doubt = None;
        Ok(self.advance(Vec::new()))
    }

    fn take_id(&mut self, text: &str) -> Result<Reply, Refusal> {
        let id = match (&self.asking.on_enter, text) {
            (OnEnter::Take(default), "") => default.clone(),
            _ => text.to_owned(),
        };
        check_id(&id, "case")?;
        let taken = matches!(&self.keep, Keep::Named(all) if all.contains(&id));
        self.id = Some(id.clone());
        if taken {
            self.asking = replace_asked(&format!("`{id}` is there already."));
            return Ok(Reply::Next(Vec::new()));
        }
        Ok(self.whole(false))
    }

    fn take_write(&mut self, text: &str) -> Result<Reply, Refusal> {
        let replace = self.asking.key == REPLACE;
        let yes = match (&self.asking.on_enter, text) {
            (OnEnter::Take(default), "") => default == "yes",
            _ => yes_no(&self.asking.key, text)?,
        };
        match (yes, &self.keep) {
            (true, _) => Ok(self.whole(replace)),
            (false, Keep::File(_)) => Ok(Reply::Quit),
            (false, Keep::Named(_)) => {
                self.id = None;
                Ok(self.advance(Vec::new()))
            }
        }
    }

    fn whole(&self, replace: bool) -> Reply {
        Reply::Write(Written {
            id: self.id.clone(),
            text: self.draft.as_ref().map(Draft::text).unwrap_or_default(),
            replace,
        })
    }

    /// What comes next: a use that is declined, a doubtful word, the next question, or what does
    /// not go together.
    fn advance(&mut self, noticed: Vec<Noticed>) -> Reply {
        let Some(draft) = &self.draft else {
            self.asking = which_part();
            return Reply::Next(noticed);
        };
        if let Some(d) = draft.declined() {
            if !d.doubtful || d.question.is_none() {
                return Reply::Declined(Box::new(d));
            }
            self.asking = about_asked(&d);
            self.doubt = Some(d);
            return Reply::Next(noticed);
        }
        match next(draft) {
            Ok(Some(q)) => {
                self.asking = q;
                if let Some(Said::Value(v)) = self.earlier.get(&self.asking.key) {
                    self.asking.on_enter = OnEnter::Keep(told(v));
                }
                Reply::Next(noticed)
            }
            Ok(None) => {
                self.asking = keeping(&self.keep, draft);
                Reply::Next(noticed)
            }
            Err(problem) => self.mend(&problem),
        }
    }

    /// Goes back to the answer that a Problem is about; asks which, where it names none.
    fn mend(&mut self, problem: &Problem) -> Reply {
        let Some(draft) = &self.draft else {
            return Reply::Again(problem.into());
        };
        let field = problem.at.field.clone().unwrap_or_default();
        if field.starts_with("weights") {
            if let Some(d) = &mut self.draft {
                d.said.retain(|(k, _)| {
                    k != swing::HOW && k != swing::ORDER && !k.starts_with("weights.")
                });
            }
            self.ask_again(swing::HOW);
            return Reply::Again(problem.into());
        }
        let row = draft.said.iter().map(|(k, _)| k).find(|k| {
            plain::row_path(k).is_some_and(|p| field.starts_with(&p))
                && ["bound", "zero", "one"].contains(&k.rsplit('.').next().unwrap_or(k))
        });
        let keys: Vec<String> = askable(draft);
        let names: Vec<&str> = keys.iter().map(|k| name_of(k)).collect();
        let blamed = about(problem, &names);
        // The latest answer first: the earlier ones stood without it.
        let latest = self
            .history
            .iter()
            .rev()
            .find(|k| blamed.contains(&name_of(k)));
        let key = row
            .or(latest)
            .cloned()
            .or_else(|| keys.iter().find(|k| blamed.contains(&name_of(k))).cloned());
        match key {
            Some(key) => {
                self.ask_again(&key);
                // The answer that does not go with the others is not offered again.
                if matches!(self.asking.on_enter, OnEnter::Keep(_)) {
                    self.asking.on_enter = OnEnter::Nothing;
                }
            }
            None => self.asking = mend_asked(draft),
        }
        Reply::Again(problem.into())
    }
}

/// Whether a text steers the dialogue at any question.
pub(super) fn is_command(text: &str) -> bool {
    let lower = text.trim().to_lowercase();
    let words = ["?", "why", "help", "list", "review", "quit", "exit", "back"];
    words.contains(&lower.as_str()) || lower.starts_with("change ")
}

/// What an answer means before it is read.
enum Meant {
    /// This, without more.
    Said(Said),
    /// It is not known.
    Unknown,
    /// It is an answer.
    Answer,
}
