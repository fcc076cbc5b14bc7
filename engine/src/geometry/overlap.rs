//! Whether two placed shapes share surface, as opposed to touching.

use std::collections::BTreeMap;
use std::ops::ControlFlow;

use super::distance::common_corner;
use super::side::Side;
use super::tree::SideTree;
use super::{Point, Pose, PoseMap, Shape, tolerance};

/// Lengths up to this are the same, in millimetres.
const SAME: f64 = tolerance::SAME.to_mm();

/// A piece of a side shorter than this says nothing about its direction: both its ends may be displaced.
const SHORTEST_PIECE: f64 = 4.0 * SAME;

/// True when the two placed shapes share surface; touching outlines, however long the contact, do not.
///
/// Contact is judged with the tolerance `SAME`: shapes that overlap by less only touch. The answer is for
/// regions without `problems`; an outline without surface may count either way. Cost: about `log n`
/// for shapes apart or well overlapping, `n log n` for shapes that touch.
#[must_use]
pub fn is_overlapping(a: &Shape, pa: Pose, b: &Shape, pb: Pose) -> bool {
    let (map_a, map_b) = (pa.map(), pb.map());
    let map = map_b.seen_from(map_a);
    let mut contacts = Vec::new();
    let (sides, others) = (a.tree().sides(), b.tree().sides());
    let crossing = a.tree().visit_near(b.tree(), &map, SAME, &mut |i, j| {
        let (one, other) = (sides[i], others[j].mapped(&map));
        if is_deep_crossing(one, other) {
            return ControlFlow::Break(());
        }
        if one.crossing(other).or_else(|| one.touch(other, SAME)).is_some() {
            contacts.push((i, j));
        }
        ControlFlow::Continue(())
    });
    if crossing.is_break() {
        return true;
    }
    if contacts.is_empty() {
        return common_corner(a, b, map).is_some();
    }
    let back = map_a.seen_from(map_b);
    let turned: Vec<(usize, usize)> = contacts.iter().map(|&(i, j)| (j, i)).collect();
    let is_shared = |(_, lie)| matches!(lie, Lie::Inside | Lie::AlongSameWay);
    runs(a.tree(), b.tree(), back, &contacts).any(is_shared)
        || runs(b.tree(), a.tree(), map, &turned).any(is_shared)
}

/// How a run of one outline lies to the surface of another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lie {
    Inside,
    Outside,
    /// On the outline, with both surfaces on the same side.
    AlongSameWay,
    /// On the outline, with the surfaces on the two sides of it.
    AlongOtherWay,
}

/// True when each side has its ends on both sides of the other, clear of rounding.
fn is_deep_crossing(a: Side, b: Side) -> bool {
    let is_parted = |line: Side, side: Side| {
        let (from, to) = (line.height(side.from), line.height(side.to));
        from.min(to) < -SAME && from.max(to) > SAME
    };
    is_parted(a, b) && is_parted(b, a)
}

/// The runs of the outlines of `a`, cut where they meet `b`, in the coordinates of `b`.
///
/// No run crosses an outline of `b`, so its middle speaks for all of it. `map` leads from `a` to `b`, and
/// `contacts` are all pairs of sides of `a` and `b` that meet.
pub(super) fn runs(
    a: &SideTree,
    b: &SideTree,
    map: PoseMap,
    contacts: &[(usize, usize)],
) -> impl Iterator<Item = (Side, Lie)> {
    let mut met: BTreeMap<usize, Vec<Side>> = BTreeMap::new();
    for &(i, j) in contacts {
        met.entry(i).or_default().push(b.sides()[j]);
    }
    a.sides().iter().enumerate().flat_map(move |(i, side)| {
        let met = met.get(&i).map_or(&[][..], Vec::as_slice);
        pieces(side.mapped(&map), met).map(move |piece| (piece, lie(piece, b)))
    })
}

/// The pieces of a side between the places where it meets the other sides.
fn pieces(side: Side, met: &[Side]) -> impl Iterator<Item = Side> + use<> {
    let along = side.to - side.from;
    let share = |p: Point| (p - side.from).dot(along) / along.dot(along);
    let mut cuts: Vec<f64> = met
        .iter()
        .flat_map(|&other| [Some(other.from), Some(other.to), side.crossing(other)])
        .flatten()
        .map(share)
        .filter(|&cut| 0.0 < cut && cut < 1.0)
        .chain([0.0, 1.0])
        .collect();
    cuts.sort_by(f64::total_cmp);
    let ends: Vec<Point> = cuts.into_iter().map(|cut| side.from + along * cut).collect();
    let n_pieces = ends.len() - 1;
    (0..n_pieces)
        .map(move |i| Side { from: ends[i], to: ends[i + 1] })
        .filter(|piece| piece.from.distance(piece.to) >= SHORTEST_PIECE)
}

