//! The wheel-tyre part kind: a tyre on a small wheel pushed by hand, or a roller.
//!
//! It must carry without being crushed turn by turn, stand without a flat spot, stay on its rim,
//! wear slowly and stay cool. What people ride on is out of scope.

mod docs;
mod inputs;
mod rolls;

use self::inputs::WheelTyre;
use self::rolls::Tyre;
use crate::duty::mechanics::held::{Age, Read, Sleeve};
use crate::duty::mechanics::pad::carried_needs;
use crate::duty::mechanics::pushed::pushed;
use crate::duty::mechanics::surroundings::{End, ask, ends, plain_ask, usual_end};
use crate::duty::mechanics::usual;
use crate::duty::part::read_inputs;
use crate::duty::{
    Deed, Duty, Limit, LimitSense, Part, PartKind, Performance, Promise, Setting, ValueScale,
};
use crate::num::shape::ring_area_mm2;
use crate::policy::Class;
use crate::problem::Fault;
use crate::quantity::{Force, Length};

/// Margin below the softening onset, K: the low end of common practice for lasting loads (no source).
const HEAT_MARGIN_K: f64 = 20.0;
/// Rolling resistance over the load that is just acceptable, and below which less gives nothing:
/// a soft tyre on carpet, and a hard wheel on steel (ours, no source).
const ROLLING_SCALE: (f64, f64) = (0.05, 0.005);

impl Part for WheelTyre {
    fn kind(&self) -> &'static str {
        "wheel-tyre"
    }

    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let class = setting.class_of(Class::Damage);
        let factor = usual::loads_factor(setting, class, duty);
        let tyre = self.settle(setting, factor)?;
        self.note_defaults(&tyre, duty);
        for end in ends(setting) {
            tyre.stand(end, setting, class, duty);
            tyre.roll(end, setting, class, duty);
            if let Some(held) = tyre.held {
                tyre.hold(held, self.rim_surface(), end, setting, class, duty);
            }
        }
        let hot_c = setting.temperature_c.1;
        let mut needs = tyre.rolling_needs(hot_c, setting, duty);
        needs.push(vec![
            duty.ask(plain_ask("softening-onset").moist(setting.moisture)),
        ]);
        let hottest_c = setting.hottest_c();
        duty.limits.push(Limit {
            id: "heat-margin".to_owned(),
            title: "margin below softening while it rolls".to_owned(),
            failure: "softens in the heat of rolling",
            class,
            sense: LimitSense::AtLeast(HEAT_MARGIN_K),
            unit: "K".to_owned(),
            needs: needs.clone(),
            performance: tyre.heat(hottest_c),
            source: "R1, R3, R5: rolling resistance times load and speed over the film of air (R3 from memory, not verified; the rest derived); the margin is common practice, no source",
        });
        duty.promise = Some(Promise {
            parts: "tyres",
            deeds: vec![
                Deed::new("carry", tyre.load_n, Force::UNIT, "each"),
                Deed::new("sink at most", tyre.sag_mm, Length::UNIT, ""),
            ],
        });
        let rolling = tyre.rolling_needs(usual_end(setting).temperature_c, setting, duty);
        let easy = usual::aim(
            "easy-rolling",
            "1",
            ValueScale {
                zero: ROLLING_SCALE.0,
                one: ROLLING_SCALE.1,
                log: true,
            },
            rolling,
            tyre.rolling(),
        );
        let inner = 2.0 * (tyre.radius_mm - tyre.tread_mm);
        let volume = ring_area_mm2(2.0 * tyre.radius_mm, inner) * tyre.width_mm;
        let aims = [
            easy,
            usual::reserve_aim(HEAT_MARGIN_K, needs, tyre.heat(hottest_c)),
            usual::easy_print(duty),
            usual::cost(duty, volume),
            usual::weight(duty, volume),
        ];
        duty.aims.extend(aims);
        duty.preference = usual::points(&[
            ("easy-rolling", 45.0),
            ("heat-reserve", 15.0),
            ("easy-print", 20.0),
            ("cost", 20.0),
        ]);
        Ok(())
    }

    pushed!(
        Load load,
        Load traction,
        Load speed,
        Thickness width,
        Thickness thickness,
    );

    fn words(&self) -> Vec<String> {
        [&self.under, &self.note]
            .into_iter()
            .filter(|w| !w.is_empty())
            .cloned()
            .collect()
    }

    fn cautions(&self, _: &Setting) -> Vec<(&'static str, String)> {
        self.scope()
    }
}

impl Tyre {
    /// Rebound, modulus and Poisson's ratio at a temperature.
    fn rolling_needs(&self, at_c: f64, setting: &Setting, duty: &mut Duty) -> Vec<Vec<usize>> {
        let mut needs = vec![vec![duty.ask(ask(setting, "rebound", at_c))]];
        needs.extend(self.contact_needs(at_c, setting, duty));
        needs
    }

