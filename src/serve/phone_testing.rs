//! A phone on which somebody is signed in, for the tests of the shed.

use std::net::{IpAddr, Ipv4Addr};

use axum::body::Body;
use axum::http::Request;
use jiff::SignedDuration;

use super::door::Asked;
use super::form_key::FormKey;
use super::phones::Phones;
use super::pin::{Pin, PinHash};
use super::pins_file::Pins;
use super::testing::{Answer, TestServer};
use super::token::FormToken;
use crate::desk::telling::told;

/// A phone on which somebody is signed in.
pub struct Phone {
    pub server: TestServer,
    pub cookie: String,
}

const PIN: &str = "407193";

impl Phone {
    /// Signs MV in.
    pub async fn signed_in() -> Self {
        let server = TestServer::new();
        set_pin(&Phones::of(server.folder.path()));
        let from = IpAddr::V4(Ipv4Addr::LOCALHOST);
        let asked = server.door.sign_in("MV", PIN.to_owned(), from).await;
        let Ok(Asked::In(cookie)) = asked else {
            panic!("{asked:?}")
        };
        Self { server, cookie }
    }

    /// Opens a page.
    pub async fn get(&self, address: &str) -> Answer {
        let request = Request::get(address).header("cookie", format!("castlot={}", self.cookie));
        let request = request.body(Body::empty()).expect("it is an address");
        self.server.ask(request).await
    }

    /// Returns a key of its own for a form.
    pub fn key(&self) -> String {
        self.key_shown(SignedDuration::from_hours(1))
    }

    /// Returns a key for a form on a page that was opened so long ago.
    pub fn key_shown(&self, ago: SignedDuration) -> String {
        let shown = self.server.door.clock().now() - ago;
        FormKey::new(shown).expect("a key").to_string()
    }

    /// Sends a form with a key of its own.
    pub async fn send(&self, deed: &str, fields: &[(&str, &str)]) -> Answer {
        self.send_as(&self.key(), deed, fields).await
    }

    /// Sends a form with a key.
    pub async fn send_as(&self, key: &str, deed: &str, fields: &[(&str, &str)]) -> Answer {
        let token = FormToken::of(&self.cookie);
        let beside = [("token", token.as_str()), ("by", "MV"), ("key", key)];
        let pairs: Vec<String> = beside
            .iter()
            .chain(fields)
            .map(|(name, value)| format!("{name}={}", encoded(value)))
            .collect();
        let request = Request::post(format!("/shed/{deed}"))
            .header("cookie", format!("castlot={}", self.cookie))
            .header("content-type", "application/x-www-form-urlencoded")
            .body(Body::from(pairs.join("&")));
        self.server.ask(request.expect("it is a form")).await
    }

    /// Returns what the diary says after its first entries.
    pub fn written(&self) -> Vec<String> {
        self.server.live.look();
        let snapshot = self.server.live.snapshot();
        let entries = snapshot.farm.entries().iter().skip(20);
        entries
            .map(|entry| {
                let by = entry.by.as_ref().map(ToString::to_string);
                let said = told(&snapshot.farm, entry);
                format!("{} {} {said}", entry.when, by.unwrap_or_default())
            })
            .collect()
    }

    /// Returns the bed that is in bin A02.
    pub fn bed(&self) -> String {
        self.server.code("mark-of-bed-2").to_string()
    }
}

fn set_pin(phones: &Phones) {
    let pin: Pin = PIN.parse().expect("a PIN");
    let hash = PinHash::of(&pin).expect("it is hashed");
    Pins::change(phones, |pins| {
        pins.set("MV".parse().expect("initials"), hash)
    })
    .expect("it is kept");
}

/// Writes a text as a form does.
pub fn encoded(text: &str) -> String {
    text.bytes().map(|byte| format!("%{byte:02X}")).collect()
}
