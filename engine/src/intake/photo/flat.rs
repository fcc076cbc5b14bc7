//! The paper seen straight from above: how much darker than bare paper each place is.

use super::homography::Homography;
use super::light::{Light, Tile};
use super::picture::{Picture, brightness};
use crate::geometry::{HeightField, Point, Pose, Rect, Region, Ring, Shape};
use crate::units::Length;

/// Tiles along each side of the paper by which the light on it is judged.
const TILES: u32 = 30;

/// Samples of a tile along each side.
const SAMPLES: u32 = 12;

/// The rim of the paper that is left out, in millimetres: edges curl, and corners are found to a fraction of this.
pub(super) const RIM: f64 = 3.0;

/// Darkness over the paper, as a field whose heights are from 0 to 1, smoothed once; the rim is bare.
pub(super) struct Flat {
    pub(super) field: HeightField,
}

/// The paper's map, its sides in millimetres and the picture of it.
#[derive(Clone, Copy)]
pub(super) struct View<'a> {
    pub(super) picture: Picture<'a>,
    pub(super) map: Homography,
    pub(super) width: f64,
    pub(super) depth: f64,
}

impl View<'_> {
    fn color(&self, at: Point) -> [f64; 3] {
        self.picture.color(self.map.apply(at))
    }

    fn shares(&self, at: Point) -> (f64, f64) {
        (at.x / self.width, at.y / self.depth)
    }

    /// The light on the paper; `None` when next to nothing of it is bare.
    pub(super) fn light(&self) -> Option<Light> {
        let mut tiles = Vec::new();
        for index in 0..TILES * TILES {
            let (column, row) = (index % TILES, index / TILES);
            let mut colors: Vec<[f64; 3]> = Vec::new();
            for sample in 0..SAMPLES * SAMPLES {
                let along = |tile: u32, sample: u32, side: f64| {
                    let share = f64::from(tile) + (f64::from(sample) + 0.5) / f64::from(SAMPLES);
                    RIM + (side - 2.0 * RIM) * share / f64::from(TILES)
                };
                let x = along(column, sample % SAMPLES, self.width);
                let y = along(row, sample / SAMPLES, self.depth);
                colors.push(self.color(Point::new(x, y)));
            }
            // The median is the paper's own colour in a tile that is bare for the most part.
            colors.sort_by(|a, b| brightness(*a).total_cmp(&brightness(*b)));
            let middle = &colors[colors.len() * 2 / 5..colors.len() * 3 / 5];
            let n = f64::from(u32::try_from(middle.len().max(1)).unwrap_or(1));
            let color = [0, 1, 2].map(|k| middle.iter().map(|c| c[k]).sum::<f64>() / n);
            let at = [column, row].map(|tile| (f64::from(tile) + 0.5) / f64::from(TILES));
            tiles.push(Tile { at: (at[0], at[1]), color, brightness: brightness(color) });
        }
        Light::on(&tiles)
    }

    /// Darkness in cells of `spacing`, the rim and what lies within `masks` bare.
    pub(super) fn flat(&self, light: &Light, spacing: Length, masks: &[Ring]) -> Flat {
        let inner = Rect::new(Point::new(RIM, RIM), Point::new(self.width - RIM, self.depth - RIM));
        let mut field = HeightField::flat(inner, spacing);
        let (columns, rows) = (field.columns(), field.rows());
        let masks: Vec<Shape> =
            masks.iter().map(|ring| Shape::new(Region::new(ring.clone(), vec![]))).collect();
        for row in 1..rows.saturating_sub(1) {
            for column in 1..columns.saturating_sub(1) {
                let at = field.middle(column, row);
                let is_masked =
                    |mask: &Shape| mask.bounds().contains(at) && mask.contains(Pose::default(), at);
                if inner.contains(at) && !masks.iter().any(is_masked) {
                    let darkness = light.darkness(self.shares(at), self.color(at));
                    #[expect(
                        clippy::cast_possible_truncation,
                        reason = "a share of one byte's worth"
                    )]
                    let darkness = darkness as f32;
                    field.heights_mut()[row * columns + column] = darkness;
                }
            }
        }
        smooth(&mut field);
        Flat { field }
    }
}

/// Each cell becomes the mean of itself and its neighbours, weighted 1 2 1 along each axis.
fn smooth(field: &mut HeightField) {
    let columns = field.columns();
    let values = field.heights_mut();
    for row in values.chunks_mut(columns) {
        let mut before = row.first().copied().unwrap_or(0.0);
        for index in 1..row.len().saturating_sub(1) {
            let here = row[index];
            row[index] = 0.25 * before + 0.5 * here + 0.25 * row[index + 1];
            before = here;
        }
    }
    let mut above: Vec<f32> = values[..columns.min(values.len())].to_vec();
    for at in columns..values.len().saturating_sub(columns) {
        let here = values[at];
        values[at] = 0.25 * above[at % columns] + 0.5 * here + 0.25 * values[at + columns];
        above[at % columns] = here;
    }
}
