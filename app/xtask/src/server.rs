//! Serves a built page on this machine, for a person's browser and for the tests' alike.
//!
//! It is written on the standard library's listener: the page needs a few headers exact and nothing else (files
//! only, no uploads, no encryption), which is less code than the wiring of a server crate, and the tests then
//! see the page under the same headers as the person does. It listens on the loopback address only.

mod request;
mod response;

use std::fs;
use std::io::{self, BufReader, Write};
use std::net::{Ipv4Addr, SocketAddr, TcpListener, TcpStream};
use std::ops::RangeInclusive;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread::{self, JoinHandle};
use std::time::Duration;

use crate::failure::Failure;
use crate::folder;
use request::Request;
use response::Response;

/// A browser that opens a connection and then says nothing holds a thread no longer than this.
const PATIENCE: Duration = Duration::from_secs(10);

/// A running server; it stops when dropped.
#[derive(Debug)]
pub struct Server {
    at: SocketAddr,
    site: Arc<Site>,
    stop: Arc<AtomicBool>,
    accepting: Option<JoinHandle<()>>,
}

/// The folder that is served and the path that it is served under.
#[derive(Debug)]
struct Site {
    folder: PathBuf,
    /// Begins and ends with a slash.
    path: String,
}

impl Server {
    /// Serves a folder under a path (which begins and ends with a slash) at the first free port of the range;
    /// port 0 means any free one.
    ///
    /// # Errors
    ///
    /// [`Failure::NoPort`] when every port of the range is taken.
    pub fn start(folder: &Path, path: &str, ports: RangeInclusive<u16>) -> Result<Self, Failure> {
        let listener = listen(ports)?;
        let at = listener.local_addr().map_err(Failure::file("listen on", "127.0.0.1"))?;
        let site = Arc::new(Site { folder: folder.to_owned(), path: path.to_owned() });
        let stop = Arc::new(AtomicBool::new(false));
        let accepting = thread::spawn({
            let (site, stop) = (Arc::clone(&site), Arc::clone(&stop));
            move || accept(&listener, &site, &stop)
        });
        Ok(Self { at, site, stop, accepting: Some(accepting) })
    }

    /// The address to open.
    #[must_use]
    pub fn address(&self) -> String {
        format!("http://{}{}", self.at, self.site.path)
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        self.stop.store(true, Ordering::SeqCst);
        // The listener waits for a connection; this one wakes it so that it sees the flag.
        _ = TcpStream::connect(self.at);
        if let Some(accepting) = self.accepting.take() {
            _ = accepting.join();
        }
    }
}

fn listen(ports: RangeInclusive<u16>) -> Result<TcpListener, Failure> {
    let (first, last) = (*ports.start(), *ports.end());
    let mut refusal = io::Error::from(io::ErrorKind::InvalidInput);
    for port in ports {
        match TcpListener::bind((Ipv4Addr::LOCALHOST, port)) {
            Ok(listener) => return Ok(listener),
            Err(source) => refusal = source,
        }
    }
    Err(Failure::NoPort { first, last, source: refusal })
}

fn accept(listener: &TcpListener, site: &Arc<Site>, stop: &AtomicBool) {
    for connection in listener.incoming() {
        if stop.load(Ordering::SeqCst) {
            return;
        }
        let Ok(connection) = connection else { continue };
        let site = Arc::clone(site);
        // A browser that hangs up in the middle is no trouble of ours.
        thread::spawn(move || answer(&connection, &site));
    }
}

fn answer(connection: &TcpStream, site: &Site) -> io::Result<()> {
    connection.set_read_timeout(Some(PATIENCE))?;
    let request = Request::read(&mut BufReader::new(connection))?;
    let (is_head, response) = match &request {
        None => (false, Response::refusal(400, "this is not a request for a file")),
        Some(request) => (request.is_head(), site.respond(request)),
    };
    response.write(is_head, &mut &*connection)?;
    (&*connection).flush()
}

impl Site {
    fn respond(&self, request: &Request) -> Response {
        if !request.only_reads() {
            return Response::refusal(405, "only GET and HEAD are answered here");
        }
        let Some(name) = request.name_below(&self.path) else {
            return Response::refusal(404, &format!("the page is at {}", self.path));
        };
        // Only what a listing of the folder shows is served, so no spelling of a path can lead out of it.
        let listed = folder::files(&self.folder).unwrap_or_default();
        if !listed.contains(&name) {
            return Response::refusal(404, "there is no such file in the page");
        }
        match fs::read(self.folder.join(&name)) {
            Ok(body) => Response::file(&name, body),
            Err(_) => Response::refusal(404, "the file went away while it was asked for"),
        }
    }
}

#[cfg(test)]
mod tests {
    use std::io::Read;

