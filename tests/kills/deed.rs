//! What the program is killed at, and how its files look before and after.

use super::book::{Book, Files, count_in};

/// How many lines a test gets from a sheet.
const LINES: usize = 3;

/// One kind of change.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Deed {
    /// A CSV sheet of one test into one file.
    OneSheet,
    /// A spreadsheet of three tests into three files.
    ThreeSheets,
    /// A material's id in every file.
    Rename,
}

impl Deed {
    pub(crate) const ALL: [Deed; 3] = [Deed::OneSheet, Deed::ThreeSheets, Deed::Rename];

    pub(crate) fn words(self) -> &'static str {
        match self {
            Deed::OneSheet => "record, one sheet",
            Deed::ThreeSheets => "record, three sheets",
            Deed::Rename => "rename, all files",
        }
    }

    /// The `n`th change of this kind: the command, and what it leads to.
    pub(crate) fn prepare(self, book: &Book, n: usize) -> (Vec<String>, Expected) {
        let tags: Vec<String> = (1..=LINES).map(|s| format!("tag-{n}-{s}-end")).collect();
        let name = format!("sheet-{n}");
        let grows = |file: &str, tags: Vec<String>| (file.to_owned(), tags);
        let lettered = |l: &str| tags.iter().map(|t| format!("{l}-{t}")).collect();
        match self {
            Deed::OneSheet => (
                book.record(&book.one_sheet(&name, n, &tags)),
                Expected::Grows(vec![grows("readings/flexure.csv", tags.clone())]),
            ),
            Deed::ThreeSheets => (
                book.record(&book.three_sheets(&name, n, &tags)),
                Expected::Grows(vec![
                    grows("readings/tensile.csv", lettered("t")),
                    grows("readings/hardness.csv", lettered("h")),
                    grows("readings/density.csv", lettered("d")),
                ]),
            ),
            Deed::Rename => {
                // There and back, so that the ids stay few.
                let there = "mat-001".to_owned();
                let back = "ren-001".to_owned();
                let old = book.files();
                let listed = old
                    .get("materials.csv")
                    .is_some_and(|b| count_in(b, &there) > 0);
                let (from, to) = if listed { (there, back) } else { (back, there) };
                (book.rename(&from, &to), Expected::Renamed { from, to })
            }
        }
    }
}

/// What a change leads to.
#[derive(Clone, Debug)]
pub(crate) enum Expected {
    /// Each of these files keeps its bytes and gets one line a tag.
    Grows(Vec<(String, Vec<String>)>),
    /// One text in place of another in all files.
    Renamed {
        /// What stood there.
        from: String,
        /// What stands there.
        to: String,
    },
}

impl Expected {
    /// What is wrong if `now` is not the whole new state.
    pub(crate) fn is_new(&self, old: &Files, now: &Files) -> Result<(), String> {
        match self {
            Expected::Renamed { from, to } => {
                let renamed = |bytes: &Vec<u8>| {
                    String::from_utf8_lossy(bytes)
                        .replace(from.as_str(), to)
                        .into_bytes()
                };
                let wanted: Files = old.iter().map(|(n, b)| (n.clone(), renamed(b))).collect();
                if *now == wanted {
                    Ok(())
                } else {
                    Err(format!("{from} is {to} in part of the files only"))
                }
            }
            Expected::Grows(files) => {
                let names = |f: &Files| f.keys().cloned().collect::<Vec<_>>();
                if names(old) != names(now) {
                    return Err(format!("other files: {:?}", names(now)));
                }
                for (name, before) in old {
                    let after = now.get(name).map_or(&[][..], Vec::as_slice);
                    let added = files.iter().find(|(f, _)| f == name).map(|(_, t)| t);
                    let Some(rest) = after.strip_prefix(before.as_slice()) else {
                        return Err(format!("{name} lost bytes it had"));
                    };
                    let tags = added.map_or(&[][..], Vec::as_slice);
                    let text = String::from_utf8_lossy(rest);
                    let lines = text.lines().filter(|l| !l.trim().is_empty()).count();
                    if lines != tags.len() {
                        return Err(format!("{name} got {lines} lines, not {}", tags.len()));
                    }
                    for tag in tags {
                        if count_in(rest, tag) != 1 {
                            return Err(format!("{name} has {tag} not once"));
                        }
                    }
                }
                Ok(())
            }
        }
    }
}
