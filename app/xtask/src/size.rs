//! Weighs the built page as a web server would send it, and holds it under its ceiling.

use std::fs;
use std::path::Path;

use crate::failure::Failure;
use crate::folder;

/// The most that each module may weigh as it travels, in bytes: the page's, and that of the slow work.
///
/// The browser must have the page's before it can show anything of the plan: 0.58 MB load in about 3.1 s on a 1.5 Mbit/s
/// line, the slowest that a workshop's phone is likely to have; the offline copy makes it a price paid once. A tenth of it
/// are the dialogs of what comes in and the mold shelf, another the forecast with its map, section and picture; the
/// readers themselves and the solvers are in the other, which loads when work is first asked for, and so are batches, files
/// for other trades, the cutting of sheets and the heat with their pictures and words: of them the page holds the fields alone.
/// The second is weighed after the first, of which it repeats what it can. It is 0.34 MB since several sizes are cut exactly, each
/// warning of a forecast has changes of its own that are tried, and XML is looked over before it is read. Both are ratchets: lower
/// them when the modules get lighter.
const CEILINGS: [(&str, usize); 2] = [("onepull.packed", 595_000), ("works.packed", 345_000)];

/// A gzip file is a deflate stream with a header of 10 bytes and a trailer of 8 (RFC 1952, section 2.3).
const GZIP_FRAME: usize = 18;

/// The level that web servers' precompressed files use.
const DEFLATE_LEVEL: u8 = 9;

/// The sizes of every file in a folder as a table, or the file that is too big.
pub(crate) fn table(dist: &Path) -> Result<String, Failure> {
    let mut lines = format!("{:>10} {:>10}  file in dist/\n", "bytes", "sent");
    let (mut all_raw, mut all_sent) = (0, 0);
    for file in folder::files(dist)? {
        let path = dist.join(&file);
        let bytes = fs::read(&path).map_err(Failure::file("read", path))?;
        let sent = sent(&bytes);
        let ceiling = CEILINGS.iter().find(|(name, _)| *name == file).map(|(_, most)| *most);
        if let Some(ceiling) = ceiling.filter(|most| sent > *most) {
            return Err(Failure::TooBig { file, sent, ceiling });
        }
        lines += &format!("{:10} {sent:10}  {file}\n", bytes.len());
        all_raw += bytes.len();
        all_sent += sent;
    }
    lines += &format!("{all_raw:10} {all_sent:10}  in all");
    Ok(lines)
}

/// What travels of a file: a server leaves alone what gets no smaller.
fn sent(bytes: &[u8]) -> usize {
    gzipped(bytes).min(bytes.len())
}

fn gzipped(bytes: &[u8]) -> usize {
    miniz_oxide::deflate::compress_to_vec(bytes, DEFLATE_LEVEL).len() + GZIP_FRAME
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_module_above_the_ceiling_is_named_with_its_size() {
        let dist = std::env::temp_dir().join(format!("onepull-size-{}", std::process::id()));
        folder::empty(&dist).expect("a scratch folder");
        // Bytes of a multiplicative generator (Lehmer 1951): nothing repeats, so nothing compresses.
        let mut state = 1_u64;
        let noise: Vec<u8> = std::iter::repeat_with(|| {
            state = state * 48_271 % 2_147_483_647;
            state.to_le_bytes()[1]
        })
        .take(CEILINGS[0].1 + 1)
        .collect();
        fs::write(dist.join("plan.json"), &noise).expect("a scratch file");
        assert!(table(&dist).is_ok(), "only modules have a ceiling");
        fs::write(dist.join("onepull.packed"), &noise).expect("a scratch file");
        let refusal = table(&dist).expect_err("it is too big").to_string();
        let told = format!("onepull.packed is {} bytes", CEILINGS[0].1 + 1);
        assert!(refusal.starts_with(&told), "noise travels as it is: {refusal}");
        fs::remove_dir_all(dist).expect("the scratch folder goes away");
    }

    #[test]
    fn a_gzipped_size_is_that_of_the_gzip_program_within_two_per_cent() {
        let numbers: String = (1..=2000).map(|number| format!("{number}\n")).collect();
        // `seq 1 2000 | gzip -9n | wc -c` with gzip 1.12.
        let by_gzip = 4218;
        let ours = gzipped(numbers.as_bytes());
        assert!(ours.abs_diff(by_gzip) <= by_gzip / 50, "{ours} is not near {by_gzip}");
    }
}
