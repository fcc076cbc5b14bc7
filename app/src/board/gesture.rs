//! What a hand is doing on the board, as a pure state machine: a gesture and an input give a gesture and effects.
//!
//! Pressing a mold selects it; a press becomes a drag once it has left its dead zone. A mouse draws a band over
//! empty ground, one finger pans there; two fingers pan and zoom, and so end whatever one finger had begun.
//! Nothing changes the plan before [`Effect::Drop`]; [`Input::Abort`] gives back what was there before.

use std::collections::{BTreeMap, BTreeSet};

use engine::geometry::{Point, Rect, Vec2};
use engine::order;
use engine::plan::PlacementId;
use engine::units::Angle;

use super::viewport::{Pixel, Viewport};

/// How far a press may wander before it is a drag; a finger covers more than the tip of a mouse pointer.
const DEAD_ZONE_MOUSE_PX: f64 = 4.0;
const DEAD_ZONE_TOUCH_PX: f64 = 8.0;

/// What lies under the pointer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Target {
    /// A mold on the blank.
    Mold(PlacementId),
    /// The handle that turns the selection.
    TurnHandle,
    /// The blank, the machine or the bench beside it.
    Ground,
}

/// What points.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Tool {
    /// A mouse or a pen.
    Mouse,
    /// A finger.
    Touch,
}

/// A pointer going down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Press {
    /// Which pointer.
    pub(crate) pointer: i32,
    /// Where.
    pub(crate) at: Pixel,
    /// What points.
    pub(crate) tool: Tool,
    /// What lies there.
    pub(crate) target: Target,
    /// What the press is meant for.
    pub(crate) intent: Intent,
}

/// What a press is meant for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Intent {
    /// To select and to move.
    Plain,
    /// To add to the selection, or to take from it (Shift).
    Add,
    /// To move the view (Space, the middle button).
    Pan,
}

/// What the adapter reports.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Input {
    /// A pointer went down.
    Press(Press),
    /// A pointer moved.
    Move {
        /// Which pointer.
        pointer: i32,
        /// Where to.
        at: Pixel,
        /// True while nothing shall snap (Alt).
        is_free: bool,
    },
    /// A pointer went up.
    Release {
        /// Which pointer.
        pointer: i32,
    },
    /// The browser took the pointer away, or Escape was pressed.
    Abort,
}

/// What is to be done about an input.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Effect {
    /// Selects just these.
    Select(BTreeSet<PlacementId>),
    /// Selects one more, or one less.
    Toggle(PlacementId),
    /// Shows the selection moved by so many millimetres from where it stood.
    Drag {
        /// The displacement on the blank.
        by: Vec2,
        /// True when nothing shall snap.
        is_free: bool,
    },
    /// Shows the selection turned about its pivot from how it stood.
    Turn {
        /// How far, counter-clockwise.
        by: Angle,
        /// True when nothing shall snap.
        is_free: bool,
    },
    /// What is shown becomes an edit.
    Drop,
    /// What is shown is forgotten.
    Cancel,
    /// The band over the ground, on the blank; `None` when there is none any more.
    Band(Option<Rect>),
    /// The view is now this.
    View(Viewport),
}

/// What a gesture needs to know of the board.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Seen<'a> {
    /// The view.
    pub(crate) view: Viewport,
    /// What is selected.
    pub(crate) selection: &'a BTreeSet<PlacementId>,
    /// Where the centre of each mold stands.
    pub(crate) centres: &'a BTreeMap<PlacementId, Point>,
    /// What the selection turns about; `None` when nothing can be turned.
    pub(crate) pivot: Option<Point>,
}

/// What a hand is doing.
#[derive(Clone, Debug, PartialEq, Default)]
pub(crate) enum Gesture {
    /// Nothing.
    #[default]
    Idle,
    /// Pressing, still within the dead zone.
    Pressed(Press, Click),
    /// Moving the selection.
    Dragging(Finger),
    /// Turning the selection about a point.
    Turning(Finger, Point),
    /// Drawing a band over the ground, adding to a selection.
    Banding(Finger, BTreeSet<PlacementId>),
    /// Moving the view, from what it was.
    Panning(Finger, Viewport),
    /// Moving and zooming the view with two fingers, from what it was.
    Pinching([Finger; 2], Viewport),
}

/// What a press does when it is let go within the dead zone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Click {
    /// Nothing more than it did already.
    Nothing,
    /// Selects just this one.
    Select(PlacementId),
    /// Takes this one from the selection.
    Remove(PlacementId),
    /// Selects nothing.
    Clear,
}

/// A pointer that is down: where it went down and where it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Finger {
    pointer: i32,
    tool: Tool,
    from: Pixel,
    now: Pixel,
}

type Step = (Gesture, Vec<Effect>);

