//! The molds where they stand: one group each, which changes only when its own marks do.

use std::collections::BTreeMap;
use std::sync::Arc;

use engine::drawing::{Mark, Role};
use engine::geometry::{Point, Rect};
use engine::plan::PlacementId;
use engine::rules::{Severity, Subject};
use leptos::prelude::*;

use super::super::label;
use super::super::pointer::element_id;
use super::super::state::BoardState;
use super::super::viewport::Viewport;
use super::super::words;
use super::path;

/// All molds on the blank.
#[component]
pub(in super::super) fn Molds(board: BoardState) -> impl IntoView {
    let ids = Memo::new(move |_| {
        board.store.shown().with(|plan| {
            let pull = plan.pulls.get(&board.store.pull().get());
            pull.into_iter().flat_map(|p| p.placements.keys().copied()).collect::<Vec<_>>()
        })
    });
    let troubled = Memo::new(move |_| troubled(board));
    let stop = Memo::new(move |_| {
        let focused = board.focused.get();
        ids.with(|ids| focused.filter(|id| ids.contains(id)).or_else(|| ids.first().copied()))
    });
    view! {
        <For each=move || ids.get() key=|id| *id let(id)>
            <Mold board id troubled stop/>
        </For>
    }
}

type Troubled = BTreeMap<PlacementId, Severity>;

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
    /// The one mold that the Tab key stops at.
    stop: Memo<Option<PlacementId>>,
) -> impl IntoView {
    let marks = Memo::new(move |_| {
        board.marks.with(|rows| Arc::new(rows.get(&id).cloned().unwrap_or_default()))
    });
    let data = move |role| marks.with(|marks| path::of_role(marks, role));
    let is_selected = Memo::new(move |_| board.selection.with(|ids| ids.contains(&id)));
    let is_moving = Memo::new(move |_| board.moving.with(|ids| ids.contains(&id)));
    let is_locked = Memo::new(move |_| placement(board, id).is_some_and(|p| p.locked));
    let severity = Memo::new(move |_| troubled.with(|worst| worst.get(&id).copied()));
    let label = label(board, id);
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
            <Lettering board marks is_locked/>
        </g>
    }
}

/// Number, name and height, and a padlock on what is locked, at the same size however far the view is zoomed.
#[component]
fn Lettering(
    /// The board.
    board: BoardState,
    /// The marks of the mold.
    marks: Memo<Arc<Vec<Mark>>>,
    /// Whether it is locked.
    is_locked: Memo<bool>,
) -> impl IntoView {
    let scale = Memo::new(move |_| board.view.with(Viewport::scale));
    let bounds = Memo::new(move |_| marks.with(|marks| footprint_bounds(marks)));
    let at = move || bounds.with(|b| b.map_or(Point::ORIGIN, Rect::center));
    let lines = Memo::new(move |_| {
        let (bounds, scale) = (bounds.get().unwrap_or_default(), scale.get());
        let room = [bounds.width(), bounds.depth()].map(|side| side.to_mm() * scale);
        marks.with(|marks| label::lines(marks, room))
    });
    view! {
        <g transform=move || translate(at())>
            <g class="constant">
                {move || {
                    lines
                        .get()
                        .into_iter()
                        .map(|line| view! { <text class=line.class y=line.y>{line.text}</text> })
                        .collect_view()
                }}
                <Show when=move || is_locked.get()>
                    <path class="padlock" d="M-14 -40v-4a4 4 0 0 1 8 0v4M-17 -40h14v10h-14z"/>
                </Show>
            </g>
        </g>
    }
}

fn footprint_bounds(marks: &[Mark]) -> Option<Rect> {
    let footprints = marks.iter().filter(|mark| mark.role == Role::Mold);
    footprints.filter_map(|mark| mark.form.bounds()).reduce(Rect::union)
}

fn translate(at: Point) -> String {
    format!("translate({:.3} {:.3})", at.x, at.y)
}

fn placement(board: BoardState, id: PlacementId) -> Option<engine::plan::Placement> {
    board.store.with(|session| session.shown_pull()?.placements.get(&id).copied())
}

/// The mold in words. It keeps what it said while the mold is on the move: nobody could listen that fast.
fn label(board: BoardState, id: PlacementId) -> Memo<String> {
    Memo::new(move |before: Option<&String>| {
        let is_still = board.moving.with(std::collections::BTreeSet::is_empty);
        match before {
            Some(before) if !is_still => before.clone(),
            _ => board.store.findings().with(|findings| {
                board.store.with(|s| words::mold_label(s.plan(), s.pull, id, findings))
            }),
        }
    })
}
