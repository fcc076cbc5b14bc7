//! Which plastics snap along a scored line, and the narrowest strip that a hand can snap off.
//!
//! **Source**: acrylic to 1/8 in: DIY guides and a toolmaker's blog, agreeing; HIPS of .080 in over 2 ft: C. Jones, "Scribe
//! and Pop", Starship Modeler 2002. Thick acrylic, PETG, HDPE and polypropylene are from memory; the rest, and the narrowest
//! strip, is common practice.

use crate::plan::Plastic;
use crate::rules::Trust;
use crate::units::Length;

/// How a plastic is parted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Snaps {
    /// It snaps along a scored line.
    Yes,
    /// It is so thin that a knife goes right through.
    KnifeThrough,
    /// It may, with a deep score; a saw is safer.
    Perhaps,
    /// It bends or tears: saw or shear.
    No,
}

impl Snaps {
    /// What to do, in a sentence.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Yes => {
                "Scores and snaps: score the whole width from edge to edge, more than once, groove up over an edge."
            }
            Self::KnifeThrough => "Thin enough to cut right through with a knife along a rule.",
            Self::Perhaps => {
                "May snap with a deep score on both faces, flexed both ways; a saw or shears are safer."
            }
            Self::No => "Does not snap: saw or shear it, and set the kerf.",
        }
    }
}

/// How sheet of this plastic and gauge is parted, and how far to trust that.
#[must_use]
pub fn snaps(plastic: Plastic, gauge: Length) -> (Snaps, Trust) {
    let thin = Length::mm(1.5);
    match plastic {
        Plastic::Hips if gauge < thin => (Snaps::KnifeThrough, Trust::Read),
        Plastic::Hips if gauge <= Length::inches(0.080) => (Snaps::Yes, Trust::Read),
        Plastic::Hips if gauge <= Length::inches(0.125) => (Snaps::Yes, Trust::CommonPractice),
        Plastic::AcrylicCast | Plastic::AcrylicExtruded if gauge <= Length::inches(0.125) => {
            (Snaps::Yes, Trust::Read)
        }
        Plastic::AcrylicCast | Plastic::AcrylicExtruded if gauge <= Length::inches(0.25) => {
            (Snaps::Perhaps, Trust::Memory)
        }
        Plastic::Abs if gauge <= Length::inches(0.093) => (Snaps::Perhaps, Trust::CommonPractice),
        Plastic::Petg if gauge <= Length::inches(0.060) => (Snaps::Perhaps, Trust::Memory),
        Plastic::Pvc if gauge <= Length::inches(0.125) => (Snaps::Yes, Trust::CommonPractice),
        Plastic::Petg | Plastic::Hdpe | Plastic::Polypropylene => (Snaps::No, Trust::Memory),
        Plastic::Hips
        | Plastic::AcrylicCast
        | Plastic::AcrylicExtruded
        | Plastic::Abs
        | Plastic::Pvc
        | Plastic::Polycarbonate => (Snaps::No, Trust::CommonPractice),
    }
}

/// How a plastic is parted in a sentence, how far to trust that, and where the trade disagrees.
#[must_use]
pub fn snap_words(plastic: Plastic, gauge: Length) -> String {
    let (parted, trust) = snaps(plastic, gauge);
    let also = if plastic == Plastic::Polycarbonate {
        " The trade disagrees about polycarbonate: some guides score it on both faces up to 1/8 in, others say saw."
    } else {
        ""
    };
    format!("{} ({}){also}", parted.words(), trust.words())
}

/// The narrowest strip that a hand snaps off: 20 mm or ten gauges, whichever is more (common practice).
#[must_use]
pub fn least_strip(gauge: Length) -> Length {
    Length::mm(20.0).max(gauge * 10.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    // A row for each gauge on either side of a limit.
    #[test]
    fn each_plastic_is_parted_as_the_trade_does_it() {
        use Plastic::{
            Abs, AcrylicCast, AcrylicExtruded, Hdpe, Hips, Petg, Polycarbonate, Polypropylene, Pvc,
        };
        use Snaps::{KnifeThrough, No, Perhaps, Yes};
        use Trust::{CommonPractice, Memory, Read};
        for (plastic, gauge, parted, trust) in [
            (Hips, 0.030, KnifeThrough, Read),
            (Hips, 0.060, Yes, Read),
            (Hips, 0.080, Yes, Read),
            (Hips, 0.125, Yes, CommonPractice),
            (Hips, 0.187, No, CommonPractice),
            (AcrylicCast, 0.118, Yes, Read),
            (AcrylicExtruded, 0.125, Yes, Read),
            (AcrylicCast, 0.187, Perhaps, Memory),
            (AcrylicExtruded, 0.250, Perhaps, Memory),
            (AcrylicCast, 0.375, No, CommonPractice),
            (Abs, 0.060, Perhaps, CommonPractice),
            (Abs, 0.093, Perhaps, CommonPractice),
            (Abs, 0.125, No, CommonPractice),
            (Petg, 0.060, Perhaps, Memory),
            (Petg, 0.080, No, Memory),
            (Polycarbonate, 0.030, No, CommonPractice),
            (Polycarbonate, 0.125, No, CommonPractice),
            (Pvc, 0.125, Yes, CommonPractice),
            (Pvc, 0.187, No, CommonPractice),
            (Hdpe, 0.030, No, Memory),
            (Polypropylene, 0.030, No, Memory),
        ] {
            let found = snaps(plastic, Length::inches(gauge));
            assert_eq!(found, (parted, trust), "{plastic:?} {gauge}");
        }
        assert_eq!(least_strip(Length::mm(1.0)), Length::mm(20.0));
        assert_eq!(least_strip(Length::mm(3.0)), Length::mm(30.0));
    }

    #[test]
    fn where_the_trade_disagrees_it_is_said() {
        let words = snap_words(Plastic::Polycarbonate, Length::mm(1.5));
        assert!(words.contains("(common practice) The trade disagrees"), "{words}");
        assert!(snap_words(Plastic::Hips, Length::mm(2.0)).ends_with("(read in the source)"));
    }
}
