//! Laws that hold for all shapes and poses, tried on random ones with a fixed seed.

use proptest::prelude::*;
use proptest::test_runner::{RngAlgorithm, RngSeed};

use super::side::Side;
use super::tree::SideTree;
use super::{
    Gap, Point, Pose, Region, Ring, Shape, Vec2, convex_hull, extent, gap, gap_within,
    is_overlapping, min_width, offset, problems, simplify,
};
use crate::units::{Angle, Length};

/// What two routes to one distance may differ by, in millimetres.
const ROUNDING: f64 = 1e-9;

/// The same cases on every run and every machine, and nothing written beside the sources.
fn config(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: None,
        rng_algorithm: RngAlgorithm::ChaCha,
        rng_seed: RngSeed::Fixed(20_260_801),
        ..ProptestConfig::default()
    }
}

/// An outline seen whole from its middle: concave as a rule, never crossing itself.
fn star(size: f64) -> impl Strategy<Value = Ring> {
    prop::collection::vec(0.25..1.0_f64, 3..60).prop_map(move |radii| {
        let n = u32::try_from(radii.len()).unwrap();
        let corner = |(i, radius): (u32, f64)| {
            let turn = Angle::degrees(360.0 * f64::from(i) / f64::from(n));
            Point::ORIGIN + Vec2::unit(turn) * (radius * size)
        };
        Ring::new((0..n).zip(radii).map(corner).collect())
    })
}

/// A star, half of them with a star-shaped hole.
fn shape() -> impl Strategy<Value = Shape> {
    (star(60.0), star(60.0), any::<bool>()).prop_map(|(outer, inner, has_hole)| {
        let room =
            outer.points().iter().map(|p| p.to_vec2().length()).fold(f64::INFINITY, f64::min);
        let share = 0.3 * room / 60.0;
        let small = inner.points().iter().map(|p| Point::ORIGIN + p.to_vec2() * share).collect();
        let holes = if has_hole { vec![Ring::new(small)] } else { vec![] };
        Shape::new(Region::new(outer, holes))
    })
}

fn pose() -> impl Strategy<Value = Pose> {
    let turn = prop_oneof![(-400.0..400.0_f64), (-5..5_i32).prop_map(|q| 90.0 * f64::from(q))];
    (-90.0..90.0_f64, -90.0..90.0_f64, turn)
        .prop_map(|(x, y, turn)| Pose::new(Point::new(x, y), Angle::degrees(turn)))
}

/// The distance of two placed regions by looking at every pair of sides and every corner.
fn gap_by_all_pairs(a: &Shape, pa: Pose, b: &Shape, pb: Pose) -> f64 {
    let [one, two] = [(a, pa), (b, pb)].map(|(shape, pose)| shape.region().placed(pose));
    let sides = |region: &Region| -> Vec<Side> {
        region.rings().flat_map(Ring::sides).map(|(from, to)| Side { from, to }).collect()
    };
    let (mine, theirs) = (sides(&one), sides(&two));
    if is_in(one.outer.points()[0], &theirs) || is_in(two.outer.points()[0], &mine) {
        return 0.0;
    }
    let pairs = mine.iter().flat_map(|s| theirs.iter().map(move |t| (*s, *t)));
    pairs.map(|(s, t)| between(s, t)).fold(f64::INFINITY, f64::min)
}

fn between(s: Side, t: Side) -> f64 {
    if s.crossing(t).is_some() {
        return 0.0;
    }
    let ends = [t.distance(s.from), t.distance(s.to), s.distance(t.from), s.distance(t.to)];
    ends.into_iter().fold(f64::INFINITY, f64::min)
}

/// Whether the angles at which the sides are seen from a place add up to a whole turn.
fn is_in(place: Point, sides: &[Side]) -> bool {
    let angle = |side: &Side| {
        let (a, b) = (side.from - place, side.to - place);
        libm::atan2(a.cross(b), a.dot(b))
    };
    sides.iter().map(angle).sum::<f64>() > 3.0
}

fn placed(common: Pose, pose: Pose) -> Pose {
    Pose::new(common.apply(pose.at), common.turn + pose.turn)
}

fn swapped(gap: Gap) -> Gap {
    Gap { distance: gap.distance, from: gap.to, to: gap.from }
}

