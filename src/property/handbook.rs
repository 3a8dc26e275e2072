//! What is plausible of each polymer: deliberately wide ranges, each with its status, for doubts.
//!
//! What is common of it, narrower, stands in `src/catalog/handbook/stated.csv` and serves `--handbook`.

use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// Where a property of a polymer was seen to lie, moulded and printed parts together, near room
/// temperature, in the property's canonical unit.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct HandbookRange {
    /// Low end.
    pub low: f64,
    /// High end.
    pub high: f64,
    /// Unit as written in the table.
    pub unit: String,
    /// How well the range is known.
    pub status: String,
}

/// A table of ranges: polymer (with its grade where the table parts them), property, range.
type Families = BTreeMap<String, BTreeMap<String, HandbookRange>>;

#[derive(Debug, Default, Deserialize)]
struct Book {
    /// What an unlisted polymer or a blend is made of.
    #[serde(default)]
    parents: BTreeMap<String, Vec<String>>,
    #[serde(default)]
    families: Families,
}

/// The table that stands beside this file.
fn book() -> &'static Book {
    static BOOK: OnceLock<Book> = OnceLock::new();
    // A test reads every line of the table; a broken one would only leave the ranges out.
    BOOK.get_or_init(|| serde_json::from_str(include_str!("handbook.json")).unwrap_or_default())
}

/// The range of a property for a polymer or a blend, for what is written of its grade.
///
/// Of several grades in the table (`tpu 85A`, `tpu 64D`) the one that `grade` names counts, else their union. A
/// blend has the union of its parents, and no range where one of them has none.
pub fn handbook_range(polymers: &[String], grade: &str, property: &str) -> Option<HandbookRange> {
    let book = book();
    let whole = polymers.join("+");
    let parents = book.parents.get(&whole).map_or(polymers, Vec::as_slice);
    let mut all = parents.iter().map(|p| of_one(book, p, grade, property));
    let first = all.next()??;
    all.try_fold(first, |a, b| Some(union(a, b?)))
}

fn of_one(book: &Book, polymer: &str, grade: &str, property: &str) -> Option<HandbookRange> {
    let range = |family: &str| book.families.get(family)?.get(property).cloned();
    if let Some(r) = range(polymer).or_else(|| range(&format!("{polymer} {grade}"))) {
        return Some(r);
    }
    let any = format!("{polymer} ");
    book.families
        .iter()
        .filter(|(family, _)| family.starts_with(&any))
        .filter_map(|(_, of)| of.get(property).cloned())
        .reduce(union)
}

fn union(a: HandbookRange, b: HandbookRange) -> HandbookRange {
    HandbookRange {
        low: a.low.min(b.low),
        high: a.high.max(b.high),
        ..a
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::property::{Properties, polymer};

    fn range(polymers: &[&str], grade: &str, property: &str) -> Option<(f64, f64)> {
        let polymers: Vec<String> = polymers.iter().map(|p| (*p).to_owned()).collect();
        handbook_range(&polymers, grade, property).map(|r| (r.low, r.high))
    }

    #[test]
    fn the_table_can_be_read_and_names_what_the_tool_knows() {
        assert!(book().families.len() >= 16);
        let properties = Properties::default();
        for (family, of) in &book().families {
            let id = family.split(' ').next().unwrap_or_default();
            assert!(polymer(id).is_some(), "`{family}` is no polymer");
            for (property, r) in of {
                let row = properties.get(property);
                assert!(row.is_some(), "`{property}` is no property");
                assert!(
                    r.low < r.high && !r.status.is_empty(),
                    "{family} {property}"
                );
                let unit = row.map(|p| p.unit.to_string());
                assert!(
                    property == "price" || unit.as_deref() == Some(r.unit.as_str()),
                    "{family} {property}: {unit:?}"
                );
            }
        }
    }

    #[test]
    fn a_grade_narrows_and_a_blend_widens() {
        assert_eq!(range(&["tpu"], "85A", "tensile-modulus"), Some((4.0, 70.0)));
        assert_eq!(range(&["tpu"], "", "tensile-modulus"), Some((4.0, 1000.0)));
        assert_eq!(
            range(&["pc", "pbt"], "", "tensile-modulus"),
            Some((1300.0, 3400.0))
        );
        assert_eq!(range(&["pc", "pvdf"], "", "tensile-modulus"), None);
        assert_eq!(range(&["petg"], "", "rebound"), None);
    }
}
