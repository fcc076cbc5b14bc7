//! What is done next, drawn among all that makes sense in the state the page is in.

use engine::edit::Edit;
use engine::geometry::Vec2;
use engine::moves::{Align, Along, Move};
use engine::units::{Angle, Unit, parse_length};
use onepull_tests::chance::Chance;
use serde_json::{Value, json};

use super::{Deed, Model, Step};

/// Names that are typed; some are too long, empty once they are cleaned, or would like to be markup.
const NAMES: [&str; 8] = [
    "Rock pool",
    "Tide-pool kit",
    "<img src=x onerror=globalThis.hit=1>",
    "\u{1f41a} kit, \"2nd\"",
    "  kit  ",
    "\u{202e}",
    "=1+1",
    "A name that goes on and on and on and on and on and on and on and on and on and on, too long",
];

/// Places that are typed, in no spelling that the page itself has; some are no lengths.
const PLACES: [&str; 8] =
    ["0123.4 mm", "05 1/2 in", "080", "0210.25mm", "0 mm", "far left", "09e9", "-030 mm"];

/// The next step.
pub(crate) fn next(model: &Model, chance: &mut Chance) -> Step {
    let is_bare = model.selection.is_empty();
    match chance.below(100) {
        0..9 => undo(model, chance),
        9..15 => redo(model, chance),
        15..23 => select(model, chance),
        23..26 => step(json!(["rest"]), Deed::Rest),
        26..33 => named("Plan", &model.plan().name, chance, Edit::Rename),
        33..38 => pulls(model, chance),
        _ if model.standing().is_empty() => pulls(model, chance),
        // With nothing selected a key means the mold that the keyboard is at, which no plan knows.
        _ if is_bare => select(model, chance),
        38..70 => nudge(chance),
        70..78 => keyed(model, chance),
        78..92 => pressed(model, chance),
        _ if model.selection.len() == 1 => placed(chance),
        _ => nudge(chance),
    }
}

fn step(ask: Value, deed: Deed) -> Step {
    Step { ask, deed }
}

/// A key on the board; `held` is some of the letters of Shift, Alt and Control.
fn key(key: &str, held: &str, deed: Deed) -> Step {
    step(json!(["key", key, held]), deed)
}

fn button(label: &str, deed: Deed) -> Step {
    step(json!(["press", label]), deed)
}

fn typed(label: &str, text: &str, deed: Deed) -> Step {
    step(json!(["type", label, text]), deed)
}

/// Another name; the same once more is no change, and the page does not take it for one.
fn named(label: &str, now: &str, chance: &mut Chance, edit: impl Fn(String) -> Edit) -> Step {
    let name = chance.of(&NAMES);
    let deed = if name == now { Deed::Nothing } else { Deed::Edit(edit(name.to_owned())) };
    typed(label, name, deed)
}

fn undo(model: &Model, chance: &mut Chance) -> Step {
    let deed = if model.can_undo() { Deed::Undo } else { Deed::Nothing };
    match chance.below(3) {
        0 => key("z", "", Deed::Undo),
        1 => key("z", "C", Deed::Undo),
        _ => button("Undo", deed),
    }
}

fn redo(model: &Model, chance: &mut Chance) -> Step {
    let deed = if model.can_redo() { Deed::Redo } else { Deed::Nothing };
    match chance.below(3) {
        0 => key("y", "", Deed::Redo),
        1 => key("z", "SC", Deed::Redo),
        _ => button("Redo", deed),
    }
}

fn select(model: &Model, chance: &mut Chance) -> Step {
    let standing: Vec<_> = model.standing().into_iter().collect();
    match chance.below(12) {
        0 => key("a", "C", Deed::SelectAll),
        1 => key("Escape", "", Deed::SelectNone),
        2 => button("Select all", Deed::SelectAll),
        3 => key("PageUp", "", Deed::Next { backwards: true }),
        4 | 5 if !standing.is_empty() => {
            let id = chance.of(&standing);
            step(json!(["tick", format!("standing-{}", id.0)]), Deed::Toggle(id))
        }
        _ => key("PageDown", "", Deed::Next { backwards: false }),
    }
}

