//! What is the same on all lines of a run: its rig and its condition.

use super::Gatherer;
use super::fields::{ANNEALED, COMMON, COUNTERFACE, DIRECTION, FACE, MOISTURE, RIG, TEMPERATURE};
use crate::bench::Rig;
use crate::catalog::cells::read_annealed;
use crate::catalog::csv_text::Row;
use crate::catalog::words::known_surface;
use crate::problem::Fault;
use crate::property::{Condition, Direction, Face, Moisture};
use crate::quantity::Reading;
use std::sync::Arc;

impl Gatherer<'_, '_, '_> {
    pub(super) fn rig(&mut self, row: &Row<'_>, date: Option<&str>) -> Arc<Rig> {
        let name = self.text(row, RIG).unwrap_or("unlisted").to_owned();
        let key = (name, date.map(str::to_owned));
        if let Some(rig) = self.rigs.get(&key) {
            return Arc::clone(rig);
        }
        let found = match self.known {
            Some(k) if key.0 != "unlisted" => (k.rig)(&key.0, date),
            _ => Ok(unlisted(&key.0)),
        };
        match found {
            Ok(rig) => {
                let rig = Arc::new(rig);
                self.rigs.insert(key, Arc::clone(&rig));
                rig
            }
            Err(f) => {
                self.fault(row, RIG, f);
                Arc::new(unlisted(&key.0))
            }
        }
    }

    pub(super) fn condition(&mut self, row: &Row<'_>) -> Condition {
        let mut c = Condition {
            direction: self.cells.word(
                row,
                DIRECTION,
                Direction::from_word,
                &["flat", "edge", "across"],
            ),
            face: self
                .cells
                .word(row, FACE, Face::from_word, &["top", "bottom", "side"]),
            ..Condition::default()
        };
        if let Some(m) = self.cells.word(
            row,
            MOISTURE,
            Moisture::from_word,
            &["dried", "room", "wet"],
        ) {
            c.moisture = m;
        }
        if let Some(cell) = self.text(row, TEMPERATURE) {
            match self.cells.columns.reading(TEMPERATURE, cell) {
                Ok(Reading::Exact(t)) if t >= -273.15 => c.temperature_c = t,
                Ok(_) => {
                    let f = Fault::new(
                        "temperature::malformed",
                        format!("`{cell}` is not the temperature of a test"),
                        "write one figure, for example `23`",
                    );
                    self.fault(row, TEMPERATURE, f);
                }
                Err(f) => self.fault(row, TEMPERATURE, f),
            }
        }
        if let Some(cell) = self.text(row, ANNEALED) {
            match read_annealed(cell) {
                Ok(a) => c.annealed = a,
                Err(f) => self.fault(row, ANNEALED, f),
            }
        }
        if let Some(cell) = self.text(row, COUNTERFACE) {
            let own = self.known.map_or(&[][..], |k| k.surfaces);
            match known_surface(cell, own) {
                Ok(()) => c.counterface = Some(cell.to_owned()),
                Err(f) if self.known.is_some() => self.fault(row, COUNTERFACE, f),
                Err(_) => c.counterface = self.cells.id(row, COUNTERFACE, "surface"),
            }
        }
        if self.known.is_some() {
            self.must_say(
                row,
                DIRECTION,
                self.test.needs_direction(),
                c.direction.is_some(),
            );
            self.must_say(
                row,
                COUNTERFACE,
                self.test.needs_counterface(),
                c.counterface.is_some(),
            );
        }
        c
    }

    /// Refuses a blank direction or counterface where a guess would be evidence from nowhere.
    fn must_say(&mut self, row: &Row<'_>, field: usize, needed: bool, said: bool) {
        if !needed || said || !self.cells.columns.has(field) || self.text(row, field).is_some() {
            return;
        }
        let (code, fix) = if field == DIRECTION {
            ("direction::blank", "write `flat`, `edge` or `across`")
        } else {
            (
                "counterface::blank",
                "write the surface, for example `steel-smooth`",
            )
        };
        let name = COMMON.get(field).map_or("", |c| c.name);
        let f = Fault::new(
            code,
            format!("a {} run must say its {name}", self.test.id()),
            fix,
        );
        self.fault(row, field, f);
    }
}

/// A rig of which nothing but its name is known.
fn unlisted(name: &str) -> Rig {
    Rig {
        name: name.to_owned(),
        ..Rig::default()
    }
}
