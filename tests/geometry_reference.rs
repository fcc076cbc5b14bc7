//! Geometry against another library's answers, and curved shapes against closed forms.
//!
//! The answers in `data/geometry_reference.json` are from Shapely 2.2.0 on GEOS 3.14.1 (see
//! `data/make_geometry_reference.py`); the closed forms stand beside their tests.

#![expect(clippy::unwrap_used, reason = "a test that cannot read its reference has to fail")]

use engine::geometry::{
    Point, Pose, Rect, Region, Ring, Shape, convex_hull, extent, flatten, gap, gap_within,
    inner_gap, is_overlapping, max_width, min_width, offset, problems, tolerance,
};
use engine::units::{Angle, Length};
use serde_json::Value;

const REFERENCE: &str = include_str!("data/geometry_reference.json");

/// What another library's distances and coordinates may differ by: rounding only.
const DISTANCE_MM: f64 = 1e-6;
/// The same for sums over whole outlines.
const SUM_SHARE: f64 = 1e-9;
/// What a measured distance between flattened curves may differ from the true one.
const CURVED_MM: f64 = 0.01;

struct Reference {
    shapes: Vec<Shape>,
    rows: Value,
}

impl Reference {
    fn load() -> Self {
        let rows: Value = serde_json::from_str(REFERENCE).unwrap();
        let shapes = list(&rows["polygons"]).iter().map(|p| Shape::new(region(p))).collect();
        Self { shapes, rows }
    }

    /// The rows of a table, each of which is a list of numbers.
    fn table(&self, name: &str) -> impl Iterator<Item = Vec<f64>> {
        let rows = list(&self.rows[name]);
        assert!(!rows.is_empty(), "{name}");
        rows.iter().map(numbers)
    }

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a small whole number"
    )]
    fn shape(&self, index: f64) -> &Shape {
        &self.shapes[index as usize]
    }
}

fn list(value: &Value) -> &Vec<Value> {
    value.as_array().unwrap()
}

fn numbers(row: &Value) -> Vec<f64> {
    list(row).iter().map(|v| v.as_f64().unwrap()).collect()
}

fn region(rings: &Value) -> Region {
    let ring =
        |ring: &Value| Ring::new(numbers(ring).chunks(2).map(|p| Point::new(p[0], p[1])).collect());
    let mut rings = list(rings).iter().map(ring);
    Region::new(rings.next().unwrap(), rings.collect())
}

fn pose(row: &[f64]) -> Pose {
    Pose::new(Point::new(row[0], row[1]), Angle::degrees(row[2]))
}

#[track_caller]
fn assert_near(got: f64, want: f64, within: f64, what: &str) {
    assert!((got - want).abs() <= within, "{what}: {got}, not {want} (within {within})");
}

#[test]
fn areas_perimeters_and_widths_agree() {
    let reference = Reference::load();
    for (shape, row) in reference.shapes.iter().zip(reference.table("measures")) {
        assert_near(shape.area().to_mm2(), row[0], row[0] * SUM_SHARE, "area");
        assert_near(shape.perimeter().to_mm(), row[1], row[1] * SUM_SHARE, "perimeter");
        assert_near(min_width(shape).to_mm(), row[2], DISTANCE_MM, "least width");
        assert_near(max_width(shape).to_mm(), row[3], DISTANCE_MM, "greatest width");
    }
}

#[test]
fn distances_and_overlaps_agree() {
    let reference = Reference::load();
    let mut n_overlapping = 0;
    for row in reference.table("pairs") {
        let (a, pa) = (reference.shape(row[0]), pose(&row[1..4]));
        let (b, pb) = (reference.shape(row[4]), pose(&row[5..8]));
        let (distance, is_sharing) = (row[8], row[9] > 0.5);
        let measured = gap(a, pa, b, pb);
        assert_near(measured.distance.to_mm(), distance, DISTANCE_MM, "distance");
        let between = measured.from.distance(measured.to);
        assert_near(between, distance, DISTANCE_MM, "from place to place");
        assert_eq!(is_overlapping(a, pa, b, pb), is_sharing, "{row:?}");
        let limit = Length::mm(20.0);
        let expected = (measured.distance <= limit).then_some(measured.distance);
        assert_eq!(gap_within(a, pa, b, pb, limit).map(|g| g.distance), expected);
        n_overlapping += u32::from(is_sharing);
    }
    assert!((1000..3000).contains(&n_overlapping), "{n_overlapping} of both kinds are needed");
}

#[test]
fn the_places_of_a_gap_lie_on_the_two_shapes() {
    let reference = Reference::load();
    for row in reference.table("pairs").filter(|row| row[9] < 0.5) {
        let (a, pa) = (reference.shape(row[0]), pose(&row[1..4]));
        let (b, pb) = (reference.shape(row[4]), pose(&row[5..8]));
        let measured = gap(a, pa, b, pb);
        for (shape, pose, place) in [(a, pa, measured.from), (b, pb, measured.to)] {
            let dot = Shape::new(Region::new(Ring::new(vec![place]), vec![]));
            let away = gap(shape, pose, &dot, Pose::default()).distance;
            assert_near(away.to_mm(), 0.0, DISTANCE_MM, "from the shape");
        }
    }
}

