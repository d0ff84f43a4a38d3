//! What is said in plain words when the server starts: where it listens, who can reach it, and what they see.

use std::net::{IpAddr, SocketAddr};

/// What there is to tell.
pub struct Hello<'a> {
    /// Where it listens.
    pub at: SocketAddr,
    /// Whether what is sent is encrypted.
    pub is_encrypted: bool,
    /// The address that the codes of bins and racks carry.
    pub shed: Option<&'a str>,
    /// The workers who have a PIN.
    pub workers: &'a [String],
}

/// What is told.
pub struct Told {
    /// The address to open.
    pub address: String,
    /// What to know of it, a line each.
    pub lines: Vec<String>,
}

/// Who can reach a server.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Reach {
    /// This computer alone.
    Here,
    /// Whoever is on the same network.
    Network,
    /// Whoever is on any network that the computer is on.
    Everywhere,
    /// Anybody at all.
    Public,
}

impl Reach {
    fn of(at: IpAddr) -> Self {
        match at.to_canonical() {
            at if at.is_loopback() => Self::Here,
            at if at.is_unspecified() => Self::Everywhere,
            IpAddr::V4(at) if at.is_private() || at.is_link_local() => Self::Network,
            IpAddr::V6(at) if at.is_unique_local() || at.is_unicast_link_local() => Self::Network,
            IpAddr::V4(_) | IpAddr::V6(_) => Self::Public,
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::Here => {
                "only this computer can reach it; for phones, name this computer's own address with `--at`"
            }
            Self::Network => {
                "everybody on the same network can reach it, guests on the farm's wifi too"
            }
            Self::Everywhere => {
                "CAUTION: it listens on every network this computer is on; everybody on any of them can reach it, and the whole internet where one of them is open to it"
            }
            Self::Public => {
                "CAUTION: that is an address of the open internet; anybody in the world may be able to reach it"
            }
        }
    }
}

/// Writes what is said at the start.
pub fn hello(of: &Hello<'_>) -> Told {
    let scheme = if of.is_encrypted { "https" } else { "http" };
    let reach = Reach::of(of.at.ip());
    let mut lines = vec![
        reach.words().to_owned(),
        "without signing in, they see what `castlot publish` publishes: lots and packs, never a supplier, a buyer, a worker or a remark".to_owned(),
        "signed in, they see the shed: beds, the round, traces with the names of suppliers and buyers; and they record in the diary".to_owned(),
        who(of.workers),
    ];
    lines.push(match (of.is_encrypted, reach) {
        (true, _) => "what is sent is encrypted with the farm's own certificate".to_owned(),
        (false, Reach::Here) => {
            "nothing is encrypted, and nothing leaves this computer".to_owned()
        }
        (false, Reach::Network | Reach::Everywhere | Reach::Public) => {
            "CAUTION: nothing is encrypted; whoever listens on the network can read PINs and names; encrypt it with `--cert` and `--key`".to_owned()
        }
    });
    lines.extend(of.shed.and_then(|shed| elsewhere(shed, scheme, of.at)));
    lines.push("Ctrl-C ends it; what is being written is finished first".to_owned());
    Told {
        address: format!("{scheme}://{}/", of.at),
        lines,
    }
}

fn who(workers: &[String]) -> String {
    match workers {
        [] => "nobody has a PIN yet, so nobody can sign in; give one with `castlot pin INITIALS`"
            .to_owned(),
        [one] => format!("{one} has a PIN and can sign in"),
        [first @ .., last] => format!("{} and {last} have a PIN and can sign in", first.join(", ")),
    }
}

