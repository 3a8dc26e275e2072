//! The strap part kind: a strap, tie or ring that is pulled, wrapped round a post or stretched.
//!
//! Lifting is outside its scope, and the rule book says so.

mod docs;
mod inputs;
mod pulled;

use self::inputs::{Form, Strap, Stretched, Use};
use crate::duty::mechanics::band::{drum_pressure_mpa, slip_torque_nm, stress_over_modulus};
use crate::duty::mechanics::held::STRAIN_RESERVE;
use crate::duty::mechanics::layers::Layers;
use crate::duty::mechanics::pushed::pushed;
use crate::duty::mechanics::surroundings::{End, ask, ends};
use crate::duty::mechanics::usual;
use crate::duty::part::read_inputs;
use crate::duty::{
    Aim, Deed, Duty, LiesOnBed, Limit, LimitSense, Lying, Part, PartKind, Performance, Promise,
    Setting, Trace, ValueScale,
};
use crate::policy::Class;
use crate::problem::Fault;
use crate::property::Lies;
use crate::quantity::{Force, Torque};

/// Margin below the softening onset, K: the low end of common practice for lasting loads (no source).
const HEAT_MARGIN_K: f64 = 20.0;
/// Share of the pull kept that is just acceptable, and from which more gives nothing (ours).
const KEPT: (f64, f64) = (0.3, 0.9);

/// A strip lies along the layers flat or on its edge; a ring only flat.
const STRIP: Layers = Layers {
    flat: Lies::InPlane,
    edge: Lies::InPlane,
    upright: Lies::Across,
};
const RING: Layers = Layers {
    flat: Lies::InPlane,
    edge: Lies::Across,
    upright: Lies::Across,
};
const LYING: Lying = Lying {
    flat: "lying flat, the pull along the layers",
    edge: "on its narrow edge, the pull of a strip along the layers and of a ring across them",
    upright: "standing, the pull across the layers",
    // A standing strap is a stack of seams: nobody prints one who has the choice.
    open: LiesOnBed::Flat,
};

/// What every limit of a strap shares.
#[derive(Clone, Copy)]
struct Judged<'a> {
    setting: &'a Setting,
    end: End,
    class: Class,
    lies: Lies,
}

impl Judged<'_> {
    fn limit(
        self,
        id: &str,
        (title, failure): (&str, &'static str),
        (sense, unit): (LimitSense, &str),
        (needs, performance): (Vec<Vec<usize>>, Performance),
        source: &'static str,
    ) -> Limit {
        Limit {
            id: self.end.id(id),
            title: title.to_owned(),
            failure,
            class: self.class,
            sense,
            unit: unit.to_owned(),
            needs,
            performance,
            source,
        }
    }

    fn ask(self, property: &'static str) -> crate::property::Ask {
        ask(self.setting, property, self.end.temperature_c).lying(self.lies)
    }

    /// Share of the pull kept for the life at the hot end.
    fn kept(self, duty: &mut Duty) -> Vec<usize> {
        kept(self.setting, self.lies, duty)
    }
}

/// G8: the share kept at fixed stretch, of a ring held stretched; else of a squeeze.
fn kept(setting: &Setting, lies: Lies, duty: &mut Duty) -> Vec<usize> {
    let wanted = |p| ask(setting, p, setting.temperature_c.1).after(setting.life_h);
    duty.need_or(
        wanted("stretch-retained").lying(lies),
        wanted("force-retained"),
    )
}

impl Stretched {
    /// K5: pull of the ring when new, N.
    fn tension(&self, modulus: f64, t: &mut Trace) -> f64 {
        t.step("K5", "stretch", 100.0 * self.strain, "%");
        t.step("K5", "modulus", modulus, "MPa");
        let stress = modulus * stress_over_modulus(self.strain);
        t.step("K5", "stress in the ring", stress, "MPa");
        let n = stress * self.width_mm * self.thickness_mm;
        let n = t.step("K5", "pull of the ring", n, "N");
        let pressure = drum_pressure_mpa(n, self.radius_mm, self.width_mm);
        t.step("K5", "pressure on the drum", pressure, "MPa");
        n
    }

    /// K5, G8: pull of the ring at the end of the life, N, of modulus and share kept.
    fn left(&self, modulus: f64, kept: f64, t: &mut Trace) -> f64 {
        let new = self.tension(modulus, t);
        t.step("G8", "share of the pull kept", kept, "1");
        t.step("G8", "pull left at the end of the life", kept * new, "N")
    }

