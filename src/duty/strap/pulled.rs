//! The limits of a strip that something pulls: straight, in a loop or wrapped round a post.

use super::Judged;
use super::inputs::Pulled;
use crate::duty::mechanics::band::{bend_strain, capstan, stretch_of};
use crate::duty::mechanics::fatigue::{left_after, notch_factor, used_up};
use crate::duty::mechanics::surroundings::{ask, plain_ask};
use crate::duty::{Duty, LimitSense, Performance, Trace};
use crate::quantity::Force;

/// Elastic stress factor of a small hole in a wide strip (elastic theory).
const HOLE: f64 = 3.0;
/// Strain at break, %, from which a strap counts as tough at a hole (ours).
const TOUGH: f64 = 50.0;
/// Share of a hole's stress factor that a tough and a brittle polymer feel (0.3 to 0.6 and near 1; from
/// memory, not verified).
const FEELS: (f64, f64) = (0.6, 1.0);

/// D9: what a small hole multiplies the stress beside it by, of a material of this strain at break, %.
fn at_hole(breaks: f64, t: &mut Trace) -> f64 {
    t.step("D9", "strain at break", breaks, "%");
    let feels = if breaks >= TOUGH { FEELS.0 } else { FEELS.1 };
    t.step("D9", "share of the hole's factor that it feels", feels, "1");
    t.step("D9", "times for the hole", notch_factor(HOLE, feels), "1")
}

impl Pulled {
    /// D9: width, mm, and stress of a pull, MPa, beside the hole, without its factor.
    fn beside(&self, pull_n: f64, hole_mm: f64) -> (f64, f64) {
        let net_mm = self.width_mm - hole_mm;
        (net_mm, pull_n / (self.legs * net_mm * self.thickness_mm))
    }

    /// K3: stress of a pull in a leg, MPa, without and with the bend round a pin.
    fn stress(&self, pull_n: f64, t: &mut Trace) -> f64 {
        t.step("K3", "pull", pull_n, "N");
        t.step("K3", "legs that share it", self.legs, "1");
        t.step("K3", "width", self.width_mm, "mm");
        t.step("K3", "thickness", self.thickness_mm, "mm");
        let plain = pull_n / (self.legs * self.width_mm * self.thickness_mm);
        t.step("K3", "stress in a leg", plain, "MPa");
        t.step("K3", "times for the bend round the pin", self.bent, "1");
        t.step("K3", "stress where it is highest", self.bent * plain, "MPa")
    }

