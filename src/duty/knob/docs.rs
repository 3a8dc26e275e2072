//! The knob's formulas and worked example.

use crate::duty::FormulaDoc;
use crate::duty::mechanics::usual;

pub(super) const EXAMPLE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "Worked example: star knob of a window stay",
  "part": "knob",
  "inputs": {
    "rim_diameter": "60 mm",
    "rim_height": "14 mm",
    "hub_diameter": "32 mm",
    "hub_length": "30 mm",
    "shaft": "14 mm",
    "fixing": "flat",
    "flat_width": "11 mm",
    "torque": "6.5 N.m",
    "everyday_torque": "0.8 N.m",
    "turns_per_day": 4,
    "knobs": 1
  },
  "surroundings": { "temperature": "5..35 degC", "moisture": "room", "counterface": "steel-smooth" },
  "life": "5 year",
  "lies": "flat",
  "harm": { "hurts": "nobody", "damages": "a window that stays shut", "replaceable": true },
  "class": "damage",
  "assumed": ["rim_diameter", "rim_height", "hub_diameter", "hub_length", "shaft", "fixing", "flat_width", "torque", "everyday_torque", "turns_per_day", "knobs", "temperature", "moisture", "counterface", "life", "lies", "hurts", "damages", "replaceable", "class"]
}
"#;

const HAND: &str = "K9: one household knob, 14 men, mean 4.07 N.m (36 lbf.in), standard deviation 0.81 (verified in source); mean and three of them is ours";

pub(super) const FORMULAS: &[FormulaDoc] = &[
    FormulaDoc {
        limit: "hub-torsion",
        formula: "K7 tau = 16 T D/(pi (D^4 - d^4)), T at least a strong hand's 6.51 N.m where none is given, against strength across the layers over sqrt(3)",
        validity: "round hub, thinnest section; a seam is sheared however the knob lies",
        source: HAND,
    },
    FormulaDoc {
        limit: "hub-fatigue",
        formula: "K7 of the everyday torque, against the shear strength left after so many turns, D7",
        validity: "only where `everyday_torque` and `turns_per_day` or `cycles` are given",
        source: "K7, D7: derived from mechanics; the share left from the polymer, wide",
    },
    FormulaDoc {
        limit: "flat-pressure",
        formula: "K8 p = 3 T/(L w^2), w half the flat's width, against the yield strength, else the bearing pressure carried",
        validity: "no play: an upper bound that play raises",
        source: "K8: derived from mechanics",
    },
    FormulaDoc {
        limit: "hub-split",
        formula: "K14 T/(2 w/3) over one wall of the hub, L (D - d)/2",
        validity: "an upper bound for the wall, the other of which helps; the stress at the inner corners of the bore, where such hubs crack first, is not in it",
        source: "K14: derived from mechanics",
    },
    FormulaDoc {
        limit: "press-hold",
        formula: "G5 mu p pi d L d/2, p of the press fit (G1 to G4) at this temperature (G7), times the share kept for the life (G8)",
        validity: "rigid shaft, bore at most 1.3 times stretched, refused beyond",
        source: "G1 to G5, G7, G8: derived from mechanics",
    },
    FormulaDoc {
        limit: "hoop-strain",
        formula: "strain at break over interference/bore, at least 2",
        validity: "a pressed-on hub",
        source: "G1, G7: derived from mechanics; the 2 is ours",
    },
    FormulaDoc {
        limit: "hoop-stress",
        formula: "stress carried for the life over the hoop stress that lasts",
        validity: "a pressed-on hub",
        source: "G1 to G4, G7, G8: derived from mechanics",
    },
    FormulaDoc {
        limit: "screw-pressure",
        formula: "K15 (2 T/d)/(s wall), against the yield strength, else the bearing pressure carried",
        validity: "one screw or pin through one wall; its thread is not judged",
        source: "K15: derived from mechanics",
    },
    FormulaDoc {
        limit: "spoke-bending",
        formula: "K16 6 (T/n)(1 - D_hub/D_rim)/(b h^2), h along the rim",
        validity: "only with spokes; straight ones of even section",
        source: "K16: derived from mechanics",
    },
    FormulaDoc {
        limit: "hand-slip",
        formula: "K17 mu F D",
        validity: "only where `grip_force` is given: a smooth round rim, friction on skin",
        source: "K17: derived from mechanics",
    },
    FormulaDoc {
        limit: "heat-margin",
        formula: "D2 softening onset - hottest moment of service or storage",
        validity: "onset at the bench load, not a limit to design to",
        source: usual::HEAT_SOURCE,
    },
    FormulaDoc {
        limit: "positive-feel",
        formula: "K13 T L/(G J), G = E/(2 (1 + nu)), from that of 300 to that of 4000 MPa",
        validity: "of the hub alone; play on the shaft adds to it",
        source: "K13: derived from mechanics; the scale is ours",
    },
];
