//! CSV text: its separator, its header, its lines, and the place of every cell.
//!
//! Cells are read through the `csv` crate; places come from the bytes, since
//! only they can be trusted under CRLF and quoted line ends.

use crate::catalog::text::{LONGEST_SOURCE_LINE, line_ends, utf8};
use crate::problem::{Fault, Place, Problem};
use csv::StringRecord;
use std::ops::Range;

/// A CSV text with its header.
pub(super) struct CsvText<'a> {
    /// The file as the user named it.
    pub(super) file: &'a str,
    text: &'a str,
    /// `,`, `;` or a tab.
    separator: u8,
    /// Header cells as written, trimmed.
    pub(super) header: Vec<String>,
    header_at: LineAt,
}

/// Where a line begins.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct LineAt {
    byte: usize,
    /// From 1.
    pub(super) line: usize,
}

/// One line that holds cells.
pub(super) struct Row<'r> {
    cells: &'r StringRecord,
    /// Where it begins.
    pub(super) at: LineAt,
}

impl Row<'_> {
    /// The trimmed cell in a column; blank where the line is short.
    pub(super) fn cell(&self, column: usize) -> &str {
        self.cells.get(column).unwrap_or("").trim()
    }
}

impl<'a> CsvText<'a> {
    /// Finds encoding, separator and header.
    ///
    /// # Errors
    /// `sheet::not-utf8`, `sheet::empty`.
    pub(super) fn open(file: &'a str, bytes: &'a [u8]) -> Result<Self, Box<Problem>> {
        let text = utf8(
            file,
            bytes,
            "sheet::not-utf8",
            "save the sheet as `CSV UTF-8`",
        )?;
        let header_at = first_line(text).ok_or_else(|| {
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
            header: Vec::new(),
            header_at,
        };
        let mut reader = opened.reader(header_at.byte);
        let mut record = StringRecord::new();
        // Reading from a slice that is known to be UTF-8 cannot fail.
        if matches!(reader.read_record(&mut record), Ok(true)) {
            opened.header = record.iter().map(|c| c.trim().to_owned()).collect();
        }
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

    /// Where each cell of the line at `at` stands in [`CsvText::text`], quotes included.
    pub(super) fn spans(&self, at: LineAt) -> impl Iterator<Item = Range<usize>> {
        let rest = self.text.get(at.byte..).unwrap_or("");
        Fields::new(rest, self.separator).map(move |(a, b)| at.byte + a..at.byte + b)
    }

    fn reader(&self, from: usize) -> csv::Reader<&'a [u8]> {
        csv::ReaderBuilder::new()
            .delimiter(self.separator)
            .has_headers(false)
            .flexible(true)
            .comment(Some(b'#'))
            .from_reader(self.text.as_bytes().get(from..).unwrap_or_default())
    }

    /// Gives every line below the header that is neither blank nor a comment to `take`.
    ///
    /// A line with too many or too few cells, and a quote that is never closed,
    /// become Problems, and the line is not given.
    pub(super) fn rows(&self, problems: &mut Vec<Problem>, mut take: impl FnMut(&Row<'_>)) {
        let base = self.header_at.byte;
        let mut reader = self.reader(base);
        let mut record = StringRecord::new();
        let mut at = self.header_at;
        let mut header_passed = false;
        while matches!(reader.read_record(&mut record), Ok(true)) {
            let start = record
                .position()
                .and_then(|p| usize::try_from(p.byte()).ok())
                .map_or(at.byte, |b| base + b);
            at = self.advance(at, start);
            if !header_passed {
                header_passed = true;
                continue;
            }
            if record.iter().all(|c| c.trim().is_empty()) {
                continue;
            }
            if record
                .get(0)
                .is_some_and(|c| c.trim_start().starts_with('#'))
            {
                continue;
            }
            let ends = usize::try_from(reader.position().byte())
                .is_ok_and(|b| base + b >= self.text.len());
            if let Some(p) = self.shape_problem(&record, at, ends) {
                problems.push(p);
                continue;
            }
            take(&Row { cells: &record, at });
        }
    }

    /// The line begin at or after `start`, with its number, counted on from `from`.
    fn advance(&self, from: LineAt, start: usize) -> LineAt {
        let bytes = self.text.as_bytes();
        let mut byte = start;
        // The reader points at what is left of the line end before, at blank lines or at comments.
        loop {
            match bytes.get(byte) {
                Some(b'\n' | b'\r') => byte += 1,
                Some(b'#') => byte += line_text(self.text, byte).len(),
                _ => break,
            }
        }
        let passed = bytes.get(from.byte..byte).unwrap_or_default();
        LineAt {
            byte,
            line: from.line + line_ends(passed),
        }
    }

    fn shape_problem(&self, record: &StringRecord, at: LineAt, last: bool) -> Option<Problem> {
        let (have, want) = (record.len(), self.header.len());
        let rest = self.text.get(at.byte..).unwrap_or("");
        if last && record_is_open(rest, self.separator, have) {
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

/// The text of the line that begins at `byte`, without its end.
fn line_text(text: &str, byte: usize) -> &str {
    let rest = text.get(byte..).unwrap_or("");
    rest.split(['\n', '\r']).next().unwrap_or("")
}

/// The first line that is neither blank nor a comment.
fn first_line(text: &str) -> Option<LineAt> {
    let mut byte = 0;
    while byte < text.len() {
        let line = line_text(text, byte);
        let t = line.trim_start_matches([' ', '"']);
        if !line.trim_matches([' ', ',', ';', '\t']).is_empty() && !t.starts_with('#') {
            return Some(LineAt {
                byte,
                line: 1 + line_ends(text.get(..byte)?.as_bytes()),
            });
        }
        byte += line.len() + 1;
    }
    None
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

/// Byte spans of the cells of one line, quotes included.
struct Fields<'t> {
    text: &'t [u8],
    separator: u8,
    next: Option<usize>,
    open: bool,
}

impl<'t> Fields<'t> {
    fn new(text: &'t str, separator: u8) -> Self {
        Fields {
            text: text.as_bytes(),
            separator,
            next: Some(0),
            open: false,
        }
    }
}

impl Iterator for Fields<'_> {
    type Item = (usize, usize);

    fn next(&mut self) -> Option<Self::Item> {
        let start = self.next?;
        let mut i = start;
        let mut quoted = self.text.get(i) == Some(&b'"');
        if quoted {
            i += 1;
        }
        loop {
            match self.text.get(i) {
                None => {
                    self.next = None;
                    self.open = quoted;
                    return Some((start, i));
                }
                Some(b'"') if quoted => {
                    if self.text.get(i + 1) == Some(&b'"') {
                        i += 1;
                    } else {
                        quoted = false;
                    }
                }
                Some(b) if !quoted && *b == self.separator => {
                    self.next = Some(i + 1);
                    return Some((start, i));
                }
                Some(b'\n' | b'\r') if !quoted => {
                    self.next = None;
                    return Some((start, i));
                }
                Some(_) => {}
            }
            i += 1;
        }
    }
}

/// Whether the last of `cells` cells begins a quote that the text never closes.
fn record_is_open(rest: &str, separator: u8, cells: usize) -> bool {
    let mut fields = Fields::new(rest, separator);
    let last = fields.by_ref().take(cells).last();
    fields.open && last.is_some_and(|(_, end)| end == rest.len())
}
