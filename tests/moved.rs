//! What new readings changed: which run did it, and whether by level, spread or evidence.

use crate::synthetic::{Shop, aim, limit};
use dutyfit::advise::{CaseMoves, Change, Doers, Driver, Posed, moves};
use dutyfit::belief::{Evidence, Oddity};
use dutyfit::bench::{Curve, Value};
use dutyfit::duty::{Duty, LimitSense, Preference};
use dutyfit::judge::Standing;
use dutyfit::policy::Class;
use dutyfit::property::Scale;
use dutyfit::quantity::Reading;

fn exact(figures: &[f64]) -> Vec<Reading> {
    figures.iter().map(|y| Reading::Exact(*y)).collect()
}

/// A shop in which four materials have a pool of scatter of about 3 %.
fn shop() -> Shop {
    let mut shop = Shop::with(2, Scale::Log);
    for id in ["a", "b", "c", "d"] {
        shop.material(id);
    }
    for (id, middle) in [("a", 20.0), ("b", 26.0), ("c", 30.0), ("d", 15.0)] {
        let around = [0.97, 1.0, 1.03].map(|x| x * middle);
        shop.read(id, "c1", &exact(&around));
        shop.read(id, "c1", &exact(&around));
    }
    shop
}

fn duty(at_least: f64) -> Duty {
    let mut duty = Duty::default();
    limit(
        &mut duty,
        "c1",
        LimitSense::AtLeast(at_least),
        Class::Damage,
    );
    aim(&mut duty, "hold", "c1", 10.0, 40.0);
    duty
}

fn found(duty: &Duty, before: &Shop, after: &Shop) -> Vec<CaseMoves> {
    let runs: Vec<String> = after
        .runs
        .iter()
        .map(|r| r.run.id.clone())
        .filter(|id| !before.runs.iter().any(|r| r.run.id == *id))
        .collect();
    let without = |unchanged: &[String]| -> Evidence {
        let mut shop = after.clone();
        shop.runs.retain(|r| !unchanged.contains(&r.run.id));
        shop.evidence()
    };
    let (was, is) = (before.evidence(), after.evidence());
    let change = Change {
        before: &was,
        after: &is,
        runs: &runs,
        without: &without,
    };
    let preference = Preference::Order(vec![vec!["hold".to_owned()]]);
    let posed = [Posed {
        name: "shelf",
        duty,
        preference: &preference,
    }];
    moves(&posed, &after.ids(), change, 1)
}

#[test]
fn the_run_that_did_it_is_found_by_leaving_each_out() {
    let before = shop();
    let mut after = before.clone();
    // r-9 says what was known, r-10 that the next print was far weaker.
    after.read("b", "c1", &exact(&[25.5, 26.0, 26.5]));
    after.read("b", "c1", &exact(&[15.0, 15.2, 14.8]));
    let moved = found(&duty(20.0), &before, &after);
    let [case] = moved.as_slice() else {
        panic!("{moved:#?}")
    };
    let b = case.moves.iter().find(|m| m.material == "b");
    let b = b.unwrap_or_else(|| panic!("{case:#?}"));
    assert_eq!(b.before, Standing::Fit);
    assert!(b.worse() && b.own);
    assert_eq!(b.by, Doers::Each(vec!["r-10".to_owned()]));
}

#[test]
fn either_of_two_equal_runs_is_named_as_such() {
    let before = shop();
    let mut after = before.clone();
    after.read("a", "c1", &exact(&[30.0, 30.5, 31.0]));
    after.read("a", "c1", &exact(&[30.0, 30.5, 31.0]));
    let moved = found(&duty(21.5), &before, &after);
    let a = moved
        .iter()
        .flat_map(|c| &c.moves)
        .find(|m| m.material == "a")
        .unwrap_or_else(|| panic!("{moved:#?}"));
    assert!(!a.worse());
    let alone = Doers::AnyOne(vec!["r-9".to_owned(), "r-10".to_owned()]);
    assert_eq!(a.by, alone, "{a:#?}");
}

#[test]
fn a_fall_by_spread_alone_is_told_as_that() {
    let before = shop();
    let mut after = before.clone();
    // The same middle as before, and somewhat higher, but one print far below the other.
    after.read("b", "c1", &exact(&[31.5, 32.0]));
    after.read("b", "c1", &exact(&[22.8, 23.0]));
    let moved = found(&duty(23.4), &before, &after);
    let b = moved
        .iter()
        .flat_map(|c| &c.moves)
        .find(|m| m.material == "b")
        .unwrap_or_else(|| panic!("{moved:#?}"));
    assert!(b.worse());
    let (was, is) = b.limit.as_ref().expect("a limit");
    let (was, is) = (was.predicted.expect("said"), is.predicted.expect("said"));
    assert!(is.median >= was.median, "{was:?} {is:?}");
    assert_eq!(b.driver, Driver::SpreadAlone);
}

