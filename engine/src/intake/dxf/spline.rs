//! Splines: rational B-spline curves by de Boor's algorithm.

use super::super::pen::Pen;
use super::codes::{Bad, Record};
use super::curves::Drawn;
use crate::geometry::{Point, tolerance};

/// The highest degree drawn.
const MOST_DEGREE: usize = 15;

/// Points at which each piece is tried to see how much it bends.
const TRIED: u32 = 8;

/// Sides of one piece between two knots.
const MOST_STEPS: f64 = 512.0;

/// A rational B-spline curve whose counts fit together.
struct Spline {
    degree: usize,
    knots: Vec<f64>,
    /// Control points with their weights.
    controls: Vec<(Point, f64)>,
}

/// Draws a spline; one given by the points that it passes is drawn straight from point to point.
pub(super) fn draw<'a>(record: &Record<'a, '_>, pen: &mut Pen) -> Result<Drawn, Bad<'a>> {
    let controls = record.points(10)?;
    if controls.is_empty() {
        let passed = record.points(11)?;
        for &point in &passed {
            pen.line(point);
        }
        return Ok(Drawn::Straightened(passed.len()));
    }
    let degree = usize::try_from(record.whole(71)).unwrap_or(0);
    let knots = record.numbers(40)?;
    let weights = record.numbers(41)?;
    let fits = (1..=MOST_DEGREE).contains(&degree)
        && controls.len() > degree
        && knots.len() == controls.len() + degree + 1
        && knots.windows(2).all(|pair| pair[0] <= pair[1]);
    if !fits {
        return Err(Bad { code: 40, text: "knots do not fit the control points" });
    }
    let weights = weights.into_iter().chain(std::iter::repeat(1.0));
    let controls: Vec<(Point, f64)> = controls.into_iter().zip(weights).collect();
    if controls.iter().any(|(_, weight)| *weight <= 0.0) {
        return Err(Bad { code: 41, text: "a weight is not above zero" });
    }
    Spline { degree, knots, controls }.draw(pen);
    Ok(if record.whole(70) & 1 == 1 { Drawn::Closed } else { Drawn::Open })
}

impl Spline {
    fn draw(&self, pen: &mut Pen) {
        let spans = self.degree..self.controls.len();
        let mut is_begun = false;
        for span in spans.filter(|&span| self.knots[span] < self.knots[span + 1]) {
            if !is_begun {
                pen.line(self.at(span, 0.0));
                is_begun = true;
            }
            let n = self.n_steps(span, pen);
            for step in 1..=n {
                pen.line(self.at(span, f64::from(step) / f64::from(n)));
            }
        }
    }

    /// Sides enough to keep within `IMPORT`, judged by how much the piece bends from try to try.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the value is clamped to a few hundred before it is cast"
    )]
    fn n_steps(&self, span: usize, pen: &Pen) -> u32 {
        if self.degree == 1 {
            return 1;
        }
        let tried: Vec<Point> = (0..=TRIED)
            .map(|step| pen.map.place(self.at(span, f64::from(step) / f64::from(TRIED))))
            .collect();
        let bend = |p: &[Point]| ((p[0] - p[1]) + (p[2] - p[1])).length();
        let most = tried.windows(3).map(bend).fold(0.0, f64::max);
        let n = f64::from(TRIED) * (most / (8.0 * tolerance::IMPORT.to_mm())).sqrt();
        libm::ceil(n).clamp(4.0, MOST_STEPS) as u32
    }

    /// The place at a share of the way through the piece between two knots.
    fn at(&self, span: usize, share: f64) -> Point {
        let (low, high) = (self.knots[span], self.knots[span + 1]);
        let t = low + (high - low) * share;
        let first = span - self.degree;
        let mut points: Vec<[f64; 3]> = self.controls[first..=span]
            .iter()
            .map(|(p, weight)| [p.x * weight, p.y * weight, *weight])
            .collect();
        for level in 1..=self.degree {
            for j in (level..=self.degree).rev() {
                let left = self.knots[first + j];
                let right = self.knots[first + j + self.degree + 1 - level];
                let share = if right > left { (t - left) / (right - left) } else { 0.0 };
                let before = points[j - 1];
                points[j] = [0, 1, 2].map(|k| before[k] * (1.0 - share) + points[j][k] * share);
            }
        }
        let [x, y, weight] = points[self.degree];
        Point::new(x / weight, y / weight)
    }
}
