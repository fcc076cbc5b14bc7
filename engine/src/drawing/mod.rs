//! What is to be seen of a pull: a flat list of shapes with roles, in millimetres on the blank.
//!
//! The board and every export read this list, so they cannot disagree. A mark says what it means (its role)
//! and what it belongs to (its subject), never a colour or a line width; it refers to nothing outside itself.

mod corners;
mod cutting;
mod explain;
mod focus;
mod label;
mod layout;
pub mod lettering;
mod machine;
mod mark;
mod ready;
mod workshop;
mod yield_map;

pub use corners::{CORNER_PLAY, Corners, corners};
pub use cutting::{draw_cutting, offcut_name};
pub use explain::{Diagram, explain, explain_forecast};
pub use focus::{Focus, draw_focus, draw_focus_with};
pub use label::{height_words, name_words};
pub use layout::{draw, draw_with, outlines};
pub use mark::{Anchor, Drawing, Form, Mark, Role};
pub use ready::ReadyOutlines;
pub use workshop::draw_workshop;
pub use yield_map::draw_yield;
