//! How stock sheets are cut into blanks: every cut runs from edge to edge, because scored sheet snaps no other way.
//!
//! Sizes in, a tree of cuts out, with the marks a person measures by and the order to cut in. Everything is counted in
//! whole micrometres, so that a sheet that divides without a rest does.

mod bound;
mod counts;
mod cutting;
mod error;
mod exact;
mod grow;
mod linear;
mod measures;
mod order;
mod packing;
mod pattern;
mod planned;
mod several;
mod snap;
mod steps;
mod tree;
mod words;
mod yield_map;

pub(crate) use counts::fewest;
pub use cutting::{Cutting, Wanted};
pub use error::StockError;
pub(crate) use linear::relaxed;
pub use order::{Cut, cuts_in_order};
pub use pattern::{best_pattern, most_of_one};
pub(crate) use planned::habitual;
pub use planned::{PlannedCut, cut_plan, plan_cutting};
pub use several::{Job, Sheets, cut_job};
pub use snap::{Snaps, least_strip, snap_words, snaps};
pub use steps::{Step, steps};
pub use tree::{Axis, Part, Parting, Pattern, PlacedPart};
pub use words::{blanks_words, size_letter, size_words, step_words, summary};
pub use yield_map::{Peak, Sizes, YieldMap, yield_map};
