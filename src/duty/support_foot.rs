//! The support-foot part kind: feet under something that stands, is pushed or stands on a slope.
//!
//! Whether it tips is plain geometry; whether it slides first is the feet's friction. More
//! grip is not always safer: the notes say from which friction on it tips before it slides.

use crate::duty::mechanics::pad::{block_shape_factor, squeeze, with_bulk};
use crate::duty::mechanics::surroundings::{End, ask, ends, plain_ask};
use crate::duty::mechanics::usual::{self, positive};
use crate::duty::part::read_inputs;
use crate::duty::{
    Deed, Duty, FormulaDoc, Lever, LeverKind, Limit, LimitSense, Part, PartKind, Performance,
    Preference, Promise, Setting, ValueScale,
};
use crate::num::shape::{bonded_face_factor, ring_area_mm2, ring_shape_factor};
use crate::policy::Class;
use crate::problem::Fault;
use crate::quantity::{Angle, Force, Length, Mass, TemperatureSpan};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Standard gravity, m/s2 (exact by definition).
const GRAVITY: f64 = 9.80665;
/// Slope on which it must stand where neither push nor slope is given, deg: the tilt of the
/// stability test for household appliances (IEC 60335-1, clause 20.1; verified in source).
const TILT_DEG: f64 = 10.0;
/// Share of the height that a foot may sink where nothing is said (our assumption).
const SAG_SHARE: f64 = 0.10;
/// Margin below the softening onset, K: the low end of common practice for light loads (no source).
const HEAT_MARGIN_K: f64 = 10.0;
/// Friction from which more gives nothing, unless it would tip before.
const GRIP_ENOUGH: f64 = 1.0;
/// Share of the sag allowed below which a stiffer foot gives nothing.
const SAG_ENOUGH: f64 = 0.2;

/// Shape of a foot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum Shape {
    /// A round foot of `diameter` and `height`.
    Disc,
    /// A round foot with a bore: `diameter`, `inner_diameter`, `height`.
    Ring,
    /// A block of `length`, `width` and `height`.
    Block,
}

/// How the loaded faces are held.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum Faces {
    /// Glued or moulded to plates: they cannot slide.
    Bonded,
    /// Standing loose: they may slide and bulge.
    #[default]
    Loose,
}

/// Feet under something that stands on a floor.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct SupportFoot {
    /// Mass that stands on all feet together; give this or `mass_per_foot`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    mass: Option<Mass>,
    /// Mass that stands on each foot.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    mass_per_foot: Option<Mass>,
    /// Number of feet; 4 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    feet: Option<u32>,
    /// Share of the mass on the most loaded foot, 0 to 1; an even share when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    heaviest_share: Option<f64>,
    /// Shape of a foot.
    shape: Shape,
    /// Diameter of a disc or ring.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    diameter: Option<Length>,
    /// Bore of a ring.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    inner_diameter: Option<Length>,
    /// Length of a block.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    length: Option<Length>,
    /// Width of a block.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    width: Option<Length>,
    /// Height of a foot, unloaded.
    height: Length,
    /// Whether the loaded faces are bonded; loose when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    faces: Option<Faces>,
    /// Sideways push that it must stand without sliding; none when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    push: Option<Force>,
    /// Height above the floor at which it is pushed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    push_height: Option<Length>,
    /// Distance from the line of the weight to the edge over which it would tip.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    half_width: Option<Length>,
    /// Height of the centre of gravity above the floor.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    centre_height: Option<Length>,
    /// Slope on which it must stand without sliding; 10 degrees when neither `push` nor `slope` is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    slope: Option<Angle>,
    /// Whether it must slide before it tips; no when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    slide_first: Option<bool>,
    /// How far a foot may sink in the life; a tenth of its height when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    sag: Option<Length>,
    /// Margin wanted between the hottest moment and the softening onset; 10 K when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    heat_margin: Option<TemperatureSpan>,
    /// What stands on the feet, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    under: String,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

