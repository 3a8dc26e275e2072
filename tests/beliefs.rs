//! What beliefs promise, through the evidence as the tool builds it.

use crate::runs::{Bench, draws, evidence, known_spread, material, near, textbook};
use dutyfit::belief::{Belief, Evidence, Grade, MaterialKind, Note, Side, Stated};
use dutyfit::bench::{Bias, BiasKind};
use dutyfit::policy::Policy;
use dutyfit::property::{Ask, Condition, Direction, Face, Lies, Moisture, Properties, PropertyId};
use dutyfit::quantity::Reading;
use proptest::prelude::*;

const ONSET: &str = "softening-onset";
const NOTCHED: &str = "impact-notched";
const TENSILE: &str = "tensile-strength";

fn plain(benches: &[Bench]) -> Evidence {
    evidence(&[("a", "petg")], benches, &[], Policy::default())
}

fn stated(material: Option<&str>, polymer: Option<&str>, property: &'static str, y: f64) -> Stated {
    Stated {
        material: material.map(str::to_owned),
        polymer: polymer.map(str::to_owned),
        property: PropertyId::fixed(property),
        value: Reading::Exact(y),
        sd: None,
        condition: Condition::default(),
        standard: String::new(),
        source: "a data sheet".to_owned(),
    }
}

fn has(b: &Belief, what: impl Fn(&Note) -> bool) -> bool {
    b.notes.iter().any(what)
}

#[test]
fn readings_of_one_print_give_student_t_of_mean_and_next_part() {
    let of = |policy: Policy| {
        let bench = Bench::exact("a", ONSET, &[70.0, 72.0, 74.0]);
        evidence(&[("a", "petg")], &[bench], &[], policy).believe("a", &Ask::room(ONSET))
    };
    let b = of(Policy {
        rho: 0.0,
        ..Policy::default()
    });
    assert_eq!((b.grade, b.specimens, b.prints), (Grade::Measured, 3, 1));
    // Default spread 2.5 K with 4 degrees of freedom, residual squares 8 with 2: s^2 = 33/6;
    // mean variance s^2 / 3, next part s^2 (1/3 + 1); t(0.95; 6) = 1.943180.
    let s = (33.0_f64 / 6.0).sqrt();
    near(b.mean_quantile(0.5), 72.0, 1e-9);
    let reach = 1.943_180_28 * s;
    near(
        b.mean_quantile(0.95),
        72.0 + reach * (1.0_f64 / 3.0).sqrt(),
        1e-8,
    );
    near(
        b.next_quantile(0.05),
        72.0 - reach * (4.0_f64 / 3.0).sqrt(),
        1e-8,
    );
    // Prints that differ as specimens do, and how much is not sure: wider than with rho at 1.
    let b = of(Policy::default());
    near(b.mean_quantile(0.5), 72.0, 1e-9);
    let low = 72.0 - reach * (10.0_f64 / 3.0).sqrt();
    assert!(
        b.next_quantile(0.05)
            .is_some_and(|q| low - 0.5 < q && q < low + 0.1)
    );
}

#[test]
fn draws_follow_the_quantiles() {
    let bound = Reading::AtLeast(9.0);
    let one = Reading::Exact(8.0);
    for readings in [
        vec![one, Reading::Exact(8.6)],
        vec![one, Reading::Exact(8.6), bound],
        vec![bound, bound],
        vec![Reading::Between(7.0, 9.0), one],
    ] {
        let e = plain(&[Bench::new("a", NOTCHED, &readings)]);
        let b = e.believe("a", &Ask::room(NOTCHED));
        let (means, nexts) = draws(&e, &b, 128);
        for p in [0.05, 0.25, 0.5, 0.75, 0.95] {
            for (draws, q) in [(&means, b.mean_quantile(p)), (&nexts, b.next_quantile(p))] {
                let q = q.unwrap_or(f64::NAN);
                let below = draws.iter().filter(|d| **d <= q).count() as f64 / draws.len() as f64;
                assert!((below - p).abs() < 0.01, "{readings:?} {p}: {below}");
            }
        }
    }
}

/// A bound so far off that it says nothing sends the same readings through the grid.
#[test]
fn the_grid_agrees_with_the_closed_form() {
    for figures in [vec![70.0], vec![70.0, 72.5], vec![69.0, 70.0, 72.0, 75.0]] {
        let exact: Vec<Reading> = figures.iter().map(|y| Reading::Exact(*y)).collect();
        let mut bounded = exact.clone();
        bounded.push(Reading::AtLeast(-5000.0));
        let closed = plain(&[Bench::new("a", ONSET, &exact)]).believe("a", &Ask::room(ONSET));
        let e = plain(&[
            Bench::new("a", ONSET, &exact),
            Bench::new("a", ONSET, &bounded[figures.len()..]),
        ]);
        let grid = e.believe("a", &Ask::room(ONSET));
        for p in [0.01, 0.05, 0.25, 0.5, 0.75, 0.95, 0.99] {
            let pairs = [
                (closed.mean_quantile(p), grid.mean_quantile(p)),
                (closed.next_quantile(p), grid.next_quantile(p)),
            ];
            for (c, g) in pairs {
                let c = c.unwrap_or(f64::NAN);
                near(g, c, 1e-3);
            }
        }
        let (c, _) = draws(&e, &closed, 4);
        let (g, _) = draws(&e, &grid, 4);
        for (c, g) in c.iter().zip(&g) {
            assert!((c - g).abs() < 0.05, "{c} {g}");
        }
    }
}

