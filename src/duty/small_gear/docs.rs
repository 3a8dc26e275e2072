//! The gear's formulas and worked example.

use crate::duty::FormulaDoc;
use crate::duty::mechanics::usual;

pub(super) const EXAMPLE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "Worked example: gear of a hand-cranked seed sorter",
  "part": "small-gear",
  "inputs": {
    "teeth": 24,
    "module": "1.5 mm",
    "face": "10 mm",
    "torque": "0.6 N.m",
    "peak_torque": "1.5 N.m",
    "turns": "90 rpm",
    "share": 0.005,
    "busy_share": 0.5,
    "mate_teeth": 36,
    "wear_allowed": "0.2 mm",
    "gears": 1
  },
  "surroundings": { "temperature": "10..30 degC", "moisture": "room", "counterface": "steel-smooth" },
  "life": "5 year",
  "lies": "flat",
  "harm": { "hurts": "nobody", "damages": "a morning's work", "replaceable": true },
  "class": "damage",
  "assumed": ["teeth", "module", "face", "torque", "peak_torque", "turns", "share", "busy_share", "mate_teeth", "wear_allowed", "gears", "temperature", "moisture", "counterface", "life", "lies", "hurts", "damages", "replaceable", "class"]
}
"#;

const LEWIS: &str = "20 degree teeth of full depth, load at the tip, one pair in contact; table K-1 from 12 teeth (refused below) to 300 (its last figure beyond), straight lines between its rows (ours); a face up to 15 modules wide counts (common practice, no source)";

const FATIGUE: &str = "20 degree teeth of full depth, load at the tip, one pair in contact; table K-1 from 12 teeth (refused below) to 300 (its last figure beyond), straight lines between its rows (ours); a face up to 15 modules wide counts (common practice, no source); the share left is of a load that goes both ways (as ASTM D671 bends; from memory, not verified), as an idler's does: safe for teeth that are bent one way";

pub(super) const FORMULAS: &[FormulaDoc] = &[
    FormulaDoc {
        limit: "tooth-fatigue",
        formula: "K1 sigma = K_v W/(b m Y), W = 2 T/d; K2 K_v = (3.05 + v)/3.05 printed, (6.1 + v)/6.1 cut; against the strength left after as many loads as turns, D7",
        validity: FATIGUE,
        source: "K1: a public lecture's table and example (verified in source); K2 from memory, not verified; D5 ASTM D671 figures (verified in source) give shares from a tenth to nearly half, so that the share comes from the polymer, wide",
    },
    FormulaDoc {
        limit: "tooth-shock",
        formula: "K1 sigma = W/(b m Y) of the hardest torque, standing, against the strength",
        validity: LEWIS,
        source: "K1: a public lecture's table and example (verified in source)",
    },
    FormulaDoc {
        limit: "tooth-holding",
        formula: "K1 sigma = W/(b m Y) of the torque held, against the stress carried for the life",
        validity: "only where `holding_torque` is given",
        source: "K1: a public lecture's table and example (verified in source)",
    },
    FormulaDoc {
        limit: "tooth-bending",
        formula: "K12 7.5 W/b (1/E1 + 1/E2), at most 0.07 m; a metal mate does not give, any other gives as much as the gear",
        validity: "teeth at running temperature",
        source: "K12: a guideline for plastic gears (from memory, not verified)",
    },
    FormulaDoc {
        limit: "tooth-wear",
        formula: "K10 s = (pi e cos 20/2)(1/z1 + 1/z2), e = 1.6 pairs in contact; K11 h = 2 k (2 pi T N) s/(z b 2 m)",
        validity: "wear rate of this pair, in the regime of the run; twice the mean because sliding grows from nothing at the pitch point; no grease, no dirt",
        source: "A1 (verified in source), K10, K11 (derived from mechanics); pairs in contact from memory, not verified",
    },
    FormulaDoc {
        limit: "heat-margin",
        formula: "softening onset - (T + m mu s 2 pi T n busy R_th), m = 2 meshes of an idler, else 1, or - storage where that is hotter, at least 20 K; R_th given or 1/(h A)",
        validity: "steady heat over the busiest quarter of an hour, none of it leaving through the mate",
        source: "A10, K10 (derived from mechanics); h 5 to 15 W/(m2.K) in still air from memory, not verified; margin common practice, no source",
    },
    FormulaDoc {
        limit: "wear-life",
        formula: "life x wear_allowed/h",
        validity: "as tooth-wear",
        source: "A2 (derived from mechanics)",
    },
    FormulaDoc {
        limit: "quiet-mesh",
        formula: "modulus of the teeth at room temperature, 8000 to 800 MPa",
        validity: "softer teeth give at each knock and share the load; grease and true spacing do more",
        source: "common practice, no source",
    },
    FormulaDoc {
        limit: "heat-reserve",
        formula: "as heat-margin",
        validity: "as heat-margin",
        source: usual::HEAT_SOURCE,
    },
];
