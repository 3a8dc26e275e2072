//! Strength across the layers over strength flat, of pieces printed alike: what the bond between layers is worth.
//!
//! `LA1` strength of a piece, `LA2` ratio of a pair, `LA3` ratio of unpaired groups with its
//! standard uncertainty.
//!
//! A specimen of one line is a pair: one piece across and one flat, printed side by side. A specimen of
//! several lines is two groups, not paired: each piece across is a look at the ratio, over the mean of
//! the flat ones, and how well that mean is known is one uncertainty that these looks share. Either way
//! the relative standard errors of both sides add in squares. Strengths themselves belong on a tensile sheet.

use crate::bench::{
    BenchTest, Bias, BiasKind, Column, HowTo, Need, Outcome, Point, Reduction, Specimen,
};
use crate::quantity::Reading;

/// The layer-adhesion test.
pub(super) struct LayerAdhesion;

const RATIO: &str = "layer-adhesion";

/// Under this many flat pieces their own scatter is not trusted below the usual one (ours).
const FLAT_ENOUGH: usize = 4;
/// Usual scatter of strength within a print, one standard deviation as a share (assumed, as the
/// property table has it for tensile strength).
const USUAL_SD: f64 = 0.08;

const COLUMNS: &[Column] = &[
    Column::number(
        "force_across",
        Need::Optional,
        "N",
        0.1,
        0.0,
        "force that broke the piece pulled across its layers",
    ),
    Column::number(
        "width_across",
        Need::Optional,
        "mm",
        0.01,
        0.05,
        "its width; blank as on the specimen's line before",
    ),
    Column::number(
        "thickness_across",
        Need::Optional,
        "mm",
        0.01,
        0.05,
        "its thickness",
    ),
    Column::number(
        "area_across",
        Need::Optional,
        "mm2",
        0.1,
        0.01,
        "or its section",
    ),
    Column::number(
        "force_flat",
        Need::Optional,
        "N",
        0.1,
        0.0,
        "force that broke the piece printed flat",
    ),
    Column::number(
        "width_flat",
        Need::Optional,
        "mm",
        0.01,
        0.05,
        "its width; blank as on the specimen's line before",
    ),
    Column::number(
        "thickness_flat",
        Need::Optional,
        "mm",
        0.01,
        0.05,
        "its thickness",
    ),
    Column::number(
        "area_flat",
        Need::Optional,
        "mm2",
        0.1,
        0.01,
        "or its section",
    ),
];

/// The columns of one side.
struct Side {
    force: &'static str,
    width: &'static str,
    thickness: &'static str,
    area: &'static str,
    what: &'static str,
}

const ACROSS: Side = Side {
    force: "force_across",
    width: "width_across",
    thickness: "thickness_across",
    area: "area_across",
    what: "strength across the layers",
};
const FLAT: Side = Side {
    force: "force_flat",
    width: "width_flat",
    thickness: "thickness_flat",
    area: "area_flat",
    what: "strength flat",
};

impl BenchTest for LayerAdhesion {
    fn id(&self) -> &'static str {
        "layer-adhesion"
    }
    fn title(&self) -> &'static str {
        "layer adhesion"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[]
    }
    fn gives(&self) -> &'static [&'static str] {
        &[RATIO]
    }
    fn formulas(&self) -> &'static [&'static str] {
        &[
            "LA1 strength = force/(width thickness), or force/area [ISO 527-1, derived]; both sides printed alike and tested alike",
            "LA2 of a pair (a specimen of one line): ratio = strength across/strength flat [derived]; several pairs scatter by both sides' scatter together",
            "LA3 of groups (a specimen of several lines, not paired): ratio r = mean across/mean flat, u(r) = r sqrt((s_a/m_a)^2/n_a + (s_f/m_f)^2/n_f) [relative standard errors in squares, derived]; each piece across is one look, and the flat mean's error is shared by all; under 4 flat pieces it is taken as at least 8 %/sqrt(n) [assumed]",
        ]
    }
    fn howto(&self) -> HowTo {
        HowTo {
            measure: [
                "Print pairs of one job: one piece pulled across its layers, one lying flat; same shape, walls and infill.",
                "Measure both sections at the break, pull both at the same slow speed, and write the pair on one line.",
            ],
            beware: [
                "A bending pull opens one edge first: grip in line, or the ratio comes out low.",
                "A pair from two prints, or upright pieces that cooled longer than parts do, says little of either.",
            ],
            specimens: 3,
            lines: 1,
        }
    }

    fn reduce(&self, s: &Specimen, out: &mut Reduction) {
        let sides = strengths(s, &ACROSS, out).and_then(|a| Ok((a, strengths(s, &FLAT, out)?)));
        let (across, flat) = match sides {
            Ok(sides) => sides,
            Err((code, why)) => {
                out.refuse(RATIO, code, why);
                return;
            }
        };
        match (across.as_slice(), flat.as_slice()) {
            ([], _) | (_, []) => out.refuse(
                RATIO,
                "bench::no-partner",
                "a ratio wants a piece across and a piece flat: write both on one line, or give lines of unpaired pieces one specimen number and points 1, 2, 3 ...",
            ),
            (_, flat) if flat.iter().any(|x| *x <= 0.0) => out.refuse(
                RATIO,
                "bench::no-strength",
                "a flat piece that broke at no force is nothing to share by",
            ),
            ([a], [f]) if s.points.len() == 1 => {
                out.step("LA2", "strength across over strength flat", a / f, "1");
                out.give(s, RATIO, Reading::Exact(a / f));
            }
            (across, flat) => groups(s, across, flat, out),
        }
    }
}

