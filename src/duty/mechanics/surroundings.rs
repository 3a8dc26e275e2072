//! Where a limit is judged: the ends of the temperature range, and asks under the setting.

use crate::duty::{Duty, Setting, StandIn};
use crate::property::{Ask, Heat, ROOM_C, builtin};

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

/// Needs of a limit for which stiffer is worse: what falls with heat and rises in the cold is asked
/// so, with the stand-ins that it has.
pub(in crate::duty) fn stiffer_is_worse(needs: &[Vec<usize>], duty: &mut Duty) -> Vec<Vec<usize>> {
    let falls = |ask: &Ask| {
        builtin()
            .iter()
            .any(|p| p.id == ask.property && p.heat == Heat::Falls && !p.auxiliary)
    };
    let mut asked = Vec::new();
    let needs = needs
        .iter()
        .map(|need| {
            need.iter()
                .map(|i| match duty.asks.get(*i).filter(|a| falls(a)) {
                    Some(a) => {
                        let worse = a.clone().stiffer_is_worse();
                        let new = duty.ask(worse);
                        asked.push((*i, new));
                        new
                    }
                    None => *i,
                })
                .collect()
        })
        .collect();
    let new = |old: usize| asked.iter().find(|a| a.0 == old).map(|a| a.1);
    for pair in duty.stand_ins.clone() {
        if let (Some(used), Some(wanted)) = (new(pair.used), new(pair.wanted)) {
            let pair = StandIn { used, wanted };
            if !duty.stand_ins.contains(&pair) {
                duty.stand_ins.push(pair);
            }
        }
    }
    needs
}

/// A property that does not depend on the use (price, density, print settings).
pub(in crate::duty) fn plain_ask(property: &'static str) -> Ask {
    Ask::room(property).at(ROOM_C)
}
