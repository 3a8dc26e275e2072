//! The strap's formulas and worked example.

use crate::duty::FormulaDoc;
use crate::duty::mechanics::usual;

pub(super) const EXAMPLE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "Worked example: ring that keeps a bin liner on its frame",
  "part": "strap",
  "inputs": {
    "form": "band",
    "width": "10 mm",
    "thickness": "2 mm",
    "free_diameter": "92 mm",
    "drum": "100 mm",
    "tension_needed": "6 N",
    "straps": 1
  },
  "surroundings": { "temperature": "10..35 degC", "moisture": "room", "counterface": "steel-painted" },
  "life": "1 year",
  "lies": "flat",
  "harm": { "hurts": "nobody", "damages": "a liner that falls in", "replaceable": true },
  "class": "damage",
  "assumed": ["form", "width", "thickness", "free_diameter", "drum", "tension_needed", "straps", "temperature", "moisture", "counterface", "life", "lies", "hurts", "damages", "replaceable", "class"]
}
"#;

pub(super) const FORMULAS: &[FormulaDoc] = &[
    FormulaDoc {
        limit: "breaking",
        formula: "K3 sigma = F/(n w t), n = 2 legs of a loop, times 1.2 to 2 where a loop bends round its pin; against the tensile strength",
        validity: "the strip itself; knots, buckles and welded ends hold less",
        source: "K3: derived from mechanics; the bend from memory, not verified",
    },
    FormulaDoc {
        limit: "holding",
        formula: "K3 of the pull that stays, against the stress carried for the life",
        validity: "as breaking; the stress carried is that of a specimen which bore it",
        source: "K3: derived from mechanics",
    },
    FormulaDoc {
        limit: "hole-tear",
        formula: "D9 F/(n (w - d) t) times 1 + q (3 - 1), q = 0.6 from 50 % strain at break, 1 below",
        validity: "one small round hole in the middle; bounded by the factor of a wide strip",
        source: "D9: elastic theory; q from memory, not verified; 50 % is ours",
    },
    FormulaDoc {
        limit: "hole-holding",
        formula: "D9 as hole-tear, of the pull that stays, against the stress carried for the life",
        validity: "as hole-tear; q is that of one pull: long loads make some tough polymers brittle",
        source: "D9: elastic theory; q from memory, not verified; 50 % is ours",
    },
    FormulaDoc {
        limit: "stretch",
        formula: "sigma/E, E the creep modulus at the life and this stress, else the modulus when new times the share of force kept; above 10 % G4 sigma/E = (l - l^-2)/3",
        validity: "mixed between 10 and 15 %; past 30 % it says 100 %, no more",
        source: "B5 (verified in outline), G4 (derived, common use), G8 (quasi-elastic, derived)",
    },
    FormulaDoc {
        limit: "bend-crack",
        formula: "K18 t/(D + t) at the outside of the bend, against the strain at break, or what the case's `cycles` leave of it (D7)",
        validity: "a loop or wrap printed straight; not where `printed_round`; the pull's own stretch is not added, and a bend that is kept for months creeps and is easier on it",
        source: "K18: derived from mechanics; D7 the lower line, the choice ours",
    },
    FormulaDoc {
        limit: "slip",
        formula: "K4 tail exp(mu theta), of a wrap",
        validity: "even friction all round, post that does not turn",
        source: "K4: derived from mechanics",
    },
    FormulaDoc {
        limit: "fatigue",
        formula: "D8 amplitude/S_N + mean/S at most 1, of K3 or D9 at a hole, whichever is higher; D7 S_N after the case's `cycles`",
        validity: "only where the case says `cycles`; between the pull that stays and the hardest, or from nothing",
        source: "D7, D8: derived from mechanics; the share left from the polymer, wide",
    },
    FormulaDoc {
        limit: "break-reserve",
        formula: "strain at break over the ring's stretch D/d - 1, at least 2",
        validity: "stretch above 0 and up to 30 %, refused beyond",
        source: "K5: derived from mechanics; the 2 is ours",
    },
    FormulaDoc {
        limit: "ring-holding",
        formula: "stress carried for the life over K5 sigma = E eps, above 10 % G4 E (l - l^-2)/3",
        validity: "as break-reserve; modulus at about this stretch",
        source: "K5, G4: derived from mechanics",
    },
    FormulaDoc {
        limit: "tension-left",
        formula: "K5 T = E A eps (above 10 % G4) times the share kept at fixed stretch at the life",
        validity: "as break-reserve; warmth that lengthens the ring is not counted",
        source: "K5, G4, G8: derived from mechanics",
    },
    FormulaDoc {
        limit: "ring-slip",
        formula: "K6 2 pi mu T r, T as tension-left",
        validity: "a full turn in contact",
        source: "K6: derived from mechanics",
    },
    FormulaDoc {
        limit: "set",
        formula: "share of the stretch that stays after release",
        validity: "only where `set_allowed` is given; as tested",
        source: "ISO 2285 (from memory, not verified)",
    },
    FormulaDoc {
        limit: "heat-margin",
        formula: "D2 softening onset - hottest moment of service or storage",
        validity: "onset at the bench load, not a limit to design to",
        source: usual::HEAT_SOURCE,
    },
    FormulaDoc {
        limit: "keeps-pull",
        formula: "share of the pull kept at fixed stretch for the life, 0.3 to 0.9",
        validity: "of a ring held stretched, else of a squeeze",
        source: "G8: ISO 6914 (from memory, not verified)",
    },
];
