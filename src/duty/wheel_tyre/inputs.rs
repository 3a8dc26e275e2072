//! The inputs of a tyre or roller, checked and with their defaults.

use super::rolls::Tyre;
use crate::duty::mechanics::block::floor_named;
use crate::duty::mechanics::held::{Bar, Sleeve};
use crate::duty::mechanics::layers::Layers;
use crate::duty::mechanics::rubbing::RIM_SPEED;
use crate::duty::mechanics::sleeve::{Fit, clearance_fault, wall_faults};
use crate::duty::mechanics::usual::{positive, share, shown};
use crate::duty::{Duty, LiesOnBed, Lying, Setting};
use crate::problem::Fault;
use crate::property::{Lies, ROOM_C};
use crate::quantity::{FilmCoefficient, Force, Length, Speed, Time};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Share of the way that a wheel slides where nothing is said: straight rolling some 1 %, turning
/// more (ours, no source).
const SLIP: f64 = 0.02;
/// Force along the floor over the load where nothing is said: pushing over a step (ours).
const TRACTION: f64 = 0.2;
/// Sag, as a share of the tread, where nothing is said (our assumption).
const SAG_SHARE: f64 = 0.1;
/// Flat spot, as a share of the radius, that is felt at every turn (our assumption).
const FLAT_SHARE: f64 = 0.01;
/// Depth worn, as a share of the tread, where nothing is said (our assumption).
const WEAR_SHARE: f64 = 0.3;
/// Film coefficient of a slowly turning wheel in air, W/(m2.K) (5 to 15 of still air and some wind; ours).
const FILM: f64 = 15.0;
/// Tread over the radius below which the contact is wider than the tread is thick (ours).
const THINNEST: f64 = 0.05;

/// What keeps the tyre on the rim.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum OnRim {
    /// Its own stretch.
    #[default]
    Stretch,
    /// Glue, keys or a groove that it cannot turn in; not judged. A solid roller too.
    Fixed,
}

/// A tyre on a small wheel pushed by hand, or a roller.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct WheelTyre {
    /// Diameter of the rim under the tyre, or of the core of a roller.
    #[schemars(extend("why" = "with the tread it decides how large the wheel is, and with the bore how far the tyre is stretched"))]
    pub(super) rim_diameter: Length,
    /// Thickness of the tread over the rim.
    #[schemars(extend("why" = "a thin tread is stiff and wears through sooner, a thick one sinks further"))]
    pub(super) thickness: Length,
    /// Width that touches the floor.
    #[schemars(extend("why" = "a wider wheel presses less"))]
    pub(super) width: Length,
    /// What keeps it on the rim; stretch when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a stretched tyre can turn on its rim or split; a glued one is as good as its glue"))]
    pub(super) fixing: Option<OnRim>,
    /// Bore of a stretched tyre before it is mounted, as measured.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "2 to 6 % smaller than the rim holds it; more may split it"))]
    pub(super) bore: Option<Length>,
    /// What the rim is made of; painted steel when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides the friction under the tyre"))]
    pub(super) rim: Option<Bar>,
    /// Load on the wheel.
    #[schemars(extend("why" = "decides the pressure on the floor, the sag and the heat"))]
    pub(super) load: Force,
    /// Rolling speed.
    #[schemars(extend("why" = "each turn kneads the tyre, and the work that it loses warms it"))]
    pub(super) speed: Speed,
    /// Way that it rolls over its life.
    #[schemars(extend("why" = "decides the wear and how often each spot is pressed"))]
    pub(super) distance: Length,
    /// Share of the way that it slides, by turning, braking and starting, above 0 to 1; 0.02 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a wheel wears only where it slides"))]
    pub(super) slip: Option<f64>,
    /// Force along the floor that it must pass on without turning on its rim; a fifth of the load when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a step or a brake turns the rim inside a loose tyre"))]
    pub(super) traction: Option<Force>,
    /// Longest time that it stands loaded; the life when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "what stands for a winter takes a flat spot"))]
    pub(super) stands: Option<Time>,
    /// How far it may sink while it stands; a tenth of the tread when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a wheel that sinks rolls heavily"))]
    pub(super) sag: Option<Length>,
    /// Depth of a flat spot that may stay; a hundredth of the radius when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a flat spot knocks at every turn"))]
    pub(super) flat_spot: Option<Length>,
    /// Depth that may wear away; three tenths of the tread when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides when it is worn out"))]
    pub(super) wear_allowed: Option<Length>,
    /// Film coefficient of the turning wheel in the air; 15 W/(m2.K) when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides how warm it rolls: still air gives 5 to 15"))]
    pub(super) film: Option<FilmCoefficient>,
    /// Whether people ride on what it carries; no when left out.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    #[schemars(extend("why" = "wheels that people ride on are out of scope"))]
    pub(super) carries_people: bool,
    /// What it carries, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    #[schemars(extend("why" = "cautions are looked for in it"))]
    pub(super) under: String,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub(super) note: String,
}

