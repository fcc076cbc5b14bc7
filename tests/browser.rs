//! The built page in a real browser: it starts, asks nobody else for anything, and works without a network.

use std::fs;
use std::path::{Path, PathBuf};

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use onepull_tests::assert_near;
use onepull_tests::page::{Browser, Page, dist};
use serde_json::{Value, json};
use xtask::pack::{Build, small};

#[test]
fn the_page_starts_under_any_path_and_asks_no_other_origin() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("");
    let script = "return performance.getEntriesByType('resource').map(entry => entry.name)";
    let resources: Vec<String> = serde_json::from_value(page.run(script)).expect("names");
    for part in ["boot.js", "onepull.js", "onepull.packed", "styles.css"] {
        let address = format!("{}{part}", browser.address());
        assert!(resources.contains(&address), "{address} is not among {resources:#?}");
    }
    for resource in resources.iter().filter(|resource| !resource.starts_with("data:")) {
        assert!(resource.starts_with(browser.address()), "{resource} is elsewhere");
    }
}

#[test]
fn after_one_visit_the_page_works_with_the_server_gone() {
    let mut browser = Browser::start();
    let page = browser.page();
    page.open("?x=1");
    page.until_copied();
    assert!(!page.is_copied_whole(), "nobody has worked yet");
    change(&page);
    page.until_copied_whole();
    browser.stop_serving();
    page.reload();
    assert!(page.location().ends_with("?x=1"), "{}", page.location());
    page.open("?y=2");
    download_card(&page);
    let card = page.until("the bench card is made", || page.download_names().into_iter().next());
    assert!(page.downloaded(&card).starts_with(b"%PDF-"), "{card}");
    let worker = json!(format!("{}sw.js", browser.address()));
    assert_eq!(page.run("return navigator.serviceWorker.controller.scriptURL"), worker);
}

/// Somebody opened the page, looked, and went where there is no network: the board is there, and what is not says so.
#[test]
fn after_a_look_the_board_works_without_the_server_and_what_computes_says_what_it_lacks() {
    let mut browser = Browser::start();
    let page = browser.page();
    page.open("");
    page.until_copied();
    browser.stop_serving();
    page.reload();
    page.by_label("Plan").fill_in("Rock pool");
    page.press("Enter");
    page.reload();
    assert_eq!(page.by_label("Plan").value(), "Rock pool", "the change was kept");
    download_card(&page);
    let words = "what computes is not on this device yet, and the network did not bring it";
    page.until("the card says what it lacks", || shows(&page, words).then_some(()));
    page.press("?");
    page.until("the help says what is missing", || {
        says_of_the_copy(&page, "Not kept yet: what computes.").then_some(())
    });
    page.by_role("button", "Keep it now").click();
    page.until("it says that it was not kept", || {
        says_of_the_copy(&page, "It was not kept").then_some(())
    });
    assert!(!page.is_copied_whole());
    // The browser says which file it could not have.
    _ = page.console();
}

#[test]
fn a_second_visit_keeps_all_and_so_does_who_asks_for_it() {
    let browser = Browser::start();
    let again = browser.page();
    again.open("");
    again.until_copied();
    again.reload();
    again.until_copied_whole();
    let asks = browser.page();
    asks.open("");
    asks.until_copied();
    asks.press("?");
    asks.by_role("button", "Keep it now").click();
    asks.until_copied_whole();
    asks.until("it says that all is kept", || {
        says_of_the_copy(&asks, "All of Onepull is kept").then_some(())
    });
    assert_eq!(asks.run("return document.activeElement.id"), json!("offline-state"));
}

#[test]
fn a_copy_that_cannot_be_made_is_not_promised() {
    let site = Copy::of_the_page("lacking");
    fs::remove_file(site.0.join("works.js")).expect("a writable copy");
    let browser = Browser::serving(&site.0);
    let page = browser.page();
    page.open("");
    page.press("?");
    page.until("the help says that nothing is kept", || {
        says_of_the_copy(&page, "Not kept yet. On a first visit").then_some(())
    });
    page.by_role("button", "Keep it now").click();
    page.until("it says that it was not kept", || {
        says_of_the_copy(&page, "It was not kept").then_some(())
    });
    assert_eq!(page.run("return caches.keys()"), json!([]));
    // The browser says which file it could not have.
    _ = page.console();
}