fn lie(piece: Side, b: &SideTree) -> Lie {
    let middle = piece.from.midpoint(piece.to);
    let Some((nearest, distance)) = b.nearest(middle) else { return Lie::Outside };
    let outline = b.sides()[nearest];
    let is_along = [piece.from, piece.to].iter().all(|&p| outline.height(p).abs() <= SAME);
    if distance > SAME {
        if b.is_inside(middle) { Lie::Inside } else { Lie::Outside }
    } else if is_along && (piece.to - piece.from).dot(outline.to - outline.from) > 0.0 {
        Lie::AlongSameWay
    } else {
        Lie::AlongOtherWay
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Region, Ring, flatten};
    use crate::units::{Angle, Length};

    fn shape(corners: &[(f64, f64)]) -> Shape {
        let corners = corners.iter().map(|&(x, y)| Point::new(x, y)).collect();
        Shape::new(Region::new(Ring::new(corners), vec![]))
    }

    fn square(side: f64) -> Shape {
        let side = Length::mm(side);
        Shape::new(Region::new(flatten::rectangle(side, side), vec![]))
    }

    fn at(x: f64, y: f64, degrees: f64) -> Pose {
        Pose::new(Point::new(x, y), Angle::degrees(degrees))
    }

    /// Asks both ways round and at odd poses of the pair, which must not change the answer.
    #[track_caller]
    fn check(a: &Shape, pa: Pose, (b, pb): (&Shape, Pose), expected: bool) {
        for common in [at(0.0, 0.0, 0.0), at(313.7, -88.1, 17.3), at(-1.0, 640.0, 201.9)] {
            let [pa, pb] = [pa, pb].map(|p| Pose::new(common.apply(p.at), p.turn + common.turn));
            assert_eq!(is_overlapping(a, pa, b, pb), expected, "{pa:?} {pb:?}");
            assert_eq!(is_overlapping(b, pb, a, pa), expected, "{pb:?} {pa:?}");
        }
    }

    #[test]
    fn touching_along_a_side_at_a_corner_or_nearly_is_no_overlap() {
        let (a, origin) = (square(10.0), at(0.0, 0.0, 0.0));
        for (x, y) in [(10.0, 0.0), (10.0, 3.0), (10.0, 10.0), (0.0, -10.0), (10.0 - 5e-7, 2.0)] {
            check(&a, origin, (&square(10.0), at(x, y, 0.0)), false);
            check(&a, origin, (&square(10.0), at(x, y, 90.0)), false);
        }
        let reach = 5.0 + 50.0_f64.sqrt();
        check(&a, origin, (&square(10.0), at(reach, 0.0, 45.0)), false);
        check(&a, origin, (&square(10.0), at(reach + 0.01, 0.0, 45.0)), false);
    }

    #[test]
    fn shapes_that_overlap_with_common_sides_or_corners_overlap() {
        let (a, origin) = (square(10.0), at(0.0, 0.0, 0.0));
        for (x, y) in [(0.0, 0.0), (4.0, 0.0), (0.0, 9.99), (10.0 - 1e-5, 3.0), (5.0, 5.0)] {
            check(&a, origin, (&square(10.0), at(x, y, 0.0)), true);
            check(&a, origin, (&square(10.0), at(x, y, 180.0)), true);
        }
        let reach = 5.0 + 50.0_f64.sqrt();
        check(&a, origin, (&square(10.0), at(reach - 0.01, 0.0, 45.0)), true);
    }

    #[test]
    fn a_shape_inside_another_overlaps_it_even_when_it_touches_the_outline() {
        let a = square(10.0);
        for (x, y, degrees) in
            [(0.0, 0.0, 0.0), (3.0, 3.0, 0.0), (3.0, 0.0, 0.0), (3.585_786_437_626_905, 0.0, 45.0)]
        {
            let inner = if degrees > 0.0 { square(2.0) } else { square(4.0) };
            check(&a, at(0.0, 0.0, 0.0), (&inner, at(x, y, degrees)), true);
        }
    }

    #[test]
    fn a_plug_that_fills_a_hole_touches_and_a_larger_one_overlaps() {
        let [outer, hole] = [30.0, 20.0].map(|s| flatten::rectangle(Length::mm(s), Length::mm(s)));
        let frame = Shape::new(Region::new(outer, vec![hole]));
        let origin = at(0.0, 0.0, 0.0);
        check(&frame, origin, (&square(20.0), origin), false);
        check(&frame, origin, (&square(12.0), at(4.0, 0.0, 0.0)), false);
        check(&frame, origin, (&square(20.001), origin), true);
        check(&frame, origin, (&square(20.0), at(0.001, 0.0, 0.0)), true);
        check(&frame, origin, (&square(30.0), origin), true);
    }

    #[test]
    fn a_comb_pushed_into_its_own_print_touches_until_it_is_pushed_on() {
        let comb = [
            (0.0, 0.0),
            (50.0, 0.0),
            (50.0, 20.0),
            (40.0, 20.0),
            (40.0, 5.0),
            (30.0, 5.0),
            (30.0, 20.0),
            (20.0, 20.0),
            (20.0, 5.0),
            (10.0, 5.0),
            (10.0, 20.0),
            (0.0, 20.0),
        ];
        let comb = shape(&comb);
        // Turned by half a turn and shifted by one tooth, teeth stand in the gaps.
        let meshed = |deeper: f64| at(40.0, 25.0 - deeper, 180.0);
        check(&comb, at(0.0, 0.0, 0.0), (&comb, meshed(0.0)), false);
        check(&comb, at(0.0, 0.0, 0.0), (&comb, meshed(-3.0)), false);
        check(&comb, at(0.0, 0.0, 0.0), (&comb, meshed(0.001)), true);
    }

    #[test]
    fn an_empty_shape_overlaps_nothing() {
        let empty = Shape::new(Region::default());
        check(&empty, at(0.0, 0.0, 0.0), (&square(10.0), at(0.0, 0.0, 0.0)), false);
        check(&empty, at(0.0, 0.0, 0.0), (&empty, at(0.0, 0.0, 0.0)), false);
    }
}
