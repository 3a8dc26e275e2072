//! The snap-hook part kind: an arm with a hook that bends aside, snaps behind an edge and holds.
//!
//! Strain at assembly follows from the geometry alone, so that a soft material does not lower it; the
//! force does. Pull-out past the angle at which the ramp locks is bounded by the arm's own strength.

mod docs;
mod hook;

use self::hook::{ASSUMED_IN, ASSUMED_OUT, Hook, Rubs};
use crate::duty::mechanics::beam::{
    Arm, BENT_TO, LINEAR_TO, Notch, SLENDER_FROM, Taper, fillet_factor, locks,
};
use crate::duty::mechanics::bent::Bent;
use crate::duty::mechanics::layers::Layers;
use crate::duty::mechanics::pushed::pushed;
use crate::duty::mechanics::surroundings::{ends, stiffer_is_worse, usual_end};
use crate::duty::mechanics::usual::{self, left_out, positive, share, shown};
use crate::duty::part::read_inputs;
use crate::duty::{
    Deed, Duty, LiesOnBed, Limit, LimitSense, Lying, Part, PartKind, Promise, Setting, ValueScale,
};
use crate::policy::Class;
use crate::problem::Fault;
use crate::property::Lies;
use crate::quantity::{Angle, Force, Length};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Ramps where the case does not say them, deg: in and out (common practice, no source).
const RAMPS_DEG: (f64, f64) = (30.0, 45.0);
/// Push that a thumb gives without effort, N (from memory, not verified).
const PUSH_N: f64 = 50.0;
/// Share of the push allowed below which easier gives nothing (ours).
const PUSH_ENOUGH: f64 = 0.2;
/// Times the strain of assembly from which more reserve gives nothing (ours).
const TOUGH_ENOUGH: f64 = 5.0;
/// Margin below the softening onset, K: the low end of common practice for light loads (no source).
const HEAT_MARGIN_K: f64 = 10.0;
/// Workings from which the wear of the ramp is spoken of (ours).
const WEARS_FROM: f64 = 1000.0;

/// An arm with a hook at its end that bends aside and snaps behind an edge.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct SnapHook {
    /// Length of the arm from its root to the hook.
    #[schemars(extend("why" = "a longer arm bends with less strain: it decides most whether the root cracks"))]
    arm_length: Length,
    /// Thickness of the arm at its root, in the direction in which it bends.
    #[schemars(extend("why" = "a thicker arm holds more and cracks sooner"))]
    thickness: Length,
    /// Width of the arm at its root.
    #[schemars(extend("why" = "decides how much force it takes to push it in, and how much it holds"))]
    width: Length,
    /// How the arm gets slimmer towards the hook; none when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a tapered arm spreads the bending, so that its root is strained less"))]
    taper: Option<Taper>,
    /// How far the hook reaches behind the edge: the arm bends aside by this much.
    #[schemars(extend("why" = "decides how far the arm bends when it is worked"))]
    undercut: Length,
    /// Angle of the ramp on the way in, from the direction of the push; 30 deg when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a steep ramp takes more push, and a very steep one locks"))]
    entry_angle: Option<Angle>,
    /// Angle of the ramp on the way out, 90 deg for a square catch; 45 deg when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides whether a pull opens it again, and at what force"))]
    exit_angle: Option<Angle>,
    /// Radius of the inner corner where the arm meets the wall; a sharp corner when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a sharp corner gathers up to three times the strain, and the crack begins there"))]
    fillet_radius: Option<Length>,
    /// Share of the corner's effect that counts, 0 to 1: all for brittle materials, 0.3 to 0.6 for tough ones; 1 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "tough materials feel a sharp corner less than brittle ones"))]
    notch_sensitivity: Option<f64>,
    /// How often it is pushed in or pulled out over its life; by the case's `cycles`, else 1, when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "what is worked often cracks at less strain, and must spring back each time"))]
    worked: Option<f64>,
    /// Number of such hooks that share push and pull; 1 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "push and pull are shared by all of them"))]
    hooks: Option<u32>,
    /// Most push for all hooks together; 50 N when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides which materials are too stiff to push in by hand"))]
    push_limit: Option<Force>,
    /// Pull on all hooks together that they must hold now and then; not judged when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides whether the hook slips off or the arm tears"))]
    pull: Option<Force>,
    /// Pull on all hooks together that lasts for the whole life; none when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a load that never goes away cracks plastics at far less than a short one"))]
    held_pull: Option<Force>,
    /// How far the arm stays bent while it is shut; not at all when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "an arm that stays bent takes a set, and may crack in time"))]
    rest_bend: Option<Length>,
    /// Friction between hook and edge; by the surface in contact, else 0.3 against the push and 0.1 for the hold, when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "friction adds to the push and to the hold"))]
    friction: Option<f64>,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

