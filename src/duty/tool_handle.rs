//! The tool-handle part kind: a rigid round handle that a hand pulls, twists and strikes with.
//!
//! What the hand can turn is friction and not the handle; what breaks is its root, its layers or
//! what holds it to the tool.

mod docs;
mod shaft;

use self::shaft::{Bolts, Shaft, Twist};
use crate::duty::mechanics::beam::{Notch, fillet_factor};
use crate::duty::mechanics::bent::Bent;
use crate::duty::mechanics::layers::Layers;
use crate::duty::mechanics::pushed::pushed;
use crate::duty::mechanics::surroundings::{ends, plain_ask, usual_end};
use crate::duty::mechanics::usual::{self, left_out, positive, share, shown};
use crate::duty::part::read_inputs;
use crate::duty::{
    Deed, Duty, LiesOnBed, Lying, Part, PartKind, Performance, Promise, Setting, ValueScale,
};
use crate::policy::Class;
use crate::problem::Fault;
use crate::property::Lies;
use crate::quantity::{Energy, Force, Length, Temperature, Torque};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Force of a hand on each side of a handle where the case does not say it, N (from memory, not verified).
const GRIP_N: f64 = 100.0;
/// Diameters liked for a power grip, mm (verified in source, for hand tools).
const LIKED_MM: (f64, f64) = (32.0, 50.0);
/// Length over diameter below which a handle is a block and no beam (ours).
const BEAM_FROM: f64 = 1.0;
/// Give over length of a handle that is as springy as is just acceptable, and from which stiffer gives
/// nothing (ours).
const GIVE_SHARE: (f64, f64) = (0.05, 0.005);
/// Notched impact strength, kJ/m2, that is just acceptable, and from which more gives nothing (ours).
const TOUGH_KJ_M2: (f64, f64) = (1.0, 30.0);
/// Conductivity, W/(m.K), of a handle as cold in the hand as is just acceptable, and from which less
/// gives nothing (ours).
const WARM: (f64, f64) = (0.5, 0.12);
/// Margin below the softening onset, K: the low end of common practice for lasting loads (no source).
const HEAT_MARGIN_K: f64 = 20.0;

/// A rigid round handle of a tool.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct ToolHandle {
    /// Outside diameter.
    #[schemars(extend("why" = "twice the diameter carries eight times the pull; 32 to 50 mm lies well in the hand"))]
    diameter: Length,
    /// Diameter of the hole along it, for a tang or a rod; none when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a hole takes away what carries the pull"))]
    bore: Option<Length>,
    /// From where the tool or the nearer bolt holds it to the middle of the hand.
    #[schemars(extend("why" = "the longer the lever, the more a pull bends the root"))]
    length: Length,
    /// Most pull of the hand, sideways.
    #[schemars(extend("why" = "decides whether it breaks where the tool holds it"))]
    pull: Force,
    /// Radius of the inner corner where it meets the tool; a sharp corner when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a sharp corner gathers up to three times the stress, and the crack begins there"))]
    fillet_radius: Option<Length>,
    /// Share of the corner's effect that counts, 0 to 1: all for brittle materials, 0.3 to 0.6 for tough ones; 1 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "tough materials feel a sharp corner less than brittle ones"))]
    notch_sensitivity: Option<f64>,
    /// Torque that the hand must give the tool; not judged when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides whether the hand slips, and whether the handle shears between its layers"))]
    twist: Option<Torque>,
    /// Force of the hand on each side of the handle; 100 N when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "the harder the hand holds, the more it can turn"))]
    grip_force: Option<Force>,
    /// Friction of the hand on the handle, 0.3 to 1 by dry or damp skin; asked of the material on skin when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "wet or oily hands turn less"))]
    skin_friction: Option<f64>,
    /// Energy of a blow that it must take, across its length; not judged when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a tool that strikes or falls bends its handle at once"))]
    blow: Option<Energy>,
    /// Diameter of the two bolts that hold it; not judged when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a thin bolt presses into the plastic"))]
    bolt_diameter: Option<Length>,
    /// Distance of the two bolts along the handle; needed with `bolt_diameter`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "the closer the bolts, the harder they are pressed into the plastic"))]
    bolt_spacing: Option<Length>,
    /// Hottest that the tool's side of it gets; the surroundings when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a hot tool softens the handle from its root"))]
    tool_temperature: Option<Temperature>,
    /// Whether it is the handle of a tool that vibrates; no when left out.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    #[schemars(extend("why" = "vibration harms hands, and this tool does not judge it"))]
    vibrates: bool,
    /// The tool, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    #[schemars(extend("why" = "some tools raise a caution, and some are not for a printed handle"))]
    tool: String,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

