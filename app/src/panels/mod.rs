//! The panels beside the board, one a subject; each shows a part of the plan and turns fields into edits.

mod arrange;
mod batch;
mod bench;
mod change;
mod compare;
mod cutting;
mod desk;
mod explain;
mod findings;
mod forecast;
mod gauges;
mod heat;
mod help;
mod intake;
mod keeping;
mod link;
mod machine;
mod mold_shelf;
mod mold_text;
mod molds;
mod offline;
mod place;
mod pulls;
mod settings;
mod severity;
mod share;
mod shelf;
mod stock;
mod template;
mod told;
mod trades;

pub(crate) use arrange::{Arranger, GhostKind, Ghosts, provide_arranger, use_arranger};
pub(crate) use batch::provide_planner;
pub(crate) use bench::provide_bench;
pub(crate) use change::change;
pub(crate) use compare::{Comparing, provide_comparer, use_comparer};
pub(crate) use desk::{Desk, provide_desk, use_desk};
pub(crate) use findings::Findings;
pub(crate) use forecast::{
    Forecaster, Line, Probe, lines, pixels, provide_forecaster, reading, short, use_forecaster,
};
pub(crate) use heat::provide_heat;
pub(crate) use help::Help;
pub(crate) use intake::{FileDialog, PhotoDialog, provide_intake, take_files};
pub(crate) use keeping::{Keeper, Kept, Lent, provide_keeper, use_keeper};
pub(crate) use mold_shelf::provide_mold_keeper;
pub(crate) use pulls::PullChoice;

use crate::platform::to_top;
use crate::reactive::prelude::*;
use crate::widgets::{Tab, Tabs};
use arrange::Arrange;
use bench::BenchPanel;
use cutting::cut_panel;
pub(crate) use desk::PanelKey;
use forecast::Forecast;
use heat::heat_panel;
use machine::Machine;
use molds::Molds;
use place::Place;
use settings::Settings;
use share::Share;
use shelf::Shelf;
pub(crate) use shelf::save_file;
use template::Template;

/// The tabs and the panel that lies open.
#[component]
pub(crate) fn Panels() -> impl IntoView {
    let open = use_desk().panel;
    let panel = live(move || match open.get() {
        PanelKey::Molds => view! { <Molds/> }.into_any(),
        PanelKey::Place => view! { <Place/> }.into_any(),
        PanelKey::Arrange => view! { <Arrange/> }.into_any(),
        PanelKey::Batch => batch::batch(),
        PanelKey::Forecast => view! { <Forecast/> }.into_any(),
        PanelKey::Machine => view! { <Machine/> }.into_any(),
        PanelKey::Cut => cut_panel(),
        PanelKey::Heat => heat_panel(),
        PanelKey::Settings => view! { <Settings/> }.into_any(),
        PanelKey::Print => view! { <Template/> }.into_any(),
        PanelKey::Bench => view! { <BenchPanel/> }.into_any(),
        PanelKey::Share => view! { <Share/> }.into_any(),
        PanelKey::Plans => view! { <Shelf/> }.into_any(),
    });
    let tab_id = move || open.get().names().1;
    // What was scrolled in one panel says nothing about the next, which begins with its heading.
    Effect::watch(
        move || open.get(),
        |key, _, _| to_top(format!("{}-panel", key.names().1)),
        false,
    );
    view! {
        <section class="panels" id="panels" aria-label="Panels">
            <Tabs label="Panels" tabs=tabs() open/>
            <div
                class="panel"
                role="tabpanel"
                id=move || format!("{}-panel", tab_id())
                aria-labelledby=tab_id
                tabindex="0"
            >
                {panel}
            </div>
        </section>
    }
}

fn tabs() -> Vec<Tab<PanelKey>> {
    let tab = |key: PanelKey| {
        let (label, id) = key.names();
        Tab { key, label, id }
    };
    PanelKey::ALL.map(tab).into()
}
