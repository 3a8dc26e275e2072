//! The handle-sleeve part kind: a sleeve on a round bar, held by friction, an end collar or glue.
//!
//! A sleeve is judged on the low end of its contact pressure where it must hold
//! and on the high end of its hoop stress where it may split.

use crate::duty::mechanics::sleeve::{Elastic, Fit, MOST_STRETCH};
use crate::duty::mechanics::surroundings::{End, ask, ends, plain_ask};
use crate::duty::mechanics::usual::{self, positive};
use crate::duty::part::read_inputs;
use crate::duty::{
    Deed, Duty, FormulaDoc, Inputs, Lever, LeverKind, LiesOnBed, Limit, LimitSense, Part, PartKind,
    Performance, Preference, Promise, Setting, Trace, ValueScale,
};
use crate::policy::Class;
use crate::problem::Fault;
use crate::property::{Ask, Lies, Moisture, ROOM_C};
use crate::quantity::{Expansion, Force, Length, Temperature, Torque};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Pull on a frozen grip, N, and the temperature it is judged at, degC: the pull from the
/// summary of ISO 4210-5 (verified in source), below -5 degC from memory, not verified.
const FREEZING_PULL: (f64, f64) = (70.0, -5.0);
/// Pull on a grip after an hour in hot water, N, and the water's temperature, degC
/// (summary of ISO 4210-5, verified in source).
const HOT_WATER_PULL: (f64, f64) = (100.0, 60.0);
/// Break strain asked over the hoop strain: bead ends and the stretch of mounting take the
/// rest (ours, no source).
const STRAIN_RESERVE: f64 = 2.0;
/// Margin below the softening onset, K: the low end of common practice for lasting loads (no source).
const HEAT_MARGIN_K: f64 = 20.0;
/// Hold from which more gives nothing, as a multiple of what is asked (ours).
const HOLD_ENOUGH: f64 = 3.0;
/// Modulus of a sleeve that is as hard in the hand as is just acceptable, and one from which
/// softer gives nothing, MPa (ours, no source found for what hands like).
const TOUCH_MPA: (f64, f64) = (1000.0, 10.0);

/// What the bar is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum Bar {
    /// Steel.
    Steel,
    /// Aluminium.
    Aluminium,
    /// Wood.
    Wood,
}

impl Bar {
    /// Thermal expansion, um/(m.K); wood across the grain (all from memory, not verified).
    fn expansion(self) -> f64 {
        match self {
            Bar::Steel => 12.0,
            Bar::Aluminium => 23.0,
            Bar::Wood => 40.0,
        }
    }
    fn surface(self) -> &'static str {
        match self {
            Bar::Steel => "steel-smooth",
            Bar::Aluminium => "aluminium",
            Bar::Wood => "wood",
        }
    }
    /// The bar that a surface speaks of; steel for one that speaks of none.
    fn of_surface(surface: Option<&str>) -> Self {
        match surface {
            Some("aluminium") => Bar::Aluminium,
            Some("wood" | "painted-wood") => Bar::Wood,
            _ => Bar::Steel,
        }
    }
}

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
    bar_diameter: Length,
    /// Bore of the sleeve before it is mounted, as measured: printed bores come out 0.1 to 0.4 mm smaller than drawn.
    bore: Length,
    /// Outside diameter of the sleeve before it is mounted.
    outer_diameter: Length,
    /// Length in contact with the bar.
    length: Length,
    /// What keeps it on; friction when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    fixing: Option<Fixing>,
    /// Force of the collar's screw; needed with an end collar.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    collar_force: Option<Force>,
    /// Whether it is a cycle's grip, which brings the published pull-off tests; no when left out.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    cycle: bool,
    /// Pull along the bar that it must hold for its life.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pull: Option<Force>,
    /// Torque about the bar that it must hold for its life.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    twist: Option<Torque>,
    /// What the bar is made of; by the surface in contact when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    bar: Option<Bar>,
    /// Thermal expansion of the bar, where `bar` does not say it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    bar_expansion: Option<Expansion>,
    /// Temperature at which bar and bore were measured; 23 degC when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    fitted_at: Option<Temperature>,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

/// The sleeve with every default filled in.
#[derive(Clone, Copy, Debug)]
struct Sleeve {
    fit: Fit,
    fixing: Fixing,
    /// Screw force of the collar, N.
    collar_n: Option<f64>,
    /// How the hoop stress lies to the layers.
    hoop: Lies,
}

