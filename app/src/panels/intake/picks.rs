//! Outlines that could become molds: which to add, under which names and how tall.

use std::sync::Arc;

use engine::edit::Edit;
use engine::geometry::{Point, Region, Ring};
use engine::plan::{Footprint, Mold, MoldId, Plan, limits};
use engine::units::{Length, LengthStyle};
use works::Shape;

use crate::panels::change::{change, say_done};
use crate::panels::mold_shelf::MoldKeeper;
use crate::panels::mold_text;
use crate::panels::molds::{RegionPicture, change_id};
use crate::platform::focus_next;
use crate::reactive::prelude::*;
use crate::state::Store;
use crate::widgets::{Button, Committed, LengthField, Show, TextField, Toggle, use_lengths};

/// One outline and what is to become of it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Pick {
    /// The outline as it was told.
    pub(super) shape: Arc<Shape>,
    /// Whether it is to be added.
    pub(super) is_chosen: bool,
    /// What its mold is to be called.
    pub(super) name: String,
    /// How tall its mold is.
    pub(super) height: Length,
}

/// All outlines that were found; a newtype for components, cheap to copy.
#[derive(Clone, Copy, Debug)]
pub(super) struct Picks(pub(super) RwSignal<Vec<Pick>>);

/// Who says how tall a mold is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum HeightFrom {
    /// The mesh that it was made of.
    Mold,
    /// The person.
    Person,
}

/// How tall the mold was made.
fn measured(shape: &Shape) -> Option<Length> {
    mold_text::mold_of(shape.mold.as_deref()?).map(|mold| mold.height)
}

/// How tall a mold is taken to be until the person says.
const UNTOLD_HEIGHT: Length = Length::mm(20.0);

impl Picks {
    pub(super) fn new() -> Self {
        Self(RwSignal::new(Vec::new()))
    }

    /// Takes the outlines of another reading; what was chosen and typed stays where there are as many as before.
    pub(super) fn renew(self, shapes: Vec<Shape>, height_from: HeightFrom) {
        let before = self.0.get_untracked();
        let is_same = before.len() == shapes.len();
        let renewed = shapes.into_iter().enumerate().map(|(at, shape)| {
            let old = before.get(at).filter(|_| is_same);
            let name = old.map_or_else(|| shape.name.clone(), |old| old.name.clone());
            let told = match height_from {
                HeightFrom::Mold => measured(&shape),
                HeightFrom::Person => old.map(|old| old.height),
            };
            let is_chosen = shape.mold.is_some() && old.is_none_or(|old| old.is_chosen);
            Pick { shape: Arc::new(shape), is_chosen, name, height: told.unwrap_or(UNTOLD_HEIGHT) }
        });
        self.0.set(renewed.collect());
    }

    pub(super) fn clear(self) {
        self.0.set(Vec::new());
    }

    /// How many are chosen, tracked.
    pub(super) fn n_chosen(self) -> usize {
        self.0.with(|picks| picks.iter().filter(|pick| pick.is_chosen).count())
    }

    fn update(self, at: usize, with: impl FnOnce(&mut Pick)) {
        self.0.update(|picks| {
            if let Some(pick) = picks.get_mut(at) {
                with(pick);
            }
        });
    }

    /// Adds what is chosen to the plan as one step; or says why not.
    pub(super) fn add(self, store: Store, shelf: MoldKeeper, source: &str) -> Result<(), String> {
        let edits =
            self.0.with_untracked(|picks| store.peek(|session| edits(session.plan(), picks)))?;
        let n = edits.len();
        let added: Vec<(MoldId, Footprint)> = edits.iter().filter_map(added).collect();
        let first = added.first().map(|(id, _)| *id);
        change(store, Edit::All(edits))?;
        added.iter().for_each(|(_, footprint)| shelf.remember(footprint, source));
        let words = if n == 1 { "One mold is".to_owned() } else { format!("{n} molds are") };
        say_done(store, format!("{words} added from {source}. Undo takes them back."));
        if let Some(id) = first {
            focus_next(vec![change_id(id)]);
        }
        Ok(())
    }
}

/// The mold that an edit adds, and its footprint.
fn added(edit: &Edit) -> Option<(MoldId, Footprint)> {
    match edit {
        Edit::AddMold(id, mold) => Some((*id, mold.footprint.clone())),
        _ => None,
    }
}

