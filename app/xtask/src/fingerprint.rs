//! Tells versions of a page apart by their contents, and guards against nothing.

/// FNV-1a, 64 bits.
///
/// Source: G. Fowler, L. C. Noll, K.-P. Vo, D. Eastlake, T. Hansen, "The FNV Non-Cryptographic Hash Algorithm",
/// IETF draft-eastlake-fnv.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Fingerprint(u64);

impl Default for Fingerprint {
    fn default() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }
}

impl Fingerprint {
    /// Takes a part in: the same parts in the same order give the same print.
    pub(crate) fn add(&mut self, part: &[u8]) {
        // The length keeps the end of one part from being taken for the start of the next.
        self.mix(&part.len().to_le_bytes());
        self.mix(part);
    }

    /// The print as a file holds it, the lowest byte first.
    pub(crate) const fn bytes(self) -> [u8; 8] {
        self.0.to_le_bytes()
    }

    fn mix(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.0 = (self.0 ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
    }
}

impl std::fmt::Display for Fingerprint {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:016x}", self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_fingerprint_agrees_with_the_published_vectors() {
        // The test vectors that accompany the definition (see `Fingerprint`).
        for (text, published) in
            [("", "cbf29ce484222325"), ("a", "af63dc4c8601ec8c"), ("foobar", "85944171f73967e8")]
        {
            let mut fingerprint = Fingerprint::default();
            fingerprint.mix(text.as_bytes());
            assert_eq!(fingerprint.to_string(), published, "of `{text}`");
        }
    }
}
