//! Everything that is known of one material, property by property.

use crate::belief::{Evidence, Grade, Note, Stated};
use crate::bench::{self, Observation, Outcome, ReducedRun, Value, Written};
use crate::property::{Ask, Condition, Property, PropertyId, Scale};
use crate::quantity::Reading;

/// Standard deviations apart from which a stated value and own readings disagree.
const DISAGREE_SD: f64 = 2.0;
/// The share of parts, and how sure, that a tolerance limit is shown for: the B-basis of structural
/// handbooks (90 % of parts, 95 % confidence; from memory, not verified).
const NINE_IN_TEN: f64 = 0.90;
const SURE: f64 = 0.95;
/// Half the width of a 90 % interval of a normal, in standard deviations.
const HALF_90: f64 = 1.645;

/// One property of a material under one condition.
#[derive(Clone, Debug, PartialEq)]
pub struct Holding {
    /// Property id.
    pub property: PropertyId,
    /// Title for people.
    pub title: String,
    /// Canonical unit.
    pub unit: String,
    /// Conditions it was taken under.
    pub condition: Condition,
    /// Hours it is read at, for figures over time.
    pub life_h: Option<f64>,
    /// Grade.
    pub grade: Grade,
    /// Own specimens.
    pub specimens: u32,
    /// Own prints.
    pub prints: u32,
    /// How many of the readings are bounds.
    pub bounds: usize,
    /// What every specimen showed at the least or at the most, where all readings are
    /// bounds from one side.
    pub bound: Option<Reading>,
    /// 5, 50 and 95 % of the mean.
    pub mean: Option<[f64; 3]>,
    /// 5, 50 and 95 % of the next part.
    pub next: Option<[f64; 3]>,
    /// Figures above which, and below which, nine in ten parts lie, each with a chance of 95 %.
    pub nine_in_ten: Option<(f64, f64)>,
    /// What was assumed on the way.
    pub notes: Vec<Note>,
    /// Values that a data sheet or handbook states beside it.
    pub stated: Vec<StatedBeside>,
}

/// A stated value beside own readings.
#[derive(Clone, Debug, PartialEq)]
pub struct StatedBeside {
    /// Value, canonical unit.
    pub value: Reading,
    /// Where it stands.
    pub source: String,
    /// Whether it lies further from the own readings than both spreads allow;
    /// `None` where there are none to compare with.
    pub disagrees: Option<bool>,
}

/// A run that is kept but gives nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftOut {
    /// Run id.
    pub run: String,
    /// Test id.
    pub test: &'static str,
    /// Why.
    pub why: String,
}

/// Specimens of a run of which a test gives no figure of a property.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// Run id.
    pub run: String,
    /// Test id.
    pub test: &'static str,
    /// Property that is not given.
    pub property: PropertyId,
    /// Its title.
    pub title: String,
    /// Specimen numbers, in order of the run.
    pub specimens: Vec<u32>,
    /// Why.
    pub why: String,
}

/// A specimen that failed early, and counts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Early {
    /// Run id.
    pub run: String,
    /// Test id.
    pub test: &'static str,
    /// Specimen number.
    pub specimen: u32,
    /// Face, where one was named.
    pub face: Option<&'static str>,
}

/// A specimen of a test of which no figure is made: what was written of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// Run id.
    pub run: String,
    /// Test id.
    pub test: &'static str,
    /// Date of the run, ISO 8601.
    pub date: Option<String>,
    /// Specimen number.
    pub specimen: u32,
    /// How it ended.
    pub outcome: Outcome,
    /// Its cells.
    pub cells: Vec<Written>,
}

/// What is known of a material.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Holdings {
    /// Properties in the table's order.
    pub rows: Vec<Holding>,
    /// Runs set aside.
    pub set_aside: Vec<LeftOut>,
    /// Specimens that failed early.
    pub early: Vec<Early>,
    /// What runs that count do not give, and why.
    pub refused: Vec<Refused>,
    /// What was written of trials of which no figure is made, in the order of the runs.
    pub trials: Vec<Trial>,
    /// Tests with a run that counts, in the order of the sheets.
    pub tests: Vec<&'static str>,
}

