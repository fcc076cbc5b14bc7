//! Gives the compiled module its JavaScript side, in this process.
//!
//! The library is the one behind the `wasm-bindgen` command. As a dependency its version is fixed by `Cargo.lock`
//! together with the app's half, so the two cannot drift apart and nothing has to be installed.

use std::fs;
use std::path::Path;

use wasm_bindgen_cli_support::Bindgen;

use crate::arguments::Profile;
use crate::failure::Failure;
use crate::order;

/// Writes a module and its JavaScript side into a folder, as `<name>_bg.wasm` and `<name>.js`.
pub(crate) fn generate(
    module: &Path,
    name: &str,
    profile: Profile,
    into: &Path,
) -> Result<(), Failure> {
    let is_release = profile == Profile::Release;
    let mut bindgen = Bindgen::new();
    bindgen
        .input_path(module)
        .out_name(name)
        .typescript(false)
        // Without it the page would have to name the module that the JavaScript side belongs to.
        .omit_default_module_path(false)
        .remove_producers_section(is_release);
    let generated = bindgen.web(true).and_then(|bindgen| bindgen.generate(into));
    let failed = |reason: String| Failure::Bindings { module: module.to_owned(), reason };
    generated.map_err(|reason| failed(format!("{reason:#}")))?;
    if is_release { put_in_order(&into.join(format!("{name}_bg.wasm")), failed) } else { Ok(()) }
}

/// Orders the functions of a bound module for its way over a line; its names are needed for that and go after it.
fn put_in_order(bound: &Path, failed: impl Fn(String) -> Failure) -> Result<(), Failure> {
    let scattered = fs::read(bound).map_err(Failure::file("read", bound))?;
    let ordered = order::by_name(&scattered).map_err(failed)?;
    fs::write(bound, ordered).map_err(Failure::file("write", bound))
}