#[test]
fn identical_repeats_are_not_certainty() {
    let same = [50.0, 50.0, 50.0, 50.0];
    // The textbook's spread of these is nothing; the gauge's step of 1 keeps a twelfth of its square.
    let e = evidence(
        &[("a", "petg")],
        &[Bench::exact("a", ONSET, &same).with(|b| b.resolution = 1.0)],
        &[],
        Policy {
            pool_floor: 4.0,
            ..Policy::default()
        },
    );
    let b = e.believe("a", &Ask::room(ONSET));
    assert!(b.next_quantile(0.05).is_some_and(|q| q < 49.5));
    let e = evidence(
        &[("a", "petg"), ("b", "petg")],
        &[
            Bench::exact("a", ONSET, &[50.0, 50.0]).with(|b| b.resolution = 10.0),
            Bench::exact("b", ONSET, &[60.0, 60.1, 60.0, 60.1, 60.0, 60.1, 60.0]),
        ],
        &[],
        Policy::default(),
    );
    let b = e.believe("a", &Ask::room(ONSET));
    assert_eq!(b.grade, Grade::Measured);
    assert!(has(&b, |n| matches!(n, Note::CoarseGauge)));
    // Anywhere within the step is as likely as its middle.
    let (low, high) = (b.mean_quantile(0.05), b.mean_quantile(0.95));
    assert!(low.is_some_and(|q| q < 48.0) && high.is_some_and(|q| q > 52.0));
}

#[test]
fn bounds_alone_are_bounded_and_keep_their_side() {
    let ask = Ask::room(NOTCHED);
    let e = plain(&[Bench::new("a", NOTCHED, &[Reading::AtLeast(40.0); 3])]);
    let b = e.believe("a", &ask);
    assert_eq!((b.grade, b.side), (Grade::Bounded, Some(Side::AtLeast)));
    assert_eq!(b.specimens, 3);
    let exact = b.as_exact.as_deref().expect("bounds taken as exact");
    let measured = plain(&[Bench::exact("a", NOTCHED, &[40.0; 3])]).believe("a", &ask);
    // The same centre; but bounds say where tests ended, so their likeness is no small scatter.
    assert_eq!(exact.mean_quantile(0.5), measured.mean_quantile(0.5));
    assert!(exact.next_quantile(0.1) < measured.next_quantile(0.1));
    assert!(b.mean_quantile(0.5) > exact.mean_quantile(0.5));
    let e = plain(&[Bench::new("a", NOTCHED, &[Reading::AtMost(40.0)])]);
    assert_eq!(e.believe("a", &ask).side, Some(Side::AtMost));
}

#[test]
fn weak_bounds_beside_strong_ones_take_nothing_away() {
    let ask = Ask::room(NOTCHED);
    let shown = |bounds: &[f64]| {
        let bounds: Vec<Reading> = bounds.iter().map(|b| Reading::AtLeast(*b)).collect();
        let b = plain(&[Bench::new("a", NOTCHED, &bounds)]).believe("a", &ask);
        b.as_exact
            .and_then(|e| e.next_quantile(0.1))
            .unwrap_or(f64::NAN)
    };
    let strong = shown(&[40.0, 41.0]);
    assert!(shown(&[40.0, 41.0, 2.0, 3.0]) >= strong);
    assert!(shown(&[40.0, 400.0]) >= strong);
    assert!(shown(&[40.0, 41.0, 39.0]) >= strong);
}

#[test]
fn the_spread_is_pooled_from_other_materials_and_never_from_ones_own() {
    let noisy = Bench::exact("b", TENSILE, &[20.0, 30.0, 25.0, 36.0, 18.0, 28.0, 33.0]);
    let calm = Bench::exact("c", TENSILE, &[20.0, 20.1, 20.0, 20.1, 20.0, 20.1, 20.0]);
    let own = Bench::exact("a", TENSILE, &[30.0]);
    let width = |benches: &[Bench]| {
        let e = evidence(
            &[("a", "petg"), ("b", "petg"), ("c", "petg")],
            benches,
            &[],
            Policy::default(),
        );
        let b = e.believe("a", &Ask::room(TENSILE));
        b.next_quantile(0.95).unwrap_or(f64::NAN) / b.next_quantile(0.05).unwrap_or(f64::NAN)
    };
    let alone = width(std::slice::from_ref(&own));
    assert!(width(&[own.clone(), noisy.clone()]) > 1.3 * alone);
    assert!(width(&[own.clone(), calm.clone()]) < alone);
    // The same kind of rig first.
    let elsewhere = noisy.clone().with(|b| b.rig_kind = "crane");
    let both = width(&[own.clone(), elsewhere, calm.clone()]);
    assert!((both - width(&[own, calm])).abs() < 1e-12);
}

