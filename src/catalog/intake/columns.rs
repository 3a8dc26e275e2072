//! What each header of a sheet stands for: a column of a test, an own column, or nothing known.

use super::maps::Maps;
use crate::bench::{self, BenchTest, Need};
use crate::catalog::header::{Field, split_header};
use crate::catalog::lines::fields_of;
use crate::catalog::words::{meant, nearest};
use crate::problem::Fault;
use crate::quantity::Unit;

/// What a header stands for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Meaning {
    /// A field of the test, its header as the catalog writes it, and which repeat it is.
    Field {
        field: usize,
        header: String,
        repeat: Option<u32>,
    },
    /// The user's own column.
    Own(String),
    /// Left out by a map.
    LeftOut,
    /// Nothing that is known.
    Unknown,
}

/// A header and how it was read.
#[derive(Clone, Debug)]
pub(super) struct Read {
    pub(super) meaning: Meaning,
    /// The mapped header, where a map was used: the whole one or the part before a repeat's number.
    pub(super) mapped: Option<String>,
}

/// Reads a header for a test.
pub(super) fn read(cell: &str, fields: &[Field], maps: &Maps, test: &str) -> Read {
    let plain = |meaning| Read {
        meaning,
        mapped: None,
    };
    let usable = |to: &str| {
        to.is_empty()
            || to.starts_with('#')
            || field_of(unrepeated(to).0.as_str(), fields).is_some()
            || field_of(to, fields).is_some()
    };
    let base = unrepeated(cell);
    for (header, repeat) in [(cell.to_owned(), None), base] {
        if let Some(to) = maps.column(&header, test, &usable) {
            let meaning = if to.is_empty() {
                Meaning::LeftOut
            } else if to.starts_with('#') {
                Meaning::Own(to.to_owned())
            } else {
                field(to, fields, repeat)
            };
            return Read {
                meaning,
                mapped: Some(header),
            };
        }
    }
    if cell.starts_with('#') {
        return plain(Meaning::Own(cell.to_owned()));
    }
    plain(field(cell, fields, None))
}

fn field(cell: &str, fields: &[Field], repeat: Option<u32>) -> Meaning {
    if let Some(field) = field_of(cell, fields) {
        return Meaning::Field {
            field,
            header: cell.to_owned(),
            repeat,
        };
    }
    let (base, number) = unrepeated(cell);
    match (field_of(&base, fields), number, repeat) {
        (Some(field), Some(n), None) => Meaning::Field {
            field,
            header: base,
            repeat: Some(n),
        },
        _ => Meaning::Unknown,
    }
}

fn field_of(cell: &str, fields: &[Field]) -> Option<usize> {
    let (name, _) = split_header(cell);
    fields
        .iter()
        .position(|f| !name.is_empty() && f.name == name)
}

/// Takes the number of a repeat out of a header: `force 2`, `force [N] 2`, `force 2 [N]`.
fn unrepeated(cell: &str) -> (String, Option<u32>) {
    let numbered = |text: &str| -> Option<(String, u32)> {
        let text = text.trim_end();
        let digits = text.bytes().rev().take_while(u8::is_ascii_digit).count();
        let (head, number) = text.split_at_checked(text.len() - digits)?;
        let name = head.trim_end_matches([' ', '_', '#', '.', '-']);
        if name.is_empty() || name.len() == head.len() {
            return None;
        }
        Some((name.to_owned(), number.parse().ok().filter(|n| *n > 0)?))
    };
    if let Some((base, n)) = numbered(cell) {
        return (base, Some(n));
    }
    if let Some(open) = cell.find(['[', '('])
        && let (Some(name), Some(unit)) = (cell.get(..open), cell.get(open..))
        && let Some((base, n)) = numbered(name)
    {
        return (format!("{base} {unit}"), Some(n));
    }
    (cell.to_owned(), None)
}

/// How well headers fit a test: needed columns that are missing, headers that are
/// unknown to it, own raw columns that are there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Fitness {
    pub(super) missing: usize,
    pub(super) unknown: usize,
    pub(super) own: usize,
}

