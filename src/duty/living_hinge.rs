//! The living-hinge part kind: a thin web between two plates that folds.
//!
//! How far the web is strained follows from its geometry. How often it folds does not: a moulded
//! hinge lives because its polymer was drawn, which no print does, so that folding again and again
//! is a count of folds outlived, or not known.

mod docs;
mod web;

use self::web::Web;
use crate::duty::mechanics::beam::{fold_strain, least_land_mm};
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
use crate::quantity::{Angle, Force, Length, Torque};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Angle where the case does not say it, deg: folded flat on itself.
const ANGLE_DEG: f64 = 180.0;
/// Times the strain of the fold from which more reserve gives nothing (ours).
const RESERVE_ENOUGH: f64 = 5.0;
/// Margin below the softening onset, K: the low end of common practice for light loads (no source).
const HEAT_MARGIN_K: f64 = 10.0;
/// Web below which a print has one layer or two, mm (ours, for layers of 0.15 to 0.2 mm).
const THIN_WEB: f64 = 0.3;

/// A thin web between two plates that folds.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct LivingHinge {
    /// Thickness of the web that folds.
    #[schemars(extend("why" = "a thinner web is strained less when it folds, and tears sooner"))]
    web: Length,
    /// Length of the web from plate to plate.
    #[schemars(extend("why" = "a longer web folds in a wider arc, with less strain"))]
    land: Length,
    /// Length of the fold line.
    #[schemars(extend("why" = "decides how much pull the web carries"))]
    width: Length,
    /// Angle by which it is folded out of the shape it was printed in; 180 deg when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "the further it folds, the more the web is strained"))]
    angle: Option<Angle>,
    /// How often it is folded over its life; by the case's `cycles`, else 1, when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "folding again and again is a test result: it is only claimed where folds were counted"))]
    folds: Option<f64>,
    /// Pull across the web that comes now and then; not judged when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides whether the web tears"))]
    pull: Option<Force>,
    /// Pull across the web that lasts for the whole life; none when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a load that never goes away cracks plastics at far less than a short one"))]
    held_pull: Option<Force>,
    /// Share of the angle, above 0 to 1, by which it must open again by itself after its life folded; not judged when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a web that stays folded takes a set and no longer springs open"))]
    springs_back: Option<f64>,
    /// Most torque to fold it; not judged when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides which materials are too stiff to fold by hand"))]
    fold_torque: Option<Torque>,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

