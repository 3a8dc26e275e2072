//! CSV text: its separator, its header, its lines, and the place of every cell.
//!
//! One reader cuts lines into cells and finds the places of cells, so that a place
//! is right under CRLF, quoted line ends and comments too. A test holds it to what
//! the `csv` crate reads.

mod cells;
mod lines;

pub(super) use self::cells::Row;
use self::cells::{Cutter, Fields};
use crate::catalog::text::{LONGEST_SOURCE_LINE, line_ends, utf8};
use crate::problem::{Fault, Place, Problem};
use std::borrow::Cow;
use std::ops::Range;
use std::sync::Arc;

/// A CSV text with its header.
pub(super) struct CsvText<'a> {
    /// The file as the user named it.
    pub(super) file: &'a str,
    text: &'a str,
    /// `,`, `;` or a tab.
    separator: u8,
    /// Header cells as written, trimmed.
    pub(super) header: Arc<[String]>,
    header_at: LineAt,
}

/// Where a line begins.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct LineAt {
    byte: usize,
    /// From 1.
    pub(super) line: usize,
}

impl<'a> CsvText<'a> {
    /// Finds encoding, separator and header.
    ///
    /// # Errors
    /// `sheet::not-utf8`, `sheet::empty`.
    pub(super) fn open(file: &'a str, bytes: &'a [u8]) -> Result<Self, Box<Problem>> {
        CsvText::open_below(file, bytes, 0)
    }

    /// As [`CsvText::open`], where `titles` lines with text stand above the header.
    ///
    /// # Errors
    /// As [`CsvText::open`].
    pub(super) fn open_below(
        file: &'a str,
        bytes: &'a [u8],
        titles: usize,
    ) -> Result<Self, Box<Problem>> {
        let text = utf8(
            file,
            bytes,
            "sheet::not-utf8",
            "save the sheet as `CSV UTF-8`",
        )?;
        let header_at = lines_with_text(text).nth(titles).ok_or_else(|| {
            Box::new(
                Fault::new(
                    "sheet::empty",
                    "there is no header line",
                    "begin with a line of column names, such as `run,specimen,material,...`",
                )
                .at(Place::file(file)),
            )
        })?;
        let separator = separator_of(line_text(text, header_at.byte));
        let mut opened = CsvText {
            file,
            text,
            separator,
            header: Arc::default(),
            header_at,
        };
        let mut cutter = Cutter::default();
        cutter.cut(text, separator, header_at);
        opened.header = cutter
            .row(text, header_at)
            .cells()
            .map(str::to_owned)
            .collect();
        Ok(opened)
    }

    /// Whether a comma in a figure can be a decimal comma.
    pub(super) fn decimal_comma(&self) -> bool {
        self.separator != b','
    }

    /// What stands between two cells.
    pub(super) fn separator(&self) -> char {
        char::from(self.separator)
    }

