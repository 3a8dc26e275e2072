//! A durometer pressed on the piece: Shore A or Shore D.
//!
//! `SH1` the reading within its scale, `SH2` the ends of the scales, `SH3` the thickness.
//! One scale is never turned into the other: the tables for that disagree by ten points.

use crate::bench::{BenchTest, Column, HowTo, Need, Outcome, Reduction, Specimen};
use crate::num::median;
use crate::quantity::Reading;

/// The hardness test.
pub(super) struct Hardness;

/// Lowest reading of a scale that tells hardness (ASTM D2240, verified in source for A and D).
const LOW: f64 = 20.0;
/// Highest reading of a scale that tells hardness (ASTM D2240, verified in source for A; for D from memory, not verified).
const HIGH: f64 = 90.0;
/// Least thickness, mm (ISO 48-4; from memory, not verified).
const THICK_MM: f64 = 6.0;
/// Least thickness of the other standard, mm (ASTM D2240, verified in source).
const THICK_OTHER_MM: f64 = 6.4;
/// Dwells, s, at which the standards read (ISO 48-4; from memory, not verified).
const DWELLS_S: [f64; 2] = [3.0, 15.0];

const COLUMNS: &[Column] = &[
    Column::word(
        "scale",
        Need::Once,
        &["A", "D"],
        "A for soft, D for hard; above 90 A use D, below 20 D use A",
    ),
    Column::number(
        "hardness",
        Need::Optional,
        "1",
        0.5,
        0.0,
        "the reading; blank only beside `above range` or `below range`",
    ),
    Column::number(
        "thickness",
        Need::Once,
        "mm",
        0.1,
        0.05,
        "thickness under the point, 6 mm or more",
    ),
    Column::number(
        "dwell",
        Need::Optional,
        "s",
        0.0,
        0.0,
        "time under load before the reading; 3 s or 15 s",
    ),
];

impl BenchTest for Hardness {
    fn id(&self) -> &'static str {
        "hardness"
    }
    fn title(&self) -> &'static str {
        "hardness"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[Outcome::AboveRange, Outcome::BelowRange]
    }
    fn gives(&self) -> &'static [&'static str] {
        &["shore-a", "shore-d"]
    }
    fn formulas(&self) -> &'static [&'static str] {
        &[
            "SH1 hardness = the reading; several lines of one piece: their median [ISO 48-4, from memory, not verified]",
            "SH2 from 20 to 90 of either scale it is a figure; above, `>= 90`; below, `<= 20` [ASTM D2240, verified in source for A and for D below 20; D above 90 from memory, not verified]",
            "SH3 a piece under 6 mm lets the base be felt and reads hard: `<=` the reading [ISO 48-4, 6 mm, from memory, not verified; ASTM D2240 asks 6.4 mm, verified in source, and a piece between the two is noted]",
            "no reading of one scale is turned into the other",
        ]
    }
    fn howto(&self) -> HowTo {
        HowTo {
            measure: [
                "At least 6 mm of material under the point (stack flat pieces), 12 mm from each edge, points 6 mm apart; press square and without a jerk.",
                "Read after the same dwell each time, 3 s or 15 s, and write it. Five points a piece are one reading each.",
            ],
            beware: [
                "Infill below the skin gives way: print solid. Above 90 on A go to D, below 20 on D go to A.",
                "A pointer at the end of its scale is a bound: write `above range` or `below range`.",
            ],
            specimens: 5,
            lines: 1,
        }
    }

    fn reduce(&self, s: &Specimen, out: &mut Reduction) {
        let (id, unit) = match s.word("scale") {
            Some("A") => ("shore-a", "shoreA"),
            Some("D") => ("shore-d", "shoreD"),
            _ => {
                for p in self.gives() {
                    out.refuse(p, "bench::missing-reading", "the scale, A or D, is needed");
                }
                return;
            }
        };
        // A line off the scale has no figure, but it still counts for the middle of all lines.
        let read: Vec<f64> = s
            .points
            .iter()
            .filter_map(|p| match p.outcome {
                Outcome::AboveRange => Some(f64::INFINITY),
                Outcome::BelowRange => Some(f64::NEG_INFINITY),
                _ => p.num("hardness"),
            })
            .collect();
        let figure = median(read);
        if figure.is_nan() {
            out.refuse(
                id,
                "bench::missing-reading",
                "no hardness was read, or only both sides of the scale",
            );
            return;
        }
        if figure.is_finite() {
            out.step("SH1", "reading", figure, unit);
        }
        if let Some(dwell) = s.once("dwell")
            && DWELLS_S.iter().all(|d| (d - dwell).abs() > 0.5)
        {
            out.step(
                "SH1",
                "read after another dwell than the usual 3 s or 15 s",
                dwell,
                "s",
            );
        }
        let thin = s.once("thickness").filter(|t| *t < THICK_OTHER_MM);
        if let Some(t) = thin {
            let what = if t < THICK_MM {
                "thinner than the 6 mm that either standard allows: reads hard"
            } else {
                "thick enough for ISO 48-4, not for the 6.4 mm of ASTM D2240"
            };
            out.step("SH3", what, t, "mm");
        }
        let too_thin = thin.filter(|t| *t < THICK_MM);
        let value = if figure > HIGH {
            if let Some(t) = too_thin {
                out.refuse(
                    id,
                    "bench::too-thin",
                    format!(
                        "above {HIGH} on the scale, and at {t} mm too thin to say that it is so hard"
                    ),
                );
                return;
            }
            Reading::AtLeast(HIGH)
        } else if figure < LOW {
            Reading::AtMost(LOW)
        } else if too_thin.is_some() {
            Reading::AtMost(figure)
        } else {
            Reading::Exact(figure)
        };
        if !(LOW..=HIGH).contains(&figure) {
            let other = if figure > HIGH && unit == "shoreA" {
                "beyond the scale: use D"
            } else if figure < LOW && unit == "shoreD" {
                "beneath the scale: use A"
            } else {
                "outside the scale, and no other reaches there"
            };
            out.step("SH2", other, value.as_exact(), unit);
        }
        out.give(s, id, value);
    }
}
