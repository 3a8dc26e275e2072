//! The clip part kind: a spring clip, opened to be put on and held open for years.
//!
//! A polymer that is held bent relaxes: what counts is the force that is left at the end of the life
//! at the hot end, not the force on the first day.

mod docs;
mod spring;

use self::spring::{Form, Spring};
use crate::duty::mechanics::beam::{Arm, BENT_TO, Notch, SLENDER_FROM, fillet_factor};
use crate::duty::mechanics::bent::Bent;
use crate::duty::mechanics::layers::Layers;
use crate::duty::mechanics::pushed::pushed;
use crate::duty::mechanics::ring::OpenRing;
use crate::duty::mechanics::surroundings::{ends, usual_end};
use crate::duty::mechanics::usual::{self, left_out, positive, share, shown};
use crate::duty::part::read_inputs;
use crate::duty::{Deed, Duty, LiesOnBed, Lying, Part, PartKind, Promise, Setting, ValueScale};
use crate::policy::Class;
use crate::problem::Fault;
use crate::property::Lies;
use crate::quantity::{Angle, Force, Length};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Angle of a ring's mouth where the case does not say it, deg (ours).
const MOUTH_DEG: f64 = 90.0;
/// Force that finger and thumb give without effort, N (from memory, not verified).
const OPEN_N: f64 = 40.0;
/// Thickness over middle radius beyond which a ring is no thin one: its give is told some 3 % wrong (ours).
const THIN_TO: f64 = 0.5;
/// Opening over middle radius beyond which a ring's formulas are refused: its arms turn by some 20 deg (ours).
const RING_OPENS_TO: f64 = 1.0;
/// Times the grip asked from which more gives nothing (ours).
const GRIP_ENOUGH: f64 = 4.0;
/// Times the strain of opening from which more reserve gives nothing (ours).
const TOUGH_ENOUGH: f64 = 5.0;
/// Margin below the softening onset, K: the low end of common practice for lasting loads (no source).
const HEAT_MARGIN_K: f64 = 20.0;

/// What springs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum Shape {
    /// An open ring round a rod or tube.
    Ring,
    /// Two straight arms side by side, joined at their roots.
    Arms,
}

/// A spring clip that is opened to be put on and stays open for years.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct Clip {
    /// What springs.
    #[schemars(extend("why" = "an open ring spreads its bending, two arms bend at their roots"))]
    shape: Shape,
    /// Thickness of the wall or arm, in the direction in which it bends.
    #[schemars(extend("why" = "a thicker clip grips more and cracks sooner when opened"))]
    thickness: Length,
    /// Width of the wall or arm, across the bending.
    #[schemars(extend("why" = "decides how much it grips"))]
    width: Length,
    /// Inner diameter of a ring as printed; needed for a ring.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a wider ring opens with less strain"))]
    inner_diameter: Option<Length>,
    /// Angle of a ring's mouth seen from its centre, up to 180 deg; 90 deg when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a wide mouth leaves less ring that can bend"))]
    mouth: Option<Angle>,
    /// Length of an arm from its root to where it grips; needed for arms.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a longer arm opens with less strain"))]
    arm_length: Option<Length>,
    /// Radius of the inner corner at the roots of the arms; a sharp corner when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a sharp corner gathers up to three times the strain, and the crack begins there"))]
    fillet_radius: Option<Length>,
    /// Share of the corner's effect that counts, 0 to 1: all for brittle materials, 0.3 to 0.6 for tough ones; 1 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "tough materials feel a sharp corner less than brittle ones"))]
    notch_sensitivity: Option<f64>,
    /// How far its two tips are pulled apart, beyond their distance as printed, to put it on.
    #[schemars(extend("why" = "decides whether it cracks or stays open when it is put on"))]
    opening: Length,
    /// How far its two tips stay apart, beyond their distance as printed, while it grips.
    #[schemars(extend("why" = "decides how hard it grips, and what it must bear for years"))]
    held_opening: Length,
    /// Force between its tips that must be left at the end of its life.
    #[schemars(extend("why" = "a plastic that is held bent loses its force over the years"))]
    grip: Force,
    /// How often it is opened over its life; by the case's `cycles`, else 1, when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "what is opened often cracks at less strain, and must spring back each time"))]
    openings: Option<f64>,
    /// Most force at the tips to open it; 40 N when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides which materials are too stiff to open by hand"))]
    open_limit: Option<Force>,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

impl Clip {
    fn needed(faults: &mut Vec<Fault>, shape: &str, name: &str, value: Option<Length>) -> f64 {
        match value {
            Some(l) => {
                positive(faults, name, l.0, "mm");
                l.0
            }
            None => {
                faults.push(Fault::new(
                    "duty::dimension-missing",
                    format!("a clip of shape `{shape}` needs `{name}`"),
                    format!("write it, for example `\"{name}\": \"20 mm\"`"),
                ));
                f64::NAN
            }
        }
    }

