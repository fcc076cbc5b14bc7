//! A cut through the formed sheet and what it lies on, along a line over the board.

use super::Forecast;
use super::forecast::Sheet;
use super::map::index_to_f64;
use crate::geometry::{Point, Vec2};
use crate::units::Length;

/// A place of the cut sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SheetPoint {
    /// Along the line, from its beginning.
    pub along: Length,
    /// Above the platen.
    pub height: Length,
    /// What is left of the gauge.
    pub ratio: f64,
}

/// What is cut along a line.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Section {
    /// The sheet in pieces, each within one triangle, in no order; together they are its outline without gaps.
    pub sheet: Vec<[SheetPoint; 2]>,
    /// Molds and platen from the beginning of the line to its end: along and height.
    pub ground: Vec<(Length, Length)>,
}

impl Forecast {
    /// The cut along a line of the blank; empty for a line of no length. Cost: the triangles and the cells passed.
    #[must_use]
    pub fn section(&self, from: Point, to: Point) -> Section {
        let way = to - from;
        let length = way.length();
        if !length.is_finite() || length <= 0.0 {
            return Section::default();
        }
        let line = Line { from, along: way * (1.0 / length), length };
        let cut = |nodes: &[u32; 3]| line.cut(&self.sheet, *nodes);
        let sheet = self.sheet.triangles.iter().filter_map(cut).collect();
        Section { sheet, ground: line.ground(self) }
    }
}

/// The line of a cut.
struct Line {
    from: Point,
    along: Vec2,
    length: f64,
}

impl Line {
    /// The piece of a triangle that the line cuts, within the line's ends.
    fn cut(&self, sheet: &Sheet, nodes: [u32; 3]) -> Option<[SheetPoint; 2]> {
        let corners = nodes.map(|node| {
            let [x, y, z] = sheet.positions[node as usize].map(f64::from);
            let off = Point::new(x, y) - self.from;
            let ratio = f64::from(sheet.thickness[node as usize]);
            // Nodes on the line count for its left side, so that each side of a triangle is cut once.
            (self.along.cross(off), [self.along.dot(off), z, ratio])
        });
        let mut crossings = [0, 1, 2].into_iter().filter_map(|index| {
            let (a, b) = (corners[index], corners[(index + 1) % 3]);
            ((a.0 >= 0.0) != (b.0 >= 0.0)).then(|| mix(a.1, b.1, a.0 / (a.0 - b.0)))
        });
        let (a, b) = (crossings.next()?, crossings.next()?);
        let (a, b) = if a[0] <= b[0] { (a, b) } else { (b, a) };
        if b[0] < 0.0 || a[0] > self.length {
            return None;
        }
        let wide = (b[0] - a[0]).max(1e-12);
        let clip = |at: f64| mix(a, b, (at - a[0]) / wide);
        let first = if a[0] < 0.0 { clip(0.0) } else { a };
        let last = if b[0] > self.length { clip(self.length) } else { b };
        Some([first, last].map(|[along, height, ratio]| SheetPoint {
            along: Length::mm(along),
            height: Length::mm(height),
            ratio,
        }))
    }

    fn ground(&self, forecast: &Forecast) -> Vec<(Length, Length)> {
        let step = forecast.ground.spacing().to_mm();
        let n_steps = steps(self.length / step);
        let at = |step: usize| {
            let along = self.length * index_to_f64(step) / index_to_f64(n_steps);
            let height = forecast.ground.at(self.from + self.along * along);
            (Length::mm(along), Length::mm(height))
        };
        (0..=n_steps).map(at).collect()
    }
}

fn mix(a: [f64; 3], b: [f64; 3], share: f64) -> [f64; 3] {
    [0, 1, 2].map(|part| a[part] + (b[part] - a[part]) * share)
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
fn steps(value: f64) -> usize {
    libm::ceil(value).clamp(1.0, 100_000.0) as usize
}
