//! The rules in force: each value with its default, its range and how far it can be trusted.

use engine::physics::webbing::floor_strip;
use engine::plan::{HeightBasis, Settings as Rules};
use engine::rules::{Fact, Facts, Measure, facts};
use engine::units::{Length, LengthStyle};
use leptos::prelude::*;

use super::change::{change_settings, say_done, say_refused};
use super::forecast::LeastWall;
use crate::platform::{Theme, apply_theme, kept_theme};
use crate::state::{Store, use_store};
use crate::widgets::{Button, Choice, LengthField, NumberField, use_lengths};

/// The rules, and how lengths are shown.
#[component]
pub(super) fn Settings() -> impl IntoView {
    let store = use_store();
    let Facts { draft, grain_draft, thin_sheet, .. } = facts();
    let fixed: Vec<Fact> = draft.into_iter().chain([grain_draft]).chain(thin_sheet).collect();
    view! {
        <h2>"How it is shown"</h2>
        <Showing/>
        <h2>"Between molds"</h2>
        <BetweenMolds/>
        <h2>"To the clamp"</h2>
        <ToTheClamp/>
        <h2>"Height to width"</h2>
        <HeightToWidth/>
        <h2>"Walls"</h2>
        <LeastWall/>
        <div class="row">
            <Button label="Back to the defaults" press=move |()| reset(store)/>
        </div>
        <details class="fold">
            <summary>"What else the rules rest on"</summary>
            {fixed.into_iter().map(|fact| view! { <FixedFact fact/> }).collect_view()}
        </details>
    }
}

/// How lengths are shown, and how the page is lit.
#[component]
fn Showing() -> impl IntoView {
    let store = use_store();
    let value = use_lengths();
    let options = LengthStyle::ALL.map(|style| (style, style_words(style).to_owned())).to_vec();
    view! {
        <div class="fields">
            <Choice
                label="Lengths are shown in"
                options
                value
                commit=move |style| change_settings(store, |s| s.lengths = style)
                hint="Any field takes any unit, whatever is shown"
            />
            <ThemeChoice/>
        </div>
    }
}

/// Light or dark: kept in this browser, and no part of the plan.
#[component]
fn ThemeChoice() -> impl IntoView {
    let theme = RwSignal::new(kept_theme());
    let choose = move |chosen: Theme| {
        theme.set(chosen);
        apply_theme(chosen);
        Ok(())
    };
    let options = Theme::ALL.map(|theme| (theme, theme.name().to_owned())).to_vec();
    view! { <Choice label="Light or dark" options value=theme commit=choose/> }
}

const fn style_words(style: LengthStyle) -> &'static str {
    match style {
        LengthStyle::Millimetres => "Millimetres",
        LengthStyle::DecimalInches => "Inches, decimal",
        LengthStyle::FractionInches => "Inches, fractions",
    }
}

type Pick<T> = fn(&mut Rules) -> &mut T;

#[component]
fn BetweenMolds() -> impl IntoView {
    let store = use_store();
    let settings = Memo::new(move |_| store.with(|session| session.plan().settings));
    let f = facts();
    let kept = move || kept_by(settings.get().clearance.factor);
    let bases = vec![
        (HeightBasis::Taller, "The taller of the two".to_owned()),
        (HeightBasis::Mean, "The mean of the two".to_owned()),
    ];
    view! {
        <Ratio settings fact=f.clearance_factor pick=|s| &mut s.clearance.factor/>
        <p class="derived">{kept}</p>
        <div class="rule">
            <Choice
                label=f.height_basis.name
                options=bases
                value=Signal::derive(move || settings.get().clearance.basis)
                commit=move |basis| change_settings(store, |s| s.clearance.basis = basis)
            />
            <FactLines fact=f.height_basis/>
        </div>
        <Distance settings fact=f.least_gap pick=|s| &mut s.clearance.least/>
    }
}

/// What the strip between two molds of one height keeps of its gauge at a clearance factor.
fn kept_by(factor: f64) -> String {
    let height = Length::mm(1.0);
    let kept = floor_strip(height * factor, [height; 2]) * 100.0;
    format!(
        "At this factor the sheet between two long molds of one height keeps about {kept:.0} % of its gauge \
         on average (space over space and both walls)."
    )
}

