//! What must stay true of the repository itself: the list in DEVELOPERS.md, as tests.
//!
//! Every complaint names the file, the line and what to do. The sizes are a ratchet: a ceiling here may be lowered
//! when the code allows, and is not raised.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Command;

use onepull_tests::rust_text::{Function, RustText, Token, closing};
use onepull_tests::sources::{Source, root, sources};

/// Lines of a file, its test module left out.
const LONGEST_FILE: usize = 600;
/// Half of the files are no longer than this.
const MEDIAN_FILE: usize = 200;
/// Lines of a function, test or not.
const LONGEST_FUNCTION: usize = 80;
/// Nineteen functions of twenty are no longer than this.
const LONG_FUNCTION: usize = 40;
/// Half of the functions are no longer than this.
const MEDIAN_FUNCTION: usize = 8;

/// What the engine may depend on directly; nothing among it knows a browser, a clock, chance or a task.
const ENGINE_CRATES: [&str; 15] = [
    "base64",
    "geo",
    "libm",
    "miniz_oxide",
    "pdf-writer",
    "postcard",
    "qrcodegen",
    "roxmltree",
    "schemars",
    "serde",
    "serde_json",
    "serde_path_to_error",
    "svg",
    "svgtypes",
    "thiserror",
];

/// What must not come in by way of another crate either. `rand` is not among them: without a source of chance such
/// as `getrandom` it is arithmetic on a seed, and `geo` brings it along.
const FOREIGN_CRATES: [&str; 15] = [
    "async-std",
    "chrono",
    "fastrand",
    "futures",
    "getrandom",
    "gloo",
    "instant",
    "js-sys",
    "leptos",
    "time",
    "tokio",
    "uuid",
    "wasm-bindgen",
    "web-sys",
    "web-time",
];

/// Rooms that may not use one another although one stands above the other in DEVELOPERS.md.
const NO_EDGES: [(&str, &str, &str); 3] = [
    ("physics", "edit", "a relation knows how a sheet behaves, not how a plan is changed"),
    ("rules", "edit", "a finding says what is wrong; changing it is the person's"),
    ("export", "plan", "what leaves is what was drawn, so that board and file cannot disagree"),
];

/// The only places that may name `web_sys`.
const BROWSER_PLACES: [&str; 3] =
    ["app/src/platform/", "app/src/platform.rs", "app/src/board/pointer.rs"];

/// What may stand at the top of the repository, beside names that begin with a dot or `LICENSE-`; the last two
/// are made by the build and ignored by git.
const TOP: [&str; 11] = [
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "README.md",
    "app",
    "engine",
    "index.html",
    "public",
    "tests",
    "dist",
    "target",
];

/// Addresses that are names and not places to fetch from: XML namespaces and the dialect of a schema.
const NAMES_LIKE_ADDRESSES: [&str; 2] = ["http://www.w3.org/", "https://json-schema.org/"];

#[test]
fn the_code_is_formatted() {
    run_clean(cargo().args(["fmt", "--all", "--check"]));
}

#[test]
fn the_linter_has_nothing_to_say() {
    run_clean(cargo().args(["clippy", "--workspace", "--all-targets"]).args([
        "--features",
        "onepull-tests/browser",
        "--",
        "-D",
        "warnings",
    ]));
}

#[test]
fn every_link_in_the_documentation_leads_somewhere() {
    run_clean(
        cargo()
            .args(["doc", "--workspace", "--no-deps", "--document-private-items"])
            .args(["--features", "onepull-tests/browser"])
            .env("RUSTDOCFLAGS", "-D warnings"),
    );
}

#[test]
fn every_file_begins_by_saying_its_purpose_in_a_sentence() {
    all_well(|RustFile { source, .. }| {
        let doc = module_doc(source);
        let first = doc.split("\n\n").next().unwrap_or_default();
        let is_sentence = first.ends_with(['.', ':', '?']) && first.len() > 20;
        let complaint = "begin with `//!` and a sentence that says what the file is for";
        if is_sentence { Vec::new() } else { vec![source.at(1, complaint)] }
    });
}

#[test]
fn no_file_and_no_function_is_longer_than_can_be_read_at_once() {
    all_well(|RustFile { source, rust, .. }| {
        let mut complaints = Vec::new();
        let length = length_without_tests(source, rust);
        if length > LONGEST_FILE {
            let complaint = format!("{length} lines without tests, more than {LONGEST_FILE}");
            complaints.push(source.at(1, &complaint));
        }
        for Function { name, line, length, .. } in &rust.functions {
            if *length > LONGEST_FUNCTION {
                let complaint =
                    format!("`{name}` has {length} lines, more than {LONGEST_FUNCTION}");
                complaints.push(source.at(*line, &complaint));
            }
        }
        complaints
    });
}