#[test]
fn a_second_print_says_more_than_more_specimens_of_one() {
    let width = |benches: &[Bench]| {
        let b = plain(benches).believe("a", &Ask::room(ONSET));
        b.mean_quantile(0.95).unwrap_or(f64::NAN) - b.mean_quantile(0.05).unwrap_or(f64::NAN)
    };
    let one = width(&[Bench::exact("a", ONSET, &[70.0, 70.0, 72.0, 72.0]).print("p")]);
    let two = width(&[
        Bench::exact("a", ONSET, &[70.0, 72.0]).print("p"),
        Bench::exact("a", ONSET, &[70.0, 72.0]).print("q"),
    ]);
    assert!(two < 0.8 * one);
}

#[test]
fn a_figure_counts_only_for_its_own_direction() {
    let flat = Bench::exact("a", TENSILE, &[50.0]).with(|b| {
        b.condition.direction = Some(Direction::Flat);
    });
    let other = Bench::exact("b", TENSILE, &[20.0, 21.0]);
    let e = evidence(
        &[("a", "petg"), ("b", "petg"), ("c", "")],
        &[
            flat.clone(),
            other,
            Bench {
                material: "c",
                ..flat
            },
        ],
        &[],
        Policy::default(),
    );
    let ask = Ask::room(TENSILE);
    assert_eq!(
        e.believe("a", &ask.clone().lying(Lies::InPlane)).grade,
        Grade::Measured
    );
    let across = e.believe("a", &ask);
    assert_eq!(across.grade, Grade::Borrowed);
    assert!(has(&across, |n| matches!(n, Note::OtherDirection)));
    assert!(has(&across, |n| matches!(
        n,
        Note::BorrowedFrom { materials: 1, .. }
    )));
    assert!(across.mean_quantile(0.5).is_some_and(|q| q < 30.0));
    // Of no polymer: nobody lends.
    assert_eq!(e.believe("c", &ask).grade, Grade::Absent);
    assert!(e.believe("c", &ask).next_quantile(0.5).is_none());
}

#[test]
fn own_readings_beat_a_stated_value_and_a_stated_value_the_polymer() {
    let s = [stated(Some("a"), None, TENSILE, 45.0)];
    let all = [("a", "petg"), ("b", "petg")];
    let other = Bench::exact("b", TENSILE, &[20.0, 21.0]);
    let ask = Ask::room(TENSILE);
    let b = evidence(&all, std::slice::from_ref(&other), &s, Policy::default()).believe("a", &ask);
    assert_eq!(b.grade, Grade::Stated);
    near(b.mean_quantile(0.5), 45.0, 1e-6);
    // 25 % where nothing is said: one standard deviation of the logarithm.
    near(
        b.mean_quantile(0.158_655_254),
        45.0 * (-0.25_f64).exp(),
        1e-6,
    );
    let own = Bench::exact("a", TENSILE, &[30.0]);
    let b = evidence(&all, &[other, own], &s, Policy::default()).believe("a", &ask);
    assert_eq!(b.grade, Grade::Measured);
    near(b.mean_quantile(0.5), 30.0, 1e-9);
    // Of the polymer: borrowed. Exact where its spread is nothing.
    let of_polymer = [Stated {
        sd: Some(0.0),
        ..stated(None, Some("petg"), TENSILE, 40.0)
    }];
    let b = evidence(&all, &[], &of_polymer, Policy::default()).believe("a", &ask);
    assert_eq!(b.grade, Grade::Borrowed);
    near(b.next_quantile(0.01), 40.0, 1e-12);
}

#[test]
fn a_lone_material_leans_on_all_polymers_and_many_on_their_own() {
    let lend = |n: usize| {
        let ids = ["b", "c", "d", "e", "f", "g"];
        let mut materials = vec![("a", "tpu"), ("x", "pc"), ("y", "pc")];
        let mut benches = vec![
            Bench::exact("x", TENSILE, &[60.0]),
            Bench::exact("y", TENSILE, &[62.0]),
        ];
        for id in ids.iter().take(n) {
            materials.push((id, "tpu"));
            benches.push(Bench::exact(id, TENSILE, &[20.0]));
        }
        let e = evidence(&materials, &benches, &[], Policy::default());
        e.believe("a", &Ask::room(TENSILE)).mean_quantile(0.5)
    };
    assert_eq!(lend(0), None);
    let (one, six) = (lend(1).unwrap_or(0.0), lend(6).unwrap_or(0.0));
    assert!(one > six && six > 20.0 && one < 30.0, "{one} {six}");
}

