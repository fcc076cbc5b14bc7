//! Photographs rendered here through a known pinhole camera: molds of known outline are traced to a millimetre.
//!
//! The renderer shares nothing with the tracer: it sends a ray through every point of the picture and asks what it
//! meets. Areas and distances are closed forms, named where they stand.

use std::f64::consts::PI;

use engine::geometry::Point;
use engine::intake::photo::{Paper, Picture, TraceSettings, find_paper, parallax, trace};
use engine::units::{Angle, Length};
use onepull_tests::assert_near;

/// Pixels of the pictures: twelve million.
const WIDTH: u32 = 4000;
const HEIGHT: u32 = 3000;

/// A mold's outline about the middle of the paper.
#[derive(Clone, Copy)]
enum Mold {
    /// `r = size (1 + a cos 2t + b cos 3t)`, whose area is `pi size² (1 + a²/2 + b²/2)` (integral of r²/2).
    Lobed { size: f64, a: f64, b: f64 },
    /// A rectangle with round corners.
    Rounded { half: (f64, f64), radius: f64 },
}

impl Mold {
    fn area(self) -> f64 {
        match self {
            Self::Lobed { size, a, b } => PI * size * size * (1.0 + (a * a + b * b) / 2.0),
            Self::Rounded { half: (x, y), radius } => 4.0 * x * y - (4.0 - PI) * radius * radius,
        }
    }

    /// How far a place is outside the outline; for a lobed one along the ray from the middle, which is farther.
    fn outside(self, p: Point) -> f64 {
        match self {
            Self::Lobed { size, a, b } => {
                let r = p.distance(Point::ORIGIN).max(1e-9);
                let cos = p.x / r;
                let (double, triple) = (2.0 * cos * cos - 1.0, (4.0 * cos * cos - 3.0) * cos);
                r - size * (1.0 + a * double + b * triple)
            }
            Self::Rounded { half: (x, y), radius } => {
                let (dx, dy) = (p.x.abs() - x + radius, p.y.abs() - y + radius);
                let beyond = Point::new(dx.max(0.0), dy.max(0.0)).distance(Point::ORIGIN);
                beyond + dx.max(dy).min(0.0) - radius
            }
        }
    }
}

/// A camera that looks at the middle of the paper, and what it sees.
struct Scene {
    paper: Paper,
    half: (f64, f64),
    mold: Mold,
    /// The mold's colour.
    color: [f64; 3],
    tilt: Angle,
    /// Towards which side the camera leans.
    toward: Angle,
    /// Pixels for a millimetre in the middle of the paper.
    scale: f64,
    /// Where a soft shadow lies, and how dark it is.
    shadow: (Point, f64),
    noise: f64,
}

/// Pixels from the lens to the picture.
const FOCAL: f64 = 3000.0;

impl Scene {
    /// Where the ray through a place of the picture meets the paper's plane, from its middle.
    fn on_paper(&self, x: f64, y: f64) -> Point {
        let (sin, cos) = self.tilt.sin_cos();
        let (turn_sin, turn_cos) = self.toward.sin_cos();
        let far = FOCAL / self.scale;
        // The camera's axes: to the right, down, and ahead to the middle of the paper; unturned, leaning back.
        let (u, v) = ((x - f64::from(WIDTH) / 2.0) / FOCAL, (y - f64::from(HEIGHT) / 2.0) / FOCAL);
        let ray = [u, -v * cos + sin, -v * sin - cos];
        let from = [0.0, -far * sin, far * cos];
        let reach = -from[2] / ray[2];
        let (x, y) = (from[0] + reach * ray[0], from[1] + reach * ray[1]);
        Point::new(x * turn_cos - y * turn_sin, x * turn_sin + y * turn_cos)
    }

    /// What a place is: ground, paper or mold.
    fn part(&self, p: Point) -> u8 {
        let is_paper = p.x.abs() <= self.half.0 && p.y.abs() <= self.half.1;
        match (is_paper, self.mold.outside(p) <= 0.0) {
            (_, true) => 2,
            (true, false) => 1,
            (false, false) => 0,
        }
    }

    /// The colour of a place in the light that falls there.
    fn shade(&self, p: Point, part: u8) -> [f64; 3] {
        let color = match part {
            0 => [105.0, 80.0, 55.0],
            1 => [238.0, 235.0, 226.0],
            _ => self.color,
        };
        let lamp = 0.85 + 0.0008 * p.x - 0.0005 * p.y;
        let away = p.distance(self.shadow.0) / 18.0;
        let near = 1.0 / (1.0 + away * away);
        let shadow = if part == 2 { 1.0 } else { 1.0 - self.shadow.1 * near * near };
        color.map(|value| value * lamp * shadow)
    }

    /// The picture: pixels on an edge are the mean of sixteen places.
    fn picture(&self) -> Vec<u8> {
        let mut rgba = Vec::with_capacity(4 * WIDTH as usize * HEIGHT as usize);
        let corners = |y: u32| -> Vec<u8> {
            (0..=WIDTH).map(|x| self.part(self.on_paper(f64::from(x), f64::from(y)))).collect()
        };
        let mut above = corners(0);
        let mut chance = 0x1234_5678_u32;
        for y in 0..HEIGHT {
            let below = corners(y + 1);
            for x in 0..WIDTH {
                let at = x as usize;
                let parts = [above[at], above[at + 1], below[at], below[at + 1]];
                let color = self.pixel(x, y, parts);
                for value in color {
                    chance = chance.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                    let noise =
                        (f64::from(chance >> 8) / f64::from(1 << 24) - 0.5) * 2.0 * self.noise;
                    rgba.push(byte(value + noise));
                }
                rgba.push(255);
            }
            above = below;
        }
        rgba
    }

