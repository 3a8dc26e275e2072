//! Cells for spreadsheets: RFC 4180, and none that a spreadsheet would run.

use crate::render::words::safe;

/// First characters that make a spreadsheet take a cell for a formula or a command; wide forms too.
const TRIGGERS: [char; 10] = ['=', '+', '-', '@', '\t', '\r', '＝', '＋', '－', '＠'];

/// Whether text begins like a formula. A plain number does not, negative ones neither.
fn runs(text: &str) -> bool {
    let begins = text.trim_start_matches(' ').starts_with(TRIGGERS);
    begins && !is_number(text)
}

/// A plain number with a digit or a point after its minus: `-3.4e-5`, not `-1+2`, `+1` or `-inf`.
fn is_number(text: &str) -> bool {
    let digits = text.strip_prefix('-').unwrap_or(text);
    digits.starts_with(|c: char| c.is_ascii_digit() || c == '.') && digits.parse::<f64>().is_ok()
}

/// Text that no spreadsheet takes for a formula: an apostrophe in front shows it as it is.
///
/// Where commas do not part cells a semicolon does, so what follows one is kept from running too.
/// Control characters become visible marks.
fn tame(text: &str) -> String {
    let shown = safe(text);
    // What began with a tab or a line end did so to be taken for something else.
    let mut out = String::new();
    if runs(text) || runs(&shown) {
        out.push('\'');
    }
    let mut pieces = shown.split(';');
    out.push_str(pieces.next().unwrap_or_default());
    for piece in pieces {
        out.push(';');
        let words = piece.trim_start_matches(' ');
        let number = words
            .split(' ')
            .next()
            .is_some_and(|w| is_number(w.trim_end_matches(',')));
        if words.starts_with(TRIGGERS) && !number {
            out.push('\'');
        }
        out.push_str(piece);
    }
    out
}

/// Rows as CSV with CRLF line ends; every cell is made safe.
pub(super) fn written(rows: &[Vec<String>]) -> String {
    let mut to = ::csv::WriterBuilder::new()
        .terminator(::csv::Terminator::CRLF)
        .from_writer(Vec::new());
    for row in rows {
        // A vector takes whatever is written.
        if to.write_record(row.iter().map(|c| tame(c))).is_err() {
            return String::new();
        }
    }
    let bytes = to.into_inner().unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_run() {
        let said: Vec<String> = [
            "=HYPERLINK(\"http://x\",\"y\")",
            "+cmd|' /C calc'!A0",
            "@SUM(A1)",
            "-2+3",
            "\t=1",
            "\r=1",
            "  =1",
            "-",
            "+1",
            "－1",
            "quiet; =1+1",
            "out; -5 degC",
        ]
        .map(tame)
        .to_vec();
        assert_eq!(
            said,
            [
                "'=HYPERLINK(\"http://x\",\"y\")",
                "'+cmd|' /C calc'!A0",
                "'@SUM(A1)",
                "'-2+3",
                "' =1",
                "'\u{fffd}=1",
                "'  =1",
                "'-",
                "'+1",
                "'－1",
                "quiet;' =1+1",
                "out; -5 degC",
            ]
        );
    }

    #[test]
    fn numbers_and_bounds_stay_what_they_are() {
        for text in [
            "-3.4", "-3.4e-5", "12", ">=45", "<=0.2", "10..12", "", "a=b", "'",
        ] {
            assert_eq!(tame(text), text);
        }
        assert_eq!(tame("-inf"), "'-inf");
    }
}
