//! The inputs of feet, checked and with their defaults.

use super::stand::Feet;
use crate::duty::mechanics::block::{
    Faces, GRAVITY, Shape, Sizes, floor_named, heaviest_share, sag_allowed,
};
use crate::duty::mechanics::usual::{positive, shown};
use crate::duty::{Duty, Setting};
use crate::problem::Fault;
use crate::quantity::{Angle, Force, Length, Mass, TemperatureSpan};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Slope on which it must stand where neither push nor slope is given, deg: the tilt of the
/// stability test for household appliances (IEC 60335-1, clause 20.1; verified in source).
const TILT_DEG: f64 = 10.0;
/// Angle of tipping below which a thing is cautioned, degrees: our warning line (common practice, no source).
const TIPS_EASILY_DEG: f64 = 15.0;
/// Margin below the softening onset, K: the low end of common practice for light loads (no source).
pub(super) const HEAT_MARGIN_K: f64 = 10.0;

/// Feet under something that stands on a floor.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct SupportFoot {
    /// Mass that stands on all feet together; give this or `mass_per_foot`.
    #[schemars(extend("why" = "decides how hard the feet stand: more mass holds better against a push and crushes and sags more"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) mass: Option<Mass>,
    /// Mass that stands on each foot.
    #[schemars(extend("why" = "decides how hard a foot stands: more mass holds better against a push and crushes and sags more"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) mass_per_foot: Option<Mass>,
    /// Number of feet; 4 when left out.
    #[schemars(extend("why" = "decides how many share the mass"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) feet: Option<u32>,
    /// Share of the mass on the most loaded foot, 0 to 1; an even share when left out.
    #[schemars(extend("why" = "decides the pressure on the most loaded foot, which is the one that is crushed and sags"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) heaviest_share: Option<f64>,
    /// Shape of a foot.
    #[schemars(extend("why" = "decides which sizes are asked, and how the foot bulges under its load"))]
    pub(super) shape: Shape,
    /// Diameter of a disc or ring.
    #[schemars(extend("why" = "decides over how much face the load is spread"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) diameter: Option<Length>,
    /// Bore of a ring.
    #[schemars(extend("why" = "decides over how much face the load is spread, from the inside"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) inner_diameter: Option<Length>,
    /// Length of a block.
    #[schemars(extend("why" = "decides over how much face the load is spread"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) length: Option<Length>,
    /// Width of a block.
    #[schemars(extend("why" = "decides over how much face the load is spread"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) width: Option<Length>,
    /// Height of a foot, unloaded.
    #[schemars(extend("why" = "decides how far it sinks: a tall foot sags more than a low one"))]
    pub(super) height: Length,
    /// Whether the loaded faces are bonded; loose when left out.
    #[schemars(extend("why" = "glued faces cannot slide outwards, which makes a flat foot much stiffer"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) faces: Option<Faces>,
    /// Sideways push that it must stand without sliding; none when left out.
    #[schemars(extend("why" = "decides how much grip it needs not to walk when leant on"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) push: Option<Force>,
    /// Height above the floor at which it is pushed.
    #[schemars(extend("why" = "with the half width it decides whether it tips before it slides"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) push_height: Option<Length>,
    /// Distance from the line of the weight to the edge over which it would tip.
    #[schemars(extend("why" = "decides from which push and slope it tips, whatever the feet are made of"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) half_width: Option<Length>,
    /// Height of the centre of gravity above the floor.
    #[schemars(extend("why" = "decides from which slope it tips, whatever the feet are made of"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) centre_height: Option<Length>,
    /// Slope on which it must stand without sliding; 10 degrees when neither `push` nor `slope` is given.
    #[schemars(extend("why" = "decides how much grip it needs not to slide down"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) slope: Option<Angle>,
    /// Whether it must slide before it tips; no when left out.
    #[schemars(extend("why" = "adds a limit: grip so good that the thing tips before it slides is then refused"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) slide_first: Option<bool>,
    /// How far a foot may sink in the life; a tenth of its height when left out.
    #[schemars(extend("why" = "decides when it counts as sunk too far"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) sag: Option<Length>,
    /// Margin wanted between the hottest moment and the softening onset; 10 K when left out.
    #[schemars(extend("why" = "decides how near to softening the plastic may come"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) heat_margin: Option<TemperatureSpan>,
    /// What stands on the feet, in words.
    #[schemars(extend("why" = "its words count for cautions: what stands on the feet may be something that no bench test can answer for"))]
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub(super) under: String,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub(super) note: String,
}

impl SupportFoot {
    /// What says that the thing tips easily: an angle below [`TIPS_EASILY_DEG`], or a push above its
    /// centre of gravity.
    pub(super) fn tips_easily(&self) -> Vec<String> {
        let mut by = Vec::new();
        if let (Some(half), Some(high)) = (self.half_width, self.centre_height) {
            let tips_deg = (half.0 / high.0).atan().to_degrees();
            if tips_deg < TIPS_EASILY_DEG {
                by.push(format!("it tips at {} degrees", shown(tips_deg.round())));
            }
        }
        if let (Some(push), Some(centre)) = (self.push_height, self.centre_height)
            && push.0 > centre.0
        {
            by.push("it is pushed above its centre of gravity".to_owned());
        }
        by
    }
}

