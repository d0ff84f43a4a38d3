//! Nothing on the demo farm could be anybody's: every telephone number, domain and GTIN, in all it is made of and all
//! it makes.

use super::demo::Demo;
use super::dsl::demo_lots;

/// Telephone numbers: Ofcom's numbers for drama, 01632 960000 to 960999. Domains: RFC 2606. GTINs: GS1's example
/// range 952. All three from memory.
#[test]
fn every_number_domain_and_gtin_is_one_that_nobody_has() {
    let (mut phones, mut hosts, mut gtins) = (0, 0, 0);
    for (file, text) in texts() {
        for phone in phones_in(&text) {
            assert!(phone.starts_with("01632960"), "{file}: {phone}");
            phones += 1;
        }
        for host in hosts_in(&text) {
            let ours = host.ends_with(".example") || host == "192.168.1.20";
            // The name of SVG's own namespace is an address that nobody fetches.
            assert!(
                ours || (host == "www.w3.org" && text.contains("http://www.w3.org/2000/svg")),
                "{file}: {host}"
            );
            hosts += 1;
        }
        for line in text.lines().filter(|line| line.starts_with("gtin = ")) {
            let gtin: castlot::farm::Gtin = line[8..].trim_matches('"').parse().expect("a GTIN");
            assert!(gtin.digits().starts_with("09520"), "{file}: {line}");
            gtins += 1;
        }
    }
    assert!(
        phones > 50 && hosts > 3 && gtins >= 5,
        "{phones} {hosts} {gtins}"
    );
}

/// Every text that the demo farm is made of or makes, by its path.
fn texts() -> Vec<(String, String)> {
    let mut waiting = vec![Demo::built().home.clone(), demo_lots()];
    let mut texts = vec![("what it says".to_owned(), Demo::built().said.clone())];
    while let Some(folder) = waiting.pop() {
        for found in std::fs::read_dir(folder).expect("the folder is there") {
            let path = found.expect("it can be read").path();
            if path.is_dir() {
                waiting.push(path);
            } else if let Ok(text) = std::fs::read_to_string(&path) {
                texts.push((path.display().to_string(), text));
            }
        }
    }
    texts
}

/// Returns what looks like a telephone number: a nought, and with one space at most ten or eleven digits that stand
/// alone.
fn phones_in(text: &str) -> Vec<String> {
    let mut phones = Vec::new();
    let words = text.split(|c: char| !c.is_ascii_alphanumeric() && c != ' ' && c != '+');
    for phrase in words {
        let words: Vec<&str> = phrase.split(' ').collect();
        let pairs = words.windows(2).map(|pair| pair.concat());
        let alone = words.iter().map(|word| (*word).to_owned());
        let is_phone = |word: &String| {
            let digits = word.trim_start_matches('+');
            let foreign = word.starts_with('+') && digits.len() > 6;
            let national = word.starts_with('0') && matches!(word.len(), 10 | 11);
            digits.bytes().all(|b| b.is_ascii_digit()) && (foreign || national)
        };
        phones.extend(alone.chain(pairs).filter(is_phone));
    }
    phones
}

/// Returns the host of every address, and every word that ends as domains do.
fn hosts_in(text: &str) -> Vec<String> {
    let end = |c: char| !c.is_ascii_alphanumeric() && c != '.' && c != '-';
    let addresses = text
        .split("://")
        .skip(1)
        .map(|rest| rest.split(end).next().unwrap_or_default());
    let domains = [".com", ".uk", ".org", ".net", ".eu", ".shop", ".farm"];
    let words = text.split(end).filter(|word| {
        domains
            .iter()
            .any(|domain| word.to_ascii_lowercase().ends_with(domain))
    });
    addresses
        .chain(words)
        .map(str::to_ascii_lowercase)
        .collect()
}