impl ToolHandle {
    fn settle(&self) -> Result<Shaft, Vec<Fault>> {
        let mut faults = Vec::new();
        for (name, l) in [
            ("diameter", Some(self.diameter)),
            ("bore", self.bore),
            ("length", Some(self.length)),
            ("fillet_radius", self.fillet_radius),
            ("bolt_diameter", self.bolt_diameter),
            ("bolt_spacing", self.bolt_spacing),
        ] {
            if let Some(l) = l {
                positive(&mut faults, name, l.0, "mm");
            }
        }
        positive(&mut faults, "pull", self.pull.0, "N");
        if let Some(f) = self.grip_force {
            positive(&mut faults, "grip_force", f.0, "N");
        }
        if let Some(m) = self.twist {
            positive(&mut faults, "twist", m.0, "N.m");
        }
        if let Some(e) = self.blow {
            positive(&mut faults, "blow", e.0, "J");
        }
        if let Some(mu) = self.skin_friction {
            positive(&mut faults, "skin_friction", mu, "");
        }
        share(&mut faults, "notch_sensitivity", self.notch_sensitivity);
        let (outer, bore, length) = (
            self.diameter.0,
            self.bore.map_or(0.0, |b| b.0),
            self.length.0,
        );
        if bore >= outer {
            faults.push(Fault::new(
                "duty::ring-hole",
                format!(
                    "`bore` {} mm leaves nothing of a handle of `diameter` {} mm",
                    shown(bore),
                    shown(outer)
                ),
                "write the hole as `bore` and the outside as `diameter`",
            ));
        }
        if length < BEAM_FROM * outer {
            faults.push(Fault::new(
                "duty::short-arm",
                format!(
                    "a handle of {} mm is shorter than it is thick, {} mm: a knob and no beam, which these formulas do not cover",
                    shown(length),
                    shown(outer)
                ),
                "write how far from the tool the hand pulls as `length`, no less than `diameter`",
            ));
        }
        let bolts = match (self.bolt_diameter, self.bolt_spacing) {
            (Some(d), Some(s)) => Some(Bolts {
                diameter_mm: d.0,
                spacing_mm: s.0,
            }),
            (None, None) => None,
            _ => {
                faults.push(Fault::new(
                    "duty::screws",
                    "the two bolts need both `bolt_diameter` and `bolt_spacing`",
                    "write both, or neither",
                ));
                None
            }
        };
        if let Some(b) = bolts
            && b.diameter_mm >= outer
        {
            faults.push(Fault::new(
                "duty::screws",
                "a bolt as thick as the handle leaves nothing of it",
                "write the diameter of the bolt as `bolt_diameter`",
            ));
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        Ok(Shaft {
            outer_mm: outer,
            bore_mm: bore,
            length_mm: length,
            pull_n: self.pull.0,
            notch: Notch {
                concentration: fillet_factor(self.fillet_radius.map_or(0.0, |r| r.0), outer),
                sensitivity: self.notch_sensitivity.unwrap_or(1.0),
            },
            bolts,
        })
    }

    fn note_defaults(&self, duty: &mut Duty) {
        left_out(
            duty,
            "fillet_radius",
            self.fillet_radius.is_some(),
            "a sharp corner, which triples the stress at the root",
        );
        if self.twist.is_some() {
            left_out(
                duty,
                "grip_force",
                self.grip_force.is_some(),
                "100 N (assumed)",
            );
        }
        let (thin, thick) = LIKED_MM;
        if !(thin..=thick).contains(&self.diameter.0) {
            duty.notes.push(format!(
                "a power grip is liked at {thin} to {thick} mm of diameter; this one is {} mm",
                shown(self.diameter.0)
            ));
        }
        if self.bolt_diameter.is_none() {
            duty.notes.push(
                "`bolt_diameter` left out: how it is held to the tool is not judged".to_owned(),
            );
        }
    }

    /// The setting at the root, with the tool's own heat in it.
    fn heated(&self, setting: &Setting) -> Setting {
        let mut hot = setting.clone();
        if let Some(tool) = self.tool_temperature {
            hot.temperature_c.1 = hot.temperature_c.1.max(tool.0);
        }
        hot
    }
}

impl Part for ToolHandle {
    fn kind(&self) -> &'static str {
        "tool-handle"
    }

    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let shaft = self.settle()?;
        self.note_defaults(duty);
        let class = setting.class_of(Class::Damage);
        let factor = usual::loads_factor(setting, class, duty);
        let loaded = Shaft {
            pull_n: factor * shaft.pull_n,
            ..shaft
        };
        let lies = BENDING.of(setting, LYING);
        let twist = self.twist.map(|m| Twist {
            torque_nm: factor * m.0,
            grip_n: self.grip_force.map_or(GRIP_N, |f| f.0),
            skin: self.skin_friction,
        });
        let hot = self.heated(setting);
        for end in ends(&hot) {
            let bent = Bent {
                setting: &hot,
                at_c: end.temperature_c,
                lies,
            };
            loaded.root_limits(bent, end, class, duty);
            if let Some(twist) = twist {
                loaded.torsion_limit(bent, end, class, twist.torque_nm, duty);
            }
            if let Some(blow) = self.blow {
                loaded.blow_limit(bent, end, class, factor * blow.0, duty);
            }
            loaded.bolt_limit(&hot, end, class, duty);
        }
        // The hand holds it where it is no hotter than the surroundings.
        for end in ends(setting) {
            if let Some(twist) = twist {
                loaded.hand_limit(setting, end, class, twist, duty);
            }
        }
        let heat = usual::heat_margin(&hot, duty, HEAT_MARGIN_K, class);
        duty.limits.push(heat);
        duty.promise = Some(Promise {
            parts: "handles",
            deeds: [Deed::new("take", loaded.pull_n, Force::UNIT, "of pull")]
                .into_iter()
                .chain(twist.map(|t| Deed::new("give", t.torque_nm, Torque::UNIT, "of twist")))
                .collect(),
        });
        self.aims(&shaft, setting, &hot, lies, duty);
        Ok(())
    }

    pushed!(
        Load pull,
        Load twist,
        Load blow,
        Thickness diameter,
    );

    fn words(&self) -> Vec<String> {
        vec![self.tool.clone(), self.note.clone()]
    }

    fn cautions(&self, _: &Setting) -> Vec<(&'static str, String)> {
        if self.vibrates {
            vec![("hand-vibration", "a tool that vibrates".to_owned())]
        } else {
            Vec::new()
        }
    }
}