/// What each way of lying on the bed means for a tyre.
pub(super) const LYING: Lying = Lying {
    flat: "lying on its side, so that the layers run round the rim",
    edge: "standing on its tread, so that the layers cut through the hoop",
    upright: "standing on its tread, so that the layers cut through the hoop",
    open: LiesOnBed::Flat,
};

/// How the hoop stress lies to the layers.
const HOOP: Layers = Layers {
    flat: Lies::InPlane,
    edge: Lies::Across,
    upright: Lies::Across,
};

impl WheelTyre {
    fn rim(&self) -> Bar {
        self.rim.unwrap_or(Bar::PaintedSteel)
    }

    /// The surface of the rim.
    pub(super) fn rim_surface(&self) -> &'static str {
        self.rim().surface()
    }

    pub(super) fn settle(&self, setting: &Setting, factor: f64) -> Result<Tyre, Vec<Fault>> {
        let mut faults = Vec::new();
        let (rim, tread) = (self.rim_diameter.0, self.thickness.0);
        for (name, mm) in [
            ("rim_diameter", Some(self.rim_diameter)),
            ("thickness", Some(self.thickness)),
            ("width", Some(self.width)),
            ("distance", Some(self.distance)),
            ("bore", self.bore),
            ("sag", self.sag),
            ("flat_spot", self.flat_spot),
            ("wear_allowed", self.wear_allowed),
        ] {
            if let Some(mm) = mm {
                positive(&mut faults, name, mm.0, "mm");
            }
        }
        positive(&mut faults, "load", self.load.0, "N");
        positive(&mut faults, "speed", self.speed.0, "m/s");
        if let Some(f) = self.traction {
            positive(&mut faults, "traction", f.0, "N");
        }
        if let Some(t) = self.stands {
            positive(&mut faults, "stands", t.0, "h");
        }
        if let Some(h) = self.film {
            positive(&mut faults, "film", h.0, "W/(m2.K)");
        }
        share(&mut faults, "slip", self.slip);
        floor_named(setting, &mut faults);
        let radius_mm = 0.5 * rim + tread;
        if tread < THINNEST * radius_mm {
            faults.push(Fault::new(
                "duty::tread-thin",
                format!(
                    "a `thickness` of {} mm on a radius of {} mm is a film: it is pressed flat over more than its own thickness, and the contact's law ends",
                    shown(tread),
                    shown(radius_mm)
                ),
                format!("make it at least {} mm thick", shown(THINNEST / (1.0 - THINNEST) * 0.5 * rim)),
            ));
        }
        for (name, depth) in [("sag", self.sag), ("wear_allowed", self.wear_allowed)] {
            if depth.is_some_and(|d| d.0 >= tread) {
                faults.push(Fault::new(
                    "duty::tread-through",
                    format!(
                        "`{name}` is no less than the tread's `thickness` of {} mm",
                        shown(tread)
                    ),
                    "write less than the tread",
                ));
            }
        }
        let held = match (self.fixing.unwrap_or_default(), self.bore) {
            (OnRim::Stretch, Some(bore)) => {
                if faults.is_empty() {
                    clearance_fault(rim, bore.0, &mut faults);
                    wall_faults(
                        (rim, bore.0, bore.0 + 2.0 * tread),
                        "make the tread thicker",
                        &mut faults,
                    );
                }
                Some(Sleeve {
                    fit: Fit {
                        bar_mm: rim,
                        bore_mm: bore.0,
                        outer_mm: bore.0 + 2.0 * tread,
                        length_mm: self.width.0,
                        bar_expansion: self.rim().expansion(),
                        fitted_c: ROOM_C,
                    },
                    collar_n: None,
                    hoop: HOOP.of(setting, LYING),
                })
            }
            (OnRim::Stretch, None) => {
                faults.push(Fault::new(
                    "duty::dimension-missing",
                    "a tyre held by its stretch needs `bore`",
                    "add `bore`, 2 to 6 % smaller than the rim, or write `\"fixing\": \"fixed\"`",
                ));
                None
            }
            (OnRim::Fixed, Some(_)) => {
                faults.push(Fault::new(
                    "duty::dimension-foreign",
                    "a tyre that is fixed to its rim has no `bore` that holds it",
                    "leave `bore` out, or write `\"fixing\": \"stretch\"`",
                ));
                None
            }
            (OnRim::Fixed, None) => None,
        };
        if !faults.is_empty() {
            return Err(faults);
        }
        Ok(Tyre {
            radius_mm,
            tread_mm: tread,
            width_mm: self.width.0,
            load_n: self.load.0 * factor,
            speed_m_s: self.speed.0,
            distance_m: self.distance.0 * 1e-3,
            slip: self.slip.unwrap_or(SLIP),
            traction_n: factor * self.traction.map_or(TRACTION * self.load.0, |f| f.0),
            stands_h: self.stands.map_or(setting.life_h, |t| t.0),
            sag_mm: self.sag.map_or(SAG_SHARE * tread, |d| d.0),
            flat_mm: self.flat_spot.map_or(FLAT_SHARE * radius_mm, |d| d.0),
            wear_mm: self.wear_allowed.map_or(WEAR_SHARE * tread, |d| d.0),
            film: self.film.map_or(FILM, |h| h.0),
            held,
        })
    }

    /// Uses out of scope and dangers that follow from the inputs.
    pub(super) fn scope(&self) -> Vec<(&'static str, String)> {
        let mut raised = Vec::new();
        if self.carries_people {
            raised.push(("vehicle-structure", "people ride on it".to_owned()));
        }
        if self.speed.0 > RIM_SPEED {
            raised.push((
                "fast-rotation",
                format!(
                    "a rim speed of {} m/s, above {RIM_SPEED}",
                    shown(self.speed.0)
                ),
            ));
        }
        raised
    }

    pub(super) fn note_defaults(&self, tyre: &Tyre, duty: &mut Duty) {
        let mut note = |given: bool, text: String| {
            if !given {
                duty.notes.push(text);
            }
        };
        note(
            self.fixing.is_some(),
            "`fixing` left out: stretch".to_owned(),
        );
        if tyre.held.is_some() {
            note(
                self.rim.is_some(),
                "`rim` left out: painted steel".to_owned(),
            );
            note(
                self.traction.is_some(),
                format!("`traction` left out: {TRACTION} of the load (assumed)"),
            );
        } else {
            duty.notes
                .push("fixed to its rim: the glue or keys that hold it are not judged".to_owned());
        }
        let mut note = |given: bool, text: String| {
            if !given {
                duty.notes.push(text);
            }
        };
        note(
            self.slip.is_some(),
            format!("`slip` left out: {SLIP} of the way (assumed)"),
        );
        note(
            self.stands.is_some(),
            "`stands` left out: it stands loaded for its life".to_owned(),
        );
        for (name, given, mm) in [
            ("sag", self.sag.is_some(), tyre.sag_mm),
            ("flat_spot", self.flat_spot.is_some(), tyre.flat_mm),
            ("wear_allowed", self.wear_allowed.is_some(), tyre.wear_mm),
        ] {
            note(
                given,
                format!("`{name}` left out: {} mm (assumed)", shown(mm)),
            );
        }
        note(
            self.film.is_some(),
            format!("`film` left out: {FILM} W/(m2.K) (assumed)"),
        );
    }
}
