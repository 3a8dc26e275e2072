//! Warmer than the runs: the straight line on which a falling property goes to nothing at the softening
//! onset, or the fall that was measured where that is steeper.

use crate::belief::{Belief, Evidence, Grade, Note};
use crate::property::{Ask, PropertyId, Scale};

/// Chance left below the onset that is taken.
const LOW: f64 = 0.05;

/// How a property fell between two runs: temperature, degC, and mean on the natural scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Fall {
    pub(super) cooler: (f64, f64),
    pub(super) warmer: (f64, f64),
}

/// Where a line warmer than the runs starts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct LineFrom {
    /// Test temperature, degC.
    pub(super) tested_c: f64,
    /// The fall up to there, where it was measured.
    pub(super) fall: Option<Fall>,
}

impl Fall {
    /// Share left of the warmer run's figure where the fall goes on as it was on the natural scale.
    fn share(&self, scale: Scale, asked_c: f64) -> f64 {
        let per_k = (self.warmer.1 - self.cooler.1) / (self.warmer.0 - self.cooler.0);
        let change = per_k * (asked_c - self.warmer.0);
        match scale {
            Scale::Log => change.exp().min(1.0),
            Scale::Plain if self.warmer.1 > 0.0 => (1.0 + change / self.warmer.1).clamp(0.0, 1.0),
            Scale::Plain => 0.0,
        }
    }
}

/// Share left on the assumed line: 1 up to `start_c`, 0 from `onset_c` on.
fn on_line(start_c: f64, onset_c: f64, asked_c: f64) -> f64 {
    if asked_c >= onset_c {
        0.0
    } else if asked_c <= start_c {
        1.0
    } else {
        ((onset_c - asked_c) / (onset_c - start_c)).clamp(0.0, 1.0)
    }
}

impl LineFrom {
    /// Share left at the asked temperature: on the assumed line, or by the measured fall where that
    /// leaves less.
    pub(super) fn share(&self, scale: Scale, window_k: f64, onset_c: f64, asked_c: f64) -> f64 {
        let line = on_line(self.tested_c + window_k, onset_c, asked_c);
        self.fall
            .map_or(line, |f| f.share(scale, asked_c).min(line))
    }
}

/// What is left of a figure in the heat.
#[derive(Clone, Debug)]
pub(super) struct Left {
    /// Share, 0 to 1.
    pub(super) share: f64,
    /// Grade of the onset; own measured bounds count as measured.
    pub(super) grade: Grade,
    /// Whether the share is assumed, rather than within the window.
    pub(super) assumed: bool,
    /// Notes.
    pub(super) notes: Vec<Note>,
}

/// The softening onset that is taken, degC, and its grade: the low 5 % of the next part, a bounded
/// onset taken as exact; `None` where nothing is known of it.
fn onset(evidence: &Evidence, material: &str, ask: &Ask) -> Option<(f64, Grade)> {
    let ask = Ask {
        moisture: ask.moisture,
        ..Ask::of(PropertyId::fixed("softening-onset"))
    };
    let onset = evidence.believe(material, &ask);
    let taken: &Belief = onset.as_exact.as_deref().unwrap_or(&onset);
    Some((taken.next_quantile(LOW)?, onset.grade))
}

/// The softening onset by own readings, degC.
pub(super) fn measured_onset(evidence: &Evidence, material: &str, ask: &Ask) -> Option<f64> {
    onset(evidence, material, ask)
        .filter(|o| o.1 >= Grade::Bounded)
        .map(|o| o.0)
}

/// Share left at the asked temperature of a figure tested colder than that.
///
/// From 1 at the test temperature plus the window straight to 0 at the onset, and 0 from there on;
/// less where the runs fell faster than that. The onset counts within
/// the window too. `None` past the window where no onset is known at all.
/// The line is an assumption (common practice, no source): real curves hold longer and drop faster.
pub(super) fn left(
    evidence: &Evidence,
    material: &str,
    scale: Scale,
    ask: &Ask,
    from: &LineFrom,
) -> Option<Left> {
    let asked_c = ask.temperature_c;
    let window_k = evidence.policy().temperature_window_k;
    let fallen = from.fall.map(|f| {
        let share = f.share(scale, asked_c);
        let note = Note::MeasuredFall {
            low_c: f.cooler.0,
            high_c: f.warmer.0,
            asked_c,
            share,
        };
        (share, note)
    });
    let onset = onset(evidence, material, ask);
    let softened = onset.is_some_and(|(onset_c, grade)| {
        grade >= Grade::Bounded && from.tested_c < onset_c && onset_c <= asked_c
    });
    if asked_c <= from.tested_c + window_k && !softened {
        let (share, note) = fallen.unwrap_or((
            1.0,
            Note::WithinWindow {
                tested_c: from.tested_c,
                asked_c,
            },
        ));
        return Some(Left {
            share,
            grade: Grade::Measured,
            assumed: false,
            notes: vec![note],
        });
    }
    let (onset_c, grade) = onset?;
    let line = on_line(from.tested_c + window_k, onset_c, asked_c);
    let (share, note) = match fallen {
        Some((share, note)) if share < line => (share, note),
        _ => (
            line,
            Note::HeatLine {
                tested_c: from.tested_c,
                asked_c,
                onset_c,
                share: line,
            },
        ),
    };
    let mut notes = vec![note];
    let measured = grade >= Grade::Bounded;
    if !measured {
        notes.push(Note::NoOnset);
    }
    Some(Left {
        share,
        grade: if measured { Grade::Measured } else { grade },
        assumed: true,
        notes,
    })
}
