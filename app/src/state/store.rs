//! The one writable signal, and the narrow handles the page reads it by.

use std::sync::Arc;

use engine::drawing::{Drawing, Focus, Mark, ReadyOutlines, draw_focus_with};
use engine::edit::Edit;
use engine::plan::{Plan, PullId};
use engine::rules::{Finding, ReadyMolds};

use super::{Action, Session, derived, reduce};
use crate::reactive::prelude::*;

/// The session and what is derived from it; a newtype for the context, cheap to copy.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Store {
    session: RwSignal<Session>,
    offer: RwSignal<Option<Edit>>,
    preview: RwSignal<Option<Edit>>,
    pull: Memo<PullId>,
    shown: Memo<Arc<Plan>>,
    findings: Memo<Arc<Vec<Finding>>>,
    outlines: StoredValue<ReadyOutlines>,
    drawing: Memo<Arc<Drawing>>,
}

impl Store {
    /// A store on `session`.
    pub(crate) fn new(session: Session) -> Self {
        let session = RwSignal::new(session);
        let offer = RwSignal::new(None);
        let preview = RwSignal::new(None);
        let offered = memo(move |_| {
            session.with(|s| {
                offer.with(|edit: &Option<Edit>| derived::shown_plan(s.plan(), edit.as_ref()))
            })
        });
        let shown = memo(move |_| {
            offered.with(|plan| preview.with(|p| derived::shown_plan(plan, p.as_ref())))
        });
        let pull = memo(move |_| session.with(|s| s.pull));
        // What is known of the molds is kept from one check to the next, so that a drag pays for what moves.
        let ready = StoredValue::new(ReadyMolds::default());
        let findings = memo(move |_| {
            shown.with(|plan| {
                ready.update_value(|ready| *ready = ready.renewed(plan));
                ready.with_value(|ready| derived::findings(plan, pull.get(), ready))
            })
        });
        let outlines = StoredValue::new(ReadyOutlines::default());
        let drawing = memo(move |_| {
            shown.with(|plan| {
                outlines.update_value(|ready| *ready = ready.renewed(plan));
                findings.with(|found| {
                    outlines.with_value(|ready| derived::drawing(plan, pull.get(), found, ready))
                })
            })
        });
        Self { session, offer, preview, pull, shown, findings, outlines, drawing }
    }

    /// The only writer: the session becomes what `reduce` says.
    pub(crate) fn dispatch(self, action: Action) {
        self.session.update(|session| *session = reduce(session, action));
    }

    /// Shows what `edit` would do without doing it; `None` shows the plan as it is.
    pub(crate) fn preview(self, edit: Option<Edit>) {
        self.preview.set(edit);
    }

    /// Shows what somebody offers in place of the plan as it is, under whatever a hand previews.
    pub(crate) fn offer(self, edit: Option<Edit>) {
        if self.offer.with_untracked(|before| *before != edit) {
            self.offer.set(edit);
        }
    }

    /// Shows the plan as it is again, and gives back the edit that was previewed.
    pub(crate) fn take_preview(self) -> Option<Edit> {
        let preview = self.preview.get_untracked();
        if preview.is_some() {
            self.preview.set(None);
        }
        preview
    }

    /// True while something is shown that is not done yet, as in a drag.
    pub(crate) fn is_previewing(self) -> bool {
        self.preview.with(Option::is_some)
    }

    /// Reads the session, tracking it.
    pub(crate) fn with<T>(self, read: impl FnOnce(&Session) -> T) -> T {
        self.session.with(read)
    }

    /// Reads the session without tracking it, for event handlers.
    pub(crate) fn peek<T>(self, read: impl FnOnce(&Session) -> T) -> T {
        self.session.with_untracked(read)
    }

    /// Which pull is on the board.
    pub(crate) const fn pull(self) -> Memo<PullId> {
        self.pull
    }

    /// The plan as shown: with what is offered, and with the preview while something is dragged.
    pub(crate) const fn shown(self) -> Memo<Arc<Plan>> {
        self.shown
    }

    /// What the rules say about the pull as shown.
    pub(crate) const fn findings(self) -> Memo<Arc<Vec<Finding>>> {
        self.findings
    }

    /// What is drawn of molds that are on the move, as shown.
    pub(crate) fn focus(self, focus: &Focus) -> Vec<Mark> {
        let pull = self.pull.get();
        self.shown.with(|plan| {
            self.outlines.with_value(|ready| draw_focus_with(plan, pull, focus, ready))
        })
    }

    /// The pull as shown, drawn.
    pub(crate) const fn drawing(self) -> Memo<Arc<Drawing>> {
        self.drawing
    }
}

/// The store of the page; a page without one is a bug with this name.
pub(crate) fn use_store() -> Store {
    expect_context::<Store>()
}
