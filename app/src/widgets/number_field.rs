//! Fields for plain numbers and for counts.

use engine::defaults::Given;
use engine::units::read_decimal;

use super::entry::{Committed, Entry};
use super::quoted::quoted;
use super::why::{self, Why};
use crate::reactive::prelude::*;

/// A field for a number without a unit; a decimal comma is as good as a point.
#[component]
pub(crate) fn NumberField(
    /// What the number is called.
    #[prop(into)]
    label: Signal<String>,
    /// The number now.
    #[prop(into)]
    value: Signal<f64>,
    /// Takes a number.
    #[prop(into)]
    commit: Callback<f64, Committed>,
    /// Said small under the field.
    #[prop(optional, into)]
    hint: Signal<String>,
    /// Which default it begins with, if that can be explained.
    #[prop(default = None, into)]
    given: Option<Given>,
) -> impl IntoView {
    let shown = Signal::derive(move || show_number(value.get()));
    let read = Callback::new(move |text: String| commit.run(read_number(&text)?));
    let why = Why::of(given, value, commit, why::number, |value| show_number(*value));
    view! { <Entry label shown commit=read keyboard="decimal" hint why/> }
}

/// A field for a count.
#[component]
pub(crate) fn CountField(
    /// What is counted.
    #[prop(into)]
    label: Signal<String>,
    /// The count now.
    #[prop(into)]
    value: Signal<u32>,
    /// Takes a count.
    #[prop(into)]
    commit: Callback<u32, Committed>,
    /// Which default it begins with, if that can be explained.
    #[prop(default = None, into)]
    given: Option<Given>,
) -> impl IntoView {
    let shown = Signal::derive(move || value.get().to_string());
    let read = Callback::new(move |text: String| commit.run(read_count(&text, "2")?));
    let why = Why::of(given, value, commit, why::count, ToString::to_string);
    view! { <Entry label shown commit=read keyboard="numeric" why/> }
}

/// A number with three decimals at most and no trailing zeros.
pub(super) fn show_number(value: f64) -> String {
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A number as a person types it.
pub(super) fn read_number(text: &str) -> Result<f64, String> {
    let plain = text.trim().replace(',', ".");
    let value = read_decimal(&plain).filter(|value| value.is_finite());
    value.ok_or_else(|| match plain.as_str() {
        "" => "type a number, for example 1.75.".to_owned(),
        _ => format!("{} is not a number; type for example 1.75.", quoted(text)),
    })
}

/// A count as a person types it; what is none is told with an example of what would do.
pub(crate) fn read_count(text: &str, example: &str) -> Result<u32, String> {
    let plain = text.trim();
    let is_whole = |digits: &str| !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit());
    plain.parse().map_err(|_| {
        let wrong = match plain {
            "" => return format!("type a whole number, for example {example}."),
            _ if is_whole(plain) => "is too large",
            _ if plain.strip_prefix('-').is_some_and(is_whole) => "is less than nothing",
            _ => "is not a whole number",
        };
        format!("{} {wrong}; type for example {example}.", quoted(plain))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_with_a_point_or_a_comma_and_shown_without_trailing_zeros() {
        for (text, value, shown) in
            [("1.75", 1.75, "1.75"), (" 1,5 ", 1.5, "1.5"), ("-2", -2.0, "-2"), ("0", 0.0, "0")]
        {
            assert_eq!(read_number(text), Ok(value));
            assert_eq!(show_number(value), shown);
        }
    }

    #[test]
    fn what_is_no_number_is_named() {
        for text in ["much", "inf", "1e5", "NaN", "1.2.3"] {
            let error = read_number(text).expect_err(text);
            assert!(error.starts_with(&format!("\"{text}\"")), "{error}");
        }
        assert_eq!(read_number(" "), Err("type a number, for example 1.75.".into()));
        assert_eq!(read_count(" 3 ", "2"), Ok(3));
        for (text, words) in [
            ("2.5", "\"2.5\" is not a whole number; type for example 2."),
            ("-3", "\"-3\" is less than nothing; type for example 2."),
            ("99999999999", "\"99999999999\" is too large; type for example 2."),
            ("-", "\"-\" is not a whole number; type for example 2."),
            ("", "type a whole number, for example 2."),
        ] {
            assert_eq!(read_count(text, "2"), Err(words.into()));
        }
    }
}