#[test]
fn most_files_and_functions_are_short() {
    let mut files = Vec::new();
    let mut functions = Vec::new();
    for RustFile { source, rust, .. } in rust_files().iter().filter(|file| !file.is_test) {
        files.push(length_without_tests(source, rust));
        functions.extend(rust.functions.iter().filter(|one| !one.is_test).map(|one| one.length));
    }
    files.sort_unstable();
    functions.sort_unstable();
    for (what, lengths, per_cent, ceiling) in [
        ("files", &files, 50, MEDIAN_FILE),
        ("functions", &functions, 50, MEDIAN_FUNCTION),
        ("functions", &functions, 95, LONG_FUNCTION),
    ] {
        let length = percentile(lengths, per_cent);
        assert!(
            length <= ceiling,
            "{per_cent} % of the {what} have up to {length} lines, more than {ceiling}"
        );
    }
}

#[test]
fn the_engine_depends_on_nothing_that_knows_a_browser_a_clock_chance_or_a_task() {
    let manifest = read("engine/Cargo.toml");
    for name in dependencies(&manifest) {
        assert!(
            ENGINE_CRATES.contains(&name.as_str()),
            "engine/Cargo.toml: `{name}` is not among the crates that the engine may depend on; \
             if it is pure, add it to ENGINE_CRATES in tests/tidy.rs"
        );
    }
    for target in ["x86_64-unknown-linux-gnu", "wasm32-unknown-unknown"] {
        let tree = run_clean(
            cargo()
                .args(["tree", "--package", "onepull-engine", "--edges", "normal"])
                .args(["--prefix", "none", "--format", "{lib}", "--target", target]),
        );
        let words = tree.lines().filter_map(|line| line.split_whitespace().next());
        let crates: BTreeSet<String> = words.map(|name| name.replace('_', "-")).collect();
        assert!(crates.contains("serde-json"), "the tree is not read: {tree}");
        for foreign in FOREIGN_CRATES {
            assert!(!crates.contains(foreign), "on {target} the engine comes to need `{foreign}`");
        }
    }
}

#[test]
fn the_engine_names_no_clock() {
    let clocks = ["std::time", "core::time", "Instant", "SystemTime"];
    let texts: Vec<Source> =
        texts().into_iter().filter(|source| source.name.starts_with("engine/src/")).collect();
    assert!(texts.len() > 100, "{} files are looked at", texts.len());
    no_line(&texts, |line| {
        clocks.iter().find(|clock| line.contains(**clock)).map(|clock| format!("names {clock}"))
    });
}

#[test]
fn nothing_depends_on_the_app() {
    for manifest in
        ["engine/Cargo.toml", "tests/Cargo.toml", "app/works/Cargo.toml", "app/xtask/Cargo.toml"]
    {
        let names = dependencies(&read(manifest));
        assert!(!names.contains("onepull-app"), "{manifest}: nothing may depend on the app");
    }
}

#[test]
fn rooms_use_only_those_above_them() {
    let rooms = rooms_of("engine/src");
    let place = |room: &str| rooms.iter().position(|known| known == room);
    all_well(|RustFile { source, rust, is_test }| {
        let room = room_of(source, "engine/src/").filter(|_| !is_test);
        let Some(room) = room else {
            return Vec::new();
        };
        let mut complaints = Vec::new();
        for (line, used) in uses_of_rooms(source, rust) {
            let is_above = place(used) < place(room);
            if used != room && place(used).is_some() && !is_above {
                let complaint = format!(
                    "`{room}` uses `{used}`, which does not stand above it in DEVELOPERS.md: \
                     move the shared piece up, or this one down"
                );
                complaints.push(source.at(line, &complaint));
            }
            for (from, to, reason) in NO_EDGES {
                if (from, to) == (room, used) {
                    complaints.push(source.at(line, &format!("`{from}` uses `{to}`: {reason}")));
                }
            }
        }
        complaints
    });
}

#[test]
fn only_the_platform_and_the_pointer_touch_the_browser() {
    all_well(|RustFile { source, rust, .. }| {
        if BROWSER_PLACES.iter().any(|place| source.name.starts_with(place)) {
            return Vec::new();
        }
        let complaint = "only app/src/platform and app/src/board/pointer.rs may name web_sys";
        rust.after(&["web_sys"]).iter().map(|(line, _)| source.at(*line, complaint)).collect()
    });
}

