//! One question: what it asks, what answers it takes, and what Enter stands for.

use crate::catalog::{meant, nearest};
use crate::describe::swing::Swing;
use crate::problem::Fault;
use crate::quantity::parse_number;
use serde_json::Value;

/// Which part of the dialogue a question belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Section {
    /// Which part it is, and what for.
    Part,
    /// The part's own inputs.
    Inputs,
    /// Where and how long it is used.
    Use,
    /// What happens if it fails.
    Harm,
    /// How much each aim matters.
    Swings,
    /// Where the case is kept.
    Keeping,
}

/// A word of a closed list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// The word, as a case file holds it.
    pub word: String,
    /// What it means; may be empty.
    pub what: String,
}

/// What kind of answer a question takes.
#[derive(Clone, Debug, PartialEq)]
pub enum Takes {
    /// Any words.
    Text,
    /// Figures or words that the reader of the case checks: quantities in any unit that fits.
    Quantity,
    /// A number without a unit.
    Number,
    /// A whole number.
    Whole,
    /// Yes or no.
    YesNo,
    /// One word of a closed list.
    Word(Vec<Choice>),
    /// Words parted by commas.
    List,
    /// `at least 12 MPa`, `at most 3 %`, `10..12 MPa`.
    Bound,
    /// 0 to 100.
    Points,
    /// Aims in falling order: `grip, cost = weight`.
    Order(Vec<Choice>),
}

/// What Enter alone stands for.
#[derive(Clone, Debug, PartialEq)]
pub enum OnEnter {
    /// The answer given before.
    Keep(String),
    /// This default.
    Take(String),
    /// Nothing is said of it.
    LeaveOut,
    /// This value, marked as assumed.
    Assume(String),
    /// There is no default: it must be answered.
    Nothing,
}

/// A question.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// What it fills, as a path in the case file: `inputs.torque`, `life`; or a step of the
    /// dialogue, such as `id`.
    pub key: String,
    /// Where it belongs.
    pub section: Section,
    /// The question.
    pub ask: String,
    /// Why it is asked and what it decides; may be empty.
    pub why: String,
    /// What answers it takes.
    pub takes: Takes,
    /// An answer that would do; may be empty.
    pub example: String,
    /// What Enter stands for.
    pub on_enter: OnEnter,
    /// Inputs that may be given in its place: `skip` leaves it to them.
    pub instead: Vec<String>,
    /// The swing that points are asked for.
    pub swing: Option<Swing>,
}

impl Question {
    /// The name it is called by: the last piece of its key.
    pub fn name(&self) -> &str {
        name_of(&self.key)
    }
}

/// The name of a key: its last piece, but the whole of what is numbered or belongs to a word or aim.
pub(super) fn name_of(key: &str) -> &str {
    for home in ["inputs.", "surroundings.", "harm."] {
        if let Some(name) = key.strip_prefix(home) {
            return name;
        }
    }
    key
}

/// An answer as the case file holds it; `None` where the words mean that there is none.
///
/// # Errors
/// What is wrong with it, and what to write instead: `describe::not-yes-or-no`,
/// `describe::unknown-word`, `describe::not-whole`, `describe::points`, `number::...`.
pub(super) fn read(question: &Question, text: &str) -> Result<Option<Value>, Fault> {
    match &question.takes {
        Takes::Text | Takes::Bound | Takes::Order(_) => Ok(Some(text.into())),
        Takes::Quantity => Ok(Some(text.replace(" to ", "..").into())),
        Takes::Number => number(question, text).map(|x| Some(plain(x))),
        Takes::Whole => whole(question, text).map(Some),
        Takes::Points => points(text).map(|x| Some(plain(x))),
        Takes::YesNo => yes_no(question.name(), text).map(|b| Some(b.into())),
        Takes::Word(choices) => word(question.name(), choices, text).map(|w| Some(w.into())),
        Takes::List => {
            let all: Vec<Value> = text
                .split(',')
                .map(str::trim)
                .filter(|w| !w.is_empty() && !is_none(w))
                .map(Value::from)
                .collect();
            Ok((!all.is_empty()).then(|| all.into()))
        }
    }
}

