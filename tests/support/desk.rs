//! A running desk, and a browser that speaks to it in plain bytes.
//!
//! In: a kennel's folder. Out: what was answered, what was told, what stood in the terminal.
//! Waiting is for something that comes, with a deadline that a slow machine does not reach.

use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::Mutex;
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

/// Nothing takes so long.
pub const LONG: Duration = Duration::from_mins(1);

/// A desk that ends with the test.
pub struct Desk {
    child: Child,
    lines: Receiver<String>,
    /// Everything that was said so far.
    pub said: String,
    /// Port of the public site.
    pub site: u16,
    /// Port of the keeper's book.
    pub book: u16,
    /// The path of the link that opens both.
    pub link: String,
}

/// What was given to whoever opened a link, by port.
static COOKIES: Mutex<BTreeMap<u16, String>> = Mutex::new(BTreeMap::new());

/// The line that brings the cookie, where there is one.
fn cookie(port: u16) -> String {
    COOKIES
        .lock()
        .unwrap()
        .get(&port)
        .map(|cookie| format!("Cookie: {cookie}\r\n"))
        .unwrap_or_default()
}

/// Opens a link; from then on requests to that port bring the cookie.
#[track_caller]
pub fn opens(port: u16, link: &str) {
    let answer = get(port, link);
    assert_eq!(answer.status, 200, "{}", answer.text());
    let cookie = answer.header("set-cookie").unwrap();
    let cookie = cookie.split(';').next().unwrap().to_owned();
    COOKIES.lock().unwrap().insert(port, cookie);
}

/// What a program says from now on, line by line.
pub fn lines_of(child: &mut Child) -> Receiver<String> {
    let out = BufReader::new(child.stdout.take().unwrap());
    let (sender, lines) = channel();
    std::thread::spawn(move || {
        out.lines()
            .map_while(Result::ok)
            .try_for_each(|line| sender.send(line))
    });
    lines
}

/// An answer.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The status; 0 when the connection was closed without one.
    pub status: u16,
    /// The head, in small letters.
    pub head: String,
    /// The body.
    pub body: Vec<u8>,
}

impl Answer {
    /// The body as text.
    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    /// One line of the head.
    pub fn header(&self, name: &str) -> Option<&str> {
        self.head
            .lines()
            .find_map(|line| line.strip_prefix(name)?.strip_prefix(": "))
    }
}

impl Desk {
    /// Begins a desk on free ports and waits until the pages are there, or what stands in their
    /// place.
    pub fn of(kennel: &Path) -> Self {
        let mut desk = Self::with(kennel, &["--port", "0", "--book-port", "0"]).opened();
        desk.hears("  ");
        desk
    }

    /// Begins a desk with these options, and waits for its addresses.
    pub fn with(kennel: &Path, options: &[&str]) -> Self {
        let mut command = Command::new(super::program());
        command
            .arg("--kennel")
            .arg(kennel)
            .arg("desk")
            .args(options);
        let mut child = command
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::inherit())
            .spawn()
            .unwrap();
        let lines = lines_of(&mut child);
        let mut desk = Self {
            child,
            lines,
            said: String::new(),
            site: 0,
            book: 0,
            link: String::new(),
        };
        let (site, book) = (
            desk.hears("site: http://127.0.0.1:"),
            desk.hears("book: http://127.0.0.1:"),
        );
        let parts = |line: &str| {
            let (port, path) = line.rsplit_once(':').unwrap().1.split_once('/').unwrap();
            (port.parse().unwrap(), format!("/{path}"))
        };
        ((desk.site, desk.link), desk.book) = (parts(&site), parts(&book).0);
        desk
    }

    /// Opens the link, as the keeper does; from then on requests to both ports bring the cookie.
    pub fn opened(self) -> Self {
        let answer = get(self.site, &self.link);
        assert_eq!(answer.status, 200, "{}", answer.text());
        let cookie = answer
            .header("set-cookie")
            .unwrap()
            .split(';')
            .next()
            .unwrap()
            .to_owned();
        COOKIES
            .lock()
            .unwrap()
            .extend([(self.site, cookie.clone()), (self.book, cookie)]);
        self
    }

    /// Waits for a line with these words.
    #[track_caller]
    pub fn hears(&mut self, words: &str) -> String {
        let begun = Instant::now();
        loop {
            let rest = LONG.checked_sub(begun.elapsed()).unwrap_or_default();
            let Ok(line) = self.lines.recv_timeout(rest) else {
                panic!("`{words}` was not said:\n{}", self.said)
            };
            self.said.push_str(&line);
            self.said.push('\n');
            if line.contains(words) {
                return line;
            }
        }
    }

    /// The line of a head that brings the cookie to the book.
    pub fn cookie(&self) -> String {
        cookie(self.book)
    }

    /// The process.
    pub fn id(&self) -> u32 {
        self.child.id()
    }

    /// Sends a signal and gives back the exit code.
    pub fn ended_by(&mut self, signal: &str) -> Option<i32> {
        assert!(
            Command::new("kill")
                .arg(signal)
                .arg(self.id().to_string())
                .status()
                .unwrap()
                .success()
        );
        let begun = Instant::now();
        loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                return status.code();
            }
            assert!(begun.elapsed() < LONG, "{signal} did not end the desk");
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    /// A page of the public site.
    pub fn page(&self, path: &str) -> Answer {
        get(self.site, path)
    }

    /// A page of the keeper's book.
    pub fn book(&self, path: &str) -> Answer {
        get(self.book, path)
    }

    /// Waits until the page at a path fits.
    #[track_caller]
    #[allow(clippy::unused_self, reason = "it reads as what the desk does")]
    pub fn waits_for(&self, port: u16, path: &str, fits: impl Fn(&Answer) -> bool) -> Answer {
        let begun = Instant::now();
        loop {
            let answer = get(port, path);
            if fits(&answer) {
                return answer;
            }
            assert!(
                begun.elapsed() < LONG,
                "{path} is still this:\n{} {}\n{}",
                answer.status,
                answer.head,
                answer.text()
            );
            std::thread::sleep(Duration::from_millis(20));
        }
    }
}

