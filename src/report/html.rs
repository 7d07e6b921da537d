//! `html`: one self-contained page. The document stands on one side with its statements marked in place, what is said of
//! them beside it; the working is folded, pictures are inline. No script, nothing is fetched.

use crate::finding::Level;
use crate::report::view::{Counts, Item, Quote, View, counted, one_line, shortened};
use crate::report::{Ending, Renderer, Scene, chart, escape};
use maud::{DOCTYPE, Markup, PreEscaped, html};
use std::collections::BTreeSet;
use std::ops::Range;

/// Lines of a stretch without findings that are shown whole.
const MOST_LINES: usize = 120;
/// Lines kept at either end of a longer one.
const KEPT_LINES: usize = 12;
/// Characters of a line that are shown.
const MOST_CHARACTERS: usize = 4000;
/// Confirmations marked in place.
const MOST_CONFIRMED: usize = 400;

/// The format.
pub struct Html;

impl Renderer for Html {
    fn totals_first(&self) -> bool {
        true
    }

    fn head(&self, _: &Scene<'_>, ending: &Ending) -> String {
        let counts = ending.counts;
        let mut out = html! {
            (DOCTYPE)
        }
        .into_string();
        out.push_str("<html lang=\"en\">");
        out.push_str(
            &html! {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    meta name="color-scheme" content="light dark";
                    meta name="generator" content={ "claimgauge " (env!("CARGO_PKG_VERSION")) };
                    meta http-equiv="Content-Security-Policy"
                        content="default-src 'none'; style-src 'unsafe-inline'";
                    title { "Fact check: " (counted(counts.documents, "document")) ", " (counts.found()) }
                    style { (PreEscaped(STYLE)) }
                }
            }
            .into_string(),
        );
        out.push_str("<body><a class=\"skip\" href=\"#main\">To the findings</a>");
        out.push_str(
            &html! {
                header.page {
                    p.kicker { "claimgauge fact check" }
                    h1 { (headline(counts)) }
                    (tally(counts))
                    @if !ending.troubles.is_empty() || !ending.notices.is_empty() {
                        ul.notices {
                            @for line in &ending.troubles { li { "Not read: " (text(line)) } }
                            @for line in &ending.notices { li { (text(line)) } }
                        }
                    }
                }
            }
            .into_string(),
        );
        out.push_str("<main id=\"main\">");
        out
    }

    fn document(&self, view: &View<'_>, scene: &Scene<'_>, number: usize) -> String {
        document(view, scene, &format!("d{}", number + 1)).into_string()
    }

    fn tail(&self, _: &Scene<'_>, _: &Ending) -> String {
        html! {
            footer.page {
                p {
                    "Every figure here was recomputed from the words that are quoted, with the rules and sources named. "
                    "Where somebody could be hurt, follow the local code and have licensed people do the work."
                }
            }
        }
        .into_string()
        .replace("<footer", "</main><footer")
            + "</body></html>\n"
    }
}

fn headline(counts: Counts) -> String {
    format!(
        "{}: {}",
        counted(counts.documents, "document"),
        counts.found()
    )
}

fn tally(counts: Counts) -> Markup {
    html! {
        ul.tally {
            @for (count, word, class) in [
                (counts.error, "error", "error"),
                (counts.warning, "warning", "warning"),
                (counts.note, "note", "note"),
                (counts.confirmed, "confirmation", "confirmed"),
                (counts.settled, "settled finding", "settled"),
            ] {
                @if count > 0 { li class=(class) { (counted(count, word)) } }
            }
        }
    }
}

fn text(words: &str) -> String {
    escape::line(words).into_owned()
}

fn weight(item: &Item) -> &'static str {
    item.level.map_or("confirmed", Level::word)
}

/// A finding or confirmation with its number in the document.
struct Numbered<'v> {
    item: &'v Item,
    id: String,
    label: String,
}

