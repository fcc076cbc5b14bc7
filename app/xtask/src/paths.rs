//! Keeps the folders of the machine that builds out of what is sent.
//!
//! A module holds the file names of all places that may panic, and those of libraries begin with the builder's home.

use std::env;
use std::fs;
use std::path::{Path, PathBuf};

use crate::toolchain::TARGET;

/// What cargo is told so that files of libraries are named from their own folder on; nothing where there are none.
///
/// Added to the flags of `.cargo/config.toml`, as cargo does with lists.
pub(crate) fn shortened() -> Vec<String> {
    let home = env::var_os("CARGO_HOME").map(PathBuf::from);
    let home = home.or_else(|| Some(PathBuf::from(env::var_os("HOME")?).join(".cargo")));
    home.map_or_else(Vec::new, |home| told(&libraries(&home)))
}

/// The folders that libraries lie in, one for each registry.
fn libraries(home: &Path) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir(home.join("registry/src")) else { return Vec::new() };
    let mut folders: Vec<_> = entries.flatten().map(|entry| entry.path()).collect();
    folders.sort();
    folders
}

fn told(folders: &[PathBuf]) -> Vec<String> {
    // A folder whose name cannot stand in a literal text of TOML stays as it is.
    let texts = folders.iter().filter_map(|folder| folder.to_str());
    let flags: Vec<String> = texts
        .filter(|folder| !folder.contains(['\'', '=']) && !folder.contains(char::is_control))
        .map(|folder| format!("'--remap-path-prefix={folder}=library'"))
        .collect();
    if flags.is_empty() {
        return Vec::new();
    }
    vec!["--config".to_owned(), format!("target.{TARGET}.rustflags=[{}]", flags.join(","))]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_folder_of_libraries_is_told_once_and_odd_ones_are_left() {
        assert_eq!(told(&[]), Vec::<String>::new());
        let folders = ["/a maker/one", "/it's", "/two"].map(PathBuf::from);
        let [option, flags] = &told(&folders)[..] else { panic!("an option and its value") };
        assert_eq!(option, "--config");
        assert_eq!(
            flags,
            "target.wasm32-unknown-unknown.rustflags=['--remap-path-prefix=/a maker/one=library',\
             '--remap-path-prefix=/two=library']"
        );
    }

    #[test]
    fn a_home_without_libraries_has_none() {
        assert_eq!(libraries(Path::new("no such folder")), Vec::<PathBuf>::new());
    }
}
