//! What a calibration does to readings and to what is reduced from them.

use super::*;
use crate::bench::{Channel, Point, RawCells};
use crate::property::Condition;
use proptest::prelude::*;

/// A bending modulus and a force on its own, from one bar.
struct Bar;

const COLUMNS: &[Column] = &[
    Column::number("span", Need::Once, "mm", 0.0, 0.0, "span"),
    Column::number("width", Need::Once, "mm", 1e-9, 0.0, "width"),
    Column::number("thickness", Need::Once, "mm", 0.0, 0.0, "thickness"),
    Column::number("force", Need::Each, "N", 1e-9, -1e9, "force"),
    Column::number("preset", Need::Optional, "N", 0.0, 0.0, "set value"),
    Column::number("deflection", Need::Each, "mm", 0.0, 0.0, "deflection"),
    Column::number("bath", Need::Optional, "degC", 0.0, -100.0, "temperature"),
];

impl BenchTest for Bar {
    fn id(&self) -> &'static str {
        "bar"
    }
    fn title(&self) -> &'static str {
        "bar"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[]
    }
    fn gives(&self) -> &'static [&'static str] {
        &["flexural-modulus", "tensile-strength", "softening-onset"]
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
        let get = |c| s.once(c).unwrap_or(f64::NAN);
        let (l, b, h, f, d) = (
            get("span"),
            get("width"),
            get("thickness"),
            get("force"),
            get("deflection"),
        );
        let e = l.powi(3) * f / (4.0 * b * h.powi(3) * d);
        out.give(s, "flexural-modulus", Reading::Exact(e));
        out.give(s, "tensile-strength", Reading::Exact(f));
        if let Some(t) = s.once("bath") {
            out.give(s, "softening-onset", Reading::Exact(t));
        }
    }
}

fn bar(forces: &[f64]) -> Specimen {
    let points = forces
        .iter()
        .map(|f| {
            let cells: RawCells = [
                ("span", 64.0),
                ("width", 10.0),
                ("thickness", 4.0),
                ("force", *f),
                ("deflection", 2.0),
            ]
            .into_iter()
            .map(|(c, x)| (c, Cell::Number(Reading::Exact(x))))
            .collect();
            Point {
                cells,
                outcome: Outcome::Measured,
            }
        })
        .collect();
    Specimen {
        number: 1,
        operator: None,
        points,
        condition: Condition::default(),
        density_g_cm3: None,
        hammer_j: None,
    }
}

fn channel(column: &str) -> Channel {
    Channel {
        id: format!("rig/{column}").into(),
        column: column.to_owned(),
        low: None,
        high: None,
        resolution: None,
        offset: 0.0,
        offset_u: 0.0,
        gain: 1.0,
        gain_u: 0.0,
    }
}

fn reduced(s: &Specimen, channels: Vec<Channel>) -> ReducedSpecimen {
    let rig = Rig {
        name: "rig".to_owned(),
        kind: "frame".to_owned(),
        channels,
    };
    reduce_specimen(&Bar, s, &rig, &Properties::default(), Steps::Kept)
}

fn of<'a>(r: &'a ReducedSpecimen, property: &str) -> &'a Observation {
    r.observations
        .iter()
        .find(|o| o.property.as_str() == property)
        .unwrap()
}

fn now(r: &ReducedSpecimen, property: &str) -> Reading {
    match of(r, property).value {
        Value::Now(x) => x,
        Value::Curve(_) => panic!("a curve"),
    }
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * b.abs().max(1e-300)
}

#[test]
fn the_offset_is_taken_off_and_the_gain_divided_out() {
    let mut ch = channel("force");
    (ch.offset, ch.gain) = (2.0, 1.05);
    let r = reduced(&bar(&[44.0]), vec![ch]);
    let Reading::Exact(f) = now(&r, "tensile-strength") else {
        panic!("not exact")
    };
    assert!(near(f, 40.0), "{f}");
}

