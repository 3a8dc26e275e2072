//! The inputs of a strap, checked and with their defaults.

use crate::duty::mechanics::band::{MOST_STRETCH, bent_round, ring_volume_mm3};
use crate::duty::mechanics::usual::{positive, share, shown};
use crate::duty::{Duty, Setting};
use crate::problem::Fault;
use crate::quantity::{Angle, Force, Length, Torque};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Stretch under the lasting pull that is allowed where nobody said (ours).
const STRETCH: f64 = 0.1;

/// Diameter of a loop's pin over the thickness, where it is printed round it and nobody said (ours).
const PIN: f64 = 20.0;

/// How the strap is used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Form {
    /// A single strip pulled at both ends.
    Straight,
    /// A loop or ring round two pins, so that two legs share the pull.
    Loop,
    /// A strip wrapped round a post, its loose end held.
    Wrap,
    /// A ring stretched over something round, which it grips.
    Band,
}

/// A strap, tie or ring.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Strap {
    /// How it is used.
    #[schemars(extend("why" = "decides what carries the pull: one leg, two legs, friction on a post or its own stretch"))]
    pub(super) form: Form,
    /// Width of the strip.
    #[schemars(extend("why" = "shares the pull out"))]
    pub(super) width: Length,
    /// Thickness of the strip.
    #[schemars(extend("why" = "shares the pull out; a thick one bends badly round a thin pin"))]
    pub(super) thickness: Length,
    /// Length of the strip, all of it, for its cost.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "counts for the cost"))]
    pub(super) length: Option<Length>,
    /// Hardest pull on it; of a stretched ring nothing, since its stretch makes the pull.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides whether it tears"))]
    pub(super) pull: Option<Force>,
    /// Pull that stays on it for its life; the hardest pull when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a pull that stays stretches it further and further and tears it below its strength"))]
    pub(super) lasting_pull: Option<Force>,
    /// Diameter of the pins of a loop, or of the post of a wrap; it may be left out where it is printed round it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a tight bend round a thin pin cracks a stiff strap and adds to the stress"))]
    pub(super) pin: Option<Length>,
    /// Whether a loop or wrap is printed in the bend that it has in use; no when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "one that is printed round its pin is not bent when it is put on"))]
    pub(super) printed_round: Option<bool>,
    /// Diameter of a hole for a stud or buckle; no hole when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a strap tears at its holes first"))]
    pub(super) hole: Option<Length>,
    /// Share of its length that it may stretch under the lasting pull, above 0 and up to 0.3; 0.1 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "says when it hangs too loose to be of use"))]
    pub(super) stretch_allowed: Option<f64>,
    /// Angle that a wrap goes round its post: a turn and a half is 540 deg.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "each turn multiplies what friction holds"))]
    pub(super) wrap_angle: Option<Angle>,
    /// Pull that the loose end of a wrap is held with.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "friction multiplies it; without any a wrap holds nothing"))]
    pub(super) tail: Option<Force>,
    /// Inner diameter of a free ring.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "with the drum says how far the ring is stretched"))]
    pub(super) free_diameter: Option<Length>,
    /// Diameter of what a ring is stretched over.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "with the free ring says how far it is stretched"))]
    pub(super) drum: Option<Length>,
    /// Torque about the drum that a ring must not slip under, all its life.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides how much grip must be left when the ring has relaxed"))]
    pub(super) hold_torque: Option<Torque>,
    /// Pull that a ring still has at the end of its life.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a stretched ring relaxes; this says how much must be left"))]
    pub(super) tension_needed: Option<Force>,
    /// Share of its stretch that a ring may keep when it is taken off, above 0 and up to 1; not judged when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides whether it can be used again"))]
    pub(super) set_allowed: Option<f64>,
    /// How many such straps the use has; 1 when left out. Counts for cost.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "counts for the cost"))]
    pub(super) straps: Option<u32>,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub(super) note: String,
}

/// A strip that something pulls; forces without a class's factor.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pulled {
    pub(super) pull_n: f64,
    pub(super) lasting_n: f64,
    /// Legs that share the pull.
    pub(super) legs: f64,
    pub(super) width_mm: f64,
    pub(super) thickness_mm: f64,
    /// What bending round a pin multiplies the stress by.
    pub(super) bent: f64,
    /// Diameter that it is bent round from straight, mm; none where it is printed so.
    pub(super) bent_mm: Option<f64>,
    pub(super) hole_mm: Option<f64>,
    pub(super) stretch_allowed: f64,
    /// Angle round the post, deg, and pull on the loose end, N.
    pub(super) wrap: Option<(f64, f64)>,
}

/// A ring stretched over a drum; demands without a class's factor.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stretched {
    /// Stretch as a share.
    pub(super) strain: f64,
    pub(super) width_mm: f64,
    pub(super) thickness_mm: f64,
    pub(super) radius_mm: f64,
    pub(super) hold_nm: Option<f64>,
    pub(super) tension_n: Option<f64>,
    pub(super) set_allowed: Option<f64>,
}

