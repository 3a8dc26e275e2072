//! A specimen's cells as they were written, for tests of which no figure is made.

use crate::bench::{BenchTest, Specimen};

/// What stands in a raw cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Stands {
    /// A figure, in the column's canonical unit.
    Figure(f64),
    /// A word or words.
    Word(String),
}

/// One filled raw cell of a specimen.
#[derive(Clone, Debug, PartialEq)]
pub struct Written {
    /// The column's name.
    pub name: &'static str,
    /// What stands there.
    pub stands: Stands,
    /// Canonical unit of a figure; empty for words.
    pub unit: &'static str,
}

/// The filled raw cells of a specimen in the order of its test's columns; of several lines the first
/// that has it.
pub fn written(test: &dyn BenchTest, s: &Specimen) -> Vec<Written> {
    test.columns()
        .iter()
        .filter_map(|c| {
            let stands = match (s.word(c.name), s.once(c.name)) {
                (Some(word), _) => Stands::Word(word.to_owned()),
                (None, Some(x)) => Stands::Figure(x),
                (None, None) => return None,
            };
            let unit = match stands {
                Stands::Figure(_) => c.unit().unwrap_or(""),
                Stands::Word(_) => "",
            };
            Some(Written {
                name: c.name,
                stands,
                unit,
            })
        })
        .collect()
}
