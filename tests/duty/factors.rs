//! A factor stands in for a test that was not made: never upon data taken in that condition already.

use super::{close, limit, performs};
use dutyfit::belief::{Evidence, Grade, Material, Note};
use dutyfit::bench::ReducedRun;
use dutyfit::catalog::{Beside, read_case};
use dutyfit::duty::{Case, Duty, Inputs, LiesOnBed, PartKind, parts};
use dutyfit::policy::Policy;
use dutyfit::property::{Ask, Condition, Direction, Lies, Moisture, Properties, Property, ROOM_C};
use dutyfit::quantity::Reading;

/// A worked example in other surroundings.
fn example(kind: &PartKind, moisture: Moisture, lies: LiesOnBed, hot_c: f64) -> Option<Case> {
    let beside = Beside {
        policy: &Policy::default(),
        properties: &Properties::default(),
        surfaces: &[],
    };
    let mut case = read_case(kind.id, kind.example, &[], beside).expect("an example");
    case.setting.moisture = moisture;
    case.setting.lies = lies;
    case.setting.temperature_c = (hot_c - 60.0, hot_c);
    case.duty().is_ok().then_some(case)
}

fn row(property: &str) -> Property {
    Properties::default().get(property).expect("a row").clone()
}

/// The condition that an ask means.
fn condition_of(ask: &Ask) -> Condition {
    let row = row(ask.property.as_str());
    let direction = row.direction.map(|d| match ask.lies.unwrap_or(d.lies()) {
        Lies::Across => Direction::Across,
        Lies::InPlane => Direction::Flat,
    });
    Condition {
        direction,
        face: ask.face,
        temperature_c: ask.temperature_c,
        moisture: ask.moisture,
        counterface: ask.counterface.clone(),
        ..Condition::default()
    }
}

/// A figure in the middle of what is plausible for an ask, another for each.
fn figure(ask: &Ask, place: usize) -> f64 {
    let (low, high) = row(ask.property.as_str()).plausible;
    let share = 0.4 + 0.01 * place as f64;
    if low > 0.0 {
        low * (high / low).powf(share)
    } else {
        low + share * (high - low)
    }
}

fn measured(id: usize, ask: &Ask, condition: &Condition, figure: f64) -> ReducedRun {
    let readings = [Reading::Exact(figure); 3];
    ReducedRun::given(
        &format!("r-{id}"),
        "a",
        ask.property.clone(),
        condition,
        &readings,
    )
}

fn evidence(runs: Vec<ReducedRun>) -> Evidence {
    let material = Material {
        id: "a".to_owned(),
        polymers: vec!["pa-6".to_owned()],
        ..Material::default()
    };
    Evidence::new(
        vec![material],
        runs,
        vec![],
        Policy::default(),
        Properties::default(),
    )
}

/// What moves a figure from the condition it was taken in to the one it is used in.
fn moved(note: &Note) -> bool {
    !matches!(
        note,
        Note::LotsDiffer { .. } | Note::ExponentHeld | Note::CorrelationAssumed
    )
}

/// Moisture, temperature and direction: each property that any part kind asks, tested as it is asked,
/// counts as it was read, whatever else was tested otherwise.
#[test]
fn what_was_tested_as_it_is_used_counts_as_it_was_read() {
    let mut looked = 0;
    for kind in parts() {
        for (moisture, lies, hot_c) in [
            (Moisture::Wet, LiesOnBed::Upright, 50.0),
            (Moisture::Dried, LiesOnBed::Flat, 70.0),
            (Moisture::Room, LiesOnBed::Edge, 23.0),
        ] {
            let Some(case) = example(kind, moisture, lies, hot_c) else {
                continue;
            };
            let duty = case.duty().expect("a duty");
            for (i, ask) in duty.asks.iter().enumerate() {
                let row = row(ask.property.as_str());
                if row.auxiliary || ask.life_h.is_some() {
                    continue;
                }
                let wanted = condition_of(ask);
                let x = figure(ask, i % 7);
                let other = Condition {
                    direction: wanted.direction.map(|d| match d {
                        Direction::Across => Direction::Flat,
                        _ => Direction::Across,
                    }),
                    temperature_c: ROOM_C + 40.0,
                    moisture: match moisture {
                        Moisture::Dried => Moisture::Wet,
                        _ => Moisture::Dried,
                    },
                    ..wanted.clone()
                };
                let alone = evidence(vec![measured(0, ask, &wanted, x)]);
                let beside = evidence(vec![
                    measured(0, ask, &wanted, x),
                    measured(1, ask, &other, 3.0 * x),
                ]);
                // What lies in no direction has no other condition of these: more readings are more evidence.
                for e in std::iter::once(alone).chain(row.direction.map(|_| beside)) {
                    let b = e.believe("a", ask);
                    assert_eq!(b.grade, Grade::Measured, "{}: {ask:?}", kind.id);
                    close(b.next_quantile(0.5).expect("a figure"), x, 1e-6);
                    let by: Vec<&Note> = b.notes.iter().filter(|n| moved(n)).collect();
                    assert!(by.is_empty(), "{}: {ask:?}: {by:?}", kind.id);
                }
                looked += 1;
            }
        }
    }
    assert!(looked > 100, "{looked}");
}

