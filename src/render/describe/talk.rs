//! Questions, refusals and reviews as lines for a plain terminal.

use crate::describe::{
    Choice, Effect, Noticed, OnEnter, Question, Refusal, SaidLine, Section, Takes,
};
use crate::duty::PartKind;
use crate::render::document::{Document, Row};
use crate::render::page::{Cell, Page};
use crate::render::words::{amount, either, list, safe, sentence};

/// Most words of a closed list that are listed, a line each.
const MOST_LINES: usize = 24;

/// What is shown of a dialogue, question by question.
pub(crate) struct Talk {
    page: Page,
    section: Option<Section>,
}

impl Talk {
    /// On a page; colour codes are left out, since answers are typed between the lines.
    pub(crate) fn on(page: Page) -> Self {
        Talk {
            page: Page {
                colour: false,
                ..page
            },
            section: None,
        }
    }

    /// How a dialogue opens.
    pub(crate) fn opening(&self, kind: Option<&PartKind>) -> String {
        let what = match kind {
            Some(k) => format!("This writes a case for a {}: {}.", k.id, k.title),
            None => "This writes a case: what a part must do.".to_owned(),
        };
        self.paragraph(&format!(
            "{what} Enter takes what stands in brackets. `?` tells why a question is asked, `help` what else can be typed."
        ))
    }

    /// A question, up to where the answer is typed.
    pub(crate) fn ask(&mut self, q: &Question) -> String {
        let mut out = "\n".to_owned();
        if self.section.replace(q.section) != Some(q.section) {
            out.push_str(&self.paragraph(&format!("== {} ==", section(q.section))));
        }
        out.push_str(&self.paragraph(&asked(q)));
        if let Takes::Word(choices) | Takes::Order(choices) = &q.takes {
            out.push_str(&self.choices(choices));
        }
        if q.key == "finer" {
            out.push_str(&self.paragraph(&format!("They are {}.", list(&q.instead))));
        } else if !q.instead.is_empty() {
            out.push_str(&self.paragraph(&format!(
                "Or write `skip`, and give {} in its place.",
                either(&q.instead)
            )));
        }
        if !q.example.is_empty() && !shown_anyway(q) {
            out.push_str(&self.paragraph(&format!("For example: {}", q.example)));
        }
        out.push_str(&prompt(q));
        out
    }

    /// An answer that came from no terminal, which shows none by itself.
    pub(crate) fn echo(&self, answer: &str) -> String {
        format!("{}\n", safe(answer))
    }

    /// An answer that was not taken.
    pub(crate) fn refusal(&self, r: &Refusal) -> String {
        let mut out = self.page.paragraph("! ", "  ", &safe(&sentence(&r.what)));
        out.push_str(&self.page.paragraph("  ", "  ", &safe(&sentence(&r.fix))));
        out
    }

    /// What an answer brought with it.
    pub(crate) fn noticed(&self, all: &[Noticed]) -> String {
        all.iter()
            .map(|n| {
                let said = match n {
                    Noticed::TakenAs(word) => format!("Taken as {word}."),
                    Noticed::Assumed(value) => {
                        format!("Assumed: {value}. Every answer will say so.")
                    }
                    Noticed::LeftOut => "Left out, and marked as not known.".to_owned(),
                    Noticed::Dropped(name) => {
                        format!("`{name}` no longer applies, and is forgotten.")
                    }
                };
                self.page.paragraph("  ", "  ", &safe(&said))
            })
            .collect()
    }

    /// Why a question is asked, and what its answer moves.
    pub(crate) fn why(&self, q: &Question, effect: &Effect) -> String {
        let mut out = String::new();
        if !q.why.is_empty() {
            out.push_str(&self.page.paragraph("  ", "  ", &safe(&sentence(&q.why))));
        }
        for (what, names) in [
            ("It moves the limits", &effect.limits),
            ("It moves the aims", &effect.aims),
            ("It can raise the cautions", &effect.cautions),
        ] {
            if !names.is_empty() {
                let said = format!("{what}: {}.", names.join("; "));
                out.push_str(&self.page.paragraph("  ", "  ", &safe(&said)));
            }
        }
        let can = match &q.takes {
            Takes::Quantity => {
                "Any unit that fits will do, such as mm, cm or in for a length, N or kgf for a force."
            }
            Takes::Word(_) => "A word of the list, its beginning, or its number there.",
            _ => "",
        };
        if !can.is_empty() {
            out.push_str(&self.page.paragraph("  ", "  ", can));
        }
        out
    }