#[test]
fn strength_falls_on_a_line_to_the_onset_and_is_nothing_beyond() {
    let benches = [
        Bench::exact("a", TENSILE, &[40.0, 40.0]),
        Bench::exact("a", ONSET, &[100.0, 100.0, 100.0]),
    ];
    let e = evidence(
        &[("a", "petg"), ("b", "petg")],
        &benches,
        &[],
        Policy::default(),
    );
    let at = |t: f64| e.believe("a", &Ask::room(TENSILE).at(t));
    let onset = e
        .believe("a", &Ask::room(ONSET))
        .next_quantile(0.05)
        .unwrap_or(f64::NAN);
    assert!(!at(38.0).on_line);
    near(at(38.0).mean_quantile(0.5), 40.0, 1e-9);
    let b = at(60.0);
    assert!(b.on_line && b.grade == Grade::Measured);
    near(
        b.mean_quantile(0.5),
        40.0 * (onset - 60.0) / (onset - 38.0),
        1e-9,
    );
    let gone = at(onset + 0.1);
    assert_eq!(gone.next_quantile(0.99), Some(0.0));
    assert!(draws(&e, &gone, 1).1.iter().all(|y| y.abs() < 1e-300));
    near(at(-40.0).mean_quantile(0.5), 40.0, 1e-9);
    // A bounded onset is taken as exact; without any nothing is said.
    let e = evidence(
        &[("a", "petg"), ("b", "petg")],
        &[
            benches[0].clone(),
            Bench::new("a", ONSET, &[Reading::AtLeast(100.0)]),
            Bench {
                material: "b",
                ..benches[0].clone()
            },
        ],
        &[],
        Policy::default(),
    );
    let b = e.believe("a", &Ask::room(TENSILE).at(60.0));
    assert!(b.on_line && b.grade == Grade::Measured);
    let b = plain(&benches[..1]).believe("a", &Ask::room(TENSILE).at(60.0));
    assert_eq!(b.grade, Grade::Absent);
    assert!(has(&b, |n| matches!(n, Note::NoOnset)));
}

#[test]
fn between_runs_at_two_temperatures_the_figure_is_interpolated() {
    let e = plain(&[
        Bench::exact("a", TENSILE, &[40.0, 40.0]).print("p"),
        Bench::exact("a", TENSILE, &[20.0, 20.0])
            .print("q")
            .at(63.0),
    ]);
    let b = e.believe("a", &Ask::room(TENSILE).at(43.0));
    near(b.mean_quantile(0.5), (40.0_f64 * 20.0).sqrt(), 1e-9);
    assert!(has(&b, |n| matches!(n, Note::Interpolated { .. })) && !b.on_line);
}

#[test]
fn brittle_figures_count_warmer_and_the_rest_only_near() {
    let e = plain(&[
        Bench::exact("a", NOTCHED, &[5.0]),
        Bench::exact("a", "rebound", &[40.0]),
    ]);
    let grade = |p: &'static str, t: f64| e.believe("a", &Ask::room(p).at(t)).grade;
    assert_eq!(grade(NOTCHED, 60.0), Grade::Measured);
    assert_eq!(grade(NOTCHED, 8.0), Grade::Measured);
    assert_eq!(grade(NOTCHED, 7.0), Grade::Absent);
    assert_eq!(grade("rebound", 38.0), Grade::Measured);
    assert_eq!(grade("rebound", 39.0), Grade::Absent);
    let b = e.believe("a", &Ask::room(NOTCHED).at(-10.0));
    assert!(has(&b, |n| matches!(n, Note::OutsideTemperature { .. })));
}

#[test]
fn where_stiffer_is_worse_a_modulus_counts_no_colder_than_the_window() {
    const MODULUS: &str = "compression-modulus";
    let e = evidence(
        &[("a", "tpu"), ("b", "tpu"), ("c", "tpu")],
        &[
            Bench::exact("a", MODULUS, &[20.0, 21.0]),
            Bench::exact("b", MODULUS, &[18.0, 19.0]),
        ],
        &[stated(Some("c"), None, MODULUS, 20.0)],
        Policy::default(),
    );
    let cold = |m: &str, t: f64| e.believe(m, &Ask::room(MODULUS).at(t));
    let worse = |m: &str, t: f64| e.believe(m, &Ask::room(MODULUS).at(t).stiffer_is_worse());
    assert_eq!(cold("a", -25.0).grade, Grade::Measured);
    assert_eq!(worse("a", 8.0).grade, Grade::Measured);
    assert_eq!(worse("a", 40.0).grade, cold("a", 40.0).grade);
    for m in ["a", "c"] {
        assert!(worse(m, 7.0).is_absent(), "{m}");
    }
    assert_eq!(cold("c", 7.0).grade, Grade::Stated);
    let b = worse("a", -25.0);
    assert!(has(&b, |n| matches!(n, Note::StifferInCold { .. })));
    // Asked for the good of stiffness after it, as before it.
    assert_eq!(cold("a", -25.0).grade, Grade::Measured);
}

