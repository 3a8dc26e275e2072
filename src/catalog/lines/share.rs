//! The lines of a sheet shared out over threads: a run is never cut in two.

use crate::catalog::csv_text::{CsvText, LineAt};
use std::collections::HashMap;
use std::hash::{BuildHasher, RandomState};
use std::ops::Range;

/// Fewest lines of a share: less is not worth a thread.
const LEAST: usize = 1_024;
/// Shares a thread, so that none waits long for the last.
const SHARES: usize = 4;

/// Some lines of a sheet, in the order of the file.
#[derive(Debug)]
pub(super) struct Share {
    ranges: Vec<Range<usize>>,
    lines: usize,
}

impl Share {
    /// All lines.
    pub(super) fn whole(lines: &[LineAt]) -> Self {
        let mut whole = Share::empty();
        whole.ranges.push(0..lines.len());
        whole
    }

    fn empty() -> Self {
        Share {
            ranges: Vec::new(),
            lines: 0,
        }
    }

    /// Its lines of all.
    pub(super) fn of<'l>(&'l self, all: &'l [LineAt]) -> impl Iterator<Item = LineAt> + 'l {
        self.ranges
            .iter()
            .filter_map(|r| all.get(r.clone()))
            .flatten()
            .copied()
    }

    fn add(&mut self, line: usize) {
        self.lines += 1;
        match self.ranges.last_mut() {
            Some(last) if last.end == line => last.end += 1,
            _ => self.ranges.push(line..line + 1),
        }
    }
}

/// Shares out lines by the run in `column`: all lines of a run fall to one share, wherever they
/// stand.
pub(super) fn share_out(csv: &CsvText<'_>, column: usize, lines: &[LineAt]) -> Vec<Share> {
    let most = lines.len() / (SHARES * rayon::current_num_threads());
    if lines.len() < 2 * LEAST {
        return vec![Share::whole(lines)];
    }
    let size = most.max(LEAST);
    // Runs go by the hash of their ids: two of one hash only fall to the same share.
    let hasher = RandomState::new();
    let mut share_of: HashMap<u64, usize> = HashMap::new();
    let mut shares = vec![Share::empty()];
    let mut before: (&str, usize) = ("", 0);
    for (k, at) in lines.iter().enumerate() {
        let written = csv.written(*at, column);
        let share = if k > 0 && written == before.0 {
            before.1
        } else {
            let id = bare(written);
            let newest = shares.len() - 1;
            *share_of.entry(hasher.hash_one(id)).or_insert_with(|| {
                if shares[newest].lines < size {
                    return newest;
                }
                shares.push(Share::empty());
                newest + 1
            })
        };
        if let Some(s) = shares.get_mut(share) {
            s.add(k);
        }
        before = (written, share);
    }
    shares
}

/// An id as it is written in a cell, without quotes and blanks about it: ids hold neither.
pub(in crate::catalog) fn bare(written: &str) -> &str {
    written.trim().trim_matches('"').trim()
}