impl LivingHinge {
    fn settle(&self, setting: &Setting) -> Result<Web, Vec<Fault>> {
        let mut faults = Vec::new();
        for (name, l) in [
            ("web", self.web),
            ("land", self.land),
            ("width", self.width),
        ] {
            positive(&mut faults, name, l.0, "mm");
        }
        for (name, f) in [("pull", self.pull), ("held_pull", self.held_pull)] {
            if let Some(f) = f {
                positive(&mut faults, name, f.0, "N");
            }
        }
        if let Some(m) = self.fold_torque {
            positive(&mut faults, "fold_torque", m.0, "N.m");
        }
        if let Some(n) = self.folds {
            positive(&mut faults, "folds", n, "");
        }
        share(&mut faults, "springs_back", self.springs_back);
        let angle_deg = self.angle.map_or(ANGLE_DEG, |a| a.0);
        if !(angle_deg > 0.0 && angle_deg <= 360.0) {
            faults.push(Fault::new(
                "duty::fold-angle",
                format!("an `angle` of {} deg is no fold", shown(angle_deg)),
                "write by how much it folds out of the shape it was printed in, above 0 and up to 360 deg",
            ));
        }
        let strain = fold_strain(self.web.0, self.land.0, angle_deg);
        if faults.is_empty() && strain >= 1.0 {
            faults.push(Fault::new(
                "duty::land-short",
                format!(
                    "a web of {} mm cannot bend by {} deg on a land of {} mm: its inner face would be shorter than nothing",
                    shown(self.web.0),
                    shown(angle_deg),
                    shown(self.land.0)
                ),
                format!(
                    "make the land longer than {} mm, or the web thinner",
                    shown(least_land_mm(self.web.0, angle_deg, 1.0))
                ),
            ));
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        Ok(Web {
            web_mm: self.web.0,
            land_mm: self.land.0,
            width_mm: self.width.0,
            angle_deg,
            folds: self.folds.or(setting.cycles).unwrap_or(1.0),
        })
    }

    fn note_defaults(&self, web: &Web, setting: &Setting, lies: Lies, duty: &mut Duty) {
        left_out(
            duty,
            "angle",
            self.angle.is_some(),
            "180 deg, folded flat on itself",
        );
        left_out(
            duty,
            "folds",
            self.folds.is_some() || setting.cycles.is_some(),
            "1, folded into place for good",
        );
        if lies == Lies::InPlane {
            duty.notes
                .push("lay the filaments across the fold line: along it they split".to_owned());
        }
        if web.web_mm < THIN_WEB {
            duty.notes.push(
                "so thin a web is one layer or two: measure it, it may come out thicker".to_owned(),
            );
        }
        if web.folds > 1.0 && !web::counted(setting) {
            duty.notes.push(format!(
                "how often it folds is a test result, not a calculation: declare `{}` in properties.csv, fold printed samples and record how often each folded",
                web::FOLDS
            ));
        }
    }
}

impl Part for LivingHinge {
    fn kind(&self) -> &'static str {
        "living-hinge"
    }

    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let web = self.settle(setting)?;
        let class = setting.class_of(Class::Damage);
        let factor = usual::loads_factor(setting, class, duty);
        let lies = FOLDING.of(setting, LYING);
        self.note_defaults(&web, setting, lies, duty);
        let times = |f: Option<Force>| f.map(|f| f.0 * factor);
        for end in ends(setting) {
            let bent = Bent {
                setting,
                at_c: end.temperature_c,
                lies,
            };
            web.crack_limit(bent, end, class, duty);
            // Folded once it stays so, and what must spring open was folded for its life.
            if web.folds <= 1.0 || self.springs_back.is_some() {
                web.stays_limit(bent, end, class, duty);
            }
            if let Some(pull_n) = times(self.pull) {
                web.tear_limit(bent, end, class, pull_n, duty);
            }
            if let Some(held_n) = times(self.held_pull) {
                web.held_limit(bent, end, class, held_n, duty);
            }
            if let Some(share) = self.springs_back {
                web.spring_limit(bent, end, class, share, duty);
            }
            if let Some(most) = self.fold_torque {
                web.torque_limit(bent, end, most.0, duty);
            }
        }
        if web.folds > 1.0 {
            web.folds_limit(class, duty);
        }
        let heat = usual::heat_margin(setting, duty, HEAT_MARGIN_K, class);
        duty.limits.push(heat);
        let often = if web.folds > 1.0 { "" } else { "once" };
        duty.promise = Some(Promise {
            parts: "hinges",
            deeds: [Deed::new("fold by", web.angle_deg, Angle::UNIT, often)]
                .into_iter()
                .chain(times(self.pull).map(|n| Deed::new("hold", n, Force::UNIT, "")))
                .chain(times(self.held_pull).map(|n| Deed::new("bear", n, Force::UNIT, "")))
                .collect(),
        });

        let bent = Bent {
            setting,
            at_c: usual_end(setting).temperature_c,
            lies,
        };
        let breaks = duty.ask(bent.along("break-strain"));
        let reserve = usual::aim(
            "fold-reserve",
            "1",
            ValueScale {
                zero: 1.0,
                one: RESERVE_ENOUGH,
                log: true,
            },
            vec![vec![breaks]],
            web.reserve(),
        );
        duty.aims.push(reserve);
        let volume = web.web_mm * web.land_mm * web.width_mm;
        let everyday = usual::everyday_aims(setting, duty, HEAT_MARGIN_K, volume);
        duty.aims.extend(everyday);
        duty.preference = usual::points(&[
            ("fold-reserve", 55.0),
            ("heat-reserve", 10.0),
            ("easy-print", 20.0),
            ("cost", 15.0),
        ]);
        Ok(())
    }

    pushed!(
        Load pull,
        Load held_pull,
        Thickness land,
        Thickness width,
    );

    fn words(&self) -> Vec<String> {
        vec![self.note.clone()]
    }
}

const LYING: Lying = Lying {
    flat: "lying flat, so that the web bends in its layers",
    edge: "standing on its side with the fold line upright, so that each layer bends in itself",
    upright: "standing with the fold line level, so that folding pulls the layers apart",
    open: LiesOnBed::Upright,
};

/// How the tension of the fold lies to the layers.
const FOLDING: Layers = Layers {
    flat: Lies::InPlane,
    edge: Lies::InPlane,
    upright: Lies::Across,
};

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "living-hinge",
    title: "a thin web between two plates that folds",
    read: read_inputs::<LivingHinge>,
    schema: || schemars::schema_for!(LivingHinge),
    example: docs::EXAMPLE,
    formulas: docs::FORMULAS,
    limits: &[
        ("fold-crack", "%"),
        ("fold-held", "1"),
        ("folds", "1"),
        ("web-tear", "MPa"),
        ("held-pull", "MPa"),
        ("spring-back", "1"),
        ("fold-torque", "N.m"),
        ("heat-margin", "K"),
    ],
    lying: Some(LYING),
};
