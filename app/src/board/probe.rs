//! Reads the forecast at a place: under the mouse, where a finger taps, or moved by arrow keys from its button.

use std::time::Duration;

use engine::geometry::{Point, Vec2};
use leptos::ev::{KeyboardEvent, PointerEvent};

use super::state::BoardState;
use super::viewport::Pixel;
use crate::panels::{Forecaster, Probe, reading, use_forecaster};
use crate::platform::place_in_drawing;
use crate::reactive::prelude::*;
use crate::widgets::{Voice, use_voice};

/// Millimetres for an arrow key, and with Shift and Alt held.
const STEP: f64 = 5.0;
const LARGE: f64 = 20.0;
const SMALL: f64 = 1.0;
/// A place is spoken of once the keys have rested so long.
const RESTED: Duration = Duration::from_millis(350);

/// Reads the forecast; cheap to copy.
#[derive(Clone, Copy)]
pub(super) struct Prober {
    board: BoardState,
    forecaster: Forecaster,
    voice: Voice,
    /// Counts the moves, so that only the last of a row is spoken of.
    moves: StoredValue<u32>,
}

impl Prober {
    pub(super) fn new(board: BoardState) -> Self {
        let (forecaster, voice) = (use_forecaster(), use_voice());
        Self { board, forecaster, voice, moves: StoredValue::new(0) }
    }

    /// A pointer moves over the board without holding anything.
    pub(super) fn hover(self, event: &PointerEvent) {
        let is_over = event.pointer_type() != "touch" && event.buttons() == 0;
        if is_over && self.is_on() {
            self.put(event, false);
        }
    }

    /// A finger comes down.
    pub(super) fn tap(self, event: &PointerEvent) {
        if event.pointer_type() == "touch" && self.is_on() {
            self.put(event, true);
        }
    }

    /// The pointer leaves the board.
    pub(super) fn leave(self) {
        let probe = self.forecaster.probe;
        if probe.with_untracked(|probe| probe.is_some_and(|probe| !probe.is_kept)) {
            probe.set(None);
        }
    }

    /// A key is pressed on the button that reads a place.
    pub(super) fn key(self, event: &KeyboardEvent) {
        let step = if event.shift_key() {
            LARGE
        } else if event.alt_key() {
            SMALL
        } else {
            STEP
        };
        let by = match event.key().as_str() {
            "ArrowLeft" => Vec2::new(-step, 0.0),
            "ArrowRight" => Vec2::new(step, 0.0),
            "ArrowUp" => Vec2::new(0.0, step),
            "ArrowDown" => Vec2::new(0.0, -step),
            "Escape" => {
                self.forecaster.probe.set(None);
                return;
            }
            _ => return,
        };
        event.prevent_default();
        self.go(by);
    }

    /// Reads the thinnest place over a mold, or no place any more.
    pub(super) fn press(self) {
        let is_reading =
            self.forecaster.probe.with_untracked(|probe| probe.is_some_and(|probe| probe.is_kept));
        if is_reading {
            self.forecaster.probe.set(None);
        } else {
            self.go(Vec2::ZERO);
        }
    }

    fn go(self, by: Vec2) {
        let Some(told) = untrack(|| self.forecaster.told()) else { return };
        self.forecaster.is_mapped.set(true);
        let bounds = told.forecast.map.bounds;
        let kept = self.forecaster.probe.get_untracked().filter(|probe| probe.is_kept);
        let from = kept.map_or_else(
            || told.forecast.thinnest_kept().map_or(told.forecast.thinnest, |(_, spot)| spot).at,
            |probe| probe.at + by,
        );
        let at = Point::new(
            from.x.clamp(bounds.min.x, bounds.max.x),
            from.y.clamp(bounds.min.y, bounds.max.y),
        );
        self.forecaster.probe.set(Some(Probe { at, is_kept: true }));
        self.speak_when_rested();
    }

    fn speak_when_rested(self) {
        self.moves.update_value(|moves| *moves = moves.wrapping_add(1));
        let own = self.moves.get_value();
        set_timeout(
            move || {
                if self.moves.try_get_value() == Some(own) {
                    self.voice.say(&untrack(|| self.words()).unwrap_or_default());
                }
            },
            RESTED,
        );
    }

    /// What the sheet is like at the place that is read, tracked.
    pub(super) fn words(self) -> Option<String> {
        let probe = self.forecaster.probe.get()?;
        let (told, plan) = (self.forecaster.told()?, self.forecaster.told_plan()?);
        let of = told.forecast.map.at(probe.at)?;
        Some(reading(&told.forecast, &of, (&plan, told.pull())))
    }

    fn is_on(self) -> bool {
        self.forecaster.is_mapped.get_untracked() && untrack(|| self.forecaster.has_told())
    }

    fn put(self, event: &PointerEvent, is_kept: bool) {
        let Some(place) = place_in_drawing(event) else { return };
        let at = self.board.view.get_untracked().to_mm(Pixel::new(place.x, place.y));
        self.forecaster.probe.set(Some(Probe { at, is_kept }));
    }
}
