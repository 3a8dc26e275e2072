//! The snap hook's formulas and worked example.

use crate::duty::FormulaDoc;
use crate::duty::mechanics::usual;

pub(super) const CRACK_SOURCE: &str = "N1, N3: strain by the geometry alone (derived from mechanics); D9: the corner's factor from memory, not verified; D7: the share left after many workings ASTM D671 for some polymers, the line ours";

pub(super) const SET_SOURCE: &str = "N1, D6: 70 % of the strain at yield for a single use, 40 % for repeated use (common practice, no source)";

pub(super) const PUSH_SOURCE: &str = "N2: force that bends the arm (derived from mechanics); N4: push on a ramp (verified in source)";

pub(super) const HELD_SLIP_SOURCE: &str = "N2, N4 as a pull that comes and goes, F10: the modulus left at the life in the elastic formula (derived; the method verified in outline)";

pub(super) const TEAR_SOURCE: &str = "B8: pull and its bending, because it lies beside the middle of the arm (derived from mechanics)";

pub(super) const REST_SOURCE: &str =
    "N1, N2: modulus times strain, not relaxed, so the high end (derived from mechanics)";

pub(super) const EXAMPLE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "Worked example: hook that shuts a box",
  "part": "snap-hook",
  "inputs": {
    "arm_length": "18 mm",
    "thickness": "2 mm",
    "width": "10 mm",
    "taper": "thickness-to-half",
    "undercut": "1.5 mm",
    "entry_angle": "30 deg",
    "exit_angle": "45 deg",
    "fillet_radius": "1 mm",
    "worked": 200,
    "hooks": 2,
    "push_limit": "50 N",
    "pull": "12 N",
    "friction": 0.3
  },
  "surroundings": { "temperature": "10..35 degC", "moisture": "room" },
  "life": "3 year",
  "lies": "flat",
  "harm": { "hurts": "nobody", "damages": "what falls out", "replaceable": true },
  "class": "damage",
  "assumed": ["arm_length", "thickness", "width", "taper", "undercut", "entry_angle", "exit_angle", "fillet_radius", "worked", "hooks", "push_limit", "pull", "friction", "temperature", "moisture", "life", "lies", "hurts", "damages", "replaceable", "class"]
}
"#;

pub(super) const FORMULAS: &[FormulaDoc] = &[
    FormulaDoc {
        limit: "root-crack",
        formula: "strain at break, of many workings what D7 leaves, against K_f y t/(C L^2); C 2/3 for an even arm, 1.09 where the thickness falls to half, 0.855 where the width falls to a quarter; K_f = 1 + q (K_t - 1), K_t = 0.907 (r/t)^(-1/3) between 1.2 and 3",
        validity: "L/t from 5, refused below; y/L up to 0.2, refused beyond; D7 from 1 to ten million workings, the lower of two lines",
        source: CRACK_SOURCE,
    },
    FormulaDoc {
        limit: "root-set",
        formula: "0.7 (once) or 0.4 (again and again) times yield strength over modulus against y t/(C L^2)",
        validity: "strength and modulus in the layers: across them a print breaks before it yields, which `root-crack` judges; shares stand for bending tests that no bench here makes",
        source: SET_SOURCE,
    },
    FormulaDoc {
        limit: "push-in",
        formula: "N2 P = b t^2 E e/(6 L); N4 push = P (mu + tan a)/(1 - mu tan a)",
        validity: "mu tan a below 1, refused where the friction is said or assumed, else counted as a hundredfold push; past yield the force is the high end",
        source: PUSH_SOURCE,
    },
    FormulaDoc {
        limit: "pull-out",
        formula: "as push-in with the angle out and the stress at the root no more than the yield strength",
        validity: "mu tan a below 1; a ramp that locks, by a friction that is known or at 90 deg, holds by the arm's strength, which `arm-tear` judges, and counts as a hundredfold here; friction nobody says is taken as 0.1 (from memory, not verified), and its ramp as no more than twice one without friction",
        source: PUSH_SOURCE,
    },
    FormulaDoc {
        limit: "arm-tear",
        formula: "B8 F/(b t) (1 + 6 e/t), e = (t + y)/2, at the root times K_f or near the hook, against the strength along the arm; D4 across the layers, where it was not tested, strength in them times the share that the layers keep",
        validity: "the hook's face bears at half its depth; the hook itself is taken as stronger than the arm",
        source: TEAR_SOURCE,
    },
    FormulaDoc {
        limit: "held-slip",
        formula: "as pull-out with the lasting pull and F10 the modulus left at the life: the creep modulus, else the modulus when new times the share of force kept",
        validity: "as pull-out; of what a lasting pull does to yielding only the modulus is counted, the yield strength is that of a short test",
        source: HELD_SLIP_SOURCE,
    },
    FormulaDoc {
        limit: "held-pull",
        formula: "as arm-tear with the lasting pull, against the stress carried for the life",
        validity: "as arm-tear",
        source: TEAR_SOURCE,
    },
    FormulaDoc {
        limit: "held-bent",
        formula: "stress carried for the life over K_f E e of the bend that stays",
        validity: "the stress relaxes, which is left out",
        source: REST_SOURCE,
    },
    FormulaDoc {
        limit: "heat-margin",
        formula: "D2 softening onset - hottest moment of service or storage, at least 10 K",
        validity: "onset at the bench load, not a limit to design to",
        source: usual::HEAT_SOURCE,
    },
];