    fn pixel(&self, x: u32, y: u32, parts: [u8; 4]) -> [f64; 3] {
        let (x, y) = (f64::from(x), f64::from(y));
        if parts.iter().all(|part| *part == parts[0]) {
            return self.shade(self.on_paper(x + 0.5, y + 0.5), parts[0]);
        }
        let mut sum = [0.0; 3];
        for k in 0..16_u32 {
            let (dx, dy) = (f64::from(k % 4) / 4.0 + 0.125, f64::from(k / 4) / 4.0 + 0.125);
            let p = self.on_paper(x + dx, y + dy);
            let color = self.shade(p, self.part(p));
            sum = [0, 1, 2].map(|k| sum[k] + color[k] / 16.0);
        }
        sum
    }

    /// Traces the mold and compares: area within a hundredth, no corner or middle of a side a millimetre off.
    #[track_caller]
    fn check(&self, name: &str) {
        let rgba = self.picture();
        let picture = Picture::new(WIDTH, HEIGHT, &rgba).expect("a picture");
        let found = find_paper(&picture).unwrap_or_else(|error| panic!("{name}: {error}"));
        let ring = engine::geometry::Ring::new(found.corners.to_vec());
        assert!(ring.signed_area() >= 0.5 * 12e6, "{name}: {} pixels of paper", ring.signed_area());
        let traced = trace(&picture, self.paper, found.corners, &TraceSettings::default());
        let traced = traced.unwrap_or_else(|error| panic!("{name}: {error}"));
        let far = FOCAL / self.scale;
        assert_near!(traced.camera_height.to_mm(), far, 0.05 * far, "{name}: camera height");
        let [outline] = &traced.outlines[..] else {
            panic!("{name}: {} outlines, {:?}", traced.outlines.len(), traced.problems)
        };
        let share = outline.region.area().to_mm2() / self.mold.area();
        assert_near!(share, 1.0, 0.01, "{name}: area as a share");
        // The paper may be seen turned by a quarter or a half; the molds are placed so that one of four turns fits.
        let around = outline.region.bounds().expect("corners");
        let (w, d) = if around.center().x > around.center().y {
            (self.half.0.max(self.half.1), self.half.0.min(self.half.1))
        } else {
            (self.half.0.min(self.half.1), self.half.0.max(self.half.1))
        };
        let worst = [0.0, 90.0, 180.0, 270.0].map(|degrees| {
            let (sin, cos) = Angle::degrees(degrees).sin_cos();
            let sides = outline.region.outer.sides();
            let places = sides.flat_map(|(a, b)| [a, a.midpoint(b)]);
            let off = places.map(|p| {
                let (x, y) = (p.x - w, p.y - d);
                self.mold.outside(Point::new(x * cos - y * sin, x * sin + y * cos)).abs()
            });
            off.fold(0.0, f64::max)
        });
        let worst = worst.into_iter().fold(f64::INFINITY, f64::min);
        assert!(worst < 1.0, "{name}: {worst} mm off");
        assert!(
            worst < 3.0 * traced.expected_error.to_mm(),
            "{name}: {worst} mm, told {:?}",
            traced.expected_error
        );
    }
}

fn byte(value: f64) -> u8 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the value is clamped to a byte before it is cast"
    )]
    let byte = value.round().clamp(0.0, 255.0) as u8;
    byte
}

const LIMPET: Mold = Mold::Lobed { size: 60.0, a: 0.18, b: 0.12 };
const CLAM: Mold = Mold::Rounded { half: (70.0, 40.0), radius: 22.0 };

#[test]
fn a_limpet_seen_from_straight_above() {
    Scene {
        paper: Paper::A4,
        half: (148.5, 105.0),
        mold: LIMPET,
        color: [70.0, 95.0, 80.0],
        tilt: Angle::ZERO,
        toward: Angle::degrees(3.0),
        scale: 11.0,
        shadow: (Point::new(55.0, -45.0), 0.25),
        noise: 8.0,
    }
    .check("straight");
}

#[test]
fn a_clam_seen_at_twenty_five_degrees() {
    Scene {
        paper: Paper::A4,
        half: (148.5, 105.0),
        mold: CLAM,
        color: [150.0, 70.0, 60.0],
        tilt: Angle::degrees(25.0),
        toward: Angle::ZERO,
        scale: 11.3,
        shadow: (Point::new(-70.0, 35.0), 0.3),
        noise: 10.0,
    }
    .check("leaning");
}

#[test]
fn a_limpet_on_letter_paper_seen_from_a_corner() {
    Scene {
        paper: Paper::Letter,
        half: (139.7, 107.95),
        mold: LIMPET,
        color: [60.0, 60.0, 70.0],
        tilt: Angle::degrees(18.0),
        toward: Angle::degrees(-7.0),
        scale: 11.2,
        shadow: (Point::new(20.0, 75.0), 0.2),
        noise: 12.0,
    }
    .check("turned");
}

#[test]
fn a_mold_that_stands_up_shows_larger_as_the_parallax_says() {
    // A top edge 40 mm up, seen from 400 mm: central projection makes 100 mm look like 111.1.
    let shift = parallax(Length::mm(40.0), Length::mm(100.0), Length::mm(400.0));
    assert_near!(shift.to_mm(), 100.0 / 0.9 - 100.0, 1e-9);
}
