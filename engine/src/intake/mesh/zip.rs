//! Takes single files out of a ZIP archive, within bounds on what they unpack to.
//!
//! **Source:** APPNOTE.TXT, the ZIP file format specification, sections 4.3.7, 4.3.12 and 4.3.16 (from memory).

use miniz_oxide::inflate::decompress_to_vec_with_limit;

/// Files listed of one archive.
const MOST_FILES: usize = 4096;

/// One file of an archive.
pub(super) struct Entry<'a> {
    pub(super) name: &'a str,
    method: u16,
    is_locked: bool,
    packed: &'a [u8],
    size: usize,
}

/// The files of an archive, or what is wrong with it.
pub(super) fn entries(bytes: &[u8]) -> Result<Vec<Entry<'_>>, String> {
    let tail = bytes.len().saturating_sub(22 + 65_535);
    let end =
        (tail..bytes.len().saturating_sub(21)).rev().find(|&at| has(bytes, at, *b"PK\x05\x06"));
    let end = end.ok_or("it has no table of its files, as if cut short")?;
    let mut at = long(bytes, end + 16).ok_or("its table of files is cut short")?;
    let count = usize::from(short(bytes, end + 10).unwrap_or(0)).min(MOST_FILES);
    let mut found = Vec::new();
    for _ in 0..count {
        if !has(bytes, at, *b"PK\x01\x02") {
            return Err("its table of files is broken".to_owned());
        }
        let part = |offset| short(bytes, at + offset).map(usize::from);
        let (Some(name_len), Some(extra), Some(comment)) = (part(28), part(30), part(32)) else {
            break;
        };
        let name = bytes.get(at + 46..at + 46 + name_len).unwrap_or_default();
        if let Some(entry) = entry(bytes, at, name) {
            found.push(entry);
        }
        at += 46 + name_len + extra + comment;
    }
    Ok(found)
}

fn entry<'a>(bytes: &'a [u8], at: usize, name: &'a [u8]) -> Option<Entry<'a>> {
    let (packed_len, size) = (long(bytes, at + 20)?, long(bytes, at + 24)?);
    let local = long(bytes, at + 42)?;
    if !has(bytes, local, *b"PK\x03\x04") {
        return None;
    }
    let skip = usize::from(short(bytes, local + 26)?) + usize::from(short(bytes, local + 28)?);
    let start = local + 30 + skip;
    Some(Entry {
        name: std::str::from_utf8(name).ok()?,
        method: short(bytes, at + 10)?,
        is_locked: short(bytes, at + 8)? & 1 == 1,
        packed: bytes.get(start..start.checked_add(packed_len)?)?,
        size,
    })
}

impl Entry<'_> {
    /// The file unpacked to `most` bytes at the most.
    pub(super) fn unpack(&self, most: usize) -> Result<Vec<u8>, String> {
        if self.is_locked {
            return Err("it is locked with a password".to_owned());
        }
        if self.size > most {
            return Err(format!(
                "it unpacks to {} bytes, more than the {most} that are read",
                self.size
            ));
        }
        match self.method {
            0 => Ok(self.packed.to_vec()),
            8 => decompress_to_vec_with_limit(self.packed, most)
                .map_err(|_| "it cannot be unpacked, or unpacks to more than is read".to_owned()),
            method => Err(format!("it is packed by method {method}, and only 0 and 8 are read")),
        }
    }
}

fn has(bytes: &[u8], at: usize, mark: [u8; 4]) -> bool {
    at.checked_add(4).and_then(|end| bytes.get(at..end)) == Some(&mark)
}

fn short(bytes: &[u8], at: usize) -> Option<u16> {
    let two = bytes.get(at..at.checked_add(2)?)?;
    Some(u16::from_le_bytes(two.try_into().ok()?))
}

fn long(bytes: &[u8], at: usize) -> Option<usize> {
    let four = bytes.get(at..at.checked_add(4)?)?;
    usize::try_from(u32::from_le_bytes(four.try_into().ok()?)).ok()
}
