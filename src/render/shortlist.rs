//! A ranked shortlist as blocks: the answer, the rows, the rest counted, the cautions last.

use crate::advise::{Lead, Reason, nearer_bound, stem};
use crate::catalog::Origin;
use crate::judge::{Candidate, Cause, Standing};
use crate::render::answer::{Asked, Judged, Shortlist};
use crate::render::caution;
use crate::render::direction;
use crate::render::document::{Document, Row};
use crate::render::page::{Cell, Page, Tone};
use crate::render::telling::Telling;
use crate::render::words::{
    amount, chance, either, figure, first_few, hours, list, of_hundred, reading_apart,
};
use std::collections::BTreeSet;

/// How many polymers a line of the handbook's answer names before it counts the rest.
const NAMED_IN_ORDER: usize = 8;

impl Shortlist<'_> {
    /// As text, at most 24 lines before the cautions unless every row or working was asked for.
    pub fn text(&self, page: Page) -> String {
        let doc = self.document();
        if self.all || self.working {
            doc.text(page)
        } else {
            doc.short_text(page)
        }
    }

    /// As Markdown.
    pub fn markdown(&self) -> String {
        format!(
            "# {}\n\n{}",
            super::words::markdown(&super::title(&self.asked)),
            self.document().markdown()
        )
    }

    fn document(&self) -> Document {
        let asked = &self.asked;
        let mut doc = caution::opening(asked);
        if asked.duty.declined.is_some() {
            return doc;
        }
        let Some(judged) = &self.judged else {
            return doc;
        };
        let telling = super::telling(asked);
        self.lead(judged, telling, &mut doc);
        self.rows(judged, telling, &mut doc);
        if !self.all {
            rest(self.asked.origin, judged, telling, &mut doc);
        }
        if let Some(told) = judged.direction.and_then(|d| direction::told(d, telling)) {
            doc.paragraph(told);
        }
        region(judged, &mut doc);
        super::weights(asked, judged.judgement, &mut doc);
        super::assumed(asked, &mut doc);
        if self.working {
            for c in &judged.judgement.candidates {
                super::working(&c.material, &c.limits, telling, &mut doc);
            }
        }
        caution::below(asked, judged.cautions, &mut doc);
        doc
    }

    fn lead(&self, judged: &Judged<'_>, telling: Telling<'_>, doc: &mut Document) {
        let all = &judged.judgement.candidates;
        let o = judged.overview;
        let tag = super::tag(self.asked.origin);
        let sentence = match &o.lead {
            Lead::Pick(i) => all.get(*i).map(|c| {
                let share = c.meets_all.map_or_else(|| "the".to_owned(), of_hundred);
                format!("Use {}: {share} next {}.", c.material, promise(&self.asked))
            }),
            Lead::Nearest { candidate, limit } => all.get(*candidate).map(|c| {
                format!(
                    "Nothing is fit. {} comes nearest{}.",
                    c.material,
                    held_up(c, *limit, telling)
                )
            }),
            Lead::Nobody { tests } => Some(nobody(tests)),
        };
        if let Some((answer, order)) = self.by_handbook(judged, telling) {
            doc.answer(answer + tag);
            doc.paragraph(order);
            return;
        }
        let mut answer = sentence.unwrap_or_default();
        if let Lead::Nearest { candidate, .. } = o.lead {
            answer.push_str(&self.turning(judged, candidate, telling));
        }
        doc.answer(answer + tag);
        if !matches!(o.lead, Lead::Nobody { .. }) {
            doc.paragraph(standings(judged, all));
        }
    }

    /// The answer by handbook ranges, which prove nothing: what looks nearest, the one test that
    /// would settle it, and the order of the others. `None` where they rule everything out.
    fn by_handbook(&self, judged: &Judged<'_>, telling: Telling<'_>) -> Option<(String, String)> {
        let Lead::Nearest { candidate, .. } = judged.overview.lead else {
            return None;
        };
        let all = &judged.judgement.candidates;
        let c = all.get(candidate)?;
        if self.asked.origin != Origin::Handbook || c.standing == Standing::RuledOut {
            return None;
        }
        let share = c.meets_all.map_or_else(String::new, |p| {
            format!(" ({} by its ranges)", of_hundred(p))
        });
        let test = judged
            .reasons
            .get(candidate)
            .and_then(|r| r.iter().find_map(|r| telling.would_settle(r)))
            .unwrap_or_default();
        let others: Vec<&str> = all
            .iter()
            .filter(|o| o.standing != Standing::RuledOut && o.material != c.material)
            .map(|o| o.material.as_str())
            .collect();
        let after = if others.is_empty() {
            "No other polymer is left".to_owned()
        } else {
            format!("After it in order: {}", first_few(&others, NAMED_IN_ORDER))
        };
        let out = judged.overview.count(Standing::RuledOut);
        let out = match out {
            0 => "none is ruled out by its ranges".to_owned(),
            1 => "1 is ruled out by its ranges".to_owned(),
            n => format!("{n} are ruled out by their ranges"),
        };
        Some((
            format!(
                "Nothing is proven. {} looks nearest{share}.{test}",
                c.material
            ),
            format!("{after}; {out}."),
        ))
    }

    /// The input or the test that would change an answer of "nothing".
    fn turning(&self, judged: &Judged<'_>, candidate: usize, telling: Telling<'_>) -> String {
        let test = judged
            .reasons
            .get(candidate)
            .and_then(|r| r.iter().find(|r| matches!(r, Reason::Wants { .. })))
            .map(|r| format!(" What would settle it: {}.", telling.reason(r)));
        let input = judged.turn.and_then(|u| {
            let limit = u.limit?;
            let say = |x: f64| {
                if u.unit == "h" {
                    hours(x)
                } else {
                    amount(x, &u.unit)
                }
            };
            Some(format!(
                " It would be fit with {} {} in place of {}.",
                u.lever,
                say(limit),
                say(u.now)
            ))
        });
        let said = match self.standing(judged, candidate) {
            Some(Standing::NotKnown) => test.or(input),
            _ => input.or(test),
        };
        said.unwrap_or_else(|| " No single input of the case would make it fit.".to_owned())
    }

    /// What a material's ranges leave open in the limit that holds it up most.
    fn by_range(&self, c: &Candidate, reasons: &[Reason], telling: Telling<'_>) -> Option<String> {
        if self.asked.origin != Origin::Handbook || c.standing != Standing::NotKnown {
            return None;
        }
        let limit = reasons.iter().find_map(|r| match r {
            Reason::Wants { limit, .. } => Some(limit),
            _ => None,
        })?;
        let l = c.limits.iter().find(|l| &l.id == limit)?;
        let p = l.predicted?;
        Some(format!(
            "{} {} to {}, {} asked",
            telling.limit_with_end(&l.id),
            figure(p.low),
            amount(p.high, &l.unit),
            Telling::asks(l)
        ))
    }

    fn standing(&self, judged: &Judged<'_>, candidate: usize) -> Option<Standing> {
        judged
            .judgement
            .candidates
            .get(candidate)
            .map(|c| c.standing)
    }

    fn rows(&self, judged: &Judged<'_>, telling: Telling<'_>, doc: &mut Document) {
        let every: Vec<usize> = (0..judged.judgement.candidates.len()).collect();
        let shown = if self.all {
            &every
        } else {
            &judged.overview.named
        };
        let rows = shown
            .iter()
            .filter_map(|&i| {
                let c = judged.judgement.candidates.get(i)?;
                let reasons = judged.reasons.get(i).map_or(&[][..], Vec::as_slice);
                let mut row = row(c, reasons, telling);
                if let Some(range) = self.by_range(c, reasons, telling) {
                    row.shorter = Some(range.clone());
                    if let Some(why) = row.cells.last_mut() {
                        *why = range.into();
                    }
                }
                Some(row)
            })
            .collect();
        doc.table(&["", "material", "standing", "chance", "why"], &[0], rows);
    }
}

