//! The raw columns of a test's sheet.

/// Whether a cell must be filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// On the first line of every specimen; equal or blank on its other lines.
    Once,
    /// On every line.
    Each,
    /// May be blank.
    Optional,
}

/// What a cell holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kind {
    /// A figure in `unit` (any unit that fits may stand in the header), read by
    /// an instrument of this default resolution, in the same unit.
    Number {
        /// Canonical unit inside.
        unit: &'static str,
        /// Resolution where no rig says otherwise; 0 for set values such as a speed.
        resolution: f64,
        /// Lowest value that makes sense; below is refused.
        low: f64,
    },
    /// One of some words.
    Word(&'static [&'static str]),
}

/// A raw column.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Column {
    /// Name in the header, before its unit.
    pub name: &'static str,
    /// Whether it must be filled.
    pub need: Need,
    /// What it holds.
    pub kind: Kind,
    /// A line for the person at the bench.
    pub about: &'static str,
}

impl Column {
    /// A column of figures.
    pub const fn number(
        name: &'static str,
        need: Need,
        unit: &'static str,
        resolution: f64,
        low: f64,
        about: &'static str,
    ) -> Self {
        Column {
            name,
            need,
            kind: Kind::Number {
                unit,
                resolution,
                low,
            },
            about,
        }
    }

    /// A column of words.
    pub const fn word(
        name: &'static str,
        need: Need,
        words: &'static [&'static str],
        about: &'static str,
    ) -> Self {
        Column {
            name,
            need,
            kind: Kind::Word(words),
            about,
        }
    }
}
