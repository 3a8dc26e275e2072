//! The calibration tables as Markdown.

use crate::simulate::catalog::{HARDNESS, IMPACT, TENSILE};
use crate::simulate::coverage::{Covered, Rests, Size, Table, alone, whole};
use crate::simulate::power::power;
use crate::simulate::promise::{Kept, kept};
use crate::simulate::tally::Share;
use crate::simulate::world::{RHO_UNSURE, Rho, World};
use crate::worlds::{right, wrong};
use dutyfit::policy::{Class, Policy};
use std::collections::BTreeMap;

/// How much is simulated.
#[derive(Clone, Debug)]
pub(crate) struct Plan {
    pub(crate) seeds: Vec<u64>,
    /// Catalogs for each seed and world; a third of them are judged, which takes far longer than a
    /// belief.
    pub(crate) catalogs: usize,
    /// Draws of a judgement.
    pub(crate) draws: usize,
}

/// Step of a durometer that is too coarse: two and a half spreads.
const COARSE: f64 = 2.0;
/// Materials of a catalog for each way of testing.
const EACH: usize = 2;

impl Plan {
    fn size(&self, catalogs: usize) -> Size {
        Size {
            catalogs,
            each: EACH,
        }
    }
    fn judged(&self) -> usize {
        self.catalogs.div_ceil(3)
    }
}

/// Coverage under the model of everything without bounds: a column for each world.
pub(crate) fn exact(plan: &Plan) -> String {
    let mut worlds: Vec<(&str, Table)> = right()
        .into_iter()
        .map(|(title, world)| {
            let size = plan.size(plan.catalogs);
            (
                title,
                whole(&world, &[TENSILE, HARDNESS], &plan.seeds, size),
            )
        })
        .collect();
    worlds.push(("no other material", alone(&plan.seeds, plan.catalogs * 2)));
    for w in &mut worlds {
        w.1.remove(&Rests::Coarse);
    }
    tables(&worlds)
}

/// The same on a pendulum whose hammer ends, or begins, near what the material takes, in every second
/// world: few readings lie about the hammer's end, and beliefs on bounds take long.
pub(crate) fn bounds(plan: &Plan) -> String {
    let worlds: Vec<(&str, Table)> = right()
        .into_iter()
        .step_by(2)
        .map(|(title, world)| {
            let size = plan.size(2 * plan.catalogs);
            let mut table = whole(&world, &[IMPACT], &plan.seeds, size);
            let coarse = World {
                step: COARSE,
                ..world
            };
            let size = plan.size(plan.catalogs.div_ceil(3));
            let gauge = whole(&coarse, &[HARDNESS], &plan.seeds, size);
            table.extend(gauge.into_iter().filter(|c| c.0 == Rests::Coarse));
            (title, table)
        })
        .collect();
    tables(&worlds)
}

/// One table for the mean and one for the next part.
fn tables(worlds: &[(&str, Table)]) -> String {
    let mut cells: Vec<Rests> = worlds.iter().flat_map(|w| w.1.keys().copied()).collect();
    cells.sort_by_key(|c| place(*c));
    cells.dedup();
    let mean = |c: &Covered| [c.mean_50, c.mean_90];
    let next = |c: &Covered| [c.next_50, c.next_90];
    format!(
        "{}\n{}",
        table("mean, 50 / 90 %", worlds, &cells, &mean),
        table("next part, 50 / 90 %", worlds, &cells, &next)
    )
}

fn table(
    title: &str,
    worlds: &[(&str, Table)],
    cells: &[Rests],
    of: &dyn Fn(&Covered) -> [Share; 2],
) -> String {
    let mut head = vec![
        title.to_owned(),
        "intervals".to_owned(),
        "± 90 %".to_owned(),
    ];
    head.extend(worlds.iter().map(|w| w.0.to_owned()));
    let rows: Vec<Vec<String>> = cells
        .iter()
        .map(|cell| {
            let found: Vec<Option<[Share; 2]>> =
                worlds.iter().map(|w| w.1.get(cell).map(of)).collect();
            let all = || found.iter().flatten().map(|s| s[1]);
            let least = all().map(|s| s.count()).fold(f64::INFINITY, f64::min);
            let error = all().map(|s| s.error()).fold(0.0, f64::max);
            let mut row = vec![
                cell.title(),
                format!("{least:.0}"),
                format!("{:.1}", 100.0 * error),
            ];
            row.extend(found.iter().map(|s| match s {
                Some([a, b]) => format!("{} / {}", percent(a), percent(b)),
                None => "-".to_owned(),
            }));
            row
        })
        .collect();
    markdown(&head, &rows)
}

/// The promise of `fit`, wrong `ruled out` and the share found, under the model.
pub(crate) fn promise(plan: &Plan) -> String {
    let mut rows = Vec::new();
    for (title, world) in right() {
        let kept = kept(&world, &plan.seeds, plan.judged(), EACH, plan.draws);
        for class in Class::ALL {
            let k = kept.get(&class).copied().unwrap_or_default();
            rows.push(vec![
                title.to_owned(),
                class.word().to_owned(),
                asked(class),
                with_error(&k.fit),
                format!("{:.0}", k.fit.count()),
                with_error(&k.just),
                format!("{:.2}", 100.0 * k.ruled_out.share()),
                percent(&k.found),
            ]);
        }
    }
    let head = [
        "world",
        "class",
        "asked %",
        "`fit`: parts that meet it %",
        "`fit` materials",
        "only just `fit`: parts that meet it %",
        "wrongly `ruled out` %",
        "truly fit and found `fit` %",
    ]
    .map(str::to_owned);
    markdown(&head, &rows)
}