#[test]
fn dried_figures_count_wet_only_with_a_low_measured_uptake() {
    let dried =
        Bench::exact("a", TENSILE, &[40.0]).with(|b| b.condition.moisture = Moisture::Dried);
    let believe = |polymer: &'static str, uptake: Option<f64>, m: Moisture| {
        let mut benches = vec![dried.clone()];
        benches.extend(uptake.map(|u| Bench::exact("a", "water-uptake", &[u])));
        evidence(&[("a", polymer)], &benches, &[], Policy::default())
            .believe("a", &Ask::room(TENSILE).moist(m))
    };
    assert_eq!(believe("pa-6", None, Moisture::Room).grade, Grade::Absent);
    assert!(has(&believe("pa-6", None, Moisture::Room), |n| {
        matches!(n, Note::DryOnly)
    }));
    assert_eq!(
        believe("pa-6", Some(3.0), Moisture::Wet).grade,
        Grade::Absent
    );
    assert_eq!(
        believe("pa-6", Some(0.2), Moisture::Wet).grade,
        Grade::Measured
    );
    assert_eq!(believe("petg", None, Moisture::Wet).grade, Grade::Absent);
    assert_eq!(believe("petg", None, Moisture::Room).grade, Grade::Measured);
    assert_eq!(
        believe("petg", Some(0.9), Moisture::Room).grade,
        Grade::Absent
    );
}

#[test]
fn friction_counts_for_its_surface_and_face() {
    let on = |s: &str, face: Face, y: f64| {
        Bench::exact("a", "static-friction", &[y, y])
            .on(s)
            .with(|b| b.condition.face = Some(face))
    };
    let e = plain(&[
        on("glass", Face::Top, 0.30),
        on("glass", Face::Bottom, 0.20),
    ]);
    let ask = Ask::room("static-friction").on("glass");
    let b = e.believe("a", &ask);
    near(b.mean_quantile(0.5), 0.20, 1e-9);
    assert!(has(&b, |n| matches!(n, Note::WorstFace(Face::Bottom))));
    let top = Ask {
        face: Some(Face::Top),
        ..ask
    };
    near(e.believe("a", &top).mean_quantile(0.5), 0.30, 1e-9);
    let wood = e.believe("a", &Ask::room("static-friction").on("wood"));
    assert_eq!((wood.grade, wood.specimens), (Grade::Borrowed, 0));
    assert!(has(
        &wood,
        |n| matches!(n, Note::OtherSurface(s) if s == "glass")
    ));
}

#[test]
fn break_types_annealing_and_set_aside_runs_stay_apart() {
    let partial =
        Bench::exact("a", NOTCHED, &[30.0]).with(|b| b.condition.kind = Some("partial".to_owned()));
    let annealed = Bench::exact("a", TENSILE, &[60.0])
        .with(|b| b.condition.annealed = Some("80 degC 4 h".to_owned()));
    let aside = Bench::exact("a", "density", &[1.9]).with(|b| b.set_aside = true);
    let e = plain(&[partial, Bench::exact("a", NOTCHED, &[5.0]), annealed, aside]);
    let b = e.believe("a", &Ask::room(NOTCHED));
    near(b.mean_quantile(0.5), 5.0, 1e-9);
    assert!(has(
        &b,
        |n| matches!(n, Note::OtherKind(k) if k == "partial")
    ));
    let b = e.believe("a", &Ask::room(TENSILE));
    assert_eq!(b.grade, Grade::Absent);
    assert!(has(&b, |n| matches!(n, Note::AnnealedOnly(_))));
    assert_eq!(e.believe("a", &Ask::room("density")).grade, Grade::Absent);
}

#[test]
fn a_curve_is_read_at_the_life_and_says_less_the_further_off_it_is() {
    let e = plain(&[Bench::curve(
        "a",
        "force-retained",
        &[(1.0, 0.9), (10.0, 0.8), (100.0, 0.7)],
    )]);
    let at = |h: f64| e.believe("a", &Ask::room("force-retained").after(h));
    let width = |b: &Belief| {
        b.mean_quantile(0.95).unwrap_or(f64::NAN) / b.mean_quantile(0.05).unwrap_or(f64::NAN)
    };
    near(at(100.0).mean_quantile(0.5), 0.7, 0.03);
    assert!(at(1e4).mean_quantile(0.5) < at(100.0).mean_quantile(0.5));
    assert!(width(&at(1e4)) > width(&at(100.0)));
    assert!(!has(&at(900.0), |n| matches!(n, Note::BeyondDecades(_))));
    assert!(has(
        &at(1e4),
        |n| matches!(n, Note::BeyondDecades(d) if (d - 2.0).abs() < 1e-9)
    ));
    assert_eq!(at(2e5).grade, Grade::Absent);
}

