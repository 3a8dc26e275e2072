//! The columns of a summary table: what each asks of every material.

use crate::advise::fitness::COMPARED_AT_H;
use crate::belief::{Evidence, MaterialKind};
use crate::bench::{Value, find};
use crate::property::{Ask, Lies, Moisture, Property, ROOM_C, Sense};
use std::collections::BTreeMap;

/// What a line of `materials.csv` says, as a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Listed {
    /// Title.
    Title,
    /// Polymer, a blend's larger share first.
    Polymer,
    /// Hardness or filler grade as written.
    Grade,
    /// What it is for: candidate, reference, surface.
    Kind,
    /// Drying temperature and time.
    Drying,
    /// Nozzle window.
    Nozzle,
    /// Bed window.
    Bed,
    /// Spool.
    Spool,
    /// Note.
    Note,
}

const LISTED: &[(&str, Listed)] = &[
    ("title", Listed::Title),
    ("polymer", Listed::Polymer),
    ("grade", Listed::Grade),
    ("kind", Listed::Kind),
    ("drying", Listed::Drying),
    ("nozzle", Listed::Nozzle),
    ("bed", Listed::Bed),
    ("spool", Listed::Spool),
    ("note", Listed::Note),
];

impl Listed {
    /// The word it is asked by.
    pub fn word(self) -> &'static str {
        LISTED.iter().find(|l| l.1 == self).map_or("", |l| l.0)
    }
    /// What a word asks for.
    pub fn from_word(word: &str) -> Option<Self> {
        LISTED.iter().find(|l| l.0 == word).map(|l| l.1)
    }
    /// All words.
    pub fn words() -> impl Iterator<Item = &'static str> {
        LISTED.iter().map(|l| l.0)
    }
}

/// The word of a kind of material in files.
pub fn kind_word(kind: MaterialKind) -> &'static str {
    match kind {
        MaterialKind::Candidate => "candidate",
        MaterialKind::Reference => "reference",
        MaterialKind::Surface => "surface",
    }
}

/// What a column shows.
#[derive(Clone, Debug, PartialEq)]
pub enum Subject {
    /// What materials.csv says.
    Listed(Listed),
    /// A property under conditions; a life and a surface that it leaves open are filled in.
    Property(Ask),
}

impl Subject {
    /// A property asked for with a life or a surface left open gets them here: the usual life where
    /// readings of it run over time, and the surface on which the most materials of the catalog were
    /// tested (the first by name among equals). Both are the same whichever materials are shown.
    pub fn settled(self, evidence: &Evidence, life_h: Option<f64>) -> Self {
        let Subject::Property(mut ask) = self else {
            return self;
        };
        let row = evidence.properties().get(ask.property.as_str());
        if runs_over_time(evidence, &ask) {
            ask.life_h = ask.life_h.or(life_h).or(Some(COMPARED_AT_H));
        } else {
            ask.life_h = None;
        }
        if row.is_some_and(|r| r.by_counterface) && ask.counterface.is_none() {
            ask.counterface = commonest_surface(evidence, &ask);
        }
        Subject::Property(ask)
    }

    /// How it is written as a column: `tensile-strength/flat`, `wear-rate/steel-smooth/top`.
    pub fn id(&self, evidence: &Evidence) -> String {
        let ask = match self {
            Subject::Listed(l) => return l.word().to_owned(),
            Subject::Property(ask) => ask,
        };
        let mut parts = vec![ask.property.to_string()];
        if let Some(row) = evidence.properties().get(ask.property.as_str()) {
            parts.extend(told_lies(row, ask).map(|l| lies_word(l).to_owned()));
        }
        parts.extend(ask.counterface.clone());
        parts.extend(ask.face.map(|f| f.word().to_owned()));
        if (ask.temperature_c - ROOM_C).abs() > 0.0 {
            parts.push(format!("{}degC", ask.temperature_c));
        }
        if ask.moisture != Moisture::Room {
            parts.push(ask.moisture.word().to_owned());
        }
        parts.extend(ask.life_h.map(|h| format!("{h}h")));
        parts.extend(ask.stress_mpa.map(|s| format!("{s}MPa")));
        parts.join("/")
    }

    /// Which way is better; of what materials.csv says the lowest stands first.
    pub fn sense(&self, evidence: &Evidence) -> Sense {
        match self {
            Subject::Listed(_) => Sense::Less,
            Subject::Property(ask) => evidence
                .properties()
                .get(ask.property.as_str())
                .map_or(Sense::Either, |p| p.sense),
        }
    }
}

/// How the load lies, as asked or by the property's default; `None` where direction is no matter.
pub(super) fn lies(row: &Property, ask: &Ask) -> Option<Lies> {
    row.direction.map(|d| ask.lies.unwrap_or(d.lies()))
}

/// The same where a reader has to be told: where it was asked for, or the test cannot do without.
pub(super) fn told_lies(row: &Property, ask: &Ask) -> Option<Lies> {
    let asks = || row.test.and_then(find).is_some_and(|t| t.needs_direction());
    lies(row, ask).filter(|_| ask.lies.is_some() || asks())
}

/// `flat` stands for flat and edge, as in the sheets of most testers.
pub fn lies_word(lies: Lies) -> &'static str {
    match lies {
        Lies::InPlane => "flat",
        Lies::Across => "across",
    }
}

fn runs_over_time(evidence: &Evidence, ask: &Ask) -> bool {
    evidence
        .runs()
        .iter()
        .flat_map(|r| &r.specimens)
        .flat_map(|s| &s.observations)
        .any(|o| {
            o.property == ask.property && (o.hours.is_some() || matches!(o.value, Value::Curve(_)))
        })
}

fn commonest_surface(evidence: &Evidence, ask: &Ask) -> Option<String> {
    let mut seen: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for run in evidence.runs().iter().filter(|r| r.run.set_aside.is_none()) {
        let gives = run
            .specimens
            .iter()
            .flat_map(|s| &s.observations)
            .any(|o| o.property == ask.property);
        if let (true, Some(surface), Some(material)) = (
            gives,
            run.run.condition.counterface.as_deref(),
            run.run.material.as_deref(),
        ) {
            let on = seen.entry(surface).or_default();
            if !on.contains(&material) {
                on.push(material);
            }
        }
    }
    let most = seen.values().map(Vec::len).max()?;
    seen.into_iter()
        .find(|(_, m)| m.len() == most)
        .map(|(s, _)| s.to_owned())
}
