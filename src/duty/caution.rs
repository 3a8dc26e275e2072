//! Safety cautions: what raises them, and which uses are declined.
//!
//! The rules stand in `cautions.json`. A word, a part kind or a test on a
//! field of the case raises one; a raised caution is never suppressed. Only a
//! *doubtful* word of a decline, one that has innocent meanings, can be
//! answered in the case, and the answer is repeated by every output. In a
//! phrase that the rule names as innocent it is not asked about at all.

mod material;
mod when;

pub use material::{MaterialFacts, SOFTENING_DISTANCE_K, material_cautions};

use crate::duty::words::{Text, same};
use crate::duty::{Case, Duty, NotAbout};
use crate::problem::Fault;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::sync::LazyLock;
use when::When;

/// How loud a caution is.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// No pick and no margin.
    Decline,
    /// Above the answer.
    Severe,
    /// With the answer.
    Injury,
    /// With the answer.
    Damage,
    /// Once.
    Note,
}

/// A standard or practice to defer to.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct DeferTo {
    /// Standard.
    pub standard: String,
    /// What it is about.
    pub about: String,
    /// Status of this reference.
    pub status: String,
}

/// A figure that a caution's text rests on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Figure {
    /// The figure with its unit.
    pub figure: String,
    /// Where it comes from.
    pub status: String,
}

/// A caution of the rule book.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
pub struct Caution {
    /// Id.
    pub id: String,
    /// Severity.
    pub severity: Severity,
    /// Text.
    pub text: String,
    /// What to defer to.
    pub defer_to: Vec<DeferTo>,
    /// Whom to ask; empty where the text says it.
    pub ask: String,
    /// Figures in the text, with their status.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub figures: Vec<Figure>,
}

/// A caution that a case raised, and by what.
#[derive(Clone, Debug, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Raised {
    /// The caution.
    pub caution: Caution,
    /// What raised it (`part bolt-washer`, `word "grease"`, `hot end 60 degC`).
    pub by: Vec<String>,
}

/// Why no pick is given.
#[derive(Clone, Debug, PartialEq, Serialize, schemars::JsonSchema)]
pub struct Decline {
    /// The caution.
    pub caution: Caution,
    /// The word or condition.
    pub word: String,
    /// Whether the word has innocent meanings and one yes/no question can lift it.
    pub doubtful: bool,
    /// That question.
    pub question: Option<String>,
}

#[derive(Debug, Deserialize)]
struct Rule {
    #[serde(flatten)]
    caution: Caution,
    question: Option<String>,
    #[serde(default)]
    clear: Vec<String>,
    /// Word and one innocent use of it.
    #[serde(default)]
    doubtful: BTreeMap<String, String>,
    #[serde(default)]
    words: Vec<String>,
    /// Phrases in which its words, or its doubtful ones, mean something else.
    #[serde(default)]
    not_in: Vec<String>,
    #[serde(default)]
    parts: Vec<String>,
    #[serde(default)]
    when: Vec<When>,
}

struct Book {
    rules: Vec<Rule>,
    cautions: Vec<Caution>,
}

static BOOK: LazyLock<Book> = LazyLock::new(|| {
    #[derive(Deserialize)]
    struct File {
        cautions: Vec<Rule>,
    }
    let rules = serde_json::from_str::<File>(include_str!("cautions.json"))
        .map_or_else(|_| vec![unreadable()], |f| f.cautions);
    let cautions = rules.iter().map(|r| r.caution.clone()).collect();
    Book { rules, cautions }
});

/// Without a rule book nothing is safe to answer: one rule that every case meets and nothing lifts.
fn unreadable() -> Rule {
    Rule {
        caution: Caution {
            id: "rule-book".to_owned(),
            severity: Severity::Decline,
            text: "The rule book of cautions cannot be read; no answer is given without it."
                .to_owned(),
            defer_to: Vec::new(),
            ask: "whoever built this tool".to_owned(),
            figures: Vec::new(),
        },
        question: None,
        clear: Vec::new(),
        doubtful: BTreeMap::new(),
        words: Vec::new(),
        not_in: Vec::new(),
        parts: Vec::new(),
        when: vec![When::Always],
    }
}

/// The rule book.
pub fn cautions() -> &'static [Caution] {
    &BOOK.cautions
}

/// The cautions that every case of a part kind raises.
pub fn always_raised(part: &str) -> Vec<&'static Caution> {
    let mut all: Vec<&Caution> = BOOK
        .rules
        .iter()
        .filter(|r| r.caution.severity != Severity::Decline)
        .filter(|r| r.parts.iter().any(|p| p == part) || r.when.contains(&When::Always))
        .map(|r| &r.caution)
        .collect();
    all.sort_by_key(|c| c.severity);
    all
}

/// One innocent use of a doubtful word of a decline.
pub fn innocent_use(caution: &str, word: &str) -> Option<&'static str> {
    let rule = BOOK.rules.iter().find(|r| r.caution.id == caution)?;
    rule.doubtful.get(word).map(String::as_str)
}

