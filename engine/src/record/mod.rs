//! The log of pulls at the bench, and what it says of this machine: its heater, and how near molds may stand.
//!
//! A log belongs to the machine and the maker and is no part of a plan: undo takes back what was planned, not what has
//! happened. Everything here is a value and returns a new one; dates and ids come from outside, since the engine has no
//! clock. What is learned is always told with the count of pulls behind it.

mod check;
mod clearance;
mod error;
mod heat;
mod logbook;
mod outcome;
mod pull_record;
mod wilson;

pub use clearance::{
    Advice, Learned, NAMED, NEAR, NEEDED, Parted, Tally, learned_clearance, parted,
};
pub use error::RecordError;
pub use heat::{MOST_HEATS, learned_heat};
pub use logbook::{Logbook, Merged, RecordId};
pub use outcome::{Outcome, Outcomes};
pub use pull_record::{PhotoId, PullRecord, Spacing, spacing_of};
pub use wilson::wilson_95;

/// The largest log accepted, so that no file and no typing slip can exhaust a tablet.
pub mod limits {
    use crate::units::{Length, Seconds, Temperature};

    /// Pulls in a log.
    pub const RECORDS: usize = 1000;
    /// Characters in the notes of a pull.
    pub const NOTE_CHARS: usize = 500;
    /// Molds named with all outcomes of a pull together.
    pub const MOLDS: usize = 24;
    /// The largest number of a pull or a photo: what every reader of JSON keeps to the last digit (RFC 8259, section 6).
    pub const ID_MOST: u64 = (1 << 53) - 1;
    /// The longest heat, and the longest time to cool.
    pub const LONGEST: Seconds = Seconds::new(3600.0);
    /// The deepest sag.
    pub const SAG_MOST: Length = Length::mm(500.0);
    /// The coldest and the hottest room.
    pub const ROOM: (Temperature, Temperature) =
        (Temperature::celsius(-20.0), Temperature::celsius(60.0));
    /// The widest spacing over height that is told apart.
    pub const SPACING_MOST: f64 = 99.0;
}
