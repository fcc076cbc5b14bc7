//! Heights on a grid as text and back.

use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use miniz_oxide::deflate::compress_to_vec;
use miniz_oxide::inflate::decompress_to_vec_with_limit;

use super::Heights;
use crate::plan::{HeightGrid, limits};
use crate::units::Length;

/// The slowest and smallest of deflate's levels: a grid is small, and kept for long.
const LEVEL: u8 = 10;

impl Heights {
    /// The saved form of a grid.
    pub(super) fn of(grid: &HeightGrid) -> Self {
        let mut before = 0_u16;
        let differences = grid.tenths().iter().map(|&tenths| {
            let difference = tenths.wrapping_sub(before);
            before = tenths;
            difference.to_le_bytes()
        });
        let bytes: Vec<u8> = differences.flatten().collect();
        let side = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        Self {
            columns: side(grid.columns()),
            rows: side(grid.rows()),
            height_mm: grid.height().to_mm(),
            tenths: BASE64_STANDARD.encode(compress_to_vec(&bytes, LEVEL)),
        }
    }

    /// The grid; `None` when the text is not that of so many cells.
    pub(super) fn grid(&self) -> Option<HeightGrid> {
        let deflated = BASE64_STANDARD.decode(&self.tenths).ok()?;
        let most = 2 * limits::GRID_SIDE * limits::GRID_SIDE;
        let bytes = decompress_to_vec_with_limit(&deflated, most).ok()?;
        let (pairs, rest) = bytes.as_chunks::<2>();
        let mut before = 0_u16;
        let tenths = pairs.iter().map(|&pair| {
            before = before.wrapping_add(u16::from_le_bytes(pair));
            before
        });
        let tenths = tenths.collect();
        let side = |n: u32| usize::try_from(n).ok();
        let height = Length::mm(self.height_mm);
        rest.is_empty()
            .then(|| HeightGrid::new(side(self.columns)?, side(self.rows)?, height, tenths))?
    }
}
