//! A table of many columns: figures aligned at their last digit, headers wrapped over their columns, and
//! broken into several tables where the page is too narrow for one.

use crate::render::page::{GAP, Page, Tone, markdown_table, trimmed};
use crate::render::words::{markdown, safe};
use tabled::builder::Builder;
use tabled::grid::util::string::get_line_width;
use tabled::settings::{Padding, Style};

/// Widest that words may stand before they are broken.
const WIDEST_WORDS: usize = 30;
/// Most lines of a header before its column is made wider for it.
const HEAD_LINES: usize = 3;
/// The same of a slim table.
const SLIM_HEAD_LINES: usize = 4;
/// A space at which no line is broken.
pub(super) const HARD_SPACE: &str = "\u{a0}";

/// A cell: a figure, which ends where the others of its column end, and what follows it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct GridCell {
    /// The figure; empty in a cell of words.
    pub(super) figure: String,
    /// What follows, or the words.
    pub(super) rest: String,
}

impl GridCell {
    /// A cell of words.
    pub(super) fn words(text: impl Into<String>) -> Self {
        GridCell {
            figure: String::new(),
            rest: text.into(),
        }
    }

    /// Both in one.
    fn whole(&self) -> String {
        format!("{}{}", self.figure, self.rest)
    }
}

/// A table; its first column is repeated in each of its parts.
#[derive(Clone, Debug, Default)]
pub(super) struct Grid {
    /// Column names.
    pub(super) head: Vec<String>,
    /// Rows.
    pub(super) rows: Vec<Vec<GridCell>>,
    /// Whether headers take more lines to leave room for more columns.
    pub(super) slim: bool,
}

/// A column laid out: its header and cells as lines of even width.
struct Laid {
    head: Vec<String>,
    cells: Vec<String>,
    width: usize,
}

impl Grid {
    /// As text: as many columns beside each other as the page holds, the rest below.
    pub(super) fn text(&self, page: Page) -> String {
        let mut columns: Vec<Laid> = (0..self.head.len()).map(|c| self.column(page, c)).collect();
        if columns.is_empty() {
            return String::new();
        }
        let key = columns.remove(0);
        let widths: Vec<usize> = columns.iter().map(|c| c.width).collect();
        let mut texts = Vec::new();
        let mut rest = columns.as_slice();
        for n in even_parts(key.width, &widths, page.width) {
            let (now, later) = rest.split_at(n.min(rest.len()));
            texts.push(part(page, &key, now));
            rest = later;
        }
        texts.join("\n")
    }

    /// As one Markdown table.
    pub(super) fn markdown(&self) -> String {
        let mut all = vec![
            self.head
                .iter()
                .map(|h| markdown(&h.replace(HARD_SPACE, " ")))
                .collect::<Vec<_>>(),
        ];
        all.extend(
            self.rows
                .iter()
                .map(|r| r.iter().map(|c| markdown(&c.whole())).collect()),
        );
        markdown_table(&all)
    }

    fn column(&self, page: Page, c: usize) -> Laid {
        let all: Vec<GridCell> = self
            .rows
            .iter()
            .map(|r| r.get(c).cloned().unwrap_or_default())
            .collect();
        let lead = all
            .iter()
            .map(|c| get_line_width(&c.figure))
            .max()
            .unwrap_or(0);
        // Beside the widest figure column a long id would leave no room.
        let widest = WIDEST_WORDS.min((page.width / 2).max(8));
        let cells: Vec<String> = all
            .iter()
            .map(|c| {
                if c.figure.is_empty() {
                    wrapped(&safe(&c.rest), widest).join("\n")
                } else {
                    let before = " ".repeat(lead.saturating_sub(get_line_width(&c.figure)));
                    format!("{before}{}{}", safe(&c.figure), safe(&c.rest))
                }
            })
            .collect();
        let body = cells.iter().map(|c| widest_line(c)).max().unwrap_or(0);
        let title = self.head.get(c).map_or_else(String::new, |h| safe(h));
        let longest = title.split(' ').map(get_line_width).max();
        let least = body.max(longest.unwrap_or(0).min(widest)).max(1);
        let head = (least..=least.max(WIDEST_WORDS))
            .map(|w| wrapped(&title, w))
            .find(|lines| {
                lines.len()
                    <= if self.slim {
                        SLIM_HEAD_LINES
                    } else {
                        HEAD_LINES
                    }
            })
            .unwrap_or_else(|| wrapped(&title, least.max(WIDEST_WORDS)));
        let width = head
            .iter()
            .map(|l| get_line_width(l))
            .max()
            .unwrap_or(0)
            .max(body);
        Laid { head, cells, width }
    }
}

