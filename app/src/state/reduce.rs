//! The session after an action: pure, so that it is tested without a page.

use std::collections::BTreeSet;

use engine::edit::{Edit, EditError, History};
use engine::moves::{self, Move};
use engine::order;
use engine::plan::PlacementId;

use super::{Action, Grip, Session, Tone, locked_words};

/// The session after `action`.
///
/// A refused edit leaves the plan as it is and says why. Anything that the user does but another nudge ends a burst of
/// nudges.
pub(super) fn reduce(session: &Session, action: Action) -> Session {
    // The first nudge of a sample makes it a plan of its own, which is the page's doing.
    let goes_on = matches!(action, Action::Nudge(_) | Action::Say(_) | Action::KeptAs(_));
    let next = Session { is_in_burst: session.is_in_burst && goes_on, ..session.clone() };
    match action {
        Action::Edit(edit) => edited(next, &edit, History::apply),
        Action::Hand(hand) => moved(next, &hand, History::apply),
        Action::Nudge(hand) if session.is_in_burst => moved(next, &hand, History::amend),
        Action::Nudge(hand) => {
            let before = session.history.clone();
            let after = moved(next, &hand, History::apply);
            Session { is_in_burst: after.history != before, ..after }
        }
        Action::EndBurst => next,
        Action::Undo => stepped(next, session.history.undone(), "There is nothing to undo."),
        Action::Redo => stepped(next, session.history.redone(), "There is nothing to redo."),
        Action::Select(ids) => Session { selection: ids, ..next }.settled(),
        Action::Toggle(id) => toggled(next, id).settled(),
        Action::SelectNext { backwards } => neighbour(next, backwards),
        Action::SelectAll => Session { selection: standing(session), ..next },
        Action::ShowPull(pull) => Session { pull, selection: BTreeSet::new(), ..next }.settled(),
        Action::Open(opened) => Session::new(opened.plan, opened.origin),
        Action::Resume(session) => *session,
        Action::KeptAs(origin) => Session { origin, ..next },
        Action::Say(notice) => Session { notice, ..next },
    }
}

type Step = fn(&History, &Edit) -> Result<History, EditError>;

fn edited(session: Session, edit: &Edit, step: Step) -> Session {
    match step(&session.history, edit) {
        Ok(history) => {
            let before = standing(&session);
            let mut next = Session { history, notice: None, ..session };
            if matches!(edit, Edit::Place(..)) {
                next.selection = order::set(standing(&next).difference(&before).copied());
            }
            next.settled()
        }
        Err(error) => session.saying(Tone::Refused, format!("Not changed: {error}.")),
    }
}

/// A hand move of the selection; what is locked is passed over, and spoken of.
fn moved(session: Session, hand: &Move, step: Step) -> Session {
    let Grip { free, locked } = session.grip();
    let is_for_all = matches!(hand, Move::Duplicate | Move::Lock(_)) || locked.is_empty();
    let ids = if is_for_all { &session.selection } else { &free };
    if ids.is_empty() && !locked.is_empty() {
        let words = locked_words(session.plan(), session.pull, &locked);
        return session.saying(Tone::Refused, format!("Not changed: {words}."));
    }
    let next = match moves::edit(session.plan(), session.pull, ids, hand) {
        Ok(edit) => edited(session, &edit, step),
        Err(error) => session.saying(Tone::Refused, format!("Not changed: {error}.")),
    };
    // A refusal says more than what was passed over.
    if is_for_all || next.notice.is_some() {
        return next;
    }
    let words = locked_words(next.plan(), next.pull, &locked);
    next.saying(Tone::Done, format!("The others were moved; {words}."))
}

fn stepped(session: Session, history: Option<History>, otherwise: &str) -> Session {
    match history {
        Some(history) => Session { history, notice: None, ..session }.settled(),
        None => session.saying(Tone::Refused, otherwise),
    }
}

fn toggled(mut session: Session, id: PlacementId) -> Session {
    if !session.selection.remove(&id) {
        session.selection.insert(id);
    }
    session
}

fn standing(session: &Session) -> BTreeSet<PlacementId> {
    let pull = session.shown_pull().into_iter();
    order::set(pull.flat_map(|pull| pull.placements.keys().copied()))
}

fn neighbour(session: Session, backwards: bool) -> Session {
    let all: Vec<PlacementId> = standing(&session).into_iter().collect();
    if all.is_empty() {
        return session;
    }
    let here = session.selection.iter().next().and_then(|id| all.iter().position(|a| a == id));
    let next = match (here, backwards) {
        (None, false) => 0,
        (None, true) => all.len() - 1,
        (Some(at), false) => (at + 1) % all.len(),
        (Some(at), true) => (at + all.len() - 1) % all.len(),
    };
    Session { selection: BTreeSet::from([all[next]]), ..session }
}

#[cfg(test)]
mod tests {
    use engine::geometry::Vec2;
    use engine::plan::sample;

    use super::*;
    use crate::state::{Opened, Origin};

    const STEP: Move = Move::By(Vec2::new(1.0, 0.0));

    fn session(selected: &[u32]) -> Session {
        let start = Session::new(sample(), Origin::Sample);
        reduce(&start, Action::Select(selected.iter().copied().map(PlacementId).collect()))
    }

    fn after(session: &Session, actions: impl IntoIterator<Item = Action>) -> Session {
        actions.into_iter().fold(session.clone(), |session, action| reduce(&session, action))
    }