/// Between a first look and the first change the server may have got another version.
#[test]
fn what_computes_is_never_of_another_version_than_the_page() {
    let site = Copy::of_the_page("later");
    let browser = Browser::serving(&site.0);
    let page = browser.page();
    page.open("");
    page.until_copied();
    let mut works = fs::read(site.0.join("works.packed")).expect("a packed module");
    // The first of the eight bytes that say which build it is of.
    works[1] ^= 1;
    fs::write(site.0.join("works.packed"), works).expect("a writable copy");
    download_card(&page);
    let words = "the server has a newer version of the page: reload it";
    page.until("it says what is the matter", || shows(&page, words).then_some(()));
    page.reload();
    download_card(&page);
    page.until("the copy refuses it too", || shows(&page, words).then_some(()));
    assert!(!page.is_copied_whole());
    _ = page.console();
}

#[test]
fn a_new_version_waits_until_it_is_asked_for_and_replaces_the_whole_old_one() {
    let site = Copy::of_the_page("update");
    let browser = Browser::serving(&site.0);
    let page = browser.page();
    page.open("");
    page.until_copied();
    change(&page);
    page.until_copied_whole();
    site.replace("index.html", "<title>Onepull", "<title>Newer Onepull");
    site.replace("sw.js", "const VERSION = \"", "const VERSION = \"newer-");
    page.reload();
    let offer = page.by_role("button", "A new version is ready: reload");
    assert_eq!(title(&page), "Onepull", "the old version goes on until the person agrees");
    offer.click();
    page.until("the new version shows", || (title(&page) == "Newer Onepull").then_some(()));
    let caches = page.run("return caches.keys()");
    let names = caches.as_array().expect("a list of caches");
    assert_eq!(names.len(), 1, "one version is kept, not {caches}");
    assert!(names[0].as_str().is_some_and(|name| name.contains(" newer-")), "{caches}");
    assert!(page.is_copied_whole(), "who had all of the old version has all of the new one");
}

#[test]
fn a_version_agreed_to_in_one_tab_is_offered_in_the_other_and_loses_no_work() {
    let site = Copy::of_the_page("tabs");
    let browser = Browser::serving(&site.0);
    let page = browser.page();
    page.open("");
    page.until_copied();
    page.reload();
    let first = page.tab();
    let second = page.open_tab();
    page.open("");
    page.by_label("Plan").fill_in("Rock pool");
    page.press("Enter");
    site.replace("index.html", "<title>Onepull", "<title>Newer Onepull");
    site.replace("sw.js", "const VERSION = \"", "const VERSION = \"newer-");
    page.to_tab(&first);
    page.reload();
    page.by_role("button", "A new version is ready: reload").click();
    page.until("the new version shows", || (title(&page) == "Newer Onepull").then_some(()));
    page.to_tab(&second);
    assert_eq!(title(&page), "Onepull", "nothing is taken from under the other tab");
    page.by_label("Plan").fill_in("Rock pool 2");
    page.press("Enter");
    page.by_role("button", "A new version is ready: reload").click();
    page.until("the new version shows", || (title(&page) == "Newer Onepull").then_some(()));
    page.until("the plan is as it was left", || {
        (page.by_label("Plan").value() == "Rock pool 2").then_some(())
    });
}

