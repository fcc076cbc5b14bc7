//! The map as a picture: a PNG file with the thickness in colours, contour lines, web places and a scale.
//!
//! The colours get evenly lighter with the thickness and go from blue to yellow, so that they are read the same in grey
//! and by eyes that confuse red and green.
//!
//! **Source:** W3C, Portable Network Graphics (PNG) Specification, 2nd ed. 2003; the CRC is that of its annex D.

use miniz_oxide::deflate::compress_to_vec_zlib;

use super::Forecast;
use super::map::{Map, index_to_f64};
use crate::geometry::Point;
use crate::units::Length;

/// Thickness ratios that the scale has marks and the map has lines at.
pub const LINES: [f64; 8] = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8];

/// Dots along the longer side of the map, about.
const LONGER_SIDE: f64 = 1000.0;
/// Dots that the scale below the map is high.
const SCALE: usize = 24;

/// The colours for ratios 0, 1/4, 1/2, 3/4 and 1.
const STOPS: [[f64; 3]; 5] = [
    [18.0, 20.0, 66.0],
    [44.0, 82.0, 148.0],
    [112.0, 138.0, 148.0],
    [196.0, 184.0, 118.0],
    [255.0, 244.0, 200.0],
];

/// The colour for a share of the gauge: red, green and blue from 0 to 255; all of it and more have the lightest.
///
/// ```
/// use engine::drape::colour;
/// let grey = |[r, g, b]: [u8; 3]| 299 * u32::from(r) + 587 * u32::from(g) + 114 * u32::from(b);
/// assert!(grey(colour(0.2)) < grey(colour(0.3)));
/// ```
#[must_use]
pub fn colour(ratio: f64) -> [u8; 3] {
    let along = ratio.clamp(0.0, 1.0) * index_to_f64(STOPS.len() - 1);
    let stop = whole(along).min(STOPS.len() - 2);
    let share = along - index_to_f64(stop);
    [0, 1, 2].map(|part| {
        let (from, to) = (STOPS[stop][part], STOPS[stop + 1][part]);
        to_byte(from + (to - from) * share)
    })
}

impl Forecast {
    /// The map as a PNG file: front at the bottom, lines at [`LINES`], a cross at each web, a scale from nothing to the
    /// whole gauge at the bottom with the same lines.
    #[must_use]
    pub fn png(&self) -> Vec<u8> {
        let bounds = self.map.bounds;
        let longer = bounds.width().max(bounds.depth()).to_mm();
        let per_mm = LONGER_SIDE / longer.max(1e-9);
        let dots = |length: Length| whole(libm::round(length.to_mm() * per_mm)).max(1);
        let mut picture = Picture::new(dots(bounds.width()), dots(bounds.depth()) + SCALE);
        let depth = picture.height - SCALE;
        let ratio = |column: usize, row: usize| {
            let along = |dot: usize| (index_to_f64(dot) + 0.5) / per_mm;
            let place = Point::new(bounds.min.x + along(column), bounds.max.y - along(row));
            smooth(&self.map, place)
        };
        picture.shade((0..depth, picture.width), ratio);
        let width = picture.width;
        let share = |column: usize, _: usize| index_to_f64(column) / index_to_f64(width);
        picture.shade((depth..depth + SCALE, width), share);
        for web in &self.webs {
            let column = whole((web.at.x - bounds.min.x) * per_mm);
            let row = whole((bounds.max.y - web.at.y) * per_mm);
            picture.cross(column, row.min(depth.saturating_sub(1)));
        }
        picture.file()
    }
}

/// The ratio between the middles of cells.
fn smooth(map: &Map, place: Point) -> f64 {
    let [width, depth] = map.cell().map(Length::to_mm);
    let x = ((place.x - map.bounds.min.x) / width - 0.5).clamp(0.0, index_to_f64(map.columns - 1));
    let y = ((place.y - map.bounds.min.y) / depth - 0.5).clamp(0.0, index_to_f64(map.rows - 1));
    let (column, row) = (whole(x).min(map.columns - 1), whole(y).min(map.rows - 1));
    let (right, up) = ((column + 1).min(map.columns - 1), (row + 1).min(map.rows - 1));
    let (u, v) = (x - index_to_f64(column), y - index_to_f64(row));
    let at = |column: usize, row: usize| f64::from(map.ratios[row * map.columns + column]);
    let near = at(column, row) * (1.0 - u) + at(right, row) * u;
    let far = at(column, up) * (1.0 - u) + at(right, up) * u;
    near * (1.0 - v) + far * v
}

