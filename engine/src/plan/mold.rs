//! The form the plastic is drawn over, or into.

use super::{Footprint, Relief};
use crate::units::{Angle, Length};

/// Whether the sheet drapes outside the mold or draws into it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MoldKind {
    /// The sheet drapes outside it.
    Male,
    /// The sheet draws into it.
    Female,
}

/// Which turns a solver may give the mold; a person may always turn it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turns {
    /// Any angle.
    Free,
    /// 0, 90, 180 and 270 degrees.
    Quarter,
    /// As drawn.
    Fixed,
}

/// One mold, of which `copies` equal ones exist.
#[derive(Clone, Debug, PartialEq)]
pub struct Mold {
    /// What it is called.
    pub name: String,
    /// Its outline on the platen.
    pub footprint: Footprint,
    /// Whether the sheet goes outside or inside.
    pub kind: MoldKind,
    /// How tall it is, or how deep its cavity.
    pub height: Length,
    /// What it is raised by, so that the trim line clears the platen.
    pub spacer: Length,
    /// Its shape above the footprint.
    pub relief: Relief,
    /// The least angle of its walls from vertical.
    pub draft: Angle,
    /// The turns a solver may give it.
    pub turns: Turns,
    /// How many equal ones exist.
    pub copies: u32,
    /// The plastic to be left round the footprint for trimming.
    pub trim: Length,
}

impl Mold {
    /// A male mold with a level top, 3 degrees of draft, one copy and no spacer.
    ///
    /// 3 degrees is the middle of what the design guides ask of male molds in amorphous sheet.
    #[must_use]
    pub fn new(name: &str, footprint: Footprint, height: Length) -> Self {
        Self {
            name: name.to_owned(),
            footprint,
            kind: MoldKind::Male,
            height,
            spacer: Length::ZERO,
            relief: Relief::FLAT,
            draft: Angle::degrees(3.0),
            turns: Turns::Free,
            copies: 1,
            trim: Length::mm(3.0),
        }
    }

    /// Height above the platen, spacer included: what spacing and the machine's room are measured by.
    #[must_use]
    pub fn standing_height(&self) -> Length {
        self.height + self.spacer
    }
}
