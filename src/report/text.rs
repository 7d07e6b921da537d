//! `text`: diagnostics for a terminal, then a summary of each document.

use crate::finding::Level;
use crate::report::excerpt::Excerpt;
use crate::report::view::{Item, View, counted, one_line, shortened};
use crate::report::{Ending, Look, Renderer, Scene, escape};
use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, Severity, SourceCode,
    ThemeCharacters, ThemeStyles,
};
use owo_colors::{OwoColorize, Style};
use std::fmt;

/// Findings left without a line of their own before `--full`.
const MOST_BRIEF: usize = 12;
/// What stands before the words that say what to do.
const TO_DO: &str = "  to do: ";
/// Repetitions of one finding that are named.
const MOST_REPEATED: usize = 4;

/// The format.
pub struct Text;

impl Renderer for Text {
    fn joint(&self) -> &'static str {
        "\n"
    }

    fn document(&self, view: &View<'_>, scene: &Scene<'_>, _: usize) -> String {
        let look = &scene.look;
        let text = if look.plain {
            plain(view, look)
        } else {
            drawn(view, look)
        };
        signs(text, look)
    }

    fn tail(&self, scene: &Scene<'_>, ending: &Ending) -> String {
        let look = &scene.look;
        let mut out = String::new();
        if ending.counts.documents > 1 {
            out.push_str(&format!(
                "\nIn all: {}; confirmed {}; found {}.\n",
                counted(ending.counts.documents, "document"),
                ending.counts.confirmed,
                ending.counts.found()
            ));
        }
        for notice in &ending.notices {
            out.push_str(&format!("\nnotice: {}\n", escape::line(notice)));
        }
        signs(out, look)
    }
}

fn signs(text: String, look: &Look) -> String {
    if look.unicode {
        text
    } else {
        escape::ascii(&text).into_owned()
    }
}

/// A finding with the lines it rests on, for the diagnostic handler.
struct Shown<'a> {
    item: &'a Item,
    message: String,
    excerpt: Excerpt,
}

impl fmt::Debug for Shown<'_> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.item.rule)
    }
}

impl fmt::Display for Shown<'_> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.message)
    }
}

impl std::error::Error for Shown<'_> {}

impl Diagnostic for Shown<'_> {
    fn code<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        Some(Box::new(format!(
            "{}: {}",
            self.item.rule,
            self.item.verdict_words()
        )))
    }

    fn severity(&self) -> Option<Severity> {
        Some(match self.item.level {
            Some(Level::Error) => Severity::Error,
            Some(Level::Warning) => Severity::Warning,
            Some(Level::Note) | None => Severity::Advice,
        })
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        (!self.excerpt.labels.is_empty()).then_some(&self.excerpt as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        Some(Box::new(self.excerpt.labels.iter().cloned()))
    }
}

fn handler(look: &Look) -> GraphicalReportHandler {
    let mut characters = if look.unicode {
        ThemeCharacters::unicode()
    } else {
        ThemeCharacters::ascii()
    };
    // The quoted words are underlined twice, as a sum that was checked.
    (
        characters.ltop,
        characters.lbot,
        characters.underline,
        characters.underbar,
        characters.vbar_break,
    ) = if look.unicode {
        ('┌', '└', '═', '╤', '┆')
    } else {
        ('+', '+', '=', '|', ':')
    };
    // Words, so that the weight is told without colour and without signs.
    characters.error = "error:".to_owned();
    characters.warning = "warning:".to_owned();
    characters.advice = "note:".to_owned();
    let styles = if look.colour {
        ThemeStyles {
            error: Style::new().bright_red().bold(),
            warning: Style::new().bright_magenta().bold(),
            advice: Style::new().bright_blue().bold(),
            help: Style::new().green(),
            link: Style::new().bold(),
            linum: Style::new().dimmed(),
            highlights: vec![
                Style::new().cyan().bold(),
                Style::new().yellow(),
                Style::new().blue(),
            ],
        }
    } else {
        ThemeStyles::none()
    };
    GraphicalReportHandler::new_themed(GraphicalTheme { characters, styles })
        .with_width(look.width)
        .with_links(false)
        .with_context_lines(0)
        .without_cause_chain()
}

