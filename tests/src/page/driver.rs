//! Runs chromedriver and opens sessions with empty profiles.

use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};

use thirtyfour::{ChromiumLikeCapabilities, DesiredCapabilities, LoggingPrefsLogLevel, WebDriver};

use super::{Answer, must};

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

/// A chromedriver of our own; it ends when dropped, and its browsers with it.
#[derive(Debug)]
pub(super) struct Driver {
    process: Child,
    address: String,
}

impl Driver {
    /// Starts chromedriver on a free port of its own choice and waits until it says which.
    #[track_caller]
    pub(super) fn start() -> Self {
        let mut command = Command::new("chromedriver");
        command.arg("--port=0").stdout(Stdio::piped()).stderr(Stdio::null());
        let mut process =
            must(command.spawn(), "start chromedriver (`cargo xtask test` installs it)");
        let output = process.stdout.take().map(BufReader::new);
        let lines = output.into_iter().flat_map(BufRead::lines).map_while(Result::ok);
        let port = lines.into_iter().find_map(|line| port_in(&line));
        let port = must(port.ok_or("it ended first"), "hear from chromedriver which port it is on");
        Self { process, address: format!("http://127.0.0.1:{port}") }
    }

    /// Opens a browser whose profile is this empty folder.
    pub(super) async fn session(&self, profile: &Path) -> Answer<WebDriver> {
        let mut capabilities = DesiredCapabilities::chrome();
        for flag in FLAGS {
            capabilities.add_arg(flag)?;
        }
        capabilities.add_arg(&format!("--user-data-dir={}", profile.display()))?;
        capabilities.set_browser_log_level(LoggingPrefsLogLevel::All)?;
        WebDriver::new(&self.address, capabilities).await
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        // Either fails only when the process has ended already.
        _ = self.process.kill();
        _ = self.process.wait();
    }
}

/// The port in the line that ends "successfully on port 41234.".
fn port_in(line: &str) -> Option<u16> {
    let (_, after) = line.split_once("successfully on port ")?;
    after.trim_end_matches('.').parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_port_is_read_from_the_line_that_says_it_started() {
        assert_eq!(port_in("ChromeDriver was started successfully on port 41234."), Some(41234));
        assert_eq!(port_in("Starting ChromeDriver 156.0 on port 0"), None);
    }
}
