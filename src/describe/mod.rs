//! A dialogue that writes a case: questions in the words of the bench, answers as they are typed.
//!
//! Pure: it reads no line and prints none. [`Dialogue::question`] is what to ask now;
//! [`Dialogue::answer`] takes what was typed and says what to do next. The questions on a part come
//! from its JSON Schema and its worked example, those on its use from one table; which of them
//! apply, which are needed and what they move is found by trying, with the reader that reads every
//! case file. Words for the questions are `render`'s.

mod common;
mod dialogue;
mod draft;
mod effect;
mod file;
mod inputs;
mod kinds;
mod listed;
mod plain;
mod question;
mod reply;
mod schema;
mod sheet;
mod steps;
mod swing;

pub use dialogue::Dialogue;
pub use effect::Effect;
pub use kinds::{kinds_called, kinds_near};
pub(crate) use kinds::{several_parts, unknown_part};
pub use listed::{Ended, from_list};
pub use question::{Choice, OnEnter, Question, Section, Takes};
pub use reply::{Keep, Noticed, Refusal, Reply, SaidLine, Written};
pub use sheet::{InputLine, Needed, PartSheet};
pub use swing::Swing;

/// Keys of the entries that every case has, for holding them against the schema of a case file.
pub fn common_keys() -> impl Iterator<Item = &'static str> {
    common::ROWS.iter().map(|r| r.key)
}
