//! The page in a real browser, in a person's words: open, find, click, drag, press, see.
//!
//! A [`Browser`] is Chromium or Firefox and one server of the built page, under a path of its own so that an address
//! from the root would show. Each [`Page`] is a session with an empty profile, as a first visitor has it. Every
//! verb waits for what it needs and fails the test with what it was doing. When a page is dropped its console must
//! be empty.

mod driver;
mod element;
mod files;
mod find;
mod input;
mod keyboard;
mod offline;
mod tabs;

use std::cell::OnceCell;
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
pub use driver::Program;
pub use element::{Element, Place};
use files::Scratch;
pub use keyboard::Stop;
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

/// A browser and a server, ready for pages.
#[derive(Debug)]
pub struct Browser {
    server: Option<Server>,
    address: String,
    program: Program,
    driver: OnceCell<Rc<Driver>>,
    _turn: MutexGuard<'static, ()>,
}

impl Browser {
    /// Waits for its turn, then serves the page that `cargo xtask build` left in `dist/` to Chromium.
    #[track_caller]
    #[must_use]
    pub fn start() -> Self {
        Self::serving(&dist())
    }

    /// As [`Browser::start`], for either browser. `None` when it is Firefox and there is none here, which is said aloud:
    /// the test has nothing to look with.
    #[track_caller]
    #[must_use]
    pub fn of(program: Program) -> Option<Self> {
        if program == Program::Firefox && driver::geckodriver().is_none() {
            let name = std::thread::current().name().unwrap_or("a test").to_owned();
            crate::left_out(&format!(
                "{name}: no Firefox with geckodriver is at hand (`cargo xtask test` sets them up and says why it could not)"
            ));
            return None;
        }
        Some(Self { program, ..Self::start() })
    }

    /// Waits for its turn, then serves this folder to Chromium.
    #[track_caller]
    #[must_use]
    pub fn serving(folder: &Path) -> Self {
        // A test that failed in its turn has left nothing behind: its browser went with it.
        let turn = TURN.lock().unwrap_or_else(PoisonError::into_inner);
        let server = must(Server::start(folder, PATH, 0..=0), "serve the page");
        let address = server.address();
        let (program, driver) = (Program::Chromium, OnceCell::new());
        Self { server: Some(server), address, program, driver, _turn: turn }
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
        self.visitor(false)
    }

    /// A new visitor in a window that the browser calls private.
    #[track_caller]
    #[must_use]
    pub fn private_page(&self) -> Page {
        self.visitor(true)
    }

