//! Which run, specimen and point each line is, where the sheet does not say.

use super::fill::Filled;
use crate::bench::{Need, Run};
use crate::catalog::cells::check_date;
use crate::catalog::lines::fields::{DATE, ONE_PER_RUN, POINT, RUN, SPECIMEN};
use std::collections::{BTreeMap, HashMap, HashSet};

/// Columns of the time or warmth along which a curve is read.
const ALONG: &[&str] = &["time", "temperature"];

/// What is recorded of a run already: its specimens, each with its points and the last of them.
#[derive(Clone, Debug, Default)]
pub(crate) struct Standing {
    specimens: BTreeMap<u32, (u32, Option<f64>)>,
}

/// The runs that stand in the catalog, and the ids given to new ones.
#[derive(Clone, Debug, Default)]
pub(crate) struct Runs {
    known: HashMap<String, Standing>,
    /// By what an id begins with: the number last given.
    given: HashMap<String, u64>,
}

impl Runs {
    /// What stands already.
    pub(crate) fn of<'r>(runs: impl Iterator<Item = &'r Run>) -> Self {
        let mut known: HashMap<String, Standing> = HashMap::new();
        for run in runs {
            let standing = known.entry(run.id.clone()).or_default();
            for s in &run.specimens {
                let last = s
                    .points
                    .iter()
                    .filter_map(|p| ALONG.iter().find_map(|c| p.num(c)))
                    .fold(None, |a: Option<f64>, b| Some(a.map_or(b, |a| a.max(b))));
                let points = u32::try_from(s.points.len()).unwrap_or(u32::MAX);
                standing.specimens.insert(s.number, (points, last));
            }
        }
        Runs {
            known,
            given: HashMap::new(),
        }
    }

    /// Ids that stand too, of which no more is known.
    pub(super) fn taken<'i>(&mut self, ids: impl Iterator<Item = &'i String>) {
        for id in ids {
            self.known.entry(id.clone()).or_default();
        }
    }

    /// A new id: the test, the day and the next number that is free.
    fn next(&mut self, test: &str, day: &str) -> String {
        let begin = if day.is_empty() {
            test.to_owned()
        } else {
            format!("{test}-{day}")
        };
        let n = self.given.entry(begin.clone()).or_insert(0);
        loop {
            *n += 1;
            let id = format!("{begin}-{n}");
            if !self.known.contains_key(&id) {
                self.known.insert(id.clone(), Standing::default());
                return id;
            }
        }
    }
}

/// The specimens of a run as its lines come in.
#[derive(Default)]
struct Numbers {
    last: u32,
    /// The specimen that the last line of each repeat belongs to, and where its curve stands.
    current: HashMap<usize, (u32, usize)>,
    /// How many points a specimen has so far.
    points: HashMap<u32, u32>,
}

