//! Why a field begins with what it begins with: a sentence and its source on demand, and the way back.

use engine::defaults::{Amount, Given, Reason, reason};
use engine::rules::Measure;
use engine::units::{Angle, Length, LengthStyle};

use super::disclosure::Disclosure;
use super::entry::Committed;
use super::length_field::use_lengths;
use super::number_field::show_number;
use super::voice::use_voice;
use crate::platform::focus;
use crate::reactive::prelude::*;

/// What is told of a field's default, and how it is put back.
#[derive(Clone, Copy)]
pub(crate) struct Why {
    reason: Reason,
    /// Whether the field holds something else than its default.
    is_other: Signal<bool>,
    /// Puts the default back; none where it is no single value.
    restore: Option<Callback<(), Committed>>,
}

impl Why {
    /// The reason of a field of `value`, which takes values by `commit`.
    ///
    /// `read` finds the default among the amounts, and `show` tells two values apart as the field shows them.
    pub(super) fn of<T>(
        given: Option<Given>,
        value: Signal<T>,
        commit: Callback<T, Committed>,
        read: fn(Amount) -> Option<T>,
        show: impl Fn(&T) -> String + Send + Sync + 'static,
    ) -> Option<Self>
    where
        T: Clone + PartialEq + Send + Sync + 'static,
    {
        let reason = reason(given?);
        let default = read(reason.amount);
        let restore =
            default.clone().map(|default| Callback::new(move |()| commit.run(default.clone())));
        let is_other = Signal::derive(move || {
            let other =
                |default: &T| value.with(|value| value != default && show(value) != show(default));
            default.as_ref().is_some_and(other)
        });
        Some(Self { reason, is_other, restore })
    }

    /// The button that stands beside the label, and what it shows under the field.
    pub(super) fn views(why: Option<Self>, label: Signal<String>) -> (AnyView, AnyView) {
        let Some(why) = why else { return (().into_any(), ().into_any()) };
        let disclosure = Disclosure::new();
        let button = disclosure.button("Why?", label);
        (button, why.says(&disclosure, label))
    }

    fn says(self, disclosure: &Disclosure, label: Signal<String>) -> AnyView {
        let Self { reason, is_other, restore } = self;
        let (style, voice) = (use_lengths(), use_voice());
        let refused = RwSignal::new(None::<String>);
        let (open, button) = (disclosure.open, disclosure.button_id());
        let back = move |_| {
            let Some(restore) = restore else { return };
            refused.set(restore.run(()).err());
            if refused.with_untracked(Option::is_none) {
                // The button goes with what it did.
                focus(&button);
                voice.say(&format!("{} is back at its default.", label.get_untracked()));
            }
        };
        view! {
            <div class="more-says" id=disclosure.id.clone() hidden=move || !open.get()>
                <p>{move || standing(&reason, style.get())} " " {reason.why}</p>
                <p>{source(&reason)}</p>
                <button type="button" class="button button-plain" hidden=move || !is_other.get() on:click=back>
                    {move || format!("Default {}: put it back", shown(reason.amount, style.get()))}
                </button>
                <p class="field-error" hidden=move || refused.with(Option::is_none)>{refused}</p>
            </div>
        }
        .into_any()
    }
}

/// `Default 1.75, from 0.5 to 3.`
fn standing(reason: &Reason, style: LengthStyle) -> String {
    let default = shown(reason.amount, style);
    let measure = |measure| shown(Amount::Measure(measure), style);
    match reason.range {
        Some((least, most)) => {
            format!("Default {default}, from {} to {}.", measure(least), measure(most))
        }
        None => format!("Default {default}."),
    }
}

/// `Source: suppliers' guides (from memory).`
fn source(reason: &Reason) -> String {
    let trust = reason.trust.words();
    if reason.source.contains(trust) {
        format!("Source: {}.", reason.source)
    } else {
        format!("Source: {} ({trust}).", reason.source)
    }
}

fn shown(amount: Amount, style: LengthStyle) -> String {
    match amount {
        Amount::Measure(Measure::Length(length)) => style.show_exact(length),
        Amount::Measure(Measure::Angle(angle)) => {
            format!("{}\u{b0}", show_number(angle.to_degrees()))
        }
        Amount::Measure(Measure::Ratio(ratio)) => show_number(ratio),
        Amount::Measure(Measure::Count(count)) => count.to_string(),
        Amount::Seconds(time) => format!("{} s", time.get()),
        Amount::Kilowatts(flux) => format!("{} kW/m\u{b2}", show_number(flux)),
        Amount::Word(word) => word.to_owned(),
        Amount::Empty => "empty".to_owned(),
        Amount::Follows => "as the rest is".to_owned(),
    }
}

pub(super) const fn length(amount: Amount) -> Option<Length> {
    if let Amount::Measure(Measure::Length(length)) = amount { Some(length) } else { None }
}

pub(super) const fn maybe_length(amount: Amount) -> Option<Option<Length>> {
    match amount {
        Amount::Measure(Measure::Length(length)) => Some(Some(length)),
        Amount::Empty => Some(None),
        _ => None,
    }
}

pub(super) const fn angle(amount: Amount) -> Option<Angle> {
    if let Amount::Measure(Measure::Angle(angle)) = amount { Some(angle) } else { None }
}

pub(super) const fn number(amount: Amount) -> Option<f64> {
    match amount {
        Amount::Measure(Measure::Ratio(number)) | Amount::Kilowatts(number) => Some(number),
        _ => None,
    }
}

pub(super) const fn count(amount: Amount) -> Option<u32> {
    if let Amount::Measure(Measure::Count(count)) = amount { Some(count) } else { None }
}

/// As a field of plain text holds it.
pub(super) fn text(amount: Amount) -> Option<String> {
    match amount {
        Amount::Empty => Some(String::new()),
        Amount::Seconds(time) => Some(time.get().to_string()),
        Amount::Measure(Measure::Count(count)) => Some(count.to_string()),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reason_says_its_default_its_range_and_its_source() {
        let style = LengthStyle::Millimetres;
        let factor = reason(Given::ClearanceFactor);
        assert_eq!(standing(&factor, style), "Default 1.75, from 0.5 to 3.");
        assert_eq!(
            source(&factor),
            "Source: repeated in older sheet suppliers' guides (from memory)."
        );
        let lip = reason(Given::ClampLip);
        assert_eq!(standing(&lip, style), "Default 15 mm.");
        assert_eq!(source(&lip), "Source: common practice.");
        assert_eq!(standing(&reason(Given::LeastWall), style), "Default empty.");
    }
}
