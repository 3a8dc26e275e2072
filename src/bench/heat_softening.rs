//! The heat-softening test: warmed under a load in bending.

use crate::bench::{
    BenchTest, Column, HowTo, Need, Outcome, Reduction, Specimen,
    beam::{Bar, LEAST_SLENDERNESS_HOT},
    curve::reached,
};
use crate::quantity::Reading;

/// The heat-softening test.
pub(super) struct HeatSoftening;

const COLUMNS: &[Column] = &[
    Column::number("span", Need::Once, "mm", 0.1, 1.0, "between the supports"),
    Column::number("width", Need::Once, "mm", 0.01, 0.05, "across the bar"),
    Column::number("thickness", Need::Once, "mm", 0.01, 0.05, "along the load"),
    Column::number("load", Need::Once, "N", 0.0, 0.001, "at mid-span"),
    Column::number("rate", Need::Optional, "K/h", 0.0, 0.1, "heating rate"),
    Column::number(
        "temperature",
        Need::Each,
        "degC",
        0.5,
        -60.0,
        "of the bath or oven at this line",
    ),
    Column::number(
        "deflection",
        Need::Optional,
        "mm",
        0.01,
        -50.0,
        "at mid-span; the first line is the start",
    ),
];

const FORMULAS: &[&str] = &[
    "H1 stress = 3 load span / (2 width thickness^2), MPa. Derived (beam equation). ISO 75-2 uses 0.45 (B), 1.80 (A) and 8.00 MPa (C), verified in source: onsets at different stresses differ by 10 to 80 K and are told apart by this step. Span at least 5 thicknesses: below, shear adds over 13 % to the deflection (derived); the limit is ours.",
    "H2 end point: deflection grown by 0.2 span^2 / (600 thickness) since the first line, which is 0.2 % strain. Derived; the 0.2 % from memory, not verified (ISO 75-1).",
    "H3 onset = temperature at the end point, on a straight line between two readings; where they lie more than 10 K apart, the range between them. Not reached: `>=` the highest temperature. Collapsed or melted before: between the last two lines.",
    "H4 heated faster than 130 K/h the bar lags the bath, and the onset is `<=`. 120 K/h is the standard's rate (from memory); the limit is ours.",
];

/// Added strain at the end point (ISO 75-1, from memory, not verified).
const ADDED_STRAIN: f64 = 0.002;
/// The stresses of ISO 75-2 that are in common use, MPa (verified in source).
const COMMON_STRESSES: [f64; 2] = [0.45, 1.80];
/// A stress within this share of one of them is that one (ours).
const STRESS_NEAR: f64 = 0.15;
/// Readings further apart than this do not place the onset between them, K (ours).
const WIDE_STEP_K: f64 = 10.0;
/// Fastest heating at which the bar still follows, K/h (120 of the standard and 10 of tolerance; from memory).
const FASTEST_K_PER_H: f64 = 130.0;

impl BenchTest for HeatSoftening {
    fn id(&self) -> &'static str {
        "heat-softening"
    }
    fn title(&self) -> &'static str {
        "heat softening"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[
            Outcome::Stopped,
            Outcome::AboveRange,
            Outcome::Collapsed,
            Outcome::Melted,
        ]
    }
    fn gives(&self) -> &'static [&'static str] {
        &["softening-onset"]
    }
    fn formulas(&self) -> &'static [&'static str] {
        FORMULAS
    }

    fn howto(&self) -> HowTo {
        HowTo {
            measure: [
                "Load the bar in the bath or oven at room temperature, wait five minutes, write deflection and temperature as the first line.",
                "Warm evenly (50 or 120 K/h), temperature read beside the bar, a line every few kelvin until it sags.",
            ],
            beware: [
                "A sensor far from the bar, or heating too fast, shows a temperature that the bar does not have.",
                "A bar that was not annealed may first relax and lift: go on. End of the bath without sagging: write `stopped`.",
            ],
            specimens: 2,
            lines: 10,
        }
    }

    fn reduce(&self, s: &Specimen, out: &mut Reduction) {
        match onset(s, out) {
            Ok(reading) => {
                out.give(s, "softening-onset", reading);
            }
            Err((code, why)) => out.refuse("softening-onset", code, why),
        }
    }
}

fn onset(s: &Specimen, out: &mut Reduction) -> Result<Reading, (&'static str, String)> {
    let (Some(bar), Some(load)) = (Bar::of(s), s.once("load")) else {
        return Err((
            "bench::no-section",
            "span, width, thickness and load give no stress".to_owned(),
        ));
    };
    if let Some(why) = bar.too_stubby(LEAST_SLENDERNESS_HOT) {
        return Err(("bench::short-span", why));
    }
    let stress = bar.stress(load);
    out.step("H1", "stress", stress, "MPa");
    let nearest = COMMON_STRESSES
        .into_iter()
        .min_by(|a, b| (a / stress).ln().abs().total_cmp(&(b / stress).ln().abs()))
        .unwrap_or(stress);
    if (stress / nearest - 1.0).abs() > STRESS_NEAR {
        out.step(
            "H1",
            "stress over the nearest common one (0.45 or 1.80 MPa): not comparable with figures taken there",
            stress / nearest,
            "1",
        );
    }
    let added = bar.deflection_at(ADDED_STRAIN);
    out.step("H2", "deflection to be added", added, "mm");

    let broke = |o: Outcome| matches!(o, Outcome::Collapsed | Outcome::Melted);
    let lines: Vec<(f64, f64)> = s
        .points
        .iter()
        .filter(|p| !broke(p.outcome))
        .filter_map(|p| Some((p.num("temperature")?, p.num("deflection")?)))
        .collect();
    let (Some(first), Some(last)) = (lines.first(), lines.last()) else {
        return Err((
            "bench::too-few-lines",
            "no line holds a temperature and a deflection".to_owned(),
        ));
    };
    if lines.windows(2).any(|w| matches!(w, [a, b] if b.0 < a.0)) {
        return Err((
            "bench::not-warming",
            "the temperature falls from one line to the next".to_owned(),
        ));
    }
    out.step("H2", "deflection at the end point", first.1 + added, "mm");

    let reading = if let Some((at, below, above)) = reached(&lines, first.1 + added) {
        out.step("H3", "temperature at the end point", at, "degC");
        if above - below > WIDE_STEP_K {
            Reading::Between(below, above)
        } else {
            Reading::Exact(at)
        }
    } else if let Some(t) = s
        .points
        .iter()
        .find(|p| broke(p.outcome))
        .and_then(|p| p.num("temperature"))
    {
        if t < last.0 {
            return Err((
                "bench::not-warming",
                format!(
                    "it gave way at {t} degC, yet was read after that at {} degC",
                    last.0
                ),
            ));
        }
        Reading::Between(last.0, t)
    } else if lines.len() < 2 {
        return Err((
            "bench::too-few-lines",
            "one line shows no growth: the first is the start".to_owned(),
        ));
    } else {
        return Ok(Reading::AtLeast(last.0));
    };
    Ok(match (s.once("rate"), reading) {
        (Some(rate), Reading::Exact(t) | Reading::Between(_, t)) if rate > FASTEST_K_PER_H => {
            out.step("H4", "heating rate: the bar lags the bath", rate, "K/h");
            Reading::AtMost(t)
        }
        _ => reading,
    })
}
