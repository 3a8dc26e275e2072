//! The cantilever-bracket part kind: an arm out of a wall plate that carries a load, a bracket or a hook.
//!
//! It breaks at its root, at once or in time, droops by creep, and sinks away under its screws.

mod docs;
mod shelf;

use self::shelf::{Screws, Shelf};
use crate::duty::mechanics::beam::{Arm, LINEAR_TO, Notch, fillet_factor, inner_face_factor};
use crate::duty::mechanics::bent::Bent;
use crate::duty::mechanics::layers::Layers;
use crate::duty::mechanics::pushed::pushed;
use crate::duty::mechanics::surroundings::{ends, usual_end};
use crate::duty::mechanics::usual::{self, left_out, positive, share, shown};
use crate::duty::part::read_inputs;
use crate::duty::{Deed, Duty, LiesOnBed, Lying, Part, PartKind, Promise, Setting, ValueScale};
use crate::policy::Class;
use crate::problem::Fault;
use crate::property::Lies;
use crate::quantity::{Force, Length};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Length over height below which an arm is a block and no beam (ours).
const BEAM_FROM: f64 = 1.0;
/// Peak over the steady load where the case does not say it: a load put on at once doubles its effect
/// (elastic, from rest; derived).
const PUT_ON_AT_ONCE: f64 = 2.0;
/// Droop over the arm where the case does not say it (ours).
const DROOP_SHARE: f64 = 0.02;
/// Share of the droop allowed below which stiffer gives nothing (ours).
const DROOP_ENOUGH: f64 = 0.2;
/// Times the load from which more reserve gives nothing (ours).
const LOAD_ENOUGH: f64 = 4.0;
/// Margin below the softening onset, K: the low end of common practice for lasting loads (no source).
const HEAT_MARGIN_K: f64 = 20.0;

/// What it looks like.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum Form {
    /// A straight arm out of a plate.
    #[default]
    Bracket,
    /// An arm that leaves the plate in a quarter bend, which starts along the plate.
    Hook,
}

/// Where the load acts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Spread {
    /// At one place, the far end of the arm.
    #[default]
    Tip,
    /// Evenly along the arm.
    Even,
}

/// An arm out of a wall plate that carries a load.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct CantileverBracket {
    /// What it looks like; a bracket when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a hook's bend gathers the stress at its inner side, and droops too"))]
    form: Option<Form>,
    /// Load that hangs on it for good.
    #[schemars(extend("why" = "a load that never goes away makes plastics droop and crack in time"))]
    load: Force,
    /// Most load, when somebody leans on it or a thing is dropped on it; twice the load when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides whether it snaps off at once"))]
    peak: Option<Force>,
    /// How far out from the plate the load acts, a hook's bend included; the length of the arm where it is spread.
    #[schemars(extend("why" = "the further out, the more it bends and the sooner the root breaks"))]
    arm: Length,
    /// Where the load acts; at the tip when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a load along the whole arm bends its root half as much"))]
    spread: Option<Spread>,
    /// Height of the arm at its root, in the direction of the load.
    #[schemars(extend("why" = "twice the height carries four times the load and droops an eighth"))]
    height: Length,
    /// Width of the arm at its root.
    #[schemars(extend("why" = "twice the width carries twice the load"))]
    width: Length,
    /// Radius of the inner corner at the root, or of a hook's bend; a sharp corner when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a sharp corner gathers up to three times the stress, and the crack begins there"))]
    inner_radius: Option<Length>,
    /// Factor on the stress at the root, where it is known, in place of what the radius leads to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "holes and corners at the root gather the stress"))]
    stress_concentration: Option<f64>,
    /// Share of that factor that counts, 0 to 1: all for brittle materials, 0.3 to 0.6 for tough ones; 1 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "tough materials feel a sharp corner less than brittle ones"))]
    notch_sensitivity: Option<f64>,
    /// How far its tip may droop by the end of its life; a fiftieth of the arm when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides which materials creep too far under the load"))]
    droop: Option<Length>,
    /// Number of screws in the upper row, which carry the pull; the screws are not judged when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "the load pulls the upper screws out and presses their heads into the plate"))]
    upper_screws: Option<u32>,
    /// Height of the upper screws above the lower edge of the plate; needed with screws.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "the plate turns about its lower edge: the higher the screws, the less they are pulled"))]
    screw_to_heel: Option<Length>,
    /// Diameter of a screw's head, or of the washer under it; needed with screws.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a wider head presses less on the plastic"))]
    head_diameter: Option<Length>,
    /// Diameter of a screw's hole; needed with screws.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "the head bears on what is left round the hole, and the hole's wall bears the load"))]
    hole_diameter: Option<Length>,
    /// Thickness of the plate at the screws; needed with screws.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "the hole's wall bears the load over this depth, and a thin plate is pulled off over the heads"))]
    plate: Option<Length>,
    /// What hangs on it or lies below, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    #[schemars(extend("why" = "some uses raise a caution, and some are not for a printed part"))]
    carries: String,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

