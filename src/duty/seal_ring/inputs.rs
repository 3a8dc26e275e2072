//! The inputs of a seal, checked and with their defaults, and the uses that are out of scope.

use super::squeezed::{Form, Seal};
use crate::duty::mechanics::block::{Shape, Sizes, foreign, needed};
use crate::duty::mechanics::layers::Layers;
use crate::duty::mechanics::seal::{LEAST_SQUEEZE, MOST_SQUEEZE};
use crate::duty::mechanics::usual::{positive, shown};
use crate::duty::{Duty, LiesOnBed, Lying, Setting};
use crate::problem::Fault;
use crate::property::Lies;
use crate::quantity::{Force, Length, Pressure};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::f64::consts::FRAC_PI_4;

/// Margin below the softening onset, K: the low end of common practice for light loads (no source).
pub(super) const HEAT_MARGIN_K: f64 = 10.0;
/// Opening of a joint where nothing is said, mm: the wave of a printed or sawn face (our assumption).
const OPENING_MM: f64 = 0.05;
/// Gauge pressure of a gas from which a part is pressure equipment, MPa (0.5 bar; verified in source).
const GAS_FROM_MPA: f64 = 0.05;
/// Temperature from which a liquid under pressure scalds, degC (ours).
const HOT_LIQUID_C: f64 = 60.0;
/// Pressure from which even a cold liquid is declined, MPa: beyond what house water has (ours).
const LIQUID_FROM_MPA: f64 = 1.0;
/// Share of a groove that a ring may fill, so that it can swell and grow with heat (common practice, no source).
const FULLEST: f64 = 0.95;

/// What is sealed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Medium {
    /// Water that nobody drinks.
    Water,
    /// Water that somebody drinks.
    DrinkingWater,
    /// Oil or grease.
    Oil,
    /// Another liquid that neither burns nor poisons.
    Liquid,
    /// Air.
    Air,
    /// Steam.
    Steam,
    /// A gas other than air.
    Gas,
    /// Fuel, liquid or gas.
    Fuel,
    /// Dust, draught or splashes.
    Dust,
}

/// A ring in a groove, or flat.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum FormKind {
    /// A ring of round section in a groove.
    Ring,
    /// A flat gasket between two faces.
    Flat,
}

/// A seal ring in a groove, or a flat gasket.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct SealRing {
    /// Whether it is a ring in a groove or a flat gasket.
    #[schemars(extend("why" = "a ring is pressed tighter by the fluid itself, a flat gasket only by its bolts"))]
    pub(super) form: FormKind,
    /// What it seals.
    #[schemars(extend("why" = "gases, fuels and steam are out of scope: a leak could burn, poison or scald"))]
    pub(super) medium: Medium,
    /// Pressure of the medium above that of the air; none when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides how hard the seal must press, and whether the case is in scope: a metre of water is 0.1 bar"))]
    pub(super) pressure: Option<Pressure>,
    /// Whether something slides along the ring; no when left out.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    #[schemars(extend("why" = "a seal that something slides on bears less squeeze"))]
    pub(super) moving: bool,
    /// Thickness of a ring's round section, free.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "with the groove it decides the squeeze"))]
    pub(super) section: Option<Length>,
    /// Depth of the groove, gap included: what the ring is squeezed to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides the squeeze: 10 to 30 % of the section"))]
    pub(super) groove_depth: Option<Length>,
    /// Width of the groove; not checked when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a groove that the ring fills leaves it no room to swell"))]
    pub(super) groove_width: Option<Length>,
    /// Mean diameter of a ring.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides the load that squeezes it"))]
    pub(super) diameter: Option<Length>,
    /// Outside diameter of a flat gasket.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides area and stiffness"))]
    pub(super) outer_diameter: Option<Length>,
    /// Inside diameter of a flat gasket.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a wide thin gasket is far stiffer than its material and needs more load"))]
    pub(super) inner_diameter: Option<Length>,
    /// Thickness of a flat gasket, free.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "with the closed thickness it decides the squeeze"))]
    pub(super) thickness: Option<Length>,
    /// Thickness of a flat gasket when the joint is closed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "stops, or the turn of the screws, set it: 10 to 30 % less than free"))]
    pub(super) closed_thickness: Option<Length>,
    /// How far the joint opens in service; 0.05 mm when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "bolts stretch, lids bow and faces are wavy: a seal that has set no longer follows"))]
    pub(super) opening: Option<Length>,
    /// Load that all bolts or the clamp give together; not judged when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a stiff seal can need more load than the bolts or a thin lid can give"))]
    pub(super) bolt_load: Option<Force>,
    /// The joint, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    #[schemars(extend("why" = "cautions are looked for in it"))]
    pub(super) joint: String,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub(super) note: String,
}

