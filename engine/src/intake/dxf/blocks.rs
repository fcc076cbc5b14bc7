//! Inserted blocks: drawn in place, scaled, turned and repeated in rows, within bounds.

use super::super::affine::Affine;
use super::super::problem::{Trouble, shortened};
use super::MOST_ENTITIES;
use super::codes::{Bad, Record};
use super::curves::plane;
use super::draw::{Draw, State};
use crate::units::Angle;

/// Blocks within blocks.
const MOST_NESTED: usize = 16;

/// Columns or rows of one insertion.
const MOST_REPEATED: i64 = 1000;

impl<'a> Draw<'a, '_, '_> {
    /// Draws a block where it is inserted; one that is not there or lies too deep is told.
    pub(super) fn insert(
        &mut self,
        record: &Record<'a, '_>,
        layer: &'a str,
        state: State<'a>,
    ) -> Result<(), Bad<'a>> {
        let name = record.text(2).unwrap_or_default();
        let block = self.file.blocks.get(name).filter(|_| state.n_nested < MOST_NESTED);
        let Some(block) = block.cloned() else {
            self.problems.push(record.place(), Trouble::NoTarget { what: shortened(name) });
            return Ok(());
        };
        if block.records.is_empty() {
            return Ok(());
        }
        let at = record.point(10)?;
        let scale = Affine::scale(record.number(41, 1.0)?, record.number(42, 1.0)?);
        let turn = Affine::turn(Angle::degrees(record.number(50, 0.0)?));
        let (dx, dy) = (record.number(44, 0.0)?, record.number(45, 0.0)?);
        let base = Affine::shift(-block.base.x, -block.base.y);
        let outer = state.map.after(&plane(record)?).after(&Affine::shift(at.x, at.y)).after(&turn);
        for row in 0..record.whole(71).clamp(1, MOST_REPEATED) {
            for column in 0..record.whole(70).clamp(1, MOST_REPEATED) {
                if self.n_entities >= MOST_ENTITIES {
                    return Ok(());
                }
                self.n_entities += 1;
                let step = Affine::shift(times(dx, column), times(dy, row));
                let map = outer.after(&step).after(&scale).after(&base);
                let next = State { map, layer: Some(layer), n_nested: state.n_nested + 1 };
                if map.is_finite() {
                    self.entities(block.records.clone(), next);
                }
            }
        }
        Ok(())
    }
}

fn times(step: f64, n: i64) -> f64 {
    step * f64::from(i32::try_from(n).unwrap_or(i32::MAX))
}
