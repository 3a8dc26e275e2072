//! What is known of one material: a few sentences, then every property with its evidence.

use crate::advise::{Fitness, Holding, Holdings, Trial};
use crate::belief::{Grade, Material, Note, Stated};
use crate::bench::Outcome;
use crate::catalog::Origin;
use crate::duty::NotAbout;
use crate::judge::Standing;
use crate::property::{Condition, Moisture, Properties, ROOM_C};
use crate::quantity::Reading;
use crate::render::assumption::{assumed_of, by_assumption};
use crate::render::document::{Document, Row};
use crate::render::page::Page;
use crate::render::telling::grade;
use crate::render::words::{amount, as_written, count, figure, first_few, hours, list, reading};

/// What is known of a material.
#[derive(Clone, Copy, Debug)]
pub struct Shown<'a> {
    /// The material.
    pub material: &'a Material,
    /// What it is good for.
    pub fitness: &'a Fitness,
    /// What is known.
    pub holdings: &'a Holdings,
    /// The property table.
    pub properties: &'a Properties,
    /// Currency of prices.
    pub currency: &'a str,
    /// Whose figures these are.
    pub origin: Origin,
    /// Handbook ranges of its polymer, near room temperature; empty in a workspace of the user's own.
    pub ranges: &'a [&'a Stated],
    /// Doubtful words that the saved cases answer, each with its case.
    pub answered: &'a [(String, NotAbout)],
}

