//! The inputs of an impact guard, checked and with their defaults.

use crate::duty::mechanics::block::{Faces, Shape, Sizes, Solid};
use crate::duty::mechanics::impact::{Blow, Comes, FASTEST_BLOW};
use crate::duty::mechanics::layers::Layers;
use crate::duty::mechanics::pad::{FLAT_FROM, loose_shape};
use crate::duty::mechanics::usual::{positive, share, shown};
use crate::duty::{Duty, LiesOnBed, Lying, Setting};
use crate::problem::Fault;
use crate::property::Lies;
use crate::quantity::{Acceleration, Force, Length, Mass, Pressure, Speed};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Margin below the softening onset, K: the low end of common practice for light loads (no source).
pub(super) const HEAT_MARGIN_K: f64 = 10.0;
/// Squeeze to which a rubber block is let where nothing is said (the high end of 15 to 25 %,
/// common practice, no source).
const SQUEEZE: f64 = 0.25;
/// Share of the depth that must come back where nothing is said (our assumption).
const DEPTH_KEPT: f64 = 0.9;
/// Densification strain of lattices and sparse infill where nothing is said (0.5 to 0.7, from
/// memory, not verified).
const DENSIFICATION: f64 = 0.6;

/// What each way of lying on the bed means for a guard.
pub(super) const LYING: Lying = Lying {
    flat: "lying on its back, so that a blow presses the layers together and the rim stretches in them",
    edge: "lying on its side, so that the bulging rim pulls the layers apart",
    upright: "standing on an end, so that the bulging rim pulls the layers apart",
    open: LiesOnBed::Edge,
};

/// How the stretch of the bulging rim lies to the layers.
const RIM: Layers = Layers {
    flat: Lies::InPlane,
    edge: Lies::Across,
    upright: Lies::Across,
};

/// How the guard gives way.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Works {
    /// A solid block that springs back.
    #[default]
    Springs,
    /// A lattice, foam or sparse infill that crushes at a steady force and is used up.
    Crushes,
}

/// A block or crushing body that stops a blow.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct ImpactGuard {
    /// Mass of what strikes, the heaviest that may.
    #[schemars(extend("why" = "decides how much energy the guard must take, and with it how far it is squeezed"))]
    pub(super) mass: Mass,
    /// Mass of the lightest thing that strikes; the same as `mass` when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a light thing is stopped harder by the same guard; asked for where a deceleration is allowed at most"))]
    pub(super) lightest_mass: Option<Mass>,
    /// Speed at which it strikes along the level; give this or `drop`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "energy grows with the square of the speed; 1.2 m/s is a walk"))]
    pub(super) speed: Option<Speed>,
    /// Height from which it falls onto the guard; give this or `speed`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides the energy of the fall; its weight goes on pushing while the guard gives way"))]
    pub(super) drop: Option<Length>,
    /// Number of such blows over the life; the case's cycles, or 1, when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides how much of its stretch the rim still bears at the last blow, and how much of a crushing body is used up"))]
    pub(super) blows: Option<u32>,
    /// How the guard gives way; springs when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a solid block springs and hits back harder the deeper it goes; a lattice or sparse infill crushes at a steady force, once"))]
    pub(super) works: Option<Works>,
    /// Shape of the struck face.
    #[schemars(extend("why" = "decides the area that is struck and how freely the sides can bulge"))]
    pub(super) shape: Shape,
    /// Diameter of a disc or ring.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides the area that is struck"))]
    pub(super) diameter: Option<Length>,
    /// Bore of a ring.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides the area that is struck"))]
    pub(super) inner_diameter: Option<Length>,
    /// Length of a block's struck face.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides the area that is struck"))]
    pub(super) length: Option<Length>,
    /// Width of a block's struck face.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides the area that is struck"))]
    pub(super) width: Option<Length>,
    /// Depth of the guard along the blow: its room to be squeezed.
    #[schemars(extend("why" = "more depth stops the same blow with less force"))]
    pub(super) depth: Length,
    /// Whether the back and the struck face are held from sliding; loose when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a block glued between plates is far stiffer than one that can bulge"))]
    pub(super) faces: Option<Faces>,
    /// Squeeze allowed at the worst blow, as a share of the depth, to 0.5; 0.25 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "beyond it the block bottoms out and its force climbs without limit"))]
    pub(super) squeeze_allowed: Option<f64>,
    /// Highest force that what stands behind the guard may get; not judged when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a guard that takes the energy can still pass on too much force"))]
    pub(super) force_allowed: Option<Force>,
    /// Highest deceleration that what strikes may get; not judged when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides whether what strikes is spared; 9.81 m/s^2 is one g"))]
    pub(super) deceleration_allowed: Option<Acceleration>,
    /// Share of the depth that must be left after the blows; 0.9 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a guard that takes a set has less depth for the next blow"))]
    pub(super) depth_kept: Option<f64>,
    /// Plateau stress at which a piece of this lattice or infill crushed; needed where it crushes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "no formula gives it within a factor of ten: squeeze a printed cube and divide its steady force by its area"))]
    pub(super) plateau: Option<Pressure>,
    /// Yield strength of the material that piece was printed of; the plateau counts for every material when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "at one infill the plateau goes with the yield strength, so that other materials can be told apart"))]
    pub(super) plateau_yield: Option<Pressure>,
    /// Share of the depth at which the lattice is crushed solid; 0.6 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "beyond it the force climbs without limit"))]
    pub(super) densification: Option<f64>,
    /// What stands behind the guard or strikes it, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    #[schemars(extend("why" = "cautions are looked for in it"))]
    pub(super) behind: String,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub(super) note: String,
}

