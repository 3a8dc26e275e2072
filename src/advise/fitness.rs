//! What a material is good for, among the others; what is missing of it.

use crate::advise::reason::settles;
use crate::belief::{Evidence, Grade, MaterialKind, Note};
use crate::bench::Value;
use crate::judge::{Judgement, Standing};
use crate::property::{Ask, Property, Sense};
use std::collections::{BTreeMap, BTreeSet};

/// A case and how a material stands in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Served {
    /// Case title.
    pub case: String,
    /// Standing.
    pub standing: Standing,
    /// Rank.
    pub rank: Option<u32>,
}

/// A property in which a material is among the best or worst quarter, on measured figures only.
#[derive(Clone, Debug, PartialEq)]
pub struct Strength {
    /// Property id.
    pub property: String,
    /// Surface rubbed against, where the property counts by surface.
    pub counterface: Option<String>,
    /// Whether among the best quarter (else the worst), by the property's sense.
    pub best: bool,
    /// Median.
    pub median: f64,
    /// Unit.
    pub unit: String,
    /// Place from the best; materials with equal medians share the better place.
    pub place: usize,
    /// Of how many materials with measured figures.
    pub of: usize,
}

/// What is missing for which case.
#[derive(Clone, Debug, PartialEq)]
pub struct Missing {
    /// Test id, or the property id for auxiliary ones.
    pub test: String,
    /// Case titles that it would settle.
    pub cases: Vec<String>,
}

/// Something assumed on the way to a property, and the cases that rest on it.
#[derive(Clone, Debug, PartialEq)]
pub struct Assumed {
    /// Property id.
    pub property: String,
    /// What was assumed.
    pub note: Note,
    /// Case titles.
    pub cases: Vec<String>,
}

/// What a material is good for.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Fitness {
    /// Cases, the best standing first.
    pub cases: Vec<Served>,
    /// Best and worst quarters: the best first, each by its place.
    pub strengths: Vec<Strength>,
    /// Missing tests, the one that the most cases wait for first.
    pub missing: Vec<Missing>,
    /// Every step that was assumed behind a limit of a case.
    pub assumed: Vec<Assumed>,
}

/// Fewest materials with measured figures among which a quarter is named.
const FEWEST: usize = 4;
/// Life at which figures over time are compared, h (1 000 h, the usual long reading of the
/// trade's creep tables; common practice, no source).
pub(super) const COMPARED_AT_H: f64 = 1_000.0;

/// What `material` is good for, given each case's title and judgement.
///
/// Strengths are told at room conditions in each property's default direction, where more or
/// less is better whatever the use, from own exact readings only.
pub fn fitness(material: &str, evidence: &Evidence, judged: &[(String, &Judgement)]) -> Fitness {
    let mut cases: Vec<Served> = Vec::new();
    let mut missing: BTreeMap<String, Vec<String>> = BTreeMap::new();
    let mut assumed: Vec<Assumed> = Vec::new();
    for (title, judgement) in judged {
        let Some(c) = judgement.candidates.iter().find(|c| c.material == material) else {
            continue;
        };
        cases.push(Served {
            case: title.clone(),
            standing: c.standing,
            rank: c.rank,
        });
        for (property, note) in c.limits.iter().flat_map(|l| &l.notes) {
            assume(&mut assumed, property, note, title);
        }
        for s in c.causes.iter().filter_map(|cause| settles(cause, evidence)) {
            let test = s.test.unwrap_or(s.property).to_owned();
            let waiting = missing.entry(test).or_default();
            if !waiting.contains(title) {
                waiting.push(title.clone());
            }
        }
    }
    cases.sort_by_key(|s| (s.standing, s.rank));
    let mut missing: Vec<Missing> = missing
        .into_iter()
        .map(|(test, cases)| Missing { test, cases })
        .collect();
    missing.sort_by_key(|m| std::cmp::Reverse(m.cases.len()));
    Fitness {
        cases,
        strengths: strengths(material, evidence),
        missing,
        assumed,
    }
}

/// Adds an assumption, or its case to one that is there.
fn assume(all: &mut Vec<Assumed>, property: &str, note: &Note, case: &str) {
    let found = all
        .iter_mut()
        .find(|a| a.property == property && a.note == *note);
    match found {
        Some(a) if a.cases.last().is_some_and(|c| c == case) => {}
        Some(a) => a.cases.push(case.to_owned()),
        None => all.push(Assumed {
            property: property.to_owned(),
            note: note.clone(),
            cases: vec![case.to_owned()],
        }),
    }
}

