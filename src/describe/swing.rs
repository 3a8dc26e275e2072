//! How much each aim matters: points for its swing, or an order.

use crate::describe::draft::Said;
use crate::describe::question::{Choice, OnEnter, Question, Section, Takes};
use crate::duty::{Aim, Duty, Preference};
use crate::problem::Fault;
use serde_json::{Map, Value, json};

/// The key of how weights are said.
pub(super) const HOW: &str = "weights";
/// The key of an order.
pub(super) const ORDER: &str = "order";
/// Before the name of an aim in the key of its points.
const POINTS: &str = "weights.";

/// A question about one aim: going from here to there.
#[derive(Clone, Debug, PartialEq)]
pub struct Swing {
    /// Title of the aim (`firmer hold`).
    pub title: String,
    /// Just acceptable, in `unit`.
    pub zero: f64,
    /// From here on more gives nothing.
    pub one: f64,
    /// Unit.
    pub unit: String,
}

/// The weights as a case file holds them; `None` where the part's own will do.
pub(super) fn weights(said: &[(String, Said)]) -> Option<Value> {
    let value = |key: &str| {
        said.iter().find_map(|(k, s)| match s {
            Said::Value(v) if k == key => Some(v),
            _ => None,
        })
    };
    match value(HOW)?.as_str()? {
        "points" => {
            let points: Map<String, Value> = said
                .iter()
                .filter_map(|(k, s)| match s {
                    Said::Value(v) => Some((k.strip_prefix(POINTS)?.to_owned(), v.clone())),
                    _ => None,
                })
                .collect();
            (!points.is_empty()).then(|| json!({ "points": points }))
        }
        "order" => Some(json!({ "order": value(ORDER)? })),
        _ => None,
    }
}

/// The next question on weights; `None` where all is said.
pub(super) fn next(said: &[(String, Said)], duty: &Duty) -> Option<Question> {
    if duty.aims.is_empty() {
        return None;
    }
    let find = |key: &str| said.iter().find(|(k, _)| k == key).map(|(_, s)| s);
    let Some(how) = find(HOW) else {
        return Some(how_asked());
    };
    match how {
        Said::Value(v) if v == "points" => duty
            .aims
            .iter()
            .find(|a| find(&points_key(&a.id)).is_none())
            .map(|a| points_asked(a, duty)),
        Said::Value(v) if v == "order" && find(ORDER).is_none() => Some(order_asked(duty)),
        _ => None,
    }
}

fn points_key(aim: &str) -> String {
    format!("{POINTS}{aim}")
}

fn how_asked() -> Question {
    let choice = |word: &str, what: &str| Choice {
        word: word.to_owned(),
        what: what.to_owned(),
    };
    Question {
        key: HOW.to_owned(),
        section: Section::Swings,
        ask: "How will you say how much each aim matters?".to_owned(),
        why: "among the materials that meet every limit the aims decide the order".to_owned(),
        takes: Takes::Word(vec![
            choice("points", "0 to 100 for each change, one after the other"),
            choice(
                "order",
                "the aims in a row, the one that matters most first",
            ),
            choice("usual", "the weights that are usual for this part"),
        ]),
        example: "points".to_owned(),
        on_enter: OnEnter::Take("points".to_owned()),
        instead: Vec::new(),
        swing: None,
    }
}

fn points_asked(aim: &Aim, duty: &Duty) -> Question {
    Question {
        key: points_key(&aim.id),
        section: Section::Swings,
        ask: String::new(),
        why: "100 for the change that matters most to you, 0 for one that does not matter; the others in between, by how much they matter beside it".to_owned(),
        takes: Takes::Points,
        example: "40".to_owned(),
        on_enter: OnEnter::Take(crate::quantity::figure(usual(aim, duty))),
        instead: Vec::new(),
        swing: Some(Swing {
            title: aim.title.clone(),
            zero: aim.scale.zero,
            one: aim.scale.one,
            unit: aim.unit.clone(),
        }),
    }
}

fn order_asked(duty: &Duty) -> Question {
    let aims: Vec<Choice> = duty
        .aims
        .iter()
        .map(|a| Choice {
            word: a.id.clone(),
            what: a.title.clone(),
        })
        .collect();
    let example: Vec<&str> = aims.iter().map(|c| c.word.as_str()).collect();
    Question {
        key: ORDER.to_owned(),
        section: Section::Swings,
        ask: "Write the aims, the one whose change matters most first; `=` between those that matter alike. What you leave out shares the last place.".to_owned(),
        why: "an order says less than points: all weights that keep it are tried, and the answer says how often each material leads".to_owned(),
        example: example.join(", "),
        takes: Takes::Order(aims),
        on_enter: OnEnter::Nothing,
        instead: Vec::new(),
        swing: None,
    }
}

/// The points that the part's own preference gives an aim, of 100 for the one it gives most.
fn usual(aim: &Aim, duty: &Duty) -> f64 {
    let raw = |id: &str| match &duty.preference {
        Some(Preference::Points(p)) => p.get(id).copied().unwrap_or(0.0),
        Some(Preference::Order(order)) => {
            let places = order.len();
            let place = order.iter().position(|p| p.iter().any(|a| a == id));
            place.map_or(0.0, |at| f64::from(u32::try_from(places - at).unwrap_or(0)))
        }
        Some(Preference::Ranges(r)) => r.get(id).map_or(0.0, |(a, b)| 0.5 * (a + b)),
        None => 1.0,
    };
    let most = duty.aims.iter().map(|a| raw(&a.id)).fold(0.0, f64::max);
    if most > 0.0 {
        // Whole points: more would claim to know more.
        (100.0 * raw(&aim.id) / most).round()
    } else {
        100.0
    }
}

/// `grip, cost = weight` as the case file holds it.
///
/// # Errors
/// `describe::unknown-word`, `describe::aim-twice`, `describe::needs-answer`.
pub(super) fn order(text: &str, aims: &[Choice]) -> Result<Value, Fault> {
    let mut places: Vec<Vec<String>> = Vec::new();
    for place in text.split([',', '>', ';']) {
        let mut alike = Vec::new();
        for name in place.split('=').map(str::trim).filter(|n| !n.is_empty()) {
            let id = super::question::word(ORDER, aims, name)?;
            if alike.contains(&id) || places.iter().flatten().any(|p| *p == id) {
                return Err(Fault::new(
                    "describe::aim-twice",
                    format!("`{id}` stands in the order a second time"),
                    "name each aim once",
                ));
            }
            alike.push(id);
        }
        if !alike.is_empty() {
            places.push(alike);
        }
    }
    if places.is_empty() {
        return Err(Fault::new(
            "describe::needs-answer",
            "the order names no aim",
            "write for example `cost, easy-print`",
        ));
    }
    Ok(json!(places))
}
