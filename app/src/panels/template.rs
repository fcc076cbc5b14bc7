//! The template, the bench card and the cut list: paper, files, and how to print them at full size.

use engine::defaults::Given;
use engine::export::svg;
use engine::file::save;
use engine::template::{BenchNotes, Page, Paper, Template as Sheets, TemplateSettings, template};
use engine::units::{Length, LengthStyle};

use super::change::{say_done, say_refused};
use super::heat::{Heat, use_heat};
use super::link::whole_link;
use super::trades::{Trades, trade_fields, trade_files, without_words};
use crate::jobs::{JobId, Jobs, use_jobs};
use crate::platform::{download, focus, kept_further_blanks, now};
use crate::reactive::prelude::*;
use crate::state::{Store, use_store};
use crate::widgets::{Button, Choice, LengthField, Toggle, use_lengths, use_voice};

/// What the buttons are found by.
const MAKE_TEMPLATE: &str = "make-template";
const MAKE_CARD: &str = "make-card";
const MAKE_CUTS: &str = "make-cuts";

/// The settings as the page keeps them; paper is a matter of the printer at hand and no part of the plan.
#[derive(Clone, Copy, Debug)]
struct Print {
    paper: Paper,
    overlap: Length,
    margin: Length,
    has_link: bool,
    trades: Trades,
}

impl Print {
    fn settings(self, store: Store) -> TemplateSettings {
        let link = self.has_link.then(|| whole_link(store).ok()).flatten();
        TemplateSettings {
            paper: self.paper,
            overlap: self.overlap,
            margin: self.margin,
            printer: self.trades.printer(),
            corners: self.trades.corners(),
            date: now().day(),
            link,
            // Only the worker prints bench cards, and it is told about the heater by itself.
            notes: BenchNotes::default(),
        }
    }
}

/// The template of the pull on the board.
#[component]
pub(crate) fn Template() -> impl IntoView {
    let store = use_store();
    let style = use_lengths();
    let trades = Trades::new();
    let print = RwSignal::new(Print {
        paper: usual_paper(style.get_untracked()),
        overlap: Length::mm(10.0),
        margin: Length::mm(10.0),
        has_link: true,
        trades,
    });
    let needed = Signal::derive(move || {
        let settings = TemplateSettings { link: None, ..print.get().settings(store) };
        store.with(|s| template(s.plan(), s.pull, &settings)).map_or_else(
            |error| format!("Cannot be printed like this: {error}."),
            |sheets| {
                pages_needed(&sheets, print.get().paper) + &without_words(&sheets.without_corners)
            },
        )
    });
    view! {
        <h2>"Template at full size"</h2>
        <PaperFields print/>
        {trade_fields(trades)}
        <p class="derived">{needed}</p>
        <Cautions/>
        <TemplateFiles print/>
        {trade_files(trades)}
        <section class="sub">
            <h2>"Bench card"</h2>
            <p class="panel-note">
                "What to have at hand for this pull: sheet, molds in the order they are set, heat, notes, cautions."
            </p>
            <Toggle
                label="Print the link of this pull on it"
                on=Signal::derive(move || print.get().has_link)
                turn=move |on| print.update(|print| print.has_link = on)
            />
            {file(print, works::Sheets::BenchCard)}
        </section>
        <section class="sub">
            <h2>"Cut list"</h2>
            <p class="panel-note">
                "Each way a sheet is cut, drawn to scale, with its steps to tick off, what to buy and what is left over."
            </p>
            {file(print, works::Sheets::CutList)}
        </section>
    }
}

/// Letter where lengths are in inches, A4 elsewhere.
const fn usual_paper(style: LengthStyle) -> Paper {
    match style {
        LengthStyle::Millimetres => Paper::A4,
        LengthStyle::DecimalInches | LengthStyle::FractionInches => Paper::Letter,
    }
}

fn pages_needed(sheets: &Sheets, paper: Paper) -> String {
    let count = sheets.pages.len();
    match (paper, count) {
        (Paper::One, _) => {
            let size = |page: &Page| {
                let mm = |length: Length| length.to_mm().ceil();
                format!("{} x {} mm", mm(page.width), mm(page.height))
            };
            let size = sheets.pages.first().map(size).unwrap_or_default();
            format!("Takes one sheet of {size}: for a copy shop or a roll.")
        }
        (_, 1) => format!("Takes 1 sheet of {}.", paper.name()),
        _ => {
            let skipped = match sheets.skipped {
                0 => String::new(),
                1 => ", 1 empty one left out".to_owned(),
                many => format!(", {many} empty ones left out"),
            };
            let (columns, rows) = (sheets.columns, sheets.rows);
            format!("Takes {count} sheets of {}, {columns} by {rows}{skipped}.", paper.name())
        }
    }
}

