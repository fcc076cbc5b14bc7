//! What the page opens on: a link in the address, the plan of last time, or the sample.

use engine::file::{load, unlink};
use engine::plan::sample;

use crate::panels::Keeper;
use crate::platform::{Shelf, clear_fragment, fragment, on_fragment};
use crate::state::{Action, Notice, Origin, Session, Store, Tone};

/// The first session, and the saved text it was read from.
pub(super) struct Opening {
    /// The session.
    pub(super) session: Session,
    /// The saved form as the shelf holds it, for a plan from the shelf.
    pub(super) known: Option<String>,
}

/// Reads the address once, then the shelf. Whatever is wrong with either is said, and a page opens all the same.
pub(super) fn first_opening() -> Opening {
    let link = fragment();
    if link.is_some() {
        clear_fragment();
    }
    match link.map(|text| unlink(&text)) {
        Some(Ok(plan)) => Opening { session: Session::new(plan, Origin::Link), known: None },
        Some(Err(error)) => {
            let own = own_opening();
            let words = format!("The link was not opened: {error}. This is your own plan.");
            Opening { session: own.session.saying(Tone::Refused, words), ..own }
        }
        None => own_opening(),
    }
}

fn own_opening() -> Opening {
    let sample = || Session::new(sample(), Origin::Sample);
    let Some((id, record)) = Shelf.last().and_then(|id| Shelf.read(&id).map(|r| (id, r))) else {
        return Opening { session: sample(), known: None };
    };
    match load(&record.saved) {
        Ok(plan) => {
            Opening { session: Session::new(plan, Origin::Shelf(id)), known: Some(record.saved) }
        }
        Err(error) => {
            let words = format!(
                "{} does not open and is left as it is in the list of plans: {error}. This is the sample.",
                record.name
            );
            Opening { session: sample().saying(Tone::Refused, words), known: None }
        }
    }
}

/// Opens links that are put into the address of the open page.
pub(super) fn follow_links(store: Store, keeper: Keeper) {
    on_fragment(move || {
        let Some(text) = fragment() else { return };
        clear_fragment();
        match unlink(&text) {
            Ok(plan) => keeper.open_link(plan),
            Err(error) => {
                let words = format!("The link was not opened: {error}. Your plan is as it was.");
                store.dispatch(Action::Say(Some(Notice { tone: Tone::Refused, words })));
            }
        }
    });
}
