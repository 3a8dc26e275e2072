//! The inputs of a bolted washer, checked and with their defaults.

use super::joint::Joint;
use crate::duty::Duty;
use crate::duty::mechanics::clamp::{Stack, Turning, turning_factor};
use crate::duty::mechanics::usual::{positive, shown};
use crate::num::shape::ring_area_mm2;
use crate::problem::Fault;
use crate::property::ROOM_C;
use crate::property::bolt::{
    Bolt, RP02_A2_70_MPA, STAINLESS_MPA, STEEL_MPA, bolt as bolt_of, nut_factor,
};
use crate::quantity::{Force, Length, Stiffness, Temperature, TemperatureSpan, Torque};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Share of the clamp load first set that must stay where the case names no load (our assumption).
pub(super) const KEPT_SHARE: f64 = 0.3;
/// Margin below the softening onset, K: the low end of common practice for lasting loads (no source).
pub(super) const HEAT_MARGIN_K: f64 = 20.0;
/// Thermal expansion of steel, um/(m.K) (from memory, not verified).
const STEEL_EXPANSION: f64 = 12.0;
/// Thermal expansion of austenitic stainless steel, um/(m.K) (from memory, not verified).
const STAINLESS_EXPANSION: f64 = 16.0;
/// Thermal expansion of aluminium, um/(m.K) (from memory, not verified).
const ALUMINIUM_EXPANSION: f64 = 23.0;
/// Thermal expansion of window glass, um/(m.K) (from memory, not verified).
const GLASS_EXPANSION: f64 = 9.0;

/// Size of the bolt.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub(super) enum Size {
    M3,
    M4,
    M5,
    M6,
    M8,
    M10,
    M12,
}

impl Size {
    fn word(self) -> &'static str {
        match self {
            Size::M3 => "M3",
            Size::M4 => "M4",
            Size::M5 => "M5",
            Size::M6 => "M6",
            Size::M8 => "M8",
            Size::M10 => "M10",
            Size::M12 => "M12",
        }
    }
}

/// Property class of the bolt.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub(super) enum BoltClass {
    /// Carbon steel, class 8.8.
    #[default]
    #[serde(rename = "8.8")]
    Steel88,
    /// Stainless steel, class A2-70.
    #[serde(rename = "A2-70")]
    StainlessA270,
}

impl BoltClass {
    pub(super) fn modulus_mpa(self) -> f64 {
        match self {
            BoltClass::Steel88 => STEEL_MPA,
            BoltClass::StainlessA270 => STAINLESS_MPA,
        }
    }
    pub(super) fn expansion(self) -> f64 {
        match self {
            BoltClass::Steel88 => STEEL_EXPANSION,
            BoltClass::StainlessA270 => STAINLESS_EXPANSION,
        }
    }
    /// Load that the bolt takes without lasting stretch, N (W2; the table, not the rounded product).
    pub(super) fn proof_n(self, bolt: &Bolt) -> f64 {
        match self {
            BoltClass::Steel88 => bolt.proof_88_n,
            BoltClass::StainlessA270 => RP02_A2_70_MPA * bolt.stress_area_mm2,
        }
    }
    fn usual_finish(self) -> Finish {
        match self {
            BoltClass::Steel88 => Finish::ZincPlated,
            BoltClass::StainlessA270 => Finish::Stainless,
        }
    }
}

/// Finish and lubrication of the thread.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Finish {
    /// Bare, dry steel.
    DrySteel,
    /// Zinc plated, dry.
    ZincPlated,
    /// Machine or engine oil.
    Oiled,
    /// Anti-seize paste.
    AntiSeize,
    /// Stainless on stainless.
    Stainless,
}

impl Finish {
    fn word(self) -> &'static str {
        match self {
            Finish::DrySteel => "dry-steel",
            Finish::ZincPlated => "zinc-plated",
            Finish::Oiled => "oiled",
            Finish::AntiSeize => "anti-seize",
            Finish::Stainless => "stainless",
        }
    }
}

/// What presses on the washer.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum PressedBy {
    /// A plain steel washer (ISO 7089) between head and plastic.
    #[default]
    SteelWasher,
    /// A steel washer at least as wide as the plastic one.
    WideSteelWasher,
    /// The hexagon head or nut alone, turning on bare plastic.
    Head,
    /// A socket head alone, turning on bare plastic.
    SocketHead,
}

/// What the rest of the clamped stack is made of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Members {
    /// Carbon steel.
    #[default]
    Steel,
    /// Stainless steel.
    Stainless,
    /// Aluminium.
    Aluminium,
    /// Window glass.
    Glass,
}