/// Gathers what is known of `material`.
pub fn holdings(material: &str, evidence: &Evidence) -> Holdings {
    let mut out = Holdings::default();
    let mut groups: Vec<Group<'_>> = Vec::new();
    for run in evidence
        .runs()
        .iter()
        .filter(|r| r.run.material.as_deref() == Some(material))
    {
        if let Some(why) = &run.run.set_aside {
            out.set_aside.push(LeftOut {
                run: run.run.id.clone(),
                test: run.run.test,
                why: why.clone(),
            });
            continue;
        }
        if !out.tests.contains(&run.run.test) {
            out.tests.push(run.run.test);
        }
        collect(run, &mut groups, &mut out.early);
        trials(run, &mut out.trials);
        refusals(run, evidence, &mut out.refused);
    }
    let stated: Vec<&Stated> = evidence
        .stated()
        .iter()
        .filter(|s| s.material.as_deref() == Some(material))
        .collect();
    for s in &stated {
        if !groups.iter().any(|g| g.property == s.property) {
            groups.push(Group {
                property: s.property.clone(),
                condition: s.condition.clone(),
                seen: Vec::new(),
            });
        }
    }
    for property in evidence.properties().iter() {
        for g in groups.iter().filter(|g| g.property == property.id) {
            out.rows.push(row(material, g, property, &stated, evidence));
        }
    }
    out
}

struct Group<'a> {
    property: PropertyId,
    condition: Condition,
    seen: Vec<&'a Observation>,
}

fn collect<'a>(run: &'a ReducedRun, groups: &mut Vec<Group<'a>>, early: &mut Vec<Early>) {
    for s in &run.specimens {
        if s.outcome == Outcome::EarlyFailure {
            early.push(Early {
                run: run.run.id.clone(),
                test: run.run.test,
                specimen: s.specimen,
                face: run.run.condition.face.map(|f| f.word()),
            });
        }
        for o in &s.observations {
            let at = groups
                .iter()
                .position(|g| g.property == o.property && g.condition == o.condition);
            match at.and_then(|i| groups.get_mut(i)) {
                Some(g) => g.seen.push(o),
                None => groups.push(Group {
                    property: o.property.clone(),
                    condition: o.condition.clone(),
                    seen: vec![o],
                }),
            }
        }
    }
}

fn trials(run: &ReducedRun, out: &mut Vec<Trial>) {
    let Some(test) = bench::find(run.run.test).filter(|t| !t.gives_figures()) else {
        return;
    };
    out.extend(run.run.specimens.iter().map(|s| Trial {
        run: run.run.id.clone(),
        test: test.id(),
        date: run.run.date.clone(),
        specimen: s.number,
        outcome: s.outcome(),
        cells: bench::written(test, s),
    }));
}

/// The refusals of a run, specimens with the same reason together.
fn refusals(run: &ReducedRun, evidence: &Evidence, out: &mut Vec<Refused>) {
    for s in &run.specimens {
        for r in &s.refused {
            let same = |x: &&mut Refused| {
                x.run == run.run.id && x.property == r.property && x.why == r.why
            };
            if let Some(known) = out.iter_mut().find(same) {
                known.specimens.push(s.specimen);
                continue;
            }
            let row = evidence.properties().get(r.property.as_str());
            out.push(Refused {
                run: run.run.id.clone(),
                test: run.run.test,
                property: r.property.clone(),
                title: row.map_or_else(|| r.property.to_string(), |p| p.title.to_string()),
                specimens: vec![s.specimen],
                why: r.why.clone(),
            });
        }
    }
}