#[test]
fn extents_agree() {
    let reference = Reference::load();
    for row in reference.table("extents") {
        let rect = extent(reference.shape(row[0]), pose(&row[1..4]));
        let got = [rect.min.x, rect.min.y, rect.max.x, rect.max.y];
        for (got, want) in got.into_iter().zip(&row[4..]) {
            assert_near(got, *want, DISTANCE_MM, "bounds");
        }
    }
}

#[test]
fn covered_places_agree() {
    let reference = Reference::load();
    for row in reference.table("places") {
        let is_covered =
            reference.shape(row[0]).contains(pose(&row[1..4]), Point::new(row[4], row[5]));
        assert_eq!(is_covered, row[6] > 0.5, "{row:?}");
    }
}

#[test]
fn grown_and_shrunk_areas_and_parts_agree() {
    let reference = Reference::load();
    let within = tolerance::MEASURE;
    for row in reference.table("offsets") {
        let [index, by, area, n_regions, n_holes] = row[..] else { panic!("{row:?}") };
        let parts = offset(reference.shape(index).region(), Length::mm(by), within);
        let holes: usize = parts.iter().map(|part| part.holes.len()).sum();
        let counts = [parts.len(), holes].map(|n| n.to_string());
        assert_eq!(counts, [n_regions, n_holes].map(|n| n.to_string()), "{row:?}");
        let got: f64 = parts.iter().map(|part| part.area().to_mm2()).sum();
        let outline: f64 = parts.iter().map(|part| part.perimeter().to_mm()).sum();
        // Both may stray along the whole outline: ours by `within`, the other's corners by 2e-6 of the radius.
        let slack = outline * (within.to_mm() + 2e-6 * by.abs());
        assert_near(got, area, slack, "area");
    }
}

#[test]
fn grown_and_shrunk_outlines_keep_the_distance_everywhere() {
    let reference = Reference::load();
    for row in reference.table("offsets").step_by(3) {
        let (shape, by) = (reference.shape(row[0]), row[1]);
        for within in [tolerance::MEASURE, Length::mm(0.2)] {
            for part in offset(shape.region(), Length::mm(by), within) {
                for (a, b) in part.rings().flat_map(Ring::sides) {
                    for share in [0.0, 0.5] {
                        let place = a + (b - a) * share;
                        let away = from_outline(shape, place);
                        assert_near(away, by.abs(), within.to_mm() + DISTANCE_MM, "offset");
                    }
                }
            }
        }
    }
}

/// The distance of a place from the nearest outline of a shape, by looking at every side.
fn from_outline(shape: &Shape, place: Point) -> f64 {
    let sides = shape.region().rings().flat_map(Ring::sides);
    sides.map(|(a, b)| from_side(a, b, place)).fold(f64::INFINITY, f64::min)
}

fn from_side(a: Point, b: Point, place: Point) -> f64 {
    let along = b - a;
    let share = ((place - a).dot(along) / along.dot(along)).clamp(0.0, 1.0);
    place.distance(a + along * share)
}

#[test]
fn sound_and_unsound_outlines_agree() {
    let reference = Reference::load();
    let mut n_sound = 0;
    for row in list(&reference.rows["validity"]) {
        let found = problems(&region(&row[0]));
        let is_sound = row[1].as_u64() == Some(1);
        assert_eq!(found.is_empty(), is_sound, "{row}: {found:?}");
        n_sound += u32::from(is_sound);
    }
    assert!((200..700).contains(&n_sound), "{n_sound} of both kinds are needed");
}

fn disc(diameter: f64) -> Shape {
    let ring = flatten::circle(Length::mm(diameter), tolerance::MEASURE);
    Shape::new(Region::new(ring, vec![]))
}

fn at(x: f64, y: f64, degrees: f64) -> Pose {
    Pose::new(Point::new(x, y), Angle::degrees(degrees))
}

#[test]
fn circles_are_apart_by_the_distance_of_their_centers_less_their_radii() {
    for (d1, d2) in [(10.0, 35.0), (200.0, 3.0), (400.0, 400.0)] {
        let (a, b) = (disc(d1), disc(d2));
        for step in 0..120_u32 {
            let turn = f64::from(step) * 3.1;
            let free = 0.5 + f64::from(step);
            let direction = engine::geometry::Vec2::unit(Angle::degrees(turn * 7.0));
            let far = Point::new(20.0, -30.0) + direction * (free + (d1 + d2) / 2.0);
            let measured = gap(&a, at(20.0, -30.0, turn), &b, at(far.x, far.y, -turn));
            assert_near(measured.distance.to_mm(), free, CURVED_MM, "circle to circle");
        }
    }
}

