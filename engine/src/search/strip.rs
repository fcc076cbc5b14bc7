//! Packs outlines into a strip of fixed height and the least length that can be found.
//!
//! Any layout is a beginning. Then the strip is cut a little shorter, the items that reach out are pushed in and a
//! place is searched for each as ever; a strip that resists is tried again from a disturbed copy of the best layout,
//! and cut by less. When nothing has come of that for long, half of the steps go into beginnings of their own, since
//! some are good for far more than others.

use std::ops::ControlFlow;
use std::sync::Arc;

use super::hunt::{Ended, Hunt};
use super::{Apart, Budget, Item, Problem, Progress, Seed, Turns};
use crate::geometry::{Point, Pose, Rect, Region, Ring, Shape, extent};
use crate::units::{Area, Length};

/// The first cut, as a share of the length.
const FIRST_CUT: f64 = 0.02;
/// The least cut worth a try.
const LEAST_CUT: f64 = 1.5e-3;
/// How often a strip of one length is disturbed before it is given up. Few pieces that fit each other without play have
/// layouts far apart in length, and only persistence finds the next.
const TRIES: u32 = 10;

/// Steps without a shorter layout that a course is always given.
const PERSISTENCE: u64 = 4_000_000;

/// How far outlines are drawn in, as a share of the height: two of them, at a right-angled corner, stay below a
/// millionth.
const INSET: f64 = 3e-7;

/// An outline that is packed so many times.
#[derive(Clone, Debug)]
pub struct StripItem {
    /// The outline; poses refer to its own origin.
    pub shape: Arc<Shape>,
    /// The turns it may take.
    pub turns: Turns,
    /// How often it is packed.
    pub count: usize,
}

/// What is to be packed.
#[derive(Clone, Debug)]
pub struct Strip {
    /// What it is called.
    pub name: String,
    /// The fixed height of the strip, along y.
    pub height: Length,
    /// What is packed.
    pub items: Vec<StripItem>,
}

/// A layout of a strip.
#[derive(Clone, Debug, PartialEq)]
pub struct Packed {
    /// The length it takes, along x.
    pub length: Length,
    /// A pose for every copy, item by item; empty when no layout was found.
    pub poses: Vec<Pose>,
    /// Steps taken.
    pub steps: u64,
}

/// Where packing stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StripProgress {
    /// Steps done.
    pub done: u64,
    /// Steps there are.
    pub of: u64,
    /// The least length so far; infinite before the first layout.
    pub length: Length,
}

impl Strip {
    /// The surface of all copies.
    #[must_use]
    pub fn area(&self) -> Area {
        Area::mm2(
            self.items
                .iter()
                .map(|item| item.shape.area().to_mm2() * super::field::count(item.count))
                .sum(),
        )
    }

    /// The share of a strip of this length that the copies cover.
    #[must_use]
    pub fn density(&self, length: Length) -> f64 {
        self.area().to_mm2() / (self.height.to_mm() * length.to_mm())
    }

    /// All copies with the room of a strip of this length; they may touch.
    fn problem(&self, length: f64) -> Problem {
        let room = self.room(length);
        let inset = self.height.to_mm() * INSET;
        let copies = self.items.iter().flat_map(|item| {
            let shape = Arc::new(shrunk(item.shape.region(), inset));
            let one = Item { shape, turns: item.turns.clone(), room, pinned: None };
            std::iter::repeat_n(one, item.count)
        });
        let items: Vec<Item> = copies.collect();
        Problem { apart: Apart::touching(items.len()), items }
    }

    const fn room(&self, length: f64) -> Rect {
        Rect::sized(Point::ORIGIN, Length::mm(length), self.height)
    }
}

