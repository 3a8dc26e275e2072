//! The tool handle's formulas and worked example.

use crate::duty::FormulaDoc;
use crate::duty::mechanics::usual;

pub(super) const ROOT_SOURCE: &str = "B1: bending of a round beam (derived from mechanics); D9: the corner's factor from memory, not verified";

pub(super) const FATIGUE_SOURCE: &str = "B1, D7, D8: Goodman's line (derived from mechanics); the share left after many loads ASTM D671 for some polymers, the line ours";

pub(super) const HAND_SOURCE: &str = "B7: friction on both sides of the handle (derived from mechanics); skin 0.3 to 1.0 and a grip of 100 N from memory, not verified";

pub(super) const TORSION_SOURCE: &str = "K7: torsion of a round bar against strength/sqrt(3), von Mises (derived from mechanics); D9: the corner's factor in bending stands for that in torsion, which is lower (from memory, not verified)";

pub(super) const BLOW_SOURCE: &str = "B9: elastic energy of a bent handle up to its strength (derived from mechanics); tough materials take more; no more than modulus times strain at break (the straight line to the break is ours)";

pub(super) const BOLT_SOURCE: &str = "B10: the pull's moment on two bolts (derived from mechanics); the load is short, so that the yield strength is asked first and a bolted run stands in (ours)";

pub(super) const EXAMPLE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "Worked example: handle of a trowel",
  "part": "tool-handle",
  "inputs": {
    "diameter": "34 mm",
    "bore": "10 mm",
    "length": "110 mm",
    "pull": "150 N",
    "fillet_radius": "6 mm",
    "notch_sensitivity": 1,
    "twist": "1 N.m",
    "grip_force": "100 N",
    "skin_friction": 0.4,
    "blow": "0.5 J",
    "bolt_diameter": "6 mm",
    "bolt_spacing": "40 mm",
    "tool": "a trowel for planting out"
  },
  "surroundings": { "temperature": "10..35 degC", "moisture": "room" },
  "life": "5 year",
  "lies": "flat",
  "harm": { "hurts": "nobody", "damages": "a broken tool", "replaceable": true },
  "class": "damage",
  "assumed": ["diameter", "bore", "length", "pull", "fillet_radius", "notch_sensitivity", "twist", "grip_force", "skin_friction", "blow", "bolt_diameter", "bolt_spacing", "tool", "temperature", "moisture", "life", "lies", "hurts", "damages", "replaceable", "class"]
}
"#;

pub(super) const FORMULAS: &[FormulaDoc] = &[
    FormulaDoc {
        limit: "bending",
        formula: "B1 F L c/I, I = pi/64 (D^4 - d^4), times K_f = 1 + q (K_t - 1), against the strength along the handle; K_t = 0.907 (r/D)^(-1/3) between 1.2 and 3; D4 across the layers, where it was not tested, strength in them times the share that the layers keep",
        validity: "handle no shorter than thick; solid wall: with infill the walls alone carry",
        source: ROOT_SOURCE,
    },
    FormulaDoc {
        limit: "fatigue",
        formula: "D8 amplitude over what D7 leaves of the strength after the cycles, plus mean over the strength; amplitude and mean each half of the highest stress",
        validity: "where the case gives `cycles`; a pull to one side; D7 from 1 to ten million cycles, the lower of two lines",
        source: FATIGUE_SOURCE,
    },
    FormulaDoc {
        limit: "twist-hold",
        formula: "B7 T = mu F D, F the force of the hand on each side",
        validity: "round handle; friction as the case says it, else the material's on skin; ribs and flats turn more",
        source: HAND_SOURCE,
    },
    FormulaDoc {
        limit: "torsion",
        formula: "K7 16 T D/(pi (D^4 - d^4)) times K_f against the strength across the layers over sqrt(3)",
        validity: "round handle, however it lies: a twist shears between the layers too",
        source: TORSION_SOURCE,
    },
    FormulaDoc {
        limit: "blow",
        formula: "B9 s^2 I L/(6 E c^2), s the strength along the handle, no more than E times the strain at break, over K_f",
        validity: "a blow at the hand across the length, all of it taken by the handle; strength, stiffness and strain at break as in a slow test; a strength keeps its figure in the cold, and only the strain at break, which counts no colder than it was tested, shows that it turns brittle",
        source: BLOW_SOURCE,
    },
    FormulaDoc {
        limit: "bolt-crush",
        formula: "B10 F (L + s)/s over bolt diameter times (D - d), s the distance of the bolts, against the yield strength, else the pressure of a bolted run",
        validity: "two bolts across the handle; a pull that comes and goes; what their tightening adds is left out",
        source: BOLT_SOURCE,
    },
    FormulaDoc {
        limit: "heat-margin",
        formula: "D2 softening onset - hottest moment of service or storage or of the tool, at least 20 K",
        validity: "onset at the bench load, not a limit to design to",
        source: usual::HEAT_SOURCE,
    },
];