/// Whether a holding force is read when new or at the end of the life.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Age {
    New,
    /// Relaxed at the hot end, degC, for the life, h.
    Old {
        hot_c: f64,
        life_h: f64,
    },
}

/// What a holding force is read as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Read {
    Pull,
    Torque,
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
        if outer <= bore || outer <= bar {
            faults.push(Fault::new(
                "duty::sleeve-wall",
                format!("an outside of {outer} mm leaves no wall over a bore of {bore} mm on a bar of {bar} mm"),
                "write the outside diameter as `outer_diameter` and the hole as `bore`",
            ));
        }
        if bore > 0.0 && bar > MOST_STRETCH * bore {
            faults.push(Fault::new(
                "duty::sleeve-stretch",
                format!(
                    "a bore of {bore} mm on a bar of {bar} mm is stretched {:.2} times, and the formulas end at {MOST_STRETCH}",
                    bar / bore
                ),
                format!("make the bore at least {:.2} mm", bar / MOST_STRETCH),
            ));
        }
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
            fixing: self.fixing(),
            collar_n: self.collar_force.map(|f| f.0),
            hoop: match setting.lies {
                LiesOnBed::Upright | LiesOnBed::Open => Lies::InPlane,
                LiesOnBed::Flat | LiesOnBed::Edge => Lies::Across,
            },
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
        if sleeve.fixing != Fixing::Glue {
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
            setting.lies != LiesOnBed::Open,
            "how it lies on the bed is open: taken as standing, so that the hoop stress runs in the layers".to_owned(),
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

impl Sleeve {
    fn interferes(&self) -> bool {
        self.fit.interferes()
    }

    /// Friction with nothing to press it: no property can help.
    fn holds_nothing(&self) -> bool {
        !self.interferes() && self.collar_n.is_none()
    }

    /// Modulus, Poisson's ratio and expansion, in the order of [`elastic`].
    fn elastic_needs(&self, moisture: Moisture, at_c: f64, duty: &mut Duty) -> Vec<Vec<usize>> {
        let wanted = |p| Ask::room(p).at(at_c).moist(moisture);
        vec![
            vec![
                duty.ask(wanted("tensile-modulus").lying(self.hoop)),
                duty.ask(wanted("flexural-modulus").lying(self.hoop)),
                duty.ask(wanted("compression-modulus")),
            ],
            vec![duty.ask(plain_ask("poisson-ratio"))],
            vec![duty.ask(plain_ask("thermal-expansion"))],
        ]
    }

    /// Needs of [`Sleeve::holding`], in its order.
    fn holding_needs(
        &self,
        surface: &str,
        moisture: Moisture,
        at_c: f64,
        age: Age,
        duty: &mut Duty,
    ) -> Vec<Vec<usize>> {
        if self.holds_nothing() {
            return Vec::new();
        }
        let wanted = |p| Ask::room(p).moist(moisture);
        let mut needs = vec![vec![
            duty.ask(wanted("static-friction").at(at_c).on(surface)),
        ]];
        if let Age::Old { hot_c, life_h } = age {
            needs.push(vec![
                duty.ask(wanted("force-retained").at(hot_c).after(life_h)),
            ]);
        }
        if self.interferes() {
            needs.extend(self.elastic_needs(moisture, at_c, duty));
        }
        needs
    }

    /// Pull or torque that friction and collar hold at a temperature.
    fn holding(self, at_c: f64, age: Age, read: Read) -> Performance {
        Performance::new(move |i, t| {
            let fit = self.fit;
            if self.holds_nothing() {
                let gap = fit.bore_mm - fit.bar_mm;
                t.step("G2", "clearance: nothing presses on the bar", gap, "mm");
                return t.step("G5", "pull-off force", 0.0, "N");
            }
            let mut figures = i.x.iter().copied();
            let mut next = || figures.next().unwrap_or(f64::NAN);
            let friction = t.step("G5", "static friction on the bar", next(), "1");
            let kept = match age {
                Age::New => 1.0,
                Age::Old { .. } => next().clamp(0.0, 1.0),
            };
            let mut new_n = 0.0;
            if self.interferes() {
                let elastic = elastic([next(), next(), next()]);
                let left = fit.interference_mm(at_c, elastic.expansion, t);
                let squeeze = fit.squeeze(left, elastic, t);
                let p = t.step("G5", "contact pressure", squeeze.pressure_mpa, "MPa");
                new_n = t.step(
                    "G5",
                    "pull held by the squeeze",
                    fit.held_n(friction, p),
                    "N",
                );
            }
            if let Some(screw_n) = self.collar_n {
                let collar = fit.collar_nm(friction, screw_n, t) / fit.torque_nm(1.0);
                new_n += t.step("G9", "pull held by the collar", collar, "N");
            }
            t.step("G5", "pull held when new", new_n, "N");
            t.step("G5", "torque held when new", fit.torque_nm(new_n), "N.m");
            let mut left_n = new_n;
            if age != Age::New {
                t.step("G8", KEPT, kept, "1");
                left_n = t.step("G8", "pull held at the end of the life", kept * new_n, "N");
            }
            match read {
                Read::Pull => left_n,
                Read::Torque => t.step(
                    "G5",
                    "torque held at the end of the life",
                    fit.torque_nm(left_n),
                    "N.m",
                ),
            }
        })
    }

    /// Break strain over hoop strain at a temperature.
    fn strain_reserve(self, at_c: f64) -> Performance {
        Performance::new(move |i, t| {
            let [breaks, expansion] = *i.x else {
                return f64::NAN;
            };
            let left = self.fit.interference_mm(at_c, expansion, t);
            let strain = 100.0 * self.fit.hoop_strain(left, t);
            t.step("G1", "hoop strain", strain, "%");
            t.step("G1", "strain at break", breaks, "%");
            t.step(
                "G1",
                "strain at break over hoop strain",
                breaks / strain,
                "1",
            )
        })
    }

    /// Sustained strength over the hoop stress that is left at the end of the life.
    fn stress_reserve(self, at_c: f64) -> Performance {
        Performance::new(move |i, t| {
            let [carries, kept, modulus, poisson, expansion] = *i.x else {
                return f64::NAN;
            };
            let elastic = elastic([modulus, poisson, expansion]);
            let left = self.fit.interference_mm(at_c, expansion, t);
            let squeeze = self.fit.squeeze(left, elastic, t);
            let hoop = t.step("G3", "hoop stress when new", squeeze.hoop_mpa, "MPa");
            t.step("G8", KEPT, kept, "1");
            let lasting = t.step("G8", "hoop stress that lasts", kept * hoop, "MPa");
            t.step("G3", "stress carried for the life", carries, "MPa");
            t.step(
                "G3",
                "stress carried over hoop stress",
                carries / lasting,
                "1",
            )
        })
    }

    /// Glued: shear stress that the sleeve's own wall carries beside the glue, MPa.
    fn wall_shear() -> Performance {
        Performance::new(shear_carried)
    }

    /// Shear on the glue line, MPa, of a pull and a torque together.
    fn bond_shear_mpa(&self, pull_n: f64, twist_nm: f64) -> f64 {
        let area = std::f64::consts::PI * self.fit.bore_mm * self.fit.length_mm;
        let turning_n = twist_nm * 1e3 / (self.fit.bore_mm / 2.0);
        pull_n.hypot(turning_n) / area
    }
}

/// Shear strength from tensile strength: strength/sqrt(3) (von Mises; derived for a ductile,
/// even material, so asked across the layers).
fn shear_carried(i: Inputs<'_>, t: &mut Trace) -> f64 {
    let [strength] = *i.x else { return f64::NAN };
    t.step("B1", "strength across the layers", strength, "MPa");
    t.step(
        "B1",
        "shear that the wall carries",
        strength / 3.0_f64.sqrt(),
        "MPa",
    )
}

fn elastic([modulus_mpa, poisson, expansion]: [f64; 3]) -> Elastic {
    Elastic {
        modulus_mpa,
        poisson,
        expansion,
    }
}

const KEPT: &str = "share of the force kept: a squeeze test's, until a ring is held stretched";

const HOLD_SOURCE: &str = "G1 to G5, G7, G8: thin and thick rings on a rigid bar, neo-Hookean stretch, friction and expansion (derived from mechanics; the press-fit form verified in source)";

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
        let factor = setting.factor(class);
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
                .chain(twist_nm.map(|m| Deed::new("hold", m, "N.m", "about it")))
                .collect(),
        });

        if sleeve.fixing == Fixing::Glue {
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
                        source: HOLD_SOURCE,
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
                sleeve.stretched(end, hot_c, setting, duty, class);
            }
        }
        let heat = usual::heat_margin(setting, duty, HEAT_MARGIN_K, class);
        duty.limits.push(heat);
        self.aims(&sleeve, setting, duty, (pull_n, twist_nm));
        Ok(())
    }

    fn levers(&self) -> Vec<Lever> {
        let lever = |name, kind, value, unit| Lever {
            name,
            kind,
            value,
            unit,
        };
        let mut levers = Vec::new();
        levers.extend(self.pull.map(|f| lever("pull", LeverKind::Load, f.0, "N")));
        levers.extend(
            self.twist
                .map(|m| lever("twist", LeverKind::Load, m.0, "N.m")),
        );
        levers.push(lever(
            "outer_diameter",
            LeverKind::Thickness,
            self.outer_diameter.0,
            "mm",
        ));
        levers.push(lever("length", LeverKind::Thickness, self.length.0, "mm"));
        levers
    }

    fn with_lever(&self, name: &str, value: f64) -> Option<Box<dyn Part>> {
        let mut other = self.clone();
        match name {
            "pull" => other.pull = Some(Force(value)),
            "twist" => other.twist = Some(Torque(value)),
            "outer_diameter" => other.outer_diameter = Length(value),
            "length" => other.length = Length(value),
            _ => return None,
        }
        Some(Box::new(other))
    }

    fn inputs(&self) -> serde_json::Value {
        serde_json::to_value(self).unwrap_or_default()
    }

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

