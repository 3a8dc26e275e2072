//! The protective-cap part kind: an end cap held on a tube by its own stretch, pulled off and pushed
//! on many times.
//!
//! It must stay on after years on the tube and still come on and off by hand: the same squeeze is
//! judged at its low end and relaxed where it holds, at its high end and new where it is overcome.

mod docs;

use crate::duty::mechanics::held::{Age, Bar, Read, Sleeve};
use crate::duty::mechanics::layers::Layers;
use crate::duty::mechanics::pad::{carried, carried_needs};
use crate::duty::mechanics::pushed::pushed;
use crate::duty::mechanics::sleeve::{Fit, clearance_fault, wall_faults};
use crate::duty::mechanics::surroundings::{End, ask, ends, stiffer_is_worse, usual_end};
use crate::duty::mechanics::usual::{self, positive, shown};
use crate::duty::part::read_inputs;
use crate::duty::{
    Deed, Duty, LiesOnBed, Limit, LimitSense, Lying, Part, PartKind, Performance, Promise, Setting,
    ValueScale,
};
use crate::num::shape::ring_area_mm2;
use crate::policy::Class;
use crate::problem::Fault;
use crate::property::{Lies, ROOM_C};
use crate::quantity::{Force, Length, Temperature};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::f64::consts::PI;

/// Margin below the softening onset, K: the low end of common practice for light loads (no source).
const HEAT_MARGIN_K: f64 = 10.0;
/// Force with which a hand pushes a cap on or pulls it off, N (ours, no source).
const BY_HAND_N: f64 = 150.0;
/// Times on and off where nothing is said (our assumption).
const TIMES: f64 = 20.0;
/// Times from which wear of the bore is judged: below, a poor wear rate of 1e-4 mm3/(N.m) takes less
/// than some hundredths of a millimetre, which is how well bores print (derived; the rate of printed
/// PLA on steel, verified in source).
const WEARS_FROM: f64 = 10_000.0;
/// Share of the interference that may wear away (ours).
const WORN_SHARE: f64 = 0.25;
/// Hold from which more gives nothing, as a multiple of what is asked (ours).
const HOLD_ENOUGH: f64 = 3.0;

/// A cap over the end of a tube or bar.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct ProtectiveCap {
    /// Outside diameter of the tube or bar, as measured.
    #[schemars(extend("why" = "with the bore it decides how far the cap is stretched, and so how hard it grips"))]
    tube_diameter: Length,
    /// Bore of the cap before it is pushed on, as measured: printed bores come out 0.1 to 0.4 mm smaller than drawn.
    #[schemars(extend("why" = "a few tenths of a millimetre decide whether it drops off or cannot be pushed on"))]
    bore: Length,
    /// Wall of the cap round the tube.
    #[schemars(extend("why" = "a thicker wall grips harder and is harder to push on"))]
    wall: Length,
    /// Length of tube inside the cap.
    #[schemars(extend("why" = "the longer it sits on the tube, the more it holds and the harder it comes off"))]
    length: Length,
    /// What the tube is made of; by the surface in contact when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides its surface and how it grows with heat: a warm cap loosens"))]
    tube: Option<Bar>,
    /// Pull along the tube that the cap must hold after years on it.
    #[schemars(extend("why" = "below this it comes off by itself: 5 to 20 N for shaking and knocks"))]
    pull_off: Force,
    /// Force that may be needed to push it on or pull it off; 150 N when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a cap that holds too well stays in the drawer; 150 N is a firm push of a hand"))]
    push_on: Option<Force>,
    /// How often it is pulled off and pushed on over the life; the case's cycles, or 20, when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "each time the bore is stretched anew: what it bears once it does not bear ten thousand times"))]
    times: Option<u32>,
    /// Load that presses the tube's end into the closed end of the cap; not judged when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a tube that stands on its cap cuts into it with its edge, or punches through"))]
    end_load: Option<Force>,
    /// Wall of the tube, whose edge presses; needed with `end_load`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a thin edge cuts deeper"))]
    tube_wall: Option<Length>,
    /// Thickness of the closed end; needed with `end_load`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides at which load the tube punches through"))]
    end_thickness: Option<Length>,
    /// Temperature at which tube and bore were measured; 23 degC when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "bore and tube grow differently with heat"))]
    fitted_at: Option<Temperature>,
    /// What the tube belongs to, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    #[schemars(extend("why" = "cautions are looked for in it"))]
    on: String,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

