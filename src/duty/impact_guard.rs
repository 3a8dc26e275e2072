//! The impact-guard part kind: a block or a crushing body that stops what runs or falls into it.
//!
//! The stiffer the guard, the larger the force it passes on at the same energy; the softer, the
//! sooner it bottoms out. Both are judged, each at its worse stiffness.

mod docs;
mod inputs;

use self::inputs::{Guard, HEAT_MARGIN_K, ImpactGuard, Way};
use crate::duty::mechanics::fatigue;
use crate::duty::mechanics::held::STRAIN_RESERVE;
use crate::duty::mechanics::impact::{Blow, CANTILEVER_SHARE, Spring, crush, stored_kj_m3};
use crate::duty::mechanics::pad::bulge_strain;
use crate::duty::mechanics::pushed::pushed;
use crate::duty::mechanics::surroundings::{
    End, ask, ends, plain_ask, stiffer_is_worse, usual_end,
};
use crate::duty::mechanics::usual;
use crate::duty::part::read_inputs;
use crate::duty::{
    Deed, Duty, Limit, LimitSense, Part, PartKind, Performance, Promise, Setting, Trace, ValueScale,
};
use crate::num::shape::bonded_face_factor;
use crate::policy::Class;
use crate::problem::Fault;

/// Strain at break from which cell walls fold instead of snapping, % (ours, no source).
const WALLS_FOLD_FROM: f64 = 10.0;
/// Multiple of the least force at which a stop is as hard as is just acceptable where nothing
/// behind it sets one (ours).
const HARD_STOP: f64 = 5.0;
/// Elastic energy that is just worth having, and beyond which more gives nothing, kJ/m3 (ours).
const STORED_SCALE: (f64, f64) = (30.0, 3000.0);

impl Guard {
    /// Stiffness: what [`Guard::spring`] reads first. At rest, and with the stiffening of a fast
    /// blow where `fast`.
    fn needs(&self, setting: &Setting, duty: &mut Duty, at_c: f64, fast: bool) -> Vec<Vec<usize>> {
        match self.way {
            Way::Springs { bonded, .. } => {
                let modulus = duty.need_or(
                    ask(setting, "compression-modulus", at_c),
                    ask(setting, "tensile-modulus", at_c),
                );
                let mut needs = vec![modulus];
                if bonded {
                    needs.push(vec![duty.ask(plain_ask("bulk-modulus"))]);
                }
                if fast {
                    needs.push(vec![duty.ask(plain_ask("dynamic-stiffening"))]);
                }
                needs
            }
            Way::Crushes { yield_mpa, .. } => {
                let mut needs = Vec::new();
                if yield_mpa.is_some() {
                    needs.push(duty.need_or(
                        ask(setting, "yield-strength", at_c),
                        ask(setting, "tensile-strength", at_c),
                    ));
                }
                if fast {
                    needs.push(vec![duty.ask(plain_ask("dynamic-stiffening"))]);
                }
                needs
            }
        }
    }

    /// The block as a spring, of the first figures of `x`, and how many were read: at rest, its faces
    /// as they are, or where `fast` at its stiff end, in a blow and its faces held by friction.
    fn spring(&self, x: &[f64], bonded: bool, fast: bool, t: &mut Trace) -> (Spring, usize) {
        let mut figures = x.iter().copied();
        let mut read = 0;
        let mut next = || {
            read += 1;
            figures.next().unwrap_or(f64::NAN)
        };
        let modulus = t.step("I5", "modulus of the block at rest", next(), "MPa");
        let bulk = bonded.then(&mut next);
        let mut apparent_mpa = self.solid.apparent(modulus, bulk, t);
        if fast {
            if !bonded {
                // A loose block hardly slides on a rough face: stiff is the worse end here.
                apparent_mpa = modulus * bonded_face_factor(self.solid.shape_factor);
            }
            let stiffer = t.step("I2", "stiffer in a blow than at rest by", next(), "1");
            apparent_mpa = t.step(
                "I2",
                "apparent modulus in the blow",
                apparent_mpa * stiffer,
                "MPa",
            );
        }
        let spring = Spring {
            area_mm2: t.step("I2", "area struck", self.solid.area_mm2, "mm2"),
            height_mm: t.step("I2", "depth of the block", self.solid.height_mm, "mm"),
            apparent_mpa,
        };
        (spring, read)
    }

