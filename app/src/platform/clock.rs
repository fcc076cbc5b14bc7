//! The clock of the browser, in local time.

/// A moment, in milliseconds since 1970 UTC.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Moment(pub(crate) u64);

/// The present moment.
pub(crate) fn now() -> Moment {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole milliseconds, above zero since 1970 and far below 2^53"
    )]
    let since_1970 = js_sys::Date::now() as u64;
    Moment(since_1970)
}

impl Moment {
    fn date(self) -> js_sys::Date {
        #[expect(clippy::cast_precision_loss, reason = "below 2^53 for the next 285,000 years")]
        let since_1970 = self.0 as f64;
        js_sys::Date::new(&since_1970.into())
    }

    /// `2026-08-01`, for paper and file names.
    pub(crate) fn day(self) -> String {
        let date = self.date();
        format!("{:04}-{:02}-{:02}", date.get_full_year(), date.get_month() + 1, date.get_date())
    }

    /// `2026-08-01 14:05`.
    pub(crate) fn day_and_time(self) -> String {
        let date = self.date();
        format!("{} {:02}:{:02}", self.day(), date.get_hours(), date.get_minutes())
    }
}