impl ToolHandle {
    fn aims(&self, shaft: &Shaft, setting: &Setting, hot: &Setting, lies: Lies, duty: &mut Duty) {
        let bent = Bent {
            setting,
            at_c: usual_end(setting).temperature_c,
            lies,
        };
        let scale = |(zero, one)| ValueScale {
            zero,
            one,
            log: true,
        };
        let conducts = duty.ask(plain_ask("conductivity"));
        let warm = usual::aim(
            "warm-hand",
            "W/(m.K)",
            scale(WARM),
            vec![vec![conducts]],
            Performance::new(|i, t| {
                let [k] = *i.x else { return f64::NAN };
                t.step("", "thermal conductivity", k, "W/(m.K)")
            }),
        );
        let struck = duty.ask(bent.along("impact-notched"));
        let tough = usual::aim(
            "toughness",
            "kJ/m2",
            scale(TOUGH_KJ_M2),
            vec![vec![struck]],
            Performance::new(|i, t| {
                let [a] = *i.x else { return f64::NAN };
                t.step("", "notched impact strength", a, "kJ/m2")
            }),
        );
        let stiff = bent.stiffness_needs(duty);
        let (most, least) = GIVE_SHARE;
        let stiffness = usual::aim(
            "stiffness",
            Length::UNIT,
            scale((most * shaft.length_mm, least * shaft.length_mm)),
            vec![stiff],
            shaft.give(),
        );
        duty.aims.extend([warm, tough, stiffness]);
        let everyday = usual::everyday_aims(hot, duty, HEAT_MARGIN_K, shaft.volume_mm3());
        duty.aims.extend(everyday);
        duty.preference = usual::points(&[
            ("toughness", 30.0),
            ("warm-hand", 20.0),
            ("stiffness", 15.0),
            ("heat-reserve", 10.0),
            ("easy-print", 10.0),
            ("cost", 15.0),
        ]);
    }
}

const LYING: Lying = Lying {
    flat: "lying with its length on the bed, so that its bending runs in the layers",
    edge: "lying with its length on the bed, so that its bending runs in the layers",
    upright: "standing on its end, so that a pull at the hand pulls its layers apart",
    open: LiesOnBed::Upright,
};

/// How the tension of the bent handle lies to the layers.
const BENDING: Layers = Layers {
    flat: Lies::InPlane,
    edge: Lies::InPlane,
    upright: Lies::Across,
};

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "tool-handle",
    title: "a rigid round handle that a hand pulls, twists and strikes with",
    read: read_inputs::<ToolHandle>,
    schema: || schemars::schema_for!(ToolHandle),
    example: docs::EXAMPLE,
    formulas: docs::FORMULAS,
    limits: &[
        ("bending", "MPa"),
        ("fatigue", "1"),
        ("twist-hold", "N.m"),
        ("torsion", "MPa"),
        ("blow", "J"),
        ("bolt-crush", "MPa"),
        ("heat-margin", "K"),
    ],
    lying: Some(LYING),
};
