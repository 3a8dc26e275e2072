//! A workspace's files to one catalog.

mod fill;
mod part;

use self::fill::{fill_densities, fill_hammers};
use self::part::{Looked, Part, look};
pub(crate) use self::part::{Take, Wanted};
use crate::belief::{Material, MaterialKind, Stated};
use crate::bench::{self, BenchTest, Run};
use crate::catalog::csv_text::{CsvText, KeptCsv, LineAt};
use crate::catalog::handbook::at_other_temperatures;
use crate::catalog::lines::{Known, ReadRun, read_lines, read_lines_at};
use crate::catalog::materials::read_materials;
use crate::catalog::own::read_own;
use crate::catalog::prints::read_prints;
use crate::catalog::rigs::{Rigs, read_rigs};
use crate::catalog::source::{LARGEST_CSV, LARGEST_JSON, Unread};
use crate::catalog::stated::{Referred, read_stated};
use crate::catalog::text::json_text;
use crate::catalog::words::meant;
use crate::catalog::{Catalog, FileFault, Origin, Print, Source, read_policy};
use crate::policy::Policy;
use crate::problem::{Fault, Place, Problem, Severity};
use crate::property::{OwnProperty, Properties, Property};
use rayon::prelude::*;
use std::borrow::Cow;
use std::collections::{BTreeSet, HashMap};
use std::sync::Arc;

/// The workspace name of a test's readings.
pub(crate) fn readings_file(test: &str) -> String {
    format!("catalog/readings/{test}.csv")
}

/// The tables beside the readings.
const TABLES: &[&str] = &[
    "materials.csv",
    "prints.csv",
    "stated.csv",
    "rigs.csv",
    "properties.csv",
];

/// Loads a catalog; `as_of` (ISO date) leaves out later lines and set-aside entries.
///
/// Lines that are wrong are left out of the catalog and stand in its Problems.
///
/// # Errors
/// [`FileFault`] where a file cannot be read at all, and where materials.csv is missing.
pub fn load_catalog(source: &Source, as_of: Option<&str>) -> Result<Catalog, FileFault> {
    load(source, as_of, &|_| Take::All).map(|(catalog, _)| catalog)
}

fn load<'k>(
    source: &Source,
    as_of: Option<&str>,
    take: &(dyn Fn(&'static str) -> Take<'k> + Sync),
) -> Result<(Catalog, BTreeSet<String>), FileFault> {
    let _held = source.is_there().then(|| source.hold()).transpose()?;
    Base::read(source, as_of)?.with_readings(source, as_of, take)
}

/// A catalog without its readings: policy and tables.
pub(crate) struct Base {
    policy: Policy,
    materials: Vec<(Material, Place)>,
    /// Every material that materials.csv names, wrong lines among them.
    material_lines: HashMap<String, usize>,
    own: Vec<OwnProperty>,
    prints: Vec<(Print, Place)>,
    /// Every print that prints.csv names, wrong lines among them.
    print_lines: HashMap<String, usize>,
    stated: Vec<(Stated, Place)>,
    rigs: Rigs,
    problems: Vec<Problem>,
}

impl Base {
    /// Reads policy and tables.
    ///
    /// # Errors
    /// As [`load_catalog`].
    pub(crate) fn read(source: &Source, as_of: Option<&str>) -> Result<Self, FileFault> {
        let mut loader = Loader {
            source,
            problems: Vec::new(),
            left_out: BTreeSet::new(),
        };
        if !source.is_there() {
            let at = Place::file(source.shown("catalog/").trim_end_matches('/'));
            let none = Fault::new(
                "catalog::none",
                "there is no catalog here",
                "name its folder with `--catalog DIR`, or go without: `--demo` for invented figures, `--handbook` for ranges of polymers",
            );
            return Ok(Base {
                policy: Policy::default(),
                materials: Vec::new(),
                material_lines: HashMap::new(),
                own: Vec::new(),
                prints: Vec::new(),
                print_lines: HashMap::new(),
                stated: Vec::new(),
                rigs: Rigs::default(),
                problems: vec![none.at(at)],
            });
        }
        loader.check_names()?;
        let policy = loader.policy()?;
        let mut material_lines = HashMap::new();
        let materials = loader.materials(&mut material_lines)?;
        let (own, _) = split(loader.table("properties.csv", read_own)?);
        let properties = Properties::with_own(&own);
        let ids: BTreeSet<&str> = material_lines.keys().map(String::as_str).collect();
        let surfaces = of_kind(&materials, MaterialKind::Surface);
        let mut print_lines = HashMap::new();
        let prints = loader.table("prints.csv", |f, b| {
            read_prints(f, b, &ids, &mut print_lines)
        })?;
        let referred = Referred {
            materials: &ids,
            surfaces: &surfaces,
            properties: &properties,
            as_of,
        };
        let mut stated = loader.table("stated.csv", |f, b| read_stated(f, b, &referred))?;
        if source.origin() == Origin::Handbook {
            stated = at_other_temperatures(stated, &properties);
        }
        let rigs = loader.rigs()?;
        Ok(Base {
            policy,
            material_lines,
            materials,
            own,
            prints,
            print_lines,
            stated,
            rigs,
            problems: loader.problems,
        })
    }

