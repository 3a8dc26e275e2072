//! The summary table that a tester publishes: what stands in each cell, and what has to be said of it.

mod choice;
mod column;
mod preset;
mod remark;
mod round;
mod stiffness;

pub use choice::{Choice, Chosen, Group, choose};
pub use column::{Listed, Subject, kind_word, lies_word};
pub use preset::{Preset, preset, presets};
pub use remark::Remark;
pub use stiffness::{
    FLEXIBLE_UP_TO_D, FLEXIBLE_UP_TO_MPA, RIGID_FROM_D, Stiffness, ToldBy, stiffness,
};

use crate::belief::{Belief, Counted, Evidence, Grade, Material, MaterialKind, Note};
use crate::bench::ReducedRun;
use crate::property::{Ask, Property, Sense};
use crate::quantity::Reading;
use column::told_lies;
use rayon::prelude::*;
use std::cmp::Ordering;
use std::collections::BTreeMap;

/// What a table is asked to show.
#[derive(Clone, Debug)]
pub struct Table<'a> {
    /// Materials, in the order of the table unless it is sorted.
    pub materials: &'a [String],
    /// Columns, settled.
    pub columns: &'a [Subject],
    /// Column to sort by, and whether the worst stands first.
    pub by: Option<(&'a Subject, bool)>,
    /// Whether figures that others lend are shown.
    pub borrowed: bool,
}

/// A summary table.
#[derive(Clone, Debug, PartialEq)]
pub struct Summary {
    /// Columns after the material's id.
    pub columns: Vec<SheetColumn>,
    /// A line a material.
    pub lines: Vec<Line>,
    /// Footnotes; cells and columns name them by their place from 1.
    pub footnotes: Vec<Remark>,
    /// Cells of properties by what they rest on.
    pub tally: Tally,
    /// Date of the latest run behind a figure; `None` where no run is dated.
    pub up_to: Option<String>,
    /// Fewest and most own specimens behind a figure; `None` where none has any.
    pub specimens: Option<(u32, u32)>,
    /// Fewest and most own prints.
    pub prints: Option<(u32, u32)>,
}

/// Cells of properties by what they rest on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// Measured.
    pub measured: usize,
    /// Only bounded.
    pub bounded: usize,
    /// Stated.
    pub stated: usize,
    /// Borrowed and shown.
    pub borrowed: usize,
    /// On an assumed line or share, whatever that starts from.
    pub assumed: usize,
    /// Without a figure.
    pub unknown: usize,
}

/// A column.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetColumn {
    /// Id, as it is written on the command line.
    pub id: String,
    /// What it shows.
    pub subject: Subject,
    /// Title for people.
    pub title: String,
    /// Canonical unit; empty where there is none.
    pub unit: String,
    /// How the load lies to the layers, where a reader has to be told.
    pub lies: Option<crate::property::Lies>,
    /// Figures are shown in this power of ten of the unit.
    pub power: i32,
    /// Footnotes that hold for every figure of the column.
    pub footnotes: Vec<usize>,
}

impl Subject {
    /// The column that shows it, by itself.
    pub fn described(&self, evidence: &Evidence) -> SheetColumn {
        column(evidence, self, 0, Vec::new())
    }
}

impl SheetColumn {
    /// A figure as it is counted in this column.
    pub fn counted(&self, x: f64) -> f64 {
        x / 10_f64.powi(self.power)
    }
}

/// A material's line.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Id.
    pub material: String,
    /// Footnotes of the material itself.
    pub footnotes: Vec<usize>,
    /// A cell a column.
    pub cells: Vec<SheetCell>,
}

/// What stands in a cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Entry {
    /// Nothing is known.
    Nothing,
    /// Words of materials.csv.
    Words(String),
    /// A window of materials.csv; an end may be blank.
    Window(Option<f64>, Option<f64>),
    /// Drying, degC and h; either may be blank.
    Drying(Option<f64>, Option<f64>),
    /// A figure of materials.csv, exact.
    Figure(f64),
    /// 5, 50 and 95 % of the mean.
    Mean([f64; 3]),
    /// What every specimen showed at the least or at the most.
    Bound(Reading),
    /// A stated value.
    Stated(Reading),
}

