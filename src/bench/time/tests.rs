use super::{Curve, HELD_EXPONENT, RETAINED_FLOOR, TimeFit, Told, at_life, at_life_beside};
use proptest::prelude::*;

fn near(a: f64, b: f64, rel: f64) -> bool {
    (a - b).abs() <= rel * b.abs()
}

/// A modulus whose strain follows Findley's law exactly.
fn findley_curve(times: &[f64], y0: f64, m: f64, n: f64) -> Curve {
    Curve::modulus(
        times
            .iter()
            .map(|t| (*t, 1.0 / (y0 + m * t.powf(n))))
            .collect(),
    )
}

#[test]
fn findleys_own_law_comes_back_exactly() {
    for n in [0.05, 0.2, 0.5, 0.9] {
        let c = findley_curve(&[0.1, 1.0, 10.0, 100.0, 300.0], 4e-4, 8e-5, n);
        let f = at_life(&c, 1000.0, 0.0).expect("a fit");
        let truth = 1.0 / (4e-4 + 8e-5 * 1000_f64.powf(n));
        assert!(near(f.findley, truth, 1e-5), "n {n}: {f:?}");
        assert!(near(f.exponent, n, 1e-3), "n {n}: {f:?}");
        assert!(!f.exponent_held);
    }
}

#[test]
fn the_unit_of_value_and_the_order_of_readings_do_not_matter() {
    let c = findley_curve(&[0.0, 0.1, 1.0, 10.0, 100.0], 4e-4, 8e-5, 0.2);
    let mut turned = c.clone();
    turned.points.reverse();
    let mut scaled = c.clone();
    for p in &mut scaled.points {
        p.1 *= 7.0;
    }
    let f = at_life(&c, 5000.0, 0.05).expect("a fit");
    assert_eq!(at_life(&turned, 5000.0, 0.05), Some(f));
    let s = at_life(&scaled, 5000.0, 0.05).expect("a fit");
    assert!(near(s.value, 7.0 * f.value, 1e-9));
    assert!(near(s.added_variance, f.added_variance, 1e-6));
}

#[test]
fn both_laws_weigh_the_same_and_drift_adds_past_the_last_reading() {
    let c = findley_curve(&[1.0, 3.0, 10.0, 30.0, 100.0], 4e-4, 8e-5, 0.4);
    let inside = at_life(&c, 50.0, 0.05).expect("a fit");
    assert!(inside.decades_beyond == 0.0 && inside.drift_variance == 0.0);
    let f = at_life(&c, 1000.0, 0.05).expect("a fit");
    assert!(near(f.decades_beyond, 1.0, 1e-12));
    assert!(near(f.drift_variance, 0.05 * 0.05, 1e-9));
    assert!(near(f.added_variance, parts(&f), 1e-12));
    // The middle of both laws, but for what the readings leave open in each.
    let middle = (f.findley * f.log_time).sqrt();
    assert!((f.value / middle).ln().powi(2) < f.fit_variance, "{f:?}");
    let gap = (f.findley / f.log_time).ln() / 2.0;
    assert!(near(f.laws_variance, gap * gap, 0.5), "{f:?}");
    let no_drift = at_life(&c, 1000.0, 0.0).expect("a fit");
    assert!(near(no_drift.value, f.value, 1e-12) && no_drift.drift_variance == 0.0);
}

fn parts(f: &TimeFit) -> f64 {
    f.fit_variance + f.laws_variance + f.drift_variance
}

#[test]
fn what_the_readings_leave_open_is_part_of_the_answer() {
    let wobble = |by: f64| {
        let times = [0.1, 0.5, 2.0, 10.0, 50.0, 200.0, 500.0];
        let mut c = findley_curve(&times, 4e-4, 8e-5, 0.2);
        for (i, p) in c.points.iter_mut().enumerate() {
            p.1 *= 1.0 + if i % 2 == 0 { by } else { -by };
        }
        at_life(&c, 5000.0, 0.05).expect("a fit")
    };
    assert!(wobble(0.03).fit_variance > 4.0 * wobble(0.003).fit_variance);
    // Exact readings are not certainty.
    assert!(wobble(0.0).fit_variance > 0.0);
    assert!(!wobble(0.0).correlation_held);
}

