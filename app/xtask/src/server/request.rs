//! Reads the part of an HTTP request that a server of files needs: the method and the path.

use std::io::{self, BufRead, Read};

/// The most that a request's head may weigh; a browser's is under 2 kB.
const HEAD_LIMIT: u64 = 16_384;

/// A request for something.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Request {
    method: String,
    /// Percent-decoded, without the query; begins with a slash.
    path: String,
}

impl Request {
    /// Reads a request to the end of its head; `None` when it makes no sense.
    pub(super) fn read(from: &mut impl BufRead) -> io::Result<Option<Self>> {
        let mut head = from.take(HEAD_LIMIT);
        let mut first = String::new();
        head.read_line(&mut first)?;
        // The rest is read so that hanging up after the answer does not look like an error to the browser.
        let mut line = String::new();
        while head.read_line(&mut line)? > 2 {
            line.clear();
        }
        Ok(Self::parse(&first))
    }

    fn parse(line: &str) -> Option<Self> {
        let mut words = line.split_whitespace();
        let (method, target, version) = (words.next()?, words.next()?, words.next()?);
        if !version.starts_with("HTTP/1.") || !target.starts_with('/') {
            return None;
        }
        let path = target.split(['?', '#']).next()?;
        Some(Self { method: method.to_owned(), path: decoded(path)? })
    }

    /// Whether it asks for nothing to change.
    pub(super) fn only_reads(&self) -> bool {
        self.method == "GET" || self.is_head()
    }

    /// Whether it wants the headers alone.
    pub(super) fn is_head(&self) -> bool {
        self.method == "HEAD"
    }

    /// The file that is asked for, relative to a site under this path; `None` outside the site.
    pub(super) fn name_below(&self, site: &str) -> Option<String> {
        let name = self.path.strip_prefix(site)?;
        let is_folder = name.is_empty() || name.ends_with('/');
        Some(if is_folder { format!("{name}index.html") } else { name.to_owned() })
    }
}

/// Resolves `%20` and its like; `None` when the digits are missing or the bytes are no text.
fn decoded(path: &str) -> Option<String> {
    let mut bytes = path.bytes();
    let mut text = Vec::new();
    while let Some(byte) = bytes.next() {
        if byte != b'%' {
            text.push(byte);
            continue;
        }
        let digit = |byte: u8| char::from(byte).to_digit(16).and_then(|d| u8::try_from(d).ok());
        let (high, low) = (digit(bytes.next()?)?, digit(bytes.next()?)?);
        text.push(high * 16 + low);
    }
    String::from_utf8(text).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn path(line: &str) -> Option<String> {
        Request::parse(line).map(|request| request.path)
    }

    #[test]
    fn the_query_is_cut_off_and_the_rest_decoded() {
        assert_eq!(path("GET /a/b%20c.json?x=%zz HTTP/1.1\r\n").as_deref(), Some("/a/b c.json"));
        assert_eq!(path("GET /%E2%89%88 HTTP/1.0\r\n").as_deref(), Some("/\u{2248}"));
    }

    #[test]
    fn what_is_no_request_for_a_path_is_not_read() {
        for line in [
            "",
            "GET",
            "GET /",
            "GET / FTP/1.0",
            "GET http://elsewhere/ HTTP/1.1",
            "GET /% HTTP/1.1",
            "GET /%4 HTTP/1.1",
            "GET /%ff HTTP/1.1",
        ] {
            assert_eq!(path(line), None, "{line}");
        }
    }

    #[test]
    fn a_head_without_end_is_read_no_further_than_its_limit() {
        let mut endless = io::BufReader::new(io::repeat(b'a'));
        assert_eq!(Request::read(&mut endless).expect("it ends"), None);
    }

    #[test]
    fn a_folder_means_the_page_in_it() {
        let below = |line: &str| Request::parse(line).and_then(|request| request.name_below("/s/"));
        assert_eq!(below("GET /s/ HTTP/1.1").as_deref(), Some("index.html"));
        assert_eq!(below("GET /s/plans/ HTTP/1.1").as_deref(), Some("plans/index.html"));
        assert_eq!(below("GET /s/a.js HTTP/1.1").as_deref(), Some("a.js"));
        assert_eq!(below("GET /s HTTP/1.1"), None);
        assert_eq!(below("GET /other/a.js HTTP/1.1"), None);
    }
}
