//! `describe`: the dialogue itself, answers from a list, and a real terminal; `parts` beside it.

mod dialogue;
mod listed;
mod parts;
#[cfg(unix)]
mod terminal;

use dutyfit::catalog::{Beside, read_case};
use dutyfit::describe::{Dialogue, Keep, Question, Refusal, Reply};
use dutyfit::duty::{Case, part};
use dutyfit::policy::Policy;
use dutyfit::property::Properties;
use std::sync::LazyLock;

static POLICY: LazyLock<Policy> = LazyLock::new(Policy::default);
static PROPERTIES: LazyLock<Properties> = LazyLock::new(Properties::default);

/// What stands beside a case without a workspace.
fn beside() -> Beside<'static> {
    Beside {
        policy: &POLICY,
        properties: &PROPERTIES,
        surfaces: &[],
    }
}

/// A dialogue that is answered as a person would.
struct Talk(Dialogue<'static>);

impl Talk {
    fn about(kind: &str) -> Self {
        let kind = (!kind.is_empty()).then(|| part(kind).expect("a part kind"));
        Talk(Dialogue::begin(kind, beside(), Keep::Named(Vec::new())))
    }

    fn asked(&self) -> &Question {
        self.0.question()
    }

    /// Fails unless this is asked now.
    #[track_caller]
    fn asks(self, name: &str) -> Self {
        assert_eq!(self.asked().name(), name, "{:?}", self.asked());
        self
    }

    /// Gives an answer that is taken.
    #[track_caller]
    fn say(mut self, text: &str) -> Self {
        let before = self.asked().key.clone();
        match self.0.answer(text) {
            Reply::Next(_) => self,
            other => panic!("`{text}` to `{before}`: {other:?}"),
        }
    }

    /// Gives an answer that is not taken.
    #[track_caller]
    fn refused(&mut self, text: &str) -> Refusal {
        match self.0.answer(text) {
            Reply::Again(r) => r,
            other => panic!("`{text}` was taken: {other:?}"),
        }
    }

    /// Answers with Enter until this is asked.
    #[track_caller]
    fn enter_to(mut self, name: &str) -> Self {
        for _ in 0..100 {
            if self.asked().name() == name {
                return self;
            }
            self = self.say("");
        }
        panic!("`{name}` was never asked");
    }

    /// Answers with Enter to the end; the text of the case.
    #[track_caller]
    fn written(self) -> String {
        let mut talk = self.enter_to("id");
        match talk.0.answer("") {
            Reply::Write(w) => w.text,
            other => panic!("{other:?}"),
        }
    }
}

/// The case of a text that was written.
#[track_caller]
fn case(text: &str) -> Case {
    read_case("written", text, &[], beside()).unwrap_or_else(|p| panic!("{p:#?}\n{text}"))
}
