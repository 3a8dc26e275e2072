//! What is asked of a material that is bent: strength and stiffness along the load, new and in time.

use crate::duty::mechanics::fatigue::left_after;
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

    /// The two needs of [`strength`] of a part that is bent: bending strength along the load, else tensile
    /// strength; across the layers, where nothing was tested so, what lies in them and the share of it that
    /// the layers keep.
    pub(in crate::duty) fn strength_needs(self, duty: &mut Duty) -> [Vec<usize>; 2] {
        self.strength_by(["flexural-strength", "tensile-strength"], duty)
    }

    /// The same of a part that is pulled: tensile strength alone.
    pub(in crate::duty) fn pulled_needs(self, duty: &mut Duty) -> [Vec<usize>; 2] {
        self.strength_by(["tensile-strength", "tensile-strength"], duty)
    }

    fn strength_by(self, tested: [&'static str; 2], duty: &mut Duty) -> [Vec<usize>; 2] {
        let [first, second] = tested.map(|p| duty.ask(self.along(p)));
        if self.lies == Lies::InPlane {
            return [vec![first, second], vec![first, second]];
        }
        let flat = duty.ask(self.ask("tensile-strength", Lies::InPlane));
        let kept = duty.ask(plain_ask("layer-adhesion").moist(self.setting.moisture));
        stand_in(duty, flat, first);
        stand_in(duty, kept, first);
        [vec![first, second, flat], vec![first, second, kept]]
    }

    /// Bending modulus along the load, else tensile modulus; across the layers that in them stands in.
    pub(in crate::duty) fn stiffness_needs(self, duty: &mut Duty) -> Vec<usize> {
        let with = |p| move |lies| self.ask(p, lies);
        self.either(duty, &[&with("flexural-modulus"), &with("tensile-modulus")])
    }

    /// Creep modulus at the life under a stress, along the load; across the layers that in them stands in.
    pub(in crate::duty) fn creep_needs(self, stress_mpa: f64, duty: &mut Duty) -> Vec<usize> {
        self.either(duty, &[&|lies| self.crept(lies).under(stress_mpa)])
    }

    fn crept(self, lies: Lies) -> Ask {
        self.ask("creep-modulus", lies).after(self.setting.life_h)
    }

    /// Needs of [`spring_left`] for a part held bent, and how many of each read a creep run: the creep
    /// modulus, else the modulus when new and the share of force that is kept at a fixed strain.
    ///
    /// The stress that a held bend puts on a material follows from its own modulus and falls with it, so
    /// that none is asked; a limit on cracking while it is held stands beside this one.
    pub(in crate::duty) fn spring_needs(self, duty: &mut Duty) -> ([Vec<usize>; 2], usize) {
        let crept = self.either(duty, &[&|lies| self.crept(lies)]);
        let kept = ["stretch-retained", "force-retained"]
            .map(|p| ask(self.setting, p, self.at_c).after(self.setting.life_h));
        let kept = duty.need_or(kept[0].clone(), kept[1].clone());
        let new = self.stiffness_needs(duty);
        let crepts = crept.len();
        let with = |more: Vec<usize>| crept.iter().copied().chain(more).collect();
        ([with(new), with(kept)], crepts)
    }

    /// Stress carried for the life, along the load.
    pub(in crate::duty) fn held_needs(self, duty: &mut Duty) -> Vec<usize> {
        vec![duty.ask(self.along("sustained-strength").after(self.setting.life_h))]
    }

    /// Needs of [`trusted_strain`]: yield strength and stiffness, both in the layers, since across them a
    /// print breaks before it yields.
    pub(in crate::duty) fn yield_needs(self, duty: &mut Duty) -> Vec<Vec<usize>> {
        let yields = duty.ask(ask(self.setting, "yield-strength", self.at_c));
        let stiff = ["tensile-modulus", "flexural-modulus"]
            .map(|p| duty.ask(ask(self.setting, p, self.at_c)))
            .to_vec();
        vec![vec![yields], stiff]
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

/// Strain at break, %, of what is bent `times` over: the figure alone where that is once, else what the
/// fatigue share behind it leaves.
pub(in crate::duty) fn breaks_at(
    label: &'static str,
    times: f64,
    figures: &[f64],
    t: &mut Trace,
) -> f64 {
    let [breaks, ref share @ ..] = *figures else {
        return f64::NAN;
    };
    t.step(label, "strain at break", breaks, "%");
    match *share {
        [] => breaks,
        [share] => left_after(times, (breaks, "%"), share, t),
        _ => f64::NAN,
    }
}

/// Strength along the load, MPa, from the first two figures, of [`Bent::strength_needs`]: as tested so,
/// else in the layers times the share that the layers keep (D4).
pub(in crate::duty) fn strength(i: Inputs<'_>, t: &mut Trace) -> f64 {
    tested("strength along the load", i, t)
}

/// The same where a load has no one direction, so that the strength across the layers is what counts.
pub(in crate::duty) fn strength_across(i: Inputs<'_>, t: &mut Trace) -> f64 {
    tested("strength across the layers", i, t)
}

fn tested(called: &str, i: Inputs<'_>, t: &mut Trace) -> f64 {
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
        _ => t.step("B1", called, *one, "MPa"),
    }
}

/// Modulus left at the life, MPa, from the first two figures, of [`Bent::spring_needs`] (F10; quasi-elastic,
/// derived): no share falls on a figure that has crept already.
pub(in crate::duty) fn spring_left(i: Inputs<'_>, crepts: usize, t: &mut Trace) -> f64 {
    let ([one, other, ..], [from, with, ..]) = (i.x, i.which) else {
        return f64::NAN;
    };
    if usize::from(*from) < crepts {
        return t.step("F10", "creep modulus at the life", *one, "MPa");
    }
    if usize::from(*with) < crepts {
        // No share kept of its own: the creep modulus stands in its place.
        return t.step("F10", "creep modulus at the life", *other, "MPa");
    }
    t.step("F10", "modulus when new", *one, "MPa");
    t.step("F10", "share of the force kept at the life", *other, "1");
    t.step("F10", "modulus left at the life", one * other, "MPa")
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
