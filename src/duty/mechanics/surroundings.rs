//! Where a limit is judged: the ends of the temperature range, and asks under the setting.

use crate::duty::Setting;
use crate::property::{Ask, ROOM_C};

/// One end of the service temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::duty) struct End {
    /// What a limit's id ends with: `@hot`, `@cold`, or nothing for a single temperature.
    pub(in crate::duty) suffix: &'static str,
    /// Temperature, degC.
    pub(in crate::duty) temperature_c: f64,
}

impl End {
    /// The id of a limit at this end.
    pub(in crate::duty) fn id(self, base: &str) -> String {
        format!("{base}{}", self.suffix)
    }
}

/// The ends at which limits are judged, the hot one first; one without a name for a single temperature.
pub(in crate::duty) fn ends(setting: &Setting) -> Vec<End> {
    let (cold, hot) = setting.temperature_c;
    if cold < hot {
        vec![
            End {
                suffix: "@hot",
                temperature_c: hot,
            },
            End {
                suffix: "@cold",
                temperature_c: cold,
            },
        ]
    } else {
        vec![End {
            suffix: "",
            temperature_c: hot,
        }]
    }
}

/// Where aims are valued: at room temperature, or the end of the range nearest to it.
pub(in crate::duty) fn usual_end(setting: &Setting) -> End {
    let (cold, hot) = setting.temperature_c;
    End {
        suffix: "",
        temperature_c: ROOM_C.max(cold).min(hot),
    }
}

/// A property in its default direction, at a temperature in degC and the setting's moisture.
pub(in crate::duty) fn ask(setting: &Setting, property: &'static str, temperature_c: f64) -> Ask {
    Ask::room(property)
        .at(temperature_c)
        .moist(setting.moisture)
}

/// A property that does not depend on the use (price, density, print settings).
pub(in crate::duty) fn plain_ask(property: &'static str) -> Ask {
    Ask::room(property).at(ROOM_C)
}
