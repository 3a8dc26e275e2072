//! Where the lines of a CSV text begin.

use super::cells::Fields;
use super::{CsvText, LineAt};
use crate::catalog::text::line_ends;

impl<'a> CsvText<'a> {
    /// Where each line below the header begins that is neither empty nor a comment.
    pub(in crate::catalog) fn lines(&self) -> Lines<'a> {
        let mut lines = Lines {
            text: self.text,
            separator: self.separator,
            returns: self.text.contains('\r'),
            quotes: self.text.contains('"'),
            next: self.header_at,
        };
        lines.next();
        lines
    }
}

/// See [`CsvText::lines`].
pub(in crate::catalog) struct Lines<'t> {
    text: &'t str,
    separator: u8,
    /// Whether the text holds a carriage return at all.
    returns: bool,
    /// Whether it holds a quote at all.
    quotes: bool,
    next: LineAt,
}

impl Lines<'_> {
    /// Where the physical line ends that holds the byte at `from`.
    fn line_end(&self, from: usize) -> usize {
        let rest = self.text.get(from..).unwrap_or("");
        let end = if self.returns {
            let ends = |b: &u8| matches!(b, b'\n' | b'\r');
            rest.as_bytes().iter().position(ends)
        } else {
            rest.find('\n')
        };
        end.map_or(self.text.len(), |e| from + e)
    }
}

impl Iterator for Lines<'_> {
    type Item = LineAt;

    fn next(&mut self) -> Option<LineAt> {
        let bytes = self.text.as_bytes();
        let LineAt { mut byte, mut line } = self.next;
        loop {
            match bytes.get(byte)? {
                b'\n' => (byte, line) = (byte + 1, line + 1),
                b'\r' => {
                    let both = bytes.get(byte + 1) == Some(&b'\n');
                    (byte, line) = (byte + 1 + usize::from(both), line + 1);
                }
                b'#' => byte = self.line_end(byte),
                _ => break,
            }
        }
        let at = LineAt { byte, line };
        let mut end = self.line_end(byte);
        let physical = self.text.get(byte..end).unwrap_or("");
        if self.quotes && physical.contains('"') {
            // A quoted cell may hold line ends.
            let rest = self.text.get(byte..).unwrap_or("");
            let cells = Fields::new(rest, self.separator).last();
            end = byte + cells.map_or(0, |(_, end)| end);
            line += line_ends(bytes.get(byte..end).unwrap_or_default());
        }
        self.next = LineAt { byte: end, line };
        Some(at)
    }
}
