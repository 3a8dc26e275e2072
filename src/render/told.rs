//! What new readings mean: what sits oddly, how they stand beside earlier ones, what moved.

use crate::advise::{CaseMoves, Doers, Driver, FirstMoved, Moved};
use crate::belief::{Beside, LotFigure, Odd, Oddity};
use crate::duty::Duty;
use crate::judge::{LimitResult, Standing};
use crate::property::Properties;
use crate::quantity::Reading;
use crate::render::document::Document;
use crate::render::telling::Telling;
use crate::render::words::{
    amount, chance_shown, count, either, figure, first_few, hours, list, reading, reading_apart,
};

/// Lines of a kind that are told before the rest is counted.
const FIRST: usize = 12;
/// Runs that are named before the rest is counted.
const RUNS: usize = 4;

/// A case of which something moved.
#[derive(Clone, Debug)]
pub struct CaseTold {
    /// Its duty, for the words of its limits.
    pub duty: Duty,
    /// What moved.
    pub moves: CaseMoves,
}

/// What new readings mean.
#[derive(Clone, Debug, Default)]
pub struct Told {
    /// Readings that sit oddly.
    pub odd: Vec<Odd>,
    /// New readings beside earlier ones.
    pub beside: Vec<Beside>,
    /// Cases that moved.
    pub moved: Vec<CaseTold>,
    /// Cases that were judged before and after.
    pub looked: usize,
    /// Cases that are declined, or could not be judged.
    pub left_out: Vec<String>,
    /// The property table.
    pub properties: Properties,
}

impl Told {
    /// What moved, as the end of a sentence.
    pub fn headline(&self) -> String {
        let standings: usize = self.moved.iter().map(|c| c.moves.moves.len()).sum();
        let firsts = self
            .moved
            .iter()
            .filter(|c| c.moves.first.is_some())
            .count();
        if self.looked == 0 {
            return "there is no case yet to judge by".to_owned();
        }
        let cases = count(as_u64(self.looked), "case", "cases");
        let moved = count(as_u64(standings), "standing", "standings");
        match (standings, firsts) {
            (0, 0) => format!("nothing moved in {cases}"),
            (_, 0) => format!("{moved} moved in {cases}"),
            (0, f) => format!("the first three moved in {f} of {cases}"),
            (_, f) => format!("{moved} moved, and the first three in {f} of {cases}"),
        }
    }

    /// As an answer of its own.
    pub(super) fn document(&self) -> Document {
        let mut doc = Document::default();
        self.tell(&mut doc);
        doc
    }

    /// Adds it to an answer.
    pub(super) fn tell(&self, doc: &mut Document) {
        self.oddities(doc);
        self.beside(doc);
        if self.looked > 0 {
            doc.heading("What moved");
        }
        for c in &self.moved {
            let telling = Telling {
                duty: &c.duty,
                properties: &self.properties,
            };
            for m in &c.moves.moves {
                doc.paragraph(moved(&c.moves.case, m, telling));
            }
            if let Some(f) = &c.moves.first {
                doc.paragraph(first_moved(&c.moves.case, f));
            }
            super::not_about_in(&c.moves.case, &c.duty.answered, doc);
        }
        if self.looked > 0 && self.moved.is_empty() {
            doc.paragraph(format!(
                "Nothing: every standing and the first three are as before in {}.",
                count(as_u64(self.looked), "case", "cases")
            ));
        }
        doc.list("Not judged", self.left_out.clone());
    }

    fn oddities(&self, doc: &mut Document) {
        if self.odd.is_empty() {
            return;
        }
        doc.heading("Sits oddly");
        let figures: Vec<&[Odd]> = self
            .odd
            .chunk_by(|a, b| (&a.run, a.specimen, &a.property) == (&b.run, b.specimen, &b.property))
            .collect();
        for of in figures.iter().take(FIRST) {
            doc.paragraph(self.odd(of));
        }
        more(figures.len(), doc);
        if let Some(first) = self.odd.first() {
            doc.paragraph(format!(
                "Nothing was refused. Look at the sheet and the piece; where the test went wrong: \
                 dutyfit set-aside {} --specimen {} --reason \"...\"",
                first.run, first.specimen
            ));
        }
    }