/// The performance of a limit with each need served by the alternative of that place, and the words of
/// its steps.
fn with(duty: &Duty, id: &str, which: &[u8], x: &[f64]) -> (f64, String) {
    let (y, steps) = limit(duty, id).performance.worked(Inputs { x, which });
    let said: Vec<String> = steps.into_iter().map(|s| s.what).collect();
    (y, said.join("; "))
}

/// Time: what was carried under a bolt or for the life is taken as it is; only a yield strength, which
/// knows nothing of time, is trusted to a third.
#[test]
fn a_share_for_time_stands_only_on_a_figure_without_time() {
    let mut kinds = Vec::new();
    for kind in parts() {
        let Some(case) = example(kind, Moisture::Room, LiesOnBed::Flat, 40.0) else {
            continue;
        };
        let duty = case.duty().expect("a duty");
        for l in &duty.limits {
            let [need] = l.needs.as_slice() else { continue };
            let ids: Vec<&str> = need
                .iter()
                .map(|i| duty.asks[*i].property.as_str())
                .collect();
            if ids != ["bearing-strength", "sustained-strength", "yield-strength"] {
                continue;
            }
            assert!(duty.asks[need[1]].life_h.is_some(), "{}", kind.id);
            let (bolted, said) = with(&duty, &l.id, &[0], &[9.0]);
            assert!(!said.contains("yield"), "{}: {said}", kind.id);
            let (carried, said) = with(&duty, &l.id, &[1], &[9.0]);
            assert!(!said.contains("yield"), "{}: {said}", kind.id);
            let (yields, said) = with(&duty, &l.id, &[2], &[9.0]);
            assert!(said.contains("yield"), "{}: {said}", kind.id);
            close(carried, bolted, 1e-12);
            close(yields, bolted / 3.0, 1e-9);
            // With all three at hand the bolted run alone speaks.
            let all = [
                ("yield-strength", 9.0),
                ("sustained-strength", 2.0),
                ("bearing-strength", 5.0),
            ];
            close(performs(&duty, &l.id, &all), bolted * 5.0 / 9.0, 1e-9);
            kinds.push(kind.id);
        }
    }
    kinds.dedup();
    assert!(kinds.len() >= 3, "{kinds:?}");
}

/// Direction: what lies in the layers times the share that they keep stands in for a test across them,
/// and never upon one.
#[test]
fn a_share_for_direction_stands_only_on_a_figure_from_within_the_layers() {
    let mut kinds = Vec::new();
    for kind in parts() {
        let Some(case) = example(kind, Moisture::Room, LiesOnBed::Upright, 40.0) else {
            continue;
        };
        let duty = case.duty().expect("a duty");
        for l in &duty.limits {
            let shares: Vec<usize> = (0..l.needs.len())
                .filter(|n| {
                    l.needs[*n]
                        .iter()
                        .any(|i| duty.asks[*i].property.as_str() == "layer-adhesion")
                })
                .collect();
            let [share] = shares.as_slice() else { continue };
            let n = l.needs.len();
            let x: Vec<f64> = (0..n)
                .map(|k| {
                    if k == 0 || k == *share {
                        20.0
                    } else {
                        figure(&duty.asks[l.needs[k][0]], 2)
                    }
                })
                .collect();
            let zero = vec![0; n];
            let (_, said) = with(&duty, &l.id, &zero, &x);
            assert!(
                !said.contains("layers keep"),
                "{} {}: {said}",
                kind.id,
                l.id
            );
            // Every ask before the last is of the load's own direction.
            let of = |i: usize| duty.asks[i].lies;
            assert_eq!(
                of(l.needs[0][0]),
                Some(Lies::Across),
                "{} {}",
                kind.id,
                l.id
            );
            let place = l.needs[*share].len() - 1;
            let mut which = zero.clone();
            which[0] = u8::try_from(l.needs[0].len() - 1).expect("few");
            which[*share] = u8::try_from(place).expect("few");
            assert_eq!(of(l.needs[0][usize::from(which[0])]), Some(Lies::InPlane));
            let mut kept = x.clone();
            kept[*share] = 0.5;
            let (_, said) = with(&duty, &l.id, &which, &kept);
            assert!(said.contains("layers keep"), "{} {}: {said}", kind.id, l.id);
            kinds.push(kind.id);
        }
    }
    kinds.dedup();
    assert!(!kinds.is_empty());
}

/// Time, in a belief: half the short-time strength is taken only where no piece bore a load for long.
#[test]
fn half_the_strength_is_taken_only_where_nothing_bore_a_load_for_long() {
    let strength = Ask::room("tensile-strength").lying(Lies::InPlane);
    let held = Ask::room("sustained-strength")
        .lying(Lies::InPlane)
        .after(8766.0);
    let short = measured(0, &strength, &condition_of(&strength), 40.0);
    let b = evidence(vec![short.clone()]).believe("a", &held);
    close(b.next_quantile(0.5).expect("a figure"), 20.0, 1e-6);
    assert!(
        b.notes
            .iter()
            .any(|n| matches!(n, Note::SustainedAssumed(_)))
    );
    let mut long = measured(1, &held, &condition_of(&held), 12.0);
    for s in &mut long.specimens {
        for o in &mut s.observations {
            o.hours = Some(8766.0);
        }
    }
    let b = evidence(vec![short, long]).believe("a", &held);
    close(b.next_quantile(0.5).expect("a figure"), 12.0, 1e-6);
    assert!(
        !b.notes
            .iter()
            .any(|n| matches!(n, Note::SustainedAssumed(_)))
    );
}