impl SnapHook {
    fn hooks(&self) -> f64 {
        f64::from(self.hooks.unwrap_or(1))
    }

    fn rubs(&self, setting: &Setting) -> Rubs {
        match (self.friction, &setting.counterface) {
            (Some(mu), _) => Rubs::Known(mu),
            (None, Some(_)) => Rubs::Asked,
            (None, None) => Rubs::Assumed,
        }
    }

    fn settle(&self, setting: &Setting) -> Result<Hook, Vec<Fault>> {
        let mut faults = Vec::new();
        for (name, length) in [
            ("arm_length", Some(self.arm_length)),
            ("thickness", Some(self.thickness)),
            ("width", Some(self.width)),
            ("undercut", Some(self.undercut)),
            ("fillet_radius", self.fillet_radius),
            ("rest_bend", self.rest_bend),
        ] {
            if let Some(l) = length {
                positive(&mut faults, name, l.0, "mm");
            }
        }
        for (name, force) in [
            ("push_limit", self.push_limit),
            ("pull", self.pull),
            ("held_pull", self.held_pull),
        ] {
            if let Some(f) = force {
                positive(&mut faults, name, f.0, "N");
            }
        }
        for (name, count) in [
            ("hooks", Some(self.hooks())),
            ("worked", self.worked),
            ("friction", self.friction),
        ] {
            if let Some(n) = count {
                positive(&mut faults, name, n, "");
            }
        }
        share(&mut faults, "notch_sensitivity", self.notch_sensitivity);
        let arm = Arm {
            length_mm: self.arm_length.0,
            width_mm: self.width.0,
            thickness_mm: self.thickness.0,
        };
        let (length, thickness, undercut) = (arm.length_mm, arm.thickness_mm, self.undercut.0);
        if length < SLENDER_FROM * thickness {
            faults.push(Fault::new(
                "duty::short-arm",
                format!(
                    "an arm of {} mm is only {} times as long as it is thick, and the formulas begin at {SLENDER_FROM}: the wall behind a shorter one bends too",
                    shown(length),
                    shown(length / thickness)
                ),
                format!("make it at least {} mm long, or thinner", shown(SLENDER_FROM * thickness)),
            ));
        }
        if undercut > BENT_TO * length {
            faults.push(Fault::new(
                "duty::bent-too-far",
                format!(
                    "an undercut of {} mm bends an arm of {} mm further than the formulas hold, a fifth of its length",
                    shown(undercut),
                    shown(length)
                ),
                format!("make the undercut at most {} mm, or the arm longer", shown(BENT_TO * length)),
            ));
        }
        if self.rest_bend.is_some_and(|r| r.0 >= undercut) {
            faults.push(Fault::new(
                "duty::not-engaged",
                "an arm that stays bent by its whole undercut has not snapped in",
                "write in `rest_bend` how far it stays bent when shut, less than the undercut",
            ));
        }
        let (entry, exit) = (
            self.entry_angle.map_or(RAMPS_DEG.0, |a| a.0),
            self.exit_angle.map_or(RAMPS_DEG.1, |a| a.0),
        );
        for (name, angle, most) in [("entry_angle", entry, 80.0), ("exit_angle", exit, 90.0)] {
            if !(angle > 0.0 && angle <= most) {
                faults.push(Fault::new(
                    "duty::ramp-angle",
                    format!("`{name}` of {} deg is no ramp that this hook can have", shown(angle)),
                    format!("write an angle above 0 and up to {most} deg, from the direction of the push"),
                ));
            }
        }
        let pushed_against = match self.rubs(setting) {
            Rubs::Known(mu) => Some(mu),
            Rubs::Assumed => Some(ASSUMED_IN),
            Rubs::Asked => None,
        };
        if let Some(mu) = pushed_against
            && locks(mu, entry)
        {
            faults.push(Fault::new(
                "duty::self-locking",
                format!(
                    "with friction {} a ramp of {} deg locks on the way in, whatever the push",
                    shown(mu),
                    shown(entry)
                ),
                format!(
                    "make the ramp less steep than {:.0} deg",
                    (1.0 / mu).atan().to_degrees()
                ),
            ));
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        Ok(Hook {
            arm,
            taper: self.taper.unwrap_or_default(),
            undercut_mm: undercut,
            rest_mm: self.rest_bend.map_or(0.0, |r| r.0),
            entry_deg: entry,
            exit_deg: exit,
            notch: Notch {
                concentration: fillet_factor(self.fillet_radius.map_or(0.0, |r| r.0), thickness),
                sensitivity: self.notch_sensitivity.unwrap_or(1.0),
            },
            worked: self.worked.or(setting.cycles).unwrap_or(1.0),
            rubs: self.rubs(setting),
        })
    }

    fn note_defaults(&self, hook: &Hook, setting: &Setting, duty: &mut Duty) {
        left_out(duty, "taper", self.taper.is_some(), "none");
        left_out(duty, "entry_angle", self.entry_angle.is_some(), "30 deg");
        left_out(duty, "exit_angle", self.exit_angle.is_some(), "45 deg");
        left_out(
            duty,
            "fillet_radius",
            self.fillet_radius.is_some(),
            "a sharp corner, which triples the strain at the root",
        );
        left_out(
            duty,
            "worked",
            self.worked.is_some() || setting.cycles.is_some(),
            "1, pushed in once for good",
        );
        left_out(
            duty,
            "push_limit",
            self.push_limit.is_some(),
            "50 N (assumed)",
        );
        if hook.rubs == Rubs::Assumed {
            duty.notes.push(format!(
                "neither `friction` nor the surface in contact given: friction {ASSUMED_IN} against the push and {ASSUMED_OUT} for the hold (assumed)"
            ));
        }
        if hook.shuts_for_good() {
            duty.notes.push(match hook.rubs {
                Rubs::Known(mu) => format!(
                    "with friction {} it locks for good: no pull opens it, and the arm's own strength is what holds",
                    shown(mu)
                ),
                _ => "a square catch locks for good: no pull opens it, and the arm's own strength is what holds".to_owned(),
            });
        }
        if hook.undercut_mm > LINEAR_TO * hook.arm.length_mm {
            duty.notes.push("the arm bends by more than a tenth of its length: force and strain are good to some 3 %".to_owned());
        }
        if hook.worked >= WEARS_FROM {
            duty.notes
                .push("the wear of the ramp over so many workings is not judged".to_owned());
        }
    }
}

impl Part for SnapHook {
    fn kind(&self) -> &'static str {
        "snap-hook"
    }

    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let hook = self.settle(setting)?;
        self.note_defaults(&hook, setting, duty);
        let class = setting.class_of(Class::Damage);
        let factor = usual::loads_factor(setting, class, duty);
        let each = |f: Option<Force>| f.map(|f| f.0 * factor / self.hooks());
        let push_n = self.push_limit.map_or(PUSH_N, |f| f.0) / self.hooks();
        let lies = BENDING.of(setting, LYING);
        for end in ends(setting) {
            let bent = Bent {
                setting,
                at_c: end.temperature_c,
                lies,
            };
            hook.worked_limits(bent, end, class, duty);
            let needs = hook.push_needs(bent, duty);
            let needs = stiffer_is_worse(&needs, duty);
            duty.limits.push(Limit {
                id: end.id("push-in"),
                title: "push of one hook".to_owned(),
                failure: "takes more push than a hand gives",
                class: Class::Nuisance,
                sense: LimitSense::AtMost(push_n),
                unit: "N".to_owned(),
                needs,
                performance: hook.push_in(),
                source: docs::PUSH_SOURCE,
            });
            if let Some(pull_n) = each(self.pull) {
                hook.pull_limits(bent, end, class, pull_n, duty);
            }
            if let Some(held_n) = each(self.held_pull) {
                hook.held_pull_limits(bent, end, class, held_n, duty);
            }
            if self.rest_bend.is_some() {
                hook.rest_limit(bent, end, class, duty);
            }
        }
        let heat = usual::heat_margin(setting, duty, HEAT_MARGIN_K, class);
        duty.limits.push(heat);
        duty.promise = Some(Promise {
            parts: "hooks",
            deeds: [Deed::new(
                "bend aside",
                hook.undercut_mm,
                "mm",
                "without a crack",
            )]
            .into_iter()
            .chain(each(self.pull).map(|n| Deed::new("hold", n, "N", "")))
            .chain(each(self.held_pull).map(|n| Deed::new("bear", n, "N", "for the life")))
            .collect(),
        });

