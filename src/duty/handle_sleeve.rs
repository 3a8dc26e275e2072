//! The handle-sleeve part kind: a sleeve on a round bar, held by friction, an end collar or glue.
//!
//! A sleeve is judged on the low end of its contact pressure where it must hold
//! and on the high end of its hoop stress where it may split.

mod docs;

use crate::duty::mechanics::held::{Age, Bar, Read, Sleeve};
use crate::duty::mechanics::layers::Layers;
use crate::duty::mechanics::pushed::pushed;
use crate::duty::mechanics::sleeve::{Fit, wall_faults};
use crate::duty::mechanics::surroundings::{ask, ends, plain_ask};
use crate::duty::mechanics::usual::{self, positive};
use crate::duty::part::read_inputs;
use crate::duty::{
    Deed, Duty, LiesOnBed, Limit, LimitSense, Lying, Part, PartKind, Performance, Promise, Setting,
    ValueScale,
};
use crate::policy::Class;
use crate::problem::Fault;
use crate::property::{Lies, Moisture, ROOM_C};
use crate::quantity::{Expansion, Force, Length, Temperature, Torque};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Pull on a frozen grip, N, and the temperature it is judged at, degC: the pull from the
/// summary of ISO 4210-5 (verified in source), below -5 degC from memory, not verified.
const FREEZING_PULL: (f64, f64) = (70.0, -5.0);
/// Pull on a grip after an hour in hot water, N, and the water's temperature, degC
/// (summary of ISO 4210-5, verified in source).
const HOT_WATER_PULL: (f64, f64) = (100.0, 60.0);
/// Margin below the softening onset, K: the low end of common practice for lasting loads (no source).
const HEAT_MARGIN_K: f64 = 20.0;
/// Hold from which more gives nothing, as a multiple of what is asked (ours).
const HOLD_ENOUGH: f64 = 3.0;
/// Modulus of a sleeve that is as hard in the hand as is just acceptable, and one from which
/// softer gives nothing, MPa (ours, no source found for what hands like).
const TOUCH_MPA: (f64, f64) = (1000.0, 10.0);

/// What keeps the sleeve on the bar.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum Fixing {
    /// Its own squeeze on the bar.
    #[default]
    Friction,
    /// Glue over the whole contact; the glue itself is not judged.
    Glue,
    /// Its own squeeze and an end collar drawn together by a screw.
    Collar,
}

/// A sleeve on a round bar: a handle, a grip, a tool sleeve, a cap on a tube.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct HandleSleeve {
    /// Diameter of the bar where the sleeve sits, as measured.
    #[schemars(extend("why" = "with the bore it decides how far the sleeve is stretched, and with it the grip"))]
    bar_diameter: Length,
    /// Bore of the sleeve before it is mounted, as measured: printed bores come out 0.1 to 0.4 mm smaller than drawn.
    #[schemars(extend("why" = "decides how far the sleeve is stretched: too little and it slips, too much and it splits or goes slack"))]
    bore: Length,
    /// Outside diameter of the sleeve before it is mounted.
    #[schemars(extend("why" = "decides how much wall squeezes the bar"))]
    outer_diameter: Length,
    /// Length in contact with the bar.
    #[schemars(extend("why" = "decides over how much of the bar the squeeze acts: twice as long holds twice as hard"))]
    length: Length,
    /// What keeps it on; friction when left out.
    #[schemars(extend("why" = "decides what holds the sleeve on: its own squeeze alone, glue, or a collar that adds its own"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    fixing: Option<Fixing>,
    /// Force of the collar's screw; needed with an end collar.
    #[schemars(extend("why" = "decides how much grip the collar adds to the squeeze"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    collar_force: Option<Force>,
    /// Whether it is a cycle's grip, which brings the published pull-off tests; no when left out.
    #[schemars(extend("why" = "brings the published pull-off test for cycle grips, because somebody may fall if it comes off"))]
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    cycle: bool,
    /// Pull along the bar that it must hold for its life.
    #[schemars(extend("why" = "decides how hard it must hold along the bar for its whole life"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pull: Option<Force>,
    /// Torque about the bar that it must hold for its life.
    #[schemars(extend("why" = "decides how hard it must hold against turning for its whole life"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    twist: Option<Torque>,
    /// What the bar is made of; by the surface in contact when left out.
    #[schemars(extend("why" = "decides how much the bar grows with heat, and so how much the fit changes between summer and winter"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    bar: Option<Bar>,
    /// Thermal expansion of the bar, where `bar` does not say it.
    #[schemars(extend("why" = "decides how much the fit changes between summer and winter"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    bar_expansion: Option<Expansion>,
    /// Temperature at which bar and bore were measured; 23 degC when left out.
    #[schemars(extend("why" = "decides from which temperature the fit loosens or tightens"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    fitted_at: Option<Temperature>,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