impl Sleeve {
    /// How it lets go, in a few words.
    fn slips(&self, read: Read) -> &'static str {
        match (self.holds_nothing(), read) {
            (true, _) => "fits with clearance and holds 0 N by friction",
            (false, Read::Pull) => "slides off the bar",
            (false, Read::Torque) => "turns on the bar",
        }
    }

    /// The limits of a sleeve that is smaller than its bar.
    fn stretched(&self, end: End, hot_c: f64, setting: &Setting, duty: &mut Duty, class: Class) {
        let at_c = end.temperature_c;
        let breaks = duty.ask(ask(setting, "break-strain", at_c).lying(self.hoop));
        let expansion = duty.ask(plain_ask("thermal-expansion"));
        duty.limits.push(Limit {
            id: end.id("hoop-strain"),
            title: "strain at break over the stretch on the bar".to_owned(),
            failure: "splits when stretched over the bar",
            class,
            sense: LimitSense::AtLeast(STRAIN_RESERVE),
            unit: "1".to_owned(),
            needs: vec![vec![breaks], vec![expansion]],
            performance: self.strain_reserve(at_c),
            source: "G1, G7: interference over bore (derived from mechanics); twice the stretch is ours",
        });
        let carries = duty.ask(
            ask(setting, "sustained-strength", at_c)
                .lying(self.hoop)
                .after(setting.life_h),
        );
        let kept = duty.ask(ask(setting, "force-retained", hot_c).after(setting.life_h));
        let mut needs = vec![vec![carries], vec![kept]];
        needs.extend(self.elastic_needs(setting.moisture, at_c, duty));
        duty.limits.push(Limit {
            id: end.id("hoop-stress"),
            title: "stress carried for the life over the hoop stress".to_owned(),
            failure: "splits under the lasting hoop stress",
            class,
            sense: LimitSense::AtLeast(1.0),
            unit: "1".to_owned(),
            needs,
            performance: self.stress_reserve(at_c),
            source: "G1 to G4, G7, G8: hoop stress at the bore, relaxed as the force is (derived from mechanics)",
        });
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
        let hold = if sleeve.fixing == Fixing::Glue {
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
            let turning = twist_nm.map_or(0.0, |m| m / sleeve.fit.torque_nm(1.0));
            let surface = self.surface(setting);
            let needs = sleeve.holding_needs(&surface, setting.moisture, hot_c, old, duty);
            usual::aim(
                "hold",
                "N",
                scale(pull_n.unwrap_or(0.0).max(turning)),
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
        duty.preference = Some(Preference::Points(
            [
                ("hold", 35.0),
                ("touch", 30.0),
                ("heat-reserve", 10.0),
                ("easy-print", 10.0),
                ("cost", 15.0),
            ]
            .into_iter()
            .map(|(k, v)| (k.to_owned(), v))
            .collect(),
        ));
    }
}

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "handle-sleeve",
    title: "a sleeve on a round bar: handle, grip, tool sleeve",
    read: read_inputs::<HandleSleeve>,
    schema: || schemars::schema_for!(HandleSleeve),
    example: EXAMPLE,
    formulas: FORMULAS,
    limits: &[
        ("pull-off", "N"),
        ("twist", "N.m"),
        ("freezing-pull", "N"),
        ("hot-water-pull", "N"),
        ("bond-shear", "MPa"),
        ("hoop-strain", "1"),
        ("hoop-stress", "1"),
        ("heat-margin", "K"),
    ],
};

