//! A photograph rendered through a known pinhole camera: a mold of known outline on paper or on a card.

use std::f64::consts::PI;

use engine::geometry::{Point, Ring};
use engine::intake::photo::Card;
use engine::units::Angle;

use crate::chance::Lots;

/// Pixels of a usual picture: twelve million.
pub const USUAL: (u32, u32) = (4000, 3000);

/// A mold's outline about the middle of the paper.
#[derive(Clone, Copy, Debug)]
pub enum Mold {
    /// `r = size (1 + a cos 2t + b cos 3t)`, whose area is `pi size² (1 + a²/2 + b²/2)` (integral of r²/2).
    Lobed {
        /// The mean radius.
        size: f64,
        /// The share of the first wave.
        a: f64,
        /// The share of the second wave.
        b: f64,
    },
    /// A rectangle with round corners.
    Rounded {
        /// Half its sides.
        half: (f64, f64),
        /// Of its corners.
        radius: f64,
    },
}

impl Mold {
    /// Its area in square millimetres.
    #[must_use]
    pub fn area(self) -> f64 {
        match self {
            Self::Lobed { size, a, b } => PI * size * size * (1.0 + (a * a + b * b) / 2.0),
            Self::Rounded { half: (x, y), radius } => 4.0 * x * y - (4.0 - PI) * radius * radius,
        }
    }

