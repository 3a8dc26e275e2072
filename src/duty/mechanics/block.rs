//! A solid disc, ring or block between two faces, as a case gives it.

use crate::duty::Setting;
use crate::duty::mechanics::pad::block_shape_factor;
use crate::duty::mechanics::usual::{positive, shown};
use crate::num::shape::{ring_area_mm2, ring_shape_factor};
use crate::problem::Fault;
use crate::quantity::Length;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Standard gravity, m/s2 (exact by definition).
pub(in crate::duty) const GRAVITY: f64 = 9.80665;

/// Shape of the loaded solid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(in crate::duty) enum Shape {
    /// Round, of `diameter` and height.
    Disc,
    /// Round with a bore: `diameter`, `inner_diameter` and height.
    Ring,
    /// Rectangular, of `length`, `width` and height.
    Block,
}

/// How the loaded faces are held.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(in crate::duty) enum Faces {
    /// Glued or moulded to plates: they cannot slide.
    Bonded,
    /// Standing loose: they may slide and bulge.
    #[default]
    Loose,
}

/// The dimensions of a solid as its case gives them.
#[derive(Clone, Copy, Debug)]
pub(in crate::duty) struct Sizes {
    /// Shape.
    pub(in crate::duty) shape: Shape,
    /// Diameter of a disc or ring.
    pub(in crate::duty) diameter: Option<Length>,
    /// Bore of a ring.
    pub(in crate::duty) inner_diameter: Option<Length>,
    /// Length of a block.
    pub(in crate::duty) length: Option<Length>,
    /// Width of a block.
    pub(in crate::duty) width: Option<Length>,
    /// Height, mm.
    pub(in crate::duty) height_mm: f64,
}

/// A solid with its loaded area and shape factor.
#[derive(Clone, Copy, Debug)]
pub(in crate::duty) struct Solid {
    /// Loaded area, mm2.
    pub(in crate::duty) area_mm2: f64,
    /// Loaded area over the surface that is free to bulge.
    pub(in crate::duty) shape_factor: f64,
    /// Height, mm.
    pub(in crate::duty) height_mm: f64,
}

impl Sizes {
    /// Area and shape factor (F5); dimensions that are missing, foreign to the shape or not above
    /// nothing go to `faults`, and their figures are NaN.
    pub(in crate::duty) fn settle(&self, faults: &mut Vec<Fault>) -> Solid {
        let h = self.height_mm;
        let (area_mm2, shape_factor) = match self.shape {
            Shape::Disc => {
                foreign(
                    faults,
                    "disc",
                    &[
                        ("inner_diameter", self.inner_diameter),
                        ("length", self.length),
                        ("width", self.width),
                    ],
                );
                let d = needed(faults, "disc", "diameter", self.diameter);
                (ring_area_mm2(d, 0.0), ring_shape_factor(d, 0.0, h))
            }
            Shape::Ring => {
                foreign(
                    faults,
                    "ring",
                    &[("length", self.length), ("width", self.width)],
                );
                let outer = needed(faults, "ring", "diameter", self.diameter);
                let inner = needed(faults, "ring", "inner_diameter", self.inner_diameter);
                hole("diameter", "inner_diameter", outer, inner, faults);
                (
                    ring_area_mm2(outer, inner),
                    ring_shape_factor(outer, inner, h),
                )
            }
            Shape::Block => {
                foreign(
                    faults,
                    "block",
                    &[
                        ("diameter", self.diameter),
                        ("inner_diameter", self.inner_diameter),
                    ],
                );
                let a = needed(faults, "block", "length", self.length);
                let b = needed(faults, "block", "width", self.width);
                (a * b, block_shape_factor(a, b, h))
            }
        };
        Solid {
            area_mm2,
            shape_factor,
            height_mm: h,
        }
    }
}

/// Refuses a ring whose hole, mm, is not smaller than its outside, mm.
pub(in crate::duty) fn hole(
    outer_name: &str,
    inner_name: &str,
    outer: f64,
    inner: f64,
    faults: &mut Vec<Fault>,
) {
    if inner >= outer {
        faults.push(Fault::new(
            "duty::ring-hole",
            format!(
                "`{inner_name}` {} mm is not smaller than `{outer_name}` {} mm",
                shown(inner),
                shown(outer)
            ),
            format!("write the bore as `{inner_name}` and the rim as `{outer_name}`"),
        ));
    }
}

/// Share of the whole load on the most loaded of so many; even where none is given.
pub(in crate::duty) fn heaviest_share(
    given: Option<f64>,
    number: f64,
    what: &str,
    faults: &mut Vec<Fault>,
) -> f64 {
    let even = 1.0 / number;
    let share = given.unwrap_or(even);
    // Without one there is no share to speak of; that fault stands elsewhere.
    if number > 0.0 && (share > 1.0 || share < even * (1.0 - 1e-9)) {
        faults.push(Fault::new(
            "duty::heaviest-share",
            format!("`heaviest_share` is {share}, and the most loaded of {number} {what} carries between {even:.3} and 1"),
            "write its share of the whole mass, or leave it out for an even share",
        ));
    }
    share
}

/// Share of the height that a foot or pad may sink where nothing is said (our assumption).
const SAG_SHARE: f64 = 0.10;

/// How far it may sink, mm; less than its height.
pub(in crate::duty) fn sag_allowed(
    given: Option<Length>,
    height_mm: f64,
    faults: &mut Vec<Fault>,
) -> f64 {
    let sag_mm = given.map_or(SAG_SHARE * height_mm, |s| s.0);
    if sag_mm >= height_mm {
        faults.push(Fault::new(
            "duty::sag-of-all",
            format!(
                "`sag` {} mm is no less than the `height` {} mm",
                shown(sag_mm),
                shown(height_mm)
            ),
            "write how far it may sink, less than its height",
        ));
    }
    sag_mm
}

/// Refuses a case that leaves open which surface it rubs on.
pub(in crate::duty) fn floor_named(setting: &Setting, faults: &mut Vec<Fault>) {
    if setting.counterface.is_none() {
        faults.push(Fault::new(
            "duty::floor-unknown",
            "the floor is not named, and friction belongs to a pair",
            "name it in `surroundings`, for example `\"counterface\": \"tile\"`",
        ));
    }
}

/// Takes a dimension that this shape needs.
pub(in crate::duty) fn needed(
    faults: &mut Vec<Fault>,
    shape: &str,
    name: &str,
    value: Option<Length>,
) -> f64 {
    match value {
        Some(d) => {
            positive(faults, name, d.0, "mm");
            d.0
        }
        None => {
            faults.push(Fault::new(
                "duty::dimension-missing",
                format!("a {shape} needs `{name}`"),
                format!("add `{name}`, for example `\"{name}\": \"30 mm\"`"),
            ));
            f64::NAN
        }
    }
}

/// Refuses dimensions that belong to another shape.
pub(in crate::duty) fn foreign(
    faults: &mut Vec<Fault>,
    shape: &str,
    others: &[(&str, Option<Length>)],
) {
    for (name, value) in others {
        if value.is_some() {
            faults.push(Fault::new(
                "duty::dimension-foreign",
                format!("a {shape} has no `{name}`"),
                format!("leave `{name}` out, or change `shape`"),
            ));
        }
    }
}
