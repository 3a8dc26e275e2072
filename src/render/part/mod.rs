//! The part kinds: what they ask, which limits and aims they lead to, and where the formulas come from.

mod json;

pub(crate) use json::PartsFile;

use crate::describe::{InputLine, Needed, PartSheet};
use crate::duty::{Aim, Duty, LiesOnBed, Preference};
use crate::render::caution::{severity, whom_to_ask};
use crate::render::describe::limit_rows;
use crate::render::document::{Document, Row};
use crate::render::page::Page;
use crate::render::words::{amount, either, figure, list, sentence};

/// All part kinds, a line each.
#[derive(Clone)]
pub struct PartList(pub Vec<PartSheet>);

/// One part kind, for people.
#[derive(Clone)]
pub struct PartShown(pub PartSheet);

impl PartList {
    /// As text, each with what it asks.
    pub fn text(&self, page: Page) -> String {
        self.document().text(page)
    }

    /// As Markdown.
    pub fn markdown(&self) -> String {
        self.document().markdown()
    }

    /// As JSON, `dutyfit.parts/1`.
    pub fn json(&self) -> String {
        json::file(&self.0)
    }

    fn document(&self) -> Document {
        let mut doc = Document::default();
        let rows = self
            .0
            .iter()
            .map(|s| row(&[s.kind.id, &format!("{}; asks {}", s.kind.title, sketch(s))]))
            .collect();
        doc.table(&["part", "what it is, and what it asks"], &[], rows);
        doc.gap();
        doc.paragraph("`dutyfit parts NAME` tells all of one, `dutyfit describe NAME` asks for it, `dutyfit shortlist NAME --demo` tries its worked example.");
        doc
    }
}

/// The needed inputs in a row, in words.
fn sketch(s: &PartSheet) -> String {
    let words = |name: &str| name.replace('_', " ");
    let asked = |name: &str| {
        let of = |i: &&InputLine| i.name == name && matches!(i.needed, Needed::Always(_));
        s.inputs.iter().any(|i| of(&i))
    };
    let mut told: Vec<&str> = Vec::new();
    let mut all: Vec<String> = Vec::new();
    for i in &s.inputs {
        match &i.needed {
            Needed::Always(instead) if !told.contains(&i.name.as_str()) => {
                told.extend(instead.iter().map(String::as_str));
                let names: Vec<String> = std::iter::once(&i.name)
                    .chain(instead)
                    .map(|n| words(n))
                    .collect();
                all.push(either(&names));
            }
            // An input that is asked always decides; what a finer point brings is told by its sheet.
            Needed::Where(other, _) if asked(other) => all.push(format!("{}*", words(&i.name))),
            Needed::Always(_) | Needed::Where(..) | Needed::No => {}
        }
    }
    let starred = all.iter().any(|n| n.ends_with('*'));
    all.extend(s.needs_of_use.iter().map(|n| words(n)));
    if all.is_empty() {
        let names: Vec<String> = s
            .inputs
            .iter()
            .filter(|i| i.name != "note")
            .map(|i| words(&i.name))
            .collect();
        return list(&names);
    }
    let row = list(&all);
    if starred {
        format!("{row} (* by the words of another)")
    } else {
        row
    }
}

impl PartShown {
    /// As text.
    pub fn text(&self, page: Page) -> String {
        self.document().text(page)
    }

    /// As Markdown.
    pub fn markdown(&self) -> String {
        self.document().markdown()
    }

    /// As JSON, `dutyfit.parts/1`.
    pub fn json(&self) -> String {
        json::file(std::slice::from_ref(&self.0))
    }

