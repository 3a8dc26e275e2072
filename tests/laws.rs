//! Laws of judgement: what must hold whatever the readings are.

use crate::synthetic::{Shop, aim, limit, limit_of, of};
use dutyfit::bench::{Bias, BiasKind};
use dutyfit::duty::{Duty, LimitSense, Preference};
use dutyfit::judge::{DRAWS, Judgement, Request, Standing, judge};
use dutyfit::policy::Class;
use dutyfit::property::Scale;
use dutyfit::quantity::Reading;
use proptest::prelude::*;

/// Draws of a law tested on many cases.
const FEW: usize = 1_024;

fn exact(readings: &[f64]) -> Vec<Reading> {
    readings.iter().map(|y| Reading::Exact(*y)).collect()
}

fn points(of: &[(&str, f64)]) -> Preference {
    Preference::Points(of.iter().map(|(id, p)| ((*id).to_owned(), *p)).collect())
}

/// Ten materials with every kind of evidence, two limits, three aims, weights in an order.
fn workshop() -> (Shop, Duty, Preference) {
    let mut shop = Shop::with(3, Scale::Log);
    let shared = [Bias {
        calibration: "frame-1".into(),
        kind: BiasKind::Gain,
        slope: 0.03,
    }];
    for k in 0..10_u32 {
        let id = format!("m{k}");
        shop.material(&id);
        let y = 8.0 + f64::from(k * 7 % 10);
        shop.read_on(&id, "c1", &exact(&[y, 1.1 * y, 0.95 * y]), &shared);
        match k {
            0..=5 => shop.read_on(&id, "c2", &exact(&[20.0 - y, 21.0 - y]), &shared),
            6 => shop.read(&id, "c2", &[Reading::AtLeast(30.0), Reading::AtLeast(32.0)]),
            7 => shop.read(&id, "c2", &[Reading::AtMost(3.0)]),
            8 => shop.state(&id, "c2", 9.0, 0.1),
            _ => {}
        }
        shop.read(&id, "c3", &exact(&[1.0 + 0.1 * f64::from(k), 1.2]));
    }
    let mut duty = Duty::default();
    limit(&mut duty, "c1", LimitSense::AtLeast(9.0), Class::Damage);
    limit_of(
        &mut duty,
        &["c2", "c3"],
        LimitSense::AtLeast(5.0),
        Class::Nuisance,
        |x| x[0] * x[1].sqrt(),
    );
    aim(&mut duty, "hold", "c1", 9.0, 20.0);
    aim(&mut duty, "grip", "c2", 5.0, 30.0);
    aim(&mut duty, "cost", "c3", 2.0, 1.0);
    let order = Preference::Order(vec![
        vec!["hold".to_owned()],
        vec!["grip".to_owned(), "cost".to_owned()],
    ]);
    (shop, duty, order)
}

#[test]
fn leaving_a_candidate_out_changes_nothing_of_the_others() {
    let (shop, duty, order) = workshop();
    let evidence = shop.evidence();
    let ids = shop.ids();
    let judged = |among: &[String]| {
        judge(&Request {
            duty: &duty,
            evidence: &evidence,
            among,
            preference: &order,
            seed: 3,
            draws: 4_096,
        })
    };
    let all = judged(&ids);
    let mut standings: Vec<Standing> = all.candidates.iter().map(|c| c.standing).collect();
    standings.dedup();
    assert!(
        standings.len() > 2,
        "a workshop worth judging: {standings:?}"
    );
    for out in &ids {
        let rest: Vec<String> = ids.iter().filter(|id| *id != out).cloned().collect();
        let without = judged(&rest);
        for c in &without.candidates {
            let before = of(&all, &c.material);
            assert_eq!(c.standing, before.standing);
            assert_eq!(c.causes, before.causes);
            assert_eq!(c.score.to_bits(), before.score.to_bits());
            assert_eq!(c.meets_all, before.meets_all);
            assert_eq!(format!("{:?}", c.limits), format!("{:?}", before.limits));
            assert_eq!(c.aims, before.aims);
        }
    }
}

#[test]
fn threads_change_no_byte() {
    let (shop, duty, order) = workshop();
    let with = |threads: usize| {
        rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .expect("a pool")
            .install(|| format!("{:?}", shop.judge(&duty, &order, DRAWS)))
    };
    let one = with(1);
    assert_eq!(one, with(2));
    assert_eq!(one, with(7));
}

#[test]
fn another_seed_moves_figures_by_their_standard_errors_only() {
    let (shop, duty, order) = workshop();
    let evidence = shop.evidence();
    let ids = shop.ids();
    let with = |seed| {
        judge(&Request {
            duty: &duty,
            evidence: &evidence,
            among: &ids,
            preference: &order,
            seed,
            draws: DRAWS,
        })
    };
    let (a, b) = (with(1), with(2));
    for c in &a.candidates {
        let d = of(&b, &c.material);
        let se = c.score_se.hypot(d.score_se);
        assert!(
            (c.score - d.score).abs() < 4.5 * se + 1e-12,
            "{}",
            c.material
        );
    }
}

