//! Which panel lies open beside the board, and which mold is being changed.

use engine::plan::MoldId;
use leptos::prelude::*;

/// A panel beside the board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum PanelKey {
    /// The molds at hand.
    Molds,
    /// What stands where, and the pulls.
    Place,
    /// The arranger.
    Arrange,
    /// The kits, and the pulls for them.
    Batch,
    /// The forecast.
    Forecast,
    /// The machine and the stock.
    Machine,
    /// The rules and the units.
    Settings,
    /// The template.
    Print,
    /// The timer and the log of pulls.
    Bench,
    /// The link.
    Share,
    /// The plans in this browser, and files.
    Plans,
}

/// What lies open; a newtype for the context, cheap to copy.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Desk {
    /// The open panel.
    pub(crate) panel: RwSignal<PanelKey>,
    /// The mold whose form is open.
    pub(crate) mold: RwSignal<Option<MoldId>>,
    /// Whether the help lies over the page.
    pub(crate) help: RwSignal<bool>,
}

/// Lays the desk out and puts it in reach of all panels.
pub(crate) fn provide_desk() -> Desk {
    let desk = Desk {
        panel: RwSignal::new(PanelKey::Molds),
        mold: RwSignal::new(None),
        help: RwSignal::new(false),
    };
    provide_context(desk);
    desk
}

/// The desk of the page; a page without one is a bug with this name.
pub(crate) fn use_desk() -> Desk {
    expect_context::<Desk>()
}
