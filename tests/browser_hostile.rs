//! What a page with hostile names, hostile files and a strict policy does: names are words, nothing runs, nobody else is asked.

mod foreign;
mod hand;
#[allow(dead_code, reason = "the plans are for the tests of what is written for others")]
mod hostile;
#[allow(
    dead_code,
    reason = "shared with the tests of what comes in, and a part of it is enough here"
)]
mod intake_hand;

use std::collections::BTreeSet;
use std::io::Read;
use std::net::TcpListener;
use std::process::Command;
use std::sync::Arc;
use std::time::Duration;

use engine::edit::Edit;
use engine::file::{link, load, save_log};
use engine::heat::Sides;
use engine::plan::{Batch, ExtraStock, Mold, Plan, PullId, StockId, sample};
use engine::record::{Logbook, Outcome, PullRecord, RecordId};
use onepull_tests::page::{Browser, Page, dist};
use serde_json::{Value, json};

use foreign::Files;
use hand::open_plan;
use hostile::NAMES;
use intake_hand::{choose, choose_all, dialog_words, until_closed};

const PULL: PullId = PullId(1);

/// Counts what the policy refused, from before the page begins.
const WATCH: &str = "globalThis.refused = [];
  document.addEventListener('securitypolicyviolation', (event) =>
    refused.push(`${event.violatedDirective}: ${event.blockedURI}`));";

/// What a name would have made if it had become markup: elements, handlers, addresses of its own; or a mark if it had run.
const TRACES: &str = "const foreign = [...document.querySelectorAll('script, img, iframe, object, embed, a, style, base, form, meta')]
    .filter((one) => !one.closest('head') && !one.matches('.skip') && !/^(blob|data):/.test(one.src ?? ''));
  const armed = [...document.querySelectorAll('*')].filter((one) =>
    [...one.attributes].some(({ name, value }) => /^on/i.test(name) || /^\\s*javascript:/i.test(value)
      && /href|src|action/i.test(name)));
  return { foreign: foreign.map((one) => one.outerHTML), armed: armed.map((one) => one.outerHTML),
           hit: globalThis.hit ?? null, refused };";

/// The sample with hostile names wherever a name can be, as edits take them.
fn hostile_plan() -> Plan {
    let mut edits = vec![Edit::Rename(NAMES[1].into()), Edit::RenamePull(PULL, NAMES[2].into())];
    let plan = sample();
    for (n, (&id, mold)) in plan.molds.iter().enumerate() {
        let name = NAMES[n * 3 % NAMES.len()].into();
        edits.push(Edit::ChangeMold(id, Box::new(Mold { name, ..(**mold).clone() })));
    }
    let extra = ExtraStock { colour: NAMES[4].into(), stock: plan.stock };
    let batch = Batch { stocks: [(StockId(1), extra)].into(), ..(*plan.batch).clone() };
    edits.push(Edit::SetBatch(Box::new(batch)));
    plan.apply(&Edit::All(edits)).expect("names that edits take")
}