#[test]
fn a_circle_in_a_round_hole_is_apart_by_the_difference_of_radii_less_the_shift() {
    let [outer, hole] = [120.0, 80.0].map(|d| flatten::circle(Length::mm(d), tolerance::MEASURE));
    let washer = Shape::new(Region::new(outer, vec![hole]));
    for shift in [0.0, 5.0, 12.0, 19.5] {
        let measured = gap(&washer, at(0.0, 0.0, 0.0), &disc(40.0), at(shift, 0.0, 11.0));
        assert_near(measured.distance.to_mm(), 20.0 - shift, CURVED_MM, "circle in hole");
    }
}

#[test]
fn a_circle_is_apart_from_a_rectangle_by_the_distance_of_its_center_less_its_radius() {
    let rectangle = flatten::rectangle(Length::mm(80.0), Length::mm(30.0));
    let rectangle = Shape::new(Region::new(rectangle, vec![]));
    let round = disc(50.0);
    for step in 0..200_u32 {
        let direction = engine::geometry::Vec2::unit(Angle::degrees(f64::from(step) * 1.8));
        let center = Point::ORIGIN + direction * 95.0;
        let (dx, dy) = ((center.x.abs() - 40.0).max(0.0), (center.y.abs() - 15.0).max(0.0));
        let expected = (dx * dx + dy * dy).sqrt() - 25.0;
        let measured = gap(&rectangle, at(0.0, 0.0, 0.0), &round, at(center.x, center.y, 5.0));
        assert_near(measured.distance.to_mm(), expected, CURVED_MM, "circle to rectangle");
    }
}

#[test]
fn an_ellipse_is_apart_from_a_line_by_its_distance_less_the_support_of_the_ellipse() {
    // Support of the ellipse in the direction n: sqrt(a² nx² + b² ny²).
    let (a, b) = (60.0, 22.0);
    let ring = flatten::ellipse(Length::mm(2.0 * a), Length::mm(2.0 * b), tolerance::MEASURE);
    let ellipse = Shape::new(Region::new(ring, vec![]));
    let wall = flatten::rectangle(Length::mm(10.0), Length::mm(1000.0));
    let wall = Shape::new(Region::new(wall, vec![]));
    for step in 0..180_u32 {
        let turn = Angle::degrees(f64::from(step) * 2.0);
        let (sin, cos) = (turn.sin(), turn.cos());
        let support = (a * a * cos * cos + b * b * sin * sin).sqrt();
        let measured = gap(&ellipse, Pose::new(Point::ORIGIN, turn), &wall, at(100.0, 0.0, 0.0));
        assert_near(measured.distance.to_mm(), 95.0 - support, CURVED_MM, "ellipse to wall");
        let opening = Rect::new(Point::new(-100.0, -100.0), Point::new(100.0, 100.0));
        let room = inner_gap(&ellipse, Pose::new(Point::ORIGIN, turn), opening);
        assert_near(room.right.to_mm(), 100.0 - support, CURVED_MM, "ellipse to opening");
    }
}

#[test]
fn an_ellipse_is_apart_from_a_point_on_its_normal_by_the_length_of_the_normal() {
    // The point at distance d along the outward normal of a convex curve is d away from the curve.
    let (a, b) = (45.0, 7.0);
    let ring = flatten::ellipse(Length::mm(2.0 * a), Length::mm(2.0 * b), tolerance::MEASURE);
    let ellipse = Shape::new(Region::new(ring, vec![]));
    for step in 0..240_u32 {
        let turn = Angle::degrees(f64::from(step) * 1.5);
        let (sin, cos) = (turn.sin(), turn.cos());
        let normal = engine::geometry::Vec2::new(b * cos, a * sin);
        let normal = normal / normal.length();
        let away = 1.0 + f64::from(step) / 4.0;
        let place = Point::new(a * cos, b * sin) + normal * away;
        let dot = Shape::new(Region::new(Ring::new(vec![place]), vec![]));
        let measured = gap(&ellipse, Pose::default(), &dot, Pose::default());
        assert_near(measured.distance.to_mm(), away, CURVED_MM, "ellipse to point");
    }
}

#[test]
fn grown_rectangles_and_circles_have_the_area_of_the_closed_form() {
    let within = tolerance::MEASURE;
    let rectangle = Region::new(flatten::rectangle(Length::mm(80.0), Length::mm(30.0)), vec![]);
    for by in [0.5, 6.0, 40.0] {
        // Steiner: area + perimeter × r + pi r².
        let grown = &offset(&rectangle, Length::mm(by), within)[0];
        let expected = 2400.0 + 220.0 * by + std::f64::consts::PI * by * by;
        assert_near(
            grown.area().to_mm2(),
            expected,
            within.to_mm() * 2.0 * std::f64::consts::PI * by,
            "Steiner",
        );
        let bounds = grown.bounds().unwrap();
        assert_near(bounds.max.x, 40.0 + by, DISTANCE_MM, "straight side");
    }
    for by in [-20.0, -3.0, 12.0] {
        let round = disc(50.0);
        let moved = &offset(round.region(), Length::mm(by), within)[0];
        let hull = convex_hull(moved.outer.points().iter().copied());
        let expected = std::f64::consts::PI * (25.0 + by) * (25.0 + by);
        assert_near(hull.signed_area(), expected, 0.008 * hull.perimeter().to_mm(), "circle");
    }
}