    /// The catalog with some of the readings: `take` says which of each test, by its id. With it
    /// come the ids of runs left out, where they were asked for.
    ///
    /// # Errors
    /// As [`load_catalog`].
    pub(crate) fn with_readings<'k>(
        &self,
        source: &Source,
        as_of: Option<&str>,
        take: &(dyn Fn(&'static str) -> Take<'k> + Sync),
    ) -> Result<(Catalog, BTreeSet<String>), FileFault> {
        let mut loader = Loader {
            source,
            problems: self.problems.clone(),
            left_out: BTreeSet::new(),
        };
        let properties = Properties::with_own(&self.own);
        let tables = Tables {
            ids: self.material_lines.keys().map(String::as_str).collect(),
            references: of_kind(&self.materials, MaterialKind::Reference),
            surfaces: of_kind(&self.materials, MaterialKind::Surface),
            prints: self
                .prints
                .iter()
                .map(|(p, _)| (p.id.as_str(), (p.material.as_str(), p.lot.as_deref())))
                .collect(),
            print_lines: &self.print_lines,
            rigs: &self.rigs,
            own: properties.own().collect(),
        };
        let (mut runs, run_places) = loader.readings(&tables, as_of, take)?;
        fill_hammers(&mut runs, &self.rigs, as_of);
        fill_densities(
            &mut runs,
            self.stated.iter().map(|(s, _)| s),
            &self.materials,
            &properties,
        );
        let (materials, material_places) = split(self.materials.clone());
        let (stated, stated_places) = split(self.stated.clone());
        let (prints, print_places) = split(self.prints.clone());
        let catalog = Catalog {
            materials,
            runs,
            stated,
            prints,
            own_properties: self.own.clone(),
            policy: self.policy.clone(),
            problems: loader.problems,
            places: Places {
                materials: material_places,
                runs: run_places,
                stated: stated_places,
                prints: print_places,
                spoilt_rigs: self.rigs.spoilt().clone(),
            },
            origin: source.origin(),
        };
        Ok((catalog, loader.left_out))
    }
}

/// Where the lines of a catalog stand, in the order of its lists.
#[derive(Clone, Debug, Default)]
pub(crate) struct Places {
    pub(crate) materials: Vec<Place>,
    pub(super) runs: Vec<RunAt>,
    pub(crate) stated: Vec<Place>,
    pub(crate) prints: Vec<Place>,
    /// Rigs of which a line is wrong.
    pub(crate) spoilt_rigs: BTreeSet<String>,
}

/// Where a run begins in its sheet, and each of its specimens by number: most are never asked for.
#[derive(Clone, Debug)]
pub(super) struct RunAt {
    sheet: Arc<KeptCsv>,
    run: LineAt,
    specimens: Arc<[(u32, LineAt)]>,
}

impl Places {
    /// The places of all runs.
    pub(super) fn of_runs(&self) -> Vec<RunPlace> {
        self.runs.iter().map(RunAt::place).collect()
    }
}

impl RunAt {
    /// The first line of any of its specimens.
    fn first_line(&self) -> usize {
        let first = self.specimens.iter().map(|(_, at)| at.line).min();
        first.unwrap_or(self.run.line)
    }

    /// The file.
    pub(super) fn file(&self) -> &str {
        self.sheet.file()
    }

    /// The first line of each specimen, by its number.
    pub(super) fn lines(&self) -> impl Iterator<Item = (u32, usize)> {
        self.specimens.iter().map(|(n, at)| (*n, at.line))
    }

    /// The run's place, and its specimens'.
    pub(super) fn place(&self) -> RunPlace {
        let of = |(n, at): &(u32, LineAt)| (*n, self.sheet.place(*at));
        RunPlace {
            run: self.sheet.place(self.run),
            specimens: self.specimens.iter().map(of).collect(),
        }
    }
}

/// Where a run begins, and each of its specimens by number.
#[derive(Clone, Debug)]
pub(crate) struct RunPlace {
    pub(crate) run: Place,
    pub(crate) specimens: HashMap<u32, Place>,
}

/// Ids of the materials of a kind.
fn of_kind(materials: &[(Material, Place)], kind: MaterialKind) -> Vec<&str> {
    materials
        .iter()
        .filter(|(m, _)| m.kind == kind)
        .map(|(m, _)| m.id.as_str())
        .collect()
}

