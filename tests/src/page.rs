//! The page in a real browser, in a person's words: open, find, click, drag, press, see.
//!
//! A [`Browser`] is one chromedriver and one server of the built page, under a path of its own so that an address
//! from the root would show. Each [`Page`] is a session with an empty profile, as a first visitor has it. Every
//! verb waits for what it needs and fails the test with what it was doing. When a page is dropped its console must
//! be empty.

mod driver;
mod element;
mod files;
mod find;
mod input;
mod tabs;

use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use thirtyfour::error::WebDriverResult;
use thirtyfour::{By, WebDriver};
use tokio::runtime::Runtime;
use xtask::server::Server;

use driver::Driver;
pub use element::{Element, Place};
use files::Scratch;
pub use tabs::Tab;

/// How long a verb waits for what it needs before it fails the test; two busy cores need some of it.
const PATIENCE: Duration = Duration::from_secs(30);

/// How often it looks in the meantime.
const LOOK_EVERY: Duration = Duration::from_millis(25);

/// Where the page is served; not the root, because a published page often is not either.
const PATH: &str = "/bench/onepull/";

/// One browser at a time: two would share two cores with the test runner, and each would wait longer than both do
/// in turn.
static TURN: Mutex<()> = Mutex::new(());

/// A driver and a server, ready for pages.
#[derive(Debug)]
pub struct Browser {
    server: Option<Server>,
    address: String,
    driver: Rc<Driver>,
    _turn: MutexGuard<'static, ()>,
}

impl Browser {
    /// Waits for its turn, then serves the page that `cargo xtask build` left in `dist/`.
    #[track_caller]
    #[must_use]
    pub fn start() -> Self {
        Self::serving(&dist())
    }

    /// Waits for its turn, then serves this folder.
    #[track_caller]
    #[must_use]
    pub fn serving(folder: &Path) -> Self {
        // A test that failed in its turn has left nothing behind: its browser went with it.
        let turn = TURN.lock().unwrap_or_else(PoisonError::into_inner);
        let server = must(Server::start(folder, PATH, 0..=0), "serve the page");
        let address = server.address();
        Self { server: Some(server), address, driver: Rc::new(Driver::start()), _turn: turn }
    }

    /// The address of the page.
    #[must_use]
    pub fn address(&self) -> &str {
        &self.address
    }

    /// Takes the server away, as if the machine were out of reach.
    pub fn stop_serving(&mut self) {
        self.server = None;
    }

    /// A new visitor: an empty profile that knows nothing of any other page's.
    #[track_caller]
    #[must_use]
    pub fn page(&self) -> Page {
        let runtime = must(
            tokio::runtime::Builder::new_current_thread().enable_all().build(),
            "start a runtime",
        );
        let profile = Scratch::new("profile");
        let downloads = Scratch::new("downloads");
        let session = must(runtime.block_on(self.driver.session(profile.path())), "open a session");
        let page = Page {
            session: Some(session),
            runtime,
            address: self.address.clone(),
            downloads,
            _profile: profile,
            _driver: Rc::clone(&self.driver),
        };
        let folder = page.downloads.path().display().to_string();
        let behavior = json!({ "behavior": "allow", "downloadPath": folder });
        page.cdp("Browser.setDownloadBehavior", behavior);
        page
    }
}

/// The built page: where `cargo xtask test` says, or `dist/` of this repository.
#[must_use]
pub fn dist() -> PathBuf {
    std::env::var_os("ONEPULL_DIST")
        .map_or_else(|| Path::new(env!("CARGO_MANIFEST_DIR")).join("../dist"), PathBuf::from)
}

/// One visitor's view of the page.
#[derive(Debug)]
pub struct Page {
    /// Taken only when the page is dropped, because ending a session consumes it.
    session: Option<WebDriver>,
    runtime: Runtime,
    address: String,
    downloads: Scratch,
    _profile: Scratch,
    _driver: Rc<Driver>,
}

impl Page {
    /// Opens the page and waits until the app shows; `rest` follows the address, such as `?nosw` or `#plan`.
    #[track_caller]
    pub fn open(&self, rest: &str) {
        self.visit(rest);
        self.until_mounted();
    }

    /// Opens the page and waits for nothing, for a page that is not expected to start.
    #[track_caller]
    pub fn visit(&self, rest: &str) {
        must(self.wait(self.session().goto(format!("{}{rest}", self.address))), "open the page");
    }

