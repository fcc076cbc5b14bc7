//! What an element's attributes and style say about whether it shows and is filled, and its numbers.

use std::str::FromStr;

use roxmltree::Node;
use svgtypes::{Length, LengthUnit};

/// Pixels in an inch (CSS Values and Units Module Level 3, section 5.2).
pub(super) const PIXELS_PER_INCH: f64 = 96.0;

/// The size of letters that `em` is taken to be, in pixels: the usual default of browsers (common practice).
const EM: f64 = 16.0;

/// A property from the `style` attribute, or from the attribute of its name.
pub(super) fn property<'a>(node: Node<'a, '_>, name: &str) -> Option<&'a str> {
    let declared = node.attribute("style").into_iter().flat_map(|style| style.split(';'));
    let mut pairs = declared.filter_map(|declaration| declaration.split_once(':'));
    let in_style = pairs.rfind(|(key, _)| key.trim() == name).map(|(_, value)| value.trim());
    in_style.or_else(|| node.attribute(name).map(str::trim))
}

/// A length in user units; `None` when it cannot be read. A share is of `whole`.
pub(super) fn to_user(text: &str, whole: f64) -> Option<f64> {
    let length = Length::from_str(text.trim()).ok()?;
    let inch = PIXELS_PER_INCH;
    let factor = match length.unit {
        LengthUnit::None | LengthUnit::Px => 1.0,
        LengthUnit::Em => EM,
        LengthUnit::Ex => EM / 2.0,
        LengthUnit::In => inch,
        LengthUnit::Cm => inch / 2.54,
        LengthUnit::Mm => inch / 25.4,
        LengthUnit::Pt => inch / 72.0,
        LengthUnit::Pc => inch / 6.0,
        LengthUnit::Percent => whole / 100.0,
    };
    let value = length.number * factor;
    value.is_finite().then_some(value)
}

/// True when a length is told in a unit that does not depend on a screen.
pub(super) fn is_physical(text: &str) -> bool {
    let unit = Length::from_str(text.trim()).map(|length| length.unit);
    use LengthUnit::{Cm, In, Mm, Pc, Pt};
    matches!(unit, Ok(Cm | In | Mm | Pc | Pt))
}
