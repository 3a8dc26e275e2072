//! The small-gear part kind: a spur gear that runs in a small drive.
//!
//! A tooth is judged as a beam at its root: against the stress that it bears so often, against one
//! hard start, by how far it bends into its neighbour's way, by wear and by the heat of the mesh.

mod docs;
mod inputs;

use self::inputs::{Gear, SmallGear};
use crate::duty::mechanics::bent::{Bent, strength};
use crate::duty::mechanics::fatigue::left_after;
use crate::duty::mechanics::gear::{barth, flank_wear_mm, root_stress_mpa, tip_deflection_mm};
use crate::duty::mechanics::layers::Layers;
use crate::duty::mechanics::pushed::pushed;
use crate::duty::mechanics::rubbing::{HEAT_MARGIN_K, fast_rotation};
use crate::duty::mechanics::surroundings::{End, ask, ends, plain_ask, usual_end};
use crate::duty::mechanics::usual;
use crate::duty::part::read_inputs;
use crate::duty::{
    Deed, Duty, LiesOnBed, Limit, LimitSense, Lying, Part, PartKind, Performance, Promise, Setting,
    Trace, ValueScale,
};
use crate::policy::Class;
use crate::problem::Fault;
use crate::property::Lies;
use crate::quantity::{Length, Torque};

/// Modulus of teeth that ring as loudly as is just acceptable, and from which softer gives nothing,
/// MPa (ours: that softer teeth run more quietly is common practice, no source).
const QUIET_MPA: (f64, f64) = (8000.0, 800.0);
/// How far a tooth's tip may bend, as a share of the module (a guideline for plastic gears gives
/// 0.07 to 0.1; from memory, not verified).
const TIP_SHARE: f64 = 0.07;
/// Multiple of the life from which longer wear gives nothing (ours).
const WEAR_LIFE_ENOUGH: f64 = 10.0;

/// Teeth that lie in the layers bend along them; standing ones have a seam at the root.
const TEETH: Layers = Layers {
    flat: Lies::InPlane,
    edge: Lies::Across,
    upright: Lies::Across,
};
const LYING: Lying = Lying {
    flat: "lying flat, the teeth in the plane of the layers",
    edge: "standing on its rim, some teeth with a seam at the root",
    upright: "standing on its rim, some teeth with a seam at the root",
    // Nobody prints a gear standing who has the choice: teeth shear off along a seam.
    open: LiesOnBed::Flat,
};

impl Gear {
    /// K1: force on a tooth of a torque, N, and the stress at its root, MPa, standing still.
    fn root(&self, torque_nm: f64, t: &mut Trace) -> f64 {
        t.step("K1", "torque on the gear", torque_nm, "N.m");
        t.step("K1", "diameter of the pitch circle", self.pitch_mm(), "mm");
        let tooth_n = t.step("K1", "force on a tooth", self.tooth_n(torque_nm), "N");
        t.step("K1", "module", self.module_mm, "mm");
        t.step("K1", "width that carries", self.face_mm, "mm");
        t.step("K1", "form factor", self.form, "1");
        t.step(
            "K1",
            "form factor by the short formula, for comparison",
            self.short_form,
            "1",
        );
        let stress = root_stress_mpa(tooth_n, self.face_mm, self.module_mm, self.form);
        t.step("K1", "stress at the root, standing", stress, "MPa")
    }

    /// K1, K2: stress at the root of a running gear, MPa.
    fn running(&self, torque_nm: f64, t: &mut Trace) -> f64 {
        let standing = self.root(torque_nm, t);
        let v = t.step("K2", "speed at the pitch circle", self.speed_m_s(), "m/s");
        let factor = t.step("K2", "Barth's factor", barth(v, self.barth_m_s), "1");
        t.step(
            "K2",
            "stress at the root, running",
            factor * standing,
            "MPa",
        )
    }

    /// Stress that a root bears as often as it is loaded over the life, MPa.
    fn outlasts(&self, torque_nm: f64) -> Performance {
        let gear = self.clone();
        Performance::new(move |i, t| {
            let [_, _, share] = *i.x else {
                return f64::NAN;
            };
            gear.running(torque_nm, t);
            let strength = strength(i, t);
            left_after(gear.cycles, (strength, "MPa"), share, t)
        })
    }