#[test]
fn what_a_curve_assumes_past_its_end_is_noted() {
    let at = |points: &[(f64, f64)], hours: f64| {
        let e = plain(&[Bench::curve("a", "force-retained", points)]);
        e.believe("a", &Ask::room("force-retained").after(hours))
    };
    let two = [(1.0, 0.9), (100.0, 0.8)];
    let held = |b: &Belief| has(b, |n| matches!(n, Note::ExponentHeld));
    let assumed = |b: &Belief| has(b, |n| matches!(n, Note::CorrelationAssumed));
    assert!(held(&at(&two, 500.0)) && assumed(&at(&two, 500.0)));
    assert!(!held(&at(&two, 50.0)) && !assumed(&at(&two, 50.0)));
    let six = [1.0, 3.0, 10.0, 30.0, 100.0, 300.0].map(|t: f64| (t, 0.9 - 0.05 * t.log10()));
    assert!(!held(&at(&six[..4], 500.0)) && assumed(&at(&six[..4], 500.0)));
    assert!(!held(&at(&six, 500.0)) && !assumed(&at(&six, 500.0)));
    let flow = |t: f64| 1.0 / (1e-3 + 2e-6 * t);
    let flowing = [0.1, 1.0, 5.0, 20.0, 100.0, 200.0, 400.0].map(|t| (t, flow(t)));
    let e = plain(&[Bench::curve("a", "creep-modulus", &flowing)]);
    let b = e.believe("a", &Ask::room("creep-modulus").after(4000.0));
    assert!(
        has(&b, |n| matches!(n, Note::SteadyFlow(w) if *w > 0.5)),
        "{:?}",
        b.notes
    );
}

#[test]
fn more_curves_of_a_material_leave_less_open_past_their_end() {
    let curve = |lift: f64, wobble: f64| {
        [0.1, 1.0, 10.0, 100.0].map(|t: f64| {
            let sign = if (t.log10() as i32) % 2 == 0 {
                1.0
            } else {
                -1.0
            };
            (t, lift * (0.95 - 0.04 * t.log10()) + sign * wobble)
        })
    };
    let width = |specimens: usize| {
        let all: Vec<Bench> = (0..specimens)
            .map(|i| {
                let wobble = if i % 2 == 0 { 0.015 } else { -0.015 };
                Bench::curve("a", "force-retained", &curve(1.0, wobble))
            })
            .collect();
        let b = plain(&all).believe("a", &Ask::room("force-retained").after(5000.0));
        let [low, high] = [0.05, 0.95].map(|p| b.mean_quantile(p).unwrap_or(f64::NAN));
        (high / low).ln()
    };
    assert!(width(8) < 0.6 * width(1), "{} {}", width(8), width(1));
}

#[test]
fn a_bound_on_what_is_kept_counts_on_its_own_side_of_its_time() {
    let at = |r: Reading, life: f64| {
        let e = plain(&[
            Bench::new("a", "force-retained", &[r]).with(|b| b.hours = Some(100.0)),
            Bench::exact("b", "force-retained", &[0.6, 0.7]),
        ]);
        e.believe("a", &Ask::room("force-retained").after(life))
            .grade
    };
    // Still there at 100 h: there before, and no word of later.
    assert_eq!(at(Reading::AtLeast(0.5), 50.0), Grade::Bounded);
    assert_ne!(at(Reading::AtLeast(0.5), 200.0), Grade::Bounded);
    // No longer there at 100 h: not there later, and no word of before.
    assert_eq!(at(Reading::AtMost(0.5), 200.0), Grade::Bounded);
    assert_ne!(at(Reading::AtMost(0.5), 50.0), Grade::Bounded);
}

#[test]
fn a_creep_modulus_counts_up_to_half_more_than_its_stress() {
    let e = plain(&[
        Bench::curve("a", "creep-modulus", &[(1.0, 900.0), (100.0, 800.0)])
            .with(|b| b.stress_mpa = Some(4.0)),
    ]);
    let ask = Ask::room("creep-modulus").after(100.0);
    assert_eq!(
        e.believe("a", &ask.clone().under(6.0)).grade,
        Grade::Measured
    );
    let b = e.believe("a", &ask.under(6.1));
    assert_eq!(b.grade, Grade::Absent);
    assert!(has(&b, |n| matches!(n, Note::AboveTestedStress { .. })));
}

