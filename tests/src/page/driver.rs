//! Runs the drivers of two browsers, chromedriver and geckodriver, and opens sessions with empty profiles.

mod words;

use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Mutex, PoisonError, mpsc};

use thirtyfour::common::capabilities::firefox::FirefoxPreferences;
use thirtyfour::{ChromiumLikeCapabilities, DesiredCapabilities, LoggingPrefsLogLevel, WebDriver};

use super::{Answer, must};
use words::{complaint, port_in};

/// The browser that looks at the page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Program {
    /// Chromium, whose own protocol lets a test do more than `WebDriver` says.
    Chromium,
    /// Firefox, whose engine shares nothing with the other.
    Firefox,
}

/// What makes Chromium quiet, alone and able to run as root in a container.
const FLAGS: [&str; 10] = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--enable-unsafe-swiftshader",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--window-size=1280,900",
];

/// The window of a Firefox that shows none, its own bars included.
const FIREFOX_WINDOW: [(&str, &str); 2] =
    [("MOZ_HEADLESS_WIDTH", "1280"), ("MOZ_HEADLESS_HEIGHT", "986")];

/// Drivers that are started at most until one stays.
const TRIES: usize = 5;

/// A driver of our own; it ends when dropped, and its browsers with it.
#[derive(Debug)]
pub(super) struct Driver {
    program: Program,
    process: Child,
    address: String,
    complaints: Arc<Mutex<Vec<String>>>,
}

impl Driver {
    /// Starts a browser's driver on a free port of its own choice and waits until it says which.
    ///
    /// A driver takes a port that is free for one family of addresses and ends at once when another program holds it for the
    /// other; then another is started.
    #[track_caller]
    pub(super) fn start(program: Program) -> Self {
        let started = (0..TRIES).find_map(|_| Self::launch(program));
        must(started.ok_or("it ended"), "hear from a browser's driver which port it is on")
    }

    /// A driver that has said which port it is on; none when it ended before.
    #[track_caller]
    fn launch(program: Program) -> Option<Self> {
        let mut command = match program {
            Program::Chromium => Command::new("chromedriver"),
            // Where xtask has put it; without that the tests in Firefox are left out.
            Program::Firefox => Command::new(geckodriver().unwrap_or_default()),
        };
        command.envs(FIREFOX_WINDOW);
        command.arg("--port=0").stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::null());
        let process =
            must(command.spawn(), "start a browser's driver (`cargo xtask test` installs it)");
        let (address, complaints) = (String::new(), Arc::new(Mutex::new(Vec::new())));
        // From here on it is ended when it is of no use.
        let mut driver = Self { program, process, address, complaints };
        let (tell, hear) = mpsc::channel();
        if let Some(output) = driver.process.stdout.take() {
            let complaints = Arc::clone(&driver.complaints);
            // To the end, because a browser that cannot write what it wants to say stops.
            std::thread::spawn(move || {
                for line in BufReader::new(output).lines().map_while(Result::ok) {
                    if let Some(port) = port_in(&line) {
                        // Only the first is waited for.
                        _ = tell.send(port);
                    }
                    let said = complaint(&line).map(str::to_owned);
                    complaints.lock().unwrap_or_else(PoisonError::into_inner).extend(said);
                }
            });
        }
        driver.address = format!("http://127.0.0.1:{}", hear.recv().ok()?);
        Some(driver)
    }

    /// Which browser it drives.
    pub(super) fn program(&self) -> Program {
        self.program
    }

    /// Opens a browser whose profile is this empty folder and that saves what it downloads in the other; in a window that
    /// the browser calls private, or in a usual one.
    pub(super) async fn session(
        &self,
        profile: &Path,
        downloads: &Path,
        is_private: bool,
    ) -> Answer<WebDriver> {
        match self.program {
            Program::Chromium => {
                let mut capabilities = DesiredCapabilities::chrome();
                for flag in FLAGS {
                    capabilities.add_arg(flag)?;
                }
                capabilities.add_arg(&format!("--user-data-dir={}", profile.display()))?;
                if is_private {
                    capabilities.add_arg("--incognito")?;
                }
                capabilities.set_browser_log_level(LoggingPrefsLogLevel::All)?;
                WebDriver::new(&self.address, capabilities).await
            }
            Program::Firefox => {
                let mut capabilities = DesiredCapabilities::firefox();
                for flag in ["-headless", "-profile", &profile.display().to_string()] {
                    capabilities.add_arg(flag)?;
                }
                let mut preferences = preferences(downloads)?;
                preferences.set("browser.privatebrowsing.autostart", is_private)?;
                capabilities.set_preferences(preferences)?;
                WebDriver::new(&self.address, capabilities).await
            }
        }
    }

    /// What Firefox has complained of since it was last asked; Chromium is asked by way of its session.
    pub(super) fn complaints(&self) -> Vec<String> {
        std::mem::take(&mut *self.complaints.lock().unwrap_or_else(PoisonError::into_inner))
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        // Either fails only when the process has ended already.
        _ = self.process.kill();
        _ = self.process.wait();
    }
}

/// Where geckodriver is, when `cargo xtask test` could set Firefox up.
pub(super) fn geckodriver() -> Option<std::ffi::OsString> {
    std::env::var_os("ONEPULL_GECKODRIVER").filter(|path| !path.is_empty())
}

/// Downloads without a question into this folder, PDFs too; what the console says goes to where the driver reads it.
fn preferences(downloads: &Path) -> Answer<FirefoxPreferences> {
    let mut all = FirefoxPreferences::new();
    all.set("browser.download.folderList", 2)?;
    all.set("browser.download.dir", downloads.display().to_string())?;
    all.set("browser.download.alwaysOpenPanel", false)?;
    all.set("browser.download.start_downloads_in_tmp_dir", false)?;
    all.set("pdfjs.disabled", true)?;
    all.set("dom.w3c_touch_events.enabled", 1)?;
    all.set("devtools.console.stdout.content", true)?;
    all.set("devtools.console.stdout.chrome", false)?;
    Ok(all)
}