proptest! {
    #![proptest_config(config(600))]

    #[test]
    fn the_tree_finds_the_gap_that_all_pairs_of_sides_give(
        (a, pa) in (shape(), pose()), (b, pb) in (shape(), pose())
    ) {
        let found = gap(&a, pa, &b, pb).distance.to_mm();
        let expected = gap_by_all_pairs(&a, pa, &b, pb);
        prop_assert!((found - expected).abs() <= ROUNDING, "{found}, not {expected}");
    }

    #[test]
    fn a_gap_is_the_same_from_both_ends(
        (a, pa) in (shape(), pose()), (b, pb) in (shape(), pose())
    ) {
        let (there, back) = (gap(&a, pa, &b, pb), swapped(gap(&b, pb, &a, pa)));
        prop_assert!((there.distance - back.distance).abs().to_mm() <= ROUNDING);
        for found in [there, back] {
            let length = found.from.distance(found.to);
            prop_assert!((found.distance.to_mm() - length).abs() <= ROUNDING);
        }
        prop_assert_eq!(is_overlapping(&a, pa, &b, pb), is_overlapping(&b, pb, &a, pa));
    }

    #[test]
    fn moving_both_shapes_together_changes_nothing(
        (a, pa) in (shape(), pose()), (b, pb) in (shape(), pose()), common in pose()
    ) {
        let (ma, mb) = (placed(common, pa), placed(common, pb));
        let (before, after) = (gap(&a, pa, &b, pb).distance, gap(&a, ma, &b, mb).distance);
        prop_assert!((before - after).abs().to_mm() <= ROUNDING);
        prop_assert_eq!(is_overlapping(&a, pa, &b, pb), is_overlapping(&a, ma, &b, mb));
    }

    #[test]
    fn a_gap_within_a_limit_is_the_gap_or_nothing(
        (a, pa) in (shape(), pose()), (b, pb) in (shape(), pose()), limit in 0.0..60.0_f64
    ) {
        let (whole, limit) = (gap(&a, pa, &b, pb), Length::mm(limit));
        match gap_within(&a, pa, &b, pb, limit) {
            Some(found) => {
                prop_assert!(found.distance <= limit);
                prop_assert_eq!(found.distance, whole.distance);
            }
            None => prop_assert!(whole.distance > limit),
        }
    }

    #[test]
    fn shapes_overlap_exactly_when_their_gap_is_nothing_and_not_by_touch(
        (a, pa) in (shape(), pose()), (b, pb) in (shape(), pose())
    ) {
        // Random shapes never just touch, so the two questions have one answer.
        let is_apart = gap(&a, pa, &b, pb).distance > Length::ZERO;
        prop_assert_eq!(is_overlapping(&a, pa, &b, pb), !is_apart);
    }

    #[test]
    fn a_shape_overlaps_itself_and_touches_its_complement(a in shape(), pa in pose()) {
        prop_assert!(is_overlapping(&a, pa, &a, pa));
        let solid = Shape::new(Region::new(a.region().outer.clone(), vec![]));
        for hole in &a.region().holes {
            let plug = Shape::new(Region::new(hole.clone(), vec![]));
            prop_assert!(!is_overlapping(&a, pa, &plug, pa));
            prop_assert!(is_overlapping(&solid, pa, &plug, pa));
            prop_assert!(gap(&a, pa, &plug, pa).distance.to_mm() <= ROUNDING);
        }
    }

    #[test]
    fn the_tree_and_the_angles_agree_on_what_is_inside(a in shape(), pa in pose(), place in pose()) {
        let sides: Vec<Side> = a.region().placed(pa).rings().flat_map(Ring::sides)
            .map(|(from, to)| Side { from, to }).collect();
        let nearest = sides.iter().map(|s| s.distance(place.at)).fold(f64::INFINITY, f64::min);
        prop_assume!(nearest > ROUNDING);
        prop_assert_eq!(a.contains(pa, place.at), is_in(place.at, &sides));
        let tree = SideTree::new(a.region().placed(pa).rings());
        prop_assert!((tree.nearest(place.at).unwrap().1 - nearest).abs() <= ROUNDING);
    }

    #[test]
    fn extents_and_hulls_hold_every_corner(a in shape(), pa in pose()) {
        let placed = a.region().placed(pa);
        let bounds = placed.bounds().unwrap();
        let found = extent(&a, pa);
        prop_assert!(bounds.min.distance(found.min) <= ROUNDING);
        prop_assert!(bounds.max.distance(found.max) <= ROUNDING);
        let hull = convex_hull(placed.outer.points().iter().copied());
        for (from, to) in hull.sides() {
            let side = Side { from, to };
            prop_assert!(placed.outer.points().iter().all(|&p| side.height(p) >= -ROUNDING));
        }
        prop_assert!(min_width(&a).to_mm() <= found.width().min(found.depth()).to_mm() + ROUNDING);
    }

    #[test]
    fn stars_are_sound_and_a_star_walked_in_another_order_is_not(a in shape(), by in 2..5_usize) {
        prop_assert_eq!(problems(a.region()), vec![]);
        let corners = a.region().outer.points();
        prop_assume!(corners.len() > 2 * by + 2 && !corners.len().is_multiple_of(by));
        let skipping = (0..corners.len()).map(|i| corners[i * by % corners.len()]).collect();
        let crossed = Region::new(Ring::new(skipping), vec![]);
        prop_assert!(!problems(&crossed).is_empty());
    }

    #[test]
    fn what_simplifying_leaves_out_lies_within_the_tolerance(a in shape(), within in 0.0..8.0_f64) {
        let simple = simplify(a.region(), Length::mm(within));
        for (before, after) in a.region().rings().zip(simple.rings()) {
            prop_assert!(after.points().len() >= 3);
            let sides = SideTree::new(std::iter::once(after));
            for &corner in before.points() {
                prop_assert!(sides.nearest(corner).unwrap().1 <= within + ROUNDING);
            }
        }
    }
}