#[test]
fn a_first_reading_is_told_as_evidence_and_moves_the_first_place() {
    let before = {
        let mut s = shop();
        s.runs.retain(|r| r.run.material.as_deref() != Some("c"));
        s
    };
    let after = shop();
    let moved = found(&duty(15.0), &before, &after);
    let [case] = moved.as_slice() else {
        panic!("{moved:#?}")
    };
    let c = case
        .moves
        .iter()
        .find(|m| m.material == "c")
        .expect("moved");
    assert_eq!((c.before, c.after), (Standing::NotKnown, Standing::Fit));
    assert_eq!(c.driver, Driver::Evidence);
    let first = case.first.as_ref().expect("a new first");
    assert_eq!(first.before.first().map(String::as_str), Some("b"));
    assert_eq!(first.after.first().map(String::as_str), Some("c"));
}

#[test]
fn nothing_moves_where_nothing_is_asked_of_what_was_read() {
    let before = shop();
    let mut after = before.clone();
    after.read("a", "c2", &exact(&[1.0, 2.0]));
    assert_eq!(found(&duty(20.0), &before, &after), []);
}

#[test]
fn a_reading_far_from_its_fellows_sits_oddly_and_a_near_one_does_not() {
    let mut shop = shop();
    shop.read("a", "c1", &exact(&[20.5]));
    shop.read("a", "c1", &exact(&[20.0 * 9.806_65]));
    let odd = shop.evidence().odd(&["r-9".to_owned(), "r-10".to_owned()]);
    let [o] = odd.as_slice() else {
        panic!("{odd:#?}")
    };
    assert_eq!((o.run.as_str(), o.specimen), ("r-10", 1));
    let Oddity::Apart {
        middle,
        spreads,
        others,
        elsewhere,
    } = o.why
    else {
        panic!("{o:?}")
    };
    assert!(elsewhere && others == 7 && spreads > 4.0);
    assert!((middle - 20.0).abs() < 1.0, "{middle}");
}

#[test]
fn a_lone_first_run_is_held_against_itself() {
    let mut shop = shop();
    shop.material("e");
    shop.read("e", "c1", &exact(&[50.0, 51.0, 90.0]));
    let odd = shop.evidence().odd(&["r-9".to_owned()]);
    assert_eq!(odd.len(), 1, "{odd:#?}");
    assert_eq!(odd[0].specimen, 3);
}

#[test]
fn a_new_lot_stands_beside_the_earlier_one() {
    let mut shop = shop();
    for r in &mut shop.runs {
        std::sync::Arc::make_mut(&mut r.run).lot = Some("old".to_owned());
    }
    shop.read("a", "c1", &exact(&[9.0, 10.0, 11.0]));
    let last = shop.runs.last_mut().expect("a run");
    std::sync::Arc::make_mut(&mut last.run).lot = Some("new".to_owned());
    let beside = shop.evidence().beside(&["r-9".to_owned()]);
    let [b] = beside.as_slice() else {
        panic!("{beside:#?}")
    };
    let [e] = b.earlier.as_slice() else {
        panic!("{b:#?}")
    };
    assert_eq!(
        (b.lot.as_deref(), e.lot.as_deref()),
        (Some("new"), Some("old"))
    );
    assert_eq!((e.specimens, e.prints), (6, 2));
    // Geometric means 9.967 and 19.994: half.
    assert!((e.new_above + 50.15).abs() < 0.1, "{e:?}");
    assert!(e.told_apart());
}

#[test]
fn curves_of_two_lots_are_held_side_by_side_at_a_time_that_both_reach() {
    let mut shop = shop();
    shop.read("a", "c2", &exact(&[1.0]));
    shop.read("a", "c2", &exact(&[1.0]));
    let curves = [
        Curve::retained(vec![(1.0, 0.9), (100.0, 0.7)]),
        Curve::retained(vec![(1.0, 0.8), (10.0, 0.6)]),
    ];
    for (r, (curve, lot)) in shop
        .runs
        .iter_mut()
        .skip(8)
        .zip(curves.into_iter().zip(["x", "y"]))
    {
        std::sync::Arc::make_mut(&mut r.run).lot = Some(lot.to_owned());
        r.specimens[0].observations[0].value = Value::Curve(curve);
    }
    let beside = shop.evidence().beside(&["r-10".to_owned()]);
    let [b] = beside.as_slice() else {
        panic!("{beside:#?}")
    };
    assert_eq!(b.hours, Some(10.0));
    assert!((b.mean - 0.6).abs() < 1e-12);
    // Halfway in the logarithm of time between 0.9 at 1 h and 0.7 at 100 h.
    assert!((b.earlier[0].mean - 0.8).abs() < 1e-12, "{b:?}");
    assert_eq!(shop.evidence().odd(&["r-10".to_owned()]).len(), 0);
}