    fn foreign(faults: &mut Vec<Fault>, shape: &str, given: &[(&str, bool)]) {
        for (name, _) in given.iter().filter(|g| g.1) {
            faults.push(Fault::new(
                "duty::dimension-foreign",
                format!("a clip of shape `{shape}` has no `{name}`"),
                format!("leave `{name}` out"),
            ));
        }
    }

    fn form(&self, faults: &mut Vec<Fault>) -> Form {
        let (thickness_mm, width_mm) = (self.thickness.0, self.width.0);
        match self.shape {
            Shape::Ring => {
                Self::foreign(
                    faults,
                    "ring",
                    &[
                        ("arm_length", self.arm_length.is_some()),
                        ("fillet_radius", self.fillet_radius.is_some()),
                        ("notch_sensitivity", self.notch_sensitivity.is_some()),
                    ],
                );
                let inner = Self::needed(faults, "ring", "inner_diameter", self.inner_diameter);
                let ring = OpenRing {
                    radius_mm: 0.5 * (inner + thickness_mm),
                    thickness_mm,
                    width_mm,
                    mouth_deg: self.mouth.map_or(MOUTH_DEG, |a| a.0),
                };
                if !(ring.mouth_deg > 0.0 && ring.mouth_deg <= 180.0) {
                    faults.push(Fault::new(
                        "duty::mouth",
                        format!("a `mouth` of {} deg leaves no clip round the rod", shown(ring.mouth_deg)),
                        "write the angle of the mouth seen from the centre, above 0 and up to 180 deg",
                    ));
                }
                if thickness_mm > THIN_TO * ring.radius_mm {
                    faults.push(Fault::new(
                        "duty::thick-ring",
                        format!(
                            "a wall of {} mm on a middle radius of {} mm is no thin ring, and its give is told wrong",
                            shown(thickness_mm),
                            shown(ring.radius_mm)
                        ),
                        "make the wall thinner, at most half the middle radius",
                    ));
                }
                Form::Ring(ring)
            }
            Shape::Arms => {
                Self::foreign(
                    faults,
                    "arms",
                    &[
                        ("inner_diameter", self.inner_diameter.is_some()),
                        ("mouth", self.mouth.is_some()),
                    ],
                );
                share(faults, "notch_sensitivity", self.notch_sensitivity);
                let arm = Arm {
                    length_mm: Self::needed(faults, "arms", "arm_length", self.arm_length),
                    width_mm,
                    thickness_mm,
                };
                if arm.length_mm < SLENDER_FROM * thickness_mm {
                    faults.push(Fault::new(
                        "duty::short-arm",
                        format!(
                            "arms of {} mm are less than {SLENDER_FROM} times as long as they are thick: what joins them bends too",
                            shown(arm.length_mm)
                        ),
                        format!("make them at least {} mm long, or thinner", shown(SLENDER_FROM * thickness_mm)),
                    ));
                }
                let radius = self.fillet_radius.map_or(0.0, |r| r.0);
                Form::Arms(
                    arm,
                    Notch {
                        concentration: fillet_factor(radius, thickness_mm),
                        sensitivity: self.notch_sensitivity.unwrap_or(1.0),
                    },
                )
            }
        }
    }

