//! Writes an HTTP answer with the headers that the page is meant to be published with.

use std::io::{self, Write};

/// The headers of every answer; a public server should send the same (DEVELOPERS.md says so too).
///
/// The policy allows this origin and nothing else. `frame-ancestors` works only as a header, the rest stands in
/// the page as well, for servers that let no one set headers.
const HEADERS: &str = "\
Content-Security-Policy: default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; \
img-src 'self' data: blob:; connect-src 'self'; worker-src 'self'; manifest-src 'self'; font-src 'self'; \
base-uri 'none'; form-action 'none'; frame-ancestors 'none'\r
X-Content-Type-Options: nosniff\r
Referrer-Policy: no-referrer\r
Cross-Origin-Opener-Policy: same-origin\r
Permissions-Policy: camera=(self), geolocation=(), microphone=()\r
Cache-Control: no-cache\r
Connection: close\r
";

/// One answer.
#[derive(Debug)]
pub(super) struct Response {
    status: &'static str,
    media_type: &'static str,
    body: Vec<u8>,
}

impl Response {
    /// The file that was asked for.
    pub(super) fn file(name: &str, body: Vec<u8>) -> Self {
        Self { status: "200 OK", media_type: media_type(name), body }
    }

    /// A refusal with its reason.
    pub(super) fn refusal(code: u16, reason: &str) -> Self {
        let status = match code {
            400 => "400 Bad Request",
            405 => "405 Method Not Allowed",
            _ => "404 Not Found",
        };
        Self { status, media_type: TEXT, body: format!("{reason}\n").into_bytes() }
    }

    /// Writes the answer, or for HEAD its headers alone.
    pub(super) fn write(&self, is_head: bool, to: &mut impl Write) -> io::Result<()> {
        let Self { status, media_type, body } = self;
        let length = body.len();
        write!(
            to,
            "HTTP/1.1 {status}\r\nContent-Type: {media_type}\r\nContent-Length: {length}\r\n"
        )?;
        write!(to, "{HEADERS}\r\n")?;
        if is_head { Ok(()) } else { to.write_all(body) }
    }
}

const TEXT: &str = "text/plain; charset=utf-8";

/// The type that a browser needs to be told, by the end of the name (IANA media types registry).
fn media_type(name: &str) -> &'static str {
    let end = name.rsplit('.').next().unwrap_or_default();
    match end {
        "html" => "text/html; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "wasm" => "application/wasm",
        "json" => "application/json",
        "webmanifest" => "application/manifest+json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "ico" => "image/vnd.microsoft.icon",
        "pdf" => "application/pdf",
        "txt" => TEXT,
        _ => "application/octet-stream",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(response: &Response) -> String {
        let mut bytes = Vec::new();
        response.write(false, &mut bytes).expect("writing to memory works");
        String::from_utf8(bytes).expect("an answer in text")
    }

    #[test]
    fn a_file_has_its_type_whatever_else_its_name_holds() {
        for (name, expected) in [
            ("index.html", "text/html; charset=utf-8"),
            ("onepull.js", "text/javascript; charset=utf-8"),
            ("onepull_bg.wasm", "application/wasm"),
            ("manifest.webmanifest", "application/manifest+json"),
            ("plans/tide.pool.json", "application/json"),
            ("icons/icon-192.png", "image/png"),
            ("unknown.limpet", "application/octet-stream"),
        ] {
            assert_eq!(media_type(name), expected, "{name}");
        }
    }

    #[test]
    fn every_answer_carries_the_headers_each_on_a_line_of_its_own() {
        for response in [Response::file("a.js", b"1".to_vec()), Response::refusal(404, "no")] {
            let text = written(&response);
            let (head, _) = text.split_once("\r\n\r\n").expect("a head and a body");
            for header in [
                "Content-Security-Policy: default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; ",
                "X-Content-Type-Options: nosniff",
                "Referrer-Policy: no-referrer",
                "Cross-Origin-Opener-Policy: same-origin",
                "Cache-Control: no-cache",
            ] {
                assert!(
                    head.split("\r\n").any(|line| line.starts_with(header)),
                    "{header}: {head}"
                );
            }
            assert!(head.contains("frame-ancestors 'none'\r\n"), "{head}");
            assert!(!head.replace("\r\n", "").contains(['\r', '\n']), "{head:?}");
        }
    }
}
