//! The inputs of a knob, checked and with their defaults.

use crate::duty::mechanics::held::Bar;
use crate::duty::mechanics::sleeve::{Fit, MOST_STRETCH};
use crate::duty::mechanics::usual::{positive, shown};
use crate::duty::{Duty, Setting};
use crate::num::shape::ring_area_mm2;
use crate::problem::Fault;
use crate::property::ROOM_C;
use crate::quantity::{Force, Length, Torque};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// K9: torque of a hand on one household knob, 14 men, in lbf.in: mean and standard deviation
/// (a measured set, verified in source).
const HAND_LBF_IN: (f64, f64) = (36.0, 7.2);
/// Standard deviations above the mean that a knob survives (ours).
const STRONG: f64 = 3.0;
/// N.m in a lbf.in (exact by definition, rounded).
const LBF_IN: f64 = 0.112_984_829;

/// K9: mean torque of a hand and that of a strong one, N.m: 4.07 and 6.51.
pub(super) fn hand_nm() -> (f64, f64) {
    let (mean, sd) = HAND_LBF_IN;
    (mean * LBF_IN, (mean + STRONG * sd) * LBF_IN)
}

/// What keeps the knob from turning on its shaft.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Fixing {
    /// A flat on the shaft.
    Flat,
    /// A bore smaller than the round shaft.
    Press,
    /// A grub screw or pin through the hub's wall into the shaft.
    Screw,
}

/// A knob or hand wheel on a shaft.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct Knob {
    /// Diameter across which the hand grips.
    #[schemars(extend("why" = "a large knob lets the hand turn harder, and counts for the cost"))]
    pub(super) rim_diameter: Length,
    /// Height of the rim; as the hub's length when left out. For cost and weight.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "counts for the cost"))]
    pub(super) rim_height: Option<Length>,
    /// Outside diameter of the hub, where it is thinnest round the shaft.
    #[schemars(extend("why" = "decides whether the hub twists off or splits"))]
    pub(super) hub_diameter: Length,
    /// Length of the hub on the shaft.
    #[schemars(extend("why" = "spreads what the shaft presses on"))]
    pub(super) hub_length: Length,
    /// Diameter of the shaft.
    #[schemars(extend("why" = "a thin shaft presses harder for the same torque"))]
    pub(super) shaft: Length,
    /// What keeps it from turning on the shaft.
    #[schemars(extend("why" = "each way fails in its own: the flat is crushed, the press fit relaxes, the screw tears out"))]
    pub(super) fixing: Fixing,
    /// Width of the shaft's flat, from edge to edge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a narrow flat is crushed at its edge and turns through"))]
    pub(super) flat_width: Option<Length>,
    /// Bore of a knob that is pressed on, before it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "how much smaller than the shaft it is decides how firmly it sits, and whether it splits"))]
    pub(super) bore: Option<Length>,
    /// Diameter of the grub screw or pin.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a thin screw cuts through the hub's wall"))]
    pub(super) screw: Option<Length>,
    /// Hardest torque that it must survive; a strong hand's 6.51 N.m when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "whoever turns hardest, or a tool on it, decides whether it breaks"))]
    pub(super) torque: Option<Torque>,
    /// Torque of everyday turning; not judged by itself when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "with how often it is turned decides whether it cracks in time, and whether a wet hand slips"))]
    pub(super) everyday_torque: Option<Torque>,
    /// Times a day that it is turned; a case's `cycles` counts them instead.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "many small turns crack what one hard turn does not"))]
    pub(super) turns_per_day: Option<f64>,
    /// Force with which a weak or wet hand squeezes a smooth round rim; a fluted or lobed one leaves it out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "the knob must be turned by the weak: on a smooth rim a hand slips"))]
    pub(super) grip_force: Option<Force>,
    /// Spokes between hub and rim; a full disc when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "spokes bend at the hub"))]
    pub(super) spokes: Option<u32>,
    /// Width of a spoke along the rim.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides whether a spoke breaks at the hub"))]
    pub(super) spoke_width: Option<Length>,
    /// Thickness of a spoke along the shaft.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides whether a spoke breaks at the hub"))]
    pub(super) spoke_thickness: Option<Length>,
    /// What the shaft is made of; by the surface in contact when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a press fit loosens as the polymer grows more in the heat than the shaft"))]
    pub(super) shaft_material: Option<Bar>,
    /// How many such knobs the use has; 1 when left out. Counts for cost.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "counts for the cost"))]
    pub(super) knobs: Option<u32>,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub(super) note: String,
}

/// How it sits on its shaft.
#[derive(Clone, Copy, Debug)]
pub(super) enum Seat {
    Flat { half_width_mm: f64 },
    Press { fit: Fit },
    Screw { screw_mm: f64 },
}

