//! The template for other trades: files for machines, locating corners, and a printer corrected by its own bars.

use engine::file::save;
use engine::plan::PlacementId;
use engine::template::{CORRECTION_BAR, Correction, Printer};
use engine::units::Length;
use works::{PrinterSaid, TradeFile};

use super::change::{say_done, say_refused};
use crate::jobs::use_jobs;
use crate::platform::{
    Bars, choose_printer, chosen_printer, focus, forget_printer, keep_printer, printers,
};
use crate::reactive::prelude::*;
use crate::state::{Store, use_store};
use crate::widgets::{Button, Choice, LengthField, TextField, Toggle};

/// What the choice of a printer is found by once its buttons are gone.
const ADD: &str = "add-printer";
/// The longest name of a printer; its template prints no more.
const NAME_CHARS: usize = 40;

/// What the template is asked for beside paper, overlap and margin.
#[derive(Clone, Copy, Debug)]
pub(super) struct Trades {
    /// Whether the locating corners are drawn.
    corners: RwSignal<bool>,
    /// The printers of this browser, by name.
    printers: RwSignal<Vec<(String, Bars)>>,
    /// The one that prints are corrected for; empty for none.
    chosen: RwSignal<String>,
}

impl Trades {
    pub(super) fn new() -> Self {
        let (printers, chosen) = (printers(), chosen_printer());
        // One that another tab has taken off the list corrects nothing.
        let chosen =
            if printers.iter().any(|(name, _)| *name == chosen) { chosen } else { String::new() };
        Self {
            corners: RwSignal::new(false),
            printers: RwSignal::new(printers),
            chosen: RwSignal::new(chosen),
        }
    }

    /// Whether the locating corners are drawn.
    pub(super) fn corners(self) -> bool {
        self.corners.get()
    }

    /// The printer as it is told to the worker.
    pub(super) fn said(self) -> Option<PrinterSaid> {
        let name = self.chosen.get();
        let bars = self.printers.with(|all| all.iter().find(|(n, _)| *n == name).map(|(_, b)| *b));
        bars.map(|Bars { across, along }| PrinterSaid { name, across_mm: across, along_mm: along })
    }

    /// The printer as the engine takes it; what is out of range corrects nothing.
    pub(super) fn printer(self) -> Option<Printer> {
        self.said().and_then(|said| said.printer().ok())
    }

    fn choose(self, name: &str) {
        self.chosen.set(name.to_owned());
        // Kept or not, it holds as long as the page is open.
        let _ = choose_printer(name);
    }
}

/// Which molds have no locating corners, for the line that says what is printed.
pub(super) fn without_words(without: &[PlacementId]) -> String {
    let numbers: Vec<String> = without.iter().map(|id| id.0.to_string()).collect();
    match &numbers[..] {
        [] => String::new(),
        numbers => format!(
            " No locating corners for number {}: too little room beside it, or a cavity.",
            numbers.join(", ")
        ),
    }
}

/// Locating corners and the printer, among the settings of the template.
pub(super) fn trade_fields(trades: Trades) -> AnyView {
    let Trades { corners, .. } = trades;
    view! {
        <Toggle
            label="Locating corners to cut out"
            on=Signal::derive(move || corners.get())
            turn=move |on| corners.set(on)
        />
        <p class="panel-note" hidden=move || !corners.get()>
            "Pieces beside each mold. Cut them out of the sheet and mark through the openings, or tape card corners there: the mold drops in at its place and turn."
        </p>
        {printer_fields(trades)}
    }
    .into_any()
}

/// Which printer prints are corrected for, and a way to add one or take it off.
fn printer_fields(trades: Trades) -> AnyView {
    let store = use_store();
    let is_adding = RwSignal::new(false);
    let options = Signal::derive(move || {
        let names = trades.printers.with(|all| {
            (1_usize..).zip(all).map(|(n, (name, _))| (n, name.clone())).collect::<Vec<_>>()
        });
        std::iter::once((0, "Not corrected".to_owned())).chain(names).collect::<Vec<_>>()
    });
    let value = Signal::derive(move || {
        let chosen = trades.chosen.get();
        trades
            .printers
            .with(|all| all.iter().position(|(name, _)| *name == chosen))
            .map_or(0, |n| n + 1)
    });
    let choose = move |n: usize| {
        let name = trades.printers.with_untracked(|all| {
            n.checked_sub(1).and_then(|n| all.get(n)).map(|(name, _)| name.clone())
        });
        trades.choose(&name.unwrap_or_default());
        Ok(())
    };
    let remove = move |()| {
        let name = trades.chosen.get_untracked();
        forget_printer(&name);
        trades.printers.set(printers());
        trades.choose("");
        focus(ADD);
        say_done(store, format!("{name} is off the list; prints are not corrected."));
    };
    view! {
        <div class="fields">
            <Choice label="Printer" options value commit=choose hint="Each corrected by its own bars"/>
        </div>
        <div class="row">
            <Button
                label="Add a printer"
                press=move |()| is_adding.update(|is| *is = !*is)
                id=ADD
            />
            {move || {
                let is_one = !trades.chosen.with(String::is_empty);
                is_one.then(|| view! { <Button label="Remove this printer" press=remove/> }.into_any())
            }}
        </div>
        {move || is_adding.get().then(|| new_printer(trades, is_adding))}
    }
    .into_any()
}

