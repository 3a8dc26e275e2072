//! One simulated catalog: materials, runs through dutyfit's own reduction, stated values, and the
//! truth behind each.

use crate::simulate::dice::Dice;
use crate::simulate::rigs::{HAMMER_BOTTOM, HAMMER_TOP, Rigs, joule};
use crate::simulate::truth::Truth;
use crate::simulate::world::{Typical, World};
use dutyfit::belief::{Evidence, Material, Stated};
use dutyfit::bench::{ReducedRun, Run, Specimen, find, reduce_run};
use dutyfit::policy::Policy;
use dutyfit::property::{Condition, Direction, Properties, PropertyId, Scale};
use dutyfit::quantity::Reading;
use std::sync::Arc;

/// The polymers of every catalog.
const POLYMERS: [&str; 3] = ["petg", "asa", "pa-12"];
/// Spread of materials about their polymer's centre, natural scale of logarithmic properties: the
/// policy's own figure for a stated value.
const MATERIALS_APART: f64 = 0.25;
/// The same for hardness, points.
const HARDNESS_APART: f64 = 6.0;
/// How far from a polymer's centre a hammer may end, in typical spreads.
const HAMMER_SPREADS: f64 = 6.0;

/// How a material was tested.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Tested {
    /// Specimens of each print.
    Prints(&'static [usize]),
    /// Nothing but a data sheet.
    Stated,
    /// Nothing.
    Untested,
}

/// One of the properties that the workshop tests.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Tests {
    pub(crate) property: &'static str,
    pub(crate) test: &'static str,
    direction: Direction,
    pub(crate) scale: Scale,
    /// Middle of the polymers' centres, natural scale.
    pub(crate) middle: f64,
    /// What the property table guesses of the spread within a print.
    table_sd: f64,
}

/// ln 20 MPa.
const TENSILE_MIDDLE: f64 = 2.995_732;
/// ln 12 kJ/m2.
const IMPACT_MIDDLE: f64 = 2.484_907;

/// Tensile strength: logarithmic, two calibrations behind it.
pub(crate) const TENSILE: Tests = Tests {
    property: "tensile-strength",
    test: "tensile",
    direction: Direction::Across,
    scale: Scale::Log,
    middle: TENSILE_MIDDLE,
    table_sd: 0.08,
};
/// Notched impact strength: logarithmic, bounded by the hammer at both ends.
pub(crate) const IMPACT: Tests = Tests {
    property: "impact-notched",
    test: "impact",
    direction: Direction::Across,
    scale: Scale::Log,
    middle: IMPACT_MIDDLE,
    table_sd: 0.15,
};
/// Shore D hardness: plain, on a gauge of coarse steps.
pub(crate) const HARDNESS: Tests = Tests {
    property: "shore-d",
    test: "hardness",
    direction: Direction::Flat,
    scale: Scale::Plain,
    middle: 55.0,
    table_sd: 1.2,
};

/// One property of one material.
#[derive(Clone, Debug)]
pub(crate) struct Tried {
    pub(crate) material: String,
    pub(crate) tests: Tests,
    pub(crate) tested: Tested,
    pub(crate) truth: Truth,
    /// Whether a reading is a bound.
    pub(crate) bounds: bool,
}

/// A catalog and the truth behind it.
#[derive(Clone, Debug)]
pub(crate) struct Simulated {
    pub(crate) evidence: Evidence,
    pub(crate) tried: Vec<Tried>,
}

/// Draws a catalog: one material for each way of testing, each tested for every property.
pub(crate) fn draw(
    world: &World,
    tests: &[Tests],
    tested: &[Tested],
    dice: &mut Dice,
) -> Simulated {
    let rigs = Rigs::new(world, dice);
    let materials: Vec<Material> = tested
        .iter()
        .enumerate()
        .map(|(i, _)| Material {
            id: format!("m{:02}", i + 1),
            polymers: vec![POLYMERS[i % POLYMERS.len()].to_owned()],
            ..Material::default()
        })
        .collect();
    let mut made = Made {
        world,
        rigs: &rigs,
        runs: Vec::new(),
        stated: Vec::new(),
        tried: Vec::new(),
    };
    for t in tests {
        let rho = world.rho(dice);
        let (between, apart) = match t.scale {
            Scale::Log => (world.apart, MATERIALS_APART),
            Scale::Plain => (8.0, HARDNESS_APART),
        };
        let polymers = POLYMERS.map(|_| t.middle + between * dice.normal());
        let typical = match (world.typical, t.scale) {
            (Typical::Of(s), Scale::Log) => s,
            (Typical::Table, _) => t.table_sd,
            _ => t.table_sd * 2.0 / 3.0,
        };
        let (alike, off) = world.alike(dice);
        let typical = typical * off;
        for (i, (m, how)) in materials.iter().zip(tested).enumerate() {
            let polymer = polymers[i % POLYMERS.len()];
            let within = dice.variance(typical * typical, alike).sqrt();
            let centre = polymer + apart * dice.normal();
            let truth = Truth::new(*world, t.scale, centre, within, rho, dice);
            made.try_one(&m.id, *t, *how, truth, (polymer, typical), dice);
        }
    }
    Simulated {
        evidence: Evidence::new(
            materials,
            made.runs,
            made.stated,
            Policy::default(),
            Properties::default(),
        ),
        tried: made.tried,
    }
}

