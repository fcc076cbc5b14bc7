//! The text of a link: finding it in what was pasted, and bytes as characters that survive in an address.

use std::borrow::Cow;

use base64::Engine;
use base64::alphabet::URL_SAFE;
use base64::engine::{DecodePaddingMode, GeneralPurpose, GeneralPurposeConfig};

use super::LinkError;

/// The longest text looked at.
pub(super) const MOST_CHARACTERS: usize = 64 << 10;

/// The versions of links.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Version {
    /// Without reliefs that came later.
    One,
    /// With steps, rounded edges and heights.
    Two,
}

impl Version {
    const fn sign(self) -> char {
        match self {
            Self::One => '1',
            Self::Two => '2',
        }
    }
}

/// Says that a plan follows.
const KIND: char = 'p';

/// Characters before the content: version and kind.
const MARK: usize = 2;

/// A text cut within a group of four ends in bits that belong to no byte; the length tells, so they may stand.
const BASE64: GeneralPurpose = GeneralPurpose::new(
    &URL_SAFE,
    GeneralPurposeConfig::new()
        .with_encode_padding(false)
        .with_decode_padding_mode(DecodePaddingMode::RequireNone)
        .with_decode_allow_trailing_bits(true),
);

/// `bytes` as the part of a link after `#`.
pub(super) fn written(version: Version, bytes: &[u8]) -> String {
    let mut text = String::from_iter([version.sign(), KIND]);
    BASE64.encode_string(bytes, &mut text);
    text
}

/// How many characters [`written`] makes of so many bytes.
pub(super) const fn n_characters(n_bytes: usize) -> usize {
    MARK + (n_bytes * 4).div_ceil(3)
}

/// The version and the bytes of the link in `text`.
pub(super) fn read(text: &str) -> Result<(Version, Vec<u8>), LinkError> {
    if text.len() > MOST_CHARACTERS {
        return Err(LinkError::TooLong { characters: text.len(), most: MOST_CHARACTERS });
    }
    let plain = unescaped(text);
    let after = plain.rsplit_once('#').map_or(&*plain, |(_, after)| after);
    let one_line: String =
        after.chars().filter(|c| !c.is_whitespace() && !is_invisible(*c)).collect();
    let (version, content) = content(one_line.trim_matches(|c: char| !is_of_alphabet(c)))?;
    // One character holds six bits, which is no byte: the text was cut within one.
    let whole = if content.len() % 4 == 1 { &content[..content.len() - 1] } else { content };
    let bytes = BASE64.decode(whole).map_err(|_| LinkError::Damaged)?;
    Ok((version, bytes))
}

/// What follows the version and the kind.
fn content(link: &str) -> Result<(Version, &str), LinkError> {
    let mut characters = link.chars();
    match (characters.next(), characters.next()) {
        (Some('1'), Some(KIND)) => Ok((Version::One, characters.as_str())),
        (Some('2'), Some(KIND)) => Ok((Version::Two, characters.as_str())),
        (Some(version @ '3'..='9'), Some(KIND)) => Err(LinkError::Newer { version }),
        _ => Err(LinkError::NotALink),
    }
}

/// The text with `%41` as `A`; an escape that stands for no ASCII character is left as it is.
fn unescaped(text: &str) -> Cow<'_, str> {
    if !text.contains('%') {
        return Cow::Borrowed(text);
    }
    let mut pieces = text.split('%');
    let mut plain = pieces.next().unwrap_or_default().to_owned();
    for piece in pieces {
        let code = piece.get(..2).and_then(|hex| u8::from_str_radix(hex, 16).ok());
        match code.filter(u8::is_ascii) {
            Some(code) => {
                plain.push(char::from(code));
                plain.push_str(&piece[2..]);
            }
            None => plain.extend(["%", piece]),
        }
    }
    Cow::Owned(plain)
}

const fn is_of_alphabet(c: char) -> bool {
    c.is_ascii_alphanumeric() || matches!(c, '-' | '_')
}

/// Soft hyphens, zero-width spaces and joiners, which programs put into long words to break them.
const fn is_invisible(c: char) -> bool {
    matches!(c, '\u{ad}' | '\u{200b}'..='\u{200d}' | '\u{2060}' | '\u{feff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bytes_come_back_from_what_programs_make_of_a_link() {
        let bytes: Vec<u8> = (0..=255).collect();
        let link = written(Version::Two, &bytes);
        assert_eq!(link.len(), n_characters(bytes.len()));
        let (first, second) = link.split_at(100);
        for pasted in [
            link.clone(),
            format!("https://example.org/onepull/#{link}"),
            format!("  <https://example.org/onepull/#{link}>\r\n"),
            format!("(see https://example.org/#{link})."),
            format!("https://example.org/#{first}\r\n{second}"),
            format!("https://example.org/#{first}\u{200b} {second}"),
            format!("https%3A%2F%2Fexample.org%2F%23{}", link.replace('p', "%70")),
            format!("#{}", link.replace('_', "%5F").replace('-', "%2d")),
            format!("\"{link}\""),
            format!("{link}=="),
        ] {
            assert_eq!(read(&pasted), Ok((Version::Two, bytes.clone())), "{pasted}");
        }
    }

    #[test]
    fn what_is_no_link_says_so() {
        for text in
            ["", "#", "%", "%%%", "1", "p1", "hello", "https://example.org/1p/#help", "#\u{1f41a}"]
        {
            assert_eq!(read(text), Err(LinkError::NotALink), "{text}");
        }
        assert_eq!(read("#3pAAAA"), Err(LinkError::Newer { version: '3' }));
        assert_eq!(read("#1pAA.AA"), Err(LinkError::Damaged));
        assert!(matches!(read(&"a".repeat(65_537)), Err(LinkError::TooLong { .. })));
    }
}
