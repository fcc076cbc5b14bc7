//! Carries out what gestures and commands ask for: shows, drops, selects, moves the view, and says what was done.

use std::collections::BTreeSet;
use std::sync::Arc;
use std::time::Duration;

use engine::moves::Move;
use engine::order;
use engine::plan::PlacementId;
use engine::units::Length;

use super::gesture::{Effect as Wish, Gesture, Input, Seen, step};
use super::hand::{Hold, Offer};
use super::state::BoardState;
use super::viewport::Viewport;
use super::words;
use crate::keys::Command;
use crate::panels::{Arranger, Desk, PanelKey, use_arranger, use_desk};
use crate::platform::focus;
use crate::reactive::prelude::*;
use crate::state::{Action, Notice, Session, Tone, locked_words};

/// How near a drag must come before it snaps.
const SNAP_PX: f64 = 7.0;
/// How much larger one step of the zoom is.
const ZOOM_STEP: f64 = 1.25;
/// Nudges within this time of each other are one step to undo, and are spoken of once.
const BURST: Duration = Duration::from_millis(500);

/// The gesture in progress and what it holds; cheap to copy.
#[derive(Clone, Copy)]
pub(super) struct Hands {
    board: BoardState,
    gesture: StoredValue<Gesture>,
    hold: StoredValue<Option<Hold>>,
    burst: StoredValue<Option<TimeoutHandle>>,
    desk: Desk,
    arranger: Arranger,
}

impl Hands {
    /// Hands that do nothing yet.
    pub(super) fn new(board: BoardState) -> Self {
        Self {
            board,
            gesture: StoredValue::new(Gesture::Idle),
            hold: StoredValue::new(None),
            burst: StoredValue::new(None),
            desk: use_desk(),
            arranger: use_arranger(),
        }
    }

    /// True while a gesture is going on.
    pub(super) fn is_busy(self) -> bool {
        self.gesture.with_value(Gesture::is_busy)
    }

    /// Takes one input of the pointer, and does what comes of it.
    pub(super) fn feed(self, input: Input) {
        if matches!(input, Input::Press(_)) {
            self.end_burst();
        }
        let before = self.gesture.get_value();
        let pivot = self.board.pivot();
        let (gesture, wishes) = self.board.store.peek(|session| {
            let centres = session.shown_pull().into_iter().flat_map(|pull| &pull.placements);
            let seen = Seen {
                view: self.board.view.get_untracked(),
                selection: &session.selection,
                centres: &order::map(centres.map(|(id, placement)| (*id, placement.pose.at))),
                pivot,
            };
            step(before, input, &seen)
        });
        self.gesture.set_value(gesture);
        for wish in wishes {
            self.carry_out(wish);
        }
    }

    fn carry_out(self, wish: Wish) {
        let board = self.board;
        match wish {
            Wish::Select(ids) => board.store.dispatch(Action::Select(ids)),
            Wish::Toggle(id) => board.store.dispatch(Action::Toggle(id)),
            Wish::Drag { by, is_free } => {
                let px = SNAP_PX / board.view.with_untracked(Viewport::scale);
                let is_snapping = board.is_snapping.get_untracked() && !is_free;
                let reach = is_snapping.then_some(Length::mm(px));
                self.show(|hold| hold.dragged(by, reach));
            }
            Wish::Turn { by, is_free } => {
                board.is_turning.set(true);
                self.show(|hold| hold.turned(by, is_free));
            }
            Wish::Drop => self.drop(),
            Wish::Cancel => {
                let _ = self.let_go();
            }
            Wish::Band(band) => board.band.set(band),
            Wish::View(view) => board.view.set(view),
        }
    }

    /// Shows what the hand would do; what is locked is spoken of once.
    fn show(self, offer: impl FnOnce(&Hold) -> Option<Offer>) {
        if self.hold.with_value(Option::is_none) {
            self.take_hold();
        }
        let offer = self.hold.with_value(|hold| hold.as_ref().and_then(offer));
        if let Some(Offer { edit, guides }) = offer {
            self.board.store.preview(Some(edit));
            self.board.guides.set(guides);
        }
    }