/// What has been made of a catalog so far.
struct Made<'a> {
    world: &'a World,
    rigs: &'a Rigs,
    runs: Vec<ReducedRun>,
    stated: Vec<Stated>,
    tried: Vec<Tried>,
}

impl Made<'_> {
    /// Tests one property of one material; `near` is its polymer's centre and the typical spread.
    fn try_one(
        &mut self,
        material: &str,
        tests: Tests,
        tested: Tested,
        truth: Truth,
        near: (f64, f64),
        dice: &mut Dice,
    ) {
        let mut bounds = false;
        match tested {
            Tested::Prints(prints) => {
                let hammer_j = (tests.test == "impact").then(|| hammer(near.0, near.1, dice));
                let lots = [truth.lot(dice), truth.lot(dice)];
                for (k, specimens) in prints.iter().enumerate() {
                    let print = truth.print(lots[k % 2], dice);
                    let figures: Vec<f64> = (0..*specimens)
                        .map(|_| tests.scale.back(truth.specimen(print, dice)))
                        .collect();
                    let run = self.run(material, tests, k, &figures, hammer_j, dice);
                    bounds |= run
                        .specimens
                        .iter()
                        .flat_map(|s| &s.observations)
                        .any(|o| o.value.now().is_some_and(|r| !r.is_exact()));
                    self.runs.push(run);
                }
            }
            Tested::Stated if tests.scale == Scale::Log => {
                // A data sheet, off by the policy's spread of a stated value.
                let said = truth.centre + MATERIALS_APART * dice.normal();
                self.stated.push(Stated {
                    material: Some(material.to_owned()),
                    polymer: None,
                    property: PropertyId::fixed(tests.property),
                    value: Reading::Exact(tests.scale.back(said)),
                    sd: None,
                    condition: Condition {
                        direction: Some(tests.direction),
                        ..Condition::default()
                    },
                    standard: String::new(),
                    source: "simulated data sheet".to_owned(),
                });
            }
            Tested::Stated | Tested::Untested => {}
        }
        self.tried.push(Tried {
            material: material.to_owned(),
            tests,
            tested,
            truth,
            bounds,
        });
    }

    fn run(
        &self,
        material: &str,
        tests: Tests,
        print: usize,
        figures: &[f64],
        hammer_j: Option<f64>,
        dice: &mut Dice,
    ) -> ReducedRun {
        let condition = Condition {
            direction: Some(tests.direction),
            ..Condition::default()
        };
        // Runs are made in any order; a drifting rig has moved by so much of its way.
        let moved = self.world.drift * dice.between(0.0, 1.0);
        let specimens = (1_u32..)
            .zip(figures)
            .map(|(number, y)| Specimen {
                number,
                operator: None,
                points: vec![self.rigs.cells(tests.test, *y, moved, dice)],
                condition: condition.clone(),
                density_g_cm3: None,
                hammer_j,
            })
            .collect();
        let run = Arc::new(Run {
            id: format!("{material}-{}-{print}", tests.test),
            test: tests.test,
            material: Some(material.to_owned()),
            lot: Some(format!("{material}-lot-{}", print % 2)),
            print: Some(format!("{material}-{}-print-{print}", tests.test)),
            date: None,
            rig: self.rigs.rig(tests.test).into(),
            condition,
            specimens,
            set_aside: None,
        });
        match find(tests.test) {
            Some(test) => reduce_run(test, &run, &Properties::default()),
            None => ReducedRun {
                run,
                specimens: Vec::new(),
            },
        }
    }
}

/// Greatest energy of the hammer taken from the drawer, J, by what the polymer usually takes: every
/// second time its end lies somewhere near, else its beginning. So wide a choice against the scatter
/// that where it lies says nothing of the material in hand.
fn hammer(polymer: f64, typical: f64, dice: &mut Dice) -> f64 {
    let reach = HAMMER_SPREADS * typical;
    let near = polymer + dice.between(-reach, reach);
    let share = if dice.happens(0.5) {
        HAMMER_TOP
    } else {
        HAMMER_BOTTOM
    };
    joule(near.exp()) / share
}