impl Members {
    fn expansion(self) -> f64 {
        match self {
            Members::Steel => STEEL_EXPANSION,
            Members::Stainless => STAINLESS_EXPANSION,
            Members::Aluminium => ALUMINIUM_EXPANSION,
            Members::Glass => GLASS_EXPANSION,
        }
    }
}

/// A plastic washer or spacer in a tightened bolted joint.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct BoltWasher {
    /// Size of the bolt, M3 to M12, coarse thread.
    #[schemars(extend("why" = "decides how much clamp load a torque makes, and which face presses on the plastic"))]
    pub(super) bolt: Size,
    /// Property class of the bolt; 8.8 when left out.
    #[schemars(extend("why" = "decides how much load the bolt takes before it stretches for good, and how stiff it is against the plastic that creeps"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) bolt_class: Option<BoltClass>,
    /// Finish and lubrication of the thread; zinc plated for 8.8 and stainless for A2-70 when left out.
    #[schemars(extend("why" = "decides how much of the torque friction eats: the same torque on an oiled thread can clamp twice as hard as on a dry one"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) finish: Option<Finish>,
    /// Lowest likely nut factor K in torque = K x clamp load x diameter, where it was measured; else from the finish.
    #[schemars(extend("why" = "decides the hardest clamp load that the torque can make, which crushes the plastic"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) nut_factor_low: Option<f64>,
    /// Highest likely nut factor, where it was measured; else from the finish.
    #[schemars(extend("why" = "decides the weakest clamp load that the torque can make, which is what must stay"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) nut_factor_high: Option<f64>,
    /// Friction in the thread, where it is known together with `head_friction`: one nut factor follows.
    #[schemars(extend("why" = "gives one clamp load in place of the wide range that a finish leaves open"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) thread_friction: Option<f64>,
    /// Friction under the turning head or nut, where it is known together with `thread_friction`.
    #[schemars(extend("why" = "gives one clamp load in place of the wide range that a finish leaves open"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) head_friction: Option<f64>,
    /// Mean diameter on which the turning face rubs; halfway between the hole and the flats when left out.
    #[schemars(extend("why" = "decides how much of the torque the turning face eats, where the frictions are known"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) rubbing_diameter: Option<Length>,
    /// Tightening torque; give this or `clamp`.
    #[schemars(extend("why" = "decides the clamp load, and with it the pressure on the plastic and what is left after years of creep"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) torque: Option<Torque>,
    /// Clamp load wanted at tightening; the torque that reaches it with the roughest likely thread follows.
    #[schemars(extend("why" = "decides the pressure on the plastic and what is left after years of creep, without a guess at friction"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) clamp: Option<Force>,
    /// Least clamp load that must stay for the life; 30 % of the load first set when left out.
    #[schemars(extend("why" = "decides when the joint counts as loose"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) clamp_needed: Option<Force>,
    /// Outer diameter of the plastic washer.
    #[schemars(extend("why" = "decides over how much plastic the clamp load is spread"))]
    pub(super) outer_diameter: Length,
    /// Bore of the plastic washer; the bolt's medium clearance hole (ISO 273) when left out.
    #[schemars(extend("why" = "decides over how much plastic the clamp load is spread, from the inside"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) inner_diameter: Option<Length>,
    /// Thickness of the plastic washer.
    #[schemars(extend("why" = "decides how much there is to creep: a thick washer loses more clamp load than a thin one"))]
    pub(super) height: Length,
    /// Clamped length from head to nut, the washer included.
    #[schemars(extend("why" = "decides how springy the bolt is: a long bolt follows the creeping plastic, a short one goes slack"))]
    pub(super) clamped_length: Length,
    /// What presses on it; a plain steel washer when left out.
    #[schemars(extend("why" = "decides which area of the plastic is pressed, and whether a turning head may tear it"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) pressed_by: Option<PressedBy>,
    /// What the rest of the clamped stack is made of; steel when left out.
    #[schemars(extend("why" = "decides how much heat and cold tighten or loosen the joint"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) members: Option<Members>,
    /// Stiffness of a coned spring or spring stack in series; none when left out.
    #[schemars(extend("why" = "a spring follows the creeping plastic and keeps clamp load that a bare bolt loses"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) spring: Option<Stiffness>,
    /// Temperature at which the joint is tightened; 23 degC when left out.
    #[schemars(extend("why" = "decides how much heat and cold tighten or loosen the joint from the day it was made"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) assembled_at: Option<Temperature>,
    /// Margin wanted between the hottest moment and the softening onset; 20 K when left out.
    #[schemars(extend("why" = "decides how near to softening the plastic may come"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) heat_margin: Option<TemperatureSpan>,
    /// How many such joints the use has; 1 when left out. Counts for cost.
    #[schemars(extend("why" = "decides how much polymer the use takes, which counts for cost and weight"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) joints: Option<u32>,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub(super) note: String,
}