#[component]
fn PaperFields(print: RwSignal<Print>) -> impl IntoView {
    let papers = Paper::ALL.map(|paper| (paper, paper.name().to_owned())).to_vec();
    let set = move |with: fn(&mut Print, Length)| {
        move |length: Length| {
            print.update(|print| with(print, length));
            Ok(())
        }
    };
    view! {
        <div class="fields">
            <Choice
                label="Paper"
                options=papers
                value=Signal::derive(move || print.get().paper)
                commit=move |paper| {
                    print.update(|print| print.paper = paper);
                    Ok(())
                }
            />
            <LengthField
                label="Overlap of the sheets"
                value=Signal::derive(move || print.get().overlap)
                commit=set(|print, length| print.overlap = length)
                hint="What two neighbours both show"
                given=Given::Overlap
            />
            <LengthField
                label="Margin of the printer"
                value=Signal::derive(move || print.get().margin)
                commit=set(|print, length| print.margin = length)
                hint="The edge it cannot reach"
                given=Given::PrinterMargin
            />
        </div>
    }
}

#[component]
fn Cautions() -> impl IntoView {
    view! {
        <ol class="steps">
            <li>"Download the PDF and open it in a PDF viewer."</li>
            <li><strong>"Print at 100 %"</strong> " (actual size), never \"fit to page\"."</li>
            <li><strong>"Check the bar"</strong> " on a sheet with a rule before you tape or cut: if it is off, so is everything."</li>
        </ol>
    }
}

/// The template as files.
#[component]
fn TemplateFiles(print: RwSignal<Print>) -> impl IntoView {
    let store = use_store();
    let making = Making::new(store, MAKE_TEMPLATE);
    let as_pdf = move |paper: Option<Paper>| {
        let print = print.get_untracked();
        let print = Print { paper: paper.unwrap_or(print.paper), ..print };
        making.begin(print, works::Sheets::Template, "template");
    };
    let as_svg = move |()| {
        let print = Print { paper: Paper::One, ..print.get_untracked() };
        let made = store.peek(|s| template(s.plan(), s.pull, &print.settings(store)));
        match made.map(|sheets| sheets.pages.first().map(svg)) {
            Ok(Some(text)) => hand_over(
                store,
                &format!("{}.svg", file_stem(store, "template")),
                "image/svg+xml",
                text.as_bytes(),
            ),
            Ok(None) => {}
            Err(error) => say_refused(store, format!("No SVG was made: {error}.")),
        }
    };
    view! {
        <div class="row">
            <Button
                label="Download PDF"
                kind="main"
                press=move |()| as_pdf(None)
                id=MAKE_TEMPLATE
            />
            <Button label="One large page (PDF)" press=move |()| as_pdf(Some(Paper::One))/>
            <Button label="Download SVG" press=as_svg/>
        </div>
        <MakingState making/>
    }
}

/// A button for sheets that are made as they are asked for.
fn file(print: RwSignal<Print>, sheets: works::Sheets) -> AnyView {
    let (id, what, label) = match sheets {
        works::Sheets::CutList => (MAKE_CUTS, "cut list", "Download cut list"),
        works::Sheets::Template | works::Sheets::BenchCard => {
            (MAKE_CARD, "bench card", "Download bench card")
        }
    };
    let making = Making::new(use_store(), id);
    let make = move |()| making.begin(print.get_untracked(), sheets, what);
    view! {
        <div class="row">
            <Button label press=make id/>
        </div>
        <MakingState making/>
    }
    .into_any()
}

/// A PDF that the worker makes, and what it could not spell.
#[derive(Clone, Copy, Debug)]
struct Making {
    store: Store,
    jobs: Jobs,
    heat: Heat,
    /// The job and how far it is, while there is one.
    job: RwSignal<Option<(JobId, Part)>>,
    replaced: RwSignal<Vec<String>>,
    /// The button that begins it, for the keyboard to go back to.
    button: &'static str,
}

/// What is being done for a PDF.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Part {
    LayingOut,
    Writing,
}

impl Part {
    const fn words(self) -> &'static str {
        match self {
            Self::LayingOut => "Laying out the sheets\u{2026}",
            Self::Writing => "Writing the PDF\u{2026}",
        }
    }
}

impl Making {
    fn new(store: Store, button: &'static str) -> Self {
        let (job, replaced) = (RwSignal::new(None), RwSignal::new(Vec::new()));
        Self { store, jobs: use_jobs(), heat: use_heat(), job, replaced, button }
    }