/// The knob with every default filled in; torques without a class's factor.
#[derive(Clone, Copy, Debug)]
pub(super) struct Turned {
    pub(super) rim_mm: f64,
    pub(super) hub_mm: f64,
    pub(super) length_mm: f64,
    pub(super) shaft_mm: f64,
    pub(super) seat: Seat,
    pub(super) torque_nm: f64,
    pub(super) everyday_nm: Option<f64>,
    /// How often it is turned over the life.
    pub(super) cycles: Option<f64>,
    pub(super) grip_n: Option<f64>,
    /// Number, width along the rim and thickness along the shaft of the spokes, mm.
    pub(super) spokes: Option<(f64, f64, f64)>,
}

impl Turned {
    /// Outer and inner diameter and length of the hub, mm.
    pub(super) fn hub(&self) -> (f64, f64, f64) {
        (self.hub_mm, self.shaft_mm, self.length_mm)
    }

    pub(super) fn wall_mm(&self) -> f64 {
        0.5 * (self.hub_mm - self.shaft_mm)
    }
}

impl Knob {
    /// What the shaft is made of.
    pub(super) fn shaft_of(&self, setting: &Setting) -> Bar {
        self.shaft_material
            .unwrap_or_else(|| Bar::of_surface(setting.counterface.as_deref()))
    }

    /// The shaft's surface: stated, or by what it is made of.
    pub(super) fn surface(&self, setting: &Setting) -> String {
        setting
            .counterface
            .clone()
            .unwrap_or_else(|| self.shaft_of(setting).surface().to_owned())
    }

    /// The knob, or every fault of its inputs.
    pub(super) fn turned(&self, setting: &Setting) -> Result<Turned, Vec<Fault>> {
        let mut faults = Vec::new();
        for (name, value, unit) in [
            ("rim_diameter", Some(self.rim_diameter.0), "mm"),
            ("rim_height", self.rim_height.map(|l| l.0), "mm"),
            ("hub_diameter", Some(self.hub_diameter.0), "mm"),
            ("hub_length", Some(self.hub_length.0), "mm"),
            ("shaft", Some(self.shaft.0), "mm"),
            ("flat_width", self.flat_width.map(|l| l.0), "mm"),
            ("bore", self.bore.map(|l| l.0), "mm"),
            ("screw", self.screw.map(|l| l.0), "mm"),
            ("torque", self.torque.map(|m| m.0), "N.m"),
            ("everyday_torque", self.everyday_torque.map(|m| m.0), "N.m"),
            ("turns_per_day", self.turns_per_day, ""),
            ("grip_force", self.grip_force.map(|f| f.0), "N"),
            ("spokes", self.spokes.map(f64::from), ""),
            ("spoke_width", self.spoke_width.map(|l| l.0), "mm"),
            ("spoke_thickness", self.spoke_thickness.map(|l| l.0), "mm"),
            ("knobs", self.knobs.map(f64::from), ""),
        ] {
            if let Some(x) = value {
                positive(&mut faults, name, x, unit);
            }
        }
        let (rim, hub, shaft) = (self.rim_diameter.0, self.hub_diameter.0, self.shaft.0);
        if hub <= shaft || rim < hub {
            faults.push(Fault::new(
                "duty::knob-hub",
                format!(
                    "a `hub_diameter` of {} mm does not lie between the shaft of {} mm and the rim of {} mm",
                    shown(hub),
                    shown(shaft),
                    shown(rim)
                ),
                "write the outside of the hub as `hub_diameter`: more than the shaft, no more than the rim",
            ));
        }
        let seat = self.seat(setting, &mut faults);
        let spokes = match (self.spokes, self.spoke_width, self.spoke_thickness) {
            (None, None, None) => None,
            (Some(n), Some(b), Some(h)) => Some((f64::from(n), b.0, h.0)),
            _ => {
                faults.push(Fault::new(
                    "duty::knob-spokes",
                    "`spokes`, `spoke_width` and `spoke_thickness` belong together, and not all are given",
                    "give all three, or none for a full disc",
                ));
                None
            }
        };
        if self.grip_force.is_some() && self.everyday_torque.is_none() {
            faults.push(Fault::new(
                "duty::nothing-to-hold",
                "`grip_force` is given, but no `everyday_torque` that the hand must reach with it",
                "write for example `\"everyday_torque\": \"0.5 N.m\"`, or leave `grip_force` out",
            ));
        }
        match seat {
            Some(seat) if faults.is_empty() => Ok(Turned {
                rim_mm: rim,
                hub_mm: hub,
                length_mm: self.hub_length.0,
                shaft_mm: shaft,
                seat,
                torque_nm: self.torque_nm(),
                everyday_nm: self.everyday_torque.map(|m| m.0),
                cycles: setting
                    .cycles
                    .or_else(|| self.turns_per_day.map(|n| n * setting.life_h / 24.0)),
                grip_n: self.grip_force.map(|f| f.0),
                spokes,
            }),
            _ => Err(faults),
        }
    }

    /// Hardest torque, N.m: never less than the everyday one.
    fn torque_nm(&self) -> f64 {
        let hard = self.torque.map_or(hand_nm().1, |m| m.0);
        self.everyday_torque.map_or(hard, |m| hard.max(m.0))
    }

