//! A ball dropped on the piece, or a pendulum swung against it: the share of the height that comes back.
//!
//! `R1` rebound from heights, `R2` from a pendulum's angles.

use crate::bench::{BenchTest, Column, HowTo, Need, Outcome, Reduction, Specimen};
use crate::num::median;

/// The rebound test.
pub(super) struct Rebound;

const ID: &str = "rebound";

const COLUMNS: &[Column] = &[
    Column::number(
        "drop",
        Need::Optional,
        "mm",
        0.0,
        0.0,
        "height from which the ball falls on the piece",
    ),
    Column::number(
        "rise",
        Need::Optional,
        "mm",
        5.0,
        0.0,
        "height to which it comes back",
    ),
    Column::number(
        "start",
        Need::Optional,
        "deg",
        0.0,
        0.0,
        "instead of heights: a pendulum's angle at release, from hanging",
    ),
    Column::number(
        "end",
        Need::Optional,
        "deg",
        0.5,
        0.0,
        "the pendulum's angle after the rebound",
    ),
];

impl BenchTest for Rebound {
    fn id(&self) -> &'static str {
        "rebound"
    }
    fn title(&self) -> &'static str {
        "rebound"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[Outcome::BelowRange, Outcome::BelowResolution]
    }
    fn gives(&self) -> &'static [&'static str] {
        &[ID]
    }
    fn formulas(&self) -> &'static [&'static str] {
        &[
            "R1 rebound = 100 rise/drop [ISO 4662, verified in source]",
            "R2 rebound = 100 (1 - cos end)/(1 - cos start), heights and not angles [derived]; start up to 180 deg",
            "several lines of one piece: their median; a rise above the drop is refused",
        ]
    }
    fn howto(&self) -> HowTo {
        HowTo {
            measure: [
                "Drop a steel ball from a fixed height onto the middle of the piece, on a stone or steel base; read the top of its bounce by camera.",
                "The piece at least 6 mm thick and lying flat. Three drops to settle it, then one a line.",
            ],
            beware: [
                "A ball that comes back askew hit the edge or a soft base: leave that drop out.",
                "Thin pieces bounce off the base below: stack them without gaps and say so in the note.",
            ],
            specimens: 3,
            lines: 1,
        }
    }

    fn reduce(&self, s: &Specimen, out: &mut Reduction) {
        let heights = shares(s, "drop", "rise", |h| h);
        let angles = shares(s, "start", "end", |a| 1.0 - a.to_radians().cos());
        let (label, what, shares) = match (heights, angles) {
            (Ok(h), Ok(a)) if h.is_empty() && a.is_empty() => {
                out.refuse(
                    ID,
                    "bench::missing-reading",
                    "drop and rise are needed, or start and end",
                );
                return;
            }
            (Ok(h), Ok(a)) if a.is_empty() => ("R1", "rise over drop", h),
            (Ok(h), Ok(a)) if h.is_empty() => ("R2", "height of the end over that of the start", a),
            (Ok(_), Ok(_)) => {
                out.refuse(
                    ID,
                    "bench::two-methods",
                    "heights and angles stand side by side: which of the two is the reading cannot be told",
                );
                return;
            }
            (Err((code, why)), _) | (_, Err((code, why))) => {
                out.refuse(ID, code, why);
                return;
            }
        };
        for share in &shares {
            out.step(label, what, *share, "%");
        }
        let figure = median(shares);
        out.give(s, ID, s.outcome().reading(figure));
    }
}

/// Share of the height that came back, %, of each line that has both columns.
fn shares(
    s: &Specimen,
    from: &str,
    to: &str,
    height: impl Fn(f64) -> f64,
) -> Result<Vec<f64>, (&'static str, String)> {
    let usual = s.once(from);
    s.points
        .iter()
        .filter_map(|p| Some((p.num(from).or(usual), p.num(to)?)))
        .map(|(a, b)| match a {
            None => Err((
                "bench::missing-reading",
                format!("`{to}` is {b} and `{from}` is blank"),
            )),
            Some(a) if a <= 0.0 || (from == "start" && a > 180.0) => Err((
                "bench::no-drop",
                format!("`{from}` of {a} is no height to fall from"),
            )),
            Some(a) if b > a => Err((
                "bench::rises-above-drop",
                format!("`{to}` of {b} is more than `{from}` of {a}: nothing comes back higher than it fell"),
            )),
            Some(a) => Ok(100.0 * height(b) / height(a)),
        })
        .collect()
}
