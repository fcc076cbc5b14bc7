//! Fills in the service worker: the files that it keeps for offline use, and a version made from their contents.

use std::fs;
use std::path::Path;

use crate::arguments::Profile;
use crate::failure::Failure;
use crate::fingerprint::Fingerprint;
use crate::folder;

/// The service worker's name in `dist/`; also the template's name.
const NAME: &str = "sw.js";
const VERSION: &str = "%VERSION%";
const FILES: &str = "\"%FILES%\"";

/// The service worker of a development page: it removes an offline copy that a published page may have left on
/// the same address, which would otherwise hide every change, and then itself.
const RETIREMENT: &str = r#"// Removes the offline copy: a development page must show the newest build on every reload.
self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(retire()));

async function retire() {
  for (const name of await caches.keys()) {
    if (name.startsWith(`onepull ${self.registration.scope} `)) await caches.delete(name);
  }
  await self.registration.unregister();
}
"#;

/// Writes the service worker of a laid-out page; `dist` holds the template and everything else already.
pub(crate) fn write(dist: &Path, profile: Profile) -> Result<(), Failure> {
    let path = dist.join(NAME);
    let text = match profile {
        Profile::Development => RETIREMENT.to_owned(),
        Profile::Release => {
            let template = fs::read_to_string(&path).map_err(Failure::file("read", &path))?;
            let mut contents = Vec::new();
            for name in folder::files(dist)? {
                let file = dist.join(&name);
                let bytes = fs::read(&file).map_err(Failure::file("read", file))?;
                contents.push((name, bytes));
            }
            fill_in(&template, &contents).map_err(|placeholder| Failure::Placeholder {
                template: "public/sw.js".into(),
                placeholder,
            })?
        }
    };
    fs::write(&path, text).map_err(Failure::file("write", path))
}

/// Puts the list and the version into the template, or names the placeholder that is not there.
///
/// The version covers names and contents of every file, the template included: a change to any of them is a new
/// version, and the same files are always the same version.
fn fill_in(template: &str, contents: &[(String, Vec<u8>)]) -> Result<String, &'static str> {
    for placeholder in [VERSION, FILES] {
        if !template.contains(placeholder) {
            return Err(placeholder);
        }
    }
    let mut version = Fingerprint::default();
    let mut list = Vec::new();
    for (name, bytes) in contents {
        version.add(name.as_bytes());
        version.add(bytes);
        list.extend(address(name));
    }
    let list = list.iter().map(|address| format!("{address:?}")).collect::<Vec<_>>().join(",\n  ");
    Ok(template.replace(VERSION, &version.to_string()).replace(FILES, &list))
}

/// The address that a file is asked for under, relative to the service worker. None for what the page does without: samples to
/// try, the description of its files, the pictures that a browser takes once when it installs the page; and for the worker
/// itself, because the browser keeps it and a kept copy would never be renewed.
fn address(name: &str) -> Option<String> {
    match name {
        NAME | "plan.schema.json" => None,
        _ if name.starts_with("samples/") || name.contains("-512.") => None,
        "index.html" => Some("./".to_owned()),
        _ => Some(format!("./{name}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEMPLATE: &str = "const VERSION = \"%VERSION%\";\nconst FILES = [\"%FILES%\"];\n";

    fn filled(files: &[(&str, &str)]) -> String {
        let contents: Vec<(String, Vec<u8>)> = files
            .iter()
            .map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec()))
            .collect();
        fill_in(TEMPLATE, &contents).expect("the template has both places")
    }

    #[test]
    fn the_list_holds_what_the_page_needs_relative_to_it_and_the_page_itself_as_its_folder() {
        let left_out = ["plan.schema.json", "samples/limpet.stl", "icons/icon-512.png"];
        let mut files = vec![("index.html", "<p>"), ("plans/reef.json", "{}"), ("sw.js", TEMPLATE)];
        files.extend(left_out.map(|name| (name, "")));
        let text = filled(&files);
        assert!(text.contains("const FILES = [\"./\",\n  \"./plans/reef.json\"];"), "{text}");
    }

    #[test]
    fn the_version_changes_with_any_name_or_content_and_with_nothing_else() {
        let version = |files| filled(files).lines().next().map(str::to_owned);
        let first = version(&[("a.js", "1"), ("b.js", "2")]);
        assert_eq!(first, version(&[("a.js", "1"), ("b.js", "2")]));
        assert_ne!(first, version(&[("a.js", "1"), ("b.js", "3")]));
        assert_ne!(first, version(&[("a.js", "1"), ("c.js", "2")]));
        assert_ne!(first, version(&[("a.js", "1b"), (".js", "2")]));
    }

    #[test]
    fn a_template_without_a_place_for_the_list_is_refused() {
        assert_eq!(fill_in("const VERSION = \"%VERSION%\";", &[]), Err(FILES));
        assert_eq!(fill_in("const FILES = [\"%FILES%\"];", &[]), Err(VERSION));
    }
}