impl HandleSleeve {
    fn fixing(&self) -> Fixing {
        self.fixing.unwrap_or_default()
    }

    fn sleeve(&self, setting: &Setting) -> Result<Sleeve, Vec<Fault>> {
        let mut faults = Vec::new();
        let (bar, bore, outer) = (self.bar_diameter.0, self.bore.0, self.outer_diameter.0);
        positive(&mut faults, "bar_diameter", bar, "mm");
        positive(&mut faults, "bore", bore, "mm");
        positive(&mut faults, "outer_diameter", outer, "mm");
        positive(&mut faults, "length", self.length.0, "mm");
        if let Some(f) = self.pull {
            positive(&mut faults, "pull", f.0, "N");
        }
        if let Some(m) = self.twist {
            positive(&mut faults, "twist", m.0, "N.m");
        }
        if let Some(f) = self.collar_force {
            positive(&mut faults, "collar_force", f.0, "N");
        }
        wall_faults(
            (bar, bore, outer),
            "write the outside diameter as `outer_diameter` and the hole as `bore`",
            &mut faults,
        );
        match (self.fixing(), self.collar_force) {
            (Fixing::Collar, None) => faults.push(Fault::new(
                "duty::collar-force",
                "an end collar holds by its screw, and `collar_force` is not given",
                "write the force of the screw, for example `\"collar_force\": \"500 N\"`",
            )),
            (Fixing::Friction | Fixing::Glue, Some(_)) => faults.push(Fault::new(
                "duty::collar-force",
                "`collar_force` is given, but `fixing` is no collar",
                "write `\"fixing\": \"collar\"`, or leave `collar_force` out",
            )),
            _ => {}
        }
        if self.pull.is_none() && self.twist.is_none() && !self.cycle {
            faults.push(Fault::new(
                "duty::nothing-to-hold",
                "neither `pull` nor `twist` is given, so nothing says what the sleeve must hold",
                "write the pull along the bar or the torque about it, for example `\"pull\": \"80 N\"`",
            ));
        }
        if let (Some(_), Some(_)) = (self.bar, self.bar_expansion) {
            faults.push(Fault::new(
                "duty::bar-expansion",
                "`bar` and `bar_expansion` both say how the bar expands",
                "leave one of them out",
            ));
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        Ok(Sleeve {
            fit: Fit {
                bar_mm: bar,
                bore_mm: bore,
                outer_mm: outer,
                length_mm: self.length.0,
                bar_expansion: self
                    .bar_expansion
                    .map_or_else(|| self.bar(setting).expansion(), |a| a.0),
                fitted_c: self.fitted_at.map_or(ROOM_C, |t| t.0),
            },
            collar_n: self.collar_force.map(|f| f.0),
            hoop: HOOP.of(setting, LYING),
        })
    }

    fn bar(&self, setting: &Setting) -> Bar {
        self.bar
            .unwrap_or_else(|| Bar::of_surface(setting.counterface.as_deref()))
    }

    /// The bar's surface: stated, or by what the bar is made of.
    fn surface(&self, setting: &Setting) -> String {
        setting
            .counterface
            .clone()
            .unwrap_or_else(|| self.bar(setting).surface().to_owned())
    }

    /// Pull asked for the life, N: a cycle's grip without one is asked for the freezing test's.
    fn pull_n(&self) -> Option<f64> {
        match self.pull {
            Some(f) => Some(f.0),
            None => self.cycle.then_some(FREEZING_PULL.0),
        }
    }

    fn note_defaults(&self, sleeve: &Sleeve, setting: &Setting, duty: &mut Duty) {
        let mut note = |given: bool, text: String| {
            if !given {
                duty.notes.push(text);
            }
        };
        note(
            self.fixing.is_some(),
            "`fixing` left out: friction".to_owned(),
        );
        note(
            self.bar.is_some() || self.bar_expansion.is_some(),
            format!(
                "`bar` left out: expansion {} um/(m.K), by its surface",
                sleeve.fit.bar_expansion
            ),
        );
        if self.fixing() != Fixing::Glue {
            note(
                setting.counterface.is_some(),
                format!("`counterface` left out: {}", self.surface(setting)),
            );
        }
        note(
            self.fitted_at.is_some(),
            format!("`fitted_at` left out: {ROOM_C} degC"),
        );
        note(
            !self.cycle || self.pull.is_some(),
            format!(
                "`pull` left out: the freezing test's {} N, asked for the whole life (assumed)",
                FREEZING_PULL.0
            ),
        );
        note(
            !self.cycle || self.twist.is_some(),
            "the published grip tests give no turning torque: a grip that passes them can still turn; give `twist`".to_owned(),
        );
    }
}

impl Part for HandleSleeve {
    fn kind(&self) -> &'static str {
        "handle-sleeve"
    }

    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let sleeve = self.sleeve(setting)?;
        self.note_defaults(&sleeve, setting, duty);
        let class = setting.class_of(if self.cycle {
            Class::Injury
        } else {
            Class::Damage
        });
        let factor = usual::loads_factor(setting, class, duty);
        let surface = self.surface(setting);
        let hot_c = setting.temperature_c.1;
        let old = Age::Old {
            hot_c,
            life_h: setting.life_h,
        };
        let pull_n = self.pull_n().map(|f| f * factor);
        let twist_nm = self.twist.map(|m| m.0 * factor);