fn document(view: &View<'_>, scene: &Scene<'_>, id: &str) -> Markup {
    let numbered: Vec<Numbered<'_>> = view
        .findings
        .iter()
        .enumerate()
        .map(|(index, item)| Numbered {
            item,
            id: format!("{id}-f{}", index + 1),
            label: (index + 1).to_string(),
        })
        .chain(
            view.confirmed
                .iter()
                .take(MOST_CONFIRMED)
                .enumerate()
                .map(|(index, item)| Numbered {
                    item,
                    id: format!("{id}-c{}", index + 1),
                    label: format!("c{}", index + 1),
                }),
        )
        .collect();
    let whole: Vec<&Numbered<'_>> = numbered
        .iter()
        .filter(|numbered| numbered.item.quotes.is_empty())
        .collect();
    html! {
        article.document #(id) aria-labelledby={ (id) "-title" } {
            header {
                h2 #{ (id) "-title" } { (text(view.path())) }
                p {
                    "Read as " (view.kind) ": " (view.read()) ". Confirmed: " (view.counts.confirmed)
                    ". Found: " (view.counts.found()) "."
                }
                @for remark in &view.remarks { p { "Limit: " (text(remark)) } }
                (verdict_table(&numbered))
            }
            @if !whole.is_empty() {
                section.whole aria-label="Of the document as a whole" {
                    @for numbered in &whole { (card(numbered)) }
                }
            }
            (chart::charts(view, scene.rulebook, id))
            (strips(view, &numbered))
            (settled(view))
        }
    }
}

