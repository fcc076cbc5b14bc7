//! The stock: what the sheet is made of, how thick, how large, and what it costs.

use engine::defaults::Given;
use engine::plan::{Film, Plastic, Size, Stock as Sheet, Texture};
use engine::units::{Length, LengthStyle, Price};

use super::change::{change_stock, say_refused};
use super::gauges::{common_gauges, common_sheets};
use crate::reactive::prelude::*;
use crate::state::use_store;
use crate::widgets::{Choice, LengthField, TextField, quoted, use_lengths};

/// Two lengths nearer than this are one gauge or one sheet size as sold.
const SAME: Length = Length::mm(0.005);

/// The stock sheet.
#[component]
pub(super) fn Stock() -> impl IntoView {
    let store = use_store();
    let stock = memo(move |_| store.with(|session| session.plan().stock));
    view! {
        <section class="sub">
            <h2>"Stock sheet"</h2>
            <div class="fields">
                <Choice
                    label="Plastic"
                    options=Plastic::ALL.map(|p| (p, p.name().to_owned())).to_vec()
                    value=Signal::derive(move || stock.get().plastic)
                    commit=move |plastic| change_stock(store, |s| s.plastic = plastic)
                    given=Given::Plastic
                />
                <LengthField
                    label="Gauge"
                    value=Signal::derive(move || stock.get().gauge)
                    commit=move |gauge| change_stock(store, |s| s.gauge = gauge)
                    hint="Type .060 in, 60 mil or 1.5 mm"
                    given=Given::Gauge
                />
            </div>
            <Gauges stock/>
            <SheetSize stock/>
            <div class="fields">
                <Choice
                    label="Texture"
                    options=Texture::ALL.map(|t| (t, texture_words(t).to_owned())).to_vec()
                    value=Signal::derive(move || stock.get().texture)
                    commit=move |texture| change_stock(store, |s| s.texture = texture)
                />
                <Choice
                    label="Protective film"
                    options=Film::ALL.map(|f| (f, film_words(f).to_owned())).to_vec()
                    value=Signal::derive(move || stock.get().film)
                    commit=move |film| change_stock(store, |s| s.film = film)
                />
                <TextField
                    label="Price of a whole sheet"
                    value=Signal::derive(move || show_price(stock.get().price))
                    commit=move |text: String| {
                        let price = read_price(&text)?;
                        change_stock(store, |s| s.price = price)
                    }
                    hint="In your own money; empty when not known"
                    given=Given::SheetPrice
                />
            </div>
        </section>
    }
}

/// The gauges the plastic is commonly sold in, each a press away.
#[component]
fn Gauges(stock: Memo<Sheet>) -> impl IntoView {
    let store = use_store();
    let style = use_lengths();
    let gauges = memo(move |_| common_gauges(stock.get().plastic));
    let chip = move |gauge: Length| {
        let is_now = move || (stock.get().gauge - gauge).abs() < SAME;
        let press = move |_| {
            if let Err(words) = change_stock(store, |s| s.gauge = gauge) {
                say_refused(store, words);
            }
        };
        view! {
            <button
                type="button"
                class="chip"
                aria-pressed=move || if is_now() { "true" } else { "false" }
                on:click=press
            >
                {move || short_gauge(gauge, style.get())}
            </button>
        }
    };
    view! {
        <fieldset class="chips">
            <legend>"Common gauges for it (from memory)"</legend>
            {move || gauges.get().into_iter().map(chip).collect_view()}
        </fieldset>
    }
}

/// `.060` or `1.52`, as short as a shelf label; the legend and the field carry the unit.
fn short_gauge(gauge: Length, style: LengthStyle) -> String {
    let text = style.show_gauge(gauge);
    text.split_once(" in").map_or(text.clone(), |(inches, _)| inches.to_owned())
}

/// The size of the whole sheet: a common one, or any.
#[component]
fn SheetSize(stock: Memo<Sheet>) -> impl IntoView {
    let store = use_store();
    let style = use_lengths();
    let options = Signal::derive(move || {
        let common = common_sheets().into_iter().enumerate();
        let named = common.map(|(at, size)| (Some(at), show_size(size, style.get())));
        named.chain([(None, "Another size".to_owned())]).collect::<Vec<_>>()
    });
    let value =
        Signal::derive(move || common_sheets().iter().position(|s| is_same(*s, stock.get().sheet)));
    let choose = move |at: Option<usize>| {
        let size = at.and_then(|at| common_sheets().get(at).copied());
        size.map_or(Ok(()), |size| change_stock(store, |s| s.sheet = size))
    };
    view! {
        <div class="fields">
            <Choice label="Whole sheet" options value commit=choose hint="Common sizes from memory"/>
            <LengthField
                label="Sheet width"
                value=Signal::derive(move || stock.get().sheet.width)
                commit=move |width| change_stock(store, |s| s.sheet.width = width)
                given=Given::SheetWidth
            />
            <LengthField
                label="Sheet depth"
                value=Signal::derive(move || stock.get().sheet.depth)
                commit=move |depth| change_stock(store, |s| s.sheet.depth = depth)
                given=Given::SheetDepth
            />
        </div>
    }
}

fn is_same(one: Size, other: Size) -> bool {
    (one.width - other.width).abs() < SAME && (one.depth - other.depth).abs() < SAME
}

/// `48 x 96 in`: the unit once.
fn show_size(size: Size, style: LengthStyle) -> String {
    let suffix = format!(" {}", style.unit().name());
    let width = style.show_exact(size.width);
    format!("{} x {}", width.strip_suffix(&suffix).unwrap_or(&width), style.show_exact(size.depth))
}

const fn texture_words(texture: Texture) -> &'static str {
    match texture {
        Texture::Smooth => "Smooth on both faces",
        Texture::AwayFromMold => "Grain away from the mold",
        Texture::AgainstMold => "Grain against the mold",
    }
}

const fn film_words(film: Film) -> &'static str {
    match film {
        Film::None => "None",
        Film::OneFace => "On one face",
        Film::BothFaces => "On both faces",
    }
}

fn show_price(price: Option<Price>) -> String {
    price.map_or_else(String::new, |price| price.to_string())
}

fn read_price(text: &str) -> Result<Option<Price>, String> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let wrong =
        || format!("{} is not a price up to {}; type for example 59.50.", quoted(text), Price::MAX);
    Price::parse(text).map(Some).ok_or_else(wrong)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_price_may_be_left_empty() {
        assert_eq!(read_price(" "), Ok(None));
        assert_eq!(read_price("59,5"), Ok(Some(Price::hundredths(5950))));
        assert!(read_price("cheap").expect_err("no price").starts_with("\"cheap\" is not a price"));
        assert_eq!(show_price(Some(Price::hundredths(5950))), "59.50");
    }

    #[test]
    fn a_sheet_size_says_its_unit_once() {
        let sheet = Size::new(Length::inches(48.0), Length::inches(96.0));
        assert_eq!(show_size(sheet, LengthStyle::FractionInches), "48 x 96 in");
        assert_eq!(show_size(sheet, LengthStyle::Millimetres), "1219.2 x 2438.4 mm");
    }

    #[test]
    fn a_gauge_is_as_short_as_a_label() {
        let gauge = Length::inches(0.060);
        assert_eq!(short_gauge(gauge, LengthStyle::FractionInches), ".060");
        assert_eq!(short_gauge(gauge, LengthStyle::Millimetres), "1.52 mm");
    }
}
