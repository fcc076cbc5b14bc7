//! How the maker has forecasts made, which further blanks are cut and what was said of the heater, each remembered in this
//! browser as one line of words.

use super::storage;

const FORECAST: &str = "onepull:forecast";
const HEATER: &str = "onepull:heater";
const FURTHER: &str = "onepull:further-blanks";

/// The words kept last; empty where nothing was set.
pub(crate) fn kept_forecast_habits() -> String {
    storage::read(FORECAST).unwrap_or_default()
}

/// Remembers the words; losing them costs a choice and no work, so a refusal is no trouble.
pub(crate) fn keep_forecast_habits(words: &str) {
    if kept_forecast_habits() != words {
        let _ = storage::write(FORECAST, words);
    }
}

/// What was said of the heater last; empty where nothing was.
pub(crate) fn kept_heater() -> String {
    storage::read(HEATER).unwrap_or_default()
}

/// Remembers what is said of the heater; losing it costs three fields, so a refusal is no trouble.
pub(crate) fn keep_heater(words: &str) {
    let _ = storage::write(HEATER, words);
}

/// The further sizes of blank, as they were typed last.
pub(crate) fn kept_further_blanks() -> String {
    storage::read(FURTHER).unwrap_or_default()
}

/// Remembers them.
pub(crate) fn keep_further_blanks(typed: &str) {
    let _ = storage::write(FURTHER, typed);
}
