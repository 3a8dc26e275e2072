//! Importance of the aims: points, an order or ranges, in a weights file or a case.

use crate::catalog::WeightsFile;
use crate::catalog::json::read::read_root;
use crate::catalog::json::tree::{Tree, check_format};
use crate::catalog::words::meant;
use crate::duty::{AIMS, Preference, parts};
use crate::problem::{Fault, Problem};
use schemars::JsonSchema;
use serde::Deserialize;
use std::collections::BTreeMap;

/// The format of a weights file.
pub(super) const FORMAT: &str = "dutyfit.weights/1";

/// A weights file: exactly one of `points`, `order` and `ranges`.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(crate) struct WeightsJson {
    /// `dutyfit.weights/1`.
    #[serde(rename = "format")]
    _format: String,
    /// Title.
    #[serde(default)]
    title: String,
    /// Part to whose scales the points bind.
    #[serde(default)]
    part: Option<String>,
    /// Points for the swing of each aim from 0 to 1.
    #[serde(default)]
    points: Option<BTreeMap<String, f64>>,
    /// Aims in falling order; aims of one inner list are not ordered among themselves.
    #[serde(default)]
    order: Option<Vec<Vec<String>>>,
    /// Lowest and highest weight of each aim, 0 to 1.
    #[serde(default)]
    ranges: Option<BTreeMap<String, [f64; 2]>>,
    /// A note.
    #[serde(default, rename = "note")]
    _note: String,
}

/// Preferences inside a case: exactly one of `points`, `order` and `ranges`.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct WeightsInCase {
    /// Points for the swing of each aim from 0 to 1.
    #[serde(default)]
    pub(super) points: Option<BTreeMap<String, f64>>,
    /// Aims in falling order; aims of one inner list are not ordered among themselves.
    #[serde(default)]
    pub(super) order: Option<Vec<Vec<String>>>,
    /// Lowest and highest weight of each aim, 0 to 1.
    #[serde(default)]
    pub(super) ranges: Option<BTreeMap<String, [f64; 2]>>,
    /// A note.
    #[serde(default, rename = "note")]
    _note: String,
}

/// Reads a weights file.
///
/// # Errors
/// Every Problem of the file at once.
pub fn read_weights(file: &str, text: &str) -> Result<WeightsFile, Vec<Problem>> {
    let text = text.trim_start_matches('\u{feff}');
    let tree = Tree::parse(file, text)?;
    let mut found = read_root::<WeightsJson>(&tree);
    check_format(&tree, FORMAT, &mut found.problems);
    let mut later = Vec::new();
    let weights = found
        .value
        .take()
        .and_then(|json| weights(&tree, json, &mut later));
    found.add_later(later);
    match weights {
        Some(weights) if found.problems.is_empty() => Ok(weights),
        _ => {
            found.problems.sort_by(|a, b| a.at.cmp(&b.at));
            Err(found.problems)
        }
    }
}

fn weights(tree: &Tree<'_>, json: WeightsJson, problems: &mut Vec<Problem>) -> Option<WeightsFile> {
    if let Some(part) = &json.part
        && crate::duty::part(part).is_none()
    {
        problems.push(
            Fault::new(
                "part::unknown",
                format!("`{part}` is not a part kind"),
                meant(part, parts().iter().map(|p| p.id)),
            )
            .at(tree.at("part")),
        );
    }
    let body = WeightsInCase {
        points: json.points,
        order: json.order,
        ranges: json.ranges,
        _note: String::new(),
    };
    // The aims of a plain case are its own; only it can say which they are.
    let known: Option<Vec<&str>> =
        (json.part.as_deref() != Some("plain")).then(|| AIMS.iter().map(|a| a.id).collect());
    Some(WeightsFile {
        preference: preference(tree, "", body, known.as_deref(), problems)?,
        title: json.title,
        part: json.part,
    })
}

/// The preference of a body at `path`, its semantic faults placed; `known` are the aims it may name.
pub(super) fn preference(
    tree: &Tree<'_>,
    path: &str,
    body: WeightsInCase,
    known: Option<&[&str]>,
    problems: &mut Vec<Problem>,
) -> Option<Preference> {
    let inside = |name: &str| {
        if path.is_empty() {
            name.to_owned()
        } else {
            format!("{path}.{name}")
        }
    };
    let given: Vec<&str> = [
        ("points", body.points.is_some()),
        ("order", body.order.is_some()),
        ("ranges", body.ranges.is_some()),
    ]
    .into_iter()
    .filter_map(|(n, is)| is.then_some(n))
    .collect();
    if let [_, second, ..] = given.as_slice() {
        problems.push(
            Fault::new(
                "weights::several",
                format!("the weights are given {} times over", given.len()),
                "keep one of `points`, `order` and `ranges`",
            )
            .at(tree.name_at(path, second)),
        );
        return None;
    }
    let mut faults = Faults {
        tree,
        known,
        problems,
    };
    if let Some(points) = body.points {
        Some(faults.points(&inside("points"), points))
    } else if let Some(order) = body.order {
        Some(faults.order(&inside("order"), order))
    } else if let Some(ranges) = body.ranges {
        Some(faults.ranges(&inside("ranges"), ranges))
    } else {
        faults.push(
            "weights::none",
            "no weights are given",
            "add one of `points`, `order` and `ranges`",
            path,
        );
        None
    }
}

