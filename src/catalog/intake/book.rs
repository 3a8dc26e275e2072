//! Spreadsheet files: which kind one is, how much it unpacks to, and its tables of cells.

use super::{ods, xlsx};
use crate::problem::{Fault, Place, Problem};
use std::io::{Cursor, Read};
use zip::ZipArchive;

/// Most bytes that a spreadsheet file may unpack to.
pub(crate) const LARGEST_UNPACKED: u64 = 64 << 20;
/// Most cells that are read of one file; a few bytes can repeat a cell very often.
pub(super) const MOST_CELLS: usize = 4_000_000;

/// Most columns that a sheet has.
pub(super) const MOST_COLUMNS: usize = 16_384;
/// Most rows that a sheet has.
pub(super) const MOST_ROWS: usize = 1_048_576;

/// Cells that a file of so many bytes unpacked may stand for beyond those that are written in it.
///
/// A few bytes can repeat a cell very often; memory is to stay in proportion to the file.
pub(super) fn most_repeats(unpacked: usize) -> usize {
    3072 + unpacked / 8
}

/// What a cell of a spreadsheet holds.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Value {
    /// Text as typed.
    Text(String),
    /// A figure.
    Figure(f64),
    /// A figure that is shown in percent: 0.05 where the cell shows 5 %.
    Percent(f64),
    /// A date, ISO 8601, its time of day left out.
    Date(String),
    /// A time of day or a duration, as it would be shown.
    Time(String),
    /// `TRUE` or `FALSE`.
    Truth(bool),
    /// What a formula says where it cannot be reckoned: `#DIV/0!`.
    Error(String),
    /// A formula whose value is not in the file.
    NotReckoned,
}

/// A row: its cells that hold something.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct BookRow {
    /// From 1.
    pub(super) number: usize,
    /// Cells by column from 0.
    pub(super) cells: Vec<(usize, Value)>,
}

/// A merged area, rows from 1, columns from 0, both ends included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Merged {
    pub(super) rows: (usize, usize),
    pub(super) column: usize,
}

/// One sheet of a spreadsheet file.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Table {
    pub(super) name: String,
    pub(super) hidden: bool,
    /// Rows that hold something, by number.
    pub(super) rows: Vec<BookRow>,
    /// Areas of several rows that were merged to one cell.
    pub(super) merged: Vec<Merged>,
}

impl Table {
    /// Gives every row of a merged area the value of its first: that is how it looks. At most so many
    /// cells are added.
    pub(super) fn spread_merged(&mut self, most: usize) {
        let mut steps = 0;
        let mut added = 0;
        for m in std::mem::take(&mut self.merged) {
            let (first, last) = m.rows;
            let from = self.rows.partition_point(|r| r.number < first);
            let Some(value) = self
                .rows
                .get(from)
                .filter(|r| r.number == first)
                .and_then(|r| r.cells.iter().find(|c| c.0 == m.column))
                .map(|c| c.1.clone())
            else {
                continue;
            };
            let covered = self.rows.iter_mut().skip(from + 1);
            for row in covered.take_while(|r| r.number <= last) {
                steps += row.cells.len() + 1;
                // Areas that lie on each other are no sheet that anybody filled.
                if steps > MOST_CELLS || added >= most {
                    return;
                }
                if row.cells.iter().all(|c| c.0 != m.column) {
                    added += 1;
                    row.cells.push((m.column, value.clone()));
                }
            }
        }
    }

    /// Puts the cells of every row into the order of their columns.
    pub(super) fn sort(&mut self) {
        for row in &mut self.rows {
            row.cells.sort_by_key(|c| c.0);
            row.cells.dedup_by_key(|c| c.0);
        }
    }
}

/// The name of a column as spreadsheets show it: `A`, `B` ... `AA`.
pub(super) fn column_name(column: usize) -> String {
    let mut letters = Vec::new();
    let mut rest = column + 1;
    while rest > 0 {
        let digit = u8::try_from((rest - 1) % 26).unwrap_or(0);
        letters.push(char::from(b'A' + digit));
        rest = (rest - 1) / 26;
    }
    letters.iter().rev().collect()
}

/// Whether the bytes are a spreadsheet file, or were meant as one.
pub(crate) fn is_book(bytes: &[u8]) -> bool {
    bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(CFB)
}

/// How files begin that older office programs wrote, and encrypted ones of today.
const CFB: &[u8] = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1";

