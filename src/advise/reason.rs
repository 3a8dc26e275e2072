//! Why a candidate is placed as it is, in figures; `render` turns them into words.

use crate::advise::{governing, margin, nearer_bound, stem};
use crate::belief::{Evidence, Note};
use crate::duty::{Duty, Limit};
use crate::judge::{Candidate, Cause, Judgement, LimitResult, Standing};
use crate::property::{Ask, Lies, Moisture, Property, ROOM_C};
use crate::quantity::Reading;

/// One reason.
#[derive(Clone, Debug, PartialEq)]
pub enum Reason {
    /// An aim that decides the placing against the runner-up (or the leader).
    Aim {
        /// Aim id.
        aim: String,
        /// Median performance.
        here: f64,
        /// The other's median performance.
        there: Option<f64>,
        /// The other material.
        against: Option<String>,
        /// Median over all candidates not ruled out.
        middle: Option<f64>,
        /// Unit.
        unit: String,
        /// Difference of contributions to the score, here minus there.
        gain: f64,
    },
    /// The limit with the least margin.
    Limit {
        /// Limit id.
        limit: String,
        /// Title.
        title: String,
        /// Median predicted.
        predicted: Reading,
        /// Needed (the nearer bound).
        needed: f64,
        /// Unit.
        unit: String,
        /// Chance.
        chance: f64,
        /// Own specimens.
        specimens: u32,
        /// Own prints.
        prints: u32,
    },
    /// Ruled out by this limit, by this factor.
    RuledOutBy {
        /// Limit id.
        limit: String,
        /// Title.
        title: String,
        /// Failure mode.
        failure: String,
        /// Median predicted; `None` where nothing can be computed.
        predicted: Option<Reading>,
        /// Needed.
        needed: f64,
        /// Unit.
        unit: String,
        /// Needed over predicted (at-least) or predicted over needed (at-most).
        factor: Option<f64>,
        /// Ends of the temperature range at which it fails too: limit ids.
        also: Vec<String>,
    },
    /// Not known for want of this test.
    Wants {
        /// Limit id.
        limit: String,
        /// Title.
        title: String,
        /// Property id.
        property: String,
        /// Test that settles it; `None` for auxiliary properties.
        test: Option<String>,
        /// Conditions in words of the files (`across`, `wet`, `steel-smooth`, `45 degC`).
        condition: Vec<String>,
        /// Specimens still needed.
        specimens: u32,
        /// Bench minutes, from the policy.
        minutes: Option<f64>,
    },
}

/// Most reasons of a candidate.
const MOST: usize = 3;
/// An aim decides a placing only where it carries at least this share of what all aims carry.
const CARRIES: f64 = 0.10;
/// Differences of scores below this are no reason: one draw in a thousand carries as much.
const LEAST_GAIN: f64 = 0.001;
/// Chances closer than this count as equal.
const LEAST_APART: f64 = 0.01;
/// With fewer own specimens or prints than these, one more print can still move a chance that
/// lies near its requirement (ours, no source).
const FEW_SPECIMENS: u32 = 6;
const FEW_PRINTS: u32 = 2;

/// Reasons for every candidate, in the judgement's order: at most three each, the weightiest first.
///
/// What decides the placing of a fit or borderline candidate is told against the one it has to
/// be told apart from: of the first, the runner-up; of all others, the first.
pub fn reasons(duty: &Duty, judgement: &Judgement, evidence: &Evidence) -> Vec<Vec<Reason>> {
    let all = &judgement.candidates;
    let middles = middles(duty, all);
    all.iter()
        .enumerate()
        .map(|(i, c)| match c.standing {
            Standing::RuledOut => ruled_out_by(duty, c),
            Standing::NotKnown => wants(duty, c, evidence),
            Standing::Fit | Standing::Borderline => {
                let rival = all
                    .get(usize::from(i == 0))
                    .filter(|r| r.standing <= Standing::NotKnown);
                placing(duty, c, rival, &middles, evidence)
            }
        })
        .collect()
}

