//! What a shortlist says first: the pick or the nearest miss, and the rest counted by cause.

use crate::advise::UseLimit;
use crate::belief::{Evidence, Note};
use crate::duty::{Duty, LeverKind, LimitSense, PLAIN_FAILURE};
use crate::judge::{Candidate, Cause, Judgement, LimitResult, Standing};
use crate::quantity::Reading;
use std::collections::BTreeMap;

/// How many materials that are not known a shortlist names before it counts the rest.
const NAMED_NOT_KNOWN: usize = 3;

/// A judgement at a glance. Candidates are indices into the judgement's list.
#[derive(Clone, Debug, PartialEq)]
pub struct Overview {
    /// The answer in one piece.
    pub lead: Lead,
    /// How many stand so, in the order of [`Standing`].
    pub counts: [usize; 4],
    /// Rows worth a line each: fit, borderline, the first few of the not known.
    pub named: Vec<usize>,
    /// Every ruled-out material, by the failure mode that rules it out; the largest group first.
    pub ruled_out: Vec<RuledOutGroup>,
    /// Every material that is not known, by what it lacks; the largest group first.
    pub not_known: Vec<WantGroup>,
}

impl Overview {
    /// How many stand so.
    pub fn count(&self, standing: Standing) -> usize {
        self.counts.get(standing as usize).copied().unwrap_or(0)
    }
}

/// The answer in one piece.
#[derive(Clone, Debug, PartialEq)]
pub enum Lead {
    /// This one is fit and first.
    Pick(usize),
    /// Nothing is fit; this one comes nearest, held up by this limit of it.
    Nearest {
        /// The candidate.
        candidate: usize,
        /// Index of the limit that holds it up; `None` where the duty has no limit.
        limit: Option<usize>,
    },
    /// There is no candidate at all; these bench tests would say whether one meets the limits.
    Nobody {
        /// Test ids, in the order of the limits.
        tests: Vec<&'static str>,
    },
}

/// Materials that one failure mode rules out.
#[derive(Clone, Debug, PartialEq)]
pub struct RuledOutGroup {
    /// Id of the limit, or of the first of several with this failure mode.
    pub limit: String,
    /// Failure mode in a few words.
    pub failure: String,
    /// How many.
    pub count: usize,
    /// Which, in listed order.
    pub materials: Vec<String>,
    /// The best median prediction among them; `None` where none can be computed.
    pub best: Option<Reading>,
    /// The bound that it misses.
    pub needed: f64,
    /// Unit of both.
    pub unit: String,
}

/// What a material lacks.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Want {
    /// No run of this test.
    NoRun {
        /// Test id.
        test: String,
    },
    /// No figure of this property, which no bench test here gives.
    NoFigure {
        /// Property id.
        property: String,
    },
    /// Tested dry, used moister.
    DryOnly,
    /// Tested at another moisture.
    OtherMoisture,
    /// Tested in another direction.
    OtherDirection,
    /// Tested too far from the temperature of the use.
    OtherTemperature,
    /// Tested on another surface.
    OtherSurface,
    /// Run for too short a time.
    TooShort,
    /// Tested at too low a stress.
    LowStress,
    /// No softening onset.
    NoOnset,
    /// Only a stated value.
    StatedOnly {
        /// Property id.
        property: String,
    },
    /// Only a bound that does not reach.
    BoundOpen {
        /// Property id.
        property: String,
    },
    /// Too few specimens of this test.
    Specimens {
        /// Test id, or the property id where no test gives it.
        test: String,
    },
    /// Too few prints of this test.
    Prints {
        /// Test id, or the property id where no test gives it.
        test: String,
    },
    /// Rests on the assumed fall with heat.
    HeatLine,
    /// Turns with an auxiliary figure.
    Auxiliary {
        /// Property id.
        property: String,
    },
    /// Nothing more can be said.
    Other,
}

/// Materials that lack the same.
#[derive(Clone, Debug, PartialEq)]
pub struct WantGroup {
    /// What they lack.
    pub want: Want,
    /// How many.
    pub count: usize,
}

/// Reads a judgement at a glance.
pub fn overview(duty: &Duty, judgement: &Judgement, evidence: &Evidence) -> Overview {
    let all = &judgement.candidates;
    let mut counts = [0; 4];
    let mut named = Vec::new();
    for (i, c) in all.iter().enumerate() {
        if let Some(n) = counts.get_mut(c.standing as usize) {
            *n += 1;
            let worth_a_line = match c.standing {
                Standing::Fit | Standing::Borderline => true,
                Standing::NotKnown => *n <= NAMED_NOT_KNOWN,
                Standing::RuledOut => false,
            };
            if worth_a_line {
                named.push(i);
            }
        }
    }
    Overview {
        lead: lead(all).unwrap_or_else(|| Lead::Nobody {
            tests: tests_of(duty, evidence),
        }),
        counts,
        named,
        ruled_out: ruled_out(duty, all),
        not_known: not_known(all, evidence),
    }
}