#[test]
fn hostile_names_are_words_on_every_panel_and_nothing_of_them_runs() {
    let (files, browser) = (Files::new("hostile"), Browser::start());
    let page = browser.page();
    page.before_load(WATCH);
    page.open("?nosw");
    // A printer, and a pull in the log, with names of their own.
    page.run_with(
        "localStorage.setItem('onepull:printer:' + arguments[0], '99.6 100.2')",
        vec![json!(NAMES[0])],
    );
    page.reload();
    let plan = hostile_plan();
    open_plan(&page, &plan);
    page.until("it is open", || (page.by_label("Plan").value() == plan.name).then_some(()));
    let mut record = PullRecord::begun("2026-11-26 09:00", &plan, PULL, Sides::One);
    record.notes = NAMES[0].into();
    record.outcomes.insert(Outcome::Web, [NAMES[1].to_owned()].into());
    let book = Logbook::default().add(RecordId(7), &record).expect("a log");
    page.by_role("tab", "Bench").click();
    page.by_id("bench-import").choose_file(&files.write(NAMES[1], save_log(&book)));
    page.until("the pull is in the log", || {
        (page.run("return document.querySelectorAll('.bench-pull').length") == json!(1))
            .then_some(())
    });
    assert_unarmed(&page, "Bench");
    on_every_tab(&page, |tab| assert_unarmed(&page, tab));
    page.by_role("tab", "Molds").click();
    let words =
        page.run("return [...document.querySelectorAll('.molds h3')].map((h) => h.textContent)");
    let shown: BTreeSet<String> = serde_json::from_value(words).expect("names");
    for mold in plan.molds.values() {
        assert!(shown.contains(&mold.name), "{:?} is not among {shown:?}", mold.name);
    }
    for at in 1..=plan.molds.len() {
        page.by_id(&format!("mold-change-{at}")).click();
        assert_unarmed(&page, "the form of a mold");
        page.by_role("button", "Keep on the shelf").click();
    }
    assert_unarmed(&page, "the mold shelf");
    arrange(&page);
    assert_unarmed(&page, "a layout that is offered");
    // The same in a link, told apart from the reader's own.
    let fragment = link(&plan, PULL).expect("a link");
    page.visit("");
    page.open(&format!("?nosw#{fragment}"));
    page.by_role("button", "Compare with my plan").click();
    _ = page.by_selector(".comparing");
    assert_unarmed(&page, "a link");
}

#[test]
fn hostile_files_are_read_as_outlines_and_words() {
    let (files, browser) = (Files::new("hostile-files"), Browser::start());
    let page = browser.page();
    page.before_load(WATCH);
    page.open("?nosw");
    page.by_role("tab", "Molds").click();
    let svg = "<!DOCTYPE svg [<!ENTITY e SYSTEM 'words.txt'>]>
        <svg xmlns='http://www.w3.org/2000/svg' xmlns:xlink='http://www.w3.org/1999/xlink' width='200mm' height='100mm'
          viewBox='0 0 200 100' onload='globalThis.hit=1'>
        <script>globalThis.hit=1</script><image xlink:href='http://127.0.0.1:9/x.png' width='9' height='9'/>
        <style>@import 'http://127.0.0.1:9/x.css';</style><a xlink:href='javascript:globalThis.hit=1'>
        <rect id='&lt;img src=x onerror=globalThis.hit=1&gt;' width='60' height='40' onclick='globalThis.hit=1'>
        <title>&lt;script&gt;globalThis.hit=1&lt;/script&gt;</title></rect></a>
        <foreignObject><body xmlns='http://www.w3.org/1999/xhtml'><img src='x' onerror='globalThis.hit=1'/></body></foreignObject>
        </svg>";
    let plain = svg.split_once('\n').expect("the entity is on the first line").1;
    let dxf = "0\nSECTION\n2\nENTITIES\n0\nCIRCLE\n8\n<img src=x onerror=globalThis.hit=1>\n10\n5\n20\n5\n40\n25\n0\nENDSEC\n0\nEOF\n";
    let names =
        ["<img src=x onerror=globalThis.hit=1>.svg", "\"><svg onload=globalThis.hit=1>.dxf"];
    choose(&page, "molds-from-file", &files.write("entity.svg", svg));
    page.until("the file is answered", || (!dialog_words(&page).is_empty()).then_some(()));
    assert_unarmed(&page, "a drawing with an entity");
    page.press("Escape");
    until_closed(&page);
    let both = [files.write(names[0], plain), files.write(names[1], dxf)];
    choose_all(&page, "molds-from-file", &both);
    for name in names {
        page.until("the file's name is words", || dialog_words(&page).contains(name).then_some(()));
        page.until("it is read", || {
            let count = page.run("return document.querySelectorAll('dialog[open] .pick').length");
            (count != json!(0)).then_some(())
        });
        assert_unarmed(&page, name);
        let add = page.by_role("button", "Add one mold");
        add.click();
    }
    until_closed(&page);
    assert_unarmed(&page, "the molds that came of it");
    // A plan, a log and a shelf that are none of ours.
    for (name, text) in [
        ("<img src=x onerror=globalThis.hit=1>.json", "{\"<script>globalThis.hit=1</script>\": 1}"),
        ("plan.json", "{\"format\": \"<img src=x onerror=globalThis.hit=1>\"}"),
    ] {
        page.by_id("tab-plans").click();
        page.by_id("file-of-plan").choose_file(&files.write(name, text));
        page.until("it is refused in words", || {
            page.by_selector(".notice").text().contains("was not opened").then_some(())
        });
        assert_unarmed(&page, name);
    }
}

