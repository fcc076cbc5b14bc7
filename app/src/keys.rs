//! What each key does: one table for the board, one for the whole page, and the index of all keys that the help shows.
//!
//! The keys of single fields and rows are told in the index and carried out where they are; `tests/browser_keys.rs`
//! presses every key of the index. Single letters count only while the board has the focus, so that they never get in the way of typing. Tab is
//! left to the browser: the board is one stop on the way through the page.

use engine::geometry::Vec2;
use engine::moves::Move;
use engine::units::Angle;

/// A key and what is held down with it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Chord {
    /// The key as the browser names it; a letter in lower case.
    pub(crate) key: String,
    /// Which of the modifier keys are held.
    pub(crate) held: Held,
}

/// Which of the modifier keys are held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Held {
    /// None.
    Nothing,
    /// Shift.
    Shift,
    /// Alt, on a Mac Option.
    Alt,
    /// Control, on a Mac Command.
    Control,
    /// Control and Shift.
    ControlShift,
    /// Any other set of them, which means nothing here.
    Other,
}

/// What can be asked of the board.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Command {
    /// A hand move of the selection.
    Hand(Move),
    /// A small hand move, one step to undo with those right before it.
    Nudge(Move),
    /// Locks the selection, or frees it when all of it is locked.
    Lock,
    /// One step back.
    Undo,
    /// One step forward again.
    Redo,
    /// To the next mold, selecting it.
    Next,
    /// To the mold before, selecting it.
    Previous,
    /// To the next mold, leaving the selection.
    PassOn,
    /// To the mold before, leaving the selection.
    PassBack,
    /// Selects the mold that has the focus, or no longer.
    Pick,
    /// Selects all.
    SelectAll,
    /// Gives up a drag, or else the selection.
    Escape,
    /// Larger.
    ZoomIn,
    /// Smaller.
    ZoomOut,
    /// All of the blank.
    Fit,
    /// Snapping on or off.
    Snap,
    /// Adding to the selection with every press, on or off.
    Several,
    /// Opens the arranger.
    Arrange,
    /// Shows this table.
    Help,
}

/// What can be asked of the page wherever the keyboard is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Anywhere {
    /// Opens the search over actions.
    Search,
    /// Opens the help.
    Help,
}

/// What the chord does wherever the keyboard is; while something is typed only what is held down with Control counts.
pub(crate) fn anywhere(chord: &Chord, is_typing: bool) -> Option<Anywhere> {
    let key = chord.key.as_str();
    match (chord.held, key) {
        (Control, "k") => Some(Anywhere::Search),
        // Keyboards differ in whether these need Shift.
        (Nothing | Shift, "/") if !is_typing => Some(Anywhere::Search),
        (Nothing | Shift, "?") if !is_typing => Some(Anywhere::Help),
        _ => None,
    }
}

/// One part of the index: where its keys count, and its rows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Section {
    /// Where the keys count.
    pub(crate) place: &'static str,
    /// The keys.
    pub(crate) rows: Vec<HelpRow>,
}

/// All keys of the page, in the order they are shown.
pub(crate) fn index() -> Vec<Section> {
    let rows = |rows: &[(&'static str, &'static str)]| {
        rows.iter().map(|&(keys, words)| HelpRow { keys, words }).collect()
    };
    let board = TABLE.iter().map(|row| HelpRow { keys: row.keys, words: row.words }).collect();
    let mut sections = vec![
        Section { place: "Anywhere", rows: rows(ANYWHERE) },
        Section { place: "On the board", rows: board },
        Section { place: "On the board, with mouse or finger", rows: rows(POINTER) },
    ];
    sections.extend(ELSEWHERE.iter().map(|&(place, own)| Section { place, rows: rows(own) }));
    sections
}

/// One row of the help.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct HelpRow {
    /// The keys, as they are written on a keyboard.
    pub(crate) keys: &'static str,
    /// What they do.
    pub(crate) words: &'static str,
}

/// What the chord does on the board; `None` leaves the key to the browser.
pub(crate) fn command(chord: &Chord) -> Option<Command> {
    let bindings = TABLE.iter().flat_map(|row| row.bindings);
    bindings
        .filter(|(held, keys, _)| *held == chord.held && keys.contains(&chord.key.as_str()))
        .map(|(.., command)| *command)
        .next()
}

/// A binding: what is held, which keys mean it, and what it does.
type Binding = (Held, &'static [&'static str], Command);

struct Row {
    keys: &'static str,
    words: &'static str,
    bindings: &'static [Binding],
}

const fn by(x: f64, y: f64) -> Command {
    Command::Nudge(Move::By(Vec2::new(x, y)))
}

