//! The bolt-washer part kind: a washer or spacer in a tightened joint.
//!
//! The torque is set for the slipperiest likely thread, because that one would
//! crush the plastic; the clamp load left is judged with the roughest.

use crate::duty::mechanics::clamp::{
    Stack, bolt_stiffness, in_series, kept_after_relaxation, kept_after_set, nut_factor_of,
    ring_area_mm2, washer_stiffness,
};
use crate::duty::mechanics::surroundings::{End, ask, ends, plain_ask};
use crate::duty::mechanics::usual::{self, positive};
use crate::duty::part::read_inputs;
use crate::duty::{
    Aim, Deed, Duty, FormulaDoc, Inputs, Lever, LeverKind, LiesOnBed, Limit, LimitSense, Part,
    PartKind, Performance, Preference, Promise, Setting, Trace, ValueScale,
};
use crate::policy::Class;
use crate::problem::Fault;
use crate::property::bolt::{
    Bolt, RP02_A2_70_MPA, STAINLESS_MPA, STEEL_MPA, bolt as bolt_of, nut_factor,
};
use crate::property::{Ask, Lies, ROOM_C};
use crate::quantity::{Force, Length, Stiffness, Temperature, TemperatureSpan, Torque};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Share of the clamp load first set that must stay where the case names no load (our assumption).
const KEPT_SHARE: f64 = 0.3;
/// Margin below the softening onset, K: the low end of common practice for lasting loads (no source).
const HEAT_MARGIN_K: f64 = 20.0;
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
enum Size {
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
enum BoltClass {
    /// Carbon steel, class 8.8.
    #[default]
    #[serde(rename = "8.8")]
    Steel88,
    /// Stainless steel, class A2-70.
    #[serde(rename = "A2-70")]
    StainlessA270,
}

impl BoltClass {
    fn modulus_mpa(self) -> f64 {
        match self {
            BoltClass::Steel88 => STEEL_MPA,
            BoltClass::StainlessA270 => STAINLESS_MPA,
        }
    }
    fn expansion(self) -> f64 {
        match self {
            BoltClass::Steel88 => STEEL_EXPANSION,
            BoltClass::StainlessA270 => STAINLESS_EXPANSION,
        }
    }
    /// Load that the bolt takes without lasting stretch, N (W2; the table, not the rounded product).
    fn proof_n(self, bolt: &Bolt) -> f64 {
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
enum Finish {
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
enum PressedBy {
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
enum Members {
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
struct BoltWasher {
    /// Size of the bolt, M3 to M12, coarse thread.
    bolt: Size,
    /// Property class of the bolt; 8.8 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    bolt_class: Option<BoltClass>,
    /// Finish and lubrication of the thread; zinc plated for 8.8 and stainless for A2-70 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    finish: Option<Finish>,
    /// Lowest likely nut factor K in torque = K x clamp load x diameter, where it was measured; else from the finish.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    nut_factor_low: Option<f64>,
    /// Highest likely nut factor, where it was measured; else from the finish.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    nut_factor_high: Option<f64>,
    /// Friction in the thread, where it is known together with `head_friction`: one nut factor follows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    thread_friction: Option<f64>,
    /// Friction under the turning head or nut, where it is known together with `thread_friction`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    head_friction: Option<f64>,
    /// Mean diameter on which the turning face rubs; halfway between the hole and the flats when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    rubbing_diameter: Option<Length>,
    /// Tightening torque; give this or `clamp`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    torque: Option<Torque>,
    /// Clamp load wanted at tightening; the torque that reaches it with the roughest likely thread follows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    clamp: Option<Force>,
    /// Least clamp load that must stay for the life; 30 % of the load first set when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    clamp_needed: Option<Force>,
    /// Outer diameter of the plastic washer.
    outer_diameter: Length,
    /// Bore of the plastic washer; the bolt's medium clearance hole (ISO 273) when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    inner_diameter: Option<Length>,
    /// Thickness of the plastic washer.
    height: Length,
    /// Clamped length from head to nut, the washer included.
    clamped_length: Length,
    /// What presses on it; a plain steel washer when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pressed_by: Option<PressedBy>,
    /// What the rest of the clamped stack is made of; steel when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    members: Option<Members>,
    /// Stiffness of a coned spring or spring stack in series; none when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    spring: Option<Stiffness>,
    /// Temperature at which the joint is tightened; 23 degC when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    assembled_at: Option<Temperature>,
    /// Margin wanted between the hottest moment and the softening onset; 20 K when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    heat_margin: Option<TemperatureSpan>,
    /// How many such joints the use has; 1 when left out. Counts for cost.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    joints: Option<u32>,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

/// The joint with every default filled in.
#[derive(Clone, Copy, Debug)]
struct Joint {
    bolt: &'static Bolt,
    class: BoltClass,
    k_low: f64,
    k_high: f64,
    torque_nm: f64,
    area_mm2: f64,
    stack: Stack,
    /// Bolt and spring in series, N/mm.
    k_bolt: f64,
    spring: bool,
    assembled_c: f64,
    volume_mm3: f64,
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
                let k = nut_factor_of(bolt, thread, head, self.rubbing_mm(bolt));
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

    fn joint(&self) -> Result<Joint, Vec<Fault>> {
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
                    "`inner_diameter` {inner} mm is not smaller than `outer_diameter` {outer} mm"
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
                    "what presses is {pressing} mm wide and falls through a bore of {inner} mm"
                ),
                "put a wider steel washer between, or make the bore smaller",
            ));
        }
        if clamped < height {
            faults.push(Fault::new(
                "duty::clamped-length",
                format!("`clamped_length` {clamped} mm is shorter than the washer's `height` {height} mm"),
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
            torque_nm,
            area_mm2: ring_area_mm2(outer.min(pressing), inner),
            stack: Stack {
                washer_mm: height,
                clamped_mm: clamped,
                member: members.expansion(),
                bolt: class.expansion(),
            },
            k_bolt: in_series(
                bolt_stiffness(class.modulus_mpa(), bolt.stress_area_mm2, clamped),
                self.spring.map(|s| s.0),
            ),
            spring: self.spring.is_some(),
            assembled_c: self.assembled_at.map_or(ROOM_C, |t| t.0),
            volume_mm3: ring_area_mm2(outer, inner) * height * f64::from(self.joints.unwrap_or(1)),
        })
    }

    /// Says which inputs were left to their defaults.
    fn note_defaults(&self, joint: &Joint, duty: &mut Duty) {
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

impl Joint {
    /// Clamp load of the roughest likely thread, N.
    fn least_n(&self) -> f64 {
        self.bolt.clamp_n(self.torque_nm, self.k_high)
    }
    /// Clamp load of the slipperiest likely thread, N.
    fn most_n(&self) -> f64 {
        self.bolt.clamp_n(self.torque_nm, self.k_low)
    }

    fn k_washer(&self, modulus_mpa: f64, t: &mut Trace) -> f64 {
        t.step(
            "W7",
            "stiffness of the washer",
            washer_stiffness(modulus_mpa, self.area_mm2, self.stack.washer_mm),
            "N/mm",
        )
    }

    /// Change of the clamp load from tightening to `temperature_c`, N.
    fn thermal_n(
        &self,
        temperature_c: f64,
        modulus_mpa: f64,
        expansion: f64,
        t: &mut Trace,
    ) -> f64 {
        let k_washer = self.k_washer(modulus_mpa, t);
        self.stack.thermal_change_n(
            temperature_c - self.assembled_c,
            expansion,
            self.k_bolt,
            k_washer,
        )
    }

    /// The torque that the plastic takes, N.m.
    fn torque_taken(self) -> Performance {
        Performance::new(move |i, t| {
            let [strength] = *i.x else { return f64::NAN };
            t.step("W4", "loaded area", self.area_mm2, "mm2");
            t.step("W5", "bearing pressure carried", strength, "MPa");
            let most = t.step("W5", "clamp load carried", strength * self.area_mm2, "N");
            t.step("W3", "lowest likely nut factor", self.k_low, "1");
            t.step(
                "W5",
                "torque carried",
                self.bolt.torque_nm(most, self.k_low),
                "N.m",
            )
        })
    }

    /// The bearing pressure left for the clamp load at an end, MPa.
    fn bearing(self, end: End) -> Performance {
        Performance::new(move |i, t| {
            let strength = i.x.first().copied().unwrap_or(f64::NAN);
            t.step("W4", "bearing pressure carried", strength, "MPa");
            match *i.x {
                [_] => strength,
                [_, modulus, expansion] => {
                    let gain = self.thermal_n(end.temperature_c, modulus, expansion, t);
                    t.step("W11", "clamp load gained by heat", gain, "N");
                    let gain = if gain < 0.0 { 0.0 } else { gain };
                    t.step(
                        "W4",
                        "pressure left for the bolt",
                        strength - gain / self.area_mm2,
                        "MPa",
                    )
                }
                _ => f64::NAN,
            }
        })
    }

    /// Share of the clamp load kept at the hot end: measured in a bolted joint, or from the force
    /// kept at fixed squeeze. `i` holds the share and the modulus first, each by its alternative.
    fn kept(&self, i: Inputs<'_>, retained_first: bool, t: &mut Trace) -> f64 {
        let ([share, modulus, ..], [from, with, ..]) = (i.x, i.which) else {
            return f64::NAN;
        };
        let retained = u8::from(!retained_first);
        if *from == retained {
            return t.step(
                "W8",
                "share of the clamp load kept in the bolted run",
                *share,
                "1",
            );
        }
        if *with == retained {
            // Force kept at fixed squeeze, but no modulus to go with it.
            return f64::NAN;
        }
        t.step(
            "W8",
            "share of the force kept at fixed squeeze",
            *share,
            "1",
        );
        t.step(
            "W7",
            "stiffness of the bolt and what is in series",
            self.k_bolt,
            "N/mm",
        );
        let k_washer = self.k_washer(*modulus, t);
        t.step(
            "W8",
            "share of the clamp load kept",
            kept_after_relaxation(self.k_bolt, k_washer, *share),
            "1",
        )
    }

    /// The clamp load left at an end, N.
    fn clamp_left(self, end: End, hot_c: f64, retained_first: bool) -> Performance {
        Performance::new(move |i, t| {
            t.step("W3", "highest likely nut factor", self.k_high, "1");
            let set = t.step("W3", "clamp load first set", self.least_n(), "N");
            let kept = self.kept(i, retained_first, t);
            let mut left = t.step("W8", "clamp load kept", kept * set, "N");
            if let [_, _, modulus, expansion] = *i.x {
                let hot = self.thermal_n(hot_c, modulus, expansion, t);
                let here = self.thermal_n(end.temperature_c, modulus, expansion, t);
                // What heat adds relaxes too, and is missed when the joint cools.
                let lost_hot = if hot > 0.0 { (1.0 - kept) * hot } else { 0.0 };
                t.step("W11", "gain at the hot end that creeps away", lost_hot, "N");
                let here = if here > 0.0 { 0.0 } else { here };
                t.step("W11", "change by cooling", here, "N");
                left = left - lost_hot + here;
            }
            let left = if left < 0.0 { 0.0 } else { left };
            t.step("W8", "clamp load left", left, "N")
        })
    }

    /// The clamp load left once the washer has taken its set, N.
    fn clamp_after_set(self) -> Performance {
        Performance::new(move |i, t| {
            let ([lost, modulus], [from, _]) = (i.x, i.which) else {
                return f64::NAN;
            };
            let set_n = t.step("W3", "clamp load first set", self.least_n(), "N");
            let k_washer = self.k_washer(*modulus, t);
            let squeeze = t.step("W10", "squeeze of the washer", set_n / k_washer, "mm");
            let share = if *from == 0 {
                t.step("W10", "thickness lost in the bolted run", *lost, "%");
                lost / 100.0 * self.stack.washer_mm / squeeze
            } else {
                lost / 100.0
            };
            let share = if share < 0.0 { 0.0 } else { share };
            t.step("W10", "share of the squeeze lost", share, "1");
            let kept = kept_after_set(self.k_bolt, k_washer, share);
            t.step("W10", "clamp load left after set", kept * set_n, "N")
        })
    }
}

/// Specimens of compression tests are printed lying flat; a washer that stands asks for others.
fn lying(setting: &Setting, ask: Ask) -> Ask {
    match setting.lies {
        LiesOnBed::Flat | LiesOnBed::Open => ask,
        LiesOnBed::Edge => ask.lying(Lies::InPlane),
        LiesOnBed::Upright => ask.lying(Lies::Across),
    }
}

const CLAMP_SOURCE: &str = "W3, W7 to W9, W11: short torque equation (verified in source), stiffnesses in series and expansion (derived from mechanics, quasi-elastic)";

impl Part for BoltWasher {
    fn kind(&self) -> &'static str {
        "bolt-washer"
    }

    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let joint = self.joint()?;
        self.note_defaults(&joint, duty);
        let class = setting.class_of(Class::Damage);
        let factor = setting.factor(class);
        let hot_c = setting.temperature_c.1;
        let margin_k = self.heat_margin.map_or(HEAT_MARGIN_K, |m| m.0);
        let needed_n = self
            .clamp_needed
            .map_or(KEPT_SHARE * joint.least_n(), |f| f.0)
            * factor;
        duty.notes.push(format!(
            "clamp load at tightening {:.0} to {:.0} N, by the scatter of the nut factor",
            joint.least_n(),
            joint.most_n()
        ));
        let share = joint.most_n() / joint.class.proof_n(joint.bolt);
        if share > crate::property::bolt::REUSABLE_PROOF_SHARE {
            duty.notes.push(format!(
                "the torque can use {:.0} % of what the bolt takes; joints that are opened again stay below 75 %",
                share * 100.0
            ));
        }

        let strength = duty.ask(lying(
            setting,
            ask(setting, "bearing-strength", joint.assembled_c),
        ));
        duty.limits.push(Limit {
            id: "torque".to_owned(),
            title: "torque that the washer takes".to_owned(),
            failure: "is crushed at tightening",
            class,
            sense: LimitSense::AtLeast(joint.torque_nm * factor),
            unit: "N.m".to_owned(),
            needs: vec![vec![strength]],
            performance: joint.torque_taken(),
            source: "W4, W5: pressure times area, with the lowest likely nut factor (derived from mechanics; nut factors verified in source)",
        });
        for end in ends(setting) {
            let strength = duty.ask(lying(
                setting,
                ask(setting, "bearing-strength", end.temperature_c),
            ));
            let mut needs = vec![vec![strength]];
            if end.temperature_c > joint.assembled_c {
                needs.push(vec![duty.ask(lying(
                    setting,
                    ask(setting, "compression-modulus", end.temperature_c),
                ))]);
                needs.push(vec![duty.ask(plain_ask("thermal-expansion"))]);
            }
            duty.limits.push(Limit {
                id: end.id("bearing"),
                title: "bearing pressure that the washer takes".to_owned(),
                failure: "is crushed under the bolt",
                class,
                sense: LimitSense::AtLeast(joint.most_n() * factor / joint.area_mm2),
                unit: "MPa".to_owned(),
                needs,
                performance: joint.bearing(end),
                source: "W4, W11: clamp load over the loaded ring, less what expansion adds (derived from mechanics)",
            });
        }

        let retained = duty.ask(lying(
            setting,
            ask(setting, "clamp-retained", hot_c).after(setting.life_h),
        ));
        let relaxed = duty.ask(lying(
            setting,
            ask(setting, "force-retained", hot_c).after(setting.life_h),
        ));
        let modulus = duty.ask(lying(setting, ask(setting, "compression-modulus", hot_c)));
        // The bolted run had no spring: with one, the squeeze test says more.
        let retained_first = !joint.spring;
        let kept_needs = if retained_first {
            [vec![retained, relaxed], vec![retained, modulus]]
        } else {
            [vec![relaxed, retained], vec![modulus, retained]]
        };
        for end in ends(setting) {
            let mut needs = kept_needs.to_vec();
            if end.temperature_c < hot_c.max(joint.assembled_c) {
                needs.push(vec![duty.ask(lying(
                    setting,
                    ask(setting, "compression-modulus", end.temperature_c),
                ))]);
                needs.push(vec![duty.ask(plain_ask("thermal-expansion"))]);
            }
            duty.limits.push(Limit {
                id: end.id("clamp-left"),
                title: "clamp load left".to_owned(),
                failure: "creeps away under the bolt",
                class,
                sense: LimitSense::AtLeast(needed_n),
                unit: "N".to_owned(),
                needs,
                performance: joint.clamp_left(end, hot_c, retained_first),
                source: CLAMP_SOURCE,
            });
        }

        let lost = duty.ask(lying(setting, ask(setting, "washer-set", hot_c)));
        let set = duty.ask(lying(setting, ask(setting, "compression-set", hot_c)));
        duty.limits.push(Limit {
            id: "clamp-after-set".to_owned(),
            title: "clamp load left after set".to_owned(),
            failure: "takes a set and goes slack",
            class,
            sense: LimitSense::AtLeast(needed_n),
            unit: "N".to_owned(),
            needs: vec![vec![lost, set], vec![modulus]],
            performance: joint.clamp_after_set(),
            source: "W10: share of the squeeze lost, against the bolt's stretch (derived from mechanics)",
        });
        let heat = usual::heat_margin(setting, duty, margin_k, class);
        duty.limits.push(heat);

        duty.promise = Some(Promise {
            parts: "washers",
            deeds: vec![
                Deed::new("take", joint.torque_nm * factor, "N.m", ""),
                Deed::new("keep", needed_n, "N", "of clamp load"),
            ],
        });

        let hold = usual::aim(
            "hold",
            "N",
            ValueScale {
                zero: needed_n,
                one: joint.least_n().max(1.5 * needed_n),
                log: false,
            },
            kept_needs.to_vec(),
            joint.clamp_left(
                End {
                    suffix: "",
                    temperature_c: hot_c,
                },
                hot_c,
                retained_first,
            ),
        );
        let aims: Vec<Aim> = vec![
            hold,
            usual::heat_reserve(setting, duty, margin_k),
            usual::easy_print(duty),
            usual::cost(duty, joint.volume_mm3),
            usual::weight(duty, joint.volume_mm3),
        ];
        duty.aims.extend(aims);
        duty.preference = Some(Preference::Points(
            [
                ("hold", 45.0),
                ("heat-reserve", 20.0),
                ("easy-print", 15.0),
                ("cost", 20.0),
            ]
            .into_iter()
            .map(|(k, v)| (k.to_owned(), v))
            .collect(),
        ));
        Ok(())
    }

    fn levers(&self) -> Vec<Lever> {
        let load = |name, value, unit| Lever {
            name,
            kind: LeverKind::Load,
            value,
            unit,
        };
        let thickness = |name, value| Lever {
            name,
            kind: LeverKind::Thickness,
            value,
            unit: "mm",
        };
        let mut levers = Vec::new();
        levers.extend(self.torque.map(|t| load("torque", t.0, "N.m")));
        levers.extend(self.clamp.map(|f| load("clamp", f.0, "N")));
        levers.extend(self.clamp_needed.map(|f| load("clamp_needed", f.0, "N")));
        levers.push(thickness("outer_diameter", self.outer_diameter.0));
        levers.push(thickness("height", self.height.0));
        levers
    }

    fn with_lever(&self, name: &str, value: f64) -> Option<Box<dyn Part>> {
        let mut other = self.clone();
        match name {
            "torque" => other.torque = Some(Torque(value)),
            "clamp" => other.clamp = Some(Force(value)),
            "clamp_needed" => other.clamp_needed = Some(Force(value)),
            "outer_diameter" => other.outer_diameter = Length(value),
            "height" => other.height = Length(value),
            _ => return None,
        }
        Some(Box::new(other))
    }

    fn inputs(&self) -> serde_json::Value {
        serde_json::to_value(self).unwrap_or_default()
    }
}

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "bolt-washer",
    title: "a plastic washer or spacer in a tightened bolted joint",
    read: read_inputs::<BoltWasher>,
    schema: || schemars::schema_for!(BoltWasher),
    example: EXAMPLE,
    formulas: FORMULAS,
    limits: &[
        ("torque", "N.m"),
        ("bearing", "MPa"),
        ("clamp-left", "N"),
        ("clamp-after-set", "N"),
        ("heat-margin", "K"),
    ],
};

const EXAMPLE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "Worked example: washer under an M6 bolt",
  "part": "bolt-washer",
  "inputs": {
    "bolt": "M6",
    "bolt_class": "8.8",
    "finish": "zinc-plated",
    "torque": "2 N.m",
    "clamp_needed": "300 N",
    "outer_diameter": "18 mm",
    "inner_diameter": "6.6 mm",
    "height": "5 mm",
    "clamped_length": "25 mm",
    "pressed_by": "wide-steel-washer",
    "members": "steel",
    "joints": 4
  },
  "surroundings": { "temperature": "10..35 degC", "moisture": "room" },
  "life": "1 year",
  "lies": "flat",
  "harm": { "hurts": "nobody", "damages": "a pane of glass", "replaceable": true },
  "class": "damage",
  "assumed": ["bolt", "bolt_class", "finish", "torque", "clamp_needed", "outer_diameter", "inner_diameter", "height", "clamped_length", "pressed_by", "members", "joints", "temperature", "moisture", "life", "lies", "harm", "class"]
}
"#;

const FORMULAS: &[FormulaDoc] = &[
    FormulaDoc {
        limit: "torque",
        formula: "T = K_low p A d, A = pi/4 (D_o^2 - D_i^2), D_o the smaller of washer and what presses on it",
        validity: "coarse threads M3 to M12; below the bolt's proof load; no head turning on bare plastic without a measured K",
        source: "W3 to W5: short torque equation and ranges of K (verified in source), the rest derived from mechanics",
    },
    FormulaDoc {
        limit: "bearing",
        formula: "p = (T/(K_low d) + dF)/A, dF = dT [a_w t + a_m (L - t) - a_b L]/(1/k_b + 1/k_w) where heat adds to the clamp load",
        validity: "uniform pressure on the ring; quick warming, before the gain creeps away",
        source: "W4, W7, W11: derived from mechanics",
    },
    FormulaDoc {
        limit: "clamp-left",
        formula: "F = R T/(K_high d) - (1 - R) dF_hot + dF_cold; R measured in a bolted run, else R = (1/k_b + 1/k_w)/(1/k_b + 1/(r k_w)) with r the force kept at fixed squeeze",
        validity: "quasi-elastic, closure fixed; k_b without threads and head; a gain by heat is never counted",
        source: "W3 (verified in source), W7 to W9, W11 (derived from mechanics)",
    },
    FormulaDoc {
        limit: "clamp-after-set",
        formula: "F = T/(K_high d) [1 - C (1/k_w)/(1/k_w + 1/k_b)], C the share of the squeeze that does not come back",
        validity: "stiffness unchanged; set says what thickness comes back, not what force is left",
        source: "W10: derived from mechanics",
    },
    FormulaDoc {
        limit: "heat-margin",
        formula: "softening onset - hottest moment of service or storage",
        validity: "onset at the bench load, not a limit to design to",
        source: usual::HEAT_SOURCE,
    },
];