#[test]
fn a_version_that_does_not_come_whole_leaves_the_one_before_alone() {
    let site = Copy::of_the_page("half");
    let mut browser = Browser::serving(&site.0);
    let page = browser.page();
    page.open("");
    page.until_copied();
    site.replace("index.html", "<title>Onepull", "<title>Newer Onepull");
    site.replace("sw.js", "const VERSION = \"", "const VERSION = \"newer-");
    fs::remove_file(site.0.join("works.js")).expect("a writable copy");
    let ends = "const found = await navigator.serviceWorker.getRegistration();
        const ended = new Promise((done) => found.addEventListener('updatefound', () => {
          const { installing } = found;
          installing.addEventListener('statechange', () => done(installing.state));
        }));
        await found.update();
        return await ended;";
    assert_eq!(page.run(&format!("return (async () => {{ {ends} }})()")), json!("redundant"));
    page.until("half a version is not kept", || {
        (offline_traces(&page) == json!([1, 1])).then_some(())
    });
    browser.stop_serving();
    page.reload();
    assert_eq!(title(&page), "Onepull");
    // The browser says which file it could not have.
    _ = page.console();
}

#[test]
fn the_manifest_stays_under_its_path_and_its_icons_are_there() {
    let text = fs::read_to_string(dist().join("manifest.webmanifest")).expect("a manifest");
    let manifest: Value = serde_json::from_str(&text).expect("JSON");
    for field in ["id", "start_url", "scope"] {
        let address = manifest[field].as_str().unwrap_or("./");
        assert!(address.starts_with("./"), "{field} {address} would be elsewhere under a sub-path");
    }
    assert_eq!(manifest["display"], json!("standalone"));
    let icons = manifest["icons"].as_array().expect("icons");
    for icon in icons {
        let file = dist().join(icon["src"].as_str().expect("a source"));
        assert!(file.is_file(), "{}", file.display());
    }
    // What browsers ask for before they offer to install a page (https://web.dev/articles/install-criteria, from memory).
    let sizes = icons.iter().filter_map(|icon| icon["sizes"].as_str()).collect::<Vec<_>>();
    assert!(sizes.contains(&"192x192") && sizes.contains(&"512x512"), "{sizes:?}");
}

#[test]
fn the_offline_copy_can_be_left_out_and_removed() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    assert_eq!(offline_traces(&page), json!([0, 0]), "nothing was kept");
    page.open("");
    page.until_copied();
    assert_eq!(offline_traces(&page), json!([1, 1]), "a worker and its copy");
    page.open("?nosw");
    page.until("both are gone", || (offline_traces(&page) == json!([0, 0])).then_some(()));
}

#[test]
fn a_page_that_cannot_start_says_so_in_words() {
    let whole = fs::read(dist().join("onepull.packed")).expect("a packed module");
    let half = whole.len() / 2;
    let mut changed = whole.clone();
    changed[half] ^= 1;
    for broken in [b"no module".as_slice(), &whole[..half], &changed] {
        let site = Copy::of_the_page("broken");
        fs::write(site.0.join("onepull.packed"), broken).expect("a writable copy");
        let browser = Browser::serving(&site.0);
        let page = browser.page();
        page.visit("?nosw");
        let words = page.by_selector("[role=alert]").text();
        assert!(words.starts_with("Onepull could not start."), "{words}");
        assert_eq!(page.run("return document.querySelector('.coming')"), Value::Null);
        assert!(!page.console().is_empty(), "what is broken is told to who looks for it");
    }
}

/// Packed again, what the page has unpacked gives the same files, so it is what the build had packed: no two modules have
/// the same streams.
#[test]
fn what_the_page_unpacks_is_what_was_built() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    let script =
        "const file = async (name) => new Uint8Array(await (await fetch(name)).arrayBuffer());
        const text = (bytes) => {
          const letters = [];
          for (let at = 0; at < bytes.length; at += 32768) {
            letters.push(String.fromCharCode(...bytes.subarray(at, at + 32768)));
          }
          return btoa(letters.join(''));
        };
        return (async () => {
          const page = unpack(await file('onepull.packed'));
          const works = unpack(await file('works.packed'), page);
          return [text(page.module), text(works.module)];
        })()";
    let modules: [String; 2] = serde_json::from_value(page.run(script)).expect("two texts");
    let modules = modules.map(|module| STANDARD.decode(module).expect("base64"));
    let build = Build::of(&modules);
    let mut before = None;
    for (name, module) in ["onepull.packed", "works.packed"].into_iter().zip(modules) {
        let (packed, streams) = small(&module, before.as_ref(), build).expect("a module");
        let served = fs::read(dist().join(name)).expect("a packed module");
        assert!(packed == served, "{name}: {} bytes, served are {}", packed.len(), served.len());
        before = Some(streams);
    }
}