    /// One figure and all that is odd about it.
    fn odd(&self, of: &[Odd]) -> String {
        let Some(o) = of.first() else {
            return String::new();
        };
        let (title, unit) = self.row(o.property.as_str());
        let why: Vec<String> = of.iter().map(|o| odd_because(o, &unit)).collect();
        format!(
            "{}, specimen {}: {title} {} is {}.",
            o.run,
            o.specimen,
            reading(o.figure, &unit),
            why.join(", and ")
        )
    }

    fn beside(&self, doc: &mut Document) {
        let with: Vec<&Beside> = self
            .beside
            .iter()
            .filter(|b| !b.earlier.is_empty() || b.polymer.is_some())
            .collect();
        if with.is_empty() {
            return;
        }
        doc.heading("Beside what was there");
        for b in with.iter().take(FIRST) {
            doc.paragraph(self.one_beside(b));
        }
        more(with.len(), doc);
    }

    fn one_beside(&self, b: &Beside) -> String {
        let (title, unit) = self.row(b.property.as_str());
        let mut clauses: Vec<String> = b.earlier.iter().map(|e| earlier(e, b, &unit)).collect();
        clauses.extend(b.polymer.as_ref().map(|p| {
            format!(
                "{} of {} here: {} to {}",
                count(as_u64(p.materials), "other material", "other materials"),
                p.polymer,
                figure(p.low),
                amount(p.high, &unit)
            )
        }));
        format!(
            "{}, {title}{}: {}{} ({}); {}.",
            b.material,
            under(b),
            amount(b.mean, &unit),
            b.lot
                .as_ref()
                .map_or_else(String::new, |l| format!(" in {l}")),
            count(as_u64(b.specimens), "specimen", "specimens"),
            clauses.join("; ")
        )
    }

    fn row(&self, property: &str) -> (String, String) {
        self.properties.get(property).map_or_else(
            || (property.to_owned(), String::new()),
            |p| (p.title.to_string(), p.unit.to_string()),
        )
    }
}

fn odd_because(o: &Odd, unit: &str) -> String {
    match &o.why {
        Oddity::Apart {
            middle,
            spreads,
            others,
            elsewhere,
        } => {
            let whose = if *elsewhere {
                format!(
                    "{} of {}",
                    count(as_u64(*others), "earlier reading", "earlier readings"),
                    o.material
                )
            } else {
                format!(
                    "the other {} of its run",
                    count(as_u64(*others), "reading", "readings")
                )
            };
            format!(
                "{} pooled spreads from the middle of {whose}, {}",
                figure(*spreads),
                amount(*middle, unit)
            )
        }
        Oddity::Handbook { low, high, status } => format!(
            "outside {} to {}, the handbook range of its polymer ({status})",
            figure(*low),
            amount(*high, unit)
        ),
    }
}

fn as_u64(n: usize) -> u64 {
    u64::try_from(n).unwrap_or(u64::MAX)
}

fn more(of: usize, doc: &mut Document) {
    if let Some(rest) = of.checked_sub(FIRST).filter(|n| *n > 0) {
        doc.paragraph(format!("And {rest} more; --format json has them all."));
    }
}

/// ` (across, wet, 45 degC)`: what of a condition is not as usual.
fn under(b: &Beside) -> String {
    let c = &b.condition;
    let mut words: Vec<String> = Vec::new();
    words.extend(c.direction.map(|d| d.word().to_owned()));
    words.extend(c.face.map(|f| f.word().to_owned()));
    words.extend(c.counterface.clone());
    words.extend(c.kind.clone());
    if c.temperature_c != crate::property::ROOM_C {
        words.push(amount(c.temperature_c, "degC"));
    }
    if c.moisture != crate::property::Moisture::Room {
        words.push(c.moisture.word().to_owned());
    }
    words.extend(c.annealed.as_ref().map(|a| format!("annealed {a}")));
    words.extend(b.hours.map(|h| format!("after {}", hours(h))));
    if words.is_empty() {
        String::new()
    } else {
        format!(" ({})", words.join(", "))
    }
}