#[test]
fn the_map_in_developers_md_names_every_room_and_no_other() {
    for place in ["engine/src", "app/src"] {
        let named: BTreeSet<String> = rooms_of(place).into_iter().collect();
        let folder = root().join(place);
        let there: BTreeSet<String> =
            entries(&folder).into_iter().filter(|name| folder.join(name).is_dir()).collect();
        let missing: Vec<_> = there.difference(&named).collect();
        assert!(missing.is_empty(), "DEVELOPERS.md: the table of {place} lacks {missing:?}");
        for room in named.difference(&there) {
            let is_file = folder.join(format!("{room}.rs")).is_file();
            assert!(
                is_file,
                "DEVELOPERS.md: the table of {place} names `{room}`, which is not there"
            );
        }
    }
}

#[test]
fn every_published_relation_names_its_source() {
    all_well(|RustFile { source, .. }| {
        let is_relation =
            source.name.starts_with("engine/src/physics/") && !source.name.ends_with("/mod.rs");
        let complaint = "say in the module's documentation which Source the relation is from";
        let is_told = module_doc(source).contains("Source");
        if is_relation && !is_told { vec![source.at(1, complaint)] } else { Vec::new() }
    });
}

#[test]
fn every_exception_from_a_lint_gives_its_reason() {
    all_well(|RustFile { source, rust, .. }| {
        let mut complaints = Vec::new();
        for (line, words) in rust.attributes() {
            for (at, pair) in words.windows(2).enumerate() {
                let is_exception = matches!(pair[0].text.as_str(), "allow" | "expect");
                if !is_exception || pair[1].text != "(" {
                    continue;
                }
                let inside = &words[at + 2..];
                let inside = &inside[..closing(inside)];
                if !inside.iter().any(|word| word.text == "reason") {
                    complaints.push(source.at(line, "add `reason = \"…\"` to the exception"));
                }
            }
        }
        complaints
    });
}

#[test]
fn no_test_is_left_out_or_passes_by_failing() {
    all_well(|RustFile { source, rust, .. }| {
        let mut complaints = Vec::new();
        for (line, words) in rust.attributes() {
            let name = words.first().map_or("", |word| word.text.as_str());
            if matches!(name, "ignore" | "should_panic") {
                let complaint = format!("`{name}`: assert what happens instead");
                complaints.push(source.at(line, &complaint));
            }
        }
        complaints
    });
    let manifest = read("tests/Cargo.toml");
    for name in entries(&root().join("tests")).iter().filter(|name| name.ends_with(".rs")) {
        let is_run = manifest.contains(&format!("path = \"{name}\""));
        assert!(
            is_run,
            "tests/Cargo.toml: add a [[test]] with path = \"{name}\", or it never runs"
        );
    }
}

#[test]
fn nothing_is_left_for_later_without_an_issue() {
    // Put together here, because this file is read too.
    let (later, broken) = (concat!("TO", "DO"), concat!("FIX", "ME"));
    no_line(&texts(), |line| {
        let has_issue = line.split_once(later).is_none_or(|(_, after)| after.starts_with("(#"));
        (line.contains(broken) || !has_issue).then(|| format!("do it, or write {later}(#issue)"))
    });
}

#[test]
fn no_line_names_a_place_on_somebodys_machine() {
    // Put together here, because this file is read too.
    let places = ["home", "root", "work", "tmp"].map(|name| format!("/{name}/"));
    no_line(&texts(), |line| {
        let begins_path = |at: usize| {
            let before = line[..at].chars().next_back();
            !before.is_some_and(|c| c.is_alphanumeric() || "_-.}".contains(c))
        };
        let found = places
            .iter()
            .find(|place| line.match_indices(place.as_str()).any(|(at, _)| begins_path(at)))?;
        Some(format!(
            "`{found}` is a place on one machine: use std::env::temp_dir or a relative path"
        ))
    });
}

#[test]
fn the_page_names_no_other_origin() {
    let is_page =
        |source: &Source| source.name.starts_with("public/") || source.name == "index.html";
    let page: Vec<Source> = texts().into_iter().filter(is_page).collect();
    assert!(page.len() > 5, "the page has more files than {}", page.len());
    no_line(&page, |line| {
        let addresses = line.match_indices("://").map(|(at, _)| {
            let start =
                line[..at].rfind(|c: char| !c.is_ascii_alphabetic()).map_or(0, |end| end + 1);
            &line[start..]
        });
        let foreign = addresses
            .into_iter()
            .find(|address| !NAMES_LIKE_ADDRESSES.iter().any(|name| address.starts_with(name)));
        let is_relative = ["\"//", "'//", "(//"].iter().any(|start| line.contains(start));
        (foreign.is_some() || is_relative).then(|| {
            "the page asks no other origin for anything: use a relative address".to_owned()
        })
    });
}

