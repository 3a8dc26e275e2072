//! A piece squeezed to a fixed height and held: how stiff it is, what force it keeps, what height comes back.
//!
//! `P1` area of the ring or disc, `P2` squeeze, `P3` apparent modulus, `P4` shape factor,
//! `P5` modulus with the hold of the faces taken out, `P6` limit by bulk, `P7` share of force
//! kept, `P8` compression set.
//!
//! Set is not relaxation: a piece may keep little force and still come back. The two are read
//! apart and neither is ever made from the other.

use crate::bench::kept::{self, Timed};
use crate::bench::{BenchTest, Column, HowTo, Need, Outcome, Reduction, Specimen};
use crate::num::shape;
use crate::quantity::Reading;

/// The compression-hold test.
pub(super) struct CompressionHold;

/// Up to this squeeze stress over strain is the apparent modulus ("linear to about 10 to 15 %", common practice, no source).
const LINEAR_TO: f64 = 0.10;
/// From this squeeze on the neo-Hookean relation alone is used; between the two they are mixed.
const NEO_HOOKEAN_FROM: f64 = 0.15;
/// Beyond this squeeze no modulus is given (assumed, our own limit).
const STRAIN_MAX: f64 = 0.30;
/// Apparent modulus, MPa, above which a piece is a stiff plastic that may have yielded (assumed).
const STIFF_MPA: f64 = 300.0;
/// Squeeze up to which a stiff plastic is taken as elastic (assumed; they yield in compression at 3 % and more).
const STIFF_STRAIN_MAX: f64 = 0.03;
/// Apparent modulus, MPa, up to which bulk compression is left out: a twentieth of a bulk modulus of 2000 MPa.
const NO_BULK_TO_MPA: f64 = 100.0;
/// Least and usual bulk modulus of rubber, MPa (1 to 2 GPa, from memory, not verified).
const BULK_MPA: (f64, f64) = (1000.0, 2000.0);

