//! Kills at random moments, and what the next start finds.

use super::Program;
use super::book::{Book, count};
use super::deed::{Deed, Expected};
use super::dice::Dice;
use dutyfit::catalog::{Source, load_catalog};
use dutyfit::problem::Severity;
use std::fmt;
use std::time::{Duration, Instant};

/// How far a hunt goes.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Plan {
    /// Kills of each kind of change.
    pub(crate) kills: usize,
    /// Of all kills, least that leave the old state, and least that leave the new.
    pub(crate) least: usize,
    /// Start of the random moments.
    pub(crate) seed: u64,
}

/// What was found.
#[derive(Clone, Debug, Default)]
pub(crate) struct Tally {
    /// Kills after which the old state stood.
    pub(crate) old: usize,
    /// Kills after which the new state stood.
    pub(crate) new: usize,
    /// Among all, kills that left a note for the next start.
    pub(crate) noted: usize,
    /// Runs that ended before the kill, which do not count.
    pub(crate) late: usize,
    /// Tags whose lines stand, for the last count.
    landed: Vec<String>,
    /// How long the program took, undisturbed.
    pub(crate) took: Duration,
}

impl fmt::Display for Tally {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} kills: {} left the old state, {} the new; {} of them a note to finish or undo; {} more ended first",
            self.old + self.new,
            self.old,
            self.new,
            self.noted,
            self.late
        )
    }
}

/// Kills the program at one kind of change until both counts are reached; panics where a state
/// is not whole.
pub(crate) fn hunt(program: &Program, book: &Book, deed: Deed, plan: Plan) -> Tally {
    let mut dice = Dice(plan.seed);
    let mut tally = Tally::default();
    let mut n = 0;
    // Undisturbed, to know how long it takes.
    for _ in 0..3 {
        let (args, expected) = deed.prepare(book, n);
        let old = book.files();
        let began = Instant::now();
        program.finish(&args);
        let took = began.elapsed();
        tally.took = if n == 0 { took } else { tally.took.min(took) };
        expected
            .is_new(&old, &book.files())
            .unwrap_or_else(|e| panic!("{e}"));
        tally.land(&expected);
        n += 1;
    }
    // Where the writing is: moved until kills fall on both sides of it.
    let mut aim = tally.took.mul_f64(0.9);
    let step = tally.took.mul_f64(0.02);
    while tally.old + tally.new < plan.kills || tally.old < plan.least || tally.new < plan.least {
        assert!(
            n < 40 * (plan.kills + plan.least) + 100,
            "the writing is never hit: {tally}"
        );
        let (args, expected) = deed.prepare(book, n);
        n += 1;
        let old = book.files();
        // One kill in four falls anywhere up to there; the others near it.
        let anywhere = dice.roll().is_multiple_of(4);
        let after = if anywhere {
            aim.mul_f64(dice.share())
        } else {
            aim.saturating_sub(step * 3) + step.mul_f64(6.0 * dice.share())
        };
        let mut child = program.start(&args);
        std::thread::sleep(after);
        // A process that has ended already takes no kill.
        drop(child.kill());
        let done = child.wait_with_output().expect("an end");
        let killed = !done.status.success() && done.status.code().is_none();
        assert!(
            killed || done.status.success(),
            "{args:?} ended by itself: {}",
            String::from_utf8_lossy(&done.stderr)
        );
        let noted = book.has_note();
        let stands = look(book, &old, &expected);
        if stands {
            tally.land(&expected);
        }
        if killed {
            tally.noted += usize::from(noted);
            tally.old += usize::from(!stands);
            tally.new += usize::from(stands);
        } else {
            tally.late += 1;
        }
        if !anywhere {
            aim = match (killed, stands) {
                (true, false) => aim + step,
                (true, true) => aim,
                (false, _) => aim.saturating_sub(step),
            };
        }
        // Both are wanted: what is there enough of is left alone.
        let (few_old, few_new) = (tally.old < plan.least, tally.new < plan.least);
        if few_old && !few_new {
            aim = aim.saturating_sub(step / 2);
        }
    }
    last_count(book, &tally);
    tally
}

impl Tally {
    fn land(&mut self, expected: &Expected) {
        if let Expected::Grows(files) = expected {
            self.landed
                .extend(files.iter().flat_map(|(_, tags)| tags.clone()));
        }
    }
}

/// The next start: it reads the book, which then holds the old state or the new, and nothing else.
fn look(book: &Book, old: &super::book::Files, expected: &Expected) -> bool {
    let source = Source::Folder(book.catalog());
    let catalog = load_catalog(&source, None).unwrap_or_else(|e| panic!("unreadable: {e}"));
    let wrong = catalog
        .problems
        .iter()
        .filter(|p| p.severity == Severity::Error);
    assert_eq!(wrong.count(), 0, "{:?}", catalog.problems);
    let now = book.files();
    if now == *old {
        return false;
    }
    if let Err(e) = expected.is_new(old, &now) {
        panic!("neither the old state nor the new: {e}");
    }
    true
}

/// Every line that landed stands once, and no other.
fn last_count(book: &Book, tally: &Tally) {
    let files = book.files();
    for tag in &tally.landed {
        assert_eq!(count(&files, tag), 1, "{tag}");
    }
    assert_eq!(
        count(&files, "tag-"),
        tally.landed.len(),
        "lines lost or doubled"
    );
}
