//! The sliding pad's formulas and worked example.

use crate::duty::FormulaDoc;
use crate::duty::mechanics::usual;

pub(super) const EXAMPLE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "Worked example: pad under a sliding lid",
  "part": "sliding-pad",
  "inputs": {
    "contact": "flat",
    "load": "60 N",
    "width": "20 mm",
    "length": "30 mm",
    "thickness": "5 mm",
    "speed": "0.2 m/s",
    "strokes_per_day": 20,
    "stroke": "600 mm",
    "busy_share": 0.05,
    "wear_allowed": "1 mm",
    "thermal_resistance": "12 K/W",
    "pads": 4
  },
  "surroundings": { "temperature": "10..35 degC", "moisture": "room", "counterface": "steel-smooth" },
  "life": "5 year",
  "lies": "flat",
  "harm": { "hurts": "nobody", "damages": "a pane of glass", "replaceable": true },
  "class": "damage",
  "assumed": ["contact", "load", "width", "length", "thickness", "speed", "strokes_per_day", "stroke", "busy_share", "wear_allowed", "thermal_resistance", "pads", "temperature", "moisture", "counterface", "life", "lies", "hurts", "damages", "replaceable", "class"]
}
"#;

pub(super) const FORMULAS: &[FormulaDoc] = &[
    FormulaDoc {
        limit: "wear-depth",
        formula: "V = k F s; flat h = V/A; bush under a standing load h = k (4/pi) F/(D L) s; bush that the load goes round h = V/(pi D L); shaft on a flat the segment of area V/L, for small grooves [3 V/(4 L sqrt(2R))]^(2/3)",
        validity: "wear rate of this pair and face, in the regime of the run; a groove up to a twentieth of the shaft's radius, refused beyond",
        source: "A1 (verified in source: a published pair of unit systems prints it), A2, A6 to A8 (derived from mechanics)",
    },
    FormulaDoc {
        limit: "pressure",
        formula: "flat F/A; bush (4/pi) F/(D L); shaft on a flat F over the groove at the depth allowed; against the bearing pressure carried, else a third of the yield strength",
        validity: "even pressure on the flat; a line contact is taken as worn in",
        source: "A5 (verified in source), A6 (derived from mechanics); the third is common practice, no source",
    },
    FormulaDoc {
        limit: "pv",
        formula: "p v with p the nominal pressure (a bush's F/(D L)) and v the sliding speed, a bush's pi D n; against what a run held",
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
        limit: "heat-margin",
        formula: "softening onset - (T + mu F v busy R_th), or - storage where that is hotter, at least 20 K; R_th given or 1/(h A)",
        validity: "steady heat over the busiest quarter of an hour; most heat leaves through a metal shaft",
        source: "A10 (derived from mechanics); h 5 to 15 W/(m2.K) in still air from memory, not verified; margin common practice, no source",
    },
    FormulaDoc {
        limit: "spot-heat",
        formula: "dT = mu F v/(4 a (k1 + k2)) over (softening onset - T), at most 1; from 10 on it says that the pair melts, and no more",
        validity: "only where `contact_radius` is given; slow sliding, both bodies large against the spot",
        source: "A11 (standard heat conduction; derived); conductivity of surfaces from memory, not verified",
    },
    FormulaDoc {
        limit: "creep-sink",
        formula: "p t/E, E the creep modulus at the life and this pressure",
        validity: "only where `sink_allowed` is given; a pad that is free to bulge sinks as computed, a held one less",
        source: "B5: pseudo-elastic method (verified in outline)",
    },
    FormulaDoc {
        limit: "wear-life",
        formula: "life x wear_allowed/h; to the power 3/2 for a groove",
        validity: "as wear-depth",
        source: "A2, A8 (derived from mechanics)",
    },
    FormulaDoc {
        limit: "heat-reserve",
        formula: "as heat-margin",
        validity: "as heat-margin",
        source: usual::HEAT_SOURCE,
    },
];