    fn seat(&self, setting: &Setting, faults: &mut Vec<Fault>) -> Option<Seat> {
        let given = [
            (Fixing::Flat, "flat_width", self.flat_width),
            (Fixing::Press, "bore", self.bore),
            (Fixing::Screw, "screw", self.screw),
        ];
        let mut size = None;
        for (fixing, name, value) in given {
            match value {
                Some(l) if fixing == self.fixing => size = Some(l.0),
                None if fixing == self.fixing => faults.push(Fault::new(
                    "duty::knob-fixing",
                    format!("this `fixing` needs `{name}`, and it is not given"),
                    format!("give `{name}`, or another `fixing`"),
                )),
                Some(_) => faults.push(Fault::new(
                    "duty::knob-fixing",
                    format!("`{name}` belongs to another `fixing`"),
                    format!("leave `{name}` out, or change `fixing`"),
                )),
                None => {}
            }
        }
        let (size, shaft) = (size?, self.shaft.0);
        match self.fixing {
            Fixing::Flat if size >= shaft => {
                faults.push(Fault::new(
                    "duty::knob-fixing",
                    format!(
                        "a `flat_width` of {} mm is not less than the shaft of {} mm",
                        shown(size),
                        shown(shaft)
                    ),
                    "write the width of the flat itself, from edge to edge, as `flat_width`",
                ));
                None
            }
            Fixing::Flat => Some(Seat::Flat {
                half_width_mm: 0.5 * size,
            }),
            Fixing::Press if size > 0.0 && (size >= shaft || shaft > MOST_STRETCH * size) => {
                faults.push(Fault::new(
                    "duty::knob-fixing",
                    format!(
                        "a `bore` of {} mm on a shaft of {} mm is no press fit that the formulas cover",
                        shown(size),
                        shown(shaft)
                    ),
                    format!("make the bore less than the shaft and more than {:.2} mm", shaft / MOST_STRETCH),
                ));
                None
            }
            Fixing::Press => Some(Seat::Press {
                fit: Fit {
                    bar_mm: shaft,
                    bore_mm: size,
                    outer_mm: self.hub_diameter.0,
                    length_mm: self.hub_length.0,
                    bar_expansion: self.shaft_of(setting).expansion(),
                    fitted_c: ROOM_C,
                },
            }),
            Fixing::Screw => Some(Seat::Screw { screw_mm: size }),
        }
    }

    /// Polymer of one knob, mm3: a full disc, or hub, spokes and a rim as thick as a spoke.
    pub(super) fn volume_mm3(&self, knob: &Turned) -> f64 {
        let height = self.rim_height.map_or(knob.length_mm, |l| l.0);
        let hub = ring_area_mm2(knob.hub_mm, knob.shaft_mm) * knob.length_mm;
        match knob.spokes {
            None => hub + ring_area_mm2(knob.rim_mm, knob.hub_mm) * height,
            Some((n, b, h)) => {
                let inner = (knob.rim_mm - 2.0 * h).max(knob.hub_mm);
                hub + n * b * h * 0.5 * (inner - knob.hub_mm)
                    + ring_area_mm2(knob.rim_mm, inner) * height
            }
        }
    }

    /// Says which inputs were left to their defaults, and what is not judged.
    pub(super) fn note_defaults(&self, setting: &Setting, duty: &mut Duty) {
        let mut note = |given: bool, text: String| {
            if !given {
                duty.notes.push(text);
            }
        };
        let (mean, strong) = hand_nm();
        note(
            self.torque.is_some(),
            format!(
                "`torque` left out: a strong hand's {strong:.2} N.m, the mean of {mean:.2} N.m that 14 men reached on one household knob and three standard deviations; a larger knob invites more"
            ),
        );
        note(
            self.everyday_torque.is_some() && (self.turns_per_day.is_some() || setting.cycles.is_some()),
            "`everyday_torque` with `turns_per_day` or `cycles` left out: cracks by many turns are not judged".to_owned(),
        );
        note(
            self.grip_force.is_some(),
            "`grip_force` left out: whether a wet or weak hand slips is not judged; flutes or lobes settle it".to_owned(),
        );
        note(
            self.fixing != Fixing::Flat,
            "play on the flat raises its pressure beyond what is judged: make the bore fit"
                .to_owned(),
        );
        note(
            self.fixing != Fixing::Flat,
            "the inner corners of a D-shaped bore, where such hubs crack first, are not judged: round them by a millimetre or more"
                .to_owned(),
        );
        note(
            self.fixing != Fixing::Screw,
            "the screw's own thread in the polymer is not judged: use a nut or an insert"
                .to_owned(),
        );
        note(
            self.fixing != Fixing::Press
                || self.shaft_material.is_some()
                || setting.counterface.is_some(),
            "`shaft_material` left out: steel".to_owned(),
        );
        note(self.knobs.is_some(), "`knobs` left out: 1".to_owned());
    }
}