/// Corners as no sound outline has them: few places, so that they repeat, touch and lie in line, and odd numbers.
fn scrawl() -> impl Strategy<Value = Ring> {
    let odd = prop_oneof![
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(1e300),
        Just(-1e300),
        Just(1e-300),
        Just(1e15),
    ];
    let number = prop_oneof![30 => (-4..5_i32).prop_map(f64::from), 1 => odd];
    let corner = (number.clone(), number).prop_map(|(x, y)| Point::new(x, y));
    prop::collection::vec(corner, 0..14).prop_map(Ring::new)
}

proptest! {
    #![proptest_config(config(1500))]

    #[test]
    fn no_scrawl_makes_anything_panic(
        (one, hole, other) in (scrawl(), scrawl(), scrawl()), (pa, pb) in (pose(), pose()), by in -3.0..3.0_f64
    ) {
        let region = Region::new(one, vec![hole]);
        for problem in problems(&region) {
            prop_assert!(!problem.to_string().is_empty());
        }
        for part in offset(&region, Length::mm(by), Length::mm(0.01)) {
            prop_assert!(part.rings().flat_map(Ring::points).all(|p| p.is_finite()));
        }
        let simple = simplify(&region, Length::mm(by));
        prop_assert!(simple.outer.points().len() <= region.outer.points().len());
        let (a, b) = (Shape::new(region), Shape::new(Region::new(other, vec![])));
        let found = gap(&a, pa, &b, pb);
        prop_assert!(found.distance >= Length::ZERO);
        let _ = is_overlapping(&a, pa, &b, pb);
        prop_assert!(extent(&a, pa).width() >= Length::ZERO);
        prop_assert!(min_width(&a) >= Length::ZERO);
    }
}

proptest! {
    #![proptest_config(config(120))]

    #[test]
    fn a_grown_outline_is_sound_and_everywhere_at_the_distance(a in shape(), by in -12.0..25.0_f64) {
        prop_assume!(by.abs() > 0.1);
        let within = Length::mm(0.05);
        let outlines = SideTree::new(a.region().rings());
        for part in offset(a.region(), Length::mm(by), within) {
            prop_assert!(part.outer.signed_area() > 0.0);
            for (from, to) in part.rings().flat_map(Ring::sides) {
                for place in [from, from.midpoint(to)] {
                    let away = outlines.nearest(place).unwrap().1;
                    prop_assert!((away - by.abs()).abs() <= within.to_mm() + 1e-6, "{away} from {by}");
                    prop_assert_eq!(a.contains(Pose::default(), place), by < 0.0);
                }
            }
        }
    }

    #[test]
    fn growing_and_shrinking_back_covers_the_shape(a in shape(), by in 1.0..20.0_f64) {
        let within = Length::mm(0.01);
        let grown = offset(a.region(), Length::mm(by), within);
        let closed: Vec<Region> =
            grown.iter().flat_map(|part| offset(part, Length::mm(-by), within)).collect();
        let area: f64 = closed.iter().map(|part| part.area().to_mm2()).sum();
        prop_assert!(area >= a.area().to_mm2() - 0.03 * a.perimeter().to_mm());
    }
}
