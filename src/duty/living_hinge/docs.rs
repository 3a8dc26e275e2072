//! The living hinge's formulas and worked example.

use crate::duty::FormulaDoc;
use crate::duty::mechanics::usual;

pub(super) const FOLD_SOURCE: &str = "N6: the land bends to an arc (derived from mechanics; the equal form t/(2R + t) verified in source)";

pub(super) const STAYS_SOURCE: &str = "N11: stress of the fold, no more than the yield strength, not relaxed, so the high end (derived from mechanics); B4: against what was carried in time";

pub(super) const FOLDS_SOURCE: &str = "a count on printed samples, by the workspace's own property `folds-outlived`: no calculation stands in for it (the moulded hinge's life comes from drawn polymer, verified in source)";

pub(super) const TEAR_SOURCE: &str =
    "B8: pull over the section of the web (derived from mechanics)";

pub(super) const SPRING_SOURCE: &str = "N9: spring-back of a bent strip, elastic and then yielding at one stress (derived from mechanics); the set of a stretched or squeezed piece stands for that of a fold (assumed)";

pub(super) const TORQUE_SOURCE: &str = "N10: moment of the web, no more than where it yields through and through (derived from mechanics)";

pub(super) const EXAMPLE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "Worked example: corner of a folded tray",
  "part": "living-hinge",
  "inputs": {
    "web": "0.4 mm",
    "land": "12 mm",
    "width": "40 mm",
    "angle": "90 deg",
    "folds": 1,
    "pull": "20 N"
  },
  "surroundings": { "temperature": "10..35 degC", "moisture": "room" },
  "life": "2 year",
  "lies": "flat",
  "harm": { "hurts": "nobody", "damages": "a tray of seedlings", "replaceable": true },
  "class": "damage",
  "assumed": ["web", "land", "width", "angle", "folds", "pull", "temperature", "moisture", "life", "lies", "hurts", "damages", "replaceable", "class"]
}
"#;

pub(super) const FORMULAS: &[FormulaDoc] = &[
    FormulaDoc {
        limit: "fold-crack",
        formula: "N6 strain at break against angle t/(2 land)",
        validity: "strain below 1, refused beyond; the whole land bends alike, without a notch where it meets the plates; moulded practice: land 1.5 mm, web 0.2 to 0.4 mm, which strains by 20 to 40 % (verified in source)",
        source: FOLD_SOURCE,
    },
    FormulaDoc {
        limit: "fold-held",
        formula: "N11 stress carried for the life over E e, which is no more than the yield strength",
        validity: "where it is folded once for good, or must spring open after its life folded; the stress relaxes, which is left out; what cracks under stress in a liquid is another matter",
        source: STAYS_SOURCE,
    },
    FormulaDoc {
        limit: "folds",
        formula: "folds outlived by printed samples, counted as the workspace's own property `folds-outlived`",
        validity: "where it is folded more than once; without a count it is not known, whatever the strain",
        source: FOLDS_SOURCE,
    },
    FormulaDoc {
        limit: "web-tear",
        formula: "B8 F/(t w) against the strength along the load; D4 across the layers, where it was not tested, strength in them times the share that the layers keep",
        validity: "pull even along the fold line",
        source: TEAR_SOURCE,
    },
    FormulaDoc {
        limit: "held-pull",
        formula: "as web-tear with the lasting pull, against the stress carried for the life",
        validity: "as web-tear",
        source: TEAR_SOURCE,
    },
    FormulaDoc {
        limit: "spring-back",
        formula: "N9 (3/2 s - s^3/2)(1 - set), s = strain at yield over the strain of the fold, at most 1",
        validity: "one stress beyond yield; the set of a bench piece, not of a fold",
        source: SPRING_SOURCE,
    },
    FormulaDoc {
        limit: "fold-torque",
        formula: "N10 w t^2/6 times E e, no more than 3/2 of the yield strength",
        validity: "folded once, slowly",
        source: TORQUE_SOURCE,
    },
    FormulaDoc {
        limit: "heat-margin",
        formula: "D2 softening onset - hottest moment of service or storage, at least 10 K",
        validity: "onset at the bench load, not a limit to design to",
        source: usual::HEAT_SOURCE,
    },
];