fn earlier(e: &LotFigure, b: &Beside, unit: &str) -> String {
    let by = if b.by_ratio && e.new_above.abs() < 1.0 {
        "less than 1 %".to_owned()
    } else if b.by_ratio {
        amount(e.new_above.abs(), "%")
    } else {
        amount(e.new_above.abs(), unit)
    };
    let side = if e.new_above < 0.0 { "below" } else { "above" };
    let whose = match (&e.lot, e.lot == b.lot) {
        (_, true) => "the earlier ones of this lot".to_owned(),
        (Some(l), false) => l.clone(),
        (None, false) => "those of no named lot".to_owned(),
    };
    let apart = if e.told_apart() {
        "more than scatter explains"
    } else {
        "within scatter"
    };
    format!(
        "{by} {side} {whose} ({}, {} of {}), {apart}",
        amount(e.mean, unit),
        count(as_u64(e.specimens), "specimen", "specimens"),
        count(as_u64(e.prints), "print", "prints")
    )
}

fn by(d: &Doers) -> String {
    let named = |runs: &[String]| first_few(runs, RUNS);
    match d {
        Doers::Each(r) => format!("by {}", named(r)),
        Doers::AnyOne(r) => format!("{} alone would do it", either(r)),
        Doers::Together(r) => format!("by {} together", named(r)),
    }
}

fn moved(case: &str, m: &Moved, telling: Telling<'_>) -> String {
    let mut said = format!(
        "{case}: {} was {} and is {}, {}.",
        m.material,
        super::standing(m.before),
        super::standing(m.after),
        by(&m.by)
    );
    if let Some((was, is)) = &m.limit {
        said.push(' ');
        said.push_str(&why(m, was, is, telling));
    }
    if !m.own {
        said.push_str(
            " None of its own readings changed: it moved through the scatter and the polymer that materials share.",
        );
    }
    said
}

fn why(m: &Moved, was: &LimitResult, is: &LimitResult, telling: Telling<'_>) -> String {
    let title = capital(&telling.limit_with_end(&is.id));
    let needed =
        crate::advise::nearer_bound(is.sense, is.typical().map_or(f64::NAN, Reading::as_exact));
    let typical = |l: &LimitResult| {
        l.typical().map_or_else(
            || "unknown".to_owned(),
            |r| reading_apart(r, needed, &l.unit),
        )
    };
    let chances = format!(
        "chance {}, was {}",
        chance_shown(is.shown_chance()),
        chance_shown(was.shown_chance())
    );
    let asks = Telling::asks(is);
    match m.driver {
        Driver::SpreadAlone if m.worse() => format!(
            "{title} {}, was {} ({asks}), which alone would not have moved it: it fell because the spread is wider, \
             5 to 95 % of next parts {} (was {}); {chances}. More prints would narrow it.",
            typical(is),
            typical(was),
            span(is),
            span(was)
        ),
        Driver::SpreadMostly if m.worse() => format!(
            "{title} {}, was {} ({asks}), but above all the spread is wider, {} (was {}); {chances}.",
            typical(is),
            typical(was),
            span(is),
            span(was)
        ),
        Driver::SpreadAlone | Driver::SpreadMostly => format!(
            "{title} {}, was {} ({asks}), and surer now: 5 to 95 % of next parts {} (was {}); {chances}.",
            typical(is),
            typical(was),
            span(is),
            span(was)
        ),
        Driver::Level => format!(
            "{title} {}, was {} ({asks}); {chances}.",
            typical(is),
            typical(was)
        ),
        Driver::Evidence => {
            let now = m
                .cause
                .as_ref()
                .map_or_else(String::new, |c| format!("Now: {}.", telling.cause(c)));
            let was = if m.before == Standing::NotKnown {
                String::new()
            } else {
                format!(" {title} was {}; {chances}.", typical(was))
            };
            format!("{now}{was}")
        }
    }
}

fn span(l: &LimitResult) -> String {
    l.predicted.map_or_else(
        || "unknown".to_owned(),
        |p| format!("{} to {}", figure(p.low), amount(p.high, &l.unit)),
    )
}

fn first_moved(case: &str, f: &FirstMoved) -> String {
    let named = |of: &[String]| {
        if of.is_empty() {
            "nobody".to_owned()
        } else {
            list(of)
        }
    };
    let what = if f.before.first() == f.after.first() {
        "the first three are"
    } else {
        "the first place moved: the first three are"
    };
    format!(
        "{case}: {what} {}, were {}, {}.",
        named(&f.after),
        named(&f.before),
        by(&f.by)
    )
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}