/// What each way of lying on the bed means for a seal.
pub(super) const LYING: Lying = Lying {
    flat: "lying flat as it will be squeezed, so that its sides stretch in the layers",
    edge: "standing on its edge, so that its sides pull the layers apart",
    upright: "standing on its edge, so that its sides pull the layers apart",
    open: LiesOnBed::Flat,
};

/// How the stretch of the bulging side lies to the layers.
const RIM: Layers = Layers {
    flat: Lies::InPlane,
    edge: Lies::Across,
    upright: Lies::Across,
};

impl SealRing {
    /// Form, free and closed thickness, mm.
    fn form(&self, faults: &mut Vec<Fault>) -> (Form, f64, f64) {
        match self.form {
            FormKind::Ring => {
                foreign(
                    faults,
                    "ring in a groove",
                    &[
                        ("outer_diameter", self.outer_diameter),
                        ("inner_diameter", self.inner_diameter),
                        ("thickness", self.thickness),
                        ("closed_thickness", self.closed_thickness),
                    ],
                );
                let what = "ring in a groove";
                let free = needed(faults, what, "section", self.section);
                let closed = needed(faults, what, "groove_depth", self.groove_depth);
                let diameter_mm = needed(faults, what, "diameter", self.diameter);
                if let Some(width) = self.groove_width {
                    positive(faults, "groove_width", width.0, "mm");
                    let full = FRAC_PI_4 * free * free / (width.0 * closed);
                    if full > FULLEST {
                        faults.push(Fault::new(
                            "duty::groove-overfull",
                            format!(
                                "the ring fills {:.0} % of a groove of `groove_width` {} mm",
                                100.0 * full,
                                shown(width.0)
                            ),
                            format!(
                                "make it at least {:.2} mm wide",
                                FRAC_PI_4 * free * free / (FULLEST * closed)
                            ),
                        ));
                    }
                }
                (Form::Ring { diameter_mm }, free, closed)
            }
            FormKind::Flat => {
                foreign(
                    faults,
                    "flat gasket",
                    &[
                        ("section", self.section),
                        ("groove_depth", self.groove_depth),
                        ("groove_width", self.groove_width),
                        ("diameter", self.diameter),
                    ],
                );
                let what = "flat gasket";
                let free = needed(faults, what, "thickness", self.thickness);
                let closed = needed(faults, what, "closed_thickness", self.closed_thickness);
                let outer = needed(faults, what, "outer_diameter", self.outer_diameter);
                let inner = needed(faults, what, "inner_diameter", self.inner_diameter);
                crate::duty::mechanics::block::hole(
                    "outer_diameter",
                    "inner_diameter",
                    outer,
                    inner,
                    faults,
                );
                let mut told = Vec::new();
                let solid = Sizes {
                    shape: Shape::Ring,
                    diameter: self.outer_diameter,
                    inner_diameter: self.inner_diameter,
                    length: None,
                    width: None,
                    height_mm: free,
                }
                // Its faults are told above, under their own names.
                .settle(&mut told);
                let form = Form::Flat {
                    solid,
                    mean_mm: 0.5 * (outer + inner),
                    // Half of the ring's width.
                    width_mm: 0.25 * (outer - inner),
                };
                (form, free, closed)
            }
        }
    }

    fn squeeze_faults(&self, seal: &Seal, faults: &mut Vec<Fault>) {
        let most = if self.moving {
            MOST_SQUEEZE.1
        } else {
            MOST_SQUEEZE.0
        };
        let least = match self.form {
            FormKind::Ring => LEAST_SQUEEZE,
            FormKind::Flat => 0.0,
        };
        let e = seal.squeeze();
        let name = match self.form {
            FormKind::Ring => "groove_depth",
            FormKind::Flat => "closed_thickness",
        };
        // The very limits stand, whatever the last digit of a division.
        let enough = e > 0.0 && e >= least - 1e-9;
        if e.is_nan() || (enough && e <= most + 1e-9) {
            return;
        }
        let why = if e > 0.0 && !enough {
            "it leaks once set has taken its share"
        } else if e <= 0.0 {
            "nothing presses"
        } else if self.moving {
            "a seal that something slides on bears no more"
        } else {
            "it splits or cannot be closed"
        };
        faults.push(Fault::new(
            "duty::seal-squeeze",
            format!(
                "a `{name}` of {} mm squeezes {} mm by {:.1} %: {why}",
                shown(seal.closed_mm),
                shown(seal.free_mm),
                100.0 * e
            ),
            format!(
                "make it {} to {} mm, {:.0} to {:.0} % of squeeze",
                shown(seal.free_mm * (1.0 - most)),
                shown(seal.free_mm * (1.0 - least.max(0.05))),
                100.0 * least.max(0.05),
                100.0 * most
            ),
        ));
    }

