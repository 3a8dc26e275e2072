//! Properties that no bench test here gives: from the catalog, stated values or the polymer table.

use crate::belief::believed::{Belief, Inner};
use crate::belief::distribution::Distribution;
use crate::belief::{Evidence, Grade, Material, Note, Road};
use crate::property::{Ask, Polymer, Property, polymer};

/// The figure that `materials.csv` itself holds, where the property is one of its columns.
pub(super) fn column(material: &Material, property: &str) -> Option<Option<f64>> {
    match property {
        "price" => Some(material.price_per_kg),
        "nozzle-temperature" => Some(material.nozzle_c.0),
        "bed-temperature" => Some(material.bed_c.0),
        "dry-time" => Some(material.dry_time_h),
        _ => None,
    }
}

/// The polymer table's figure.
fn tabled(p: &Polymer, property: &str) -> Option<f64> {
    match property {
        "thermal-expansion" => Some(p.expansion),
        "poisson-ratio" => Some(p.poisson),
        "bulk-modulus" => Some(p.bulk_mpa),
        "conductivity" => Some(p.conductivity),
        "fatigue-share" => Some(p.fatigue),
        "dynamic-stiffening" => Some(p.dynamic),
        "sun-class" => Some(p.sun),
        _ => None,
    }
}

/// The belief of an auxiliary property: the material's own line or stated value, else the polymer's
/// stated value, else the polymer table; a blend takes its parents' mean, made wide by their difference.
///
/// The spread is of the figure itself: parts of one material share it.
pub(super) fn believe(
    evidence: &Evidence,
    material: &Material,
    row: &Property,
    ask: &Ask,
    key: String,
) -> (Belief, Road) {
    let id = row.id.as_str();
    let (mut b, road) = if let Some(Some(figure)) = column(material, id) {
        (
            Belief::known(row.scale, key, Grade::Stated, figure),
            Road::Column,
        )
    } else if let Some(s) = evidence.stated_belief(material, row, ask, &key) {
        (s, Road::Stated)
    } else {
        let b = table(evidence, material, row, key);
        let road = if b.is_absent() {
            Road::Nothing
        } else {
            Road::Table
        };
        (b, road)
    };
    b.auxiliary = true;
    (b, road)
}

fn table(evidence: &Evidence, material: &Material, row: &Property, key: String) -> Belief {
    let parents: Vec<(&Polymer, f64)> = material
        .polymers
        .iter()
        .filter_map(|p| polymer(p))
        .filter_map(|p| {
            let g = row.scale.forward(tabled(p, row.id.as_str())?);
            g.is_finite().then_some((p, g))
        })
        .collect();
    let mut b = Belief::absent(row.scale, key);
    let Some((first, _)) = parents.first() else {
        return b;
    };
    let n = parents.len() as f64;
    let at = parents.iter().map(|p| p.1).sum::<f64>() / n;
    let apart = parents.iter().map(|p| (p.1 - at).powi(2)).sum::<f64>() / n;
    b.grade = Grade::Borrowed;
    b.notes.push(Note::Assumed(first.status.to_owned()));
    b.inner = Inner::Spread(Box::new(certain(
        evidence,
        at,
        row.spread.sd.powi(2) + apart,
    )));
    b
}

/// A figure that is unsure by `variance` and the same for every part.
pub(super) fn certain(evidence: &Evidence, at: f64, variance: f64) -> Distribution {
    Distribution::certain(evidence.chi(f64::INFINITY), at, variance)
}
