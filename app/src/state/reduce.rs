//! The session after an action: pure, so that it is tested without a page.

use std::collections::BTreeSet;

use engine::edit::{Edit, EditError, History};
use engine::moves;
use engine::plan::PlacementId;

use super::{Action, Session, Tone};

/// The session after `action`.
///
/// A refused edit leaves the plan as it is and says why.
pub(crate) fn reduce(session: &Session, action: Action) -> Session {
    let next = session.clone();
    match action {
        Action::Edit(edit) => edited(next, &edit, History::apply),
        Action::Hand(hand) => moved(next, &hand, History::apply),
        Action::Nudge(hand) if session.is_in_burst => moved(next, &hand, History::amend),
        Action::Nudge(hand) => {
            let before = session.history.clone();
            let after = moved(next, &hand, History::apply);
            Session { is_in_burst: after.history != before, ..after }
        }
        Action::EndBurst => Session { is_in_burst: false, ..next },
        Action::Undo => stepped(next, session.history.undone(), "There is nothing to undo."),
        Action::Redo => stepped(next, session.history.redone(), "There is nothing to redo."),
        Action::Select(ids) => Session { selection: ids, ..next }.settled(),
        Action::Toggle(id) => toggled(next, id).settled(),
        Action::SelectNext { backwards } => neighbour(next, backwards),
        Action::SelectAll => Session { selection: standing(session), ..next },
        Action::ShowPull(pull) => {
            Session { pull, selection: BTreeSet::new(), is_in_burst: false, ..next }.settled()
        }
        Action::Open(opened) => Session::new(opened.plan, opened.origin),
        Action::KeptAs(origin) => Session { origin, ..next },
        Action::Say(notice) => Session { notice, ..next },
    }
}

type Step = fn(&History, &Edit) -> Result<History, EditError>;

fn edited(session: Session, edit: &Edit, step: Step) -> Session {
    match step(&session.history, edit) {
        Ok(history) => {
            let before = standing(&session);
            let mut next =
                Session { history, notice: None, is_in_burst: session.is_in_burst, ..session };
            if matches!(edit, Edit::Place(..)) {
                next.selection = standing(&next).difference(&before).copied().collect();
            }
            next.settled()
        }
        Err(error) => {
            let words = format!("Not changed: {error}.");
            session.saying(Tone::Refused, words)
        }
    }
}

fn moved(session: Session, hand: &moves::Move, step: Step) -> Session {
    match moves::edit(session.plan(), session.pull, &session.selection, hand) {
        Ok(edit) => edited(session, &edit, step),
        Err(error) => session.saying(Tone::Refused, format!("Not changed: {error}.")),
    }
}

fn stepped(session: Session, history: Option<History>, otherwise: &str) -> Session {
    match history {
        Some(history) => Session { history, notice: None, is_in_burst: false, ..session }.settled(),
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
    session.shown_pull().into_iter().flat_map(|pull| pull.placements.keys().copied()).collect()
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
