//! Keys, the mouse and fingers.

use std::time::Duration;

use http::Method;
use serde_json::{Value, json};
use thirtyfour::common::command::FormatRequestData;
use thirtyfour::{Key, RequestData, SessionId};

use super::element::Place;
use super::{Page, Program, must};

/// The time between two moves of the mouse: one frame, so that the page sees each of them.
const FRAME: Duration = Duration::from_millis(16);

impl Page {
    /// Presses a key, with those before it held down: `"Escape"`, `"z"`, `"Control+Shift+z"`.
    #[track_caller]
    pub fn press(&self, chord: &str) {
        let keys: Vec<char> = chord.split('+').map(key).collect();
        let mut chain = self.session().action_chain_with_delay(None, Some(Duration::ZERO));
        for key in &keys {
            chain = chain.key_down(*key);
        }
        for key in keys.iter().rev() {
            chain = chain.key_up(*key);
        }
        must(self.wait(chain.perform()), &format!("press {chord}"));
    }

    /// Drags with the mouse: presses at the first place, moves through the others, releases at the last.
    #[track_caller]
    pub fn drag(&self, places: &[Place]) {
        self.drag_then(places, None);
    }

    /// Like [`Page::drag`], but presses Escape before it releases, as a person does who thinks better of it.
    #[track_caller]
    pub fn drag_and_escape(&self, places: &[Place]) {
        self.drag_then(places, Some(Key::Escape.into()));
    }

    #[track_caller]
    fn drag_then(&self, places: &[Place], key: Option<char>) {
        let mut chain = self.session().action_chain_with_delay(None, Some(FRAME));
        for (number, &(x, y)) in places.iter().enumerate() {
            chain = chain.move_to(whole(x), whole(y));
            if number == 0 {
                chain = chain.click_and_hold();
            }
        }
        if let Some(key) = key {
            chain = chain.key_down(key).key_up(key);
        }
        must(self.wait(chain.release().perform()), "drag with the mouse");
    }

    /// Drags with one finger through these places.
    #[track_caller]
    pub fn touch_drag(&self, places: &[Place]) {
        let fingers: Vec<[Place; 1]> = places.iter().map(|place| [*place]).collect();
        self.touch(fingers.iter().map(<[Place; 1]>::as_slice));
    }

    /// Drags with two fingers at once through these pairs of places: a pinch.
    #[track_caller]
    pub fn pinch(&self, pairs: &[[Place; 2]]) {
        self.touch(pairs.iter().map(<[Place; 2]>::as_slice));
    }

    #[track_caller]
    fn touch<'places>(&self, steps: impl Iterator<Item = &'places [Place]>) {
        if self.program() == Program::Firefox {
            return self.touch_by_actions(&steps.collect::<Vec<_>>());
        }
        for (number, fingers) in steps.enumerate() {
            let kind = if number == 0 { "touchStart" } else { "touchMove" };
            let points: Vec<_> = fingers
                .iter()
                .enumerate()
                .map(|(id, (x, y))| json!({ "x": x, "y": y, "id": id }))
                .collect();
            self.cdp("Input.dispatchTouchEvent", json!({ "type": kind, "touchPoints": points }));
        }
        self.cdp("Input.dispatchTouchEvent", json!({ "type": "touchEnd", "touchPoints": [] }));
    }
}

/// What fingers do, in the words of the `WebDriver` protocol, which the library has for mice alone:
/// <https://www.w3.org/TR/webdriver2/#perform-actions>.
#[derive(Debug)]
struct Fingers(Value);

impl FormatRequestData for Fingers {
    fn format_request(&self, session: &SessionId) -> RequestData {
        RequestData::new(Method::POST, format!("session/{session}/actions"))
            .add_body(self.0.clone())
    }
}

impl Page {
    /// As many fingers as each step has places for: down at the first, through the others, up at the last.
    #[track_caller]
    fn touch_by_actions(&self, steps: &[&[Place]]) {
        let of_finger = |finger: usize| {
            let mut actions = Vec::new();
            for (number, places) in steps.iter().enumerate() {
                let (x, y) = places.get(finger).copied().unwrap_or_default();
                let wait = if number == 0 { Duration::ZERO } else { FRAME };
                actions.push(json!({
                    "type": "pointerMove", "duration": wait.as_millis(), "x": whole(x), "y": whole(y),
                }));
                if number == 0 {
                    actions.push(json!({ "type": "pointerDown", "button": 0 }));
                }
            }
            actions.push(json!({ "type": "pointerUp", "button": 0 }));
            let parameters = json!({ "pointerType": "touch" });
            let id = format!("finger{finger}");
            json!({ "type": "pointer", "id": id, "parameters": parameters, "actions": actions })
        };
        let fingers = steps.first().map_or(0, |places| places.len());
        let actions: Vec<Value> = (0..fingers).map(of_finger).collect();
        let done = self.session().cmd(Fingers(json!({ "actions": actions })));
        must(self.wait(done), "touch the page");
    }
}

/// The driver takes whole pixels.
#[expect(clippy::cast_possible_truncation, reason = "a window is a few thousand pixels wide")]
fn whole(pixels: f64) -> i64 {
    pixels.round() as i64
}

/// The character that stands for a key in the `WebDriver` protocol.
#[track_caller]
fn key(name: &str) -> char {
    let key = match name {
        "Alt" => Key::Alt,
        "ArrowDown" => Key::Down,
        "ArrowLeft" => Key::Left,
        "ArrowRight" => Key::Right,
        "ArrowUp" => Key::Up,
        "Backspace" => Key::Backspace,
        "Control" => Key::Control,
        "Delete" => Key::Delete,
        "End" => Key::End,
        "Enter" => Key::Enter,
        "Escape" => Key::Escape,
        "Home" => Key::Home,
        "PageDown" => Key::PageDown,
        "PageUp" => Key::PageUp,
        "Shift" => Key::Shift,
        "Space" => return ' ',
        "Tab" => Key::Tab,
        _ => {
            let mut characters = name.chars();
            let only = characters.next().filter(|_| characters.next().is_none());
            return must(only.ok_or("it is not one this harness knows"), &format!("press {name}"));
        }
    };
    key.into()
}
