//! Why a template was refused: data first, words in `Display`.

use crate::plan::PullId;
use crate::stock::StockError;
use crate::units::{Length, LengthStyle};

/// Why a template was refused.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum TemplateError {
    /// No pull has this id.
    #[error("there is no {0} in this plan")]
    NoSuchPull(PullId),
    /// A setting outside its range.
    #[error("the {what} of {value} is outside {least} to {most}",
        value = mm(*value), least = mm(*least), most = mm(*most))]
    LengthOutside {
        /// Which setting.
        what: &'static str,
        /// As asked for.
        value: Length,
        /// The smallest accepted.
        least: Length,
        /// The largest accepted.
        most: Length,
    },
    /// A printed bar that measures what no printer makes of it at full size.
    #[error("the bar {bar} measures {measured} where {printed} was printed, outside {least} to {most} that is corrected; \
        print at 100 % (actual size) and measure again",
        measured = mm(*measured), printed = mm(*printed), least = mm(*least), most = mm(*most))]
    BarOutside {
        /// Which bar.
        bar: &'static str,
        /// What it measures.
        measured: Length,
        /// What it should measure.
        printed: Length,
        /// The shortest accepted.
        least: Length,
        /// The longest accepted.
        most: Length,
    },
    /// More sheets than anybody tapes together.
    #[error(
        "this blank takes {pages} sheets, more than the {most} of a template; choose one large sheet"
    )]
    TooManyPages {
        /// How many it takes.
        pages: usize,
        /// The most a template has.
        most: usize,
    },
    /// The sheet was not cut up.
    #[error(transparent)]
    Stock(#[from] StockError),
    /// A page larger than a PDF viewer opens.
    #[error("one sheet of {width} x {height} is larger than the {most} that a PDF page may have; choose A4 or Letter",
        width = mm(*width), height = mm(*height), most = mm(*most))]
    PageTooLarge {
        /// Left to right.
        width: Length,
        /// Bottom to top.
        height: Length,
        /// The longest side.
        most: Length,
    },
}

/// Messages of the engine speak millimetres; the page shows the field's own unit beside them.
fn mm(length: Length) -> String {
    LengthStyle::Millimetres.show(length)
}