    fn take_hold(self) {
        self.arranger.give_way();
        let store = self.board.store;
        let (hold, locked) = store.peek(|session| {
            let locked = session.grip().locked;
            let words = locked_words(session.plan(), session.pull, &locked);
            (Hold::new(session), (!locked.is_empty()).then_some(words))
        });
        if let Some(words) = locked {
            self.refuse(format!("{}.", capital(&words)));
        }
        self.board.moving.set(hold.free().clone());
        self.hold.set_value(Some(hold));
    }

    /// What is shown becomes an edit: the only step to undo of the whole gesture.
    fn drop(self) {
        let moved = self.board.moving.get_untracked();
        if let Some(edit) = self.let_go() {
            let before = self.board.store.peek(|session| Arc::clone(session.plan()));
            self.board.store.dispatch(Action::Edit(edit));
            if self.board.store.peek(|session| !Arc::ptr_eq(session.plan(), &before)) {
                self.say_moved(&moved);
            }
        }
    }

    /// Forgets the hold and what is shown, and gives back the edit that was shown.
    fn let_go(self) -> Option<engine::edit::Edit> {
        self.hold.set_value(None);
        self.board.moving.update(BTreeSet::clear);
        self.board.is_turning.set(false);
        self.board.guides.update(Vec::clear);
        self.board.store.take_preview()
    }

    /// Says in the line under the board what was done.
    fn say(self, words: String) {
        self.board.said.set(words);
    }

    fn refuse(self, words: String) {
        self.board.store.dispatch(Action::Say(Some(Notice { tone: Tone::Refused, words })));
    }

    fn say_moved(self, ids: &BTreeSet<PlacementId>) {
        let findings = self.board.store.findings().get_untracked();
        let words = self
            .board
            .store
            .peek(|session| words::moved_words(session.plan(), session.pull, ids, &findings));
        self.say(words);
    }

    /// Does what a key or a button asks for; nothing but Escape while a gesture goes on.
    pub(super) fn run(self, command: Command) {
        let board = self.board;
        match command {
            Command::Escape if self.is_busy() => self.feed(Input::Abort),
            _ if self.is_busy() => {}
            Command::Hand(hand) => self.hand(hand),
            Command::Nudge(hand) => self.nudge(hand),
            Command::Lock => {
                let is_free = board.store.peek(|session| !session.grip().free.is_empty());
                self.hand(Move::Lock(is_free));
            }
            Command::Undo => self.step(Action::Undo, "One step back."),
            Command::Redo => self.step(Action::Redo, "One step forward again."),
            Command::Next => self.select_next(false),
            Command::Previous => self.select_next(true),
            Command::PassOn => self.pass(false),
            Command::PassBack => self.pass(true),
            Command::Pick => {
                if let Some(id) = board.focused.get_untracked() {
                    self.after_burst(Action::Toggle(id));
                }
            }
            Command::SelectAll => self.after_burst(Action::SelectAll),
            Command::Escape => self.after_burst(Action::Select(BTreeSet::new())),
            Command::ZoomIn => self.zoom(ZOOM_STEP),
            Command::ZoomOut => self.zoom(1.0 / ZOOM_STEP),
            Command::Fit => board.view.update(|view| *view = view.fitted()),
            Command::Snap => board.is_snapping.update(|on| *on = !*on),
            Command::Several => board.is_adding.update(|on| *on = !*on),
            Command::Arrange => {
                self.desk.panel.set(PanelKey::Arrange);
                focus("tab-arrange");
            }
            Command::Help => self.desk.help.set(true),
        }
    }

    /// Zooms about the middle of the board.
    fn zoom(self, factor: f64) {
        self.board.view.update(|view| *view = view.zoomed(view.middle(), factor));
    }

