//! The tyre's formulas and worked example.

use crate::duty::FormulaDoc;
use crate::duty::mechanics::usual;

pub(super) const EXAMPLE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "Worked example: roller under a sliding door",
  "part": "wheel-tyre",
  "inputs": {
    "rim_diameter": "24 mm",
    "thickness": "6 mm",
    "width": "14 mm",
    "fixing": "stretch",
    "bore": "23.2 mm",
    "rim": "painted-steel",
    "load": "15 N",
    "speed": "0.4 m/s",
    "distance": "4 km",
    "slip": 0.02,
    "traction": "3 N",
    "stands": "20 week",
    "sag": "0.9 mm",
    "flat_spot": "0.4 mm",
    "wear_allowed": "1 mm"
  },
  "surroundings": { "temperature": "10..35 degC", "moisture": "room", "counterface": "aluminium" },
  "life": "1 year",
  "lies": "flat",
  "harm": { "hurts": "nobody", "damages": "a door that drags", "replaceable": true },
  "class": "damage",
  "assumed": ["rim_diameter", "thickness", "width", "fixing", "bore", "rim", "load", "speed", "distance", "slip", "traction", "stands", "sag", "flat_spot", "wear_allowed", "temperature", "moisture", "counterface", "life", "lies", "hurts", "damages", "replaceable", "class"]
}
"#;

pub(super) const FORMULAS: &[FormulaDoc] = &[
    FormulaDoc {
        limit: "sag",
        formula: "R2 d = (3 F t/(4 E L sqrt(2 R)))^(2/3), F10 E at the time it stands",
        validity: "tread on a hard rim, at least a twentieth of the radius thick, taken as springs side by side, which sink further than it does; squeezed flat beyond half of it",
        source: "R2 elastic foundation (derived); F10 (quasi-elastic, derived)",
    },
    FormulaDoc {
        limit: "flat-spot",
        formula: "R4 C d, C the compression set of method B",
        validity: "straight after standing; much of it rolls out again",
        source: "R4 derived; method B (verified in source)",
    },
    FormulaDoc {
        limit: "crushing",
        formula: "R1 b = sqrt(4 F R (1 - nu^2)/(pi L E)), p = 2 F/(pi b L), or R2 E d/((1 - nu^2) t), the higher; the pressure borne (of a bolted run, else carried for the life, else a third of yield) left after all turns D7",
        validity: "smooth hard floor; an edge or a stone presses more",
        source: "R1 Hertz line contact (Johnson, Contact Mechanics, section 4.2; from memory, not verified); R2, D7 derived; fatigue share from memory, not verified",
    },
    FormulaDoc {
        limit: "wear",
        formula: "A1 depth = k F x (slip s)/(2 pi R L)",
        validity: "wear rate on this floor; a rate below what the rig resolves is a bound; grit cuts more than a smooth floor wears",
        source: "A1 Archard (verified in source); slip of 0.02 is ours, no source",
    },
    FormulaDoc {
        limit: "rim-hold",
        formula: "G5, G8 T = R mu p pi d L d/2 of the stretched tyre, at least the force along the floor times the radius",
        validity: "the load itself presses the tyre to the rim too, which is left out; clearance is refused, a stretch above 1.3 too",
        source: "G1 to G5, G7, G8: derived from mechanics",
    },
    FormulaDoc {
        limit: "hoop-strain",
        formula: "G1, G7 strain at break over delta/D_b, at least 2",
        validity: "at both ends of the temperature; a cut starts a split at less",
        source: "G1, G7: derived from mechanics; twice the stretch is ours",
    },
    FormulaDoc {
        limit: "hoop-stress",
        formula: "G2, G3, G8 stress carried for the life over p C R at the bore",
        validity: "the high end of the models; without a run at the life, half the strength (assumed)",
        source: "G1 to G4, G7, G8: derived from mechanics",
    },
    FormulaDoc {
        limit: "heat-margin",
        formula: "R3 f = 2 (1 - rebound) b/(3 pi R); R5 rise = f F v/(h A); D2 softening onset - hottest moment - rise",
        validity: "rolling without a break; tread and sides cool, the rim does not",
        source: usual::HEAT_SOURCE,
    },
    FormulaDoc {
        limit: "easy-rolling",
        formula: "R3 f = 2 (1 - rebound) b/(3 pi R) at room temperature",
        validity: "loss of the bench's rebound, which is faster than slow rolling; valued from 0.05 to 0.005",
        source: "R3 Greenwood, Minshall and Tabor 1961 (from memory, not verified)",
    },
];
