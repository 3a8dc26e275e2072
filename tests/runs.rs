//! Runs as a bench test would have reduced them, and the evidence they make.

use dutyfit::belief::{BLOCK, Belief, Evidence, Material, Stated};
use dutyfit::bench::{
    Bias, Curve, Observation, Outcome, ReducedRun, ReducedSpecimen, Rig, Run, Value,
};
use dutyfit::policy::Policy;
use dutyfit::property::{Condition, Properties, PropertyId};
use dutyfit::quantity::Reading;
use std::sync::Arc;

/// One run of one property.
#[derive(Clone, Debug)]
pub(crate) struct Bench {
    pub(crate) material: &'static str,
    pub(crate) property: &'static str,
    pub(crate) print: Option<String>,
    pub(crate) rig_kind: &'static str,
    pub(crate) condition: Condition,
    pub(crate) resolution: f64,
    pub(crate) bias: Vec<Bias>,
    pub(crate) stress_mpa: Option<f64>,
    pub(crate) hours: Option<f64>,
    pub(crate) values: Vec<Value>,
    pub(crate) set_aside: bool,
}

impl Bench {
    /// A run with these readings, in the property's default direction, at room conditions.
    pub(crate) fn new(
        material: &'static str,
        property: &'static str,
        readings: &[Reading],
    ) -> Self {
        let direction = Properties::default()
            .get(property)
            .and_then(|p| p.direction);
        Bench {
            material,
            property,
            print: None,
            rig_kind: "frame",
            condition: Condition {
                direction,
                ..Condition::default()
            },
            resolution: 0.0,
            bias: Vec::new(),
            stress_mpa: None,
            hours: None,
            values: readings.iter().map(|r| Value::Now(*r)).collect(),
            set_aside: false,
        }
    }
    /// The same from exact figures.
    pub(crate) fn exact(material: &'static str, property: &'static str, figures: &[f64]) -> Self {
        let r: Vec<Reading> = figures.iter().map(|y| Reading::Exact(*y)).collect();
        Bench::new(material, property, &r)
    }
    /// The same from curves of hours and values.
    pub(crate) fn curve(
        material: &'static str,
        property: &'static str,
        points: &[(f64, f64)],
    ) -> Self {
        Bench::new(material, property, &[]).with(|b| {
            let points = points.to_vec();
            b.values = vec![Value::Curve(if property == "creep-modulus" {
                Curve::modulus(points)
            } else {
                Curve::retained(points)
            })];
        })
    }
    /// Changed by hand.
    pub(crate) fn with(mut self, change: impl FnOnce(&mut Bench)) -> Self {
        change(&mut self);
        self
    }
    /// At another temperature, degC.
    pub(crate) fn at(self, temperature_c: f64) -> Self {
        self.with(|b| b.condition.temperature_c = temperature_c)
    }
    /// From a named print.
    pub(crate) fn print(self, print: impl Into<String>) -> Self {
        let print = print.into();
        self.with(|b| b.print = Some(print))
    }
    /// Against a surface.
    pub(crate) fn on(self, surface: &str) -> Self {
        self.with(|b| b.condition.counterface = Some(surface.to_owned()))
    }

    fn run(&self, number: usize) -> ReducedRun {
        let specimen = |i: usize, value: &Value| ReducedSpecimen {
            specimen: u32::try_from(i).unwrap_or(u32::MAX).saturating_add(1),
            outcome: Outcome::Measured,
            observations: vec![Observation {
                property: PropertyId::fixed(self.property),
                value: value.clone(),
                condition: self.condition.clone(),
                resolution: self.resolution,
                bias: self.bias.clone(),
                early: false,
                stress_mpa: self.stress_mpa,
                hours: self.hours,
            }],
            refused: Vec::new(),
            working: Vec::new(),
        };
        ReducedRun {
            run: Arc::new(Run {
                id: format!("r-{number}"),
                test: "tensile",
                material: Some(self.material.to_owned()),
                lot: None,
                print: self.print.clone(),
                date: None,
                rig: Rig {
                    name: "rig".to_owned(),
                    kind: self.rig_kind.to_owned(),
                    channels: Vec::new(),
                }
                .into(),
                condition: self.condition.clone(),
                specimens: Vec::new(),
                set_aside: self.set_aside.then(|| "slipped".to_owned()),
            }),
            specimens: self
                .values
                .iter()
                .enumerate()
                .map(|(i, v)| specimen(i, v))
                .collect(),
        }
    }
}

/// A material of a polymer (`a+b` a blend, empty for `other`).
pub(crate) fn material(id: &str, polymer: &str) -> Material {
    Material {
        id: id.to_owned(),
        polymers: polymer
            .split('+')
            .filter(|p| !p.is_empty())
            .map(str::to_owned)
            .collect(),
        ..Material::default()
    }
}