        duty.promise = Some(Promise {
            parts: "sleeves",
            deeds: pull_n
                .map(|n| Deed::new("hold", n, "N", "along the bar"))
                .into_iter()
                .chain(twist_nm.map(|m| {
                    let tail = if pull_n.is_some() {
                        "about it at once"
                    } else {
                        "about it"
                    };
                    Deed::new("hold", m, "N.m", tail)
                }))
                .collect(),
        });

        if self.fixing() == Fixing::Glue {
            self.glued(&sleeve, setting, duty, class, (pull_n, twist_nm));
        } else {
            for end in ends(setting) {
                let at_c = end.temperature_c;
                let needs = sleeve.holding_needs(&surface, setting.moisture, at_c, old, duty);
                let wanted = [
                    ("pull-off", "pull held", "N", pull_n, Read::Pull),
                    ("twist", "torque held", "N.m", twist_nm, Read::Torque),
                ];
                for (id, title, unit, least, read) in wanted {
                    let Some(least) = least else { continue };
                    duty.limits.push(Limit {
                        id: end.id(id),
                        title: title.to_owned(),
                        failure: sleeve.slips(read),
                        class,
                        sense: LimitSense::AtLeast(least),
                        unit: unit.to_owned(),
                        needs: needs.clone(),
                        performance: sleeve.holding(at_c, old, read),
                        source: docs::HOLD_SOURCE,
                    });
                }
                if let (Some(pull), Some(twist)) = (pull_n, twist_nm) {
                    duty.limits.push(Limit {
                        id: end.id("pull-and-twist"),
                        title: "hold against pull and torque together".to_owned(),
                        failure: sleeve.slips(Read::Both(pull, twist)),
                        class,
                        sense: LimitSense::AtLeast(sleeve.fit.together_n(pull, twist)),
                        unit: "N".to_owned(),
                        needs,
                        performance: sleeve.holding(at_c, old, Read::Both(pull, twist)),
                        source: docs::TOGETHER_SOURCE,
                    });
                }
            }
            if self.cycle {
                for (id, title, (least_n, at_c)) in [
                    ("freezing-pull", "pull held when frozen", FREEZING_PULL),
                    (
                        "hot-water-pull",
                        "pull held after hot water",
                        HOT_WATER_PULL,
                    ),
                ] {
                    let needs = sleeve.holding_needs(&surface, Moisture::Wet, at_c, Age::New, duty);
                    duty.limits.push(Limit {
                        id: id.to_owned(),
                        title: title.to_owned(),
                        failure: sleeve.slips(Read::Pull),
                        class,
                        sense: LimitSense::AtLeast(least_n),
                        unit: "N".to_owned(),
                        needs,
                        performance: sleeve.holding(at_c, Age::New, Read::Pull),
                        source: "G1 to G5, G7 at the temperature of the published test: 70 N frozen, 100 N after water of 60 degC (summary of ISO 4210-5, verified in source; its clauses not seen)",
                    });
                }
            }
        }
        if sleeve.interferes() {
            for end in ends(setting) {
                sleeve.stretched(end, 1.0, setting, duty, class);
            }
        }
        let heat = usual::heat_margin(setting, duty, HEAT_MARGIN_K, class);
        duty.limits.push(heat);
        self.aims(&sleeve, setting, duty, (pull_n, twist_nm));
        Ok(())
    }

    pushed!(
        Load pull,
        Load twist,
        Thickness outer_diameter,
        Thickness length,
    );

    fn words(&self) -> Vec<String> {
        vec![self.note.clone()]
    }

    fn cautions(&self, _: &Setting) -> Vec<(&'static str, String)> {
        if self.cycle {
            vec![("bicycle-grip", "a cycle's grip".to_owned())]
        } else {
            Vec::new()
        }
    }
}

