//! The summary table that a tester publishes.

mod block;
mod csv;
mod telling;

use crate::advise::summary::{Choice, Chosen, Entry, Group, SheetCell, SheetColumn, Summary};
use crate::advise::summary::{FLEXIBLE_UP_TO_D, FLEXIBLE_UP_TO_MPA, RIGID_FROM_D};
use crate::advise::summary::{Subject, Tally};
use crate::belief::Grade;
use crate::catalog::Origin;
use crate::property::{Lies, Properties, Sense};
use crate::quantity::{Reading, placed};
use crate::render::document::Document;
use crate::render::grid::{Grid, GridCell, HARD_SPACE};
use crate::render::page::Page;
use crate::render::words::{count, figure, list};
use telling::{condition, footnote, heading, of_words, unit};

/// A summary table with what was asked for.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SummarySheet<'a> {
    /// The table.
    pub(crate) summary: &'a Summary,
    /// What was asked for.
    pub(crate) choice: &'a Choice,
    /// Which materials those are.
    pub(crate) chosen: &'a Chosen,
    /// Column it is sorted by, and whether the worst stands first.
    pub(crate) by: Option<(&'a SheetColumn, bool)>,
    /// Name of the columns' preset; `None` where the columns were named.
    pub(crate) preset: Option<&'static str>,
    /// Whether each cell says its specimens and prints.
    pub(crate) counts: bool,
    /// The day it was asked as of.
    pub(crate) as_of: Option<&'a str>,
    /// The property table.
    pub(crate) properties: &'a Properties,
    /// Currency of prices; empty where none was chosen.
    pub(crate) currency: &'a str,
    /// Whose figures these are.
    pub(crate) origin: Origin,
}

/// How an interval is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Form {
    /// By its ends.
    Ends,
    /// By half of it where the halves are alike, which takes less room.
    Halves,
}