/// Dots in rows from the top.
struct Picture {
    width: usize,
    height: usize,
    dots: Vec<[u8; 3]>,
}

impl Picture {
    fn new(width: usize, height: usize) -> Self {
        Self { width, height, dots: vec![[255; 3]; width * height] }
    }

    /// Colours rows by ratios, with a dark or light line where a mark is passed.
    fn shade(
        &mut self,
        (rows, width): (std::ops::Range<usize>, usize),
        ratio: impl Fn(usize, usize) -> f64,
    ) {
        let first = rows.start;
        let band = |ratio: f64| LINES.iter().filter(|line| ratio >= **line).count();
        let mut above = vec![None; width];
        for row in rows {
            let mut left = None;
            for (column, above) in above.iter_mut().enumerate() {
                let value = ratio(column, row - first);
                let own = Some(band(value));
                let is_line = (left.is_some() && left != own) || (above.is_some() && *above != own);
                let line = if value < 0.45 { [255; 3] } else { [0; 3] };
                self.dots[row * self.width + column] = if is_line { line } else { colour(value) };
                (left, *above) = (own, own);
            }
        }
    }

    /// A cross with a rim, so that it is seen on dark and on light.
    fn cross(&mut self, column: usize, row: usize) {
        for (thick, colour) in [(2_i32, [255; 3]), (1, [0; 3])] {
            for along in -8_i32..=8 {
                for aside in -thick..=thick {
                    self.set(column, row, [along + aside, along], colour);
                    self.set(column, row, [along + aside, -along], colour);
                }
            }
        }
    }

    fn set(&mut self, column: usize, row: usize, [right, down]: [i32; 2], colour: [u8; 3]) {
        let shifted = |from: usize, by: i32, most: usize| {
            from.checked_add_signed(isize::try_from(by).ok()?).filter(|to| *to < most)
        };
        let column = shifted(column, right, self.width);
        let row = shifted(row, down, self.height - SCALE);
        if let (Some(column), Some(row)) = (column, row) {
            self.dots[row * self.width + column] = colour;
        }
    }

    /// The picture as a file.
    fn file(&self) -> Vec<u8> {
        let size = |count: usize| u32::try_from(count).unwrap_or(u32::MAX).to_be_bytes();
        let mut head = Vec::new();
        head.extend(size(self.width));
        head.extend(size(self.height));
        // Eight bits each of red, green and blue; the only compression and filter methods; not interlaced.
        head.extend([8, 2, 0, 0, 0]);
        let mut raw = Vec::with_capacity(self.dots.len() * 3 + self.height);
        for row in self.dots.chunks(self.width) {
            raw.push(0);
            raw.extend(row.iter().flatten());
        }
        let mut file = vec![0x89, b'P', b'N', b'G', b'\r', b'\n', 0x1a, b'\n'];
        for (kind, data) in
            [(b"IHDR", head), (b"IDAT", compress_to_vec_zlib(&raw, 6)), (b"IEND", vec![])]
        {
            file.extend(size(data.len()));
            let mut told = kind.to_vec();
            told.extend(data);
            let check = check(&told);
            file.extend(told);
            file.extend(check.to_be_bytes());
        }
        file
    }
}

