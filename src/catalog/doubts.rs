//! What deserves a second look in a catalog that can be read.

use crate::belief::{Evidence, MaterialKind, Stated};
use crate::bench::{self, Observation, ReducedRun, Value, reduce_run};
use crate::catalog::Catalog;
use crate::catalog::contradiction::contradictions;
use crate::catalog::load::RunPlace;
use crate::problem::{Fault, Place, Problem, Severity, explained};
use crate::property::{Properties, Property, Scale};
use crate::quantity::{Reading, amount, figure};
use std::collections::{BTreeMap, BTreeSet};

/// A stated value further than this many of its own spreads from the measured mean is doubted.
const SPREADS_APART: f64 = 2.0;
/// Infill of a solid specimen, %.
const SOLID_PERCENT: f64 = 100.0;
/// Tests whose stresses rest on a solid section.
const NEED_SECTION: &[&str] = &["tensile", "flexure", "impact", "creep"];

fn doubt(code: &'static str, what: String, fix: impl Into<String>, at: &Place) -> Problem {
    Problem {
        severity: Severity::Doubt,
        ..Fault::new(code, what, fix).at(at.clone())
    }
}

/// Every doubt about a catalog.
pub(super) fn doubts(catalog: &Catalog) -> Vec<Problem> {
    let properties = Properties::with_own(&catalog.own_properties);
    let places = catalog.places.of_runs();
    let reduced: Vec<(ReducedRun, &RunPlace)> = catalog
        .runs
        .iter()
        .zip(&places)
        .filter(|(r, _)| r.set_aside.is_none())
        .filter_map(|(r, at)| Some((reduce_run(bench::find(r.test)?, r, &properties), at)))
        .collect();
    let mut out = Vec::new();
    materials(catalog, &mut out);
    prints(catalog, &mut out);
    set_aside(catalog, &mut out);
    single_readings(&reduced, &mut out);
    implausible(&reduced, &properties, &mut out);
    outliers(catalog, &reduced, &properties, &mut out);
    refused(&reduced, &properties, &mut out);
    contradictions(&reduced, &properties, &mut out);
    stated(catalog, &reduced, &properties, &mut out);
    out
}

fn materials(catalog: &Catalog, out: &mut Vec<Problem>) {
    for (m, at) in catalog.materials.iter().zip(&catalog.places.materials) {
        if m.kind != MaterialKind::Candidate {
            continue;
        }
        if m.price_per_kg.is_none() {
            out.push(doubt(
                "material::no-price",
                format!(
                    "`{}` has no price: it earns nothing where cost matters",
                    m.id
                ),
                "fill `price [per kg]`",
                at,
            ));
        }
        let tested = catalog
            .runs
            .iter()
            .any(|r| r.material.as_deref() == Some(&m.id));
        if !tested {
            out.push(doubt(
                "material::untested",
                format!("`{}` has no run of any test", m.id),
                "test it, or take it out",
                at,
            ));
        }
    }
}

fn prints(catalog: &Catalog, out: &mut Vec<Problem>) {
    let used: BTreeMap<&str, &str> = catalog
        .runs
        .iter()
        .filter(|r| NEED_SECTION.contains(&r.test))
        .filter_map(|r| Some((r.print.as_deref()?, r.test)))
        .collect();
    for (p, at) in catalog.prints.iter().zip(&catalog.places.prints) {
        let hollow = p.infill_percent.is_some_and(|i| i < SOLID_PERCENT);
        if let (true, Some(test)) = (hollow, used.get(p.id.as_str())) {
            out.push(doubt(
                "print::hollow",
                format!(
                    "`{}` has less than 100 % infill, and the stresses of its {test} runs refer to the outer section",
                    p.id
                ),
                "print specimens solid",
                at,
            ));
        }
    }
}

