//! `castlot serve` as a program: what it says at the start, that it shows what the terminal records, how it ends.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use insta::assert_snapshot;

use crate::dsl::{DEMO_END, TestFarm};

/// A server that was started on a free port of this computer.
struct Served {
    child: Child,
    address: String,
}

/// Nothing in these tests should take so long.
const LONG: Duration = Duration::from_secs(60);

impl Served {
    fn start(farm: &TestFarm) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_castlot"))
            .args(["serve", "--at", "127.0.0.1:0"])
            .current_dir(farm.path(""))
            .env_clear()
            .env("CASTLOT_NOW", format!("{DEMO_END}T09:00:00Z"))
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program was built");
        let mut line = String::new();
        let stdout = child.stdout.as_mut().expect("it is piped");
        BufReader::new(stdout)
            .read_line(&mut line)
            .expect("it says where it listens");
        let address = line.trim().trim_start_matches("http://");
        let address = address.trim_end_matches('/').to_owned();
        Self { child, address }
    }

    fn get(&self, path: &str) -> String {
        let mut stream = TcpStream::connect(&self.address).expect("it listens");
        let asked = format!("GET {path} HTTP/1.1\r\nHost: shed\r\nConnection: close\r\n\r\n");
        stream.write_all(asked.as_bytes()).expect("it reads");
        let mut text = String::new();
        stream.read_to_string(&mut text).expect("it answers");
        text
    }

    /// Asks it to end, and returns how it left and all it said beside the address.
    fn end(mut self) -> (Option<i32>, String) {
        let asked = Command::new("kill")
            .arg(self.child.id().to_string())
            .status();
        assert!(asked.expect("every system has `kill`").success());
        let left = self.child.wait().expect("it was started");
        let mut said = String::new();
        let stderr = self.child.stderr.as_mut().expect("it is piped");
        stderr.read_to_string(&mut said).expect("it is text");
        (left.code(), said)
    }
}

#[test]
fn it_says_who_can_reach_it_shows_what_is_recorded_and_ends_when_asked() {
    let farm = TestFarm::demo();
    let served = Served::start(&farm);
    let front = served.get("/");
    assert!(front.starts_with("HTTP/1.1 200 OK\r\n"), "{front}");
    let before = served.get("/P26071-01-Z");
    assert!(before.contains("No hold or recall is recorded"), "{before}");
    farm.did(DEMO_END, "hold P26071-01-Z --why \"a tub smelt\"");
    let start = Instant::now();
    while !served.get("/P26071-01-Z").contains("On hold") {
        assert!(start.elapsed() < LONG, "the hold is on the page");
        std::thread::sleep(Duration::from_millis(50));
    }
    let (left, said) = served.end();
    assert_eq!(left, Some(0), "{said}");
    assert_snapshot!(said, @"
    only this computer can reach it; for phones, name this computer's own address with `--at`
    without signing in, they see what `castlot publish` publishes: lots and packs, never a supplier, a buyer, a worker or a remark
    signed in, they see the shed: beds, the round, traces with the names of suppliers and buyers; and they record in the diary
    nobody has a PIN yet, so nobody can sign in; give one with `castlot pin INITIALS`
    nothing is encrypted, and nothing leaves this computer
    CAUTION: the codes on bins and racks carry `http://192.168.1.20:8080` ([qr] shed in castlot.toml), which is not where this listens; a phone that scans one does not come here
    Ctrl-C ends it; what is being written is finished first
    ending: what is being written is finished first
    ");
}

#[test]
fn what_it_cannot_do_is_told_before_anybody_is_let_in() {
    let farm = TestFarm::demo();
    farm.put("empty.pem", "no certificate");
    let taken = std::net::TcpListener::bind("127.0.0.1:0").expect("there is a free port");
    let at = taken.local_addr().expect("it listens").to_string();
    let told = farm.on(DEMO_END, &format!("serve --at {at}"));
    let next = taken
        .local_addr()
        .expect("it listens")
        .port()
        .checked_add(1)
        .unwrap_or(8080);
    let told = told
        .replace(&at, "HERE")
        .replace(&format!("127.0.0.1:{next}"), "NEXT");
    assert_snapshot!(told, @"
    --- stderr ---
    error: another program listens at `HERE` already
    hint: end the other one, or take another port: `castlot serve --at NEXT`
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on(DEMO_END, "serve --at 203.0.113.9:8080"), @"
    --- stderr ---
    error: this computer cannot listen at `203.0.113.9:8080`: Cannot assign requested address (os error 99)
    hint: name an address that this computer has, and a port from 1024 up; for this computer alone, leave `--at` out
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on(DEMO_END, "serve --cert empty.pem --key empty.pem"), @"
    --- stderr ---
    error: `empty.pem` holds no certificate in PEM
    hint: a file in PEM has a line with `-----BEGIN` in it; the certificate goes to `--cert`, its private key to `--key`
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on(DEMO_END, "serve --cert empty.pem"), @"
    --- stderr ---
    error: the following required arguments were not provided:
      --key <FILE>

    Usage: castlot serve --cert <FILE> --key <FILE>

    For more information, try '--help'.
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on(DEMO_END, "serve --at the-shed"), @"
    --- stderr ---
    error: invalid value 'the-shed' for '--at <ADDRESS:PORT>': invalid socket address syntax

    For more information, try '--help'.
    --- exit 2 ---
    ");
}