/// What is typed of a printer before it is kept.
#[derive(Clone, Debug)]
struct Draft {
    name: String,
    bars: [Length; 2],
}

/// Fields for the name and for what both bars measure.
fn new_printer(trades: Trades, is_adding: RwSignal<bool>) -> AnyView {
    let store = use_store();
    let draft = RwSignal::new(Draft { name: String::new(), bars: [CORRECTION_BAR; 2] });
    let bar = move |n: usize, label: &'static str, hint: &'static str| {
        let commit = move |length: Length| {
            let mut bars = [CORRECTION_BAR; 2];
            bars[n] = length;
            Correction::measured(bars[0], bars[1])
                .map_err(|error| format!("Not taken: {error}."))?;
            draft.update(|draft| draft.bars[n] = length);
            Ok(())
        };
        let value = Signal::derive(move || draft.with(|draft| draft.bars[n]));
        view! { <LengthField label value commit hint/> }.into_any()
    };
    let keep = move |()| {
        let Draft { name, bars } = draft.get_untracked();
        if name.is_empty() {
            say_refused(store, "Give the printer a name first.");
            return;
        }
        let kept = keep_printer(&name, Bars { across: bars[0].to_mm(), along: bars[1].to_mm() });
        trades.printers.set(printers());
        trades.choose(&name);
        is_adding.set(false);
        focus(ADD);
        match kept {
            Ok(()) => say_done(store, format!("Prints are corrected for {name} from now on.")),
            Err(trouble) => say_refused(
                store,
                format!("Prints are corrected for {name} until the page is closed: {trouble}."),
            ),
        }
    };
    view! {
        <section class="sub" aria-label="New printer">
            <p class="panel-note">
                "Print a sheet at 100 % without a correction and measure its two 100 mm bars from end to end, as finely as you can."
            </p>
            <div class="fields">
                <TextField
                    label="Name of the printer"
                    value=Signal::derive(move || draft.with(|draft| draft.name.clone()))
                    commit=move |name: String| named(draft, &name)
                />
                {bar(0, "Bar across the paper", "The 100 mm bar along the paper's short side")}
                {bar(1, "Bar along the paper", "The 100 mm bar along the paper's long side")}
            </div>
            <div class="row">
                <Button label="Keep this printer" press=keep/>
            </div>
        </section>
    }
    .into_any()
}

fn named(draft: RwSignal<Draft>, name: &str) -> Result<(), String> {
    let name: String = name.chars().filter(|c| !c.is_control()).collect();
    let name = name.trim();
    let count = name.chars().count();
    if count > NAME_CHARS {
        return Err(format!("{count} letters are more than the {NAME_CHARS} that are printed."));
    }
    draft.update(|draft| name.clone_into(&mut draft.name));
    Ok(())
}

/// Files for other trades' machines.
pub(super) fn trade_files(trades: Trades) -> AnyView {
    let store = use_store();
    let cut = RwSignal::new(TradeFile::CutMolds);
    let options = [
        (TradeFile::CutMolds, "Molds: a stencil to set them by"),
        (TradeFile::CutTrimLines, "Trim lines"),
        (TradeFile::CutBoth, "Molds and trim lines"),
        (TradeFile::CutCorners, "Locating corners"),
    ];
    let options = options.map(|(file, words)| (file, words.to_owned())).to_vec();
    let get = making(store, trades);
    let get_dxf = get.clone();
    view! {
        <section class="sub">
            <h2>"For machines"</h2>
            <p class="panel-note">
                "True size in millimetres. DXF: closed outlines on layers named for what they are. For a cutter: hairlines, one shape a mold, nothing else."
            </p>
            <div class="fields">
                <Choice
                    label="What a cutter cuts"
                    options
                    value=Signal::derive(move || cut.get())
                    commit=move |file| {
                        cut.set(file);
                        Ok(())
                    }
                />
            </div>
            <div class="row">
                <Button label="Download DXF" press=move |()| get_dxf(TradeFile::Dxf)/>
                <Button label="Download cutter SVG" press=move |()| get(cut.get_untracked())/>
            </div>
        </section>
    }
    .into_any()
}

/// Has a file made by the worker and hands it over.
fn making(store: Store, trades: Trades) -> impl Fn(TradeFile) + Clone + Send + Sync + 'static {
    let jobs = use_jobs();
    move |file| {
        let (what, ending, media) = match file {
            TradeFile::Dxf => ("outlines", "dxf", "image/vnd.dxf"),
            TradeFile::CutMolds
            | TradeFile::CutTrimLines
            | TradeFile::CutBoth
            | TradeFile::CutCorners => ("cutter", "svg", "image/svg+xml"),
        };
        let name = format!("{}.{ending}", super::template::file_stem(store, what));
        let ask = store.peek(|session| {
            works::Ask::Trade(works::Trade {
                plan: save(session.plan()),
                pull: session.pull.0,
                file,
                corners: trades.corners.get_untracked(),
            })
        });
        jobs.start(ask, move |answer| match answer {
            works::Answer::File { bytes } => {
                super::template::hand_over(store, &name, media, &bytes);
            }
            works::Answer::Refused(words) => {
                say_refused(store, format!("No file was made: {words}."));
            }
            _ => {}
        });
    }
}
