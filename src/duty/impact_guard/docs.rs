//! The impact guard's formulas and worked example.

use crate::duty::FormulaDoc;
use crate::duty::mechanics::usual;

pub(super) const EXAMPLE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "Worked example: stop block for a rolling rack",
  "part": "impact-guard",
  "inputs": {
    "mass": "40 kg",
    "speed": "0.8 m/s",
    "blows": 2000,
    "works": "springs",
    "shape": "block",
    "length": "40 mm",
    "width": "40 mm",
    "depth": "30 mm",
    "faces": "loose",
    "squeeze_allowed": 0.25,
    "force_allowed": "8 kN",
    "depth_kept": 0.85,
    "behind": "a rack of pots"
  },
  "surroundings": { "temperature": "10..35 degC", "moisture": "room" },
  "life": "1 year",
  "lies": "flat",
  "harm": { "hurts": "nobody", "damages": "pots", "replaceable": true },
  "class": "damage",
  "assumed": ["mass", "speed", "blows", "works", "shape", "length", "width", "depth", "faces", "squeeze_allowed", "force_allowed", "depth_kept", "behind", "temperature", "moisture", "life", "lies", "hurts", "damages", "replaceable", "class"]
}
"#;

pub(super) const FORMULAS: &[FormulaDoc] = &[
    FormulaDoc {
        limit: "bottoming",
        formula: "I1 E = m v^2/2 or m g H; block: I2 y = v sqrt(m/k), with gravity I3 y = (W/k)(1 + sqrt(1 + 2 k H/W)), k = E_c A/h; I5 E = E_c e^2 A h/2; from 15 % the integral of F9; F6 E_c = E (1 + 2 S^2) of held faces; crushing: I4 y = E/(sigma_p A - W), W the weight of what falls, all blows together over the depth",
        validity: "solid block, blow slower than 10 m/s, its own mass left out; law of the block to a half, squeezed flat beyond; a lattice by the plateau of a squeezed piece, in proportion to yield strength where that is given, never stopped where the weight reaches the plateau force; a loose block of a shape factor to 1",
        source: "I1 to I5: derived from mechanics; F6 Gent and Lindley (verified in source); 15 to 25 % of squeeze (common practice, no source); densification 0.5 to 0.7 (from memory, not verified)",
    },
    FormulaDoc {
        limit: "force",
        formula: "I2 F = v sqrt(m k); larger squeeze F9 A (E_c/3)(l^-2 - l); I4 F = sigma_p A",
        validity: "as for bottoming; here a loose block's faces count as held, and modulus or plateau are stiffened for the blow; for bottoming the faces slide and the figures are as at rest: each at its worse end",
        source: "I2 to I4: derived from mechanics; F6 Gent and Lindley (verified in source); stiffening 1.1 to 3 of a modulus, the same taken for a plateau (from memory, not verified)",
    },
    FormulaDoc {
        limit: "deceleration",
        formula: "I2 a = v sqrt(k/m), F/m of the lightest mass that strikes",
        validity: "a stiff thing that strikes; nothing is said of injury",
        source: "I2: derived from mechanics",
    },
    FormulaDoc {
        limit: "splitting",
        formula: "I8 rim's stretch 1/sqrt(1 - e) - 1, half as much again between held faces; strain at break times the fatigue share at the number of blows, at least twice that",
        validity: "in the layers where it lies flat, across them otherwise; a blow is faster than the tensile test, and colder is worse",
        source: "I8: volume kept (derived); the factor 2 is ours; fatigue share from memory, not verified",
    },
    FormulaDoc {
        limit: "shattering",
        formula: "I8 strain at break at least 10 %",
        validity: "a lattice or infill that must fold instead of snapping",
        source: "I8: ours, no source",
    },
    FormulaDoc {
        limit: "depth-kept",
        formula: "I9 1 - C e, C the compression set of a long squeeze",
        validity: "a bound: blows are short, and what a long squeeze leaves is not passed",
        source: "I9: definition of method B (verified in source), derived",
    },
    FormulaDoc {
        limit: "soft-stop",
        formula: "I2, I4 highest force at room temperature",
        validity: "valued from the force allowed to that of a spring which uses all its depth, 2 E/(e h)",
        source: "I2: derived from mechanics",
    },
    FormulaDoc {
        limit: "toughness",
        formula: "I6 sigma^2/(2E) up to yield; an end-loaded lip stores a ninth of it as a mean",
        validity: "elastic energy only; a notched impact figure is another quantity",
        source: "I6: derived from mechanics",
    },
    FormulaDoc {
        limit: "heat-margin",
        formula: "D2 softening onset - hottest moment of service or storage",
        validity: "onset at the bench load, not a limit to design to",
        source: usual::HEAT_SOURCE,
    },
];
