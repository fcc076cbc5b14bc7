//! Light, dark, or as the system has it; a mark on the root element that the styles read.

use super::storage;

const KEY: &str = "onepull:theme";

/// How the page is lit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Theme {
    /// As the system is set.
    System,
    /// Dark ink on paper.
    Light,
    /// Light ink on slate.
    Dark,
}

impl Theme {
    /// All themes, in the order they are offered.
    pub(crate) const ALL: [Self; 3] = [Self::System, Self::Light, Self::Dark];

    /// Its word.
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::System => "As the system",
            Self::Light => "Light",
            Self::Dark => "Dark",
        }
    }

    const fn key(self) -> &'static str {
        match self {
            Self::System => "system",
            Self::Light => "light",
            Self::Dark => "dark",
        }
    }
}

/// The theme chosen last in this browser.
pub(crate) fn kept_theme() -> Theme {
    let kept = storage::read(KEY).unwrap_or_default();
    Theme::ALL.into_iter().find(|theme| theme.key() == kept).unwrap_or(Theme::System)
}

/// Lights the page, and remembers it where the browser lets it.
pub(crate) fn apply_theme(theme: Theme) {
    let root = web_sys::window().and_then(|w| w.document()).and_then(|d| d.document_element());
    if let Some(root) = root {
        // An attribute name of our own is always accepted.
        let _ = root.set_attribute("data-theme", theme.key());
    }
    if kept_theme() != theme {
        let _ = storage::write(KEY, theme.key());
    }
}