impl Shown<'_> {
    /// As text.
    pub fn text(&self, page: Page) -> String {
        self.document().text(page)
    }

    /// As Markdown.
    pub fn markdown(&self) -> String {
        format!(
            "# {}\n\n{}",
            super::words::markdown(&self.title()),
            self.document().markdown()
        )
    }

    fn title(&self) -> String {
        let m = self.material;
        if m.title.is_empty() {
            m.id.clone()
        } else {
            format!("{}, {}", m.id, m.title)
        }
    }

    fn document(&self) -> Document {
        let mut doc = Document::default();
        let mut opening = self.sentences();
        opening.truncate(MOST_SENTENCES);
        let first = if opening.is_empty() {
            String::new()
        } else {
            opening.remove(0)
        };
        doc.answer(first + super::tag(self.origin));
        if !opening.is_empty() {
            doc.paragraph(opening.join(" "));
        }
        self.printing(&mut doc);
        self.table(&mut doc);
        self.by_range(&mut doc);
        self.footnotes(&mut doc);
        for (case, n) in self.answered {
            super::not_about_in(case, std::slice::from_ref(n), &mut doc);
        }
        let first = self.holdings.rows.first().map(|h| &h.property);
        if let Some(property) = first.or(self.ranges.first().map(|s| &s.property)) {
            doc.paragraph(format!(
                "How a figure came about: `dutyfit show {} --why {property}{}`.",
                self.material.id,
                super::option(self.origin)
            ));
        }
        doc
    }

    /// The handbook ranges, and how well each is known.
    fn by_range(&self, doc: &mut Document) {
        let rows: Vec<Row> = self
            .ranges
            .iter()
            .map(|s| {
                let unit = self
                    .properties
                    .get(s.property.as_str())
                    .map_or("", |p| p.unit.as_ref());
                let mut what = vec![s.property.to_string()];
                what.extend(s.condition.direction.map(|d| d.word().to_owned()));
                if s.condition.moisture != Moisture::Room {
                    what.push(s.condition.moisture.word().to_owned());
                }
                Row {
                    cells: vec![
                        what.join(", ").into(),
                        reading(s.value, unit).into(),
                        s.source.clone().into(),
                    ],
                    shorter: None,
                }
            })
            .collect();
        doc.table(&["property", "range", "how well it is known"], &[], rows);
    }

    /// The opening: which cases it serves, where it is among the best and the worst, what is missing.
    pub(super) fn sentences(&self) -> Vec<String> {
        let f = self.fitness;
        let who = self.title();
        let mut out = Vec::new();
        let standing = |s: Standing| -> Vec<String> {
            f.cases
                .iter()
                .filter(|c| c.standing == s)
                .map(|c| match (s, c.rank) {
                    (Standing::Fit, Some(r)) => format!("{} (place {r})", c.case),
                    _ => c.case.clone(),
                })
                .collect()
        };
        let (fit, near) = (standing(Standing::Fit), standing(Standing::Borderline));
        let (open, out_of) = (standing(Standing::NotKnown), standing(Standing::RuledOut));
        out.push(match (f.cases.is_empty(), fit.is_empty()) {
            (true, _) if self.origin == Origin::Handbook => format!(
                "{who}: {}, of no product and no print of yours.",
                count(
                    self.ranges.len() as u64,
                    "published range",
                    "published ranges"
                )
            ),
            (true, _) => format!("{who}: there is no saved case to judge it by."),
            (false, false) => format!("{who} is fit for {}.", list(&fit)),
            (false, true) if f.cases.len() == 1 => {
                format!("{who} is not fit for the one saved case.")
            }
            (false, true) => format!(
                "{who} is fit for none of the {}.",
                count(f.cases.len() as u64, "saved case", "saved cases")
            ),
        });
        let mut rest = Vec::new();
        if !near.is_empty() {
            rest.push(format!("comes near in {}", list(&near)));
        }
        if !out_of.is_empty() {
            rest.push(format!("is ruled out in {}", list(&out_of)));
        }
        if !open.is_empty() {
            rest.push(format!("is not known in {}", list(&open)));
        }
        if !rest.is_empty() {
            out.push(format!("It {}.", list(&rest)));
        }
        for (best, word) in [(true, "best"), (false, "worst")] {
            let among: Vec<String> = f
                .strengths
                .iter()
                .filter(|s| s.best == best)
                .map(|s| {
                    let title = self.property(&s.property);
                    format!(
                        "{title} {} (place {} of {})",
                        amount(s.median, &s.unit),
                        s.place,
                        s.of
                    )
                })
                .collect();
            if !among.is_empty() {
                out.push(format!(
                    "It is among the {word} quarter for {}, by measured figures.",
                    first_few(&among, 3)
                ));
            }
        }
        let missing: Vec<String> = f
            .missing
            .iter()
            .map(|m| format!("{} for {}", m.test, list(&m.cases)))
            .collect();
        if !missing.is_empty() {
            out.push(format!("Missing: {}.", first_few(&missing, 4)));
        }
        out
    }

    fn property(&self, id: &str) -> String {
        self.holdings
            .rows
            .iter()
            .find(|r| r.property.as_str() == id)
            .map_or_else(|| id.to_owned(), |r| r.title.clone())
    }

    fn printing(&self, doc: &mut Document) {
        let m = self.material;
        let mut said = Vec::new();
        if m.polymers.is_empty() {
            said.push("polymer other".to_owned());
        } else {
            said.push(format!("polymer {}", m.polymers.join(" + ")));
        }
        if !m.grade.is_empty() {
            said.push(format!("grade {}", m.grade));
        }
        if let Some(p) = m.price_per_kg {
            said.push(format!("{} {} per kg", figure(p), self.currency).replace("  ", " "));
        }
        if let Some(t) = m.dry_temperature_c {
            let time = m
                .dry_time_h
                .map_or_else(String::new, |h| format!(" for {} h", figure(h)));
            said.push(format!("dry at {}{time}", amount(t, "degC")));
        }
        for (what, window) in [("nozzle", m.nozzle_c), ("bed", m.bed_c)] {
            if let (Some(a), Some(b)) = window {
                said.push(format!("{what} {} to {}", figure(a), amount(b, "degC")));
            }
        }
        if !m.note.is_empty() {
            said.push(m.note.clone());
        }
        doc.list("Material", said);
    }

    fn table(&self, doc: &mut Document) {
        let rows = self
            .holdings
            .rows
            .iter()
            .map(|h| Row {
                cells: vec![
                    h.property.to_string().into(),
                    known(h).into(),
                    beside(h).into(),
                ],
                shorter: None,
            })
            .collect();
        doc.table(
            &[
                "property",
                "mean (5..95 %)",
                "specimens of prints; conditions",
            ],
            &[],
            rows,
        );
    }

    /// Title of a property.
    fn titled(&self, id: &str) -> String {
        let row = self.properties.get(id);
        row.map_or_else(|| id.to_owned(), |p| p.title.to_string())
    }

    /// An assumption in words.
    pub(super) fn told(&self, id: &str, note: &Note) -> String {
        assumed_of(note, id, self.properties)
    }

    fn footnotes(&self, doc: &mut Document) {
        let h = self.holdings;
        let behind = h.rows.iter().flat_map(|r| {
            let told = |n| (self.told(r.property.as_str(), n), r.title.clone());
            r.notes.iter().map(told)
        });
        doc.list("Behind these figures", by_assumption(behind));
        let in_cases = self.fitness.assumed.iter().map(|a| {
            let text = self.told(&a.property, &a.note);
            let told = format!("{text} ({})", list(&a.cases));
            (told, self.titled(&a.property))
        });
        doc.list(
            "Assumed or lacking in the saved cases",
            by_assumption(in_cases),
        );
        doc.list(
            "Failed early and counted",
            h.early
                .iter()
                .map(|e| {
                    let face = e
                        .face
                        .map_or_else(String::new, |f| format!(" on the {f} face"));
                    format!("{} specimen {} of run {}{face}", e.test, e.specimen, e.run)
                })
                .collect(),
        );
        doc.list(
            "Gave no figure",
            h.refused
                .iter()
                .map(|r| {
                    let each: Vec<String> = r.specimens.iter().map(u32::to_string).collect();
                    format!(
                        "{} specimen {} of run {}, {}: {}",
                        r.test,
                        list(&each),
                        r.run,
                        r.title,
                        r.why
                    )
                })
                .collect(),
        );
        for t in &h.trials {
            doc.list(trial(t), vec![as_written(&t.cells)]);
        }
        doc.list(
            "Set aside and not counted",
            h.set_aside
                .iter()
                .map(|s| format!("{} run {} ({})", s.test, s.run, s.why))
                .collect(),
        );
    }
}

