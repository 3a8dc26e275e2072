//! The creep test: held under a constant load.

use crate::bench::{
    BenchTest, Column, Curve, HowTo, Need, Outcome, Reduction, Specimen,
    beam::{Bar, LEAST_SLENDERNESS, SMALL_DEFLECTION},
};
use crate::quantity::Reading;

/// The creep test.
pub(super) struct Creep;

const COLUMNS: &[Column] = &[
    Column::word(
        "mode",
        Need::Once,
        &["bending", "tension", "compression"],
        "how it is loaded",
    ),
    Column::number(
        "span",
        Need::Once,
        "mm",
        0.1,
        1.0,
        "bending: between the supports; tension: gauge length; compression: height",
    ),
    Column::number(
        "width",
        Need::Once,
        "mm",
        0.01,
        0.05,
        "width of the section",
    ),
    Column::number(
        "thickness",
        Need::Once,
        "mm",
        0.01,
        0.05,
        "thickness of the section; in bending along the load",
    ),
    Column::number("load", Need::Once, "N", 0.0, 0.001, "the constant load"),
    Column::number(
        "time",
        Need::Each,
        "h",
        0.0,
        0.0,
        "since loading; 0 is the moment of loading",
    ),
    Column::number(
        "deflection",
        Need::Optional,
        "mm",
        0.01,
        -1.0,
        "sag, growth or shortening since before the load",
    ),
];

const FORMULAS: &[&str] = &[
    "C1 stress: bending 3 load span / (2 width thickness^2), tension and compression load / (width thickness), MPa, of the unloaded section. Beam equations verified in source (ISO 178); ISO 899-2 from memory.",
    "C2 strain: bending 6 deflection thickness / span^2, else deflection / span. The same sources.",
    "C3 creep modulus = C1 / C2 at each time, MPa. ASTM D2990-01, 3.1.1, verified in source. Valid while creep grows in proportion to stress: lines from the first past 2 % strain (or, bent, past a tenth of the span) are left out; both limits common practice, no source. A specimen read once after loading is a run of C4 only; the line at time 0 pins the start and enters no logarithm.",
    "C4 stress carried: `>=` C1 for the time of the last line; `<=` C1 for the time of the line at which it ruptured or collapsed. From the definition; creep does not predict rupture.",
];

/// Strain past which creep is no longer taken to grow in proportion to stress (common practice, no source).
const LINEAR_STRAIN: f64 = 0.02;
/// Time put on a rupture at the moment of loading, h: a few seconds.
const AT_ONCE_H: f64 = 0.001;

impl BenchTest for Creep {
    fn id(&self) -> &'static str {
        "creep"
    }
    fn title(&self) -> &'static str {
        "creep"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[
            Outcome::NoBreak,
            Outcome::Stopped,
            Outcome::Collapsed,
            Outcome::Ruptured,
        ]
    }
    fn needs_direction(&self) -> bool {
        true
    }
    fn gives(&self) -> &'static [&'static str] {
        &["creep-modulus", "sustained-strength"]
    }
    fn formulas(&self) -> &'static [&'static str] {
        FORMULAS
    }

    fn howto(&self) -> HowTo {
        HowTo {
            measure: [
                "Put the whole load on at once and gently; that moment is time 0. The first reading within a minute, then at about 1, 3, 10, 30 ... in time.",
                "Keep temperature and moisture steady; read from a fixed point beside the piece, not from the load. Write the load as a force.",
            ],
            beware: [
                "A load that swings, a bench that is leant on, a warm afternoon: all of it is in the curve. Note what happened.",
                "A piece that ruptures: write the last time before it and `ruptured`; it counts. One line a reading, geometry on the first.",
            ],
            specimens: 2,
            lines: 8,
        }
    }

    fn reduce(&self, s: &Specimen, out: &mut Reduction) {
        match Held::of(s) {
            Ok(held) => {
                out.step("C1", "stress", held.stress, "MPa");
                creep_modulus(s, out, &held);
                sustained(s, out, &held);
            }
            Err((code, why)) => {
                for property in self.gives() {
                    out.refuse(property, code, why.clone());
                }
            }
        }
    }
}

/// A loaded specimen: its stress and what its deflection means.
struct Held {
    /// MPa.
    stress: f64,
    /// Strain per mm of deflection.
    strain_per_mm: f64,
    /// Deflection up to which the formulas hold, mm.
    largest_deflection: f64,
}

impl Held {
    fn of(s: &Specimen) -> Result<Held, (&'static str, String)> {
        let (Some(bar), Some(load)) = (Bar::of(s), s.once("load").filter(|l| *l > 0.0)) else {
            return Err((
                "bench::no-section",
                "span, width, thickness and load give no stress".to_owned(),
            ));
        };
        if s.word("mode") != Some("bending") {
            return Ok(Held {
                stress: load / bar.section(),
                strain_per_mm: 1.0 / bar.span,
                largest_deflection: f64::INFINITY,
            });
        }
        if let Some(why) = bar.too_stubby(LEAST_SLENDERNESS) {
            return Err(("bench::short-span", why));
        }
        Ok(Held {
            stress: bar.stress(load),
            strain_per_mm: bar.strain(1.0),
            largest_deflection: SMALL_DEFLECTION * bar.span,
        })
    }

