//! What search engines read: robots.txt, and where the farm wants it, a list of the pages.

use crate::farm::{Farm, LotSort, Settings};

/// The names of their files.
pub const ROBOTS: &str = "robots.txt";
pub const SITEMAP: &str = "sitemap.xml";

/// A list holds no more addresses than this (the protocol of sitemaps.org, from memory).
const MOST: usize = 50_000;

/// Returns robots.txt: all is open where there is a sitemap, and nothing where there is none.
///
/// It is read at the top of a host only; each page says for itself whether it may be listed.
pub fn robots(settings: &Settings) -> String {
    match sitemap_at(settings) {
        Some(base) => format!("User-agent: *\nDisallow:\nSitemap: {base}/{SITEMAP}\n"),
        None => "User-agent: *\nDisallow: /\n".to_owned(),
    }
}

/// Returns the address of the pages, where search engines are told of them.
pub fn sitemap_at(settings: &Settings) -> Option<&str> {
    let base = settings.base.as_deref();
    base.filter(|_| settings.public.sitemap)
}

/// Returns the list of pages, where there is to be one: the front page and each run, those packed last first. Other lots are found from there.
pub fn sitemap(farm: &Farm, settings: &Settings) -> Option<String> {
    let base = escaped(sitemap_at(settings)?);
    let mut runs: Vec<_> = farm
        .lots()
        .filter(|(_, lot)| matches!(lot.sort, LotSort::Run(_)))
        .map(|(_, lot)| (lot.when.day(), lot.code))
        .collect();
    runs.sort_unstable_by(|a, b| b.cmp(a));
    let pages = runs.iter().map(|(_, code)| format!("{base}/{code}/"));
    let all = std::iter::once(format!("{base}/")).chain(pages).take(MOST);
    let lines: String = all
        .map(|page| format!("<url><loc>{page}</loc></url>\n"))
        .collect();
    Some(format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<urlset xmlns=\"http://www.sitemaps.org/schemas/sitemap/0.9\">\n{lines}</urlset>\n"
    ))
}

/// Writes an address as XML does.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('\'', "&apos;")
        .replace('"', "&quot;")
}
