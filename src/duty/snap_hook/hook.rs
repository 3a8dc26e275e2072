//! What a snap hook does when it is worked, pulled and left bent.

use super::docs;
use crate::duty::mechanics::beam::{Arm, Notch, Taper, locks, ramp};
use crate::duty::mechanics::bent::{Bent, breaks_at, spring_left, strength, trusted_strain};
use crate::duty::mechanics::surroundings::{End, ask, plain_ask};
use crate::duty::{Duty, Inputs, Limit, LimitSense, Performance, Trace};
use crate::policy::Class;

/// Friction assumed against the push, the high side for it (the figure of a textbook's example,
/// verified in source; for other pairs assumed).
pub(super) const ASSUMED_IN: f64 = 0.3;
/// Friction assumed for the hold, the low side for it: slippery or greased pairs (from memory, not verified).
pub(super) const ASSUMED_OUT: f64 = 0.1;
/// Hold over that of a ramp without friction beyond which an assumed friction is not trusted (ours).
const TRUSTED_OVER_SMOOTH: f64 = 2.0;
/// Angle of a square catch, deg, which nothing slips off.
const SQUARE_DEG: f64 = 90.0;

/// Where the friction of the ramp comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Rubs {
    /// The case says it.
    Known(f64),
    /// Nobody says it: what is worse for the push on the way in, and for the hold on the way out.
    Assumed,
    /// It is asked of the material, on the surface in contact.
    Asked,
}

/// The hook with every default filled in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hook {
    pub(super) arm: Arm,
    pub(super) taper: Taper,
    pub(super) undercut_mm: f64,
    /// Bend that stays while it is shut, mm.
    pub(super) rest_mm: f64,
    pub(super) entry_deg: f64,
    pub(super) exit_deg: f64,
    pub(super) notch: Notch,
    /// How often it is worked.
    pub(super) worked: f64,
    pub(super) rubs: Rubs,
}

impl Hook {
    /// Strain at the root of an arm bent by `y` mm, %, without the notch, and how it comes about.
    fn strain(self, y_mm: f64, t: &mut Trace) -> f64 {
        let arm = self.arm;
        t.step("N1", "the arm bends aside by", y_mm, "mm");
        t.step("N1", "length of the arm", arm.length_mm, "mm");
        t.step("N1", "thickness at the root", arm.thickness_mm, "mm");
        t.step(
            "N3",
            "deflection over strain and length squared over thickness",
            self.taper.coefficient(),
            "1",
        );
        t.step(
            "N1",
            "strain at the root",
            100.0 * arm.strain(self.taper, y_mm),
            "%",
        )
    }

    /// Force that bends the tip aside, N, for a stress at the root.
    fn tip_force(self, stress_mpa: f64, t: &mut Trace) -> f64 {
        t.step("N2", "width at the root", self.arm.width_mm, "mm");
        t.step("N2", "stress at the root", stress_mpa, "MPa");
        t.step(
            "N2",
            "force that bends the hook aside",
            self.arm.tip_force_n(stress_mpa),
            "N",
        )
    }

    /// Section near the hook, thickness and width, mm.
    fn tip_mm(self) -> (f64, f64) {
        let (t, b) = (self.arm.thickness_mm, self.arm.width_mm);
        match self.taper {
            Taper::None => (t, b),
            Taper::ThicknessToHalf => (0.5 * t, b),
            Taper::WidthToQuarter => (t, 0.25 * b),
        }
    }

    /// Highest stress in the arm under a pull along it, MPa: the pull on the hook's face lies beside
    /// the middle of the arm and bends it too.
    pub(super) fn pulled_mpa(self, pull_n: f64) -> f64 {
        let section = |thickness: f64, width: f64| {
            let beside = 0.5 * (thickness + self.undercut_mm);
            pull_n / (thickness * width) * (1.0 + 6.0 * beside / thickness)
        };
        let (t, b) = self.tip_mm();
        let root = self.notch.bare() * section(self.arm.thickness_mm, self.arm.width_mm);
        root.max(section(t, b))
    }

    pub(super) fn volume_mm3(self) -> f64 {
        let arm = self.arm;
        arm.length_mm * arm.width_mm * arm.thickness_mm * self.taper.fullness()
    }

    /// Whether no pull opens it: a square catch, or a friction that is known to lock its ramp.
    pub(super) fn shuts_for_good(self) -> bool {
        self.exit_deg >= SQUARE_DEG
            || matches!(self.rubs, Rubs::Known(mu) if locks(mu, self.exit_deg))
    }

    /// Pull over the force that bends the hook aside. A friction that is only assumed locks nothing.
    fn hold(self, mu: f64, t: &mut Trace) -> f64 {
        let ratio = ramp(mu, self.exit_deg, t);
        let smooth = self.exit_deg.to_radians().tan();
        if self.rubs != Rubs::Assumed
            || self.shuts_for_good()
            || ratio <= TRUSTED_OVER_SMOOTH * smooth
        {
            return ratio;
        }
        t.step(
            "N4",
            "twice the ramp without friction, the most that an assumed friction is trusted for",
            TRUSTED_OVER_SMOOTH * smooth,
            "1",
        )
    }