fn drawn(view: &View<'_>, look: &Look) -> String {
    let handler = handler(look);
    let mut out = String::new();
    let bar = if look.unicode { "═" } else { "=" };
    let path = escape::line(view.path()).into_owned();
    let rest = look.width.saturating_sub(path.chars().count() + 5);
    out.push_str(&format!(
        "{} {path} {}\n",
        bar.repeat(3),
        bar.repeat(rest.max(3))
    ));
    let mut room = look.screen;
    let mut brief = Vec::new();
    for group in &view.groups {
        let items: Vec<&Item> = group
            .iter()
            .filter_map(|&index| view.findings.get(index))
            .collect();
        let mut text = String::new();
        if look.screen.is_none() {
            for item in items.iter().copied() {
                full(&mut text, view, item, look, &handler);
            }
        } else if let Some((first, rest)) = items.split_first() {
            full(&mut text, view, first, look, &handler);
            repeated(&mut text, rest, look);
        }
        let height = text.lines().count();
        match &mut room {
            Some(room) if *room < height && room != &look.screen.unwrap_or(0) => {
                brief.extend(items);
                *room = 0;
            }
            Some(room) => {
                *room = room.saturating_sub(height);
                out.push_str(&text);
            }
            None => out.push_str(&text),
        }
    }
    briefly(&mut out, &brief, look);
    out.push_str(&summary(view, look));
    out
}

/// The diagnostic, the working, the sources.
fn full(
    out: &mut String,
    view: &View<'_>,
    item: &Item,
    look: &Look,
    handler: &GraphicalReportHandler,
) {
    let gutter = 8 + view.counts.documents;
    let shown = Shown {
        item,
        message: escape::line(&item.message).into_owned(),
        excerpt: Excerpt::new(
            view.source,
            &item.quotes,
            look.width.saturating_sub(gutter + 2),
            look.unicode,
        ),
    };
    out.push('\n');
    if handler.render_report(out, &shown).is_err() {
        out.push_str(&format!("{}\n", shown.message));
    }
    if shown.excerpt.left_out > 0 {
        out.push_str(&format!(
            "  and {} more\n",
            counted(shown.excerpt.left_out, "place")
        ));
    }
    if !item.help.is_empty() {
        let start = out.len();
        let help = escape::line(&item.help);
        wrap(out, &help, TO_DO, "         ", look.width);
        if look.colour {
            let lead = TO_DO.style(Style::new().green()).to_string();
            out.replace_range(start..start + TO_DO.len(), &lead);
        }
    }
    if !item.working.is_empty() {
        out.push_str("  working:\n");
        for work in &item.working {
            let mut line = work.equation();
            if work.from != "computed" {
                line.push_str(&format!("   [{}]", work.from));
            }
            wrap(out, &escape::line(&line), "    ", "        ", look.width);
        }
    }
    let shown = look.screen.map_or(item.sources.len(), |_| 1);
    for (number, source) in item.sources.iter().take(shown).enumerate() {
        let mut line = escape::line(&source.text).into_owned();
        if number + 1 == shown && item.sources.len() > shown {
            line.push_str(&format!(
                " (and {}: claimgauge cite {})",
                counted(item.sources.len() - shown, "more source"),
                item.rule
            ));
        }
        let lead = if number == 0 {
            "  source: "
        } else {
            "          "
        };
        wrap(out, &line, lead, "          ", look.width);
    }
}

fn repeated(out: &mut String, rest: &[&Item], look: &Look) {
    for item in rest.iter().take(MOST_REPEATED) {
        let line = format!(
            "also {}: “{}”",
            item.where_it_stands(),
            shortened(&item.quotation(), 60)
        );
        wrap(out, &escape::line(&line), "  ", "    ", look.width);
    }
    if rest.len() > MOST_REPEATED {
        out.push_str(&format!(
            "  and in {}\n",
            counted(rest.len() - MOST_REPEATED, "more place")
        ));
    }
}

fn briefly(out: &mut String, brief: &[&Item], look: &Look) {
    if brief.is_empty() {
        return;
    }
    out.push_str("\nFurther findings (--full shows them with their working):\n");
    for item in brief.iter().take(MOST_BRIEF) {
        let line = format!(
            "{} {}, {}: {}",
            item.level.map_or("", Level::word),
            item.rule,
            item.where_it_stands(),
            shortened(&one_line(&item.message), look.width.saturating_sub(8))
        );
        wrap(out, &escape::line(&line), "  ", "    ", look.width);
    }
    if brief.len() > MOST_BRIEF {
        out.push_str(&format!("  and {} more\n", brief.len() - MOST_BRIEF));
    }
}