/// A cell.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetCell {
    /// What stands in it.
    pub entry: Entry,
    /// What it rests on; absent for what materials.csv says.
    pub grade: Option<Grade>,
    /// Power of ten of the last digit that is worth showing of a mean; 0 for others.
    pub place: i32,
    /// The larger half of a mean's interval, where its halves are alike.
    pub half: Option<f64>,
    /// Whether the figure was read off a line that is assumed, or is an assumed share of another one.
    pub assumed: bool,
    /// Own specimens.
    pub specimens: u32,
    /// Own prints.
    pub prints: u32,
    /// How many of the readings are bounds.
    pub bounds: u32,
    /// Footnotes.
    pub footnotes: Vec<usize>,
}

impl SheetCell {
    fn of(entry: Entry) -> Self {
        SheetCell {
            entry,
            grade: None,
            place: 0,
            half: None,
            assumed: false,
            specimens: 0,
            prints: 0,
            bounds: 0,
            footnotes: Vec::new(),
        }
    }

    /// The figure that it is sorted by.
    fn figure(&self) -> Option<f64> {
        match &self.entry {
            Entry::Nothing | Entry::Words(_) => None,
            Entry::Window(low, high) => low.or(*high),
            Entry::Drying(t, h) => h.or(*t),
            Entry::Figure(x) | Entry::Mean([_, x, _]) => Some(*x),
            Entry::Bound(r) | Entry::Stated(r) => Some(r.as_exact()),
        }
    }
}

/// A cell before its remarks are numbered.
struct Drafted {
    cell: SheetCell,
    remarks: Vec<Remark>,
    date: Option<String>,
}

impl Drafted {
    fn plain(entry: Entry) -> Self {
        Drafted {
            cell: SheetCell::of(entry),
            remarks: Vec::new(),
            date: None,
        }
    }
}

/// Makes a summary table.
pub fn summarise(evidence: &Evidence, table: &Table<'_>) -> Summary {
    let mut runs: BTreeMap<&str, Vec<&ReducedRun>> = BTreeMap::new();
    for r in evidence.runs() {
        if let Some(m) = r.run.material.as_deref() {
            runs.entry(m).or_default().push(r);
        }
    }
    let known: BTreeMap<&str, &Material> = evidence
        .materials()
        .iter()
        .map(|m| (m.id.as_str(), m))
        .collect();
    let empty = Vec::new();
    let mut drafted: Vec<(&Material, Option<SheetCell>, Vec<Drafted>)> = table
        .materials
        .par_iter()
        .filter_map(|id| {
            let m = *known.get(id.as_str())?;
            let own = runs.get(id.as_str()).unwrap_or(&empty);
            let cell = |s: &Subject| draft(evidence, m, own, s, table.borrowed);
            let sorted_by = table.by.map(|(s, _)| cell(s).cell);
            Some((m, sorted_by, table.columns.iter().map(cell).collect()))
        })
        .collect();
    if let Some((subject, reverse)) = table.by {
        let sense = subject.sense(evidence);
        drafted.sort_by(|a, b| {
            order(a.1.as_ref(), b.1.as_ref(), sense, reverse).then(a.0.id.cmp(&b.0.id))
        });
    }
    numbered(evidence, table.columns, drafted)
}

