//! The copy of the page that the browser keeps for use without a network.

use serde_json::json;

use super::Page;

impl Page {
    /// Waits until the service worker has all that a look at the page needs, and answers for it.
    #[track_caller]
    pub fn until_copied(&self) {
        self.run("return navigator.serviceWorker.ready.then(() => true)");
        self.until("the copy is complete", || {
            let state = self.run(
                "return navigator.serviceWorker.getRegistration().then((found) => found?.active?.state)",
            );
            (state == json!("activated")).then_some(())
        });
    }

    /// Whether the copy holds what computes too.
    #[track_caller]
    #[must_use]
    pub fn is_copied_whole(&self) -> bool {
        let script = "return caches.match('./works_bg.wasm').then((found) => !!found)";
        self.run(script) == json!(true)
    }

    /// Waits until it does.
    #[track_caller]
    pub fn until_copied_whole(&self) {
        self.until("the copy holds what computes too", || self.is_copied_whole().then_some(()));
    }
}
