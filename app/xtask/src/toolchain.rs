//! Chooses how to compile for the browser, by what this machine can do.
//!
//! 1. The compiler in use already has the `wasm32-unknown-unknown` library: use it.
//! 2. Debian's compiler and its library source are installed: use them.
//! 3. rustup can add the library: let it.
//! 4. apt can install Debian's compiler and library source: let it.
//! 5. Otherwise say which command to run.
//!
//! Debian ships no compiled library for this target, so cargo builds it once from the source, which stable cargo
//! does only when told to pass for a nightly (`RUSTC_BOOTSTRAP`).

use std::path::Path;
use std::process::Command;
use std::time::Duration;

use crate::debian;
use crate::failure::Failure;
use crate::process;
use crate::say;

/// The target of everything that runs in the browser.
pub(crate) const TARGET: &str = "wasm32-unknown-unknown";

const DEBIAN_PACKAGES: [&str; 4] = ["rustc-web", "cargo-web", "rust-web-src", "lld-19"];
const DEBIAN_CARGO: &str = "/usr/bin/cargo";
const DEBIAN_RUSTC: &str = "/usr/bin/rustc";
const DEBIAN_LINKER: &str = "/usr/bin/wasm-ld-19";

/// rustup retries for minutes when it cannot reach its server; the library itself is a download of some 20 MB.
const RUSTUP_LIMIT: Duration = Duration::from_secs(150);

/// What cargo and rustup hand down to the programs they run, and what would send Debian's cargo to another
/// compiler or another compiler's shared libraries.
const MISLEADING: [&str; 10] = [
    "CARGO",
    "CARGO_BUILD_RUSTC",
    "CARGO_BUILD_RUSTDOC",
    "LD_LIBRARY_PATH",
    "RUSTC",
    "RUSTC_WORKSPACE_WRAPPER",
    "RUSTC_WRAPPER",
    "RUSTDOC",
    "RUSTUP_TOOLCHAIN",
    "RUST_RECURSION_COUNT",
];

/// A way to compile for the browser that works on this machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Toolchain {
    /// The cargo that runs xtask.
    InUse,
    /// Debian's cargo, which builds the standard library along with the page.
    Debian,
}

impl Toolchain {
    /// Finds a way, installing what is missing.
    pub(crate) fn set_up() -> Result<Self, Failure> {
        if in_use_has_library() {
            return Ok(Self::InUse);
        }
        if debian_is_complete() {
            return Ok(Self::Debian);
        }
        let rustup = match add_with_rustup() {
            Ok(()) if in_use_has_library() => return Ok(Self::InUse),
            Ok(()) => "rustup added it to another compiler than the one in use".to_owned(),
            Err(failure) => failure.to_string(),
        };
        say::note(&format!("xtask: rustup did not help: {rustup}"));
        let apt = match install_with_apt() {
            Ok(()) if debian_is_complete() => return Ok(Self::Debian),
            Ok(()) => "apt installed the packages, but they lack the library source".to_owned(),
            Err(failure) => failure.to_string(),
        };
        Err(Failure::Missing {
            what: "a Rust compiler for wasm32-unknown-unknown",
            attempts: format!("rustup: {rustup}; apt: {apt}"),
            command: format!("rustup target add {TARGET}"),
        })
    }

    /// The start of a command that builds for the browser.
    pub(crate) fn cargo_build(self) -> Command {
        match self {
            Self::InUse => {
                let mut cargo = process::cargo();
                cargo.args(["build", "--target", TARGET]);
                cargo
            }
            Self::Debian => {
                let mut cargo = Command::new(DEBIAN_CARGO);
                for name in MISLEADING {
                    cargo.env_remove(name);
                }
                cargo
                    .env("RUSTC", DEBIAN_RUSTC)
                    .env("RUSTC_BOOTSTRAP", "1")
                    .env("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER", DEBIAN_LINKER)
                    .args(["build", "--target", TARGET, "-Zbuild-std=std,panic_abort"]);
                cargo
            }
        }
    }

    /// In words, for the person who waits.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::InUse => "the Rust compiler in use",
            Self::Debian => "Debian's Rust compiler, standard library included",
        }
    }
}

fn in_use_has_library() -> bool {
    let mut rustc = Command::new("rustc");
    let Ok(folder) = process::capture(rustc.args(["--print", "target-libdir", "--target", TARGET]))
    else {
        return false;
    };
    let Ok(entries) = Path::new(folder.trim()).read_dir() else {
        return false;
    };
    entries.flatten().any(|entry| entry.file_name().to_string_lossy().starts_with("libstd-"))
}

fn debian_is_complete() -> bool {
    let programs = [DEBIAN_CARGO, DEBIAN_RUSTC, DEBIAN_LINKER];
    if !programs.iter().all(|program| Path::new(program).is_file()) {
        return false;
    }
    let mut rustc = Command::new(DEBIAN_RUSTC);
    for name in MISLEADING {
        rustc.env_remove(name);
    }
    let sysroot = process::capture(rustc.args(["--print", "sysroot"]));
    sysroot.is_ok_and(|sysroot| {
        Path::new(sysroot.trim()).join("lib/rustlib/src/rust/library/std/Cargo.toml").is_file()
    })
}

fn add_with_rustup() -> Result<(), Failure> {
    say::note(&format!(
        "xtask: the compiler in use has no {TARGET} library: asking rustup for it (at most {} s)",
        RUSTUP_LIMIT.as_secs()
    ));
    let mut rustup = Command::new("rustup");
    process::capture_within(rustup.args(["target", "add", TARGET]), RUSTUP_LIMIT).map(drop)
}

fn install_with_apt() -> Result<(), Failure> {
    if !debian::is_here() {
        return Err(Failure::Missing {
            what: "apt",
            attempts: "this is no Debian-like machine".to_owned(),
            command: debian::by_hand(&DEBIAN_PACKAGES),
        });
    }
    debian::install(&DEBIAN_PACKAGES, "they hold a Rust compiler that can build for the browser")
}