/// The tests that give what the limits ask; where they can be met in several ways, by the first.
fn tests_of(duty: &Duty, evidence: &Evidence) -> Vec<&'static str> {
    let mut tests = Vec::new();
    let asked = duty.limits.iter().flat_map(|l| l.needs.first());
    for ask in asked.flatten().filter_map(|i| duty.asks.get(*i)) {
        let row = evidence.properties().get(ask.property.as_str());
        if let Some(test) = row.and_then(|p| p.test)
            && !tests.contains(&test)
        {
            tests.push(test);
        }
    }
    tests
}

fn lead(all: &[Candidate]) -> Option<Lead> {
    if let Some(i) = all.iter().position(|c| c.standing == Standing::Fit) {
        return Some(Lead::Pick(i));
    }
    // Listed order is by standing, then score; the ruled out all score near nothing,
    // so among them the least bad governing limit decides.
    let nearest = all
        .iter()
        .enumerate()
        .filter(|(_, c)| c.standing != Standing::RuledOut)
        .map(|(i, _)| i)
        .next()
        .or_else(|| {
            (0..all.len()).max_by(|&a, &b| {
                lowest_chance(&all[a])
                    .total_cmp(&lowest_chance(&all[b]))
                    .then(b.cmp(&a))
            })
        });
    nearest
        .and_then(|i| Some((i, all.get(i)?)))
        .map(|(candidate, c)| Lead::Nearest {
            candidate,
            limit: governing(c),
        })
}

fn lowest_chance(c: &Candidate) -> f64 {
    c.limits
        .iter()
        .map(|l| l.chance.unwrap_or(0.0))
        .fold(1.0, f64::min)
}

/// The limit that holds a candidate up: its first cause's, else the one with the lowest chance.
pub fn governing(c: &Candidate) -> Option<usize> {
    let named = c
        .causes
        .first()
        .and_then(Cause::limit)
        .and_then(|id| c.limits.iter().position(|l| l.id == id));
    named.or_else(|| {
        (0..c.limits.len()).min_by(|&a, &b| {
            let chance = |i: usize| c.limits.get(i).and_then(|l| l.chance).unwrap_or(0.0);
            chance(a).total_cmp(&chance(b))
        })
    })
}

/// The limit behind an id, whichever end of the temperatures it is judged at.
pub fn stem(limit: &str) -> &str {
    limit.split_once('@').map_or(limit, |(stem, _)| stem)
}

/// The bound that a prediction misses, or comes nearer to.
pub fn nearer_bound(sense: LimitSense, x: f64) -> f64 {
    match sense {
        LimitSense::AtLeast(b) | LimitSense::AtMost(b) => b,
        LimitSense::Between(a, b) => {
            if (x - a).abs() <= (b - x).abs() {
                a
            } else {
                b
            }
        }
    }
}

/// How far a prediction is on the wrong side; negative on the right side.
fn miss(l: &LimitResult, x: f64) -> f64 {
    match l.sense {
        LimitSense::AtLeast(b) => b - x,
        LimitSense::AtMost(b) => x - b,
        LimitSense::Between(a, b) => (a - x).max(x - b),
    }
}

