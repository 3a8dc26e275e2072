//! `compare`: materials side by side, which is better and how sure that is, and what is not told yet.

use crate::advise::compare::{Alike, CompareRow, Comparison, NotCompared, Pair, Side};
use crate::belief::{Further, Grade};
use crate::catalog::Origin;
use crate::property::{Lies, Moisture, ROOM_C, Sense};
use crate::render::document::{Document, Row};
use crate::render::page::Page;
use crate::render::tag;
use crate::render::words::{amount, chance, count, figure, hours, list, reading};
use schemars::JsonSchema;
use serde::Serialize;

/// Materials side by side.
#[derive(Clone, Copy, Debug)]
pub struct CompareShown<'a> {
    /// What was found.
    pub comparison: &'a Comparison,
    /// Whose figures these are.
    pub origin: Origin,
    /// Whether the ends of the next part are shown too.
    pub detail: bool,
}

/// `dutyfit.compare/1`.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct CompareFile<'a> {
    /// `dutyfit.compare/1`.
    #[schemars(extend("const" = "dutyfit.compare/1"))]
    format: &'static str,
    /// Whether all numbers are the demo's, invented.
    demo: bool,
    /// Whether all numbers are handbook ranges of polymers, and of no measured material.
    handbook: bool,
    /// The answer in a sentence.
    answer: String,
    /// What was found.
    #[serde(flatten)]
    comparison: &'a Comparison,
}

impl CompareShown<'_> {
    /// As text.
    pub fn text(&self, page: Page) -> String {
        self.document().text(page)
    }

    /// As Markdown.
    pub fn markdown(&self) -> String {
        self.document().markdown()
    }

    /// As JSON, `dutyfit.compare/1`.
    pub fn json(&self) -> String {
        crate::render::json::written_computed(&CompareFile {
            format: "dutyfit.compare/1",
            demo: self.origin == Origin::Demo,
            handbook: self.origin == Origin::Handbook,
            answer: self.answer(),
            comparison: self.comparison,
        })
    }

    fn pairs(&self) -> impl Iterator<Item = (&CompareRow, &Pair)> {
        let rows = self.comparison.rows.iter();
        rows.flat_map(|r| r.pairs.iter().map(move |p| (r, p)))
    }

    fn answer(&self) -> String {
        let c = self.comparison;
        let all = self.pairs().count() as u64;
        if all == 0 {
            return format!("{} were tested alike in nothing.", list(&c.materials));
        }
        let told = self.pairs().filter(|(_, p)| p.told).count() as u64;
        let of = count(all, "comparison", "comparisons");
        if told == 0 {
            return format!("{} are not told apart in any of {of}.", list(&c.materials));
        }
        let [_, _] = c.materials.as_slice() else {
            return format!("Told apart in {told} of {of}.");
        };
        let leads = |either: bool| -> Vec<String> {
            let ahead = |one: &str| {
                self.pairs()
                    .filter(|(r, p)| p.told && (r.sense == Sense::Either) == either)
                    .filter(|(_, p)| better(p) == one)
                    .count()
            };
            let word = if either { "higher" } else { "better" };
            let said = c.materials.iter().map(|m| (m, ahead(m)));
            said.filter(|(_, n)| *n > 0)
                .map(|(m, n)| format!("{m} is {word} in {n}"))
                .collect()
        };
        let mut said = leads(false);
        said.extend(leads(true));
        format!("Told apart in {told} of {of}: {}.", list(&said))
    }

    fn document(&self) -> Document {
        let c = self.comparison;
        let mut doc = Document::default();
        doc.answer(format!("{}{}", self.answer(), tag(self.origin)));
        if let [_, _] = c.materials.as_slice() {
            two(c, self.detail, &mut doc);
        } else {
            many(c, self.detail, &mut doc);
        }
        if self.pairs().next().is_some() {
            doc.paragraph(
                "Chances are those of a better mean, and of a better \
                 next part; of a higher one where neither way is better (\"high\"). A calibration that both \
                 were read under cancels.",
            );
        }
        self.open(&mut doc);
        doc.list(
            "Not compared",
            c.not_compared.iter().map(not_compared).collect(),
        );
        doc
    }

    /// Differences that are not told yet, and what would tell them.
    fn open(&self, doc: &mut Document) {
        let alone = self.comparison.materials.len() < 3;
        let mut open: Vec<(String, Vec<String>)> = Vec::new();
        for (r, p) in self.pairs().filter(|(_, p)| !p.told) {
            let who = if alone {
                String::new()
            } else {
                format!(" of {} and {}", p.a, p.b)
            };
            let name = format!("{}{who}", named(r));
            let advice = needed(p.further);
            match open.iter_mut().find(|o| o.0 == advice) {
                Some(o) => o.1.push(name),
                None => open.push((advice, vec![name])),
            }
        }
        if open.is_empty() {
            return;
        }
        doc.paragraph(
            "Not yet told apart, and what for each of the two would tell, if difference and scatter are what \
             they are estimated at:",
        );
        for (advice, names) in open {
            doc.list(advice, names);
        }
    }
}