impl SummarySheet<'_> {
    /// As text.
    pub(crate) fn text(&self, page: Page) -> String {
        self.document().text(page)
    }

    /// As Markdown.
    pub(crate) fn markdown(&self) -> String {
        self.document().markdown()
    }

    fn document(&self) -> Document {
        let mut doc = Document::default();
        doc.answer(self.answer() + super::tag(self.origin));
        doc.grid(self.grid(Form::Ends));
        self.below(&mut doc, Form::Ends);
        doc
    }

    /// What stands below the table.
    fn below(&self, doc: &mut Document, form: Form) {
        doc.paragraph(self.how_to_read(form));
        if self.choice.groups.iter().any(|g| *g != Group::All) {
            doc.paragraph(self.told_apart());
        }
        doc.notes(
            self.summary
                .footnotes
                .iter()
                .enumerate()
                .map(|(i, r)| (mark(&[i + 1]), footnote(r, self.properties)))
                .collect(),
        );
    }

    /// A footnote in words.
    pub(super) fn footnote(&self, r: &crate::advise::summary::Remark) -> String {
        footnote(r, self.properties)
    }

    /// What it holds, in a sentence.
    fn answer(&self) -> String {
        let t = &self.summary.tally;
        let kinds = [
            (t.measured, "measured"),
            (t.bounded, "only bounded"),
            (t.stated, "only stated"),
            (t.borrowed, "borrowed"),
            (t.assumed, "assumed"),
            (t.unknown, "not known"),
        ];
        let said: Vec<String> = kinds
            .iter()
            .filter(|k| k.0 > 0)
            .map(|(n, what)| format!("{n} {what}"))
            .collect();
        let who = self.selection();
        if said.is_empty() {
            format!("{who}.")
        } else {
            let n: usize = kinds.iter().map(|k| k.0).sum();
            format!(
                "{who}, {}: {}.",
                count(n as u64, "figure", "figures"),
                said.join(", ")
            )
        }
    }

    /// Whom it shows: `3 flexible materials of tpu and its blends`.
    fn selection(&self) -> String {
        let c = self.choice;
        let groups: Vec<&str> = c
            .groups
            .iter()
            .filter(|g| **g != Group::All)
            .map(|g| g.word())
            .collect();
        let word = match groups.as_slice() {
            [] => String::new(),
            all => format!("{} ", list(all)),
        };
        let n = self.summary.lines.len() as u64;
        let mut said = count(n, &format!("{word}material"), &format!("{word}materials"));
        if !c.polymers.is_empty() {
            said.push_str(&format!(" of {}, blends included", list(&c.polymers)));
        }
        said
    }

    fn grid(&self, form: Form) -> Grid {
        let s = self.summary;
        let mut head = vec!["material".to_owned()];
        head.extend(s.columns.iter().map(|c| self.head(c)));
        let rows = s
            .lines
            .iter()
            .map(|l| {
                let mut row = vec![GridCell::words(l.material.clone() + &marks(&l.footnotes))];
                row.extend(
                    s.columns
                        .iter()
                        .zip(&l.cells)
                        .map(|(c, cell)| self.cell(c, cell, form)),
                );
                row
            })
            .collect();
        Grid {
            head,
            rows,
            slim: form == Form::Halves,
        }
    }

    /// `tensile strength, flat [MPa] [1]`.
    fn head(&self, c: &SheetColumn) -> String {
        let mut said = vec![heading(c)];
        // `60 degC` is not to be broken over two lines.
        said.extend(condition(c).iter().map(|s| s.replace(' ', HARD_SPACE)));
        let unit = unit(c, self.currency);
        format!("{}{unit}{}", said.join(", "), marks(&c.footnotes))
    }

    fn cell(&self, c: &SheetColumn, cell: &SheetCell, form: Form) -> GridCell {
        let GridCell { figure, mut rest } = entry(c, cell, form);
        if self.counts && cell.specimens > 0 {
            rest.push_str(&format!(" {}/{}", cell.specimens, cell.prints));
        }
        rest.push_str(&marks(&cell.footnotes));
        GridCell { figure, rest }
    }

    /// What the marks of the cells mean; only what occurs is told.
    fn how_to_read(&self, form: Form) -> String {
        let s = self.summary;
        let has = |of: &dyn Fn(&SheetCell) -> bool| s.lines.iter().flat_map(|l| &l.cells).any(of);
        let t = &s.tally;
        let mut said = Vec::new();
        if has(&|c| matches!(c.entry, Entry::Mean(_))) {
            said.push(
                match form {
                    Form::Ends => "Figures are the mean of the material, in brackets the 90 % interval of that mean.",
                    Form::Halves => "Figures are the mean of the material, ± half the 90 % interval of that mean; in brackets its ends where the halves differ.",
                }
                .to_owned(),
            );
        }
        if has(&|c| matches!(c.entry, Entry::Mean(_)) && c.grade == Some(Grade::Bounded)) {
            said.push("bounded: from bounds and ranges only.".to_owned());
        }
        if has(&|c| matches!(c.entry, Entry::Bound(_))) {
            said.push(">= and <=: every specimen showed so much, or no more.".to_owned());
        }
        if has(&|c| matches!(c.entry, Entry::Stated(_))) {
            let mark = match form {
                Form::Ends => "(stated)",
                Form::Halves => "s",
            };
            said.push(format!(
                "{mark}: from a data sheet or handbook, not measured."
            ));
        }
        if t.assumed > 0 {
            said.push("assumed: on an assumed line or share, not measured so.".to_owned());
        }
        if t.borrowed > 0 {
            said.push(
                "borrowed: lent by other materials of the polymer or by its table.".to_owned(),
            );
        }
        if has(&|c| c.entry == Entry::Nothing) {
            said.push("-: not known.".to_owned());
        }
        if self.counts && s.specimens.is_some() {
            said.push("6/2: from 6 specimens of 2 prints.".to_owned());
        }
        said.extend(self.conditions());
        said.extend(self.by.map(|(by, reverse)| self.sorted(by, reverse)));
        said.extend(self.dated());
        if form == Form::Halves {
            said.extend(self.specimens());
        }
        said.join(" ")
    }

    /// `Sorted by price, the better first.`
    fn sorted(&self, by: &SheetColumn, reverse: bool) -> String {
        let sense = match &by.subject {
            Subject::Listed(_) => None,
            Subject::Property(ask) => self.properties.get(ask.property.as_str()).map(|p| p.sense),
        };
        let first = match (sense, reverse) {
            (None, false) if of_words(by) => "from a to z",
            (None, true) if of_words(by) => "from z to a",
            (Some(Sense::More | Sense::Less), false) => "the better first",
            (Some(Sense::More | Sense::Less), true) => "the worse first",
            (Some(Sense::Either), false) | (None, true) => "the highest first",
            (Some(Sense::Either), true) | (None, false) => "the lowest first",
        };
        let mut what = vec![heading(by)];
        what.extend(condition(by));
        format!("Sorted by {}, {first}.", what.join(", "))
    }

    /// The conditions that hold where a column does not say otherwise.
    fn conditions(&self) -> Option<String> {
        let columns = &self.summary.columns;
        if self.summary.tally == Tally::default() {
            return None;
        }
        let mut said = "At 23 degC, in a room, unless a column says otherwise".to_owned();
        let lies = |l: Lies| columns.iter().any(|c| c.lies == Some(l));
        said.push_str(match (lies(Lies::InPlane), lies(Lies::Across)) {
            (true, true) => "; flat is in the plane of the layers (printed flat or on edge), across is across them.",
            (true, false) => "; flat is in the plane of the layers (printed flat or on edge).",
            (false, true) => "; across is across the layers.",
            (false, false) => ".",
        });
        Some(said)
    }

    fn dated(&self) -> Option<String> {
        match (self.as_of, &self.summary.up_to) {
            (Some(day), _) => Some(format!("As of {day}.")),
            (None, Some(day)) => Some(format!("Readings up to {day}.")),
            (None, None) => None,
        }
    }

    /// The rule by which flexible and rigid are told apart, and where it could not be followed.
    fn told_apart(&self) -> String {
        let mut said = vec![format!(
            "Flexible: a modulus of at most {} MPa at 23 degC, measured or stated (tensile, else flexural, else in compression); rigid: above. Without one, any Shore A or at most {} Shore D is flexible, above {} Shore D rigid; else the polymer decides.",
            figure(FLEXIBLE_UP_TO_MPA),
            figure(FLEXIBLE_UP_TO_D),
            figure(RIGID_FROM_D)
        )];
        let c = self.chosen;
        if !c.by_polymer.is_empty() {
            said.push(format!("By polymer only: {}.", list(&c.by_polymer)));
        }
        if !c.untold.is_empty() {
            said.push(format!(
                "Left out, for want of modulus, hardness and a telling polymer: {}.",
                list(&c.untold)
            ));
        }
        said.join(" ")
    }
}

