//! The vibration pad's formulas and worked example.

use crate::duty::FormulaDoc;
use crate::duty::mechanics::usual;

pub(super) const EXAMPLE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "Worked example: pads under a shaking table",
  "part": "vibration-pad",
  "inputs": {
    "mass": "34 kg",
    "least_mass": "30 kg",
    "pads": 4,
    "shape": "disc",
    "diameter": "14 mm",
    "height": "25 mm",
    "faces": "loose",
    "runs_at": "2850 rpm",
    "passed_on": 0.6,
    "shaking": "40 N",
    "sag": "3 mm"
  },
  "surroundings": { "temperature": "10..35 degC", "moisture": "room", "counterface": "tile" },
  "life": "1 year",
  "lies": "flat",
  "harm": { "hurts": "nobody", "damages": "a loose screw", "replaceable": true },
  "class": "damage",
  "assumed": ["mass", "least_mass", "pads", "shape", "diameter", "height", "faces", "runs_at", "passed_on", "shaking", "sag", "temperature", "moisture", "counterface", "life", "lies", "hurts", "damages", "replaceable", "class"]
}
"#;

pub(super) const FORMULAS: &[FormulaDoc] = &[
    FormulaDoc {
        limit: "passed-on",
        formula: "F11 f_n = (1/(2 pi)) sqrt(g/elastic sag), 15.76/sqrt(mm), times sqrt(dynamic over static stiffness); F12 T = sqrt((1 + (2 z r)^2)/((1 - r^2)^2 + (2 z r)^2)), r = f/f_n; F14 z = L/sqrt(pi^2 + L^2), L = -ln sqrt(R), R the rebound",
        validity: "one rigid mass on springs, up and down; isolates only above r = 1.41; loose pads as stiff as held ones, which is the worse end; a pad squeezed past a tenth by its slope there (F9); damping of milliseconds, from the rebound",
        source: "F11, F12 (formulas verified in source); dynamic stiffness 1.1 to 3 (from memory, not verified); F14 derived",
    },
    FormulaDoc {
        limit: "isolates",
        formula: "F11, F12 f/f_n at least sqrt 2",
        validity: "where less than the whole may be passed on; needs no damping, so that a pad too stiff is told without a rebound run",
        source: "F11, F12 (verified in source)",
    },
    FormulaDoc {
        limit: "resonance",
        formula: "F12 |f/f_n - 1| at least 0.2 for every natural frequency from softest and heaviest to stiffest and lightest",
        validity: "within a fifth of resonance the answer depends almost wholly on damping; running up through it is not judged",
        source: "F11 (verified in source); a fifth is common practice, no source",
    },
    FormulaDoc {
        limit: "sag",
        formula: "F8 sag = (F/A)/E_a h; loose faces E_a = E; bonded F6, F7 1/E_a = 1/(E (1 + 2 S^2)) + 1/B; F5 S = D/(4h), (D_o - D_i)/(4h) or ab/(2h(a + b)); from 15 % F9 F/A = (E_a/3)(l^-2 - l); F10 E at the life",
        validity: "solid pads, no foam, lattice or infill; a loose pad with S above 1 is refused, for its stiffness is not known within three times; a pad more than twice as high as wide is refused",
        source: "F5, F8 (derived), F6, F7 (Gent and Lindley, verified in source; B from memory, not verified), F9 (derived, common use), F10 (quasi-elastic, derived)",
    },
    FormulaDoc {
        limit: "crushing",
        formula: "F8 p = F/A of the most loaded pad; the pressure carried: of a bolted run, else the stress carried for the life, else a third of the yield strength",
        validity: "pressure even over the whole face",
        source: "F8: derived from mechanics; the order of evidence is ours",
    },
    FormulaDoc {
        limit: "walking",
        formula: "F1 mu (W - F), the lightest weight less the lift of the shaking",
        validity: "shaken up and sideways alike and at once, which is the worst; level floor",
        source: "F1: derived from mechanics",
    },
    FormulaDoc {
        limit: "isolation",
        formula: "F12 share of the shaking passed on at room temperature",
        validity: "valued from the share allowed to 0.15 of it",
        source: "F12 (verified in source)",
    },
    FormulaDoc {
        limit: "heat-margin",
        formula: "D2 softening onset - hottest moment of service or storage",
        validity: "onset at the bench load, not a limit to design to",
        source: usual::HEAT_SOURCE,
    },
];