/// How the guard gives way, with every default filled in.
#[derive(Clone, Copy, Debug)]
pub(super) enum Way {
    /// As a block.
    Springs {
        /// Whether its faces are held.
        bonded: bool,
        /// Squeeze allowed.
        squeeze: f64,
        /// Share of the depth that must be left.
        kept: f64,
    },
    /// At a plateau.
    Crushes {
        /// Plateau stress of the piece squeezed, MPa.
        plateau_mpa: f64,
        /// Yield strength of that piece's material, MPa.
        yield_mpa: Option<f64>,
        /// Densification strain.
        densification: f64,
    },
}

/// The guard with every default filled in.
#[derive(Clone, Copy, Debug)]
pub(super) struct Guard {
    /// The heaviest blow, the class's factor on its mass.
    pub(super) blow: Blow,
    /// The lightest, without.
    pub(super) lightest: Blow,
    /// Blows over the life.
    pub(super) blows: f64,
    /// The body.
    pub(super) solid: Solid,
    /// How it gives way.
    pub(super) way: Way,
    /// How the stretch of the bulging rim lies to the layers.
    pub(super) rim: Lies,
}

impl Guard {
    /// Share of the depth that may be used.
    pub(super) fn most_squeeze(&self) -> f64 {
        match self.way {
            Way::Springs { squeeze, .. } => squeeze,
            Way::Crushes { densification, .. } => densification,
        }
    }
}

impl ImpactGuard {
    fn comes(&self, faults: &mut Vec<Fault>) -> Comes {
        match (self.speed, self.drop) {
            (Some(v), None) => {
                positive(faults, "speed", v.0, "m/s");
                Comes::At(v.0)
            }
            (None, Some(h)) => {
                positive(faults, "drop", h.0, "mm");
                Comes::From(h.0 * 1e-3)
            }
            _ => {
                faults.push(Fault::new(
                    "duty::blow",
                    "a blow needs one of `speed` and `drop`",
                    "give the speed at which it strikes, or the height from which it falls, not both",
                ));
                Comes::At(f64::NAN)
            }
        }
    }

