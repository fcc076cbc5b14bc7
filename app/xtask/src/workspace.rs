//! Where the repository, its build folder and the built page stand on this machine.

use std::env;
use std::path::{Path, PathBuf};

use crate::failure::Failure;

/// The folders that xtask reads and writes.
#[derive(Debug, Clone)]
pub(crate) struct Workspace {
    /// The root of the repository.
    pub(crate) root: PathBuf,
    /// What cargo builds for the browser: a folder of its own, so that two compilers do not throw each other's
    /// work away and neither waits for the other's lock.
    pub(crate) wasm_target: PathBuf,
    /// What the tests need beside cargo and is no program of this machine.
    pub(crate) test_tools: PathBuf,
    /// What the tests have said that were run beside others.
    pub(crate) test_words: PathBuf,
    /// The finished page.
    pub(crate) dist: PathBuf,
}

impl Workspace {
    /// Finds the repository that the current folder belongs to.
    pub(crate) fn find() -> Result<Self, Failure> {
        let here = env::current_dir().map_err(Failure::file("find", "the current folder"))?;
        let is_root = |folder: &&Path| folder.join("app/xtask/Cargo.toml").is_file();
        let Some(root) = here.ancestors().find(is_root) else {
            return Err(Failure::OutsideRepository(here));
        };
        let target = env::var_os("CARGO_TARGET_DIR").unwrap_or_else(|| "target".into());
        let target = root.join(target);
        Ok(Self {
            wasm_target: target.join("wasm"),
            test_tools: target.join("test-tools"),
            test_words: target.join("test-words"),
            dist: root.join("dist"),
            root: root.to_owned(),
        })
    }
}