    use super::*;

    /// A site of two files under `/sub/`, with a secret beside its folder.
    struct Fixture {
        scratch: PathBuf,
        server: Server,
    }

    impl Fixture {
        fn new(name: &str) -> Self {
            let scratch =
                std::env::temp_dir().join(format!("onepull-server-{name}-{}", std::process::id()));
            let dist = scratch.join("dist");
            folder::empty(&dist.join("plans")).expect("a scratch folder");
            fs::write(scratch.join("secret.txt"), "secret").expect("a scratch file");
            fs::write(dist.join("index.html"), "<p>page</p>").expect("a scratch file");
            fs::write(dist.join("plans/a reef.json"), "{}").expect("a scratch file");
            #[cfg(unix)]
            std::os::unix::fs::symlink(scratch.join("secret.txt"), dist.join("link.txt"))
                .expect("a link");
            let server = Server::start(&dist, "/sub/", 0..=0).expect("a free port");
            Self { scratch, server }
        }

        fn ask(&self, request: &str) -> String {
            let mut connection = TcpStream::connect(self.server.at).expect("a connection");
            connection.write_all(request.as_bytes()).expect("a request sent");
            let mut answer = String::new();
            connection.read_to_string(&mut answer).expect("an answer");
            answer
        }

        fn get(&self, path: &str) -> String {
            self.ask(&format!("GET {path} HTTP/1.1\r\nHost: here\r\n\r\n"))
        }
    }

    impl Drop for Fixture {
        fn drop(&mut self) {
            _ = fs::remove_dir_all(&self.scratch);
        }
    }

    fn status(answer: &str) -> &str {
        answer.split(' ').nth(1).unwrap_or_default()
    }

    #[test]
    fn the_folder_is_its_page_and_a_file_is_found_with_or_without_a_query() {
        let site = Fixture::new("files");
        assert!(site.get("/sub/").ends_with("\r\n\r\n<p>page</p>"));
        assert!(site.get("/sub/index.html?x=1").ends_with("\r\n\r\n<p>page</p>"));
        assert!(site.get("/sub/plans/a%20reef.json").ends_with("\r\n\r\n{}"));
    }

    #[test]
    fn no_path_leads_out_of_the_folder() {
        let site = Fixture::new("refusals");
        for path in [
            "/sub/../secret.txt",
            "/sub/%2e%2e/secret.txt",
            "/sub/..%2fsecret.txt",
            "/sub/..\\secret.txt",
            "/sub//secret.txt",
            "/sub/plans/../../secret.txt",
            "/sub/link.txt",
            "/sub/%00",
            "/secret.txt",
            "/",
        ] {
            let answer = site.get(path);
            assert_eq!(status(&answer), "404", "{path}: {answer}");
            assert!(!answer.ends_with("secret"), "{path}: {answer}");
        }
    }

    #[test]
    fn an_absolute_path_of_this_machine_is_not_found() {
        let site = Fixture::new("absolute");
        let secret = site.scratch.join("secret.txt");
        assert_eq!(status(&site.get(&format!("/sub/{}", secret.display()))), "404");
        assert_eq!(status(&site.get(&secret.display().to_string())), "404");
    }

    #[test]
    fn only_reading_is_answered() {
        let site = Fixture::new("methods");
        let head = site.ask("HEAD /sub/ HTTP/1.1\r\n\r\n");
        assert_eq!(status(&head), "200");
        assert!(head.contains("Content-Length: 11\r\n") && head.ends_with("\r\n\r\n"), "{head}");
        assert_eq!(status(&site.ask("POST /sub/ HTTP/1.1\r\nContent-Length: 0\r\n\r\n")), "405");
        assert_eq!(status(&site.ask("nonsense\r\n\r\n")), "400");
        assert_eq!(status(&site.ask("GET /sub/%zz HTTP/1.1\r\n\r\n")), "400");
    }

    #[test]
    fn a_taken_port_is_passed_over_and_a_full_range_is_refused() {
        let site = Fixture::new("ports");
        let port = site.server.at.port();
        let refused = Server::start(&site.scratch, "/", port..=port);
        assert!(matches!(refused, Err(Failure::NoPort { .. })), "{refused:?}");
        let beside = Server::start(&site.scratch, "/", port..=port.saturating_add(50));
        assert_ne!(beside.expect("one of fifty is free").at.port(), port);
    }

    #[test]
    fn a_stopped_server_answers_nobody() {
        let mut site = Fixture::new("stop");
        let at = site.server.at;
        let elsewhere = Server::start(&site.scratch, "/", 0..=0).expect("a free port");
        drop(std::mem::replace(&mut site.server, elsewhere));
        assert!(TcpStream::connect(at).is_err());
    }
}