/// Runs that are kept and do not count: one line a run, so that none is forgotten.
fn set_aside(catalog: &Catalog, out: &mut Vec<Problem>) {
    let mut said = BTreeSet::new();
    for (r, at) in catalog.runs.iter().zip(&catalog.places.runs) {
        let Some(why) = &r.set_aside else { continue };
        if !said.insert(r.id.as_str()) {
            continue;
        }
        let why = if why.is_empty() {
            "without a reason"
        } else {
            why
        };
        let part = catalog
            .runs
            .iter()
            .any(|other| other.id == r.id && other.set_aside.is_none());
        let who = if part {
            format!("part of `{}` is", r.id)
        } else {
            format!("`{}` is", r.id)
        };
        out.push(doubt(
            "run::set-aside",
            format!("{who} set aside and not counted: {why}"),
            format!(
                "leave it so, or take it back with `dutyfit set-aside {} --undo`",
                r.id
            ),
            &at.place().run,
        ));
    }
}

/// How often a specimen shows one property: once, but for pieces that are looked at together.
fn looks(observations: &[Observation]) -> usize {
    let same = |o: &Observation| {
        let of = observations.iter();
        of.filter(|p| p.property == o.property).count()
    };
    observations.iter().map(same).max().unwrap_or(0)
}

/// Materials with one specimen only in a test: nothing is known of their scatter.
fn single_readings(reduced: &[(ReducedRun, &RunPlace)], out: &mut Vec<Problem>) {
    let mut count: BTreeMap<(&str, &str), (usize, &Place)> = BTreeMap::new();
    for (r, at) in reduced {
        let Some(material) = r.run.material.as_deref() else {
            continue;
        };
        let n = r
            .specimens
            .iter()
            .map(|s| looks(&s.observations))
            .sum::<usize>();
        let entry = count.entry((material, r.run.test));
        entry.or_insert((0, &at.run)).0 += n;
    }
    for ((material, test), (n, at)) in count {
        if n == 1 {
            out.push(doubt(
                "reading::single",
                format!("`{material}` has one specimen only in {test}"),
                "test another, of another print if you can",
                at,
            ));
        }
    }
}

/// Figures outside all that a property was ever seen at, each at its specimen's own line.
fn implausible(
    reduced: &[(ReducedRun, &RunPlace)],
    properties: &Properties,
    out: &mut Vec<Problem>,
) {
    for (r, at) in reduced {
        for s in &r.specimens {
            let place = at.specimens.get(&s.specimen).unwrap_or(&at.run);
            for f in bench::implausible(s, properties) {
                let what = format!("specimen {} of `{}`: {}", s.specimen, r.run.id, f.what);
                out.push(doubt(f.code, what, f.fix, place));
            }
        }
    }
}

/// Figures that a run's readings do not give, each at its specimen's own line and with the reduction's code.
fn refused(reduced: &[(ReducedRun, &RunPlace)], properties: &Properties, out: &mut Vec<Problem>) {
    let codes = explained();
    for (r, at) in reduced {
        for s in &r.specimens {
            let place = at.specimens.get(&s.specimen).unwrap_or(&at.run);
            for f in &s.refused {
                let id = f.property.as_str();
                let title = properties.get(id).map_or(id, |p| &p.title);
                let mend = codes
                    .iter()
                    .find(|e| e.code == f.code)
                    .map_or("look at its readings", |e| e.mend.trim_end_matches('.'));
                out.push(Problem {
                    code: f.code.clone(),
                    severity: Severity::Doubt,
                    at: place.clone(),
                    what: format!(
                        "specimen {} of `{}` gives no {title}: {}",
                        s.specimen, r.run.id, f.why
                    ),
                    fix: lower_first(mend),
                });
            }
        }
    }
}

/// A sentence as the words behind `help:` are written.
fn lower_first(sentence: &str) -> String {
    let mut rest = sentence.chars();
    let first = rest.next().map(|c| c.to_ascii_lowercase());
    first.into_iter().chain(rest).collect()
}

