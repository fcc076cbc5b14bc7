//! The form of one mold.

use std::sync::Arc;

use engine::defaults::Given;
use engine::plan::{Mold, MoldId, MoldKind, Turns};
use engine::units::Length;

use super::figures::Figures;
use super::footprint_fields::FootprintFields;
use super::relief_fields::ReliefFields;
use super::steady::steady_edit;
use crate::panels::change::change;
use crate::reactive::prelude::*;
use crate::state::use_store;
use crate::widgets::{Choice, Committed, CountField, LengthField, TextField};

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
        memo(move |_| mold.with(|mold| read(mold))).into()
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
            <HeightFields m/>
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
                    given=Given::Copies
                />
                <LengthField
                    label="Trim allowance"
                    value=m.read(|m| m.trim)
                    commit=m.write(|m, v| m.trim = v)
                    hint="Plastic left round the footprint"
                    given=Given::Trim
                />
            </div>
            <Figures mold/>
        </div>
    }
}

#[component]
fn HeightFields(m: Desired) -> impl IntoView {
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
                given=Given::Spacer
            />
            <ReliefFields m/>
        </div>
    }
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