fn fitness(
    header: &[(usize, String)],
    given: &[String],
    maps: &Maps,
    test: &dyn BenchTest,
) -> Fitness {
    let fields = fields_of(test, false);
    let mut found: Vec<usize> = Vec::new();
    let mut unknown = 0;
    for (_, cell) in header {
        match read(cell, &fields, maps, test.id()).meaning {
            Meaning::Field { field, .. } => found.push(field),
            Meaning::Unknown => unknown += 1,
            Meaning::Own(_) | Meaning::LeftOut => {}
        }
    }
    let has = |name: &str| {
        found
            .iter()
            .any(|f| fields.get(*f).is_some_and(|f| f.name == name))
    };
    let given = |name: &str| given.iter().any(|g| split_header(g).0 == name);
    Fitness {
        missing: test
            .columns()
            .iter()
            .filter(|c| c.need != Need::Optional && !has(c.name) && !given(c.name))
            .count(),
        unknown,
        own: test.columns().iter().filter(|c| has(c.name)).count(),
    }
}

/// What a sheet is recognised by.
pub(super) struct Clues<'m> {
    /// Maps from other people's headers.
    pub(super) maps: &'m Maps,
    /// Columns that are given for the whole sheet.
    pub(super) given: &'m [String],
    /// The test that was named.
    pub(super) named: Option<&'static dyn BenchTest>,
}

