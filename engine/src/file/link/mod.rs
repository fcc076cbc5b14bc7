//! The link: one pull with all molds of its plan, as text short enough for a message.
//!
//! ```text
//! 1p<base64url without padding (RFC 4648, section 5) of>
//!     2 bytes    n, the length of what follows less 4, little-endian
//!     n bytes    raw deflate (RFC 1951) of the compact form (postcard)
//!     4 bytes    CRC-32 (ISO-HDLC, as in RFC 1952) of those n bytes, little-endian
//! ```
//!
//! `1` is the version, `p` says that a plan follows. The length tells a link that was cut short from one that
//! was damaged. Released: a link of this form opens for ever.

mod compact;
mod error;
mod outline;
mod pack;
mod steps;
mod text;
mod unpack;
mod wire;

pub use error::LinkError;

use super::assemble::{Refusal, assemble};
use crate::edit::EditError;
use crate::plan::{Plan, PullId};

/// `pull` of `plan`, with all molds, the machine, the stock and the settings, as the part of a link after `#`.
///
/// Lengths are rounded to 1 micrometre, corners of outlines to 10, turns to 0.001 degree and factors to 0.001.
/// The same plan always gives the same text, and opening the text and linking again gives it once more.
///
/// # Errors
/// When there is no such pull, when the plan is too large for a link, or when a value on the very limit of what
/// a plan accepts is rounded beyond it. A link that is returned has been opened once.
pub fn link(plan: &Plan, pull: PullId) -> Result<String, LinkError> {
    let compact = compact::Plan::new(plan, pull).ok_or(EditError::NoSuchPull(pull))?;
    let link = text::written(&wire::packed(&compact.to_bytes())?);
    unlink(&link)?;
    Ok(link)
}

/// The plan in `text`: a link, or the part of it after `#`, with what mail and chat programs do to links.
///
/// White space and line breaks within, `%` escapes, and brackets or a full stop round it do no harm.
///
/// # Errors
/// Says whether the link was cut short, damaged, made by a newer version, too large, or no link of Onepull.
/// Needs at most a few megabytes and milliseconds whatever the text.
pub fn unlink(text: &str) -> Result<Plan, LinkError> {
    let bytes = wire::unpacked(&text::read(text)?)?;
    let parts = compact::Plan::from_bytes(&bytes).and_then(compact::Plan::into_parts);
    assemble(parts.ok_or(LinkError::Damaged)?).map_err(|refusal| match refusal {
        Refusal::NoPull => LinkError::Damaged,
        Refusal::Part(_, error) => LinkError::Refused(error),
    })
}
