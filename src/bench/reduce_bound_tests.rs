//! What a bounded cell and a rig's resolution do to what is reduced from them.

use super::*;
use crate::bench::{Channel, Curve, Point, RawCells};
use crate::property::Condition;
use proptest::prelude::*;

/// A ratio, a curve over `n` lines, and a figure that only stands below a limit.
struct Ratio;

/// Above this `bottom` the second property leaves its validity.
const LIMIT: f64 = 10.0;

const COLUMNS: &[Column] = &[
    Column::number("top", Need::Each, "N", 0.2, 0.0, "numerator"),
    Column::number("bottom", Need::Once, "mm", 0.1, 0.0, "denominator"),
    Column::number("time", Need::Optional, "h", 0.0, 0.0, "a set value"),
    Column::word("word", Need::Optional, &["a"], "no figure"),
];

impl BenchTest for Ratio {
    fn id(&self) -> &'static str {
        "ratio"
    }
    fn title(&self) -> &'static str {
        "ratio"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[]
    }
    fn gives(&self) -> &'static [&'static str] {
        &["tensile-strength", "density", "creep-modulus"]
    }
    fn formulas(&self) -> &'static [&'static str] {
        &[]
    }
    fn howto(&self) -> crate::bench::HowTo {
        crate::bench::HowTo {
            measure: ["", ""],
            beware: ["", ""],
            specimens: 1,
            lines: 1,
        }
    }
    fn reduce(&self, s: &Specimen, out: &mut Reduction) {
        let (Some(top), Some(bottom)) = (s.once("top"), s.once("bottom")) else {
            return;
        };
        if bottom < LIMIT {
            out.give(s, "density", Reading::Exact(bottom));
        }
        out.give(s, "tensile-strength", s.outcome().reading(top / bottom));
        let curve = s.pairs("time", "top");
        if curve.len() > 1 {
            out.give_curve(s, "creep-modulus", Curve::modulus(curve));
        }
        out.step("R1", "ratio", top / bottom, "MPa");
    }
}

fn specimen(cells: &[(&'static str, Reading)]) -> Specimen {
    Specimen {
        number: 1,
        operator: None,
        points: vec![Point {
            cells: cells.iter().map(|(c, r)| (*c, Cell::Number(*r))).collect(),
            outcome: Outcome::Measured,
        }],
        condition: Condition::default(),
        density_g_cm3: None,
        hammer_j: None,
    }
}

fn reduced(s: &Specimen, rig: &Rig) -> ReducedSpecimen {
    reduce_specimen(&Ratio, s, rig, &Properties::default(), Steps::Kept)
}

fn now(r: &ReducedSpecimen, property: &str) -> Option<Reading> {
    r.observations
        .iter()
        .find(|o| o.property.as_str() == property)
        .and_then(|o| match o.value {
            Value::Now(r) => Some(r),
            Value::Curve(_) => None,
        })
}

fn ratio(top: Reading, bottom: Reading) -> ReducedSpecimen {
    reduced(
        &specimen(&[("top", top), ("bottom", bottom)]),
        &Rig::default(),
    )
}

fn refusal<'a>(r: &'a ReducedSpecimen, property: &str) -> Option<&'a str> {
    r.refused
        .iter()
        .find(|f| f.property.as_str() == property)
        .map(|f| f.code.as_str())
}

use Reading::{AtLeast, AtMost, Between, Exact};

#[test]
fn a_bound_turns_over_where_the_formula_falls() {
    let strength = |top, bottom| now(&ratio(top, bottom), "tensile-strength");
    assert_eq!(strength(Exact(8.0), Exact(2.0)), Some(Exact(4.0)));
    assert_eq!(strength(AtLeast(8.0), Exact(2.0)), Some(AtLeast(4.0)));
    assert_eq!(strength(AtMost(8.0), Exact(2.0)), Some(AtMost(4.0)));
    assert_eq!(strength(Exact(8.0), AtLeast(2.0)), Some(AtMost(4.0)));
    assert_eq!(strength(Exact(8.0), AtMost(2.0)), Some(AtLeast(4.0)));
    assert_eq!(
        strength(Between(6.0, 8.0), Exact(2.0)),
        Some(Between(3.0, 4.0))
    );
    assert_eq!(
        strength(Exact(8.0), Between(2.0, 4.0)),
        Some(Between(2.0, 4.0))
    );
}