#[test]
fn the_worker_answers_what_came_before_its_module_and_after_it() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("");
    for [before, after] in [["hand()", "ask()"], ["ask()", "hand()"]] {
        let script = format!(
            "const {{ worksModule }} = await import(new URL('modules.js', document.baseURI));
             const module = await worksModule();
             const worker = new Worker('worker.js', {{ type: 'module' }});
             const answer = new Promise((resolve, reject) => {{
               worker.onmessage = ({{ data }}) => resolve(data.map((part) => typeof part));
               worker.onerror = ({{ message }}) => reject(new Error(message));
             }});
             const hand = () => worker.postMessage({{ module }});
             const ask = () => worker.postMessage(['not a job']);
             {before};
             {after};
             return await answer;"
        );
        assert_eq!(page.run(&format!("return (async () => {{ {script} }})()")), json!(["string"]));
    }
}

#[test]
fn a_worker_that_breaks_tells_the_page() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("");
    let script = "return new Promise((resolve) => {
        const worker = new Worker('worker.js', { type: 'module' });
        worker.onerror = (event) => { event.preventDefault(); resolve(event.message); };
        worker.postMessage({ module: 1 });
        worker.postMessage(['a job']);
    })";
    let message = page.run(script);
    assert!(message.as_str().is_some_and(|words| words.contains("WebAssembly")), "{message}");
    let console = page.console();
    assert!(console.iter().all(|line| line.contains("WebAssembly")), "{console:#?}");
}

#[test]
fn two_visitors_know_nothing_of_each_other() {
    let browser = Browser::start();
    let (first, second) = (browser.page(), browser.page());
    first.open("");
    second.open("");
    first.run("localStorage.setItem('kept', 'by the first')");
    assert_eq!(first.run("return localStorage.getItem('kept')"), json!("by the first"));
    assert_eq!(second.run("return localStorage.getItem('kept')"), Value::Null);
}

/// The verbs of the harness on things put into the page for them, so that a journey that fails is about the app.
#[test]
fn the_verbs_of_the_harness_do_what_they_say() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    page.resize(800, 600);
    assert_eq!(page.run("return [innerWidth, innerHeight]"), json!([800, 600]));
    page.run(
        "const pad = document.createElement('div');
         pad.id = 'pad';
         pad.style.cssText = 'position:fixed;inset:100px 0 0 0;touch-action:none';
         pad.tabIndex = 0;
         globalThis.seen = [];
         for (const name of ['pointerdown', 'pointermove', 'pointerup'])
           pad.addEventListener(name, (event) =>
             seen.push([name, event.pointerType, event.clientX, event.clientY]));
         pad.addEventListener('keydown', (event) => seen.push(['key', event.key, event.ctrlKey]));
         const field = document.createElement('label');
         field.append('Gauge ', document.createElement('input'));
         const button = document.createElement('button');
         button.setAttribute('aria-label', 'Undo the mark');
         button.append('U');
         button.onclick = () => seen.push('undone');
         document.body.replaceChildren(pad, field, button);",
    );
    page.by_role("button", "Undo the mark").click();
    page.by_label("Gauge").fill_in(".030 in");
    page.by_label("Gauge").type_in("ch");
    assert_eq!(page.by_role("textbox", "Gauge").value(), ".030 inch");
    assert_eq!(page.by_text("U").attribute("aria-label").as_deref(), Some("Undo the mark"));

    let (x, y) = page.by_id("pad").middle();
    assert_near!(x, 400.0, 0.5);
    assert_near!(y, 350.0, 0.5);
    page.drag(&[(x, y), (x + 10.0, y), (x + 20.0, y + 30.0)]);
    page.by_id("pad").click();
    page.press("Control+z");
    page.touch_drag(&[(x, y), (x - 40.0, y)]);
    let seen = page.run("return seen");
    let seen: Vec<&Value> = seen.as_array().expect("a list").iter().collect();
    for expected in [
        json!("undone"),
        json!(["pointerdown", "mouse", 400, 350]),
        json!(["pointermove", "mouse", 420, 380]),
        json!(["pointerup", "mouse", 420, 380]),
        json!(["key", "z", true]),
        json!(["pointerdown", "touch", 400, 350]),
        json!(["pointermove", "touch", 360, 350]),
        json!(["pointerup", "touch", 360, 350]),
    ] {
        assert!(seen.contains(&&expected), "{expected} is not among {seen:#?}");
    }
}

