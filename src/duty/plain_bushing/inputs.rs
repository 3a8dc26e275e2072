//! The inputs of a bush, checked and with their defaults.

use super::Bush;
use super::play::Seat;
use crate::duty::mechanics::held::Bar;
use crate::duty::mechanics::rubbing::{HeatPath, Rubbing};
use crate::duty::mechanics::sliding::{Contact, same_plastic};
use crate::duty::mechanics::usual::{positive, share, shown};
use crate::duty::{Duty, Setting};
use crate::problem::Fault;
use crate::property::{Face, Moisture, ROOM_C};
use crate::quantity::{
    Angle, Area, Expansion, FilmCoefficient, Flow, Force, Length, Speed, Temperature,
    ThermalResistance, Torque,
};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::f64::consts::PI;

/// Play over the shaft's diameter where none is given: 0.5 to 1 % (common practice, no source).
const PLAY: f64 = 0.0075;
/// Play over the shaft's diameter from which the load no longer spreads over half the bore (ours).
const MOST_PLAY: f64 = 0.05;
const HOUR_S: f64 = 3600.0;
const DAY_H: f64 = 24.0;

/// Whether the load stands still on the bush.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum LoadOn {
    /// The shaft turns and the load presses one side of the bush.
    #[default]
    OneSide,
    /// The bush turns under the load, which goes all round it.
    AllRound,
}

/// What the bush sits in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum SitsIn {
    /// A stiff housing that its outside cannot push away.
    #[default]
    Housing,
    /// Nothing stiff: its outside is free to grow.
    Free,
}

/// A plain bush round a shaft.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct PlainBushing {
    /// Diameter of the shaft, as measured.
    #[schemars(extend("why" = "sets the pressure, and how fast the surfaces slide for each turn"))]
    pub(super) shaft: Length,
    /// Play between shaft and bore, across the diameter, before the bush is pressed in; 0.75 % of the shaft and the press fit when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides whether the bush seizes when it grows by heat or water: plastic needs more play than metal"))]
    pub(super) clearance: Option<Length>,
    /// Length of the bush along the shaft.
    #[schemars(extend("why" = "spreads the load: a longer bush wears more slowly and carries more"))]
    pub(super) length: Length,
    /// Wall of the bush.
    #[schemars(extend("why" = "is what can wear away, and what swells inwards"))]
    pub(super) wall: Length,
    /// Load on one bush, across the shaft.
    #[schemars(extend("why" = "wear, pressure and heat all grow with it"))]
    pub(super) load: Force,
    /// Whether the load presses one side of the bush or goes all round it; one side when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a bush that turns under its load wears all round, four times more slowly than one that stands still"))]
    pub(super) load_on: Option<LoadOn>,
    /// Turns while it turns; of a swing, its angle over its time: a quarter turn in half a second is 30 rpm.
    #[schemars(extend("why" = "sets the sliding speed, which with the pressure makes the heat"))]
    pub(super) turns: Flow,
    /// Share of its life that it turns, above 0 to 1; 1 when left out. Or give swings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "sets how far the surfaces slide over the life, and so how deep they wear"))]
    pub(super) share: Option<f64>,
    /// Swings a day, each one way.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "with the angle of a swing says how far the surfaces slide over the life"))]
    pub(super) swings_per_day: Option<f64>,
    /// Angle of one swing, one way.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "with the swings a day says how far the surfaces slide over the life"))]
    pub(super) swing: Option<Angle>,
    /// Share of the time that it turns in its busiest quarter of an hour, above 0 to 1; 1 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "friction heat is averaged over it"))]
    pub(super) busy_share: Option<f64>,
    /// Depth of the wall that may wear away: half of the play that it may gain.
    #[schemars(extend("why" = "says when the shaft has too much play and the bush is worn out"))]
    pub(super) wear_allowed: Length,
    /// Thermal resistance from the sliding face to the surroundings; or give `film`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "says how hot friction makes the bush: most heat leaves through a metal shaft"))]
    pub(super) thermal_resistance: Option<ThermalResistance>,
    /// Film coefficient of the surface that gives off the heat: still air gives 5 to 15 W/(m2.K).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "says how hot friction makes the bush, where no thermal resistance is known"))]
    pub(super) film: Option<FilmCoefficient>,
    /// Area that gives off the heat, shaft and housing too; the bore's when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "more of it keeps the bush cooler"))]
    pub(super) cooled_area: Option<Area>,
    /// What the bush sits in; a stiff housing when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "in a stiff housing the bush can only grow inwards, onto the shaft"))]
    pub(super) sits_in: Option<SitsIn>,
    /// Interference of the press fit in the housing, across the diameter; none when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "pressing the bush in closes its bore by about as much"))]
    pub(super) press: Option<Length>,
    /// Thermal expansion of the shaft; by the surface in contact when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides how the play changes with temperature"))]
    pub(super) shaft_expansion: Option<Expansion>,
    /// Thermal expansion of the housing; steel's 12 um/(m.K) when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides how the play changes with temperature"))]
    pub(super) housing_expansion: Option<Expansion>,
    /// Temperature at which shaft and bush were measured; 23 degC when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "the play changes from there"))]
    pub(super) fitted_at: Option<Temperature>,
    /// Highest speed that a handbook or maker allows this pair, where one is known; no bench test here gives it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "speed has a limit of its own beside pressure and their product"))]
    pub(super) speed_allowed: Option<Speed>,
    /// Torque that friction may take; not judged when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "says how heavily the shaft may turn"))]
    pub(super) drag_allowed: Option<Torque>,
    /// Depth that the bush may sink by creep under the load; not judged when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a load that stands for years sinks into the wall without turning"))]
    pub(super) sink_allowed: Option<Length>,
    /// Which printed face slides; any when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a printed wall wears otherwise than a top face"))]
    pub(super) face: Option<Face>,
    /// How many such bushes the use has; 1 when left out. Counts for cost.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "counts for the cost"))]
    pub(super) bushes: Option<u32>,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub(super) note: String,
}