fn row(
    material: &str,
    g: &Group<'_>,
    property: &Property,
    stated: &[&Stated],
    evidence: &Evidence,
) -> Holding {
    let last_h = |o: &&Observation| match &o.value {
        Value::Curve(c) => c.points.last().map(|p| p.0),
        Value::Now(_) => o.hours,
    };
    let life_h = g
        .seen
        .iter()
        .filter_map(last_h)
        .fold(None, |most: Option<f64>, t| {
            Some(most.map_or(t, |m| m.max(t)))
        });
    let ask = Ask {
        lies: g.condition.direction.map(|d| d.lies()),
        face: g.condition.face,
        temperature_c: g.condition.temperature_c,
        moisture: g.condition.moisture,
        counterface: g.condition.counterface.clone(),
        life_h,
        stress_mpa: g.seen.iter().find_map(|o| o.stress_mpa),
        ..Ask::of(g.property.clone())
    };
    let belief = evidence.believe(material, &ask);
    let three = |quantile: &dyn Fn(f64) -> Option<f64>| {
        Some([quantile(0.05)?, quantile(0.5)?, quantile(0.95)?])
    };
    let mean = three(&|p| belief.mean_quantile(p));
    let beside = stated
        .iter()
        .filter(|s| s.property == g.property && comparable(&s.condition, &g.condition))
        .map(|s| StatedBeside {
            value: s.value,
            source: s.source.clone(),
            disagrees: (!g.seen.is_empty())
                .then(|| disagrees(s, mean, property.scale, evidence))
                .flatten(),
        })
        .collect();
    Holding {
        property: g.property.clone(),
        title: property.title.to_string(),
        unit: property.unit.to_string(),
        condition: g.condition.clone(),
        life_h,
        grade: belief.grade,
        specimens: belief.specimens,
        prints: belief.prints,
        bounds: g
            .seen
            .iter()
            .filter(|o| matches!(&o.value, Value::Now(r) if !r.is_exact()))
            .count(),
        bound: common_bound(&g.seen),
        mean,
        next: three(&|p| belief.next_quantile(p)),
        // A bound alone says nothing of the scatter.
        nine_in_ten: if belief.grade == Grade::Bounded {
            None
        } else {
            belief.share_bounds(NINE_IN_TEN, SURE)
        },
        notes: belief.notes.clone(),
        stated: beside,
    }
}

/// The bound that all readings share; `None` where one is a curve or no bound.
fn common_bound(seen: &[&Observation]) -> Option<Reading> {
    let now: Option<Vec<Reading>> = seen.iter().map(|o| o.value.now()).collect();
    Reading::shared(now?)
}

/// Whether a stated value speaks of the same thing: what it leaves open counts as the same.
fn comparable(stated: &Condition, own: &Condition) -> bool {
    (stated.direction.is_none() || stated.direction == own.direction)
        && (stated.counterface.is_none() || stated.counterface == own.counterface)
        && (stated.temperature_c - own.temperature_c).abs() < 1.0
        && stated.moisture == own.moisture
}

fn disagrees(
    s: &Stated,
    mean: Option<[f64; 3]>,
    scale: Scale,
    evidence: &Evidence,
) -> Option<bool> {
    let [low, middle, high] = mean.map(|m| m.map(|x| scale.forward(x)))?;
    let own_sd = (high - low) / (2.0 * HALF_90);
    let policy = evidence.policy();
    let stated_sd = s.sd.unwrap_or(match scale {
        Scale::Log => policy.stated_share,
        Scale::Plain => policy.stated_points,
    });
    let allowed = DISAGREE_SD * own_sd.hypot(stated_sd);
    let at = |x: f64| scale.forward(x) - middle;
    Some(match s.value {
        Reading::Exact(x) => at(x).abs() > allowed,
        Reading::AtLeast(x) => at(x) > allowed,
        Reading::AtMost(x) => -at(x) > allowed,
        Reading::Between(a, b) => at(a) > allowed || -at(b) > allowed,
    })
}
