//! The link: one pull with all molds of its plan, as text short enough for a message.
//!
//! ```text
//! 1p<base64url without padding (RFC 4648, section 5) of>
//!     2 bytes    n, the length of what follows less 4, little-endian
//!     n bytes    raw deflate (RFC 1951) of the compact form (postcard)
//!     4 bytes    CRC-32 (ISO-HDLC, as in RFC 1952) of those n bytes, little-endian
//! ```
//!
//! `1` or `2` is the version, the older wherever it can say the plan; `p` says that a plan follows. The length tells a link that was cut short from one that
//! was damaged. Released: a link of this form opens for ever.

mod compact;
mod error;
mod outline;
mod pack;
mod relief;
mod steps;
mod text;
mod unpack;
mod wire;

pub use error::LinkError;

use super::assemble::{Refusal, assemble};
use crate::edit::EditError;
use crate::plan::{Batch, CuttingHabits, MoldId, Plan, PullId, Relief};
use compact::{Plan2, from_bytes, to_bytes};
use text::Version;

type Plan1 = compact::Plan<compact::Relief>;

/// `pull` of `plan`, with all molds, the machine, the stock and the settings, as the part of a link after `#`.
///
/// Lengths are rounded to 1 micrometre, corners of outlines to 10, turns to 0.001 degree and factors to 0.001, and
/// heights from a mesh come on a coarser grid (see [`coarsened`]). The sheet is that of the pull: whoever opens the link has it
/// as the plan's own. Kits, other sheets and the way of cutting stay behind (see [`keeps_back`]).
/// The same plan always gives the same text, and opening the text and linking again gives it once more.
///
/// # Errors
/// When there is no such pull, when the plan is too large for a link, or when a value on the very limit of what
/// a plan accepts is rounded beyond it. A link that is returned has been opened once.
pub fn link(plan: &Plan, pull: PullId) -> Result<String, LinkError> {
    let (version, bytes) = match Plan1::new(plan, pull) {
        Some(compact) => (Version::One, to_bytes(&compact)),
        None => {
            let compact = Plan2::new(plan, pull).ok_or(EditError::NoSuchPull(pull))?;
            (Version::Two, to_bytes(&compact))
        }
    };
    let link = text::written(version, &wire::packed(&bytes)?);
    unlink(&link)?;
    Ok(link)
}

/// The molds whose heights a link keeps on a coarser grid only; the saved file keeps them as they are.
#[must_use]
pub fn coarsened(plan: &Plan) -> Vec<MoldId> {
    let is_coarser = |relief: &Relief| match relief {
        Relief::Heights(grid) => grid.columns().max(grid.rows()) > relief::MOST_CELLS,
        Relief::FlatTop { .. } | Relief::Stepped { .. } | Relief::Dome | Relief::Taper { .. } => {
            false
        }
    };
    let molds = plan.molds.iter().filter(|(_, mold)| is_coarser(&mold.relief));
    molds.map(|(&id, _)| id).collect()
}

/// Whether the plan has kits, a way of cutting or an order of pulls, which a link leaves out: it hands over a layout, not an order of work.
#[must_use]
pub fn keeps_back(plan: &Plan) -> bool {
    *plan.batch != Batch::default()
        || *plan.cutting != CuttingHabits::default()
        || !plan.order.is_empty()
}

/// The plan in `text`: a link, or the part of it after `#`, with what mail and chat programs do to links.
///
/// White space and line breaks within, `%` escapes, and brackets or a full stop round it do no harm.
///
/// # Errors
/// Says whether the link was cut short, damaged, made by a newer version, too large, or no link of Onepull.
/// Needs at most a few megabytes and milliseconds whatever the text.
pub fn unlink(text: &str) -> Result<Plan, LinkError> {
    let (version, wire) = text::read(text)?;
    let bytes = wire::unpacked(&wire)?;
    let parts = match version {
        Version::One => from_bytes::<Plan1>(&bytes).and_then(Plan1::into_parts),
        Version::Two => from_bytes::<Plan2>(&bytes).and_then(Plan2::into_parts),
    };
    assemble(parts.ok_or(LinkError::Damaged)?).map_err(|refusal| match refusal {
        Refusal::NoPull => LinkError::Damaged,
        Refusal::Part(_, error) => LinkError::Refused(error),
    })
}