/// The better first (of neither, the higher), or the other way round; what has no figure last.
fn order(a: Option<&SheetCell>, b: Option<&SheetCell>, sense: Sense, reverse: bool) -> Ordering {
    let words = |c: Option<&SheetCell>| match c.map(|c| &c.entry) {
        Some(Entry::Words(w)) if !w.is_empty() => Some(w.to_lowercase()),
        _ => None,
    };
    let turn = |o: Ordering| if reverse { o.reverse() } else { o };
    match (words(a), words(b)) {
        (Some(a), Some(b)) => return turn(a.cmp(&b)),
        (Some(_), None) => return Ordering::Less,
        (None, Some(_)) => return Ordering::Greater,
        (None, None) => {}
    }
    let figure = |c: Option<&SheetCell>| c.and_then(SheetCell::figure);
    match (figure(a), figure(b)) {
        (Some(a), Some(b)) => turn(match sense {
            Sense::Less => a.total_cmp(&b),
            Sense::More | Sense::Either => b.total_cmp(&a),
        }),
        (Some(_), None) => Ordering::Less,
        (None, Some(_)) => Ordering::Greater,
        (None, None) => Ordering::Equal,
    }
}

fn draft(
    evidence: &Evidence,
    m: &Material,
    runs: &[&ReducedRun],
    subject: &Subject,
    borrowed: bool,
) -> Drafted {
    match subject {
        Subject::Listed(l) => Drafted::plain(listed(m, *l)),
        Subject::Property(ask) => match evidence.properties().get(ask.property.as_str()) {
            None => Drafted::plain(Entry::Nothing),
            Some(row) => {
                let listed = evidence.listed(&m.id, row.id.as_str());
                if let Some(Some(x)) = listed {
                    return Drafted::plain(Entry::Figure(x));
                }
                let mut found = property(evidence, m, runs, row, ask, borrowed);
                // A blank cell of materials.csv is no figure that a test would give.
                if listed.is_some() && found.cell.entry == Entry::Nothing {
                    found.cell.grade = None;
                }
                found
            }
        },
    }
}

fn listed(m: &Material, what: Listed) -> Entry {
    let words = |text: &str| {
        if text.is_empty() {
            Entry::Nothing
        } else {
            Entry::Words(text.to_owned())
        }
    };
    let window = |(low, high): (Option<f64>, Option<f64>)| match (low, high) {
        (None, None) => Entry::Nothing,
        _ => Entry::Window(low, high),
    };
    match what {
        Listed::Title => words(&m.title),
        Listed::Polymer if m.polymers.is_empty() => words("other"),
        Listed::Polymer => words(&m.polymers.join("+")),
        Listed::Grade => words(&m.grade),
        Listed::Kind => words(kind_word(m.kind)),
        Listed::Drying => match (m.dry_temperature_c, m.dry_time_h) {
            (None, None) => Entry::Nothing,
            (t, h) => Entry::Drying(t, h),
        },
        Listed::Nozzle => window(m.nozzle_c),
        Listed::Bed => window(m.bed_c),
        Listed::Spool => m.spool_kg.map_or(Entry::Nothing, Entry::Figure),
        Listed::Note => words(&m.note),
    }
}

fn property(
    evidence: &Evidence,
    m: &Material,
    runs: &[&ReducedRun],
    row: &Property,
    ask: &Ask,
    borrowed: bool,
) -> Drafted {
    let belief = evidence.believe(&m.id, ask);
    let counted = match belief.grade {
        Grade::Measured | Grade::Bounded | Grade::Stated => evidence.counted(&m.id, ask),
        Grade::Borrowed | Grade::Absent => Vec::new(),
    };
    let entry = entry(evidence, m, ask, &belief, &counted, borrowed);
    let shown = entry != Entry::Nothing;
    let mut remarks = remark::of_runs(runs, row, ask, &counted);
    let notes = belief.notes.iter().filter(|n| worth_saying(n, shown));
    remarks.extend(notes.map(|n| match n {
        Note::HeatLine {
            tested_c, asked_c, ..
        } => Remark::HeatLine {
            tested_c: *tested_c,
            asked_c: *asked_c,
        },
        n => Remark::Note {
            property: on_scale(n).then(|| row.id.to_string()),
            note: n.clone(),
        },
    }));
    let (place, half) = match entry {
        Entry::Mean(mean) => {
            let place = round::place(mean);
            (place, round::half(mean, place))
        }
        _ => (0, None),
    };
    let bounds = counted.iter().filter(|c| !c.value.is_exact()).count();
    Drafted {
        cell: SheetCell {
            grade: Some(if shown { belief.grade } else { Grade::Absent }),
            place,
            half,
            assumed: shown && assumed(&belief),
            specimens: if shown { belief.specimens } else { 0 },
            prints: if shown { belief.prints } else { 0 },
            bounds: u32::try_from(bounds).unwrap_or(u32::MAX),
            ..SheetCell::of(entry)
        },
        remarks,
        date: counted.iter().filter_map(|c| c.run.run.date.clone()).max(),
    }
}

