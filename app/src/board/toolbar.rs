//! The buttons over the board: each does what a key does, and is named for a finger and for a screen reader.

use engine::moves::{Align, Along, Move};
use engine::units::Angle;
use leptos::ev::KeyboardEvent;
use leptos::html;

use super::hands::Hands;
use super::icons::{self, Icon};
use super::state::BoardState;
use crate::keys::Command;
use crate::reactive::prelude::*;

/// One button.
#[derive(Clone, Copy, Debug)]
struct Tool {
    command: Command,
    /// What it does, in a few words.
    label: &'static str,
    /// The key that does the same; empty without one.
    key: &'static str,
    icon: &'static str,
    needs: Needs,
}

/// What a button needs before it can do anything. Without it the button still says why it does not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Needs {
    Nothing,
    /// So many selected molds.
    Selected(usize),
}

const fn tool(
    command: Command,
    label: &'static str,
    key: &'static str,
    icon: &'static str,
) -> Tool {
    Tool { command, label, key, icon, needs: Needs::Nothing }
}

const fn hand(hand: Move, label: &'static str, key: &'static str, icon: &'static str) -> Tool {
    Tool { command: Command::Hand(hand), label, key, icon, needs: Needs::Selected(1) }
}

const fn align(align: Align, label: &'static str, icon: &'static str) -> Tool {
    hand(Move::Align(align), label, "", icon)
}

const fn turn(degrees: f64, label: &'static str, key: &'static str, icon: &'static str) -> Tool {
    hand(Move::Turn(Angle::degrees(degrees)), label, key, icon)
}

const fn spread(along: Along, label: &'static str, icon: &'static str) -> Tool {
    Tool { needs: Needs::Selected(3), ..hand(Move::Spread(along), label, "", icon) }
}

/// The buttons, in groups.
const GROUPS: &[(&str, &[Tool])] = &[
    (
        "Turn",
        &[
            turn(15.0, "Turn left by 15\u{b0}", "[", icons::TURN_LEFT),
            turn(-15.0, "Turn right by 15\u{b0}", "]", icons::TURN_RIGHT),
            turn(90.0, "Turn left by a quarter", "", icons::QUARTER),
        ],
    ),
    (
        "Align",
        &[
            align(Align::Left, "Align left edges", icons::ALIGN_LEFT),
            align(Align::Middle, "Align middles, left to right", icons::ALIGN_MIDDLE),
            align(Align::Right, "Align right edges", icons::ALIGN_RIGHT),
            align(Align::Back, "Align far edges", icons::ALIGN_BACK),
            align(Align::Center, "Align middles, front to back", icons::ALIGN_CENTER),
            align(Align::Front, "Align near edges", icons::ALIGN_FRONT),
            spread(Along::Width, "Equal gaps, left to right", icons::SPREAD_WIDTH),
            spread(Along::Depth, "Equal gaps, front to back", icons::SPREAD_DEPTH),
            hand(Move::Centre, "To the middle of the opening", "", icons::CENTRE),
        ],
    ),
    (
        "Mold",
        &[
            hand(Move::Duplicate, "Stand another copy beside it", "D", icons::DUPLICATE),
            Tool {
                needs: Needs::Selected(1),
                ..tool(Command::Lock, "Lock or free", "L", icons::LOCK)
            },
            hand(Move::TakeOff, "Take off the blank", "Delete", icons::TAKE_OFF),
        ],
    ),
    ("Layout", &[tool(Command::Arrange, "Arrange", "A", icons::ARRANGE)]),
    (
        "View",
        &[
            tool(Command::ZoomOut, "Smaller", "-", icons::ZOOM_OUT),
            tool(Command::ZoomIn, "Larger", "+", icons::ZOOM_IN),
            tool(Command::Fit, "Show the whole blank", "0", icons::FIT),
        ],
    ),
    (
        "Hand",
        &[
            tool(Command::Snap, "Snap", "S", icons::SNAP),
            tool(Command::Several, "Select several", "", icons::SEVERAL),
        ],
    ),
];

/// What each button does and what it is called, in their order.
pub(crate) fn tools() -> impl Iterator<Item = (Command, &'static str)> {
    GROUPS.iter().flat_map(|(_, tools)| tools.iter().map(|tool| (tool.command, tool.label)))
}

/// All buttons; one stop on the way through the page, left and right arrows go along it.
#[component]
pub(super) fn Toolbar(board: BoardState, hands: Hands) -> impl IntoView {
    let stop = RwSignal::new(0_usize);
    let n_tools: usize = GROUPS.iter().map(|(_, tools)| tools.len()).sum();
    let along = move |event: KeyboardEvent| {
        let next = match event.key().as_str() {
            "ArrowRight" => stop.get_untracked() + 1,
            "ArrowLeft" => stop.get_untracked() + n_tools - 1,
            "Home" => 0,
            "End" => n_tools - 1,
            _ => return,
        };
        event.prevent_default();
        stop.set(next % n_tools);
    };
    let mut nth = 0..;
    let groups = GROUPS
        .iter()
        .map(|(name, tools)| {
            let buttons = tools
                .iter()
                .map(|&tool| {
                    let nth = nth.next().unwrap_or_default();
                    view! { <ToolButton board hands tool nth stop/> }
                })
                .collect_view();
            view! { <div class="tool-group" role="group" aria-label=*name>{buttons}</div> }
        })
        .collect_view();
    view! {
        <div class="board-tools" role="toolbar" aria-label="Board tools" on:keydown=along>
            {groups}
        </div>
    }
}

#[component]
fn ToolButton(
    /// The board.
    board: BoardState,
    /// What carries the command out.
    hands: Hands,
    /// Which button.
    tool: Tool,
    /// Its place along the toolbar.
    nth: usize,
    /// Which button the Tab key stops at.
    stop: RwSignal<usize>,
) -> impl IntoView {
    let node = NodeRef::<html::Button>::new();
    let is_ready = memo(move |_| is_ready(board, tool.needs));
    let is_stop = memo(move |_| stop.get() == nth);
    let pressed = move || match tool.command {
        Command::Snap => Some(board.is_snapping.get()),
        Command::Several => Some(board.is_adding.get()),
        _ => None,
    };
    // Only the arrow keys move the stop to a button that has not the focus yet.
    Effect::watch(
        move || is_stop.get(),
        move |is_stop, _, _| {
            if let (true, Some(button)) = (*is_stop, node.get_untracked()) {
                // A button that is taken away cannot have the focus.
                let _ = button.focus();
            }
        },
        false,
    );
    let title = if tool.key.is_empty() {
        tool.label.to_owned()
    } else {
        format!("{} ({})", tool.label, tool.key)
    };
    view! {
        <button
            node_ref=node
            type="button"
            class="tool"
            title=title
            aria-label=tool.label
            aria-disabled=move || (!is_ready.get()).then_some("true")
            aria-pressed=move || pressed().map(|on| if on { "true" } else { "false" })
            tabindex=move || if is_stop.get() { "0" } else { "-1" }
            on:focus=move |_| stop.set(nth)
            on:click=move |_| hands.run(tool.command)
        >
            <Icon lines=tool.icon/>
        </button>
    }
}

fn is_ready(board: BoardState, needs: Needs) -> bool {
    match needs {
        Needs::Nothing => true,
        Needs::Selected(least) => board.selection.with(|ids| ids.len() >= least),
    }
}
