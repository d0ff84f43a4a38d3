//! Tests of the reader of templates: every fault is named with file and line.

use super::artwork::Artwork;
use super::figure::length;
use super::template::{Span, Template};

const PLAIN: &str = "
[[size]]
width = 57
height = 32
[[size.text]]
at = { left = 3.5, right = 3.5, top = 3, height = 10 }
lines = [{ text = '{lot}', size = 12 }]
";

fn fault(text: &str) -> String {
    Template::parse("tub", "tub.toml", text, &Artwork::default())
        .unwrap_err()
        .to_string()
}

#[test]
fn a_plain_template_is_read() {
    let template = Template::parse("tub", "tub.toml", PLAIN, &Artwork::default()).unwrap();
    assert_eq!(template.sizes.len(), 1);
    let block = &template.sizes[0].blocks[0];
    assert_eq!(block.place.across, Span::Between(length(3.5), length(3.5)));
    assert_eq!(block.rows.len(), 1);
}

#[test]
fn every_fault_is_named_with_file_and_line() {
    let cases = [
        (
            "size = 12",
            "size = 12, colour = 'red'",
            "tub.toml, line 7: unknown field `colour`",
        ),
        ("{lot}", "{lott}", "tub.toml, line 7: `lott` is not a field"),
        (
            "size = 12",
            "size = 6",
            "tub.toml, line 7: `size` is 6; it is 7 to 600",
        ),
        (
            "size = 12",
            "size = 12, smallest = 13",
            "line 7: `smallest` is 13; it is 7 to 12",
        ),
        (
            "size = 12",
            "rule = 1",
            "line 7: a line has either `text` and `size` or `rule`",
        ),
        (
            "left = 3.5, right = 3.5, ",
            "left = 3, ",
            "line 6: `at` needs two of `left`, `right`",
        ),
        (
            "height = 10",
            "height = 40",
            "line 6: this does not lie on a label of 57 × 32 mm",
        ),
        (
            "width = 57",
            "width = -57",
            "line 2: `width` is -57; it is 5 to 500",
        ),
        (
            "width = 57",
            "width = nan",
            "line 2: `width` is NaN; it is 5 to 500",
        ),
        ("width = 57", "", "tub.toml, line 2: missing field `width`"),
    ];
    for (old, new, said) in cases {
        let error = fault(&PLAIN.replacen(old, new, 1));
        assert!(error.contains(said), "{error}\nwanted {said}");
    }
    assert_eq!(
        fault(""),
        "tub.toml, line 1: a template needs at least one `[[size]]`"
    );
}

/// Every table: what stands after the label's own lines, from line 8 on, and what is said of it.
#[test]
fn what_cannot_be_is_refused_in_every_table() {
    let at = "at = { left = 1, top = 1, width = 20, height = 20 }";
    let cases = [
        ("qr", "colour = 'red'", "line 10: unknown field `colour`"),
        ("bars", "colour = 'red'", "line 10: unknown field `colour`"),
        ("rule", "colour = 'red'", "line 10: unknown field `colour`"),
        ("box", "colour = 'red'", "line 10: unknown field `colour`"),
        (
            "picture",
            "colour = 'red'",
            "line 10: unknown field `colour`",
        ),
        (
            "cautions",
            "colour = 'red'",
            "line 10: unknown field `colour`",
        ),
        (
            "bars",
            "module = 0.2",
            "line 10: `module` is 0.2; it is 0.264 to 0.66",
        ),
        (
            "bars",
            "module = nan",
            "line 10: `module` is NaN; it is 0.264 to 0.66",
        ),
        (
            "box",
            "stroke = -1",
            "line 10: `stroke` is -1; it is 0 to 500",
        ),
        (
            "cautions",
            "size = 0",
            "line 9: `size` is 0; it is 7 to 600",
        ),
        (
            "cautions",
            "size = -9",
            "line 9: `size` is -9; it is 7 to 600",
        ),
        (
            "cautions",
            "size = inf",
            "line 9: `size` is inf; it is 7 to 600",
        ),
        (
            "cautions",
            "size = 9\nsmallest = 10",
            "line 9: `smallest` is 10; it is 7 to 9",
        ),
        (
            "cautions",
            "size = 9\nleading = 0",
            "line 9: `leading` is 0; it is 0.8 to 3",
        ),
        (
            "picture",
            "file = 'logo.png'",
            "line 10: `logo.png` is not a name of a picture",
        ),
        (
            "picture",
            "file = 'artwork/logo.png'",
            "line 10: there is no picture `artwork/logo.png`",
        ),
        ("picture", "", "line 8: missing field `file`"),
        ("qr", "align = 'top'", "line 10: unknown variant `top`"),
    ];
    for (table, line, said) in cases {
        let error = fault(&format!("{PLAIN}[[size.{table}]]\n{at}\n{line}\n"));
        assert!(
            error.starts_with(&format!("tub.toml, {said}")),
            "{table}: {error}"
        );
    }
    for table in ["qr", "bars", "rule"] {
        for wrong in ["width = 0", "width = 57", "width = -1", "width = nan"] {
            let text = format!(
                "{PLAIN}[[size.{table}]]\n{}\n",
                at.replace("width = 20", wrong)
            );
            let error = fault(&text);
            assert!(
                error.starts_with("tub.toml, line 9: "),
                "{table}, {wrong}: {error}"
            );
        }
    }
}

proptest::proptest! {
    #[test]
    fn no_text_makes_the_reader_panic(text in "\\PC{0,200}", cut in 0..PLAIN.len()) {
        let _ = Template::parse("t", "t.toml", &text, &Artwork::default());
        let _ = Template::parse("t", "t.toml", &PLAIN[..cut], &Artwork::default());
    }
}
