//! The dialog of a photograph: first the corners of the paper, then the outlines on it.

use works::PhotoPaper;

use super::coming::Stage;
use super::corner_board::CornerBoard;
use super::door::{Waiting, use_intake};
use super::paint_board::PaintBoard;
use super::photo::{PhotoIntake, Step, paper_name};
use super::picks::PickList;
use crate::reactive::prelude::*;
use crate::widgets::{Button, Choice, Dialog, Show, use_lengths};

/// Molds from a photograph.
#[component]
pub(crate) fn PhotoDialog() -> impl IntoView {
    let intake = use_intake().photos;
    let is_open = memo(move |_| intake.photo.with(|photo| photo.is_some()));
    let step = intake.step;
    view! {
        <Dialog title="Trace a photo" open=intake.coming.is_open is_wide=true>
            <p class="intake-name">{intake.coming.name}</p>
            <Waiting/>
            <Failed intake/>
            <Working intake/>
            <Show when=move || is_open.get()>
                <Told intake/>
                <Show
                    when=move || step.get() == Step::Corners
                    fallback=move || view! { <Outlines intake/> }
                >
                    <Corners intake/>
                </Show>
            </Show>
        </Dialog>
    }
}

fn working(intake: PhotoIntake) -> Option<&'static str> {
    match intake.coming.stage.get() {
        Stage::Working(words) => Some(words),
        Stage::Failed(_) | Stage::Open => None,
    }
}

#[component]
fn Failed(intake: PhotoIntake) -> impl IntoView {
    let words = move || match intake.coming.stage.get() {
        Stage::Failed(words) => Some(words),
        Stage::Working(_) | Stage::Open => None,
    };
    view! {
        <div class="warning" hidden=move || words().is_none()>
            <p>{words}</p>
            <p>"Nothing was changed. Close this and choose another picture."</p>
        </div>
    }
}

/// Keeps its place when there is nothing to say, so that the picture below stays where it is.
#[component]
fn Working(intake: PhotoIntake) -> impl IntoView {
    let is_working = memo(move |_| working(intake).is_some());
    view! {
        <div class="photo-work" class:photo-rest=move || !is_working.get()>
            <p>{move || working(intake).map(|words| format!("{words}\u{2026}"))}</p>
            <Show when=move || is_working.get()>
                <progress aria-label="At work"></progress>
                <Button label="Cancel" press=move |()| intake.coming.is_open.set(false)/>
            </Show>
        </div>
    }
}

/// What there is to say about the picture, and why nothing came of the last try.
#[component]
fn Told(intake: PhotoIntake) -> impl IntoView {
    let line = |words: String| view! { <p>{words}</p> };
    view! {
        <div class="warning" hidden=move || intake.told.with(Vec::is_empty) && intake.coming.refused.with(Option::is_none)>
            {move || intake.told.get().into_iter().chain(intake.coming.refused.get()).map(line).collect_view()}
        </div>
    }
}

#[component]
fn Corners(intake: PhotoIntake) -> impl IntoView {
    let is_working = Signal::derive(move || working(intake).is_some());
    let papers = vec![
        (PhotoPaper::A4, "A4, 210 x 297 mm".to_owned()),
        (PhotoPaper::Letter, "Letter, 8.5 x 11 in".to_owned()),
        (PhotoPaper::CardA4, "Photo card on A4".to_owned()),
        (PhotoPaper::CardLetter, "Photo card on Letter".to_owned()),
    ];
    let card =
        Signal::derive(move || format!("Photo card to print ({})", paper_name(intake.paper.get())));
    let set_paper = move |paper| {
        intake.paper.set(paper);
        Ok(())
    };
    view! {
        <p>
            "Drag the four rings to the corners of the sheet, or to the middles of the black marks of a photo card. With the "
            "keyboard: Tab to a ring, arrow keys move it, Shift moves it far, Alt by a hair."
        </p>
        <CornerBoard intake/>
        <div class="fields">
            <Choice label="The sheet is" options=papers value=intake.paper commit=set_paper/>
        </div>
        <div class="dialog-foot">
            <div class="row">
                <Button
                    label="Trace what lies on it"
                    kind="main"
                    press=move |()| intake.trace()
                    disabled=is_working
                    id="photo-trace"
                />
                <Button label="Find the sheet again" press=move |()| intake.find() disabled=is_working/>
                <Button label=card press=move |()| intake.print_card()/>
            </div>
        </div>
    }
}

#[component]
fn Outlines(intake: PhotoIntake) -> impl IntoView {
    let style = use_lengths();
    let always = memo(|_| true);
    let label = Signal::derive(move || match intake.coming.picks.n_chosen() {
        1 => "Add one mold".to_owned(),
        n => format!("Add {n} molds"),
    });
    let cannot =
        Signal::derive(move || working(intake).is_some() || intake.coming.picks.n_chosen() == 0);
    let parallax = memo(move |_| intake.parallax_words(style.get()));
    view! {
        <PaintBoard intake/>
        <Accuracy intake/>
        <p class="warning" hidden=move || parallax.with(Option::is_none)>{move || parallax.get()}</p>
        <PickList picks=intake.coming.picks has_heights=always/>
        <div class="dialog-foot">
            <div class="row">
                <Button label kind="main" press=move |()| intake.add() disabled=cannot id="photo-add"/>
                <Button label="Back to the corners" press=move |()| intake.back()/>
            </div>
        </div>
    }
}

/// How true the outlines are, and what was wrong.
#[component]
fn Accuracy(intake: PhotoIntake) -> impl IntoView {
    let style = use_lengths();
    let words = Signal::derive(move || {
        let traced = intake.traced.get()?;
        let [error, simplified] = [traced.error, traced.simplified].map(engine::units::Length::mm);
        let style = style.get();
        Some(format!(
            "True to about {} if sheet and mold are flat, simplified to {}. A sheet that fills the picture and a camera \
             straight above make it truer.",
            style.show_exact(rounded(error)),
            style.show_exact(simplified)
        ))
    });
    let problems = memo(move |_| {
        intake.traced.with(|traced| traced.as_ref().map(|t| t.problems.clone()).unwrap_or_default())
    });
    let line = |words: String| view! { <li>{words}</li> };
    view! {
        <p class="panel-note">{words}</p>
        <ul class="warning" hidden=move || problems.with(Vec::is_empty)>
            {move || problems.get().into_iter().map(line).collect_view()}
        </ul>
    }
}

/// To a tenth of a millimetre, upwards.
fn rounded(length: engine::units::Length) -> engine::units::Length {
    engine::units::Length::mm((length.to_mm() * 10.0).ceil() / 10.0)
}
