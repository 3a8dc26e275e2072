//! The flexure test: three-point bending.

use crate::bench::{
    BenchTest, Column, HowTo, Need, Outcome, Reduction, Specimen,
    beam::{Bar, LEAST_SLENDERNESS, SMALL_DEFLECTION},
    curve::{first_maximum, largest, modulus, until_break, value_at},
};
use crate::quantity::Reading;

/// The flexure test.
pub(super) struct Flexure;

const COLUMNS: &[Column] = &[
    Column::number("span", Need::Once, "mm", 0.1, 1.0, "between the supports"),
    Column::number("width", Need::Once, "mm", 0.01, 0.05, "across the bar"),
    Column::number(
        "thickness",
        Need::Once,
        "mm",
        0.01,
        0.05,
        "along the load; enters the modulus cubed",
    ),
    Column::number(
        "force",
        Need::Each,
        "N",
        0.1,
        -5.0,
        "at mid-span; of a single line, the largest",
    ),
    Column::number(
        "deflection",
        Need::Each,
        "mm",
        0.01,
        -1.0,
        "at mid-span; of a single line, at the largest force",
    ),
];

const FORMULAS: &[&str] = &[
    "B1 stress = 3 force span / (2 width thickness^2), MPa. ISO 178, verified in source. Valid for span at least 8 thicknesses and deflection under a tenth of the span.",
    "B2 strain = 6 deflection thickness / span^2. ISO 178, verified in source; the same validity.",
    "B3 modulus = slope of B1 over B2 between 0.05 and 0.25 % strain, by least squares (of two readings span^3 dF / (4 width thickness^3 ds)). ISO 178, verified in source. Thickness enters cubed.",
    "B4 flexural strength = the first maximum of the stress, as far as 3.5 % strain (deflection 0.035 span^2 / (6 thickness)) or a tenth of the span. A bar that carries more there is `>=` the stress there. ISO 178: conventional deflection verified in source; reading it as a lower bound is ours.",
    "B5 stress at larger deflections = B1 x [1 + 6 (s/L)^2 - 4 (h/L)(s/L)]. ASTM D790, from memory, not verified; shown, never used as a strength.",
    "B6 share of the deflection from shear = 1.2 x 2.7 (thickness/span)^2 for an isotropic bar; derived. Shown, not corrected: across layers and with fibres it is up to four times that.",
    "B7 slack as in the tensile test: where the straight part meets zero stress; taken off all strains.",
];

/// Strain of the conventional deflection (ISO 178, verified in source).
const CONVENTIONAL_STRAIN: f64 = 0.035;

impl BenchTest for Flexure {
    fn id(&self) -> &'static str {
        "flexure"
    }
    fn title(&self) -> &'static str {
        "flexure"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[
            Outcome::NoBreak,
            Outcome::Stopped,
            Outcome::AboveRange,
            Outcome::BelowRange,
        ]
    }
    fn needs_direction(&self) -> bool {
        true
    }
    fn gives(&self) -> &'static [&'static str] {
        &["flexural-strength", "flexural-modulus"]
    }
    fn formulas(&self) -> &'static [&'static str] {
        FORMULAS
    }

    fn howto(&self) -> HowTo {
        HowTo {
            measure: [
                "Set a span of 16 thicknesses, bar centred, nose in the middle; measure the thickness to 0.01 mm: it enters the modulus cubed.",
                "Load slowly, a line a reading, several below a hundredth of the span in deflection; stop past the largest force.",
            ],
            beware: [
                "A bar that rocks on its supports, or a nose that settles, shows as slack: start reading at a small preload.",
                "Past a tenth of the span in deflection the formula ends: write what was read, it becomes a bound.",
            ],
            specimens: 3,
            lines: 8,
        }
    }

    fn reduce(&self, s: &Specimen, out: &mut Reduction) {
        let stubby = match Bar::of(s) {
            Some(bar) => match bar.too_stubby(LEAST_SLENDERNESS) {
                None => {
                    reduce_bar(s, out, bar);
                    return;
                }
                Some(why) => ("bench::short-span", why),
            },
            None => (
                "bench::no-section",
                "span, width and thickness give no bar".to_owned(),
            ),
        };
        for property in self.gives() {
            out.refuse(property, stubby.0, stubby.1.clone());
        }
    }
}

