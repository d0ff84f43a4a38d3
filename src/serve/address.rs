//! Reads what stands after the host as a code that a label can carry: every form of a QR code, with the slips that a
//! check character confirms.
//!
//! Only the text is looked at: no address, however it is written, is ever the path of a file.

use crate::farm::{BinCode, Gtin, LotCode, PackCode, Serial, is_place_part};

/// What an address names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Address {
    /// The front page.
    Front,
    /// A lot.
    Lot(LotCode),
    /// One pack of a run.
    Pack(PackCode),
    /// A run, or one pack of it, as a GS1 Digital Link.
    Linked(Gtin, LotCode, Option<Serial>),
    /// A bin, in the shed's view.
    Bin(BinCode),
    /// A rack, in the shed's view.
    Rack(String),
}

/// What was asked for, cut into pieces.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Asked {
    /// The parts of the path after the farm's own, decoded.
    parts: Vec<String>,
    /// The first piece of the query.
    query: Option<String>,
    /// How many folders the address stands below where the codes stand.
    depth: usize,
}

/// The file that a published folder is shown by.
const INDEX: &str = "index.html";

/// How many digits a trade item number has in a Digital Link.
const GTIN_DIGITS: usize = 14;

/// A longer path is none of a label's.
const LONGEST: usize = 200;

impl Asked {
    /// Cuts a path and a query; `bases` are the addresses that the farm's codes carry or have carried, whose paths may
    /// stand first. Nothing where it is not text.
    pub fn of(path: &str, query: Option<&str>, bases: &[String]) -> Option<Self> {
        if path.len() > LONGEST {
            return None;
        }
        let rest = after_base(path, bases);
        let rest = rest.strip_prefix('/').unwrap_or(rest);
        let mut parts = rest.split('/').map(decoded).collect::<Option<Vec<_>>>()?;
        let depth = parts.len() - 1;
        if parts
            .last()
            .is_some_and(|last| last.is_empty() || last == INDEX)
        {
            parts.pop();
        }
        let query = query.and_then(|query| query.split('&').next());
        Some(Self {
            parts,
            query: query.and_then(decoded).filter(|query| !query.is_empty()),
            depth,
        })
    }

    /// Returns how many folders the address stands below where the codes stand.
    pub fn depth(&self) -> usize {
        self.depth
    }

    /// Returns the way up to where the codes stand, ending in a slash where there is one.
    pub fn up(&self) -> String {
        "../".repeat(self.depth)
    }

    /// Returns the only part there is, where it may be the name of a file.
    pub fn file(&self) -> Option<&str> {
        match self.parts.as_slice() {
            [name] => Some(name),
            _ => None,
        }
    }

    /// Reads what it names.
    pub fn names(&self) -> Option<Address> {
        let parts: Vec<&str> = self.parts.iter().map(String::as_str).collect();
        match parts.as_slice() {
            [] => Some(Address::Front),
            [kind, bin] if kind.eq_ignore_ascii_case("BIN") => {
                Some(Address::Bin(bin.to_ascii_uppercase().parse().ok()?))
            }
            [kind, rack] if kind.eq_ignore_ascii_case("RACK") => {
                let rack = rack.to_ascii_uppercase();
                is_place_part(&rack).then_some(Address::Rack(rack))
            }
            ["01", gtin, "10", code] => linked(gtin, code, None),
            ["01", gtin, "10", code, "21", serial] => linked(gtin, code, Some(serial)),
            [code] => self.lot(LotCode::read(code).ok()?),
            [code, serial] => Some(Address::Pack(PackCode {
                run: LotCode::read(code).ok()?,
                serial: Serial::read(serial).ok()?,
            })),
            _ => None,
        }
    }

    /// Reads a query that is a serial; another, as some apps add to an address, is left aside.
    fn lot(&self, run: LotCode) -> Option<Address> {
        let serial = self.query.as_deref().map(Serial::read);
        Some(match serial {
            Some(Ok(serial)) => Address::Pack(PackCode { run, serial }),
            Some(Err(_)) | None => Address::Lot(run),
        })
    }

    /// Tells whether it is written as castlot writes that address.
    pub fn is_spelled(&self, address: &Address) -> bool {
        let right = address.to_string();
        let (path, query) = match right.split_once('?') {
            Some((path, query)) => (path, Some(query)),
            None => (right.as_str(), None),
        };
        self.parts.join("/") == path && (query.is_none() || self.query.as_deref() == query)
    }
}

impl std::fmt::Display for Address {
    /// Writes it as it stands after the farm's address on a label.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Front => Ok(()),
            Self::Lot(code) => write!(f, "{code}"),
            Self::Pack(pack) => write!(f, "{}?{}", pack.run, pack.serial),
            Self::Linked(gtin, code, None) => write!(f, "01/{}/10/{code}", gtin.digits()),
            Self::Linked(gtin, code, Some(serial)) => {
                write!(f, "01/{}/10/{code}/21/{serial}", gtin.digits())
            }
            Self::Bin(bin) => write!(f, "BIN/{bin}"),
            Self::Rack(rack) => write!(f, "RACK/{rack}"),
        }
    }
}

/// Reads a Digital Link, whose trade item number has all its 14 digits (GS1 Digital Link: URI Syntax).
fn linked(gtin: &str, code: &str, serial: Option<&str>) -> Option<Address> {
    if gtin.len() != GTIN_DIGITS {
        return None;
    }
    let serial = match serial {
        Some(serial) => Some(Serial::read(serial).ok()?),
        None => None,
    };
    Some(Address::Linked(
        gtin.parse().ok()?,
        LotCode::read(code).ok()?,
        serial,
    ))
}

/// Cuts the path of one of the farm's addresses off, the longest that fits.
fn after_base<'a>(path: &'a str, bases: &[String]) -> &'a str {
    let rests = bases.iter().filter_map(|base| {
        let (_, host) = base.split_once("://")?;
        let (_, own) = host.trim_end_matches('/').split_once('/')?;
        let rest = path.strip_prefix('/')?;
        let head = rest.get(..own.len())?;
        let rest = rest.get(own.len()..)?;
        let ends = rest.is_empty() || rest.starts_with('/');
        (ends && head.eq_ignore_ascii_case(own)).then_some(rest)
    });
    rests.min_by_key(|rest| rest.len()).unwrap_or(path)
}

/// Undoes the per cent signs of a part (RFC 3986, section 2.1); nothing where that gives no text, or a character that no
/// code has.
fn decoded(part: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(part.len());
    let mut rest = part.bytes();
    while let Some(byte) = rest.next() {
        if byte != b'%' {
            bytes.push(byte);
            continue;
        }
        let mut digit = || char::from(rest.next()?).to_digit(16);
        let value = digit()? * 16 + digit()?;
        bytes.push(u8::try_from(value).expect("two hexadecimal digits are a byte"));
    }
    let text = String::from_utf8(bytes).ok()?;
    (!text.chars().any(char::is_control)).then_some(text)
}