const COLUMNS: &[Column] = &[
    Column::number(
        "outer",
        Need::Once,
        "mm",
        0.01,
        0.05,
        "outer diameter of the disc or ring",
    ),
    Column::number(
        "inner",
        Need::Optional,
        "mm",
        0.0,
        0.0,
        "bore of the ring; 0 or blank for a disc",
    ),
    Column::number(
        "height",
        Need::Once,
        "mm",
        0.01,
        0.05,
        "height before the squeeze",
    ),
    Column::number(
        "held_height",
        Need::Once,
        "mm",
        0.01,
        0.05,
        "height at which it is held",
    ),
    Column::word(
        "faces",
        Need::Once,
        &["bonded", "dry", "greased"],
        "bonded: they cannot slide; greased: they slide freely; dry: something between",
    ),
    Column::number(
        "time",
        Need::Optional,
        "h",
        0.0,
        0.0,
        "time since the squeeze; a line per reading",
    ),
    Column::number("force", Need::Optional, "N", 0.1, 0.0, "force at that time"),
    Column::number(
        "recovered",
        Need::Optional,
        "mm",
        0.01,
        0.0,
        "height after release and recovery",
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

impl BenchTest for CompressionHold {
    fn id(&self) -> &'static str {
        "compression-hold"
    }
    fn title(&self) -> &'static str {
        "compression hold"
    }
    fn columns(&self) -> &'static [Column] {
        COLUMNS
    }
    fn outcomes(&self) -> &'static [Outcome] {
        &[Outcome::Stopped, Outcome::AboveRange, Outcome::Collapsed]
    }
    fn gives(&self) -> &'static [&'static str] {
        &["compression-modulus", "force-retained", "compression-set"]
    }
    fn formulas(&self) -> &'static [&'static str] {
        &[
            "P1 area = (pi/4)(outer^2 - inner^2)",
            "P2 squeeze = (height - held_height)/height; no modulus above 0.30, and of a stiff piece (above 300 MPa) only a lower bound above 0.03 [assumed]",
            "P3 apparent modulus = (first force/area)/squeeze up to 0.10; from 0.15 on the neo-Hookean relation stress = (E/3)(l^-2 - l), l = 1 - squeeze [derived]; mixed in proportion between, so that no reading falls off a step",
            "P4 shape factor S = (outer - inner)/(4 height): one loaded face over the free surface [definition verified in source: doi 10.5545/sv-jme.2013.1510]",
            "P5 modulus E = apparent/(1 + 2 S^2) where the faces are bonded [Gent and Lindley, verified in source: doi 10.5545/sv-jme.2013.1510]; greased faces give E itself; dry ones lie between, and both ends are given",
            "P6 1/apparent = 1/(E(1 + 2 S^2)) + 1/bulk [verified in source; bulk modulus of rubber 1 to 2 GPa from memory, not verified]: a bonded piece above 100 MPa gets a range, from no share of bulk to that of 1 GPa, never above the apparent modulus",
            "P7 force kept = force(t)/force(t1), t1 the first reading above time 0 [derived; ISO 3384-1 defines its own t1]",
            "P8 compression set = 100 (height - recovered)/(height - held_height), share of the squeeze [ISO 815-1, ASTM D395 method B, verified in source]",
        ]
    }
    fn howto(&self) -> HowTo {
        HowTo {
            measure: [
                "Measure the height free, squeeze to the held height within a minute, and read the force at about 1 min, 10 min, 1 h, 1 day, 1 week.",
                "After release lay the piece free, wait the recovery time, measure its height, and write both on the last line.",
            ],
            beware: [
                "Faces that slide change the figures: say bonded, dry or greased, and keep it the same for all pieces.",
                "A frame that gives lets the height drift: measure the held height itself, at the end too.",
            ],
            specimens: 2,
            lines: 6,
        }
    }

    fn reduce(&self, s: &Specimen, out: &mut Reduction) {
        let (Some(outer), Some(height), Some(held)) =
            (s.once("outer"), s.once("height"), s.once("held_height"))
        else {
            for p in self.gives() {
                out.refuse(
                    p,
                    "bench::missing-reading",
                    "outer, height and held_height are needed",
                );
            }
            return;
        };
        let inner = s.once("inner").unwrap_or(0.0);
        if let Err((code, why)) = check_geometry(outer, inner, height, held) {
            for p in self.gives() {
                out.refuse(p, code, why.clone());
            }
            return;
        }
        modulus(s, (outer, inner, height, held), out);
        retained(s, out);
        set(s, height, held, out);
    }
}

fn check_geometry(
    outer: f64,
    inner: f64,
    height: f64,
    held: f64,
) -> Result<(), (&'static str, String)> {
    if inner >= outer {
        return Err((
            "bench::no-section",
            format!("the bore of {inner} mm is not smaller than the outer diameter of {outer} mm"),
        ));
    }
    if held >= height {
        return Err((
            "bench::no-squeeze",
            format!("held at {held} mm, the piece of {height} mm is not squeezed"),
        ));
    }
    Ok(())
}

/// Lines with a force, in order of time, up to a collapse.
fn readings(s: &Specimen) -> Vec<Timed<'_>> {
    kept::over_time(s, "force", Outcome::Collapsed)
}