    pub(super) fn limits(self, j: Judged<'_>, factor: f64, surface: &str, duty: &mut Duty) {
        let mut silent = Trace::off();
        let (pull_n, lasting_n) = (self.pull_n * factor, self.lasting_n * factor);
        let (hard, lasting) = (
            self.stress(pull_n, &mut silent),
            self.stress(lasting_n, &mut silent),
        );
        let strength = duty.ask(j.ask("tensile-strength"));
        let carried = move |what: &'static str, pull_n: f64| {
            Performance::new(move |i, t| {
                let [strength] = *i.x else { return f64::NAN };
                self.stress(pull_n, t);
                t.step("K3", what, strength, "MPa")
            })
        };
        duty.limits.push(j.limit(
            "breaking",
            ("stress that it bears once", "tears at the hardest pull"),
            (LimitSense::AtLeast(hard), "MPa"),
            (vec![vec![strength]], carried("tensile strength", pull_n)),
            "K3: pull over the legs' section (derived from mechanics); a tight bend adds 20 to 100 % (from memory, not verified)",
        ));
        let holds = duty.ask(j.ask("sustained-strength").after(j.setting.life_h));
        duty.limits.push(j.limit(
            "holding",
            ("stress that it carries for the life", "tears slowly under the pull that stays"),
            (LimitSense::AtLeast(lasting), "MPa"),
            (vec![vec![holds]], carried("stress carried for the life", lasting_n)),
            "K3: pull over the legs' section (derived from mechanics), against what is carried for the life",
        ));
        if let Some(hole_mm) = self.hole_mm {
            let breaks = duty.ask(j.ask("break-strain"));
            let mut torn = |id, words, what: &'static str, pull_n, bears, source| {
                let (net_mm, net) = self.beside(pull_n, hole_mm);
                duty.limits.push(j.limit(
                    id,
                    words,
                    (LimitSense::AtLeast(net), "MPa"),
                    (
                        vec![vec![bears], vec![breaks]],
                        Performance::new(move |i, t| {
                            let [bears, breaks] = *i.x else {
                                return f64::NAN;
                            };
                            t.step("D9", "width beside the hole", net_mm, "mm");
                            t.step("D9", "stress beside the hole", net, "MPa");
                            let times = at_hole(breaks, t);
                            t.step("D9", what, bears, "MPa");
                            t.step(
                                "D9",
                                "the same over the times for the hole",
                                bears / times,
                                "MPa",
                            )
                        }),
                    ),
                    source,
                ));
            };
            torn(
                "hole-tear",
                ("stress that it bears beside the hole", "tears at the hole"),
                "tensile strength",
                pull_n,
                strength,
                "D9: 1 + q (3 - 1) at a small hole (elastic theory), q 1 for brittle and 0.6 for tough polymers (from memory, not verified); tough from 50 % at break is ours",
            );
            torn(
                "hole-holding",
                (
                    "stress that it carries for the life beside the hole",
                    "tears slowly at the hole",
                ),
                "stress carried for the life",
                lasting_n,
                holds,
                "D9 as hole-tear, of the pull that stays, against what is carried for the life",
            );
        }
        self.stretch(j, lasting_n, duty);
        self.bend(j, duty);
        if let Some((wrap_deg, tail_n)) = self.wrap {
            let friction = duty
                .ask(ask(j.setting, "static-friction", j.end.temperature_c).on(surface.to_owned()));
            duty.limits.push(j.limit(
                "slip",
                ("pull that the wrap holds", "slips on its post"),
                (LimitSense::AtLeast(pull_n), Force::UNIT),
                (
                    vec![vec![friction]],
                    Performance::new(move |i, t| {
                        let [friction] = *i.x else { return f64::NAN };
                        t.step("K4", "static friction", friction, "1");
                        t.step("K4", "angle round the post", wrap_deg, "deg");
                        let times = t.step(
                            "K4",
                            "pull over the loose end's",
                            capstan(friction, wrap_deg),
                            "1",
                        );
                        t.step("K4", "pull on the loose end", tail_n, "N");
                        t.step("K4", "pull held", times * tail_n, "N")
                    }),
                ),
                "K4: exp(mu theta) (derived from mechanics)",
            ));
        }
        self.fatigue(j, (pull_n, lasting_n), strength, duty);
    }

    /// D7, D8: the worse of the bend round a pin and the hole comes and goes.
    fn fatigue(
        self,
        j: Judged<'_>,
        (pull_n, lasting_n): (f64, f64),
        strength: usize,
        duty: &mut Duty,
    ) {
        let Some(cycles) = j.setting.cycles else {
            return;
        };
        let share = duty.ask(plain_ask("fatigue-share"));
        let mut needs = vec![vec![strength], vec![share]];
        if self.hole_mm.is_some() {
            needs.push(vec![duty.ask(j.ask("break-strain"))]);
        }
        // Without a lower pull that stays, it comes and goes from nothing.
        let low_n = if self.lasting_n < self.pull_n {
            lasting_n
        } else {
            0.0
        };
        duty.limits.push(j.limit(
            "fatigue",
            ("share of its endurance used up", "tears after many pulls"),
            (LimitSense::AtMost(1.0), "1"),
            (
                needs,
                Performance::new(move |i, t| {
                    let [strength, share, breaks @ ..] = i.x else {
                        return f64::NAN;
                    };
                    let mut hard = self.stress(pull_n, t);
                    if let (Some(hole_mm), [breaks]) = (self.hole_mm, breaks) {
                        let (net_mm, net) = self.beside(pull_n, hole_mm);
                        t.step("D9", "width beside the hole", net_mm, "mm");
                        let times = at_hole(*breaks, t);
                        let hole = t.step("D9", "stress at the edge of the hole", times * net, "MPa");
                        hard = if hard > hole { hard } else { hole };
                        t.step("D9", "the higher of both", hard, "MPa");
                    }
                    let low = hard * low_n / pull_n;
                    t.step("D8", "tensile strength", *strength, "MPa");
                    let left = left_after(cycles, (*strength, "MPa"), *share, t);
                    used_up(0.5 * (hard - low), 0.5 * (hard + low), left, *strength, t)
                }),
            ),
            "D7, D8: strength left after so many pulls, Goodman's line (derived from mechanics); D9 at a hole, where that is worse",
        ));
    }

    /// K18: whether its outside cracks as it is bent round its post or pin.
    fn bend(self, j: Judged<'_>, duty: &mut Duty) {
        let Some(post_mm) = self.bent_mm else { return };
        let strain = 100.0 * bend_strain(self.thickness_mm, post_mm);
        let mut needs = vec![vec![duty.ask(j.ask("break-strain"))]];
        let cycles = j.setting.cycles;
        if cycles.is_some() {
            needs.push(vec![duty.ask(plain_ask("fatigue-share"))]);
        }
        duty.limits.push(j.limit(
            "bend-crack",
            ("strain that its outside bears", "cracks where it bends"),
            (LimitSense::AtLeast(strain), "%"),
            (
                needs,
                Performance::new(move |i, t| {
                    let [breaks, share @ ..] = i.x else {
                        return f64::NAN;
                    };
                    t.step("K18", "thickness", self.thickness_mm, "mm");
                    t.step("K18", "diameter that it bends round", post_mm, "mm");
                    t.step("K18", "strain of its outside", strain, "%");
                    t.step("K18", "strain at break", *breaks, "%");
                    match (cycles, share) {
                        (Some(cycles), [share]) => left_after(cycles, (*breaks, "%"), *share, t),
                        (None, []) => *breaks,
                        _ => f64::NAN,
                    }
                }),
            ),
            "K18: t/(D + t) at the outside of a bend (derived from mechanics), against the strain at break, or what so many bends leave of it (D7)",
        ));
    }

    fn stretch(self, j: Judged<'_>, lasting_n: f64, duty: &mut Duty) {
        let stress = lasting_n / (self.legs * self.width_mm * self.thickness_mm);
        let life = j.setting.life_h;
        let creep = duty.ask(j.ask("creep-modulus").after(life).under(stress));
        let new = duty.ask(j.ask("tensile-modulus"));
        let mut kept = vec![creep];
        kept.extend(j.kept(duty));
        let percent = 100.0 * self.stretch_allowed;
        duty.limits.push(j.limit(
            "stretch",
            ("stretch under the pull that stays", "stretches and hangs loose"),
            (LimitSense::AtMost(percent), "%"),
            (
                vec![vec![creep, new], kept],
                Performance::new(move |i, t| {
                    let ([modulus, kept], [from, _]) = (i.x, i.which) else {
                        return f64::NAN;
                    };
                    t.step("K3", "lasting stress in a leg", stress, "MPa");
                    let e = if *from == 0 {
                        t.step("B5", "creep modulus at the life", *modulus, "MPa")
                    } else {
                        t.step("G8", "modulus when new", *modulus, "MPa");
                        t.step("G8", "share of force kept", *kept, "1");
                        t.step("G8", "modulus at the life", modulus * kept, "MPa")
                    };
                    t.step("G4", "stretch (100 % where it passes the law's 30 %)", 100.0 * stretch_of(stress / e), "%")
                }),
            ),
            "B5 creep modulus (the method verified in outline), or the modulus when new times the share of force kept (quasi-elastic, derived); neo-Hookean above 10 % (derived, common use)",
        ));
    }
}
