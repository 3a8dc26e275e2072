//! The density test: weighed in air and in a liquid, or measured.

use crate::bench::{BenchTest, Column, HowTo, Need, Outcome, Reduction, Specimen};
use crate::quantity::Reading;

/// The density test.
pub(super) struct Density;

const COLUMNS: &[Column] = &[
    Column::number("mass", Need::Once, "g", 0.01, 0.0001, "in air"),
    Column::number(
        "mass_in_liquid",
        Need::Optional,
        "g",
        0.01,
        -10000.0,
        "hanging in the liquid; below zero where a sinker had to push it under",
    ),
    Column::number(
        "liquid_density",
        Need::Optional,
        "g/cm3",
        0.001,
        0.5,
        "of the liquid at its temperature",
    ),
    Column::number(
        "volume",
        Need::Optional,
        "cm3",
        0.01,
        0.0001,
        "where it is not weighed in a liquid",
    ),
];

const FORMULAS: &[&str] = &[
    "D1 density = mass x liquid density / (mass - mass in the liquid), g/cm3. Archimedes, derived from the definition (ISO 1183-1, method A, from memory). Air's buoyancy is left out: under 0.1 %. Bubbles on the piece read low; closed voids of a print are part of it.",
    "D2 density = mass / volume, g/cm3. Derived from the definition. Where both are given, D1 counts.",
];

impl BenchTest for Density {
    fn id(&self) -> &'static str {
        "density"
    }
    fn title(&self) -> &'static str {
        "density"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[]
    }
    fn gives(&self) -> &'static [&'static str] {
        &["density"]
    }
    fn formulas(&self) -> &'static [&'static str] {
        FORMULAS
    }

    fn howto(&self) -> HowTo {
        HowTo {
            measure: [
                "Weigh dry in air, then hanging on a thin thread under the liquid, not touching the wall; write the liquid's density at its temperature.",
                "A drop of detergent in the water lets bubbles go; shake them off and wait until the balance stands still.",
            ],
            beware: [
                "Printed pieces hold air: print solid and seal nothing; bubbles that leak make the reading creep.",
                "A piece that floats needs a sinker: its mass in the liquid then comes out below zero, and is right so.",
            ],
            specimens: 3,
            lines: 1,
        }
    }

    fn reduce(&self, s: &Specimen, out: &mut Reduction) {
        let by_volume = match (s.once("mass"), s.once("volume")) {
            (Some(m), Some(v)) if v > 0.0 => Some(m / v),
            _ => None,
        };
        if let Some(d) = by_volume {
            out.step("D2", "mass over volume", d, "g/cm3");
        }
        let weighed = (
            s.once("mass"),
            s.once("mass_in_liquid"),
            s.once("liquid_density"),
        );
        let density = match (weighed, by_volume) {
            ((Some(mass), Some(hanging), Some(liquid)), _) => {
                let lifted = mass - hanging;
                if lifted <= 0.0 {
                    out.refuse(
                        "density",
                        "bench::no-buoyancy",
                        format!(
                            "{mass} g in air and {hanging} g in the liquid: it weighs no less there"
                        ),
                    );
                    return;
                }
                out.step("D1", "volume from buoyancy", lifted / liquid, "cm3");
                mass * liquid / lifted
            }
            (_, Some(d)) => d,
            ((_, Some(_), None), None) => {
                out.refuse(
                    "density",
                    "bench::no-volume",
                    "the density of the liquid is blank",
                );
                return;
            }
            _ => {
                out.refuse(
                    "density",
                    "bench::no-volume",
                    "neither a mass in a liquid nor a volume was read",
                );
                return;
            }
        };
        out.give(s, "density", Reading::Exact(density));
    }
}
