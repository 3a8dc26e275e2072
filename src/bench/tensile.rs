//! The tensile test: pulled until it breaks.

use crate::bench::{
    BenchTest, Column, HowTo, Need, Outcome, Reduction, Specimen,
    curve::{first_maximum, largest, modulus, until_break},
};
use crate::quantity::Reading;

/// The tensile test.
pub(super) struct Tensile;

const COLUMNS: &[Column] = &[
    Column::number(
        "width",
        Need::Once,
        "mm",
        0.01,
        0.05,
        "width of the narrow part",
    ),
    Column::number(
        "thickness",
        Need::Once,
        "mm",
        0.01,
        0.05,
        "thickness of the narrow part",
    ),
    Column::number(
        "gauge",
        Need::Optional,
        "mm",
        0.1,
        1.0,
        "length over which the extension is read; the grip distance if the crosshead is read",
    ),
    Column::number(
        "force",
        Need::Each,
        "N",
        0.1,
        -5.0,
        "pull; of a single line, the largest",
    ),
    Column::number(
        "extension",
        Need::Optional,
        "mm",
        0.01,
        -1.0,
        "growth of the gauge length; of a single line, at the largest force",
    ),
];

const FORMULAS: &[&str] = &[
    "T1 stress = force / (width x thickness) of the unloaded section, MPa. ISO 527-1; derived from the definition. Not true stress: valid as it stands for nominal figures at any strain.",
    "T2 strain = extension / gauge. ISO 527-1; derived from the definition. Behind the first maximum it is nominal: the neck may lie outside the gauge.",
    "T3 modulus = least-squares slope of stress over strain between 0.05 and 0.25 % (the chord, of two readings). ISO 527-1, 3.9: window verified in source. Refused with fewer readings, or where the window is under five steps of the extension.",
    "T4 tensile strength = stress at the first maximum; yield strength = the same, where strain goes on and stress does not. ISO 527-1, edition 2012: that the meaning changed is verified in source, that it is the first maximum is from memory. A specimen that broke or was stopped while the stress still rose had not yielded: `>=`.",
    "T5 slack = where the straight part meets zero stress; taken off all strains when above 0.02 %. ASTM D638 annex, from memory, not verified.",
    "T6 strain at break = strain of the last line before the force fell to less than half, %. `no break` and `stopped` give `>=`. A single line is taken to have broken at its largest force: enter one that drew on as a curve or as `no break`.",
];

impl BenchTest for Tensile {
    fn id(&self) -> &'static str {
        "tensile"
    }
    fn title(&self) -> &'static str {
        "tensile"
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
        &[
            "tensile-strength",
            "yield-strength",
            "tensile-modulus",
            "break-strain",
        ]
    }
    fn formulas(&self) -> &'static [&'static str] {
        FORMULAS
    }

    fn howto(&self) -> HowTo {
        HowTo {
            measure: [
                "Measure width and thickness at three places of the narrow part, write the smallest; grip in line with the pull.",
                "Pull slowly and evenly, a minute or two to break. A single line: the largest force and the extension there; a curve: a line a reading.",
            ],
            beware: [
                "Slipping and breaks in the grips: write `slipped`, or `invalid` where it broke inside a grip.",
                "Crosshead travel holds the give of rig and grips: with it the gauge is the grip distance, and the modulus comes out low.",
            ],
            specimens: 3,
            lines: 1,
        }
    }

    fn reduce(&self, s: &Specimen, out: &mut Reduction) {
        let section = match (s.once("width"), s.once("thickness")) {
            (Some(w), Some(h)) if w > 0.0 && h > 0.0 => w * h,
            _ => {
                out.refuse(
                    "tensile-strength",
                    "bench::no-section",
                    "width and thickness give no section",
                );
                return;
            }
        };
        let forces: Vec<f64> = s.points.iter().filter_map(|p| p.num("force")).collect();
        let top = forces.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        if top <= 0.0 || forces.is_empty() {
            out.refuse(
                "tensile-strength",
                "bench::no-load",
                "no line holds a pull above 0 N",
            );
            return;
        }
        let curve = s.pairs("extension", "force");
        if curve.len() > 1 {
            reduce_curve(s, out, section, &curve);
            return;
        }
        let stress = top / section;
        out.step("T1", "stress at the largest force", stress, "MPa");
        out.give(s, "tensile-strength", s.outcome().reading(stress));
        if let (Some((extension, _)), Some(gauge)) = (curve.first(), gauge(s)) {
            give_break_strain(s, out, extension / gauge);
        }
    }
}

