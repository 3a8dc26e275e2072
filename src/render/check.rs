//! One candidate against each limit, and how far the use could be pushed.

use crate::advise::margin;
use crate::duty::{LeverKind, LimitSense};
use crate::judge::{LimitResult, Standing};
use crate::quantity::Reading;
use crate::render::answer::{Check, Checked};
use crate::render::assumption::by_assumption;
use crate::render::caution;
use crate::render::document::{Document, Row};
use crate::render::page::{Cell, Page};
use crate::render::telling::{Telling, rests_on};
use crate::render::words::{amount, apart, chance_shown, figure, hours, of_hundred, reading};
use std::cmp::Ordering;

impl Check<'_> {
    /// As text.
    pub fn text(&self, page: Page) -> String {
        self.document().text(page)
    }

    /// As Markdown.
    pub fn markdown(&self) -> String {
        format!(
            "# {}: {}\n\n{}",
            super::words::markdown(&super::title(&self.asked)),
            super::words::markdown(self.material),
            self.document().markdown()
        )
    }

    fn document(&self) -> Document {
        let asked = &self.asked;
        let mut doc = caution::opening(asked);
        if asked.duty.declined.is_some() {
            return doc;
        }
        let Some(checked) = &self.candidate else {
            return doc;
        };
        let telling = super::telling(asked);
        self.answer(checked, telling, &mut doc);
        limits(checked, telling, &mut doc);
        let others: Vec<String> = checked.reasons.iter().map(|r| telling.reason(r)).collect();
        doc.list("Placing", others);
        if let Some(told) = checked
            .direction
            .and_then(|d| super::direction::told(d, telling))
        {
            doc.paragraph(told);
        }
        noted(checked, telling, &mut doc);
        uses(checked, telling, &mut doc);
        super::assumed(asked, &mut doc);
        if self.working {
            let c = checked.candidate;
            super::working(&c.material, &c.limits, telling, &mut doc);
        }
        caution::below(asked, checked.cautions, &mut doc);
        doc
    }

    fn answer(&self, checked: &Checked<'_>, telling: Telling<'_>, doc: &mut Document) {
        let c = checked.candidate;
        let tag = super::tag(self.asked.origin);
        let title = super::title(&self.asked);
        let share = c.meets_all.map_or_else(
            || "what share of the next ones meets every limit cannot be said".to_owned(),
            |p| {
                format!(
                    "{} next {} meet every limit",
                    of_hundred(p),
                    super::parts(&self.asked)
                )
            },
        );
        let head = match c.standing {
            Standing::Fit => format!("{} is fit for {title}: {share}.", c.material),
            Standing::Borderline => {
                format!("{} is borderline for {title}: {share}.", c.material)
            }
            Standing::NotKnown => {
                format!("It is not known whether {} serves for {title}.", c.material)
            }
            Standing::RuledOut => format!("{} is ruled out for {title}.", c.material),
        };
        doc.answer(head + tag);
        for cause in &c.causes {
            if !matches!(cause, crate::judge::Cause::Meets { .. }) {
                doc.paragraph(format!("{}.", telling.cause(cause)));
            }
        }
    }
}

fn limits(checked: &Checked<'_>, telling: Telling<'_>, doc: &mut Document) {
    let rows = checked
        .candidate
        .limits
        .iter()
        .map(|l| Row {
            cells: vec![
                l.id.clone().into(),
                bound(l).into(),
                spread(l).into(),
                Cell::from(chance_shown(l.shown_chance())),
                margin_words(l).into(),
                format!(
                    "{}; {}; {}",
                    telling.limit_with_end(&l.id),
                    l.class.word(),
                    rests_on(l.grade, l.specimens, l.prints)
                )
                .into(),
            ],
            shorter: None,
        })
        .collect();
    doc.table(
        &[
            "limit",
            "needed",
            "next part: 5, 50, 95 %",
            "chance",
            "margin",
            "in words; class; rests on",
        ],
        &[],
        rows,
    );
}

/// What is needed, short: `>= 300 N`.
fn bound(l: &LimitResult) -> String {
    let r = match l.sense {
        LimitSense::AtLeast(b) => Reading::AtLeast(b),
        LimitSense::AtMost(b) => Reading::AtMost(b),
        LimitSense::Between(a, b) => Reading::Between(a, b),
    };
    reading(r, &l.unit)
}

/// 5, 50 and 95 % of the next part, or the bound that is all the readings say.
fn spread(l: &LimitResult) -> String {
    if let Some(bound) = l.bounded {
        return reading(bound, &l.unit);
    }
    l.predicted.map_or_else(
        || "-".to_owned(),
        |p| {
            format!(
                "{}, {}, {}",
                figure(p.low),
                figure(p.median),
                figure(p.high)
            )
        },
    )
}

fn margin_words(l: &LimitResult) -> String {
    match margin(l) {
        None => "-".to_owned(),
        Some(m) => {
            let side = match m.at {
                Ordering::Less => "<= ",
                Ordering::Equal => "",
                Ordering::Greater => ">= ",
            };
            match m.factor {
                Some(f) => format!("x {side}{}", apart(f, 1.0)),
                None => {
                    let unit = if l.unit == "degC" { "K" } else { &l.unit };
                    let sign = if m.difference > 0.0 { "+" } else { "" };
                    format!("{side}{sign}{}", amount(m.difference, unit))
                }
            }
        }
    }
}

fn noted(checked: &Checked<'_>, telling: Telling<'_>, doc: &mut Document) {
    let notes = checked.candidate.limits.iter().flat_map(|l| &l.notes);
    let told = notes.map(|(p, note)| (telling.note(p, note), telling.property(p)));
    doc.list("Assumed on the way", by_assumption(told));
}

fn uses(checked: &Checked<'_>, telling: Telling<'_>, doc: &mut Document) {
    let rows = checked
        .uses
        .iter()
        .map(|u| {
            let now = match u.kind {
                LeverKind::Life if u.unit == "h" => hours(u.now),
                _ => amount(u.now, &u.unit),
            };
            Row {
                cells: vec![
                    u.lever.clone().into(),
                    now.into(),
                    telling.use_limit(u).into(),
                ],
                shorter: None,
            }
        })
        .collect();
    doc.table(&["limits of use", "now", "still fit"], &[], rows);
}