    /// Stress that a root bears once, MPa.
    fn survives(&self, torque_nm: f64) -> Performance {
        let gear = self.clone();
        Performance::new(move |i, t| {
            gear.root(torque_nm, t);
            strength(i, t)
        })
    }

    /// Stress that a root carries for the life, MPa.
    fn holds(&self, torque_nm: f64) -> Performance {
        let gear = self.clone();
        Performance::new(move |i, t| {
            let [carried] = *i.x else { return f64::NAN };
            gear.root(torque_nm, t);
            t.step("K1", "stress carried for the life", carried, "MPa")
        })
    }

    fn bends(&self, torque_nm: f64) -> Performance {
        let gear = self.clone();
        Performance::new(move |i, t| {
            let [modulus] = *i.x else { return f64::NAN };
            let tooth_n = t.step("K1", "force on a tooth", gear.tooth_n(torque_nm), "N");
            t.step("K1", "width that carries", gear.face_mm, "mm");
            t.step("K12", "modulus of the teeth", modulus, "MPa");
            let bent = tip_deflection_mm(tooth_n, gear.face_mm, modulus, gear.mate_gives);
            t.step("K12", "tip bent by", bent, "mm")
        })
    }

    /// Deepest wear of the flanks, mm, and the life until the allowed one, h.
    fn wear(&self, wear_rate: f64, torque_nm: f64, t: &mut Trace) -> (f64, f64) {
        t.step("A1", "specific wear rate", wear_rate, "mm3/(N.m)");
        t.step("K11", "turns over the life", self.cycles, "turns");
        let work = self.work_nm(torque_nm);
        t.step("K11", "work passed on over the life", work, "N.m");
        let sliding = t.step(
            "K10",
            "speed of sliding over the pitch circle's",
            self.sliding,
            "1",
        );
        let size = (self.teeth, self.face_mm, self.module_mm);
        let worn = flank_wear_mm(work, sliding, wear_rate, size);
        t.step("K11", "deepest wear of the flanks", worn, "mm");
        let life = self.life_h * self.allowed_mm / worn;
        (worn, t.step("A2", "life until the allowed wear", life, "h"))
    }

    fn worn(&self, torque_nm: f64) -> Performance {
        let gear = self.clone();
        Performance::new(move |i, t| {
            let [k] = *i.x else { return f64::NAN };
            gear.wear(k, torque_nm, t).0
        })
    }

    fn wear_life(&self, torque_nm: f64) -> Performance {
        let gear = self.clone();
        Performance::new(move |i, t| {
            let [k] = *i.x else { return f64::NAN };
            gear.wear(k, torque_nm, t).1
        })
    }

    /// Margin below softening with the mesh's own heat, or in storage without it, K.
    fn heat_margin(&self, torque_nm: f64, setting: &Setting) -> Performance {
        let gear = self.clone();
        let (service_c, storage_c) = (setting.temperature_c.1, setting.hottest_c());
        Performance::new(move |i, t| {
            let [friction, onset] = *i.x else {
                return f64::NAN;
            };
            t.step("A10", "kinetic friction", friction, "1");
            t.step(
                "K10",
                "speed of sliding over the pitch circle's",
                gear.sliding,
                "1",
            );
            t.step("A10", "meshes that warm it", gear.meshes, "1");
            let heat = gear.heat_w(torque_nm, friction);
            t.step("A10", "heat of the mesh over a busy spell", heat, "W");
            t.step(
                "A10",
                "thermal resistance to the surroundings",
                gear.resistance_k_w,
                "K/W",
            );
            let rise = t.step("A10", "rise by friction", heat * gear.resistance_k_w, "K");
            let tooth = t.step("A10", "temperature of the teeth", service_c + rise, "degC");
            t.step("D2", "softening onset", onset, "degC");
            let hottest = if tooth < storage_c { storage_c } else { tooth };
            t.step("D2", "hottest moment", hottest, "degC");
            t.step("D2", "margin", onset - hottest, "K")
        })
    }