/// The tube's end in the cap's closed end.
#[derive(Clone, Copy, Debug)]
struct ClosedEnd {
    load_n: f64,
    edge_mm2: f64,
    cut_mm2: f64,
}

/// The cap with every default filled in.
#[derive(Clone, Copy, Debug)]
struct Cap {
    held: Sleeve,
    pull_n: f64,
    push_n: f64,
    times: f64,
    end: Option<ClosedEnd>,
}

impl ProtectiveCap {
    fn tube(&self, setting: &Setting) -> Bar {
        self.tube
            .unwrap_or_else(|| Bar::of_surface(setting.counterface.as_deref()))
    }

    fn surface(&self, setting: &Setting) -> String {
        setting
            .counterface
            .clone()
            .unwrap_or_else(|| self.tube(setting).surface().to_owned())
    }

    fn settle(&self, setting: &Setting, factor: f64) -> Result<Cap, Vec<Fault>> {
        let mut faults = Vec::new();
        let (tube, bore, wall) = (self.tube_diameter.0, self.bore.0, self.wall.0);
        for (name, mm) in [
            ("tube_diameter", Some(self.tube_diameter)),
            ("bore", Some(self.bore)),
            ("wall", Some(self.wall)),
            ("length", Some(self.length)),
            ("tube_wall", self.tube_wall),
            ("end_thickness", self.end_thickness),
        ] {
            if let Some(mm) = mm {
                positive(&mut faults, name, mm.0, "mm");
            }
        }
        for (name, force) in [
            ("pull_off", Some(self.pull_off)),
            ("push_on", self.push_on),
            ("end_load", self.end_load),
        ] {
            if let Some(force) = force {
                positive(&mut faults, name, force.0, "N");
            }
        }
        let times = self
            .times
            .map_or_else(|| setting.cycles.unwrap_or(TIMES), f64::from);
        positive(&mut faults, "times", times, "");
        let outer = bore + 2.0 * wall;
        if faults.is_empty() {
            clearance_fault(tube, bore, &mut faults);
            wall_faults((tube, bore, outer), "make the `wall` thicker", &mut faults);
        }
        let (pull_n, push_n) = (
            self.pull_off.0 * factor,
            self.push_on.map_or(BY_HAND_N, |f| f.0),
        );
        if pull_n >= push_n {
            faults.push(Fault::new(
                "duty::hold-over-push",
                format!(
                    "`pull_off` is {} N (the class's factor included) and `push_on` at most {} N: what holds the one needs the other",
                    shown(pull_n),
                    shown(push_n)
                ),
                "lower `pull_off`, or raise `push_on` and use a mallet",
            ));
        }
        let end = match (self.end_load, self.tube_wall, self.end_thickness) {
            (None, ..) => None,
            (Some(load), Some(edge), Some(thick)) => {
                if 2.0 * edge.0 > tube {
                    faults.push(Fault::new(
                        "duty::tube-wall",
                        format!(
                            "a `tube_wall` of {} mm is more than half of the tube's {} mm",
                            shown(edge.0),
                            shown(tube)
                        ),
                        "write half of the diameter for a solid bar",
                    ));
                }
                Some(ClosedEnd {
                    load_n: load.0 * factor,
                    edge_mm2: ring_area_mm2(tube, tube - 2.0 * edge.0),
                    cut_mm2: PI * tube * thick.0,
                })
            }
            (Some(_), edge, _) => {
                let missing = if edge.is_none() {
                    "tube_wall"
                } else {
                    "end_thickness"
                };
                faults.push(Fault::new(
                    "duty::dimension-missing",
                    format!("a loaded closed end needs `{missing}`"),
                    format!("add `{missing}`, for example `\"{missing}\": \"2 mm\"`"),
                ));
                None
            }
        };
        if !faults.is_empty() {
            return Err(faults);
        }
        Ok(Cap {
            held: Sleeve {
                fit: Fit {
                    bar_mm: tube,
                    bore_mm: bore,
                    outer_mm: outer,
                    length_mm: self.length.0,
                    bar_expansion: self.tube(setting).expansion(),
                    fitted_c: self.fitted_at.map_or(ROOM_C, |t| t.0),
                },
                collar_n: None,
                hoop: HOOP.of(setting, LYING),
            },
            pull_n,
            push_n,
            times,
            end,
        })
    }

