//! The protective cap's formulas and worked example.

use crate::duty::FormulaDoc;
use crate::duty::mechanics::usual;

pub(super) const HOLD_SOURCE: &str = "G1 to G5, G7, G8: thin and thick rings on a rigid tube, neo-Hookean stretch, friction and expansion (derived from mechanics; the press-fit form verified in source)";

pub(super) const EXAMPLE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "Worked example: cap on the end of a tube",
  "part": "protective-cap",
  "inputs": {
    "tube_diameter": "20 mm",
    "bore": "19.4 mm",
    "wall": "2 mm",
    "length": "18 mm",
    "tube": "painted-steel",
    "pull_off": "15 N",
    "push_on": "180 N",
    "times": 60,
    "end_load": "40 N",
    "tube_wall": "1.5 mm",
    "end_thickness": "2.4 mm",
    "fitted_at": "23 degC"
  },
  "surroundings": { "temperature": "10..35 degC", "moisture": "room", "counterface": "steel-painted" },
  "life": "1 year",
  "lies": "upright",
  "harm": { "hurts": "nobody", "damages": "a scratched floor", "replaceable": true },
  "class": "damage",
  "assumed": ["tube_diameter", "bore", "wall", "length", "tube", "pull_off", "push_on", "times", "end_load", "tube_wall", "end_thickness", "fitted_at", "temperature", "moisture", "counterface", "life", "lies", "hurts", "damages", "replaceable", "class"]
}
"#;

pub(super) const FORMULAS: &[FormulaDoc] = &[
    FormulaDoc {
        limit: "pull-off",
        formula: "F = R mu p pi d L, R the force kept at fixed stretch; thin wall p = E (delta/D_b) w/(d/2); thick p = E (delta/d)/(C + nu), C = (D_o^2 + d^2)/(D_o^2 - d^2); from 9.5 % stretch sigma = (E/3)(l^2 - 1/l), w/sqrt(l), the lower of both; delta(T) = delta + d (a_tube - a_cap)(T - T_fit), never below 0",
        validity: "thin up to w/d 0.05; stretch up to 1.3, refused beyond; clearance refused; on the tube for the whole life, which is worse than being off it between",
        source: HOLD_SOURCE,
    },
    FormulaDoc {
        limit: "push-on",
        formula: "G11 F = mu p pi d L when new, p the high end of G1 to G4 with G3 held from shortening",
        validity: "pushed on dry, over the whole length; a wet or soaped cap goes on with less",
        source: "G11: derived from mechanics; 150 N where nothing is said is ours",
    },
    FormulaDoc {
        limit: "bore-wear",
        formula: "A1 depth = k p s, s the times on and off times half the length each way; 2 depth over the interference",
        validity: "from ten thousand times on; a wear rate below what the rig resolves is a bound",
        source: "A1: Archard (verified in source), derived; a quarter of the interference is ours",
    },
    FormulaDoc {
        limit: "hoop-strain",
        formula: "G1, G7 eps = delta/D_b; strain at break times the fatigue share at so many times, at least twice that",
        validity: "at both ends of the temperature: a cold cap is tighter and breaks sooner",
        source: "G1, G7: derived from mechanics; twice the stretch is ours; fatigue share from memory, not verified",
    },
    FormulaDoc {
        limit: "hoop-stress",
        formula: "G2, G3, G8 stress carried for the life over p C R at the bore",
        validity: "the high end of the models; without a run at the life, half the strength (assumed)",
        source: "G1 to G4, G7, G8: derived from mechanics",
    },
    FormulaDoc {
        limit: "end-crushing",
        formula: "C1 p = F/((pi/4)(d^2 - (d - 2 t)^2)); the pressure carried: of a bolted run, else the stress carried for the life, else a third of the yield strength",
        validity: "a square-cut edge bearing all round; a burr cuts sooner",
        source: "C1: derived from mechanics; the order of evidence is ours",
    },
    FormulaDoc {
        limit: "end-punch",
        formula: "C2 tau = F/(pi d t) against strength across the layers/sqrt(3)",
        validity: "the shear on the rim acts between the layers too, however the cap was printed",
        source: "C2: derived from mechanics (von Mises)",
    },
    FormulaDoc {
        limit: "easy-on-off",
        formula: "G11 at room temperature",
        validity: "valued from the force allowed to the pull that it must hold",
        source: "G11: derived from mechanics",
    },
    FormulaDoc {
        limit: "heat-margin",
        formula: "D2 softening onset - hottest moment of service or storage",
        validity: "onset at the bench load, not a limit to design to",
        source: usual::HEAT_SOURCE,
    },
];