    /// The limits that are judged at an end of the temperature range.
    fn limits_at(
        &self,
        end: End,
        setting: &Setting,
        duty: &mut Duty,
        (class, factor): (Class, f64),
    ) {
        let lies = TEETH.of(setting, LYING);
        let hot = end
            .temperature_c
            .total_cmp(&setting.temperature_c.1)
            .is_eq();
        let torque_nm = self.torque_nm * factor;
        // The teeth are warmer than the air they run in; in the cold they start cold.
        let tooth_c = end.temperature_c + if hot { self.warmer_k(torque_nm) } else { 0.0 };
        let tooth = Bent {
            setting,
            at_c: tooth_c,
            lies,
        };
        let [once, other] = tooth.strength_needs(duty);
        let share = duty.ask(plain_ask("fatigue-share"));
        let mut push = |id, title: &str, failure, sense, unit: &str, needs, performance, source| {
            duty.limits.push(Limit {
                id: end.id(id),
                title: title.to_owned(),
                failure,
                class,
                sense,
                unit: unit.to_owned(),
                needs,
                performance,
                source,
            });
        };
        let mut silent = Trace::off();
        push(
            "tooth-fatigue",
            "stress that the roots bear so often",
            "sheds teeth after many turns",
            LimitSense::AtLeast(self.running(torque_nm, &mut silent)),
            "MPa",
            vec![once.clone(), other.clone(), vec![share]],
            self.outlasts(torque_nm),
            "K1: Lewis with a published table and example (verified in source); K2 Barth (from memory, not verified); D7 between one load and ten million (the lower line; the choice ours)",
        );
        push(
            "tooth-shock",
            "stress that the roots bear once",
            "breaks a tooth at a hard start",
            LimitSense::AtLeast(self.root(self.peak_nm * factor, &mut silent)),
            "MPa",
            vec![once, other],
            self.survives(self.peak_nm * factor),
            "K1: Lewis, one pair in contact, load at the tip (verified in source)",
        );
        if let Some(holding_nm) = self.holding_nm {
            let carried = tooth.held_needs(duty);
            let mut trace = Trace::off();
            duty.limits.push(Limit {
                id: end.id("tooth-holding"),
                title: "stress that the roots carry for the life".to_owned(),
                failure: "lets a tooth creep away under a standing load",
                class,
                sense: LimitSense::AtLeast(self.root(holding_nm * factor, &mut trace)),
                unit: "MPa".to_owned(),
                needs: vec![carried],
                performance: self.holds(holding_nm * factor),
                source: "K1: Lewis (verified in source), against what is carried for the life",
            });
        }
        let modulus = tooth.stiffness_needs(duty);
        duty.limits.push(Limit {
            id: end.id("tooth-bending"),
            title: "tip of a tooth bent by".to_owned(),
            failure: "bends at the teeth until they clash",
            class,
            sense: LimitSense::AtMost(TIP_SHARE * self.module_mm),
            unit: "mm".to_owned(),
            needs: vec![modulus],
            performance: self.bends(torque_nm),
            source: "K12: a guideline for plastic gears, at most 0.07 of the module (from memory, not verified)",
        });
        let rate = ask(setting, "wear-rate", end.temperature_c).on(self.surface.clone());
        let rate = duty.ask(rate);
        duty.limits.push(Limit {
            id: end.id("tooth-wear"),
            title: "deepest wear of the flanks".to_owned(),
            failure: "wears thin at the teeth",
            class,
            sense: LimitSense::AtMost(self.allowed_mm),
            unit: "mm".to_owned(),
            needs: vec![vec![rate]],
            performance: self.worn(torque_nm),
            source: "K10, K11: Archard's law (verified in source) over the flanks' own sliding (derived from mechanics)",
        });
    }

    fn heat_needs(&self, setting: &Setting, duty: &mut Duty) -> Vec<Vec<usize>> {
        let hot_c = setting.temperature_c.1;
        let friction = ask(setting, "kinetic-friction", hot_c).on(self.surface.clone());
        vec![
            vec![duty.ask(friction)],
            vec![duty.ask(plain_ask("softening-onset").moist(setting.moisture))],
        ]
    }
}