impl CantileverBracket {
    fn screws(&self, faults: &mut Vec<Fault>) -> Option<Screws> {
        let sizes = [
            ("screw_to_heel", self.screw_to_heel),
            ("head_diameter", self.head_diameter),
            ("hole_diameter", self.hole_diameter),
            ("plate", self.plate),
        ];
        for (name, l) in sizes {
            if let Some(l) = l {
                positive(faults, name, l.0, "mm");
            }
        }
        let missing: Vec<&str> = sizes
            .iter()
            .filter(|s| s.1.is_none())
            .map(|s| s.0)
            .collect();
        if self.upper_screws.is_none() && missing.len() == sizes.len() {
            return None;
        }
        let number = f64::from(self.upper_screws.unwrap_or(0));
        if number < 1.0 || !missing.is_empty() {
            let named: Vec<String> = missing.iter().map(|m| format!("`{m}`")).collect();
            faults.push(Fault::new(
                "duty::screws",
                if number < 1.0 {
                    "sizes of screws are given, but `upper_screws` is not".to_owned()
                } else {
                    format!("the screws also need {}", named.join(", "))
                },
                "write `upper_screws`, `screw_to_heel`, `head_diameter`, `hole_diameter` and `plate`, or none of them",
            ));
            return None;
        }
        let mm = |l: Option<Length>| l.map_or(f64::NAN, |l| l.0);
        let screws = Screws {
            number,
            to_heel_mm: mm(self.screw_to_heel),
            head_mm: mm(self.head_diameter),
            hole_mm: mm(self.hole_diameter),
            plate_mm: mm(self.plate),
        };
        if screws.head_mm <= screws.hole_mm {
            faults.push(Fault::new(
                "duty::screws",
                format!(
                    "a head of {} mm falls through a hole of {} mm",
                    shown(screws.head_mm),
                    shown(screws.hole_mm)
                ),
                "write the head's diameter, or that of the washer under it, as `head_diameter`",
            ));
        }
        Some(screws)
    }