const fn turn(degrees: f64) -> Command {
    Command::Nudge(Move::Turn(Angle::degrees(degrees)))
}

/// The arrows as nudges of `mm` millimetres.
const fn arrows(held: Held, mm: f64) -> [Binding; 4] {
    [
        (held, &["ArrowLeft"], by(-mm, 0.0)),
        (held, &["ArrowRight"], by(mm, 0.0)),
        (held, &["ArrowUp"], by(0.0, mm)),
        (held, &["ArrowDown"], by(0.0, -mm)),
    ]
}

const fn row(keys: &'static str, words: &'static str, bindings: &'static [Binding]) -> Row {
    Row { keys, words, bindings }
}

use Held::{Alt, Control, ControlShift, Nothing, Shift};

const TABLE: &[Row] = &[
    row("Arrows", "Move by 1 mm", &arrows(Nothing, 1.0)),
    row("Shift + arrows", "Move by 10 mm", &arrows(Shift, 10.0)),
    row("Alt + arrows", "Move by 0.1 mm", &arrows(Alt, 0.1)),
    row(
        "[ and ], or R and Shift + R",
        "Turn by 15\u{b0} left and right",
        &[
            (Nothing, &["[", "r"], turn(15.0)),
            (Nothing, &["]"], turn(-15.0)),
            (Shift, &["r"], turn(-15.0)),
        ],
    ),
    row(
        "Alt + [ and ]",
        "Turn by 1\u{b0} left and right",
        &[(Alt, &["["], turn(1.0)), (Alt, &["]"], turn(-1.0))],
    ),
    row(
        "Page Down and Page Up",
        "To the next mold and the one before",
        &[(Nothing, &["PageDown"], Command::Next), (Nothing, &["PageUp"], Command::Previous)],
    ),
    row(
        "Shift + Page Down and Page Up",
        "The same, without selecting it",
        &[(Shift, &["PageDown"], Command::PassOn), (Shift, &["PageUp"], Command::PassBack)],
    ),
    row("Space", "Select the mold in focus, or no longer", &[(Nothing, &[" "], Command::Pick)]),
    row("Ctrl or Cmd + A", "Select all", &[(Control, &["a"], Command::SelectAll)]),
    row(
        "D, or Ctrl or Cmd + D",
        "Stand another copy beside it",
        &[
            (Nothing, &["d"], Command::Hand(Move::Duplicate)),
            (Control, &["d"], Command::Hand(Move::Duplicate)),
        ],
    ),
    row("L", "Lock it, or free it", &[(Nothing, &["l"], Command::Lock)]),
    row(
        "Delete or Backspace",
        "Take it off the blank",
        &[(Nothing, &["Delete", "Backspace"], Command::Hand(Move::TakeOff))],
    ),
    row(
        "Z, or Ctrl or Cmd + Z",
        "One step back",
        &[(Nothing, &["z"], Command::Undo), (Control, &["z"], Command::Undo)],
    ),
    row(
        "Y or Shift + Z, or with Ctrl or Cmd",
        "One step forward again",
        &[
            (Nothing, &["y"], Command::Redo),
            (Shift, &["z"], Command::Redo),
            (Control, &["y"], Command::Redo),
            (ControlShift, &["z"], Command::Redo),
        ],
    ),
    row(
        "+ and -",
        "Larger and smaller",
        &[
            (Nothing, &["+", "="], Command::ZoomIn),
            (Shift, &["+"], Command::ZoomIn),
            (Nothing, &["-"], Command::ZoomOut),
        ],
    ),
    row("0", "Show the whole blank", &[(Nothing, &["0"], Command::Fit)]),
    row("A", "Let the page lay the molds out", &[(Nothing, &["a"], Command::Arrange)]),
    row("S", "Snapping on or off", &[(Nothing, &["s"], Command::Snap)]),
    row(
        "Escape",
        "Give up a drag; else select nothing",
        &[(Nothing, &["Escape"], Command::Escape)],
    ),
    row(
        "?",
        "Show this index",
        // Keyboards differ in whether the question mark needs Shift.
        &[(Nothing, &["?"], Command::Help), (Shift, &["?"], Command::Help)],
    ),
];

const ANYWHERE: &[(&str, &str)] = &[
    ("Ctrl or Cmd + K, or /", "Search for an action, a panel or a field"),
    ("?", "Open the help"),
    ("Tab and Shift + Tab", "To the next thing to use, and the one before"),
    ("Escape", "Close what lies over the page"),
];

