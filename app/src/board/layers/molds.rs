//! The molds where they stand: one group each, which changes only when its own marks do.

use std::collections::BTreeMap;
use std::sync::Arc;

use engine::drawing::{Anchor, Mark, Role};
use engine::geometry::{Point, Rect};
use engine::plan::{MoldId, PlacementId};
use engine::rules::{Severity, Subject};

use super::super::label::{self, Line, Remark};
use super::super::lettered::{Beside, Lettered};
use super::super::pointer::element_id;
use super::super::state::BoardState;
use super::super::viewport::Viewport;
use super::super::words;
use super::findings::shape;
use super::path;
use crate::reactive::prelude::*;
use crate::widgets::Show;

/// All molds on the blank.
#[component]
pub(in super::super) fn Molds(board: BoardState) -> impl IntoView {
    let ids = memo(move |_| {
        board.store.shown().with(|plan| {
            let pull = plan.pulls.get(&board.store.pull().get());
            pull.into_iter().flat_map(|p| p.placements.keys().copied()).collect::<Vec<_>>()
        })
    });
    let troubled = memo(move |_| troubled(board));
    let remarks = memo(move |_| remarks(board));
    let stop = memo(move |_| {
        let focused = board.focused.get();
        ids.with(|ids| focused.filter(|id| ids.contains(id)).or_else(|| ids.first().copied()))
    });
    view! {
        <For each=move || ids.get() key=|id| *id let(id)>
            <Mold board id troubled remarks stop/>
        </For>
    }
}

type Troubled = BTreeMap<PlacementId, Severity>;
type Remarks = BTreeMap<MoldId, Vec<Remark>>;

/// What the rules say of each mold wherever it stands.
fn remarks(board: BoardState) -> Remarks {
    let mut remarks = Remarks::new();
    board.store.findings().with(|findings| {
        for finding in findings.iter().filter(|finding| finding.place.is_none()) {
            for subject in &finding.subjects {
                if let Subject::Mold(id) = *subject {
                    let remark = (finding.severity, words::short(finding.rule));
                    remarks.entry(id).or_default().push(remark);
                }
            }
        }
    });
    remarks
}

/// The worst that the rules say of each mold about where it stands.
fn troubled(board: BoardState) -> Troubled {
    let mut worst = Troubled::new();
    board.store.findings().with(|findings| {
        for finding in findings.iter() {
            for subject in &finding.subjects {
                if let Subject::Placement(id) = *subject {
                    let entry = worst.entry(id).or_insert(finding.severity);
                    *entry = (*entry).max(finding.severity);
                }
            }
        }
    });
    worst
}

/// One mold: outline, centre cross, front arrow and lettering.
#[component]
fn Mold(
    /// The board.
    board: BoardState,
    /// Which mold.
    id: PlacementId,
    /// What the rules say of each mold.
    troubled: Memo<Troubled>,
    /// What the rules say of each mold wherever it stands.
    remarks: Memo<Remarks>,
    /// The one mold that the Tab key stops at.
    stop: Memo<Option<PlacementId>>,
) -> impl IntoView {
    let marks = memo(move |_| {
        board.marks.with(|rows| Arc::new(rows.get(&id).cloned().unwrap_or_default()))
    });
    let data = move |role| marks.with(|marks| path::of_role(marks, role));
    let is_selected = memo(move |_| board.selection.with(|ids| ids.contains(&id)));
    let is_moving = memo(move |_| board.moving.with(|ids| ids.contains(&id)));
    let is_locked = memo(move |_| placement(board, id).is_some_and(|p| p.locked));
    let severity = memo(move |_| troubled.with(|worst| worst.get(&id).copied()));
    let remarks = memo(move |_| {
        let mold = placement(board, id).map(|placement| placement.mold);
        mold.and_then(|mold| remarks.with(|all| all.get(&mold).cloned())).unwrap_or_default()
    });
    let lines = lines(board, marks, remarks);
    let label = spoken(board, id, lines);
    view! {
        <g
            id=element_id(id)
            class="mold"
            class:is-selected=is_selected
            class:is-moving=is_moving
            class:is-locked=is_locked
            class:is-caution=move || severity.get() == Some(Severity::Caution)
            class:is-stop=move || severity.get() == Some(Severity::Stop)
            role="button"
            tabindex=move || if stop.get() == Some(id) { "0" } else { "-1" }
            aria-label=move || label.get()
            aria-pressed=move || if is_selected.get() { "true" } else { "false" }
            data-hit=id.0
            on:focus=move |_| board.focused.set(Some(id))
        >
            <path class="focus-ring-outer" d=move || data(Role::Mold)/>
            <path class="focus-ring-inner" d=move || data(Role::Mold)/>
            <path class="footprint" d=move || data(Role::Mold)/>
            <path class="centre-cross" d=move || data(Role::CentreCross)/>
            <path class="turn-mark" d=move || data(Role::TurnMark)/>
            <Lettering marks lines is_locked/>
        </g>
    }
}

