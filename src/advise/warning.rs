//! Cautions that a material raises in a use, beside those that the use raises by itself.

use crate::belief::{Evidence, Note};
use crate::duty::{Case, Caution, cautions};
use crate::judge::{Candidate, Judgement, Standing};
use crate::property::{Ask, polymer};

/// Distance from the softening onset below which the caution on heat is raised, K
/// (the caution's own text says where its 20 K comes from).
const HEAT_MARGIN_K: f64 = 20.0;
/// Decades past the longest reading from which the caution on time is raised.
const TIME_DECADES: f64 = 1.0;

/// A caution and the materials that raise it.
#[derive(Clone, Debug, PartialEq)]
pub struct MaterialCaution {
    /// The caution of the rule book.
    pub caution: &'static Caution,
    /// Materials in listed order.
    pub materials: Vec<String>,
}

/// The cautions that candidates raise; the ruled out raise none.
pub fn material_cautions(
    case: &Case,
    judgement: &Judgement,
    evidence: &Evidence,
) -> Vec<MaterialCaution> {
    type Rule = fn(&Case, &Candidate, &Evidence) -> bool;
    const RULES: [(&str, Rule); 3] = [
        ("thermal-margin", near_softening),
        ("moist-polyamide", dry_polyamide),
        ("beyond-test-time", beyond_time),
    ];
    RULES
        .into_iter()
        .filter_map(|(id, raises)| {
            let caution = cautions().iter().find(|c| c.id == id)?;
            let materials: Vec<String> = judgement
                .candidates
                .iter()
                .filter(|c| c.standing != Standing::RuledOut && raises(case, c, evidence))
                .map(|c| c.material.clone())
                .collect();
            (!materials.is_empty()).then_some(MaterialCaution { caution, materials })
        })
        .collect()
}

fn near_softening(case: &Case, c: &Candidate, evidence: &Evidence) -> bool {
    evidence
        .believe(&c.material, &Ask::room("softening-onset"))
        .mean_quantile(0.05)
        .is_some_and(|onset| case.setting.hottest_c() + HEAT_MARGIN_K > onset)
}

fn dry_polyamide(_: &Case, c: &Candidate, evidence: &Evidence) -> bool {
    let is_polyamide = evidence.materials().iter().any(|m| {
        m.id == c.material
            && m.polymers
                .iter()
                .any(|p| polymer(p).is_some_and(|p| p.polyamide))
    });
    is_polyamide && any_note(c, |n| matches!(n, Note::DryOnly))
}

fn beyond_time(_: &Case, c: &Candidate, _: &Evidence) -> bool {
    any_note(
        c,
        |n| matches!(n, Note::BeyondDecades(d) if *d >= TIME_DECADES),
    )
}

fn any_note(c: &Candidate, is: impl Fn(&Note) -> bool) -> bool {
    c.limits
        .iter()
        .any(|l| l.notes.iter().any(|(_, note)| is(note)))
}