#[test]
fn few_readings_say_less_than_many() {
    let open = |n: u32| {
        let c = Curve::modulus(
            (0..n)
                .map(|i| {
                    let t = 0.1 * 5000_f64.powf(f64::from(i) / f64::from(n - 1));
                    (t, 1.0 / (4e-4 + 3e-5 * t.log10()))
                })
                .collect(),
        );
        at_life(&c, 5000.0, 0.05).expect("a fit")
    };
    let (two, four, nine) = (open(2), open(4), open(9));
    assert!(two.exponent_held && !four.exponent_held);
    assert!(four.correlation_held && !nine.correlation_held);
    assert!(two.added_variance > four.added_variance);
    assert!(four.added_variance > nine.added_variance);
}

#[test]
fn readings_that_end_in_steady_flow_are_seen_to() {
    let times = [0.1, 0.5, 2.0, 10.0, 25.0, 50.0, 100.0];
    let flowing = Curve::modulus(
        times
            .iter()
            .map(|t| (*t, 1.0 / (4e-4 + 1e-4 * (1.0 - f64::exp(-t)) + 4e-6 * t)))
            .collect(),
    );
    let truth = 1.0 / (4e-4 + 1e-4 + 4e-6 * 1000.0);
    let f = at_life(&flowing, 1000.0, 0.05).expect("a fit");
    assert!(f.flow > 0.5, "{f:?}");
    assert!(
        (f.value / truth).ln().abs() < 1.645 * f.added_variance.sqrt(),
        "{f:?}"
    );
    let solid = findley_curve(&times, 4e-4, 8e-5, 0.2);
    assert!(at_life(&solid, 1000.0, 0.05).is_some_and(|f| f.flow == 0.0));
    // Within the readings flow is no matter.
    assert!(at_life(&flowing, 100.0, 0.05).is_some_and(|f| f.flow == 0.0));
}

#[test]
fn few_readings_hold_the_exponent_and_still_pass_through_two() {
    let c = Curve::retained(vec![(1.0, 0.9), (10.0, 0.8)]);
    let f = at_life(&c, 10.0, 0.05).expect("a fit");
    assert!(f.exponent_held && near(f.exponent, HELD_EXPONENT, 1e-12));
    assert!(near(f.value, 0.8, 1e-9), "{f:?}");
    let far = at_life(&c, 100.0, 0.05).expect("a fit");
    assert!(near(far.log_time, 0.7, 1e-9), "{far:?}");
    let findley = 0.9 - 0.1 * (100_f64.powf(0.25) - 1.0) / (10_f64.powf(0.25) - 1.0);
    assert!(near(far.findley, findley, 1e-9), "{far:?}");
}

#[test]
fn too_little_gives_nothing() {
    assert!(at_life(&Curve::modulus(vec![]), 10.0, 0.05).is_none());
    assert!(
        at_life(
            &Curve::modulus(vec![(0.0, 900.0), (1.0, 800.0)]),
            10.0,
            0.05
        )
        .is_none()
    );
    assert!(
        at_life(
            &Curve::modulus(vec![(1.0, 900.0), (1.0, 800.0)]),
            10.0,
            0.05
        )
        .is_none()
    );
    let c = Curve::modulus(vec![(1.0, 900.0), (10.0, 800.0)]);
    for life in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(at_life(&c, life, 0.05).is_none());
    }
}

#[test]
fn scatter_that_runs_backwards_extrapolates_level() {
    let c = Curve::modulus(vec![(1.0, 800.0), (10.0, 802.0), (100.0, 805.0)]);
    let [near_by, far] = [1e2, 1e5].map(|h| at_life(&c, h, 0.0).expect("a fit"));
    assert!(near(near_by.value, far.value, 1e-9), "{far:?}");
    assert!((800.0..=805.0).contains(&far.value), "{far:?}");
    // It may creep all the same, by less than the readings would show.
    assert!(far.fit_variance > near_by.fit_variance);
}

