//! A line's own cells: raw readings, outcome, set-aside log.

use super::Gatherer;
use super::fields::{COMMON, OUTCOME, SET_ASIDE};
use crate::bench::{Cell, Column, Kind, LONGEST_TEXT, Need, Outcome, RawCells};
use crate::catalog::cells::read_set_aside;
use crate::catalog::csv_text::Row;
use crate::catalog::header::read_figure;
use crate::catalog::row::unknown_word;
use crate::catalog::words::meant;
use crate::problem::Fault;
use std::borrow::Cow;

impl Gatherer<'_, '_, '_> {
    pub(super) fn set_aside(&mut self, row: &Row<'_>) -> Option<String> {
        let log = self.text(row, SET_ASIDE)?;
        match read_set_aside(log, self.known.and_then(|k| k.as_of)) {
            Ok(state) => state,
            Err(f) => {
                self.fault(row, SET_ASIDE, f);
                None
            }
        }
    }

    pub(super) fn outcome(&mut self, row: &Row<'_>) -> Outcome {
        let Some(cell) = self.text(row, OUTCOME) else {
            return Outcome::Measured;
        };
        match self.allowed(cell) {
            Ok(o) => o,
            Err(f) => {
                self.fault(row, OUTCOME, f);
                Outcome::Measured
            }
        }
    }

    /// An outcome word that this test allows.
    fn allowed(&self, word: &str) -> Result<Outcome, Fault> {
        let allows = |o: &Outcome| Outcome::ALWAYS.contains(o) || self.test.outcomes().contains(o);
        let words =
            || Outcome::words().filter(|w| Outcome::from_word(w).is_some_and(|o| allows(&o)));
        match Outcome::from_word(word) {
            Some(o) if allows(&o) => Ok(o),
            Some(_) => Err(Fault::new(
                "outcome::not-here",
                format!("a {} test cannot end as `{word}`", self.test.id()),
                meant("", words()),
            )),
            None if read_figure(word, true).is_ok() => Err(Fault::new(
                "outcome::figure",
                format!("`{word}` is a figure, and `outcome` takes a word"),
                "write it under the column in which it was read; the cells of the line may have slipped by one",
            )),
            None => Err(Fault::new(
                "outcome::unknown",
                format!("`{word}` is not an outcome that is known here"),
                meant(word, words()),
            )),
        }
    }

    /// The raw cells, and the outcome, which may stand in the place of a figure.
    pub(super) fn raw_cells(&mut self, row: &Row<'_>, mut outcome: Outcome) -> (RawCells, Outcome) {
        let mut cells = std::mem::take(&mut self.scratch);
        for (i, column) in self.test.columns().iter().enumerate() {
            let field = COMMON.len() + i;
            let Some(text) = self.text(row, field) else {
                continue;
            };
            match self.raw_cell(row, field, column, text) {
                Ok(cell) => cells.push((column.name, cell)),
                Err(f) => match Outcome::from_word(text).filter(|o| *o != Outcome::Measured) {
                    Some(word) if outcome == Outcome::Measured || outcome == word => {
                        match self.allowed(text) {
                            Ok(_) => outcome = word,
                            Err(f) => self.fault(row, field, f),
                        }
                    }
                    _ => self.fault(row, field, f),
                },
            }
        }
        for (i, column) in self.test.columns().iter().enumerate() {
            let field = COMMON.len() + i;
            if column.need == Need::Each
                && self.cells.columns.has(field)
                && self.text(row, field).is_none()
                && !may_be_blank(outcome)
            {
                self.fault(row, field, blank_cell(column));
            }
        }
        let taken = RawCells::taken(&mut cells);
        self.scratch = cells;
        (taken, outcome)
    }

    fn raw_cell(
        &self,
        row: &Row<'_>,
        field: usize,
        column: &Column,
        text: &str,
    ) -> Result<Cell, Fault> {
        match column.kind {
            Kind::Word(words) => {
                let word = words.iter().find(|w| **w == text);
                word.map(|w| Cell::Word(Cow::Borrowed(w)))
                    .ok_or_else(|| unknown_word(text, column.name, words))
            }
            Kind::Number { low, unit, .. } => self.raw_figure(field, column, text, low, unit),
            Kind::NumberOr { words, .. } if words.contains(&text) => {
                Ok(Cell::Word(text.to_owned().into()))
            }
            Kind::NumberOr { low, unit, words } => {
                let begins_as_figure =
                    |c: char| c.is_ascii_digit() || matches!(c, '-' | '+' | '.' | '<' | '>');
                if text.starts_with(begins_as_figure) {
                    self.raw_figure(field, column, text, low, unit)
                } else {
                    let f = unknown_word(text, column.name, words);
                    let fix = format!("{}, or a figure in {unit}", f.fix);
                    Err(Fault { fix, ..f })
                }
            }
            Kind::Text if text.chars().count() > LONGEST_TEXT => Err(Fault::new(
                "text::too-long",
                format!(
                    "`{}` has {} characters, and {LONGEST_TEXT} are the most",
                    column.name,
                    text.chars().count()
                ),
                "say it shorter, and the rest in `note`",
            )),
            Kind::Text => Ok(Cell::Word(text.to_owned().into())),
            Kind::OwnProperty => self.own_property(text).map(|p| Cell::Word(p.into())),
            Kind::OwnFigure => self.own_figure(row, text).map(Cell::Number),
        }
    }

    fn raw_figure(
        &self,
        field: usize,
        column: &Column,
        text: &str,
        low: f64,
        unit: &str,
    ) -> Result<Cell, Fault> {
        let reading = self.cells.columns.reading(field, text)?;
        let (a, b) = reading.figures();
        if a < low || b.is_some_and(|b| b < low) {
            return Err(Fault::new(
                "reading::too-small",
                format!(
                    "`{text}` is below {low} {unit}, the least that `{}` can be",
                    column.name
                ),
                "write what was read; leave the cell blank where nothing was",
            ));
        }
        Ok(Cell::Number(reading))
    }
}

/// Outcomes that explain a line without its figures.
fn may_be_blank(outcome: Outcome) -> bool {
    outcome.no_evidence()
        || matches!(
            outcome,
            Outcome::NoBreak
                | Outcome::AboveRange
                | Outcome::BelowRange
                | Outcome::BelowResolution
                | Outcome::Collapsed
                | Outcome::Melted
                | Outcome::Ruptured
        )
}

pub(super) fn blank_cell(column: &Column) -> Fault {
    let example = match column.kind {
        Kind::Number { .. } | Kind::OwnFigure => "write the figure".to_owned(),
        Kind::Word(words) => meant("", words.iter().copied()),
        Kind::NumberOr { words, .. } => format!(
            "write the figure, or {}",
            meant("", words.iter().copied()).trim_start_matches("write ")
        ),
        Kind::Text => "write it in a few words".to_owned(),
        Kind::OwnProperty => "write the id of one of your own properties".to_owned(),
    };
    Fault::new(
        "reading::blank",
        format!("`{}` is blank: {}", column.name, column.about),
        format!("{example}, or an outcome such as `slipped` in `outcome`"),
    )
}
