//! The direction of print, as the answers on a case hold it.

use super::case::StandingWord;
use super::drawn;
use crate::advise::{Direction, Stands, Turn, Way};
use crate::duty::LiesOnBed;
use crate::render::telling::Telling;
use schemars::JsonSchema;
use serde::Serialize;

/// What another way of lying on the bed is worth.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct DirectionOut {
    /// As the case has it.
    lies: LiesOnBed,
    /// As it was judged: what an open case is taken as.
    judged: LiesOnBed,
    /// The best way for the first places, or the one with the most room; null where none makes a
    /// difference.
    best: Option<LiesOnBed>,
    /// The same in a sentence; null where the case has decided well.
    text: Option<String>,
    /// Every way; those that come to the same are one.
    ways: Vec<WayOut>,
}

/// One way of lying on the bed.
#[derive(Debug, Serialize, JsonSchema)]
struct WayOut {
    /// Words of the case file for it.
    lies: Vec<LiesOnBed>,
    /// What it means for this part.
    words: &'static str,
    /// Why no formula covers it; null where one does.
    refused: Option<String>,
    /// The materials that were looked at, in their order.
    materials: Vec<StandsOut>,
}

/// One material in one way.
#[derive(Debug, Serialize, JsonSchema)]
struct StandsOut {
    /// Material.
    material: String,
    /// How it stands.
    standing: StandingWord,
    /// Chance of meeting all limits; null where some cannot be said.
    meets_all: Option<f64>,
    /// The limit that holds it up, or has the least chance.
    governing: Option<String>,
    /// Chance of every limit.
    limits: Vec<LimitStandsOut>,
    /// What would settle it, where it is not known.
    wants: Option<String>,
}

/// One limit in one way.
#[derive(Debug, Serialize, JsonSchema)]
struct LimitStandsOut {
    /// Limit id.
    id: String,
    /// Median of the next part; null where nothing can be said.
    median: Option<f64>,
    /// Unit.
    unit: String,
    /// Chance that the next part meets it.
    chance: Option<f64>,
}

impl DirectionOut {
    pub(crate) fn new(d: &Direction, telling: Telling<'_>) -> Option<Self> {
        let first = |i: usize| d.ways.get(i)?.lies.first().copied();
        Some(DirectionOut {
            lies: d.stated,
            judged: match d.stated {
                LiesOnBed::Open => first(d.taken)?,
                stated => stated,
            },
            best: match d.turn {
                Turn::None => None,
                Turn::Keep { .. } => first(d.taken),
                Turn::To { best } | Turn::Room { best, .. } => first(best),
            },
            text: crate::render::direction::told(d, telling),
            ways: d.ways.iter().map(|w| WayOut::new(w, telling)).collect(),
        })
    }
}

impl WayOut {
    fn new(w: &Way, telling: Telling<'_>) -> Self {
        WayOut {
            lies: w.lies.clone(),
            words: w.words,
            refused: w.refused.clone(),
            materials: w
                .stands
                .iter()
                .map(|s| StandsOut::new(s, telling))
                .collect(),
        }
    }
}

impl StandsOut {
    fn new(s: &Stands, telling: Telling<'_>) -> Self {
        StandsOut {
            material: s.material.clone(),
            standing: s.standing.into(),
            meets_all: s.meets_all.and_then(drawn),
            governing: s.governing.clone(),
            limits: s
                .limits
                .iter()
                .map(|l| LimitStandsOut {
                    id: l.id.clone(),
                    median: l.typical().and_then(|t| drawn(t.as_exact())),
                    unit: l.unit.clone(),
                    chance: l.chance.and_then(drawn),
                })
                .collect(),
            wants: s.wants.as_ref().map(|w| telling.reason(w)),
        }
    }
}