        let bent = Bent {
            setting,
            at_c: usual_end(setting).temperature_c,
            lies,
        };
        let needs = hook.push_needs(bent, duty);
        let easy = usual::aim(
            "easy-push",
            "N",
            ValueScale {
                zero: push_n,
                one: PUSH_ENOUGH * push_n,
                log: true,
            },
            needs,
            hook.push_in(),
        );
        let breaks = duty.ask(bent.along("break-strain"));
        let tough = usual::aim(
            "toughness",
            "1",
            ValueScale {
                zero: 1.0,
                one: TOUGH_ENOUGH,
                log: true,
            },
            vec![vec![breaks]],
            hook.reserve(),
        );
        duty.aims.extend([easy, tough]);
        let volume = hook.volume_mm3() * self.hooks();
        let everyday = usual::everyday_aims(setting, duty, HEAT_MARGIN_K, volume);
        duty.aims.extend(everyday);
        duty.preference = usual::points(&[
            ("toughness", 35.0),
            ("easy-push", 25.0),
            ("heat-reserve", 10.0),
            ("easy-print", 15.0),
            ("cost", 15.0),
        ]);
        Ok(())
    }

    pushed!(
        Load pull,
        Load held_pull,
        Thickness arm_length,
    );

    fn words(&self) -> Vec<String> {
        vec![self.note.clone()]
    }
}

const LYING: Lying = Lying {
    flat: "lying with the broad side of the arm on the bed, so that its bending runs in the layers",
    edge: "lying with the narrow side of the arm on the bed, so that its bending runs in the layers",
    upright: "with the arm standing up from the bed, so that its bending pulls the layers apart",
    open: LiesOnBed::Upright,
};

/// How the tension of the bent arm lies to the layers.
const BENDING: Layers = Layers {
    flat: Lies::InPlane,
    edge: Lies::InPlane,
    upright: Lies::Across,
};

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "snap-hook",
    title: "an arm with a hook that bends aside and snaps behind an edge",
    read: read_inputs::<SnapHook>,
    schema: || schemars::schema_for!(SnapHook),
    example: docs::EXAMPLE,
    formulas: docs::FORMULAS,
    limits: &[
        ("root-crack", "%"),
        ("root-set", "%"),
        ("push-in", "N"),
        ("pull-out", "N"),
        ("arm-tear", "MPa"),
        ("held-slip", "N"),
        ("held-pull", "MPa"),
        ("held-bent", "1"),
        ("heat-margin", "K"),
    ],
    lying: Some(LYING),
};
