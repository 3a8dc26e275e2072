//! Reading sheets: a filled file in, runs out.
#![expect(
    clippy::disallowed_methods,
    reason = "a look at the first bytes tells how large a file may be"
)]

use crate::bench::{BenchTest, Run};
use crate::catalog::intake::{Ask, LARGEST_BOOK, Maps, ReadFile, is_book, read_sheets};
use crate::catalog::source::{LARGEST_CSV, Unread, read_file, shown};
use crate::problem::{Fault, Problem};
use std::io::Read;
use std::path::Path;
use std::sync::Arc;

/// A sheet without a catalog: its test and its runs.
pub type SheetRuns = (&'static dyn BenchTest, Vec<Arc<Run>>);

/// Reads a sheet without a catalog: the test is known by its columns; material,
/// run, specimen, point, direction and counterface may be left out.
///
/// CSV, XLSX and ODS are told apart by their first bytes. Without run ids, lines of
/// one material, date, rig and condition are one run. Without specimen numbers each
/// line is a specimen, but one that leaves all geometry blank, or repeats it while its
/// time goes on, goes on with the curve above. Lines that hold no reading are passed over.
///
/// # Errors
/// Every Problem of the sheet at once; `sheet::several` where the file holds several sheets.
pub fn read_sheet(file: &str, bytes: &[u8]) -> Result<SheetRuns, Vec<Problem>> {
    let maps = Maps::default();
    let ask = Ask {
        maps: &maps,
        given: &[],
        test: None,
    };
    let mut sheets = read_sheets(file, bytes, ask)?.whole()?.sheets.into_iter();
    match (sheets.next(), sheets.next()) {
        (Some(one), None) => Ok((one.test, one.runs)),
        (_, second) => {
            let place = crate::problem::Place::file(second.map_or(file.to_owned(), |s| s.file));
            Err(vec![
                Fault::new(
                    "sheet::several",
                    "the file holds several sheets, and one is read here",
                    "save each sheet as a file of its own",
                )
                .at(place),
            ])
        }
    }
}

/// Reads all sheets of a file from disk.
///
/// # Errors
/// [`Unread`] where the file cannot be read, is too large, or is no sheet.
pub(crate) fn read_sheet_file(path: &Path, ask: Ask<'_>) -> Result<ReadFile, Unread> {
    let bytes = sheet_bytes(path)?;
    read_sheets(&shown(path), &bytes, ask).map_err(Unread::Problems)
}

/// The bytes of a sheet file: a spreadsheet may be far smaller than CSV.
///
/// # Errors
/// As [`read_file`].
pub(crate) fn sheet_bytes(path: &Path) -> Result<Vec<u8>, Unread> {
    let mut head = Vec::new();
    // What is wrong with it is said below; a pipe gives its first bytes once only.
    let looked = std::fs::metadata(path).and_then(|about| match about.is_file() {
        true => std::fs::File::open(path).and_then(|f| f.take(8).read_to_end(&mut head)),
        false => Ok(0),
    });
    let largest = match looked {
        Ok(_) if is_book(&head) => LARGEST_BOOK,
        _ => LARGEST_CSV,
    };
    read_file(path, largest)
}