/// The feet with every default filled in.
#[derive(Clone, Copy, Debug)]
struct Feet {
    /// Weight on all feet, N.
    weight_n: f64,
    /// Weight on the most loaded foot, N.
    heaviest_n: f64,
    number: f64,
    area_mm2: f64,
    shape_factor: f64,
    height_mm: f64,
    bonded: bool,
    push_n: Option<f64>,
    slope_deg: Option<f64>,
    /// Friction from which a push tips it before it slides: half width over push height.
    tips_from: Option<f64>,
    /// Slope at which it tips, deg.
    tips_at_deg: Option<f64>,
    sag_mm: f64,
}

/// Takes a dimension that this shape needs.
fn needed(faults: &mut Vec<Fault>, shape: &str, name: &str, value: Option<Length>) -> f64 {
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
fn foreign(faults: &mut Vec<Fault>, shape: &str, others: &[(&str, Option<Length>)]) {
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

impl SupportFoot {
    fn number(&self) -> f64 {
        f64::from(self.feet.unwrap_or(4))
    }

    /// Area in mm2 and shape factor of one foot.
    fn pad(&self, faults: &mut Vec<Fault>) -> (f64, f64) {
        let h = self.height.0;
        match self.shape {
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
                if inner >= outer {
                    faults.push(Fault::new(
                        "duty::ring-hole",
                        format!(
                            "`inner_diameter` {inner} mm is not smaller than `diameter` {outer} mm"
                        ),
                        "write the bore as `inner_diameter` and the rim as `diameter`",
                    ));
                }
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

    fn settle(&self, setting: &Setting, factor: f64) -> Result<Feet, Vec<Fault>> {
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
        let (area_mm2, shape_factor) = self.pad(&mut faults);
        let weight_n = self.weight_n(&mut faults);
        let even = 1.0 / self.number();
        let share = self.heaviest_share.unwrap_or(even);
        if share > 1.0 || share < even * (1.0 - 1e-9) {
            faults.push(Fault::new(
                "duty::heaviest-share",
                format!("`heaviest_share` is {share}, and the most loaded of {} feet carries between {even:.3} and 1", self.number()),
                "write its share of the whole mass, or leave it out for an even share",
            ));
        }
        let sag_mm = self.sag.map_or(SAG_SHARE * self.height.0, |s| s.0);
        if sag_mm >= self.height.0 {
            faults.push(Fault::new(
                "duty::sag-of-all",
                format!(
                    "`sag` {sag_mm} mm is no less than the foot's `height` {} mm",
                    self.height.0
                ),
                "write how far it may sink, less than its height",
            ));
        }
        if setting.counterface.is_none() {
            faults.push(Fault::new(
                "duty::floor-unknown",
                "the floor is not named, and friction belongs to a pair",
                "name it in `surroundings`, for example `\"counterface\": \"tile\"`",
            ));
        }
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
            area_mm2,
            shape_factor,
            height_mm: self.height.0,
            bonded: self.faces.unwrap_or_default() == Faces::Bonded,
            push_n,
            slope_deg,
            tips_from,
            tips_at_deg,
            sag_mm,
        })
    }

    fn note_defaults(&self, feet: &Feet, duty: &mut Duty) {
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
                feet.sag_mm
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

impl Feet {
    /// Largest sideways push before it slides, N.
    fn hold(self) -> Performance {
        Performance::new(move |i, t| {
            let [mu] = *i.x else { return f64::NAN };
            let weight = t.step("F1", "weight on all feet", self.weight_n, "N");
            t.step("F1", "static friction", mu, "1");
            if let Some(ratio) = self.tips_from {
                t.step("F4", "tips at", weight * ratio, "N");
                t.step("F4", "friction from which it tips first", ratio, "1");
            }
            t.step("F1", "slides at", mu * weight, "N")
        })
    }

    /// Slope at which it slides, deg.
    fn slope(self, asked_deg: f64) -> Performance {
        Performance::new(move |i, t| {
            let [mu] = *i.x else { return f64::NAN };
            let (sin, cos) = asked_deg.to_radians().sin_cos();
            let driving = t.step("F2", "driving force on the slope", self.weight_n * sin, "N");
            let resisting = t.step(
                "F2",
                "resisting force on the slope",
                mu * self.weight_n * cos,
                "N",
            );
            t.step("F2", "resisting over driving", resisting / driving, "1");
            if let Some(tips) = self.tips_at_deg {
                t.step("F3", "tips at", tips, "deg");
            }
            t.step("F2", "slides at", mu.atan().to_degrees(), "deg")
        })
    }

    /// Stress on the most loaded foot, MPa.
    fn stress_mpa(&self) -> f64 {
        self.heaviest_n / self.area_mm2
    }

    /// How far the most loaded foot sinks, mm. Needs: modulus at the life or when new, what is
    /// left of it, and the bulk modulus where the faces are bonded.
    fn sag(self, factor: f64) -> Performance {
        Performance::new(move |i, t| {
            let ([modulus, kept, bulk @ ..], [from, with, ..]) = (i.x, i.which) else {
                return f64::NAN;
            };
            let modulus = match (from, with) {
                (0, _) => t.step("F10", "creep modulus at the life", *modulus, "MPa"),
                (_, 1) => {
                    t.step("F10", "compression modulus when new", *modulus, "MPa");
                    t.step("F10", "share of the force kept at the life", *kept, "1");
                    t.step("F10", "modulus left at the life", modulus * kept, "MPa")
                }
                // A creep modulus stands where the share kept belongs.
                _ => return f64::NAN,
            };
            t.step("F5", "shape factor", self.shape_factor, "1");
            let held = modulus * bonded_face_factor(self.shape_factor);
            t.step(
                "F6",
                "apparent modulus if the faces cannot slide",
                held,
                "MPa",
            );
            let apparent = match bulk {
                [bulk] if self.bonded => t.step(
                    "F7",
                    "apparent modulus with the bulk limit",
                    with_bulk(held, *bulk),
                    "MPa",
                ),
                _ => t.step("F6", "apparent modulus if the faces slide", modulus, "MPa"),
            };
            let stress = t.step(
                "F8",
                "stress on the most loaded foot",
                factor * self.stress_mpa(),
                "MPa",
            );
            let strain = t.step("F8", "squeeze", squeeze(stress, apparent), "1");
            t.step("F8", "sag", strain * self.height_mm, "mm")
        })
    }
}

impl Part for SupportFoot {
    fn kind(&self) -> &'static str {
        "support-foot"
    }

    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let class = setting.class_of(Class::Damage);
        let factor = setting.factor(class);
        let feet = self.settle(setting, factor)?;
        self.note_defaults(&feet, duty);
        let margin_k = self.heat_margin.map_or(HEAT_MARGIN_K, |m| m.0);
        let floor = setting.counterface.clone().unwrap_or_default();
        let friction = |duty: &mut Duty, end: End| {
            duty.ask(ask(setting, "static-friction", end.temperature_c).on(floor.clone()))
        };

        for end in ends(setting) {
            let mu = friction(duty, end);
            let mut push =
                |id: &str, title: &str, failure, sense, unit: &str, performance, source| {
                    duty.limits.push(Limit {
                        id: end.id(id),
                        title: title.to_owned(),
                        failure,
                        class,
                        sense,
                        unit: unit.to_owned(),
                        needs: vec![vec![mu]],
                        performance,
                        source,
                    });
                };
            if let Some(needed_n) = feet.push_n {
                push(
                    "hold",
                    "sideways hold on the level",
                    "slides when pushed",
                    LimitSense::AtLeast(needed_n),
                    "N",
                    feet.hold(),
                    "F1: friction times weight, all feet alike (derived from mechanics)",
                );
            }
            if let Some(slope_deg) = feet.slope_deg {
                push(
                    "slope",
                    "slope at which it slides",
                    "slides on the slope",
                    LimitSense::AtLeast(slope_deg),
                    "deg",
                    feet.slope(slope_deg),
                    "F2: slides where the tangent of the slope is the friction (derived from mechanics)",
                );
            }
            if let (Some(true), Some(ratio)) = (self.slide_first, feet.tips_from) {
                push(
                    "slides-first",
                    "friction, below the one that tips it",
                    "grips so well that it tips",
                    LimitSense::AtMost(ratio),
                    "1",
                    Performance::new(|i, t| match *i.x {
                        [mu] => t.step("F4", "static friction", mu, "1"),
                        _ => f64::NAN,
                    }),
                    "F4: slides before it tips where friction is below half width over push height (derived from mechanics)",
                );
            }
        }
        for end in ends(setting) {
            let stress = feet.stress_mpa() * factor;
            let at_life = |p| ask(setting, p, end.temperature_c).after(setting.life_h);
            let creep = duty.ask(at_life("creep-modulus").under(stress));
            let new = duty.ask(ask(setting, "compression-modulus", end.temperature_c));
            let kept = duty.ask(at_life("force-retained"));
            let mut needs = vec![vec![creep, new], vec![creep, kept]];
            if feet.bonded {
                needs.push(vec![duty.ask(plain_ask("bulk-modulus"))]);
            }
            duty.limits.push(Limit {
                id: end.id("sag"),
                title: "sag of the most loaded foot".to_owned(),
                failure: "sinks too far",
                class,
                sense: LimitSense::AtMost(feet.sag_mm),
                unit: "mm".to_owned(),
                needs,
                performance: feet.sag(factor),
                source: "F5 to F9: shape factor (derived), bonded faces and bulk limit (verified in source), larger squeeze neo-Hookean (derived, common use); creep modulus, or the modulus when new times the share of force kept (quasi-elastic, derived)",
            });
        }
        duty.promise = Some(Promise {
            parts: "feet",
            deeds: feet
                .push_n
                .map(|n| Deed::new("hold", n, Force::UNIT, "sideways"))
                .into_iter()
                .chain(
                    feet.slope_deg
                        .map(|d| Deed::new("stand on", d, Angle::UNIT, "of slope")),
                )
                .chain([Deed::new("sag at most", feet.sag_mm, Length::UNIT, "")])
                .collect(),
        });
        let heat = usual::heat_margin(setting, duty, margin_k, class);
        duty.limits.push(heat);

        // Aims are valued at room, or at the end of the range nearest to it.
        let (cold, hot) = setting.temperature_c;
        let usual_end = End {
            suffix: "",
            temperature_c: crate::property::ROOM_C.max(cold).min(hot),
        };
        let least = [
            feet.push_n.map(|f| f / feet.weight_n),
            feet.slope_deg.map(|a| a.to_radians().tan()),
        ]
        .into_iter()
        .flatten()
        .fold(0.0, f64::max);
        let enough = feet.tips_from.map_or(GRIP_ENOUGH, |r| r.min(GRIP_ENOUGH));
        let mu = friction(duty, usual_end);
        let grip = usual::aim(
            "grip",
            "1",
            ValueScale {
                zero: least,
                one: enough.max(1.5 * least),
                log: false,
            },
            vec![vec![mu]],
            Performance::new(|i, t| match *i.x {
                [mu] => t.step("F1", "static friction", mu, "1"),
                _ => f64::NAN,
            }),
        );
        let needs = duty
            .limits
            .iter()
            .find(|l| l.id.starts_with("sag"))
            .map_or_else(Vec::new, |l| l.needs.clone());
        let stiffness = usual::aim(
            "stiffness",
            "mm",
            ValueScale {
                zero: feet.sag_mm,
                one: SAG_ENOUGH * feet.sag_mm,
                log: true,
            },
            needs,
            feet.sag(1.0),
        );
        let volume = feet.area_mm2 * feet.height_mm * feet.number;
        let aims = [
            grip,
            stiffness,
            usual::heat_reserve(setting, duty, margin_k),
            usual::easy_print(duty),
            usual::cost(duty, volume),
            usual::weight(duty, volume),
        ];
        duty.aims.extend(aims);
        duty.preference = Some(Preference::Points(
            [
                ("grip", 45.0),
                ("stiffness", 15.0),
                ("heat-reserve", 10.0),
                ("easy-print", 15.0),
                ("cost", 15.0),
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
        let mut levers = Vec::new();
        levers.extend(self.mass.map(|m| load("mass", m.0, "kg")));
        levers.extend(self.mass_per_foot.map(|m| load("mass_per_foot", m.0, "kg")));
        levers.extend(self.push.map(|f| load("push", f.0, "N")));
        for (name, value) in [
            ("diameter", self.diameter),
            ("length", self.length),
            ("width", self.width),
            ("height", Some(self.height)),
        ] {
            levers.extend(value.map(|d| Lever {
                name,
                kind: LeverKind::Thickness,
                value: d.0,
                unit: "mm",
            }));
        }
        levers
    }

    fn with_lever(&self, name: &str, value: f64) -> Option<Box<dyn Part>> {
        let mut other = self.clone();
        match name {
            "mass" => other.mass = Some(Mass(value)),
            "mass_per_foot" => other.mass_per_foot = Some(Mass(value)),
            "push" => other.push = Some(Force(value)),
            "diameter" => other.diameter = Some(Length(value)),
            "length" => other.length = Some(Length(value)),
            "width" => other.width = Some(Length(value)),
            "height" => other.height = Length(value),
            _ => return None,
        }
        Some(Box::new(other))
    }

    fn inputs(&self) -> serde_json::Value {
        serde_json::to_value(self).unwrap_or_default()
    }

    fn words(&self) -> Vec<String> {
        [&self.under, &self.note]
            .into_iter()
            .filter(|w| !w.is_empty())
            .cloned()
            .collect()
    }
}

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "support-foot",
    title: "feet under something that stands on a floor",
    read: read_inputs::<SupportFoot>,
    schema: || schemars::schema_for!(SupportFoot),
    example: EXAMPLE,
    formulas: FORMULAS,
    limits: &[
        ("hold", "N"),
        ("slope", "deg"),
        ("slides-first", "1"),
        ("sag", "mm"),
        ("heat-margin", "K"),
    ],
};

const EXAMPLE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "Worked example: feet under a potting bench",
  "part": "support-foot",
  "inputs": {
    "mass": "40 kg",
    "feet": 4,
    "shape": "disc",
    "diameter": "40 mm",
    "height": "10 mm",
    "faces": "loose",
    "push": "60 N",
    "push_height": "800 mm",
    "half_width": "300 mm",
    "sag": "1 mm"
  },
  "surroundings": { "temperature": "10..35 degC", "moisture": "room", "counterface": "tile" },
  "life": "1 year",
  "harm": { "hurts": "nobody", "damages": "seedlings", "replaceable": true },
  "class": "damage",
  "assumed": ["mass", "feet", "shape", "diameter", "height", "faces", "push", "push_height", "half_width", "sag", "temperature", "moisture", "counterface", "life", "harm", "class"]
}
"#;

const FORMULAS: &[FormulaDoc] = &[
    FormulaDoc {
        limit: "hold",
        formula: "F = mu W; it tips at W b/H",
        validity: "level floor, all feet alike; friction of elastomers falls with pressure, so a light sled flatters",
        source: "F1, F4: derived from mechanics",
    },
    FormulaDoc {
        limit: "slope",
        formula: "slides at arctan mu; tips at arctan(b/h)",
        validity: "0 to 90 degrees, no push",
        source: "F2, F3: derived from mechanics; 10 degrees from IEC 60335-1 clause 20.1 (verified in source)",
    },
    FormulaDoc {
        limit: "slides-first",
        formula: "mu < b/H",
        validity: "pushed sideways at the height H, tipping over the edge at b",
        source: "F4: derived from mechanics",
    },
    FormulaDoc {
        limit: "sag",
        formula: "sag = (F/A)/E_a h; loose faces E_a = E, bonded 1/E_a = 1/(E (1 + 2 S^2)) + 1/B; from 15 % F/A = (E_a/3)(l^-2 - l)",
        validity: "solid feet, no foam, lattice or infill; mixed between 10 and 15 % of squeeze; squeezed flat beyond a half",
        source: "F5 (derived), F6, F7 (verified in source), F8, F9 (derived, common use)",
    },
    FormulaDoc {
        limit: "heat-margin",
        formula: "softening onset - hottest moment of service or storage",
        validity: "onset at the bench load, not a limit to design to",
        source: usual::HEAT_SOURCE,
    },
];
