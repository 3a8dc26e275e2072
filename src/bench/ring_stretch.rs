//! A printed ring held stretched over two pins or on a bar: what hoop force it keeps, what stretch stays.
//!
//! `RS1` stretched length, `RS2` hoop strain of the bore and of the middle of the wall, `RS3` hoop
//! stress, `RS4` modulus at that stretch, `RS5` share of force kept, `RS6` stretch set, `RS7` strain
//! that the ring bore, `RS8` pressure on the bar.
//!
//! Two legs carry the force, and the bore strains more than the middle of the wall: stress goes with
//! the middle, a break begins anywhere.

use crate::bench::kept::{self, Timed};
use crate::bench::{BenchTest, Column, HowTo, Need, Outcome, Point, Reduction, Specimen};
use crate::num::shape;
use crate::property::Direction;
use crate::quantity::Reading;
use std::f64::consts::PI;

/// The ring-stretch test.
pub(super) struct RingStretch;

const KEPT: &str = "stretch-retained";
const MODULUS: &str = "stretch-modulus";
const SET: &str = "stretch-set";
const BREAK: &str = "break-strain";

/// Beyond this strain the neo-Hookean law in one direction says nothing more ("about 1.3", derived).
const STRAIN_MAX: f64 = 0.30;
/// Wall over inner diameter up to which bending a ring straight is left out (assumed, our own limit).
const WALL_MAX: f64 = 0.25;
/// Modulus, MPa, above which a ring is a stiff plastic that may have yielded (assumed).
const STIFF_MPA: f64 = 300.0;
/// Stretch up to which a stiff plastic is taken as elastic (assumed).
const STIFF_STRAIN_MAX: f64 = 0.03;
/// Two stretches this much alike are one hold.
const SAME: f64 = 1e-6;

const COLUMNS: &[Column] = &[
    Column::number(
        "inner",
        Need::Once,
        "mm",
        0.01,
        0.05,
        "inner diameter of the ring before, twice the radius",
    ),
    Column::number("wall", Need::Once, "mm", 0.01, 0.05, "wall of the ring"),
    Column::number(
        "height",
        Need::Once,
        "mm",
        0.01,
        0.05,
        "height of the ring along its axis",
    ),
    Column::number(
        "pin",
        Need::Optional,
        "mm",
        0.0,
        0.05,
        "diameter of each of the two pins",
    ),
    Column::number(
        "centres",
        Need::Optional,
        "mm",
        0.1,
        0.05,
        "distance between the centres of the pins; on a later line where it was pulled further",
    ),
    Column::number(
        "bar",
        Need::Optional,
        "mm",
        0.01,
        0.05,
        "diameter of the bar it sits on in place of pins; a force is then read across a split bar",
    ),
    Column::number(
        "time",
        Need::Optional,
        "h",
        0.0,
        0.0,
        "time since it was stretched; a line per reading",
    ),
    Column::number("force", Need::Optional, "N", 0.1, 0.0, "force at that time"),
    Column::number(
        "recovered",
        Need::Optional,
        "mm",
        0.01,
        0.0,
        "inner diameter after release and recovery",
    ),
    Column::number(
        "recovery",
        Need::Optional,
        "min",
        0.0,
        0.0,
        "time between release and that reading; 30 min is usual",
    ),
];

