//! Bytes to text, and lines counted: what CSV and JSON share.

use crate::problem::{Fault, Place, Problem};

/// Source lines longer than this are not repeated in a Problem.
pub(super) const LONGEST_SOURCE_LINE: usize = 1_000;

/// The text of a file, without a byte order mark.
///
/// # Errors
/// The first byte that is not UTF-8, placed, with the code and fix given.
pub(super) fn utf8<'b>(
    file: &str,
    bytes: &'b [u8],
    code: &'static str,
    fix: &str,
) -> Result<&'b str, Box<Problem>> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    std::str::from_utf8(bytes).map_err(|e| {
        let head = bytes.get(..e.valid_up_to()).unwrap_or_default();
        let begin = head
            .iter()
            .rposition(|b| matches!(b, b'\n' | b'\r'))
            .map_or(0, |i| i + 1);
        let line: Vec<u8> = bytes
            .iter()
            .skip(begin)
            .take_while(|b| !matches!(b, b'\n' | b'\r'))
            .take(LONGEST_SOURCE_LINE)
            .copied()
            .collect();
        let before = String::from_utf8_lossy(head.get(begin..).unwrap_or_default());
        let at = Place {
            file: file.to_owned(),
            line: 1 + line_ends(head),
            column: before.chars().count() + 1,
            field: None,
            source_line: Some(String::from_utf8_lossy(&line).into_owned()),
            length: 1,
        };
        Box::new(Fault::new(code, "the text is not UTF-8 from here on", fix).at(at))
    })
}

/// The text of a JSON file.
///
/// # Errors
/// `json::not-utf8`.
pub(super) fn json_text<'b>(file: &str, bytes: &'b [u8]) -> Result<&'b str, Box<Problem>> {
    utf8(file, bytes, "json::not-utf8", "save the file as UTF-8")
}

/// How many lines end within `bytes`; CRLF ends one.
pub(super) fn line_ends(bytes: &[u8]) -> usize {
    let mut count = 0;
    let mut previous = 0;
    for &b in bytes {
        if b == b'\n' {
            count += usize::from(previous != b'\r');
        } else if b == b'\r' {
            count += 1;
        }
        previous = b;
    }
    count
}