const EXAMPLE: &str = r#"{
  "format": "dutyfit.case/1",
  "title": "Worked example: sleeve on a tubular handle",
  "part": "handle-sleeve",
  "inputs": {
    "bar_diameter": "25 mm",
    "bore": "24.2 mm",
    "outer_diameter": "33 mm",
    "length": "110 mm",
    "fixing": "friction",
    "pull": "80 N",
    "twist": "1.5 N.m",
    "bar": "steel",
    "fitted_at": "23 degC"
  },
  "surroundings": { "temperature": "10..35 degC", "moisture": "room", "counterface": "steel-painted" },
  "life": "1 year",
  "lies": "upright",
  "harm": { "hurts": "nobody", "damages": "a load that is dropped", "replaceable": true },
  "class": "damage",
  "assumed": ["bar_diameter", "bore", "outer_diameter", "length", "fixing", "pull", "twist", "bar", "fitted_at", "temperature", "moisture", "counterface", "life", "lies", "harm", "class"]
}
"#;

const HOLD_FORMULA: &str = "F = R mu p pi d L, T = F d/2, R the force kept at fixed squeeze; thin wall p = E (delta/D_b) w/(d/2); thick p = E (delta/d)/(C + nu), C = (D_o^2 + d^2)/(D_o^2 - d^2); from 9.5 % stretch sigma = (E/3)(l^2 - 1/l), w/sqrt(l), the lower of both; delta(T) = delta + d (a_bar - a_sleeve)(T - T_fit), never below 0; an end collar adds half of pi mu S d";
const HOLD_VALIDITY: &str = "thin up to w/d 0.05; stretch up to 1.3, refused beyond; rigid bar; edges and taper ignored; relaxation from compression, until a ring-stretch test exists";