#[test]
fn what_the_page_saves_and_shows_can_be_read_back() {
    let browser = Browser::start();
    let page = browser.page();
    page.open("?nosw");
    page.run(
        "const link = document.createElement('a');
         link.download = 'pull.svg';
         link.href = URL.createObjectURL(new Blob(['<svg/>']));
         link.click();",
    );
    assert_eq!(page.downloaded("pull.svg"), b"<svg/>");
    let picture = std::env::temp_dir().join(format!("onepull-shot-{}.png", std::process::id()));
    page.screenshot(&picture);
    let bytes = fs::read(&picture).expect("a picture");
    fs::remove_file(&picture).expect("a picture to remove");
    assert!(bytes.starts_with(b"\x89PNG"), "it is no PNG");
}

#[test]
fn a_page_that_complains_in_the_console_fails_its_test() {
    let complaint = std::panic::catch_unwind(|| {
        let browser = Browser::start();
        let page = browser.page();
        page.open("?nosw");
        page.run("console.warn('the sheet sags')");
    });
    let words = *complaint.expect_err("it complained").downcast::<String>().expect("words");
    assert!(words.contains("the sheet sags"), "{words}");
}

/// Whether the help says this of the copy.
fn says_of_the_copy(page: &Page, words: &str) -> bool {
    let said = page.run("return document.getElementById('offline-state').textContent");
    said.as_str().is_some_and(|said| said.starts_with(words))
}

/// A first change of the layout.
fn change(page: &Page) {
    page.by_selector("#mold-4").click();
    page.press("ArrowRight");
}

/// Asks for what only the slow work can do.
fn download_card(page: &Page) {
    page.by_role("tab", "Print").click();
    page.by_role("button", "Download bench card").click();
}

fn shows(page: &Page, words: &str) -> bool {
    let text = page.run("return document.body.innerText");
    text.as_str().is_some_and(|text| text.contains(words))
}

/// How many service workers and how many copies there are.
fn offline_traces(page: &Page) -> Value {
    page.run(
        "return Promise.all([navigator.serviceWorker.getRegistrations(), caches.keys()])
           .then((found) => found.map((all) => all.length))",
    )
}

fn title(page: &Page) -> String {
    page.run("return document.title").as_str().unwrap_or_default().to_owned()
}

/// A copy of the built page that a test may change; removed when dropped.
struct Copy(PathBuf);

impl Copy {
    fn of_the_page(purpose: &str) -> Self {
        let copy = std::env::temp_dir().join(format!("onepull-{purpose}-{}", std::process::id()));
        copy_folder(&dist(), &copy);
        Self(copy)
    }

    fn replace(&self, file: &str, old: &str, new: &str) {
        let path = self.0.join(file);
        let text = fs::read_to_string(&path).expect("a file of the page");
        assert!(text.contains(old), "{file} does not hold `{old}`");
        fs::write(path, text.replace(old, new)).expect("a writable copy");
    }
}

impl Drop for Copy {
    fn drop(&mut self) {
        _ = fs::remove_dir_all(&self.0);
    }
}

fn copy_folder(from: &Path, to: &Path) {
    fs::create_dir_all(to).expect("a new folder");
    for entry in fs::read_dir(from).expect("a folder").flatten() {
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy_folder(&entry.path(), &target);
        } else {
            fs::copy(entry.path(), target).expect("a copy of a file");
        }
    }
}
