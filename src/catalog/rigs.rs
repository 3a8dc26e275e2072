//! `rigs.csv`: a line a rig, raw column and calibration.

use crate::bench::{self, BenchTest, Channel, Column, Kind, Rig};
use crate::catalog::csv_text::Row;
use crate::catalog::header::Field;
use crate::catalog::row::{Cells, read_table};
use crate::catalog::words::meant;
use crate::problem::{Fault, Problem};
use crate::quantity::Unit;
use std::collections::{BTreeMap, BTreeSet, HashMap};

pub(super) const FIELDS: &[Field] = &[
    Field::text("rig", true),
    Field::text("kind", false),
    Field::text("channel", true),
    Field::text("from", false),
    Field::text("unit", false),
    Field::figure("low", "1", false),
    Field::figure("high", "1", false),
    Field::figure("resolution", "1", false),
    Field::figure("offset", "1", false),
    Field::figure("offset_u", "1", false),
    Field::figure("gain", "1", false),
    Field::figure("gain_u", "1", false),
    Field::text("reference", false),
    Field::text("note", false),
];
const RIG: usize = 0;
const KIND: usize = 1;
const CHANNEL: usize = 2;
const FROM: usize = 3;
const UNIT: usize = 4;
const LOW: usize = 5;
const HIGH: usize = 6;
const RESOLUTION: usize = 7;
const OFFSET: usize = 8;
const OFFSET_U: usize = 9;
const GAIN: usize = 10;
const GAIN_U: usize = 11;

/// Least gain that can be meant.
const LEAST_GAIN: f64 = 1e-6;

/// One calibration of one channel, in the unit it was written in.
#[derive(Clone, Debug)]
struct Calibration {
    rig: String,
    kind: String,
    channel: String,
    /// Empty: since ever.
    from: String,
    /// `None`: the column's canonical unit.
    unit: Option<Unit>,
    low: Option<f64>,
    high: Option<f64>,
    resolution: Option<f64>,
    offset: f64,
    offset_u: f64,
    gain: f64,
    gain_u: f64,
}

/// All calibrations, by rig.
#[derive(Clone, Debug, Default)]
pub(super) struct Rigs {
    by_rig: BTreeMap<String, Vec<Calibration>>,
    /// Every rig that the file names, wrong lines among them.
    named: BTreeSet<String>,
    /// Rigs of which a line is wrong.
    spoilt: BTreeSet<String>,
}

/// Reads `rigs.csv`.
pub(super) fn read_rigs(file: &str, bytes: &[u8]) -> (Rigs, Vec<Problem>) {
    let mut seen = HashMap::new();
    let mut kinds: HashMap<String, (String, usize)> = HashMap::new();
    let (mut named, mut spoilt) = (BTreeSet::new(), BTreeSet::new());
    let (lines, problems) = read_table(file, bytes, FIELDS, |cells, row| {
        let name = cells.text(row, RIG).map(str::to_owned);
        named.extend(name.clone());
        let before = cells.problems.len();
        let read = calibration(cells, row, &mut seen, &mut kinds);
        if cells.problems.len() > before {
            spoilt.extend(name);
        }
        read
    });
    let mut rigs = Rigs {
        named,
        spoilt,
        ..Rigs::default()
    };
    for (c, _) in lines {
        rigs.by_rig.entry(c.rig.clone()).or_default().push(c);
    }
    for of in rigs.by_rig.values_mut() {
        of.sort_by(|a, b| a.from.cmp(&b.from));
    }
    (rigs, problems)
}

