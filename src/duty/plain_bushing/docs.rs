//! The bush's formulas and worked example.

use crate::duty::FormulaDoc;
use crate::duty::mechanics::usual;

pub(super) const EXAMPLE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "Worked example: bush of a turning sieve",
  "part": "plain-bushing",
  "inputs": {
    "shaft": "12 mm",
    "clearance": "0.15 mm",
    "length": "15 mm",
    "wall": "3 mm",
    "load": "60 N",
    "load_on": "one-side",
    "turns": "40 rpm",
    "share": 0.01,
    "busy_share": 0.5,
    "wear_allowed": "0.5 mm",
    "thermal_resistance": "12 K/W",
    "sits_in": "housing",
    "bushes": 2
  },
  "surroundings": { "temperature": "10..35 degC", "moisture": "room", "counterface": "steel-smooth" },
  "life": "5 year",
  "lies": "upright",
  "harm": { "hurts": "nobody", "damages": "a sieve that binds", "replaceable": true },
  "class": "damage",
  "assumed": ["shaft", "clearance", "length", "wall", "load", "load_on", "turns", "share", "busy_share", "wear_allowed", "thermal_resistance", "sits_in", "bushes", "temperature", "moisture", "counterface", "life", "lies", "hurts", "damages", "replaceable", "class"]
}
"#;

pub(super) const FORMULAS: &[FormulaDoc] = &[
    FormulaDoc {
        limit: "wear-depth",
        formula: "load on one side h = k (4/pi) F/(D L) s; load going all round h = k F s/(pi D L); s = pi D n over the time it turns, or the swings' arcs",
        validity: "wear rate of this pair and face, in the regime of the run; a bush that swings counts as loaded on one side",
        source: "A1 (verified in source: a published pair of unit systems prints it), A2, A6, A7 (derived from mechanics)",
    },
    FormulaDoc {
        limit: "pressure",
        formula: "(4/pi) F/(D L), against the bearing pressure carried, else a third of the yield strength",
        validity: "cosine pressure over half the bore: play up to 5 % of the shaft, refused beyond",
        source: "A5 (verified in source), A6 (derived from mechanics); the third is common practice, no source",
    },
    FormulaDoc {
        limit: "pv",
        formula: "p v with p = F/(D L) and v = pi D n, against what a run held",
        validity: "surroundings, wall and shaft like the run's: what is held falls when warm and rises with grease or pauses",
        source: "A5, A9 (the rule verified in source)",
    },
    FormulaDoc {
        limit: "speed",
        formula: "v at most `speed_allowed`",
        validity: "only where the case gives it; no bench test here gives one",
        source: "A9 (the rule verified in source)",
    },
    FormulaDoc {
        limit: "play-left",
        formula: "bore (1 + g) - c (outer (1 + g) - housing) - shaft, each at its temperature; g = a dT + 0.3 % for each per cent of water, of which a room gives 0.4 of the saturated uptake; c = 2ab/((a^2 + b^2) - nu (b^2 - a^2)); at least 0.1 % of the shaft; standing and warmed by friction",
        validity: "a housing that does not give, no creep of the wall; fitted dry; in a room the uptake measured, else the polymer's typical one, but none where expansion was measured and uptake was not",
        source: "A13: derived from mechanics; swelling from memory, not verified; clearance 0.5 to 1 % of the diameter common practice, no source",
    },
    FormulaDoc {
        limit: "drag",
        formula: "mu F d/2",
        validity: "only where `drag_allowed` is given; running, not breaking away",
        source: "A12: derived from mechanics",
    },
    FormulaDoc {
        limit: "heat-margin",
        formula: "softening onset - (T + mu F v busy R_th), or - storage where that is hotter, at least 20 K; R_th given or 1/(h A)",
        validity: "steady heat over the busiest quarter of an hour; most heat leaves through a metal shaft",
        source: "A10 (derived from mechanics); h 5 to 15 W/(m2.K) in still air from memory, not verified; margin common practice, no source",
    },
    FormulaDoc {
        limit: "creep-sink",
        formula: "p t/E, E the creep modulus at the life and this pressure",
        validity: "only where `sink_allowed` is given",
        source: "B5: pseudo-elastic method (verified in outline)",
    },
    FormulaDoc {
        limit: "wear-life",
        formula: "life x wear_allowed/h",
        validity: "as wear-depth",
        source: "A2 (derived from mechanics)",
    },
    FormulaDoc {
        limit: "light-turning",
        formula: "mu F d/2, without the class's factor",
        validity: "as drag",
        source: "A12: derived from mechanics; dry friction 0.05 to 0.45 of bearing plastics from a handbook table (in part verified in source)",
    },
    FormulaDoc {
        limit: "heat-reserve",
        formula: "as heat-margin",
        validity: "as heat-margin",
        source: usual::HEAT_SOURCE,
    },
];