fn pulls(model: &Model, chance: &mut Chance) -> Step {
    let all: Vec<_> = model.plan().pulls.keys().copied().collect();
    match chance.below(6) {
        0 if all.len() < 3 => button("Add an empty pull", Deed::AddPull),
        1 if model.pull != all[0] => {
            button("Remove this pull", Deed::Edit(Edit::RemovePull(model.pull)))
        }
        2 => {
            let rename = |name| Edit::RenamePull(model.pull, name);
            named("Name of this pull", &model.shown().name, chance, rename)
        }
        _ => {
            // Mostly where something stands: on an empty pull there is little to do.
            let at = if chance.below(3) > 0 { 0 } else { chance.below(all.len()) };
            step(json!(["choose", "Pull", at]), Deed::Show(all[at]))
        }
    }
}

fn nudge(chance: &mut Chance) -> Step {
    let (held, mm) = chance.of(&[("", 1.0), ("S", 10.0), ("A", 0.1)]);
    let by = |x: f64, y: f64| Move::By(Vec2::new(x, y));
    let turn = |degrees: f64| Move::Turn(Angle::degrees(degrees));
    let all = [
        ("ArrowLeft", held, by(-mm, 0.0)),
        ("ArrowRight", held, by(mm, 0.0)),
        ("ArrowUp", held, by(0.0, mm)),
        ("ArrowDown", held, by(0.0, -mm)),
        ("[", "", turn(15.0)),
        ("]", "", turn(-15.0)),
        ("R", "S", turn(-15.0)),
        ("[", "A", turn(1.0)),
        ("]", "A", turn(-1.0)),
    ];
    let (name, held, hand) = chance.of(&all);
    key(name, held, Deed::Nudge(hand))
}

fn keyed(model: &Model, chance: &mut Chance) -> Step {
    let has_free = model.selection.iter().any(|&id| !model.is_locked(id));
    match chance.below(8) {
        0..3 => key("d", "", Deed::Hand(Move::Duplicate)),
        3 => key("d", "C", Deed::Hand(Move::Duplicate)),
        4 if leaves_some(model) => key("Delete", "", Deed::Hand(Move::TakeOff)),
        // Often enough that not all ends up locked.
        _ => key("l", "", Deed::Hand(Move::Lock(has_free))),
    }
}

/// Without the selection there is still something to go on with; a copy comes of what stands, so an empty blank would stay so.
fn leaves_some(model: &Model) -> bool {
    model.standing().len() >= model.selection.len() + 2
}

fn pressed(model: &Model, chance: &mut Chance) -> Step {
    let mut all = vec![
        ("Left", Move::Align(Align::Left)),
        ("Middle", Move::Align(Align::Middle)),
        ("Right", Move::Align(Align::Right)),
        ("Back", Move::Align(Align::Back)),
        ("Centre", Move::Align(Align::Center)),
        ("Front", Move::Align(Align::Front)),
        ("Middle of the opening", Move::Centre),
        ("Duplicate", Move::Duplicate),
    ];
    if leaves_some(model) {
        all.push(("Take off the blank", Move::TakeOff));
    }
    if model.selection.len() > 2 {
        all.push(("Equal gaps across", Move::Spread(Along::Width)));
        all.push(("Equal gaps in depth", Move::Spread(Along::Depth)));
    }
    let (label, hand) = chance.of(&all);
    button(label, Deed::Field(hand))
}

/// An exact place for the one that is selected; what is no length is refused under the field.
fn placed(chance: &mut Chance) -> Step {
    let text = chance.of(&PLACES);
    let length = parse_length(text, Unit::Millimetre).ok();
    let (label, is_across) =
        chance.of(&[("From the left edge", true), ("From the front edge", false)]);
    let place = |length| {
        let (x, y) = if is_across { (Some(length), None) } else { (None, Some(length)) };
        Deed::Field(Move::To { x, y })
    };
    typed(label, text, length.map_or(Deed::Nothing, place))
}