    /// Loads the page again and waits until the app shows.
    #[track_caller]
    pub fn reload(&self) {
        must(self.wait(self.session().refresh()), "reload the page");
        self.until_mounted();
    }

    #[track_caller]
    fn until_mounted(&self) {
        self.until("the app shows", || {
            self.wait(self.session().find(By::Css("main"))).ok().map(drop)
        });
    }

    /// The address as the browser shows it.
    #[track_caller]
    #[must_use]
    pub fn location(&self) -> String {
        must(self.wait(self.session().current_url()), "read the address").to_string()
    }

    /// Runs a script's body and returns what it returns; a promise is waited for.
    #[track_caller]
    pub fn run(&self, script: &str) -> Value {
        self.run_with(script, Vec::new())
    }

    /// Like [`Page::run`], with values that the script finds in `arguments`.
    #[track_caller]
    pub fn run_with(&self, script: &str, arguments: Vec<Value>) -> Value {
        let returned = self.wait(self.session().execute(script.to_owned(), arguments));
        must(returned, &format!("run `{script}`")).json().clone()
    }

    /// Asks the browser something that only its own protocol can say.
    #[track_caller]
    #[expect(clippy::needless_pass_by_value, reason = "callers hand over a `json!` on the spot")]
    pub fn cdp(&self, method: &str, parameters: Value) -> Value {
        must(self.wait(self.session().cdp().send_raw(method, &parameters)), method)
    }

    /// Cuts the network off, or connects it again.
    #[track_caller]
    pub fn set_offline(&self, is_offline: bool) {
        let conditions = json!({
            "offline": is_offline, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1,
        });
        self.cdp("Network.emulateNetworkConditions", conditions);
    }

    /// Gives the page this many CSS pixels to show itself in.
    #[track_caller]
    pub fn resize(&self, width: u32, height: u32) {
        let metrics =
            json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": false });
        self.cdp("Emulation.setDeviceMetricsOverride", metrics);
    }

    /// What the console has said since it was last asked, one line each.
    #[track_caller]
    #[must_use]
    pub fn console(&self) -> Vec<String> {
        let entries = must(self.wait(self.session().browser_log()), "read the console");
        entries.into_iter().map(|entry| format!("{}: {}", entry.level, entry.message)).collect()
    }

    /// Waits until something holds and returns what it gave.
    ///
    /// # Panics
    ///
    /// When it takes too long: the test fails with what was waited for and what the page shows instead.
    #[track_caller]
    pub fn until<T>(&self, what: &str, mut look: impl FnMut() -> Option<T>) -> T {
        let started = Instant::now();
        loop {
            if let Some(found) = look() {
                return found;
            }
            let is_late = started.elapsed() > PATIENCE;
            assert!(!is_late, "waited {} s until {what}\n{}", PATIENCE.as_secs(), self.state());
            std::thread::sleep(LOOK_EVERY);
        }
    }

    /// What a person would want to know of a page that does not do what it should.
    fn state(&self) -> String {
        let text = self.wait(self.session().execute("return document.body.innerText", Vec::new()));
        let text = text.map_or_else(|error| error.to_string(), |text| text.json().to_string());
        let console = self.wait(self.session().browser_log()).unwrap_or_default();
        format!("the page reads {text}\nthe console says {console:?}")
    }

    fn session(&self) -> &WebDriver {
        self.session.as_ref().expect("a page has its session until it is dropped")
    }

    fn wait<T>(&self, work: impl Future<Output = T>) -> T {
        self.runtime.block_on(work)
    }
}

impl Drop for Page {
    fn drop(&mut self) {
        let console = self.wait(self.session().browser_log());
        if let Some(session) = self.session.take() {
            // A session that ended by itself is as good.
            _ = self.runtime.block_on(session.quit());
        }
        // A second panic would hide the first, which says more.
        if !std::thread::panicking() {
            let mut console = must(console, "read the console");
            // How fast a picture drawn without a graphics card is read is not the page's matter.
            console
                .retain(|entry| !entry.message.contains("GL Driver Message (OpenGL, Performance"));
            assert!(console.is_empty(), "the console should be empty, but says {console:#?}");
        }
    }
}

/// The value, or a failed test that says what was being done.
#[track_caller]
fn must<T, E: std::fmt::Display>(outcome: Result<T, E>, doing: &str) -> T {
    match outcome {
        Ok(value) => value,
        Err(error) => panic!("could not {doing}: {error}"),
    }
}

/// What the driver answered, or a failed test that says what was being done.
type Answer<T> = WebDriverResult<T>;