impl Drop for Desk {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Asks for a path as browsers do.
pub fn get(port: u16, path: &str) -> Answer {
    asks(
        port,
        &format!("GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\r\n"),
    )
}

/// Sends these bytes, with the cookie where one was given, and reads to the end.
pub fn asks(port: u16, bytes: &str) -> Answer {
    let (first, rest) = bytes.split_once("\r\n").unwrap();
    asks_without(port, &format!("{first}\r\n{}{rest}", cookie(port)))
}

/// Sends a head, with the cookie where one was given, and a body that need not be text.
pub fn sends(port: u16, head: &str, body: &[u8]) -> Answer {
    let (first, rest) = head.split_once("\r\n").unwrap();
    let head = format!("{first}\r\n{}{rest}", cookie(port));
    exchanged(port, &[head.as_bytes(), body].concat())
}

/// Sends these bytes and no others, and reads to the end.
pub fn asks_without(port: u16, bytes: &str) -> Answer {
    exchanged(port, bytes.as_bytes())
}

fn exchanged(port: u16, bytes: &[u8]) -> Answer {
    let mut stream = TcpStream::connect(("127.0.0.1", port)).unwrap();
    stream.set_read_timeout(Some(LONG)).unwrap();
    stream.write_all(bytes).unwrap();
    let mut all = Vec::new();
    // Whoever is refused may be cut off.
    let _ = stream.read_to_end(&mut all);
    let end = all.windows(4).position(|window| window == b"\r\n\r\n");
    let Some(end) = end else {
        return Answer {
            status: 0,
            head: String::new(),
            body: all,
        };
    };
    let head = String::from_utf8_lossy(&all[..end])
        .to_lowercase()
        .replace("\r\n", "\n");
    let status = head
        .split(' ')
        .nth(1)
        .and_then(|status| status.parse().ok())
        .unwrap_or(0);
    Answer {
        status,
        head,
        body: all[end + 4..].to_vec(),
    }
}

/// A page that waits for changes.
pub struct Changes(BufReader<TcpStream>);

impl Changes {
    /// Begins to wait.
    pub fn of(port: u16) -> Self {
        let mut stream = TcpStream::connect(("127.0.0.1", port)).unwrap();
        stream.set_read_timeout(Some(LONG)).unwrap();
        write!(
            stream,
            "GET /-desk/changes HTTP/1.1\r\nHost: localhost:{port}\r\n{}Accept: \
             text/event-stream\r\n\r\n",
            cookie(port)
        )
        .unwrap();
        let mut changes = Self(BufReader::new(stream));
        let head: Vec<String> = std::iter::from_fn(|| Some(changes.line()))
            .take_while(|line| !line.is_empty())
            .collect();
        assert!(
            head[0].contains("200")
                && head
                    .iter()
                    .any(|line| line.eq_ignore_ascii_case("content-type: text/event-stream")),
            "{head:?}"
        );
        changes
    }

    fn line(&mut self) -> String {
        let mut line = String::new();
        assert!(
            self.0.read_line(&mut line).unwrap() > 0,
            "the connection was closed"
        );
        line.trim_end().to_owned()
    }

    /// Waits for the next word on what is to be seen.
    pub fn next(&mut self) -> String {
        loop {
            if let Some(made) = self.line().strip_prefix("data: ") {
                return made.to_owned();
            }
        }
    }
}