    /// Depth crushed and force of a blow; plateau by the yield strength where one was given with it,
    /// and raised as a block's modulus is where `fast`.
    fn crushed(&self, x: &[f64], blow: Blow, fast: bool, t: &mut Trace) -> (f64, f64) {
        let Way::Crushes {
            plateau_mpa,
            yield_mpa,
            ..
        } = self.way
        else {
            return (f64::NAN, f64::NAN);
        };
        let mut figures = x.iter().copied();
        let mut plateau = t.step(
            "I4",
            "plateau stress of the piece squeezed",
            plateau_mpa,
            "MPa",
        );
        if let Some(reference) = yield_mpa {
            let own = figures.next().unwrap_or(f64::NAN);
            t.step(
                "I4",
                "yield strength of that piece's material",
                reference,
                "MPa",
            );
            t.step("I4", "yield strength", own, "MPa");
            plateau = t.step(
                "I4",
                "plateau stress, in proportion to yield",
                plateau * own / reference,
                "MPa",
            );
        }
        if fast {
            let higher = figures.next().unwrap_or(f64::NAN);
            t.step("I4", "stiffer in a blow than at rest by", higher, "1");
            plateau = t.step("I4", "plateau stress in the blow", plateau * higher, "MPa");
        }
        crush(blow, plateau, self.solid.area_mm2, t)
    }

    /// Highest force of a blow, N.
    fn force_n(&self, x: &[f64], blow: Blow, t: &mut Trace) -> f64 {
        match self.way {
            Way::Springs { bonded, .. } => self.spring(x, bonded, true, t).0.stop(blow, t).force_n,
            Way::Crushes { .. } => self.crushed(x, blow, true, t).1,
        }
    }

    /// Squeeze of the worst blow, or share of the depth crushed by all of them.
    fn bottoming(self) -> Performance {
        Performance::new(move |i, t| match self.way {
            Way::Springs {
                bonded, squeeze, ..
            } => {
                let (spring, _) = self.spring(i.x, bonded, false, t);
                t.step(
                    "I5",
                    "energy taken up to the squeeze allowed",
                    spring.energy_j(squeeze),
                    "J",
                );
                spring.stop(self.blow, t).squeeze
            }
            Way::Crushes { .. } => {
                let (depth, _) = self.crushed(i.x, self.blow, false, t);
                t.step("I4", "blows over the life", self.blows, "1");
                t.step("I4", "depth of the body", self.solid.height_mm, "mm");
                t.step(
                    "I4",
                    "share of the depth crushed",
                    self.blows * depth / self.solid.height_mm,
                    "1",
                )
            }
        })
    }

    fn force(self) -> Performance {
        Performance::new(move |i, t| self.force_n(i.x, self.blow, t))
    }

    /// Highest deceleration of the lightest thing that strikes, m/s^2.
    fn deceleration(self) -> Performance {
        Performance::new(move |i, t| {
            let force = self.force_n(i.x, self.lightest, t);
            t.step(
                "I2",
                "highest deceleration",
                force / self.lightest.mass_kg,
                "m/s^2",
            )
        })
    }

    /// Strain at break, worn down by the blows, over the stretch of the bulging rim.
    fn splitting(self) -> Performance {
        Performance::new(move |i, t| {
            let Way::Springs { bonded, .. } = self.way else {
                let [breaks] = *i.x else { return f64::NAN };
                return t.step("I8", "strain at break", breaks, "%");
            };
            let (spring, read) = self.spring(i.x, bonded, false, t);
            let rest = i.x.get(read..).unwrap_or_default();
            let squeeze = spring.stop(self.blow, t).squeeze;
            let stretch = t.step(
                "I8",
                "stretch of the bulging rim",
                100.0 * bulge_strain(squeeze, bonded),
                "%",
            );
            let (Some(breaks), tired) = (rest.first(), rest.get(1)) else {
                return f64::NAN;
            };
            let mut breaks = t.step("I8", "strain at break", *breaks, "%");
            if let Some(share) = tired {
                breaks = fatigue::left_after(self.blows, (breaks, "%"), *share, t);
            }
            t.step(
                "I8",
                "strain borne over the rim's stretch",
                breaks / stretch,
                "1",
            )
        })
    }