/// A style sheet cannot say "in the dark, or where the page is told to be dark" once: the one is a question to the system, the
/// other to the page's root.
#[test]
fn the_colours_of_dark_stand_twice_and_are_the_same() {
    let colours = |text: &str, from: &str| -> BTreeSet<String> {
        let block = text.split_once(from).and_then(|(_, rest)| rest.split_once('}'));
        let (block, _) = block.expect("a block of dark colours");
        block.lines().map(|line| line.trim().to_owned()).filter(|line| !line.is_empty()).collect()
    };
    for (name, end) in [("public/styles.css", " {"), ("public/board.css", " .board {")] {
        let text = read(name);
        let by_system = colours(&text, &format!(":root:not([data-theme=\"light\"]){end}"));
        let by_choice = colours(&text, &format!(":root[data-theme=\"dark\"]{end}"));
        assert_eq!(by_system, by_choice, "{name}");
        assert!(by_system.iter().any(|line| line.starts_with("--")), "{name}");
    }
}

#[test]
fn the_top_of_the_repository_holds_only_what_it_must() {
    for name in entries(&root()) {
        let is_expected =
            TOP.contains(&name.as_str()) || name.starts_with('.') || name.starts_with("LICENSE-");
        assert!(is_expected, "`{name}` does not belong at the top: find it a room");
    }
}

/// A Rust file of the repository.
struct RustFile {
    source: Source,
    rust: RustText,
    /// Whether it is nothing but tests, their fixtures or benchmarks.
    is_test: bool,
}

/// Every Rust file, read; the files first, because everything below is about them.
fn rust_files() -> Vec<RustFile> {
    let read = |source: Source| {
        let rust = RustText::read(&source.text);
        let rust = rust.unwrap_or_else(|error| panic!("{}: {error}", source.name));
        let is_test = is_test_file(&source.name);
        RustFile { source, rust, is_test }
    };
    let mut files: Vec<_> = texts().into_iter().filter(Source::is_rust).map(read).collect();
    assert!(files.len() > 20, "the repository has more Rust files than {}", files.len());
    let fixtures: BTreeSet<String> = files.iter().flat_map(modules_for_tests).collect();
    for file in &mut files {
        file.is_test |= fixtures.contains(&file.source.name);
    }
    files
}

/// Whether a file belongs to the tests of the workspace or to the benchmarks.
fn is_test_file(name: &str) -> bool {
    let is_test = name.strip_prefix("tests/").is_some_and(|rest| !rest.contains('/'));
    is_test || name.contains("/benches/")
}

/// The files of the modules that a file declares for its tests alone.
fn modules_for_tests(file: &RustFile) -> Vec<String> {
    let name = file.source.name.trim_end_matches(".rs");
    let folder =
        ["/mod", "/lib", "/main"].iter().find_map(|end| name.strip_suffix(end)).unwrap_or(name);
    let names = file.rust.test_files.iter();
    names.flat_map(|one| [format!("{folder}/{one}.rs"), format!("{folder}/{one}/mod.rs")]).collect()
}

fn texts() -> Vec<Source> {
    sources().expect("the repository can be read")
}

/// Fails with every complaint about every Rust file.
#[track_caller]
fn all_well(judge: impl Fn(&RustFile) -> Vec<String>) {
    let complaints: Vec<String> = rust_files().iter().flat_map(judge).collect();
    assert!(complaints.is_empty(), "\n{}", complaints.join("\n"));
}

/// Fails with every complaint about every line.
#[track_caller]
fn no_line(texts: &[Source], judge: impl Fn(&str) -> Option<String>) {
    let mut complaints = Vec::new();
    for source in texts {
        for (number, line) in source.lines() {
            complaints.extend(judge(line).map(|complaint| source.at(number, &complaint)));
        }
    }
    assert!(complaints.is_empty(), "\n{}", complaints.join("\n"));
}

/// The documentation at the head of a file, without its marks.
fn module_doc(source: &Source) -> String {
    let marked = source.text.lines().map_while(|line| line.strip_prefix("//!"));
    marked.map(str::trim).collect::<Vec<_>>().join("\n")
}

fn length_without_tests(source: &Source, rust: &RustText) -> usize {
    source.lines().filter(|(number, _)| !rust.is_test(*number)).count()
}