/// The CRC of a chunk's kind and data.
fn check(bytes: &[u8]) -> u32 {
    let mut rest = u32::MAX;
    for byte in bytes {
        rest ^= u32::from(*byte);
        for _ in 0..8 {
            rest = if rest & 1 == 1 { 0xedb8_8320 ^ (rest >> 1) } else { rest >> 1 };
        }
    }
    !rest
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn whole(value: f64) -> usize {
    value.clamp(0.0, 1e6) as usize
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn to_byte(value: f64) -> u8 {
    libm::round(value.clamp(0.0, 255.0)) as u8
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_colour_is_lighter_than_the_one_for_less_and_red_never_tells_from_green() {
        // Rec. 709 weights; the red and green parts stay close, which eyes that confuse them do not see.
        let light = |[r, g, b]: [f64; 3]| 0.2126 * r + 0.7152 * g + 0.0722 * b;
        for pair in STOPS.windows(2) {
            assert!(light(pair[1]) > light(pair[0]) + 30.0, "{pair:?}");
            assert!(pair.iter().all(|[r, g, _]| (r - g).abs() < 40.0), "{pair:?}");
        }
        let grey = |ratio: f64| light(colour(ratio).map(f64::from));
        let all: Vec<f64> = (0..=100).map(|step| grey(f64::from(step) / 100.0)).collect();
        assert!(all.is_sorted(), "{all:?}");
    }

    /// The light in a byte of sRGB, from 0 to 1 (IEC 61966-2-1).
    fn linear(byte: u8) -> f64 {
        let share = f64::from(byte) / 255.0;
        if share <= 0.040_45 { share / 12.92 } else { libm::pow((share + 0.055) / 1.055, 2.4) }
    }

    /// How light a colour is, from 0 to 100, to eyes for which light is mixed so (CIE L*, white of D65).
    fn lightness(colour: [u8; 3], eyes: &[[f64; 3]; 3]) -> f64 {
        let [r, g, b] = colour.map(linear);
        let [r, g, b] = eyes.map(|row| (row[0] * r + row[1] * g + row[2] * b).clamp(0.0, 1.0));
        let light = 0.2126 * r + 0.7152 * g + 0.0722 * b;
        let cube = 216.0 / 24389.0;
        if light > cube { 116.0 * libm::cbrt(light) - 16.0 } else { light * 24389.0 / 27.0 }
    }

    /// Eyes that lack one of the three kinds of cones, as mixtures of linear red, green and blue.
    ///
    /// **Source:** G. M. Machado, M. M. Oliveira and L. A. F. Fernandes, A physiologically-based model for simulation of color
    /// vision deficiency, IEEE Transactions on Visualization and Computer Graphics 15, 2009, severity 1 (from memory).
    const EYES: [(&str, [[f64; 3]; 3]); 4] = [
        ("all cones", [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]),
        (
            "protanopia",
            [
                [0.152_286, 1.052_583, -0.204_868],
                [0.114_503, 0.786_281, 0.099_216],
                [-0.003_882, -0.048_116, 1.051_998],
            ],
        ),
        (
            "deuteranopia",
            [
                [0.367_322, 0.860_646, -0.227_968],
                [0.280_085, 0.672_501, 0.047_413],
                [-0.011_820, 0.042_940, 0.968_881],
            ],
        ),
        (
            "tritanopia",
            [
                [1.255_528, -0.076_749, -0.178_779],
                [-0.078_411, 0.930_809, 0.147_602],
                [0.004_733, 0.691_367, 0.303_900],
            ],
        ),
    ];

    #[test]
    fn five_per_cent_of_the_gauge_are_told_apart_by_eyes_that_lack_a_kind_of_cones() {
        for (name, eyes) in &EYES {
            // White is white to all eyes.
            assert!(eyes.iter().all(|row| (row.iter().sum::<f64>() - 1.0).abs() < 2e-6), "{name}");
            let of = |ratio: f64| lightness(colour(ratio), eyes);
            let fine: Vec<f64> = (0..=100).map(|step| of(f64::from(step) / 100.0)).collect();
            assert!(fine.is_sorted_by(|less, more| less < more), "{name}: {fine:?}");
            let coarse: Vec<f64> = fine.iter().copied().step_by(5).collect();
            assert!(coarse.windows(2).all(|pair| pair[1] - pair[0] >= 2.0), "{name}: {coarse:?}");
        }
        // Red and green of one lightness do not tell apart what protanopes see: the mixing is not for nothing.
        let [_, (_, protan), ..] = &EYES;
        let red = [255, 0, 0];
        assert!(lightness(red, protan) < lightness(red, &EYES[0].1) - 10.0);
    }

    #[test]
    fn the_check_of_the_specification_s_end_chunk_is_right() {
        // PNG specification: the IEND chunk is always the bytes AE 42 60 82 at its end.
        assert_eq!(check(b"IEND"), 0xae42_6082);
    }
}
