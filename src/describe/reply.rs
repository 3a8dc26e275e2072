//! What an answer leads to.

use crate::describe::effect::Effect;
use crate::duty::Decline;
use crate::problem::{Fault, Problem};

/// Where the case is to be kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Keep {
    /// Under an id of its own, beside the ids of the cases that are there.
    Named(Vec<String>),
    /// In a file that was named; whether it is there already.
    File(bool),
}

/// A case that is whole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    /// Its id, where it is kept under one.
    pub id: Option<String>,
    /// The text of its file.
    pub text: String,
    /// Whether a file that is there may be replaced: somebody said so.
    pub replace: bool,
}

/// An answer that is not taken: what is wrong with it and what to write instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// Stable code.
    pub code: String,
    /// What is wrong.
    pub what: String,
    /// What to write instead.
    pub fix: String,
}

impl From<Fault> for Refusal {
    fn from(f: Fault) -> Self {
        Refusal {
            code: f.code.to_owned(),
            what: f.what,
            fix: f.fix,
        }
    }
}

impl From<&Problem> for Refusal {
    fn from(p: &Problem) -> Self {
        Refusal {
            code: p.code.clone(),
            what: p.what.clone(),
            fix: p.fix.clone(),
        }
    }
}

/// Something that an answer brought with it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Noticed {
    /// It was taken to mean this.
    TakenAs(String),
    /// It is not known and stands in the case as this, marked as assumed.
    Assumed(String),
    /// It is not known, is left out, and is marked as assumed.
    LeftOut,
    /// An earlier answer no longer applies and is forgotten.
    Dropped(String),
}

/// One thing that was said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SaidLine {
    /// Its name: what `change` takes.
    pub name: String,
    /// What was said; `None` where the default holds.
    pub value: Option<String>,
    /// Whether it is an assumption.
    pub assumed: bool,
}

/// What an answer leads to.
#[derive(Clone, Debug, PartialEq)]
pub enum Reply {
    /// It was taken: ask [`Dialogue::question`](crate::describe::Dialogue::question).
    Next(Vec<Noticed>),
    /// It was not taken, or what was said does not go together: ask [`Dialogue::question`](crate::describe::Dialogue::question).
    Again(Refusal),
    /// Why it is asked, and what it moves; then ask again.
    Why(Effect),
    /// What was said so far; then ask again.
    Review(Vec<SaidLine>),
    /// What can be typed; then ask again.
    Help,
    /// The use is outside what may be judged: it is over, and nothing is written.
    Declined(Box<Decline>),
    /// Whoever answers wants to stop: it is over, and nothing is written.
    Quit,
    /// The case is whole: write it, then go on with [`Dialogue::written`](crate::describe::Dialogue::written).
    Write(Written),
    /// It is over; whether to run the shortlist.
    Over {
        /// Whether a shortlist is wanted.
        shortlist: bool,
    },
}
