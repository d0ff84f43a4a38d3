//! A strict reading of our own pages for the tests: every tag closed in order, every attribute quoted, no stray `<` or `&`.

/// Tags of HTML that hold nothing and are not closed.
const VOID: &[&str] = &["meta", "link", "br"];

/// Tells what is wrong with a page first, if anything is.
pub fn check(page: &str) -> Result<(), String> {
    let mut rest = page.strip_prefix("<!DOCTYPE html>").ok_or("no doctype")?;
    let mut open: Vec<&str> = Vec::new();
    while let Some(start) = rest.find('<') {
        check_text(&rest[..start])?;
        let tag = &rest[start + 1..];
        let end = end_of(tag)?;
        rest = &tag[end + 1..];
        let tag = &tag[..end];
        if let Some(name) = tag.strip_prefix('/') {
            let last = open.pop();
            if last != Some(name) {
                return Err(format!("</{name}> closes {last:?}"));
            }
            continue;
        }
        let (tag, closed) = match tag.strip_suffix('/') {
            Some(tag) => (tag, true),
            None => (tag, false),
        };
        let name = tag.split([' ', '\n']).next().unwrap_or_default();
        check_attributes(&tag[name.len()..])?;
        if name == "style" {
            let end = rest.find("</style>").ok_or("a style that does not end")?;
            rest = &rest[end + "</style>".len()..];
        } else if !closed && !VOID.contains(&name) {
            open.push(name);
        }
    }
    check_text(rest)?;
    if open.is_empty() {
        Ok(())
    } else {
        Err(format!("{open:?} left open"))
    }
}

/// Returns where a tag ends; a `>` in quotes does not end it.
fn end_of(tag: &str) -> Result<usize, String> {
    let mut quoted = false;
    for (at, letter) in tag.char_indices() {
        match letter {
            '"' => quoted = !quoted,
            '>' if !quoted => return Ok(at),
            '<' => return Err(format!("`<` in <{}", &tag[..at])),
            _ => {}
        }
    }
    Err("a tag that does not end".to_owned())
}

fn check_attributes(text: &str) -> Result<(), String> {
    let mut rest = text.trim();
    while !rest.is_empty() {
        let (name, value) = rest
            .split_once("=\"")
            .ok_or(format!("`{rest}` is not quoted"))?;
        let plain = |c: char| c.is_ascii_alphanumeric() || c == '-';
        if name.is_empty() || !name.chars().all(plain) {
            return Err(format!("`{name}` is not an attribute"));
        }
        let (value, more) = value.split_once('"').ok_or("a quote that does not end")?;
        check_text(value)?;
        if !more.is_empty() && !more.starts_with([' ', '\n']) {
            return Err(format!("no space before `{more}`"));
        }
        rest = more.trim();
    }
    Ok(())
}

/// Every `&` begins a reference by number, which is how the templates escape.
fn check_text(text: &str) -> Result<(), String> {
    for reference in text.split('&').skip(1) {
        let number = reference.strip_prefix('#').and_then(|r| r.split_once(';'));
        if number.is_none_or(|(number, _)| number.parse::<u32>().is_err()) {
            return Err(format!("a stray & before `{reference:.12}`"));
        }
    }
    Ok(())
}

#[test]
fn it_finds_what_is_wrong() {
    assert_eq!(check("<!DOCTYPE html><p>a<br>b</p>"), Ok(()));
    for wrong in [
        "<p>",
        "<p></b></p>",
        "<p a=1></p>",
        "<p>a & b</p>",
        "<p>a < b</p>",
    ] {
        assert!(
            check(&format!("<!DOCTYPE html>{wrong}")).is_err(),
            "{wrong}"
        );
    }
}
