//! The pump that draws the air off: how much of it is to be gone at each step, and how hard it may pull for that.

use super::Mode;
use super::map::index_to_f64;
use super::press::{Load, Press};
use crate::geometry::greater;

/// The share of the air to be drawn that the pump may be behind at its full pull.
const BEHIND: f64 = 0.05;
/// A film is drawn on more slowly while its nodes are on the whole faster than this share of how fast one may be.
const HASTE: f64 = 0.2;
/// What changes in a step of the rate that its air is drawn at, when it goes too fast and when it does not.
const SLOWER: f64 = 0.9;
const FASTER: f64 = 1.03;
/// How much harder it is pulled from step to step when the air is gone.
const HARDER: f64 = 0.01;
/// The share of the usual rate, and of that growth, that is kept even so.
const SLOWEST: f64 = 0.1;
/// A film is drawn no more when it would be pulled so many times as hard as there is vacuum: what has no place to land
/// would only crumple.
const ENOUGH: f64 = 1.2;
/// The least pull that grows, in shear moduli times gauge over millimetres.
const LEAST: f64 = 1e-4;
/// Steps between looks at how a film yields.
const LOOK_AT_YIELDING: usize = 8;

/// A pump at work on one sheet.
///
/// Off rubber it draws at an even rate, and then with all it has. A film it draws no faster than its nodes can follow, since in a
/// tip a little air is a long way: what lags behind lands too thick above and too thin below. When next to no air is left it
/// pulls harder from step to step.
///
/// A film that grows while its nodes land yields ever more to a pull. A pump that went by how it yielded when it was flat would
/// make it swing, and more so from step to step, so that it lands in folds.
#[derive(Debug)]
pub(super) struct Pump {
    mode: Mode,
    air: f64,
    drawn: f64,
    yielding: f64,
    /// The full vacuum.
    full: f64,
    n_drawing: usize,
    /// Of a film, as all that follows: the share of the air that is to be gone by now.
    share: f64,
    /// What is taken of that share in a step.
    rate: f64,
    /// The air that is to be left.
    target: f64,
    /// What it pulls with at most.
    most: f64,
}

impl Pump {
    /// Before it draws: so much air is to be left, the full vacuum, and the steps that it takes at its usual rate.
    pub(super) fn new(press: &Press<'_>, floor: f64, full: f64, n_drawing: usize) -> Self {
        Self {
            mode: press.mode,
            air: press.volume,
            drawn: (press.volume - floor).max(1e-6),
            yielding: press.steady_yielding(),
            full,
            n_drawing,
            share: 0.0,
            rate: 1.0 / index_to_f64(n_drawing),
            target: press.volume,
            most: full,
        }
    }

    /// What it does in a step of the sheet as it lies now.
    pub(super) fn load(&mut self, step: usize, press: &Press<'_>) -> Load {
        let (target, most) = match self.mode {
            Mode::Rubber if step < self.n_drawing => {
                let share = index_to_f64(step) / index_to_f64(self.n_drawing);
                (self.air - self.drawn * (1.0 + BEHIND) * share.min(1.0), self.full)
            }
            Mode::Rubber => (f64::MIN, self.full),
            Mode::Uniform => {
                if step > 0 && step.is_multiple_of(LOOK_AT_YIELDING) {
                    // It goes on from the pull that it has.
                    self.yielding = press.steady_yielding();
                    self.target = press.air_ahead() - press.pull / self.yielding;
                }
                self.draw_film(press)
            }
        };
        Load { frame: 0.0, target, yielding: self.yielding, most }
    }

    /// True when it pulls with all it has.
    pub(super) fn is_full(&self, step: usize) -> bool {
        match self.mode {
            Mode::Rubber => step > self.n_drawing,
            Mode::Uniform => self.share >= 1.0 && self.most >= self.full,
        }
    }

    /// True when nothing comes of pulling on.
    pub(super) fn is_spent(&self) -> bool {
        self.mode == Mode::Uniform && self.most > ENOUGH * self.full
    }

    fn draw_film(&mut self, press: &Press<'_>) -> (f64, f64) {
        let is_fast = press.haste() > HASTE;
        if self.share >= 1.0 {
            self.most *= 1.0 + HARDER * if is_fast { SLOWEST } else { 1.0 };
            return (f64::MIN, self.most.min(self.full));
        }
        let usual = 1.0 / index_to_f64(self.n_drawing);
        let rate = self.rate * if is_fast { SLOWER } else { FASTER };
        self.rate = rate.clamp(SLOWEST * usual, usual);
        self.share += self.rate;
        self.target -= self.drawn * self.rate;
        self.most = greater(LEAST, press.pull);
        (self.target, self.full)
    }
}
