//! A piece rubbed under load over a known way: how fast it wears, how it slides, what heat it stands.
//!
//! `W1` worn volume of a flat face, `W2` from a mass loss, `W3` of a groove or scar by the
//! circular segment, `W4` specific wear rate, `W5` kinetic friction, `W6` pressure times speed.

use crate::bench::{BenchTest, Column, HowTo, Need, Outcome, Point, Reduction, Specimen};
use crate::num::shape;
use crate::quantity::Reading;

/// The sliding-wear test.
pub(super) struct SlidingWear;

const WEAR: &str = "wear-rate";
const FRICTION: &str = "kinetic-friction";
const PV: &str = "pv-held";

const COLUMNS: &[Column] = &[
    Column::word(
        "contact",
        Need::Once,
        &["flat", "block-on-ring", "shaft-on-flat"],
        "flat: face on face; block-on-ring, shaft-on-flat: a round part wears a groove",
    ),
    Column::number(
        "area",
        Need::Optional,
        "mm2",
        0.0,
        0.01,
        "area of a flat face in contact",
    ),
    Column::number(
        "radius",
        Need::Optional,
        "mm",
        0.0,
        0.05,
        "radius of the ring or shaft",
    ),
    Column::number(
        "length",
        Need::Optional,
        "mm",
        0.0,
        0.05,
        "length of the groove along the ring's or shaft's axis",
    ),
    Column::number(
        "load",
        Need::Optional,
        "N",
        0.0,
        0.0,
        "load; needed on the first line",
    ),
    Column::number(
        "speed",
        Need::Optional,
        "m/s",
        0.0,
        0.0,
        "sliding speed; needed for pressure times speed",
    ),
    Column::number(
        "distance",
        Need::Optional,
        "m",
        0.0,
        0.0,
        "way slid up to this line; needed for the wear rate",
    ),
    Column::number(
        "depth",
        Need::Optional,
        "um",
        10.0,
        -1e6,
        "worn depth; one of depth, mass_loss and scar",
    ),
    Column::number(
        "mass_loss",
        Need::Optional,
        "mg",
        1.0,
        -1e9,
        "lost mass, cleaned and dried alike before and after",
    ),
    Column::number(
        "density",
        Need::Optional,
        "g/cm3",
        0.0,
        0.05,
        "of the piece, for a mass loss; blank takes the material's",
    ),
    Column::number(
        "scar",
        Need::Optional,
        "mm",
        0.05,
        0.0,
        "width of the groove across the ring or shaft",
    ),
    Column::number(
        "friction_force",
        Need::Optional,
        "N",
        0.1,
        0.0,
        "steady friction force",
    ),
];

impl BenchTest for SlidingWear {
    fn id(&self) -> &'static str {
        "sliding-wear"
    }
    fn title(&self) -> &'static str {
        "sliding wear"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[Outcome::Stopped, Outcome::Melted, Outcome::BelowResolution]
    }
    fn needs_counterface(&self) -> bool {
        true
    }
    fn gives(&self) -> &'static [&'static str] {
        &[WEAR, FRICTION, PV]
    }
    fn formulas(&self) -> &'static [&'static str] {
        &[
            "W1 worn volume of a flat face = area x depth [derived]",
            "W2 worn volume = mass loss/density [derived]; a piece that gained mass is refused: that is moisture, not negative wear",
            "W3 worn volume of a groove = length (R^2/2)(th - sin th), th = 2 asin(scar/(2R)) or 2 acos(1 - depth/R) [circular segment, derived; ASTM G77 gives the same form, from memory, not verified]; never in proportion to the depth; scar up to 2R, depth up to R",
            "W4 wear rate = volume/(load x distance) [Archard, derived]; no wear seen gives `<=` one step of the gauge",
            "W5 kinetic friction = friction force/load, mean of the lines that ran [ISO 8295, from memory, not verified]",
            "W6 pressure times speed, `>=` where it ran, `<=` where it melted (and then no wear rate); of a groove the pressure is that on the groove as it was at the end [derived]",
        ]
    }
    fn howto(&self) -> HowTo {
        HowTo {
            measure: [
                "Run the piece in until its whole face shines, clean and weigh or measure it, then start the distance at zero.",
                "Write the load as a force, the surface it slides on and the face that slides; read the friction force when it is steady.",
            ],
            beware: [
                "Dust under the piece and a surface that is polished by earlier runs: clean between runs, and move to a fresh track.",
                "A plastic that takes up water gains mass while it wears: weigh an unworn piece beside it, or measure the depth.",
            ],
            specimens: 2,
            lines: 3,
        }
    }

    fn reduce(&self, s: &Specimen, out: &mut Reduction) {
        let Some(load) = s.once("load").filter(|l| *l > 0.0) else {
            for p in self.gives() {
                out.refuse(p, "bench::no-load", "there is no load above 0 N");
            }
            return;
        };
        let before = out.observations.len() + out.refused.len();
        wear(s, load, out);
        friction(s, load, out);
        pv(s, load, out);
        if out.observations.len() + out.refused.len() == before {
            out.refuse(
                WEAR,
                "bench::missing-reading",
                "no depth, mass_loss or scar, no friction_force and no speed was read",
            );
        }
    }
}

