//! Who leads in each draw, and between which ranks a candidate moves.

use crate::belief::BLOCK;
use crate::judge::sample::NOT_MET;
use rayon::prelude::*;

/// Shares and rank ranges of the candidates that take part.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Ranked {
    /// Share of draws led, ties split.
    pub(super) best_share: Vec<f64>,
    /// 5 % and 95 % of the rank; a tie counts at both its ends.
    pub(super) rank_range: Vec<(u32, u32)>,
    /// Share of draws in which nobody meets all limits.
    pub(super) nothing: f64,
}

/// Blocks ranked before their ranks are written back: bounds the memory beside the rows.
const GROUP: usize = 8;
/// Share of the draws inside a rank range, split evenly outside it.
const INSIDE: f64 = 0.90;

/// Ranks the rows of all that take part, draw by draw.
///
/// A draw in which a limit is missed ranks below all that meet theirs. The rows'
/// cells are used again for the ranks, so that no second table is held.
pub(super) fn rank(rows: Vec<Vec<f32>>, draws: usize) -> Ranked {
    let m = rows.len();
    let mut cells: Vec<Vec<u32>> = rows
        .into_iter()
        .map(|r| r.into_iter().map(key).collect())
        .collect();
    let mut best = vec![0.0; m];
    let mut nothing = 0.0;
    let blocks: Vec<usize> = (0..draws.div_ceil(BLOCK)).collect();
    for group in blocks.chunks(GROUP) {
        let done: Vec<Block> = group
            .par_iter()
            .map(|b| rank_block(&cells, b * BLOCK, BLOCK.min(draws - b * BLOCK)))
            .collect();
        for (b, block) in group.iter().zip(done) {
            nothing += block.nothing;
            for (total, share) in best.iter_mut().zip(&block.best) {
                *total += share;
            }
            let len = BLOCK.min(draws - b * BLOCK);
            for (row, ranks) in cells.iter_mut().zip(block.ranks.chunks(len)) {
                row[b * BLOCK..b * BLOCK + len].copy_from_slice(ranks);
            }
        }
    }
    let n = draws.max(1) as f64;
    let rank_range = cells
        .par_iter()
        .map(|row| {
            let at = |p: f64, part: fn(u32) -> u16| -> u32 {
                let mut ranks: Vec<u16> = row.iter().map(|c| part(*c)).collect();
                let place = ((p * n).ceil() as usize).clamp(1, ranks.len().max(1)) - 1;
                if ranks.is_empty() {
                    return 0;
                }
                u32::from(*ranks.select_nth_unstable(place).1)
            };
            let outside = 0.5 * (1.0 - INSIDE);
            (
                at(outside, |c| (c >> 16) as u16),
                at(1.0 - outside, |c| c as u16),
            )
        })
        .collect();
    Ranked {
        best_share: best.iter().map(|b| b / n).collect(),
        rank_range,
        nothing: nothing / n,
    }
}

/// Sorts from best to worst; `u32::MAX` for a missed limit.
fn key(value: f32) -> u32 {
    // The bits of figures from 0 up rise with the figures; 1 more keeps 0 apart from a miss.
    if value <= NOT_MET {
        u32::MAX
    } else {
        !(value.max(0.0).to_bits() + 1)
    }
}

struct Block {
    best: Vec<f64>,
    nothing: f64,
    /// Best and worst rank of the tie, packed; a row a candidate.
    ranks: Vec<u32>,
}

fn rank_block(cells: &[Vec<u32>], start: usize, len: usize) -> Block {
    let m = cells.len();
    let mut block = Block {
        best: vec![0.0; m],
        nothing: 0.0,
        ranks: vec![0; m * len],
    };
    let mut order: Vec<(u32, u32)> = Vec::with_capacity(m);
    for d in 0..len {
        order.clear();
        order.extend(
            cells
                .iter()
                .zip(0_u32..)
                .map(|(row, i)| (row[start + d], i)),
        );
        order.sort_unstable();
        let mut first = 0;
        while first < order.len() {
            let value = order[first].0;
            let tied = order[first..].iter().take_while(|o| o.0 == value).count();
            if first == 0 && value < u32::MAX {
                for (_, i) in &order[..tied] {
                    block.best[*i as usize] += 1.0 / tied as f64;
                }
            }
            let packed = u32::from(short(first + 1)) << 16 | u32::from(short(first + tied));
            for (_, i) in &order[first..first + tied] {
                block.ranks[*i as usize * len + d] = packed;
            }
            first += tied;
        }
        if order.first().is_none_or(|o| o.0 == u32::MAX) {
            block.nothing += 1.0;
        }
    }
    block
}

fn short(rank: usize) -> u16 {
    u16::try_from(rank).unwrap_or(u16::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ties_are_split_and_missed_limits_come_last() {
        // Two lead together in the first draw, one alone in the second, nobody in the third.
        let rows = vec![
            vec![0.5, 0.0, NOT_MET],
            vec![0.5, NOT_MET, NOT_MET],
            vec![0.2, NOT_MET, NOT_MET],
        ];
        let r = rank(rows, 3);
        assert!((r.best_share[0] - 0.5).abs() < 1e-12);
        assert!((r.best_share[1] - 0.5 / 3.0).abs() < 1e-12);
        assert!(r.best_share[2].abs() < 1e-12);
        assert!((r.nothing - 1.0 / 3.0).abs() < 1e-12);
        assert!((r.best_share.iter().sum::<f64>() + r.nothing - 1.0).abs() < 1e-12);
        assert_eq!(r.rank_range, [(1, 3), (1, 3), (1, 3)]);
    }

    #[test]
    fn nobody_taking_part_leaves_nothing_serving() {
        let r = rank(Vec::new(), 512);
        assert!((r.nothing - 1.0).abs() < 1e-12);
    }
}