/// The length that this many per cent of the lengths, which are in order, do not exceed.
fn percentile(lengths: &[usize], per_cent: usize) -> usize {
    let number = (lengths.len() * per_cent).div_ceil(100);
    lengths[number.saturating_sub(1)]
}

/// The names in the dependency tables of a manifest that bind what is built from it; tables for tests and
/// benchmarks do not.
fn dependencies(manifest: &str) -> BTreeSet<String> {
    let mut names = BTreeSet::new();
    let mut is_inside = false;
    for line in manifest.lines() {
        if let Some(table) = line.strip_prefix('[') {
            let table = table.trim_end_matches(']');
            is_inside = table == "dependencies";
            names.extend(table.strip_prefix("dependencies.").map(str::to_owned));
        } else if is_inside && let Some((name, _)) = line.split_once('=') {
            names.insert(name.trim().to_owned());
        }
    }
    names
}

/// The rooms that DEVELOPERS.md lists for a place, in its order: the first column of the table after the line that
/// begins with the place in code marks.
fn rooms_of(place: &str) -> Vec<String> {
    let text = read("DEVELOPERS.md");
    let heading = format!("`{place}`");
    let table = text.lines().skip_while(|line| !line.starts_with(&heading)).skip(1);
    let table =
        table.skip_while(|line| !line.starts_with('|')).take_while(|line| line.starts_with('|'));
    let rooms: Vec<String> = table.filter_map(room_in_row).collect();
    assert!(rooms.len() > 1, "DEVELOPERS.md: no table of rooms after a line that begins {heading}");
    rooms
}

/// The room in a row such as "| `units` | lengths |".
fn room_in_row(row: &str) -> Option<String> {
    let name = row.strip_prefix("| `")?.split('`').next()?;
    Some(name.trim_end_matches('/').to_owned())
}

/// The room that a file below this place belongs to.
fn room_of<'a>(source: &'a Source, place: &str) -> Option<&'a str> {
    let rest = source.name.strip_prefix(place)?;
    let room = rest.split('/').next()?;
    match room.strip_suffix(".rs") {
        Some("lib") => None,
        Some(file) => Some(file),
        None => Some(room),
    }
}

/// The rooms that the code of a file names by way of the crate's root, tests left out.
fn uses_of_rooms<'a>(source: &Source, rust: &'a RustText) -> Vec<(usize, &'a str)> {
    let climb = ["super", ":", ":"].repeat(steps_to_root(&source.name));
    let mut uses = rust.after(&["crate", ":", ":"]);
    uses.extend(rust.after(&climb));
    uses.retain(|(line, _)| !rust.is_test(*line));
    let names = |(line, rest)| first_names(rest).into_iter().map(move |name| (line, name));
    uses.into_iter().flat_map(names).collect()
}

/// How many times a file must say `super` to stand at the root of the engine.
fn steps_to_root(name: &str) -> usize {
    let inside = name.trim_start_matches("engine/src/").trim_end_matches(".rs");
    inside.trim_end_matches("/mod").split('/').count()
}

/// The name that follows a path so far, or the names when a list in braces does.
fn first_names(rest: &[Token]) -> Vec<&str> {
    match rest.first().map(|token| token.text.as_str()) {
        Some("{") => {
            let list = &rest[1..];
            let list = &list[..closing(list)];
            let is_start = |at: usize| at == 0 || list[at - 1].text == ",";
            (0..list.len()).filter(|at| is_start(*at)).map(|at| list[at].text.as_str()).collect()
        }
        Some(name) => vec![name],
        None => Vec::new(),
    }
}

fn read(name: &str) -> String {
    fs::read_to_string(root().join(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

fn entries(folder: &Path) -> Vec<String> {
    let entries =
        fs::read_dir(folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    entries.flatten().map(|entry| entry.file_name().to_string_lossy().into_owned()).collect()
}

/// The cargo that runs these tests, at the root of the repository.
///
/// It builds into the same folder: cargo holds its lock while it builds and not while the tests run, and what the
/// linter needs of other crates is there already.
fn cargo() -> Command {
    let mut cargo = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    cargo.current_dir(root());
    cargo
}

/// Runs a command that must succeed, and returns what it printed.
#[track_caller]
fn run_clean(command: &mut Command) -> String {
    let output = command.output().expect("cargo starts");
    let printed = String::from_utf8_lossy(&output.stdout).into_owned();
    let complaint = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{command:?}\n{printed}{complaint}");
    printed
}
