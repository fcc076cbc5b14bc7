//! Which plastics snap along a scored line, and the narrowest strip that a hand can snap off.
//!
//! **Source**: acrylic to 1/8 in: DIY guides and a toolmaker's blog, agreeing; HIPS of .080 in over 2 ft: C. Jones, "Scribe
//! and Pop", Starship Modeler 2002. The rest, and the narrowest strip, is common practice.

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
            (Snaps::Perhaps, Trust::CommonPractice)
        }
        Plastic::Abs if gauge <= Length::inches(0.093) => (Snaps::Perhaps, Trust::CommonPractice),
        Plastic::Petg if gauge <= Length::inches(0.060) => (Snaps::Perhaps, Trust::CommonPractice),
        Plastic::Pvc if gauge <= Length::inches(0.125) => (Snaps::Yes, Trust::CommonPractice),
        Plastic::Hips
        | Plastic::AcrylicCast
        | Plastic::AcrylicExtruded
        | Plastic::Abs
        | Plastic::Petg
        | Plastic::Pvc
        | Plastic::Polycarbonate
        | Plastic::Hdpe
        | Plastic::Polypropylene => (Snaps::No, Trust::CommonPractice),
    }
}

/// The narrowest strip that a hand snaps off: 20 mm or ten gauges, whichever is more (common practice).
#[must_use]
pub fn least_strip(gauge: Length) -> Length {
    Length::mm(20.0).max(gauge * 10.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_plastic_is_parted_as_the_trade_does_it() {
        let at = |plastic, inches| snaps(plastic, Length::inches(inches)).0;
        assert_eq!(at(Plastic::Hips, 0.080), Snaps::Yes);
        assert_eq!(at(Plastic::Hips, 0.030), Snaps::KnifeThrough);
        assert_eq!(at(Plastic::Hips, 0.250), Snaps::No);
        assert_eq!(at(Plastic::AcrylicCast, 0.118), Snaps::Yes);
        assert_eq!(at(Plastic::Abs, 0.060), Snaps::Perhaps);
        for plastic in [Plastic::Polycarbonate, Plastic::Hdpe, Plastic::Polypropylene] {
            assert_eq!(at(plastic, 0.060), Snaps::No, "{plastic:?}");
        }
        assert_eq!(least_strip(Length::mm(1.0)), Length::mm(20.0));
        assert_eq!(least_strip(Length::mm(3.0)), Length::mm(30.0));
    }
}