    /// How far a place is outside the outline; for a lobed one along the ray from the middle, which is farther.
    #[must_use]
    pub fn outside(self, p: Point) -> f64 {
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

/// A pencil line drawn round a mold that was taken off again.
#[derive(Clone, Copy, Debug)]
pub struct Pencil {
    /// How wide the line is; it lies outside the mold's edge, and within the edge of its hole.
    pub width: f64,
    /// Half the angle about the middle, towards the right, in which nothing was drawn.
    pub gap: Angle,
}

/// A camera that looks at the middle of the paper, and what it sees.
#[derive(Clone, Copy, Debug)]
pub struct Scene {
    /// Pixels of the picture.
    pub size: (u32, u32),
    /// What is printed on the paper.
    pub card: Option<Card>,
    /// Half the width and half the height of the paper in millimetres.
    pub half: (f64, f64),
    /// What lies on it.
    pub mold: Mold,
    /// The radius of a round hole through the middle of the mold.
    pub hole: Option<f64>,
    /// The line that is there in place of the mold.
    pub line: Option<Pencil>,
    /// The mold's colour, or that of the line.
    pub color: [f64; 3],
    /// How far the camera leans from straight above.
    pub tilt: Angle,
    /// Towards which side the camera leans.
    pub toward: Angle,
    /// Pixels for a millimetre in the middle of the paper.
    pub scale: f64,
    /// From the lens to the picture, as a share of the picture's width: 0.75 is a phone's usual lens.
    pub lens: f64,
    /// Where a soft shadow lies, and how dark it is.
    pub shadow: (Point, f64),
    /// A hard shadow that touches the mold: how far it is thrown, and how dark it is.
    pub cast: Option<(Point, f64)>,
    /// How far a pixel strays at most, of 255.
    pub noise: f64,
}

impl Scene {
    /// Pixels from the lens to the picture; a phone's usual lens has 27 mm for the 36 mm of the small-picture format.
    fn focal(&self) -> f64 {
        self.lens * f64::from(self.size.0)
    }

    /// Where the ray through a place of the picture meets the paper's plane, from its middle.
    fn on_paper(&self, x: f64, y: f64) -> Point {
        let (sin, cos) = self.tilt.sin_cos();
        let (turn_sin, turn_cos) = self.toward.sin_cos();
        let far = self.focal() / self.scale;
        // The camera's axes: to the right, down, and ahead to the middle of the paper; unturned, leaning back.
        let (u, v) = (
            (x - f64::from(self.size.0) / 2.0) / self.focal(),
            (y - f64::from(self.size.1) / 2.0) / self.focal(),
        );
        let ray = [u, -v * cos + sin, -v * sin - cos];
        let from = [0.0, -far * sin, far * cos];
        let reach = -from[2] / ray[2];
        let (x, y) = (from[0] + reach * ray[0], from[1] + reach * ray[1]);
        Point::new(x * turn_cos - y * turn_sin, x * turn_sin + y * turn_cos)
    }

    /// Where a place on the paper, from its middle, is seen.
    #[must_use]
    pub fn in_picture(&self, p: Point) -> Point {
        let (sin, cos) = self.tilt.sin_cos();
        let (turn_sin, turn_cos) = self.toward.sin_cos();
        let far = self.focal() / self.scale;
        let (x, y) = (p.x * turn_cos + p.y * turn_sin, p.y * turn_cos - p.x * turn_sin);
        let from_camera = [x, y + far * sin, -far * cos];
        let ahead = from_camera[1] * sin - from_camera[2] * cos;
        let down = -from_camera[1] * cos - from_camera[2] * sin;
        let (u, v) = (from_camera[0] / ahead, down / ahead);
        Point::new(
            u * self.focal() + f64::from(self.size.0) / 2.0,
            v * self.focal() + f64::from(self.size.1) / 2.0,
        )
    }

    /// From the middle of the paper to the camera.
    #[must_use]
    pub fn far(&self) -> f64 {
        self.focal() / self.scale
    }

    /// What a place is: ground, paper, mold or ink.
    fn part(&self, p: Point) -> u8 {
        let is_paper = p.x.abs() <= self.half.0 && p.y.abs() <= self.half.1;
        match (is_paper, self.is_dark(p)) {
            (_, true) => 2,
            (true, false) if self.is_cast_on(p) => 4,
            (true, false) if self.is_ink(p) => 3,
            (true, false) => 1,
            (false, false) => 0,
        }
    }

    /// True where the hard shadow of the mold falls, which is thrown straight along the paper.
    fn is_cast_on(&self, p: Point) -> bool {
        self.cast.is_some_and(|(thrown, _)| {
            let from = |step: u32| {
                let share = f64::from(step) / 8.0;
                Point::new(p.x - share * thrown.x, p.y - share * thrown.y)
            };
            (1..=8).any(|step| self.mold.outside(from(step)) <= 0.0)
        })
    }

    /// True where the mold lies, or its line.
    fn is_dark(&self, p: Point) -> bool {
        let outside = self.mold.outside(p);
        let from_hole = self.hole.map(|radius| radius - p.distance(Point::ORIGIN));
        let Some(pencil) = self.line else {
            return outside <= 0.0 && from_hole.is_none_or(|depth| depth <= 0.0);
        };
        let is_on = |outside: f64| (0.0..=pencil.width).contains(&outside);
        let is_drawn = p.x <= 0.0 || p.y.abs() >= p.x * pencil.gap.sin() / pencil.gap.cos();
        (is_on(outside) && is_drawn) || from_hole.is_some_and(is_on)
    }

    fn is_ink(&self, p: Point) -> bool {
        let at = Point::new(p.x + self.half.0, p.y + self.half.1);
        let is_inside = |ring: Ring| {
            let sides: Vec<_> = ring.sides().collect();
            let crosses = |(a, b): &(Point, Point)| {
                (a.y > at.y) != (b.y > at.y)
                    && at.x < a.x + (b.x - a.x) * (at.y - a.y) / (b.y - a.y)
            };
            sides.iter().filter(|side| crosses(side)).count() % 2 == 1
        };
        let marks = self.card.into_iter().flat_map(Card::marks);
        let mut near = marks.filter(|mark| mark.square().contains(at));
        near.any(|mark| !mark.window().is_some_and(is_inside))
    }

    /// The colour of a place in the light that falls there.
    fn shade(&self, p: Point, part: u8) -> [f64; 3] {
        let color = match part {
            0 => [105.0, 80.0, 55.0],
            1 => [238.0, 235.0, 226.0],
            3 => [38.0, 36.0, 40.0],
            4 => [238.0, 235.0, 226.0]
                .map(|value| value * (1.0 - self.cast.map_or(0.0, |(_, darkness)| darkness))),
            _ => self.color,
        };
        let lamp = 0.85 + 0.0008 * p.x - 0.0005 * p.y;
        let away = p.distance(self.shadow.0) / 18.0;
        let near = 1.0 / (1.0 + away * away);
        let shadow = if part == 2 { 1.0 } else { 1.0 - self.shadow.1 * near * near };
        color.map(|value| value * lamp * shadow)
    }

    /// The picture: pixels on an edge are the mean of sixteen places.
    #[must_use]
    pub fn picture(&self) -> Vec<u8> {
        let mut rgba = Vec::with_capacity(4 * self.size.0 as usize * self.size.1 as usize);
        let corners = |y: u32| -> Vec<u8> {
            (0..=self.size.0)
                .map(|x| self.part(self.on_paper(f64::from(x), f64::from(y))))
                .collect()
        };
        let mut above = corners(0);
        let mut lots = Lots::new(0x1234_5678);
        for y in 0..self.size.1 {
            let below = corners(y + 1);
            for x in 0..self.size.0 {
                let at = x as usize;
                let parts = [above[at], above[at + 1], below[at], below[at + 1]];
                let color = self.pixel(x, y, parts);
                for value in color {
                    let noise = (lots.share() - 0.5) * 2.0 * self.noise;
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