/// The keys of what is not the board, place by place.
const ELSEWHERE: &[(&str, &[(&str, &str)])] = &[
    (
        "In a field",
        &[
            ("Enter", "Take what is typed"),
            ("Escape", "Give the old value back"),
            ("Ctrl or Cmd + Enter", "Take a list of corners"),
        ],
    ),
    (
        "In the row of panels, and in the tools over the board",
        &[
            ("Left and right", "To the next and the one before"),
            ("Home and End", "To the first and the last"),
        ],
    ),
    (
        "In the search",
        &[("Up and down", "To the hit before and the next"), ("Enter", "Do it, or go there")],
    ),
    (
        "In the tour",
        &[("Left and right", "To the step before and the next"), ("Escape", "Leave the tour")],
    ),
    (
        "On \u{201c}Read a place\u{201d}, and on an end of the section's line",
        &[("Arrows", "Move it; Shift farther, Alt less far"), ("Escape", "Read no place any more")],
    ),
    (
        "On the formed sheet",
        &[("Arrows", "Turn it"), ("+ and -", "Larger and smaller"), ("0 or Home", "As at first")],
    ),
    (
        "On a photograph",
        &[
            ("Arrows", "Move the corner or the brush; Shift farther, Alt less far"),
            ("Space or Enter", "Paint with the brush"),
        ],
    ),
];

const POINTER: &[(&str, &str)] = &[
    ("Drag a mold", "Move the selection; Alt: without snapping"),
    ("Drag the round handle", "Turn by steps of 15\u{b0}; Alt: freely"),
    ("Shift + click", "Select one more, or one less"),
    ("Drag empty ground", "With a mouse select what the band covers; with a finger move the view"),
    ("Two fingers", "Move and zoom the view"),
    ("Space + drag, or middle button", "Move the view"),
    ("Wheel", "Zoom at the pointer once the board has the focus; with Ctrl at any time"),
];

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    fn does(held: Held, key: &str) -> Option<Command> {
        command(&Chord { key: key.into(), held })
    }

    #[test]
    fn arrows_move_by_one_ten_and_a_tenth_of_a_millimetre() {
        for (held, mm) in [(Nothing, 1.0), (Shift, 10.0), (Alt, 0.1)] {
            assert_eq!(does(held, "ArrowRight"), Some(by(mm, 0.0)));
            assert_eq!(does(held, "ArrowUp"), Some(by(0.0, mm)), "up is away from the person");
            assert_eq!(does(held, "ArrowLeft"), Some(by(-mm, 0.0)));
            assert_eq!(does(held, "ArrowDown"), Some(by(0.0, -mm)));
        }
    }

    #[test]
    fn the_left_bracket_turns_to_the_left() {
        assert_eq!(does(Nothing, "["), Some(turn(15.0)));
        assert_eq!(does(Alt, "]"), Some(turn(-1.0)));
    }

    #[test]
    fn a_letter_with_the_browsers_own_modifier_is_left_to_the_browser() {
        for key in ["l", "r", "s", "0", "+", "-"] {
            assert_eq!(does(Control, key), None, "{key}");
        }
        assert_eq!(does(Nothing, "Tab"), None);
        assert_eq!(does(Shift, "Tab"), None);
    }

    #[test]
    fn no_chord_means_two_things() {
        let mut seen = BTreeSet::new();
        for (held, keys, _) in TABLE.iter().flat_map(|row| row.bindings) {
            for key in *keys {
                assert!(seen.insert((format!("{held:?}"), *key)), "{held:?} {key} is bound twice");
            }
        }
    }

    #[test]
    fn letters_are_bound_in_lower_case_as_chords_are() {
        for key in TABLE.iter().flat_map(|row| row.bindings).flat_map(|(_, keys, _)| *keys) {
            let is_letter = key.chars().count() == 1;
            assert!(!is_letter || *key == key.to_lowercase(), "{key}");
        }
    }

    #[test]
    fn every_binding_stands_in_the_help() {
        assert!(TABLE.iter().all(|row| !row.bindings.is_empty() && !row.words.is_empty()));
        let index = index();
        let rows =
            |place: &str| index.iter().find(|one| one.place == place).map(|one| one.rows.len());
        assert_eq!(rows("On the board"), Some(TABLE.len()));
        assert_eq!(index.len(), 3 + ELSEWHERE.len());
    }

    #[test]
    fn the_search_opens_from_anywhere_and_a_slash_can_still_be_typed() {
        let chord = |held, key: &str| Chord { key: key.into(), held };
        assert_eq!(anywhere(&chord(Control, "k"), true), Some(Anywhere::Search));
        assert_eq!(anywhere(&chord(Nothing, "/"), false), Some(Anywhere::Search));
        assert_eq!(anywhere(&chord(Nothing, "/"), true), None);
        assert_eq!(anywhere(&chord(Shift, "?"), false), Some(Anywhere::Help));
        assert_eq!(anywhere(&chord(Nothing, "k"), false), None);
    }
}
