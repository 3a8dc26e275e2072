//! Readings: too few, outside what was ever seen, far from their fellows, or giving no figure.

use super::{Reduced, doubt};
use crate::belief::Evidence;
use crate::bench::{self, Observation};
use crate::catalog::Catalog;
use crate::problem::{Place, Problem, Severity, explained};
use crate::property::Properties;
use crate::quantity::amount;
use std::collections::{BTreeMap, BTreeSet};

/// How often a specimen shows one property: once, but for pieces that are looked at together.
fn looks(observations: &[Observation]) -> usize {
    let same = |o: &Observation| {
        let of = observations.iter();
        of.filter(|p| p.property == o.property).count()
    };
    observations.iter().map(same).max().unwrap_or(0)
}

/// Materials with one specimen only in a test: nothing is known of their scatter.
pub(super) fn single_readings(reduced: &[Reduced<'_>], out: &mut Vec<Problem>) {
    let mut count: BTreeMap<(&str, &str), (usize, &Place)> = BTreeMap::new();
    for (r, at) in reduced {
        let Some(material) = r.run.material.as_deref() else {
            continue;
        };
        let n = r
            .specimens
            .iter()
            .map(|s| looks(&s.observations))
            .sum::<usize>();
        let entry = count.entry((material, r.run.test));
        entry.or_insert((0, &at.run)).0 += n;
    }
    for ((material, test), (n, at)) in count {
        if n == 1 {
            out.push(doubt(
                "reading::single",
                format!("`{material}` has one specimen only in {test}"),
                "test another, of another print if you can",
                at,
            ));
        }
    }
}

/// Materials all of whose specimens in a test came from one print: how prints differ is not known of
/// them. One doubt a test, at the first run of such a material.
pub(super) fn one_print(reduced: &[Reduced<'_>], out: &mut Vec<Problem>) {
    struct Of<'a> {
        specimens: usize,
        prints: BTreeSet<(bool, &'a str)>,
        first: &'a Place,
    }
    let mut of: BTreeMap<&str, BTreeMap<&str, Of<'_>>> = BTreeMap::new();
    for (r, at) in reduced {
        let seen = r.specimens.iter().filter(|s| !s.observations.is_empty());
        let (Some(material), n) = (r.run.material.as_deref(), seen.count()) else {
            continue;
        };
        let one = of
            .entry(r.run.test)
            .or_default()
            .entry(material)
            .or_insert_with(|| Of {
                specimens: 0,
                prints: BTreeSet::new(),
                first: &at.run,
            });
        one.specimens += n;
        // An unnamed print is one of its run.
        one.prints.insert(match r.run.print.as_deref() {
            Some(p) => (true, p),
            None => (false, r.run.id.as_str()),
        });
    }
    for (test, materials) in of {
        let one: Vec<(&str, &Of<'_>)> = materials
            .iter()
            .filter(|(_, of)| of.specimens > 1 && of.prints.len() == 1)
            .map(|(m, of)| (*m, of))
            .collect();
        let Some((_, first)) = one.iter().min_by_key(|(_, of)| of.first.line) else {
            continue;
        };
        let names: Vec<String> = one.iter().map(|(m, _)| format!("`{m}`")).collect();
        let have = if names.len() == 1 { "has" } else { "have" };
        out.push(doubt(
            "reading::one-print",
            format!(
                "{} {have} specimens of one print only in {test}: how far prints differ is taken from others",
                first_few(&names)
            ),
            "print specimens once more where it matters, and test at least one of them",
            first.first,
        ));
    }
}

/// The first of a list, and how many more.
pub(super) fn first_few(names: &[String]) -> String {
    match names.get(FEW..).map(<[String]>::len) {
        None | Some(0) => names.join(", "),
        Some(more) => {
            let few: Vec<&str> = names.iter().take(FEW).map(String::as_str).collect();
            format!("{} and {more} more", few.join(", "))
        }
    }
}

/// Most names that a doubt lists.
const FEW: usize = 4;

/// Figures outside all that a property was ever seen at, each at its specimen's own line.
pub(super) fn implausible(
    reduced: &[Reduced<'_>],
    properties: &Properties,
    out: &mut Vec<Problem>,
) {
    for (r, at) in reduced {
        for s in &r.specimens {
            let place = at.specimens.get(&s.specimen).unwrap_or(&at.run);
            for f in bench::implausible(s, properties) {
                let what = format!("specimen {} of `{}`: {}", s.specimen, r.run.id, f.what);
                out.push(doubt(f.code, what, f.fix, place));
            }
        }
    }
}

/// Refusals that the specimen's own outcome word explains: nothing about them is doubtful.
const SAID_BY_OUTCOME: &[&str] = &[
    "bench::melted",
    "bench::collapsed",
    "bench::ruptured",
    "bench::failed-early",
];

/// Figures that a run's readings do not give, each at its specimen's own line and with the reduction's code.
pub(super) fn refused(reduced: &[Reduced<'_>], properties: &Properties, out: &mut Vec<Problem>) {
    let codes = explained();
    for (r, at) in reduced {
        for s in &r.specimens {
            let place = at.specimens.get(&s.specimen).unwrap_or(&at.run);
            for f in s
                .refused
                .iter()
                .filter(|f| !SAID_BY_OUTCOME.contains(&f.code.as_str()))
            {
                let id = f.property.as_str();
                let title = properties.get(id).map_or(id, |p| &p.title);
                let mend = codes
                    .iter()
                    .find(|e| e.code == f.code)
                    .map_or("look at its readings", |e| e.mend.trim_end_matches('.'));
                out.push(Problem {
                    code: f.code.clone(),
                    severity: Severity::Doubt,
                    at: place.clone(),
                    what: format!(
                        "specimen {} of `{}` gives no {title}: {}",
                        s.specimen, r.run.id, f.why
                    ),
                    fix: lower_first(mend),
                });
            }
        }
    }
}

/// A sentence as the words behind `help:` are written.
fn lower_first(sentence: &str) -> String {
    let mut rest = sentence.chars();
    let first = rest.next().map(|c| c.to_ascii_lowercase());
    first.into_iter().chain(rest).collect()
}

/// Readings that the scatter of other materials does not explain, each at its specimen's own line.
pub(super) fn outliers(
    catalog: &Catalog,
    reduced: &[Reduced<'_>],
    properties: &Properties,
    out: &mut Vec<Problem>,
) {
    let evidence = Evidence::new(
        catalog.materials.clone(),
        reduced.iter().map(|(r, _)| r.clone()).collect(),
        catalog.stated.clone(),
        catalog.policy.clone(),
        properties.clone(),
    );
    for o in evidence.outliers() {
        let found = reduced.iter().find(|(r, _)| r.run.id == o.run);
        let (Some(p), Some((_, at))) = (properties.get(o.property.as_str()), found) else {
            continue;
        };
        let place = at.specimens.get(&o.specimen).unwrap_or(&at.run);
        out.push(doubt(
            "reading::outlier",
            format!(
                "specimen {} of `{}`: a {} of {}, where the middle of its fellows is {}; \
                 as other materials scatter that happens once in 10 000 readings, and it counts as {}",
                o.specimen,
                o.run,
                p.title,
                amount(o.figure, &p.unit),
                amount(o.middle, &p.unit),
                amount(o.taken, &p.unit),
            ),
            "look at the sheet and the piece: if the test went wrong, fill `set_aside` with the reason, \
             else print and test more",
            place,
        ));
    }
}
