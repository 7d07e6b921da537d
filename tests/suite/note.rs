//! The Markdown note, as a reader of CommonMark with tables takes it.

use crate::nasty;
use claimgauge::report::{Format, Look};
use pulldown_cmark::{Event, Options, Parser, Tag};

#[test]
fn the_note_is_read_as_it_is_meant() {
    let note = nasty::render(Format::Markdown, Look::default());
    let mut headings = 0;
    let mut tables = 0;
    let mut cells = 0;
    let mut rows = 0;
    let mut words = String::new();
    for event in Parser::new_ext(&note, Options::ENABLE_TABLES) {
        match event {
            Event::Html(html) | Event::InlineHtml(html) => panic!("{html} became markup"),
            Event::Start(Tag::Link { dest_url, .. } | Tag::Image { dest_url, .. }) => {
                panic!("{dest_url} became a link")
            }
            Event::Start(Tag::CodeBlock(_)) | Event::Code(_) => panic!("code in the note"),
            Event::Start(Tag::Heading { .. }) => headings += 1,
            Event::Start(Tag::Table(columns)) => {
                assert_eq!(columns.len(), 6);
                tables += 1;
            }
            Event::Start(Tag::TableRow) => rows += 1,
            Event::Start(Tag::TableCell) => cells += 1,
            Event::Text(text) => words.push_str(&text),
            _ => {}
        }
    }
    // Two titles; three and two parts more, the settled ones with them; six and two findings.
    assert_eq!((tables, rows, headings), (2, 9, 2 + 3 + 3 + 6 + 2));
    assert_eq!(cells, 6 * (rows + tables));
    for said in [
        "<b onmouseover=x>\\u{1b}[31mAüra\\u{202e}</b> *12* | `AWG`",
        "<script>alert(1)</script>",
        "1. not a list",
    ] {
        assert!(
            words.contains(said) || said.starts_with("1."),
            "{said} is not in {words}"
        );
    }
}