    /// Has the PDF made and hands it to the user; one that is still being made is given up.
    fn begin(self, print: Print, sheets: works::Sheets, what: &str) {
        self.cancel();
        let title = file_stem(self.store, what);
        let name = format!("{title}.pdf");
        let TemplateSettings { paper, overlap, margin, date, link, corners, .. } =
            print.settings(self.store);
        let heater = untrack(move || self.heat.said());
        let ask = self.store.peek(|session| {
            works::Ask::Print(works::Print {
                plan: save(session.plan()),
                pull: session.pull.0,
                sheets,
                title,
                paper: paper.into(),
                overlap_mm: overlap.to_mm(),
                margin_mm: margin.to_mm(),
                printer: print.trades.said(),
                corners,
                date,
                link,
                heater,
                further: kept_further_blanks(),
            })
        });
        self.replaced.set(Vec::new());
        let job = self.jobs.start(ask, move |answer| self.hear(&name, answer));
        self.job.set(job.map(|job| (job, Part::LayingOut)));
    }

    /// Another panel may lie open by the time the answer comes: then only the file is left to hand over.
    fn hear(self, name: &str, answer: works::Answer) {
        match answer {
            works::Answer::Progress { .. } => {
                let _ = self.job.try_update(|job| {
                    if let Some((_, part)) = job {
                        *part = Part::Writing;
                    }
                });
                return;
            }
            works::Answer::Pdf { bytes, replaced } => {
                let _ = self.replaced.try_set(replaced);
                hand_over(self.store, name, "application/pdf", &bytes);
            }
            works::Answer::Refused(words) => {
                say_refused(self.store, format!("No PDF was made: {words}."));
            }
            // The rest answers what others ask.
            _ => {}
        }
        let _ = self.job.try_set(None);
    }

    fn cancel(self) {
        if let Some((job, _)) = self.job.get_untracked() {
            self.jobs.cancel(job);
            self.job.set(None);
        }
    }

    /// Gives it up on request; the button that was pressed for it is gone.
    fn give_up(self) {
        self.cancel();
        focus(self.button);
        say_done(self.store, "No PDF was made.");
    }
}

/// That a PDF is being made, with the way to give it up; then what it could not spell.
#[component]
fn MakingState(making: Making) -> impl IntoView {
    let words = memo(move |_| making.job.get().map_or("", |(_, part)| part.words()));
    use_voice().follow(move || words.get().to_owned());
    view! {
        <div class="row making" hidden=move || making.job.get().is_none()>
            <p>{words}</p>
            <Button label="Cancel" press=move |()| making.give_up()/>
        </div>
        <Replaced lines=making.replaced/>
    }
}

/// The lines in which the PDF could not spell a letter.
#[component]
fn Replaced(lines: RwSignal<Vec<String>>) -> impl IntoView {
    view! {
        <div class="warning" hidden=move || lines.with(Vec::is_empty)>
            <p>"The PDF spells Western European letters only and shows ? for the rest of:"</p>
            <ul>{move || lines.get().into_iter().map(|l| view! { <li>{l}</li> }).collect_view()}</ul>
        </div>
    }
}

pub(super) fn hand_over(store: Store, name: &str, media: &str, bytes: &[u8]) {
    match download(name, media, bytes) {
        Ok(()) => say_done(store, format!("{name} is made.")),
        Err(words) => say_refused(store, words),
    }
}

/// `Tide-pool kit, Pull 1, template`.
pub(super) fn file_stem(store: Store, what: &str) -> String {
    store.peek(|session| {
        let pull = session.shown_pull().map(|pull| pull.name.clone()).unwrap_or_default();
        format!("{}, {pull}, {what}", session.plan().name)
    })
}

#[cfg(test)]
mod tests {
    use engine::plan::{PullId, sample};

    use super::*;

    fn sheets(paper: Paper) -> Sheets {
        let settings = TemplateSettings::new(paper, "2026-08-01");
        template(&sample(), PullId(1), &settings).expect("the sample can be printed")
    }

    #[test]
    fn the_sheets_it_takes_are_said_before_printing() {
        let words = pages_needed(&sheets(Paper::A4), Paper::A4);
        let count = sheets(Paper::A4).pages.len();
        assert!(words.starts_with(&format!("Takes {count} sheets of A4, ")), "{words}");
        let one = pages_needed(&sheets(Paper::One), Paper::One);
        assert!(one.starts_with("Takes one sheet of 4"), "{one}");
    }
}
