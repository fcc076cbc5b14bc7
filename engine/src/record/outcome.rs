//! How a pull came out, and at which molds.

use std::collections::{BTreeMap, BTreeSet};

/// How a pull came out. A pull is good, or it is one or more of the others.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// As it should be.
    Good,
    /// The sheet webbed: it folded between molds or at their corners.
    Web,
    /// The sheet got too thin, or tore.
    Thin,
    /// Details did not come, or the sheet bridged: it was too cold.
    Cold,
    /// It blistered, browned or stuck: it was too hot.
    Scorched,
}

impl Outcome {
    /// All of them, in the order they are asked for.
    pub const ALL: [Self; 5] = [Self::Good, Self::Web, Self::Thin, Self::Cold, Self::Scorched];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Good => "good",
            Self::Web => "web",
            Self::Thin => "thin",
            Self::Cold => "cold",
            Self::Scorched => "scorched",
        }
    }

    /// True for what happens at a mold rather than to the whole sheet.
    #[must_use]
    pub const fn has_place(self) -> bool {
        matches!(self, Self::Web | Self::Thin)
    }
}

/// How a pull came out, each with the names of the molds where; empty while nobody has said.
pub type Outcomes = BTreeMap<Outcome, BTreeSet<String>>;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn outcomes_are_asked_for_in_their_order() {
        assert!(Outcome::ALL.is_sorted());
    }
}
