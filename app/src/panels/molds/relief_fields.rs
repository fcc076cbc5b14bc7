//! The fields of a mold's shape above its footprint: its relief, and the measures of that relief.

use std::sync::Arc;

use engine::defaults::Given;
use engine::plan::{HeightGrid, Mold, Relief, Size, Step, limits};
use engine::units::{Angle, Length};

use super::form::Desired;
use super::kinds::size_of;
use crate::reactive::prelude::*;
use crate::widgets::{AngleField, Button, Choice, LengthField, NumberField};

/// The relief of a mold and what that relief is measured by.
#[component]
pub(super) fn ReliefFields(
    /// The mold it belongs to.
    m: Desired,
) -> impl IntoView {
    let kind = m.read(|m| ReliefKind::of(&m.relief));
    let now =
        m.read(|m| if let Relief::Heights(grid) = &m.relief { Some(grid.clone()) } else { None });
    // Heights can be chosen again for as long as the form is open, because nobody can type them anew.
    let heights = memo(move |before: Option<&Option<Arc<HeightGrid>>>| {
        now.get().or_else(|| before.cloned().flatten())
    });
    let has_heights = memo(move |_| heights.with(Option::is_some));
    let choose = m.write(move |m: &mut Mold, kind: ReliefKind| {
        m.relief = kind.made_from(m, heights.get_untracked());
    });
    let measures = live(move || match kind.get() {
        ReliefKind::FlatTop => view! {
            <Draft m/>
            <LengthField
                label="Edge radius"
                value=m.read(|m| edge(&m.relief))
                commit=m.write(|m, edge| m.relief = Relief::FlatTop { edge })
                hint="Rounds the top edge; 0 leaves it sharp"
                given=Given::EdgeRadius
            />
        }
        .into_any(),
        ReliefKind::Stepped => view! { <Draft m/> <Steps m/> }.into_any(),
        ReliefKind::Dome => ().into_any(),
        ReliefKind::Taper => view! {
            <NumberField
                label="Scale of the top"
                value=m.read(|m| top(&m.relief))
                commit=m.write(|m, top| m.relief = Relief::Taper { top })
                hint="1 straight up, 0 to a point"
                given=Given::TaperTop
            />
        }
        .into_any(),
        ReliefKind::Heights => view! { <Draft m/> <GridNote m/> }.into_any(),
    });
    view! {
        // The choice is made anew when heights come, as it offers what there is.
        {move || view! {
            <Choice
                label="Relief"
                options=reliefs(has_heights.get())
                value=kind
                commit=choose
            />
        }}
        {measures}
    }
}

#[component]
fn Draft(m: Desired) -> impl IntoView {
    view! {
        <AngleField
            label="Draft"
            value=m.read(|m| m.draft)
            commit=m.write(|m, v: Angle| m.draft = v)
            hint="Walls from vertical"
            given=Given::Draft
        />
    }
}

#[component]
fn GridNote(m: Desired) -> impl IntoView {
    let words = m.read(|m| {
        let Relief::Heights(grid) = &m.relief else { return String::new() };
        format!("Shaped as its mesh, kept as {} × {} heights.", grid.columns(), grid.rows())
    });
    view! { <p class="panel-note field-wide">{words}</p> }
}

/// The steps, each with its height and how far in it ends.
#[component]
fn Steps(m: Desired) -> impl IntoView {
    let count = m.read(|m| steps(&m.relief).len());
    let rows = live(move || (0..count.get()).map(|n| view! { <StepFields m n/> }).collect_view());
    let add = m.write(|m: &mut Mold, ()| m.relief = with_another_step(m));
    view! {
        {rows}
        <div class="field field-wide">
            <Button
                label="Add a step"
                press=move |()| {
                    // The field that is in the way says why, when it is changed; a step that does not fit is not added.
                    let _added = add.run(());
                }
                disabled=Signal::derive(move || count.get() >= limits::STEPS)
            />
        </div>
    }
}

#[component]
fn StepFields(m: Desired, n: usize) -> impl IntoView {
    let step = move |m: &Mold| steps(&m.relief).get(n).copied().unwrap_or(NO_STEP);
    let remove = m.write(move |m: &mut Mold, ()| m.relief = without_step(&m.relief, n));
    let is_only = m.read(|m| steps(&m.relief).len() < 2);
    view! {
        <LengthField
            label=format!("Step {}: height", n + 1)
            value=m.read(move |m| step(m).height)
            commit=m.write(move |m, height| change_step(&mut m.relief, n, |step| step.height = height))
            hint="From the foot of the mold"
        />
        <LengthField
            label=format!("Step {}: in from the outline", n + 1)
            value=m.read(move |m| step(m).inset)
            commit=m.write(move |m, inset| change_step(&mut m.relief, n, |step| step.inset = inset))
            hint="Where its ledge ends and the next wall begins"
        />
        <div class="field field-wide">
            <Button
                label=format!("Remove step {}", n + 1)
                press=move |()| {
                    let _removed = remove.run(());
                }
                disabled=is_only
                kind="quiet"
            />
        </div>
    }
}

/// What stands for a step that is gone while its fields still are.
const NO_STEP: Step = Step { height: Length::ZERO, inset: Length::ZERO };

