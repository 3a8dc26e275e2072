//! The inputs of a gear, checked and with their defaults.

use crate::duty::mechanics::gear::{
    FEWEST_TEETH, MOST_TEETH, form_factor, short_form_factor, sliding_share,
};
use crate::duty::mechanics::rubbing::HeatPath;
use crate::duty::mechanics::sliding::same_plastic;
use crate::duty::mechanics::usual::{positive, share, shown};
use crate::duty::{Duty, Setting};
use crate::num::shape::ring_area_mm2;
use crate::problem::Fault;
use crate::quantity::{Area, FilmCoefficient, Flow, Length, ThermalResistance, Torque};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use std::f64::consts::{PI, TAU};

/// Hardest start over the torque while it runs, where nobody said (ours: electric motors start with
/// twice their torque and more).
const START: f64 = 2.0;
/// Wear allowed over the module, where nobody said (ours, no source).
const WEAR: f64 = 0.1;
/// Modules of width beyond which a face no longer carries evenly (common practice, no source).
const FACE_MODULES: f64 = 15.0;
/// Film coefficient of still air, W/(m2.K): the middle of 5 to 15 (from memory, not verified).
const STILL_AIR: f64 = 10.0;
/// Friction of the flanks that the temperature of the teeth is reckoned with before a material is
/// known (dry plastics lie at 0.1 to 0.45; from memory, not verified).
const FRICTION: f64 = 0.3;
/// Scale of Barth's factor, m/s: rough and cut teeth (from memory, not verified).
const BARTH: (f64, f64) = (3.05, 6.1);
const HOUR_S: f64 = 3600.0;

/// How the teeth were made.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Made {
    /// As they come off the printer.
    #[default]
    Printed,
    /// Cut or finished after printing.
    Cut,
}

/// A spur gear with 20 degree teeth of full depth.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct SmallGear {
    /// Teeth of this gear.
    #[schemars(extend("why" = "few teeth are thin at the root and slide more; below 12 nothing is known of their strength"))]
    pub(super) teeth: u32,
    /// Module: diameter of the pitch circle over the number of teeth.
    #[schemars(extend("why" = "is the size of a tooth: twice the module bears four times the torque"))]
    pub(super) module: Length,
    /// Width of the toothed rim.
    #[schemars(extend("why" = "shares the force of a tooth out"))]
    pub(super) face: Length,
    /// Torque on this gear while it runs.
    #[schemars(extend("why" = "bends the teeth, wears them and makes the heat"))]
    pub(super) torque: Torque,
    /// Hardest torque, at a start or a jam; twice the running one when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "decides whether a tooth breaks off at once"))]
    pub(super) peak_torque: Option<Torque>,
    /// Torque that it holds standing still for its life; not judged when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a tooth that holds a load for years creeps and gives way below its strength"))]
    pub(super) holding_torque: Option<Torque>,
    /// Turns while it runs.
    #[schemars(extend("why" = "sets how often each tooth is loaded, how fast it slides and how much heat there is"))]
    pub(super) turns: Flow,
    /// Share of its life that it runs, above 0 to 1; 1 when left out. A case's `cycles` counts the turns instead.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "sets how often each tooth is loaded over the life"))]
    pub(super) share: Option<f64>,
    /// Share of the time that it runs in its busiest quarter of an hour, above 0 to 1; 1 when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "the heat of the mesh is averaged over it"))]
    pub(super) busy_share: Option<f64>,
    /// Teeth of the mate; as many as this gear's when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "a small mate slides more on the flanks, which wears and heats them"))]
    pub(super) mate_teeth: Option<u32>,
    /// Whether it runs between two gears and only passes the torque on; no when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "an idler's teeth are bent both ways, and it is warmed by two meshes"))]
    pub(super) idler: Option<bool>,
    /// How the teeth were made; printed when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "rough teeth knock harder at speed"))]
    pub(super) made: Option<Made>,
    /// Lewis form factor of the teeth, where they are of another form; by the number of teeth when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "stub teeth and shifted ones are stronger at the root than the table's"))]
    pub(super) form_factor: Option<f64>,
    /// Depth that the flanks may wear; a tenth of the module when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "says when the mesh has too much play and the gear is worn out"))]
    pub(super) wear_allowed: Option<Length>,
    /// Thermal resistance from the teeth to the surroundings; from the gear's own surface when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "says how hot the mesh makes the teeth"))]
    pub(super) thermal_resistance: Option<ThermalResistance>,
    /// Film coefficient of the surface that gives off the heat; still air's 10 W/(m2.K) when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "says how hot the mesh makes the teeth"))]
    pub(super) film: Option<FilmCoefficient>,
    /// Area that gives off the heat; both sides and the rim of the gear when left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "more of it keeps the teeth cooler"))]
    pub(super) cooled_area: Option<Area>,
    /// How many such gears the use has; 1 when left out. Counts for cost.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(extend("why" = "counts for the cost"))]
    pub(super) gears: Option<u32>,
    /// A note.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub(super) note: String,
}