fn reduce_bar(s: &Specimen, out: &mut Reduction, bar: Bar) {
    out.step(
        "B6",
        "deflection from shear over that from bending, isotropic",
        bar.shear_share(),
        "1",
    );
    let lines = s.pairs("deflection", "force");
    if largest(&lines) <= 0.0 || lines.is_empty() {
        out.refuse(
            "flexural-strength",
            "bench::no-load",
            "no line holds a force above 0 N",
        );
        return;
    }
    let conventional = bar.deflection_at(CONVENTIONAL_STRAIN);
    let limit = conventional.min(SMALL_DEFLECTION * bar.span);
    out.step("B4", "deflection at 3.5 % strain", conventional, "mm");
    if let [(deflection, force)] = lines.as_slice() {
        one_line(s, out, bar, limit, *deflection, *force);
        return;
    }

    let unbroken = until_break(&lines);
    let stress_strain: Vec<(f64, f64)> = unbroken
        .iter()
        .map(|(d, f)| (bar.strain(*d), bar.stress(*f)))
        .collect();
    let mut slack = 0.0;
    match modulus(&stress_strain, bar.strain(out.resolution("deflection"))) {
        Ok(m) => {
            slack = m.slack;
            out.step("B3", "readings in the window", f64::from(m.readings), "1");
            out.step("B3", "modulus", m.slope, "MPa");
            if slack > 0.0 {
                out.step("B7", "slack taken off the strain", 100.0 * slack, "%");
            }
            out.give(s, "flexural-modulus", Reading::Exact(m.slope));
        }
        Err((code, why)) => out.refuse("flexural-modulus", code, why),
    }

    let end = bar.strain(limit) + slack;
    let inside: Vec<(f64, f64)> = stress_strain
        .iter()
        .copied()
        .filter(|p| p.0 <= end)
        .collect();
    if let Some((strain, _)) = stress_strain.last() {
        let strain = 100.0 * (strain - slack);
        out.step("B2", "strain at the last line", strain, "%");
    }
    out.step(
        "B1",
        "largest stress of the curve",
        largest(&stress_strain),
        "MPa",
    );
    let strength = if let Some((_, top)) =
        first_maximum(&inside, bar.stress(out.resolution("force")))
        && s.outcome() != Outcome::AboveRange
    {
        Reading::Exact(top)
    } else if let Some(there) = value_at(&stress_strain, end)
        && inside.len() < stress_strain.len()
    {
        out.step("B4", "stress where the formula ends", there, "MPa");
        Reading::AtLeast(there.max(largest(&inside)))
    } else if inside.is_empty() {
        out.refuse(
            "flexural-strength",
            "bench::large-deflection",
            format!("every line lies past {limit:.3} mm, where the formula ends"),
        );
        return;
    } else {
        s.outcome().reading(largest(&inside))
    };
    out.give(s, "flexural-strength", strength);
}

/// A single line at the largest force.
fn one_line(s: &Specimen, out: &mut Reduction, bar: Bar, limit: f64, deflection: f64, force: f64) {
    let stress = bar.stress(force);
    out.step("B1", "stress at the largest force", stress, "MPa");
    out.step(
        "B2",
        "strain at the largest force",
        100.0 * bar.strain(deflection),
        "%",
    );
    if deflection > limit {
        let corrected = bar.stress_at_large_deflection(force, deflection);
        out.step("B5", "deflection over span", deflection / bar.span, "1");
        out.step("B5", "stress at larger deflections", corrected, "MPa");
        out.refuse(
            "flexural-strength",
            "bench::large-deflection",
            format!(
                "it sagged {deflection:.3} mm, and the formula ends at {limit:.3} mm (3.5 % strain or a tenth of the span); read the force there"
            ),
        );
        return;
    }
    out.give(s, "flexural-strength", s.outcome().reading(stress));
}
