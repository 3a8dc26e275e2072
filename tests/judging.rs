//! Standings and their causes, on evidence made up in the test.

use crate::synthetic::{Shop, aim, limit, limit_of, of};
use dutyfit::belief::Grade;
use dutyfit::duty::{Duty, LimitSense, Preference};
use dutyfit::judge::{Cause, DRAWS, Standing, settle};
use dutyfit::policy::Class;
use dutyfit::property::Scale;
use dutyfit::quantity::Reading;
use std::collections::BTreeMap;

fn no_weights() -> Preference {
    Preference::Points(BTreeMap::new())
}

fn exact(readings: &[f64]) -> Vec<Reading> {
    readings.iter().map(|y| Reading::Exact(*y)).collect()
}

/// One material `m` with these readings of `c1`, under one limit.
fn one(readings: &[Reading], sense: LimitSense, class: Class) -> (Standing, Vec<Cause>) {
    let mut shop = Shop::with(1, Scale::Log);
    shop.material("m");
    shop.material("n");
    shop.read("n", "c1", &exact(&[10.0, 10.5, 9.6, 10.1, 9.9]));
    if !readings.is_empty() {
        shop.read("m", "c1", readings);
    }
    let mut duty = Duty::default();
    limit(&mut duty, "c1", sense, class);
    let judged = shop.judge(&duty, &no_weights(), DRAWS);
    let c = of(&judged, "m");
    (c.standing, c.causes.clone())
}

#[test]
fn each_standing_has_its_cause() {
    let three = exact(&[20.0, 20.5, 19.5]);
    let (standing, causes) = one(&three, LimitSense::AtLeast(10.0), Class::Damage);
    assert_eq!(standing, Standing::Fit, "{causes:?}");
    assert!(matches!(causes[0], Cause::Meets { chance } if chance > 0.95));

    let (standing, causes) = one(&three, LimitSense::AtLeast(40.0), Class::Damage);
    assert_eq!(standing, Standing::RuledOut);
    assert!(
        matches!(causes[0], Cause::Fails { chance, grade: Grade::Measured, .. } if chance < 0.5)
    );

    let (standing, causes) = one(&three, LimitSense::AtLeast(19.0), Class::Damage);
    assert_eq!(standing, Standing::Borderline, "{causes:?}");
    assert!(
        matches!(causes[0], Cause::Short { chance, asked, .. } if chance < asked && (asked - 0.90).abs() < 1e-12)
    );

    let (standing, causes) = one(&three, LimitSense::AtLeast(10.0), Class::Severe);
    assert_eq!(standing, Standing::NotKnown);
    assert!(matches!(
        causes[0],
        Cause::Specimens {
            have: 3,
            asked: 6,
            ..
        }
    ));
    assert!(matches!(
        causes[1],
        Cause::Prints {
            have: 1,
            asked: 3,
            ..
        }
    ));

    let (standing, causes) = one(&[], LimitSense::AtLeast(10.0), Class::Damage);
    assert_eq!(standing, Standing::NotKnown);
    assert!(matches!(causes[0], Cause::Absent { .. }), "{causes:?}");
}

#[test]
fn a_bound_shows_what_it_reaches_and_rules_out_only_from_its_side() {
    let held = [Reading::AtLeast(20.0), Reading::AtLeast(21.0)];
    let (standing, causes) = one(&held, LimitSense::AtLeast(10.0), Class::Damage);
    assert_eq!(standing, Standing::Fit, "{causes:?}");

    // It held 20, and 40 is asked: nobody knows.
    let (standing, causes) = one(&held, LimitSense::AtLeast(40.0), Class::Damage);
    assert_eq!(standing, Standing::NotKnown, "{causes:?}");
    assert!(matches!(causes[0], Cause::BoundOpen { chance_as_exact, .. } if chance_as_exact < 0.5));

    // It held no more than 20, and 40 is asked: it fails.
    let failed = [Reading::AtMost(20.0), Reading::AtMost(21.0)];
    let (standing, causes) = one(&failed, LimitSense::AtLeast(40.0), Class::Damage);
    assert_eq!(standing, Standing::RuledOut, "{causes:?}");
    // The same bound shows an at-most limit above it, and leaves an at-least limit below it open.
    let (standing, causes) = one(&failed, LimitSense::AtMost(40.0), Class::Damage);
    assert_eq!(standing, Standing::Fit, "{causes:?}");
}

#[test]
fn a_bound_from_one_side_invents_neither_typical_figure_nor_chance() {
    let with = |reading: fn(f64) -> Reading| {
        let mut shop = Shop::with(1, Scale::Log);
        shop.material("m");
        shop.material("n");
        shop.read("n", "c1", &exact(&[90.0, 100.0, 110.0]));
        shop.read("m", "c1", &[reading(20.0), reading(20.0)]);
        let mut duty = Duty::default();
        limit(&mut duty, "c1", LimitSense::AtLeast(40.0), Class::Damage);
        of(&shop.judge(&duty, &no_weights(), DRAWS), "m").clone()
    };
    let held = with(Reading::AtLeast);
    let l = &held.limits[0];
    assert!(
        matches!(l.typical(), Some(Reading::AtLeast(x)) if (x / 20.0 - 1.0).abs() < 0.05),
        "{l:?}"
    );
    // What other materials showed says nothing of this one.
    assert!(l.chance.unwrap() > 0.5, "{l:?}");
    assert!(held.meets_all.unwrap() < 0.05, "{held:?}");
    assert_eq!(held.meets_all, l.chance_as_exact);
    let l = &with(Reading::Exact).limits[0];
    assert!(matches!(l.typical(), Some(Reading::Exact(_))));
    assert_eq!(l.bounded, None);
}

