//! Which panel lies open beside the board, and which mold is being changed.

use engine::plan::MoldId;

use crate::keys::Command;
use crate::reactive::prelude::*;

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
    /// How sheets are cut into blanks.
    Cut,
    /// How the sheet is heated.
    Heat,
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

impl PanelKey {
    /// All panels, in the order of their tabs.
    pub(crate) const ALL: [Self; 13] = [
        Self::Molds,
        Self::Place,
        Self::Arrange,
        Self::Batch,
        Self::Forecast,
        Self::Machine,
        Self::Cut,
        Self::Heat,
        Self::Settings,
        Self::Print,
        Self::Bench,
        Self::Share,
        Self::Plans,
    ];

    /// The word on its tab, and the id that its tab is found by.
    pub(crate) const fn names(self) -> (&'static str, &'static str) {
        match self {
            Self::Molds => ("Molds", "tab-molds"),
            Self::Place => ("Place", "tab-place"),
            Self::Arrange => ("Arrange", "tab-arrange"),
            Self::Batch => ("Batch", "tab-batch"),
            Self::Forecast => ("Forecast", "tab-forecast"),
            Self::Machine => ("Machine", "tab-machine"),
            Self::Cut => ("Cut", "tab-cut"),
            Self::Heat => ("Heat", "tab-heat"),
            Self::Settings => ("Settings", "tab-settings"),
            Self::Print => ("Print", "tab-print"),
            Self::Bench => ("Bench", "tab-bench"),
            Self::Share => ("Share", "tab-share"),
            Self::Plans => ("Plans", "tab-plans"),
        }
    }
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
    /// Whether the search over actions lies over the page.
    pub(crate) search: RwSignal<bool>,
    /// The step of the tour that is shown, from 0.
    pub(crate) tour: RwSignal<Option<usize>>,
    /// What the board is asked to do from elsewhere; the board takes it off again.
    pub(crate) asked: RwSignal<Option<Command>>,
}

/// Lays the desk out and puts it in reach of all panels.
pub(crate) fn provide_desk() -> Desk {
    let desk = Desk {
        panel: RwSignal::new(PanelKey::Molds),
        mold: RwSignal::new(None),
        help: RwSignal::new(false),
        search: RwSignal::new(false),
        tour: RwSignal::new(None),
        asked: RwSignal::new(None),
    };
    provide_context(desk);
    desk
}

/// The desk of the page; a page without one is a bug with this name.
pub(crate) fn use_desk() -> Desk {
    expect_context::<Desk>()
}