fn gauge(s: &Specimen) -> Option<f64> {
    s.once("gauge").filter(|g| *g > 0.0)
}

/// T6; `strain` a pure number, given in %.
fn give_break_strain(s: &Specimen, out: &mut Reduction, strain: f64) {
    let percent = 100.0 * strain;
    out.step("T6", "strain at the last line", percent, "%");
    let reading = match s.outcome() {
        Outcome::NoBreak | Outcome::Stopped | Outcome::AboveRange => Reading::AtLeast(percent),
        _ => Reading::Exact(percent),
    };
    out.give(s, "break-strain", reading);
}

fn reduce_curve(s: &Specimen, out: &mut Reduction, section: f64, lines: &[(f64, f64)]) {
    let outcome = s.outcome();
    let unbroken = until_break(lines);
    let step = out.resolution("force");
    // First maximum by extension: the gauge may be missing, and only scales it.
    let yielded = first_maximum(unbroken, step);
    let strength = yielded.map_or_else(|| largest(unbroken), |p| p.1) / section;
    out.step("T1", "stress at the first maximum", strength, "MPa");
    out.step(
        "T1",
        "largest stress of the curve",
        largest(unbroken) / section,
        "MPa",
    );
    let reading = match (outcome, yielded) {
        // A maximum that is passed is seen whole, whatever came later.
        (Outcome::NoBreak | Outcome::Stopped, Some(_)) => Reading::Exact(strength),
        _ => outcome.reading(strength),
    };
    out.give(s, "tensile-strength", reading);
    match (yielded, outcome) {
        (Some(_), _) => {
            out.step("T4", "yield strength", strength, "MPa");
            out.give(s, "yield-strength", reading);
        }
        (None, Outcome::BelowRange) => {}
        // It had not yielded up to there, whether it then broke or was stopped.
        (None, _) => {
            out.give(s, "yield-strength", Reading::AtLeast(strength));
        }
    }

    let Some(gauge) = gauge(s) else {
        for property in ["tensile-modulus", "break-strain"] {
            out.refuse(
                property,
                "bench::no-gauge",
                "a strain needs the gauge length, which is blank",
            );
        }
        return;
    };
    let stress_strain: Vec<(f64, f64)> = unbroken
        .iter()
        .map(|(x, f)| (x / gauge, f / section))
        .collect();
    let mut slack = 0.0;
    match modulus(&stress_strain, out.resolution("extension") / gauge) {
        Ok(m) => {
            slack = m.slack;
            out.step("T3", "readings in the window", f64::from(m.readings), "1");
            out.step("T3", "modulus", m.slope, "MPa");
            if slack > 0.0 {
                out.step("T5", "slack taken off the strain", 100.0 * slack, "%");
            }
            out.give(s, "tensile-modulus", Reading::Exact(m.slope));
        }
        Err((code, why)) => out.refuse("tensile-modulus", code, why),
    }
    if let Some((extension, _)) = yielded {
        let strain = extension / gauge - slack;
        out.step("T2", "strain at yield", 100.0 * strain, "%");
    }
    if let Some((last, stress)) = stress_strain.last() {
        out.step("T1", "stress at the last line", *stress, "MPa");
        give_break_strain(s, out, last - slack);
    }
}
