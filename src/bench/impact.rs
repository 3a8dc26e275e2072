//! The impact test: broken by a pendulum.

use crate::bench::{BenchTest, Column, HowTo, Need, Outcome, Reduction, Specimen};
use crate::quantity::Reading;

/// The impact test.
pub(super) struct Impact;

const COLUMNS: &[Column] = &[
    Column::number(
        "width",
        Need::Once,
        "mm",
        0.01,
        0.05,
        "across the blow: the length of the notch",
    ),
    Column::number(
        "depth",
        Need::Once,
        "mm",
        0.01,
        0.05,
        "along the blow: what is left under a notch, else all of it",
    ),
    Column::word("notch", Need::Once, &["none", "V"], "none or V"),
    Column::number(
        "energy",
        Need::Optional,
        "J",
        0.01,
        0.0,
        "taken up by the specimen; or give start and end",
    ),
    Column::number(
        "start",
        Need::Optional,
        "deg",
        0.5,
        0.0,
        "angle of the arm from hanging at release",
    ),
    Column::number(
        "end",
        Need::Optional,
        "deg",
        0.5,
        0.0,
        "angle reached behind the specimen",
    ),
    Column::number(
        "loss",
        Need::Optional,
        "J",
        0.0,
        0.0,
        "lost in a free swing between the two angles",
    ),
    Column::number(
        "hammer",
        Need::Optional,
        "J",
        0.0,
        0.001,
        "greatest energy of the hammer, from `start`; the rig's where blank",
    ),
];

const FORMULAS: &[&str] = &[
    "I1 impact strength = 1000 energy / (width x depth), kJ/m2, depth what is left under the notch (8 mm of an ISO bar, 10.2 mm in ASTM D256). ISO 179-1, ISO 180; verified in source. J/m is divided by the depth under the notch.",
    "I2 energy = hammer x (cos end - cos start) / (1 - cos start) - loss, hammer the greatest energy m g L (1 - cos start), angles from hanging. Derived from the definition. Without the hammer's energy angles are refused.",
    "I3 valid from 10 to 80 % of the hammer's energy (ISO 13802 practice, from memory, not verified): less gives `<=` 10 % of it, more gives `>=` 80 % of it.",
    "I4 `no break` gives `>=` the energy taken up; `partial` and `hinge` are kinds of their own and never averaged with complete breaks. ASTM D256, 5.8: the break types verified in source; the rule from memory (ISO 179-1).",
];

/// Shares of the hammer's energy between which its reading is used (ISO 13802 practice, from memory, not verified).
const LEAST_SHARE: f64 = 0.1;
const LARGEST_SHARE: f64 = 0.8;

impl BenchTest for Impact {
    fn id(&self) -> &'static str {
        "impact"
    }
    fn title(&self) -> &'static str {
        "impact"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[
            Outcome::NoBreak,
            Outcome::Partial,
            Outcome::Hinge,
            Outcome::AboveRange,
            Outcome::BelowRange,
        ]
    }
    fn needs_direction(&self) -> bool {
        true
    }
    fn gives(&self) -> &'static [&'static str] {
        &["impact-notched", "impact-plain"]
    }
    fn formulas(&self) -> &'static [&'static str] {
        FORMULAS
    }

    fn howto(&self) -> HowTo {
        HowTo {
            measure: [
                "Measure width and what is left under the notch; set the piece flush, notch centred and towards the tension side.",
                "Swing once without a piece between the same angles and write its loss; then one blow a piece, and the angle it rises to.",
            ],
            beware: [
                "A cut notch and a printed one are two tests: cut all with one sharp cutter, and say so in the note.",
                "A piece that only hinges or stops the hammer did not break: write `hinge`, `partial` or `no break`.",
            ],
            specimens: 5,
            lines: 1,
        }
    }

    fn reduce(&self, s: &Specimen, out: &mut Reduction) {
        let property = if s.word("notch") == Some("V") {
            "impact-notched"
        } else {
            "impact-plain"
        };
        match strength(s, out) {
            Ok(reading) => {
                let kind = match s.outcome() {
                    outcome @ (Outcome::Partial | Outcome::Hinge) => Some(outcome.word()),
                    _ => None,
                };
                let given = out.give(s, property, reading);
                given.condition.kind = kind.map(str::to_owned);
            }
            Err((code, why)) => out.refuse(property, code, why),
        }
    }
}

fn strength(s: &Specimen, out: &mut Reduction) -> Result<Reading, (&'static str, String)> {
    let section = match (s.once("width"), s.once("depth")) {
        (Some(w), Some(h)) if w > 0.0 && h > 0.0 => w * h,
        _ => {
            return Err((
                "bench::no-section",
                "width and depth give no section".to_owned(),
            ));
        }
    };
    let hammer = s.once("hammer").or(s.hammer_j).filter(|h| *h > 0.0);
    let energy = match s.once("energy") {
        Some(e) => e,
        None => {
            let e = energy_of_swing(s, hammer)?;
            out.step("I2", "energy taken up", e, "J");
            e
        }
    };
    // kJ/m2 = 1000 J/mm2.
    let of = |joule: f64| 1000.0 * joule / section;
    let outcome = s.outcome();
    if let Some(hammer) = hammer {
        let share = energy / hammer;
        out.step("I3", "share of the hammer's energy", share, "1");
        out.step("I1", "energy over section", of(energy), "kJ/m2");
        // A specimen that did not break took up what it took up, at any share.
        if outcome != Outcome::NoBreak {
            if share < LEAST_SHARE {
                return Ok(Reading::AtMost(of(LEAST_SHARE * hammer)));
            }
            if share > LARGEST_SHARE {
                return Ok(Reading::AtLeast(of(LARGEST_SHARE * hammer)));
            }
        }
    } else {
        out.step("I1", "energy over section", of(energy), "kJ/m2");
    }
    if energy <= 0.0 {
        return Err((
            "bench::no-energy",
            format!(
                "{energy} J taken up says nothing without the hammer's energy, of which a tenth would be the bound"
            ),
        ));
    }
    Ok(outcome.reading(of(energy)))
}

/// I2, J.
fn energy_of_swing(s: &Specimen, hammer: Option<f64>) -> Result<f64, (&'static str, String)> {
    let (Some(start), Some(end)) = (s.once("start"), s.once("end")) else {
        return Err((
            "bench::no-energy",
            "neither an energy nor both angles were read".to_owned(),
        ));
    };
    let Some(hammer) = hammer else {
        return Err((
            "bench::no-hammer",
            format!(
                "from {start} to {end} deg needs the hammer's greatest energy: in the column `hammer`, or of the rig"
            ),
        ));
    };
    if !(start > 0.0 && start <= 180.0 && (0.0..=180.0).contains(&end)) {
        return Err((
            "bench::no-swing",
            format!("{start} and {end} deg are no swing: angles run from 0, hanging, to 180"),
        ));
    }
    let (from, to) = (start.to_radians().cos(), end.to_radians().cos());
    Ok(hammer * (to - from) / (1.0 - from) - s.once("loss").unwrap_or(0.0))
}