/// The one that is better by the means.
fn better(p: &Pair) -> &str {
    if p.means > 0.5 { &p.a } else { &p.b }
}

/// Two materials: a row a property.
fn two(c: &Comparison, detail: bool, doc: &mut Document) {
    let [first, second] = c.materials.as_slice() else {
        return;
    };
    let rows: Vec<Row> = c
        .rows
        .iter()
        .filter_map(|r| {
            let (Some(p), [a, b]) = (r.pairs.first(), r.sides.as_slice()) else {
                return None;
            };
            let mut said = condition(&r.condition);
            said.push(ends(a, b));
            if detail {
                said.push(format!("next part {} and {}", next(a), next(b)));
            }
            said.push(evidence(&[a, b]));
            Some(Row {
                cells: vec![
                    titled(r).into(),
                    middle(a).into(),
                    middle(b).into(),
                    chances(r, p).into(),
                    said.join("; ").into(),
                ],
                shorter: None,
            })
        })
        .collect();
    if !rows.is_empty() {
        doc.paragraph(format!(
            "First {first}, then {second}; the chances are those of {first}."
        ));
    }
    doc.table(
        &[
            "property",
            "first",
            "second",
            "mean, part",
            "under what, 5..95 % of the means, specimens",
        ],
        &[1, 2],
        rows,
    );
}

/// The middle of the mean, or the bound.
fn middle(s: &Side) -> String {
    match (s.bound, s.mean) {
        (Some(b), _) => reading(b, ""),
        (_, Some([_, middle, _])) => figure(middle),
        _ => "-".to_owned(),
    }
}

/// The ends of the next part.
fn next(s: &Side) -> String {
    s.next.map_or_else(
        || "-".to_owned(),
        |[low, _, high]| format!("{}..{}", figure(low), figure(high)),
    )
}

/// `40..46.9 and 32.6..40.7`; nothing of a bound.
fn ends(a: &Side, b: &Side) -> String {
    let of = |s: &Side| match (s.bound, s.mean) {
        (Some(_), _) => "a bound".to_owned(),
        (_, Some([low, _, high])) => format!("{}..{}", figure(low), figure(high)),
        _ => "-".to_owned(),
    };
    format!("{} and {}", of(a), of(b))
}

/// More: a row a property and material.
fn many(c: &Comparison, detail: bool, doc: &mut Document) {
    for r in &c.rows {
        let mut title = titled(r);
        for word in condition(&r.condition) {
            title.push_str(", ");
            title.push_str(&word);
        }
        doc.heading(title);
        let rows = r
            .sides
            .iter()
            .map(|s| {
                let mut said = evidence(&[s]);
                if detail {
                    said = format!("{said}; next part {}", next(s));
                }
                let over: Vec<String> = r
                    .pairs
                    .iter()
                    .filter(|p| p.a == s.material)
                    .map(|p| format!("{} over {}", chances(r, p), p.b))
                    .collect();
                Row {
                    cells: vec![
                        s.material.clone().into(),
                        known(s).into(),
                        said.into(),
                        over.join("; ").into(),
                    ],
                    shorter: None,
                }
            })
            .collect();
        doc.table(&["material", "mean", "evidence", "mean, part"], &[], rows);
    }
}

