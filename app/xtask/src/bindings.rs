//! Gives the compiled module its JavaScript side, in this process.
//!
//! The library is the one behind the `wasm-bindgen` command. As a dependency its version is fixed by `Cargo.lock`
//! together with the app's half, so the two cannot drift apart and nothing has to be installed.

use std::path::Path;

use wasm_bindgen_cli_support::Bindgen;

use crate::arguments::Profile;
use crate::failure::Failure;

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
        .remove_name_section(is_release)
        .remove_producers_section(is_release);
    let generated = bindgen.web(true).and_then(|bindgen| bindgen.generate(into));
    generated.map_err(|reason| Failure::Bindings {
        module: module.to_owned(),
        reason: format!("{reason:#}"),
    })
}