/// The edits that add what is chosen, under free ids.
fn edits(plan: &Plan, picks: &[Pick]) -> Result<Vec<Edit>, String> {
    let free = plan.free_mold_id().0;
    let chosen = picks.iter().filter(|pick| pick.is_chosen);
    let edit = |(id, pick): (u32, &Pick)| {
        let mold = mold_of(pick).ok_or_else(|| format!("{} makes no mold.", pick.name))?;
        Ok(Edit::AddMold(MoldId(id), Box::new(mold)))
    };
    let edits: Vec<Edit> = (free..).zip(chosen).map(edit).collect::<Result<_, String>>()?;
    if edits.is_empty() {
        return Err("Nothing is chosen: tick at least one outline.".into());
    }
    Ok(edits)
}

/// The mold as it was made beside the page, with what the person said of it.
fn mold_of(pick: &Pick) -> Option<Mold> {
    let mold = mold_text::mold_of(pick.shape.mold.as_deref()?)?;
    Some(Mold { name: pick.name.clone(), height: pick.height, ..mold })
}

/// The outlines told in numbers as a region of the geometry, for pictures.
pub(super) fn region_of(picture: &[Vec<[f64; 2]>]) -> Region {
    let ring = |corners: &Vec<[f64; 2]>| {
        Ring::new(corners.iter().map(|&[x, y]| Point::new(x, y)).collect())
    };
    let mut rings = picture.iter().map(ring);
    let outer = rings.next().unwrap_or_else(|| Ring::new(Vec::new()));
    Region { outer, holes: rings.collect() }
}

/// The list of outlines, each with its picture, its name and its height.
#[component]
pub(super) fn PickList(
    /// The outlines.
    picks: Picks,
    /// Whether heights are asked for; those of a mesh are measured.
    has_heights: Memo<bool>,
) -> impl IntoView {
    let count = memo(move |_| picks.0.with(Vec::len));
    let has_several = memo(move |_| count.get() > 1);
    let choose_all = move |is_chosen: bool| {
        picks.0.update(|picks| {
            for pick in picks.iter_mut() {
                pick.is_chosen = is_chosen && pick.shape.mold.is_some();
            }
        });
    };
    let height = Signal::derive(move || {
        picks.0.with(|picks| picks.first().map_or(UNTOLD_HEIGHT, |pick| pick.height))
    });
    let set_all = move |height: Length| {
        sound_height(height)?;
        picks.0.update(|picks| picks.iter_mut().for_each(|pick| pick.height = height));
        Ok(())
    };
    view! {
        <Show when=move || has_several.get()>
            <div class="row pick-all">
                <Button label="All" press=move |()| choose_all(true)/>
                <Button label="None" press=move |()| choose_all(false)/>
                <Show when=move || has_heights.get()>
                    <LengthField label="Height of all" value=height commit=set_all/>
                </Show>
            </div>
        </Show>
        <ul class="picks">
            <For each=move || 0..count.get() key=|at| *at let:at>
                <PickRow picks at has_heights/>
            </For>
        </ul>
    }
}

fn sound_height(height: Length) -> Committed {
    let is_sound = height > Length::ZERO && height <= limits::HEIGHT_MOST;
    is_sound.then_some(()).ok_or_else(|| "A mold is taller than nothing and up to 2 m.".into())
}