#[test]
fn the_policy_of_the_page_forbids_inline_script_and_every_other_origin() {
    let html = std::fs::read_to_string(dist().join("index.html")).expect("the page");
    let document = html.replace("<!doctype html>", "");
    assert_eq!(document.matches("<script").count(), 1, "one script, and a file");
    assert!(document.contains("<script type=\"module\" src=\"boot.js\"></script>"));
    assert!(
        !document.contains("<style") && !document.contains("style=") && !document.contains(" on")
    );
    let policy = document.split("Content-Security-Policy\" content=\"").nth(1).expect("a policy");
    let policy = policy.split('"').next().expect("its end");
    for part in policy.split(';').map(str::trim) {
        let (directive, sources) = part.split_once(' ').unwrap_or((part, ""));
        for source in sources.split(' ') {
            let allowed = ["'none'", "'self'", "'wasm-unsafe-eval'", "data:", "blob:"];
            assert!(allowed.contains(&source), "{directive} allows {source}");
        }
    }
    assert!(
        policy.contains("default-src 'none'")
            && policy.contains("script-src 'self' 'wasm-unsafe-eval';")
    );

    let browser = Browser::start();
    let page = browser.page();
    page.before_load(WATCH);
    page.open("?nosw");
    // Another port is another origin.
    let refused = page.run(
        "const inline = document.createElement('script');
         inline.textContent = 'globalThis.hit = 1';
         document.body.append(inline);
         const armed = document.createElement('div');
         armed.setAttribute('onclick', 'globalThis.hit = 1');
         document.body.append(armed);
         armed.click();
         const picture = new Image();
         picture.src = 'http://127.0.0.1:9/x.png';
         document.body.append(picture);
         const frame = document.createElement('iframe');
         frame.src = './';
         document.body.append(frame);
         return fetch('http://127.0.0.1:9/').catch(() => 0)
           .then(() => new Promise((done) => setTimeout(done, 300)))
           .then(() => [globalThis.hit ?? null, [...new Set(refused.map((words) => words.split(':')[0]))].sort()])",
    );
    let kinds = ["connect-src", "frame-src", "img-src", "script-src-attr", "script-src-elem"];
    assert_eq!(refused, json!([null, kinds]));
    _ = page.console();
}

/// Whom a browser asks by itself, whatever page is open: its maker, and the search of its address bar.
const OF_THE_BROWSER: [&str; 9] = [
    "accounts.google.com",
    "clients2.google.com",
    "clientservices.googleapis.com",
    "content-autofill.googleapis.com",
    "edgedl.me.gvt1.com",
    "optimizationguide-pa.googleapis.com",
    "safebrowsing.googleapis.com",
    "start.duckduckgo.com",
    "update.googleapis.com",
];

/// Where a request goes that has to be seen, so that none seen means none made.
const CONTROL: &str = "other.example";

/// The same work once more, with a browser that sends whatever is not for this machine through a proxy, workers and offline copy
/// included: nobody else is asked before the page is left at the end.
#[test]
fn all_work_at_the_page_is_done_without_asking_another_origin() {
    let proxy = TcpListener::bind("127.0.0.1:0").expect("a port");
    let address = format!("http://{}", proxy.local_addr().expect("an address"));
    let (send, asked) = std::sync::mpsc::channel();
    std::thread::spawn(move || {
        for mut stream in proxy.incoming().flatten() {
            // A browser opens some connections ahead and says nothing on them.
            _ = stream.set_read_timeout(Some(Duration::from_secs(1)));
            let mut head = [0; 512];
            let count = stream.read(&mut head).unwrap_or_default();
            if send.send(String::from_utf8_lossy(&head[..count]).into_owned()).is_err() {
                return;
            }
        }
    });
    let mut again = Command::new(std::env::current_exe().expect("this test"));
    again.args(["--exact", "all_work_at_the_page_asks_its_own_origin_alone"]);
    for name in ["http_proxy", "https_proxy", "all_proxy"] {
        again.env(name, &address);
    }
    let run = again.env("no_proxy", "127.0.0.1,localhost").output().expect("it runs");
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stdout));
    let hosts: BTreeSet<String> = asked.try_iter().filter_map(|head| host(&head)).collect();
    let foreign: Vec<&String> =
        hosts.iter().filter(|host| !OF_THE_BROWSER.contains(&host.as_str())).collect();
    assert_eq!(foreign, [CONTROL], "of {hosts:?}");
}

