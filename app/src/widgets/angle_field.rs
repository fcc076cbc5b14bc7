//! A field for an angle in degrees.

use engine::defaults::Given;
use engine::units::Angle;

use super::entry::{Committed, Entry};
use super::number_field::{read_number, show_number};
use super::quoted::quoted;
use super::why::{self, Why};
use crate::reactive::prelude::*;

/// A field for an angle, in degrees, with or without the sign for them.
#[component]
pub(crate) fn AngleField(
    /// What the angle is called.
    #[prop(into)]
    label: Signal<String>,
    /// The angle now.
    #[prop(into)]
    value: Signal<Angle>,
    /// Takes an angle.
    #[prop(into)]
    commit: Callback<Angle, Committed>,
    /// Said small under the field.
    #[prop(optional, into)]
    hint: Signal<String>,
    /// Which default it begins with, if that can be explained.
    #[prop(default = None, into)]
    given: Option<Given>,
) -> impl IntoView {
    let shown = Signal::derive(move || show_angle(value.get()));
    let read = Callback::new(move |text: String| commit.run(read_angle(&text)?));
    let why = Why::of(given, value, commit, why::angle, |angle| show_angle(*angle));
    view! { <Entry label shown commit=read keyboard="text" hint why/> }
}

/// `12.5 deg` with the sign for degrees.
fn show_angle(angle: Angle) -> String {
    format!("{}\u{b0}", show_number(angle.to_degrees()))
}

fn read_angle(text: &str) -> Result<Angle, String> {
    let plain = text.trim().trim_end_matches("degrees").trim_end_matches("deg");
    let degrees = read_number(plain.trim_end_matches('\u{b0}')).map_err(|_| {
        format!("{} is not an angle; type degrees, for example 12.5.", quoted(text))
    })?;
    Ok(Angle::degrees(degrees))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn angles_are_read_in_degrees_however_they_are_marked() {
        for text in ["12.5", "12.5\u{b0}", "12,5 deg", " 12.5 degrees "] {
            let angle = read_angle(text).expect(text);
            assert!((angle.to_degrees() - 12.5).abs() < 1e-12, "{text}");
        }
        assert_eq!(show_angle(Angle::degrees(12.5)), "12.5\u{b0}");
        assert!(read_angle("steep").expect_err("no angle").contains("\"steep\""));
    }
}
