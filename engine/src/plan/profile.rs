//! The section of walls that rise from every outline alike: height over the distance inwards from the outline.
//!
//! ```text
//! z                     ______      a flat top with a rounded edge: a wall at the draft d, an arc of radius r
//! |               _.--''            that touches wall and top; the arc takes  r (1 - sin d)  of the height
//! |              /                  and  r cos d  of the way inwards
//! |             /
//! |____________/ d                  stepped: a wall for each ledge, and one more up to the top
//!             x = 0
//! ```
//!
//! **Source:** plane geometry.

use super::{Mold, Relief};
use crate::units::{Angle, Length};

/// A piece of wall; places are millimetres inwards from the outline and up from the platen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Piece {
    /// A straight wall; upright when both ends are as far inwards.
    Straight {
        /// Its foot.
        from: (f64, f64),
        /// Its upper end.
        to: (f64, f64),
    },
    /// A rounded edge from a wall at `draft` to the level top at `top`.
    Round {
        /// How far inwards the arc's middle lies, which is where the top begins.
        inward: f64,
        /// The height of the top.
        top: f64,
        /// Of the arc.
        radius: f64,
        /// Of the wall that it touches.
        draft: Angle,
    },
}

/// The pieces of a section from the outline on; between one and the next the surface is level.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Profile {
    pieces: Vec<Piece>,
}

/// How far inwards a wall of this height runs.
pub(crate) fn wall_run(height: Length, draft: Angle) -> Length {
    height * draft.tan()
}

/// The largest radius of the edge of a top of this height: its arc begins on the platen.
pub(crate) fn edge_most(height: Length, draft: Angle) -> Length {
    height / (1.0 - draft.sin())
}

impl Piece {
    /// How far inwards it begins.
    pub(crate) fn begins(self) -> f64 {
        match self {
            Self::Straight { from, .. } => from.0,
            Self::Round { inward, radius, draft, .. } => inward - radius * draft.cos(),
        }
    }

    /// How far inwards it ends.
    pub(crate) const fn ends(self) -> f64 {
        match self {
            Self::Straight { to, .. } => to.0,
            Self::Round { inward, .. } => inward,
        }
    }

    /// The height at a place inwards from where it begins.
    fn height_at(self, x: f64) -> f64 {
        match self {
            Self::Straight { from, to } if x < to.0 => {
                from.1 + (x - from.0) * ((to.1 - from.1) / (to.0 - from.0))
            }
            Self::Straight { to, .. } => to.1,
            Self::Round { inward, top, radius, .. } => {
                let left = (inward - x).max(0.0);
                top - radius + (radius * radius - left * left).max(0.0).sqrt()
            }
        }
    }

    /// Its length as far as a place inwards.
    fn length_to(self, x: f64) -> f64 {
        match self {
            Self::Straight { from, to } => {
                let part = if x < to.0 { (x - from.0) / (to.0 - from.0) } else { 1.0 };
                let (run, rise) = (to.0 - from.0, to.1 - from.1);
                part * (run * run + rise * rise).sqrt()
            }
            Self::Round { inward, radius, draft, .. } => {
                let turned = libm::acos(((inward - x) / radius).clamp(0.0, 1.0));
                radius * (turned - draft.to_radians()).max(0.0)
            }
        }
    }
}

impl Profile {
    /// The section of a flat top or a stepped mold; `None` for other reliefs.
    pub(crate) fn of(mold: &Mold) -> Option<Self> {
        let (height, draft) = (mold.height.to_mm(), mold.draft);
        let wall = |x: f64, low: f64, high: f64| Piece::Straight {
            from: (x, low),
            to: (x + (high - low) * draft.tan(), high),
        };
        let pieces = match &mold.relief {
            Relief::FlatTop { edge } if *edge > Length::ZERO => {
                let radius = edge.to_mm();
                let wall = wall(0.0, 0.0, (height - radius * (1.0 - draft.sin())).max(0.0));
                let inward = wall.ends() + radius * draft.cos();
                vec![wall, Piece::Round { inward, top: height, radius, draft }]
            }
            Relief::FlatTop { .. } => vec![wall(0.0, 0.0, height)],
            Relief::Stepped { steps } => {
                let mut pieces = Vec::with_capacity(steps.len() + 1);
                let (mut x, mut low) = (0.0, 0.0);
                for step in steps {
                    pieces.push(wall(x, low, step.height.to_mm()));
                    (x, low) = (step.inset.to_mm(), step.height.to_mm());
                }
                pieces.push(wall(x, low, height));
                pieces
            }
            Relief::Dome | Relief::Taper { .. } | Relief::Heights(_) => return None,
        };
        Some(Self { pieces })
    }

