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
    /// A figure in `unit`, set and not read by an instrument, or one of some words in its place.
    NumberOr {
        /// Canonical unit inside.
        unit: &'static str,
        /// Lowest value that makes sense; below is refused.
        low: f64,
        /// Words that may stand in place of the figure.
        words: &'static [&'static str],
    },
    /// Words of the user's own, kept as written; at most [`LONGEST_TEXT`] characters.
    Text,
    /// The id of one of the user's own properties.
    OwnProperty,
    /// A figure or bound of the own property that the line names, in that property's unit or in
    /// the one that the line's `unit` says.
    OwnFigure,
}

/// Most characters of a cell of [`Kind::Text`].
pub const LONGEST_TEXT: usize = 200;

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

    /// The canonical unit of a column of figures; `None` for words and own figures.
    pub const fn unit(&self) -> Option<&'static str> {
        match self.kind {
            Kind::Number { unit, .. } | Kind::NumberOr { unit, .. } => Some(unit),
            Kind::Word(_) | Kind::Text | Kind::OwnProperty | Kind::OwnFigure => None,
        }
    }

    /// A column of any other kind.
    pub const fn of(name: &'static str, need: Need, kind: Kind, about: &'static str) -> Self {
        Column {
            name,
            need,
            kind,
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