impl SupportFoot {
    fn number(&self) -> f64 {
        f64::from(self.feet.unwrap_or(4))
    }

    fn sizes(&self) -> Sizes {
        Sizes {
            shape: self.shape,
            diameter: self.diameter,
            inner_diameter: self.inner_diameter,
            length: self.length,
            width: self.width,
            height_mm: self.height.0,
        }
    }

    fn weight_n(&self, faults: &mut Vec<Fault>) -> f64 {
        let kg = match (self.mass, self.mass_per_foot) {
            (Some(m), None) => {
                positive(faults, "mass", m.0, "kg");
                m.0
            }
            (None, Some(m)) => {
                positive(faults, "mass_per_foot", m.0, "kg");
                m.0 * self.number()
            }
            _ => {
                faults.push(Fault::new(
                    "duty::mass",
                    "the feet need one of `mass` and `mass_per_foot`",
                    "give the mass on all feet together, or on each, not both",
                ));
                f64::NAN
            }
        };
        kg * GRAVITY
    }

    pub(super) fn settle(&self, setting: &Setting, factor: f64) -> Result<Feet, Vec<Fault>> {
        let mut faults = Vec::new();
        positive(&mut faults, "height", self.height.0, "mm");
        positive(&mut faults, "feet", self.number(), "");
        for (name, value) in [
            ("push_height", self.push_height),
            ("half_width", self.half_width),
            ("centre_height", self.centre_height),
            ("sag", self.sag),
        ] {
            if let Some(d) = value {
                positive(&mut faults, name, d.0, "mm");
            }
        }
        if let Some(f) = self.push {
            positive(&mut faults, "push", f.0, "N");
        }
        let foot = self.sizes().settle(&mut faults);
        let weight_n = self.weight_n(&mut faults);
        let share = heaviest_share(self.heaviest_share, self.number(), "feet", &mut faults);
        let sag_mm = sag_allowed(self.sag, self.height.0, &mut faults);
        floor_named(setting, &mut faults);
        let slope_deg = match (self.slope, self.push) {
            (Some(a), _) => Some(a.0),
            (None, None) => Some(TILT_DEG),
            (None, Some(_)) => None,
        };
        if slope_deg.is_some_and(|a| !(0.0..90.0).contains(&a)) {
            faults.push(Fault::new(
                "duty::slope",
                format!(
                    "a `slope` of {} deg is none to stand on",
                    slope_deg.unwrap_or(0.0)
                ),
                "write an angle between 0 and 90 deg",
            ));
        }
        let over = |b: Option<Length>, h: Option<Length>| Some(b?.0 / h?.0);
        let tips_from = over(self.half_width, self.push_height);
        let tips_at_deg = over(self.half_width, self.centre_height).map(|r| r.atan().to_degrees());
        if self.slide_first == Some(true) && tips_from.is_none() {
            faults.push(Fault::new(
                "duty::tipping-geometry",
                "`slide_first` needs the geometry of tipping",
                "give `half_width` and `push_height`",
            ));
        }
        let push_n = self.push.map(|f| f.0 * factor);
        if let (Some(push), Some(ratio)) = (push_n, tips_from) {
            let tips = weight_n * ratio;
            if push > tips {
                faults.push(Fault::new(
                    "duty::tips-over",
                    format!("it tips at {tips:.1} N, below the push of {push:.1} N (the class's factor included), whatever the feet are made of"),
                    "lower the push or the height of the push, widen the stand, or add mass",
                ));
            }
        }
        if let (Some(slope), Some(tips)) = (slope_deg, tips_at_deg)
            && slope > tips
        {
            faults.push(Fault::new(
                    "duty::tips-over",
                    format!("it tips at {tips:.1} deg, below the slope of {slope:.1} deg, whatever the feet are made of"),
                    "lower the slope or the centre of gravity, or widen the stand",
                ));
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        Ok(Feet {
            weight_n,
            heaviest_n: weight_n * share,
            number: self.number(),
            foot,
            bonded: self.faces.unwrap_or_default() == Faces::Bonded,
            push_n,
            slope_deg,
            tips_from,
            tips_at_deg,
            sag_mm,
        })
    }

    pub(super) fn note_defaults(&self, feet: &Feet, duty: &mut Duty) {
        let mut note = |given: bool, text: String| {
            if !given {
                duty.notes.push(text);
            }
        };
        note(self.feet.is_some(), "`feet` left out: 4".to_owned());
        note(
            self.heaviest_share.is_some(),
            "`heaviest_share` left out: all feet carry alike".to_owned(),
        );
        note(self.faces.is_some(), "`faces` left out: loose".to_owned());
        note(
            self.push.is_some() || self.slope.is_some(),
            format!(
                "neither `push` nor `slope` given: it stands on {TILT_DEG} degrees, the tilt of the appliance stability test"
            ),
        );
        note(
            self.sag.is_some(),
            format!(
                "`sag` left out: {} mm, a tenth of the height (assumed)",
                shown(feet.sag_mm)
            ),
        );
        note(
            self.heat_margin.is_some(),
            format!("`heat_margin` left out: {HEAT_MARGIN_K} K"),
        );
        if let Some(ratio) = feet.tips_from {
            duty.notes.push(format!(
                "pushed sideways it tips at {:.1} N; feet with friction above {ratio:.2} tip it before they slide",
                feet.weight_n * ratio
            ));
        }
    }
}