impl BoltWasher {
    fn inner_mm(&self, bolt: &Bolt) -> f64 {
        self.inner_diameter.map_or(bolt.hole_mm, |d| d.0)
    }

    fn pressed_by(&self) -> PressedBy {
        self.pressed_by.unwrap_or_default()
    }

    /// Diameter that presses on the plastic, mm.
    fn pressing_mm(&self, bolt: &Bolt) -> f64 {
        match self.pressed_by() {
            PressedBy::SteelWasher => bolt.washer_outer_mm,
            PressedBy::WideSteelWasher => self.outer_diameter.0.max(bolt.washer_outer_mm),
            PressedBy::Head => bolt.head_bearing_mm,
            PressedBy::SocketHead => bolt.socket_head_mm,
        }
    }

    fn rubbing_mm(&self, bolt: &Bolt) -> f64 {
        self.rubbing_diameter
            .map_or(0.5 * (bolt.hole_mm + bolt.flats_mm), |d| d.0)
    }

    /// Lowest and highest likely nut factor.
    fn nut_factors(&self, bolt: &Bolt, faults: &mut Vec<Fault>) -> (f64, f64) {
        const NONE: (f64, f64) = (f64::NAN, f64::NAN);
        match (self.nut_factor_low, self.nut_factor_high) {
            (Some(low), Some(high)) if low > 0.0 && low <= high => return (low, high),
            (Some(low), Some(high)) => {
                faults.push(Fault::new(
                    "duty::nut-factor",
                    format!(
                        "`nut_factor_low` {low} and `nut_factor_high` {high} are no range above 0"
                    ),
                    "write the lower one first, for example 0.15 and 0.30",
                ));
                return NONE;
            }
            (None, None) => {}
            _ => {
                faults.push(Fault::new(
                    "duty::nut-factor",
                    "only one of `nut_factor_low` and `nut_factor_high` is given",
                    "give both, or neither and a `finish`",
                ));
                return NONE;
            }
        }
        match (self.thread_friction, self.head_friction) {
            (Some(thread), Some(head)) if thread >= 0.0 && head >= 0.0 => {
                let k = turning_factor(bolt, thread, head, self.rubbing_mm(bolt), Turning::On);
                return (k, k);
            }
            (None, None) => {}
            _ => {
                faults.push(Fault::new(
                    "duty::friction",
                    "`thread_friction` and `head_friction` belong together and are not negative",
                    "give both, for example 0.15 and 0.15, or neither and a `finish`",
                ));
                return NONE;
            }
        }
        if matches!(self.pressed_by(), PressedBy::Head | PressedBy::SocketHead) {
            faults.push(Fault::new(
                "duty::nut-factor-unknown",
                "no nut factor is known for a head that turns on bare plastic",
                "put a steel washer between (`\"pressed_by\": \"steel-washer\"`), or give `nut_factor_low` and `nut_factor_high` as measured",
            ));
            return NONE;
        }
        nut_factor(self.finish().word()).map_or(NONE, |k| (k.low, k.high))
    }

    fn finish(&self) -> Finish {
        self.finish
            .unwrap_or_else(|| self.bolt_class.unwrap_or_default().usual_finish())
    }

