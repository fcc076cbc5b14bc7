//! What only the board knows: its view, what a hand is doing, and which mold has the focus.

use std::collections::{BTreeMap, BTreeSet};

use engine::drawing::{Mark, Role};
use engine::geometry::{Point, Rect};
use engine::moves::Guide;
use engine::plan::PlacementId;
use engine::rules::Subject;

use super::viewport::Viewport;
use crate::reactive::prelude::*;
use crate::state::Store;

/// The board's own signals; cheap to copy.
#[derive(Clone, Copy)]
pub(super) struct BoardState {
    /// The session.
    pub(super) store: Store,
    /// What part of the blank is seen.
    pub(super) view: RwSignal<Viewport>,
    /// What a hand is moving at this moment.
    pub(super) moving: RwSignal<BTreeSet<PlacementId>>,
    /// Whether a hand turns it by its handle.
    pub(super) is_turning: RwSignal<bool>,
    /// The band over the ground.
    pub(super) band: RwSignal<Option<Rect>>,
    /// What the drag snapped to.
    pub(super) guides: RwSignal<Vec<Guide>>,
    /// Whether drags snap.
    pub(super) is_snapping: RwSignal<bool>,
    /// Whether a press adds to the selection, for fingers that cannot hold Shift.
    pub(super) is_adding: RwSignal<bool>,
    /// The mold that the keyboard is at; the focus itself may be elsewhere.
    pub(super) focused: RwSignal<Option<PlacementId>>,
    /// Whether the keyboard is in use, so that the focus must be seen.
    pub(super) is_keyed: RwSignal<bool>,
    /// What was done last, in words.
    pub(super) said: RwSignal<String>,
    /// What is selected.
    pub(super) selection: Memo<BTreeSet<PlacementId>>,
    /// The marks of each placed mold, in drawing order.
    pub(super) marks: Memo<BTreeMap<PlacementId, Vec<Mark>>>,
}

impl BoardState {
    /// A board that shows all of the blank.
    pub(super) fn new(store: Store) -> Self {
        let blank = move || store.shown().with(|plan| plan.machine.blank.rect());
        let view = RwSignal::new(Viewport::new(untrack(blank)));
        let drawing = store.drawing();
        Effect::watch(blank, move |blank, _, _| view.update(|v| *v = v.showing(*blank)), false);
        Self {
            store,
            view,
            moving: RwSignal::default(),
            is_turning: RwSignal::new(false),
            is_keyed: RwSignal::new(true),
            band: RwSignal::default(),
            guides: RwSignal::default(),
            is_snapping: RwSignal::new(true),
            is_adding: RwSignal::new(false),
            focused: RwSignal::new(None),
            said: RwSignal::default(),
            selection: memo(move |_| store.with(|session| session.selection.clone())),
            marks: memo(move |_| drawing.with(|drawing| by_placement(&drawing.marks))),
        }
    }

    /// What the selection turns about: one mold's own centre, or the middle of the bounds of several.
    pub(super) fn pivot(self) -> Option<Point> {
        let one =
            self.store.peek(|session| match session.selection.iter().collect::<Vec<_>>()[..] {
                [id] => session.shown_pull().and_then(|p| p.placements.get(id)).map(|p| p.pose.at),
                _ => None,
            });
        one.or_else(|| untrack(move || self.selected_bounds()).map(Rect::center))
    }

    /// The smallest upright rectangle round the footprints of what is selected.
    pub(super) fn selected_bounds(self) -> Option<Rect> {
        self.marks.with(|marks| {
            self.selection.with(|ids| {
                let own = ids.iter().filter_map(|id| marks.get(id)).flatten();
                let footprints = own.filter(|mark| mark.role == Role::Mold);
                footprints.filter_map(|mark| mark.form.bounds()).reduce(Rect::union)
            })
        })
    }
}

/// The marks of each placed mold, without what the rules say about it.
fn by_placement(marks: &[Mark]) -> BTreeMap<PlacementId, Vec<Mark>> {
    let mut rows: BTreeMap<PlacementId, Vec<Mark>> = BTreeMap::new();
    for mark in marks {
        match (mark.subject, mark.role) {
            (_, Role::FindingMark(_)) => {}
            (Some(Subject::Placement(id)), _) => rows.entry(id).or_default().push(mark.clone()),
            _ => {}
        }
    }
    rows
}
