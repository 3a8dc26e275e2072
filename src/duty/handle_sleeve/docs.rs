//! The handle sleeve's formulas and worked example.

use crate::duty::FormulaDoc;
use crate::duty::mechanics::usual;

pub(super) const HOLD_SOURCE: &str = "G1 to G5, G7, G8: thin and thick rings on a rigid bar, neo-Hookean stretch, friction and expansion (derived from mechanics; the press-fit form verified in source)";

pub(super) const TOGETHER_SOURCE: &str = "G10: friction on one face takes pull and torque as one force, sqrt(F^2 + (2T/d)^2) (Coulomb friction, derived from mechanics); what is held as for pull-off";

pub(super) const EXAMPLE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "Worked example: sleeve on a tubular handle",
  "part": "handle-sleeve",
  "inputs": {
    "bar_diameter": "25 mm",
    "bore": "24.2 mm",
    "outer_diameter": "33 mm",
    "length": "110 mm",
    "fixing": "friction",
    "pull": "80 N",
    "twist": "1.5 N.m",
    "bar": "steel",
    "fitted_at": "23 degC"
  },
  "surroundings": { "temperature": "10..35 degC", "moisture": "room", "counterface": "steel-painted" },
  "life": "1 year",
  "lies": "upright",
  "harm": { "hurts": "nobody", "damages": "a load that is dropped", "replaceable": true },
  "class": "damage",
  "assumed": ["bar_diameter", "bore", "outer_diameter", "length", "fixing", "pull", "twist", "bar", "fitted_at", "temperature", "moisture", "counterface", "life", "lies", "hurts", "damages", "replaceable", "class"]
}
"#;

const HOLD_FORMULA: &str = "F = R mu p pi d L, T = F d/2, R the force kept at fixed squeeze; thin wall p = E (delta/D_b) w/(d/2); thick p = E (delta/d)/(C + nu), C = (D_o^2 + d^2)/(D_o^2 - d^2); from 9.5 % stretch sigma = (E/3)(l^2 - 1/l), w/sqrt(l), the lower of both; delta(T) = delta + d (a_bar - a_sleeve)(T - T_fit), never below 0; an end collar adds half of pi mu S d";
const HOLD_VALIDITY: &str = "thin up to w/d 0.05; stretch up to 1.3, refused beyond; rigid bar; edges and taper ignored; relaxation of a ring held stretched, else of a squeeze, which is taken to relax alike (assumed, and told)";

pub(super) const FORMULAS: &[FormulaDoc] = &[
    FormulaDoc {
        limit: "pull-off",
        formula: HOLD_FORMULA,
        validity: HOLD_VALIDITY,
        source: HOLD_SOURCE,
    },
    FormulaDoc {
        limit: "twist",
        formula: HOLD_FORMULA,
        validity: HOLD_VALIDITY,
        source: HOLD_SOURCE,
    },
    FormulaDoc {
        limit: "pull-and-twist",
        formula: "G10 as pull-off, at least sqrt(F^2 + (2 T/d)^2): friction acts against the direction in which the bar's surface would move",
        validity: "where both `pull` and `twist` are given, taken as acting at once; not judged of the published pulls, whose tests turn nothing; a case's own bound on `pull-off` or `twist` does not move it",
        source: TOGETHER_SOURCE,
    },
    FormulaDoc {
        limit: "freezing-pull",
        formula: "as pull-off, new, wet, at -5 degC, at least 70 N",
        validity: "a cycle's grip; a sum is not the test, and the test gives no torque",
        source: "ISO 4210-5 summary: 70 N (verified in source); -5 degC from memory, not verified",
    },
    FormulaDoc {
        limit: "hot-water-pull",
        formula: "as pull-off, new, wet, at 60 degC, at least 100 N",
        validity: "a cycle's grip; a sum is not the test, and the test gives no torque",
        source: "ISO 4210-5 summary: 1 h at 60 degC, then 100 N for 1 min (verified in source)",
    },
    FormulaDoc {
        limit: "bond-shear",
        formula: "tau = sqrt(F^2 + (2 T/D_b)^2)/(pi D_b L) against strength across the layers/sqrt(3)",
        validity: "glued over the whole contact; the glue itself is not judged",
        source: "von Mises (derived from mechanics)",
    },
    FormulaDoc {
        limit: "hoop-strain",
        formula: "strain at break over delta/D_b, at least 2",
        validity: "strain of the bore; in the layers where it stands on the bed, else across",
        source: "G1, G7: derived from mechanics; the factor of 2 is ours, no source",
    },
    FormulaDoc {
        limit: "hoop-stress",
        formula: "stress carried for the life over R sigma; thin sigma = E delta/D_b; thick sigma = p C with E/(1 - nu^2) and nu/(1 - nu), held from shortening; from 9.5 % stretch the neo-Hookean one, the higher of both",
        validity: "as pull-off; the stress relaxes as the hoop force of a held ring does, else as the force at fixed squeeze",
        source: "G1 to G4, G7, G8: derived from mechanics",
    },
    FormulaDoc {
        limit: "heat-margin",
        formula: "softening onset - hottest moment of service or storage, at least 20 K",
        validity: "onset at the bench load, not a limit to design to",
        source: usual::HEAT_SOURCE,
    },
];
