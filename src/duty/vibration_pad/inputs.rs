//! The inputs of vibration pads, checked and with their defaults.

use super::shaken::Pads;
use crate::duty::mechanics::block::{
    Faces, Shape, Sizes, floor_named, heaviest_share, sag_allowed,
};
use crate::duty::mechanics::pad::loose_shape;
use crate::duty::mechanics::usual::{positive, shown};
use crate::duty::{Duty, Setting};
use crate::problem::Fault;
use crate::quantity::{Flow, Force, Length, Mass};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Margin below the softening onset, K: the low end of common practice for light loads (no source).
pub(super) const HEAT_MARGIN_K: f64 = 10.0;
/// Share of the shaking that may be passed on where nothing is said (our assumption).
const PASSED_ON: f64 = 0.5;
/// Height over the smallest width beyond which a pad leans over before it is squeezed (ours).
const SLENDER: f64 = 2.0;

/// Pads under a machine that shakes.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct VibrationPad {
    /// Mass on all pads together when it is heaviest.
    #[schemars(extend("why" = "decides how far the pads sag and whether they are crushed"))]
    pub(super) mass: Mass,
    /// Mass on all pads together when it is lightest; the same as `mass` where it never changes.
    #[schemars(extend("why" = "a light machine on the same pads swings faster and is isolated worse"))]
    pub(super) least_mass: Mass,
    /// Number of pads; 4 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides the load on each"))]
    pub(super) pads: Option<u32>,
    /// Share of the mass on the most loaded pad, 0 to 1; an even share when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a motor at one end loads its pads more: they sag more and the others isolate worse"))]
    pub(super) heaviest_share: Option<f64>,
    /// Shape of a pad.
    #[schemars(extend("why" = "decides the loaded area and how freely the sides can bulge"))]
    pub(super) shape: Shape,
    /// Diameter of a disc or ring.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a smaller pad is softer, isolates better and is crushed sooner"))]
    pub(super) diameter: Option<Length>,
    /// Bore of a ring.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a wider bore makes the pad softer"))]
    pub(super) inner_diameter: Option<Length>,
    /// Length of a block.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a smaller pad is softer, isolates better and is crushed sooner"))]
    pub(super) length: Option<Length>,
    /// Width of a block.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a smaller pad is softer, isolates better and is crushed sooner"))]
    pub(super) width: Option<Length>,
    /// Height of a pad, unloaded.
    #[schemars(extend("why" = "a higher pad is softer and isolates better, and sags more"))]
    pub(super) height: Length,
    /// Whether the loaded faces are bonded; loose when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a pad glued between plates is far stiffer than one that can bulge"))]
    pub(super) faces: Option<Faces>,
    /// Running speed of what shakes, the slowest it runs at for long.
    #[schemars(extend("why" = "pads isolate only what shakes faster than they swing; 1450 rpm is a slow motor"))]
    pub(super) runs_at: Flow,
    /// Share of the shaking that may be passed on; 0.5 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides how soft the pads must be; above 1 they would make it worse"))]
    pub(super) passed_on: Option<f64>,
    /// Peak of the shaking force, up and sideways alike; walking is not judged when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides whether the machine walks across the floor while it runs"))]
    pub(super) shaking: Option<Force>,
    /// How far a pad may sink in the life; a tenth of its height when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "pads creep for years under the weight"))]
    pub(super) sag: Option<Length>,
    /// What stands on the pads, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    #[schemars(extend("why" = "cautions are looked for in it"))]
    pub(super) under: String,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub(super) note: String,
}

impl VibrationPad {
    fn number(&self) -> f64 {
        f64::from(self.pads.unwrap_or(4))
    }

    /// The smallest width of a pad's face, mm.
    fn narrowest(&self) -> Option<f64> {
        match self.shape {
            Shape::Disc => self.diameter.map(|d| d.0),
            Shape::Ring => Some(0.5 * (self.diameter?.0 - self.inner_diameter?.0)),
            Shape::Block => Some(self.length?.0.min(self.width?.0)),
        }
    }