/// ` [1,3]`; nothing for none.
fn marks(numbers: &[usize]) -> String {
    if numbers.is_empty() {
        String::new()
    } else {
        format!(" {}", mark(numbers))
    }
}

fn mark(numbers: &[usize]) -> String {
    let all: Vec<String> = numbers.iter().map(usize::to_string).collect();
    format!("[{}]", all.join(","))
}

/// A cell without counts and marks.
fn entry(c: &SheetColumn, cell: &SheetCell, form: Form) -> GridCell {
    let one = |x: f64| figure(c.counted(x));
    let bare = |text: String| GridCell {
        figure: text,
        rest: String::new(),
    };
    match &cell.entry {
        Entry::Nothing => bare("-".to_owned()),
        Entry::Words(w) => GridCell::words(w.clone()),
        Entry::Window(low, high) => GridCell::words(match (low, high) {
            (Some(a), Some(b)) => format!("{}..{}", one(*a), one(*b)),
            (Some(a), None) => format!("from {}", one(*a)),
            (None, Some(b)) => format!("to {}", one(*b)),
            (None, None) => "-".to_owned(),
        }),
        Entry::Drying(t, h) => GridCell::words(telling::drying(*t, *h)),
        Entry::Figure(x) => bare(one(*x)),
        Entry::Mean([low, middle, high]) => {
            let [low, middle, high] = [low, middle, high].map(|x| placed(*x, cell.place, c.power));
            let weak = weak(cell);
            let rest = match (form, cell.half) {
                (Form::Halves, Some(half)) if weak.is_empty() => {
                    format!(" ±{}", placed(half, cell.place, c.power))
                }
                _ => format!(" ({low}..{high}{weak})"),
            };
            GridCell {
                figure: middle,
                rest,
            }
        }
        Entry::Bound(r) => GridCell {
            figure: reading(c, *r),
            rest: if cell.assumed { " (assumed)" } else { "" }.to_owned(),
        },
        Entry::Stated(r) => GridCell {
            figure: reading(c, *r),
            rest: match (cell.assumed, form) {
                (true, _) => " (stated, assumed)",
                (false, Form::Ends) => " (stated)",
                (false, Form::Halves) => " s",
            }
            .to_owned(),
        },
    }
}

/// The word of an interval that own exact readings do not carry.
fn weak(cell: &SheetCell) -> &'static str {
    match cell.grade {
        _ if cell.assumed => ", assumed",
        Some(Grade::Borrowed) => ", borrowed",
        Some(Grade::Bounded) => ", bounded",
        _ => "",
    }
}

/// A reading without its unit.
fn reading(c: &SheetColumn, r: Reading) -> String {
    let one = |x: f64| figure(c.counted(x));
    match r {
        Reading::Exact(x) => one(x),
        Reading::AtLeast(x) => format!(">= {}", one(x)),
        Reading::AtMost(x) => format!("<= {}", one(x)),
        Reading::Between(a, b) => format!("{}..{}", one(a), one(b)),
    }
}
