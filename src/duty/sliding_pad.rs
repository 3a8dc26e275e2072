//! The sliding-pad part kind: a pad, bush or groove that wears, heats and carries.
//!
//! Pressure, speed and their product are three limits and are judged apart.

mod contact;
mod docs;

use crate::duty::mechanics::pushed::pushed;
use crate::duty::mechanics::rubbing::{Rubbing, fast_rotation};
use crate::duty::mechanics::surroundings::ends;
use crate::duty::mechanics::usual;
use crate::duty::part::read_inputs;
use crate::duty::{Deed, Duty, LiesOnBed, Lying, Part, PartKind, Promise, Setting};
use crate::policy::Class;
use crate::problem::Fault;
use crate::property::Face;
use crate::quantity::{Area, FilmCoefficient, Flow, Force, Length, Speed, ThermalResistance};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How the two bodies touch.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
enum ContactKind {
    /// A flat face on a flat.
    Flat,
    /// A bush round a shaft; the load stands still on the bush.
    BushLoadFixed,
    /// A bush round a shaft; the load goes round the bush, because the bush turns under it.
    BushLoadTurning,
    /// A round shaft across a flat face, wearing a groove.
    ShaftOnFlat,
}

/// A pad, bush or flat that something slides on.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct SlidingPad {
    /// How the two bodies touch.
    #[schemars(extend("why" = "decides how load turns into pressure, and which sizes are asked"))]
    contact: ContactKind,
    /// Load on one pad or bush.
    #[schemars(extend("why" = "decides wear and friction heat: twice the load wears twice as fast"))]
    load: Force,
    /// Area of a flat face; or give `width` and `length`.
    #[schemars(extend("why" = "decides the pressure on the sliding face, and how fast the depth wears"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    area: Option<Area>,
    /// Width of a flat face.
    #[schemars(extend("why" = "decides the pressure on the sliding face, and how fast the depth wears"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    width: Option<Length>,
    /// Length of a flat face, of a bush, or of the line that a shaft touches.
    #[schemars(extend("why" = "decides the pressure on the sliding face, and how fast the depth wears"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    length: Option<Length>,
    /// Bore of a bush.
    #[schemars(extend("why" = "decides the pressure in the bush, and the sliding speed of its shaft"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    bore: Option<Length>,
    /// Diameter of a shaft that lies across a flat.
    #[schemars(extend("why" = "decides how narrow the line is that carries the load, and the sliding speed"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    shaft_diameter: Option<Length>,
    /// Thickness of the pad, or wall of the bush.
    #[schemars(extend("why" = "decides how much there is to wear and to sink, and how the heat gets out"))]
    thickness: Length,
    /// Sliding speed while it slides; or give `turns`.
    #[schemars(extend("why" = "decides friction heat, and with the time the way slid"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    speed: Option<Speed>,
    /// Turns of the shaft or bush while it turns.
    #[schemars(extend("why" = "decides the sliding speed, and with the time the way slid"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    turns: Option<Flow>,
    /// Share of its life that it slides, above 0 to 1; 1 when left out. Or give strokes.
    #[schemars(extend("why" = "decides how far it slides in its life, and so how much wears away"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    share: Option<f64>,
    /// Strokes a day, each one way.
    #[schemars(extend("why" = "decides how far it slides in its life, and so how much wears away"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    strokes_per_day: Option<f64>,
    /// Length of one stroke, one way.
    #[schemars(extend("why" = "decides how far it slides in its life, and so how much wears away"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    stroke: Option<Length>,
    /// Share of the time that it slides in its busiest quarter of an hour, above 0 to 1: friction heat is averaged over it; 1 when left out.
    #[schemars(extend("why" = "decides how hot the face gets: heat of short bursts is averaged away"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    busy_share: Option<f64>,
    /// Depth that may wear away.
    #[schemars(extend("why" = "decides when the pad counts as worn out"))]
    wear_allowed: Length,
    /// Thermal resistance from the sliding face to the surroundings; or give `film`.
    #[schemars(extend("why" = "decides how hot the face gets for the heat that friction makes"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    thermal_resistance: Option<ThermalResistance>,
    /// Film coefficient of the surface that gives off the heat: still air gives 5 to 15 W/(m2.K).
    #[schemars(extend("why" = "decides how hot the face gets for the heat that friction makes"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    film: Option<FilmCoefficient>,
    /// Area that gives off the heat; the contact's when left out.
    #[schemars(extend("why" = "decides how hot the face gets for the heat that friction makes"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    cooled_area: Option<Area>,
    /// Highest speed that a handbook or maker allows this pair, where one is known; no bench test here gives it.
    #[schemars(extend("why" = "adds a limit that no bench test here gives"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    speed_allowed: Option<Speed>,
    /// Radius of the small spot that carries the load, where it is not the whole face: its own rise is judged.
    #[schemars(extend("why" = "decides how much hotter the small spot is that carries the load"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    contact_radius: Option<Length>,
    /// Depth that the pad may sink by creep under the load; not judged when left out.
    #[schemars(extend("why" = "adds a limit on creep under the load"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    sink_allowed: Option<Length>,
    /// Which printed face slides; any when left out.
    #[schemars(extend("why" = "the bottom, the top and the side of a print wear unlike each other: naming the face takes readings of that face alone"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    face: Option<Face>,
    /// How many such pads the use has; 1 when left out. Counts for cost.
    #[schemars(extend("why" = "decides how much polymer the use takes, which counts for cost and weight"))]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pads: Option<u32>,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    note: String,
}

