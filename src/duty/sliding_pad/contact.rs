//! From the inputs of a sliding pad to a contact, a speed, a distance and a way for the heat.

use super::{ContactKind, SlidingPad};
use crate::duty::mechanics::rubbing::{HeatPath, Rubbing};
use crate::duty::mechanics::sliding::{Contact, SHALLOW, same_plastic};
use crate::duty::mechanics::usual::{positive, share, shown};
use crate::duty::{Duty, LiesOnBed, Setting};
use crate::problem::Fault;
use crate::property::Face;
use crate::quantity::Length;
use std::f64::consts::PI;

/// Hours in a day.
const DAY_H: f64 = 24.0;
/// Seconds in an hour.
const HOUR_S: f64 = 3600.0;

impl SlidingPad {
    /// Sliding speed, m/s; `None` where it is not said, or said twice.
    pub(super) fn speed_m_s(&self) -> Option<f64> {
        match (self.speed, self.turns, self.turning_mm()) {
            (Some(v), None, _) => Some(v.0),
            // A5: v = pi D n.
            (None, Some(n), Some(d)) => Some(PI * d * 1e-3 * n.0),
            _ => None,
        }
    }

    /// Diameter that turns, mm.
    fn turning_mm(&self) -> Option<f64> {
        match self.contact {
            ContactKind::Flat => None,
            ContactKind::BushLoadFixed | ContactKind::BushLoadTurning => self.bore.map(|d| d.0),
            ContactKind::ShaftOnFlat => self.shaft_diameter.map(|d| d.0),
        }
    }

    /// The pad, or every fault of its inputs.
    pub(super) fn pad(&self, setting: &Setting) -> Result<Rubbing, Vec<Fault>> {
        let mut faults = Vec::new();
        positive(&mut faults, "load", self.load.0, "N");
        positive(&mut faults, "thickness", self.thickness.0, "mm");
        positive(&mut faults, "wear_allowed", self.wear_allowed.0, "mm");
        for (name, length) in [
            ("contact_radius", self.contact_radius),
            ("sink_allowed", self.sink_allowed),
            ("stroke", self.stroke),
        ] {
            if let Some(l) = length {
                positive(&mut faults, name, l.0, "mm");
            }
        }
        if let Some(v) = self.speed_allowed {
            positive(&mut faults, "speed_allowed", v.0, "m/s");
        }
        if self.pads == Some(0) {
            positive(&mut faults, "pads", 0.0, "");
        }
        share(&mut faults, "share", self.share);
        share(&mut faults, "busy_share", self.busy_share);
        if self.wear_allowed.0 >= self.thickness.0 {
            faults.push(Fault::new(
                "duty::wear-allowed",
                format!(
                    "`wear_allowed` {} mm is not less than the `thickness` {} mm",
                    shown(self.wear_allowed.0),
                    shown(self.thickness.0)
                ),
                "allow less wear, or make the pad thicker",
            ));
        }
        let contact = self.contact(&mut faults);
        let speed = self.speed(&mut faults);
        let distance = self.distance(setting.life_h, speed, &mut faults);
        let path = HeatPath {
            resistance: self.thermal_resistance,
            film: self.film,
            cooled: self.cooled_area,
        };
        let resistance = path.k_w(contact.map(Contact::nominal_mm2), &mut faults);
        if setting.counterface.is_none() {
            faults.push(Fault::new(
                "duty::counterface",
                "wear and friction belong to a pair, and the case does not say what the pad slides on",
                "write it as `\"counterface\"` in `surroundings`, for example `\"steel-smooth\"`",
            ));
        }
        match (contact, speed, distance, resistance, &setting.counterface) {
            (
                Some(contact),
                Some(speed_m_s),
                Some(distance_m),
                Some(resistance_k_w),
                Some(surface),
            ) if faults.is_empty() => Ok(Rubbing {
                what: match self.contact {
                    ContactKind::Flat | ContactKind::ShaftOnFlat => "pad",
                    ContactKind::BushLoadFixed | ContactKind::BushLoadTurning => "bush",
                },
                contact,
                load_n: self.load.0,
                speed_m_s,
                distance_m,
                life_h: setting.life_h,
                allowed_mm: self.wear_allowed.0,
                thickness_mm: self.thickness.0,
                resistance_k_w,
                busy: self.busy_share.unwrap_or(1.0),
                surface: surface.clone(),
                // A pad on its side slides on a wall, whose beads lie otherwise than a top or a bottom.
                face: self.face.or(match setting.lies {
                    LiesOnBed::Edge | LiesOnBed::Upright => Some(Face::Side),
                    LiesOnBed::Flat | LiesOnBed::Open => None,
                }),
            }),
            _ => Err(faults),
        }
    }