/// Power.
pub(crate) fn powers(plan: &Plan) -> String {
    let head = ["print scatter", "found `fit` at `damage` %", "materials"].map(str::to_owned);
    let rows: Vec<Vec<String>> = [("rho 1", Rho::Of(1.0)), ("rho about 1", RHO_UNSURE)]
        .into_iter()
        .map(|(title, rho)| {
            let p = power(&plan.seeds, plan.catalogs, plan.draws, rho);
            vec![
                title.to_owned(),
                with_error(&p),
                format!("{:.0}", p.count()),
            ]
        })
        .collect();
    markdown(&head, &rows)
}

/// Coverage and promise where the model is wrong.
pub(crate) fn wrongs(plan: &Plan) -> String {
    let mut cover = Vec::new();
    let mut promise = Vec::new();
    for (title, world) in wrong() {
        let size = plan.size(plan.catalogs);
        let mut table = whole(&world, &[TENSILE, HARDNESS], &plan.seeds, size);
        let size = plan.size(plan.judged());
        table.extend(whole(&world, &[IMPACT], &plan.seeds, size));
        let mut row = vec![title.to_owned()];
        for cell in COLUMNS {
            let c = together(&table, |r| cell.holds(r));
            row.push(format!("{} / {}", percent(&c.mean_90), percent(&c.next_90)));
        }
        cover.push(row);
        promise.push(promise_row(title, &world, plan));
    }
    let mut head = vec!["mean / next part, 90 %".to_owned()];
    head.extend(COLUMNS.iter().map(|c| c.title().to_owned()));
    let mut out = markdown(&head, &cover);
    let mut head =
        vec!["next parts that meet the limit, % of `fit` / of only just `fit`".to_owned()];
    head.extend(
        Class::ALL
            .iter()
            .map(|c| format!("{} ({})", c.word(), asked(*c))),
    );
    head.extend(["wrongly `ruled out` %".to_owned()]);
    out.push('\n');
    out.push_str(&markdown(&head, &promise));
    out
}

fn promise_row(title: &str, world: &World, plan: &Plan) -> Vec<String> {
    let kept: BTreeMap<Class, Kept> = kept(world, &plan.seeds, plan.judged(), EACH, plan.draws);
    let mut row = vec![title.to_owned()];
    let mut ruled_out = Share::default();
    for class in Class::ALL {
        let k = kept.get(&class).copied().unwrap_or_default();
        row.push(format!("{} / {}", percent(&k.fit), percent(&k.just)));
        ruled_out += k.ruled_out;
    }
    row.push(format!("{:.2}", 100.0 * ruled_out.share()));
    row
}

/// Groups of cells in the tables of wrong models.
#[derive(Clone, Copy, Debug)]
enum Group {
    One,
    Three,
    Ten,
    ThreePrints,
    Mixed,
    Bounds,
}

const COLUMNS: [Group; 6] = [
    Group::One,
    Group::Three,
    Group::Ten,
    Group::ThreePrints,
    Group::Mixed,
    Group::Bounds,
];

impl Group {
    fn title(self) -> &'static str {
        match self {
            Group::One => "n = 1",
            Group::Three => "n = 3",
            Group::Ten => "n = 10",
            Group::ThreePrints => "3 prints",
            Group::Mixed => "some bounds",
            Group::Bounds => "bounded",
        }
    }
    fn holds(self, r: Rests) -> bool {
        match (self, r) {
            (Group::One, Rests::Exact(p)) => *p == [1],
            (Group::Three, Rests::Exact(p)) => *p == [3],
            (Group::Ten, Rests::Exact(p)) => *p == [10],
            (Group::ThreePrints, Rests::Exact(p)) => p.len() == 3,
            (Group::Mixed, Rests::Mixed) | (Group::Bounds, Rests::Bounds) => true,
            _ => false,
        }
    }
}

fn asked(class: Class) -> String {
    format!("{:.0}", 100.0 * Policy::default().rule(class).chance)
}

fn with_error(share: &Share) -> String {
    if share.count() > 0.0 {
        format!("{} ± {:.1}", percent(share), 100.0 * share.error())
    } else {
        "-".to_owned()
    }
}

/// As percent with one digit; a dash of none.
fn percent(share: &Share) -> String {
    if share.count() > 0.0 {
        format!("{:.1}", 100.0 * share.share())
    } else {
        "-".to_owned()
    }
}

/// Its place in a table: specimens of one print first, then prints, then the weaker grades.
fn place(of: Rests) -> (usize, usize, usize) {
    match of {
        Rests::Exact(p) => (0, p.len(), p.iter().sum()),
        Rests::Within => (1, 0, 0),
        Rests::Coarse => (1, 1, 0),
        Rests::Mixed => (2, 0, 0),
        Rests::Bounds => (3, 0, 0),
        Rests::Stated => (4, 0, 0),
        Rests::Borrowed => (5, 0, 0),
    }
}

/// Some kinds of evidence of a table together.
fn together(table: &Table, of: impl Fn(Rests) -> bool) -> Covered {
    let mut sum = Covered::default();
    for (_, c) in table.iter().filter(|(cell, _)| of(**cell)) {
        sum.mean_50 += c.mean_50;
        sum.mean_90 += c.mean_90;
        sum.next_50 += c.next_50;
        sum.next_90 += c.next_90;
    }
    sum
}

/// A Markdown table.
fn markdown(head: &[String], rows: &[Vec<String>]) -> String {
    let line = |cells: &[String]| format!("| {} |\n", cells.join(" | "));
    let mut out = line(head);
    let rule: Vec<String> = head
        .iter()
        .enumerate()
        .map(|(i, _)| if i == 0 { "---" } else { "---:" }.to_owned())
        .collect();
    out.push_str(&line(&rule));
    for row in rows {
        out.push_str(&line(row));
    }
    out
}