impl Part for SlidingPad {
    fn kind(&self) -> &'static str {
        "sliding-pad"
    }

    fn limits(&self, setting: &Setting, duty: &mut Duty) -> Result<(), Vec<Fault>> {
        let pad = self.pad(setting)?;
        self.note_defaults(&pad, setting, duty);
        let class = setting.class_of(Class::Damage);
        let load_n = pad.load_n * usual::loads_factor(setting, class, duty);
        let sink_mm = self.sink_allowed.map(|l| l.0);
        for end in ends(setting) {
            pad.limits_at(end, setting, duty, (class, load_n, sink_mm));
        }
        if let Some(allowed) = self.speed_allowed {
            duty.limits.push(pad.speed_limit(allowed.0, class));
        }
        duty.promise = Some(Promise {
            parts: match self.contact {
                ContactKind::Flat | ContactKind::ShaftOnFlat => "pads",
                ContactKind::BushLoadFixed | ContactKind::BushLoadTurning => "bushes",
            },
            deeds: vec![
                Deed::new("carry", load_n, Force::UNIT, ""),
                Deed::new("wear at most", pad.allowed_mm, Length::UNIT, ""),
            ],
        });
        let spot_mm = self.contact_radius.map(|l| l.0);
        pad.heat_limits(setting, duty, (class, load_n, spot_mm));
        self.aims(&pad, setting, duty, load_n);
        Ok(())
    }

    pushed!(Load load, Thickness width, Thickness length, Thickness thickness);

    fn words(&self) -> Vec<String> {
        vec![self.note.clone()]
    }

    fn cautions(&self, _: &Setting) -> Vec<(&'static str, String)> {
        self.speed_m_s()
            .map_or_else(Vec::new, |v| fast_rotation("sliding speed", v))
    }
}

impl SlidingPad {
    fn aims(&self, pad: &Rubbing, setting: &Setting, duty: &mut Duty, load_n: f64) {
        let pads = f64::from(self.pads.unwrap_or(1));
        let volume = pad.contact.volume_mm3(pad.thickness_mm) * pads;
        let mut aims = pad.aims(setting, duty, load_n).to_vec();
        aims.extend([
            usual::easy_print(duty),
            usual::cost(duty, volume),
            usual::weight(duty, volume),
        ]);
        duty.aims.extend(aims);
        duty.preference = usual::points(&[
            ("wear-life", 50.0),
            ("heat-reserve", 20.0),
            ("easy-print", 15.0),
            ("cost", 15.0),
        ]);
    }
}

/// The row of the registry.
pub(super) const KIND: PartKind = PartKind {
    id: "sliding-pad",
    title: "a pad, bush or flat that something slides on",
    read: read_inputs::<SlidingPad>,
    schema: || schemars::schema_for!(SlidingPad),
    example: docs::EXAMPLE,
    formulas: docs::FORMULAS,
    limits: &[
        ("wear-depth", "mm"),
        ("pressure", "MPa"),
        ("pv", "MPa.m/s"),
        ("speed", "m/s"),
        ("heat-margin", "K"),
        ("spot-heat", "1"),
        ("creep-sink", "mm"),
    ],
    lying: Some(Lying {
        flat: "lying with the sliding face on the bed or on top",
        edge: "lying on its side, the sliding face a wall",
        upright: "standing on its end, the sliding face a wall",
        open: LiesOnBed::Flat,
    }),
};