fn summary(view: &View<'_>, look: &Look) -> String {
    let mut out = String::new();
    out.push_str(&format!("\n  read       {}: {}\n", view.kind, view.read()));
    out.push_str(&format!("  confirmed  {}\n", view.counts.confirmed));
    let most = look.screen.map_or(usize::MAX, |_| 6);
    for item in view.confirmed.iter().take(most) {
        let line = format!(
            "{}: {}",
            item.where_it_stands(),
            shortened(&one_line(&item.message), 2 * look.width)
        );
        under(&mut out, &line, look);
    }
    if view.confirmed.len() > most {
        out.push_str(&format!(
            "             and {} more\n",
            view.confirmed.len() - most
        ));
    }
    out.push_str(&format!("  found      {}\n", view.counts.found()));
    if !view.settled.is_empty() {
        out.push_str(&format!("  settled    {}\n", view.counts.settled));
        for item in &view.settled {
            let reason = item.settled.as_ref().map_or_else(String::new, |settled| {
                format!("{} ({}, {})", settled.reason, settled.who, settled.date)
            });
            let line = format!("{}, {}: {reason}", item.rule, item.where_it_stands());
            under(&mut out, &line, look);
        }
    }
    for remark in &view.remarks {
        wrap(
            &mut out,
            &escape::line(remark),
            "  limit      ",
            "             ",
            look.width,
        );
    }
    out
}

/// A line of the summary under its word.
fn under(out: &mut String, line: &str, look: &Look) {
    const WORD: &str = "             ";
    const REST: &str = "               ";
    wrap(out, &escape::line(line), WORD, REST, look.width);
}

/// Lines of words alone: each says what it is before it says it, nothing is drawn, nothing depends on columns.
fn plain(view: &View<'_>, look: &Look) -> String {
    let mut out = String::new();
    let mut say = |line: String| {
        out.push_str(&escape::line(&line));
        out.push('\n');
    };
    say(format!("Document: {}", view.path()));
    say(format!("Read as {}: {}", view.kind, view.read()));
    say(format!("Confirmed: {}", view.counts.confirmed));
    say(format!("Found: {}", view.counts.found()));
    let most = look.screen.map_or(usize::MAX, |_| 10);
    let mut told = 0;
    for group in &view.groups {
        for &index in group {
            let Some(item) = view.findings.get(index) else {
                continue;
            };
            told += 1;
            if told > most {
                continue;
            }
            say(format!(
                "Finding {told}, {}: rule {}, {}, {}",
                item.level.map_or("", Level::word),
                item.rule,
                item.verdict_words(),
                item.where_it_stands()
            ));
            say(format!("Message: {}", item.message));
            for quote in &item.quotes {
                say(format!(
                    "Quoted from {}, column {}: “{}”{}",
                    quote.lines(),
                    quote.place.column,
                    one_line(&quote.text),
                    if quote.label.is_empty() {
                        String::new()
                    } else {
                        format!(", {}", quote.label)
                    }
                ));
            }
            if !item.help.is_empty() {
                say(format!("To do: {}", item.help));
            }
            for work in &item.working {
                say(format!("Working: {}, {}", work.equation(), work.from));
            }
            for source in &item.sources {
                say(format!("Source: {}", source.text));
            }
        }
    }
    if told > most {
        say(format!("And {} more; --full shows them.", told - most));
    }
    for item in &view.confirmed {
        say(format!(
            "Confirmed, {}: {}",
            item.where_it_stands(),
            item.message
        ));
    }
    for item in &view.settled {
        if let Some(settled) = &item.settled {
            say(format!(
                "Settled, {}: rule {}, {}, by {} on {}",
                item.where_it_stands(),
                item.rule,
                settled.reason,
                settled.who,
                settled.date
            ));
        }
    }
    for remark in &view.remarks {
        say(format!("Limit: {remark}"));
    }
    out
}

/// Appends `text` broken at blanks so that lines stay within `width` where words allow it.
pub fn wrap(out: &mut String, text: &str, first: &str, rest: &str, width: usize) {
    let mut column = first.chars().count();
    out.push_str(first);
    let mut begun = false;
    for word in text.split(' ') {
        let length = word.chars().count();
        if begun && column + 1 + length > width {
            out.push('\n');
            out.push_str(rest);
            column = rest.chars().count();
        } else if begun {
            out.push(' ');
            column += 1;
        }
        out.push_str(word);
        column += length;
        begun = true;
    }
    out.push('\n');
}
