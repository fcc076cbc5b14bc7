//! The paper of a photograph seen straight from above, for a person to look at.

use super::paper::{Paper, PaperCorners, map};
use super::picture::Picture;
use crate::geometry::Point;
use crate::units::Length;

/// The longest side of such a picture in pixels, whatever the paper and the scale.
const MOST_SIDE: f64 = 2000.0;

/// The paper without perspective.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Straight {
    /// Pixels in a row.
    pub width: u32,
    /// How many rows.
    pub height: u32,
    /// Red, green, blue and opacity, row by row from the top.
    pub rgba: Vec<u8>,
}

/// The width and the depth of a paper as it lies in the picture; `None` when its corners make no picture.
#[must_use]
pub fn paper_size(paper: Paper, corners: PaperCorners) -> Option<(Length, Length)> {
    map(paper, corners).map(|(_, width, depth)| (Length::mm(width), Length::mm(depth)))
}

/// Takes the perspective off, with so many pixels to the millimetre; `None` when the corners make no picture.
///
/// For looking at: each pixel is read at its middle. Cost: linear in the pixels made, four million at most.
#[must_use]
pub fn straighten(
    picture: &Picture<'_>,
    paper: Paper,
    corners: PaperCorners,
    per_mm: f64,
) -> Option<Straight> {
    let (map, width, depth) = map(paper, corners)?;
    let per_mm = per_mm.clamp(0.1, MOST_SIDE / width.max(depth));
    let (columns, rows) = (pixels(width * per_mm), pixels(depth * per_mm));
    let mut rgba = Vec::with_capacity(4 * columns as usize * rows as usize);
    for row in 0..rows {
        let y = depth - (f64::from(row) + 0.5) / per_mm;
        for column in 0..columns {
            let at = map.apply(Point::new((f64::from(column) + 0.5) / per_mm, y));
            rgba.extend(picture.color(at).map(byte));
            rgba.push(u8::MAX);
        }
    }
    Some(Straight { width: columns, height: rows, rgba })
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the scale is clamped so that no side is longer than MOST_SIDE"
)]
fn pixels(length: f64) -> u32 {
    length.clamp(1.0, MOST_SIDE) as u32
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a mean of bytes is within a byte"
)]
fn byte(value: f64) -> u8 {
    (value + 0.5).clamp(0.0, 255.0) as u8
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A picture whose red grows to the right and whose green grows downwards, so that a place can be read off.
    fn ramps() -> Vec<u8> {
        let mut rgba = Vec::new();
        for y in 0..200_u8 {
            rgba.extend((0..200_u8).flat_map(|x| [x, y, 0, 255]));
        }
        rgba
    }

    #[test]
    fn each_corner_of_the_picture_made_shows_that_corner_of_the_paper() {
        let rgba = ramps();
        let picture = Picture::new(200, 200, &rgba).expect("a picture");
        // The paper stands upright, farther from the camera at its top.
        let corners = [(60.0, 20.0), (140.0, 20.0), (180.0, 180.0), (20.0, 180.0)];
        let corners = corners.map(|(x, y)| Point::new(x, y));
        let straight = straighten(&picture, Paper::A4, corners, 1.0).expect("four corners");
        assert_eq!((straight.width, straight.height), (210, 297));
        assert_eq!(straight.rgba.len(), 4 * 210 * 297);
        let seen = |column: usize, row: usize| {
            let at = 4 * (row * 210 + column);
            [straight.rgba[at], straight.rgba[at + 1]]
        };
        for ((column, row), corner) in
            [(0, 0), (209, 0), (209, 296), (0, 296)].into_iter().zip(corners)
        {
            let [red, green] = seen(column, row).map(f64::from);
            // A pixel's value is its index, half a pixel less than the place of its middle.
            let off = (red + 0.5 - corner.x).abs().max((green + 0.5 - corner.y).abs());
            assert!(off < 1.5, "({column}, {row}) shows {red}, {green}, not {corner:?}");
        }
        // In perspective the middle of the paper is seen above the middle of the picture of it: where the diagonals
        // cross, 20 + 160 * 40 / (40 + 80) from the top by similar triangles.
        let [red, green] = seen(105, 148).map(f64::from);
        assert!((red - 100.0).abs() < 2.0, "{red}");
        assert!((green - (20.0 + 160.0 / 3.0)).abs() < 2.0, "{green}");
        assert_eq!(paper_size(Paper::A4, corners), Some((Length::mm(210.0), Length::mm(297.0))));
    }

    #[test]
    fn corners_on_a_line_make_no_picture() {
        let rgba = ramps();
        let picture = Picture::new(200, 200, &rgba).expect("a picture");
        let corners = [10.0, 50.0, 90.0, 130.0].map(|x| Point::new(x, x));
        assert_eq!(straighten(&picture, Paper::Letter, corners, 3.0), None);
        assert_eq!(paper_size(Paper::Letter, corners), None);
    }
}