/// A code and a reason with its figures.
type Why = (&'static str, String);

/// The one measure of wear on a line.
enum Worn {
    DepthMm(f64),
    MassMg(f64),
    ScarMm(f64),
}

fn worn(p: &Point) -> Result<Option<Worn>, Why> {
    let each = [
        p.num("depth").map(|d| Worn::DepthMm(d / 1000.0)),
        p.num("mass_loss").map(Worn::MassMg),
        p.num("scar").map(Worn::ScarMm),
    ];
    let mut given = each.into_iter().flatten();
    match (given.next(), given.next()) {
        (one, None) => Ok(one),
        _ => Err((
            "bench::two-methods",
            "more than one of depth, mass_loss and scar stand in one line: which of them is the reading cannot be told".to_owned(),
        )),
    }
}

/// A positive figure given once, or why not.
fn need(s: &Specimen, column: &str) -> Result<f64, Why> {
    match s.once(column) {
        Some(x) if x > 0.0 => Ok(x),
        Some(x) => Err(("bench::no-contact", format!("`{column}` is {x}"))),
        None => Err(("bench::missing-reading", format!("`{column}` is needed"))),
    }
}

/// Worn volume, mm3, with the label of its formula.
fn volume(s: &Specimen, worn: &Worn) -> Result<(&'static str, f64), Why> {
    let flat = s.word("contact") == Some("flat");
    match *worn {
        Worn::MassMg(m) if m < 0.0 => Err((
            "bench::gained-mass",
            format!(
                "the piece weighed {} mg more after the run: that is moisture, not negative wear; weigh an unworn piece beside it and take its gain off",
                -m
            ),
        )),
        Worn::DepthMm(d) if d < 0.0 => Err((
            "bench::grew",
            format!(
                "the piece stood {} um higher after the run: it swelled or warmed, that is not negative wear",
                -1000.0 * d
            ),
        )),
        Worn::MassMg(m) => match s.once("density").or(s.density_g_cm3) {
            Some(rho) if rho > 0.0 => Ok(("W2", m / rho)),
            _ => Err((
                "bench::no-density",
                format!("a mass loss of {m} mg is no volume without the material's density"),
            )),
        },
        Worn::DepthMm(d) if flat => Ok(("W1", need(s, "area")? * d)),
        Worn::ScarMm(b) if flat => Err((
            "bench::scar-on-flat",
            format!("a scar of {b} mm says nothing of the wear of a flat face"),
        )),
        Worn::DepthMm(d) => {
            let (r, length) = (need(s, "radius")?, need(s, "length")?);
            if d > r {
                return Err((
                    "bench::deeper-than-shaft",
                    format!("a groove {d} mm deep is more than the radius of {r} mm"),
                ));
            }
            Ok(("W3", length * shape::segment_area_of_depth_mm2(r, d)))
        }
        Worn::ScarMm(b) => {
            let (r, length) = (need(s, "radius")?, need(s, "length")?);
            if b > 2.0 * r {
                return Err((
                    "bench::wider-than-shaft",
                    format!(
                        "a scar of {b} mm is wider than the diameter of {} mm",
                        2.0 * r
                    ),
                ));
            }
            Ok(("W3", length * shape::segment_area_of_chord_mm2(r, b)))
        }
    }
}

fn melted(s: &Specimen) -> bool {
    s.points.iter().any(|p| p.outcome == Outcome::Melted)
}

fn wear(s: &Specimen, load: f64, out: &mut Reduction) {
    let worked = wear_rate(s, load, out);
    match worked {
        Ok(Some(rate)) => {
            out.step("W4", "specific wear rate", rate, "mm3/(N.m)");
            let value = match s.outcome() {
                Outcome::BelowResolution => Reading::AtMost(rate),
                _ => Reading::Exact(rate),
            };
            out.give(s, WEAR, value);
        }
        Ok(None) => {}
        Err((code, why)) => out.refuse(WEAR, code, why),
    }
}

fn wear_rate(s: &Specimen, load: f64, out: &mut Reduction) -> Result<Option<f64>, Why> {
    if melted(s) {
        return Err((
            "bench::melted",
            "the piece melted: what went is no wear".to_owned(),
        ));
    }
    for p in s.points.iter().rev() {
        let Some(reading) = worn(p)? else { continue };
        if let Some(other) = s
            .points
            .iter()
            .filter_map(|q| q.num("load"))
            .find(|l| (l - load).abs() > 1e-6 * load)
        {
            return Err((
                "bench::load-changed",
                format!(
                    "the load went from {load} N to {other} N on the way, so no one rate stands for it"
                ),
            ));
        }
        let distance = match p.num("distance").or_else(|| s.once("distance")) {
            Some(d) if d > 0.0 => d,
            Some(d) => return Err(("bench::no-way", format!("a way of {d} m wears nothing"))),
            None => {
                return Err((
                    "bench::missing-reading",
                    "wear was read and `distance` is blank".to_owned(),
                ));
            }
        };
        let (label, volume) = volume(s, &reading)?;
        out.step(label, "worn volume", volume, "mm3");
        return Ok(Some(volume / (load * distance)));
    }
    if s.outcome() == Outcome::BelowResolution {
        return Err((
            "bench::missing-reading",
            "nothing was seen, and no cell says by which gauge: write 0 under depth, mass_loss or scar".to_owned(),
        ));
    }
    Ok(None)
}

fn friction(s: &Specimen, load: f64, out: &mut Reduction) {
    let each: Vec<f64> = s
        .points
        .iter()
        .filter(|p| p.outcome != Outcome::Melted)
        .filter_map(|p| Some((p.num("friction_force")?, p.num("load").unwrap_or(load))))
        .filter(|(_, load)| *load > 0.0)
        .map(|(force, load)| force / load)
        .collect();
    if each.is_empty() {
        if s.once("friction_force").is_some() {
            out.refuse(
                FRICTION,
                "bench::melted",
                "the piece melted: the force on it is no friction of the solid",
            );
        }
        return;
    }
    let mean = each.iter().sum::<f64>() / each.len() as f64;
    out.step("W5", "friction force over load", mean, "1");
    out.give(s, FRICTION, Reading::Exact(mean));
}

/// Area, mm2, that carries the load at a line: the flat face, or the groove as it is there.
fn contact_area(s: &Specimen, p: &Point) -> Result<f64, Why> {
    if s.word("contact") == Some("flat") || s.once("area").is_some() {
        return need(s, "area");
    }
    let (r, length) = (need(s, "radius")?, need(s, "length")?);
    let last = s.points.iter().rev().find_map(|q| worn(q).ok().flatten());
    let chord = match worn(p)?.or(last) {
        Some(Worn::ScarMm(b)) => b,
        Some(Worn::DepthMm(d)) if d <= r => shape::segment_chord_mm(r, d),
        _ => 0.0,
    };
    if chord > 0.0 {
        Ok(chord * length)
    } else {
        Err((
            "bench::no-contact-area",
            "neither an area nor the width or depth of a groove says over what the load was spread"
                .to_owned(),
        ))
    }
}

fn pv(s: &Specimen, load: f64, out: &mut Reduction) {
    let Some(speed) = s.once("speed").filter(|v| *v > 0.0) else {
        return;
    };
    if s.outcome() == Outcome::EarlyFailure {
        out.refuse(
            PV,
            "bench::failed-early",
            "the piece gave way early, by neither holding nor melting",
        );
        return;
    }
    let (mut held, mut gone): (Option<f64>, Option<f64>) = (None, None);
    for p in &s.points {
        let area = match contact_area(s, p) {
            Ok(area) => area,
            Err((code, why)) => {
                out.refuse(PV, code, why);
                return;
            }
        };
        let pressure = p.num("load").unwrap_or(load) / area;
        let figure = pressure * p.num("speed").unwrap_or(speed);
        out.step("W6", "pressure", pressure, "MPa");
        out.step("W6", "pressure times speed", figure, "MPa.m/s");
        if p.outcome == Outcome::Melted {
            gone = Some(gone.map_or(figure, |g| g.min(figure)));
        } else {
            held = Some(held.map_or(figure, |h| h.max(figure)));
        }
    }
    let value = match (held, gone) {
        (Some(h), Some(g)) if h < g => Reading::Between(h, g),
        (_, Some(g)) => Reading::AtMost(g),
        (Some(h), None) => Reading::AtLeast(h),
        (None, None) => return,
    };
    out.give(s, PV, value);
}
