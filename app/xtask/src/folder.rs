//! Lists and copies the files of a folder.

use std::fs;
use std::path::Path;

use crate::failure::Failure;

/// Every ordinary file below a folder as a path relative to it, with `/` between the parts, sorted.
///
/// Links are left out: what a folder holds is what lies in it.
pub(crate) fn files(folder: &Path) -> Result<Vec<String>, Failure> {
    let mut found = Vec::new();
    collect(folder, "", &mut found)?;
    found.sort();
    Ok(found)
}

fn collect(folder: &Path, prefix: &str, found: &mut Vec<String>) -> Result<(), Failure> {
    for entry in fs::read_dir(folder).map_err(Failure::file("list", folder))? {
        let entry = entry.map_err(Failure::file("list", folder))?;
        let name = format!("{prefix}{}", entry.file_name().to_string_lossy());
        let kind = entry.file_type().map_err(Failure::file("look at", entry.path()))?;
        if kind.is_dir() {
            collect(&entry.path(), &format!("{name}/"), found)?;
        } else if kind.is_file() {
            found.push(name);
        }
    }
    Ok(())
}

/// Copies every file below one folder that is wanted to the same place below another.
pub(crate) fn copy(from: &Path, to: &Path, wanted: impl Fn(&str) -> bool) -> Result<(), Failure> {
    for name in files(from)?.into_iter().filter(|name| wanted(name)) {
        let target = to.join(&name);
        if let Some(parent) = target.parent() {
            fs::create_dir_all(parent).map_err(Failure::file("create", parent))?;
        }
        fs::copy(from.join(&name), &target).map_err(Failure::file("write", target))?;
    }
    Ok(())
}

/// Leaves an empty folder at this path, whatever was there.
pub(crate) fn empty(folder: &Path) -> Result<(), Failure> {
    if folder.exists() {
        fs::remove_dir_all(folder).map_err(Failure::file("remove", folder))?;
    }
    fs::create_dir_all(folder).map_err(Failure::file("create", folder))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_copied_folder_lists_the_files_that_were_wanted() {
        let scratch = std::env::temp_dir().join(format!("onepull-folder-{}", std::process::id()));
        let (from, to) = (scratch.join("from"), scratch.join("to"));
        empty(&from.join("plans")).expect("a scratch folder");
        fs::write(from.join("plans/reef.json"), "{}").expect("a scratch file");
        fs::write(from.join("a.txt"), "a").expect("a scratch file");
        empty(&to).expect("a scratch folder");
        fs::write(to.join("stale.txt"), "left over").expect("a scratch file");
        empty(&to).expect("a scratch folder");
        fs::write(from.join("plans/own.wasm"), "").expect("a scratch file");
        copy(&from, &to, |name| name != "plans/own.wasm").expect("a copy");
        assert_eq!(files(&to).expect("a listing"), ["a.txt", "plans/reef.json"]);
        fs::remove_dir_all(scratch).expect("the scratch folder goes away");
    }
}
