//! Empty sheets for the bench: the columns of a test, what may stand in them, and how to measure.

use crate::bench::{BenchTest, Column, HowTo, Kind, Need, Outcome, Run, Specimen};
use crate::catalog::csv_text::CsvText;
use crate::catalog::header::split_header;
use crate::catalog::lines::SURFACES;
use crate::catalog::lines::fields::{
    ANNEALED, COMMON, COUNTERFACE, DATE, DIRECTION, FACE, LOT, MATERIAL, MOISTURE, NOTE, OPERATOR,
    OUTCOME, POINT, PRINT, RIG, RUN, SPECIMEN, TEMPERATURE,
};
use crate::catalog::source::LARGEST_CSV;
use crate::catalog::{Catalog, Source};
use crate::quantity::{Unit, significant};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Most lines of an empty sheet.
pub(crate) const MOST_SPECIMENS: u32 = 1_000;
/// Significant digits of a figure that was turned into the unit of the sheet.
const DIGITS: usize = 12;
/// Common columns behind the raw ones, in the order they are written.
const BEHIND: &[usize] = &[
    DATE,
    SPECIMEN,
    POINT,
    PRINT,
    LOT,
    RIG,
    DIRECTION,
    FACE,
    TEMPERATURE,
    MOISTURE,
    ANNEALED,
    COUNTERFACE,
    OPERATOR,
    RUN,
    NOTE,
];

/// A column of an empty sheet.
#[derive(Clone, Debug)]
pub(crate) struct FormColumn {
    /// Header with its unit.
    pub(crate) header: String,
    /// Whether it must be filled.
    pub(crate) needed: bool,
    /// Whether it holds figures.
    pub(crate) figures: bool,
    /// What it is, in a line.
    pub(crate) about: String,
    /// The words it takes, where they are a closed list.
    pub(crate) words: Vec<String>,
}

/// An empty sheet.
pub(crate) struct Form {
    /// Its test.
    pub(crate) test: &'static dyn BenchTest,
    /// Columns, needed ones first.
    pub(crate) columns: Vec<FormColumn>,
    /// Lines, with what is filled in already.
    pub(crate) rows: Vec<Vec<String>>,
}

/// What is filled in beforehand.
pub(crate) struct Prefill<'p> {
    /// Material of all lines.
    pub(crate) material: Option<&'p str>,
    /// Specimens; those of the run that is followed, or what is usual.
    pub(crate) specimens: Option<u32>,
    /// The run whose conditions, rig and geometry are taken, in the pieces that one print or lot makes.
    pub(crate) like: Vec<&'p Arc<Run>>,
    /// Headers of the catalog's file of the test: they say the units.
    pub(crate) units: BTreeMap<String, String>,
}

/// The headers of the readings of a test, by name; none where there is no such file.
pub(crate) fn headers_in_use(source: &Source, test: &dyn BenchTest) -> BTreeMap<String, String> {
    let name = format!("catalog/readings/{}.csv", test.id());
    let Ok(Some(bytes)) = source.read(&name, LARGEST_CSV) else {
        return BTreeMap::new();
    };
    CsvText::open(&name, &bytes).map_or_else(
        |_| BTreeMap::new(),
        |csv| {
            csv.header
                .iter()
                .map(|h| (split_header(h).0.to_owned(), h.clone()))
                .collect()
        },
    )
}

/// The pieces of a run.
pub(crate) fn run_pieces<'c>(catalog: &'c Catalog, id: &str) -> Vec<&'c Arc<Run>> {
    catalog.runs.iter().filter(|r| r.id == id).collect()
}

impl Form {
    /// An empty sheet of a test, with what is known beforehand.
    pub(crate) fn new(test: &'static dyn BenchTest, prefill: &Prefill<'_>) -> Self {
        let howto = test.howto();
        let last: Vec<_> = prefill
            .like
            .iter()
            .flat_map(|r| r.specimens.iter())
            .collect();
        let specimens = prefill
            .specimens
            .or_else(|| u32::try_from(last.len()).ok().filter(|n| *n > 0))
            .unwrap_or(howto.specimens)
            .min(MOST_SPECIMENS);
        let lines = last
            .iter()
            .map(|s| s.points.len())
            .max()
            .and_then(|n| u32::try_from(n).ok())
            .unwrap_or(howto.lines)
            .max(1);
        let several = lines > 1;
        let placed = columns(test, several, &prefill.units);
        let run = prefill.like.first();
        let mut rows = Vec::new();
        for n in 1..=specimens {
            for point in 1..=lines {
                let specimen = usize::try_from(n - 1)
                    .ok()
                    .and_then(|k| last.get(k).or(last.last()));
                let row = placed
                    .iter()
                    .map(|(at, column)| match at {
                        At::Common(SPECIMEN) => n.to_string(),
                        At::Common(POINT) => point.to_string(),
                        At::Common(MATERIAL) => prefill
                            .material
                            .map(str::to_owned)
                            .or_else(|| run.and_then(|r| r.material.clone()))
                            .unwrap_or_default(),
                        At::Common(k) => run.map(|r| of_run(r, *k, column)).unwrap_or_default(),
                        At::Raw(c) if point == 1 && c.is_set() => specimen
                            .and_then(|s| as_last_time(s, c, &column.header))
                            .unwrap_or_default(),
                        At::Raw(_) => String::new(),
                    })
                    .collect();
                rows.push(row);
            }
        }
        Form {
            test,
            columns: placed.into_iter().map(|p| p.1).collect(),
            rows,
        }
    }