/// What a strap is, with every default filled in.
#[derive(Clone, Copy, Debug)]
pub(super) enum Use {
    Pulled(Pulled),
    Stretched(Stretched),
}

impl Strap {
    /// The strap, or every fault of its inputs.
    pub(super) fn use_of(&self) -> Result<Use, Vec<Fault>> {
        let mut faults = Vec::new();
        for (name, value, unit) in [
            ("width", Some(self.width.0), "mm"),
            ("thickness", Some(self.thickness.0), "mm"),
            ("length", self.length.map(|l| l.0), "mm"),
            ("pull", self.pull.map(|f| f.0), "N"),
            ("lasting_pull", self.lasting_pull.map(|f| f.0), "N"),
            ("pin", self.pin.map(|l| l.0), "mm"),
            ("hole", self.hole.map(|l| l.0), "mm"),
            ("wrap_angle", self.wrap_angle.map(|a| a.0), "deg"),
            ("tail", self.tail.map(|f| f.0), "N"),
            ("free_diameter", self.free_diameter.map(|l| l.0), "mm"),
            ("drum", self.drum.map(|l| l.0), "mm"),
            ("hold_torque", self.hold_torque.map(|m| m.0), "N.m"),
            ("tension_needed", self.tension_needed.map(|f| f.0), "N"),
            ("straps", self.straps.map(f64::from), ""),
        ] {
            if let Some(x) = value {
                positive(&mut faults, name, x, unit);
            }
        }
        share(&mut faults, "stretch_allowed", self.stretch_allowed);
        share(&mut faults, "set_allowed", self.set_allowed);
        self.belongs(&mut faults);
        if let Some(hole) = self.hole
            && hole.0 >= self.width.0
        {
            faults.push(Fault::new(
                "duty::strap-hole",
                format!(
                    "a `hole` of {} mm leaves nothing of a strap {} mm wide",
                    shown(hole.0),
                    shown(self.width.0)
                ),
                "make the hole smaller or the strap wider",
            ));
        }
        if let Some(s) = self
            .stretch_allowed
            .filter(|s| *s > MOST_STRETCH && *s <= 1.0)
        {
            faults.push(Fault::new(
                "duty::strap-stretch",
                format!(
                    "`stretch_allowed` is {s}, and the law of stretching ends at {MOST_STRETCH}"
                ),
                format!("allow {MOST_STRETCH} or less"),
            ));
        }
        let used = if self.form == Form::Band {
            self.stretched(&mut faults)
        } else {
            self.pulled()
        };
        match used {
            Some(used) if faults.is_empty() => Ok(used),
            _ => Err(faults),
        }
    }

    /// Refuses inputs that are missing for this form, or belong to another.
    fn belongs(&self, faults: &mut Vec<Fault>) {
        use Form::{Band, Loop, Straight, Wrap};
        let round = self.printed_round == Some(true);
        let all: [(&str, bool, &[Form], &[Form]); 12] = [
            (
                "pull",
                self.pull.is_some(),
                &[Straight, Loop, Wrap],
                &[Straight, Loop, Wrap],
            ),
            (
                "lasting_pull",
                self.lasting_pull.is_some(),
                &[Straight, Loop, Wrap],
                &[],
            ),
            (
                "pin",
                self.pin.is_some(),
                &[Loop, Wrap],
                if round { &[] } else { &[Loop, Wrap] },
            ),
            (
                "printed_round",
                self.printed_round.is_some(),
                &[Loop, Wrap],
                &[],
            ),
            ("hole", self.hole.is_some(), &[Straight, Loop, Wrap], &[]),
            (
                "stretch_allowed",
                self.stretch_allowed.is_some(),
                &[Straight, Loop, Wrap],
                &[],
            ),
            ("wrap_angle", self.wrap_angle.is_some(), &[Wrap], &[Wrap]),
            ("tail", self.tail.is_some(), &[Wrap], &[Wrap]),
            (
                "free_diameter",
                self.free_diameter.is_some(),
                &[Band],
                &[Band],
            ),
            ("drum", self.drum.is_some(), &[Band], &[Band]),
            ("hold_torque", self.hold_torque.is_some(), &[Band], &[]),
            ("set_allowed", self.set_allowed.is_some(), &[Band], &[]),
        ];
        let form = match self.form {
            Straight => "a straight strap",
            Loop => "a loop",
            Wrap => "a wrap",
            Band => "a stretched ring",
        };
        for (name, given, fits, needed) in all {
            if !given && needed.contains(&self.form) {
                faults.push(Fault::new(
                    "duty::strap-form",
                    format!("{form} needs `{name}`, and it is not given"),
                    if name == "pin" {
                        "give `pin`, the diameter that it bends round, or `\"printed_round\": true` where it is printed so".to_owned()
                    } else {
                        format!("give `{name}`, or another `form`")
                    },
                ));
            }
            if given && !fits.contains(&self.form) {
                faults.push(Fault::new(
                    "duty::strap-form",
                    format!("{form} has no `{name}`"),
                    format!("leave `{name}` out, or give another `form`"),
                ));
            }
        }
        if self.tension_needed.is_some() && self.form != Band {
            faults.push(Fault::new(
                "duty::strap-form",
                format!("{form} has no `tension_needed`: its pull is what it must bear"),
                "leave `tension_needed` out, or write `\"form\": \"band\"`",
            ));
        }
        if self.form == Band && self.hold_torque.is_none() && self.tension_needed.is_none() {
            faults.push(Fault::new(
                "duty::nothing-to-hold",
                "neither `hold_torque` nor `tension_needed` is given, so nothing says what the ring must hold",
                "write for example `\"tension_needed\": \"20 N\"`",
            ));
        }
    }