fn entry(
    evidence: &Evidence,
    m: &Material,
    ask: &Ask,
    belief: &Belief,
    counted: &[Counted<'_>],
    borrowed: bool,
) -> Entry {
    let mean = || {
        let at = |p| belief.mean_quantile(p).filter(|x: &f64| x.is_finite());
        Some(Entry::Mean([at(0.05)?, at(0.5)?, at(0.95)?]))
    };
    let found = match belief.grade {
        Grade::Absent => None,
        Grade::Borrowed if !borrowed => None,
        Grade::Borrowed | Grade::Measured => mean(),
        // Its own readings, on a line to a stated onset.
        Grade::Stated if belief.specimens > 0 => mean(),
        Grade::Bounded => evidence
            .shared_bound(counted, belief)
            .map(Entry::Bound)
            .or_else(mean),
        Grade::Stated => stated(evidence, m, ask, belief).map(Entry::Stated),
    };
    found.unwrap_or(Entry::Nothing)
}

/// One stated value as it stands; the middle of several, or what is left of one with heat; of bounds
/// alone the one that they share.
fn stated(evidence: &Evidence, m: &Material, ask: &Ask, belief: &Belief) -> Option<Reading> {
    let values: Vec<Reading> = evidence
        .stated_of(&m.id, ask)
        .iter()
        .map(|s| s.value)
        .collect();
    if let ([one], false) = (values.as_slice(), belief.on_line) {
        return Some(*one);
    }
    let bounds_only = !values.is_empty()
        && values
            .iter()
            .all(|v| matches!(v, Reading::AtLeast(_) | Reading::AtMost(_)));
    if bounds_only {
        return Reading::shared(values);
    }
    belief
        .mean_quantile(0.5)
        .filter(|x| x.is_finite())
        .map(Reading::Exact)
}

fn assumed(belief: &Belief) -> bool {
    let share = |n: &Note| matches!(n, Note::SustainedAssumed(_));
    belief.on_line || belief.notes.iter().any(share)
}

/// Whether a note holds figures on the property's natural scale.
fn on_scale(note: &Note) -> bool {
    matches!(
        note,
        Note::Interpolated { .. } | Note::BetweenMoistures { .. }
    )
}

/// Notes that a table has to say. What speaks of the next part alone is left out, what the interval holds
/// already (a coarse gauge), what is told of the runs, and of a cell without a figure all but why.
fn worth_saying(note: &Note, shown: bool) -> bool {
    match note {
        Note::LotsDiffer { .. } | Note::EarlyFailure | Note::CoarseGauge => false,
        Note::BorrowedFrom { .. } | Note::Assumed(_) | Note::SustainedAssumed(_) => shown,
        _ => true,
    }
}

/// Numbers the remarks in the order they are met: columns first, then line by line.
fn numbered(
    evidence: &Evidence,
    subjects: &[Subject],
    drafted: Vec<(&Material, Option<SheetCell>, Vec<Drafted>)>,
) -> Summary {
    let mut footnotes: Vec<Remark> = Vec::new();
    let mut known: BTreeMap<String, usize> = BTreeMap::new();
    let mut number = |r: &Remark| -> usize {
        // Its figures keep a remark from being a key itself.
        *known.entry(format!("{r:?}")).or_insert_with(|| {
            footnotes.push(r.clone());
            footnotes.len()
        })
    };
    let mut tally = Tally::default();
    let mut up_to: Option<String> = None;
    let common: Vec<Vec<Remark>> = (0..subjects.len())
        .map(|c| common_remarks(drafted.iter().filter_map(|d| d.2.get(c))))
        .collect();
    let columns = subjects
        .iter()
        .zip(&common)
        .enumerate()
        .map(|(c, (subject, remarks))| {
            let figures = drafted.iter().filter_map(|d| d.2.get(c)?.cell.figure());
            column(
                evidence,
                subject,
                round::power(figures),
                remarks.iter().map(&mut number).collect(),
            )
        })
        .collect();
    let lines = drafted
        .into_iter()
        .map(|(m, _, cells)| Line {
            material: m.id.clone(),
            footnotes: if m.kind == MaterialKind::Candidate {
                Vec::new()
            } else {
                let kind = kind_word(m.kind);
                vec![number(&Remark::NotRanked { kind })]
            },
            cells: cells
                .into_iter()
                .zip(&common)
                .map(|(d, common)| {
                    count(&mut tally, &d.cell);
                    up_to = up_to.take().max(d.date);
                    let own = d.remarks.iter().filter(|r| !common.contains(r));
                    let mut footnotes: Vec<usize> = own.map(&mut number).collect();
                    footnotes.sort_unstable();
                    footnotes.dedup();
                    SheetCell {
                        footnotes,
                        ..d.cell
                    }
                })
                .collect(),
        })
        .collect();
    let lines: Vec<Line> = lines;
    let tested = |n: fn(&SheetCell) -> u32| {
        let cells = lines.iter().flat_map(|l| &l.cells);
        let all = cells.filter(|c| c.specimens > 0).map(n);
        all.fold(None, |ends: Option<(u32, u32)>, n| {
            Some(ends.map_or((n, n), |(a, b)| (a.min(n), b.max(n))))
        })
    };
    Summary {
        specimens: tested(|c| c.specimens),
        prints: tested(|c| c.prints),
        columns,
        lines,
        footnotes,
        tally,
        up_to,
    }
}

fn count(tally: &mut Tally, cell: &SheetCell) {
    let of = match cell.grade {
        None => return,
        _ if cell.assumed => &mut tally.assumed,
        Some(Grade::Measured) => &mut tally.measured,
        Some(Grade::Bounded) => &mut tally.bounded,
        Some(Grade::Stated) => &mut tally.stated,
        Some(Grade::Borrowed) => &mut tally.borrowed,
        Some(Grade::Absent) => &mut tally.unknown,
    };
    *of += 1;
}

/// Remarks that every cell with a figure has, where there are several: they are the column's.
fn common_remarks<'a>(cells: impl Iterator<Item = &'a Drafted>) -> Vec<Remark> {
    let with: Vec<&Drafted> = cells.filter(|d| d.cell.entry != Entry::Nothing).collect();
    let (Some(first), true) = (with.first(), with.len() > 1) else {
        return Vec::new();
    };
    first
        .remarks
        .iter()
        .filter(|r| with.iter().all(|d| d.remarks.contains(r)))
        .cloned()
        .collect()
}

fn column(
    evidence: &Evidence,
    subject: &Subject,
    power: i32,
    footnotes: Vec<usize>,
) -> SheetColumn {
    let (title, unit, lies) = match subject {
        Subject::Listed(l) => {
            let unit = match l {
                Listed::Nozzle | Listed::Bed => "degC",
                Listed::Spool => "kg",
                _ => "",
            };
            (l.word().to_owned(), unit.to_owned(), None)
        }
        Subject::Property(ask) => match evidence.properties().get(ask.property.as_str()) {
            Some(row) => (
                row.title.to_string(),
                row.unit.to_string(),
                told_lies(row, ask),
            ),
            None => (ask.property.to_string(), String::new(), None),
        },
    };
    SheetColumn {
        id: subject.id(evidence),
        subject: subject.clone(),
        title,
        unit,
        lies,
        power,
        footnotes,
    }
}