fn verdict_table(numbered: &[Numbered<'_>]) -> Markup {
    html! {
        @if !numbered.is_empty() {
            div.scroll tabindex="0" role="region" aria-label="Verdicts" {
                table {
                    thead { tr {
                        th scope="col" { "No." } th scope="col" { "Statement" } th scope="col" { "Where" }
                        th scope="col" { "Verdict" } th scope="col" { "Weight" }
                    } }
                    tbody {
                        @for numbered in numbered {
                            tr {
                                td { a href={ "#" (numbered.id) } { (numbered.label) } }
                                td {
                                    @let quotation = numbered.item.quotation();
                                    @if quotation.is_empty() { "the document as a whole" }
                                    @else { "“" (text(&shortened(&quotation, 80))) "”" }
                                }
                                td { (numbered.item.where_it_stands()) }
                                td { (numbered.item.verdict_words()) }
                                td {
                                    @if numbered.item.level.is_some() {
                                        span class={ "chip " (weight(numbered.item)) } { (weight(numbered.item)) }
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn card(numbered: &Numbered<'_>) -> Markup {
    let item = numbered.item;
    html! {
        section class={ "card " (weight(item)) } #(numbered.id) aria-labelledby={ (numbered.id) "-h" } {
            h3 #{ (numbered.id) "-h" } {
                span.no { (numbered.label) } " " (item.verdict_words())
                @if item.level.is_some() {
                    " " span class={ "chip " (weight(item)) } { (weight(item)) }
                }
            }
            p { (text(&item.message)) }
            @if !item.help.is_empty() { p.help { strong { "To do: " } (text(&item.help)) } }
            @if item.quotes.len() > 1 && item.level.is_some() {
                p.also {
                    "It rests on "
                    @for (index, quote) in item.quotes.iter().take(8).enumerate() {
                        @if index > 0 { ", " }
                        "“" (text(&shortened(&one_line(&quote.text), 60))) "” (" (quote.lines())
                        @if !quote.label.is_empty() { ", " (text(&quote.label)) }
                        ")"
                    }
                    @if item.quotes.len() > 8 { " and " (item.quotes.len() - 8) " more" }
                    "."
                }
            }
            details {
                summary {
                    @if item.working.is_empty() { "Rule and sources" } @else { "Working, rule and sources" }
                    span.unseen { " of " (numbered.label) }
                }
                @if !item.working.is_empty() {
                    div.scroll tabindex="0" role="region" aria-label={ "Working of " (numbered.label) } {
                        table.working {
                            thead { tr { th scope="col" { "Step" } th scope="col" { "From" } } }
                            tbody {
                                @for work in &item.working {
                                    tr { td { (text(&work.equation())) } td { (text(&work.from)) } }
                                }
                            }
                        }
                    }
                }
                p { "Rule " code { (text(&item.rule)) } ": " (text(&item.title)) "." }
                @if !item.sources.is_empty() {
                    ul { @for source in &item.sources { li { (text(&source.text)) } } }
                }
            }
            @if !item.quotes.is_empty() && item.level.is_some() {
                p.back { a href={ "#" (numbered.id) "-q" } { "Back to the words in " (item.where_it_stands()) } }
            }
        }
    }
}

fn settled(view: &View<'_>) -> Markup {
    html! {
        @if !view.settled.is_empty() {
            section.settled aria-label="Settled before" {
                h3 { "Settled before" }
                ul {
                    @for item in &view.settled {
                        @if let Some(settled) = &item.settled {
                            li {
                                (text(&item.title)) ", " (item.where_it_stands()) ": " (text(&settled.reason))
                                " (" (text(&settled.who)) ", " (text(&settled.date)) ")"
                            }
                        }
                    }
                }
            }
        }
    }
}

/// A stretch of the document with what is said of it.
struct Strip<'v> {
    range: Range<usize>,
    cards: Vec<&'v Numbered<'v>>,
}

/// The document in stretches: each paragraph that carries a finding by itself, the paragraphs between together.
fn strips(view: &View<'_>, numbered: &[Numbered<'_>]) -> Markup {
    let text = view.source.text();
    let mut strips: Vec<Strip<'_>> = Vec::new();
    // Cards in the order of their words, taken from the front as the paragraphs go by.
    let mut waiting: Vec<&Numbered<'_>> = numbered
        .iter()
        .filter(|numbered| !numbered.item.quotes.is_empty())
        .collect();
    let start = |numbered: &Numbered<'_>| {
        numbered
            .item
            .quotes
            .first()
            .map_or(0, |quote| quote.range.start)
    };
    waiting.sort_by_key(|numbered| start(numbered));
    let mut waiting = waiting.into_iter().peekable();
    for range in paragraphs(text) {
        let mut cards = Vec::new();
        while let Some(numbered) =
            waiting.next_if(|numbered| start(numbered) < range.end || range.end == text.len())
        {
            cards.push(numbered);
        }
        match strips.last_mut() {
            Some(last) if last.cards.is_empty() && cards.is_empty() => last.range.end = range.end,
            _ => strips.push(Strip { range, cards }),
        }
    }
    let marks = Marks::new(numbered);
    html! {
        div.strips {
            @for strip in &strips {
                div class=(if strip.cards.is_empty() { "strip" } else { "strip marked" }) {
                    div.words { (words(text, strip, &marks)) }
                    @if !strip.cards.is_empty() {
                        div.beside { @for numbered in &strip.cards { (card(numbered)) } }
                    }
                }
            }
        }
    }
}

/// Ranges that end after the blank lines that part paragraphs; together they are the whole text.
fn paragraphs(text: &str) -> Vec<Range<usize>> {
    let mut ranges = Vec::new();
    let mut start = 0;
    let mut at = 0;
    let mut blank_before = false;
    for line in text.split_inclusive('\n') {
        let blank = line.trim().is_empty();
        if blank_before && !blank && at > start {
            ranges.push(start..at);
            start = at;
        }
        blank_before = blank;
        at += line.len();
    }
    if at > start {
        ranges.push(start..at);
    }
    ranges
}

fn line_count(text: &str) -> usize {
    let bytes = text.as_bytes();
    let mut count = 0;
    for (at, &byte) in bytes.iter().enumerate() {
        if byte == b'\n' || (byte == b'\r' && bytes.get(at + 1) != Some(&b'\n')) {
            count += 1;
        }
    }
    count
}

/// Where marks begin and end, over the whole document.
struct Marks<'v> {
    /// Place, whether it begins, and which.
    borders: Vec<(usize, bool, usize)>,
    items: Vec<(&'v Numbered<'v>, &'v Quote, bool)>,
}

impl<'v> Marks<'v> {
    fn new(numbered: &'v [Numbered<'v>]) -> Self {
        let mut items = Vec::new();
        for numbered in numbered {
            for (index, quote) in numbered.item.quotes.iter().enumerate() {
                items.push((numbered, quote, index == 0));
            }
        }
        let mut borders: Vec<(usize, bool, usize)> = items
            .iter()
            .enumerate()
            .flat_map(|(index, (_, quote, _))| {
                let stretches = quote.stretches();
                stretches.flat_map(move |(_, range)| {
                    [(range.start, true, index), (range.end, false, index)]
                })
            })
            .collect();
        borders.sort_unstable_by_key(|&(at, begins, index)| (at, begins, index));
        Self { borders, items }
    }
}

/// The text of a strip with its marks. Marks of one place are told by one `mark` that names the numbers it carries.
fn words(text: &str, strip: &Strip<'_>, marks: &Marks<'_>) -> Markup {
    let Range { start, end } = strip.range;
    let mut open: BTreeSet<usize> = BTreeSet::new();
    for (index, (_, quote, _)) in marks.items.iter().enumerate() {
        let runs_in = |range: &Range<usize>| range.start < start && range.end > start;
        if quote.stretches().any(|(_, range)| runs_in(range)) {
            open.insert(index);
        }
    }
    let from = marks.borders.partition_point(|&(at, ..)| at < start);
    let mut here = start;
    let mut pieces: Vec<Markup> = Vec::new();
    let mut cut = Cut::new(text, strip);
    let inside = |at: usize| at < end || (at == end && end == text.len());
    let mut borders = marks
        .borders
        .get(from..)
        .unwrap_or(&[])
        .iter()
        .take_while(|&&(at, ..)| inside(at))
        .peekable();
    loop {
        let next = borders.peek().map_or(end, |&&(at, ..)| at);
        if next > here {
            pieces.push(piece(text, here..next, &open, marks, &mut cut));
            here = next;
        }
        let Some(&(_, begins, index)) = borders.next() else {
            break;
        };
        let Some((numbered, quote, primary)) = marks.items.get(index) else {
            continue;
        };
        if begins {
            if *primary && quote.range.start == here {
                pieces.push(html! {
                    a.ref #{ (numbered.id) "-q" } href={ "#" (numbered.id) } {
                        span.unseen { (weight(numbered.item)) " " } (numbered.label)
                    }
                });
            }
            if !quote.text.is_empty() {
                open.insert(index);
            }
        } else {
            open.remove(&index);
        }
    }
    html! { @for piece in &pieces { (piece) } }
}

fn piece(
    text: &str,
    range: Range<usize>,
    open: &BTreeSet<usize>,
    marks: &Marks<'_>,
    cut: &mut Cut,
) -> Markup {
    let heaviest = open
        .iter()
        .filter_map(|&index| marks.items.get(index))
        .max_by_key(|(numbered, ..)| numbered.item.level)
        .map(|(numbered, ..)| weight(numbered.item));
    let shown = if open.is_empty() {
        cut.take(text, range)
    } else {
        escape::block(text.get(range).unwrap_or("")).into_owned()
    };
    match heaviest {
        Some(class) => html! { mark class=(class) { (shown) } },
        None => html! { (shown) },
    }
}

/// What is left out of very long stretches and lines.
struct Cut {
    whole: bool,
}

impl Cut {
    fn new(text: &str, strip: &Strip<'_>) -> Self {
        let words = text.get(strip.range.clone()).unwrap_or("");
        Self {
            whole: line_count(words) <= MOST_LINES
                && words.lines().all(|line| line.len() <= MOST_CHARACTERS),
        }
    }

    fn take(&mut self, text: &str, range: Range<usize>) -> String {
        let words = text.get(range).unwrap_or("");
        if self.whole {
            return escape::block(words).into_owned();
        }
        let count = words.lines().count();
        let mut out = String::new();
        for (number, line) in words.split_inclusive('\n').enumerate() {
            if count > MOST_LINES && number >= KEPT_LINES && number + KEPT_LINES < count {
                if number == KEPT_LINES {
                    out.push_str(&format!(
                        "[{} lines without findings are left out here]\n",
                        count - 2 * KEPT_LINES
                    ));
                }
                continue;
            }
            match line.char_indices().nth(MOST_CHARACTERS) {
                None => out.push_str(&escape::block(line)),
                Some((half, _)) => {
                    out.push_str(&escape::block(line.get(..half).unwrap_or("")));
                    out.push_str(" [the rest of this line is left out here]\n");
                }
            }
        }
        out
    }
}

const STYLE: &str = include_str!("page.css");