/// How many columns each part holds: no more parts than the page needs, and those of even width.
fn even_parts(key: usize, widths: &[usize], page: usize) -> Vec<usize> {
    let needed = parts(key, widths, page);
    (0..=page)
        .map(|room| parts(key, widths, room))
        .find(|p| p.len() == needed.len())
        .unwrap_or(needed)
}

/// How many columns each part holds if `room` is filled; a part holds one at least.
fn parts(key: usize, widths: &[usize], room: usize) -> Vec<usize> {
    let mut out: Vec<usize> = Vec::new();
    let mut used = 0;
    for width in widths {
        let more = GAP + width;
        match out.last_mut() {
            Some(n) if used + more <= room => {
                used += more;
                *n += 1;
            }
            _ => {
                used = key + more;
                out.push(1);
            }
        }
    }
    if out.is_empty() {
        out.push(0);
    }
    out
}

/// One table of the parts.
fn part(page: Page, key: &Laid, columns: &[Laid]) -> String {
    let all: Vec<&Laid> = std::iter::once(key).chain(columns).collect();
    let lines = all.iter().map(|c| c.head.len()).max().unwrap_or(0);
    let mut builder = Builder::default();
    for i in 0..lines {
        // Headers end on one line.
        builder.push_record(all.iter().map(|c| {
            let above = lines - c.head.len();
            let line = i.checked_sub(above).and_then(|i| c.head.get(i));
            line.cloned().unwrap_or_default()
        }));
    }
    builder.push_record(all.iter().map(|c| "-".repeat(c.width)));
    for r in 0..key.cells.len() {
        builder.push_record(
            all.iter()
                .map(|c| c.cells.get(r).cloned().unwrap_or_default()),
        );
    }
    let mut table = builder.build();
    table.with(Style::empty()).with(Padding::new(0, GAP, 0, 0));
    let text = trimmed(&table.to_string());
    if !page.colour {
        return text;
    }
    let head = lines + 1;
    text.lines()
        .enumerate()
        .map(|(i, l)| {
            let tone = if i < head { Tone::Open } else { Tone::Plain };
            format!("{}\n", page.paint(l, tone))
        })
        .collect()
}

fn widest_line(text: &str) -> usize {
    text.lines().map(get_line_width).max().unwrap_or(0)
}

/// Text in lines of at most `width` columns, broken at spaces, and within a word that is longer.
fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split(' ').filter(|w| !w.is_empty()) {
        if !line.is_empty() && get_line_width(&line) + 1 + get_line_width(word) > width {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        for c in word.chars() {
            let mut longer = line.clone();
            longer.push(c);
            if !line.is_empty() && get_line_width(&longer) > width {
                lines.push(std::mem::take(&mut line));
            }
            line.push(c);
        }
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines.iter().map(|l| l.replace(HARD_SPACE, " ")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn figure(figure: &str, rest: &str) -> GridCell {
        GridCell {
            figure: figure.to_owned(),
            rest: rest.to_owned(),
        }
    }

    fn grid() -> Grid {
        Grid {
            head: vec![
                "material".into(),
                "tensile strength, flat [MPa]".into(),
                "price".into(),
            ],
            slim: false,
            rows: vec![
                vec![
                    GridCell::words("petg-a"),
                    figure("43.3", " (40.0..46.9)"),
                    figure("21", ""),
                ],
                vec![
                    GridCell::words("pla"),
                    figure(">= 9", " [1]"),
                    figure("-", ""),
                ],
            ],
        }
    }

    const fn page(width: usize) -> Page {
        Page {
            width,
            colour: false,
        }
    }

    #[test]
    fn figures_end_at_one_place_and_headers_stand_over_them() {
        assert_eq!(
            grid().text(page(80)),
            "          tensile strength,\n\
             material  flat [MPa]         price\n\
             --------  -----------------  -----\n\
             petg-a    43.3 (40.0..46.9)  21\n\
             pla       >= 9 [1]            -\n"
        );
    }

    #[test]
    fn a_narrow_page_gets_several_tables_and_loses_nothing() {
        let text = grid().text(page(30));
        assert!(text.lines().all(|l| l.len() <= 30), "{text}");
        assert_eq!(text.matches("petg-a").count(), 2, "{text}");
        assert!(text.contains("46.9") && text.contains("21"), "{text}");
    }

    #[test]
    fn parts_are_even() {
        assert_eq!(parts(8, &[10, 10, 10, 10], 46), [3, 1]);
        assert_eq!(even_parts(8, &[10, 10, 10, 10], 46), [2, 2]);
        assert_eq!(even_parts(8, &[50, 10], 20), [1, 1]);
        assert_eq!(even_parts(8, &[], 20), [0]);
    }

    #[test]
    fn a_long_word_is_broken() {
        assert_eq!(wrapped("abcdefgh ij", 4), ["abcd", "efgh", "ij"]);
        assert_eq!(wrapped("", 4), [""]);
    }
}
