//! The help: how to begin, the keys, the cautions, and how the data is kept.

use super::desk::use_desk;
use super::offline::Offline;
use super::severity::SeverityShape;
use crate::keys;
use crate::platform::print_page;
use crate::reactive::prelude::*;
use crate::widgets::{Button, Dialog};
use engine::rules::Severity;

/// The help, over the page while it is open.
#[component]
pub(crate) fn Help() -> impl IntoView {
    let desk = use_desk();
    let open = desk.help;
    let instead = move |other: RwSignal<bool>| {
        open.set(false);
        other.set(true);
    };
    let tour = move |()| {
        open.set(false);
        desk.tour.set(Some(0));
    };
    view! {
        <Dialog title="Help" open>
            <div class="row">
                <Button label="Take the tour in five steps" press=tour/>
                <Button label="Search for an action" press=move |()| instead(desk.search)/>
            </div>
            <Beginning/>
            {key_index()}
            <Cautions/>
            <Keeping/>
            <Offline open/>
        </Dialog>
    }
}

#[component]
fn Beginning() -> impl IntoView {
    view! {
        <section>
            <h3>"How to begin"</h3>
            <ol>
                <li>"Under Plans, start a new plan with your blank and its clamp lip."</li>
                <li>"Under Molds, add each mold: footprint, height, copies. Add it to the blank."</li>
                <li>"Drag the molds on the board until the list of findings is empty, or until you know why not."</li>
                <li>"Under Print, download the template, print it at 100 %, check its bar, and set the molds by it."</li>
            </ol>
            <p>"What the rules find has one of three shapes:"</p>
            <ul class="legend">
                <li><SeverityShape severity=Severity::Stop/> "Stop: do not heat this sheet."</li>
                <li><SeverityShape severity=Severity::Caution/> "Caution: the pull may come out badly."</li>
                <li><SeverityShape severity=Severity::Note/> "Note: worth knowing."</li>
            </ul>
            <p>
                "Lengths can be typed in any unit in any field: 35 mm, 3.5 cm, 1 3/8 in, 1.375 in, 30 mil. "
                "Enter takes a value, Escape gives the old one back."
            </p>
            <p>
                "\u{201c}Why?\u{201d} beside a field tells where its default comes from and puts it back; "
                "\u{201c}Explain\u{201d} under a finding draws what it means."
            </p>
        </section>
    }
}

/// All keys and gestures, from the tables that they are carried out by.
fn key_index() -> AnyView {
    let row =
        |row: keys::HelpRow| view! { <tr><th scope="row">{row.keys}</th><td>{row.words}</td></tr> };
    let section = |section: keys::Section| {
        let rows = section.rows.into_iter().map(row).collect_view();
        view! { <table class="keys"><caption>{section.place}</caption><tbody>{rows}</tbody></table> }
    };
    view! {
        <section class="key-index">
            <h3>"Index of keys"</h3>
            {keys::index().into_iter().map(section).collect_view()}
            <div class="row">
                <Button label="Print the index of keys" press=move |()| print_page()/>
            </div>
        </section>
    }
    .into_any()
}

/// The usual cautions. Sources: HSE, Plastics Processing Sheet 13, controlling fume during plastics processing,
/// 2002; US Plastic, knowledge base 583 (acrylic in ovens); the rest is common practice.
#[component]
fn Cautions() -> impl IntoView {
    view! {
        <section>
            <h3>"Cautions"</h3>
            <p>
                "Onepull plans layouts. It does not know your heater, your room or your sheet. Where it differs from "
                "local codes, the data sheet of your plastic or the manual of your machine, they are right."
            </p>
            <ul>
                <li>"Heaters run on mains power. Have a licensed electrician do or check the wiring, give the heater a circuit of its own and no extension lead, and unplug before you open anything."</li>
                <li>"Hot sheet and hot frames burn at a touch and stay hot. Gloves, long sleeves, and nobody leaves a lit heater."</li>
                <li>"Overheated plastic gives off fume: PVC hydrogen chloride, ABS and polystyrene styrene. Keep to the temperature of the data sheet, ventilate, and stop if it smokes."</li>
                <li>"Never heat acrylic in a kitchen oven: its vapour is flammable. Thin sheet can sag on to the coils and catch fire. Have an extinguisher at hand."</li>
                <li>"Trimming is done with blades: cut away from the hand, wear eye protection, and a mask with rotary tools."</li>
            </ul>
        </section>
    }
}

#[component]
fn Keeping() -> impl IntoView {
    view! {
        <section>
            <h3>"How your plans are kept"</h3>
            <ul>
                <li>"In this browser only, saved at every change. There is no account and no server that sees them."</li>
                <li>"Some browsers clear what a page keeps after a week without a visit, and private windows when they close. Save a file of what you would miss."</li>
                <li>"A link made under Share holds the whole pull. It goes where you send it and stays in the history of browsers."</li>
            </ul>
        </section>
    }
}