    fn pulled(&self) -> Option<Use> {
        let pull_n = self.pull?.0;
        let lasting = self.lasting_pull.map_or(pull_n, |f| f.0);
        let pin = self.pin.map(|l| l.0);
        Some(Use::Pulled(Pulled {
            pull_n: pull_n.max(lasting),
            lasting_n: lasting,
            legs: if self.form == Form::Loop { 2.0 } else { 1.0 },
            width_mm: self.width.0,
            thickness_mm: self.thickness.0,
            bent: match (self.form, pin) {
                (Form::Loop, Some(pin)) => bent_round(self.thickness.0, pin),
                (Form::Loop, None) => bent_round(1.0, PIN),
                _ => 1.0,
            },
            bent_mm: pin.filter(|_| self.printed_round != Some(true)),
            hole_mm: self.hole.map(|l| l.0),
            stretch_allowed: self.stretch_allowed.unwrap_or(STRETCH),
            wrap: self.wrap_angle.zip(self.tail).map(|(a, f)| (a.0, f.0)),
        }))
    }

    fn stretched(&self, faults: &mut Vec<Fault>) -> Option<Use> {
        let (free, drum) = (self.free_diameter?.0, self.drum?.0);
        let strain = drum / free - 1.0;
        if free > 0.0 && !(strain > 0.0 && strain <= MOST_STRETCH) {
            faults.push(Fault::new(
                "duty::strap-stretch",
                format!(
                    "a `free_diameter` of {} mm over a drum of {} mm is stretched by {:.0} %, and the law holds above 0 and up to {:.0} %",
                    shown(free),
                    shown(drum),
                    100.0 * strain,
                    100.0 * MOST_STRETCH
                ),
                format!("make the free ring between {:.1} and {:.1} mm", drum / (1.0 + MOST_STRETCH), drum),
            ));
            return None;
        }
        Some(Use::Stretched(Stretched {
            strain,
            width_mm: self.width.0,
            thickness_mm: self.thickness.0,
            radius_mm: 0.5 * drum,
            hold_nm: self.hold_torque.map(|m| m.0),
            tension_n: self.tension_needed.map(|f| f.0),
            set_allowed: self.set_allowed,
        }))
    }

    /// Polymer of one strap, mm3.
    pub(super) fn volume_mm3(&self) -> f64 {
        let (w, t) = (self.width.0, self.thickness.0);
        match (self.length, self.free_diameter) {
            (Some(length), _) => length.0 * w * t,
            (None, Some(free)) => ring_volume_mm3(free.0, w, t),
            (None, None) => 10.0 * w * w * t,
        }
    }

    /// Says which inputs were left to their defaults, and what is not judged.
    pub(super) fn note_defaults(&self, setting: &Setting, duty: &mut Duty) {
        let band = self.form == Form::Band;
        let mut note = |given: bool, text: &str| {
            if !given {
                duty.notes.push(text.to_owned());
            }
        };
        note(
            band || self.lasting_pull.is_some(),
            "`lasting_pull` left out: the hardest pull stays on it all its life",
        );
        note(
            self.form != Form::Loop || self.pin.is_some(),
            "`pin` left out of a loop that is printed round it: twenty times the thickness, for the stress beside it",
        );
        note(
            !matches!(self.form, Form::Loop | Form::Wrap) || self.printed_round.is_some(),
            "`printed_round` left out: printed straight and bent when it is put on",
        );
        note(
            band || self.stretch_allowed.is_some(),
            "`stretch_allowed` left out: 0.1",
        );
        note(
            self.length.is_some() || self.free_diameter.is_some(),
            "`length` left out: ten times its width, for cost and weight only",
        );
        let rubs = self.form == Form::Wrap || self.hold_torque.is_some();
        note(
            !rubs || setting.counterface.is_some(),
            "`counterface` left out: smooth steel",
        );
        note(self.straps.is_some(), "`straps` left out: 1");
        if band {
            duty.notes.push(
                "warmth lengthens the ring as well as relaxing it; at small stretches that counts, and it is not judged here".to_owned(),
            );
        } else {
            duty.notes.push(
                "knots, buckles and sewn or welded ends hold less than the strip: test them as they will be used".to_owned(),
            );
        }
    }
}
