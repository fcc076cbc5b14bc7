//! The fields of a footprint: its kind, and the measures of that kind.

use crate::reactive::prelude::*;
use engine::plan::{Footprint, Mold};
use engine::units::Length;

use super::form::Desired;
use super::kinds::Kind;
use super::outline_fields::OutlineFields;
use crate::widgets::{Choice, CountField, LengthField};

/// The kind of footprint and its measures.
#[component]
pub(super) fn FootprintFields(
    /// The mold it belongs to.
    m: Desired,
) -> impl IntoView {
    let kind = m.read(|m| Kind::of(&m.footprint));
    let options: Vec<_> = Kind::ALL.map(|kind| (kind, kind.words().to_owned())).into();
    let measures = live(move || match kind.get() {
        Kind::Rectangle | Kind::Ellipse => view! { <Sides m/> }.into_any(),
        Kind::RoundedRectangle => view! {
            <Sides m/>
            <Measure m label="Corner radius" which=Which::Radius/>
        }
        .into_any(),
        Kind::Circle => view! { <Measure m label="Diameter" which=Which::Diameter/> }.into_any(),
        Kind::Polygon => view! {
            <CountField
                label="Sides"
                value=m.read(|m| sides(&m.footprint))
                commit=m.write(|m, v| set_sides(&mut m.footprint, v))
            />
            <Measure m label="Diameter through the corners" which=Which::Diameter/>
        }
        .into_any(),
        Kind::Outline => view! { <OutlineFields m/> }.into_any(),
    });
    view! {
        <div class="fields">
            <Choice
                label="Footprint"
                options
                value=kind
                commit=m.write(|m: &mut Mold, kind: Kind| m.footprint = kind.made_from(&m.footprint))
            />
            {measures}
        </div>
    }
}

#[component]
fn Sides(m: Desired) -> impl IntoView {
    view! {
        <Measure m label="Width, left to right" which=Which::Width/>
        <Measure m label="Depth, front to back" which=Which::Depth/>
    }
}

#[component]
fn Measure(m: Desired, label: &'static str, which: Which) -> impl IntoView {
    let value = m.read(move |m| which.of(&m.footprint));
    let commit = m.write(move |m, v: Length| which.set(&mut m.footprint, v));
    view! { <LengthField label value commit/> }
}

/// One measure of a footprint; each kind has some of them.
#[derive(Clone, Copy)]
enum Which {
    Width,
    Depth,
    Radius,
    Diameter,
}

impl Which {
    fn of(self, footprint: &Footprint) -> Length {
        let mut copy = footprint.clone();
        self.place(&mut copy).map_or(Length::ZERO, |length| *length)
    }

    fn set(self, footprint: &mut Footprint, value: Length) {
        if let Some(length) = self.place(footprint) {
            *length = value;
        }
    }

    /// Where the measure is kept; `None` when this kind of footprint has none.
    fn place(self, footprint: &mut Footprint) -> Option<&mut Length> {
        match (self, footprint) {
            (
                Self::Width,
                Footprint::Rectangle { width, .. }
                | Footprint::RoundedRectangle { width, .. }
                | Footprint::Ellipse { width, .. },
            ) => Some(width),
            (
                Self::Depth,
                Footprint::Rectangle { depth, .. }
                | Footprint::RoundedRectangle { depth, .. }
                | Footprint::Ellipse { depth, .. },
            ) => Some(depth),
            (Self::Radius, Footprint::RoundedRectangle { radius, .. }) => Some(radius),
            (
                Self::Diameter,
                Footprint::Circle { diameter } | Footprint::Polygon { diameter, .. },
            ) => Some(diameter),
            _ => None,
        }
    }
}

const fn sides(footprint: &Footprint) -> u32 {
    if let Footprint::Polygon { sides, .. } = footprint { *sides } else { 6 }
}

const fn set_sides(footprint: &mut Footprint, value: u32) {
    if let Footprint::Polygon { sides, .. } = footprint {
        *sides = value;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_measure_is_set_where_the_kind_has_it_and_nowhere_else() {
        let mut plate = Footprint::Rectangle { width: Length::mm(60.0), depth: Length::mm(40.0) };
        Which::Depth.set(&mut plate, Length::mm(45.0));
        Which::Radius.set(&mut plate, Length::mm(9.0));
        assert_eq!(
            plate,
            Footprint::Rectangle { width: Length::mm(60.0), depth: Length::mm(45.0) }
        );
        assert_eq!(Which::Width.of(&plate), Length::mm(60.0));
        assert_eq!(Which::Diameter.of(&plate), Length::ZERO);
    }
}