const FORMULAS: &[FormulaDoc] = &[
    FormulaDoc {
        limit: "pull-off",
        formula: HOLD_FORMULA,
        validity: HOLD_VALIDITY,
        source: HOLD_SOURCE,
    },
    FormulaDoc {
        limit: "twist",
        formula: HOLD_FORMULA,
        validity: HOLD_VALIDITY,
        source: HOLD_SOURCE,
    },
    FormulaDoc {
        limit: "freezing-pull",
        formula: "as pull-off, new, wet, at -5 degC, at least 70 N",
        validity: "a cycle's grip; a sum is not the test, and the test gives no torque",
        source: "ISO 4210-5 summary: 70 N (verified in source); -5 degC from memory, not verified",
    },
    FormulaDoc {
        limit: "hot-water-pull",
        formula: "as pull-off, new, wet, at 60 degC, at least 100 N",
        validity: "a cycle's grip; a sum is not the test, and the test gives no torque",
        source: "ISO 4210-5 summary: 1 h at 60 degC, then 100 N for 1 min (verified in source)",
    },
    FormulaDoc {
        limit: "bond-shear",
        formula: "tau = sqrt(F^2 + (2 T/D_b)^2)/(pi D_b L) against strength across the layers/sqrt(3)",
        validity: "glued over the whole contact; the glue itself is not judged",
        source: "von Mises (derived from mechanics)",
    },
    FormulaDoc {
        limit: "hoop-strain",
        formula: "strain at break over delta/D_b, at least 2",
        validity: "strain of the bore; in the layers where it stands on the bed, else across",
        source: "G1, G7: derived from mechanics; the factor of 2 is ours, no source",
    },
    FormulaDoc {
        limit: "hoop-stress",
        formula: "stress carried for the life over R sigma; thin sigma = E delta/D_b; thick sigma = p C with E/(1 - nu^2) and nu/(1 - nu), held from shortening; from 9.5 % stretch the neo-Hookean one, the higher of both",
        validity: "as pull-off; the stress relaxes as the force at fixed squeeze does",
        source: "G1 to G4, G7, G8: derived from mechanics",
    },
    FormulaDoc {
        limit: "heat-margin",
        formula: "softening onset - hottest moment of service or storage, at least 20 K",
        validity: "onset at the bench load, not a limit to design to",
        source: usual::HEAT_SOURCE,
    },
];