/// Reads all tables of a spreadsheet file.
///
/// # Errors
/// `file::too-large`, `book::encrypted`, `book::old`, `book::broken`, `book::unknown`.
pub(super) fn read_book(file: &str, bytes: &[u8]) -> Result<Vec<Table>, Box<Problem>> {
    let at = |f: Fault| Box::new(f.at(Place::file(file)));
    if bytes.starts_with(CFB) {
        return Err(at(of_old_office(bytes)));
    }
    let mut zip = ZipArchive::new(Cursor::new(bytes)).map_err(|e| at(broken(&e.to_string())))?;
    let unpacked = check_size(&mut zip).map_err(at)?;
    let has = |name: &str| zip.index_for_name(name).is_some();
    let mut tables = if has("content.xml") {
        ods::read(&mut zip)
    } else if has("xl/workbook.bin") {
        Err(Fault::new(
            "book::unknown",
            "this is a binary workbook, which is not read",
            "save it as `.xlsx`, `.ods` or CSV",
        ))
    } else if has("[Content_Types].xml") {
        xlsx::read(&mut zip, bytes)
    } else {
        Err(Fault::new(
            "book::unknown",
            "this is an archive of files and no spreadsheet",
            "name the sheet inside it, or save it as `.xlsx`, `.ods` or CSV",
        ))
    }
    .map_err(at)?;
    for t in &mut tables {
        t.spread_merged(most_repeats(unpacked));
        t.sort();
    }
    Ok(tables)
}

fn of_old_office(bytes: &[u8]) -> Fault {
    // The name of the stream that holds an encrypted workbook, in UTF-16.
    let package: Vec<u8> = "EncryptedPackage"
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    if bytes.windows(package.len()).any(|w| w == package) {
        encrypted()
    } else {
        Fault::new(
            "book::old",
            "this is a spreadsheet of the old `.xls` kind, which is not read",
            "save it as `.xlsx`, `.ods` or CSV",
        )
    }
}

/// A file that cannot be read without a password.
pub(super) fn encrypted() -> Fault {
    Fault::new(
        "book::encrypted",
        "the file is locked with a password",
        "save a copy without a password, and record that",
    )
}

/// A file that does not hold together.
pub(super) fn broken(how: &str) -> Fault {
    Fault::new(
        "book::broken",
        format!("the spreadsheet file is broken: {how}"),
        "open it in a spreadsheet program and save it again",
    )
}

/// A file with more cells than any bench fills.
pub(super) fn too_many_cells() -> Fault {
    Fault::new(
        "file::too-large",
        format!("the sheets hold more than {MOST_CELLS} cells, the most that is read of one file"),
        "split it, or take out what does not belong in it",
    )
}

/// A file that stands for far more cells than are written in it.
pub(super) fn too_many_repeats() -> Fault {
    Fault::new(
        "file::too-large",
        "rows or cells repeat far more often than the size of the file lets expect",
        "delete the rows and columns behind the readings, or save it as CSV",
    )
}

/// Checks what the file unpacks to, and gives it back: by its directory, then by reading, since a
/// directory can lie.
fn check_size(zip: &mut ZipArchive<Cursor<&[u8]>>) -> Result<usize, Fault> {
    let too_large = || {
        Fault::new(
            "file::too-large",
            "the spreadsheet unpacks to more than 64 MiB, the most that is read of its kind",
            "split it, or take pictures and whatever else does not belong in it out",
        )
    };
    let mut said: u64 = 0;
    for i in 0..zip.len() {
        let part = zip.by_index_raw(i).map_err(|e| broken(&e.to_string()))?;
        if part.encrypted() {
            return Err(encrypted());
        }
        said = said.saturating_add(part.size());
    }
    if said > LARGEST_UNPACKED {
        return Err(too_large());
    }
    let mut read: u64 = 0;
    for i in 0..zip.len() {
        let part = zip.by_index(i).map_err(|e| broken(&e.to_string()))?;
        let left = LARGEST_UNPACKED - read;
        read += std::io::copy(&mut part.take(left + 1), &mut std::io::sink())
            .map_err(|e| broken(&e.to_string()))?;
        if read > LARGEST_UNPACKED {
            return Err(too_large());
        }
    }
    Ok(usize::try_from(read).unwrap_or(usize::MAX))
}

/// The bytes of one part of the file; `None` where it is not there. Its size was checked before.
pub(super) fn part(
    zip: &mut ZipArchive<Cursor<&[u8]>>,
    name: &str,
) -> Result<Option<Vec<u8>>, Fault> {
    let Some(i) = zip.index_for_name(name) else {
        return Ok(None);
    };
    let mut bytes = Vec::new();
    zip.by_index(i)
        .map_err(|e| broken(&e.to_string()))?
        .take(LARGEST_UNPACKED)
        .read_to_end(&mut bytes)
        .map_err(|e| broken(&e.to_string()))?;
    Ok(Some(bytes))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_have_the_names_that_spreadsheets_show() {
        let names: Vec<String> = [0, 1, 25, 26, 27, 701, 702].map(column_name).to_vec();
        assert_eq!(names, ["A", "B", "Z", "AA", "AB", "ZZ", "AAA"]);
    }
}