fn modulus(s: &Specimen, (outer, inner, height, held): (f64, f64, f64, f64), out: &mut Reduction) {
    const ID: &str = "compression-modulus";
    let all = readings(s);
    let Some((time, force, point)) = all.iter().find(|r| r.0 > 0.0).or(all.first()) else {
        if s.once("recovered").is_none() || s.outcome() == Outcome::Collapsed {
            out.refuse(ID, "bench::no-force", "no force was read while it held");
        }
        return;
    };
    let area = shape::ring_area_mm2(outer, inner);
    let strain = (height - held) / height;
    out.step("P1", "loaded area", area, "mm2");
    out.step("P2", "squeeze", strain, "1");
    if *time > 0.0 {
        out.step("P3", "time of the first force", *time, "h");
    }
    if strain > STRAIN_MAX {
        out.refuse(
            ID,
            "bench::beyond-strain",
            format!(
                "squeezed by {:.1} %, beyond the {:.0} % up to which a modulus is read",
                100.0 * strain,
                100.0 * STRAIN_MAX
            ),
        );
        return;
    }
    let stress = force / area;
    let share = ((strain - LINEAR_TO) / (NEO_HOOKEAN_FROM - LINEAR_TO)).clamp(0.0, 1.0);
    let squeeze = strain + share * (shape::neo_hookean_squeeze(strain) - strain);
    let apparent = stress / squeeze;
    let s_factor = shape::ring_shape_factor(outer, inner, height);
    out.step("P3", "stress at the first force", stress, "MPa");
    out.step("P3", "strain that counts", squeeze, "1");
    out.step("P3", "apparent modulus", apparent, "MPa");
    out.step("P4", "shape factor", s_factor, "1");
    let value = free_of_faces(s.word("faces").unwrap_or("dry"), apparent, s_factor, out);
    let past_yield = apparent > STIFF_MPA && strain > STIFF_STRAIN_MAX;
    let value = if past_yield || point.outcome == Outcome::AboveRange {
        Reading::AtLeast(value.figures().0)
    } else {
        value
    };
    out.give(s, ID, value);
}

/// Young's modulus, MPa, from an apparent one, by how the faces were held.
fn free_of_faces(faces: &str, apparent: f64, s_factor: f64, out: &mut Reduction) -> Reading {
    if faces == "greased" {
        return Reading::Exact(apparent);
    }
    let factor = shape::bonded_face_factor(s_factor);
    let stripped = apparent / factor;
    out.step("P5", "factor of faces that cannot slide", factor, "1");
    out.step("P5", "modulus if they cannot slide", stripped, "MPa");
    if faces == "dry" {
        return Reading::Between(stripped, apparent);
    }
    if apparent <= NO_BULK_TO_MPA {
        return Reading::Exact(stripped);
    }
    let with_bulk =
        |bulk: f64| (apparent < bulk).then(|| 1.0 / (1.0 / apparent - 1.0 / bulk) / factor);
    if let Some(e) = with_bulk(BULK_MPA.1) {
        out.step("P6", "modulus with a bulk modulus of 2000 MPa", e, "MPa");
    }
    let high = with_bulk(BULK_MPA.0).map_or(apparent, |e| e.min(apparent));
    Reading::Between(stripped, high)
}

fn retained(s: &Specimen, out: &mut Reduction) {
    let collapsed = s.points.iter().any(|p| p.outcome == Outcome::Collapsed);
    let gone = collapsed.then(|| {
        (
            "bench::collapsed",
            "the piece gave way under the squeeze, so no share of force is kept".to_owned(),
        )
    });
    kept::of_force(s, "force-retained", "P7", &readings(s), gone, out);
}

fn set(s: &Specimen, height: f64, held: f64, out: &mut Reduction) {
    const ID: &str = "compression-set";
    let Some(recovered) = s.once("recovered") else {
        return;
    };
    if s.outcome() == Outcome::Collapsed {
        out.refuse(
            ID,
            "bench::collapsed",
            "the piece gave way under the squeeze, so its height is no set",
        );
        return;
    }
    let sizes = [height, held, recovered];
    let Some(figure) = kept::set(s, ID, "P8", sizes, &held.to_string(), out) else {
        return;
    };
    out.step("P8", "compression set, share of the squeeze", figure, "%");
    out.step(
        "P8",
        "the same height as share of the whole height, which is another quantity",
        100.0 * (height - recovered) / height,
        "%",
    );
    out.give(s, ID, Reading::Exact(figure));
}