    /// Share of the depth that comes back between the blows.
    fn depth_kept(self) -> Performance {
        Performance::new(move |i, t| {
            let Way::Springs { bonded, .. } = self.way else {
                return f64::NAN;
            };
            let (spring, read) = self.spring(i.x, bonded, false, t);
            let squeeze = spring.stop(self.blow, t).squeeze;
            let set = i.x.get(read).copied().unwrap_or(f64::NAN);
            t.step("I9", "compression set, share of the squeeze", set, "%");
            t.step(
                "I9",
                "share of the depth kept",
                1.0 - set / 100.0 * squeeze,
                "1",
            )
        })
    }
}

impl Part for ImpactGuard {
    fn kind(&self) -> &'static str {
        "impact-guard"
    }

    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let class = setting.class_of(Class::Damage);
        let factor = usual::loads_factor(setting, class, duty);
        let guard = self.settle(setting, factor)?;
        self.note_defaults(&guard, setting, duty);
        for end in ends(setting) {
            self.limits_at(&guard, end, setting, class, duty);
        }
        let heat = usual::heat_margin(setting, duty, HEAT_MARGIN_K, class);
        duty.limits.push(heat);
        let energy_j = guard.blow.energy_j(&mut Trace::off());
        duty.promise = Some(Promise {
            parts: "guards",
            deeds: [Deed::new("take", energy_j, "J", "a blow")]
                .into_iter()
                .chain(
                    self.force_allowed
                        .map(|f| Deed::new("pass on at most", f.0, "N", "")),
                )
                .collect(),
        });
        self.aims(&guard, energy_j, setting, duty);
        Ok(())
    }

    pushed!(Load mass, Load speed, Load drop, Thickness depth);

    fn words(&self) -> Vec<String> {
        [&self.behind, &self.note]
            .into_iter()
            .filter(|w| !w.is_empty())
            .cloned()
            .collect()
    }
}

