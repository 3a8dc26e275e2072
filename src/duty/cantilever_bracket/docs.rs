//! The bracket's formulas and worked example.

use crate::duty::FormulaDoc;
use crate::duty::mechanics::usual;

pub(super) const ROOT_SOURCE: &str = "B1: bending of a beam (derived from mechanics); D9: the corner's factor from memory, not verified, a hook's bend by Winkler and Bach (standard, derived)";

pub(super) const HELD_SOURCE: &str =
    "B1, B4, D6: bending of a beam (derived from mechanics) against what was carried in time";

pub(super) const FATIGUE_SOURCE: &str = "B1, D7, D8: Goodman's line (derived from mechanics); the share left after many loads ASTM D671 for some polymers, the line ours";

pub(super) const DROOP_SOURCE: &str = "B2, B3: bending and shear of a beam, a hook's bend by Castigliano's theorem (derived from mechanics); B5: creep modulus in the elastic formula (the method verified in outline)";

pub(super) const SCREW_SOURCE: &str = "B6: moments about the plate's lower edge (derived from mechanics); F11: the order of evidence is ours, a third of the yield strength is common practice, no source; at the peak the load is short, so that the yield strength is asked first and a bolted run stands in (ours); shear of the plate round the head against strength/sqrt(3), von Mises (derived from mechanics)";

pub(super) const EXAMPLE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "Worked example: bracket for a light shelf",
  "part": "cantilever-bracket",
  "inputs": {
    "form": "bracket",
    "load": "15 N",
    "peak": "40 N",
    "arm": "80 mm",
    "spread": "tip",
    "height": "20 mm",
    "width": "12 mm",
    "inner_radius": "8 mm",
    "notch_sensitivity": 1,
    "droop": "1.5 mm",
    "upper_screws": 1,
    "screw_to_heel": "50 mm",
    "head_diameter": "9 mm",
    "hole_diameter": "4.5 mm",
    "plate": "6 mm",
    "carries": "seed tins"
  },
  "surroundings": { "temperature": "10..35 degC", "moisture": "room" },
  "life": "3 year",
  "lies": "flat",
  "harm": { "hurts": "nobody", "damages": "what stands on it", "replaceable": true },
  "class": "damage",
  "assumed": ["form", "load", "peak", "arm", "spread", "height", "width", "inner_radius", "notch_sensitivity", "droop", "upper_screws", "screw_to_heel", "head_diameter", "hole_diameter", "plate", "carries", "temperature", "moisture", "life", "lies", "hurts", "damages", "replaceable", "class"]
}
"#;

pub(super) const FORMULAS: &[FormulaDoc] = &[
    FormulaDoc {
        limit: "root-break",
        formula: "B1 6 F L/(b h^2), half of it where the load is spread, times K_f = 1 + q (K_t - 1), against the strength along the arm; K_t = 0.907 (r/h)^(-1/3) between 1.2 and 3, of a hook's bend by Winkler and Bach; D4 across the layers, where it was not tested, strength in them times the share that the layers keep",
        validity: "arm no shorter than high; the peak load; solid section: with infill the walls alone carry",
        source: ROOT_SOURCE,
    },
    FormulaDoc {
        limit: "root-creep",
        formula: "as root-break with the load that hangs for good, against the stress carried for the life",
        validity: "as root-break; brittle polymers crack without a warning",
        source: HELD_SOURCE,
    },
    FormulaDoc {
        limit: "root-fatigue",
        formula: "D8 amplitude over what D7 leaves of the strength after the cycles, plus mean over the strength; amplitude and mean each half of the highest stress",
        validity: "where the case gives `cycles`; slow enough not to heat; D7 from 1 to ten million cycles, the lower of two lines",
        source: FATIGUE_SOURCE,
    },
    FormulaDoc {
        limit: "droop",
        formula: "B2 4 F L^3/(E b h^3) + B3 F L/(5/6 G b h), G = E/(2 (1 + nu)); spread evenly 3/8 and half of them; of a hook F S/(E I), S = a^3/3 + R (a^2 pi/2 + 2 a R + R^2 pi/4), R the middle radius of its bend, a = L - R; E the creep modulus at the life",
        validity: "droop up to a tenth of the arm, refused beyond; a hook's bend as a thin one, which a thick one stays below, and its shear as of the whole length, the high end; solid section: sparse infill shears far more; the plate is taken as rigid",
        source: DROOP_SOURCE,
    },
    FormulaDoc {
        limit: "head-crush",
        formula: "B6 F reach/(screw to heel)/screws over the area of the head without the hole, against F11 the pressure carried: of a bolted run, else the stress carried for the life, else a third of the yield strength",
        validity: "the lasting load; the plate turns about its lower edge; what the screw's own tightening adds is left out",
        source: SCREW_SOURCE,
    },
    FormulaDoc {
        limit: "head-press",
        formula: "as head-crush with the peak, against the yield strength, else the pressure of a bolted run",
        validity: "the peak load, for a moment",
        source: SCREW_SOURCE,
    },
    FormulaDoc {
        limit: "hole-crush",
        formula: "B6 F/screws over hole diameter times plate, against F11 as head-crush",
        validity: "the lasting load, on the upper screws alone",
        source: SCREW_SOURCE,
    },
    FormulaDoc {
        limit: "hole-press",
        formula: "as hole-crush with the peak, against the yield strength, else the pressure of a bolted run",
        validity: "the peak load, for a moment, on the upper screws alone",
        source: SCREW_SOURCE,
    },
    FormulaDoc {
        limit: "pull-through",
        formula: "B6 pull on a screw over pi times head diameter times plate, against the strength across the layers over sqrt(3); D4 where it was not tested across",
        validity: "the peak load; shear alone: the bending of the plate between arm and screws is not judged",
        source: SCREW_SOURCE,
    },
    FormulaDoc {
        limit: "pull-through-in-time",
        formula: "as pull-through with the load that hangs for good, against the stress carried for the life over sqrt(3)",
        validity: "as pull-through",
        source: SCREW_SOURCE,
    },
    FormulaDoc {
        limit: "heat-margin",
        formula: "D2 softening onset - hottest moment of service or storage, at least 20 K",
        validity: "onset at the bench load, not a limit to design to",
        source: usual::HEAT_SOURCE,
    },
];