impl BenchTest for RingStretch {
    fn id(&self) -> &'static str {
        "ring-stretch"
    }
    fn title(&self) -> &'static str {
        "ring stretch"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[
            Outcome::NoBreak,
            Outcome::Stopped,
            Outcome::AboveRange,
            Outcome::Ruptured,
        ]
    }
    fn gives(&self) -> &'static [&'static str] {
        &[KEPT, MODULUS, SET, BREAK]
    }
    fn formulas(&self) -> &'static [&'static str] {
        &[
            "RS1 stretched inner length = 2 centres + pi pin, or pi bar [derived]; a ring that is not longer than before is refused",
            "RS2 strain of the bore = stretched length/(pi inner) - 1; of the middle of the wall the same with pi wall added to both [derived; ISO 37 has a form for rings, from memory, not verified]. Pin travel over diameter is neither",
            "RS3 stress = force/(2 wall height): two legs carry it [derived]",
            "RS4 modulus E by stress = (E/3)(l - l^-2), l = 1 + strain of the middle (neo-Hookean, derived), from the first force; up to a strain of 0.30 and a wall of a quarter of the inner diameter [assumed]; of a stiff piece (above 300 MPa) only a lower bound above 0.03 [assumed]",
            "RS5 force kept = force(t)/force(t1) at one stretch, t1 the first reading above time 0 [derived; ISO 6914 is the standard for tension, from memory, not verified]",
            "RS6 stretch set = 100 (recovered - inner)/(stretched length/pi - inner), share of the stretch [ISO 2285, from memory, not verified; derived as compression set is]",
            "RS7 strain at break of a ring pulled until it broke (`ruptured`) or as far as it went (`no break`) is at least the strain of the middle that it bore, for the bore and the wall at the pins strain more [derived]: `>=`, never a figure; a blank direction counts as flat",
            "RS8 pressure on a bar = 2 wall stress/(bar + wall) [thin ring, derived]: shown",
        ]
    }
    fn howto(&self) -> HowTo {
        HowTo {
            measure: [
                "Measure ring and pins, stretch over the pins in one go, and read the force at about 1 min, 10 min, 1 h, 1 day, 1 week.",
                "Or push it on a bar in place of pins. After release wait the recovery time, then measure the inner diameter.",
            ],
            beware: [
                "Seams of the print break first: turn the seam away from the pins, and note where it tore.",
                "Pins that bend or a frame that gives let the stretch fall off: measure the centres again at the end.",
            ],
            specimens: 2,
            lines: 6,
        }
    }

    fn reduce(&self, s: &Specimen, out: &mut Reduction) {
        let refuse_all = |code: &'static str, why: String, out: &mut Reduction| {
            for p in self.gives() {
                out.refuse(p, code, why.clone());
            }
        };
        let (Some(inner), Some(wall), Some(height)) =
            (s.once("inner"), s.once("wall"), s.once("height"))
        else {
            let why = "inner, wall and height are needed".to_owned();
            return refuse_all("bench::missing-reading", why, out);
        };
        if s.condition.direction == Some(Direction::Edge) {
            let why = "a ring printed standing is pulled across its layers on two sides: write `across`, or `flat` for one that lay on the bed".to_owned();
            return refuse_all("bench::ring-on-edge", why, out);
        }
        let ring = Ring {
            inner_mm: inner,
            wall_mm: wall,
            height_mm: height,
        };
        match ring.stretched(s) {
            Ok(lines) => {
                modulus(s, ring, &lines, out);
                retained(s, &lines, out);
                set(s, ring, &lines, out);
                borne(s, ring, &lines, out);
            }
            Err((code, why)) => refuse_all(code, why, out),
        }
    }
}

#[derive(Clone, Copy)]
struct Ring {
    inner_mm: f64,
    wall_mm: f64,
    height_mm: f64,
}

/// A line and the inner length, mm, that the ring was stretched to on it.
type Stretched<'a> = (f64, &'a Point);

impl Ring {
    /// Strain of the middle of the wall at an inner length, mm.
    fn middle(self, length_mm: f64) -> f64 {
        let wall = PI * self.wall_mm;
        (length_mm + wall) / (PI * self.inner_mm + wall) - 1.0
    }

    /// Every line with the stretch on it: what a line leaves blank is as on the line before.
    fn stretched<'a>(self, s: &'a Specimen) -> Result<Vec<Stretched<'a>>, (&'static str, String)> {
        let (mut centres, mut bar) = (None, None);
        let pin = s.once("pin");
        let free = PI * self.inner_mm;
        let mut lines = Vec::with_capacity(s.points.len());
        for p in &s.points {
            centres = p.num("centres").or(centres);
            bar = p.num("bar").or(bar);
            let length = match (pin, centres, bar) {
                (None, None, Some(bar)) => PI * bar,
                (Some(pin), Some(a), None) if a >= pin => 2.0 * a + PI * pin,
                (Some(pin), Some(a), None) => {
                    return Err((
                        "bench::pins-overlap",
                        format!("two pins of {pin} mm cannot stand {a} mm apart"),
                    ));
                }
                (_, _, Some(_)) => {
                    return Err((
                        "bench::two-holders",
                        "a ring is held over pins or on a bar: leave `bar`, or `pin` and `centres`, blank".to_owned(),
                    ));
                }
                _ => {
                    return Err((
                        "bench::missing-reading",
                        "`pin` and `centres`, or `bar`, say how far it is stretched".to_owned(),
                    ));
                }
            };
            if length <= free {
                return Err((
                    "bench::no-stretch",
                    format!(
                        "an inner length of {length:.1} mm does not stretch the {free:.1} mm that the ring has"
                    ),
                ));
            }
            lines.push((length, p));
        }
        Ok(lines)
    }
}

/// Lines at the first line's stretch: the hold.
fn hold<'a>(lines: &[Stretched<'a>]) -> Vec<&'a Point> {
    let first = lines.first().map_or(0.0, |l| l.0);
    lines
        .iter()
        .filter(|l| (l.0 - first).abs() <= SAME * first)
        .map(|l| l.1)
        .collect()
}

