//! Amount: a sum of money in hundredths of the user's own currency, as large as a batch makes it.

use std::fmt;
use std::iter::Sum;
use std::ops::Add;

use super::Price;

/// A sum in hundredths of whatever currency the user pays in; never negative, and at its largest it stays there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Amount(u64);

impl Amount {
    /// Nothing.
    pub const ZERO: Self = Self(0);

    /// So many times a price.
    #[must_use]
    pub fn times(price: Price, n: u64) -> Self {
        Self(u64::from(price.to_hundredths()).saturating_mul(n))
    }

    /// This share of a price, rounded to the nearest hundredth; a share that is no number is nothing.
    #[must_use]
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "not negative, and the conversion saturates"
    )]
    pub fn share(price: Price, share: f64) -> Self {
        Self(libm::round(f64::from(price.to_hundredths()) * share.max(0.0)) as u64)
    }

    /// This sum parted in `n`, rounded up to a hundredth, so that the parts cover it.
    #[must_use]
    pub fn each(self, n: u32) -> Self {
        Self(self.0.div_ceil(u64::from(n.max(1))))
    }

    /// This sum in hundredths.
    #[must_use]
    pub const fn to_hundredths(self) -> u64 {
        self.0
    }
}

impl Add for Amount {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl Sum for Amount {
    fn sum<I: Iterator<Item = Self>>(amounts: I) -> Self {
        amounts.fold(Self::ZERO, Add::add)
    }
}

impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}.{:02}", self.0 / 100, self.0 % 100)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_are_exact_and_parts_cover_the_whole() {
        let sheet = Price::hundredths(5_950);
        assert_eq!(Amount::times(sheet, 3).to_string(), "178.50");
        assert_eq!(Amount::times(sheet, 3).each(20).to_string(), "8.93");
        assert_eq!(Amount::share(sheet, 0.25).to_string(), "14.88");
        assert_eq!(Amount::share(sheet, f64::NAN), Amount::ZERO);
        let most = Amount::times(Price::MAX, u64::MAX);
        assert_eq!(most + most, Amount(u64::MAX));
    }
}
