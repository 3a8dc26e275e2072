//! The straight line on which a falling property goes to nothing at the softening onset.

use crate::belief::{Belief, Evidence, Grade, Note};
use crate::property::{Ask, PropertyId};

/// Chance left below the onset that is taken.
const LOW: f64 = 0.05;

/// What is left of a figure in the heat.
#[derive(Clone, Debug)]
pub(super) struct Left {
    /// Share, 0 to 1.
    pub(super) share: f64,
    /// Grade of the onset; own measured bounds count as measured.
    pub(super) grade: Grade,
    /// Notes.
    pub(super) notes: Vec<Note>,
}

/// Share left at the asked temperature of a figure tested at `tested_c`, more than the window colder.
///
/// From 1 at `tested_c` + window straight to 0 at the low 5 % of the softening onset of the next
/// part, a bounded onset taken as exact; 0 from there on. `None` where no onset is known at all. The
/// line is an assumption (common practice, no source): real curves hold longer and drop faster.
pub(super) fn left(evidence: &Evidence, material: &str, ask: &Ask, tested_c: f64) -> Option<Left> {
    let onset_ask = Ask {
        moisture: ask.moisture,
        ..Ask::of(PropertyId::fixed("softening-onset"))
    };
    let onset = evidence.believe(material, &onset_ask);
    let taken: &Belief = onset.as_exact.as_deref().unwrap_or(&onset);
    let onset_c = taken.next_quantile(LOW)?;
    let asked_c = ask.temperature_c;
    let start = tested_c + evidence.policy().temperature_window_k;
    let share = if asked_c >= onset_c {
        0.0
    } else if asked_c <= start {
        1.0
    } else {
        ((onset_c - asked_c) / (onset_c - start)).clamp(0.0, 1.0)
    };
    let mut notes = vec![Note::HeatLine {
        tested_c,
        asked_c,
        onset_c,
        share,
    }];
    let grade = if onset.grade >= Grade::Bounded {
        Grade::Measured
    } else {
        notes.push(Note::NoOnset);
        onset.grade
    };
    Some(Left {
        share,
        grade,
        notes,
    })
}