/// Medians over all candidates that are not ruled out, aim by aim: performance, contribution.
fn middles(duty: &Duty, all: &[Candidate]) -> Vec<(Option<f64>, f64)> {
    (0..duty.aims.len())
        .map(|k| {
            let aims = || {
                all.iter()
                    .filter(|c| c.standing != Standing::RuledOut)
                    .filter_map(|c| c.aims.get(k))
            };
            let performance = median(aims().filter_map(|a| a.median).collect());
            let contribution = median(aims().map(|a| a.contribution).collect());
            (performance, contribution.unwrap_or(0.0))
        })
        .collect()
}

fn median(mut x: Vec<f64>) -> Option<f64> {
    x.sort_by(f64::total_cmp);
    let upper = *x.get(x.len() / 2)?;
    if x.len().is_multiple_of(2) {
        let lower = *x.get(x.len() / 2 - 1)?;
        Some(0.5 * (lower + upper))
    } else {
        Some(upper)
    }
}

/// The limit and the aims that place a fit or borderline candidate.
fn placing(
    duty: &Duty,
    c: &Candidate,
    rival: Option<&Candidate>,
    middles: &[(Option<f64>, f64)],
    evidence: &Evidence,
) -> Vec<Reason> {
    let mut found: Vec<Reason> = deciding_limit(c, rival)
        .and_then(|l| limit_reason(duty, l))
        .into_iter()
        .collect();
    if c.standing == Standing::Borderline {
        found.extend(settling(duty, c, evidence));
    }
    let mut aims: Vec<(f64, Reason)> = c
        .aims
        .iter()
        .enumerate()
        .filter_map(|(k, a)| {
            let middle = middles.get(k);
            let there = rival.and_then(|r| r.aims.get(k));
            let beside = match there {
                Some(t) => t.contribution,
                None => middle.map_or(0.0, |m| m.1),
            };
            let gain = a.contribution - beside;
            let reason = Reason::Aim {
                aim: a.id.clone(),
                here: a.median?,
                there: there.and_then(|t| t.median),
                against: rival.map(|r| r.material.clone()),
                middle: middle.and_then(|m| m.0),
                unit: duty.aims.get(k)?.unit.clone(),
                gain,
            };
            Some((gain, reason))
        })
        .collect();
    let carried: f64 = aims.iter().map(|a| a.0.abs()).sum();
    aims.retain(|a| a.0.abs() >= (CARRIES * carried).max(LEAST_GAIN));
    // What speaks for the candidate comes before what speaks against it, each by its weight.
    aims.sort_by(|a, b| {
        (a.0 < 0.0)
            .cmp(&(b.0 < 0.0))
            .then(b.0.abs().total_cmp(&a.0.abs()))
    });
    let room = MOST.saturating_sub(found.len()).max(1);
    found.extend(aims.into_iter().take(room).map(|a| a.1));
    found
}

/// The limit in which a candidate differs most from its rival, where that outweighs its own
/// least chance; else the one with the least chance, and among equals the least margin.
fn deciding_limit<'a>(c: &'a Candidate, rival: Option<&Candidate>) -> Option<&'a LimitResult> {
    let chance = |l: &LimitResult| l.chance.unwrap_or(0.0);
    let apart = |l: &LimitResult| {
        let other = rival.and_then(|r| r.limits.iter().find(|o| o.id == l.id));
        other.map_or(0.0, |o| (chance(l) - chance(o)).abs())
    };
    let tightness = |l: &LimitResult| {
        let m = margin(l);
        m.map_or(f64::INFINITY, |m| {
            m.factor.unwrap_or(1.0 + m.difference.abs())
        })
    };
    // Chances that differ by less than one in a hundred tell limits apart no better than margins do.
    let short = |l: &LimitResult| {
        let s = (1.0 - chance(l)).max(apart(l));
        if s < LEAST_APART { 0.0 } else { s }
    };
    c.limits.iter().min_by(|a, b| {
        short(b)
            .total_cmp(&short(a))
            .then(tightness(a).total_cmp(&tightness(b)))
    })
}

fn limit_reason(duty: &Duty, l: &LimitResult) -> Option<Reason> {
    let predicted = l.typical()?;
    Some(Reason::Limit {
        limit: l.id.clone(),
        title: title(duty, &l.id),
        predicted,
        needed: nearer_bound(l.sense, predicted.as_exact()),
        unit: l.unit.clone(),
        chance: l.chance?,
        specimens: l.specimens,
        prints: l.prints,
    })
}

