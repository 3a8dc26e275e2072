//! Answers to text, JSON and Markdown. No arithmetic.
//!
//! An answer is gathered in [`answer`](Shortlist), laid out as blocks in
//! `document`, and written by one writer for text and one for Markdown. JSON
//! has its own published shapes in [`json`].

mod answer;
mod assumption;
mod caution;
mod check;
mod compare;
mod csv;
mod describe;
mod direction;
mod document;
mod edit;
mod explain;
mod form;
mod grid;
pub mod json;
mod page;
mod part;
mod problem;
mod record;
mod reduce;
mod rig_check;
mod schema;
mod sheet;
mod shortlist;
mod show;
mod skipped;
mod telling;
mod told;
mod why;
mod words;

pub use answer::{Asked, Check, Checked, Judged, Shortlist};
pub use compare::CompareShown;
pub(crate) use describe::{DescribeFile, Talk, Wrote, not_written, not_written_json};
pub(crate) use edit::{AsideShown, InitShown, RenamedShown};
pub use explain::{CodeList, CodeShown};
pub(crate) use form::{FormList, FormShown};
pub use page::Page;
pub use part::{PartList, PartShown};
pub(crate) use problem::problems_markdown;
pub use problem::{fault, file_fault, problems};
pub(crate) use record::{RecordAnswer, RecordedSheet};
pub(crate) use reduce::{ReducedSheet, SheetRun, reduced_json};
pub use rig_check::RigCheckShown;
pub(crate) use schema::{kinds as schema_kinds, schema};
pub(crate) use sheet::SummarySheet;
pub use show::Shown;
pub(crate) use skipped::{skipped, skipped_markdown};
pub use told::{CaseTold, Told};
pub use why::WhyShown;

use crate::catalog::Origin;
use crate::judge::{Judgement, LimitResult, Standing};
use document::{Document, Row};
use telling::Telling;
use words::{amount, figure};

/// Marks every answer that rests on nobody's readings.
fn tag(origin: Origin) -> &'static str {
    match origin {
        Origin::Own => "",
        Origin::Demo => " [invented demo]",
        Origin::Handbook => " [handbook ranges, no measured material]",
    }
}

/// The option that asks for such figures again.
fn option(origin: Origin) -> &'static str {
    match origin {
        Origin::Own => "",
        Origin::Demo => " --demo",
        Origin::Handbook => " --handbook",
    }
}

fn telling<'a>(asked: &Asked<'a>) -> Telling<'a> {
    Telling {
        duty: asked.duty,
        properties: asked.evidence.properties(),
    }
}

/// The word of a standing.
fn standing(s: Standing) -> &'static str {
    match s {
        Standing::Fit => "fit",
        Standing::Borderline => "borderline",
        Standing::NotKnown => "not known",
        Standing::RuledOut => "ruled out",
    }
}

/// What the parts of a case are called, plural.
fn parts<'a>(asked: &Asked<'a>) -> &'a str {
    asked.duty.promise.as_ref().map_or("parts", |p| p.parts)
}

fn title(asked: &Asked<'_>) -> String {
    if asked.case.title.is_empty() {
        asked.name.to_owned()
    } else {
        asked.case.title.clone()
    }
}

/// A policy that asks less than usual, above the answer.
fn loosened(asked: &Asked<'_>, doc: &mut Document) {
    let looser: Vec<String> = asked
        .evidence
        .policy()
        .loosened()
        .iter()
        .map(|l| {
            format!(
                "{} {} {} in place of {}",
                l.class.word(),
                l.what,
                figure(l.now),
                figure(l.default)
            )
        })
        .collect();
    doc.list("Policy looser than usual", looser);
}

/// What was read otherwise than it stands, a line each, for stderr.
pub(crate) fn notices(all: &[String]) -> String {
    all.iter()
        .map(|n| format!("note: {}\n", words::safe(n)))
        .collect()
}

/// Several answers, each under its name.
pub(crate) fn joined(answers: &[(String, String)], markdown: bool) -> String {
    let mut out = String::new();
    for (name, text) in answers {
        if !out.is_empty() {
            out.push('\n');
        }
        if !markdown {
            out.push_str(&format!("== {}\n", words::safe(name)));
        }
        out.push_str(text);
    }
    out
}

/// Each weight beside the swing it is for.
fn weights(asked: &Asked<'_>, judgement: &Judgement, doc: &mut Document) {
    doc.list(
        format!("Weights ({})", asked.weights_from),
        judgement
            .weights
            .iter()
            .filter(|w| w.weight > 0.0)
            .map(shortlist::swing)
            .collect(),
    );
    doc.list(
        "Weights skipped, not aims of this part",
        judgement.skipped_aims.clone(),
    );
}

/// What the case left open or did not know, and the words it has answered.
fn assumed(asked: &Asked<'_>, doc: &mut Document) {
    let case = asked.case;
    if asked.example {
        doc.paragraph(format!(
            "Assumed: every input; this is the worked example of {}.",
            asked.duty.part
        ));
    }
    doc.list("Assumed in the case", case.assumed.clone());
    doc.list(
        "Taken by default",
        case.defaults
            .iter()
            .map(|(k, v)| format!("{k} {v}"))
            .collect(),
    );
    doc.list("Noted", asked.duty.notes.clone());
    not_about(asked, doc);
}

/// The doubtful words that the case answers.
fn not_about(asked: &Asked<'_>, doc: &mut Document) {
    for n in &asked.case.not_about {
        doc.paragraph(format!("Not about {}.", answered(n)));
    }
}

/// `vehicle-structure: "hub" is here a hose reel`.
fn answered(n: &crate::duty::NotAbout) -> String {
    format!("{}: \"{}\" is here {}", n.caution, n.word, n.because)
}

/// The doubtful words that a case among others answers.
fn not_about_in(case: &str, answers: &[crate::duty::NotAbout], doc: &mut Document) {
    for n in answers {
        doc.paragraph(format!("{case} is not about {}.", answered(n)));
    }
}

/// Every step of every limit of one material.
fn working(material: &str, limits: &[LimitResult], telling: Telling<'_>, doc: &mut Document) {
    for l in limits {
        if l.working.is_empty() {
            continue;
        }
        doc.heading(format!(
            "{material}, {} ({})",
            telling.limit_with_end(&l.id),
            Telling::asks(l)
        ));
        let rows = l
            .working
            .iter()
            .map(|s| Row {
                cells: vec![
                    s.label.clone().into(),
                    amount(s.value, &s.unit).into(),
                    s.what.clone().into(),
                ],
                shorter: None,
            })
            .collect();
        doc.table(&["step", "figure", "what"], &[], rows);
    }
}