    fn limits(self, j: Judged<'_>, factor: f64, surface: &str, duty: &mut Duty) {
        let breaks = duty.ask(j.ask("break-strain"));
        duty.limits.push(j.limit(
            "break-reserve",
            ("strain at break over the stretch", "tears when stretched on"),
            (LimitSense::AtLeast(STRAIN_RESERVE), "1"),
            (
                vec![vec![breaks]],
                Performance::new(move |i, t| {
                    let [breaks] = *i.x else { return f64::NAN };
                    t.step("K5", "stretch", 100.0 * self.strain, "%");
                    t.step("K5", "strain at break", breaks, "%");
                    t.step("K5", "strain at break over the stretch", breaks / (100.0 * self.strain), "1")
                }),
            ),
            "K5: stretch of the ring on its drum (derived from mechanics); twice the stretch is ours",
        ));
        let modulus = duty.need_or(j.ask("stretch-modulus"), j.ask("tensile-modulus"));
        let holds = duty.ask(j.ask("sustained-strength").after(j.setting.life_h));
        duty.limits.push(j.limit(
            "ring-holding",
            ("stress carried for the life over the ring's", "tears slowly under the lasting stretch"),
            (LimitSense::AtLeast(1.0), "1"),
            (
                vec![vec![holds], modulus.clone()],
                Performance::new(move |i, t| {
                    let [holds, modulus] = *i.x else {
                        return f64::NAN;
                    };
                    let stress = self.tension(modulus, t) / (self.width_mm * self.thickness_mm);
                    t.step("K5", "stress carried for the life", holds, "MPa");
                    t.step("K5", "stress carried over the ring's", holds / stress, "1")
                }),
            ),
            "K5: modulus times stretch, neo-Hookean above 10 % (derived, common use), before any of it relaxes",
        ));
        let kept = j.kept(duty);
        if let Some(needed_n) = self.tension_n {
            duty.limits.push(j.limit(
                "tension-left",
                ("pull left at the end of the life", "slackens"),
                (LimitSense::AtLeast(needed_n * factor), Force::UNIT),
                (
                    vec![modulus.clone(), kept.clone()],
                    Performance::new(move |i, t| match *i.x {
                        [modulus, kept] => self.left(modulus, kept, t),
                        _ => f64::NAN,
                    }),
                ),
                "K5, G8: pull of the stretch, and the share of it kept at fixed stretch (derived from mechanics)",
            ));
        }
        if let Some(hold_nm) = self.hold_nm {
            let friction = ask(j.setting, "static-friction", j.end.temperature_c);
            let friction = duty.ask(friction.on(surface.to_owned()));
            duty.limits.push(j.limit(
                "ring-slip",
                ("torque that it holds at the end of the life", "slips on its drum"),
                (LimitSense::AtLeast(hold_nm * factor), Torque::UNIT),
                (
                    vec![modulus, kept, vec![friction]],
                    Performance::new(move |i, t| {
                        let [modulus, kept, friction] = *i.x else {
                            return f64::NAN;
                        };
                        let left = self.left(modulus, kept, t);
                        t.step("K6", "static friction", friction, "1");
                        t.step("K6", "radius of the drum", self.radius_mm, "mm");
                        let new = slip_torque_nm(friction, self.tension(modulus, t), self.radius_mm);
                        t.step("K6", "torque held when new", new, "N.m");
                        let torque = slip_torque_nm(friction, left, self.radius_mm);
                        t.step("K6", "torque held at the end of the life", torque, "N.m")
                    }),
                ),
                "K5, K6, G8: 2 pi mu T r over a full turn (derived from mechanics), relaxed as the force is",
            ));
        }
        if let Some(allowed) = self.set_allowed {
            let set = ask(j.setting, "stretch-set", j.setting.temperature_c.1).lying(j.lies);
            let set = duty.ask(set.after(j.setting.life_h));
            duty.limits.push(j.limit(
                "set",
                (
                    "stretch that stays when it is taken off",
                    "stays long and goes back on loose",
                ),
                (LimitSense::AtMost(100.0 * allowed), "%"),
                (
                    vec![vec![set]],
                    Performance::new(|i, t| match *i.x {
                        [set] => t.step("", "share of the stretch that stays", set, "%"),
                        _ => f64::NAN,
                    }),
                ),
                "share of the stretch that stays after release, as tested (ISO 2285)",
            ));
        }
    }
}