/// Whether the words say that there is nothing of it.
pub(super) fn is_none(text: &str) -> bool {
    ["none", "nothing", "no", "-"].contains(&text.to_lowercase().as_str())
}

fn number(question: &Question, text: &str) -> Result<f64, Fault> {
    parse_number(text).map_err(|f| {
        if f.code == "number::comma" {
            return f;
        }
        Fault::new(
            f.code,
            format!(
                "`{text}` is not a number, and `{}` takes one without a unit",
                question.name()
            ),
            format!("write for example `{}`", question.example),
        )
    })
}

fn whole(question: &Question, text: &str) -> Result<Value, Fault> {
    match text.parse::<u32>() {
        Ok(n) => Ok(n.into()),
        Err(_) => Err(Fault::new(
            "describe::not-whole",
            format!(
                "`{text}` is not a whole number, and `{}` counts things",
                question.name()
            ),
            format!("write for example `{}`", question.example),
        )),
    }
}

/// A number as a person writes it: 40, not 40.0.
fn plain(x: f64) -> Value {
    let whole = serde_json::from_str::<i64>(&x.to_string());
    whole.map_or(Value::from(x), Value::from)
}

fn points(text: &str) -> Result<f64, Fault> {
    let x = parse_number(text)?;
    if (0.0..=100.0).contains(&x) {
        return Ok(x);
    }
    Err(Fault::new(
        "describe::points",
        format!("{text} is not between 0 and 100"),
        "write 100 for the change that matters most, 0 for one that does not matter",
    ))
}

/// Yes or no, in the usual ways of saying so.
pub(super) fn yes_no(name: &str, text: &str) -> Result<bool, Fault> {
    match text.to_lowercase().as_str() {
        "y" | "yes" | "true" | "yep" | "ja" => Ok(true),
        "n" | "no" | "false" | "nope" | "nein" => Ok(false),
        _ => Err(Fault::new(
            "describe::not-yes-or-no",
            format!("`{text}` is neither yes nor no"),
            format!("write `yes` or `no` for `{name}`"),
        )),
    }
}

/// The word of a list that was meant: written out, by its number, or by how it begins where only
/// one begins so.
pub(super) fn word(name: &str, choices: &[Choice], text: &str) -> Result<String, Fault> {
    let plain = |t: &str| -> String {
        t.to_lowercase()
            .chars()
            .filter(|c| c.is_alphanumeric() || *c == '.')
            .collect()
    };
    let said = plain(text);
    if let Some(c) = choices.iter().find(|c| plain(&c.word) == said) {
        return Ok(c.word.clone());
    }
    // A list of numbers would be ambiguous; no list here has any.
    let nth = text.parse::<usize>().ok().and_then(|n| n.checked_sub(1));
    if let Some(c) = nth.and_then(|n| choices.get(n)) {
        return Ok(c.word.clone());
    }
    let begins: Vec<&Choice> = choices
        .iter()
        .filter(|c| !said.is_empty() && plain(&c.word).starts_with(&said))
        .collect();
    if let [one] = begins.as_slice() {
        return Ok(one.word.clone());
    }
    let by_title = choices
        .iter()
        .find(|c| !said.is_empty() && plain(c.what.trim_end_matches('.')) == said);
    if let Some(c) = by_title {
        return Ok(c.word.clone());
    }
    let titles = choices.iter().map(|c| c.what.trim_end_matches('.'));
    let near_title = nearest(text, titles)
        .and_then(|t| choices.iter().find(|c| c.what.trim_end_matches('.') == t));
    let words = || choices.iter().map(|c| c.word.as_str());
    let fix = match (nearest(text, words()), near_title) {
        (None, Some(c)) => format!("write `{}` if that is what was meant", c.word),
        _ => meant(text, words()),
    };
    Err(Fault::new(
        "describe::unknown-word",
        format!("`{text}` is not a word that `{name}` takes"),
        fix,
    ))
}
