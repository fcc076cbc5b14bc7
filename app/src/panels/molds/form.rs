//! The form of one mold.

use std::sync::Arc;

use engine::plan::{Mold, MoldId, MoldKind, Relief, Turns};
use engine::units::{Angle, Length};
use leptos::prelude::*;

use super::figures::Figures;
use super::footprint_fields::FootprintFields;
use super::steady::steady_edit;
use crate::panels::change::change;
use crate::state::use_store;
use crate::widgets::{
    AngleField, Choice, Committed, CountField, LengthField, NumberField, TextField,
};

/// A mold as its fields see it: what it is now, and how to change it.
#[derive(Clone, Copy)]
pub(super) struct Desired {
    mold: Memo<Arc<Mold>>,
    change: Callback<Arc<Mold>, Committed>,
}

impl Desired {
    /// Something of the mold, followed as it changes.
    pub(super) fn read<T>(self, read: impl Fn(&Mold) -> T + Send + Sync + 'static) -> Signal<T>
    where
        T: PartialEq + Send + Sync + 'static,
    {
        let mold = self.mold;
        Memo::new(move |_| mold.with(|mold| read(mold))).into()
    }

    /// A callback that puts a value into the mold.
    pub(super) fn write<T: 'static>(
        self,
        write: impl Fn(&mut Mold, T) + Send + Sync + 'static,
    ) -> Callback<T, Committed> {
        Callback::new(move |value| {
            let mut mold = (*self.mold.get_untracked()).clone();
            write(&mut mold, value);
            self.change.run(Arc::new(mold))
        })
    }
}

/// Everything that can be said of one mold.
#[component]
pub(super) fn MoldForm(
    /// Which mold.
    id: MoldId,
    /// What it is now.
    mold: Memo<Arc<Mold>>,
) -> impl IntoView {
    let store = use_store();
    let change = Callback::new(move |next: Arc<Mold>| {
        change(store, store.peek(|session| steady_edit(session.plan(), id, &next)))
    });
    let m = Desired { mold, change };
    view! {
        <div class="form">
            <TextField label="Name" value=m.read(|m| m.name.clone()) commit=m.write(|m, v| m.name = v)/>
            <FootprintFields m/>
            <ReliefFields m/>
            <div class="fields">
                <Choice
                    label="Turns that Arrange may give it"
                    options=turns()
                    value=m.read(|m| m.turns)
                    commit=m.write(|m, v| m.turns = v)
                />
                <CountField
                    label="Copies that exist"
                    value=m.read(|m| m.copies)
                    commit=m.write(|m, v| m.copies = v)
                />
                <LengthField
                    label="Trim allowance"
                    value=m.read(|m| m.trim)
                    commit=m.write(|m, v| m.trim = v)
                    hint="Plastic left round the footprint"
                />
            </div>
            <Figures mold/>
        </div>
    }
}

#[component]
fn ReliefFields(m: Desired) -> impl IntoView {
    let is_taper = m.read(|m| matches!(m.relief, Relief::Taper { .. }));
    let is_flat = m.read(|m| m.relief == Relief::FlatTop);
    let top = m.read(|m| if let Relief::Taper { top } = m.relief { top } else { 0.5 });
    view! {
        <div class="fields">
            <Choice
                label="Male or female"
                options=kinds()
                value=m.read(|m| m.kind)
                commit=m.write(|m, v| m.kind = v)
                hint="The sheet goes over, or into it"
            />
            <LengthField
                label="Height"
                value=m.read(|m| m.height)
                commit=m.write(|m, v: Length| m.height = v)
                hint="A female mold: its depth"
            />
            <LengthField
                label="Spacer"
                value=m.read(|m| m.spacer)
                commit=m.write(|m, v: Length| m.spacer = v)
                hint="What it is raised by; counts for clearance"
            />
            <Choice
                label="Relief"
                options=reliefs()
                value=m.read(|m| ReliefKind::of(m.relief))
                commit=m.write(|m, v: ReliefKind| m.relief = v.made_from(m.relief))
            />
            <Show when=move || is_flat.get()>
                <AngleField
                    label="Draft"
                    value=m.read(|m| m.draft)
                    commit=m.write(|m, v: Angle| m.draft = v)
                    hint="Walls from vertical"
                />
            </Show>
            <Show when=move || is_taper.get()>
                <NumberField
                    label="Scale of the top"
                    value=top
                    commit=m.write(|m, top| m.relief = Relief::Taper { top })
                    hint="1 straight up, 0 to a point"
                />
            </Show>
        </div>
    }
}

/// A relief without its figures.
#[derive(Clone, Copy, PartialEq, Eq)]
enum ReliefKind {
    FlatTop,
    Dome,
    Taper,
}

impl ReliefKind {
    const fn of(relief: Relief) -> Self {
        match relief {
            Relief::FlatTop => Self::FlatTop,
            Relief::Dome => Self::Dome,
            Relief::Taper { .. } => Self::Taper,
        }
    }

    fn made_from(self, relief: Relief) -> Relief {
        match self {
            Self::FlatTop => Relief::FlatTop,
            Self::Dome => Relief::Dome,
            Self::Taper if Self::of(relief) == self => relief,
            Self::Taper => Relief::Taper { top: 0.5 },
        }
    }
}

fn reliefs() -> Vec<(ReliefKind, String)> {
    vec![
        (ReliefKind::FlatTop, "Flat top".into()),
        (ReliefKind::Dome, "Dome".into()),
        (ReliefKind::Taper, "Taper".into()),
    ]
}

fn kinds() -> Vec<(MoldKind, String)> {
    vec![(MoldKind::Male, "Male".into()), (MoldKind::Female, "Female".into())]
}

fn turns() -> Vec<(Turns, String)> {
    vec![
        (Turns::Free, "Any".into()),
        (Turns::Quarter, "Quarter turns".into()),
        (Turns::Fixed, "None: as drawn".into()),
    ]
}