impl ImpactGuard {
    fn limits_at(&self, guard: &Guard, end: End, setting: &Setting, class: Class, duty: &mut Duty) {
        let at_c = end.temperature_c;
        let rest = guard.needs(setting, duty, at_c, false);
        let fast = guard.needs(setting, duty, at_c, true);
        let fast = stiffer_is_worse(&fast, duty);
        let guard = *guard;
        let mut push =
            |id: &str, title: &str, failure, sense, unit: &str, needs, performance, source| {
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
        let (title, most, source) = match guard.way {
            Way::Springs { squeeze, .. } => (
                "squeeze at the blow",
                squeeze,
                "I1 to I3, I5: energy of the blow against the block's, with its modulus at rest (derived from mechanics; I5 with the Gent and Lindley modulus)",
            ),
            Way::Crushes { densification, .. } => (
                "share of the depth crushed",
                densification,
                "I1, I4: energy over the plateau force less the weight of what falls, all blows together (derived from mechanics); densification strain from memory, not verified",
            ),
        };
        push(
            "bottoming",
            title,
            "bottoms out",
            LimitSense::AtMost(most),
            "1",
            rest.clone(),
            guard.bottoming(),
            source,
        );
        if let Some(f) = self.force_allowed {
            push(
                "force",
                "highest force passed on",
                "passes on too much force",
                LimitSense::AtMost(f.0),
                "N",
                fast.clone(),
                guard.force(),
                "I2 to I4: spring or plateau force (derived from mechanics), a loose block's faces taken as held; modulus or plateau stiffened for the blow (from memory, not verified)",
            );
        }
        if let Some(a) = self.deceleration_allowed {
            push(
                "deceleration",
                "highest deceleration",
                "stops it too hard",
                LimitSense::AtMost(a.0),
                "m/s^2",
                fast,
                guard.deceleration(),
                "I2 to I4: force over the lightest mass that strikes, without the class's factor (derived from mechanics)",
            );
        }
        let breaks = vec![duty.ask(ask(setting, "break-strain", at_c).lying(guard.rim))];
        let (needs, least, title, unit, failure, source) = match guard.way {
            Way::Springs { .. } => {
                let mut needs = rest.clone();
                needs.push(breaks);
                if guard.blows > 1.0 {
                    needs.push(vec![duty.ask(plain_ask("fatigue-share"))]);
                }
                (
                    needs,
                    STRAIN_RESERVE,
                    "strain borne over the stretch of the bulging rim",
                    "1",
                    "splits or shatters at the rim",
                    "I8: rim of a solid that keeps its volume (derived); twice the stretch is ours, for a blow is faster than the tensile test",
                )
            }
            Way::Crushes { .. } => (
                vec![breaks],
                WALLS_FOLD_FROM,
                "strain at break",
                "%",
                "shatters instead of crushing",
                "I8: walls that fold instead of snapping (10 % is ours, no source)",
            ),
        };
        duty.limits.push(Limit {
            id: end.id(if unit == "1" {
                "splitting"
            } else {
                "shattering"
            }),
            title: title.to_owned(),
            failure,
            class,
            sense: LimitSense::AtLeast(least),
            unit: unit.to_owned(),
            needs,
            performance: guard.splitting(),
            source,
        });
        if let Way::Springs { kept, .. } = guard.way {
            let mut needs = rest;
            needs.push(vec![duty.ask(ask(setting, "compression-set", at_c))]);
            duty.limits.push(Limit {
                id: end.id("depth-kept"),
                title: "share of the depth kept after the blows".to_owned(),
                failure: "takes a set and has no depth left",
                class,
                sense: LimitSense::AtLeast(kept),
                unit: "1".to_owned(),
                needs,
                performance: guard.depth_kept(),
                source: "I9: compression set of a long squeeze, which no row of short blows passes, times the squeeze (derived; a bound)",
            });
        }
    }

    fn aims(&self, guard: &Guard, energy_j: f64, setting: &Setting, duty: &mut Duty) {
        let at_c = usual_end(setting).temperature_c;
        let needs = guard.needs(setting, duty, at_c, true);
        // A spring that uses all the depth allowed ends at twice the mean force.
        let gentlest = 2.0 * energy_j * 1e3 / (guard.most_squeeze() * guard.solid.height_mm);
        let hardest = self.force_allowed.map_or(HARD_STOP * gentlest, |f| f.0);
        let mut aims = Vec::new();
        aims.push(usual::aim(
            "soft-stop",
            "N",
            ValueScale {
                zero: hardest.max(1.5 * gentlest),
                one: gentlest,
                log: true,
            },
            needs,
            guard.force(),
        ));
        let strength = duty.need_or(
            ask(setting, "yield-strength", at_c),
            ask(setting, "tensile-strength", at_c),
        );
        let modulus = duty.need_or(
            ask(setting, "tensile-modulus", at_c),
            ask(setting, "compression-modulus", at_c),
        );
        aims.push(usual::aim(
            "toughness",
            "kJ/m3",
            ValueScale {
                zero: STORED_SCALE.0,
                one: STORED_SCALE.1,
                log: true,
            },
            vec![strength, modulus],
            Performance::new(|i, t| {
                let [strength, modulus] = *i.x else {
                    return f64::NAN;
                };
                t.step("I6", "stress to which it springs", strength, "MPa");
                t.step("I6", "modulus", modulus, "MPa");
                let stored = stored_kj_m3(strength, modulus);
                t.step(
                    "I6",
                    "mean of an end-loaded lip",
                    CANTILEVER_SHARE * stored,
                    "kJ/m3",
                );
                t.step("I6", "elastic energy stored", stored, "kJ/m3")
            }),
        ));
        let volume = guard.solid.area_mm2 * guard.solid.height_mm;
        duty.aims.extend(aims);
        let everyday = usual::everyday_aims(setting, duty, HEAT_MARGIN_K, volume);
        duty.aims.extend(everyday);
        duty.preference = usual::points(&[
            ("soft-stop", 40.0),
            ("toughness", 15.0),
            ("heat-reserve", 10.0),
            ("easy-print", 15.0),
            ("cost", 20.0),
        ]);
    }
}

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "impact-guard",
    title: "a bumper, stop block or crushing guard that takes a blow",
    read: read_inputs::<ImpactGuard>,
    schema: || schemars::schema_for!(ImpactGuard),
    example: docs::EXAMPLE,
    formulas: docs::FORMULAS,
    limits: &[
        ("bottoming", "1"),
        ("force", "N"),
        ("deceleration", "m/s^2"),
        ("splitting", "1"),
        ("shattering", "%"),
        ("depth-kept", "1"),
        ("heat-margin", "K"),
    ],
    lying: Some(inputs::LYING),
};