fn calibration(
    cells: &mut Cells<'_>,
    row: &Row<'_>,
    seen: &mut HashMap<String, usize>,
    kinds: &mut HashMap<String, (String, usize)>,
) -> Option<Calibration> {
    cells.needed(row, RIG, "write the rig's id, for example `frame-1`");
    let rig = cells.id(row, RIG, "rig")?;
    let kind = one_kind(cells, row, &rig, kinds);
    let channel = cells
        .needed(
            row,
            CHANNEL,
            "write the raw column that it reads, for example `force`",
        )?
        .to_owned();
    let canonical = units_of(&channel);
    if canonical.is_empty() {
        let f = Fault::new(
            "rig::unknown-channel",
            format!("`{channel}` is not a raw column of figures of any test"),
            meant(&channel, all_channels()),
        );
        cells.fault(row, CHANNEL, f);
        return None;
    }
    let from = cells.date(row, FROM).unwrap_or_default();
    cells.once(
        row,
        RIG,
        format!("{rig} {channel} {from}").trim().to_owned(),
        seen,
    );
    let unit = unit(cells, row, &channel, &canonical);
    let (low, high) = (
        cells.figure(row, LOW, f64::NEG_INFINITY),
        cells.figure(row, HIGH, f64::NEG_INFINITY),
    );
    if let (Some(a), Some(b)) = (low, high)
        && a >= b
    {
        let f = Fault::new(
            "range::reversed",
            format!("`low` is {a}, and `high` is {b}"),
            "write the lower end of the range in `low`",
        );
        cells.fault(row, LOW, f);
    }
    Some(Calibration {
        rig,
        kind,
        channel,
        from,
        unit,
        low,
        high,
        resolution: cells.figure(row, RESOLUTION, 0.0),
        offset: cells.figure(row, OFFSET, f64::NEG_INFINITY).unwrap_or(0.0),
        offset_u: cells.figure(row, OFFSET_U, 0.0).unwrap_or(0.0),
        gain: cells.figure(row, GAIN, LEAST_GAIN).unwrap_or(1.0),
        gain_u: cells.figure(row, GAIN_U, 0.0).unwrap_or(0.0),
    })
}

/// The kind of a rig: the same on all its lines that say one.
fn one_kind(
    cells: &mut Cells<'_>,
    row: &Row<'_>,
    rig: &str,
    kinds: &mut HashMap<String, (String, usize)>,
) -> String {
    let kind = cells.owned(row, KIND);
    match kinds.get(rig) {
        Some((known, line)) if !kind.is_empty() && *known != kind => {
            let f = Fault::new(
                "rig::two-kinds",
                format!("`{rig}` is a `{known}` on line {line} and a `{kind}` here"),
                "give the rig one kind",
            );
            cells.fault(row, KIND, f);
        }
        None if !kind.is_empty() => {
            kinds.insert(rig.to_owned(), (kind.clone(), row.at.line));
        }
        _ => {}
    }
    kind
}

fn unit(
    cells: &mut Cells<'_>,
    row: &Row<'_>,
    channel: &str,
    canonical: &[&'static str],
) -> Option<Unit> {
    let written = cells.text(row, UNIT)?.to_owned();
    let fits = |u: &Unit| -> Result<(), Fault> {
        let mut last = Ok(());
        for c in canonical {
            match u.conversion_fault(&Unit::parse(c)?, &written, channel) {
                None => return Ok(()),
                Some(f) => last = Err(f),
            }
        }
        last
    };
    match Unit::parse(&written).and_then(|u| fits(&u).map(|()| u)) {
        Ok(u) => Some(u),
        Err(f) => {
            cells.fault(row, UNIT, f);
            None
        }
    }
}

fn all_channels() -> BTreeSet<&'static str> {
    bench::tests()
        .iter()
        .flat_map(|t| t.columns())
        .filter(|c| matches!(c.kind, Kind::Number { .. }))
        .map(|c| c.name)
        .collect()
}

/// Canonical units in which tests read a column of this name.
fn units_of(channel: &str) -> Vec<&'static str> {
    let mut units: Vec<&'static str> = bench::tests()
        .iter()
        .filter_map(|t| unit_in(*t, channel))
        .collect();
    units.dedup();
    units
}

fn unit_in(test: &dyn BenchTest, channel: &str) -> Option<&'static str> {
    test.columns()
        .iter()
        .find(|c| c.name == channel)
        .filter(|c| matches!(c.kind, Kind::Number { .. }))
        .and_then(Column::unit)
}

