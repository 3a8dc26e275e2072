//! The cautions that follow from one material and not from the use.

use super::when::When;
use super::{BOOK, Raised, short};

/// What is known of one material where cautions follow from it and not from the use.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct MaterialFacts {
    /// Hottest the part gets, service or storage, degC.
    pub hottest_c: f64,
    /// Softening onset, degC, as far as it is known.
    pub softening_c: Option<f64>,
    /// Life of the part, h.
    pub life_h: f64,
    /// Longest creep or relaxation run that a limit rests on, h; `None` where no limit rests on one.
    pub longest_run_h: Option<f64>,
    /// Whether the material is a polyamide.
    pub polyamide: bool,
    /// Whether a limit rests on data taken dried.
    pub dried_data: bool,
    /// Whether a phase of the material is amorphous and stiff.
    pub amorphous: bool,
    /// The case's chemicals in which such a polymer cracks under stress.
    pub cracking: Vec<String>,
    /// Whether nobody can look at the part in use.
    pub hidden: bool,
}

/// Distance kept from softening, K: structural rules for fibre composites stay
/// 20 K below the glass transition (CEN/TS 19101, verified in source).
pub const SOFTENING_DISTANCE_K: f64 = 20.0;
/// A figure is a guess beyond this many times the longest run: common practice, no source.
const TIMES_LONGEST_RUN: f64 = 10.0;

/// The cautions that follow from one material and not from the use: too near
/// to softening, beyond the tested time, polyamide judged on dried data.
pub fn material_cautions(facts: &MaterialFacts) -> Vec<Raised> {
    let mut found: Vec<(&str, String)> = Vec::new();
    if facts.polyamide && facts.dried_data {
        found.push((
            "moist-polyamide",
            "a polyamide judged on data taken dried".to_owned(),
        ));
    }
    if facts.amorphous && !facts.cracking.is_empty() {
        found.push((
            "stress-cracking",
            format!("amorphous, with {}", facts.cracking.join(", ")),
        ));
    }
    let (times, said) = if facts.hidden {
        (1.0, "longer than")
    } else {
        (TIMES_LONGEST_RUN, "more than ten times")
    };
    if let Some(run_h) = facts.longest_run_h
        && facts.life_h > times * run_h
    {
        found.push((
            "beyond-test-time",
            format!(
                "a life of {} h, {said} the longest run of {} h{}",
                short(facts.life_h),
                short(run_h),
                if facts.hidden {
                    ", and nobody can look at the part"
                } else {
                    ""
                }
            ),
        ));
    }
    if let Some(onset_c) = facts.softening_c
        && facts.hottest_c > onset_c - SOFTENING_DISTANCE_K
    {
        found.push((
            "thermal-margin",
            format!(
                "{} degC, within 20 K of softening at {} degC",
                short(facts.hottest_c),
                short(onset_c)
            ),
        ));
    }
    let mut raised: Vec<Raised> = BOOK
        .rules
        .iter()
        .filter(|r| r.when.contains(&When::Material))
        .filter_map(|r| {
            let by: Vec<String> = found
                .iter()
                .filter(|(id, _)| *id == r.caution.id)
                .map(|(_, why)| why.clone())
                .collect();
            (!by.is_empty()).then(|| Raised {
                caution: r.caution.clone(),
                by,
            })
        })
        .collect();
    raised.sort_by_key(|r| r.caution.severity);
    raised
}