fn strengths(material: &str, evidence: &Evidence) -> Vec<Strength> {
    let tested = Tested::of(evidence);
    let mut found: Vec<Strength> = evidence
        .properties()
        .iter()
        .filter(|p| p.sense != Sense::Either && !p.auxiliary)
        .flat_map(|p| {
            let surfaces: Vec<Option<String>> = if p.by_counterface {
                tested
                    .surfaces(material, p)
                    .into_iter()
                    .map(|s| Some(s.to_owned()))
                    .collect()
            } else {
                vec![None]
            };
            surfaces
                .into_iter()
                .filter_map(|s| strength(material, p, s, evidence, &tested))
                .collect::<Vec<_>>()
        })
        .collect();
    found.sort_by(|a, b| {
        b.best
            .cmp(&a.best)
            .then((a.place * b.of).cmp(&(b.place * a.of)))
            .then(a.property.cmp(&b.property))
    });
    found
}

fn strength(
    material: &str,
    p: &Property,
    surface: Option<String>,
    evidence: &Evidence,
    tested: &Tested<'_>,
) -> Option<Strength> {
    let mut ask = Ask::of(p.id.clone());
    ask.counterface = surface.clone();
    ask.life_h = tested
        .over_time
        .contains(p.id.as_str())
        .then_some(COMPARED_AT_H);
    let measured = |id: &str| -> Option<f64> {
        let belief = evidence.believe(id, &ask);
        (belief.grade == Grade::Measured)
            .then(|| belief.mean_quantile(0.5))
            .flatten()
            .filter(|m| m.is_finite())
    };
    let own = measured(material)?;
    let all: Vec<f64> = tested
        .materials(p, surface.as_deref())
        .into_iter()
        .filter_map(measured)
        .collect();
    let of = all.len();
    if of < FEWEST {
        return None;
    }
    let better = |x: f64, y: f64| match p.sense {
        Sense::Less => x < y,
        Sense::More | Sense::Either => x > y,
    };
    let ahead = all.iter().filter(|x| better(**x, own)).count();
    let behind = all.iter().filter(|x| better(own, **x)).count();
    let quarter = of / 4;
    let best = ahead < quarter;
    (best || behind < quarter).then(|| Strength {
        property: p.id.as_str().to_owned(),
        counterface: surface,
        best,
        median: own,
        unit: p.unit.to_string(),
        place: ahead + 1,
        of,
    })
}

/// Who was tested for what, so that beliefs are asked only where there are readings.
struct Tested<'a> {
    /// Candidates with own readings, by property and surface.
    by: BTreeMap<(&'a str, Option<&'a str>), BTreeSet<&'a str>>,
    /// Properties read as curves over time.
    over_time: BTreeSet<&'a str>,
}

impl<'a> Tested<'a> {
    fn of(evidence: &'a Evidence) -> Self {
        let candidates: BTreeSet<&str> = evidence
            .materials()
            .iter()
            .filter(|m| m.kind == MaterialKind::Candidate)
            .map(|m| m.id.as_str())
            .collect();
        let mut tested = Tested {
            by: BTreeMap::new(),
            over_time: BTreeSet::new(),
        };
        let runs = evidence.runs().iter().filter(|r| r.run.set_aside.is_none());
        for run in runs {
            let Some(material) = run.run.material.as_deref() else {
                continue;
            };
            if !candidates.contains(material) {
                continue;
            }
            for o in run.specimens.iter().flat_map(|s| &s.observations) {
                let id = o.property.as_str();
                let by_surface = evidence
                    .properties()
                    .get(id)
                    .is_some_and(|p| p.by_counterface);
                let surface = o.condition.counterface.as_deref().filter(|_| by_surface);
                tested.by.entry((id, surface)).or_default().insert(material);
                if matches!(o.value, Value::Curve(_)) {
                    tested.over_time.insert(id);
                }
            }
        }
        tested
    }

    fn materials(&self, p: &Property, surface: Option<&str>) -> Vec<&'a str> {
        self.by
            .iter()
            .filter(|((id, s), _)| *id == p.id.as_str() && *s == surface)
            .flat_map(|(_, m)| m.iter().copied())
            .collect()
    }

    fn surfaces(&self, material: &str, p: &Property) -> Vec<&'a str> {
        self.by
            .iter()
            .filter(|((id, _), m)| *id == p.id.as_str() && m.contains(material))
            .filter_map(|((_, s), _)| *s)
            .collect()
    }
}