impl Part for SmallGear {
    fn kind(&self) -> &'static str {
        "small-gear"
    }

    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let gear = self.gear(setting)?;
        self.note_defaults(&gear, setting, duty);
        let class = setting.class_of(Class::Damage);
        let factor = usual::loads_factor(setting, class, duty);
        for end in ends(setting) {
            gear.limits_at(end, setting, duty, (class, factor));
        }
        let torque_nm = gear.torque_nm * factor;
        let needs = gear.heat_needs(setting, duty);
        duty.limits.push(Limit {
            id: "heat-margin".to_owned(),
            title: "margin below softening while running".to_owned(),
            failure: "softens in the heat of the mesh",
            class,
            sense: LimitSense::AtLeast(HEAT_MARGIN_K),
            unit: "K".to_owned(),
            needs: needs.clone(),
            performance: gear.heat_margin(torque_nm, setting),
            source: "A10, K10: friction x tooth force x sliding speed x thermal resistance (derived from mechanics); the margin is common practice, no source",
        });
        duty.promise = Some(Promise {
            parts: "gears",
            deeds: vec![
                Deed::new("pass on", torque_nm, Torque::UNIT, ""),
                Deed::new("wear at most", gear.allowed_mm, Length::UNIT, ""),
            ],
        });

        let room = usual_end(setting);
        let modulus = Bent {
            setting,
            at_c: room.temperature_c,
            lies: TEETH.of(setting, LYING),
        }
        .stiffness_needs(duty);
        let quiet = usual::aim(
            "quiet-mesh",
            "MPa",
            ValueScale {
                zero: QUIET_MPA.0,
                one: QUIET_MPA.1,
                log: true,
            },
            vec![modulus],
            Performance::new(|i, t| match *i.x {
                [modulus] => t.step("", "modulus of the teeth", modulus, "MPa"),
                _ => f64::NAN,
            }),
        );
        let hot_c = setting.temperature_c.1;
        let rate = ask(setting, "wear-rate", hot_c).on(gear.surface.clone());
        let wear = usual::aim(
            "wear-life",
            "h",
            ValueScale {
                zero: gear.life_h,
                one: WEAR_LIFE_ENOUGH * gear.life_h,
                log: true,
            },
            vec![vec![duty.ask(rate)]],
            gear.wear_life(torque_nm),
        );
        let reserve =
            usual::reserve_aim(HEAT_MARGIN_K, needs, gear.heat_margin(torque_nm, setting));
        let volume = gear.volume_mm3() * f64::from(self.gears.unwrap_or(1));
        let aims = [
            wear,
            quiet,
            reserve,
            usual::easy_print(duty),
            usual::cost(duty, volume),
            usual::weight(duty, volume),
        ];
        duty.aims.extend(aims);
        duty.preference = usual::points(&[
            ("wear-life", 40.0),
            ("quiet-mesh", 20.0),
            ("heat-reserve", 15.0),
            ("easy-print", 10.0),
            ("cost", 15.0),
        ]);
        Ok(())
    }

    pushed!(
        Load torque,
        Load peak_torque,
        Load holding_torque,
        Thickness face,
        Thickness module,
    );

    fn words(&self) -> Vec<String> {
        vec![self.note.clone()]
    }

    fn cautions(&self, _: &Setting) -> Vec<(&'static str, String)> {
        fast_rotation("rim speed", self.speed_m_s())
    }
}

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "small-gear",
    title: "a small spur gear",
    read: read_inputs::<SmallGear>,
    schema: || schemars::schema_for!(SmallGear),
    example: docs::EXAMPLE,
    formulas: docs::FORMULAS,
    limits: &[
        ("tooth-fatigue", "MPa"),
        ("tooth-shock", "MPa"),
        ("tooth-holding", "MPa"),
        ("tooth-bending", "mm"),
        ("tooth-wear", "mm"),
        ("heat-margin", "K"),
    ],
    lying: Some(LYING),
};