fn title(duty: &Duty, limit: &str) -> String {
    of_duty(duty, limit).map_or_else(|| limit.to_owned(), |l| l.title.clone())
}

fn of_duty<'a>(duty: &'a Duty, limit: &str) -> Option<&'a Limit> {
    duty.limits.iter().find(|l| l.id == limit)
}

/// The limits that rule a candidate out, the one that governs first.
fn ruled_out_by(duty: &Duty, c: &Candidate) -> Vec<Reason> {
    // Both ends of the temperatures are one failure, told at the end that governs.
    let mut stems: Vec<&str> = Vec::new();
    c.causes
        .iter()
        .filter_map(Cause::limit)
        .filter_map(|id| c.limits.iter().find(|l| l.id == id))
        .filter(|l| {
            let first = !stems.contains(&stem(&l.id));
            stems.push(stem(&l.id));
            first
        })
        .take(MOST)
        .map(|l| {
            let predicted = l.typical();
            Reason::RuledOutBy {
                limit: l.id.clone(),
                title: title(duty, &l.id),
                failure: of_duty(duty, &l.id)
                    .map(|d| d.failure.to_string())
                    .unwrap_or_default(),
                predicted,
                needed: nearer_bound(l.sense, predicted.map_or(f64::NAN, Reading::as_exact)),
                unit: l.unit.clone(),
                factor: margin(l).and_then(|m| m.factor).map(|f| 1.0 / f),
                also: c
                    .causes
                    .iter()
                    .filter_map(Cause::limit)
                    .filter(|id| *id != l.id && stem(id) == stem(&l.id))
                    .map(str::to_owned)
                    .collect(),
            }
        })
        .collect()
}

/// A test that a cause asks for.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Settles<'a> {
    pub(super) limit: &'a str,
    pub(super) property: &'a str,
    /// `None` where no bench test here gives the property.
    pub(super) test: Option<&'static str>,
}

/// The test that would settle a cause of `not known`; `None` for other causes.
pub(super) fn settles<'a>(cause: &'a Cause, evidence: &Evidence) -> Option<Settles<'a>> {
    let (limit, property, notes): (&str, &str, &[Note]) = match cause {
        Cause::Absent {
            limit,
            property,
            notes,
        }
        | Cause::Borrowed {
            limit,
            property,
            notes,
        } => (limit, property, notes),
        Cause::Stated { limit, property }
        | Cause::BoundOpen {
            limit, property, ..
        }
        | Cause::Specimens {
            limit, property, ..
        }
        | Cause::Prints {
            limit, property, ..
        }
        | Cause::OnLine { limit, property }
        | Cause::Auxiliary { limit, property } => (limit, property, &[]),
        _ => return None,
    };
    // The figure itself is there; what lacks is the onset it falls to.
    let property = if notes.contains(&Note::NoOnset) {
        ONSET
    } else {
        property
    };
    Some(Settles {
        limit,
        property,
        // An assumed figure is settled by a stated one; no run that bears on the limit gives it.
        test: match cause {
            Cause::Auxiliary { .. } => None,
            _ => evidence.properties().get(property).and_then(|p| p.test),
        },
    })
}

/// The property that says where a material softens.
const ONSET: &str = "softening-onset";

/// The tests that a not-known candidate lacks, one entry a test and condition.
pub(super) fn wants(duty: &Duty, c: &Candidate, evidence: &Evidence) -> Vec<Reason> {
    let mut found: Vec<Reason> = Vec::new();
    for cause in &c.causes {
        let Some(s) = settles(cause, evidence) else {
            continue;
        };
        let Some(l) = c.limits.iter().find(|l| l.id == s.limit) else {
            continue;
        };
        let rule = evidence.policy().rule(l.class);
        let more = match cause {
            Cause::Specimens { have, asked, .. } | Cause::Prints { have, asked, .. } => {
                asked.saturating_sub(*have)
            }
            _ => rule.specimens.max(rule.prints),
        };
        push_want(&mut found, want(duty, l, &s, more, evidence));
    }
    found.truncate(MOST);
    found
}