fn titled(r: &CompareRow) -> String {
    match r.unit.as_str() {
        "1" | "" => r.title.clone(),
        unit => format!("{}, {unit}", r.title),
    }
}

fn known(s: &Side) -> String {
    match (s.bound, s.mean) {
        (Some(b), _) => reading(b, ""),
        (_, Some([low, middle, high])) => {
            format!("{} ({}..{})", figure(middle), figure(low), figure(high))
        }
        _ => "-".to_owned(),
    }
}

fn chances(r: &CompareRow, p: &Pair) -> String {
    let high = if r.sense == Sense::Either {
        " high"
    } else {
        ""
    };
    let open = if p.told { "" } else { " ?" };
    format!(
        "{} {}{high}{open}",
        chance(Some(p.means)),
        chance(Some(p.parts))
    )
}

/// `3 of 1 print`; of two alike, once.
fn evidence(sides: &[&Side]) -> String {
    let mut said: Vec<String> = sides
        .iter()
        .map(|s| {
            let from = format!("{} of {}", s.specimens, count(s.prints, "print", "prints"));
            match s.grade {
                Grade::Bounded => format!("{from} (bounds)"),
                _ => from,
            }
        })
        .collect();
    said.dedup();
    let each = if said.len() < sides.len() {
        " each"
    } else {
        ""
    };
    format!("{}{each}", said.join(" and "))
}

fn condition(c: &Alike) -> Vec<String> {
    let mut said = Vec::new();
    said.extend(c.lies.map(|l| match l {
        Lies::InPlane => "in-plane".to_owned(),
        Lies::Across => "across".to_owned(),
    }));
    said.extend(c.face.map(|f| format!("{} face", f.word())));
    said.extend(c.counterface.as_ref().map(|s| format!("on {s}")));
    if (c.temperature_c - ROOM_C).abs() > 0.0 {
        said.push(amount(c.temperature_c, "degC"));
    }
    if c.moisture != Moisture::Room {
        said.push(c.moisture.word().to_owned());
    }
    said.extend(c.life_h.map(|h| format!("at {}", hours(h))));
    said
}

/// The property, and its condition where there is something to say.
fn named(r: &CompareRow) -> String {
    let said = condition(&r.condition);
    if said.is_empty() {
        r.title.clone()
    } else {
        format!("{} ({})", r.title, said.join(", "))
    }
}

fn needed(f: Further) -> String {
    match f {
        Further::Told => "told".to_owned(),
        Further::Bounds => {
            "bounds do not say how far they are apart; test within the rig's range".to_owned()
        }
        Further::Never => {
            "no number of specimens or prints would tell; what calibrations, curves or \
                           lines leave open is more than the difference"
                .to_owned()
        }
        Further::More {
            same_prints,
            prints,
            specimens,
        } => {
            let of = count(specimens, "specimen", "specimens");
            let prints = prints.map_or_else(
                || "more than 60 further prints would be needed".to_owned(),
                |n| {
                    format!(
                        "{} of {of} would tell",
                        count(n, "further print", "further prints")
                    )
                },
            );
            let same = same_prints.map_or_else(
                || "no number of the same prints would".to_owned(),
                |n| {
                    format!(
                        "or {} of the same prints",
                        count(n, "further specimen", "further specimens")
                    )
                },
            );
            format!("{prints}, {same}")
        }
    }
}

fn not_compared(n: &NotCompared) -> String {
    let names: Vec<&str> = n.tested.iter().map(|t| t.material.as_str()).collect();
    match n.tested.as_slice() {
        [one] => format!("{}: only {} was tested", n.title, one.material),
        all => {
            let each: Vec<String> = all
                .iter()
                .map(|t| {
                    let said: Vec<String> = t
                        .conditions
                        .iter()
                        .map(|c| condition(c).join(" "))
                        .map(|c| {
                            if c.is_empty() {
                                "in a room".to_owned()
                            } else {
                                c
                            }
                        })
                        .collect();
                    format!("{} {}", t.material, list(&said))
                })
                .collect();
            if each.is_empty() {
                format!("{}: {}", n.title, list(&names))
            } else {
                format!("{}: tested otherwise ({})", n.title, each.join("; "))
            }
        }
    }
}
