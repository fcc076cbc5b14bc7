//! Several tabs of one visitor, what runs before a page does, and tabs that die.

use serde_json::json;
use thirtyfour::WindowHandle;

use super::{Page, must};

/// A tab of a visitor.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tab(WindowHandle);

impl Page {
    /// The tab that all verbs are about now.
    #[track_caller]
    #[must_use]
    pub fn tab(&self) -> Tab {
        Tab(must(self.wait(self.session().window()), "ask for the tab"))
    }

    /// Another tab, empty; the verbs are about it from now on.
    #[track_caller]
    pub fn open_tab(&self) -> Tab {
        let handle = must(self.wait(self.session().new_tab()), "open a tab");
        let tab = Tab(handle);
        self.to_tab(&tab);
        tab
    }

    /// The verbs are about this tab from now on.
    #[track_caller]
    pub fn to_tab(&self, tab: &Tab) {
        must(self.wait(self.session().switch_to_window(tab.0.clone())), "go to a tab");
    }

    /// Runs a script in this tab before anything of each page that it opens from now on.
    #[track_caller]
    pub fn before_load(&self, script: &str) {
        self.cdp("Page.addScriptToEvaluateOnNewDocument", json!({ "source": script }));
    }

    /// Kills this tab's process, as a lack of memory does: nothing of the page is asked or told. Goes on in an empty tab.
    ///
    /// # Panics
    /// When the tab outlives it.
    #[track_caller]
    pub fn kill(&self) {
        let dying = self.tab();
        let next = self.open_tab();
        self.to_tab(&dying);
        let cdp = self.session().cdp();
        let died = self.wait(cdp.send_raw("Page.crash", json!({})));
        assert!(died.is_err(), "the tab outlived it");
        self.to_tab(&next);
    }
}