#[test]
fn a_share_never_goes_below_the_floor() {
    // 16 % a decade from one minute on: 1 - 0.16 x 6.72 at ten years is below nothing.
    let minute = 1.0 / 60.0;
    let c = Curve::retained(
        [1.0, 10.0, 100.0, 1000.0]
            .iter()
            .map(|k: &f64| (k * minute, 1.0 - 0.16 * k.log10()))
            .collect(),
    );
    let f = at_life(&c, 87_660.0, 0.05).expect("a fit");
    assert!(near(f.log_time, RETAINED_FLOOR, 1e-12));
    assert!(f.value >= RETAINED_FLOOR && f.decades_beyond > 3.0, "{f:?}");
    // Two laws keep nothing and the inverse levels out: that is wide, and no bound.
    assert!(near(f.findley, RETAINED_FLOOR, 1e-12));
    assert!(f.inverse.is_some_and(|x| x > 0.1), "{f:?}");
    assert!(!f.nothing_kept && f.added_variance > 1.0, "{f:?}");
    let gone = Curve::retained(vec![
        (1.0, 1.0),
        (10.0, 0.1),
        (100.0, 0.01),
        (1000.0, 0.001),
    ]);
    let f = at_life(&gone, 1e6, 0.05).expect("a fit");
    assert!(f.nothing_kept && f.value >= RETAINED_FLOOR, "{f:?}");
    let sooner = at_life(&gone, 3.0, 0.05).expect("a fit");
    assert!(!sooner.nothing_kept, "{sooner:?}");
}

#[test]
fn a_life_before_the_first_reading_is_read_at_the_first() {
    let c = findley_curve(&[1.0, 3.0, 10.0, 30.0], 4e-4, 8e-5, 0.3);
    let first = at_life(&c, 1.0, 0.05).expect("a fit");
    let before = at_life(&c, 0.01, 0.05).expect("a fit");
    assert!(near(before.value, first.value, 1e-12));
}

#[test]
fn what_one_curve_cannot_tell_its_fellows_may() {
    let times = [0.1, 1.0, 10.0, 100.0, 500.0];
    let creeping = |scale: f64, wobble: f64| {
        let mut c = findley_curve(&times, 4e-4 * scale, 8e-5 * scale, 0.2);
        for (i, p) in c.points.iter_mut().enumerate() {
            p.1 *= 1.0 + if i % 2 == 0 { wobble } else { -wobble };
        }
        c
    };
    let noisy = creeping(1.0, 0.03);
    let fellows = [
        creeping(1.1, 0.002),
        creeping(0.9, -0.002),
        creeping(1.2, 0.001),
    ];
    let mut told: Vec<Told> = fellows.iter().map(Told::by).collect();
    let forth = Told::all(&told);
    told.reverse();
    assert_eq!(Told::all(&told), forth);
    let alone = at_life(&noisy, 5000.0, 0.05).expect("a fit");
    let beside = at_life_beside(&noisy, 5000.0, 0.05, &forth).expect("a fit");
    let exponent = |f: &TimeFit| f.fit_variance - f.noise_variance;
    assert!(
        exponent(&beside) < 0.5 * exponent(&alone),
        "{alone:?} {beside:?}"
    );
    let own = Told::by(&noisy);
    let without = Told::all(&[forth, own]).without(&own);
    let again = at_life_beside(&noisy, 5000.0, 0.05, &without).expect("a fit");
    assert!(near(again.value, beside.value, 1e-9));
    assert!(beside.averaged_out(1.0) == 0.0);
    assert!(near(
        beside.averaged_out(4.0),
        0.75 * beside.noise_variance,
        1e-12
    ));
}

proptest! {
    #[test]
    fn any_readings_give_a_bounded_answer(
        steps in prop::collection::vec((0.05..3.0_f64, 0.5..2.0_f64), 2..12),
        life in -2.0..9.0_f64,
        retained in any::<bool>(),
    ) {
        let mut t = 0.01;
        let points: Vec<(f64, f64)> = steps
            .iter()
            .map(|(step, v)| {
                t *= 10_f64.powf(*step / 3.0);
                (t, if retained { 0.5 * v } else { 1000.0 * v })
            })
            .collect();
        let c = if retained { Curve::retained(points) } else { Curve::modulus(points) };
        let f = at_life(&c, 10_f64.powf(life), 0.05).expect("a fit");
        prop_assert!(f.value > 0.0 && f.value.is_finite(), "{f:?}");
        prop_assert!((0.0..1.0).contains(&f.flow), "{f:?}");
        let widest = (1.0 + f.decades_beyond).powi(2) * 20.0;
        prop_assert!(f.added_variance > 0.0 && f.added_variance < widest, "{f:?}");
        prop_assert!(near(f.added_variance, parts(&f), 1e-9), "{f:?}");
    }
}