/// Readings that the scatter of other materials does not explain, each at its specimen's own line.
fn outliers(
    catalog: &Catalog,
    reduced: &[(ReducedRun, &RunPlace)],
    properties: &Properties,
    out: &mut Vec<Problem>,
) {
    let evidence = Evidence::new(
        catalog.materials.clone(),
        reduced.iter().map(|(r, _)| r.clone()).collect(),
        catalog.stated.clone(),
        catalog.policy.clone(),
        properties.clone(),
    );
    for o in evidence.outliers() {
        let found = reduced.iter().find(|(r, _)| r.run.id == o.run);
        let (Some(p), Some((_, at))) = (properties.get(o.property.as_str()), found) else {
            continue;
        };
        let place = at.specimens.get(&o.specimen).unwrap_or(&at.run);
        out.push(doubt(
            "reading::outlier",
            format!(
                "specimen {} of `{}`: a {} of {}, where the middle of its fellows is {}; \
                 as other materials scatter that happens once in 10 000 readings, and it counts as {}",
                o.specimen,
                o.run,
                p.title,
                amount(o.figure, &p.unit),
                amount(o.middle, &p.unit),
                amount(o.taken, &p.unit),
            ),
            "look at the sheet and the piece: if the test went wrong, fill `set_aside` with the reason, \
             else print and test more",
            place,
        ));
    }
}

fn stated(
    catalog: &Catalog,
    reduced: &[(ReducedRun, &RunPlace)],
    properties: &Properties,
    out: &mut Vec<Problem>,
) {
    for (s, at) in catalog.stated.iter().zip(&catalog.places.stated) {
        let (Some(material), Some(p)) = (&s.material, properties.get(s.property.as_str())) else {
            continue;
        };
        if !s.value.is_exact() {
            continue;
        }
        let own: Vec<Reading> = reduced
            .iter()
            .filter(|(r, _)| r.run.material.as_deref() == Some(material))
            .flat_map(|(r, _)| &r.specimens)
            .flat_map(|sp| &sp.observations)
            .filter(|o| o.property == s.property && counts_for(o, s, p, catalog))
            .filter_map(|o| match o.value {
                Value::Now(r) => Some(r),
                Value::Curve(_) => None,
            })
            .collect();
        let said = p.scale.forward(s.value.as_exact());
        let sd = s.sd.unwrap_or(match p.scale {
            Scale::Log => catalog.policy.stated_share,
            Scale::Plain => catalog.policy.stated_points,
        });
        if let Some(own) = disagreement(&own, said, SPREADS_APART * sd, p.scale) {
            out.push(doubt(
                "stated::disagrees",
                format!(
                    "`{material}` is stated with a {} of {}, and its own readings say {own}",
                    p.title,
                    amount(s.value.as_exact(), &p.unit),
                ),
                "trust the bench, and look whether both mean the same test and condition",
                at,
            ));
        }
    }
}

/// What own readings say where a stated figure lies further than `apart` from their mean, or, where all
/// are bounds, on the wrong side of one by as much; natural scale but for the words.
fn disagreement(own: &[Reading], said: f64, apart: f64, scale: Scale) -> Option<String> {
    let exact: Vec<f64> = own
        .iter()
        .filter(|r| r.is_exact())
        .map(|r| scale.forward(r.as_exact()))
        .collect();
    if !exact.is_empty() {
        let mean = exact.iter().sum::<f64>() / exact.len() as f64;
        return ((mean - said).abs() > apart).then(|| figure(scale.back(mean)));
    }
    let ends = || own.iter().map(|r| r.ends());
    let low = ends().map(|e| e.0).fold(f64::NEG_INFINITY, f64::max);
    let high = ends().map(|e| e.1).fold(f64::INFINITY, f64::min);
    if low.is_finite() && scale.forward(low) - said > apart {
        Some(format!(">= {}", figure(low)))
    } else if high.is_finite() && said - scale.forward(high) > apart {
        Some(format!("<= {}", figure(high)))
    } else {
        None
    }
}

/// Whether an observation was taken under the conditions that a stated value names.
fn counts_for(o: &Observation, s: &Stated, p: &Property, catalog: &Catalog) -> bool {
    let direction = s.condition.direction.or(p.direction);
    let near = (o.condition.temperature_c - s.condition.temperature_c).abs()
        <= catalog.policy.temperature_window_k;
    near && o.condition.moisture == s.condition.moisture
        && (direction.is_none() || o.condition.direction == direction)
        && (s.condition.counterface.is_none() || o.condition.counterface == s.condition.counterface)
        && o.condition.kind.is_none()
}
