//! The gestures as data: presses, moves and releases in, effects out.

use super::*;
use engine::units::Length;

const A: PlacementId = PlacementId(1);
const B: PlacementId = PlacementId(2);

/// A board on which A is selected, A stands at (100, 100) and B at (200, 100), one pixel a millimetre.
struct Table {
    selection: BTreeSet<PlacementId>,
    centres: BTreeMap<PlacementId, Point>,
    gesture: Gesture,
}

impl Table {
    fn new() -> Self {
        let centres = BTreeMap::from([(A, Point::new(100.0, 100.0)), (B, Point::new(200.0, 100.0))]);
        Self { selection: BTreeSet::from([A]), centres, gesture: Gesture::Idle }
    }

    fn view() -> Viewport {
        let blank = Rect::sized(Point::ORIGIN, Length::mm(400.0), Length::mm(300.0));
        Viewport::new(blank).resized(456.0, 356.0)
    }

    /// Does one input; selecting has its effect, as it would have in the page.
    fn on(&mut self, input: Input) -> Vec<Effect> {
        let seen = Seen {
            view: Self::view(),
            selection: &self.selection,
            centres: &self.centres,
            pivot: Some(Point::new(100.0, 100.0)),
        };
        let (gesture, effects) = step(std::mem::take(&mut self.gesture), input, &seen);
        self.gesture = gesture;
        for effect in &effects {
            match effect {
                Effect::Select(ids) => self.selection.clone_from(ids),
                Effect::Toggle(id) if self.selection.contains(id) => {
                    self.selection.remove(id);
                }
                Effect::Toggle(id) => {
                    self.selection.insert(*id);
                }
                _ => {}
            }
        }
        effects
    }

    fn press(&mut self, target: Target, intent: Intent) -> Vec<Effect> {
        self.on(press(1, (50.0, 50.0), Tool::Mouse, target, intent))
    }

    fn touch(&mut self, pointer: i32, at: (f64, f64), target: Target) -> Vec<Effect> {
        self.on(press(pointer, at, Tool::Touch, target, Intent::Plain))
    }

    fn go(&mut self, pointer: i32, x: f64, y: f64) -> Vec<Effect> {
        self.on(Input::Move { pointer, at: Pixel::new(x, y), is_free: false })
    }

    fn release(&mut self, pointer: i32) -> Vec<Effect> {
        self.on(Input::Release { pointer })
    }
}

fn press(pointer: i32, at: (f64, f64), tool: Tool, target: Target, intent: Intent) -> Input {
    let at = Pixel::new(at.0, at.1);
    Input::Press(Press { pointer, at, tool, target, intent })
}

fn only(id: PlacementId) -> Effect {
    Effect::Select(BTreeSet::from([id]))
}

fn ids(ids: &[PlacementId]) -> BTreeSet<PlacementId> {
    ids.iter().copied().collect()
}

#[test]
fn pressing_a_mold_selects_it_at_once() {
    let mut table = Table::new();
    assert_eq!(table.press(Target::Mold(B), Intent::Plain), [only(B)]);
    assert_eq!(table.release(1), []);
    assert_eq!(table.gesture, Gesture::Idle);
}

#[test]
fn shift_adds_on_press_and_takes_away_on_release() {
    let mut table = Table::new();
    assert_eq!(table.press(Target::Mold(B), Intent::Add), [Effect::Toggle(B)]);
    assert_eq!(table.release(1), []);
    assert_eq!(table.press(Target::Mold(A), Intent::Add), []);
    assert_eq!(table.release(1), [Effect::Toggle(A)]);
    assert_eq!(table.selection, ids(&[B]));
}

#[test]
fn a_click_on_one_of_several_selected_selects_just_that_one() {
    let mut table = Table::new();
    table.selection = ids(&[A, B]);
    assert_eq!(table.press(Target::Mold(A), Intent::Plain), []);
    assert_eq!(table.release(1), [only(A)]);
}

#[test]
fn a_drag_of_several_selected_keeps_them_selected() {
    let mut table = Table::new();
    table.selection = ids(&[A, B]);
    table.press(Target::Mold(A), Intent::Plain);
    table.go(1, 70.0, 50.0);
    assert_eq!(table.release(1), [Effect::Drop]);
    assert_eq!(table.selection, ids(&[A, B]));
}

#[test]
fn a_mouse_drags_after_four_pixels_and_a_finger_after_eight() {
    let mut table = Table::new();
    table.press(Target::Mold(A), Intent::Plain);
    assert_eq!(table.go(1, 53.9, 50.0), []);
    let dragged = Effect::Drag { by: Vec2::new(4.0, 0.0), is_free: false };
    assert_eq!(table.go(1, 54.0, 50.0), [dragged]);

    let mut table = Table::new();
    table.touch(1, (50.0, 50.0), Target::Mold(A));
    assert_eq!(table.go(1, 57.9, 50.0), []);
    assert_eq!(table.go(1, 50.0, 58.0), [Effect::Drag { by: Vec2::new(0.0, -8.0), is_free: false }]);
}

#[test]
fn a_drag_is_measured_from_where_it_began_and_dropped_once() {
    let mut table = Table::new();
    table.press(Target::Mold(A), Intent::Plain);
    table.go(1, 80.0, 50.0);
    let by = Vec2::new(30.0, -20.0);
    assert_eq!(table.go(1, 80.0, 70.0), [Effect::Drag { by, is_free: false }]);
    let free = Input::Move { pointer: 1, at: Pixel::new(80.0, 70.0), is_free: true };
    assert_eq!(table.on(free), [Effect::Drag { by, is_free: true }]);
    assert_eq!(table.release(1), [Effect::Drop]);
    assert_eq!(table.release(1), []);
    assert_eq!(table.go(1, 90.0, 90.0), []);
}