#[test]
fn a_stress_borne_counts_ten_times_as_long_and_else_half_the_strength() {
    let bore = Bench::new("a", "sustained-strength", &[Reading::AtLeast(8.0)])
        .with(|b| b.hours = Some(100.0));
    let flat =
        Bench::exact("a", TENSILE, &[40.0]).with(|b| b.condition.direction = Some(Direction::Flat));
    let e = plain(&[bore, flat]);
    let ask = Ask::room("sustained-strength");
    let b = e.believe("a", &ask.clone().after(1000.0));
    assert_eq!((b.grade, b.side), (Grade::Bounded, Some(Side::AtLeast)));
    let b = e.believe("a", &ask.clone().after(1001.0));
    near(b.mean_quantile(0.5), 20.0, 1e-9);
    assert!(has(&b, |n| matches!(n, Note::SustainedAssumed(_))));
    let broke = Bench::new("a", "sustained-strength", &[Reading::AtMost(8.0)])
        .with(|b| b.hours = Some(100.0));
    let e = plain(&[broke]);
    let side = |h: f64| e.believe("a", &ask.clone().after(h)).side;
    assert_eq!(side(100.0), Some(Side::AtMost));
    assert_eq!(side(50.0), Some(Side::AtLeast));
}

#[test]
fn a_shared_calibration_cancels_in_a_comparison_but_not_against_a_limit() {
    let gain = || Bias {
        calibration: "frame-1/force/2026-01-10".into(),
        kind: BiasKind::Gain,
        slope: 30.0,
    };
    let bench = |m| Bench::exact(m, ONSET, &[70.0, 71.0]).with(|b| b.bias = vec![gain()]);
    let e = evidence(
        &[("a", "petg"), ("b", "petg")],
        &[bench("a"), bench("b")],
        &[],
        Policy::default(),
    );
    let ask = Ask::room(ONSET);
    let (a, b) = (e.believe("a", &ask), e.believe("b", &ask));
    let sd = |x: &[f64]| {
        let m = x.iter().sum::<f64>() / x.len() as f64;
        (x.iter().map(|y| (y - m).powi(2)).sum::<f64>() / x.len() as f64).sqrt()
    };
    let (da, db) = (draws(&e, &a, 32).0, draws(&e, &b, 32).0);
    let apart: Vec<f64> = da.iter().zip(&db).map(|(x, y)| x - y).collect();
    assert!((sd(&da) - 30.0).abs() < 1.5);
    assert!(sd(&apart) < 10.0);
    let reach = a.mean_quantile(0.975).unwrap_or(f64::NAN) - 70.5;
    assert!((reach - 1.96 * 30.0).abs() < 3.0, "{reach}");
}

#[test]
fn auxiliary_figures_come_from_the_material_then_the_polymer() {
    let mut m = material("a", "pla+petg");
    m.price_per_kg = Some(24.0);
    let e = Evidence::new(
        vec![m, material("b", "pla")],
        Vec::new(),
        vec![stated(Some("b"), None, "thermal-expansion", 80.0)],
        Policy::default(),
        Properties::default(),
    );
    let price = e.believe("a", &Ask::room("price"));
    assert!(price.auxiliary);
    assert_eq!(
        (price.grade, price.next_quantile(0.9)),
        (Grade::Stated, Some(24.0))
    );
    assert!(e.believe("b", &Ask::room("price")).is_absent());
    let blend = e.believe("a", &Ask::room("thermal-expansion"));
    near(blend.mean_quantile(0.5), (70.0_f64 * 65.0).sqrt(), 1e-6);
    assert!(blend.auxiliary && has(&blend, |n| matches!(n, Note::Assumed(_))));
    let own = e.believe("b", &Ask::room("thermal-expansion").at(60.0));
    assert_eq!(own.grade, Grade::Stated);
    near(own.mean_quantile(0.5), 80.0, 1e-6);
    near(own.next_quantile(0.5), 80.0, 1e-6);
}

#[test]
fn reference_specimens_lend_nothing() {
    let mut r = material("r", "petg");
    r.kind = MaterialKind::Reference;
    let base = evidence(
        &[("a", "petg"), ("r", "petg")],
        &[Bench::exact(
            "r",
            TENSILE,
            &[20.0, 30.0, 20.0, 30.0, 25.0, 25.0],
        )],
        &[],
        Policy::default(),
    );
    let e = Evidence::new(
        vec![material("a", "petg"), r],
        base.runs().to_vec(),
        Vec::new(),
        Policy::default(),
        Properties::default(),
    );
    assert_eq!(
        base.believe("a", &Ask::room(TENSILE)).grade,
        Grade::Borrowed
    );
    assert_eq!(e.believe("a", &Ask::room(TENSILE)).grade, Grade::Absent);
    assert_eq!(e.believe("r", &Ask::room(TENSILE)).grade, Grade::Measured);
}

#[test]
fn hot_and_cold_ends_share_their_draws() {
    let e = plain(&[
        Bench::exact("a", TENSILE, &[40.0, 42.0]),
        Bench::exact("a", ONSET, &[100.0, 100.0, 100.0]),
    ]);
    let cold = draws(&e, &e.believe("a", &Ask::room(TENSILE)), 1).1;
    let hot = draws(&e, &e.believe("a", &Ask::room(TENSILE).at(60.0)), 1).1;
    let share = hot[0] / cold[0];
    for (h, c) in hot.iter().zip(&cold) {
        assert!((h / c - share).abs() < 1e-12);
    }
}