    fn contact(&self, faults: &mut Vec<Fault>) -> Option<Contact> {
        let all = [
            ("area", self.area.map(|a| a.0)),
            ("width", self.width.map(|l| l.0)),
            ("length", self.length.map(|l| l.0)),
            ("bore", self.bore.map(|l| l.0)),
            ("shaft_diameter", self.shaft_diameter.map(|l| l.0)),
        ];
        let (word, wanted): (&str, &[&str]) = match (self.contact, self.area) {
            (ContactKind::Flat, Some(_)) => ("a flat contact", &["area"]),
            (ContactKind::Flat, None) => ("a flat contact", &["width", "length"]),
            (ContactKind::BushLoadFixed | ContactKind::BushLoadTurning, _) => {
                ("a bush", &["bore", "length"])
            }
            (ContactKind::ShaftOnFlat, _) => ("a shaft on a flat", &["shaft_diameter", "length"]),
        };
        let before = faults.len();
        for (name, value) in all {
            let wants = wanted.contains(&name);
            match value {
                Some(x) if wants => {
                    let unit = if name == "area" { "mm2" } else { "mm" };
                    positive(faults, name, x, unit);
                }
                None if wants => faults.push(Fault::new(
                    "duty::contact-size",
                    format!("{word} needs `{name}`, and it is not given"),
                    format!("give {}", ticked(wanted)),
                )),
                Some(_) => faults.push(Fault::new(
                    "duty::contact-size",
                    format!("{word} given by {} has no `{name}`", ticked(wanted)),
                    format!("leave `{name}` out"),
                )),
                None => {}
            }
        }
        if faults.len() > before {
            return None;
        }
        let length_mm = self.length.map_or(f64::NAN, |l| l.0);
        let mm = |l: Option<Length>| l.map_or(f64::NAN, |l| l.0);
        match self.contact {
            ContactKind::Flat => Some(Contact::Flat {
                area_mm2: self.area.map_or(mm(self.width) * length_mm, |a| a.0),
            }),
            ContactKind::BushLoadFixed => Some(Contact::BushLoadFixed {
                bore_mm: mm(self.bore),
                length_mm,
            }),
            ContactKind::BushLoadTurning => Some(Contact::BushLoadTurning {
                bore_mm: mm(self.bore),
                length_mm,
            }),
            ContactKind::ShaftOnFlat => {
                let radius_mm = mm(self.shaft_diameter) / 2.0;
                let most = SHALLOW * radius_mm;
                if self.wear_allowed.0 > most {
                    faults.push(Fault::new(
                        "duty::groove-too-deep",
                        format!(
                            "`wear_allowed` {} mm is more than a twentieth of the shaft's radius of {radius_mm} mm, and the groove's formula ends there",
                            self.wear_allowed.0
                        ),
                        format!("allow at most {most} mm, or judge it as a bush"),
                    ));
                    return None;
                }
                Some(Contact::ShaftOnFlat {
                    radius_mm,
                    length_mm,
                    groove_mm: self.wear_allowed.0,
                })
            }
        }
    }

    fn speed(&self, faults: &mut Vec<Fault>) -> Option<f64> {
        match (self.speed, self.turns) {
            (Some(v), None) => positive(faults, "speed", v.0, "m/s"),
            (None, Some(n)) if self.contact != ContactKind::Flat => {
                positive(faults, "turns", n.0, "turns a second");
            }
            (None, Some(_)) => faults.push(Fault::new(
                "duty::sliding-speed",
                "a flat contact has no diameter that `turns` could go with",
                "write the sliding speed as `speed`, for example `\"speed\": \"0.2 m/s\"`",
            )),
            (None, None) | (Some(_), Some(_)) => faults.push(Fault::new(
                "duty::sliding-speed",
                "one of `speed` and `turns` says how fast it slides",
                "write the speed while it slides, for example `\"speed\": \"0.2 m/s\"`",
            )),
        }
        self.speed_m_s()
    }

    /// Distance slid over a life, m.
    fn distance(&self, life_h: f64, speed: Option<f64>, faults: &mut Vec<Fault>) -> Option<f64> {
        match (self.strokes_per_day, self.stroke, self.share) {
            (None, None, share) => speed.map(|v| v * share.unwrap_or(1.0) * life_h * HOUR_S),
            (Some(n), Some(stroke), None) => {
                positive(faults, "strokes_per_day", n, "");
                Some(n * stroke.0 * 1e-3 * life_h / DAY_H)
            }
            _ => {
                faults.push(Fault::new(
                    "duty::sliding-distance",
                    "how far it slides is said by `strokes_per_day` with `stroke`, or by `share`, and not by both",
                    "give both of the first, or only `share`",
                ));
                None
            }
        }
    }

    /// Says which inputs were left to their defaults, and what is not judged.
    pub(super) fn note_defaults(&self, pad: &Rubbing, setting: &Setting, duty: &mut Duty) {
        let mut note = |given: bool, text: String| {
            if !given {
                duty.notes.push(text);
            }
        };
        note(
            self.share.is_some() || self.stroke.is_some(),
            "`share` left out: it slides all the time".to_owned(),
        );
        note(
            self.busy_share.is_some(),
            "`busy_share` left out: the friction heat is taken as steady".to_owned(),
        );
        note(
            self.film.is_none() || self.cooled_area.is_some(),
            format!(
                "`cooled_area` left out: the contact's, {:.0} mm2",
                pad.contact.nominal_mm2()
            ),
        );
        note(
            self.speed_allowed.is_some(),
            "speed has a limit of its own that no bench test here gives; the heat margin and pressure times speed stand in for it, or give `speed_allowed`".to_owned(),
        );
        note(self.pads.is_some(), "`pads` left out: 1".to_owned());
        same_plastic(setting, duty);
        duty.notes.push(format!(
            "slides {:.0} m over the life at {:.3} m/s",
            pad.distance_m, pad.speed_m_s
        ));
    }
}

fn ticked(names: &[&str]) -> String {
    names
        .iter()
        .map(|n| format!("`{n}`"))
        .collect::<Vec<_>>()
        .join(" and ")
}