    fn settle(&self, setting: &Setting) -> Result<Spring, Vec<Fault>> {
        let mut faults = Vec::new();
        for (name, l) in [
            ("thickness", Some(self.thickness)),
            ("width", Some(self.width)),
            ("opening", Some(self.opening)),
            ("held_opening", Some(self.held_opening)),
            ("fillet_radius", self.fillet_radius),
        ] {
            if let Some(l) = l {
                positive(&mut faults, name, l.0, "mm");
            }
        }
        positive(&mut faults, "grip", self.grip.0, "N");
        if let Some(f) = self.open_limit {
            positive(&mut faults, "open_limit", f.0, "N");
        }
        if let Some(n) = self.openings {
            positive(&mut faults, "openings", n, "");
        }
        let form = self.form(&mut faults);
        let (opening, held) = (self.opening.0, self.held_opening.0);
        if held > opening {
            faults.push(Fault::new(
                "duty::held-wider",
                format!(
                    "it is held open by {} mm, and was never opened further than {} mm",
                    shown(held),
                    shown(opening)
                ),
                "write as `opening` the widest that it is ever pulled apart",
            ));
        }
        let most = match form {
            Form::Ring(ring) => RING_OPENS_TO * ring.radius_mm,
            Form::Arms(arm, _) => 2.0 * BENT_TO * arm.length_mm,
        };
        if opening > most {
            faults.push(Fault::new(
                "duty::bent-too-far",
                format!(
                    "an opening of {} mm bends the clip further than the formulas hold, {} mm",
                    shown(opening),
                    shown(most)
                ),
                "open it less, or make the clip larger",
            ));
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        Ok(Spring {
            form,
            opening_mm: opening,
            held_mm: held,
            openings: self.openings.or(setting.cycles).unwrap_or(1.0),
        })
    }

    fn note_defaults(&self, setting: &Setting, duty: &mut Duty) {
        if self.shape == Shape::Ring {
            left_out(duty, "mouth", self.mouth.is_some(), "90 deg");
        } else {
            left_out(
                duty,
                "fillet_radius",
                self.fillet_radius.is_some(),
                "a sharp corner, which triples the strain at the roots",
            );
        }
        left_out(
            duty,
            "openings",
            self.openings.is_some() || setting.cycles.is_some(),
            "1, put on once for good",
        );
        left_out(
            duty,
            "open_limit",
            self.open_limit.is_some(),
            "40 N (assumed)",
        );
    }
}

impl Part for Clip {
    fn kind(&self) -> &'static str {
        "clip"
    }

    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let spring = self.settle(setting)?;
        self.note_defaults(setting, duty);
        let class = setting.class_of(Class::Damage);
        let grip_n = self.grip.0 * usual::loads_factor(setting, class, duty);
        let open_n = self.open_limit.map_or(OPEN_N, |f| f.0);
        let lies = BENDING.of(setting, LYING);
        for end in ends(setting) {
            let bent = Bent {
                setting,
                at_c: end.temperature_c,
                lies,
            };
            spring.opened_limits(bent, end, class, open_n, duty);
            spring.held_limits(bent, end, class, grip_n, duty);
        }
        let heat = usual::heat_margin(setting, duty, HEAT_MARGIN_K, class);
        duty.limits.push(heat);
        duty.promise = Some(Promise {
            parts: "clips",
            deeds: vec![
                Deed::new(
                    "open by",
                    spring.opening_mm,
                    Length::UNIT,
                    "without a crack",
                ),
                Deed::new("still grip with", grip_n, Force::UNIT, "at the end"),
            ],
        });

        let hot = Bent {
            setting,
            at_c: setting.temperature_c.1,
            lies,
        };
        let (needs, crepts) = spring.grip_needs(hot, duty);
        let grip = usual::aim(
            "grip-kept",
            Force::UNIT,
            ValueScale {
                zero: grip_n,
                one: GRIP_ENOUGH * grip_n,
                log: true,
            },
            needs,
            spring.grip_left(crepts),
        );
        let usually = Bent {
            at_c: usual_end(setting).temperature_c,
            ..hot
        };
        let breaks = duty.ask(usually.along("break-strain"));
        let tough = usual::aim(
            "toughness",
            "1",
            ValueScale {
                zero: 1.0,
                one: TOUGH_ENOUGH,
                log: true,
            },
            vec![vec![breaks]],
            spring.reserve(),
        );
        duty.aims.extend([grip, tough]);
        let everyday = usual::everyday_aims(setting, duty, HEAT_MARGIN_K, spring.form.volume_mm3());
        duty.aims.extend(everyday);
        duty.preference = usual::points(&[
            ("grip-kept", 40.0),
            ("toughness", 20.0),
            ("heat-reserve", 10.0),
            ("easy-print", 15.0),
            ("cost", 15.0),
        ]);
        Ok(())
    }

    pushed!(
        Load grip,
        Thickness width,
    );

    fn words(&self) -> Vec<String> {
        vec![self.note.clone()]
    }
}

const LYING: Lying = Lying {
    flat: "lying with its profile on the bed, so that its bending runs in the layers",
    edge: "lying on its back, so that opening it pulls the layers of its sides apart",
    upright: "standing with its tips up, so that opening it pulls the layers of its back apart",
    open: LiesOnBed::Upright,
};

/// How the tension of the opened clip lies to the layers.
const BENDING: Layers = Layers {
    flat: Lies::InPlane,
    edge: Lies::Across,
    upright: Lies::Across,
};

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "clip",
    title: "a spring clip, opened to be put on and held open for years",
    read: read_inputs::<Clip>,
    schema: || schemars::schema_for!(Clip),
    example: docs::EXAMPLE,
    formulas: docs::FORMULAS,
    limits: &[
        ("opening-crack", "%"),
        ("opening-set", "%"),
        ("opening-force", "N"),
        ("grip-left", "N"),
        ("held-crack", "1"),
        ("heat-margin", "K"),
    ],
    lying: Some(LYING),
};