impl HandleSleeve {
    /// Glue takes friction's place: what is judged is the wall beside it.
    fn glued(
        &self,
        sleeve: &Sleeve,
        setting: &Setting,
        duty: &mut Duty,
        class: Class,
        (pull_n, twist_nm): (Option<f64>, Option<f64>),
    ) {
        duty.notes.push(
            "the glue's own strength is not judged here; the limit is the wall beside it. Glue and test a sample, warm and wet as it will be used".to_owned(),
        );
        let published = if self.cycle { HOT_WATER_PULL.0 } else { 0.0 };
        let needed = sleeve.bond_shear_mpa(
            pull_n.unwrap_or(0.0).max(published),
            twist_nm.unwrap_or(0.0),
        );
        for end in ends(setting) {
            let strength =
                duty.ask(ask(setting, "tensile-strength", end.temperature_c).lying(Lies::Across));
            duty.limits.push(Limit {
                id: end.id("bond-shear"),
                title: "shear that the wall beside the glue carries".to_owned(),
                failure: "shears off beside the glue",
                class,
                sense: LimitSense::AtLeast(needed),
                unit: "MPa".to_owned(),
                needs: vec![vec![strength]],
                performance: Sleeve::wall_shear(),
                source: "pull and torque over the glued area against strength/sqrt(3) (derived from mechanics)",
            });
        }
    }

    fn aims(
        &self,
        sleeve: &Sleeve,
        setting: &Setting,
        duty: &mut Duty,
        (pull_n, twist_nm): (Option<f64>, Option<f64>),
    ) {
        let hot_c = setting.temperature_c.1;
        let old = Age::Old {
            hot_c,
            life_h: setting.life_h,
        };
        let scale = |zero: f64| ValueScale {
            zero,
            one: HOLD_ENOUGH * zero,
            log: false,
        };
        let hold = if self.fixing() == Fixing::Glue {
            let strength = duty.ask(ask(setting, "tensile-strength", hot_c).lying(Lies::Across));
            let needed = sleeve.bond_shear_mpa(pull_n.unwrap_or(0.0), twist_nm.unwrap_or(0.0));
            usual::aim(
                "hold",
                "MPa",
                scale(needed),
                vec![vec![strength]],
                Sleeve::wall_shear(),
            )
        } else {
            let asked = sleeve
                .fit
                .together_n(pull_n.unwrap_or(0.0), twist_nm.unwrap_or(0.0));
            let surface = self.surface(setting);
            let needs = sleeve.holding_needs(&surface, setting.moisture, hot_c, old, duty);
            usual::aim(
                "hold",
                "N",
                scale(asked),
                needs,
                sleeve.holding(hot_c, old, Read::Pull),
            )
        };
        let soft = ["compression-modulus", "tensile-modulus", "flexural-modulus"]
            .map(|p| duty.ask(plain_ask(p).moist(setting.moisture)))
            .to_vec();
        let touch = usual::aim(
            "touch",
            "MPa",
            ValueScale {
                zero: TOUCH_MPA.0,
                one: TOUCH_MPA.1,
                log: true,
            },
            vec![soft],
            Performance::new(|i, t| {
                let [modulus] = *i.x else { return f64::NAN };
                t.step("", "modulus under the hand", modulus, "MPa")
            }),
        );
        let fit = sleeve.fit;
        let volume = crate::num::shape::ring_area_mm2(fit.outer_mm, fit.bore_mm) * fit.length_mm;
        let aims = vec![
            hold,
            touch,
            usual::heat_reserve(setting, duty, HEAT_MARGIN_K),
            usual::easy_print(duty),
            usual::cost(duty, volume),
            usual::weight(duty, volume),
        ];
        duty.aims.extend(aims);
        duty.preference = usual::points(&[
            ("hold", 35.0),
            ("touch", 30.0),
            ("heat-reserve", 10.0),
            ("easy-print", 10.0),
            ("cost", 15.0),
        ]);
    }
}

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "handle-sleeve",
    title: "a sleeve on a round bar: handle, grip, tool sleeve",
    read: read_inputs::<HandleSleeve>,
    schema: || schemars::schema_for!(HandleSleeve),
    example: docs::EXAMPLE,
    formulas: docs::FORMULAS,
    limits: &[
        ("pull-off", "N"),
        ("twist", "N.m"),
        ("pull-and-twist", "N"),
        ("freezing-pull", "N"),
        ("hot-water-pull", "N"),
        ("bond-shear", "MPa"),
        ("hoop-strain", "1"),
        ("hoop-stress", "1"),
        ("heat-margin", "K"),
    ],
    lying: Some(LYING),
};

const LYING: Lying = Lying {
    flat: "lying with its length on the bed, so that the layers cut through the hoop",
    edge: "lying with its length on the bed, so that the layers cut through the hoop",
    upright: "standing, so that the hoop stress runs in the layers",
    open: LiesOnBed::Upright,
};

/// How the hoop stress lies to the layers.
const HOOP: Layers = Layers {
    flat: Lies::Across,
    edge: Lies::Across,
    upright: Lies::InPlane,
};