/// The test whose columns a header holds.
pub(super) enum Recognised {
    /// This one, and how well it fits.
    As(&'static dyn BenchTest, Fitness),
    /// Two do equally.
    Either(&'static dyn BenchTest, &'static dyn BenchTest, Fitness),
    /// None.
    Not,
}

/// Recognises the test: the one named, else the nearest one, the sheet's name deciding ties.
pub(super) fn recognise(clues: &Clues<'_>, name: &str, header: &[(usize, String)]) -> Recognised {
    let fit = |t: &dyn BenchTest| fitness(header, clues.given, clues.maps, t);
    if let Some(test) = clues.named {
        return Recognised::As(test, fit(test));
    }
    let said = |t: &dyn BenchTest| names(name, t.id());
    let mut scored: Vec<(Fitness, &'static dyn BenchTest)> = bench::tests()
        .iter()
        .map(|t| (fit(*t), *t))
        .filter(|(f, _)| f.own > 0)
        .collect();
    let key = |f: &Fitness| (f.missing + f.unknown, std::cmp::Reverse(f.own));
    scored.sort_by_key(|(f, t)| (key(f), !said(*t)));
    match scored.as_slice() {
        [] => match bench::tests().iter().find(|t| said(**t)) {
            Some(test) => Recognised::As(*test, fit(*test)),
            None => Recognised::Not,
        },
        [(a, first), (b, second), ..] if key(a) == key(b) && said(*first) == said(*second) => {
            Recognised::Either(*first, *second, *a)
        }
        [(f, test), ..] => Recognised::As(*test, *f),
    }
}

/// Whether a sheet's name says a test: `tensile`, `Tensile May`, `2026-05 tensile`.
fn names(sheet: &str, test: &str) -> bool {
    let lower = sheet.to_lowercase();
    let bare = |c: char| !c.is_ascii_alphanumeric() && c != '-';
    lower == test || lower.split(bare).any(|w| w == test) || lower.replace([' ', '_'], "-") == test
}

/// A header that nothing is known of, with the map that would let it in.
pub(super) fn unknown(cell: &str, fields: &[Field], taken: &[usize]) -> Fault {
    let free: Vec<&Field> = fields
        .iter()
        .enumerate()
        .filter(|(k, f)| !f.name.is_empty() && !taken.contains(k))
        .map(|(_, f)| f)
        .collect();
    let (name, unit) = name_and_unit(cell);
    let near = nearest(&name, free.iter().map(|f| f.name))
        .and_then(|n| free.iter().find(|f| f.name == n).copied());
    let of_unit: Vec<&Field> = match unit {
        Some(u) => free
            .iter()
            .copied()
            .filter(|f| unit_for(f, u).is_some())
            .collect(),
        // Figures state their unit, so this one holds words.
        None => free.iter().copied().filter(|f| f.unit.is_none()).collect(),
    };
    let column = |f: &Field| match (f.unit, unit.and_then(|u| unit_for(f, u))) {
        (Some(_), Some(u)) => format!("{} [{u}]", f.name),
        _ => f.written(),
    };
    // One map serves all repeats side by side.
    let (base, _) = unrepeated(cell);
    let quoted = quoted(&base);
    let fix = match (near, of_unit.as_slice()) {
        (Some(f), _) => format!("add `--map {quoted}`", quoted = quoted(&column(f))),
        (None, [one]) => format!("add `--map {}`", quoted(&column(one))),
        (None, some) => {
            let which = if some.is_empty() { &free } else { some };
            let names: Vec<String> = which.iter().map(|f| column(f)).collect();
            format!(
                "add `--map {}` with a column in the place of COLUMN: {}",
                quoted("COLUMN"),
                meant("", names.iter().map(String::as_str)).trim_start_matches("write ")
            )
        }
    };
    Fault::new(
        "header::unknown",
        format!("`{cell}` is not a column of this sheet"),
        format!(
            "{fix}; `--map {}` leaves it out, and a `#` at its start keeps it as your own",
            quoted("")
        ),
    )
}

/// Writes `'HEADER=COLUMN'` for a shell.
fn quoted(cell: &str) -> impl Fn(&str) -> String + '_ {
    move |column| {
        let mark = if cell.contains('\'') { '"' } else { '\'' };
        format!("{mark}{cell}={column}{mark}")
    }
}

/// `Kraft (kg)` and `Kraft [kg]` to name and unit.
fn name_and_unit(cell: &str) -> (String, Option<&str>) {
    let (base, _) = unrepeated(cell);
    let cut = cell.find(['[', '(']);
    let unit = cut
        .and_then(|i| cell.get(i + 1..))
        .and_then(|rest| rest.split([']', ')']).next())
        .map(str::trim)
        .filter(|u| !u.is_empty());
    let name = base.split(['[', '(']).next().unwrap_or(&base).trim();
    (name.to_owned(), unit)
}

/// The unit to write for a field where a header says `said`: kilograms of a scale are kilograms-force.
fn unit_for(field: &Field, said: &str) -> Option<String> {
    let wanted = Unit::parse(field.unit?).ok()?;
    let fits = |u: &str| {
        Unit::parse_as(u, &wanted).is_ok_and(|from| from.conversion_fault(&wanted, u, "").is_none())
    };
    let said = match said {
        "\u{b0}C" | "C" => "degC",
        "\u{b5}m" | "\u{3bc}m" => "um",
        "mm\u{b2}" => "mm2",
        other => other,
    };
    if fits(said) {
        return Some(said.to_owned());
    }
    let force = match said {
        "kg" => "kgf",
        "g" => "gf",
        "lb" => "lbf",
        _ => return None,
    };
    fits(force).then(|| force.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_number_of_a_repeat_stands_before_or_behind_the_unit() {
        for (cell, base, n) in [
            ("force 2", "force", Some(2)),
            ("force [N] 2", "force [N]", Some(2)),
            ("force 12 [N]", "force [N]", Some(12)),
            ("Kraft 3 (kg)", "Kraft (kg)", Some(3)),
            ("force_2", "force", Some(2)),
            ("force2", "force2", None),
            ("force [N]", "force [N]", None),
            ("2", "2", None),
        ] {
            assert_eq!(unrepeated(cell), (base.to_owned(), n), "{cell}");
        }
    }

    #[test]
    fn a_sheet_is_called_after_its_test_in_many_ways() {
        assert!(names("tensile", "tensile") && names("Tensile May", "tensile"));
        assert!(names("Sliding wear", "sliding-wear") && names("2026-05_creep", "creep"));
        assert!(!names("tensiles", "tensile"));
    }
}