#[component]
fn PickRow(picks: Picks, at: usize, has_heights: Memo<bool>) -> impl IntoView {
    let style = use_lengths();
    // What it was last, once the list is shorter.
    let pick = memo(move |before: Option<&Option<Pick>>| {
        let now = picks.0.with(|picks| picks.get(at).cloned());
        now.or_else(|| before.cloned().flatten())
    });
    let read = move |with: fn(&Pick) -> String| {
        Signal::derive(move || pick.with(|pick| pick.as_ref().map(with).unwrap_or_default()))
    };
    let region = memo(move |_| {
        pick.with(|pick| pick.as_ref().map(|pick| region_of(&pick.shape.picture)))
            .unwrap_or_else(|| region_of(&[]))
    });
    let cannot =
        memo(move |_| pick.with(|pick| pick.as_ref().is_none_or(|pick| pick.shape.mold.is_none())));
    let is_chosen = Signal::derive(move || pick.with(|p| p.as_ref().is_some_and(|p| p.is_chosen)));
    let height =
        Signal::derive(move || pick.with(|p| p.as_ref().map_or(UNTOLD_HEIGHT, |p| p.height)));
    let says = live(move || {
        let says = pick.with(|pick| pick.as_ref().map(|pick| pick.shape.says.clone()));
        let line = |words| view! { <p class="pick-says">{words}</p> };
        says.unwrap_or_default().into_iter().map(line).collect_view()
    });
    let rename = move |name: String| {
        picks.update(at, |pick| pick.name = name);
        Ok(())
    };
    let set_height = move |height: Length| {
        sound_height(height)?;
        picks.update(at, |pick| pick.height = height);
        Ok(())
    };
    let label = Signal::derive(move || format!("Add {}", read(|pick| pick.name.clone()).get()));
    view! {
        <li class="pick" class:pick-out=move || !is_chosen.get()>
            <RegionPicture region/>
            <div class="pick-words">
                <Show
                    when=move || !cannot.get()
                    fallback=move || view! { <p class="pick-no">{read(|pick| pick.name.clone())} " makes no mold"</p> }
                >
                    <Toggle
                        label
                        on=is_chosen
                        turn=move |on| picks.update(at, |pick| pick.is_chosen = on)
                    />
                </Show>
                <p class="panel-note">
                    {move || pick.with(|p| p.as_ref().map(|p| measures(&p.shape, style.get())))}
                </p>
                {says}
            </div>
            <Show when=move || is_chosen.get()>
                <div class="fields pick-fields">
                    <TextField label="Name" value=read(|pick| pick.name.clone()) commit=rename/>
                    <Show when=move || has_heights.get()>
                        <LengthField label="Height" value=height commit=set_height/>
                    </Show>
                </div>
            </Show>
        </li>
    }
}

/// `64 x 52 mm, 2 holes, path (line 12)`.
fn measures(shape: &Shape, style: LengthStyle) -> String {
    let [width, depth] = [shape.width, shape.depth].map(|mm| style.show(Length::mm(mm)));
    let holes = match shape.n_holes {
        0 => String::new(),
        1 => ", one hole".into(),
        n => format!(", {n} holes"),
    };
    let at = if shape.at == "the file" { String::new() } else { format!(", {}", shape.at) };
    format!("{width} x {depth}{holes}{at}")
}

#[cfg(test)]
mod tests {
    use engine::file::save;
    use engine::plan::{Machine, sample};

    use super::*;

    fn shape(name: &str) -> Shape {
        let mut plan = Plan::new("Mold", Machine::default());
        let footprint = Footprint::Circle { diameter: Length::mm(30.0) };
        let mold = Mold::new(name, footprint, Length::mm(20.0));
        plan.molds.insert(MoldId(1), Arc::new(mold));
        Shape {
            name: name.into(),
            at: "path (line 3)".into(),
            width: 30.0,
            depth: 30.0,
            n_holes: 2,
            picture: vec![vec![[0.0, 0.0], [30.0, 0.0], [30.0, 30.0]]],
            mold: Some(save(&plan)),
            says: Vec::new(),
        }
    }

    fn pick(name: &str, is_chosen: bool) -> Pick {
        let shape = Arc::new(shape("As found"));
        Pick { shape, is_chosen, name: name.into(), height: Length::mm(33.0) }
    }

    #[test]
    fn what_is_chosen_is_added_as_one_step_under_free_ids() {
        let plan = sample();
        let free = plan.free_mold_id().0;
        let picks = [pick("Barnacle", true), pick("Left out", false), pick("Mussel", true)];
        let after =
            plan.apply(&Edit::All(edits(&plan, &picks).expect("makes sense"))).expect("fits");
        assert_eq!(after.molds.len(), plan.molds.len() + 2);
        let names = [free, free + 1].map(|id| after.molds[&MoldId(id)].name.clone());
        assert_eq!(names, ["Barnacle", "Mussel"]);
        assert_eq!(after.molds[&MoldId(free)].height, Length::mm(33.0));
    }

    #[test]
    fn nothing_chosen_and_what_makes_no_mold_are_told() {
        let plan = sample();
        let none = edits(&plan, &[pick("Mussel", false)]).expect_err("nothing");
        assert!(none.contains("at least one"), "{none}");
        let mut broken = pick("Mussel", true);
        broken.shape = Arc::new(Shape { mold: Some("{".into()), ..shape("x") });
        assert_eq!(edits(&plan, &[broken]).expect_err("no mold"), "Mussel makes no mold.");
    }

    #[test]
    fn the_measures_of_an_outline_are_said_in_the_unit_of_the_page() {
        let words = measures(&shape("x"), LengthStyle::Millimetres);
        assert_eq!(words, "30.0 mm x 30.0 mm, 2 holes, path (line 3)");
    }
}