    pub(super) fn settle(&self, setting: &Setting, factor: f64) -> Result<Seal, Vec<Fault>> {
        let mut faults = Vec::new();
        let (form, free_mm, closed_mm) = self.form(&mut faults);
        if let Some(p) = self.pressure {
            positive(&mut faults, "pressure", p.0, "MPa");
        }
        if let Some(o) = self.opening {
            positive(&mut faults, "opening", o.0, "mm");
        }
        if let Some(f) = self.bolt_load {
            positive(&mut faults, "bolt_load", f.0, "N");
        }
        if self.moving && self.form == FormKind::Flat {
            faults.push(Fault::new(
                "duty::dimension-foreign",
                "`moving` is said of a flat gasket, and nothing slides along one",
                "leave `moving` out, or take a ring in a groove",
            ));
        }
        let seal = Seal {
            form,
            free_mm,
            closed_mm,
            fluid_mpa: self.pressure.map_or(0.0, |p| p.0) * factor,
            opening_mm: self.opening.map_or(OPENING_MM, |o| o.0),
            bolts_n: self.bolt_load.map(|f| f.0),
            rim: RIM.of(setting, LYING),
        };
        self.squeeze_faults(&seal, &mut faults);
        if faults.is_empty() {
            Ok(seal)
        } else {
            Err(faults)
        }
    }

    /// Uses out of scope, and cautions, by medium, pressure and heat.
    pub(super) fn scope(&self, setting: &Setting) -> Vec<(&'static str, String)> {
        let mut raised = Vec::new();
        let mpa = self.pressure.map_or(0.0, |p| p.0);
        let bar = mpa / 0.1;
        let hot_c = setting.hottest_c();
        match self.medium {
            Medium::Steam => raised.push(("pressure", "seals steam".to_owned())),
            Medium::Gas | Medium::Fuel => raised.push((
                "gas-fuel-seal",
                match self.medium {
                    Medium::Fuel => "seals fuel".to_owned(),
                    _ => "seals a gas other than air".to_owned(),
                },
            )),
            Medium::DrinkingWater => {
                raised.push(("drinking-water", "seals drinking water".to_owned()))
            }
            Medium::Oil => raised.push(("chemicals", "seals oil".to_owned())),
            Medium::Water | Medium::Liquid | Medium::Air | Medium::Dust => {}
        }
        let why = match self.medium {
            Medium::Air | Medium::Gas | Medium::Fuel if mpa > GAS_FROM_MPA => {
                Some(format!("a gas at {bar:.1} bar gauge, above 0.5"))
            }
            Medium::Water | Medium::DrinkingWater | Medium::Oil | Medium::Liquid
                if mpa > GAS_FROM_MPA && hot_c >= HOT_LIQUID_C =>
            {
                Some(format!(
                    "a liquid of {hot_c} degC at {bar:.1} bar gauge, above 0.5"
                ))
            }
            Medium::Water | Medium::DrinkingWater | Medium::Oil | Medium::Liquid
                if mpa > LIQUID_FROM_MPA =>
            {
                Some(format!("a liquid at {bar:.1} bar gauge, above 10"))
            }
            _ => None,
        };
        raised.extend(why.map(|w| ("pressure", w)));
        raised
    }

    pub(super) fn note_defaults(&self, seal: &Seal, duty: &mut Duty) {
        duty.notes.push(
            "a print is not tight until it is proved: layers leak along their lines whatever the stress; fill it, hold it at the pressure, look after an hour and after a week".to_owned(),
        );
        let mut note = |given: bool, text: String| {
            if !given {
                duty.notes.push(text);
            }
        };
        note(
            self.pressure.is_some(),
            "`pressure` left out: none; splashes and draught only".to_owned(),
        );
        note(
            self.opening.is_some(),
            format!("`opening` left out: {OPENING_MM} mm, the wave of the faces (assumed)"),
        );
        note(
            self.bolt_load.is_some(),
            "`bolt_load` left out: what closes it is not judged".to_owned(),
        );
        note(
            seal.squeeze() >= LEAST_SQUEEZE,
            format!(
                "squeezed by {:.1} % only: below about 10 % seals leak once set has taken its share (common practice, no source)",
                100.0 * seal.squeeze()
            ),
        );
        note(
            !self.moving,
            "wear of a seal that something slides on is not judged here: judge it as a sliding pad too".to_owned(),
        );
    }
}