/// The cautions and declines that a case raises by its words, part, persons and
/// conditions: cautions most severe first, declines in the rule book's order,
/// clear words before doubtful ones.
///
/// `duty` holds the limits that the case leads to; they say how loads lie to the layers.
pub fn raise(case: &Case, duty: &Duty) -> (Vec<Raised>, Vec<Decline>) {
    let text = Text::of(case);
    let by_part = case.part.cautions(&case.setting);
    let mut raised = Vec::new();
    let mut declines = Vec::new();
    for rule in &BOOK.rules {
        let mut by: Vec<String> = Vec::new();
        let outside = text.without(&rule.not_in);
        for word in rule.words.iter().filter(|w| outside.holds(w)) {
            by.push(format!("word \"{word}\""));
        }
        if rule.parts.iter().any(|p| p == case.part.kind()) {
            by.push(format!("part {}", case.part.kind()));
        }
        by.extend(rule.when.iter().filter_map(|w| w.reason(case, duty, &text)));
        by.extend(
            by_part
                .iter()
                .filter(|(id, _)| *id == rule.caution.id)
                .map(|(_, why)| why.clone()),
        );
        if rule.caution.severity == Severity::Decline {
            declines.extend(by.into_iter().map(|b| rule.decline(b, false)));
            declines.extend(rule.declines((&text, &outside), &case.not_about));
        } else if !by.is_empty() {
            raised.push(Raised {
                caution: rule.caution.clone(),
                by,
            });
        }
    }
    raised.sort_by_key(|r| r.caution.severity);
    declines.sort_by_key(|d| d.doubtful);
    (raised, declines)
}

/// The answers in force: doubtful words that the case holds and says it is not
/// about. Every output repeats them.
pub fn answered(case: &Case) -> Vec<NotAbout> {
    let text = Text::of(case);
    case.not_about
        .iter()
        .filter(|n| answer_fault(n, &text).is_none())
        .cloned()
        .collect()
}

/// What is wrong with the case's `not_about`: an unknown caution or word, a
/// clear word, a caution that is no decline, a word that the case does not
/// hold, or no reason. In the order of the entries.
pub fn answer_faults(case: &Case) -> Vec<Fault> {
    let text = Text::of(case);
    case.not_about
        .iter()
        .filter_map(|n| answer_fault(n, &text))
        .collect()
}

impl Rule {
    fn decline(&self, word: String, doubtful: bool) -> Decline {
        Decline {
            caution: self.caution.clone(),
            word,
            doubtful,
            question: self.question.clone().filter(|_| doubtful),
        }
    }

    /// Clear words count anywhere in the text, doubtful ones `outside` the innocent phrases.
    fn declines(&self, (text, outside): (&Text, &Text), answers: &[NotAbout]) -> Vec<Decline> {
        let clear = self.clear.iter().map(|w| (w, false));
        let doubtful = self.doubtful.keys().map(|w| (w, true));
        clear
            .chain(doubtful)
            .filter(|(w, doubtful)| if *doubtful { outside } else { text }.holds(w))
            .filter(|(w, doubtful)| {
                !(*doubtful
                    && answers
                        .iter()
                        .any(|n| n.caution == self.caution.id && same(&n.word, w) && given(n)))
            })
            .map(|(w, doubtful)| self.decline(w.clone(), doubtful))
            .collect()
    }
}

fn given(n: &NotAbout) -> bool {
    !n.because.trim().is_empty()
}

fn answer_fault(n: &NotAbout, text: &Text) -> Option<Fault> {
    let Some(rule) = BOOK.rules.iter().find(|r| r.caution.id == n.caution) else {
        let near = BOOK
            .rules
            .iter()
            .filter(|r| !r.doubtful.is_empty())
            .map(|r| r.caution.id.as_str())
            .max_by(|a, b| {
                strsim::jaro_winkler(a, &n.caution).total_cmp(&strsim::jaro_winkler(b, &n.caution))
            })
            .unwrap_or("fall-arrest");
        return Some(Fault::new(
            "caution::unknown",
            format!("`{}` is not a caution", n.caution),
            format!("write the id that the decline names, such as `{near}`"),
        ));
    };
    if rule.caution.severity != Severity::Decline {
        return Some(Fault::new(
            "caution::never-lifted",
            format!(
                "`{}` is a caution and not a decline; cautions are never lifted",
                n.caution
            ),
            "leave this entry out",
        ));
    }
    if let Some(word) = rule.clear.iter().find(|w| same(&n.word, w)) {
        return Some(Fault::new(
            "caution::clear-word",
            format!(
                "`{word}` has no innocent meaning under `{}`; nothing lifts it",
                n.caution
            ),
            format!(
                "leave this entry out; for such a part ask {}",
                rule.caution.ask
            ),
        ));
    }
    let Some(word) = rule.doubtful.keys().find(|w| same(&n.word, w)) else {
        let words: Vec<&str> = rule.doubtful.keys().map(String::as_str).collect();
        return Some(Fault::new(
            "caution::unknown-word",
            format!("`{}` is not a doubtful word of `{}`", n.word, n.caution),
            format!("write one of: {}", words.join(", ")),
        ));
    };
    if !given(n) {
        return Some(Fault::new(
            "caution::no-reason",
            format!("no reason is given why `{word}` is not meant"),
            format!(
                "write in `because` what it is, for example `{}`",
                rule.doubtful.get(word).map_or("", String::as_str)
            ),
        ));
    }
    if !text.holds(word) {
        return Some(Fault::new(
            "caution::word-not-in-case",
            format!("the case does not hold the word `{word}`, so there is nothing to answer"),
            "leave this entry out",
        ));
    }
    None
}

/// A figure with at most four digits that matter.
fn short(x: f64) -> String {
    if x.abs() >= 1000.0 {
        format!("{x:.0}")
    } else {
        let text = format!("{x:.1}");
        text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
    }
}
