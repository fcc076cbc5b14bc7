//! A tree of boxes round the sides of a region, which makes questions about many sides cheap.
//!
//! The sides stay in the order of their outlines and each box holds a run of them, because neighbours in an
//! outline are neighbours in space. So the tree needs no sorting, is the same on every target, and costs two
//! boxes a leaf. A general index over rectangles was declined: it sorts, knows no turned partner, and the
//! search of two trees against each other would have to be written all the same.

use std::ops::ControlFlow;

use super::extremes::greater;
use super::side::Side;
use super::{Point, PoseMap, Rect, Ring, Vec2};

/// Sides in a leaf; measured on gaps of wavy outlines, two cost a tenth more and eight a third more.
const SIDES_IN_A_LEAF: usize = 4;

/// The sides of a region under their boxes.
#[derive(Clone, Debug, Default)]
pub(super) struct SideTree {
    sides: Vec<Side>,
    boxes: Vec<SideBox>,
}

/// A box round the sides `first..end`; the left half follows it, the right half stands at `right`, and
/// the first box that is not under it at `next`.
#[derive(Clone, Copy, Debug)]
pub(super) struct SideBox {
    center: Point,
    half: Vec2,
    first: u32,
    end: u32,
    /// Zero in a leaf.
    right: u32,
    next: u32,
}

impl SideTree {
    /// The tree of all sides of the rings, ring by ring. Cost: linear.
    pub(super) fn new<'a>(rings: impl Iterator<Item = &'a Ring>) -> Self {
        let sides: Vec<Side> =
            rings.flat_map(Ring::sides).map(|(from, to)| Side { from, to }).collect();
        let mut tree = Self { sides, boxes: Vec::new() };
        if !tree.sides.is_empty() {
            tree.boxes.reserve(tree.sides.len());
            tree.grow(0, tree.sides.len());
        }
        tree
    }

    /// All sides, ring by ring.
    pub(super) fn sides(&self) -> &[Side] {
        &self.sides
    }

    /// The boxes, the outermost first.
    pub(super) fn boxes(&self) -> &[SideBox] {
        &self.boxes
    }

    /// Adds the box round `first..end` and those under it.
    fn grow(&mut self, first: usize, end: usize) {
        let at = self.boxes.len();
        self.boxes.push(SideBox::around(&self.sides[first..end], first, end));
        if end - first > SIDES_IN_A_LEAF {
            let middle = usize::midpoint(first, end);
            self.grow(first, middle);
            self.boxes[at].right = small(self.boxes.len());
            self.grow(middle, end);
        }
        self.boxes[at].next = small(self.boxes.len());
    }

    /// Visits all pairs of sides whose boxes are within `reach` of each other, until told to break.
    pub(super) fn visit_near(
        &self,
        other: &Self,
        map: &PoseMap,
        reach: f64,
        visit: &mut impl FnMut(usize, usize) -> ControlFlow<()>,
    ) -> ControlFlow<()> {
        let mut waiting = vec![(0, 0)];
        if self.boxes.is_empty() || other.boxes.is_empty() {
            waiting.clear();
        }
        while let Some((one, two)) = waiting.pop() {
            let (a, b) = (self.boxes[one], other.boxes[two].mapped(map));
            if a.square_to(&b) > reach * reach {
                continue;
            }
            if a.is_leaf() && b.is_leaf() {
                a.range().try_for_each(|i| b.range().try_for_each(|j| visit(i, j)))?;
            } else if a.is_split_before(&b) {
                waiting.extend(a.children(one).map(|child| (child, two)));
            } else {
                waiting.extend(b.children(two).map(|child| (one, child)));
            }
        }
        ControlFlow::Continue(())
    }

    /// The index of the side nearest to `p` and the distance in millimetres; `None` without sides.
    pub(super) fn nearest(&self, p: Point) -> Option<(usize, f64)> {
        let mut best = (0, f64::INFINITY);
        let mut waiting = if self.boxes.is_empty() { vec![] } else { vec![0] };
        while let Some(at) = waiting.pop() {
            let node = self.boxes[at];
            if node.square_to_point(p) >= best.1 {
                continue;
            }
            if !node.is_leaf() {
                waiting.extend(node.children(at));
                continue;
            }
            for side in node.range() {
                let away = self.sides[side].nearest(p) - p;
                if away.dot(away) < best.1 {
                    best = (side, away.dot(away));
                }
            }
        }
        best.1.is_finite().then(|| (best.0, best.1.sqrt()))
    }

    /// True when a ray from `p` crosses the sides an odd number of times.
    pub(super) fn is_inside(&self, p: Point) -> bool {
        let mut is_inside = false;
        let mut at = 0;
        while let Some(node) = self.boxes.get(at) {
            let is_met =
                (p.y - node.center.y).abs() <= node.half.y && p.x <= node.center.x + node.half.x;
            if is_met && node.is_leaf() {
                let n_crossed =
                    self.sides[node.range()].iter().filter(|s| is_right_of(s, p)).count();
                is_inside ^= n_crossed % 2 == 1;
            }
            at = if is_met { at + 1 } else { node.next as usize };
        }
        is_inside
    }
}

