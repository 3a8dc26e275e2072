//! Cautions that a material raises in a use, beside those that the use raises by itself.

use crate::belief::{Evidence, Note};
use crate::duty::{Case, Caution, MaterialFacts, cracking};
use crate::judge::{Candidate, Judgement, Standing};
use crate::property::{Ask, Moisture, Polymer, PolymerKind, polymer};

/// A caution, the materials that raise it, and by what.
#[derive(Clone, Debug, PartialEq)]
pub struct MaterialCaution {
    /// The caution of the rule book.
    pub caution: Caution,
    /// Materials in listed order.
    pub materials: Vec<String>,
    /// What raised it, a line for each material.
    pub by: Vec<String>,
}

impl MaterialCaution {
    /// The same for one material; `None` where it does not raise it.
    pub fn of(&self, material: &str) -> Option<Self> {
        let (materials, by) = self
            .materials
            .iter()
            .cloned()
            .zip(self.by.iter().cloned())
            .filter(|(m, _)| m == material)
            .unzip();
        let one = MaterialCaution {
            caution: self.caution.clone(),
            materials,
            by,
        };
        (!one.materials.is_empty()).then_some(one)
    }
}

/// The cautions that candidates raise, in the order they are met; the ruled out raise none.
pub fn material_cautions(
    case: &Case,
    judgement: &Judgement,
    evidence: &Evidence,
) -> Vec<MaterialCaution> {
    let mut all: Vec<MaterialCaution> = Vec::new();
    for c in &judgement.candidates {
        if c.standing == Standing::RuledOut {
            continue;
        }
        for raised in crate::duty::material_cautions(&facts(case, c, evidence)) {
            let by = format!("{} ({})", c.material, raised.by.join("; "));
            match all.iter_mut().find(|m| m.caution.id == raised.caution.id) {
                Some(m) => {
                    m.materials.push(c.material.clone());
                    m.by.push(by);
                }
                None => all.push(MaterialCaution {
                    materials: vec![c.material.clone()],
                    by: vec![by],
                    caution: raised.caution,
                }),
            }
        }
    }
    all
}

fn facts(case: &Case, c: &Candidate, evidence: &Evidence) -> MaterialFacts {
    let notes = || c.limits.iter().flat_map(|l| &l.notes).map(|(_, n)| n);
    let life_h = case.setting.life_h;
    // A note says how many decades the life lies past the longest reading.
    let longest_run_h = notes()
        .filter_map(|n| match n {
            Note::BeyondDecades(d) => Some(life_h / 10f64.powf(*d)),
            _ => None,
        })
        .fold(None, |least: Option<f64>, h| {
            Some(least.map_or(h, |l| l.min(h)))
        });
    let is = |which: fn(&Polymer) -> bool| {
        evidence
            .materials()
            .iter()
            .any(|m| m.id == c.material && m.polymers.iter().any(|p| polymer(p).is_some_and(which)))
    };
    MaterialFacts {
        hottest_c: case.setting.hottest_c(),
        softening_c: evidence
            .believe(&c.material, &Ask::room("softening-onset"))
            .mean_quantile(0.05),
        life_h,
        longest_run_h,
        polyamide: is(|p| p.polyamide),
        amorphous: is(|p| p.kind == PolymerKind::Amorphous),
        cracking: cracking(&case.setting),
        hidden: !case.setting.harm.inspected,
        dried_data: notes().any(|n| {
            matches!(
                n,
                Note::DryOnly
                    | Note::MoistureServes {
                        tested: Moisture::Dried,
                        ..
                    }
            )
        }),
    }
}