impl PlainBushing {
    /// A5: sliding speed, m/s: pi d n.
    pub(super) fn speed_m_s(&self) -> f64 {
        PI * self.shaft.0 * 1e-3 * self.turns.0
    }

    fn swings(&self) -> bool {
        self.swing.is_some()
    }

    /// The bush, or every fault of its inputs.
    pub(super) fn bush(&self, setting: &Setting) -> Result<Bush, Vec<Fault>> {
        let mut faults = Vec::new();
        for (name, value, unit) in [
            ("shaft", Some(self.shaft.0), "mm"),
            ("clearance", self.clearance.map(|l| l.0), "mm"),
            ("length", Some(self.length.0), "mm"),
            ("wall", Some(self.wall.0), "mm"),
            ("load", Some(self.load.0), "N"),
            ("turns", Some(self.turns.0), "turns a second"),
            ("wear_allowed", Some(self.wear_allowed.0), "mm"),
            ("press", self.press.map(|l| l.0), "mm"),
            ("swing", self.swing.map(|a| a.0), "deg"),
            ("swings_per_day", self.swings_per_day, ""),
            ("speed_allowed", self.speed_allowed.map(|v| v.0), "m/s"),
            ("drag_allowed", self.drag_allowed.map(|m| m.0), "N.m"),
            ("sink_allowed", self.sink_allowed.map(|l| l.0), "mm"),
            ("bushes", self.bushes.map(f64::from), ""),
        ] {
            if let Some(x) = value {
                positive(&mut faults, name, x, unit);
            }
        }
        share(&mut faults, "share", self.share);
        share(&mut faults, "busy_share", self.busy_share);
        if self.wear_allowed.0 >= self.wall.0 {
            faults.push(Fault::new(
                "duty::wear-allowed",
                format!(
                    "`wear_allowed` {} mm is not less than the `wall` {} mm",
                    shown(self.wear_allowed.0),
                    shown(self.wall.0)
                ),
                "allow less wear, or make the wall thicker",
            ));
        }
        let play = self.clearance_mm();
        if self.shaft.0 > 0.0 && play > MOST_PLAY * self.shaft.0 {
            faults.push(Fault::new(
                "duty::bush-play",
                format!(
                    "a `clearance` of {} mm on a shaft of {} mm is {:.1} % of it, and beyond 5 % the load no longer spreads over half the bore",
                    shown(play),
                    shown(self.shaft.0),
                    100.0 * play / self.shaft.0
                ),
                "write the play across the diameter as `clearance`, 0.5 to 1 % of the shaft as a rule, or judge it as a `sliding-pad` with `shaft-on-flat`",
            ));
        }
        if self.press.is_some() && self.sits_in == Some(SitsIn::Free) {
            faults.push(Fault::new(
                "duty::bush-press",
                "`press` belongs to a stiff housing, and `sits_in` says that there is none",
                "leave one of them out",
            ));
        }
        let distance_m = self.distance_m(setting.life_h, &mut faults);
        let (bore_mm, length_mm) = (self.shaft.0, self.length.0);
        let contact = match self.load_on.unwrap_or_default() {
            // A swinging bush does not spread its wear all round.
            LoadOn::AllRound if !self.swings() => Contact::BushLoadTurning { bore_mm, length_mm },
            _ => Contact::BushLoadFixed { bore_mm, length_mm },
        };
        let path = HeatPath {
            resistance: self.thermal_resistance,
            film: self.film,
            cooled: self.cooled_area,
        };
        let resistance = path.k_w(Some(PI * bore_mm * length_mm), &mut faults);
        if setting.counterface.is_none() {
            faults.push(Fault::new(
                "duty::counterface",
                "wear and friction belong to a pair, and the case does not say what the bush runs on",
                "write it as `\"counterface\"` in `surroundings`, for example `\"steel-smooth\"`",
            ));
        }
        match (resistance, &setting.counterface) {
            (Some(resistance_k_w), Some(surface)) if faults.is_empty() => Ok(Bush {
                shaft_mm: self.shaft.0,
                seat: self.seat(surface),
                rubbing: Rubbing {
                    what: "bush",
                    contact,
                    load_n: self.load.0,
                    speed_m_s: self.speed_m_s(),
                    distance_m,
                    life_h: setting.life_h,
                    allowed_mm: self.wear_allowed.0,
                    thickness_mm: self.wall.0,
                    resistance_k_w,
                    busy: self.busy_share.unwrap_or(1.0),
                    surface: surface.clone(),
                    face: self.face,
                },
            }),
            _ => Err(faults),
        }
    }

