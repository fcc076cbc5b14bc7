//! Why an edit was refused: data first, words in `Display`.

use crate::plan::{MoldId, PlacementId, PullId, StockId, limits};
use crate::units::{Angle, Length, LengthStyle, Seconds};

/// Why an edit was refused. The plan is unchanged.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EditError {
    /// No mold has this id.
    #[error("there is no {0} in this plan")]
    NoSuchMold(MoldId),
    /// No pull has this id.
    #[error("there is no {0} in this plan")]
    NoSuchPull(PullId),
    /// No placement of the pull has this id.
    #[error("there is no {0} on this blank")]
    NoSuchPlacement(PlacementId),
    /// No sheet besides the plan's own has this id.
    #[error("there is no {0} among the sheets of the batch; add it, or choose another")]
    NoSuchStock(StockId),
    /// The id is taken.
    #[error("there is a {0} already")]
    StockExists(StockId),
    /// A part that stands twice among those of a kit.
    #[error("{0} stands twice among the parts of a kit; give one count for both")]
    WantedTwice(MoldId),
    /// A sheet that is to go while offcuts of it are kept.
    #[error("there are offcuts of {0}; remove them first, or keep the sheet")]
    StockInUse(StockId),
    /// A sheet that is to go while a pull is formed in it.
    #[error(
        "{pull} is formed in {stock}; choose another sheet for that pull first, or keep the sheet"
    )]
    StockOfPull {
        /// The sheet.
        stock: StockId,
        /// The first pull that is formed in it.
        pull: PullId,
    },
    /// A pull that stands twice in the order.
    #[error("{0} stands twice in the order of the pulls; give one count for both")]
    OrderedTwice(PullId),
    /// The id is taken.
    #[error("there is a {0} already")]
    MoldExists(MoldId),
    /// The id is taken.
    #[error("there is a {0} already")]
    PullExists(PullId),
    /// The id is taken.
    #[error("there is a {0} already")]
    PlacementExists(PlacementId),
    /// A plan keeps one pull at least.
    #[error("{0} is the last one; a plan keeps at least one pull")]
    LastPull(PullId),
    /// The placement is locked.
    #[error("{0} is locked; unlock it first")]
    Locked(PlacementId),
    /// A name without a visible character.
    #[error("a name needs at least one character")]
    NameEmpty,
    /// A name that is too long.
    #[error("a name of {0} characters is longer than the {most} that fit", most = limits::NAME_CHARS)]
    NameTooLong(usize),
    /// A length outside its range.
    #[error("{a} {what} of {value} is outside {least} to {most}", a = article(what),
        value = mm(*value), least = mm(*least), most = mm(*most))]
    LengthOutside {
        /// Which length.
        what: &'static str,
        /// As asked for.
        value: Length,
        /// The smallest accepted.
        least: Length,
        /// The largest accepted.
        most: Length,
    },
    /// A plain number outside its range.
    #[error("{a} {what} of {value} is outside {least} to {most}", a = article(what))]
    NumberOutside {
        /// Which number.
        what: &'static str,
        /// As asked for.
        value: f64,
        /// The smallest accepted.
        least: f64,
        /// The largest accepted.
        most: f64,
    },
    /// A whole number outside its range.
    #[error("{value} {what} are outside {least} to {most}")]
    CountOutside {
        /// Of what.
        what: &'static str,
        /// As asked for.
        value: u32,
        /// The smallest accepted.
        least: u32,
        /// The largest accepted.
        most: u32,
    },
    /// A time that is none a step of a pull takes.
    #[error("{a} {what} of {value} s is outside 0 s to {most} s", a = article(what), value = value.get(), most = most.get())]
    TimeOutside {
        /// Which step.
        what: &'static str,
        /// As asked for.
        value: Seconds,
        /// The longest accepted.
        most: Seconds,
    },
    /// An angle outside its range.
    #[error("{a} {what} of {value:.1} degrees is outside 0 to {most:.0} degrees", a = article(what),
        value = value.to_degrees(), most = most.to_degrees())]
    AngleOutside {
        /// Which angle.
        what: &'static str,
        /// As asked for.
        value: Angle,
        /// The largest accepted.
        most: Angle,
    },
    /// A value that is infinite or not a number.
    #[error("{a} {what} is not a number; type a length such as 35 mm", a = article(what))]
    NotANumber {
        /// Which value.
        what: &'static str,
    },
    /// Too many of something.
    #[error("{value} {what} are more than the {most} a plan holds")]
    TooMany {
        /// Of what.
        what: &'static str,
        /// As asked for.
        value: usize,
        /// The largest accepted.
        most: usize,
    },
    /// A copy number that no mold could have.
    #[error("copies are numbered from 1 to {most}, not {0}", most = limits::COPIES)]
    CopyOutside(u32),
    /// The lips leave no opening.
    #[error("the clamp lips leave {width} x {depth} of the blank open; make them narrower",
        width = mm(*width), depth = mm(*depth))]
    NoOpening {
        /// What the lips leave, left to right.
        width: Length,
        /// What the lips leave, front to back.
        depth: Length,
    },
    /// An edge radius that does not fit.
    #[error("an edge radius of {edge} is more than the {most} that fit below the top; make it smaller, or the mold taller",
        edge = mm(*edge), most = mm(*most))]
    EdgeTooLarge {
        /// As asked for.
        edge: Length,
        /// What begins on the platen.
        most: Length,
    },
    /// A stepped mold without a step.
    #[error("a stepped mold needs at least one step; add one, or choose a flat top")]
    NoStep,
    /// A step that does not rise between its neighbours.
    #[error("step {number} is {height} high; it has to lie between {below} and {above}",
        height = mm(*height), below = mm(*below), above = mm(*above))]
    StepHeight {
        /// From 1 at the lowest.
        number: u32,
        /// As asked for.
        height: Length,
        /// The step below, or the platen.
        below: Length,
        /// The top of the mold.
        above: Length,
    },
    /// A step that begins within the wall below it.
    #[error("step {number} begins {inset} from the outline, but the wall below it leans in to {least}; \
        set the step farther in, or give the mold less draft",
        inset = mm(*inset), least = mm(*least))]
    StepInset {
        /// From 1 at the lowest.
        number: u32,
        /// As asked for.
        inset: Length,
        /// Where the wall below it ends.
        least: Length,
    },
    /// A corner radius that does not fit.
    #[error("a corner radius of {radius} is more than half the shorter side ({most})",
        radius = mm(*radius), most = mm(*most))]
    RadiusTooLarge {
        /// As asked for.
        radius: Length,
        /// Half the shorter side.
        most: Length,
    },
}

/// Messages of the engine speak millimetres; the page shows the field's own unit beside them.
fn mm(length: Length) -> String {
    LengthStyle::Millimetres.show(length)
}

/// The article before what a value is called: `an` edge factor, `a` gauge.
#[must_use]
pub fn article(what: &str) -> &'static str {
    if what.starts_with(['a', 'e', 'i', 'o']) { "an" } else { "a" }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_outside_has_its_article() {
        let said =
            |what| EditError::NumberOutside { what, value: 9.0, least: 0.0, most: 3.0 }.to_string();
        assert_eq!(said("edge factor"), "an edge factor of 9 is outside 0 to 3");
        assert_eq!(said("clearance factor"), "a clearance factor of 9 is outside 0 to 3");
    }
}
