//! What each draw ratio means, in words to print beside the number: the trade has three under one name.
//!
//! **Source:** SPE Thermoforming Division, Thermoforming 101, The Ubiquitous Draw Ratio, Thermoforming
//! Quarterly 24(4), 2005: the same cup, as tall as it is wide, draws 5, 3 or 1.

/// A figure of this room explained in one line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Definition {
    /// What the page calls it.
    pub name: &'static str,
    /// What it is, as a clause to stand beside the number.
    pub says: &'static str,
}

/// Formed surface over the footprint it came from.
pub const AREAL: Definition = Definition {
    name: "Areal draw ratio",
    says: "formed surface over the footprint it covers, spacer left out",
};

/// A scribed line after forming over the same line before.
pub const LINEAR: Definition = Definition {
    name: "Linear draw ratio",
    says: "a line scribed across the narrower width, after forming over before",
};

/// Height over the narrower width.
pub const HEIGHT_TO_WIDTH: Definition = Definition {
    name: "Height to width",
    says: "mold height over the narrower footprint width between two parallel lines, spacer left out",
};

/// The gauge over the areal draw ratio.
pub const MEAN_THICKNESS: Definition = Definition {
    name: "Mean thickness",
    says: "the gauge over the areal draw ratio: what is left on average, thinner in places",
};