/// A relief without its figures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum ReliefKind {
    FlatTop,
    Stepped,
    Dome,
    Taper,
    Heights,
}

impl ReliefKind {
    const fn of(relief: &Relief) -> Self {
        match relief {
            Relief::FlatTop { .. } => Self::FlatTop,
            Relief::Stepped { .. } => Self::Stepped,
            Relief::Dome => Self::Dome,
            Relief::Taper { .. } => Self::Taper,
            Relief::Heights(_) => Self::Heights,
        }
    }

    /// A relief of this kind for a mold, with these heights where it is to have any.
    fn made_from(self, mold: &Mold, heights: Option<Arc<HeightGrid>>) -> Relief {
        match self {
            _ if self == Self::of(&mold.relief) => mold.relief.clone(),
            Self::FlatTop => Relief::FLAT,
            Self::Heights => heights.map_or(Relief::FLAT, Relief::Heights),
            Self::Stepped => Relief::Stepped { steps: vec![next_step(mold, NO_STEP)] },
            Self::Dome => Relief::Dome,
            Self::Taper => Relief::Taper { top: Relief::TAPER_TOP },
        }
    }
}

const fn edge(relief: &Relief) -> Length {
    if let Relief::FlatTop { edge } = relief { *edge } else { Length::ZERO }
}

const fn top(relief: &Relief) -> f64 {
    if let Relief::Taper { top } = relief { *top } else { Relief::TAPER_TOP }
}

fn steps(relief: &Relief) -> &[Step] {
    if let Relief::Stepped { steps } = relief { steps } else { &[] }
}

/// A step halfway from the one below to the top, with a ledge of a tenth of the mold's narrower side.
fn next_step(mold: &Mold, below: Step) -> Step {
    let Size { width, depth } = size_of(&mold.footprint);
    let hundredth = |length: Length| Length::mm((length.to_mm() * 100.0).ceil() / 100.0);
    let height = below.height + hundredth((mold.height - below.height) / 2.0);
    let run = (height - below.height) * mold.draft.tan();
    Step { height, inset: below.inset + hundredth(run + width.min(depth) / 10.0) }
}

fn with_another_step(mold: &Mold) -> Relief {
    let mut steps = steps(&mold.relief).to_vec();
    let below = steps.last().copied().unwrap_or(NO_STEP);
    steps.push(next_step(mold, below));
    Relief::Stepped { steps }
}

fn without_step(relief: &Relief, n: usize) -> Relief {
    let kept = steps(relief).iter().enumerate().filter(|(index, _)| *index != n);
    Relief::Stepped { steps: kept.map(|(_, step)| *step).collect() }
}

fn change_step(relief: &mut Relief, n: usize, change: impl FnOnce(&mut Step)) {
    if let Relief::Stepped { steps } = relief
        && let Some(step) = steps.get_mut(n)
    {
        change(step);
    }
}

fn reliefs(has_heights: bool) -> Vec<(ReliefKind, String)> {
    let mut reliefs = vec![
        (ReliefKind::FlatTop, "Flat top".into()),
        (ReliefKind::Stepped, "Steps".into()),
        (ReliefKind::Dome, "Dome".into()),
        (ReliefKind::Taper, "Taper".into()),
    ];
    if has_heights {
        reliefs.push((ReliefKind::Heights, "As its mesh".into()));
    }
    reliefs
}

#[cfg(test)]
mod tests {
    use engine::edit::Edit;
    use engine::plan::{Footprint, Machine, MoldId, Plan};

    use super::*;

    fn mold(height: f64, draft: f64) -> Mold {
        let plate = Footprint::Rectangle { width: Length::mm(80.0), depth: Length::mm(60.0) };
        Mold { draft: Angle::degrees(draft), ..Mold::new("Rock", plate, Length::mm(height)) }
    }

    #[test]
    fn steps_that_are_added_are_accepted_and_one_is_left_when_others_go() {
        let plan = Plan::new("Plan", Machine::default());
        for (height, draft) in [(20.0, 3.0), (33.3, 0.0), (9.7, 45.0)] {
            let mut mold = mold(height, draft);
            mold.relief = ReliefKind::Stepped.made_from(&mold, None);
            for n in 1..=3 {
                assert_eq!(steps(&mold.relief).len(), n);
                let edit = Edit::AddMold(MoldId(1), Box::new(mold.clone()));
                plan.apply(&edit).unwrap_or_else(|error| panic!("{height} mm, {n}: {error}"));
                mold.relief = with_another_step(&mold);
            }
            assert_eq!(steps(&without_step(&mold.relief, 0)).len(), 3);
        }
    }

    #[test]
    fn the_kind_it_has_already_changes_nothing_and_a_step_is_changed_where_it_is() {
        let mut mold = mold(20.0, 3.0);
        mold.relief = Relief::FlatTop { edge: Length::mm(4.0) };
        assert_eq!(ReliefKind::FlatTop.made_from(&mold, None), mold.relief);
        mold.relief = ReliefKind::Stepped.made_from(&mold, None);
        change_step(&mut mold.relief, 0, |step| step.height = Length::mm(7.0));
        change_step(&mut mold.relief, 5, |step| step.height = Length::mm(9.0));
        assert_eq!(steps(&mold.relief)[0].height, Length::mm(7.0));
    }
}