#[test]
fn a_bound_acts_through_a_falling_formula_the_other_way() {
    // Wear depth falls where life per depth (c1) rises: `c1 >= 20` bounds 100 / c1 from above.
    let with = |reading: fn(f64) -> Reading, most: f64| {
        let mut shop = Shop::with(1, Scale::Log);
        shop.material("m");
        shop.material("n");
        shop.read("n", "c1", &exact(&[10.0, 10.5, 9.6, 10.1, 9.9]));
        shop.read("m", "c1", &[reading(20.0), reading(20.0)]);
        let mut duty = Duty::default();
        limit_of(
            &mut duty,
            &["c1"],
            LimitSense::AtMost(most),
            Class::Damage,
            |x| 100.0 / x[0],
        );
        of(&shop.judge(&duty, &no_weights(), DRAWS), "m").standing
    };
    assert_eq!(with(Reading::AtLeast, 10.0), Standing::Fit);
    assert_eq!(with(Reading::AtLeast, 2.0), Standing::NotKnown);
    assert_eq!(with(Reading::AtMost, 2.0), Standing::RuledOut);
}

#[test]
fn a_stated_value_does_for_a_nuisance_only() {
    let mut shop = Shop::with(1, Scale::Log);
    shop.material("m");
    shop.state("m", "c1", 30.0, 0.1);
    let with = |class| {
        let mut duty = Duty::default();
        limit(&mut duty, "c1", LimitSense::AtLeast(10.0), class);
        let judged = shop.judge(&duty, &no_weights(), DRAWS);
        (of(&judged, "m").standing, of(&judged, "m").causes.clone())
    };
    assert_eq!(with(Class::Nuisance).0, Standing::Fit);
    let (standing, causes) = with(Class::Damage);
    assert_eq!(standing, Standing::NotKnown);
    assert!(matches!(causes[0], Cause::Stated { .. }));
}

#[test]
fn limits_of_geometry_are_certain() {
    let mut shop = Shop::with(1, Scale::Log);
    shop.material("m");
    let with = |clearance: f64| {
        let mut duty = Duty::default();
        limit_of(
            &mut duty,
            &[],
            LimitSense::AtLeast(0.0),
            Class::Severe,
            move |_| clearance,
        );
        of(&shop.judge(&duty, &no_weights(), DRAWS), "m").clone()
    };
    assert_eq!(with(0.5).standing, Standing::Fit);
    assert_eq!(with(0.5).meets_all, Some(1.0));
    let ruled_out = with(-0.5);
    assert_eq!(ruled_out.standing, Standing::RuledOut);
    assert_eq!(ruled_out.limits[0].predicted.map(|p| p.high), Some(-0.5));
}

#[test]
fn a_formula_without_a_figure_is_not_met() {
    let mut shop = Shop::with(1, Scale::Log);
    shop.material("m");
    shop.read("m", "c1", &exact(&[2.0, 2.1]));
    let mut duty = Duty::default();
    limit_of(
        &mut duty,
        &["c1"],
        LimitSense::AtLeast(0.0),
        Class::Damage,
        |x| (-x[0]).sqrt(),
    );
    let judged = shop.judge(&duty, &no_weights(), DRAWS);
    let c = of(&judged, "m");
    assert_eq!(c.standing, Standing::RuledOut);
    assert_eq!(c.limits[0].chance, Some(0.0));
    assert_eq!(c.limits[0].predicted, None);
}

#[test]
fn what_cannot_be_said_is_none() {
    let mut shop = Shop::with(2, Scale::Log);
    shop.material("m");
    shop.read("m", "c1", &exact(&[20.0, 21.0]));
    let mut duty = Duty::default();
    limit(&mut duty, "c1", LimitSense::AtLeast(10.0), Class::Damage);
    limit(&mut duty, "c2", LimitSense::AtLeast(10.0), Class::Damage);
    aim(&mut duty, "hold", "c2", 0.0, 1.0);
    let judged = shop.judge(&duty, &no_weights(), DRAWS);
    let c = of(&judged, "m");
    assert_eq!(c.meets_all, None);
    assert!(c.limits[0].chance.is_some());
    assert_eq!(c.limits[1].chance, None);
    assert_eq!(c.limits[1].predicted, None);
    assert_eq!(c.aims[0].median, None);
    assert_eq!(c.limits[1].weakest, "c2");
    assert!((judged.nothing_serves - 1.0).abs() < 1e-12);
}

#[test]
fn no_candidates_and_no_limits_are_answered() {
    let shop = Shop::with(1, Scale::Log);
    let judged = shop.judge(&Duty::default(), &no_weights(), DRAWS);
    assert!(judged.candidates.is_empty());
    assert!((judged.nothing_serves - 1.0).abs() < 1e-12);
    let mut shop = Shop::with(1, Scale::Log);
    shop.material("m");
    let judged = shop.judge(&Duty::default(), &no_weights(), DRAWS);
    assert_eq!(of(&judged, "m").standing, Standing::Fit);
    assert!((of(&judged, "m").score - 1.0).abs() < 1e-12);
    assert_eq!(settle(&no_weights(), &[]).skipped, Vec::<String>::new());
}