/// Forces of the hold, in order of time.
fn forces<'a>(lines: &[Stretched<'a>]) -> Vec<Timed<'a>> {
    let mut all: Vec<Timed<'a>> = hold(lines)
        .into_iter()
        .filter(|p| p.outcome != Outcome::Ruptured)
        .filter_map(|p| Some((p.num("time").unwrap_or(0.0), p.num("force")?, p)))
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all
}

fn modulus(s: &Specimen, ring: Ring, lines: &[Stretched<'_>], out: &mut Reduction) {
    let Some(length) = lines.first().map(|l| l.0) else {
        return;
    };
    let middle = ring.middle(length);
    out.step("RS1", "stretched inner length", length, "mm");
    out.step(
        "RS2",
        "strain of the bore",
        length / (PI * ring.inner_mm) - 1.0,
        "1",
    );
    out.step("RS2", "strain of the middle of the wall", middle, "1");
    let all = forces(lines);
    let Some((time, force, point)) = all.iter().find(|r| r.0 > 0.0).or(all.first()) else {
        return;
    };
    let stress = force / (2.0 * ring.wall_mm * ring.height_mm);
    out.step("RS3", "hoop stress at the first force", stress, "MPa");
    if *time > 0.0 {
        out.step("RS4", "time of the first force", *time, "h");
    }
    if let Some(bar) = s.once("bar") {
        let pressure = 2.0 * ring.wall_mm * stress / (bar + ring.wall_mm);
        out.step("RS8", "pressure on the bar", pressure, "MPa");
    }
    if middle > STRAIN_MAX {
        out.refuse(
            MODULUS,
            "bench::beyond-strain",
            format!(
                "stretched by {:.1} %, beyond the {:.0} % up to which a modulus is read",
                100.0 * middle,
                100.0 * STRAIN_MAX
            ),
        );
        return;
    }
    if ring.wall_mm > WALL_MAX * ring.inner_mm {
        out.refuse(
            MODULUS,
            "bench::thick-ring",
            format!(
                "a wall of {} mm in a ring of {} mm resists being bent straight: the force is not stretch alone",
                ring.wall_mm, ring.inner_mm
            ),
        );
        return;
    }
    // The neo-Hookean law of a squeeze, with the sign turned.
    let counts = -shape::neo_hookean_squeeze(-middle);
    let e = stress / counts;
    out.step("RS4", "strain that counts", counts, "1");
    let past_yield = e > STIFF_MPA && middle > STIFF_STRAIN_MAX;
    let value = if past_yield || point.outcome == Outcome::AboveRange {
        Reading::AtLeast(e)
    } else {
        Reading::Exact(e)
    };
    out.step("RS4", "modulus at that stretch", e, "MPa");
    out.give(s, MODULUS, value);
}

fn retained(s: &Specimen, lines: &[Stretched<'_>], out: &mut Reduction) {
    let ruptured = hold(lines).iter().any(|p| p.outcome == Outcome::Ruptured);
    let gone = ruptured.then(|| {
        (
            "bench::ruptured",
            "the ring broke while it was held, so no share of force is kept".to_owned(),
        )
    });
    kept::of_force(s, KEPT, "RS5", &forces(lines), gone, out);
}

fn set(s: &Specimen, ring: Ring, lines: &[Stretched<'_>], out: &mut Reduction) {
    let Some(recovered) = s.once("recovered") else {
        return;
    };
    if s.points.iter().any(|p| p.outcome == Outcome::Ruptured) {
        out.refuse(
            SET,
            "bench::ruptured",
            "the ring broke, so its diameter is no set",
        );
        return;
    }
    let longest = lines.iter().map(|l| l.0).fold(0.0, f64::max);
    let held = longest / PI;
    let sizes = [ring.inner_mm, held, recovered];
    let Some(figure) = kept::set(s, SET, "RS6", sizes, &format!("{held:.2}"), out) else {
        return;
    };
    out.step("RS6", "inner diameter while held", held, "mm");
    out.step("RS6", "stretch set, share of the stretch", figure, "%");
    out.give(s, SET, Reading::Exact(figure));
}

/// What a ring that was pulled to its end bore is a bound on the strain at break, whether it broke
/// there or not. One that was only held says nothing of its break.
fn borne(s: &Specimen, ring: Ring, lines: &[Stretched<'_>], out: &mut Reduction) {
    let to_the_end = |p: &Point| matches!(p.outcome, Outcome::Ruptured | Outcome::NoBreak);
    if !s.points.iter().any(to_the_end) {
        return;
    }
    let longest = lines.iter().map(|l| l.0).fold(0.0, f64::max);
    let strain = 100.0 * ring.middle(longest);
    out.step("RS7", "strain that the ring bore", strain, "%");
    let bound = out.give(s, BREAK, Reading::AtLeast(strain));
    // Strain at break is asked across the layers where nothing else is said; a ring lies flat.
    bound.condition.direction = bound.condition.direction.or(Some(Direction::Flat));
}