    /// Its pieces from the outline on.
    pub(crate) fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// The height at a distance inwards from the outline.
    pub(crate) fn height_at(&self, inward: f64) -> f64 {
        let reached = self.pieces.iter().rev().find(|piece| piece.begins() <= inward);
        reached.map_or(0.0, |piece| piece.height_at(inward))
    }

    /// The length of the section from the outline to a place inwards, ledges and top included.
    pub(crate) fn length_to(&self, inward: f64) -> f64 {
        let (mut length, mut x) = (0.0, 0.0);
        for piece in self.pieces.iter().take_while(|piece| piece.begins() <= inward) {
            length += piece.begins() - x + piece.length_to(inward);
            x = piece.ends();
        }
        length + (inward - x).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::*;
    use crate::plan::{Footprint, Step};

    fn profile(relief: Relief, height: f64, draft: f64) -> Profile {
        let circle = Footprint::Circle { diameter: Length::mm(80.0) };
        let mold = Mold::new("Limpet", circle, Length::mm(height));
        Profile::of(&Mold { relief, draft: Angle::degrees(draft), ..mold }).expect("a section")
    }

    #[track_caller]
    fn near(got: f64, want: f64) {
        assert!((got - want).abs() < 1e-9, "{got}, not {want}");
    }

    #[test]
    fn a_rounded_edge_touches_wall_and_top() {
        let round = profile(Relief::FlatTop { edge: Length::mm(5.0) }, 20.0, 0.0);
        near(round.height_at(0.0), 15.0);
        near(round.height_at(5.0 - 4.0), 15.0 + 3.0);
        near(round.height_at(5.0), 20.0);
        near(round.length_to(40.0), 15.0 + 5.0 * PI / 2.0 + 35.0);
        // With draft the wall goes on without a kink: both slopes at the joint are those of the draft.
        let leaning = profile(Relief::FlatTop { edge: Length::mm(6.0) }, 20.0, 15.0);
        let joint = leaning.pieces()[0].ends();
        let slope = |x: f64| (leaning.height_at(x + 1e-7) - leaning.height_at(x)) / 1e-7;
        let steep = 1.0 / Angle::degrees(15.0).tan();
        assert!((slope(joint - 1e-6) - steep).abs() < 1e-4 && (slope(joint) - steep).abs() < 1e-3);
        let turned = (90.0 - 15.0) / 180.0 * PI * 6.0;
        let wall = (20.0 - 6.0 * (1.0 - Angle::degrees(15.0).sin())) / Angle::degrees(15.0).cos();
        near(leaning.length_to(leaning.pieces()[1].ends()), wall + turned);
    }

    #[test]
    fn the_largest_edge_leaves_no_wall() {
        let draft = Angle::degrees(20.0);
        let most = edge_most(Length::mm(12.0), draft);
        let round = profile(Relief::FlatTop { edge: most }, 12.0, 20.0);
        near(round.pieces()[0].ends(), 0.0);
        near(round.height_at(0.0), 0.0);
    }

    #[test]
    fn steps_are_walls_and_ledges() {
        let step = |height, inset| Step { height: Length::mm(height), inset: Length::mm(inset) };
        let steps = vec![step(5.0, 10.0), step(12.0, 20.0)];
        let upright = profile(Relief::Stepped { steps: steps.clone() }, 20.0, 0.0);
        for (x, z) in
            [(0.0, 5.0), (9.9, 5.0), (10.0, 12.0), (19.0, 12.0), (20.0, 20.0), (39.0, 20.0)]
        {
            near(upright.height_at(x), z);
        }
        near(upright.length_to(40.0), 40.0 + 20.0);
        let leaning = profile(Relief::Stepped { steps }, 20.0, 45.0);
        for (x, z) in [(0.0, 0.0), (3.0, 3.0), (6.0, 5.0), (13.0, 8.0), (24.0, 16.0), (30.0, 20.0)]
        {
            near(leaning.height_at(x), z);
        }
        near(leaning.length_to(40.0), 20.0 * 2.0_f64.sqrt() + 20.0);
    }
}