    /// Friction of the ramp, `assumed` where nobody says it, and the figures that are left.
    fn friction(self, assumed: f64, x: &[f64]) -> (f64, &[f64]) {
        match (self.rubs, x) {
            (Rubs::Known(mu), _) => (mu, x),
            (Rubs::Assumed, _) => (assumed, x),
            (Rubs::Asked, [mu, rest @ ..]) => (*mu, rest),
            (Rubs::Asked, []) => (f64::NAN, x),
        }
    }

    fn friction_need(self, bent: Bent<'_>, duty: &mut Duty) -> Option<Vec<usize>> {
        let surface = bent.setting.counterface.clone().unwrap_or_default();
        (self.rubs == Rubs::Asked)
            .then(|| vec![duty.ask(ask(bent.setting, "static-friction", bent.at_c).on(surface))])
    }

    /// Needs of [`Hook::push_in`].
    pub(super) fn push_needs(self, bent: Bent<'_>, duty: &mut Duty) -> Vec<Vec<usize>> {
        let mut needs: Vec<Vec<usize>> = self.friction_need(bent, duty).into_iter().collect();
        needs.push(bent.stiffness_needs(duty));
        needs
    }

    /// Push of one hook, N.
    pub(super) fn push_in(self) -> Performance {
        Performance::new(move |i, t| {
            let (mu, [modulus]) = self.friction(ASSUMED_IN, i.x) else {
                return f64::NAN;
            };
            let strain = self.strain(self.undercut_mm, t) / 100.0;
            t.step("N2", "modulus", *modulus, "MPa");
            let aside = self.tip_force(modulus * strain, t);
            let push = aside * ramp(mu, self.entry_deg, t);
            t.step("N4", "push of one hook", push, "N")
        })
    }

    /// Pull at which the hook slips off, N, by friction, modulus and yield strength.
    fn slips_at(self, mu: f64, modulus: f64, yields: f64, t: &mut Trace) -> f64 {
        let strain = self.strain(self.undercut_mm, t) / 100.0;
        let elastic = t.step("N2", "stress if it stayed elastic", modulus * strain, "MPa");
        t.step("N2", "yield strength", yields, "MPa");
        // The arm gives way at its yield strength: beyond it the elastic force would flatter.
        let stress = if elastic > yields { yields } else { elastic };
        let aside = self.tip_force(stress, t);
        let pull = aside * self.hold(mu, t);
        t.step("N4", "pull at which it slips off", pull, "N")
    }

    /// Pull at which the hook slips off when new, N. Needs: [`Hook::push_needs`] and the yield strength,
    /// which the stress at the root cannot pass.
    fn pull_out(self) -> Performance {
        Performance::new(move |i, t| {
            let (mu, [modulus, yields]) = self.friction(ASSUMED_OUT, i.x) else {
                return f64::NAN;
            };
            t.step("N2", "modulus", *modulus, "MPa");
            self.slips_at(mu, *modulus, *yields, t)
        })
    }

    /// The same at the end of the life: the arm has crept aside. Needs: the friction, those of
    /// [`spring_left`], of which `crepts` alternatives each read a creep run, and the yield strength.
    fn pull_out_in_time(self, crepts: usize) -> Performance {
        Performance::new(move |i, t| {
            let (mu, rest) = self.friction(ASSUMED_OUT, i.x);
            let ([_, _, yields], Some(which)) = (rest, i.which.get(i.x.len() - rest.len()..))
            else {
                return f64::NAN;
            };
            let modulus = spring_left(Inputs { x: rest, which }, crepts, t);
            self.slips_at(mu, modulus, *yields, t)
        })
    }

    /// Reserve of the root's strain: at break over what working asks.
    pub(super) fn reserve(self) -> Performance {
        Performance::new(move |i, t| {
            let [breaks] = *i.x else { return f64::NAN };
            t.step("N1", "strain at break", breaks, "%");
            let asked = self.strain(self.undercut_mm, t) * self.notch.factor(t);
            t.step(
                "N1",
                "strain at break over the strain at the notch",
                breaks / asked,
                "1",
            )
        })
    }

    /// Cracks at the root, or stays bent, when it is worked.
    pub(super) fn worked_limits(self, bent: Bent<'_>, end: End, class: Class, duty: &mut Duty) {
        let strain = 100.0 * self.arm.strain(self.taper, self.undercut_mm);
        let breaks = duty.ask(bent.along("break-strain"));
        let mut needs = vec![vec![breaks]];
        if self.worked > 1.0 {
            needs.push(vec![duty.ask(plain_ask("fatigue-share"))]);
        }
        duty.limits.push(Limit {
            id: end.id("root-crack"),
            title: "strain that the root takes".to_owned(),
            failure: "cracks at the root when worked",
            class,
            sense: LimitSense::AtLeast(strain * self.notch.bare()),
            unit: "%".to_owned(),
            needs,
            performance: Performance::new(move |i, t| {
                let asked = self.strain(self.undercut_mm, t) * self.notch.factor(t);
                t.step("N1", "strain at the notch", asked, "%");
                breaks_at("N1", self.worked, i.x, t)
            }),
            source: docs::CRACK_SOURCE,
        });
        let needs = bent.yield_needs(duty);
        duty.limits.push(Limit {
            id: end.id("root-set"),
            title: "strain that the arm springs back from".to_owned(),
            failure: "stays bent after being worked",
            class,
            sense: LimitSense::AtLeast(strain),
            unit: "%".to_owned(),
            needs,
            performance: Performance::new(move |i, t| {
                let [yields, modulus] = *i.x else {
                    return f64::NAN;
                };
                self.strain(self.undercut_mm, t);
                trusted_strain((yields, modulus), self.worked, t)
            }),
            source: docs::SET_SOURCE,
        });
    }