/// True when the ray from `p` along x crosses the side; a corner on the ray counts for the lower side only.
fn is_right_of(side: &Side, p: Point) -> bool {
    let is_rising = side.to.y > side.from.y;
    (side.from.y > p.y) != (side.to.y > p.y)
        && ((side.to - side.from).cross(p - side.from) > 0.0) == is_rising
}

impl SideBox {
    fn around(sides: &[Side], first: usize, end: usize) -> Self {
        let corners = sides.iter().flat_map(|side| [side.from, side.to]);
        let bounds = Rect::around(corners).unwrap_or_default();
        let center = bounds.center();
        // Measured from the centre as rounded, so that the box never cuts a corner off.
        let half = Vec2::new(
            (bounds.max.x - center.x).max(center.x - bounds.min.x),
            (bounds.max.y - center.y).max(center.y - bounds.min.y),
        );
        Self { center, half, first: small(first), end: small(end), right: 0, next: 0 }
    }

    pub(super) const fn is_leaf(&self) -> bool {
        self.right == 0
    }

    pub(super) const fn range(&self) -> std::ops::Range<usize> {
        self.first as usize..self.end as usize
    }

    /// The two halves of the box that stands at `at`.
    pub(super) const fn children(&self, at: usize) -> [usize; 2] {
        [at + 1, self.right as usize]
    }

    /// True when this box is to be halved before `other`: it is the larger, or the other is a leaf.
    pub(super) fn is_split_before(&self, other: &Self) -> bool {
        !self.is_leaf()
            && (other.is_leaf() || self.half.x + self.half.y >= other.half.x + other.half.y)
    }

    /// An upright box round this one in the coordinates that `map` leads to.
    #[inline(always)]
    pub(super) fn mapped(&self, map: &PoseMap) -> Self {
        Self { center: map.apply(self.center), half: map.half_extent(self.half), ..*self }
    }

    /// The square of the free distance between two boxes.
    #[inline(always)]
    pub(super) fn square_to(&self, other: &Self) -> f64 {
        let dx =
            greater(0.0, (self.center.x - other.center.x).abs() - (self.half.x + other.half.x));
        let dy =
            greater(0.0, (self.center.y - other.center.y).abs() - (self.half.y + other.half.y));
        dx * dx + dy * dy
    }

    /// The square of the distance of a point from the box.
    fn square_to_point(&self, p: Point) -> f64 {
        let dx = greater(0.0, (self.center.x - p.x).abs() - self.half.x);
        let dy = greater(0.0, (self.center.y - p.y).abs() - self.half.y);
        dx * dx + dy * dy
    }
}

/// An index as the boxes keep it; an outline of more than four thousand million sides cannot be held anyway.
fn small(index: usize) -> u32 {
    u32::try_from(index).unwrap_or(u32::MAX)
}
