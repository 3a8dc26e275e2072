//! Evidence and duties made up in the test: plain figures of properties of the test's own.

use dutyfit::belief::{Evidence, Material, Stated};
use dutyfit::bench::{
    Bias, Observation, Outcome, ReducedRun, ReducedSpecimen, Rig, Run, Specimen, Value,
};
use dutyfit::duty::{Aim, Duty, Limit, LimitSense, Performance, ValueScale};
use dutyfit::judge::{Candidate, Judgement, Request, judge};
use dutyfit::policy::{Class, Policy};
use dutyfit::property::{Ask, Condition, OwnProperty, Properties, PropertyId, Scale, Sense};
use dutyfit::quantity::Reading;

/// A workshop of invented materials.
#[derive(Clone, Debug, Default)]
pub(crate) struct Shop {
    pub(crate) materials: Vec<Material>,
    pub(crate) runs: Vec<ReducedRun>,
    pub(crate) stated: Vec<Stated>,
    pub(crate) own: Vec<OwnProperty>,
    pub(crate) policy: Policy,
}

impl Shop {
    /// A workshop with properties `c1`, `c2` ... on a scale.
    pub(crate) fn with(count: usize, scale: Scale) -> Self {
        let own = (1..=count)
            .map(|k| OwnProperty {
                id: format!("c{k}"),
                title: format!("criterion {k}"),
                unit: "1".to_owned(),
                sense: Sense::More,
                scale,
                plausible: (1e-6, 1e6),
            })
            .collect();
        Shop {
            own,
            ..Shop::default()
        }
    }

    /// A material of a polymer that nobody else shares.
    pub(crate) fn material(&mut self, id: &str) {
        self.materials.push(Material {
            id: id.to_owned(),
            title: id.to_owned(),
            ..Material::default()
        });
    }

    /// A stated value; spread 0 makes it exact.
    pub(crate) fn state(&mut self, material: &str, property: &str, value: f64, sd: f64) {
        self.stated.push(Stated {
            material: Some(material.to_owned()),
            polymer: None,
            property: PropertyId::own(property),
            value: Reading::Exact(value),
            sd: Some(sd),
            condition: Condition::default(),
            standard: String::new(),
            source: "made up".to_owned(),
        });
    }

    /// One run of one print: a specimen a reading.
    pub(crate) fn read(&mut self, material: &str, property: &str, readings: &[Reading]) {
        self.read_on(material, property, readings, &[]);
    }

    /// The same on an instrument with bias.
    pub(crate) fn read_on(
        &mut self,
        material: &str,
        property: &str,
        readings: &[Reading],
        bias: &[Bias],
    ) {
        let id = format!("r-{}", self.runs.len() + 1);
        let specimen = |number: u32| Specimen {
            number,
            operator: None,
            points: Vec::new(),
            condition: Condition::default(),
            density_g_cm3: None,
            hammer_j: None,
        };
        let run = Run {
            id,
            test: "density",
            material: Some(material.to_owned()),
            lot: None,
            print: None,
            date: None,
            rig: Rig::default().into(),
            condition: Condition::default(),
            specimens: (1..=readings.len() as u32).map(specimen).collect(),
            set_aside: None,
        };
        let specimens = (1_u32..)
            .zip(readings)
            .map(|(specimen, r)| ReducedSpecimen {
                specimen,
                outcome: Outcome::Measured,
                observations: vec![Observation {
                    property: PropertyId::own(property),
                    value: Value::Now(*r),
                    condition: Condition::default(),
                    resolution: 0.0,
                    bias: bias.to_vec(),
                    early: false,
                    stress_mpa: None,
                    hours: None,
                }],
                refused: Vec::new(),
                working: Vec::new(),
            })
            .collect();
        self.runs.push(ReducedRun {
            run: run.into(),
            specimens,
        });
    }

    pub(crate) fn evidence(&self) -> Evidence {
        Evidence::new(
            self.materials.clone(),
            self.runs.clone(),
            self.stated.clone(),
            self.policy.clone(),
            Properties::with_own(&self.own),
        )
    }

    pub(crate) fn ids(&self) -> Vec<String> {
        self.materials.iter().map(|m| m.id.clone()).collect()
    }

    /// Judges all materials.
    pub(crate) fn judge(
        &self,
        duty: &Duty,
        preference: &dutyfit::duty::Preference,
        draws: usize,
    ) -> Judgement {
        judge(&Request {
            duty,
            evidence: &self.evidence(),
            among: &self.ids(),
            preference,
            seed: 1,
            draws,
        })
    }
}

/// A limit on one property as it is.
pub(crate) fn limit(duty: &mut Duty, property: &str, sense: LimitSense, class: Class) {
    limit_of(duty, &[property], sense, class, |x| x[0]);
}

/// A limit on a formula of properties.
pub(crate) fn limit_of(
    duty: &mut Duty,
    properties: &[&str],
    sense: LimitSense,
    class: Class,
    formula: impl Fn(&[f64]) -> f64 + Send + Sync + 'static,
) {
    let needs = properties
        .iter()
        .map(|p| vec![duty.ask(Ask::of(PropertyId::own(*p)))])
        .collect();
    let id = format!("limit-{}", duty.limits.len() + 1);
    duty.limits.push(Limit {
        title: id.clone(),
        id,
        failure: "gives way",
        class,
        sense,
        unit: "1".to_owned(),
        needs,
        performance: Performance::new(move |i, _| formula(i.x)),
        source: "made up",
    });
}

/// An aim on one property as it is.
pub(crate) fn aim(duty: &mut Duty, id: &str, property: &str, zero: f64, one: f64) {
    let ask = duty.ask(Ask::of(PropertyId::own(property)));
    duty.aims.push(Aim {
        id: id.to_owned(),
        title: id.to_owned(),
        unit: "1".to_owned(),
        scale: ValueScale {
            zero,
            one,
            log: false,
        },
        needs: vec![vec![ask]],
        performance: Performance::new(|i, _| i.x[0]),
    });
}

/// The candidate of an id.
#[track_caller]
pub(crate) fn of<'a>(judgement: &'a Judgement, id: &str) -> &'a Candidate {
    judgement
        .candidates
        .iter()
        .find(|c| c.material == id)
        .expect("a judged material")
}