fn row(c: &Candidate, reasons: &[Reason], telling: Telling<'_>) -> Row {
    let (full, brief) = why(c, reasons, telling);
    Row {
        cells: vec![
            c.rank.map_or_else(String::new, |r| r.to_string()).into(),
            c.material.clone().into(),
            Cell::toned(super::standing(c.standing), tone(c.standing)),
            chance(c.meets_all).into(),
            full.into(),
        ],
        shorter: Some(brief),
    }
}

/// Why a candidate is placed so: in full, and in one clause.
fn why(c: &Candidate, reasons: &[Reason], telling: Telling<'_>) -> (String, String) {
    // What is not known for want of several runs is told by the first of them.
    let most = match c.standing {
        Standing::NotKnown => 1,
        _ => reasons.len(),
    };
    let told: Vec<String> = reasons
        .iter()
        .take(most)
        .map(|r| telling.reason(r))
        .collect();
    let cause = c.causes.first().map(|x| telling.cause(x));
    // What keeps a material from fit though its chance is high stands before its figures.
    let turns = match c.causes.first() {
        Some(Cause::Auxiliary { .. }) if c.standing == Standing::Borderline => cause.clone(),
        _ => None,
    };
    let brief = turns
        .clone()
        .or_else(|| reasons.first().map(|r| telling.brief(r)))
        .or(cause)
        .unwrap_or_else(|| "-".to_owned());
    let full: Vec<String> = turns.into_iter().chain(told).collect();
    if full.is_empty() {
        (brief.clone(), brief)
    } else {
        (full.join("; "), brief)
    }
}

pub(super) fn tone(s: Standing) -> Tone {
    match s {
        Standing::Fit => Tone::Good,
        Standing::Borderline => Tone::Near,
        Standing::NotKnown => Tone::Open,
        Standing::RuledOut => Tone::Bad,
    }
}