    fn way(&self, faults: &mut Vec<Fault>) -> Way {
        match self.works.unwrap_or_default() {
            Works::Springs => {
                for (name, given) in [
                    ("plateau", self.plateau.is_some()),
                    ("plateau_yield", self.plateau_yield.is_some()),
                    ("densification", self.densification.is_some()),
                ] {
                    if given {
                        faults.push(Fault::new(
                            "duty::plateau",
                            format!("`{name}` is given, but the guard springs"),
                            format!("write `\"works\": \"crushes\"`, or leave `{name}` out"),
                        ));
                    }
                }
                let squeeze = self.squeeze_allowed.unwrap_or(SQUEEZE);
                if !(squeeze > 0.0 && squeeze <= FLAT_FROM) {
                    faults.push(Fault::new(
                        "duty::squeeze-beyond-law",
                        format!("`squeeze_allowed` is {squeeze}, and the law of a squeezed block ends at {FLAT_FROM}"),
                        "write a share of the depth above 0, at most 0.5; 0.25 is usual",
                    ));
                }
                let kept = self.depth_kept.unwrap_or(DEPTH_KEPT);
                share(faults, "depth_kept", Some(kept));
                Way::Springs {
                    bonded: self.faces.unwrap_or_default() == Faces::Bonded,
                    squeeze,
                    kept,
                }
            }
            Works::Crushes => {
                let plateau_mpa = self.plateau.map_or(f64::NAN, |p| p.0);
                if self.plateau.is_some() {
                    positive(faults, "plateau", plateau_mpa, "MPa");
                } else {
                    faults.push(Fault::new(
                        "duty::plateau",
                        "a guard that crushes needs `plateau`, and nothing here reckons it from the material",
                        "squeeze a printed piece, divide its steady force by its area, and write for example `\"plateau\": \"0.8 MPa\"`",
                    ));
                }
                if let Some(y) = self.plateau_yield {
                    positive(faults, "plateau_yield", y.0, "MPa");
                }
                let densification = self.densification.unwrap_or(DENSIFICATION);
                share(faults, "densification", Some(densification));
                for (name, given) in [
                    ("faces", self.faces.is_some()),
                    ("squeeze_allowed", self.squeeze_allowed.is_some()),
                    ("depth_kept", self.depth_kept.is_some()),
                ] {
                    if given {
                        faults.push(Fault::new(
                            "duty::plateau",
                            format!(
                                "`{name}` is given, but the guard crushes and does not spring back"
                            ),
                            format!("leave `{name}` out, or write `\"works\": \"springs\"`"),
                        ));
                    }
                }
                Way::Crushes {
                    plateau_mpa,
                    yield_mpa: self.plateau_yield.map(|y| y.0),
                    densification,
                }
            }
        }
    }