impl Filled<'_> {
    /// Fills runs, specimens and points; gives back the ids of runs that were made up.
    ///
    /// Lines without a run that share material, date, rig and condition are one run. Without a
    /// specimen each line is one, but one that leaves all geometry blank, or repeats it while
    /// its time goes on, goes on with the curve above.
    pub(super) fn assign(&mut self, runs: &mut Runs, recorded: Option<&str>) -> HashSet<String> {
        let ids = self.assign_runs(runs, recorded);
        let mut numbers: HashMap<String, Numbers> = HashMap::new();
        let empty = Standing::default();
        for row in 0..self.rows.len() {
            let run = self.cell(row, RUN).to_owned();
            let standing = runs.known.get(&run).unwrap_or(&empty);
            let n = numbers.entry(run).or_insert_with(|| Numbers {
                last: standing.specimens.keys().next_back().copied().unwrap_or(0),
                ..Numbers::default()
            });
            let repeat = self.rows.get(row).map_or(0, |r| r.repeat);
            let written: Option<u32> = self.cell(row, SPECIMEN).parse().ok();
            let above = n.current.get(&repeat).copied();
            let specimen = match (written, above) {
                (Some(s), _) => s,
                (None, Some((s, at))) if self.continues(row, at) => s,
                (None, _) => n.last.saturating_add(1),
            };
            if self.cell(row, SPECIMEN).is_empty() {
                self.set(row, SPECIMEN, specimen.to_string());
            }
            n.last = n.last.max(specimen);
            n.current.insert(repeat, (specimen, row));
            let points = n.points.entry(specimen).or_insert_with(|| {
                // Later readings of a curve that stands already come behind its last.
                match standing.specimens.get(&specimen) {
                    Some((points, Some(last))) if self.along(row).is_some_and(|t| t > *last) => {
                        *points
                    }
                    _ => 0,
                }
            });
            *points = points.saturating_add(1);
            if self.cell(row, POINT).is_empty() && *points > 1 {
                let point = points.to_string();
                self.set(row, POINT, point);
            }
        }
        self.number_first_points();
        for row in 0..self.rows.len() {
            let along = self.along(row);
            let Ok(specimen) = self.cell(row, SPECIMEN).parse::<u32>() else {
                continue;
            };
            let points: u32 = self.cell(row, POINT).parse().unwrap_or(1);
            let run = self.cell(row, RUN).to_owned();
            let specimens = &mut runs.known.entry(run).or_default().specimens;
            specimens.insert(specimen, (points, along));
        }
        ids
    }

    /// Fills runs, specimens and points of a sheet that is only reduced: runs without an id
    /// are counted through.
    pub(super) fn assign_for_reduce(&mut self, runs: &mut Runs) {
        self.assign(runs, None);
    }

    fn assign_runs(&mut self, runs: &mut Runs, recorded: Option<&str>) -> HashSet<String> {
        let mut by_cells: HashMap<Vec<String>, String> = HashMap::new();
        let mut made_up = HashSet::new();
        let written: Vec<String> = (0..self.rows.len())
            .map(|r| self.cell(r, RUN).to_owned())
            .collect();
        for id in written.iter().filter(|w| !w.is_empty()) {
            runs.known.entry(id.clone()).or_default();
        }
        for (row, id) in written.iter().enumerate() {
            if !id.is_empty() {
                continue;
            }
            let cells: Vec<String> = ONE_PER_RUN
                .iter()
                .map(|f| self.cell(row, *f).to_owned())
                .collect();
            let id = match by_cells.get(&cells) {
                Some(id) => id.clone(),
                None => {
                    let date = self.cell(row, DATE);
                    let id = match recorded {
                        None => runs.next("run", ""),
                        Some(_) if check_date(date).is_ok() => runs.next(self.test.id(), date),
                        Some(recorded) => runs.next(self.test.id(), recorded),
                    };
                    by_cells.insert(cells, id.clone());
                    made_up.insert(id.clone());
                    id
                }
            };
            self.set(row, RUN, id);
        }
        made_up
    }

    /// Whether a line without a specimen goes on with the curve of the row above it.
    fn continues(&self, row: usize, above: usize) -> bool {
        match self.cell(row, POINT) {
            "" => {}
            point => return point != "1",
        }
        let once: Vec<usize> = self
            .columns
            .iter()
            .filter_map(|c| c.field)
            .filter(|f| self.raw(*f).is_some_and(|c| c.need == Need::Once))
            .collect();
        if once.is_empty() {
            return false;
        }
        if once.iter().all(|f| self.cell(row, *f).is_empty()) {
            return true;
        }
        let same = once
            .iter()
            .all(|f| self.cell(row, *f) == self.cell(above, *f));
        match (self.along(row), self.along(above)) {
            (Some(here), Some(there)) => same && here > there,
            _ => false,
        }
    }

    /// The time or warmth of a line in the unit inside, where every line has one.
    fn along(&self, row: usize) -> Option<f64> {
        let column = self.columns.iter().find(|c| {
            c.field
                .and_then(|f| self.raw(f))
                .is_some_and(|c| c.need == Need::Each && ALONG.contains(&c.name))
        })?;
        self.figure(row, column)
    }

    /// Where a specimen has several lines its first is point 1, as the others say theirs.
    fn number_first_points(&mut self) {
        if self.column(POINT).is_none() {
            return;
        }
        let mut several: HashSet<(String, String)> = HashSet::new();
        for row in 0..self.rows.len() {
            if !self.cell(row, POINT).is_empty() {
                several.insert((
                    self.cell(row, RUN).to_owned(),
                    self.cell(row, SPECIMEN).to_owned(),
                ));
            }
        }
        for row in 0..self.rows.len() {
            let key = (
                self.cell(row, RUN).to_owned(),
                self.cell(row, SPECIMEN).to_owned(),
            );
            if self.cell(row, POINT).is_empty() && several.contains(&key) {
                self.set(row, POINT, "1".to_owned());
            }
        }
    }
}