    /// The text without a byte order mark.
    pub(super) fn text(&self) -> &'a str {
        self.text
    }

    /// Where the header begins.
    pub(super) fn header_at(&self) -> LineAt {
        self.header_at
    }

    /// A cell of the line at `at` as it is written, quotes and blanks included.
    pub(super) fn written(&self, at: LineAt, column: usize) -> &'a str {
        let rest = self.text.get(at.byte..).unwrap_or("");
        let span = Fields::new(rest, self.separator).nth(column);
        span.and_then(|(a, b)| rest.get(a..b)).unwrap_or("")
    }

    /// Where each cell of the line at `at` stands in [`CsvText::text`], quotes included.
    pub(super) fn spans(&self, at: LineAt) -> impl Iterator<Item = Range<usize>> {
        let rest = self.text.get(at.byte..).unwrap_or("");
        Fields::new(rest, self.separator).map(move |(a, b)| at.byte + a..at.byte + b)
    }

    /// Gives every line below the header that is neither blank nor a comment to `take`.
    ///
    /// A line with too many or too few cells, and a quote that is never closed,
    /// become Problems, and the line is not given.
    pub(super) fn rows(&self, problems: &mut Vec<Problem>, take: impl FnMut(&Row<'_>)) {
        self.rows_at(self.lines(), problems, take);
    }

    /// The same for the lines that begin at these places.
    pub(super) fn rows_at(
        &self,
        lines: impl IntoIterator<Item = LineAt>,
        problems: &mut Vec<Problem>,
        mut take: impl FnMut(&Row<'_>),
    ) {
        let mut cutter = Cutter::default();
        for at in lines {
            cutter.cut(self.text, self.separator, at);
            let row = cutter.row(self.text, at);
            if row.cells().all(str::is_empty) || row.cell(0).starts_with('#') {
                continue;
            }
            match self.shape_problem(&row, cutter.open()) {
                Some(p) => problems.push(p),
                None => take(&row),
            }
        }
    }

    fn shape_problem(&self, row: &Row<'_>, open: bool) -> Option<Problem> {
        let (have, want) = (row.len(), self.header.len());
        let at = row.at;
        if open {
            return Some(
                Fault::new(
                    "sheet::open-quote",
                    "a quote opens a cell here and is never closed",
                    "close it with a second `\"`, or take it out",
                )
                .at(self.place(at, have.saturating_sub(1))),
            );
        }
        if have > want {
            let fix = if self.separator == b',' {
                "write figures with a decimal point (a decimal comma splits a cell in two), or put a cell that holds a comma in quotes"
            } else {
                "take the extra cells out, or name them in the header"
            };
            return Some(
                Fault::new(
                    "sheet::too-many-cells",
                    format!("this line has {have} cells, and the header has {want}"),
                    fix,
                )
                .at(self.place(at, want)),
            );
        }
        if have < want {
            return Some(
                Fault::new(
                    "sheet::too-few-cells",
                    format!("this line has {have} cells, and the header has {want}"),
                    "give every column a cell; a blank one still needs its separator",
                )
                .at(Place {
                    length: 1,
                    ..self.place(at, have.saturating_sub(1))
                }),
            );
        }
        None
    }

    /// The place of a cell of the line at `at`.
    pub(super) fn place(&self, at: LineAt, column: usize) -> Place {
        let rest = self.text.get(at.byte..).unwrap_or("");
        let (start, end) = Fields::new(rest, self.separator)
            .nth(column)
            .unwrap_or((0, 0));
        let raw = rest.get(start..end).unwrap_or("");
        let trimmed = raw.trim();
        let start = start + (raw.len() - raw.trim_start().len());
        let before = rest.get(..start).unwrap_or("");
        let line_begin = before.rfind(['\n', '\r']).map_or(0, |i| i + 1);
        let source = line_text(rest, line_begin);
        let length = trimmed.lines().next().unwrap_or("").chars().count();
        Place {
            file: self.file.to_owned(),
            line: at.line + line_ends(before.get(..line_begin).unwrap_or("").as_bytes()),
            column: before.get(line_begin..).unwrap_or("").chars().count() + 1,
            field: self.header.get(column).filter(|h| !h.is_empty()).cloned(),
            source_line: (source.len() <= LONGEST_SOURCE_LINE).then(|| source.to_owned()),
            length: length.max(1),
        }
    }

    /// The place of a header cell.
    pub(super) fn header_place(&self, column: usize) -> Place {
        self.place(self.header_at, column)
    }

    /// The place of the whole header line.
    pub(super) fn header_line_place(&self) -> Place {
        let source = line_text(self.text, self.header_at.byte);
        Place {
            file: self.file.to_owned(),
            line: self.header_at.line,
            column: 1,
            field: None,
            source_line: (source.len() <= LONGEST_SOURCE_LINE).then(|| source.to_owned()),
            length: source.chars().count().max(1),
        }
    }
}

/// A CSV text kept for the places of its lines.
#[derive(Clone, Debug, Default)]
pub(super) struct KeptCsv {
    file: String,
    text: Cow<'static, str>,
    /// Where the text begins behind a byte order mark.
    mark: usize,
    separator: u8,
    header: Arc<[String]>,
    header_at: LineAt,
}

impl CsvText<'_> {
    /// What the places of its lines need of it, and its `bytes`.
    pub(super) fn kept(&self, bytes: &[u8]) -> KeptCsv {
        KeptCsv {
            file: self.file.to_owned(),
            text: Cow::Borrowed(""),
            mark: bytes.len() - self.text.len(),
            separator: self.separator,
            header: Arc::clone(&self.header),
            header_at: self.header_at,
        }
    }
}

impl KeptCsv {
    /// The same with the bytes from which it was read.
    pub(super) fn with(self, bytes: Cow<'static, [u8]>) -> Self {
        let text = match bytes {
            Cow::Borrowed(b) => std::str::from_utf8(b).map(Cow::Borrowed).ok(),
            Cow::Owned(b) => String::from_utf8(b).map(Cow::Owned).ok(),
        };
        KeptCsv {
            text: text.unwrap_or_default(),
            ..self
        }
    }

    /// The file as the user named it.
    pub(super) fn file(&self) -> &str {
        &self.file
    }

    /// The place of the first cell of the line at `at`.
    pub(super) fn place(&self, at: LineAt) -> Place {
        let csv = CsvText {
            file: &self.file,
            text: self.text.get(self.mark..).unwrap_or(""),
            separator: self.separator,
            header: Arc::clone(&self.header),
            header_at: self.header_at,
        };
        csv.place(at, 0)
    }
}

/// The text of the line that begins at `byte`, without its end.
fn line_text(text: &str, byte: usize) -> &str {
    let rest = text.get(byte..).unwrap_or("");
    rest.split(['\n', '\r']).next().unwrap_or("")
}

/// The lines that are neither blank nor a comment.
fn lines_with_text(text: &str) -> impl Iterator<Item = LineAt> {
    let mut byte = 0;
    let mut last = LineAt { byte: 0, line: 1 };
    std::iter::from_fn(move || {
        while byte < text.len() {
            let begin = byte;
            let line = line_text(text, begin);
            byte += line.len() + 1;
            let t = line.trim_start_matches([' ', '"']);
            if !line.trim_matches([' ', ',', ';', '\t']).is_empty() && !t.starts_with('#') {
                last = LineAt {
                    byte: begin,
                    line: last.line + line_ends(text.get(last.byte..begin)?.as_bytes()),
                };
                return Some(last);
            }
        }
        None
    })
}

/// The separator that the header line uses most, outside quotes and units.
fn separator_of(header: &str) -> u8 {
    let (mut quoted, mut depth) = (false, 0_usize);
    let mut counts = [0_usize; 3];
    for b in header.bytes() {
        match b {
            b'"' => quoted = !quoted,
            b'[' => depth += 1,
            b']' => depth = depth.saturating_sub(1),
            b',' if !quoted && depth == 0 => counts[0] += 1,
            b';' if !quoted && depth == 0 => counts[1] += 1,
            b'\t' if !quoted && depth == 0 => counts[2] += 1,
            _ => {}
        }
    }
    if counts[1] > counts[0] && counts[1] >= counts[2] {
        b';'
    } else if counts[2] > counts[0] {
        b'\t'
    } else {
        b','
    }
}

#[cfg(test)]
mod tests;