    fn settle(&self) -> Result<Shelf, Vec<Fault>> {
        let mut faults = Vec::new();
        for (name, length) in [
            ("arm", Some(self.arm)),
            ("height", Some(self.height)),
            ("width", Some(self.width)),
            ("inner_radius", self.inner_radius),
            ("droop", self.droop),
        ] {
            if let Some(l) = length {
                positive(&mut faults, name, l.0, "mm");
            }
        }
        positive(&mut faults, "load", self.load.0, "N");
        if let Some(f) = self.peak {
            positive(&mut faults, "peak", f.0, "N");
            if f.0 < self.load.0 {
                faults.push(Fault::new(
                    "duty::peak-below-load",
                    format!(
                        "`peak` {} N is less than the `load` {} N that hangs on it for good",
                        shown(f.0),
                        shown(self.load.0)
                    ),
                    "write the most load that ever hangs on it as `peak`, or leave it out",
                ));
            }
        }
        share(&mut faults, "notch_sensitivity", self.notch_sensitivity);
        if self
            .stress_concentration
            .is_some_and(|k| !(k >= 1.0 && k.is_finite()))
        {
            faults.push(Fault::new(
                "duty::stress-concentration",
                "`stress_concentration` is below 1, and a corner never lowers the stress",
                "write a factor from 1 on, or leave it out and give `inner_radius`",
            ));
        }
        let arm = Arm {
            length_mm: self.arm.0,
            width_mm: self.width.0,
            thickness_mm: self.height.0,
        };
        if arm.length_mm < BEAM_FROM * arm.thickness_mm {
            faults.push(Fault::new(
                "duty::short-arm",
                format!(
                    "an arm of {} mm is shorter than it is high, {} mm: a block and no beam, which these formulas do not cover",
                    shown(arm.length_mm),
                    shown(arm.thickness_mm)
                ),
                "write how far out the load acts as `arm`, no less than `height`",
            ));
        }
        let droop_mm = self.droop.map_or(DROOP_SHARE * arm.length_mm, |d| d.0);
        if droop_mm > LINEAR_TO * arm.length_mm {
            faults.push(Fault::new(
                "duty::bent-too-far",
                format!(
                    "a droop of {} mm bends an arm of {} mm further than the formulas hold, a tenth of its length",
                    shown(droop_mm),
                    shown(arm.length_mm)
                ),
                format!("write at most {} mm as `droop`", shown(LINEAR_TO * arm.length_mm)),
            ));
        }
        let (bend_mm, shaped) = match (self.form.unwrap_or_default(), self.inner_radius) {
            (Form::Hook, Some(r)) => (
                r.0 + 0.5 * arm.thickness_mm,
                inner_face_factor(arm.thickness_mm, r.0),
            ),
            (Form::Hook, None) => {
                faults.push(Fault::new(
                    "duty::dimension-missing",
                    "a hook needs the `inner_radius` of its bend",
                    "write it, for example `\"inner_radius\": \"6 mm\"`",
                ));
                (0.0, 1.0)
            }
            (Form::Bracket, r) => (0.0, fillet_factor(r.map_or(0.0, |r| r.0), arm.thickness_mm)),
        };
        let concentration = self.stress_concentration.unwrap_or(shaped);
        let screws = self.screws(&mut faults);
        if !faults.is_empty() {
            return Err(faults);
        }
        Ok(Shelf {
            arm,
            bend_mm,
            spread: self.spread.unwrap_or_default(),
            notch: Notch {
                concentration,
                sensitivity: self.notch_sensitivity.unwrap_or(1.0),
            },
            load_n: self.load.0,
            peak_n: self.peak.map_or(PUT_ON_AT_ONCE * self.load.0, |f| f.0),
            factor: 1.0,
            droop_mm,
            screws,
        })
    }

    fn note_defaults(&self, shelf: &Shelf, factor: f64, duty: &mut Duty) {
        left_out(
            duty,
            "peak",
            self.peak.is_some(),
            "twice the load, as of one put on at once",
        );
        left_out(
            duty,
            "spread",
            self.spread.is_some(),
            "the load acts at the tip",
        );
        left_out(
            duty,
            "inner_radius",
            self.inner_radius.is_some() || self.stress_concentration.is_some(),
            "a sharp corner, which triples the stress at the root",
        );
        left_out(
            duty,
            "droop",
            self.droop.is_some(),
            &format!(
                "{} mm, a fiftieth of the arm (assumed)",
                shown(shelf.droop_mm)
            ),
        );
        match shelf.screws {
            Some(s) => duty.notes.extend([format!(
                "each upper screw is pulled with {:.0} N and sheared with {:.0} N at the peak: see that screw and wall plug hold that",
                s.pull_n(factor * shelf.peak_n, shelf.reach_mm()),
                s.shear_n(factor * shelf.peak_n)
            ), "the bending of the plate between arm and screws is not judged: keep the screws close to the arm, or rib the plate".to_owned()]),
            None => duty.notes.push("`upper_screws` left out: how it is fixed to the wall is not judged".to_owned()),
        }
    }
}