    /// Play before the bush is pressed in, mm across the diameter.
    fn clearance_mm(&self) -> f64 {
        self.clearance.map_or_else(
            || PLAY * self.shaft.0 + self.press.map_or(0.0, |l| l.0),
            |l| l.0,
        )
    }

    fn seat(&self, surface: &str) -> Seat {
        let bore_mm = self.shaft.0 + self.clearance_mm();
        let in_housing = self.sits_in.unwrap_or_default() == SitsIn::Housing;
        Seat {
            shaft_mm: self.shaft.0,
            bore_mm,
            outer_mm: bore_mm + 2.0 * self.wall.0,
            press_mm: in_housing.then(|| self.press.map_or(0.0, |l| l.0)),
            shaft_expansion: self
                .shaft_expansion
                .map_or_else(|| Bar::of_surface(Some(surface)).expansion(), |a| a.0),
            housing_expansion: self
                .housing_expansion
                .map_or_else(|| Bar::Steel.expansion(), |a| a.0),
            fitted_c: self.fitted_at.map_or(ROOM_C, |t| t.0),
        }
    }

    /// Distance slid over a life, m.
    fn distance_m(&self, life_h: f64, faults: &mut Vec<Fault>) -> f64 {
        match (self.swings_per_day, self.swing, self.share) {
            (None, None, share) => self.speed_m_s() * share.unwrap_or(1.0) * life_h * HOUR_S,
            (Some(n), Some(swing), None) => {
                n * swing.0 / 360.0 * PI * self.shaft.0 * 1e-3 * life_h / DAY_H
            }
            _ => {
                faults.push(Fault::new(
                    "duty::sliding-distance",
                    "how far it slides is said by `swings_per_day` with `swing`, or by `share`, and not by both",
                    "give both of the first, or only `share`",
                ));
                f64::NAN
            }
        }
    }

    /// Says which inputs were left to their defaults, and what is not judged.
    pub(super) fn note_defaults(&self, bush: &Bush, setting: &Setting, duty: &mut Duty) {
        let mut note = |given: bool, text: String| {
            if !given {
                duty.notes.push(text);
            }
        };
        note(
            self.clearance.is_some(),
            format!(
                "`clearance` left out: {} mm before it is pressed in",
                shown(self.clearance_mm())
            ),
        );
        note(
            setting.moisture != Moisture::Room,
            "growth by the damp of a room follows the water uptake, measured or else typical; none is counted where only the expansion was measured: measure a polyamide's uptake, for it grows most".to_owned(),
        );
        note(
            self.load_on.is_some(),
            "`load_on` left out: the load presses one side of the bush".to_owned(),
        );
        note(
            !(self.swings() && self.load_on == Some(LoadOn::AllRound)),
            "a bush that swings does not spread its wear all round: taken as if the load pressed one side".to_owned(),
        );
        note(
            self.share.is_some() || self.swings(),
            "`share` left out: it turns all the time".to_owned(),
        );
        note(
            self.busy_share.is_some(),
            "`busy_share` left out: the friction heat is taken as steady".to_owned(),
        );
        note(
            self.film.is_none() || self.cooled_area.is_some(),
            format!(
                "`cooled_area` left out: the bore's, {:.0} mm2",
                PI * self.shaft.0 * self.length.0
            ),
        );
        note(
            self.sits_in.is_some(),
            "`sits_in` left out: a stiff housing, so that the bush grows inwards".to_owned(),
        );
        note(
            self.shaft_expansion.is_some(),
            format!(
                "`shaft_expansion` left out: {} um/(m.K), by its surface",
                bush.seat.shaft_expansion
            ),
        );
        note(
            self.housing_expansion.is_some() || bush.seat.press_mm.is_none(),
            format!(
                "`housing_expansion` left out: steel's {} um/(m.K)",
                bush.seat.housing_expansion
            ),
        );
        note(
            self.fitted_at.is_some(),
            format!("`fitted_at` left out: {ROOM_C} degC"),
        );
        note(
            self.speed_allowed.is_some(),
            "speed has a limit of its own that no bench test here gives; the heat margin and pressure times speed stand in for it, or give `speed_allowed`".to_owned(),
        );
        note(self.bushes.is_some(), "`bushes` left out: 1".to_owned());
        same_plastic(setting, duty);
        duty.notes.push(
            "what keeps the bush from turning in its housing is not judged: give it a flange, a key or glue".to_owned(),
        );
        duty.notes.push(format!(
            "slides {:.0} m over the life at {:.3} m/s",
            bush.rubbing.distance_m, bush.rubbing.speed_m_s
        ));
    }
}