/// The gesture after an input, and what is to be done about it.
pub(crate) fn step(gesture: Gesture, input: Input, seen: &Seen<'_>) -> Step {
    match input {
        Input::Press(press) => match gesture {
            Gesture::Idle => pressed(press, seen),
            busy => second_finger(busy, press, seen),
        },
        Input::Move { pointer, at, is_free } => {
            moved(gesture, Finger::at(pointer, at), is_free, seen)
        }
        Input::Release { pointer } => released(gesture, pointer, seen),
        Input::Abort => (Gesture::Idle, undone(gesture)),
    }
}

impl Gesture {
    /// True while a hand is doing something.
    pub(crate) const fn is_busy(&self) -> bool {
        !matches!(self, Self::Idle)
    }

    /// The one finger at work; `None` when there is none, or two.
    const fn finger(&self) -> Option<Finger> {
        match self {
            Self::Idle | Self::Pinching(..) => None,
            Self::Pressed(press, _) => Some(press.finger()),
            Self::Dragging(finger)
            | Self::Turning(finger, _)
            | Self::Banding(finger, _)
            | Self::Panning(finger, _) => Some(*finger),
        }
    }
}

impl Press {
    const fn finger(&self) -> Finger {
        Finger { pointer: self.pointer, tool: self.tool, from: self.at, now: self.at }
    }
}

impl Finger {
    /// A pointer as a move reports it; only its place and its number count.
    const fn at(pointer: i32, now: Pixel) -> Self {
        Self { pointer, tool: Tool::Mouse, from: now, now }
    }

    const fn moved(self, now: Pixel) -> Self {
        Self { now, ..self }
    }

    fn is_beyond_dead_zone(self) -> bool {
        let dead_zone = match self.tool {
            Tool::Mouse => DEAD_ZONE_MOUSE_PX,
            Tool::Touch => DEAD_ZONE_TOUCH_PX,
        };
        self.from.distance(self.now) >= dead_zone
    }
}

fn pressed(press: Press, seen: &Seen<'_>) -> Step {
    if press.intent == Intent::Pan {
        return (Gesture::Panning(press.finger(), seen.view), Vec::new());
    }
    let is_adding = press.intent == Intent::Add;
    match (press.target, seen.pivot) {
        (Target::TurnHandle, Some(pivot)) => (Gesture::Turning(press.finger(), pivot), Vec::new()),
        (Target::Mold(id), _) => {
            let (click, effects) = match (seen.selection.contains(&id), is_adding) {
                (false, false) => (Click::Nothing, vec![Effect::Select(BTreeSet::from([id]))]),
                (false, true) => (Click::Nothing, vec![Effect::Toggle(id)]),
                (true, false) => (Click::Select(id), Vec::new()),
                (true, true) => (Click::Remove(id), Vec::new()),
            };
            (Gesture::Pressed(press, click), effects)
        }
        (Target::Ground | Target::TurnHandle, _) => {
            let click = if is_adding { Click::Nothing } else { Click::Clear };
            (Gesture::Pressed(press, click), Vec::new())
        }
    }
}

/// A second finger turns whatever the first had begun into a pinch; any other second pointer is ignored.
fn second_finger(gesture: Gesture, press: Press, seen: &Seen<'_>) -> Step {
    match gesture.finger() {
        Some(first)
            if first.tool == Tool::Touch
                && press.tool == Tool::Touch
                && first.pointer != press.pointer =>
        {
            let effects = match gesture {
                // The view as it is now is where the pinch begins.
                Gesture::Panning(..) => Vec::new(),
                other => undone(other),
            };
            let first = Finger { from: first.now, ..first };
            (Gesture::Pinching([first, press.finger()], seen.view), effects)
        }
        _ => (gesture, Vec::new()),
    }
}

fn moved(gesture: Gesture, to: Finger, is_free: bool, seen: &Seen<'_>) -> Step {
    if let Gesture::Pinching(fingers, view) = gesture {
        let fingers = fingers.map(|f| if f.pointer == to.pointer { f.moved(to.now) } else { f });
        return (Gesture::Pinching(fingers, view), vec![Effect::View(pinched(fingers, view))]);
    }
    match gesture.finger().filter(|finger| finger.pointer == to.pointer) {
        Some(finger) => one_moved(gesture, finger.moved(to.now), is_free, seen),
        None => (gesture, Vec::new()),
    }
}

