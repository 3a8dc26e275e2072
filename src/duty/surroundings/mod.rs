//! What the surroundings ask of every part, whatever its kind: chemicals, sun, weather, inspection.

mod chemicals;
mod sun;

pub use chemicals::cracking;
pub(in crate::duty) use sun::more_than_a_season;

use crate::duty::{Duty, Setting, Site, Sun};
use crate::policy::Class;
use crate::property::Moisture;

/// What the ids of the limits that any part can have begin with, beside the part's own, with their units.
pub const EVERY_PART: &[(&str, &str)] = &[("chemicals-", "1"), ("sun", "1")];

/// Below this hot end a part in the sun was given the air's temperature rather than its own, degC:
/// dark parts run 20 to 40 K above the air (from memory, not verified).
const SUNLIT_C: f64 = 45.0;

/// Adds the limits and notes that follow from the surroundings alone.
///
/// Their class is that of the part's gravest limit: a part that is softened or embrittled fails as it
/// would under its load.
pub(in crate::duty) fn add(setting: &Setting, duty: &mut Duty) {
    let class = duty
        .limits
        .iter()
        .map(|l| l.class)
        .max()
        .unwrap_or(Class::Nuisance)
        .max(setting.harm_floor());
    chemicals::add(setting, class, duty);
    sun::add(setting, class, duty);
    weather(setting, duty);
    if !setting.harm.inspected {
        duty.notes.push(
            "nobody can look at it in use, so nothing warns before it fails: limits are at least of class damage, and no figure beyond the tested time goes without a caution"
                .to_owned(),
        );
    }
}

fn weather(setting: &Setting, duty: &mut Duty) {
    if setting.place == Site::Outdoors && setting.moisture == Moisture::Room {
        duty.notes.push(
            "outdoors with moisture `room`: rain and dew are left out; `wet` judges it soaked"
                .to_owned(),
        );
    }
    let hot = setting.temperature_c.1;
    if setting.sun != Sun::None && hot < SUNLIT_C {
        duty.notes.push(format!(
            "in the sun a dark part runs 20 to 40 K above the air (from memory, not verified): {} degC must be its own hottest",
            crate::duty::mechanics::usual::shown(hot)
        ));
    }
}
