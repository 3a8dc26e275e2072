//! How the part should lie on the bed, in a sentence.

use crate::advise::{Direction, Reason, Stands, Turn, nearer_bound};
use crate::duty::LiesOnBed;
use crate::judge::{LimitResult, Standing};
use crate::quantity::Reading;
use crate::render::telling::Telling;
use crate::render::words::{of_hundred, reading_apart};

/// What is told of the direction of print; `None` where the case has decided well.
pub(super) fn told(d: &Direction, telling: Telling<'_>) -> Option<String> {
    let open = d.stated == LiesOnBed::Open;
    let here = d.judged()?;
    match d.turn {
        Turn::None => open.then(|| {
            "Print direction: how it lies on the bed makes no difference to the first places."
                .to_owned()
        }),
        Turn::Room { best, other } => {
            let m = here.stands.first()?;
            let (_, l, o) = d.roomier(&m.material, (best, other))?;
            let as_is = if best == d.taken {
                ", as it was judged,"
            } else {
                ","
            };
            Some(format!(
                "Print direction: it makes no difference to how the first places stand; {}{as_is} {} has more room{}.",
                d.ways.get(best)?.words,
                m.material,
                beside(l, o, telling).unwrap_or_default()
            ))
        }
        Turn::Keep { worst } => {
            let there = d.ways.get(worst)?;
            let m = here.stands.first()?;
            let loses = d.stands(worst, &m.material)?;
            let (a, b) = pair(m, loses, telling);
            let because = because(d, &m.material, (d.taken, worst), telling);
            open.then(|| {
                format!(
                    "Print direction: print it {}, as it was judged: {} {a} so, and {b} {}{because}.",
                    here.words, m.material, there.words
                )
            })
        }
        Turn::To { best } => {
            let there = d.ways.get(best)?;
            let m = there.stands.first()?;
            let now = d.stands(d.taken, &m.material)?;
            let (a, b) = pair(m, now, telling);
            let as_is = if open {
                "it was judged"
            } else {
                "the case has it"
            };
            if now.standing == Standing::NotKnown {
                // What is gained is evidence, and says nothing against the way that lacks it.
                return Some(format!(
                    "Print direction: {} {a} {}, the way that its bench runs speak of; as {as_is}, {}, it {b}, which says nothing against printing it so.",
                    m.material, there.words, here.words
                ));
            }
            let because = because(d, &m.material, (best, d.taken), telling);
            let opening = if open {
                "print it"
            } else {
                "it would do better"
            };
            let first = here.stands.first().filter(|f| f.material != m.material);
            let first = first.map_or_else(String::new, |f| {
                let share = f.meets_all.map_or_else(
                    || super::standing(f.standing).to_owned(),
                    |p| format!("{}, {}", super::standing(f.standing), of_hundred(p)),
                );
                format!(" As {as_is}, {} comes first ({share}).", f.material)
            });
            Some(format!(
                "Print direction: {opening} {}: {} {a} then, and {b} as {as_is}, {}{because}.{first}",
                there.words, m.material, here.words
            ))
        }
    }
}

/// How a material stands in two ways: by its chance where only that differs, else by its standing,
/// with its chance or the test that it lacks.
fn pair(a: &Stands, b: &Stands, telling: Telling<'_>) -> (String, String) {
    if let (true, Some(p), Some(q)) = (a.standing == b.standing, a.meets_all, b.meets_all) {
        return (
            format!("meets every limit in {}", of_hundred(p)),
            format!("in {}", of_hundred(q)),
        );
    }
    let how = |s: &Stands| {
        let word = super::standing(s.standing);
        match (s.standing, s.meets_all, &s.wants) {
            (Standing::NotKnown, _, Some(wants)) => not_known(wants, telling),
            (Standing::Fit | Standing::Borderline, Some(p), _) => {
                format!("is {word} ({} meet every limit)", of_hundred(p))
            }
            _ => format!("is {word}"),
        }
    };
    (how(a), how(b))
}

fn not_known(wants: &Reason, telling: Telling<'_>) -> String {
    format!("is not known ({})", telling.reason(wants))
}

fn because(d: &Direction, material: &str, ways: (usize, usize), telling: Telling<'_>) -> String {
    d.decides(material, ways)
        .and_then(|(l, o)| beside(l, o, telling))
        .unwrap_or_default()
}

/// ` (stress that the arm carries 12 MPa in place of 7, at least 10 asked)`.
fn beside(l: &LimitResult, o: &LimitResult, telling: Telling<'_>) -> Option<String> {
    let typical = |l: &LimitResult| {
        let r: Reading = l.typical()?;
        Some(reading_apart(
            r,
            nearer_bound(l.sense, r.as_exact()),
            &l.unit,
        ))
    };
    Some(format!(
        " ({} {} in place of {}, {} asked)",
        telling.limit_with_end(&l.id),
        typical(l)?,
        typical(o)?,
        Telling::asks(l)
    ))
}