#[test]
fn the_order_of_files_does_not_matter() {
    let (shop, duty, order) = workshop();
    let mut turned = shop.clone();
    turned.materials.reverse();
    turned.runs.reverse();
    turned.stated.reverse();
    let (a, b) = (
        shop.judge(&duty, &order, FEW),
        turned.judge(&duty, &order, FEW),
    );
    let ids = |j: &Judgement| -> Vec<String> {
        j.candidates.iter().map(|c| c.material.clone()).collect()
    };
    assert_eq!(ids(&a), ids(&b));
    for (x, y) in a.candidates.iter().zip(&b.candidates) {
        assert_eq!(x.standing, y.standing);
        assert!((x.score - y.score).abs() < 1e-9);
        assert_eq!(x.rank_range, y.rank_range);
    }
}

/// The standing of one material with these readings under a limit, beside others that lend spread.
fn stands(readings: &[Reading], sense: LimitSense, class: Class) -> Standing {
    let mut shop = Shop::with(1, Scale::Log);
    for (k, y) in [7.0, 11.0, 13.0].iter().enumerate() {
        let id = format!("other-{k}");
        shop.material(&id);
        shop.read(&id, "c1", &exact(&[*y, 1.15 * y, 0.9 * y]));
    }
    shop.material("m");
    shop.read("m", "c1", readings);
    let mut duty = Duty::default();
    limit(&mut duty, "c1", sense, class);
    of(&shop.judge(&duty, &points(&[]), FEW), "m").standing
}

const CLASSES: [Class; 4] = Class::ALL;

fn a_reading() -> impl Strategy<Value = Reading> {
    prop_oneof![
        4 => (5.0..20.0).prop_map(Reading::Exact),
        1 => (5.0..20.0).prop_map(Reading::AtLeast),
        1 => (5.0..20.0).prop_map(Reading::AtMost),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn shifting_all_readings_for_the_better_never_lowers_a_standing(
        readings in prop::collection::vec(a_reading(), 1..5),
        by in 1.0_f64..3.0,
        class in 0_usize..4,
    ) {
        let better: Vec<Reading> = readings.iter().map(|r| r.map(|y| y * by)).collect();
        let worse: Vec<Reading> = readings.iter().map(|r| r.map(|y| y / by)).collect();
        let at_least = LimitSense::AtLeast(9.0);
        let at_most = LimitSense::AtMost(9.0);
        let class = CLASSES[class];
        prop_assert!(stands(&better, at_least, class) <= stands(&readings, at_least, class));
        prop_assert!(stands(&worse, at_most, class) <= stands(&readings, at_most, class));
    }

    #[test]
    fn a_stronger_bound_never_lowers_a_standing(
        readings in prop::collection::vec(5.0_f64..20.0, 1..4),
        by in 1.0_f64..3.0,
        class in 0_usize..4,
    ) {
        let class = CLASSES[class];
        let bounds = |f: fn(f64) -> Reading, by: f64| -> Vec<Reading> {
            readings.iter().map(|y| f(y * by)).collect()
        };
        let at_least = LimitSense::AtLeast(9.0);
        prop_assert!(
            stands(&bounds(Reading::AtLeast, by), at_least, class)
                <= stands(&bounds(Reading::AtLeast, 1.0), at_least, class)
        );
        let at_most = LimitSense::AtMost(9.0);
        prop_assert!(
            stands(&bounds(Reading::AtMost, 1.0 / by), at_most, class)
                <= stands(&bounds(Reading::AtMost, 1.0), at_most, class)
        );
    }

    #[test]
    fn a_harsher_class_never_turns_a_non_fit_into_a_fit(
        y in 8.0_f64..16.0,
        z in 8.0_f64..16.0,
        classes in (0_usize..4, 0_usize..4),
        raised in (0_usize..4, 0_usize..4),
    ) {
        let mut shop = Shop::with(2, Scale::Log);
        shop.material("m");
        // Six specimens of three prints serve every class.
        for k in [0.97, 1.0, 1.03] {
            shop.read("m", "c1", &exact(&[y * k, 1.05 * y * k]));
            shop.read("m", "c2", &exact(&[z * k, 1.05 * z * k]));
        }
        let fit = |a: usize, b: usize| {
            let mut duty = Duty::default();
            limit(&mut duty, "c1", LimitSense::AtLeast(9.0), CLASSES[a.min(3)]);
            limit(&mut duty, "c2", LimitSense::AtLeast(9.0), CLASSES[b.min(3)]);
            of(&shop.judge(&duty, &points(&[]), FEW), "m").standing == Standing::Fit
        };
        let (a, b) = classes;
        prop_assert!(fit(a, b) || !fit(a + raised.0, b + raised.1));
    }
}
