//! One line cut into its cells.

use super::LineAt;

/// One line that holds cells.
pub(in crate::catalog) struct Row<'r> {
    line: &'r str,
    unquoted: &'r str,
    spans: &'r [Span],
    /// Where it begins.
    pub(in crate::catalog) at: LineAt,
}

impl<'r> Row<'r> {
    /// The trimmed cell in a column; blank where the line is short.
    pub(in crate::catalog) fn cell(&self, column: usize) -> &'r str {
        self.spans.get(column).map_or("", |s| self.text_of(*s))
    }

    /// All cells, trimmed.
    pub(super) fn cells(&self) -> impl Iterator<Item = &'r str> {
        self.spans.iter().map(|s| self.text_of(*s))
    }

    /// How many cells it has.
    pub(super) fn len(&self) -> usize {
        self.spans.len()
    }

    fn text_of(&self, s: Span) -> &'r str {
        let of = if s.unquoted { self.unquoted } else { self.line };
        of.get(s.start..s.end).unwrap_or("")
    }
}

/// Where a trimmed cell stands: in its line, or, where it was quoted, among the unquoted ones.
#[derive(Clone, Copy, Debug)]
struct Span {
    start: usize,
    end: usize,
    unquoted: bool,
}

/// Cuts one line after the other; what it holds is used again.
#[derive(Debug, Default)]
pub(super) struct Cutter {
    spans: Vec<Span>,
    unquoted: String,
    open: bool,
}

impl Cutter {
    /// Cuts the line at `at`.
    pub(super) fn cut(&mut self, text: &str, separator: u8, at: LineAt) {
        self.spans.clear();
        self.unquoted.clear();
        let line = text.get(at.byte..).unwrap_or("");
        let mut fields = Fields::new(line, separator);
        for (start, end) in fields.by_ref() {
            let raw = line.get(start..end).unwrap_or("");
            self.spans.push(if raw.starts_with('"') {
                let begin = self.unquoted.len();
                unquote(raw, &mut self.unquoted);
                trimmed(&self.unquoted, begin, self.unquoted.len(), true)
            } else {
                trimmed(line, start, end, false)
            });
        }
        self.open = fields.open;
    }

    /// The line that was cut last, which began at `at`.
    pub(super) fn row<'r>(&'r self, text: &'r str, at: LineAt) -> Row<'r> {
        Row {
            line: text.get(at.byte..).unwrap_or(""),
            unquoted: &self.unquoted,
            spans: &self.spans,
            at,
        }
    }

    /// Whether the text ended before the last cell's quote was closed.
    pub(super) fn open(&self) -> bool {
        self.open
    }
}

/// A cell without the blanks around it.
fn trimmed(text: &str, start: usize, end: usize, unquoted: bool) -> Span {
    let raw = text.get(start..end).unwrap_or("");
    let ends = (raw.bytes().next(), raw.bytes().next_back());
    let (start, end) = match ends {
        // Most cells are plain: neither end is a blank or the part of a longer character.
        (Some(b'!'..=b'~'), Some(b'!'..=b'~')) => (start, end),
        _ => {
            let start = start + (raw.len() - raw.trim_start().len());
            (start, start + raw.trim().len())
        }
    };
    Span {
        start,
        end,
        unquoted,
    }
}

/// What a quoted cell holds: two quotes are one, and what follows the last quote belongs to it.
fn unquote(raw: &str, out: &mut String) {
    let mut rest = raw.get(1..).unwrap_or("");
    while let Some(quote) = rest.find('"') {
        let (before, after) = rest.split_at(quote);
        out.push_str(before);
        let after = after.get(1..).unwrap_or("");
        match after.strip_prefix('"') {
            Some(further) => {
                out.push('"');
                rest = further;
            }
            None => {
                out.push_str(after);
                return;
            }
        }
    }
    out.push_str(rest);
}

/// Byte spans of the cells of one line, quotes included.
pub(super) struct Fields<'t> {
    text: &'t [u8],
    separator: u8,
    next: Option<usize>,
    /// Whether a quote was open where the text ended.
    open: bool,
}

impl<'t> Fields<'t> {
    pub(super) fn new(text: &'t str, separator: u8) -> Self {
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