    fn document(&self) -> Document {
        let s = &self.0;
        let mut doc = Document::default();
        doc.answer(format!("{}: {}", s.kind.id, s.kind.title));
        doc.heading("What it asks");
        let rows = s.inputs.iter().map(input).collect();
        doc.table(
            &[
                "input",
                "needed",
                "what it is, for example, and what it decides",
            ],
            &[],
            rows,
        );
        if !s.needs_of_use.is_empty() {
            doc.list(
                "Needed of the surroundings",
                s.needs_of_use.iter().map(|n| (*n).to_owned()).collect(),
            );
        }
        on_the_bed(s, &mut doc);
        if let Some(duty) = &s.duty {
            doc.heading("Limits of its worked example");
            doc.table(&["limit", "bound, class, of what"], &[], limit_rows(duty));
            doc.list("With other inputs also", others(s, duty));
            doc.heading("Aims, from just acceptable to enough");
            let rows = duty.aims.iter().map(|a| aim(a, duty)).collect();
            doc.table(
                &["aim", "points", "scale in the worked example"],
                &[1],
                rows,
            );
        }
        doc.heading("Formulas");
        let rows = s
            .kind
            .formulas
            .iter()
            .map(|f| {
                row(&[
                    f.limit,
                    &format!("{}. Holds: {}. Source: {}", f.formula, f.validity, f.source),
                ])
            })
            .collect();
        doc.table(&["limit or aim", "formula"], &[], rows);
        doc.heading("Cautions that each of its cases raises");
        let rows = s
            .cautions
            .iter()
            .map(|c| {
                let defer = whom_to_ask(c).map_or_else(String::new, |w| format!(" {w}"));
                row(&[&c.id, severity(c.severity), &format!("{}{defer}", c.text)])
            })
            .collect();
        doc.table(&["caution", "severity", "text"], &[], rows);
        doc.heading("Worked example");
        let given = s
            .inputs
            .iter()
            .filter(|i| json::in_example(s, &i.name).is_some());
        doc.list(
            "Inputs, all assumed",
            given.map(|i| format!("{} {}", i.name, i.example)).collect(),
        );
        doc.paragraph(format!(
            "Try it with `dutyfit shortlist {} --demo`; write a case of your own with `dutyfit describe {}`.",
            s.kind.id, s.kind.id
        ));
        doc
    }
}

fn row(cells: &[&str]) -> Row {
    Row {
        cells: cells.iter().map(|c| (*c).into()).collect(),
        shorter: None,
    }
}

/// One input: what it is, an example, its default, and what it decides.
fn input(i: &InputLine) -> Row {
    let needed = match &i.needed {
        Needed::Always(instead) if instead.is_empty() => "yes".to_owned(),
        Needed::Always(_) => "this or another".to_owned(),
        Needed::Where(..) => "at times".to_owned(),
        Needed::No => "no".to_owned(),
    };
    let mut what = i.what.clone();
    match &i.needed {
        Needed::Always(instead) if !instead.is_empty() => {
            what.push_str(&format!(" Needed, or {}.", either(instead)));
        }
        Needed::Where(other, words) => {
            what.push_str(&format!(" Needed where {other} is {}.", either(words)));
        }
        Needed::Always(_) | Needed::No => {}
    }
    let words: Vec<&str> = i.words.iter().map(|c| c.word.as_str()).collect();
    if !words.is_empty() {
        what.push_str(&format!(" One of {}.", either(&words)));
    } else if !i.example.is_empty() {
        what.push_str(&format!(" For example {}.", i.example));
    }
    if !i.why.is_empty() {
        what.push_str(&format!(" {}", sentence(&i.why)));
    }
    row(&[&i.name, &needed, &what])
}

/// How it may lie on the bed.
fn on_the_bed(s: &PartSheet, doc: &mut Document) {
    let Some(lying) = s.kind.lying else { return };
    doc.heading("On the bed");
    let open = match lying.open {
        LiesOnBed::Flat => "flat",
        LiesOnBed::Edge => "edge",
        LiesOnBed::Upright => "upright",
        LiesOnBed::Open => "open",
    };
    let taken = format!("taken as {open}");
    let rows = [
        ("flat", lying.flat),
        ("edge", lying.edge),
        ("upright", lying.upright),
        ("open", &taken),
    ]
    .map(|(a, b)| row(&[a, b]));
    doc.table(&["lies", "means"], &[], rows.to_vec());
}

/// Limits that other inputs lead to.
fn others(s: &PartSheet, duty: &Duty) -> Vec<String> {
    let there = |id: &str| {
        let base = |l: &str| l.split('@').next().unwrap_or(l).to_owned();
        duty.limits.iter().any(|l| base(&l.id) == id)
    };
    s.kind
        .limits
        .iter()
        .filter(|(id, _)| !there(id))
        .map(|(id, unit)| {
            if *unit == "1" {
                (*id).to_owned()
            } else {
                format!("{id} [{unit}]")
            }
        })
        .collect()
}

fn aim(a: &Aim, duty: &Duty) -> Row {
    let points = match &duty.preference {
        Some(Preference::Points(p)) => p.get(&a.id).map(|x| figure(*x)),
        _ => None,
    };
    row(&[
        &a.id,
        &points.unwrap_or_else(|| "0".to_owned()),
        &format!(
            "{}: {} to {}",
            a.title,
            amount(a.scale.zero, &a.unit),
            amount(a.scale.one, &a.unit)
        ),
    ])
}