    fn note_defaults(&self, cap: &Cap, setting: &Setting, duty: &mut Duty) {
        let mut note = |given: bool, text: String| {
            if !given {
                duty.notes.push(text);
            }
        };
        note(
            self.tube.is_some(),
            format!(
                "`tube` left out: expansion {} um/(m.K), by its surface",
                cap.held.fit.bar_expansion
            ),
        );
        note(
            setting.counterface.is_some(),
            format!("`counterface` left out: {}", self.surface(setting)),
        );
        note(
            self.push_on.is_some(),
            format!("`push_on` left out: {BY_HAND_N} N, a firm push of a hand (assumed)"),
        );
        note(
            self.times.is_some() || setting.cycles.is_some(),
            format!("`times` left out: {TIMES} (assumed)"),
        );
        note(
            self.fitted_at.is_some(),
            format!("`fitted_at` left out: {ROOM_C} degC"),
        );
        note(
            self.end_load.is_some(),
            "`end_load` left out: nothing presses on the closed end".to_owned(),
        );
        note(
            cap.times >= WEARS_FROM,
            format!(
                "wear of the bore is not judged below {WEARS_FROM} times: it stays within hundredths of a millimetre"
            ),
        );
    }
}

impl Part for ProtectiveCap {
    fn kind(&self) -> &'static str {
        "protective-cap"
    }

    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let class = setting.class_of(Class::Damage);
        let factor = usual::loads_factor(setting, class, duty);
        let cap = self.settle(setting, factor)?;
        self.note_defaults(&cap, setting, duty);
        let surface = self.surface(setting);
        duty.promise = Some(Promise {
            parts: "caps",
            deeds: vec![
                Deed::new("hold", cap.pull_n, Force::UNIT, "along the tube"),
                Deed::new("go on with at most", cap.push_n, Force::UNIT, ""),
            ],
        });
        for end in ends(setting) {
            cap.hold(end, &surface, setting, class, duty);
            cap.held.stretched(end, cap.times, setting, duty, class);
            if let Some(closed) = cap.end {
                closed.limits(end, setting, class, duty);
            }
        }
        let heat = usual::heat_margin(setting, duty, HEAT_MARGIN_K, class);
        duty.limits.push(heat);
        cap.aims(&surface, setting, duty);
        Ok(())
    }

    pushed!(
        Load pull_off,
        Load end_load,
        Thickness wall,
        Thickness length,
        Thickness end_thickness,
    );

    fn words(&self) -> Vec<String> {
        [&self.on, &self.note]
            .into_iter()
            .filter(|w| !w.is_empty())
            .cloned()
            .collect()
    }
}

impl Cap {
    fn old(setting: &Setting) -> Age {
        Age::Old {
            hot_c: setting.temperature_c.1,
            life_h: setting.life_h,
        }
    }