    fn after_burst(self, action: Action) {
        self.end_burst();
        self.board.store.dispatch(action);
    }

    fn step(self, action: Action, words: &str) {
        let before = self.board.store.peek(|session| Arc::clone(session.plan()));
        self.after_burst(action);
        if self.board.store.peek(|session| !Arc::ptr_eq(session.plan(), &before)) {
            self.say(words.to_owned());
        }
    }

    fn hand(self, hand: Move) {
        self.arranger.give_way();
        self.end_burst();
        let before = self.board.store.peek(Session::clone);
        self.board.store.dispatch(Action::Hand(hand));
        let findings = self.board.store.findings().get_untracked();
        let words = self.board.store.peek(|after| words::done(&before, after, hand, &findings));
        if let Some(words) = words {
            self.say(words);
        }
    }

    fn nudge(self, hand: Move) {
        self.arranger.give_way();
        self.board.store.dispatch(Action::Nudge(hand));
        let (is_going_on, free) = self.board.store.peek(|s| (s.is_in_burst, s.grip().free));
        if !is_going_on {
            return;
        }
        self.board.moving.set(free);
        let timer = set_timeout_with_handle(move || self.end_burst(), BURST);
        self.stop_timer();
        self.burst.set_value(timer.ok());
    }

    /// Ends a burst of nudges, if there is one, and says where it led.
    fn end_burst(self) {
        self.stop_timer();
        let moved = self.board.moving.get_untracked();
        if moved.is_empty() || self.is_busy() {
            return;
        }
        self.board.moving.update(BTreeSet::clear);
        // Something outside the board may have ended it already.
        if self.board.store.peek(|session| session.is_in_burst) {
            self.board.store.dispatch(Action::EndBurst);
            self.say_moved(&moved);
        }
    }

    fn stop_timer(self) {
        if let Some(timer) = self.burst.try_update_value(Option::take).flatten() {
            timer.clear();
        }
    }

    fn select_next(self, backwards: bool) {
        self.after_burst(Action::SelectNext { backwards });
        let id = self.board.store.peek(|session| session.selection.first().copied());
        self.board.focused.set(id);
    }

    /// To the next mold in the order of the ids, leaving the selection.
    fn pass(self, backwards: bool) {
        let all: Vec<PlacementId> = self.standing();
        let here = self.board.focused.get_untracked();
        let at = here.and_then(|id| all.iter().position(|other| *other == id));
        let next = match (at, backwards) {
            (None, _) => all.first(),
            (Some(at), false) => all.get(at + 1).or_else(|| all.first()),
            (Some(0), true) => all.last(),
            (Some(at), true) => all.get(at - 1),
        };
        self.board.focused.set(next.copied());
    }

    /// With nothing selected a key means the mold that it is pressed on.
    pub(super) fn take_focused(self, command: Command) {
        let is_for_molds = matches!(command, Command::Hand(_) | Command::Nudge(_) | Command::Lock);
        let is_bare = self.board.store.peek(|session| session.selection.is_empty());
        if let (true, Some(id)) = (is_for_molds && is_bare, self.board.focused.get_untracked()) {
            self.board.store.dispatch(Action::Select(BTreeSet::from([id])));
        }
    }

    /// The mold for the keyboard to be at once the one it was at is gone: the next that stands, or the last.
    pub(super) fn keep_focus(self) {
        let all = self.standing();
        let here = self.board.focused.get_untracked();
        if here.is_some_and(|id| !all.contains(&id)) {
            let next = all.iter().find(|id| here.is_some_and(|here| **id > here));
            self.board.focused.set(next.or_else(|| all.last()).copied());
        }
    }

    fn standing(self) -> Vec<PlacementId> {
        self.board.store.peek(|session| {
            let pull = session.shown_pull();
            pull.into_iter().flat_map(|pull| pull.placements.keys().copied()).collect()
        })
    }
}

/// The words with a capital first letter.
fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}