/// Looks for the shortest layout of a strip, for so many steps or until `watch` breaks off.
///
/// Every layout is verified by the exact geometry, with outlines drawn in by `INSET`: pieces that fit each other
/// without play, as those of the literature do, have some that way, and still overlap by less than a millionth of the
/// strip's height.
pub fn pack(
    strip: &Strip,
    seed: Seed,
    budget: Budget,
    watch: &mut dyn FnMut(&StripProgress) -> ControlFlow<()>,
) -> Packed {
    let mut packed = Packed { length: Length::mm(f64::INFINITY), poses: Vec::new(), steps: 0 };
    // Far longer than ever needed: how long the strip is at the moment, the layout is told.
    let problem = strip.problem(first_length(strip) * 1000.0);
    let mut hunt = Hunt::new(&problem, None, seed, budget);
    let mut best = Course::anew(strip, &mut hunt, &problem);
    let mut fresh: Option<Course> = None;
    let mut for_fresh = 0_u64;
    loop {
        let mut told = |news: &Progress<'_>| {
            watch(&StripProgress { done: news.done, of: news.of, length: packed.length })
        };
        let course = fresh.as_mut().unwrap_or(&mut best);
        match hunt.run(TRIES, false, &mut told) {
            Ended::Stopped => break,
            Ended::Solved => course.solved(true_length(strip, &hunt.best), &hunt),
            Ended::Stuck => course.stuck(&mut hunt),
        }
        if !course.poses.is_empty() && course.length < packed.length.to_mm() {
            packed.length = Length::mm(course.length);
            packed.poses.clone_from(&course.poses);
        }
        if course.is_spent(hunt.steps) {
            if let Some(spent) = fresh.take() {
                for_fresh += hunt.steps - spent.began;
                if spent.length < best.length {
                    best = spent;
                }
                best.resume(&mut hunt);
            } else if hunt.steps / 2 >= for_fresh {
                fresh = Some(Course::anew(strip, &mut hunt, &problem));
            }
        }
        let length = fresh.as_ref().unwrap_or(&best).next_length();
        hunt.layout.resize(&problem, strip.room(length));
        hunt.forget();
    }
    packed.steps = hunt.steps;
    packed
}

/// A way from one layout to ever shorter ones.
struct Course {
    /// The length of its best layout, or of the strip that it is still too long for.
    length: f64,
    /// The best layout; empty before the first.
    poses: Vec<Pose>,
    /// How much is cut off next, as a share of the length.
    cut: f64,
    n_failed: u32,
    /// The steps of the search when it began, and when it last got better or was taken up again.
    began: u64,
    improved: u64,
}

impl Course {
    /// One with a beginning of its own.
    fn anew(strip: &Strip, hunt: &mut Hunt<'_>, problem: &Problem) -> Self {
        let length = first_length(strip);
        hunt.layout.resize(problem, strip.room(length));
        hunt.forget();
        hunt.begin(None);
        let (began, improved) = (hunt.steps, hunt.steps);
        Self { length, poses: Vec::new(), cut: FIRST_CUT, n_failed: 0, began, improved }
    }

    /// Takes it up where it was left.
    fn resume(&mut self, hunt: &mut Hunt<'_>) {
        hunt.recall(&self.poses);
        self.improved = hunt.steps;
    }

    fn solved(&mut self, length: f64, hunt: &Hunt<'_>) {
        if self.poses.is_empty() || length < self.length {
            self.length = length;
            self.poses.clone_from(&hunt.best);
        }
        self.improved = hunt.steps;
        self.n_failed = 0;
    }

    fn stuck(&mut self, hunt: &mut Hunt<'_>) {
        if self.poses.is_empty() {
            self.length *= 1.05;
            return;
        }
        self.n_failed += 1;
        self.cut = (self.cut * 0.7).max(LEAST_CUT);
        hunt.recall(&self.poses);
        hunt.swap(super::field::floor(f64::from(self.n_failed).sqrt()));
    }

    /// The length of the strip that is tried next.
    fn next_length(&self) -> f64 {
        if self.poses.is_empty() { self.length } else { self.length * (1.0 - self.cut) }
    }

    /// Whether nothing has come of it for long.
    const fn is_spent(&self, steps: u64) -> bool {
        !self.poses.is_empty() && steps - self.improved > PERSISTENCE
    }
}

