//! A sheet from short plain texts: paragraphs apart by blank lines, `- ` items under a lead, `> ` quotations, short lines
//! without an end mark as headings. It keeps tests of what comes after the layout independent of the layout.

use claimgauge::sheet::{Block, BlockKind, Flow, Sentence, Sheet};
use claimgauge::span::Span;

struct Part<'t> {
    kind: BlockKind,
    quoted: bool,
    lines: Vec<(usize, &'t str)>,
}

fn parts(text: &str) -> Vec<Part<'_>> {
    let mut parts: Vec<Part<'_>> = Vec::new();
    let mut open = false;
    let mut offset = 0;
    for whole in text.split_inclusive('\n') {
        let start = offset;
        offset += whole.len();
        let mut line = whole.trim();
        if line.is_empty() {
            open = false;
            continue;
        }
        let quoted = line.starts_with('>');
        line = line.trim_start_matches('>').trim_start();
        let numbered = line
            .split_once(". ")
            .filter(|(number, _)| number.len() == 1 && number.chars().all(|c| c.is_ascii_digit()));
        let item = line
            .strip_prefix("- ")
            .or_else(|| line.strip_prefix("• "))
            .or(numbered.map(|(_, rest)| rest));
        let body = item.unwrap_or(line);
        let at = start + whole.find(body).unwrap_or(0);
        let heading = item.is_none()
            && !quoted
            && body.len() < 60
            && !body.ends_with(['.', ',', '?', '!', ':', '"']);
        let goes_on = open
            && item.is_none()
            && parts.last().is_some_and(|last| {
                last.quoted == quoted && !matches!(last.kind, BlockKind::Heading { .. })
            });
        if let (true, Some(last)) = (goes_on, parts.last_mut()) {
            last.lines.push((at, body));
        } else {
            let kind = match (item, heading && !open) {
                (Some(_), _) => BlockKind::Item,
                (None, true) => BlockKind::Heading { level: 2 },
                (None, false) => BlockKind::Paragraph,
            };
            parts.push(Part {
                kind,
                quoted,
                lines: vec![(at, body)],
            });
        }
        open = true;
    }
    parts
}

/// Byte ranges of the sentences of `text`.
fn sentences(text: &str) -> Vec<(usize, usize)> {
    let letters: Vec<(usize, char)> = text.char_indices().collect();
    let mut list = Vec::new();
    let mut start = 0;
    let mut at = 0;
    while at < letters.len() {
        if !matches!(letters[at].1, '.' | '!' | '?') {
            at += 1;
            continue;
        }
        let mut end = at + 1;
        while end < letters.len() && matches!(letters[end].1, '"' | '”' | ')' | '.' | '!' | '?') {
            end += 1;
        }
        if end + 1 < letters.len()
            && letters[end].1 == ' '
            && (letters[end + 1].1.is_uppercase()
                || matches!(letters[end + 1].1, '"' | '“' | '(' | '•'))
        {
            list.push((start, letters[end].0));
            start = letters[end].0 + 1;
        }
        at = end;
    }
    if start < text.len() {
        list.push((start, text.len()));
    }
    list
}

/// The sheet of `text`.
pub fn sheet(text: &str) -> Sheet {
    let parts = parts(text);
    let mut sheet = Sheet::default();
    let mut flow = Flow::default();
    let (mut section, mut lead) = (None, None);
    for (index, part) in parts.iter().enumerate() {
        let start = flow.text().len();
        for (number, (at, line)) in part.lines.iter().enumerate() {
            if number > 0 {
                flow.push_as(" ", *at, 0);
            }
            flow.push(line, *at);
        }
        let end = flow.text().len();
        let first = sheet.sentences.len();
        for (from, to) in sentences(&flow.text()[start..end]) {
            sheet.sentences.push(Sentence {
                span: Span::new(start + from, start + to),
                block: index,
            });
        }
        flow.push_as("\n", 0, 0);
        let item = part.kind == BlockKind::Item;
        if !item {
            let list_follows = parts
                .get(index + 1)
                .is_some_and(|next| next.kind == BlockKind::Item);
            lead = list_follows.then_some(index);
        }
        sheet.blocks.push(Block {
            kind: part.kind,
            span: Span::new(start, end),
            key: None,
            section,
            lead: if item { lead } else { None },
            quoted: part.quoted,
            speaker: None,
            sentences: first..sheet.sentences.len(),
        });
        if matches!(part.kind, BlockKind::Heading { .. }) {
            section = Some(index);
        }
    }
    sheet.flow = flow;
    sheet
}
