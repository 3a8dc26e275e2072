//! The seal's formulas and worked example.

use crate::duty::FormulaDoc;
use crate::duty::mechanics::usual;

pub(super) const EXAMPLE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "Worked example: flat gasket under a lid",
  "part": "seal-ring",
  "inputs": {
    "form": "flat",
    "medium": "water",
    "pressure": "0.2 bar",
    "outer_diameter": "90 mm",
    "inner_diameter": "84 mm",
    "thickness": "4 mm",
    "closed_thickness": "3.4 mm",
    "opening": "0.1 mm",
    "bolt_load": "7 kN",
    "joint": "lid with eight screws"
  },
  "surroundings": { "temperature": "10..35 degC", "moisture": "room" },
  "life": "1 year",
  "lies": "flat",
  "harm": { "hurts": "nobody", "damages": "a puddle", "replaceable": true },
  "class": "damage",
  "assumed": ["form", "medium", "pressure", "outer_diameter", "inner_diameter", "thickness", "closed_thickness", "opening", "bolt_load", "joint", "temperature", "moisture", "life", "lies", "hurts", "damages", "replaceable", "class"]
}
"#;

pub(super) const FORMULAS: &[FormulaDoc] = &[
    FormulaDoc {
        limit: "sealing",
        formula: "E1 e = (section - gap)/section; E3 s = E e R, R the share of force kept; E4 flat: E e at least y on closing, E e R at least m p after the life, below 75 A m 0.50 and y 0, from 75 A 1.00 and 1.379 MPa (200 psi); ring: m = 0, y = 0, the fluid presses it; never below 0.1 MPa after the life",
        validity: "ring 10 to 30 % of squeeze, 16 % where it moves, flat up to 30 %, refused outside; faces taken as sliding, the softer end; Shore D counts as hard; a modulus from hardness is shown for comparison and never used",
        source: "E1 limits (verified in source), 10 % (common practice, no source); E3 derived; E4 (verified in source: non-mandatory design values for flanges); 0.1 MPa is ours",
    },
    FormulaDoc {
        limit: "follow-up",
        formula: "E5 (1 - C)(h - h_closed), E2 C by method B: (h0 - hr)/(h0 - hs)",
        validity: "method A divides by the height and is another quantity; the bench's half hour of recovery",
        source: "E2 (ASTM D395 method B, ISO 815; verified in source), E5 derived",
    },
    FormulaDoc {
        limit: "bolt-load",
        formula: "E6 pi/4 G^2 p + 2 b pi G m p, pi b G y, b half the width; E8 squeeze: flat A E_a f(e), 1/E_a = 1/(E (1 + 2 S^2)) + 1/B, ring pi G E d (1.25 e^1.5 + 50 e^6) and pi/4 G^2 p; the largest",
        validity: "faces taken as held, the stiffer end; bolts taken as even",
        source: "E6 from memory, not verified; F6, F7 Gent and Lindley (verified in source); E8 Lindley 1966 (from memory, not verified)",
    },
    FormulaDoc {
        limit: "extrusion",
        formula: "E7 bulge over gap = 0.75 p/(E R), at most a quarter",
        validity: "a gap narrow against the section; incompressible, small bulge",
        source: "E7 opening of a slit under pressure (derived); a quarter is ours",
    },
    FormulaDoc {
        limit: "splitting",
        formula: "E9 strain at break over 1/(1 - e) - 1, at least 2",
        validity: "the side stretches in the layers where it was printed flat, across them otherwise",
        source: "E9 volume kept, no lengthening round the ring (derived); the factor 2 is ours",
    },
    FormulaDoc {
        limit: "tightness",
        formula: "E3 over E4 at room temperature",
        validity: "valued from 1 to 4",
        source: "E3 derived, E4 (verified in source)",
    },
    FormulaDoc {
        limit: "heat-margin",
        formula: "D2 softening onset - hottest moment of service or storage",
        validity: "onset at the bench load, not a limit to design to",
        source: usual::HEAT_SOURCE,
    },
];