/// A length at which the copies cover half of the strip, and at which each has room in some turn.
fn first_length(strip: &Strip) -> f64 {
    let half_full = 2.0 * strip.area().to_mm2() / strip.height.to_mm();
    let widest = strip.items.iter().map(|item| {
        let bounds = item.shape.bounds();
        bounds.min.distance(bounds.max)
    });
    widest.fold(half_full, f64::max)
}

/// How far the layout reaches with the true outlines.
fn true_length(strip: &Strip, poses: &[Pose]) -> f64 {
    let copies = strip.items.iter().flat_map(|item| std::iter::repeat_n(&item.shape, item.count));
    copies.zip(poses).map(|(shape, &pose)| extent(shape, pose).max.x).fold(0.0, f64::max)
}

/// The surface with each side moved inwards.
fn shrunk(region: &Region, by: f64) -> Shape {
    let ring = |ring: &Ring| {
        let points = ring.points();
        let n = points.len();
        let corner = |k: usize| {
            let [before, at, after] = [points[(k + n - 1) % n], points[k], points[(k + 1) % n]];
            let [a, b] = [at - before, after - at]
                .map(|side| side.left() / side.length().max(f64::MIN_POSITIVE));
            // A very sharp corner is not moved far along its middle line.
            at + (a + b) * (by / (1.0 + a.dot(b)).max(0.1))
        };
        Ring::new((0..n).map(corner).collect())
    };
    Shape::new(Region {
        outer: ring(&region.outer),
        holes: region.holes.iter().map(ring).collect(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::flatten;
    use crate::search::read_strip;

    /// Twelve rectangles that fill 12 by 10 without a gap, cut by hand, and no rotation.
    const RECTANGLES: &str = r#"{"name": "rectangles", "strip_height": 10, "items": [
        {"count": 2, "rotations": [0], "polygon": [[0, 0], [6, 0], [6, 4], [0, 4]]},
        {"count": 4, "rotations": [0], "polygon": [[0, 0], [3, 0], [3, 4], [0, 4]]},
        {"count": 6, "rotations": [0], "polygon": [[0, 0], [2, 0], [2, 2], [0, 2]]}]}"#;

    #[test]
    fn rectangles_that_fill_a_strip_are_packed_to_a_few_per_cent() {
        let (strip, scale) = read_strip(RECTANGLES).expect("a strip");
        let packed =
            pack(&strip, Seed(1), Budget { steps: 1_500_000 }, &mut |_| ControlFlow::Continue(()));
        let length = packed.length.to_mm() / scale;
        assert!((12.0 - 1e-5..13.3).contains(&length), "{length}");
        assert_eq!(packed.poses.len(), 12);
        assert!((strip.density(packed.length) - 12.0 / length).abs() < 1e-9);
        let again =
            pack(&strip, Seed(1), Budget { steps: 1_500_000 }, &mut |_| ControlFlow::Continue(()));
        assert_eq!(again, packed);
    }

    #[test]
    fn a_packing_that_is_stopped_keeps_what_it_has() {
        let (strip, _) = read_strip(RECTANGLES).expect("a strip");
        let mut told = Length::mm(f64::INFINITY);
        let packed = pack(&strip, Seed(1), Budget { steps: u64::MAX }, &mut |news| {
            assert!(news.length <= told);
            told = news.length;
            if told.to_mm().is_finite() {
                ControlFlow::Break(())
            } else {
                ControlFlow::Continue(())
            }
        });
        assert_eq!(packed.length, told);
        assert_eq!(packed.poses.len(), 12);
    }

    #[test]
    fn a_square_and_its_notch_are_drawn_in_on_every_side() {
        let (outer, hole) = (Length::mm(20.0), Length::mm(10.0));
        let region =
            Region::new(flatten::rectangle(outer, outer), vec![flatten::rectangle(hole, hole)]);
        let drawn_in = shrunk(&region, 0.5);
        assert!((drawn_in.area().to_mm2() - (19.0 * 19.0 - 11.0 * 11.0)).abs() < 1e-9);
    }
}
