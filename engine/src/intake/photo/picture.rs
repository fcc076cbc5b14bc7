//! A decoded picture, within bounds.

use crate::geometry::Point;

/// Pixels of the largest picture taken: the largest that phones made in 2024 by default (common practice).
const MOST_PIXELS: u64 = 50_000_000;

/// The shortest side on which a mold's edge can be told.
const LEAST_SIDE: u32 = 64;

/// A picture as the browser hands it over: four bytes a pixel, red, green, blue, opacity, row by row from the top.
#[derive(Clone, Copy, Debug)]
pub struct Picture<'a> {
    width: u32,
    height: u32,
    rgba: &'a [u8],
}

/// Why pixels are no picture that can be traced.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PictureError {
    /// Too small or too large.
    #[error(
        "a picture of {width} x {height} pixels cannot be traced: take one of {LEAST_SIDE} pixels a side at least and 50 million pixels at most"
    )]
    Size {
        /// As given.
        width: u32,
        /// As given.
        height: u32,
    },
    /// Not four bytes a pixel.
    #[error("{bytes} bytes are not four for each of {pixels} pixels: open the picture again")]
    Bytes {
        /// As given.
        bytes: usize,
        /// Width times height.
        pixels: u64,
    },
}

impl<'a> Picture<'a> {
    /// A picture over these bytes.
    ///
    /// # Errors
    /// Says what is wrong with the size or the count of bytes.
    pub fn new(width: u32, height: u32, rgba: &'a [u8]) -> Result<Self, PictureError> {
        let pixels = u64::from(width) * u64::from(height);
        if width.min(height) < LEAST_SIDE || pixels > MOST_PIXELS {
            return Err(PictureError::Size { width, height });
        }
        if rgba.len() as u64 != 4 * pixels {
            return Err(PictureError::Bytes { bytes: rgba.len(), pixels });
        }
        Ok(Self { width, height, rgba })
    }

    /// Pixels in a row.
    #[must_use]
    pub const fn width(&self) -> u32 {
        self.width
    }

    /// How many rows.
    #[must_use]
    pub const fn height(&self) -> u32 {
        self.height
    }

    /// Red, green and blue from 0 to 255 of a pixel.
    fn pixel(&self, x: u32, y: u32) -> [f64; 3] {
        let at = 4 * (y as usize * self.width as usize + x as usize);
        match self.rgba.get(at..at + 3) {
            Some(&[r, g, b]) => [f64::from(r), f64::from(g), f64::from(b)],
            _ => [0.0; 3],
        }
    }

    /// The colour at a place between pixel middles (a pixel's middle is at half its index), by the four nearest.
    pub(super) fn color(&self, place: Point) -> [f64; 3] {
        let inside = |value: f64, side: u32| {
            let value = if value.is_nan() { 0.0 } else { value };
            (value - 0.5).clamp(0.0, f64::from(side - 1) - 1e-6)
        };
        let (x, y) = (inside(place.x, self.width), inside(place.y, self.height));
        let (column, row) = (whole(x), whole(y));
        let (sx, sy) = (x - f64::from(column), y - f64::from(row));
        let (right, below) = ((column + 1).min(self.width - 1), (row + 1).min(self.height - 1));
        let [a, b] = [self.pixel(column, row), self.pixel(right, row)];
        let [c, d] = [self.pixel(column, below), self.pixel(right, below)];
        [0, 1, 2].map(|k| {
            (a[k] * (1.0 - sx) + b[k] * sx) * (1.0 - sy) + (c[k] * (1.0 - sx) + d[k] * sx) * sy
        })
    }

    /// The brightness at a place, from 0 to 255.
    pub(super) fn brightness(&self, place: Point) -> f64 {
        brightness(self.color(place))
    }

    /// The picture's brightness in squares of `step` pixels: columns, rows and the mean of each square.
    pub(super) fn small(&self, step: u32) -> (usize, usize, Vec<u8>) {
        let (columns, rows) = ((self.width / step) as usize, (self.height / step) as usize);
        let mut sums = vec![0_u32; columns * rows];
        let line = 4 * self.width as usize;
        let step = step as usize;
        for (y, pixels) in self.rgba.chunks_exact(line).take(rows * step).enumerate() {
            let row = &mut sums[y / step * columns..(y / step + 1) * columns];
            for (sum, square) in row.iter_mut().zip(pixels.chunks_exact(4 * step)) {
                let value =
                    |p: &[u8]| 54 * u32::from(p[0]) + 183 * u32::from(p[1]) + 19 * u32::from(p[2]);
                *sum += square.chunks_exact(4).map(value).sum::<u32>() >> 8;
            }
        }
        let n = u32::try_from(step * step).unwrap_or(1);
        let means = sums.into_iter().map(|sum| u8::try_from(sum / n).unwrap_or(u8::MAX));
        (columns, rows, means.collect())
    }
}

/// The brightness of a colour (ITU-R BT.709 luma weights).
pub(super) fn brightness([r, g, b]: [f64; 3]) -> f64 {
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the value is clamped to the picture before it is cast"
)]
fn whole(value: f64) -> u32 {
    value as u32
}