fn ruled_out(duty: &Duty, all: &[Candidate]) -> Vec<RuledOutGroup> {
    let mut groups: Vec<RuledOutGroup> = Vec::new();
    let mut misses: Vec<f64> = Vec::new();
    for c in all.iter().filter(|c| c.standing == Standing::RuledOut) {
        let Some(l) = governing(c).and_then(|i| c.limits.get(i)) else {
            continue;
        };
        let typical = l.typical();
        let predicted = typical.map(Reading::as_exact);
        let how_far = predicted.map_or(f64::INFINITY, |m| miss(l, m));
        let failure = duty
            .limits
            .iter()
            .find(|d| d.id == l.id)
            .map_or_else(String::new, |d| d.failure.to_string());
        // One failure mode is one group, at whichever end of the temperatures it happens; a plain
        // bound says nothing but that it is missed, so each is a group of its own.
        let same = |g: &RuledOutGroup| {
            stem(&g.limit) == stem(&l.id)
                || (!failure.is_empty()
                    && failure != PLAIN_FAILURE
                    && g.failure == failure
                    && g.unit == l.unit)
        };
        let at = groups.iter().position(same);
        let at = at.unwrap_or_else(|| {
            groups.push(RuledOutGroup {
                limit: l.id.clone(),
                failure: failure.clone(),
                count: 0,
                materials: Vec::new(),
                best: None,
                needed: nearer_bound(l.sense, predicted.unwrap_or(f64::NAN)),
                unit: l.unit.clone(),
            });
            misses.push(f64::INFINITY);
            groups.len() - 1
        });
        if let (Some(g), Some(m)) = (groups.get_mut(at), misses.get_mut(at)) {
            g.count += 1;
            g.materials.push(c.material.clone());
            if let Some(x) = predicted
                && how_far < *m
            {
                *m = how_far;
                g.best = typical;
                g.needed = nearer_bound(l.sense, x);
            }
        }
    }
    groups.sort_by_key(|g| std::cmp::Reverse(g.count));
    groups
}

fn not_known(all: &[Candidate], evidence: &Evidence) -> Vec<WantGroup> {
    let mut counts: BTreeMap<Want, usize> = BTreeMap::new();
    for c in all.iter().filter(|c| c.standing == Standing::NotKnown) {
        *counts.entry(want(c.causes.first(), evidence)).or_insert(0) += 1;
    }
    let mut groups: Vec<WantGroup> = counts
        .into_iter()
        .map(|(want, count)| WantGroup { want, count })
        .collect();
    groups.sort_by_key(|g| std::cmp::Reverse(g.count));
    groups
}

/// What a cause says is lacking.
pub fn want(cause: Option<&Cause>, evidence: &Evidence) -> Want {
    let test_of = |property: &str| {
        evidence
            .properties()
            .get(property)
            .and_then(|p| p.test)
            .map(str::to_owned)
    };
    match cause {
        Some(
            Cause::Absent {
                property, notes, ..
            }
            | Cause::Borrowed {
                property, notes, ..
            },
        ) => notes
            .iter()
            .find_map(want_of_note)
            .unwrap_or_else(|| match test_of(property) {
                Some(test) => Want::NoRun { test },
                None => Want::NoFigure {
                    property: property.clone(),
                },
            }),
        Some(Cause::Stated { property, .. }) => Want::StatedOnly {
            property: property.clone(),
        },
        Some(Cause::BoundOpen { property, .. }) => Want::BoundOpen {
            property: property.clone(),
        },
        Some(Cause::Specimens { property, .. }) => Want::Specimens {
            test: test_of(property).unwrap_or_else(|| property.clone()),
        },
        Some(Cause::Prints { property, .. }) => Want::Prints {
            test: test_of(property).unwrap_or_else(|| property.clone()),
        },
        Some(Cause::OnLine { .. }) => Want::HeatLine,
        Some(Cause::Auxiliary { property, .. }) => Want::Auxiliary {
            property: property.clone(),
        },
        _ => Want::Other,
    }
}

fn want_of_note(note: &Note) -> Option<Want> {
    match note {
        Note::NoOnset => Some(Want::NoOnset),
        Note::OutsideTemperature { .. }
        | Note::StifferInCold { .. }
        | Note::AcrossOnset { .. }
        | Note::TwoSteps => Some(Want::OtherTemperature),
        Note::OtherMoisture(_) => Some(Want::OtherMoisture),
        Note::BeyondDecades(_) => Some(Want::TooShort),
        Note::DryOnly => Some(Want::DryOnly),
        Note::OtherSurface(_) => Some(Want::OtherSurface),
        Note::OtherDirection => Some(Want::OtherDirection),
        Note::AboveTestedStress { .. } => Some(Want::LowStress),
        _ => None,
    }
}

/// The input whose smallest change would make a material fit, among its limits of use.
///
/// Loads, lives and thicknesses are compared by their ratio; 100 K count as much as
/// doubling a load (ours, no source).
pub fn turning_input(uses: &[UseLimit]) -> Option<&UseLimit> {
    let effort = |u: &UseLimit| {
        let limit = u.limit?;
        let effort = match u.kind {
            LeverKind::Temperature => (u.now - limit).abs() / 100.0,
            _ if limit > 0.0 && u.now > 0.0 => (u.now / limit).ln().abs(),
            _ => return None,
        };
        (effort > 0.0 && effort.is_finite()).then_some(effort)
    };
    uses.iter()
        .filter_map(|u| Some((effort(u)?, u)))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, u)| u)
}