    pub(super) fn joint(&self) -> Result<Joint, Vec<Fault>> {
        let mut faults = Vec::new();
        let Some(bolt) = bolt_of(self.bolt.word()) else {
            return Err(faults);
        };
        let class = self.bolt_class.unwrap_or_default();
        let (outer, inner) = (self.outer_diameter.0, self.inner_mm(bolt));
        let (height, clamped) = (self.height.0, self.clamped_length.0);
        positive(&mut faults, "outer_diameter", outer, "mm");
        positive(&mut faults, "inner_diameter", inner, "mm");
        positive(&mut faults, "height", height, "mm");
        positive(&mut faults, "clamped_length", clamped, "mm");
        if let Some(f) = self.clamp_needed {
            positive(&mut faults, "clamp_needed", f.0, "N");
        }
        if let Some(k) = self.spring {
            positive(&mut faults, "spring", k.0, "N/mm");
        }
        if self.joints == Some(0) {
            positive(&mut faults, "joints", 0.0, "");
        }
        if inner >= outer {
            faults.push(Fault::new(
                "duty::washer-hole",
                format!(
                    "`inner_diameter` {} mm is not smaller than `outer_diameter` {} mm",
                    shown(inner),
                    shown(outer)
                ),
                "write the bore as `inner_diameter` and the rim as `outer_diameter`",
            ));
        } else if inner < bolt.d_mm {
            faults.push(Fault::new(
                "duty::washer-bore",
                format!(
                    "a bore of {inner} mm does not pass an {} bolt of {} mm",
                    bolt.size, bolt.d_mm
                ),
                format!(
                    "write at least {} mm, or leave `inner_diameter` out for {} mm",
                    bolt.d_mm, bolt.hole_mm
                ),
            ));
        }
        let pressing = self.pressing_mm(bolt);
        if inner < outer && pressing <= inner {
            faults.push(Fault::new(
                "duty::washer-falls-through",
                format!(
                    "what presses is {} mm wide and falls through a bore of {} mm",
                    shown(pressing),
                    shown(inner)
                ),
                "put a wider steel washer between, or make the bore smaller",
            ));
        }
        if clamped < height {
            faults.push(Fault::new(
                "duty::clamped-length",
                format!(
                    "`clamped_length` {} mm is shorter than the washer's `height` {} mm",
                    shown(clamped),
                    shown(height)
                ),
                "write the length from head to nut, the washer included",
            ));
        }
        let (k_low, k_high) = self.nut_factors(bolt, &mut faults);
        let torque_nm = match (self.torque, self.clamp) {
            (Some(t), None) => {
                positive(&mut faults, "torque", t.0, "N.m");
                t.0
            }
            (None, Some(f)) => {
                positive(&mut faults, "clamp", f.0, "N");
                bolt.torque_nm(f.0, k_high)
            }
            _ => {
                faults.push(Fault::new(
                    "duty::torque-or-clamp",
                    "the joint needs one of `torque` and `clamp`",
                    "give the torque on the wrench, or the clamp load wanted, not both",
                ));
                f64::NAN
            }
        };
        let most = bolt.clamp_n(torque_nm, k_low);
        let proof = class.proof_n(bolt);
        if most > proof {
            faults.push(Fault::new(
                "duty::bolt-overloaded",
                format!("{torque_nm:.3} N.m can pull an {} bolt to {most:.0} N, and it takes {proof:.0} N without stretching", bolt.size),
                "lower the torque, or take a larger bolt",
            ));
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        let members = self.members.unwrap_or_default();
        Ok(Joint {
            bolt,
            class,
            k_low,
            k_high,
            k_off: self
                .thread_friction
                .zip(self.head_friction)
                .filter(|_| self.nut_factor_low.is_none())
                .map(|(thread, head)| {
                    turning_factor(bolt, thread, head, self.rubbing_mm(bolt), Turning::Off)
                }),
            torque_nm,
            ring_mm: (outer.min(pressing), inner),
            area_mm2: ring_area_mm2(outer.min(pressing), inner),
            stack: Stack {
                washer_mm: height,
                clamped_mm: clamped,
                member: members.expansion(),
                bolt: class.expansion(),
            },
            spring: self.spring.map(|s| s.0),
            assembled_c: self.assembled_at.map_or(ROOM_C, |t| t.0),
            volume_mm3: ring_area_mm2(outer, inner) * height * f64::from(self.joints.unwrap_or(1)),
        })
    }

    /// Says which inputs were left to their defaults.
    pub(super) fn note_defaults(&self, joint: &Joint, duty: &mut Duty) {
        let mut note = |given: bool, text: String| {
            if !given {
                duty.notes.push(text);
            }
        };
        note(
            self.bolt_class.is_some(),
            "`bolt_class` left out: 8.8".to_owned(),
        );
        note(
            self.finish.is_some()
                || self.nut_factor_low.is_some()
                || self.thread_friction.is_some(),
            format!(
                "`finish` left out: {}, nut factor {} to {}",
                self.finish().word(),
                joint.k_low,
                joint.k_high
            ),
        );
        note(
            self.inner_diameter.is_some(),
            format!(
                "`inner_diameter` left out: the clearance hole, {} mm",
                joint.bolt.hole_mm
            ),
        );
        note(
            self.pressed_by.is_some(),
            format!(
                "`pressed_by` left out: a plain steel washer of {} mm",
                joint.bolt.washer_outer_mm
            ),
        );
        note(
            self.members.is_some(),
            "`members` left out: steel".to_owned(),
        );
        note(
            self.assembled_at.is_some(),
            format!("`assembled_at` left out: {ROOM_C} degC"),
        );
        note(
            self.heat_margin.is_some(),
            format!("`heat_margin` left out: {HEAT_MARGIN_K} K"),
        );
        note(self.joints.is_some(), "`joints` left out: 1".to_owned());
        note(
            self.clamp_needed.is_some(),
            format!(
                "`clamp_needed` left out: {} % of the load first set (assumed)",
                KEPT_SHARE * 100.0
            ),
        );
    }
}
