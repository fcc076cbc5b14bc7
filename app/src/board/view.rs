//! The board: the toolbar, the drawing with its layers, and the line that says what was done.

use engine::drawing::Focus;
use leptos::svg;

use super::forecast_bar::ForecastBar;
use super::hands::Hands;
use super::layers::{
    Band, Findings, ForecastLines, ForecastMap, ForecastSigns, Gaps, Ghosts, Guides, Handle,
    Hatching, Machine, Molds, SectionLine, StaleHatching, Zones, contour_lines,
};
use super::pointer::Pointers;
use super::probe::Prober;
use super::state::BoardState;
use super::toolbar::Toolbar;
use super::viewport::Viewport;
use super::words;
use crate::panels::{use_desk, use_forecaster};
use crate::reactive::prelude::*;
use crate::state::use_store;
use crate::widgets::{Show, use_voice};

/// The blank with its molds, to lay them out by hand or by key.
#[component]
pub(crate) fn Board(
    /// What may lie over the drawing for a while, and over nothing else.
    children: Children,
) -> impl IntoView {
    let board = BoardState::new(use_store());
    let hands = Hands::new(board);
    let prober = Prober::new(board);
    use_voice().follow(move || board.said.get());
    let asked = use_desk().asked;
    Effect::new(move |_| {
        if let Some(command) = asked.get() {
            asked.set(None);
            hands.run(command);
        }
    });
    view! {
        <div class="board">
            <Toolbar board hands/>
            <Drawing board hands prober/>
            {children()}
            <ForecastBar prober/>
            <p class="board-status" title=move || board.said.get()>
                {move || board.said.get()}
            </p>
        </div>
    }
}

#[component]
fn Drawing(board: BoardState, hands: Hands, prober: Prober) -> impl IntoView {
    let node = NodeRef::<svg::Svg>::new();
    let pointers = Pointers::new(board, hands, node);
    pointers.watch_size();
    let label = memo(move |_| board.store.with(|s| words::board_label(s.plan(), s.pull)));
    let is_bare = memo(move |_| board.marks.with(std::collections::BTreeMap::is_empty));
    let scale = memo(move |_| board.view.with(Viewport::scale));
    let is_moving = memo(move |_| board.moving.with(|ids| !ids.is_empty()));
    let forecaster = use_forecaster();
    let is_stale = forecaster.is_stale();
    let has_map =
        memo(move |_| forecaster.is_mapped.get() && forecaster.has_told() && !is_stale.get());
    view! {
        <svg
            node_ref=node
            id="board-drawing"
            class="board-drawing"
            class:is-moving=is_moving
            class:is-keyed=board.is_keyed
            class:has-map=has_map
            role="application"
            aria-roledescription="layout"
            aria-label=move || label.get()
            // The molds are the stop for the Tab key; without one it is the board.
            tabindex=move || if is_bare.get() { "0" } else { "-1" }
            style=("--px", move || format!("{}", 1.0 / scale.get()))
            on:mousedown=|event| event.prevent_default()
            on:pointerdown=move |event| {
                pointers.down(&event);
                prober.tap(&event);
            }
            on:pointermove=move |event| {
                pointers.moved(&event);
                prober.hover(&event);
            }
            on:pointerleave=move |_| prober.leave()
            on:pointerup=move |event| pointers.up(&event)
            on:pointercancel=move |_| pointers.cancelled()
            on:wheel=move |event| pointers.wheel(&event)
            on:keydown=move |event| pointers.key_down(&event)
            on:keyup=move |event| pointers.key_up(&event)
            on:focusout=move |event| pointers.blurred(&event)
        >
            <defs>
                <Hatching board/>
                <StaleHatching board/>
            </defs>
            <g transform=move || board.view.get().transform()>
                <Layers board/>
            </g>
        </svg>
    }
}

#[component]
fn Layers(board: BoardState) -> impl IntoView {
    let focus = memo(move |_| {
        let moved = board.moving.get();
        if moved.is_empty() {
            return Vec::new();
        }
        board.store.focus(&Focus { moved })
    });
    let contours = contour_lines();
    view! {
        <Machine board/>
        <ForecastMap/>
        <ForecastLines drawn=contours/>
        <Zones focus/>
        <Molds board/>
        <Ghosts/>
        <Guides board/>
        <Findings board/>
        // While molds are turned, their figures would lie under the handle.
        <Show when=move || !board.is_turning.get()>
            <Gaps focus/>
        </Show>
        <ForecastSigns board drawn=contours/>
        <SectionLine board/>
        <Handle board/>
        <Band board/>
    }
}
