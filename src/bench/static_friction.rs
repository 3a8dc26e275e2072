//! A loaded piece pulled until it slides, or tilted until it slips: static friction.
//!
//! `S1` coefficient from the first peak of the pull, `S2` from the angle of slip.

use crate::bench::{BenchTest, Column, HowTo, Need, Outcome, Reduction, Specimen};

/// The static-friction test.
pub(super) struct StaticFriction;

const ID: &str = "static-friction";
/// Steepest slip that is read as friction, deg: beyond it pieces stick or tip (assumed).
const STEEPEST_DEG: f64 = 60.0;

const COLUMNS: &[Column] = &[
    Column::number(
        "load",
        Need::Optional,
        "N",
        0.0,
        0.0,
        "weight of the loaded piece on the surface; needed with a pull",
    ),
    Column::number(
        "pull",
        Need::Optional,
        "N",
        0.1,
        0.0,
        "first peak of the pull, level with the surface",
    ),
    Column::number(
        "angle",
        Need::Optional,
        "deg",
        0.5,
        0.0,
        "instead of a pull: tilt at which it slips",
    ),
];

impl BenchTest for StaticFriction {
    fn id(&self) -> &'static str {
        "static-friction"
    }
    fn title(&self) -> &'static str {
        "static friction"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[
            Outcome::Stopped,
            Outcome::AboveRange,
            Outcome::BelowRange,
            Outcome::BelowResolution,
        ]
    }
    fn needs_counterface(&self) -> bool {
        true
    }
    fn gives(&self) -> &'static [&'static str] {
        &[ID]
    }
    fn formulas(&self) -> &'static [&'static str] {
        &[
            "S1 static friction = first peak of the pull/load [ASTM D1894, ISO 8295; verified in source]",
            "S2 static friction = tan(angle of slip) [derived]; refused above 60 deg, where pieces stick or tip [assumed]",
        ]
    }
    fn howto(&self) -> HowTo {
        HowTo {
            measure: [
                "Wipe both surfaces, lay the piece down with its load, wait ten seconds, and pull level and slowly: the first peak counts.",
                "Or tilt the surface slowly until it slips, and write the angle. A fresh place and five pulls a piece.",
            ],
            beware: [
                "A pull that points up or down changes the load: keep the string level with the surface.",
                "Finger grease and dust decide the figure: say what the surfaces were wiped with in the note.",
            ],
            specimens: 5,
            lines: 1,
        }
    }

    fn reduce(&self, s: &Specimen, out: &mut Reduction) {
        let pulls: Vec<f64> = s.points.iter().filter_map(|p| p.num("pull")).collect();
        let angles: Vec<f64> = s.points.iter().filter_map(|p| p.num("angle")).collect();
        let each = match (pulls.is_empty(), angles.is_empty()) {
            (false, true) => by_pull(s),
            (true, false) => by_angle(&angles),
            (true, true) => Err((
                "bench::missing-reading",
                "neither a pull nor an angle was read".to_owned(),
            )),
            (false, false) => Err((
                "bench::two-methods",
                format!(
                    "a pull of {} N and an angle of {} deg: which of the two is the reading cannot be told",
                    pulls[0], angles[0]
                ),
            )),
        };
        let each = match each {
            Ok(each) => each,
            Err((code, why)) => {
                out.refuse(ID, code, why);
                return;
            }
        };
        let (label, what) = if angles.is_empty() {
            ("S1", "pull over load")
        } else {
            ("S2", "tangent of the angle of slip")
        };
        for mu in &each {
            out.step(label, what, *mu, "1");
        }
        let mean = each.iter().sum::<f64>() / each.len() as f64;
        if each.len() > 1 {
            out.step(label, "mean of the lines of this piece", mean, "1");
        }
        out.give(s, ID, s.outcome().reading(mean));
    }
}

type Each = Result<Vec<f64>, (&'static str, String)>;

fn by_pull(s: &Specimen) -> Each {
    let usual = s.once("load");
    s.points
        .iter()
        .filter_map(|p| Some((p.num("pull")?, p.num("load").or(usual))))
        .map(|(pull, load)| match load {
            Some(load) if load > 0.0 => Ok(pull / load),
            Some(load) => Err((
                "bench::no-load",
                format!("a pull of {pull} N under a load of {load} N is no friction"),
            )),
            None => Err((
                "bench::missing-reading",
                format!("a pull of {pull} N without the load it was taken under"),
            )),
        })
        .collect()
}

fn by_angle(angles: &[f64]) -> Each {
    angles
        .iter()
        .map(|angle| {
            if *angle > 0.0 && *angle <= STEEPEST_DEG {
                Ok(angle.to_radians().tan())
            } else {
                Err((
                    "bench::beyond-angle",
                    format!(
                        "a slip at {angle} deg lies outside 0 to {STEEPEST_DEG} deg, where it tells friction"
                    ),
                ))
            }
        })
        .collect()
}