    fn hold(&self, end: End, surface: &str, setting: &Setting, class: Class, duty: &mut Duty) {
        let at_c = end.temperature_c;
        let old = Cap::old(setting);
        let needs = self
            .held
            .holding_needs(surface, setting.moisture, at_c, old, duty);
        duty.limits.push(Limit {
            id: end.id("pull-off"),
            title: "pull held after the life".to_owned(),
            failure: "loosens and drops off",
            class,
            sense: LimitSense::AtLeast(self.pull_n),
            unit: "N".to_owned(),
            needs,
            performance: self.held.holding(at_c, old, Read::Pull),
            source: docs::HOLD_SOURCE,
        });
        let needs = self
            .held
            .holding_needs(surface, setting.moisture, at_c, Age::New, duty);
        let stiffer = stiffer_is_worse(&needs, duty);
        duty.limits.push(Limit {
            id: end.id("push-on"),
            title: "force to push it on when new".to_owned(),
            failure: "is too tight for the hand",
            // Comfort, whatever the class of the rest.
            class: Class::Nuisance,
            sense: LimitSense::AtMost(self.push_n),
            unit: "N".to_owned(),
            needs: stiffer,
            performance: self.held.pushing(at_c),
            source: "G1 to G4, G7, G11: friction times the high end of the pressure over the whole length (derived from mechanics); a hand's force is ours",
        });
        if self.times >= WEARS_FROM {
            let wear = ask(setting, "wear-rate", at_c).on(surface);
            let mut needs = vec![vec![duty.ask(wear)]];
            needs.extend(self.held.elastic_needs(setting.moisture, at_c, duty));
            duty.limits.push(Limit {
                id: end.id("bore-wear"),
                title: "share of the interference worn away".to_owned(),
                failure: "wears loose",
                class,
                sense: LimitSense::AtMost(WORN_SHARE),
                unit: "1".to_owned(),
                needs,
                performance: self.wear(at_c),
                source: "A1: specific wear rate x pressure x way, there and back over half the length (derived); a quarter of the interference is ours",
            });
        }
    }

    /// Share of the interference that sliding on and off wears away.
    fn wear(self, at_c: f64) -> Performance {
        Performance::new(move |i, t| {
            let [rate, modulus, poisson, expansion] = *i.x else {
                return f64::NAN;
            };
            let fit = self.held.fit;
            let elastic = crate::duty::mechanics::sleeve::Elastic {
                modulus_mpa: modulus,
                poisson,
                expansion,
            };
            let left = fit.interference_mm(at_c, expansion, t);
            let p = fit.squeeze(left, elastic, t).most_mpa;
            t.step("A1", "highest contact pressure", p, "MPa");
            t.step("A1", "specific wear rate", rate, "mm3/(N.m)");
            // On and off, half the length as a mean over the bore.
            let way_m = t.step("A1", "way slid", self.times * fit.length_mm * 1e-3, "m");
            let worn = t.step("A1", "depth worn from the bore", rate * p * way_m, "mm");
            t.step(
                "A1",
                "share of the interference worn away",
                2.0 * worn / left,
                "1",
            )
        })
    }

    fn aims(&self, surface: &str, setting: &Setting, duty: &mut Duty) {
        let room = usual_end(setting).temperature_c;
        let needs = self
            .held
            .holding_needs(surface, setting.moisture, room, Age::New, duty);
        let easy = usual::aim(
            "easy-on-off",
            "N",
            ValueScale {
                zero: self.push_n,
                one: self.pull_n,
                log: true,
            },
            needs,
            self.held.pushing(room),
        );
        let hot_c = setting.temperature_c.1;
        let old = Cap::old(setting);
        let needs = self
            .held
            .holding_needs(surface, setting.moisture, hot_c, old, duty);
        let hold = usual::aim(
            "hold",
            "N",
            ValueScale {
                zero: self.pull_n,
                one: HOLD_ENOUGH * self.pull_n,
                log: false,
            },
            needs,
            self.held.holding(hot_c, old, Read::Pull),
        );
        duty.aims.extend([easy, hold]);
        let fit = self.held.fit;
        let skirt = ring_area_mm2(fit.outer_mm, fit.bore_mm) * fit.length_mm;
        // The closed end is as thick as the wall where nothing says more.
        let end = ring_area_mm2(fit.outer_mm, 0.0)
            * self
                .end
                .map_or(fit.wall_mm(), |e| e.cut_mm2 / (PI * fit.bar_mm));
        let everyday = usual::everyday_aims(setting, duty, HEAT_MARGIN_K, skirt + end);
        duty.aims.extend(everyday);
        duty.preference = usual::points(&[
            ("easy-on-off", 35.0),
            ("hold", 20.0),
            ("heat-reserve", 10.0),
            ("easy-print", 15.0),
            ("cost", 20.0),
        ]);
    }
}