/// What readings refer to.
struct Tables<'a> {
    ids: BTreeSet<&'a str>,
    references: Vec<&'a str>,
    surfaces: Vec<&'a str>,
    prints: HashMap<&'a str, (&'a str, Option<&'a str>)>,
    print_lines: &'a HashMap<String, usize>,
    rigs: &'a Rigs,
    own: Vec<&'a Property>,
}

/// Items with their places, and Problems.
type Table<T> = (Vec<(T, Place)>, Vec<Problem>);

fn split<T>(items: Vec<(T, Place)>) -> (Vec<T>, Vec<Place>) {
    items.into_iter().unzip()
}

struct Loader<'s> {
    source: &'s Source,
    problems: Vec<Problem>,
    /// Ids that were asked for of runs left out.
    left_out: BTreeSet<String>,
}

impl Loader<'_> {
    /// A file's bytes, if it is there; one that is too large is a Problem.
    fn bytes(&mut self, name: &str, largest: u64) -> Result<Option<Cow<'static, [u8]>>, FileFault> {
        match self.source.read(name, largest) {
            Ok(bytes) => Ok(bytes),
            Err(Unread::Fault(f)) => Err(f),
            Err(Unread::Problems(p)) => {
                self.problems.extend(p);
                Ok(None)
            }
        }
    }

    fn table<T>(
        &mut self,
        name: &str,
        read: impl FnOnce(&str, &[u8]) -> Table<T>,
    ) -> Result<Vec<(T, Place)>, FileFault> {
        let path = format!("catalog/{name}");
        let Some(bytes) = self.bytes(&path, LARGEST_CSV)? else {
            return Ok(Vec::new());
        };
        let (items, problems) = read(&self.source.shown(&path), &bytes);
        self.problems.extend(problems);
        Ok(items)
    }

    fn materials(
        &mut self,
        seen: &mut HashMap<String, usize>,
    ) -> Result<Vec<(Material, Place)>, FileFault> {
        let before = self.problems.len();
        let path = "catalog/materials.csv";
        let Some(bytes) = self.bytes(path, LARGEST_CSV)? else {
            return if self.problems.len() > before {
                Ok(Vec::new())
            } else {
                Err(FileFault {
                    file: self.source.shown(path),
                    what: "there is no such file".to_owned(),
                    fix: "a catalog begins with materials.csv, a line a material".to_owned(),
                })
            };
        };
        let (items, problems) = read_materials(&self.source.shown(path), &bytes, seen);
        self.problems.extend(problems);
        Ok(items)
    }

    fn rigs(&mut self) -> Result<Rigs, FileFault> {
        let path = "catalog/rigs.csv";
        let Some(bytes) = self.bytes(path, LARGEST_CSV)? else {
            return Ok(Rigs::default());
        };
        let (rigs, problems) = read_rigs(&self.source.shown(path), &bytes);
        self.problems.extend(problems);
        Ok(rigs)
    }

    fn policy(&mut self) -> Result<Policy, FileFault> {
        let Some(bytes) = self.bytes("policy.json", LARGEST_JSON)? else {
            return Ok(Policy::default());
        };
        let file = self.source.shown("policy.json");
        let read = json_text(&file, &bytes)
            .map_err(|p| vec![*p])
            .and_then(|text| read_policy(&file, text));
        Ok(read.unwrap_or_else(|p| {
            self.problems.extend(p);
            Policy::default()
        }))
    }

    /// Doubts files whose names nobody reads: they may be misspelt.
    fn check_names(&mut self) -> Result<(), FileFault> {
        for name in self.source.list("catalog", "csv")? {
            if !TABLES.contains(&name.as_str()) {
                let fault = Fault::new(
                    "catalog::unknown-file",
                    format!("`{name}` is no table of a catalog, and nothing of it is read"),
                    meant(&name, TABLES.iter().copied()),
                );
                self.problems.push(Problem {
                    severity: Severity::Doubt,
                    ..fault.at(Place::file(self.source.shown(&format!("catalog/{name}"))))
                });
            }
        }
        Ok(())
    }

    fn readings<'k>(
        &mut self,
        tables: &Tables<'_>,
        as_of: Option<&str>,
        take: &(dyn Fn(&'static str) -> Take<'k> + Sync),
    ) -> Result<(Vec<Arc<Run>>, Vec<RunAt>), FileFault> {
        let names = self.source.list("catalog/readings", "csv")?;
        let stem = |n: &str| n.strip_suffix(".csv").map(str::to_owned);
        for name in &names {
            if stem(name).is_none_or(|s| bench::find(&s).is_none()) {
                let tests = bench::tests().iter().map(|t| t.id());
                self.problems.push(
                    Fault::new(
                        "readings::unknown-test",
                        format!("`{name}` is not called after a test"),
                        format!(
                            "{}, with `.csv` behind it",
                            meant(&stem(name).unwrap_or_default(), tests)
                        ),
                    )
                    .at(Place::file(
                        self.source.shown(&format!("catalog/readings/{name}")),
                    )),
                );
            }
        }
        let looked: Vec<Result<Looked, Unread>> = bench::tests()
            .par_iter()
            .map(|test| match names.contains(&format!("{}.csv", test.id())) {
                true => look(self.source, *test, take(test.id())),
                false => Ok(Looked::default()),
            })
            .collect();
        let mut taken: HashMap<String, (Arc<str>, usize)> = HashMap::new();
        // Runs that are not read again count before those that are, whatever the order of tests.
        let before = bench::tests().iter().find_map(|t| match take(t.id()) {
            Take::Kept(before) | Take::Beside(before, _) => Some(before),
            Take::All | Take::Of(_) => None,
        });
        for (run, at) in before
            .iter()
            .flat_map(|b| b.runs.iter().zip(&b.places.runs))
        {
            if matches!(take(run.test), Take::Kept(_)) && !taken.contains_key(&run.id) {
                taken.insert(run.id.clone(), (at.sheet.file().into(), at.run.line));
            }
        }
        let (mut runs, mut places) = (Vec::new(), Vec::new());
        for (test, looked) in bench::tests().iter().zip(looked) {
            let looked = match looked {
                Ok(looked) => looked,
                Err(Unread::Fault(f)) => return Err(f),
                Err(Unread::Problems(p)) => {
                    self.problems.extend(p);
                    continue;
                }
            };
            self.left_out.extend(looked.left_out);
            let file: Arc<str> = self.source.shown(&readings_file(test.id())).into();
            let mut of_test: Vec<(Arc<Run>, RunAt)> = Vec::new();
            let (before, again) = match take(test.id()) {
                Take::All | Take::Of(_) => (None, None),
                Take::Kept(before) => (Some(before), None),
                Take::Beside(before, again) => (Some(before), Some(again)),
            };
            if let Some(before) = before {
                let all = before.runs.iter().zip(&before.places.runs);
                of_test.extend(
                    all.filter(|(run, _)| run.test == test.id())
                        .filter(|(run, _)| again.is_none_or(|a| !a.contains(&run.id)))
                        .map(|(run, at)| (Arc::clone(run), at.clone())),
                );
                let of_it = before.problems.iter().filter(|p| p.at.file == *file);
                self.problems.extend(of_it.cloned());
            }
            if let Some(part) = looked.part {
                let (read, sheet) = self.sheet(&file, part, *test, tables, as_of, &taken);
                of_test.extend(read.into_iter().map(|r| {
                    let at = RunAt {
                        sheet: Arc::clone(&sheet),
                        run: r.at,
                        specimens: r.specimens.into(),
                    };
                    (Arc::new(r.run), at)
                }));
            }
            if again.is_some() {
                of_test.sort_by_key(|(_, at)| at.first_line());
            }
            for (run, at) in of_test {
                if !taken.contains_key(&run.id) {
                    taken.insert(run.id.clone(), (Arc::clone(&file), at.run.line));
                }
                runs.push(run);
                places.push(at);
            }
        }
        Ok((runs, places))
    }

    fn sheet(
        &mut self,
        file: &str,
        Part { bytes, lines }: Part,
        test: &'static dyn BenchTest,
        tables: &Tables<'_>,
        as_of: Option<&str>,
        taken: &HashMap<String, (Arc<str>, usize)>,
    ) -> (Vec<ReadRun>, Arc<KeptCsv>) {
        let csv = match CsvText::open(file, &bytes) {
            Ok(csv) => csv,
            Err(p) => {
                self.problems.push(*p);
                return <_>::default();
            }
        };
        let known = Known {
            materials: &tables.ids,
            print: &|id| match tables.prints.get(id) {
                Some(p) => Some(Some(*p)),
                None => tables.print_lines.contains_key(id).then_some(None),
            },
            references: &tables.references,
            surfaces: &tables.surfaces,
            // A run of unknown day is held to what was known at the day asked for.
            rig: &|name, date| tables.rigs.at(name, date.or(as_of), test),
            taken,
            own: &tables.own,
            as_of,
        };
        let (runs, problems) = match lines {
            Some(lines) => read_lines_at(&csv, &lines, test, Some(&known)),
            None => read_lines(&csv, test, Some(&known)),
        };
        self.problems.extend(problems);
        let kept = csv.kept(&bytes);
        (runs, Arc::new(kept.with(bytes)))
    }
}