    /// What was said so far.
    pub(crate) fn review(&self, said: &[SaidLine]) -> String {
        if said.is_empty() {
            return self.paragraph("Nothing has been said yet.");
        }
        let rows = said
            .iter()
            .map(|l| {
                let value = match (&l.value, l.assumed) {
                    (Some(v), false) => v.clone(),
                    (Some(v), true) => format!("{v} (assumed)"),
                    (None, true) => "not known, left out (assumed)".to_owned(),
                    (None, false) => "by default".to_owned(),
                };
                Row {
                    cells: vec![Cell::from(l.name.as_str()), value.into()],
                    shorter: None,
                }
            })
            .collect();
        let mut doc = Document::default();
        doc.table(&["", ""], &[], rows);
        doc.text(self.page)
    }

    /// What can be typed at any question.
    pub(crate) fn help(&self) -> String {
        let rows = [
            ("?", "why this is asked, and what the answer moves"),
            ("Enter", "what stands in brackets"),
            (
                "don't know",
                "a stated assumption, marked in the case and in every answer",
            ),
            ("skip", "leave it out, where it may be"),
            ("back", "to the question before"),
            (
                "change NAME",
                "to the question of that name, as `list` shows it",
            ),
            ("list", "what was said so far"),
            ("quit", "stop; nothing is written"),
        ];
        let rows = rows
            .iter()
            .map(|(a, b)| Row {
                cells: vec![(*a).into(), (*b).into()],
                shorter: None,
            })
            .collect();
        let mut doc = Document::default();
        doc.table(&["", ""], &[], rows);
        doc.text(self.page)
    }

    /// That nothing was written.
    pub(crate) fn quit(&self) -> String {
        self.paragraph("Nothing was written.")
    }

    fn paragraph(&self, text: &str) -> String {
        self.page.paragraph("", "", &safe(text))
    }

    fn choices(&self, choices: &[Choice]) -> String {
        if choices.len() > MOST_LINES || choices.iter().all(|c| c.what.is_empty()) {
            let words: Vec<&str> = choices.iter().map(|c| c.word.as_str()).collect();
            return self.page.paragraph("  ", "  ", &safe(&either(&words)));
        }
        let page = Page {
            width: self.page.width.saturating_sub(2),
            ..self.page
        };
        let rows: Vec<Vec<Cell>> = choices
            .iter()
            .map(|c| vec![safe(&c.word).into(), safe(&c.what).into()])
            .collect();
        let text = page.rows(&rows, &[]);
        text.lines().map(|l| format!("  {l}\n")).collect()
    }
}

fn section(s: Section) -> &'static str {
    match s {
        Section::Part => "The part",
        Section::Inputs => "Its sizes and loads",
        Section::Use => "Where and how long",
        Section::Harm => "If it fails",
        Section::Swings => "What matters",
        Section::Keeping => "Keeping the case",
    }
}

/// The question itself; points are asked for the change from one end of an aim's scale to the other.
fn asked(q: &Question) -> String {
    match &q.swing {
        Some(s) => sentence(&format!(
            "{}: how much does the change from {} to {} matter, 0 to 100?",
            s.title,
            amount(s.zero, &s.unit),
            amount(s.one, &s.unit)
        )),
        None => q.ask.clone(),
    }
}

/// Whether the example would only repeat what stands in the brackets or in the list above.
fn shown_anyway(q: &Question) -> bool {
    let listed = matches!(q.takes, Takes::Word(_) | Takes::YesNo | Takes::Points);
    let same = match &q.on_enter {
        OnEnter::Keep(v) | OnEnter::Take(v) | OnEnter::Assume(v) => *v == q.example,
        OnEnter::LeaveOut | OnEnter::Nothing => false,
    };
    listed || same
}

/// The name of the question and what Enter stands for.
fn prompt(q: &Question) -> String {
    let enter = match &q.on_enter {
        OnEnter::Keep(v) => format!(" [{v}]"),
        OnEnter::Take(v) => format!(" [{v}]"),
        OnEnter::LeaveOut => " [none]".to_owned(),
        OnEnter::Assume(v) => format!(" [{v}, assumed]"),
        OnEnter::Nothing => String::new(),
    };
    format!("{}: ", safe(&format!("{}{enter}", q.name())))
}
