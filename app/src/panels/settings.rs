//! The rules in force: each value with its default, why it is that, and the way back to it.

use engine::defaults::Given;
use engine::physics::webbing::floor_strip;
use engine::plan::{HeightBasis, Settings as Rules};
use engine::rules::{Fact, Facts, Measure, facts};
use engine::units::{Length, LengthStyle};

use super::change::{change_settings, say_done, say_refused};
use super::forecast::LeastWall;
use crate::platform::{Theme, apply_theme, kept_theme};
use crate::reactive::prelude::*;
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
        <section class="sub">
            <div class="row">
                <Button label="Back to the defaults" press=move |()| reset(store)/>
            </div>
            <details class="fold">
                <summary>"What else the rules rest on"</summary>
                {fixed.into_iter().map(|fact| view! { <FixedFact fact/> }).collect_view()}
            </details>
        </section>
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
    let settings = memo(move |_| store.with(|session| session.plan().settings));
    let kept = Signal::derive(move || kept_by(settings.get().clearance.factor));
    let bases = vec![
        (HeightBasis::Taller, "The taller of the two".to_owned()),
        (HeightBasis::Mean, "The mean of the two".to_owned()),
    ];
    let basis = facts().height_basis.name;
    view! {
        {ratio(settings, facts().clearance_factor, Given::ClearanceFactor, |s| &mut s.clearance.factor)}
        <p class="derived">{kept}</p>
        <div class="rule">
            <Choice
                label=basis
                options=bases
                value=Signal::derive(move || settings.get().clearance.basis)
                commit=move |basis| change_settings(store, |s| s.clearance.basis = basis)
                given=Given::HeightBasis
            />
        </div>
        {distance(settings, facts().least_gap, Given::LeastGap, |s| &mut s.clearance.least)}
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
    let settings = memo(move |_| store.with(|session| session.plan().settings));
    let f = facts();
    view! {
        {ratio(settings, f.edge_factor, Given::EdgeFactor, |s| &mut s.edge.factor)}
        {distance(settings, f.least_margin, Given::LeastMargin, |s| &mut s.edge.least)}
    }
}

#[component]
fn HeightToWidth() -> impl IntoView {
    let store = use_store();
    let settings = memo(move |_| store.with(|session| session.plan().settings));
    let f = facts();
    let (male, female) = (Given::MaleHeightToWidth, Given::FemaleHeightToWidth);
    view! {
        {ratio(settings, f.male_height_to_width, male, |s| &mut s.male_height_to_width)}
        {ratio(settings, f.female_height_to_width, female, |s| &mut s.female_height_to_width)}
    }
}

fn ratio(settings: Memo<Rules>, fact: Fact, given: Given, pick: Pick<f64>) -> AnyView {
    let store = use_store();
    let value = Signal::derive(move || *pick(&mut settings.get()));
    let commit = move |number: f64| change_settings(store, |s| *pick(s) = number);
    view! { <div class="rule"><NumberField label=fact.name value commit given/></div> }.into_any()
}

fn distance(settings: Memo<Rules>, fact: Fact, given: Given, pick: Pick<Length>) -> AnyView {
    let store = use_store();
    let value = Signal::derive(move || *pick(&mut settings.get()));
    let commit = move |length: Length| change_settings(store, |s| *pick(s) = length);
    view! { <div class="rule"><LengthField label=fact.name value commit given/></div> }.into_any()
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

/// `3.0°; read in the source`.
fn summary(fact: &Fact, style: LengthStyle) -> String {
    let value = fact.default.map_or_else(String::new, |value| format!("{}; ", show(value, style)));
    format!("{value}{}", fact.trust.words())
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
    fn a_fixed_fact_says_its_value_and_how_far_to_trust_it() {
        let words = summary(&facts().draft[0], LengthStyle::Millimetres);
        assert_eq!(words, "3.0\u{b0}; read in the source");
    }

    #[test]
    fn the_strip_between_molds_keeps_what_the_relation_says() {
        // s / (s + 2 h) at s = 2 h.
        assert!(kept_by(2.0).contains("about 50 %"));
    }
}
