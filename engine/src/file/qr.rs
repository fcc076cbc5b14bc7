//! A text as a QR code, as long as a phone can read it off paper.

use qrcodegen::{QrCode, QrCodeEcc, QrSegment, Version};

/// The largest symbol: version 25 (ISO/IEC 18004), 117 modules a side, which holds 1,273 bytes.
///
/// At 0.5 mm a module it is 58 mm wide, about the largest that phones read off paper (common practice).
const LARGEST: u8 = 25;

/// A QR code: a square of dark and light modules.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Qr {
    side: usize,
    dark: Vec<bool>,
}

impl Qr {
    /// How many modules a side has, without the quiet zone of four light modules that a reader needs round it.
    #[must_use]
    pub const fn side(&self) -> usize {
        self.side
    }

    /// True when the module in `column` (from the left) and `row` (from the top) is dark; outside all is light.
    #[must_use]
    pub fn is_dark(&self, column: usize, row: usize) -> bool {
        let is_inside = column < self.side && row < self.side;
        is_inside && self.dark.get(row * self.side + column).copied().unwrap_or(false)
    }
}

/// `text` as a QR code; `None` when it does not fit a symbol that a phone reads off paper.
///
/// Uses error correction level L, or a higher one where it costs no larger symbol: a link is long, and a
/// template that is printed for today is seldom torn.
#[must_use]
pub fn qr(text: &str) -> Option<Qr> {
    let segments = QrSegment::make_segments(text);
    let (least, most) = (Version::MIN, Version::new(LARGEST));
    let level = QrCodeEcc::Low;
    let code = QrCode::encode_segments_advanced(&segments, level, least, most, None, true).ok()?;
    let side = code.size();
    let modules = (0..side).flat_map(|y| (0..side).map(move |x| (x, y)));
    let dark = modules.map(|(x, y)| code.get_module(x, y)).collect();
    Some(Qr { side: usize::try_from(side).ok()?, dark })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_has_its_three_finders_and_a_light_outside() {
        let code = qr("https://example.org/#1p").expect("fits");
        let far = code.side() - 7;
        for (column, row) in [(0, 0), (far, 0), (0, far)] {
            assert!((0..7).all(|n| code.is_dark(column + n, row) && code.is_dark(column, row + n)));
            assert!(!code.is_dark(column + 1, row + 1));
            assert!(code.is_dark(column + 3, row + 3));
        }
        assert!(!code.is_dark(code.side(), 0) && !code.is_dark(0, code.side()));
    }

    #[test]
    fn the_largest_text_is_that_of_version_25() {
        assert_eq!(qr(&"a".repeat(1273)).map(|code| code.side()), Some(117));
        assert_eq!(qr(&"a".repeat(1274)), None);
    }
}