#[test]
fn a_caliper_gain_counts_three_times_in_a_bending_modulus() {
    let mut ch = channel("thickness");
    ch.gain_u = 1e-4;
    let r = reduced(&bar(&[40.0]), vec![ch]);
    let bias = &of(&r, "flexural-modulus").bias;
    assert_eq!(bias.len(), 1);
    assert_eq!(
        (&*bias[0].calibration, bias[0].kind),
        ("rig/thickness", BiasKind::Gain)
    );
    // A gain 0.01 % higher makes every true thickness so much less, the modulus three times so much more.
    assert!((bias[0].slope - 3.0e-4).abs() < 1e-7, "{}", bias[0].slope);
    assert!(
        of(&r, "tensile-strength").bias.is_empty(),
        "the caliper does not reach the force"
    );
}

#[test]
fn on_the_log_scale_a_bias_is_the_gain_and_the_offset_over_the_reading() {
    let mut ch = channel("force");
    (ch.offset_u, ch.gain_u) = (0.05, 0.002);
    for force in [20.0, 200.0] {
        let r = reduced(&bar(&[force]), vec![ch.clone()]);
        for property in ["tensile-strength", "flexural-modulus"] {
            let bias = &of(&r, property).bias;
            let slope = |k| bias.iter().find(|b| b.kind == k).unwrap().slope;
            assert!((slope(BiasKind::Offset) + 0.05 / force).abs() < 1e-5);
            assert!((slope(BiasKind::Gain) + 0.002).abs() < 1e-5);
        }
    }
}

#[test]
fn a_bias_on_a_plain_scale_stands_in_the_unit_of_the_property() {
    let mut s = bar(&[40.0]);
    s.points[0]
        .cells
        .insert("bath", Cell::Number(Reading::Exact(0.4)));
    let mut ch = channel("bath");
    ch.offset_u = 0.5;
    let r = reduced(&s, vec![ch]);
    assert_eq!(
        now(&r, "softening-onset"),
        Reading::Exact(0.4),
        "no temperature is lost near zero"
    );
    let bias = &of(&r, "softening-onset").bias;
    assert!(near(bias[0].slope, -0.5), "{}", bias[0].slope);
}

#[test]
fn a_reading_below_three_standard_uncertainties_is_a_bound_two_above_it() {
    let mut ch = channel("force");
    ch.offset_u = 0.5;
    let at = |f: f64| now(&reduced(&bar(&[f]), vec![ch.clone()]), "tensile-strength");
    assert_eq!(at(1.51), Reading::Exact(1.51));
    assert_eq!(at(1.49), Reading::AtMost(1.49 + 1.0));
    assert_eq!(at(-0.4), Reading::AtMost(1.0), "nothing lies below zero");
    let Reading::AtMost(e) = now(&reduced(&bar(&[1.0]), vec![ch]), "flexural-modulus") else {
        panic!("the modulus is bounded as the force is")
    };
    assert!(near(e, 64.0_f64.powi(3) * 2.0 / (4.0 * 10.0 * 64.0 * 2.0)));
}

#[test]
fn the_gain_counts_in_what_is_lost() {
    let mut ch = channel("force");
    (ch.gain, ch.gain_u) = (1.0, 0.4);
    // u = 0.4 x 10 = 4 and 10 < 12.
    let r = reduced(&bar(&[10.0]), vec![ch]);
    assert_eq!(now(&r, "tensile-strength"), Reading::AtMost(18.0));
}

#[test]
fn a_reading_within_half_a_step_of_nothing_is_at_most_one_step() {
    let mut ch = channel("force");
    ch.resolution = Some(1.0);
    let at = |f: f64| now(&reduced(&bar(&[f]), vec![ch.clone()]), "tensile-strength");
    assert_eq!(at(0.0), Reading::AtMost(1.0));
    assert_eq!(at(0.6), Reading::Exact(0.6));
}

#[test]
fn a_small_reading_beside_larger_ones_of_a_curve_stays() {
    let mut ch = channel("force");
    ch.offset_u = 0.5;
    let rig = Rig {
        channels: vec![ch],
        ..Rig::default()
    };
    let s = correct(&bar(&[0.0, 1.0, 40.0]), &rig, COLUMNS);
    assert!(bounded_cells(&s).is_empty());
    let s = correct(&bar(&[0.0, 1.0]), &rig, COLUMNS);
    assert_eq!(bounded_cells(&s).len(), 2);
}

