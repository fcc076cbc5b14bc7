//! The link of a pull: the address of this page and the pull itself behind it.

use engine::file::link;

use crate::platform::page_address;
use crate::state::Store;

/// The address that opens the pull on the board.
///
/// # Errors
/// Says in a sentence why there is no link.
pub(super) fn whole_link(store: Store) -> Result<String, String> {
    let made = store.peek(|session| link(session.plan(), session.pull));
    made.map(|text| format!("{}#{text}", page_address())).map_err(|error| format!("{error}."))
}