/// Evidence of materials (id and polymer) from runs.
pub(crate) fn evidence(
    materials: &[(&str, &str)],
    benches: &[Bench],
    stated: &[Stated],
    policy: Policy,
) -> Evidence {
    Evidence::new(
        materials.iter().map(|(id, p)| material(id, p)).collect(),
        benches.iter().enumerate().map(|(i, b)| b.run(i)).collect(),
        stated.to_vec(),
        policy,
        Properties::default(),
    )
}

/// The policy of the textbook: prints alike, and a prior of the spread that weighs nothing.
pub(crate) fn textbook() -> Policy {
    Policy {
        rho: 0.0,
        pool_floor: 1e-12,
        pool_cap: 1e-12,
        ..Policy::default()
    }
}

/// The policy of a known spread: the property's default, prints alike.
pub(crate) fn known_spread() -> Policy {
    Policy {
        rho: 0.0,
        pool_floor: 1e12,
        pool_cap: 1e12,
        ..Policy::default()
    }
}

/// Readings of JSON rows `[lower, upper, count]`: equal ends exact, null open.
pub(crate) fn readings(rows: &serde_json::Value) -> Vec<Reading> {
    let mut out = Vec::new();
    for r in rows.as_array().expect("rows") {
        let one = match (r[0].as_f64(), r[1].as_f64()) {
            (Some(a), Some(b)) if r[0] == r[1] => Reading::Exact(0.5 * (a + b)),
            (Some(a), Some(b)) => Reading::Between(a, b),
            (Some(a), None) => Reading::AtLeast(a),
            (None, Some(b)) => Reading::AtMost(b),
            (None, None) => panic!("{r} says nothing"),
        };
        let times = r[2].as_u64().unwrap_or(1) as usize;
        out.extend(std::iter::repeat_n(one, times));
    }
    out
}

/// A value stated of material `a` from JSON `[value, standard deviation]`; none where it is missing.
pub(crate) fn stated(property: &'static str, of: &serde_json::Value) -> Vec<Stated> {
    let Some(of) = of.as_array() else {
        return Vec::new();
    };
    vec![Stated {
        material: Some("a".to_owned()),
        polymer: None,
        property: PropertyId::fixed(property),
        value: Reading::Exact(of[0].as_f64().expect("value")),
        sd: of[1].as_f64(),
        condition: Condition::default(),
        standard: String::new(),
        source: "a data sheet".to_owned(),
    }]
}

/// What misses an expected figure.
#[derive(Debug, Default)]
pub(crate) struct Missed(Vec<String>);

impl Missed {
    pub(crate) fn check(&mut self, what: &str, got: Option<f64>, want: f64, allowed: f64) {
        let got = got.unwrap_or(f64::NAN);
        let off = (got - want).abs();
        if off.is_nan() || off > allowed {
            let times = off / allowed;
            self.0.push(format!(
                "{what}: {got} for {want}, {times:.2} times what is allowed"
            ));
        }
    }
    /// 5, 50 and 95 % of the mean and of the next part under `mean` and `next` of a case: by this share of
    /// the half width of their interval, and of the figure itself, whichever is less.
    pub(crate) fn check_case(
        &mut self,
        b: &Belief,
        c: &serde_json::Value,
        of_half: f64,
        of_figure: f64,
    ) {
        for (i, p) in [0.05, 0.5, 0.95].into_iter().enumerate() {
            for (key, got) in [("mean", b.mean_quantile(p)), ("next", b.next_quantile(p))] {
                let at = |k: usize| c[key][k].as_f64().expect("figure");
                let allowed = (0.5 * of_half * (at(2) - at(0))).min(of_figure * at(i).abs());
                self.check(&format!("{} {key} {p}", c["id"]), got, at(i), allowed);
            }
        }
    }
    #[track_caller]
    pub(crate) fn none(&self) {
        assert!(self.0.is_empty(), "{}", self.0.join("\n"));
    }
}

/// Draws of the mean and of the next part, with the biases of the evidence.
pub(crate) fn draws(e: &Evidence, b: &Belief, blocks: u64) -> (Vec<f64>, Vec<f64>) {
    let (mut means, mut nexts) = (Vec::new(), Vec::new());
    for block in 0..blocks {
        let mut mean = [0.0; BLOCK];
        let mut next = [0.0; BLOCK];
        b.draw_block(1, block, &e.bias_block(1, block), &mut mean, &mut next);
        means.extend(mean);
        nexts.extend(next);
    }
    (means, nexts)
}

/// Fails where a figure is further from another than this share of it.
pub(crate) fn near(got: Option<f64>, want: f64, relative: f64) {
    assert!(got.is_some(), "no figure where {want} was due");
    let got = got.unwrap_or(f64::NAN);
    assert!(
        (got - want).abs() <= relative * want.abs().max(1e-300),
        "{got} is not {want}"
    );
}