/// The host of the first line that a proxy is sent (RFC 9112, section 3.2).
fn host(head: &str) -> Option<String> {
    let target = head.split(' ').nth(1)?;
    let target = target.split_once("//").map_or(target, |(_, rest)| rest);
    target.split(['/', ':']).next().map(str::to_owned)
}

#[test]
fn all_work_at_the_page_asks_its_own_origin_alone() {
    let (files, browser) = (Files::new("origin"), Browser::start());
    let page = browser.page();
    page.open("");
    page.until_copied();
    page.reload();
    on_every_tab(&page, |_| {});
    arrange(&page);
    page.by_role("button", "Put it away").click();
    page.by_role("tab", "Print").click();
    page.by_role("button", "Download bench card").click();
    page.until("a download", || page.download_names().into_iter().next());
    page.by_role("tab", "Share").click();
    page.by_role("button", "Make the link").click();
    page.by_role("tab", "Molds").click();
    choose(&page, "molds-from-file", &files.write("clams.svg", foreign::CLAMS));
    page.by_role("button", "Add 2 molds").click();
    until_closed(&page);
    page.until("a forecast is there", || {
        page.by_selector("body").text().contains("Thinnest").then_some(())
    });
    let names = "return performance.getEntriesByType('resource').map((entry) => entry.name)";
    let names: Vec<String> = serde_json::from_value(page.run(names)).expect("names");
    let is_own = |name: &&String| {
        ["data:", "blob:", browser.address()].iter().any(|start| name.starts_with(start))
    };
    assert!(names.len() > 8 && names.iter().all(|name| is_own(&name)), "{names:#?}");
    // Who goes elsewhere by himself is heard.
    page.run(&format!("location.href = 'http://{CONTROL}/'"));
    page.until("the page is left", || page.location().contains(CONTROL).then_some(()));
    _ = page.console();
}

fn assert_unarmed(page: &Page, where_: &str) {
    let traces = page.run(TRACES);
    let nothing = json!({ "foreign": [], "armed": [], "hit": Value::Null, "refused": [] });
    assert_eq!(traces, nothing, "{where_}");
}

/// Opens one panel after the other.
fn on_every_tab(page: &Page, mut look: impl FnMut(&str)) {
    let tabs = page.run("return [...document.querySelectorAll('[role=tab]')].map((tab) => tab.id)");
    let tabs: Vec<String> = serde_json::from_value(tabs).expect("ids");
    assert!(tabs.len() >= 13, "{tabs:?}");
    for tab in tabs {
        page.by_id(&tab).click();
        page.run("return new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))");
        look(&tab);
    }
}

fn arrange(page: &Page) {
    page.by_role("tab", "Arrange").click();
    page.by_id("arrange-begin").click();
    page.until("a layout is offered", || {
        (page.run("return !!document.getElementById('arrange-accept')") == json!(true))
            .then_some(())
    });
}

/// The plan of these tests is as hostile as it means to be.
#[test]
fn the_names_of_the_hostile_plan_stay_as_they_are() {
    let plan = hostile_plan();
    assert_eq!(plan.name, NAMES[1]);
    assert_eq!(load(&engine::file::save(&plan)).as_ref(), Ok(&plan));
    assert!(plan.molds.values().any(|mold| Arc::clone(mold).name == NAMES[0]));
}
