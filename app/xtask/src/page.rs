//! Builds the page: compiles the app, binds it, and lays everything out in `dist/` as a static folder.
//!
//! Every address in the folder is relative, so it works under any path of any web server.

use std::fs;
use std::path::{Path, PathBuf};

use crate::arguments::Profile;
use crate::bindings;
use crate::failure::Failure;
use crate::folder;
use crate::pack::{self, Build};
use crate::paths;
use crate::service_worker;
use crate::stages::Stages;
use crate::toolchain::{TARGET, Toolchain};
use crate::workspace::Workspace;

/// What cargo calls the modules, and what JavaScript imports them as: the page, and the slow work that its workers do.
const MODULES: [(&str, &str); 2] = [("onepull.wasm", "onepull"), ("worker.wasm", "works")];

/// What the binding tool puts behind the name of a module; the module travels packed, under another.
const MODULE_ENDING: &str = "_bg.wasm";

impl Profile {
    /// What cargo calls it, and the folder it builds into.
    fn cargo_names(self) -> (&'static str, &'static str) {
        match self {
            Self::Development => ("page", "page"),
            Self::Release => ("shipped", "shipped"),
        }
    }
}

/// Builds the page into `dist/`.
///
/// When the app does not compile the finished page of last time stays where it is.
pub(crate) fn build(
    workspace: &Workspace,
    toolchain: Toolchain,
    profile: Profile,
    stages: &mut Stages,
) -> Result<(), Failure> {
    let folder = stages.run("compile the page", || compile(workspace, toolchain, profile))?;
    let bound = workspace.wasm_target.join("bindings");
    stages.run("bind it to JavaScript", || {
        folder::empty(&bound)?;
        MODULES.iter().try_for_each(|(module, name)| {
            bindings::generate(&folder.join(module), name, profile, &bound)
        })
    })?;
    let packed = stages.run("pack the modules", || pack(&bound, profile))?;
    stages.run("lay out dist/", || {
        folder::empty(&workspace.dist)?;
        folder::copy(&workspace.root.join("public"), &workspace.dist, |_| true)?;
        folder::copy(&bound, &workspace.dist, |name| !name.ends_with(MODULE_ENDING))?;
        let index = workspace.dist.join("index.html");
        fs::copy(workspace.root.join("index.html"), &index)
            .map_err(Failure::file("write", index))?;
        for (name, module) in packed {
            let to = workspace.dist.join(name);
            fs::write(&to, module).map_err(Failure::file("write", to))?;
        }
        service_worker::write(&workspace.dist, profile)
    })
}

/// Both modules as they travel, each under the name of its file: the second leans on the first.
fn pack(bound: &Path, profile: Profile) -> Result<Vec<(String, Vec<u8>)>, Failure> {
    let path = |name| bound.join(format!("{name}{MODULE_ENDING}"));
    let read = |(_, name)| fs::read(path(name)).map_err(Failure::file("read", path(name)));
    let modules = MODULES.into_iter().map(read).collect::<Result<Vec<_>, _>>()?;
    let build = Build::of(&modules);
    let mut before = None;
    let mut packed = Vec::new();
    for ((_, name), module) in MODULES.into_iter().zip(modules) {
        let bytes = match profile {
            Profile::Development => pack::plain(&module),
            Profile::Release => {
                let small = pack::small(&module, before.as_ref(), build);
                let (bytes, streams) =
                    small.map_err(|reason| Failure::Packing { module: path(name), reason })?;
                before = Some(streams);
                bytes
            }
        };
        packed.push((format!("{name}{}", pack::ENDING), bytes));
    }
    Ok(packed)
}

/// Compiles both modules; gives the folder that they are in.
fn compile(
    workspace: &Workspace,
    toolchain: Toolchain,
    profile: Profile,
) -> Result<PathBuf, Failure> {
    let (name, folder) = profile.cargo_names();
    let mut cargo = toolchain.cargo_build();
    cargo
        .current_dir(&workspace.root)
        .args([
            "--package",
            "onepull-app",
            "--lib",
            "--package",
            "onepull-works",
            "--bin",
            "worker",
        ])
        .args(["--profile", name, "--target-dir"])
        .arg(&workspace.wasm_target)
        .args(paths::shortened());
    crate::process::show(&mut cargo)?;
    Ok(workspace.wasm_target.join(TARGET).join(folder))
}