    /// The comment lines above the header, without their `#`.
    pub(crate) fn comments(&self) -> Vec<String> {
        let HowTo {
            measure, beware, ..
        } = self.test.howto();
        let mut all = vec![format!(
            "{}: fill a line a specimen{} and hand the file to `dutyfit record`; lines left empty are passed over.",
            self.test.title(),
            if self.test.howto().lines > 1 {
                ", or a line a reading,"
            } else {
                ""
            }
        )];
        all.extend(measure.iter().map(|m| format!("How: {m}")));
        all.extend(beware.iter().map(|b| format!("Beware: {b}")));
        let needed: Vec<&str> = self
            .columns
            .iter()
            .filter(|c| c.needed)
            .map(|c| split_header(&c.header).0)
            .collect();
        all.push(format!(
            "Needed: {}; the rest where it is known.",
            needed.join(", ")
        ));
        for c in self.columns.iter().filter(|c| !c.words.is_empty()) {
            let blank = if c.header == "outcome" {
                "blank where it was simply measured, or "
            } else {
                ""
            };
            all.push(format!(
                "{}: {blank}{}",
                split_header(&c.header).0,
                c.words.join(", ")
            ));
        }
        all
    }

    /// The sheet as CSV.
    pub(crate) fn csv(&self) -> String {
        let mut out = String::new();
        let line = |out: &mut String, cells: &mut dyn Iterator<Item = &str>| {
            let cells: Vec<String> = cells.map(quoted).collect();
            out.push_str(&cells.join(","));
            out.push('\n');
        };
        for comment in self.comments() {
            line(
                &mut out,
                &mut std::iter::once(format!("# {comment}").as_str()),
            );
        }
        line(
            &mut out,
            &mut self.columns.iter().map(|c| c.header.as_str()),
        );
        for row in &self.rows {
            line(&mut out, &mut row.iter().map(String::as_str));
        }
        out
    }
}

fn quoted(cell: &str) -> String {
    if cell.contains([',', ';', '"', '\n', '\r', '\t']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell.to_owned()
    }
}