/// Sentences of the opening.
const MOST_SENTENCES: usize = 5;

/// Which trial, and how it ended.
fn trial(t: &Trial) -> String {
    let date = t
        .date
        .as_ref()
        .map_or_else(String::new, |d| format!(" of {d}"));
    let ended = match t.outcome {
        Outcome::Measured => String::new(),
        other => format!(" ({})", other.word()),
    };
    format!(
        "{} run {}{date}, specimen {}{ended}",
        t.test, t.run, t.specimen
    )
}

/// The middle and the ends of the mean; of bounds from one side, the bound.
fn known(h: &Holding) -> String {
    match (h.bound, h.mean) {
        (Some(bound), _) => reading(bound, &h.unit),
        (None, None) => "-".to_owned(),
        (None, Some([low, middle, high])) => format!(
            "{} ({}..{})",
            amount(middle, &h.unit),
            figure(low),
            figure(high)
        ),
    }
}

/// `6 of 2 prints`; the grade where the figures beside it do not show it.
fn evidence(h: &Holding) -> String {
    if h.specimens == 0 {
        return grade(h.grade).to_owned();
    }
    let from = format!("{} of {}", h.specimens, count(h.prints, "print", "prints"));
    match (h.grade, h.bound) {
        (Grade::Measured, _) if h.bounds > 0 => {
            format!("{from}, {}", count(h.bounds as u64, "bound", "bounds"))
        }
        (Grade::Measured, _) | (Grade::Bounded, Some(_)) => from,
        (other, _) => format!("{} {from}", grade(other)),
    }
}

fn beside(h: &Holding) -> String {
    let mut said = vec![evidence(h)];
    said.extend(condition(&h.condition));
    if let Some(t) = h.life_h {
        said.push(format!("at {}", hours(t)));
    }
    for s in &h.stated {
        let disagrees = match s.disagrees {
            Some(true) => ", DISAGREES",
            _ => "",
        };
        let value = match s.value {
            Reading::Exact(x) => amount(x, &h.unit),
            other => reading(other, &h.unit),
        };
        said.push(format!("stated {value} ({}{disagrees})", s.source));
    }
    said.join(", ")
}

/// What is not the usual of a condition, in the words of the files.
pub(super) fn condition(c: &Condition) -> Vec<String> {
    let mut said = Vec::new();
    if let Some(d) = c.direction {
        said.push(d.word().to_owned());
    }
    if let Some(f) = c.face {
        said.push(format!("{} face", f.word()));
    }
    if let Some(s) = &c.counterface {
        said.push(format!("on {s}"));
    }
    if (c.temperature_c - ROOM_C).abs() > 0.0 {
        said.push(amount(c.temperature_c, "degC"));
    }
    if c.moisture != Moisture::Room {
        said.push(c.moisture.word().to_owned());
    }
    if let Some(a) = &c.annealed {
        said.push(format!("annealed {a}"));
    }
    if let Some(k) = &c.kind {
        said.push(k.clone());
    }
    said
}