#[component]
fn ToTheClamp() -> impl IntoView {
    let store = use_store();
    let settings = Memo::new(move |_| store.with(|session| session.plan().settings));
    let f = facts();
    view! {
        <Ratio settings fact=f.edge_factor pick=|s| &mut s.edge.factor/>
        <Distance settings fact=f.least_margin pick=|s| &mut s.edge.least/>
    }
}

#[component]
fn HeightToWidth() -> impl IntoView {
    let store = use_store();
    let settings = Memo::new(move |_| store.with(|session| session.plan().settings));
    let f = facts();
    view! {
        <Ratio settings fact=f.male_height_to_width pick=|s| &mut s.male_height_to_width/>
        <Ratio settings fact=f.female_height_to_width pick=|s| &mut s.female_height_to_width/>
    }
}

#[component]
fn Ratio(settings: Memo<Rules>, fact: Fact, pick: Pick<f64>) -> impl IntoView {
    let store = use_store();
    let value = Signal::derive(move || *pick(&mut settings.get()));
    let commit = move |number: f64| change_settings(store, |s| *pick(s) = number);
    view! {
        <div class="rule">
            <NumberField label=fact.name value commit/>
            <FactLines fact/>
        </div>
    }
}

#[component]
fn Distance(settings: Memo<Rules>, fact: Fact, pick: Pick<Length>) -> impl IntoView {
    let store = use_store();
    let value = Signal::derive(move || *pick(&mut settings.get()));
    let commit = move |length: Length| change_settings(store, |s| *pick(s) = length);
    view! {
        <div class="rule">
            <LengthField label=fact.name value commit/>
            <FactLines fact/>
        </div>
    }
}

/// Default, range and trust on a line; the rest on demand.
#[component]
fn FactLines(fact: Fact) -> impl IntoView {
    let style = use_lengths();
    view! {
        <details class="fact">
            <summary>{move || summary(&fact, style.get())}</summary>
            <p>{fact.note}</p>
            <p>"Source: " {fact.source} "."</p>
        </details>
    }
}

#[component]
fn FixedFact(fact: Fact) -> impl IntoView {
    let style = use_lengths();
    view! {
        <div class="fixed-fact">
            <h3>{fact.name}</h3>
            <p>{move || summary(&fact, style.get())}</p>
            <p>{fact.note}</p>
            <p>"Source: " {fact.source} "."</p>
        </div>
    }
}

/// `Default 1.75, from 0.5 to 3; from memory`.
fn summary(fact: &Fact, style: LengthStyle) -> String {
    let default = fact.default.map(|value| {
        let word = if fact.range.is_some() { "Default " } else { "" };
        format!("{word}{}", show(value, style))
    });
    let range = fact
        .range
        .map(|(least, most)| format!("from {} to {}", show(least, style), show(most, style)));
    let figures: Vec<String> = default.into_iter().chain(range).collect();
    if figures.is_empty() {
        let trust = fact.trust.words();
        return trust
            .chars()
            .take(1)
            .flat_map(char::to_uppercase)
            .chain(trust.chars().skip(1))
            .collect();
    }
    format!("{}; {}", figures.join(", "), fact.trust.words())
}

fn show(measure: Measure, style: LengthStyle) -> String {
    match measure {
        Measure::Length(length) => style.show(length),
        Measure::Angle(angle) => format!("{:.1}\u{b0}", angle.to_degrees()),
        Measure::Ratio(ratio) => format!("{ratio}"),
        Measure::Count(count) => count.to_string(),
    }
}

/// All rules as they were when the plan was new; how lengths are shown stays.
fn reset(store: Store) {
    let all = |rules: &mut Rules| {
        *rules = Rules { lengths: rules.lengths, ..Rules::default() };
    };
    match change_settings(store, all) {
        Ok(()) => say_done(store, "All rules are back at their defaults. Undo brings yours back."),
        Err(words) => say_refused(store, words),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fact_says_its_default_range_and_trust() {
        let style = LengthStyle::Millimetres;
        let factor = summary(&facts().clearance_factor, style);
        assert_eq!(factor, "Default 1.75, from 0.5 to 3; from memory");
        let gap = summary(&facts().least_gap, style);
        assert_eq!(gap, "Default 12.0 mm, from 0.0 mm to 500.0 mm; our own choice");
        assert_eq!(summary(&facts().height_basis, style), "Common practice");
    }

    #[test]
    fn the_strip_between_molds_keeps_what_the_relation_says() {
        // s / (s + 2 h) at s = 2 h.
        assert!(kept_by(2.0).contains("about 50 %"));
    }
}
