//! How the maker has forecasts made, remembered in this browser as one line of words.

use super::storage;

const FORECAST: &str = "onepull:forecast";

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