    pub(super) fn settle(&self, setting: &Setting, factor: f64) -> Result<Pads, Vec<Fault>> {
        let mut faults = Vec::new();
        positive(&mut faults, "mass", self.mass.0, "kg");
        positive(&mut faults, "least_mass", self.least_mass.0, "kg");
        positive(&mut faults, "pads", self.number(), "");
        positive(&mut faults, "height", self.height.0, "mm");
        positive(&mut faults, "runs_at", self.runs_at.0, "Hz");
        let passed = self.passed_on.unwrap_or(PASSED_ON);
        positive(&mut faults, "passed_on", passed, "");
        if let Some(sag) = self.sag {
            positive(&mut faults, "sag", sag.0, "mm");
        }
        if let Some(f) = self.shaking {
            positive(&mut faults, "shaking", f.0, "N");
            floor_named(setting, &mut faults);
        }
        if self.least_mass.0 > self.mass.0 {
            faults.push(Fault::new(
                "duty::mass",
                format!(
                    "`least_mass` {} kg is more than `mass` {} kg",
                    shown(self.least_mass.0),
                    shown(self.mass.0)
                ),
                "write the heaviest state as `mass`; both alike where it never changes",
            ));
        }
        let bonded = self.faces.unwrap_or_default() == Faces::Bonded;
        let solid = Sizes {
            shape: self.shape,
            diameter: self.diameter,
            inner_diameter: self.inner_diameter,
            length: self.length,
            width: self.width,
            height_mm: self.height.0,
        }
        .settle(&mut faults);
        if !bonded {
            loose_shape("pad", "height", solid.shape_factor, &mut faults);
        }
        if let Some(width) = self.narrowest()
            && self.height.0 > SLENDER * width
        {
            faults.push(Fault::new(
                "duty::pad-slender",
                format!(
                    "a `height` of {} mm over a width of {} mm leans over before it is squeezed",
                    shown(self.height.0),
                    shown(width)
                ),
                "make the pad at most twice as high as it is wide, or take more pads",
            ));
        }
        let share = heaviest_share(self.heaviest_share, self.number(), "pads", &mut faults);
        let sag_mm = sag_allowed(self.sag, self.height.0, &mut faults);
        let (light_n, heavy_n) = Pads::weights(self.mass.0, self.least_mass.0);
        let shaking_n = self.shaking.map(|f| f.0 * factor);
        if let Some(f) = shaking_n
            && f >= light_n
        {
            faults.push(Fault::new(
                "duty::lifts-off",
                format!(
                    "a `shaking` force of {} N (the class's factor included) lifts the {} N off the floor, whatever the pads are made of",
                    shown(f),
                    shown(light_n)
                ),
                "bolt it down, balance it, or add mass",
            ));
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        // What one pad carries more, the others carry less.
        let others = (self.number() - 1.0).max(1.0);
        let least_share = if self.number() > 1.0 {
            (1.0 - share) / others
        } else {
            1.0
        };
        Ok(Pads {
            most_n: heavy_n * share,
            least_n: light_n * least_share.min(1.0 / self.number()),
            light_n,
            factor,
            number: self.number(),
            solid,
            bonded,
            runs_hz: self.runs_at.0,
            passed,
            shaking_n,
            sag_mm,
        })
    }

    pub(super) fn note_defaults(&self, pads: &Pads, duty: &mut Duty) {
        let mut note = |given: bool, text: String| {
            if !given {
                duty.notes.push(text);
            }
        };
        note(self.pads.is_some(), "`pads` left out: 4".to_owned());
        note(
            self.heaviest_share.is_some(),
            "`heaviest_share` left out: all pads carry alike".to_owned(),
        );
        note(
            self.faces.is_some(),
            "`faces` left out: loose; sag is judged as if they slide, vibration as if they do not"
                .to_owned(),
        );
        note(
            self.passed_on.is_some(),
            format!("`passed_on` left out: {PASSED_ON} (assumed)"),
        );
        note(
            self.shaking.is_some(),
            "`shaking` left out: walking is not judged".to_owned(),
        );
        note(
            self.sag.is_some(),
            format!(
                "`sag` left out: {} mm, a tenth of the height (assumed)",
                shown(pads.sag_mm)
            ),
        );
        duty.notes.push(
            "sag by creep does not lower the natural frequency: that comes from the elastic sag alone; damping is derived from the rebound".to_owned(),
        );
    }
}