/// Says that the codes on bins and racks lead to another server, where they plainly do.
fn elsewhere(shed: &str, scheme: &str, at: SocketAddr) -> Option<String> {
    let (printed, rest) = shed.split_once("://")?;
    let host = rest.split('/').next().unwrap_or_default();
    let usual = if printed == "https" { 443 } else { 80 };
    // A name, or an address in brackets; a port after the last colon.
    let (name, port) = match host.rsplit_once(':') {
        Some((name, port)) if port.parse::<u16>().is_ok() => (name, port.parse().ok()?),
        _ => (host, usual),
    };
    let ip = name.trim_matches(['[', ']']).parse::<IpAddr>().ok();
    let other_ip = ip.is_some_and(|ip| ip != at.ip() && !at.ip().is_unspecified());
    let differs = port != at.port() || printed != scheme || other_ip;
    differs.then(|| {
        format!(
            "CAUTION: the codes on bins and racks carry `{shed}` ([qr] shed in castlot.toml), which is not where this listens; a phone that scans one does not come here"
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(at: &str, shed: Option<&str>, is_encrypted: bool) -> Vec<String> {
        let at = at.parse().expect("an address");
        let workers = ["JT".to_owned(), "MB".to_owned()];
        hello(&Hello {
            at,
            is_encrypted,
            shed,
            workers: &workers,
        })
        .lines
    }

    fn cautions(lines: &[String]) -> usize {
        lines
            .iter()
            .filter(|line| line.starts_with("CAUTION"))
            .count()
    }

    #[test]
    fn who_can_reach_it_is_said_by_the_address_it_listens_at() {
        for (at, reach) in [
            ("127.0.0.1:8080", Reach::Here),
            ("[::1]:8080", Reach::Here),
            ("[::ffff:127.0.0.1]:8080", Reach::Here),
            ("192.168.1.20:8080", Reach::Network),
            ("10.0.0.3:8080", Reach::Network),
            ("172.16.9.1:8080", Reach::Network),
            ("169.254.3.1:80", Reach::Network),
            ("[fd12::1]:8080", Reach::Network),
            ("[fe80::1]:8080", Reach::Network),
            ("0.0.0.0:8080", Reach::Everywhere),
            ("[::]:8080", Reach::Everywhere),
            ("203.0.113.9:80", Reach::Public),
            ("[2001:db8::1]:80", Reach::Public),
        ] {
            let at: SocketAddr = at.parse().expect("an address");
            assert_eq!(Reach::of(at.ip()), reach, "{at}");
        }
    }

    #[test]
    fn a_network_is_cautioned_of_unless_it_is_encrypted() {
        assert_eq!(cautions(&told("127.0.0.1:8080", None, false)), 0);
        assert_eq!(cautions(&told("192.168.1.20:8080", None, false)), 1);
        assert_eq!(cautions(&told("192.168.1.20:8080", None, true)), 0);
        assert_eq!(cautions(&told("0.0.0.0:8080", None, false)), 2);
    }

    #[test]
    fn codes_that_lead_elsewhere_are_cautioned_of() {
        let at = "192.168.1.20:8080";
        for (shed, warned) in [
            ("http://192.168.1.20:8080", 0),
            ("http://shed.marlhythe.example:8080", 0),
            ("http://192.168.1.20:8081", 1),
            ("http://192.168.1.20", 1),
            ("https://192.168.1.20:8080", 1),
            ("http://192.168.1.21:8080", 1),
        ] {
            let before = cautions(&told(at, None, false));
            assert_eq!(
                cautions(&told(at, Some(shed), false)),
                before + warned,
                "{shed}"
            );
        }
        let all = "0.0.0.0:8080";
        let there = told(all, Some("http://192.168.1.20:8080"), false);
        let before = cautions(&told(all, None, false));
        assert_eq!(cautions(&there), before, "it listens there too");
    }

    #[test]
    fn who_has_a_pin_is_named() {
        assert_eq!(who(&["JT".to_owned()]), "JT has a PIN and can sign in");
        assert!(
            told("127.0.0.1:1", None, false)
                .iter()
                .any(|line| line == "JT and MB have a PIN and can sign in")
        );
        assert!(who(&[]).contains("castlot pin INITIALS"));
    }
}