/// Where the cells of a column come from.
#[derive(Clone, Copy)]
enum At {
    Common(usize),
    Raw(&'static Column),
}

/// The columns: needed common ones, needed raw ones, the other raw ones, the outcome, the rest.
fn columns(
    test: &'static dyn BenchTest,
    several: bool,
    units: &BTreeMap<String, String>,
) -> Vec<(At, FormColumn)> {
    let raw = test.columns();
    let shadowed = |k: usize| {
        raw.iter()
            .any(|c| COMMON.get(k).is_some_and(|f| f.name == c.name))
    };
    let must = |k: usize| {
        k == MATERIAL
            || k == DIRECTION && test.needs_direction()
            || k == COUNTERFACE && test.needs_counterface()
    };
    let mut all = Vec::new();
    for k in [MATERIAL, DIRECTION, COUNTERFACE] {
        if must(k) {
            all.push((At::Common(k), common(k, test, true, units)));
        }
    }
    for needed in [true, false] {
        for c in raw.iter().filter(|c| (c.need != Need::Optional) == needed) {
            all.push((At::Raw(c), of_raw(c, units)));
        }
    }
    all.push((At::Common(OUTCOME), common(OUTCOME, test, false, units)));
    for k in BEHIND.iter().copied() {
        let surface = k == COUNTERFACE && !raw.iter().any(|c| c.about.contains("counterface"));
        if must(k) || shadowed(k) || k == POINT && !several || surface {
            continue;
        }
        all.push((At::Common(k), common(k, test, false, units)));
    }
    all
}

fn header(name: &str, written: String, units: &BTreeMap<String, String>) -> String {
    units.get(name).cloned().unwrap_or(written)
}

fn common(
    k: usize,
    test: &dyn BenchTest,
    needed: bool,
    units: &BTreeMap<String, String>,
) -> FormColumn {
    let (name, written) = COMMON
        .get(k)
        .map_or(("", String::new()), |f| (f.name, f.written()));
    let own = |words: &[&str]| words.iter().map(|w| (*w).to_owned()).collect();
    let (about, words): (&str, Vec<String>) = match k {
        MATERIAL => ("id of the material, as in materials.csv", Vec::new()),
        DIRECTION => (
            "how the load lies to the layers; across: it pulls them apart",
            own(&["flat", "edge", "across"]),
        ),
        FACE => ("the face that was tested", own(&["top", "bottom", "side"])),
        MOISTURE => ("blank means room", own(&["dried", "room", "wet"])),
        COUNTERFACE => (
            "the surface it touches, or an own one of materials.csv",
            own(SURFACES),
        ),
        OUTCOME => (
            "how it ended; blank where it was simply measured",
            outcomes(test),
        ),
        DATE => ("day of the test, 2026-05-31", Vec::new()),
        SPECIMEN => ("its number within the run", Vec::new()),
        POINT => ("1, 2, 3 ... in the order of time", Vec::new()),
        LOT => ("lot of the spool; blank means unknown", Vec::new()),
        PRINT => ("id of the print job, as in prints.csv", Vec::new()),
        RIG => ("instrument or jig, as in rigs.csv", Vec::new()),
        TEMPERATURE => ("temperature of the test; blank means 23 degC", Vec::new()),
        ANNEALED => ("`80 degC 4 h`, or blank", Vec::new()),
        OPERATOR => ("who tested", Vec::new()),
        RUN => (
            "blank: an id is made up; or the run that is gone on with",
            Vec::new(),
        ),
        _ => ("what else should be known", Vec::new()),
    };
    FormColumn {
        header: header(name, written, units),
        needed,
        figures: k == TEMPERATURE,
        about: about.to_owned(),
        words,
    }
}

fn outcomes(test: &dyn BenchTest) -> Vec<String> {
    let own = test.outcomes().iter();
    let always = Outcome::ALWAYS
        .iter()
        .filter(|o| !test.outcomes().contains(o));
    own.chain(always)
        .map(|o| o.word())
        .filter(|w| !w.is_empty())
        .map(str::to_owned)
        .collect()
}

fn of_raw(c: &Column, units: &BTreeMap<String, String>) -> FormColumn {
    let written = crate::catalog::header::Field {
        name: c.name,
        unit: c.unit(),
        needed: false,
    }
    .written();
    FormColumn {
        header: header(c.name, written, units),
        needed: c.need != Need::Optional,
        figures: c.unit().is_some() && !matches!(c.kind, Kind::NumberOr { .. }),
        about: c.about.to_owned(),
        words: match c.kind {
            Kind::Word(words) => words.iter().map(|w| (*w).to_owned()).collect(),
            _ => Vec::new(),
        },
    }
}

/// What a run says in a common column.
fn of_run(run: &Run, k: usize, column: &FormColumn) -> String {
    let c = &run.condition;
    let text = |t: Option<&str>| t.unwrap_or("").to_owned();
    match k {
        DIRECTION => text(c.direction.map(|d| d.word())),
        FACE => text(c.face.map(|f| f.word())),
        MOISTURE => c.moisture.word().to_owned(),
        ANNEALED => text(c.annealed.as_deref()),
        COUNTERFACE => text(c.counterface.as_deref()),
        TEMPERATURE => in_unit(c.temperature_c, "degC", &column.header),
        RIG if run.rig.name != "unlisted" => run.rig.name.clone(),
        _ => String::new(),
    }
}

/// What a specimen has in a raw column that is set before the test.
fn as_last_time(specimen: &Specimen, column: &Column, header: &str) -> Option<String> {
    specimen.word(column.name).map(str::to_owned).or_else(|| {
        let x = specimen.once(column.name)?;
        Some(in_unit(x, column.unit().unwrap_or("1"), header))
    })
}

/// A figure of the unit inside in the unit of a header.
fn in_unit(x: f64, inside: &str, header: &str) -> String {
    let converted = split_header(header)
        .1
        .filter(|u| !u.is_empty() && *u != inside)
        .and_then(|u| {
            let from = Unit::parse(inside).ok()?;
            let to = Unit::parse_as(u, &from).ok()?;
            significant(from.convert(x, &to), DIGITS)
        });
    converted.unwrap_or(x).to_string()
}