/// The one finger at work has moved.
fn one_moved(gesture: Gesture, finger: Finger, is_free: bool, seen: &Seen<'_>) -> Step {
    match gesture {
        Gesture::Pressed(press, _) if finger.is_beyond_dead_zone() => {
            let begun = begun(press, finger, seen);
            one_moved(begun, finger, is_free, seen)
        }
        Gesture::Dragging(_) => {
            let by = seen.view.between(finger.from, finger.now);
            (Gesture::Dragging(finger), vec![Effect::Drag { by, is_free }])
        }
        Gesture::Turning(_, pivot) => {
            let by = turned(finger, pivot, seen.view);
            (Gesture::Turning(finger, pivot), vec![Effect::Turn { by, is_free }])
        }
        Gesture::Banding(_, base) => {
            let effects = banded(finger, &base, seen);
            (Gesture::Banding(finger, base), effects)
        }
        Gesture::Panning(_, view) => {
            let effects = vec![Effect::View(view.panned(finger.from, finger.now))];
            (Gesture::Panning(finger, view), effects)
        }
        Gesture::Idle | Gesture::Pressed(..) | Gesture::Pinching(..) => (gesture, Vec::new()),
    }
}

/// What a press becomes once it leaves its dead zone.
fn begun(press: Press, finger: Finger, seen: &Seen<'_>) -> Gesture {
    match (press.target, press.tool) {
        (Target::Mold(_), _) => Gesture::Dragging(finger),
        (Target::Ground | Target::TurnHandle, Tool::Touch) => Gesture::Panning(finger, seen.view),
        (Target::Ground | Target::TurnHandle, Tool::Mouse) => {
            let is_adding = press.intent == Intent::Add;
            let base = if is_adding { seen.selection.clone() } else { BTreeSet::new() };
            Gesture::Banding(finger, base)
        }
    }
}

fn released(gesture: Gesture, pointer: i32, seen: &Seen<'_>) -> Step {
    if let Gesture::Pinching([a, b], _) = gesture {
        let rest = match pointer {
            p if p == a.pointer => b,
            p if p == b.pointer => a,
            _ => return (gesture, Vec::new()),
        };
        let rest = Finger { from: rest.now, ..rest };
        return (Gesture::Panning(rest, seen.view), Vec::new());
    }
    if gesture.finger().is_none_or(|finger| finger.pointer != pointer) {
        return (gesture, Vec::new());
    }
    let effects = match gesture {
        Gesture::Pressed(_, click) => clicked(click),
        Gesture::Dragging(_) | Gesture::Turning(..) => vec![Effect::Drop],
        Gesture::Banding(..) => vec![Effect::Band(None)],
        Gesture::Idle | Gesture::Panning(..) | Gesture::Pinching(..) => Vec::new(),
    };
    (Gesture::Idle, effects)
}

fn clicked(click: Click) -> Vec<Effect> {
    match click {
        Click::Nothing => Vec::new(),
        Click::Select(id) => vec![Effect::Select(BTreeSet::from([id]))],
        Click::Remove(id) => vec![Effect::Toggle(id)],
        Click::Clear => vec![Effect::Select(BTreeSet::new())],
    }
}

/// What gives back what was there before the gesture.
fn undone(gesture: Gesture) -> Vec<Effect> {
    match gesture {
        Gesture::Idle | Gesture::Pressed(..) => Vec::new(),
        Gesture::Dragging(_) | Gesture::Turning(..) => vec![Effect::Cancel],
        Gesture::Banding(_, base) => vec![Effect::Band(None), Effect::Select(base)],
        Gesture::Panning(_, view) | Gesture::Pinching(_, view) => vec![Effect::View(view)],
    }
}

fn turned(finger: Finger, pivot: Point, view: Viewport) -> Angle {
    let direction = |p: Pixel| (view.to_mm(p) - pivot).direction();
    direction(finger.now) - direction(finger.from)
}

/// The band, and the selection when it has changed: it catches the molds whose centre it covers.
fn banded(finger: Finger, base: &BTreeSet<PlacementId>, seen: &Seen<'_>) -> Vec<Effect> {
    let band = Rect::new(seen.view.to_mm(finger.from), seen.view.to_mm(finger.now));
    let caught = seen.centres.iter().filter(|(_, at)| band.contains(**at)).map(|(id, _)| *id);
    let selection = order::set(caught.chain(base.iter().copied()));
    let mut effects = vec![Effect::Band(Some(band))];
    if selection != *seen.selection {
        effects.push(Effect::Select(selection));
    }
    effects
}

/// The view that keeps under both fingers what was under them.
fn pinched([a, b]: [Finger; 2], view: Viewport) -> Viewport {
    // Two fingers on one spot would ask for an endless zoom.
    let spread = |p: Pixel, q: Pixel| p.distance(q).max(1.0);
    let factor = spread(a.now, b.now) / spread(a.from, b.from);
    let (from, now) = (a.from.midpoint(b.from), a.now.midpoint(b.now));
    view.zoomed(from, factor).panned(from, now)
}

#[cfg(test)]
#[path = "gesture_tests.rs"]
mod tests;
