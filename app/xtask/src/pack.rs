//! Packs the modules for their way over a line: in parts ([`Streams`]), each by LZMA.
//!
//! No browser reads LZMA, so `public/unpack.js` does. The second module may repeat what stands in the first, because
//! much of the engine is in both.

use std::io::Write;

use lzma_rust2::{LzmaOptions, LzmaWriter};

use crate::fingerprint::Fingerprint;
use crate::streams::Streams;

/// A packed module's file ends in this.
pub(crate) const ENDING: &str = ".packed";

/// How a packed file begins: what follows is the module itself.
const AS_IT_IS: u8 = 0;

/// How a packed file begins: what follows is the build (eight bytes), the size of the module, the size of each stream before and
/// after packing (four bytes each, the lowest first), and the streams.
const IN_STREAMS: u8 = 1;

/// How far back a repetition may lie: further than any stream is long.
const WINDOW: u32 = 1 << 24;

/// A module as the page of the day has it, not packed at all: quick to build.
pub(crate) fn plain(module: &[u8]) -> Vec<u8> {
    [&[AS_IT_IS], module].concat()
}

/// Which modules belong together: what leans on a module of another build would become nonsense, or an old page a new program.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Build(Fingerprint);

impl Build {
    /// The build that these modules are.
    #[must_use]
    pub fn of(modules: &[Vec<u8>]) -> Self {
        let mut print = Fingerprint::default();
        modules.iter().for_each(|module| print.add(module));
        Self(print)
    }
}

/// A module of a build packed; `before` is the one that the page has at hand when it unpacks this one.
///
/// # Errors
///
/// In words, when it is no module that the page could put together again.
pub fn small(
    module: &[u8],
    before: Option<&Streams>,
    build: Build,
) -> Result<(Vec<u8>, Streams), String> {
    let streams = Streams::of(module)?;
    let mut head = vec![IN_STREAMS];
    head.extend(build.0.bytes());
    let mut body = Vec::new();
    put_size(&mut head, module.len())?;
    for (place, stream) in streams.all().into_iter().enumerate() {
        let known = before.map_or(&[][..], |before| before.all()[place]);
        let packed = packed(stream, known).map_err(|error| format!("LZMA: {error}"))?;
        put_size(&mut head, stream.len())?;
        put_size(&mut head, packed.len())?;
        body.extend(packed);
    }
    head.extend(body);
    Ok((head, streams))
}

fn put_size(head: &mut Vec<u8>, size: usize) -> Result<(), String> {
    let size = u32::try_from(size).map_err(|_| "a module of more than 4 GB".to_owned())?;
    head.extend(size.to_le_bytes());
    Ok(())
}

/// A stream without header and end mark, as `public/unlzma.js` reads it.
fn packed(stream: &[u8], known: &[u8]) -> lzma_rust2::Result<Vec<u8>> {
    let mut writer = LzmaWriter::new_no_header(Vec::new(), &options(known), false)?;
    writer.write_all(stream)?;
    writer.finish()
}

fn options(known: &[u8]) -> LzmaOptions {
    LzmaOptions {
        dict_size: WINDOW,
        lc: 3,
        lp: 0,
        pb: 0,
        nice_len: LzmaOptions::NICE_LEN_MAX,
        preset_dict: (!known.is_empty()).then(|| known.to_vec()),
        ..LzmaOptions::with_preset(9)
    }
}

#[cfg(test)]
mod tests {
    use std::io::Read;

    use lzma_rust2::LzmaReader;

    use super::*;

    #[test]
    fn a_stream_is_read_back_by_the_library_and_repeats_what_is_known() {
        let known: Vec<u8> =
            (0..4000_u32).flat_map(|number| (number * number).to_le_bytes()).collect();
        let stream = [b"rock pool".as_slice(), &known[8000..12_000]].concat();
        let packed = packed(&stream, &known).expect("memory to write to");
        assert!(packed.len() < 60, "{} bytes for a repetition", packed.len());
        let size = stream.len() as u64;
        let mut reader = LzmaReader::new(packed.as_slice(), size, 3, 0, 0, WINDOW, Some(&known))
            .expect("a stream");
        let mut back = Vec::new();
        reader.read_to_end(&mut back).expect("a whole stream");
        assert_eq!(back, stream);
    }

    #[test]
    fn what_is_no_module_is_refused() {
        assert!(small(b"no module", None, Build::of(&[])).is_err());
    }
}