/// The strengths of one side's pieces, MPa, in the order of the lines.
fn strengths(
    s: &Specimen,
    side: &Side,
    out: &mut Reduction,
) -> Result<Vec<f64>, (&'static str, String)> {
    let (mut sections, mut all) = (Section::default(), Vec::new());
    for p in &s.points {
        sections.follow(p, side);
        let Some(force) = p.num(side.force) else {
            continue;
        };
        let Some(area) = sections.area_mm2() else {
            return Err((
                "bench::no-section",
                format!(
                    "`{}` is given, and neither `{}` nor `{}` and `{}` say over what section",
                    side.force, side.area, side.width, side.thickness
                ),
            ));
        };
        let strength = force / area;
        out.step("LA1", side.what, strength, "MPa");
        all.push(strength);
    }
    Ok(all)
}

/// The section as last written.
#[derive(Default)]
struct Section {
    width: Option<f64>,
    thickness: Option<f64>,
    area: Option<f64>,
}

impl Section {
    fn follow(&mut self, p: &Point, side: &Side) {
        let (width, thickness) = (p.num(side.width), p.num(side.thickness));
        if width.is_some() || thickness.is_some() {
            self.area = None;
        }
        self.width = width.or(self.width);
        self.thickness = thickness.or(self.thickness);
        self.area = p.num(side.area).or(self.area);
    }
    fn area_mm2(&self) -> Option<f64> {
        self.area.or_else(|| Some(self.width? * self.thickness?))
    }
}

fn groups(s: &Specimen, across: &[f64], flat: &[f64], out: &mut Reduction) {
    let ((m_a, s_a), (m_f, s_f)) = (mean_and_sd(across), mean_and_sd(flat));
    let (n_a, n_f) = (across.len() as f64, flat.len() as f64);
    let ratio = m_a / m_f;
    out.step(
        "LA3",
        "mean strength across over mean strength flat",
        ratio,
        "1",
    );
    let own = s_f.map(|sd| sd / m_f);
    if let (Some(s_a), Some(f)) = (s_a, own) {
        let u = ratio * ((s_a / m_a).powi(2) / n_a + f * f / n_f).sqrt();
        out.step("LA3", "standard uncertainty of that ratio", u, "1");
    }
    let few = flat.len() < FLAT_ENOUGH;
    let spread = match own {
        Some(f) if !few => f,
        Some(f) => f.max(USUAL_SD),
        None => USUAL_SD,
    };
    let u_flat = spread / n_f.sqrt();
    out.step(
        "LA3",
        "relative standard error of the flat mean",
        u_flat,
        "1",
    );
    // One draw of the flat mean's error is shared by every look of these pieces, and by no others.
    let shared: std::sync::Arc<str> = format!("mean of {n_f} flat pieces, {m_f:.8} MPa").into();
    for a in across {
        let look = out.give(s, RATIO, Reading::Exact(a / m_f));
        look.bias.push(Bias {
            calibration: shared.clone(),
            kind: BiasKind::Gain,
            slope: -u_flat,
        });
    }
}

/// Mean, and the standard deviation of two and more.
fn mean_and_sd(x: &[f64]) -> (f64, Option<f64>) {
    let n = x.len() as f64;
    let mean = x.iter().sum::<f64>() / n;
    let squares: f64 = x.iter().map(|x| (x - mean).powi(2)).sum();
    (mean, (x.len() > 1).then(|| (squares / (n - 1.0)).sqrt()))
}
