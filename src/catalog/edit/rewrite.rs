//! Single cells of a CSV text replaced.

use crate::catalog::csv_text::CsvText;
use crate::catalog::header::split_header;
use std::ops::Range;

/// The column of a name, whatever its unit.
pub(super) fn column_named(csv: &CsvText<'_>, name: &str) -> Option<usize> {
    csv.header
        .iter()
        .position(|h| !h.starts_with('#') && split_header(h).0 == name)
}

/// The text of a file with some spans replaced by a cell each; `cells` stand in the order of the file.
///
/// A cell keeps its quotes and the blanks around it.
pub(super) fn rewritten(
    old: &[u8],
    csv: &CsvText<'_>,
    cells: impl IntoIterator<Item = (Range<usize>, String)>,
) -> Vec<u8> {
    let mark = old.len() - csv.text().len();
    let mut bytes = Vec::with_capacity(old.len() + 64);
    bytes.extend_from_slice(old.get(..mark).unwrap_or_default());
    let mut from = 0;
    for (span, cell) in cells {
        let raw = csv.text().get(span.clone()).unwrap_or("");
        let inner = raw.trim();
        let begin = span.start + (raw.len() - raw.trim_start().len());
        bytes.extend_from_slice(csv.text().get(from..begin).unwrap_or("").as_bytes());
        let must = cell.contains([csv.separator(), '"', '\n', '\r']);
        if must || inner.starts_with('"') {
            let quoted = format!("\"{}\"", cell.replace('"', "\"\""));
            bytes.extend_from_slice(quoted.as_bytes());
        } else {
            bytes.extend_from_slice(cell.as_bytes());
        }
        from = begin + inner.len();
    }
    bytes.extend_from_slice(csv.text().get(from..).unwrap_or("").as_bytes());
    bytes
}