impl Rigs {
    /// Rigs of which a line is wrong, and is left out.
    pub(super) fn spoilt(&self) -> &BTreeSet<String> {
        &self.spoilt
    }

    /// The rig of a name such as `frame-1+caliper-2` at a date, for a test's columns.
    ///
    /// The latest calibration up to the date holds; without a date the latest
    /// of all; before the first calibration there is none.
    ///
    /// # Errors
    /// `rig::unknown`, and `rig::channel-twice` where two instruments read one column.
    pub(super) fn at(
        &self,
        name: &str,
        date: Option<&str>,
        test: &dyn BenchTest,
    ) -> Result<Rig, Fault> {
        let mut kinds: Vec<&str> = Vec::new();
        let mut channels: Vec<Channel> = Vec::new();
        for part in name.split('+').map(str::trim) {
            let Some(all) = self.by_rig.get(part) else {
                if self.named.contains(part) {
                    continue;
                }
                return Err(Fault::new(
                    "rig::unknown",
                    format!("the rig `{part}` is not in rigs.csv"),
                    format!(
                        "{}, add it to rigs.csv, or leave the cell blank",
                        meant(part, self.by_rig.keys().map(String::as_str))
                    ),
                ));
            };
            if let Some(kind) = all.iter().map(|c| c.kind.as_str()).find(|k| !k.is_empty()) {
                kinds.push(kind);
            }
            let mut held: BTreeMap<&str, &Calibration> = BTreeMap::new();
            for c in all {
                if date.is_none_or(|d| c.from.as_str() <= d) {
                    held.insert(&c.channel, c);
                }
            }
            for c in held.into_values() {
                if channels.iter().any(|have| have.column == c.channel) {
                    return Err(Fault::new(
                        "rig::channel-twice",
                        format!("two instruments of `{name}` read `{}`", c.channel),
                        "name the one that read it, or give the other's channel its own rig",
                    ));
                }
                if let Some(unit) = unit_in(test, &c.channel) {
                    channels.extend(channel(c, &Unit::parse(unit)?));
                }
            }
        }
        Ok(Rig {
            name: name.to_owned(),
            kind: kinds.join("+"),
            channels,
        })
    }

    /// The greatest energy of a hammer at a date, J: the top of its `hammer` or `energy` range.
    pub(super) fn hammer_j(&self, name: &str, date: Option<&str>) -> Option<f64> {
        let joule = Unit::parse("J").ok()?;
        name.split('+')
            .filter_map(|part| self.by_rig.get(part.trim()))
            .flatten()
            .filter(|c| matches!(c.channel.as_str(), "hammer" | "energy"))
            .filter(|c| date.is_none_or(|d| c.from.as_str() <= d))
            .filter_map(|c| {
                let high = c.high?;
                Some(c.unit.as_ref().map_or(high, |u| u.convert(high, &joule)))
            })
            .next_back()
    }
}

/// A calibration in the canonical unit of a test's column; `None` where its unit is of another kind.
fn channel(c: &Calibration, canonical: &Unit) -> Option<Channel> {
    let from = c.unit.as_ref().unwrap_or(canonical);
    if from.dimension() != canonical.dimension() {
        return None;
    }
    let point = |x: f64| from.convert(x, canonical);
    let span = |x: f64| from.convert_difference(x, canonical);
    // What the instrument shows where the true value is 0 of the canonical unit.
    let at_zero = c.gain * canonical.convert(0.0, from) + c.offset;
    Some(Channel {
        id: format!("{}/{}/{}", c.rig, c.channel, c.from).into(),
        column: c.channel.clone(),
        low: c.low.map(point),
        high: c.high.map(point),
        resolution: c.resolution.map(span),
        offset: point(at_zero),
        offset_u: span(c.offset_u),
        gain: c.gain,
        gain_u: c.gain_u,
    })
}
