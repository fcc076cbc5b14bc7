//! Tells light from dark: the threshold that parts a histogram best, and the light that falls on the paper.

use super::solve::solve;

/// The bin that parts a histogram into two classes with the greatest variance between them.
///
/// **Source:** N. Otsu, A threshold selection method from gray-level histograms, IEEE Trans. SMC 9(1), 1979, eq. 18
/// (from memory).
pub(super) fn otsu(histogram: &[u32; 256]) -> usize {
    let weighted = (0_u32..).zip(histogram).map(|(bin, &n)| f64::from(bin) * f64::from(n));
    let (total, sum): (f64, f64) = (histogram.iter().map(|&n| f64::from(n)).sum(), weighted.sum());
    let (mut n_below, mut sum_below) = (0.0, 0.0);
    let (mut best, mut best_bin) = (-1.0, 0);
    for (bin, &n) in histogram.iter().enumerate() {
        n_below += f64::from(n);
        sum_below += f64::from(u32::try_from(bin).unwrap_or(0)) * f64::from(n);
        let n_above = total - n_below;
        if n_below <= 0.0 || n_above <= 0.0 {
            continue;
        }
        let apart = sum_below / n_below - (sum - sum_below) / n_above;
        let between = n_below * n_above * apart * apart;
        if between > best {
            (best, best_bin) = (between, bin);
        }
    }
    best_bin
}

/// A brightness that changes slowly over the paper: a polynomial of degree two in the shares of its sides.
#[derive(Clone, Copy, Debug)]
pub(super) struct Light([[f64; 6]; 3]);

/// The colour of a piece of paper, or of what covers it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tile {
    /// Shares of the paper's sides, from 0 to 1.
    pub(super) at: (f64, f64),
    pub(super) color: [f64; 3],
    pub(super) brightness: f64,
}

/// A tile this much darker than the light says is covered, as a share.
const COVERED: f64 = 0.06;

/// Rounds of leaving out covered tiles.
const ROUNDS: u32 = 12;

const fn basis((x, y): (f64, f64)) -> [f64; 6] {
    [1.0, x, y, x * x, x * y, y * y]
}

fn value(of: &[f64; 6], at: (f64, f64)) -> f64 {
    of.iter().zip(basis(at)).map(|(a, b)| a * b).sum()
}

fn fit<'a>(tiles: impl Iterator<Item = &'a Tile>, of: impl Fn(&Tile) -> f64) -> Option<[f64; 6]> {
    let mut rows = [[0.0; 6]; 6];
    let mut right = [0.0; 6];
    for tile in tiles {
        let b = basis(tile.at);
        for (row, left) in rows.iter_mut().zip(b) {
            for (entry, other) in row.iter_mut().zip(b) {
                *entry += left * other;
            }
        }
        for (entry, left) in right.iter_mut().zip(b) {
            *entry += left * of(tile);
        }
    }
    solve(rows, right)
}

impl Light {
    /// The light on the paper, from tiles of which the darker ones are covered; `None` when too few are bare.
    pub(super) fn on(tiles: &[Tile]) -> Option<Self> {
        let mut sorted: Vec<f64> = tiles.iter().map(|tile| tile.brightness).collect();
        sorted.sort_by(f64::total_cmp);
        let bright = sorted.get(sorted.len() * 3 / 4).copied()?;
        let mut kept: Vec<&Tile> = tiles.iter().filter(|t| t.brightness > 0.75 * bright).collect();
        for _ in 0..ROUNDS {
            let light = fit(kept.iter().copied(), |tile| tile.brightness)?;
            let is_bare = |tile: &&Tile| tile.brightness > (1.0 - COVERED) * value(&light, tile.at);
            let next: Vec<&Tile> = kept.iter().copied().filter(is_bare).collect();
            if next.len() == kept.len() || next.len() < 12 {
                break;
            }
            kept = next;
        }
        let channel = |k: usize| fit(kept.iter().copied(), |tile| tile.color[k]);
        Some(Self([channel(0)?, channel(1)?, channel(2)?]))
    }

    /// How much darker a colour is than bare paper there, in its darkest channel: 0 for paper, 1 for black.
    pub(super) fn darkness(&self, at: (f64, f64), color: [f64; 3]) -> f64 {
        let channel = |k: usize| 1.0 - color[k] / value(&self.0[k], at).max(1.0);
        channel(0).max(channel(1)).max(channel(2)).clamp(0.0, 1.0)
    }
}
