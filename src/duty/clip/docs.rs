//! The clip's formulas and worked example.

use crate::duty::FormulaDoc;
use crate::duty::mechanics::usual;

pub(super) const CRACK_SOURCE: &str = "N1, N8: strain by the geometry alone, a ring's with its curvature by Winkler and Bach (derived from mechanics); D9: the corner's factor from memory, not verified; D7: the share left after many openings ASTM D671 for some polymers, the line ours";

pub(super) const SET_SOURCE: &str = "N8, D6: 70 % of the strain at yield for a single use, 40 % for repeated use (common practice, no source)";

pub(super) const FORCE_SOURCE: &str =
    "N2, N7: an arm's bending, a thin ring's strain energy by Castigliano (derived from mechanics)";

pub(super) const GRIP_SOURCE: &str = "N2, N7 with the modulus left at the life (F10; quasi-elastic, derived): force at a fixed strain falls as the creep modulus does, or by the share kept";

pub(super) const HELD_SOURCE: &str =
    "N1, N8: modulus times strain, not relaxed, so the high end (derived from mechanics)";

pub(super) const EXAMPLE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "Worked example: clip that holds a hose on its rail",
  "part": "clip",
  "inputs": {
    "shape": "ring",
    "thickness": "2.4 mm",
    "width": "12 mm",
    "inner_diameter": "24 mm",
    "mouth": "100 deg",
    "opening": "3 mm",
    "held_opening": "1 mm",
    "grip": "1 N",
    "openings": 20,
    "open_limit": "40 N"
  },
  "surroundings": { "temperature": "10..35 degC", "moisture": "room" },
  "life": "3 year",
  "lies": "flat",
  "harm": { "hurts": "nobody", "damages": "a hose that comes off", "replaceable": true },
  "class": "damage",
  "assumed": ["shape", "thickness", "width", "inner_diameter", "mouth", "opening", "held_opening", "grip", "openings", "open_limit", "temperature", "moisture", "life", "lies", "hurts", "damages", "replaceable", "class"]
}
"#;

pub(super) const FORMULAS: &[FormulaDoc] = &[
    FormulaDoc {
        limit: "opening-crack",
        formula: "strain at break, of many openings what D7 leaves, against the highest strain; arms N1 3 (y/2) t/(2 L^2) times K_f = 1 + q (K_t - 1); a ring N8 F R (1 - cos a)/(E Z) times the curvature's factor, a from the back to a tip",
        validity: "arms from L/t 5 and up to a fifth of their length; a ring with t/R up to 0.5, opened by no more than its middle radius; refused beyond",
        source: CRACK_SOURCE,
    },
    FormulaDoc {
        limit: "opening-set",
        formula: "0.7 (once) or 0.4 (again and again) times yield strength over modulus against the strain without a notch",
        validity: "strength and modulus in the layers; shares stand for bending tests that no bench here makes",
        source: SET_SOURCE,
    },
    FormulaDoc {
        limit: "opening-force",
        formula: "arms N2 b t^2 E e/(6 L); a ring N7 y E I/(2 R^3 (a/2 + a cos^2 a - 3/4 sin 2a))",
        validity: "as opening-crack; past yield the force is the high end",
        source: FORCE_SOURCE,
    },
    FormulaDoc {
        limit: "grip-left",
        formula: "as opening-force at the held opening, with the creep modulus at the life, else the modulus when new times the share of force kept",
        validity: "held open all its life, at this end of the temperatures",
        source: GRIP_SOURCE,
    },
    FormulaDoc {
        limit: "held-crack",
        formula: "stress carried for the life over E times the highest strain at the held opening",
        validity: "the stress relaxes, which is left out",
        source: HELD_SOURCE,
    },
    FormulaDoc {
        limit: "heat-margin",
        formula: "D2 softening onset - hottest moment of service or storage, at least 20 K",
        validity: "onset at the bench load, not a limit to design to",
        source: usual::HEAT_SOURCE,
    },
];
