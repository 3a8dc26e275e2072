//! A reading outside its rig's range is a bound by itself, whatever channel read it.

use dutyfit::belief::MaterialKind;
use dutyfit::bench::{
    Channel, Kind, Observation, ReducedRun, Rig, Run, Value, find, reduce_run, tests,
};
use dutyfit::catalog::{Source, load_catalog};
use dutyfit::property::Properties;
use std::collections::BTreeSet;

fn rig(column: &str, low: Option<f64>, high: Option<f64>) -> Rig {
    Rig {
        name: "rig".to_owned(),
        kind: "rig".to_owned(),
        channels: vec![Channel {
            id: format!("rig/{column}/").into(),
            column: column.into(),
            low,
            high,
            resolution: None,
            offset: 0.0,
            offset_u: 0.0,
            gain: 1.0,
            gain_u: 0.0,
        }],
    }
}

fn reduced(run: &Run, rig: Rig, properties: &Properties) -> ReducedRun {
    let mut run = run.clone();
    run.rig = rig.into();
    let test = find(run.test).expect("a test");
    reduce_run(test, &run.into(), properties)
}

fn exact(o: &Observation) -> Option<String> {
    match &o.value {
        Value::Now(r) if r.is_exact() => Some(format!("{:.9e}", r.as_exact())),
        Value::Now(_) => None,
        Value::Curve(c) => Some(format!("{:?}", c.points)),
    }
}

/// For every number column of every test, on the demo's runs: with the range ended just inside the
/// readings, no figure that hangs on the column is given as exact any more.
#[test]
fn every_channel_bounds_what_it_cannot_read() {
    let catalog = load_catalog(&Source::Demo, None).expect("the demo");
    let evidence = catalog.evidence();
    let properties = evidence.properties();
    let candidate = |id: &str| {
        evidence
            .materials()
            .iter()
            .any(|m| m.id == id && m.kind == MaterialKind::Candidate)
    };
    let mut bounded = BTreeSet::new();
    for test in tests() {
        let runs: Vec<_> = evidence
            .runs()
            .iter()
            .filter(|r| r.run.test == test.id())
            .filter(|r| r.run.material.as_deref().is_some_and(candidate))
            .take(3)
            .collect();
        for run in runs {
            let base = reduced(&run.run, Rig::default(), properties);
            for column in test.columns() {
                if !matches!(column.kind, Kind::Number { .. }) {
                    continue;
                }
                let seen: Vec<f64> = run
                    .run
                    .specimens
                    .iter()
                    .flat_map(|s| &s.points)
                    .filter_map(|p| p.num(column.name))
                    .filter(|x| *x > 0.0)
                    .collect();
                let most = seen.iter().copied().fold(0.0, f64::max);
                let least = seen.iter().copied().fold(f64::INFINITY, f64::min);
                if seen.is_empty() {
                    continue;
                }
                for (low, high) in [(None, Some(0.999 * most)), (Some(1.001 * least), None)] {
                    let cut = reduced(&run.run, rig(column.name, low, high), properties);
                    let before: BTreeSet<_> = base
                        .specimens
                        .iter()
                        .flat_map(|s| {
                            s.observations
                                .iter()
                                .map(move |o| (s.specimen, o.property.clone(), exact(o)))
                        })
                        .collect();
                    for s in &cut.specimens {
                        for o in &s.observations {
                            if exact(o).is_none() {
                                bounded.insert((test.id(), column.name));
                            } else {
                                assert!(
                                    before.contains(&(s.specimen, o.property.clone(), exact(o))),
                                    "{} {} of {}: `{}` cut at {low:?} {high:?} gives {:?} as exact",
                                    run.run.id,
                                    s.specimen,
                                    o.property,
                                    column.name,
                                    o.value
                                );
                            }
                        }
                    }
                }
            }
        }
    }
    let tests: BTreeSet<_> = bounded.iter().map(|(t, _)| *t).collect();
    assert!(tests.len() >= 12 && bounded.len() >= 25, "{bounded:?}");
}
