//! What is asked of a material that is bent: strength and stiffness along the load, new and in time.

use crate::duty::mechanics::surroundings::{ask, plain_ask};
use crate::duty::{Duty, Inputs, Setting, StandIn, Trace};
use crate::property::{Ask, Lies};

/// Share of the strain at yield that is trusted where a part is bent once (common practice, no source).
const ONCE_OF_YIELD: f64 = 0.7;
/// The same where it is bent again and again (common practice, no source).
const OFTEN_OF_YIELD: f64 = 0.4;

/// How the bending of one part lies, and under what.
#[derive(Clone, Copy, Debug)]
pub(in crate::duty) struct Bent<'a> {
    pub(in crate::duty) setting: &'a Setting,
    pub(in crate::duty) at_c: f64,
    pub(in crate::duty) lies: Lies,
}

impl Bent<'_> {
    /// A property along the load.
    pub(in crate::duty) fn along(self, property: &'static str) -> Ask {
        self.ask(property, self.lies)
    }

    fn ask(self, property: &'static str, lies: Lies) -> Ask {
        ask(self.setting, property, self.at_c).lying(lies)
    }

    /// The two needs of [`strength`]: bending strength along the load, else tensile strength; across the
    /// layers, where nothing was tested so, what lies in them and the share of it that the layers keep.
    pub(in crate::duty) fn strength_needs(self, duty: &mut Duty) -> [Vec<usize>; 2] {
        let bending = duty.ask(self.along("flexural-strength"));
        let pulling = duty.ask(self.along("tensile-strength"));
        if self.lies == Lies::InPlane {
            return [vec![bending, pulling], vec![bending, pulling]];
        }
        let flat = duty.ask(self.ask("tensile-strength", Lies::InPlane));
        let kept = duty.ask(plain_ask("layer-adhesion").moist(self.setting.moisture));
        stand_in(duty, flat, bending);
        stand_in(duty, kept, bending);
        [vec![bending, pulling, flat], vec![bending, pulling, kept]]
    }

    /// Bending modulus along the load, else tensile modulus; across the layers that in them stands in.
    pub(in crate::duty) fn stiffness_needs(self, duty: &mut Duty) -> Vec<usize> {
        let with = |p| move |lies| self.ask(p, lies);
        self.either(duty, &[&with("flexural-modulus"), &with("tensile-modulus")])
    }

    /// Creep modulus at the life under a stress, along the load; across the layers that in them stands in.
    pub(in crate::duty) fn creep_needs(self, stress_mpa: f64, duty: &mut Duty) -> Vec<usize> {
        let life_h = self.setting.life_h;
        let at = move |lies| {
            self.ask("creep-modulus", lies)
                .after(life_h)
                .under(stress_mpa)
        };
        self.either(duty, &[&at])
    }

    /// Stress carried for the life, along the load.
    pub(in crate::duty) fn held_needs(self, duty: &mut Duty) -> Vec<usize> {
        vec![duty.ask(self.along("sustained-strength").after(self.setting.life_h))]
    }

    /// Asks along the load in their order; across the layers those in the layers stand in behind them.
    fn either(self, duty: &mut Duty, wanted: &[&dyn Fn(Lies) -> Ask]) -> Vec<usize> {
        let mut need: Vec<usize> = wanted.iter().map(|w| duty.ask(w(self.lies))).collect();
        if self.lies == Lies::Across {
            let first = need.first().copied();
            for w in wanted {
                let flat = duty.ask(w(Lies::InPlane));
                if let Some(first) = first {
                    stand_in(duty, flat, first);
                }
                need.push(flat);
            }
        }
        need
    }
}

fn stand_in(duty: &mut Duty, used: usize, wanted: usize) {
    let pair = StandIn { used, wanted };
    if !duty.stand_ins.contains(&pair) {
        duty.stand_ins.push(pair);
    }
}

/// Strength along the load, MPa, from the first two figures, of [`Bent::strength_needs`]: as tested so,
/// else in the layers times the share that the layers keep (D4).
pub(in crate::duty) fn strength(i: Inputs<'_>, t: &mut Trace) -> f64 {
    let ([one, other, ..], [from, with, ..]) = (i.x, i.which) else {
        return f64::NAN;
    };
    match (from, with) {
        (2, 2) => {
            t.step("D4", "strength in the layers", *one, "MPa");
            t.step("D4", "share of it that the layers keep", *other, "1");
            t.step("D4", "strength across the layers", one * other, "MPa")
        }
        // No share was measured, so that the figure across itself stands in the second place.
        (2, _) => t.step("D4", "strength across the layers", *other, "MPa"),
        (1, _) => t.step("B1", "tensile strength along the load", *one, "MPa"),
        _ => t.step("B1", "bending strength along the load", *one, "MPa"),
    }
}

/// D6: strain at yield that is trusted, %: yield strength over modulus times 70 % where it is bent
/// once and 40 % where it is bent again (common practice, no source). Shares stand for tests that were
/// not made; no bench test here bends a piece again and again.
pub(in crate::duty) fn trusted_strain(
    (yield_mpa, modulus_mpa): (f64, f64),
    times: f64,
    t: &mut Trace,
) -> f64 {
    t.step("D6", "yield strength", yield_mpa, "MPa");
    t.step("D6", "modulus", modulus_mpa, "MPa");
    let yields = t.step(
        "D6",
        "strain at yield",
        100.0 * yield_mpa / modulus_mpa,
        "%",
    );
    let share = if times > 1.0 {
        t.step(
            "D6",
            "share trusted where it is bent again",
            OFTEN_OF_YIELD,
            "1",
        )
    } else {
        t.step(
            "D6",
            "share trusted where it is bent once",
            ONCE_OF_YIELD,
            "1",
        )
    };
    t.step(
        "D6",
        "strain that it springs back from",
        share * yields,
        "%",
    )
}