/// What could move a borderline candidate: the stated figure it turns with, or the test of one
/// more print where it rests on few.
fn settling(duty: &Duty, c: &Candidate, evidence: &Evidence) -> Option<Reason> {
    let l = c.limits.get(governing(c)?)?;
    if let Some(cause @ Cause::Auxiliary { .. }) = c.causes.first() {
        return Some(want(duty, l, &settles(cause, evidence)?, 1, evidence));
    }
    let few = l.specimens < FEW_SPECIMENS || l.prints < FEW_PRINTS;
    if l.weakest.is_empty() || !few {
        return None;
    }
    let property = evidence.properties().get(&l.weakest)?;
    let s = Settles {
        limit: &l.id,
        property: &l.weakest,
        test: Some(property.test?),
    };
    let more = evidence.policy().rule(l.class).specimens;
    Some(want(duty, l, &s, more, evidence))
}

fn want(
    duty: &Duty,
    l: &LimitResult,
    s: &Settles<'_>,
    specimens: u32,
    evidence: &Evidence,
) -> Reason {
    let property = evidence.properties().get(s.property);
    let condition = match (property, ask_of(duty, s)) {
        (Some(p), Some(ask)) => condition(p, ask, l, evidence),
        _ => Vec::new(),
    };
    Reason::Wants {
        limit: l.id.clone(),
        title: title(duty, &l.id),
        property: s.property.to_owned(),
        test: s.test.map(str::to_owned),
        condition,
        specimens: specimens.max(1),
        minutes: s
            .test
            .and_then(|t| evidence.policy().bench_minutes.get(t).copied()),
    }
}

/// Adds a want, or raises the specimens of one that the same test under the same condition serves.
fn push_want(found: &mut Vec<Reason>, new: Reason) {
    let Reason::Wants {
        property: new_property,
        test: new_test,
        condition: new_condition,
        specimens: new_specimens,
        ..
    } = &new
    else {
        return;
    };
    for old in found.iter_mut() {
        if let Reason::Wants {
            property,
            test,
            condition,
            specimens,
            ..
        } = old
            && test == new_test
            && condition == new_condition
            && (test.is_some() || property == new_property)
        {
            *specimens = (*specimens).max(*new_specimens);
            return;
        }
    }
    found.push(new);
}

/// The ask behind a property of a limit.
fn ask_of<'a>(duty: &'a Duty, s: &Settles<'_>) -> Option<&'a Ask> {
    of_duty(duty, s.limit)?
        .needs
        .iter()
        .flatten()
        .filter_map(|i| duty.asks.get(*i))
        .find(|a| a.property.as_str() == s.property)
}

/// Whether dried specimens stand, or do not stand, for a moister use.
fn dried(note: &Note) -> bool {
    matches!(
        note,
        Note::DryOnly
            | Note::MoistureServes {
                tested: Moisture::Dried,
                ..
            }
    )
}

/// The condition to test under, in the words of the sheets; what the test takes by default is
/// left out.
fn condition(p: &Property, ask: &Ask, l: &LimitResult, evidence: &Evidence) -> Vec<String> {
    let mut words = Vec::new();
    if let Some(default) = p.direction {
        let word = match ask.lies.unwrap_or(default.lies()) {
            Lies::Across => "across",
            Lies::InPlane => "flat",
        };
        words.push(word.to_owned());
    }
    if let (true, Some(face)) = (p.by_face, ask.face) {
        words.push(face.word().to_owned());
    }
    if let (true, Some(surface)) = (p.by_counterface, &ask.counterface) {
        words.push(surface.clone());
    }
    let off_room = (ask.temperature_c - ROOM_C).abs() > evidence.policy().temperature_window_k;
    // Price and softening have no temperature of their own.
    if off_room && p.direction.is_some() | p.by_counterface {
        words.push(format!("{} degC", ask.temperature_c.round()));
    }
    let dry_only = l
        .notes
        .iter()
        .any(|(of, n)| of == p.id.as_str() && dried(n));
    if ask.moisture != Moisture::Room || dry_only {
        words.push(ask.moisture.word().to_owned());
    }
    words
}
