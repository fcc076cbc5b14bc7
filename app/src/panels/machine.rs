//! The machine: the blank it takes, its clamp lips, its platen and what it clears.

use engine::defaults::Given;
use engine::geometry::{Point, Rect};
use engine::plan::{Machine as Former, Sides};
use engine::units::Length;

use super::change::{change_machine, say_refused};
use super::stock::Stock;
use crate::reactive::prelude::*;
use crate::state::{Store, use_store};
use crate::widgets::{Button, Committed, LengthField, Show, Toggle, use_lengths, use_voice};

/// The machine and the stock.
#[component]
pub(crate) fn Machine() -> impl IntoView {
    let store = use_store();
    let style = use_lengths();
    let machine = memo(move |_| store.with(|session| session.plan().machine));
    let opening = move || {
        let (opening, style) = (machine.get().opening(), style.get());
        format!("{} x {}", style.show(opening.width()), style.show(opening.depth()))
    };
    use_voice().follow(move || format!("Opening {}.", opening()));
    view! {
        <h2>"Machine"</h2>
        <div class="fields">
            <Field machine label="Blank width" read=|m| m.blank.width write=|m, v| m.blank.width = v given=Given::BlankWidth/>
            <Field machine label="Blank depth" read=|m| m.blank.depth write=|m, v| m.blank.depth = v given=Given::BlankDepth/>
        </div>
        <Lips machine/>
        <p class="derived"><span>"Opening"</span> <strong>{opening}</strong></p>
        <Platen machine/>
        <div class="fields">
            <Field
                machine
                label="Tallest mold it clears"
                hint="Spacer included"
                read=|m| m.clears
                write=|m, v| m.clears = v
                given=Given::Clears
            />
        </div>
        <Stock/>
    }
}

type Read = fn(&Former) -> Length;
type Write = fn(&mut Former, Length);

#[component]
fn Field(
    machine: Memo<Former>,
    label: &'static str,
    #[prop(default = "")] hint: &'static str,
    read: Read,
    write: Write,
    given: Given,
) -> impl IntoView {
    let store = use_store();
    let value = Signal::derive(move || machine.with(read));
    let commit = move |length: Length| change_machine(store, |machine| write(machine, length));
    view! { <LengthField label value commit hint given/> }
}

/// The clamp lips, in one field or in one for each side.
#[component]
fn Lips(machine: Memo<Former>) -> impl IntoView {
    let store = use_store();
    let asks_each = RwSignal::new(!is_even(machine.get_untracked().lip));
    // Four different lips have no single number, whoever set them.
    let is_each = memo(move |_| asks_each.get() || !is_even(machine.get().lip));
    let turn = move |each: bool| {
        asks_each.set(each);
        if !each && let Err(words) = even_out(store) {
            say_refused(store, words);
        }
    };
    let fields = live(move || {
        if is_each.get() {
            view! {
                <Field machine label="Front clamp lip" read=|m| m.lip.front write=|m, v| m.lip.front = v given=Given::ClampLip/>
                <Field machine label="Back clamp lip" read=|m| m.lip.back write=|m, v| m.lip.back = v given=Given::ClampLip/>
                <Field machine label="Left clamp lip" read=|m| m.lip.left write=|m, v| m.lip.left = v given=Given::ClampLip/>
                <Field machine label="Right clamp lip" read=|m| m.lip.right write=|m, v| m.lip.right = v given=Given::ClampLip/>
            }
            .into_any()
        } else {
            view! {
                <Field
                    machine
                    label="Clamp lip"
                    hint="What the frame covers, the same on each side"
                    read=|m| m.lip.front
                    write=|m, v| m.lip = Sides::all(v)
                    given=Given::ClampLip
                />
            }
            .into_any()
        }
    });
    view! {
        <Toggle label="A clamp lip for each side" on=is_each turn/>
        <div class="fields">{fields}</div>
    }
}

fn is_even(lip: Sides) -> bool {
    lip == Sides::all(lip.front)
}

fn even_out(store: Store) -> Committed {
    change_machine(store, |machine| machine.lip = Sides::all(machine.lip.front))
}

/// The platen: as large as the opening, or set by itself.
#[component]
fn Platen(machine: Memo<Former>) -> impl IntoView {
    let store = use_store();
    let asks_own = RwSignal::new(false);
    let is_own = memo(move |_| {
        asks_own.get() || machine.with(|machine| machine.platen != machine.opening())
    });
    let turn = move |own: bool| {
        asks_own.set(own);
        let follow = |machine: &mut Former| machine.platen = machine.opening();
        if !own && let Err(words) = change_machine(store, follow) {
            say_refused(store, words);
        }
    };
    view! {
        <Toggle label="A platen of another size than the opening" on=is_own turn/>
        <Show when=move || is_own.get()>
            <div class="fields">
                <Field
                    machine
                    label="Platen width"
                    read=|m| m.platen.width()
                    write=|m, v| m.platen = Rect::sized(m.platen.min, v, m.platen.depth())
                    given=Given::Platen
                />
                <Field
                    machine
                    label="Platen depth"
                    read=|m| m.platen.depth()
                    write=|m, v| m.platen = Rect::sized(m.platen.min, m.platen.width(), v)
                    given=Given::Platen
                />
                <Field
                    machine
                    label="Its left edge"
                    hint="From the left edge of the blank"
                    read=|m| Length::mm(m.platen.min.x)
                    write=|m, v| m.platen = at(m.platen, Point::new(v.to_mm(), m.platen.min.y))
                    given=Given::Platen
                />
                <Field
                    machine
                    label="Its front edge"
                    hint="From the front edge of the blank"
                    read=|m| Length::mm(m.platen.min.y)
                    write=|m, v| m.platen = at(m.platen, Point::new(m.platen.min.x, v.to_mm()))
                    given=Given::Platen
                />
            </div>
            <Button
                label="Middle of the opening"
                press=move |()| {
                    if let Err(words) = change_machine(store, to_middle) {
                        say_refused(store, words);
                    }
                }
            />
        </Show>
    }
}

fn at(platen: Rect, corner: Point) -> Rect {
    platen.moved(corner - platen.min)
}

fn to_middle(machine: &mut Former) {
    machine.platen = machine.platen.moved(machine.opening().center() - machine.platen.center());
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_platen_is_moved_whole() {
        let platen = Rect::sized(Point::ORIGIN, Length::mm(200.0), Length::mm(100.0));
        let mut former = Former { platen, ..Former::default() };
        let moved = at(former.platen, Point::new(30.0, 20.0));
        assert_eq!(
            moved,
            Rect::sized(Point::new(30.0, 20.0), Length::mm(200.0), Length::mm(100.0))
        );
        to_middle(&mut former);
        assert!(former.platen.center().distance(former.opening().center()) < 1e-9);
    }

    #[test]
    fn lips_are_even_when_no_side_differs() {
        let mut lip = Sides::all(Length::mm(15.0));
        assert!(is_even(lip));
        lip.back = Length::mm(25.0);
        assert!(!is_even(lip));
    }
}