    #[track_caller]
    fn visitor(&self, is_private: bool) -> Page {
        let runtime = must(
            tokio::runtime::Builder::new_current_thread().enable_all().build(),
            "start a runtime",
        );
        let profile = Scratch::new("profile");
        let downloads = Scratch::new("downloads");
        let driver = match self.program {
            Program::Chromium => {
                Rc::clone(self.driver.get_or_init(|| Rc::new(Driver::start(self.program))))
            }
            // geckodriver has one session at a time.
            Program::Firefox => Rc::new(Driver::start(self.program)),
        };
        let session = driver.session(profile.path(), downloads.path(), is_private);
        let session = must(runtime.block_on(session), "open a session");
        let page = Page {
            session: Some(session),
            runtime,
            address: self.address.clone(),
            downloads,
            _profile: profile,
            driver,
        };
        if self.program == Program::Chromium {
            let folder = page.downloads.path().display().to_string();
            let behavior = json!({ "behavior": "allow", "downloadPath": folder });
            page.cdp("Browser.setDownloadBehavior", behavior);
        }
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
    driver: Rc<Driver>,
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

    /// Asks Chromium something that only its own protocol can say.
    #[track_caller]
    #[expect(clippy::needless_pass_by_value, reason = "callers hand over a `json!` on the spot")]
    pub fn cdp(&self, method: &str, parameters: Value) -> Value {
        must(self.wait(self.session().cdp().send_raw(method, &parameters)), method)
    }

    /// Cuts the network off, or connects it again.
    #[track_caller]
    pub fn set_offline(&self, is_offline: bool) {
        self.set_line(is_offline, -1);
    }

    /// Lets at most so many bytes a second come over the network.
    #[track_caller]
    pub fn slow_down(&self, bytes_a_second: i32) {
        self.set_line(false, bytes_a_second);
    }

    #[track_caller]
    fn set_line(&self, is_offline: bool, bytes_a_second: i32) {
        let conditions = json!({
            "offline": is_offline, "latency": 0, "downloadThroughput": bytes_a_second, "uploadThroughput": -1,
        });
        self.cdp("Network.emulateNetworkConditions", conditions);
    }

    /// Gives the page this many CSS pixels to show itself in.
    #[track_caller]
    pub fn resize(&self, width: u32, height: u32) {
        if self.program() == Program::Firefox {
            let frame = self.run("return [outerWidth - innerWidth, outerHeight - innerHeight]");
            let side = |at: usize| frame[at].as_u64().and_then(|px| u32::try_from(px).ok());
            let (across, down) = (side(0).unwrap_or_default(), side(1).unwrap_or_default());
            let whole = self.session().set_window_rect(0, 0, width + across, height + down);
            must(self.wait(whole), "resize the window");
            return;
        }
        let metrics =
            json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": false });
        self.cdp("Emulation.setDeviceMetricsOverride", metrics);
    }

    /// What the person has asked the system for: `("forced-colors", "active")`, `("prefers-color-scheme", "dark")`; what was
    /// asked for before is forgotten.
    ///
    /// # Panics
    ///
    /// When the browser knows no such wish.
    #[track_caller]
    pub fn prefer(&self, feature: &str, value: &str) {
        let features = json!([{ "name": feature, "value": value }]);
        self.cdp("Emulation.setEmulatedMedia", json!({ "features": features }));
        let query = format!("return matchMedia('({feature}: {value})').matches");
        assert_eq!(self.run(&query), json!(true), "the browser knows {feature}: {value}");
    }

    /// What the console has said since it was last asked, one line each.
    #[track_caller]
    #[must_use]
    pub fn console(&self) -> Vec<String> {
        must(self.read_console(), "read the console")
    }

    fn read_console(&self) -> Answer<Vec<String>> {
        if self.program() == Program::Firefox {
            return Ok(self.driver.complaints());
        }
        let entries = self.wait(self.session().browser_log())?.into_iter();
        Ok(entries.map(|entry| format!("{}: {}", entry.level, entry.message)).collect())
    }

    /// Which browser it is seen in.
    #[must_use]
    pub fn program(&self) -> Program {
        self.driver.program()
    }

    /// Waits until something holds and returns what it gave.
    ///
    /// # Panics
    ///
    /// When it takes too long: the test fails with what was waited for and what the page shows instead.
    #[track_caller]
    pub fn until<T>(&self, what: &str, mut look: impl FnMut() -> Option<T>) -> T {
        self.until_ok(what, || look().ok_or("it does not"))
    }

    /// As [`Page::until`], for something that says why it does not hold yet.
    #[track_caller]
    fn until_ok<T, E: std::fmt::Display>(
        &self,
        what: &str,
        mut look: impl FnMut() -> Result<T, E>,
    ) -> T {
        let started = Instant::now();
        loop {
            let error = match look() {
                Ok(found) => return found,
                Err(error) => error,
            };
            let is_late = started.elapsed() > PATIENCE;
            let seconds = PATIENCE.as_secs();
            assert!(!is_late, "waited {seconds} s until {what}: {error}\n{}", self.state());
            std::thread::sleep(LOOK_EVERY);
        }
    }

    /// What a person would want to know of a page that does not do what it should.
    fn state(&self) -> String {
        let text = self.wait(self.session().execute("return document.body.innerText", Vec::new()));
        let text = text.map_or_else(|error| error.to_string(), |text| text.json().to_string());
        let console = self.read_console().unwrap_or_default();
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
        let console = self.read_console();
        if let Some(session) = self.session.take() {
            // A session that ended by itself is as good.
            _ = self.runtime.block_on(session.quit());
        }
        // A second panic would hide the first, which says more.
        if !std::thread::panicking() {
            let mut console = must(console, "read the console");
            // How fast a picture drawn without a graphics card is read is not the page's matter.
            console.retain(|line| !line.contains("GL Driver Message (OpenGL, Performance"));
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
