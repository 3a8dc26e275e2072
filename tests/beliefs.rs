//! What beliefs promise, through the evidence as the tool builds it.

use dutyfit::belief::{BLOCK, BiasBlock, Evidence, Grade, Material};
use dutyfit::bench::{Bias, Observation, Outcome, ReducedRun, ReducedSpecimen, Rig, Run, Value};
use dutyfit::policy::Policy;
use dutyfit::property::{Ask, Condition, Properties, PropertyId};
use dutyfit::quantity::Reading;

/// One run of one property: everything a bench test would have made of it.
#[derive(Clone)]
pub struct Bench {
    pub material: &'static str,
    pub property: &'static str,
    pub print: Option<&'static str>,
    pub rig_kind: &'static str,
    pub condition: Condition,
    pub resolution: f64,
    pub bias: Vec<Bias>,
    pub stress_mpa: Option<f64>,
    pub hours: Option<f64>,
    pub values: Vec<Value>,
}

impl Bench {
    /// A run with these readings; direction across where the property's default is.
    pub fn new(material: &'static str, property: &'static str, readings: &[Reading]) -> Self {
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
        }
    }
    pub fn exact(material: &'static str, property: &'static str, figures: &[f64]) -> Self {
        let r: Vec<Reading> = figures.iter().map(|y| Reading::Exact(*y)).collect();
        Bench::new(material, property, &r)
    }
    pub fn with(mut self, change: impl FnOnce(&mut Bench)) -> Self {
        change(&mut self);
        self
    }
    pub fn at(self, temperature_c: f64) -> Self {
        self.with(|b| b.condition.temperature_c = temperature_c)
    }
    pub fn print(self, print: &'static str) -> Self {
        self.with(|b| b.print = Some(print))
    }
    pub fn run(&self, number: usize) -> ReducedRun {
        ReducedRun {
            run: Run {
                id: format!("r-{number}"),
                test: "tensile",
                material: Some(self.material.to_owned()),
                lot: None,
                print: self.print.map(str::to_owned),
                date: None,
                rig: Rig {
                    name: "rig".to_owned(),
                    kind: self.rig_kind.to_owned(),
                    channels: Vec::new(),
                },
                condition: self.condition.clone(),
                specimens: Vec::new(),
                set_aside: None,
            },
            specimens: self
                .values
                .iter()
                .enumerate()
                .map(|(i, v)| ReducedSpecimen {
                    specimen: i as u32 + 1,
                    outcome: Outcome::Measured,
                    observations: vec![Observation {
                        property: PropertyId::fixed(self.property),
                        value: v.clone(),
                        condition: self.condition.clone(),
                        resolution: self.resolution,
                        bias: self.bias.clone(),
                        early: false,
                        stress_mpa: self.stress_mpa,
                        hours: self.hours,
                    }],
                    refused: Vec::new(),
                    working: Vec::new(),
                })
                .collect(),
        }
    }
}

pub fn material(id: &str, polymers: &[&str]) -> Material {
    Material {
        id: id.to_owned(),
        polymers: polymers.iter().map(|p| (*p).to_owned()).collect(),
        ..Material::default()
    }
}

/// Evidence of these materials (id and polymer) from these runs.
pub fn evidence(materials: &[(&str, &str)], benches: &[Bench], policy: Policy) -> Evidence {
    Evidence::new(
        materials
            .iter()
            .map(|(id, polymer)| {
                material(
                    id,
                    &polymer
                        .split('+')
                        .filter(|p| !p.is_empty())
                        .collect::<Vec<_>>(),
                )
            })
            .collect(),
        benches.iter().enumerate().map(|(i, b)| b.run(i)).collect(),
        Vec::new(),
        policy,
        Properties::default(),
    )
}

fn near(got: Option<f64>, want: f64, relative: f64) {
    let got = got.expect("a figure");
    assert!(
        (got - want).abs() <= relative * want.abs(),
        "{got} is not {want}"
    );
}

#[test]
fn readings_of_one_print_give_student_t_of_mean_and_next_part() {
    let e = evidence(
        &[("a", "petg")],
        &[Bench::exact("a", "softening-onset", &[70.0, 72.0, 74.0])],
        Policy::default(),
    );
    let b = e.believe("a", &Ask::room("softening-onset"));
    assert_eq!((b.grade, b.specimens, b.prints), (Grade::Measured, 3, 1));
    // Default spread 2.5 K with 4 degrees of freedom, residual squares 8 with 2: s^2 = 33/6;
    // mean variance s^2 (1/3 + 1), next part s^2 (1/3 + 1 + 2); t(0.95; 6) = 1.943180.
    let s = (33.0_f64 / 6.0).sqrt();
    near(b.mean_quantile(0.5), 72.0, 1e-9);
    near(
        b.mean_quantile(0.95),
        72.0 + 1.943_180_28 * s * (4.0_f64 / 3.0).sqrt(),
        1e-8,
    );
    near(
        b.next_quantile(0.05),
        72.0 - 1.943_180_28 * s * (10.0_f64 / 3.0).sqrt(),
        1e-8,
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
        let e = evidence(
            &[("a", "petg")],
            &[Bench::new("a", "impact-notched", &readings)],
            Policy::default(),
        );
        let b = e.believe("a", &Ask::room("impact-notched"));
        let (mut means, mut nexts) = (Vec::new(), Vec::new());
        for block in 0..256 {
            let mut mean = [0.0; BLOCK];
            let mut next = [0.0; BLOCK];
            b.draw_block(1, block, &BiasBlock::default(), &mut mean, &mut next);
            means.extend(mean);
            nexts.extend(next);
        }
        for p in [0.05, 0.25, 0.5, 0.75, 0.95] {
            for (draws, q) in [(&means, b.mean_quantile(p)), (&nexts, b.next_quantile(p))] {
                let q = q.expect("a figure");
                let below = draws.iter().filter(|d| **d <= q).count() as f64 / draws.len() as f64;
                assert!((below - p).abs() < 0.008, "{readings:?} {p}: {below}");
            }
        }
    }
}
