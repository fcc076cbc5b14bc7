//! Bytes made small and guarded: length, raw deflate, check sum.

use miniz_oxide::deflate::compress_to_vec;
use miniz_oxide::inflate::{TINFLStatus, decompress_to_vec_with_limit};

use super::LinkError;
use super::text::{MOST_CHARACTERS, n_characters};

/// The most bytes unpacked; a deflated text can say a thousand times its own length.
const MOST_BYTES: usize = 256 << 10;

/// Bytes of the length in front.
const LENGTH: usize = 2;
/// Bytes of the check sum behind.
const CHECK: usize = 4;

/// The slowest and smallest of deflate's levels: a link is small and made once.
const LEVEL: u8 = 10;

/// `bytes` deflated, between their length and their check sum.
pub(super) fn packed(bytes: &[u8]) -> Result<Vec<u8>, LinkError> {
    if bytes.len() > MOST_BYTES {
        return Err(LinkError::TooLarge { most: MOST_BYTES });
    }
    let deflated = compress_to_vec(bytes, LEVEL);
    let characters = n_characters(LENGTH + deflated.len() + CHECK);
    let too_long = LinkError::TooLong { characters, most: MOST_CHARACTERS };
    if characters > MOST_CHARACTERS {
        return Err(too_long);
    }
    let length = u16::try_from(deflated.len()).map_err(|_| too_long)?;
    let check = crc32(&deflated).to_le_bytes();
    Ok([&length.to_le_bytes()[..], &deflated, &check].concat())
}

/// The bytes that [`packed`] was given.
pub(super) fn unpacked(wire: &[u8]) -> Result<Vec<u8>, LinkError> {
    let (deflated, check) = parts(wire)?;
    if crc32(deflated) != check {
        return Err(LinkError::Damaged);
    }
    decompress_to_vec_with_limit(deflated, MOST_BYTES).map_err(|error| match error.status {
        TINFLStatus::HasMoreOutput => LinkError::TooLarge { most: MOST_BYTES },
        _ => LinkError::Damaged,
    })
}

/// The deflated bytes and their check sum.
fn parts(wire: &[u8]) -> Result<(&[u8], u32), LinkError> {
    let has = n_characters(wire.len());
    let cut = |wants| LinkError::CutShort { has, wants: n_characters(wants) };
    let (length, rest) = wire.split_first_chunk::<LENGTH>().ok_or(cut(LENGTH + CHECK))?;
    let length = usize::from(u16::from_le_bytes(*length));
    let (deflated, check) = rest.split_at_checked(length).ok_or(cut(LENGTH + length + CHECK))?;
    if check.len() < CHECK {
        return Err(cut(LENGTH + length + CHECK));
    }
    let check: [u8; CHECK] = check.try_into().map_err(|_| LinkError::Damaged)?;
    Ok((deflated, u32::from_le_bytes(check)))
}

/// The check sum of gzip and PNG (RFC 1952, section 8), bit by bit: a link is too short for a table to pay.
fn crc32(bytes: &[u8]) -> u32 {
    const POLYNOMIAL: u32 = 0xedb8_8320;
    let step = |sum: u32| if sum & 1 == 1 { (sum >> 1) ^ POLYNOMIAL } else { sum >> 1 };
    let rest = bytes
        .iter()
        .fold(u32::MAX, |sum, &byte| (0..8).fold(sum ^ u32::from(byte), |sum, _| step(sum)));
    !rest
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The check value of CRC-32/ISO-HDLC (R. Williams, A painless guide to CRC error detection algorithms, 1993).
    #[test]
    fn the_check_sum_has_its_published_check_value() {
        assert_eq!(crc32(b"123456789"), 0xcbf4_3926);
        assert_eq!(crc32(b""), 0);
    }

    #[test]
    fn a_cut_is_told_from_damage() {
        let bytes: Vec<u8> = (0..200).collect();
        let wire = packed(&bytes).expect("small");
        assert_eq!(unpacked(&wire), Ok(bytes));
        for n in 0..wire.len() {
            let error = unpacked(&wire[..n]).expect_err("cut");
            assert!(matches!(error, LinkError::CutShort { .. }), "{n}: {error:?}");
        }
        for n in 2..wire.len() {
            let mut damaged = wire.clone();
            damaged[n] ^= 0x10;
            assert_eq!(unpacked(&damaged), Err(LinkError::Damaged), "byte {n}");
        }
        let longer = [&wire[..], b"x"].concat();
        assert_eq!(unpacked(&longer), Err(LinkError::Damaged));
    }

    #[test]
    fn bytes_that_would_not_fit_are_refused_both_ways() {
        let most = LinkError::TooLarge { most: MOST_BYTES };
        assert_eq!(packed(&vec![0; MOST_BYTES + 1]), Err(most.clone()));
        assert!(packed(&vec![0; MOST_BYTES]).and_then(|wire| unpacked(&wire)).is_ok());
        let bomb = compress_to_vec(&vec![0; MOST_BYTES + 1], 9);
        let length = u16::try_from(bomb.len()).expect("deflates well").to_le_bytes();
        let wire = [&length[..], &bomb, &crc32(&bomb).to_le_bytes()].concat();
        assert_eq!(unpacked(&wire), Err(most));
    }
}
