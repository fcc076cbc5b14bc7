//! Finds places for outlines in rectangles so that every two of them keep their distance.
//!
//! Knows geometry and units only: no plan, no rule, no clock. A `Problem` says which items there are, how they may
//! turn, the room of each and how far apart every two of them must stay; `place` looks for poses, for so many steps.
//! Same problem, same seed, same budget: same answer on every target.

mod catalog;
mod descent;
mod field;
mod forbidden;
mod hunt;
mod layout;
mod look;
mod piece;
mod place;
mod problem;
mod random;
mod settle;
mod sides;
mod strip;
mod strip_file;
mod verify;
mod view;
mod watch;

pub use place::{Placed, place};
pub use problem::{Apart, Item, Problem, Turns};
pub(crate) use random::Random;
pub use strip::{Packed, Strip, StripItem, StripProgress, pack};
pub use strip_file::{StripError, read_strip};
pub use verify::shortfall;
pub use watch::{Budget, Progress, Seed};