/// What is written on a mold: number, name and height, as far as they fit.
fn lines(
    board: BoardState,
    marks: Memo<Arc<Vec<Mark>>>,
    remarks: Memo<Vec<Remark>>,
) -> Memo<Vec<Line>> {
    let scale = memo(move |_| board.view.with(Viewport::scale));
    memo(move |_| {
        marks.with(|marks| {
            let bounds = bounds(marks, Role::Mold);
            let room = [bounds.width(), bounds.depth()].map(|side| side.to_mm() * scale.get());
            remarks.with(|remarks| label::lines(marks, remarks, room))
        })
    })
}

/// Takes the places of what is written on molds while the map is shown: their numbers and names.
pub(super) fn take_lettering(board: BoardState, scale: f64, lettered: &mut Lettered) {
    let rows = board.marks.get_untracked();
    for marks in rows.values() {
        let bounds = bounds(marks, Role::Mold);
        let room = [bounds.width(), bounds.depth()].map(|side| side.to_mm() * scale);
        for line in label::lines(marks, &[], room).iter().filter(|l| l.class != label::HEIGHT) {
            let (by, size, text) = ((line.x, line.y), line.size(), &line.text);
            let beside = Beside { by, size, anchor: Anchor::Middle, text };
            lettered.take(lettered.line(centre(marks), beside));
        }
    }
}

/// The lettering, and a padlock on what is locked, at the same size however far the view is zoomed.
#[component]
fn Lettering(
    /// The marks of the mold.
    marks: Memo<Arc<Vec<Mark>>>,
    /// What is written on it.
    lines: Memo<Vec<Line>>,
    /// Whether it is locked.
    is_locked: Memo<bool>,
) -> impl IntoView {
    let at = move || marks.with(|marks| centre(marks));
    view! {
        <g transform=move || translate(at())>
            <g class="constant">
                {move || lines.get().into_iter().map(line_view).collect_view()}
                <Show when=move || is_locked.get()>
                    <path class="padlock" d="M18 -18v-3.5a4 4 0 0 1 8 0v3.5M15 -18h14v9h-14z"/>
                </Show>
            </g>
        </g>
    }
}

fn line_view(line: Line) -> impl IntoView {
    let sign = line.sign.map(|(severity, x)| {
        let place = format!("translate({x:.2} {:.2}) scale(0.62)", line.y - 4.5);
        let class = format!("sign-{}", severity.word());
        view! {
            <g class=class transform=place>
                <path class="sign-shape" d=shape(severity)/>
            </g>
        }
    });
    // The space keeps the words of two lines apart for those who read them as text.
    view! {
        {sign}
        <text class=line.class x=line.x y=line.y>{line.text}</text>
        " "
    }
}

/// Where the centre cross is; the marks of a mold always have one.
fn centre(marks: &[Mark]) -> Point {
    bounds(marks, Role::CentreCross).center()
}

fn bounds(marks: &[Mark], role: Role) -> Rect {
    let own = marks.iter().filter(|mark| mark.role == role);
    own.filter_map(|mark| mark.form.bounds()).reduce(Rect::union).unwrap_or_default()
}

fn translate(at: Point) -> String {
    format!("translate({:.3} {:.3})", at.x, at.y)
}

fn placement(board: BoardState, id: PlacementId) -> Option<engine::plan::Placement> {
    board.store.with(|session| session.shown_pull()?.placements.get(&id).copied())
}

/// The mold in words. It keeps what it said while the mold is on the move: nobody could listen that fast.
fn spoken(board: BoardState, id: PlacementId, lines: Memo<Vec<Line>>) -> Memo<String> {
    memo(move |before: Option<&String>| {
        let is_still = board.moving.with(std::collections::BTreeSet::is_empty);
        match before {
            Some(before) if !is_still => before.clone(),
            _ => {
                let seen = lines.with(|lines| label::text(lines));
                board.store.findings().with(|found| {
                    board.store.with(|s| words::mold_label(s.plan(), s.pull, id, found, &seen))
                })
            }
        }
    })
}