impl Part for CantileverBracket {
    fn kind(&self) -> &'static str {
        "cantilever-bracket"
    }

    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let shelf = self.settle()?;
        let class = setting.class_of(Class::Damage);
        let factor = usual::loads_factor(setting, class, duty);
        self.note_defaults(&shelf, factor, duty);
        let loaded = shelf.times(factor);
        let lies = BENDING.of(setting, LYING);
        for end in ends(setting) {
            let bent = Bent {
                setting,
                at_c: end.temperature_c,
                lies,
            };
            loaded.root_limits(bent, end, class, duty);
            loaded.droop_limit(bent, end, class, duty);
            loaded.screw_limits(bent, end, class, duty);
        }
        let heat = usual::heat_margin(setting, duty, HEAT_MARGIN_K, class);
        duty.limits.push(heat);
        duty.promise = Some(Promise {
            parts: match self.form.unwrap_or_default() {
                Form::Bracket => "brackets",
                Form::Hook => "hooks",
            },
            deeds: vec![
                Deed::new("carry", loaded.load_n, Force::UNIT, ""),
                Deed::new("droop at most", shelf.droop_mm, Length::UNIT, ""),
            ],
        });

        let bent = Bent {
            setting,
            at_c: usual_end(setting).temperature_c,
            lies,
        };
        let held = bent.held_needs(duty);
        let reserve = usual::aim(
            "load-reserve",
            "1",
            ValueScale {
                zero: factor,
                one: LOAD_ENOUGH * factor,
                log: true,
            },
            vec![held],
            shelf.reserve(),
        );
        let needs = shelf.droop_needs(bent, duty);
        let stiffness = usual::aim(
            "stiffness",
            Length::UNIT,
            ValueScale {
                zero: shelf.droop_mm,
                one: DROOP_ENOUGH * shelf.droop_mm,
                log: true,
            },
            needs,
            shelf.droop(),
        );
        duty.aims.extend([reserve, stiffness]);
        let everyday = usual::everyday_aims(setting, duty, HEAT_MARGIN_K, shelf.volume_mm3());
        duty.aims.extend(everyday);
        duty.preference = usual::points(&[
            ("load-reserve", 35.0),
            ("stiffness", 25.0),
            ("heat-reserve", 10.0),
            ("easy-print", 15.0),
            ("cost", 15.0),
        ]);
        Ok(())
    }

    pushed!(
        Load load,
        Load peak,
        Thickness height,
        Thickness width,
        Thickness plate,
    );

    fn words(&self) -> Vec<String> {
        vec![self.carries.clone(), self.note.clone()]
    }
}

const LYING: Lying = Lying {
    flat: "lying on its side, so that the whole profile of plate and arm lies in the layers",
    edge: "as it hangs, the arm level over the bed, so that its upper side is pulled in the layers",
    upright: "with the plate on the bed and the arm standing up, so that the load pulls its layers apart",
    open: LiesOnBed::Upright,
};

/// How the tension at the root lies to the layers.
const BENDING: Layers = Layers {
    flat: Lies::InPlane,
    edge: Lies::InPlane,
    upright: Lies::Across,
};

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "cantilever-bracket",
    title: "an arm out of a wall plate that carries a load: bracket, wall hook",
    read: read_inputs::<CantileverBracket>,
    schema: || schemars::schema_for!(CantileverBracket),
    example: docs::EXAMPLE,
    formulas: docs::FORMULAS,
    limits: &[
        ("root-break", "MPa"),
        ("root-creep", "MPa"),
        ("root-fatigue", "1"),
        ("droop", "mm"),
        ("head-crush", "MPa"),
        ("head-press", "MPa"),
        ("hole-crush", "MPa"),
        ("hole-press", "MPa"),
        ("pull-through", "MPa"),
        ("pull-through-in-time", "MPa"),
        ("heat-margin", "K"),
    ],
    lying: Some(LYING),
};