    fn x(session: &Session, id: u32) -> f64 {
        session.shown_pull().expect("a pull").placements[&PlacementId(id)].pose.at.x
    }

    fn n_undos(session: &Session) -> usize {
        std::iter::successors(session.history.undone(), History::undone).count()
    }

    fn words(session: &Session) -> &str {
        session.notice.as_ref().map_or("", |notice| notice.words.as_str())
    }

    #[test]
    fn a_refused_action_leaves_the_plan_alone_and_says_why() {
        let before = session(&[]);
        let next = reduce(&before, Action::Hand(Move::Centre));
        assert_eq!(next.history, before.history);
        assert_eq!(
            words(&next),
            "Not changed: nothing is selected; select a mold on the board first."
        );
    }

    #[test]
    fn a_burst_of_nudges_is_one_step_to_undo() {
        let before = session(&[1]);
        let next = after(&before, vec![Action::Nudge(STEP); 5]);
        assert!((x(&next, 1) - x(&before, 1) - 5.0).abs() < 1e-9);
        assert_eq!(n_undos(&next), 1);
        assert_eq!(reduce(&next, Action::Undo).plan(), before.plan());
    }

    #[test]
    fn anything_else_ends_a_burst() {
        let between = [
            Action::EndBurst,
            Action::Hand(STEP),
            Action::Toggle(PlacementId(2)),
            Action::SelectAll,
            Action::Edit(Edit::Rename("Rock pool".into())),
        ];
        for action in between {
            let start = session(&[1]);
            let one = after(&start, [Action::Nudge(STEP), action.clone()]);
            let two = reduce(&one, Action::Nudge(STEP));
            assert_eq!(n_undos(&two), n_undos(&one) + 1, "{action:?}");
        }
    }

    #[test]
    fn words_and_where_the_plan_is_kept_do_not_end_a_burst() {
        for between in [Action::Say(None), Action::KeptAs(Origin::Link)] {
            let next = after(&session(&[1]), [Action::Nudge(STEP), between, Action::Nudge(STEP)]);
            assert_eq!(n_undos(&next), 1);
        }
    }

    #[test]
    fn a_nudge_after_undo_is_a_step_of_its_own() {
        let start = session(&[1]);
        let next =
            after(&start, [Action::Nudge(STEP), Action::Undo, Action::Nudge(STEP), Action::Undo]);
        assert_eq!(next.plan(), start.plan());
    }

    #[test]
    fn what_is_locked_stays_and_is_spoken_of() {
        let locked = after(&session(&[1]), [Action::Hand(Move::Lock(true))]);
        let alone = reduce(&locked, Action::Nudge(STEP));
        assert_eq!(alone.history, locked.history);
        assert_eq!(words(&alone), "Not changed: Crab shell is locked, free it first (L).");

        let both = after(&locked, [Action::Toggle(PlacementId(2)), Action::Hand(STEP)]);
        assert!((x(&both, 2) - x(&locked, 2) - 1.0).abs() < 1e-9);
        assert!((x(&both, 1) - x(&locked, 1)).abs() < 1e-9);
        assert_eq!(words(&both), "The others were moved; Crab shell is locked, free it first (L).");
    }

    #[test]
    fn a_duplicate_is_selected_in_place_of_the_original() {
        let one_clam = after(&session(&[6]), [Action::Hand(Move::TakeOff)]);
        assert!(one_clam.selection.is_empty());
        let clam = Action::Select(BTreeSet::from([PlacementId(5)]));
        let two = after(&one_clam, [clam, Action::Hand(Move::Duplicate)]);
        assert_eq!(two.selection, BTreeSet::from([PlacementId(6)]));
    }

    #[test]
    fn the_keyboard_goes_round_all_molds_both_ways() {
        let mut next = session(&[]);
        let mut seen = Vec::new();
        for _ in 0..7 {
            next = reduce(&next, Action::SelectNext { backwards: false });
            seen.extend(next.selection.iter().map(|id| id.0));
        }
        assert_eq!(seen, [1, 2, 3, 4, 5, 6, 1]);
        next = reduce(&next, Action::SelectNext { backwards: true });
        assert_eq!(next.selection, BTreeSet::from([PlacementId(6)]));
    }

    #[test]
    fn undo_keeps_the_selection_among_what_stands() {
        let one_clam = after(&session(&[6]), [Action::Hand(Move::TakeOff)]);
        let clam = Action::Select(BTreeSet::from([PlacementId(5)]));
        let two = after(&one_clam, [clam, Action::Hand(Move::Duplicate), Action::Undo]);
        assert!(two.selection.is_empty());
    }

    #[test]
    fn a_session_that_is_resumed_is_as_it_was_left() {
        let left = after(&session(&[1]), [Action::Hand(STEP)]);
        let opened = Opened { plan: sample(), origin: Origin::Sample };
        let away = reduce(&left, Action::Open(Box::new(opened)));
        assert_ne!(away, left);
        assert_eq!(reduce(&away, Action::Resume(Box::new(left.clone()))), left);
    }

    #[test]
    fn an_opened_plan_starts_a_history_of_its_own() {
        let old = after(&session(&[1]), [Action::Hand(STEP)]);
        let opened = Opened { plan: sample(), origin: Origin::Link };
        let next = reduce(&old, Action::Open(Box::new(opened)));
        assert_eq!((n_undos(&next), next.selection.len()), (0, 0));
        assert_eq!(next.origin, Origin::Link);
    }
}