struct Faults<'t, 'a, 'p> {
    tree: &'t Tree<'a>,
    known: Option<&'t [&'t str]>,
    problems: &'p mut Vec<Problem>,
}

impl Faults<'_, '_, '_> {
    fn push(
        &mut self,
        code: &'static str,
        what: impl Into<String>,
        fix: impl Into<String>,
        path: &str,
    ) {
        self.problems
            .push(Fault::new(code, what, fix).at(self.tree.at(path)));
    }

    fn unknown(&mut self, aim: &str, at: crate::problem::Place) {
        let Some(known) = self.known else { return };
        if !known.contains(&aim) {
            self.problems.push(
                Fault::new(
                    "weights::unknown-aim",
                    format!("`{aim}` is not an aim that is known here"),
                    meant(aim, known.iter().copied()),
                )
                .at(at),
            );
        }
    }

    fn points(&mut self, path: &str, points: BTreeMap<String, f64>) -> Preference {
        for (aim, x) in &points {
            self.unknown(aim, self.tree.name_at(path, aim));
            if *x < 0.0 {
                self.push(
                    "weights::negative",
                    format!("`{aim}` has {x} points"),
                    "write 0 or more; leave the aim out where it does not matter",
                    &format!("{path}.{aim}"),
                );
            }
        }
        if points.values().all(|x| *x <= 0.0) {
            self.push(
                "weights::all-zero",
                "no aim has any points",
                "give at least one aim points, for example `\"cost\": 50`",
                path,
            );
        }
        Preference::Points(points)
    }

    fn order(&mut self, path: &str, order: Vec<Vec<String>>) -> Preference {
        let mut seen: Vec<&str> = Vec::new();
        for (i, place) in order.iter().enumerate() {
            if place.is_empty() {
                self.push(
                    "weights::empty-place",
                    "this place of the order names no aim",
                    "name one, or take the empty list out",
                    &format!("{path}[{i}]"),
                );
            }
            for (k, aim) in place.iter().enumerate() {
                let at = format!("{path}[{i}][{k}]");
                self.unknown(aim, self.tree.at(&at));
                if seen.contains(&aim.as_str()) {
                    self.push(
                        "weights::aim-twice",
                        format!("`{aim}` stands in the order a second time"),
                        "keep it in one place",
                        &at,
                    );
                }
                seen.push(aim);
            }
        }
        if order.is_empty() {
            self.push(
                "weights::none",
                "the order names no aim",
                "write for example `[[\"hold\"], [\"cost\"]]`",
                path,
            );
        }
        Preference::Order(order)
    }

    fn ranges(&mut self, path: &str, ranges: BTreeMap<String, [f64; 2]>) -> Preference {
        for (aim, [low, high]) in &ranges {
            self.unknown(aim, self.tree.name_at(path, aim));
            if !(0.0 <= *low && low <= high && *high <= 1.0) {
                self.push(
                    "weights::bad-range",
                    format!("`{aim}` ranges from {low} to {high}"),
                    "write two weights between 0 and 1, the lower one first",
                    &format!("{path}.{aim}"),
                );
            }
        }
        let low: f64 = ranges.values().map(|r| r[0]).sum();
        let high: f64 = ranges.values().map(|r| r[1]).sum();
        // Weights sum to 1: at their lowest they may not pass it, at their highest they must reach it.
        let slack = 1e-9;
        if low > 1.0 + slack || high < 1.0 - slack {
            self.push(
                "weights::empty-region",
                format!("no weights within these ranges sum to 1: at their lowest they sum to {low}, at their highest to {high}"),
                if low > 1.0 {
                    "lower the lower ends until they sum to 1 or less"
                } else {
                    "raise the upper ends until they sum to 1 or more"
                },
                path,
            );
        }
        Preference::Ranges(ranges.into_iter().map(|(k, [a, b])| (k, (a, b))).collect())
    }
}