/// The aim `keeps-pull`: the share of a pull at fixed stretch that is left at the end of the life.
fn keeps_pull(setting: &Setting, lies: Lies, duty: &mut Duty) -> Aim {
    usual::aim(
        "keeps-pull",
        "1",
        ValueScale {
            zero: KEPT.0,
            one: KEPT.1,
            log: false,
        },
        vec![kept(setting, lies, duty)],
        Performance::new(|i, t| match *i.x {
            [kept] => t.step("G8", "share of the pull kept", kept, "1"),
            _ => f64::NAN,
        }),
    )
}

impl Part for Strap {
    fn kind(&self) -> &'static str {
        "strap"
    }

    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let used = self.use_of()?;
        self.note_defaults(setting, duty);
        let class = setting.class_of(Class::Damage);
        let factor = usual::loads_factor(setting, class, duty);
        let surface = setting.counterface.as_deref().unwrap_or("steel-smooth");
        let layers = if self.form == Form::Band { RING } else { STRIP };
        let lies = layers.of(setting, LYING);
        for end in ends(setting) {
            let j = Judged {
                setting,
                end,
                class,
                lies,
            };
            match used {
                Use::Pulled(p) => p.limits(j, factor, surface, duty),
                Use::Stretched(s) => s.limits(j, factor, surface, duty),
            }
        }
        let heat = usual::heat_margin(setting, duty, HEAT_MARGIN_K, class);
        duty.limits.push(heat);
        let deeds = match used {
            Use::Pulled(p) => vec![
                Deed::new("bear", p.pull_n * factor, Force::UNIT, ""),
                Deed::new("stretch at most", 100.0 * p.stretch_allowed, "%", ""),
            ],
            Use::Stretched(s) => s
                .tension_n
                .map(|n| Deed::new("keep", n * factor, Force::UNIT, "of pull"))
                .into_iter()
                .chain(
                    s.hold_nm
                        .map(|m| Deed::new("hold", m * factor, Torque::UNIT, "on the drum")),
                )
                .collect(),
        };
        duty.promise = Some(Promise {
            parts: if self.form == Form::Band {
                "rings"
            } else {
                "straps"
            },
            deeds,
        });
        let volume = self.volume_mm3() * f64::from(self.straps.unwrap_or(1));
        let keeps = keeps_pull(setting, lies, duty);
        duty.aims.push(keeps);
        let everyday = usual::everyday_aims(setting, duty, HEAT_MARGIN_K, volume);
        duty.aims.extend(everyday);
        duty.preference = usual::points(&[
            ("keeps-pull", 45.0),
            ("heat-reserve", 15.0),
            ("easy-print", 20.0),
            ("cost", 20.0),
        ]);
        Ok(())
    }

    pushed!(
        Load pull,
        Load lasting_pull,
        Load hold_torque,
        Load tension_needed,
        Thickness width,
        Thickness thickness,
    );

    fn words(&self) -> Vec<String> {
        vec![self.note.clone()]
    }

    fn cautions(&self, _: &Setting) -> Vec<(&'static str, String)> {
        match self.use_of() {
            Ok(Use::Stretched(s)) => {
                let percent = 100.0 * s.strain;
                vec![("whip-back", format!("a ring stretched by {percent:.0} %"))]
            }
            _ => Vec::new(),
        }
    }
}

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "strap",
    title: "a strap, tie or ring that is pulled or stretched",
    read: read_inputs::<Strap>,
    schema: || schemars::schema_for!(Strap),
    example: docs::EXAMPLE,
    formulas: docs::FORMULAS,
    limits: &[
        ("breaking", "MPa"),
        ("holding", "MPa"),
        ("hole-tear", "MPa"),
        ("hole-holding", "MPa"),
        ("stretch", "%"),
        ("bend-crack", "%"),
        ("slip", "N"),
        ("fatigue", "1"),
        ("break-reserve", "1"),
        ("ring-holding", "1"),
        ("tension-left", "N"),
        ("ring-slip", "N.m"),
        ("set", "%"),
        ("heat-margin", "K"),
    ],
    lying: Some(LYING),
};