/// `washers take 4 N.m and keep 300 N of clamp load for 5 years`.
fn promise(asked: &Asked<'_>) -> String {
    let life = hours(asked.case.setting.life_h);
    match &asked.duty.promise {
        Some(p) if !p.deeds.is_empty() => {
            let deeds: Vec<String> = p
                .deeds
                .iter()
                .map(|d| {
                    let said = format!("{} {} {}", d.verb, amount(d.figure, d.unit), d.tail);
                    said.trim_end().to_owned()
                })
                .collect();
            format!("{} {} for {life}", p.parts, list(&deeds))
        }
        _ => {
            // Both ends of the temperatures are one limit of the case.
            let stated: BTreeSet<&str> = asked.duty.limits.iter().map(|l| stem(&l.id)).collect();
            match stated.len() {
                1 => format!("parts meet its limit for {life}"),
                n => format!("parts meet all {n} limits for {life}"),
            }
        }
    }
}

/// What holds the nearest material up.
fn held_up(c: &Candidate, limit: Option<usize>, telling: Telling<'_>) -> String {
    let cause = c.causes.first().map(|x| telling.cause(x));
    let figures = limit.and_then(|i| c.limits.get(i)).map(|l| {
        let predicted = l.typical().map_or_else(
            || "cannot be computed".to_owned(),
            |p| reading_apart(p, nearer_bound(l.sense, p.as_exact()), &l.unit),
        );
        format!(
            "{} {predicted}, {} asked",
            telling.limit_with_end(&l.id),
            Telling::asks(l)
        )
    });
    match (c.standing, cause, figures) {
        (Standing::NotKnown, Some(cause), _) => format!(", but {cause}"),
        (Standing::Borderline, Some(cause), Some(figures)) => format!(": {cause} ({figures})"),
        (_, _, Some(figures)) => format!(": {figures}"),
        (_, Some(cause), None) => format!(": {cause}"),
        (_, None, None) => String::new(),
    }
}

/// How the others stand, in one sentence.
/// What to do where the catalog has no material yet.
fn nobody(tests: &[&str]) -> String {
    let first =
        "There is no material to judge yet: add a line to materials.csv for each you print.";
    match tests {
        [] => first.to_owned(),
        [one] => format!("{first} This case asks for a {one} test: `dutyfit form {one}`."),
        [one, ..] => format!(
            "{first} This case asks for the tests {}: `dutyfit form {one}` makes an empty sheet.",
            list(tests)
        ),
    }
}

fn standings(judged: &Judged<'_>, all: &[Candidate]) -> String {
    let o = judged.overview;
    let named = match o.lead {
        Lead::Pick(i) | Lead::Nearest { candidate: i, .. } => Some(i),
        Lead::Nobody { .. } => None,
    };
    let ids = |s: Standing| -> Vec<&str> {
        all.iter()
            .enumerate()
            .filter(|(i, c)| c.standing == s && Some(*i) != named)
            .map(|(_, c)| c.material.as_str())
            .collect()
    };
    let also = ids(Standing::Fit);
    let near = ids(Standing::Borderline);
    let mut said = Vec::new();
    if !also.is_empty() {
        let verb = if also.len() == 1 { "is" } else { "are" };
        said.push(format!("{} {verb} fit too", first_few(&also, 3)));
    }
    if !near.is_empty() {
        let verb = if near.len() == 1 { "comes" } else { "come" };
        said.push(format!("{} {verb} near", first_few(&near, 3)));
    }
    let is = |n: usize| if n == 1 { "is" } else { "are" };
    let (out, open) = (o.count(Standing::RuledOut), o.count(Standing::NotKnown));
    if out > 0 {
        said.push(format!("{out} {} ruled out", is(out)));
    }
    if open > 0 {
        said.push(format!("{open} {} not known", is(open)));
    }
    if said.is_empty() {
        "No other material was judged.".to_owned()
    } else {
        let mut text = list(&said);
        text.push('.');
        text
    }
}

fn rest(origin: Origin, judged: &Judged<'_>, telling: Telling<'_>, doc: &mut Document) {
    let o = judged.overview;
    doc.list(
        "Ruled out",
        o.ruled_out
            .iter()
            .map(|g| {
                let told = telling.ruled_out(g);
                if origin == Origin::Handbook {
                    format!("{told}: {}", first_few(&g.materials, NAMED_IN_ORDER))
                } else {
                    told
                }
            })
            .collect(),
    );
    doc.list(
        "Not known",
        o.not_known.iter().map(|g| telling.not_known(g)).collect(),
    );
}

fn region(judged: &Judged<'_>, doc: &mut Document) {
    let r = &judged.judgement.region;
    let never = if r.never_best.is_empty() {
        String::new()
    } else {
        format!("; {} never", first_few(&r.never_best, 3))
    };
    match r.can_be_best.as_slice() {
        [] => {}
        [only] => doc.paragraph(format!(
            "By typical figures alone, leaving standings aside, {only} is first whatever the allowed weights."
        )),
        several => doc.paragraph(format!(
            "By typical figures alone, leaving standings aside, {} can be first within the allowed weights{never}.",
            either(several)
        )),
    }
}

/// `hold 0.61 (300 to 900 N)`: a weight beside its swing.
pub(super) fn swing(w: &crate::judge::AimWeight) -> String {
    format!(
        "{} {} ({} to {})",
        w.id,
        figure(super::words::significant(w.weight, 2).unwrap_or(w.weight)),
        figure(w.zero),
        amount(w.one, &w.unit)
    )
}