    /// Why the formulas do not hold at a deflection, mm, if they do not.
    fn past(&self, deflection: f64) -> Option<(&'static str, String)> {
        let strain = self.strain_per_mm * deflection;
        if deflection > self.largest_deflection {
            Some((
                "bench::large-deflection",
                format!(
                    "{deflection:.3} mm is past a tenth of the span ({:.3} mm)",
                    self.largest_deflection
                ),
            ))
        } else if strain > LINEAR_STRAIN {
            Some((
                "bench::large-strain",
                format!(
                    "{:.3} % strain is past {:.0} %, where creep no longer grows in proportion to stress; use a smaller load",
                    100.0 * strain,
                    100.0 * LINEAR_STRAIN
                ),
            ))
        } else {
            None
        }
    }
}

/// Whether the specimen failed at a line of this outcome.
fn failed(outcome: Outcome) -> bool {
    matches!(
        outcome,
        Outcome::Ruptured | Outcome::Collapsed | Outcome::EarlyFailure
    )
}

/// C2, C3.
fn creep_modulus(s: &Specimen, out: &mut Reduction, held: &Held) {
    let mut lines: Vec<(f64, f64)> = s
        .points
        .iter()
        .filter(|p| !failed(p.outcome))
        .filter_map(|p| Some((p.num("time")?, p.num("deflection")?)))
        .collect();
    lines.sort_by(|a, b| a.0.total_cmp(&b.0));
    if lines.iter().filter(|l| l.0 > 0.0).count() < 2 {
        // Only whether it held was watched.
        return;
    }
    if let Some((time, deflection)) = lines.iter().find(|l| l.1 <= 0.0) {
        out.refuse(
            "creep-modulus",
            "bench::zeroed-under-load",
            format!(
                "the deflection at {time} h is {deflection} mm: a gauge zeroed under load has lost the first part, read it from before loading"
            ),
        );
        return;
    }
    let past = lines.iter().find_map(|l| held.past(l.1));
    let valid: Vec<(f64, f64)> = lines
        .iter()
        .copied()
        .take_while(|l| held.past(l.1).is_none())
        .collect();
    let curve: Vec<(f64, f64)> = valid
        .iter()
        .map(|(t, d)| (*t, held.stress / (held.strain_per_mm * d)))
        .collect();
    if let (Some((time, deflection)), Some((_, modulus))) = (valid.last(), curve.last()) {
        let strain = held.strain_per_mm * deflection;
        out.step("C2", "time of the last valid line", *time, "h");
        out.step("C2", "strain at the last valid line", 100.0 * strain, "%");
        out.step("C3", "creep modulus there", *modulus, "MPa");
    }
    let mut times: Vec<f64> = curve.iter().map(|p| p.0).filter(|t| *t > 0.0).collect();
    times.dedup();
    if times.len() < 2 {
        let (code, why) = past.unwrap_or((
            "bench::too-few-times",
            "a curve over time needs deflections at two different times above 0".to_owned(),
        ));
        out.refuse("creep-modulus", code, why);
        return;
    }
    let left_out = lines.len() - valid.len();
    if left_out > 0 {
        out.step("C3", "lines left out past validity", count(left_out), "1");
    }
    let given = out.give_curve(s, "creep-modulus", Curve::modulus(curve));
    given.stress_mpa = Some(held.stress);
}

/// C4.
fn sustained(s: &Specimen, out: &mut Reduction, held: &Held) {
    let time = |failing: bool| {
        s.points
            .iter()
            .filter(move |p| failed(p.outcome) == failing)
            .filter_map(|p| p.num("time"))
    };
    let broke = time(true).reduce(f64::min);
    let (hours, reading) = match (broke, time(false).reduce(f64::max)) {
        (Some(t), _) => (t.max(AT_ONCE_H), Reading::AtMost(held.stress)),
        (None, Some(t)) if t > 0.0 => (t, Reading::AtLeast(held.stress)),
        _ => {
            out.refuse(
                "sustained-strength",
                "bench::too-few-times",
                "no line is later than the moment of loading",
            );
            return;
        }
    };
    let sagged = s
        .points
        .iter()
        .filter_map(|p| p.num("deflection"))
        .find(|d| *d > held.largest_deflection);
    if let Some((code, why)) = sagged.and_then(|d| held.past(d)) {
        out.refuse("sustained-strength", code, why);
        return;
    }
    out.step("C4", "time it speaks for", hours, "h");
    out.give(s, "sustained-strength", reading).hours = Some(hours);
}

fn count(n: usize) -> f64 {
    u32::try_from(n).map_or(f64::INFINITY, f64::from)
}
