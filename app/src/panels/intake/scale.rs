//! How large what a file draws really is: a unit, or a width that the maker knows.

use engine::intake::SourceUnit;
use engine::units::Length;

use super::file::FileIntake;
use crate::reactive::prelude::*;
use crate::widgets::{Choice, LengthField};

/// The scale of a file, asked when it does not say it.
#[component]
pub(super) fn ScaleFields(intake: FileIntake) -> impl IntoView {
    let is_asked =
        memo(move |_| intake.read.with(|read| read.as_ref().is_some_and(|read| read.is_asked)));
    let unit_mm = memo(move |_| intake.read.with(|read| read.as_ref().map_or(1.0, |r| r.unit_mm)));
    let unit = Signal::derive(move || unit_of(unit_mm.get()));
    let options = Signal::derive(move || units(unit.get()));
    let width = memo(move |_| {
        let widest = |read: &works::FileRead| {
            read.shapes.iter().map(|shape| shape.width).fold(0.0, f64::max)
        };
        Length::mm(intake.read.with(|read| read.as_deref().map_or(0.0, widest)))
    });
    let choose = move |unit: Option<SourceUnit>| {
        if let Some(unit) = unit {
            intake.set_unit(unit.length().to_mm());
        }
        Ok(())
    };
    let set_width = move |wanted: Length| {
        let known = width.get_untracked();
        let is_sound =
            known > Length::ZERO && wanted >= Length::mm(1.0) && wanted <= Length::mm(5000.0);
        if !is_sound {
            return Err("Type a width from 1 mm to 5 m.".into());
        }
        intake.set_unit(unit_mm.get_untracked() * (wanted / known));
        Ok(())
    };
    view! {
        <section class="intake-scale" class:warning=is_asked>
            <h3>"Scale"</h3>
            <p>
                {move || if is_asked.get() {
                    "The file does not say how long a unit of it is. Choose it, or type how wide the widest outline really is."
                } else {
                    "If this is not the true size, choose another unit or type how wide the widest outline really is."
                }}
            </p>
            <div class="fields">
                <Choice label="One unit of the file is" options value=unit commit=choose/>
                <LengthField label="The widest outline is wide" value=width commit=set_width/>
            </div>
        </section>
    }
}

/// The unit of so many millimetres; `None` for a scale of its own.
fn unit_of(mm: f64) -> Option<SourceUnit> {
    let is_it = |unit: &SourceUnit| (mm / unit.length().to_mm() - 1.0).abs() < 1e-9;
    SourceUnit::ALL.into_iter().find(is_it)
}

/// The units to offer, the one that holds among them.
fn units(now: Option<SourceUnit>) -> Vec<(Option<SourceUnit>, String)> {
    let mut units: Vec<Option<SourceUnit>> = SourceUnit::OFFERED.map(Some).to_vec();
    if !units.contains(&now) {
        units.push(now);
    }
    let words = |unit: Option<SourceUnit>| unit.map_or("as typed", one);
    units.into_iter().map(|unit| (unit, words(unit).to_owned())).collect()
}

/// One of a unit, in words.
const fn one(unit: SourceUnit) -> &'static str {
    match unit {
        SourceUnit::Micrometre => "a micrometre",
        SourceUnit::Mil => "a thousandth of an inch",
        SourceUnit::Pixel => "a pixel, 96 to the inch",
        SourceUnit::Point => "a point, 72 to the inch",
        SourceUnit::OldPixel => "a pixel, 90 to the inch",
        SourceUnit::Pica => "a pica, 6 to the inch",
        SourceUnit::Millimetre => "a millimetre",
        SourceUnit::Centimetre => "a centimetre",
        SourceUnit::Inch => "an inch",
        SourceUnit::Decimetre => "a decimetre",
        SourceUnit::Foot => "a foot",
        SourceUnit::Yard => "a yard",
        SourceUnit::Metre => "a metre",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_unit_that_holds_is_always_among_those_offered() {
        for unit in SourceUnit::ALL {
            assert_eq!(unit_of(unit.length().to_mm()), Some(unit));
            assert!(units(Some(unit)).iter().any(|(offered, _)| *offered == Some(unit)));
        }
        assert_eq!(unit_of(2.5), None);
        assert_eq!(units(None).last().map(|(_, words)| words.as_str()), Some("as typed"));
    }
}