impl ClosedEnd {
    fn limits(self, end: End, setting: &Setting, class: Class, duty: &mut Duty) {
        let at_c = end.temperature_c;
        let takes = carried_needs(setting, at_c, duty);
        duty.limits.push(Limit {
            id: end.id("end-crushing"),
            title: "pressure of the tube's edge that the closed end takes".to_owned(),
            failure: "is cut by the tube's edge",
            class,
            sense: LimitSense::AtLeast(self.load_n / self.edge_mm2),
            unit: "MPa".to_owned(),
            needs: vec![takes],
            performance: Performance::new(move |i, t| {
                t.step("C1", "load on the closed end", self.load_n, "N");
                t.step("C1", "area of the tube's edge", self.edge_mm2, "mm2");
                t.step("C1", "pressure of the edge", self.load_n / self.edge_mm2, "MPa");
                carried(i, t)
            }),
            source: "C1: load over the area of the tube's edge (derived from mechanics); a third of the yield strength in place of a bearing run is common practice, no source",
        });
        // The shear on the punched rim acts between the layers too, however they lie.
        let strength = duty.ask(ask(setting, "tensile-strength", at_c).lying(Lies::Across));
        duty.limits.push(Limit {
            id: end.id("end-punch"),
            title: "shear that the closed end carries".to_owned(),
            failure: "is punched through by the tube",
            class,
            sense: LimitSense::AtLeast(self.load_n / self.cut_mm2),
            unit: "MPa".to_owned(),
            needs: vec![vec![strength]],
            performance: Performance::new(move |i, t| {
                let [strength] = *i.x else { return f64::NAN };
                t.step("C2", "load on the closed end", self.load_n, "N");
                t.step("C2", "area that must shear", self.cut_mm2, "mm2");
                t.step("C2", "shear on it", self.load_n / self.cut_mm2, "MPa");
                t.step("C2", "strength across the layers", strength, "MPa");
                t.step("C2", "shear carried", strength / 3f64.sqrt(), "MPa")
            }),
            source: "C2: load over the punched rim pi d t, against strength/sqrt(3) (von Mises; derived from mechanics)",
        });
    }
}

const LYING: Lying = Lying {
    flat: "lying with its length on the bed, so that the layers cut through the hoop",
    edge: "lying with its length on the bed, so that the layers cut through the hoop",
    upright: "standing on its closed end, so that the hoop stress runs in the layers",
    open: LiesOnBed::Upright,
};

/// How the hoop stress lies to the layers.
const HOOP: Layers = Layers {
    flat: Lies::Across,
    edge: Lies::Across,
    upright: Lies::InPlane,
};

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "protective-cap",
    title: "an end cap on a tube, pulled off and pushed on",
    read: read_inputs::<ProtectiveCap>,
    schema: || schemars::schema_for!(ProtectiveCap),
    example: docs::EXAMPLE,
    formulas: docs::FORMULAS,
    limits: &[
        ("pull-off", "N"),
        ("push-on", "N"),
        ("bore-wear", "1"),
        ("hoop-strain", "1"),
        ("hoop-stress", "1"),
        ("end-crushing", "MPa"),
        ("end-punch", "MPa"),
        ("heat-margin", "K"),
    ],
    lying: Some(LYING),
};