    fn contact_needs(&self, at_c: f64, setting: &Setting, duty: &mut Duty) -> Vec<Vec<usize>> {
        vec![
            duty.need_or(
                ask(setting, "compression-modulus", at_c),
                ask(setting, "tensile-modulus", at_c),
            ),
            vec![duty.ask(plain_ask("poisson-ratio"))],
        ]
    }

    fn stand(self, end: End, setting: &Setting, class: Class, duty: &mut Duty) {
        let at_c = end.temperature_c;
        let at_life = |p| ask(setting, p, at_c).after(self.stands_h);
        let creep = duty.ask(at_life("creep-modulus"));
        let new = duty.ask(ask(setting, "compression-modulus", at_c));
        let kept = duty.ask(at_life("force-retained"));
        let needs = vec![vec![creep, new], vec![creep, kept]];
        let mut with_set = needs.clone();
        with_set.push(vec![duty.ask(ask(setting, "compression-set", at_c))]);
        let mut push =
            |id: &str, title: &str, failure, most, needs, performance: Performance, source| {
                duty.limits.push(Limit {
                    id: end.id(id),
                    title: title.to_owned(),
                    failure,
                    class,
                    sense: LimitSense::AtMost(most),
                    unit: "mm".to_owned(),
                    needs,
                    performance,
                    source,
                });
            };
        push(
            "sag",
            "how far it sinks while it stands",
            "sinks too far under the load",
            self.sag_mm,
            needs,
            self.sag(),
            "R2, F10: tread as springs side by side (derived), with the creep modulus, or the modulus when new times the share of force kept (quasi-elastic, derived)",
        );
        push(
            "flat-spot",
            "flat spot that stays after standing",
            "takes a flat spot",
            self.flat_mm,
            with_set,
            self.flat_spot(),
            "R2, R4: compression set times the sag (derived); a set taken warm and long is the worse",
        );
    }

    fn roll(self, end: End, setting: &Setting, class: Class, duty: &mut Duty) {
        let at_c = end.temperature_c;
        let mut needs = self.contact_needs(at_c, setting, duty);
        needs.push(carried_needs(setting, at_c, duty));
        needs.push(vec![duty.ask(plain_ask("fatigue-share"))]);
        duty.limits.push(Limit {
            id: end.id("crushing"),
            title: "pressure borne over the pressure on the floor".to_owned(),
            failure: "is crushed or flakes under the rolling load",
            class,
            sense: LimitSense::AtLeast(1.0),
            unit: "1".to_owned(),
            needs,
            performance: self.crushing(),
            source: "R1 Hertz line contact (from memory, not verified) or R2 tread as springs (derived), the higher; D7 what is left of the pressure borne after all turns (the share from memory, not verified)",
        });
        let floor = setting.counterface.clone().unwrap_or_default();
        let rate = duty.ask(ask(setting, "wear-rate", at_c).on(floor));
        duty.limits.push(Limit {
            id: end.id("wear"),
            title: "depth worn from the tread".to_owned(),
            failure: "wears through",
            class,
            sense: LimitSense::AtMost(self.wear_mm),
            unit: "mm".to_owned(),
            needs: vec![vec![rate]],
            performance: self.wear(),
            source: "A1: Archard over the share of the way that slides (verified in source; the share is ours); grit on the floor is not judged",
        });
    }

    fn hold(
        &self,
        held: Sleeve,
        rim: &str,
        end: End,
        setting: &Setting,
        class: Class,
        duty: &mut Duty,
    ) {
        let at_c = end.temperature_c;
        let old = Age::Old {
            hot_c: setting.temperature_c.1,
            life_h: setting.life_h,
        };
        let needs = held.holding_needs(rim, setting.moisture, at_c, old, duty);
        duty.limits.push(Limit {
            id: end.id("rim-hold"),
            title: "torque held on the rim after the life".to_owned(),
            failure: "turns on its rim",
            class,
            sense: LimitSense::AtLeast(self.traction_n * self.radius_mm * 1e-3),
            unit: "N.m".to_owned(),
            needs,
            performance: held.holding(at_c, old, Read::Torque),
            source: "G1 to G5, G7, G8: stretched ring on a rigid rim, friction and relaxation (derived from mechanics); the floor's push is left out, which is the worse",
        });
        held.stretched(end, 1.0, setting, duty, class);
    }
}

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "wheel-tyre",
    title: "a tyre on a small wheel pushed by hand, or a roller",
    read: read_inputs::<WheelTyre>,
    schema: || schemars::schema_for!(WheelTyre),
    example: docs::EXAMPLE,
    formulas: docs::FORMULAS,
    limits: &[
        ("sag", "mm"),
        ("flat-spot", "mm"),
        ("crushing", "1"),
        ("wear", "mm"),
        ("rim-hold", "N.m"),
        ("hoop-strain", "1"),
        ("hoop-stress", "1"),
        ("heat-margin", "K"),
    ],
    lying: Some(inputs::LYING),
};