/// The gear with every default filled in; torques without a class's factor.
#[derive(Clone, Debug)]
pub(super) struct Gear {
    pub(super) teeth: f64,
    pub(super) module_mm: f64,
    /// Width that carries, mm: at most [`FACE_MODULES`] modules.
    pub(super) face_mm: f64,
    /// Width of the whole rim, mm.
    rim_mm: f64,
    pub(super) form: f64,
    pub(super) short_form: f64,
    pub(super) torque_nm: f64,
    pub(super) peak_nm: f64,
    pub(super) holding_nm: Option<f64>,
    /// Turns a second while it runs.
    turns_s: f64,
    busy: f64,
    /// Meshes that warm it: two of an idler.
    pub(super) meshes: f64,
    /// Turns over the life: how often each tooth is loaded.
    pub(super) cycles: f64,
    pub(super) barth_m_s: f64,
    /// Speed of sliding on the flanks over the pitch circle's.
    pub(super) sliding: f64,
    pub(super) mate_gives: bool,
    pub(super) allowed_mm: f64,
    pub(super) life_h: f64,
    pub(super) resistance_k_w: f64,
    pub(super) surface: String,
}

impl Gear {
    pub(super) fn pitch_mm(&self) -> f64 {
        self.module_mm * self.teeth
    }

    /// K1: force on a tooth, N: 2 T/d.
    pub(super) fn tooth_n(&self, torque_nm: f64) -> f64 {
        2.0 * torque_nm * 1e3 / self.pitch_mm()
    }

    /// Speed at the pitch circle, m/s.
    pub(super) fn speed_m_s(&self) -> f64 {
        PI * self.pitch_mm() * 1e-3 * self.turns_s
    }

    /// Work passed on over the life, N.m.
    pub(super) fn work_nm(&self, torque_nm: f64) -> f64 {
        TAU * torque_nm * self.cycles
    }

    /// A10, K10: heat of its meshes averaged over a busy spell, W: mu W v times the sliding share of each.
    pub(super) fn heat_w(&self, torque_nm: f64, friction: f64) -> f64 {
        self.meshes * friction * self.sliding * TAU * torque_nm * self.turns_s * self.busy
    }

    /// How much warmer than the air the teeth are taken when strength is asked, K.
    pub(super) fn warmer_k(&self, torque_nm: f64) -> f64 {
        self.heat_w(torque_nm, FRICTION) * self.resistance_k_w
    }

    pub(super) fn volume_mm3(&self) -> f64 {
        ring_area_mm2(self.pitch_mm(), 0.0) * self.rim_mm
    }
}

impl SmallGear {
    /// Speed at the pitch circle, m/s.
    pub(super) fn speed_m_s(&self) -> f64 {
        PI * self.module.0 * f64::from(self.teeth) * 1e-3 * self.turns.0
    }

    /// The gear, or every fault of its inputs.
    pub(super) fn gear(&self, setting: &Setting) -> Result<Gear, Vec<Fault>> {
        let mut faults = Vec::new();
        for (name, value, unit) in [
            ("module", Some(self.module.0), "mm"),
            ("face", Some(self.face.0), "mm"),
            ("torque", Some(self.torque.0), "N.m"),
            ("peak_torque", self.peak_torque.map(|m| m.0), "N.m"),
            ("holding_torque", self.holding_torque.map(|m| m.0), "N.m"),
            ("turns", Some(self.turns.0), "turns a second"),
            ("form_factor", self.form_factor, ""),
            ("wear_allowed", self.wear_allowed.map(|l| l.0), "mm"),
            ("gears", self.gears.map(f64::from), ""),
        ] {
            if let Some(x) = value {
                positive(&mut faults, name, x, unit);
            }
        }
        share(&mut faults, "share", self.share);
        share(&mut faults, "busy_share", self.busy_share);
        let form = self.form_factor.or_else(|| form_factor(self.teeth));
        for (name, teeth) in [("teeth", Some(self.teeth)), ("mate_teeth", self.mate_teeth)] {
            if let Some(n) = teeth.filter(|n| *n < FEWEST_TEETH) {
                faults.push(Fault::new(
                    "duty::gear-teeth",
                    format!("`{name}` is {n}, and the table of form factors ends at {FEWEST_TEETH}"),
                    format!("give it {FEWEST_TEETH} teeth or more: fewer are undercut and weaker than any extrapolation says"),
                ));
            }
        }
        let module = self.module.0;
        let allowed = self.wear_allowed.map_or(WEAR * module, |l| l.0);
        if module > 0.0 && allowed >= 0.5 * PI * module {
            faults.push(Fault::new(
                "duty::wear-allowed",
                format!(
                    "`wear_allowed` {} mm is not less than a tooth's thickness of {} mm",
                    shown(allowed),
                    shown(0.5 * PI * module)
                ),
                "allow less wear: a tenth of the module as a rule",
            ));
        }
        let pitch = module * f64::from(self.teeth);
        let own = 2.0 * ring_area_mm2(pitch, 0.0) + PI * pitch * self.face.0;
        let still = (self.thermal_resistance.is_none() && self.film.is_none())
            .then_some(FilmCoefficient(STILL_AIR));
        let path = HeatPath {
            resistance: self.thermal_resistance,
            film: self.film.or(still),
            cooled: self.cooled_area,
        };
        let resistance = path.k_w(Some(own), &mut faults);
        if setting.counterface.is_none() {
            faults.push(Fault::new(
                "duty::counterface",
                "wear and friction belong to a pair, and the case does not say what the gear runs against",
                "write the mate's surface as `\"counterface\"` in `surroundings`, for example `\"steel-smooth\"`, or `\"same-polymer\"` for a mate of the same kind",
            ));
        }
        match (form, resistance, &setting.counterface) {
            (Some(form), Some(resistance_k_w), Some(surface)) if faults.is_empty() => {
                let teeth = f64::from(self.teeth);
                let running = self.turns.0 * HOUR_S * setting.life_h * self.share.unwrap_or(1.0);
                Ok(Gear {
                    teeth,
                    module_mm: module,
                    face_mm: self.face.0.min(FACE_MODULES * module),
                    rim_mm: self.face.0,
                    form,
                    short_form: short_form_factor(teeth),
                    torque_nm: self.torque.0,
                    peak_nm: self.peak_nm(),
                    holding_nm: self.holding_torque.map(|m| m.0),
                    turns_s: self.turns.0,
                    busy: self.busy_share.unwrap_or(1.0),
                    meshes: if self.idler == Some(true) { 2.0 } else { 1.0 },
                    cycles: setting.cycles.unwrap_or(running),
                    barth_m_s: match self.made.unwrap_or_default() {
                        Made::Printed => BARTH.0,
                        Made::Cut => BARTH.1,
                    },
                    sliding: sliding_share(teeth, f64::from(self.mate_teeth.unwrap_or(self.teeth))),
                    mate_gives: !matches!(
                        surface.as_str(),
                        "steel-smooth" | "steel-painted" | "aluminium"
                    ),
                    allowed_mm: allowed,
                    life_h: setting.life_h,
                    resistance_k_w,
                    surface: surface.clone(),
                })
            }
            _ => Err(faults),
        }
    }

