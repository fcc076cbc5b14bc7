//! What the drivers of browsers print, as far as a test wants to know it.

/// The port in the line that ends "successfully on port 41234." or "Listening on 127.0.0.1:41234".
pub(super) fn port_in(line: &str) -> Option<u16> {
    let chrome = line.split_once("successfully on port ").map(|(_, after)| after);
    let gecko = || line.split_once("Listening on 127.0.0.1:").map(|(_, after)| after);
    chrome.or_else(gecko)?.trim_end_matches('.').parse().ok()
}

/// What a page did wrong, in a line that Firefox printed; its own programs' troubles, which begin with a program's name
/// or address, are not the page's.
pub(super) fn complaint(line: &str) -> Option<&str> {
    let said = |kind: &str| line.strip_prefix(kind);
    let by_page = said("console.error: ").or_else(|| said("console.warn: "));
    let by_engine = said("JavaScript error: ").or_else(|| said("JavaScript warning: "));
    let is_ours = by_page.is_some_and(|words| !words.starts_with(|c: char| c.is_alphabetic()))
        || by_engine.is_some_and(|words| words.starts_with("http://127.0.0.1:"));
    is_ours.then_some(line)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_port_is_read_from_the_line_that_says_it_started() {
        assert_eq!(port_in("ChromeDriver was started successfully on port 41234."), Some(41234));
        assert_eq!(port_in("Starting ChromeDriver 156.0 on port 0"), None);
        let gecko = "1790000000000\tgeckodriver\tINFO\tListening on 127.0.0.1:41235";
        assert_eq!(port_in(gecko), Some(41235));
    }

    #[test]
    fn the_pages_own_errors_are_told_from_the_browsers() {
        let ours =
            "JavaScript error: http://127.0.0.1:4000/bench/onepull/boot.js, line 3: Error: x";
        assert_eq!(complaint(ours), Some(ours));
        assert_eq!(
            complaint("JavaScript error: resource://gre/modules/X.sys.mjs, line 1: x"),
            None
        );
        assert_eq!(complaint("console.error: \"no\""), Some("console.error: \"no\""));
        assert_eq!(complaint("console.log: \"yes\""), None);
        assert_eq!(complaint("console.error: RSLoader: "), None);
    }
}