#[test]
fn two_bounds_that_pull_the_same_way_stay_and_others_are_refused() {
    let same = ratio(AtLeast(8.0), AtMost(2.0));
    assert_eq!(now(&same, "tensile-strength"), Some(AtLeast(4.0)));
    let opposed = ratio(AtLeast(8.0), AtLeast(2.0));
    assert_eq!(now(&opposed, "tensile-strength"), None);
    assert_eq!(
        refusal(&opposed, "tensile-strength"),
        Some("bench::bounds-conflict")
    );
}

#[test]
fn an_outcome_and_a_bounded_cell_meet_in_one_bound() {
    let mut s = specimen(&[("top", AtLeast(8.0)), ("bottom", Exact(2.0))]);
    s.points[0].outcome = Outcome::NoBreak;
    assert_eq!(
        now(&reduced(&s, &Rig::default()), "tensile-strength"),
        Some(AtLeast(4.0))
    );
    s.points[0].cells.insert("top", Cell::Number(AtMost(8.0)));
    let r = reduced(&s, &Rig::default());
    assert_eq!(now(&r, "tensile-strength"), None);
    assert_eq!(
        refusal(&r, "tensile-strength"),
        Some("bench::bounds-conflict")
    );
}

#[test]
fn what_a_bounded_cell_does_not_touch_stays_exact() {
    let r = ratio(AtLeast(8.0), Exact(2.0));
    assert_eq!(now(&r, "density"), Some(Exact(2.0)));
}

#[test]
fn a_range_that_leaves_the_validity_is_refused_and_leaves_its_neighbours_alone() {
    let r = ratio(Exact(8.0), Between(9.0, 10.5));
    assert_eq!(now(&r, "density"), None);
    assert_eq!(refusal(&r, "density"), Some("bench::bound-not-carried"));
    assert_eq!(
        now(&r, "tensile-strength"),
        Some(Between(8.0 / 10.5, 8.0 / 9.0))
    );
}

/// Three lines of a curve.
fn curve(tops: [Reading; 3]) -> Specimen {
    let mut s = specimen(&[("bottom", Exact(2.0))]);
    s.points = tops
        .iter()
        .zip([1.0, 10.0, 100.0])
        .map(|(top, t)| Point {
            cells: RawCells::from([
                ("top", Cell::Number(*top)),
                ("time", Cell::Number(Exact(t))),
                ("bottom", Cell::Number(Exact(2.0))),
            ]),
            outcome: Outcome::Measured,
        })
        .collect();
    s
}

#[test]
fn a_bound_within_a_curve_over_time_refuses_it_and_at_its_end_bounds_the_end() {
    let of = |tops| reduced(&curve(tops), &Rig::default());
    let whole = of([Exact(9.0), Exact(8.0), Exact(7.0)]);
    assert!(refusal(&whole, "creep-modulus").is_none());
    for k in 0..2 {
        let mut tops = [Exact(9.0), Exact(8.0), Exact(7.0)];
        tops[k] = AtMost(8.0);
        assert_eq!(
            refusal(&of(tops), "creep-modulus"),
            Some("bench::bound-in-curve"),
            "line {k}"
        );
    }
    let hours = |r: &ReducedSpecimen| {
        let o = r
            .observations
            .iter()
            .find(|o| o.property.as_str() == "creep-modulus");
        o.and_then(|o| o.hours)
    };
    for (tops, bound) in [
        ([Exact(9.0), Exact(8.0), AtMost(7.0)], AtMost(7.0)),
        ([Exact(9.0), Exact(8.0), AtLeast(7.0)], AtLeast(7.0)),
        ([Exact(9.0), AtMost(8.0), AtMost(7.0)], AtMost(7.0)),
        ([AtMost(9.0), AtMost(8.0), AtMost(7.0)], AtMost(7.0)),
    ] {
        let r = of(tops);
        assert_eq!(now(&r, "creep-modulus"), Some(bound), "{tops:?}");
        assert_eq!(hours(&r), Some(100.0), "{tops:?}");
    }
    let mixed = of([Exact(9.0), Between(6.0, 8.0), AtMost(7.0)]);
    assert!(refusal(&mixed, "creep-modulus").is_some());
}

#[test]
fn the_working_is_noted_once_for_all_the_trial_reductions() {
    let r = ratio(AtLeast(8.0), Between(2.0, 4.0));
    assert_eq!(r.working.len(), 1);
}