    /// Slips off, or tears, under a pull of one hook that comes now and then.
    pub(super) fn pull_limits(
        self,
        bent: Bent<'_>,
        end: End,
        class: Class,
        pull_n: f64,
        duty: &mut Duty,
    ) {
        let mut needs = self.push_needs(bent, duty);
        needs.push(vec![duty.ask(ask(
            bent.setting,
            "yield-strength",
            bent.at_c,
        ))]);
        duty.limits.push(Limit {
            id: end.id("pull-out"),
            title: "pull that one hook holds".to_owned(),
            failure: "slips off under the pull",
            class,
            sense: LimitSense::AtLeast(pull_n),
            unit: "N".to_owned(),
            needs,
            performance: self.pull_out(),
            source: docs::PUSH_SOURCE,
        });
        let needs = bent.pulled_needs(duty).to_vec();
        duty.limits.push(Limit {
            id: end.id("arm-tear"),
            title: "strength of the arm under the pull".to_owned(),
            failure: "tears off under the pull",
            class,
            sense: LimitSense::AtLeast(self.pulled_mpa(pull_n)),
            unit: "MPa".to_owned(),
            needs,
            performance: Performance::new(move |i, t| {
                self.pulled(pull_n, t);
                strength(i, t)
            }),
            source: docs::TEAR_SOURCE,
        });
    }

    fn pulled(self, pull_n: f64, t: &mut Trace) {
        self.notch.factor(t);
        t.step("B8", "pull on one hook", pull_n, "N");
        t.step(
            "B8",
            "highest stress in the arm",
            self.pulled_mpa(pull_n),
            "MPa",
        );
    }

    /// Slips off, or cracks, under a pull of one hook that lasts.
    pub(super) fn held_pull_limits(
        self,
        bent: Bent<'_>,
        end: End,
        class: Class,
        held_n: f64,
        duty: &mut Duty,
    ) {
        let mut needs: Vec<Vec<usize>> = self.friction_need(bent, duty).into_iter().collect();
        let (springs, crepts) = bent.spring_needs(duty);
        needs.extend(springs);
        needs.push(vec![duty.ask(ask(
            bent.setting,
            "yield-strength",
            bent.at_c,
        ))]);
        duty.limits.push(Limit {
            id: end.id("held-slip"),
            title: "pull that one hook still holds at the end of the life".to_owned(),
            failure: "creeps aside and slips off under the lasting pull",
            class,
            sense: LimitSense::AtLeast(held_n),
            unit: "N".to_owned(),
            needs,
            performance: self.pull_out_in_time(crepts),
            source: docs::HELD_SLIP_SOURCE,
        });
        let needs = vec![bent.held_needs(duty)];
        duty.limits.push(Limit {
            id: end.id("held-pull"),
            title: "stress that the arm carries for the life".to_owned(),
            failure: "cracks in time under the lasting pull",
            class,
            sense: LimitSense::AtLeast(self.pulled_mpa(held_n)),
            unit: "MPa".to_owned(),
            needs,
            performance: Performance::new(move |i, t| {
                let [carried] = *i.x else { return f64::NAN };
                self.pulled(held_n, t);
                t.step("B4", "stress carried for the life", carried, "MPa")
            }),
            source: docs::TEAR_SOURCE,
        });
    }

    /// Cracks in time because it stays bent.
    pub(super) fn rest_limit(self, bent: Bent<'_>, end: End, class: Class, duty: &mut Duty) {
        let needs = vec![bent.held_needs(duty), bent.stiffness_needs(duty)];
        duty.limits.push(Limit {
            id: end.id("held-bent"),
            title: "stress carried for the life over the stress when shut".to_owned(),
            failure: "cracks in time from being left bent",
            class,
            sense: LimitSense::AtLeast(1.0),
            unit: "1".to_owned(),
            needs,
            performance: Performance::new(move |i, t| {
                let [carried, modulus] = *i.x else {
                    return f64::NAN;
                };
                let strain = self.strain(self.rest_mm, t) / 100.0 * self.notch.factor(t);
                t.step("N2", "modulus", modulus, "MPa");
                let stress = t.step(
                    "N2",
                    "stress at the notch when shut, before it relaxes",
                    modulus * strain,
                    "MPa",
                );
                t.step("B4", "stress carried for the life", carried, "MPa");
                t.step("B4", "carried over asked", carried / stress, "1")
            }),
            source: docs::REST_SOURCE,
        });
    }
}