    pub(super) fn settle(&self, setting: &Setting, factor: f64) -> Result<Guard, Vec<Fault>> {
        let mut faults = Vec::new();
        positive(&mut faults, "mass", self.mass.0, "kg");
        positive(&mut faults, "depth", self.depth.0, "mm");
        let blows = self
            .blows
            .map_or_else(|| setting.cycles.unwrap_or(1.0), f64::from);
        positive(&mut faults, "blows", blows, "");
        if let Some(f) = self.force_allowed {
            positive(&mut faults, "force_allowed", f.0, "N");
        }
        if let Some(a) = self.deceleration_allowed {
            positive(&mut faults, "deceleration_allowed", a.0, "m/s^2");
        }
        if self.deceleration_allowed.is_some() && self.lightest_mass.is_none() {
            faults.push(Fault::new(
                "duty::lightest-mass",
                "`deceleration_allowed` is given without `lightest_mass`, and the lightest thing is stopped hardest",
                "write the mass of the lightest thing that strikes, for example the same as `mass`",
            ));
        }
        let lightest_kg = self.lightest_mass.map_or(self.mass.0, |m| {
            positive(&mut faults, "lightest_mass", m.0, "kg");
            m.0
        });
        if lightest_kg > self.mass.0 {
            faults.push(Fault::new(
                "duty::mass",
                format!(
                    "`lightest_mass` {} kg is more than `mass` {} kg",
                    shown(lightest_kg),
                    shown(self.mass.0)
                ),
                "write the heaviest thing that strikes as `mass`",
            ));
        }
        let comes = self.comes(&mut faults);
        let blow = Blow {
            mass_kg: self.mass.0 * factor,
            comes,
        };
        if blow.speed_m_s() > FASTEST_BLOW {
            faults.push(Fault::new(
                "duty::blow-too-fast",
                format!(
                    "a blow at {:.1} m/s is faster than the {FASTEST_BLOW} m/s to which a block gives way as a slow spring",
                    blow.speed_m_s()
                ),
                "slow it down, or have the guard tested; nothing here reckons a faster blow",
            ));
        }
        let way = self.way(&mut faults);
        let solid = Sizes {
            shape: self.shape,
            diameter: self.diameter,
            inner_diameter: self.inner_diameter,
            length: self.length,
            width: self.width,
            height_mm: self.depth.0,
        }
        .settle(&mut faults);
        if matches!(way, Way::Springs { bonded: false, .. }) {
            loose_shape("guard", "depth", solid.shape_factor, &mut faults);
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        Ok(Guard {
            blow,
            lightest: Blow {
                mass_kg: lightest_kg,
                comes,
            },
            blows,
            solid,
            way,
            rim: RIM.of(setting, LYING),
        })
    }

    pub(super) fn note_defaults(&self, guard: &Guard, setting: &Setting, duty: &mut Duty) {
        let mut note = |given: bool, text: String| {
            if !given {
                duty.notes.push(text);
            }
        };
        let from = match setting.cycles {
            Some(_) => "the case's cycles",
            None => "one",
        };
        note(
            self.blows.is_some(),
            format!("`blows` left out: {} ({from})", guard.blows),
        );
        note(
            self.works.is_some(),
            "`works` left out: a solid block that springs".to_owned(),
        );
        match guard.way {
            Way::Springs { squeeze, kept, .. } => {
                note(self.faces.is_some(), "`faces` left out: loose".to_owned());
                note(
                    self.squeeze_allowed.is_some(),
                    format!("`squeeze_allowed` left out: {squeeze} of the depth"),
                );
                note(
                    self.depth_kept.is_some(),
                    format!("`depth_kept` left out: {kept} (assumed)"),
                );
            }
            Way::Crushes { densification, .. } => {
                note(
                    self.densification.is_some(),
                    format!(
                        "`densification` left out: {densification} (0.5 to 0.7, from memory, not verified)"
                    ),
                );
                note(
                    self.plateau_yield.is_some(),
                    "`plateau_yield` left out: the plateau measured on one print is taken for every material".to_owned(),
                );
            }
        }
        note(
            self.force_allowed.is_some() || self.deceleration_allowed.is_some(),
            "neither `force_allowed` nor `deceleration_allowed` given: what is passed on is not judged, only valued".to_owned(),
        );
        self.note_never_stopped(guard, duty);
        duty.notes.push(
            "bench impact figures in kJ/m2 rank materials of like notch and thickness; they are not joules that the guard can take".to_owned(),
        );
    }

    /// Says where what falls weighs more than the plateau bears, whatever its height.
    fn note_never_stopped(&self, guard: &Guard, duty: &mut Duty) {
        let Way::Crushes {
            plateau_mpa,
            yield_mpa: None,
            ..
        } = guard.way
        else {
            return;
        };
        let (weight, plateau) = (guard.blow.weight_n(), plateau_mpa * guard.solid.area_mm2);
        if weight >= plateau {
            duty.notes.push(format!(
                "what falls weighs {weight:.0} N, factor included, and the plateau bears {plateau:.0} N: the guard never stops it"
            ));
        }
    }
}
