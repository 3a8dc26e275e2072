//! Materials and prints: what is missing of them.

use super::doubt;
use crate::belief::MaterialKind;
use crate::catalog::Catalog;
use crate::problem::Problem;
use std::collections::{BTreeMap, BTreeSet};

/// Infill of a solid specimen, %.
const SOLID_PERCENT: f64 = 100.0;
/// Tests whose stresses rest on a solid section.
const NEED_SECTION: &[&str] = &["tensile", "flexure", "impact", "creep"];

pub(super) fn materials(catalog: &Catalog, out: &mut Vec<Problem>) {
    for (m, at) in catalog.materials.iter().zip(&catalog.places.materials) {
        if m.kind != MaterialKind::Candidate {
            continue;
        }
        if m.price_per_kg.is_none() {
            out.push(doubt(
                "material::no-price",
                format!(
                    "`{}` has no price: it earns nothing where cost matters",
                    m.id
                ),
                "fill `price [per kg]`",
                at,
            ));
        }
        let tested = catalog
            .runs
            .iter()
            .any(|r| r.material.as_deref() == Some(&m.id));
        if !tested {
            out.push(doubt(
                "material::untested",
                format!("`{}` has no run of any test", m.id),
                "test it, or take it out",
                at,
            ));
        }
    }
}

pub(super) fn prints(catalog: &Catalog, out: &mut Vec<Problem>) {
    let used: BTreeMap<&str, &str> = catalog
        .runs
        .iter()
        .filter(|r| NEED_SECTION.contains(&r.test))
        .filter_map(|r| Some((r.print.as_deref()?, r.test)))
        .collect();
    for (p, at) in catalog.prints.iter().zip(&catalog.places.prints) {
        let hollow = p.infill_percent.is_some_and(|i| i < SOLID_PERCENT);
        if let (true, Some(test)) = (hollow, used.get(p.id.as_str())) {
            out.push(doubt(
                "print::hollow",
                format!(
                    "`{}` has less than 100 % infill, and the stresses of its {test} runs refer to the outer section",
                    p.id
                ),
                "print specimens solid",
                at,
            ));
        }
    }
}

/// Prints that no run was made of: the specimens may lie there untested, or the id may be misspelt.
pub(super) fn unused_prints(catalog: &Catalog, out: &mut Vec<Problem>) {
    let used: BTreeSet<&str> = catalog
        .runs
        .iter()
        .filter_map(|r| r.print.as_deref())
        .collect();
    for (p, at) in catalog.prints.iter().zip(&catalog.places.prints) {
        if !used.contains(p.id.as_str()) {
            out.push(doubt(
                "print::unused",
                format!("no run was made of the print `{}`", p.id),
                "test its specimens, or take the line out",
                at,
            ));
        }
    }
}