fn channel(column: &str, resolution: f64, gain: f64) -> Channel {
    Channel {
        id: format!("rig/{column}/2026-01-01").into(),
        column: column.to_owned(),
        low: None,
        high: None,
        resolution: Some(resolution),
        offset: 0.0,
        offset_u: 0.0,
        gain,
        gain_u: 0.0,
    }
}

fn rig(channels: Vec<Channel>) -> Rig {
    Rig {
        channels,
        ..Rig::default()
    }
}

fn resolution(r: &ReducedSpecimen, property: &str) -> f64 {
    r.observations
        .iter()
        .find(|o| o.property.as_str() == property)
        .map_or(f64::NAN, |o| o.resolution)
}

#[test]
fn a_step_of_each_reading_enters_through_the_slope_and_in_squares() {
    // Steps of 0.2 on 8 and 0.1 on 2, both 2.5 and 5 % of their reading, on a ratio of 4.
    let r = ratio(Exact(8.0), Exact(2.0));
    let want = 4.0 * (0.025_f64.powi(2) + 0.05_f64.powi(2)).sqrt();
    let got = resolution(&r, "tensile-strength");
    // A whole half step of the denominator bends the slope by 2.5 %.
    assert!((got - want).abs() < 0.03 * want, "{got} {want}");
    let alone = resolution(&r, "density");
    assert!((alone - 0.1).abs() < 1e-12, "{alone}");
}

#[test]
fn the_rigs_resolution_takes_the_columns_place_in_true_values() {
    let s = specimen(&[("top", Exact(8.0)), ("bottom", Exact(2.0))]);
    let fine = reduced(&s, &rig(vec![channel("bottom", 0.01, 1.0)]));
    assert!((resolution(&fine, "density") - 0.01).abs() < 1e-12);
    // A gain of 2 shows twice the truth: its step is half as large in true values.
    let geared = reduced(&s, &rig(vec![channel("bottom", 0.01, 2.0)]));
    assert!((resolution(&geared, "density") - 0.005).abs() < 1e-12);
}

#[test]
fn where_half_a_step_up_leaves_the_validity_half_a_step_down_tells() {
    let s = specimen(&[("top", Exact(8.0)), ("bottom", Exact(9.97))]);
    let r = reduced(&s, &Rig::default());
    assert!((resolution(&r, "density") - 0.1).abs() < 1e-9);
}

#[test]
fn a_formula_can_ask_for_the_step_of_a_column() {
    let on = Reduction::on(&Ratio, &rig(vec![channel("top", 0.5, 1.0)]), false);
    assert!((on.resolution("top") - 0.5).abs() < 1e-12);
    assert!((on.resolution("bottom") - 0.1).abs() < 1e-12);
    assert!(on.resolution("word") == 0.0 && on.resolution("none") == 0.0);
}

proptest! {
    /// Whatever the truth behind a range or a bound, the reduced bound holds it.
    #[test]
    fn a_bound_holds_the_truth(
        top in 1.0..100.0_f64,
        bottom in 0.5..9.0_f64,
        below in 0.0..0.5_f64,
        above in 0.0..0.5_f64,
        which in 0..6_usize,
    ) {
        let around = |x: f64| Between(x * (1.0 - below) - 1e-6, x * (1.0 + above) + 1e-6);
        let (a, b) = match which {
            0 => (AtLeast(top * (1.0 - below)), Exact(bottom)),
            1 => (AtMost(top * (1.0 + above)), Exact(bottom)),
            2 => (Exact(top), AtLeast(bottom * (1.0 - below))),
            3 => (Exact(top), AtMost(bottom * (1.0 + above))),
            4 => (around(top), Exact(bottom)),
            _ => (Exact(top), around(bottom)),
        };
        let truth = top / bottom;
        let holds = match now(&ratio(a, b), "tensile-strength") {
            Some(Exact(x)) => (x - truth).abs() < 1e-9,
            Some(AtLeast(x)) => truth >= x * (1.0 - 1e-12),
            Some(AtMost(x)) => truth <= x * (1.0 + 1e-12),
            Some(Between(x, y)) => x <= truth && truth <= y,
            None => false,
        };
        prop_assert!(holds, "{a:?} {b:?} {truth}");
    }
}
