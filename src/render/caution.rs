//! Cautions, and the answer that is none: a declined case.

use crate::advise::MaterialCaution;
use crate::duty::{Caution, CautionSeverity, Decline, Raised};
use crate::render::answer::Asked;
use crate::render::document::{Block, Document};
use crate::render::words::first_few;

/// What the rule book names where no standard speaks of it.
const COMMON_PRACTICE: &str = "common practice";

/// The word of a severity.
pub(super) fn severity(s: CautionSeverity) -> &'static str {
    match s {
        CautionSeverity::Decline => "decline",
        CautionSeverity::Severe => "severe",
        CautionSeverity::Injury => "injury",
        CautionSeverity::Damage => "damage",
        CautionSeverity::Note => "note",
    }
}

fn block(c: &Caution, by: &[String]) -> Block {
    let loud = c.severity != CautionSeverity::Note;
    let label = if loud {
        format!("CAUTION, {}", severity(c.severity))
    } else {
        "Note".to_owned()
    };
    Block::Caution {
        label,
        text: c.text.clone(),
        more: vec![format!(
            "{}Raised by {} ({}).",
            whom_to_ask(c).map_or_else(String::new, |w| w + " "),
            first_few(by, 4),
            c.id
        )],
        loud,
    }
}

/// Whom to ask and what to defer to, with the status of each reference.
pub(super) fn whom_to_ask(c: &Caution) -> Option<String> {
    let (practice, standards): (Vec<_>, Vec<_>) = c
        .defer_to
        .iter()
        .partition(|d| d.standard == COMMON_PRACTICE);
    let standards: Vec<String> = standards
        .iter()
        .map(|d| {
            let about = if d.about.is_empty() {
                String::new()
            } else {
                format!(" on {}", d.about)
            };
            format!("{}{about} [{}]", d.standard, d.status)
        })
        .collect();
    let practice = (!practice.is_empty()).then(|| "Common practice, no source.".to_owned());
    let defer = (!standards.is_empty()).then(|| format!("Defer to {}.", standards.join("; ")));
    let ask = (!c.ask.is_empty()).then(|| format!("Ask {}.", c.ask.trim_end_matches('.')));
    let said: Vec<String> = defer.into_iter().chain(practice).chain(ask).collect();
    (!said.is_empty()).then(|| said.join(" "))
}

/// Every caution of a case, the gravest first.
pub(super) fn blocks(raised: &[Raised], doc: &mut Document) {
    if !raised.is_empty() {
        doc.blocks.push(Block::Gap);
    }
    doc.blocks
        .extend(raised.iter().map(|r| block(&r.caution, &r.by)));
}

/// Why a use is declined, and whom to ask.
pub(super) fn declined_block(d: &Decline) -> Block {
    Block::Caution {
        label: "DECLINED".to_owned(),
        text: d.caution.text.clone(),
        more: whom_to_ask(&d.caution).into_iter().collect(),
        loud: true,
    }
}

/// The severe cautions, for above the answer.
fn above(asked: &Asked<'_>, doc: &mut Document) {
    for r in &asked.duty.cautions {
        if r.caution.severity <= CautionSeverity::Severe {
            doc.blocks.push(block(&r.caution, &r.by));
        }
    }
}

/// All other cautions, the gravest first, for the end.
pub(super) fn below(asked: &Asked<'_>, raised: &[MaterialCaution], doc: &mut Document) {
    let mut all: Vec<(CautionSeverity, Block)> = asked
        .duty
        .cautions
        .iter()
        .filter(|r| r.caution.severity > CautionSeverity::Severe)
        .map(|r| (r.caution.severity, block(&r.caution, &r.by)))
        .collect();
    for m in raised {
        all.push((m.caution.severity, block(&m.caution, &m.materials)));
    }
    all.sort_by_key(|c| c.0);
    if !all.is_empty() {
        doc.blocks.push(Block::Gap);
    }
    doc.blocks.extend(all.into_iter().map(|c| c.1));
}

/// How every answer on a case opens: what is declined first, and with it all cautions and nothing
/// else to follow; else what must stand above the answer.
pub(super) fn opening(asked: &Asked<'_>) -> Document {
    let mut doc = Document::default();
    if let Some(d) = &asked.duty.declined {
        declined(asked, d, &mut doc);
    }
    above(asked, &mut doc);
    super::loosened(asked, &mut doc);
    if asked.duty.declined.is_some() {
        super::not_about(asked, &mut doc);
        below(asked, &[], &mut doc);
    }
    doc
}

/// A declined case: no pick and no margin, the reason, whom to ask, and the way out of a doubt.
fn declined(asked: &Asked<'_>, d: &Decline, doc: &mut Document) {
    doc.answer(format!(
        "No material is picked: {} speaks of \"{}\", which is outside what this tool may judge.{}",
        asked.name,
        d.word,
        super::tag(asked.origin)
    ));
    doc.blocks.push(declined_block(d));
    if d.doubtful {
        if let Some(question) = &d.question {
            doc.paragraph(question.clone());
        }
        doc.paragraph(format!(
            "If the case is not about that, say so in it: \"not_about\": [{{\"caution\": \"{}\", \"word\": \"{}\", \"because\": \"what it is instead\"}}]",
            d.caution.id, d.word
        ));
    }
}