#[test]
fn odd_asks_are_answered_by_nothing() {
    let e = plain(&[Bench::exact("a", TENSILE, &[40.0])]);
    assert!(e.believe("z", &Ask::room(TENSILE)).is_absent());
    let unknown = Ask::of(PropertyId::own("no-such"));
    assert!(e.believe("a", &unknown).is_absent());
    assert!(
        draws(&e, &e.believe("z", &Ask::room(TENSILE)), 1)
            .0
            .iter()
            .all(|y| y.is_nan())
    );
    assert!(
        Evidence::default()
            .believe("a", &Ask::room(TENSILE))
            .is_absent()
    );
    let zero = plain(&[Bench::exact("a", TENSILE, &[0.0, -1.0])]);
    assert!(zero.believe("a", &Ask::room(TENSILE)).is_absent());
    // One reading and no opinion of the spread: nothing can be said of how far off it is.
    let alone = |policy| {
        let e = evidence(
            &[("a", "petg")],
            &[Bench::exact("a", ONSET, &[70.0])],
            &[],
            policy,
        );
        e.believe("a", &Ask::room(ONSET)).next_quantile(0.05)
    };
    assert_eq!(alone(textbook()), None);
    near(
        alone(known_spread()),
        70.0 - 1.644_853_627 * 2.5 * 2.0_f64.sqrt(),
        1e-8,
    );
}

/// Readings of impact tests: figures, and bounds from a hammer too small.
fn readings() -> impl Strategy<Value = Vec<Reading>> {
    let one = (1.0..50.0_f64, 0..4_u8).prop_map(|(y, kind)| match kind {
        0 => Reading::AtLeast(y),
        1 => Reading::AtMost(y),
        _ => Reading::Exact(y),
    });
    prop::collection::vec(one, 1..6)
}

fn quantiles(b: &Belief) -> Vec<f64> {
    [0.05, 0.5, 0.95]
        .iter()
        .flat_map(|p| [b.mean_quantile(*p), b.next_quantile(*p)])
        .map(|q| q.unwrap_or(f64::NAN))
        .collect()
}

fn of(readings: &[Reading]) -> Vec<f64> {
    let e = plain(&[Bench::new("a", NOTCHED, readings)]);
    quantiles(&e.believe("a", &Ask::room(NOTCHED)))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn the_order_of_specimens_is_nothing(r in readings(), turn in 0..6_usize) {
        let mut turned = r.clone();
        turned.rotate_left(turn % r.len());
        turned.reverse();
        prop_assert_eq!(of(&r), of(&turned));
    }

    #[test]
    fn another_unit_is_another_scale(r in readings(), factor in 0.2..5.0_f64) {
        prop_assume!(r.iter().any(|x| x.is_exact()));
        let scaled: Vec<Reading> = r.iter().map(|x| x.map(|y| y * factor)).collect();
        for (a, b) in of(&r).iter().zip(of(&scaled)) {
            prop_assert!((a * factor / b - 1.0).abs() < 1e-6, "{} {}", a * factor, b);
        }
    }

    #[test]
    fn better_readings_never_lower_a_quantile(r in readings(), factor in 1.0..3.0_f64) {
        let better: Vec<Reading> = r.iter().map(|x| x.map(|y| y * factor)).collect();
        for (a, b) in of(&r).iter().zip(of(&better)) {
            prop_assert!(b >= a * (1.0 - 1e-6), "{} {}", a, b);
        }
    }

    /// Bounds from one side, taken as exact: what the judge goes by. (As likelihoods beside exact readings
    /// a bound far above them shows that the material scatters, and may lower the low end.)
    #[test]
    fn a_stronger_bound_never_lowers_a_quantile(
        bounds in prop::collection::vec(1.0..50.0_f64, 1..5), which in 0..4_usize, factor in 1.0..20.0_f64,
    ) {
        let of = |bounds: &[f64]| {
            let r: Vec<Reading> = bounds.iter().map(|b| Reading::AtLeast(*b)).collect();
            let b = plain(&[Bench::new("a", NOTCHED, &r)]).believe("a", &Ask::room(NOTCHED));
            b.as_exact.as_deref().and_then(|b| b.next_quantile(0.1))
        };
        let mut strong = bounds.clone();
        if let Some(b) = strong.get_mut(which % bounds.len()) {
            *b *= factor;
        }
        // At the share of parts by which the strongest bounds are chosen.
        let (weak, strong) = (of(&bounds), of(&strong));
        prop_assert!(weak.is_some() && strong >= weak.map(|q| q * (1.0 - 1e-9)), "{weak:?} {strong:?}");
    }
}