#[test]
fn coming_back_into_the_dead_zone_is_still_a_drag() {
    let mut table = Table::new();
    table.press(Target::Mold(A), Intent::Plain);
    table.go(1, 80.0, 50.0);
    let back = Effect::Drag { by: Vec2::new(1.0, 0.0), is_free: false };
    assert_eq!(table.go(1, 51.0, 50.0), [back]);
}

#[test]
fn aborting_a_drag_or_a_turn_forgets_it() {
    for target in [Target::Mold(A), Target::TurnHandle] {
        let mut table = Table::new();
        table.press(target, Intent::Plain);
        table.go(1, 80.0, 50.0);
        assert_eq!(table.on(Input::Abort), [Effect::Cancel]);
        assert_eq!(table.release(1), [], "{target:?}");
    }
}

#[test]
fn the_handle_turns_about_the_pivot_counter_clockwise() {
    let mut table = Table::new();
    // The pivot (100, 100) lies at pixel (128, 228); the press is straight behind it.
    table.on(press(1, (128.0, 128.0), Tool::Mouse, Target::TurnHandle, Intent::Plain));
    let effects = table.go(1, 28.0, 228.0);
    let [Effect::Turn { by, is_free: false }] = effects[..] else { panic!("{effects:?}") };
    assert!((by.to_degrees() - 90.0).abs() < 1e-9, "{by:?}");
    assert_eq!(table.release(1), [Effect::Drop]);
}

#[test]
fn a_mouse_draws_a_band_that_catches_the_centres_it_covers() {
    let mut table = Table::new();
    table.on(press(1, (180.0, 180.0), Tool::Mouse, Target::Ground, Intent::Plain));
    let effects = table.go(1, 300.0, 300.0);
    assert_eq!(effects[1..], [only(B)]);
    let Effect::Band(Some(band)) = effects[0] else { panic!("{effects:?}") };
    assert!((band.width().to_mm() - 120.0).abs() < 1e-9);
    // Nothing more is caught: the selection is not set again.
    assert_eq!(table.go(1, 310.0, 300.0).len(), 1);
    assert_eq!(table.release(1), [Effect::Band(None)]);
    assert_eq!(table.selection, ids(&[B]));
}

#[test]
fn a_band_with_shift_adds_and_an_aborted_one_gives_the_selection_back() {
    let mut table = Table::new();
    table.on(press(1, (180.0, 180.0), Tool::Mouse, Target::Ground, Intent::Add));
    table.go(1, 300.0, 300.0);
    assert_eq!(table.selection, ids(&[A, B]));
    table.on(Input::Abort);
    assert_eq!(table.selection, ids(&[A]));
}

#[test]
fn a_click_on_the_ground_selects_nothing() {
    let mut table = Table::new();
    table.press(Target::Ground, Intent::Plain);
    assert_eq!(table.release(1), [Effect::Select(BTreeSet::new())]);
    table.press(Target::Ground, Intent::Add);
    assert_eq!(table.release(1), []);
}

#[test]
fn one_finger_on_the_ground_and_space_or_middle_button_anywhere_pan() {
    let view = |to| Table::view().panned(Pixel::new(50.0, 50.0), to);
    let mut table = Table::new();
    table.touch(1, (50.0, 50.0), Target::Ground);
    let to = Pixel::new(70.0, 90.0);
    assert_eq!(table.go(1, 70.0, 90.0), [Effect::View(view(to))]);
    assert_eq!(table.release(1), []);

    table.press(Target::Mold(B), Intent::Pan);
    assert_eq!(table.go(1, 51.0, 50.0), [Effect::View(view(Pixel::new(51.0, 50.0)))]);
    assert_eq!(table.selection, ids(&[A]));
    assert_eq!(table.on(Input::Abort), [Effect::View(Table::view())]);
}

#[test]
fn a_second_finger_ends_a_drag_and_pinches() {
    let mut table = Table::new();
    table.touch(1, (200.0, 200.0), Target::Mold(A));
    table.go(1, 220.0, 200.0);
    assert_eq!(table.touch(2, (280.0, 200.0), Target::Ground), [Effect::Cancel]);
    let effects = table.go(2, 340.0, 200.0);
    let [Effect::View(view)] = effects[..] else { panic!("{effects:?}") };
    assert!((view.scale() - 2.0 * Table::view().scale()).abs() < 1e-9);
    // What was midway between the fingers still is.
    let held = Table::view().to_mm(Pixel::new(250.0, 200.0));
    assert!(view.to_pixel(held).distance(Pixel::new(280.0, 200.0)) < 1e-9);
    table.release(1);
    assert!(matches!(table.gesture, Gesture::Panning(..)));
    table.release(2);
    assert_eq!(table.gesture, Gesture::Idle);
}

#[test]
fn fingers_that_meet_do_not_zoom_without_end() {
    let mut table = Table::new();
    table.touch(1, (200.0, 200.0), Target::Ground);
    table.touch(2, (200.0, 200.0), Target::Ground);
    let effects = table.go(2, 201.0, 200.0);
    let [Effect::View(view)] = effects[..] else { panic!("{effects:?}") };
    assert!(view.scale().is_finite());
}

#[test]
fn other_pointers_are_ignored_while_one_is_at_work() {
    let mut table = Table::new();
    table.press(Target::Mold(A), Intent::Plain);
    table.go(1, 80.0, 50.0);
    let before = table.gesture.clone();
    assert_eq!(table.touch(7, (10.0, 10.0), Target::Ground), []);
    assert_eq!(table.go(7, 100.0, 100.0), []);
    assert_eq!(table.release(7), []);
    assert_eq!(table.gesture, before);
}