    /// Hardest torque, N.m: never less than the running one.
    fn peak_nm(&self) -> f64 {
        let peak = self.peak_torque.map_or(START * self.torque.0, |m| m.0);
        peak.max(self.torque.0)
    }

    /// Says which inputs were left to their defaults, and what is bounded.
    pub(super) fn note_defaults(&self, gear: &Gear, setting: &Setting, duty: &mut Duty) {
        let mut note = |given: bool, text: String| {
            if !given {
                duty.notes.push(text);
            }
        };
        note(
            self.peak_torque.is_some(),
            format!(
                "`peak_torque` left out: {} N.m, twice the running one",
                shown(gear.peak_nm)
            ),
        );
        note(
            self.share.is_some() || setting.cycles.is_some(),
            "`share` left out: it runs all the time".to_owned(),
        );
        note(
            self.busy_share.is_some(),
            "`busy_share` left out: the heat of the mesh is taken as steady".to_owned(),
        );
        note(
            self.mate_teeth.is_some(),
            format!("`mate_teeth` left out: {}, as many as its own", self.teeth),
        );
        note(
            self.made.is_some(),
            "`made` left out: printed, rough at speed".to_owned(),
        );
        note(
            self.wear_allowed.is_some(),
            format!(
                "`wear_allowed` left out: {} mm, a tenth of the module",
                shown(gear.allowed_mm)
            ),
        );
        note(
            self.thermal_resistance.is_some() || self.film.is_some(),
            "`film` left out: still air round the gear's own surface".to_owned(),
        );
        note(
            self.teeth <= MOST_TEETH || self.form_factor.is_some(),
            format!(
                "the table of form factors ends at {MOST_TEETH} teeth: its last figure is taken"
            ),
        );
        note(
            self.face.0 <= FACE_MODULES * self.module.0,
            format!(
                "a face wider than {FACE_MODULES} modules does not carry evenly: {} mm of it are counted",
                shown(gear.face_mm)
            ),
        );
        note(self.gears.is_some(), "`gears` left out: 1".to_owned());
        note(
            self.idler.is_some(),
            "`idler` left out: the torque ends in this gear, or comes from it".to_owned(),
        );
        note(
            self.idler != Some(true),
            "an idler: its teeth are bent both ways, which is how the strength left after many loads is known, so that only the heat of a second mesh is added".to_owned(),
        );
        duty.notes.push(
            "how it holds on its shaft is not judged: a key, a press fit or a set screw splits or loosens a hub before the teeth go; judge the hub as a `knob`".to_owned(),
        );
        duty.notes.push(
            "play between the teeth is not judged: heat and water make the gear grow; leave more of it than metal gears need, most for a polyamide".to_owned(),
        );
        same_plastic(setting, duty);
        duty.notes.push(format!(
            "each tooth is loaded {:.0} times over the life, at {:.3} m/s",
            gear.cycles,
            gear.speed_m_s()
        ));
    }
}
