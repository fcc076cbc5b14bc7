//! Price: money in hundredths of the user's own currency, so that sums stay exact.

use std::fmt;

/// An amount in hundredths of whatever currency the user pays in; never negative.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Price(u32);

impl Price {
    /// The largest price a plan accepts: one million of the currency.
    pub const MAX: Self = Self(100_000_000);

    /// A price of `value` hundredths.
    #[must_use]
    pub const fn hundredths(value: u32) -> Self {
        Self(value)
    }

    /// This price in hundredths.
    #[must_use]
    pub const fn to_hundredths(self) -> u32 {
        self.0
    }

    /// Reads `59`, `59.5`, `59.50` or `59,50`; anything else is `None`.
    ///
    /// ```
    /// use engine::units::Price;
    /// assert_eq!(Price::parse("59.5"), Some(Price::hundredths(5950)));
    /// assert_eq!(Price::parse("cheap"), None);
    /// ```
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let (whole, cents) = match text.trim().split_once(['.', ',']) {
            None => (text.trim(), "0"),
            Some((whole, cents)) if (1..=2).contains(&cents.len()) => (whole, cents),
            Some(_) => return None,
        };
        let is_digits = |t: &str| !t.is_empty() && t.bytes().all(|b| b.is_ascii_digit());
        if !is_digits(whole) || !is_digits(cents) {
            return None;
        }
        let scale = if cents.len() == 1 && text.contains(['.', ',']) { 10 } else { 1 };
        let value = whole.parse::<u32>().ok()?.checked_mul(100)?;
        let price = Self(value.checked_add(cents.parse::<u32>().ok()? * scale)?);
        (price <= Self::MAX).then_some(price)
    }
}

impl fmt::Display for Price {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{:02}", self.0 / 100, self.0 % 100)
    }
}
