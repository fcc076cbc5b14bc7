//! The printers of this browser: what the bars measured on each, and which is used.

use engine::units::read_decimal;

use super::storage::{self, StorageTrouble};

const PRINTER: &str = "onepull:printer:";
const CHOSEN: &str = "onepull:printer-chosen";

/// What the bars of an uncorrected print measure on a printer, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Bars {
    /// Along the paper's short side.
    pub(crate) across: f64,
    /// Along the paper's long side.
    pub(crate) along: f64,
}

impl Bars {
    fn to_text(self) -> String {
        format!("{} {}", self.across, self.along)
    }

    fn from_text(text: &str) -> Option<Self> {
        let (across, along) = text.split_once(' ')?;
        let number = |text: &str| read_decimal(text).filter(|value| value.is_finite());
        Some(Self { across: number(across)?, along: number(along)? })
    }
}

/// All printers by name, in order; what is no record of ours is passed over.
pub(crate) fn printers() -> Vec<(String, Bars)> {
    let read = |key: String| {
        let bars = storage::read(&key).and_then(|text| Bars::from_text(&text))?;
        Some((key.strip_prefix(PRINTER)?.to_owned(), bars))
    };
    storage::keys(PRINTER).into_iter().filter_map(read).collect()
}

/// Keeps what the bars measured on a printer, in place of what was known of it.
///
/// # Errors
/// Says why it is kept only as long as the page is open.
pub(crate) fn keep_printer(name: &str, bars: Bars) -> Result<(), StorageTrouble> {
    storage::write(&format!("{PRINTER}{name}"), &bars.to_text())
}

/// Forgets a printer.
pub(crate) fn forget_printer(name: &str) {
    storage::remove(&format!("{PRINTER}{name}"));
}

/// The printer that prints are corrected for; empty for none.
pub(crate) fn chosen_printer() -> String {
    storage::read(CHOSEN).unwrap_or_default()
}

/// Remembers which printer prints are corrected for.
///
/// # Errors
/// Says why it is kept only as long as the page is open.
pub(crate) fn choose_printer(name: &str) -> Result<(), StorageTrouble> {
    storage::write(CHOSEN, name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_measured_reads_back_and_what_is_no_record_does_not() {
        let bars = Bars { across: 99.6, along: 100.25 };
        assert_eq!(Bars::from_text(&bars.to_text()), Some(bars));
        for text in ["", "99.6", "a b", "99.6 NaN", "inf 1"] {
            assert_eq!(Bars::from_text(text), None, "{text:?}");
        }
    }
}
