//! Properties that no bench test here gives: from the catalog, stated values or the polymer table.

use crate::belief::believed::{Belief, Inner};
use crate::belief::distribution::Distribution;
use crate::belief::{Evidence, Grade, Material, Note, Road};
use crate::property::chemical::{CHEMICALS, attack};
use crate::property::{Ask, Polymer, Property, Sense, polymer};

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

/// What the tables say of a polymer: a figure, one standard deviation of it, and its status.
struct Tabled {
    figure: f64,
    sd: f64,
    status: String,
}

fn tabled(p: &Polymer, row: &Property, ask: &Ask) -> Option<Tabled> {
    let figure = match row.id.as_str() {
        "thermal-expansion" => p.expansion,
        "poisson-ratio" => p.poisson,
        "bulk-modulus" => p.bulk_mpa,
        "conductivity" => p.conductivity,
        "fatigue-share" => p.fatigue,
        "dynamic-stiffening" => p.dynamic,
        "sun-class" => p.sun,
        id => {
            let class = CHEMICALS.iter().find(|c| c.property == id)?.class;
            return attack(p.id, class, ask.temperature_c).map(|a| Tabled {
                figure: a.figure,
                sd: a.sd,
                status: a.status,
            });
        }
    };
    Some(Tabled {
        figure,
        sd: row.spread.sd,
        status: p.status.to_owned(),
    })
}

/// Whether a blend is as bad as the worse of its parents: each phase cracks or swells by itself.
fn worse_counts(row: &Property) -> bool {
    row.id.as_str() == "sun-class" || CHEMICALS.iter().any(|c| c.property == row.id.as_str())
}

/// The belief of an auxiliary property: the material's own line or stated value, else the polymer's
/// stated value, else the polymer table; a blend takes its parents' mean, made wide by their difference,
/// or the worse parent where each phase fails by itself (sun, chemicals).
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
        let b = table(evidence, material, row, ask, key);
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

fn table(
    evidence: &Evidence,
    material: &Material,
    row: &Property,
    ask: &Ask,
    key: String,
) -> Belief {
    let parents: Vec<(Tabled, f64)> = material
        .polymers
        .iter()
        .filter_map(|p| tabled(polymer(p)?, row, ask))
        .filter_map(|t| {
            let g = row.scale.forward(t.figure);
            g.is_finite().then_some((t, g))
        })
        .collect();
    let mut b = Belief::absent(row.scale, key);
    let n = parents.len() as f64;
    let mean = parents.iter().map(|p| p.1).sum::<f64>() / n;
    let worse = |a: &&(Tabled, f64), b: &&(Tabled, f64)| match row.sense {
        Sense::Less => a.1.total_cmp(&b.1),
        _ => b.1.total_cmp(&a.1),
    };
    let worst = worse_counts(row)
        .then(|| parents.iter().max_by(worse))
        .flatten();
    if worst.is_some() && parents.len() < material.polymers.len() {
        // The parent of which nothing is known may be the worse one.
        return b;
    }
    let Some((first, at)) = worst.map_or_else(
        || parents.first().map(|p| (&p.0, mean)),
        |p| Some((&p.0, p.1)),
    ) else {
        return b;
    };
    let apart = match worst {
        Some(_) => 0.0,
        None => parents.iter().map(|p| (p.1 - at).powi(2)).sum::<f64>() / n,
    };
    b.grade = Grade::Borrowed;
    b.notes.push(Note::Assumed(first.status.clone()));
    b.inner = Inner::Spread(Box::new(certain(evidence, at, first.sd.powi(2) + apart)));
    b
}

/// A figure that is unsure by `variance` and the same for every part.
pub(super) fn certain(evidence: &Evidence, at: f64, variance: f64) -> Distribution {
    Distribution::certain(evidence.chi(f64::INFINITY), at, variance)
}
