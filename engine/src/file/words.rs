//! The words that saved files use for choices; links use their order.
//!
//! Files and links of every version released read these, so a word is never changed or moved: a new one goes
//! to the end, and with a new version.

use serde::{Deserialize, Serialize};

use crate::{heat, plan, record, units};

/// A choice of the plan as a word, and both ways between the two.
macro_rules! words {
    ($($(#[$doc:meta])* $name:ident from $room:ident { $($variant:ident),+ $(,)? })+) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Serialize, Deserialize)]
        #[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
        #[serde(rename_all = "kebab-case")]
        pub(super) enum $name { $($variant),+ }

        impl From<$room::$name> for $name {
            fn from(choice: $room::$name) -> Self {
                match choice { $($room::$name::$variant => Self::$variant),+ }
            }
        }

        impl From<$name> for $room::$name {
            fn from(word: $name) -> Self {
                match word { $($name::$variant => Self::$variant),+ }
            }
        }
    )+};
}

words! {
    /// What the sheet is made of.
    Plastic from plan {
        Hips, Abs, Petg, AcrylicCast, AcrylicExtruded, Polycarbonate, Pvc, Hdpe, Polypropylene,
    }
    /// Which face of the sheet has a grain.
    Texture from plan { Smooth, AwayFromMold, AgainstMold }
    /// The protective film on the sheet.
    Film from plan { None, OneFace, BothFaces }
    /// Whether the sheet drapes outside the mold or draws into it.
    MoldKind from plan { Male, Female }
    /// The turns a solver may give a mold.
    Turns from plan { Free, Quarter, Fixed }
    /// Which of two heights the clearance is taken from.
    HeightBasis from plan { Taller, Mean }
    /// What sheet is parted with.
    CutBy from plan { Snap, Saw }
    /// Which sides of a sheet are heated; in logs.
    Sides from heat { One, Both }
    /// How a pull came out; in logs.
    Outcome from record { Good, Web, Thin, Cold, Scorched }
    /// How lengths are shown.
    LengthStyle from units { Millimetres, DecimalInches, FractionInches }
}