#[test]
fn a_set_value_of_zero_is_no_bound() {
    let mut s = bar(&[40.0]);
    s.points[0]
        .cells
        .insert("preset", Cell::Number(Reading::Exact(0.0)));
    let mut ch = channel("preset");
    (ch.offset_u, ch.resolution) = (0.5, Some(0.1));
    let rig = Rig {
        channels: vec![ch],
        ..Rig::default()
    };
    assert!(bounded_cells(&correct(&s, &rig, COLUMNS)).is_empty());
}

#[test]
fn a_size_of_nothing_is_no_bound_but_a_fault_of_the_sheet() {
    let mut s = bar(&[40.0]);
    s.points[0]
        .cells
        .insert("width", Cell::Number(Reading::Exact(0.0)));
    let mut ch = channel("width");
    ch.resolution = Some(0.1);
    let rig = Rig {
        channels: vec![ch],
        ..Rig::default()
    };
    assert!(bounded_cells(&correct(&s, &rig, COLUMNS)).is_empty());
}

#[test]
fn outside_the_range_a_reading_is_a_bound_at_the_end_of_the_range() {
    let mut ch = channel("force");
    (ch.low, ch.high, ch.offset) = (Some(5.0), Some(100.0), 1.0);
    let at = |f: f64| now(&reduced(&bar(&[f]), vec![ch.clone()]), "tensile-strength");
    assert_eq!(at(101.0), Reading::AtLeast(99.0));
    assert_eq!(at(100.0), Reading::Exact(99.0));
    assert_eq!(at(4.0), Reading::AtMost(4.0));
}

#[test]
fn a_reading_below_nothing_is_no_small_size() {
    let mut ch = channel("force");
    (ch.low, ch.resolution) = (Some(0.0), Some(0.5));
    // Lost in the rounding: below one step.
    let r = reduced(&bar(&[-0.1]), vec![ch.clone()]);
    assert_eq!(now(&r, "tensile-strength"), Reading::AtMost(0.5));
    // Clear of it: refused, and no strength of `<= 0`.
    let r = reduced(&bar(&[-40.0]), vec![ch]);
    assert!(r.observations.is_empty());
    assert!(r.refused[1].why.contains("-40"), "{}", r.refused[1].why);
}

#[test]
fn a_figure_that_the_log_scale_cannot_hold_is_refused_by_name() {
    let r = reduced(&bar(&[-40.0]), vec![]);
    assert!(r.observations.is_empty());
    let codes: Vec<&str> = r.refused.iter().map(|x| x.code.as_str()).collect();
    assert_eq!(codes, ["bench::no-figure", "bench::no-figure"]);
    assert!(r.refused[1].why.contains("-40"), "{}", r.refused[1].why);
}

#[test]
fn a_calibration_without_a_gain_corrects_nothing() {
    let mut ch = channel("force");
    (ch.gain, ch.offset, ch.offset_u) = (0.0, 3.0, 0.1);
    let r = reduced(&bar(&[40.0]), vec![ch]);
    assert_eq!(now(&r, "tensile-strength"), Reading::Exact(40.0));
    assert!(of(&r, "tensile-strength").bias.is_empty());
}

proptest! {
    /// A rig that reads gain x true + offset gives the true figure back.
    #[test]
    fn the_correction_undoes_the_rig(
        f in 5.0..500.0_f64,
        gain in 0.5..2.0_f64,
        offset in -3.0..3.0_f64,
    ) {
        let mut ch = channel("force");
        (ch.gain, ch.offset) = (gain, offset);
        let r = reduced(&bar(&[gain * f + offset]), vec![ch]);
        let Reading::Exact(back) = now(&r, "tensile-strength") else { panic!("not exact") };
        prop_assert!((back - f).abs() < 1e-9 * f);
    }
}
