//! Elements of XML and tables of HTML, taken apart before the layout is looked at: an element that holds one value becomes a field,
//! an attribute too, and a table one with bars. Knows tags, and of words only whether one is a unit.

mod object;
mod rows;

use super::clean::Swap;
use super::quantity;
use rustc_hash::FxHashMap;
use std::borrow::Cow;
use std::collections::VecDeque;
use std::ops::Range;

/// What stands in place of a stretch of the decoded text.
pub(super) type Edit = (Range<usize>, Cow<'static, str>);

/// Tags that are taken apart, and those that wait.
#[derive(Default)]
pub(super) struct Markup {
    /// Stretches further on that are replaced, in order.
    edits: VecDeque<Edit>,
    /// Where the next table ends, and where the next begins, as they were found last.
    table_end: usize,
    table_start: usize,
    /// By name, where an element ends last.
    closings: Option<FxHashMap<Box<str>, usize>>,
}

/// Longest tag, in bytes.
const LONGEST_TAG: usize = 4000;
/// Longest value of an element that is a field.
const LONGEST_VALUE: usize = 400;
/// Longest element that holds a number and its unit apart.
const LONGEST_PAIR: usize = 300;

/// Elements of pages that stand on lines of their own and say nothing by their attributes.
const PARTS: &[&str] = &[
    "html",
    "head",
    "body",
    "section",
    "article",
    "header",
    "footer",
    "nav",
    "main",
    "aside",
    "figure",
    "figcaption",
    "blockquote",
    "pre",
    "form",
    "button",
    "details",
    "summary",
    "center",
    "option",
    "select",
    "label",
    "svg",
    "iframe",
    "caption",
    "tfoot",
    "colgroup",
];
/// Elements of pages that hold nothing.
const VOID: &[&str] = &["meta", "link", "input", "col", "source", "wbr", "base"];
/// Elements that hold no words of the page.
const DUMB: &[&str] = &["style", "script", "noscript", "template"];

/// An opening tag.
struct Tag<'t> {
    name: &'t str,
    /// Places of names and values.
    attributes: Vec<(Range<usize>, Range<usize>)>,
    /// It holds nothing.
    empty: bool,
    /// Where it ends.
    end: usize,
}

impl Tag<'_> {
    /// The value of the first attribute that has one of the names.
    fn value(&self, text: &str, names: &[&str]) -> Option<Range<usize>> {
        names.iter().find_map(|name| {
            let own = |(own, _): &&(Range<usize>, Range<usize>)| {
                text.get(own.clone())
                    .is_some_and(|own| own.eq_ignore_ascii_case(name))
            };
            self.attributes
                .iter()
                .find(own)
                .map(|(_, value)| value.clone())
                .filter(|value| !value.is_empty())
        })
    }

    /// The unit that an attribute names.
    fn unit<'t>(&self, text: &'t str) -> Option<&'t str> {
        let of = |range: Range<usize>| text.get(range).map(str::trim);
        self.value(text, &["unit", "units", "uom", "unitcode"])
            .and_then(of)
            .or_else(|| {
                self.attributes
                    .iter()
                    .filter_map(|(_, value)| of(value.clone()))
                    .find(|value| quantity::is_unit(value))
            })
    }
}

impl Markup {
    /// Where the next stretch begins that is replaced.
    pub(super) fn due(&mut self, at: usize) -> Option<usize> {
        while self.edits.front().is_some_and(|edit| edit.0.start < at) {
            self.edits.pop_front();
        }
        self.edits.front().map(|edit| edit.0.start)
    }

    /// Takes the stretch that is due.
    pub(super) fn take(&mut self) -> Option<Edit> {
        self.edits.pop_front()
    }

    /// What stands in place of what begins with the `<` at `at`; the rest of it waits.
    pub(super) fn element(&mut self, text: &str, at: usize) -> Option<Edit> {
        if let Some(end) = unspoken(text, at) {
            return Some((at..end, Cow::Borrowed("")));
        }
        let rest = text.get(at + 1..)?;
        if let Some(closing) = rest.strip_prefix('/') {
            let name = name_of(closing)?;
            let end = at + 2 + name.len() + 1;
            let known = PARTS.contains(&name.to_ascii_lowercase().as_str())
                || self.ends(text, name, 0).is_some();
            return (text.get(end - 1..end) == Some(">") && known && !is_hypertext(name))
                .then_some((at..end, Cow::Borrowed("\n")));
        }
        let name = name_of(rest)?;
        let lower = name.to_ascii_lowercase();
        if lower == "table" {
            return self.table(text, at);
        }
        if is_hypertext(&lower) {
            return None;
        }
        let tag = tag(text, at)?;
        if VOID.contains(&lower.as_str()) {
            return Some((at..tag.end, Cow::Borrowed("")));
        }
        if PARTS.contains(&lower.as_str()) {
            return Some((at..tag.end, Cow::Borrowed("\n")));
        }
        if DUMB.contains(&lower.as_str()) {
            self.ends(text, name, tag.end)?;
            let end = find(text, tag.end, text.len(), &format!("</{name}>"))?;
            return Some((at..end + name.len() + 3, Cow::Borrowed("\n")));
        }
        if tag.empty {
            return (!tag.attributes.is_empty()).then(|| self.attributes(text, at, &tag));
        }
        self.ends(text, name, tag.end)?;
        if let Some(closing) = leaf(text, &tag) {
            return self.field(text, at, &tag, closing);
        }
        if let Some(edit) = self.pair(text, at, &tag) {
            return Some(edit);
        }
        if tag.attributes.is_empty() {
            return Some((at..tag.end, Cow::Borrowed("\n")));
        }
        Some(self.attributes(text, at, &tag))
    }

    /// What stands in place of the brace at `at`, where the object holds a number and its unit.
    pub(super) fn object(&mut self, text: &str, at: usize) -> Option<Swap> {
        let ((range, instead), behind) = object::measured(text, at)?;
        for edit in behind.into_iter().rev() {
            self.edits.push_front(edit);
        }
        Some((range.len(), instead))
    }

    /// Where an element of that name ends last, if behind `from`.
    fn ends(&mut self, text: &str, name: &str, from: usize) -> Option<usize> {
        let closings = self.closings.get_or_insert_with(|| {
            let mut found = FxHashMap::default();
            for at in memchr::memmem::find_iter(text.as_bytes(), b"</") {
                if let Some(name) = text.get(at + 2..).and_then(name_of) {
                    found.insert(Box::from(name), at);
                }
            }
            found
        });
        closings.get(name).copied().filter(|end| *end >= from)
    }

    /// An element that holds words alone: `<size unit="AWG">14</size>` is a field where it has a line or a place of its own.
    fn field(&mut self, text: &str, at: usize, tag: &Tag<'_>, close: Range<usize>) -> Option<Edit> {
        let value = text.get(tag.end..close.start)?;
        let apart = text
            .get(..at)?
            .trim_end_matches([' ', '\t'])
            .ends_with(['\n', '\r', '>'])
            || text.get(..at)?.trim().is_empty();
        let behind = text.get(close.end..)?.trim_start_matches([' ', '\t']);
        if !apart || !(behind.is_empty() || behind.starts_with(['\n', '\r', '<'])) {
            self.edits.push_front((close, Cow::Borrowed("")));
            return Some((at..tag.end, Cow::Borrowed("")));
        }
        if value.trim().is_empty() {
            return Some((at..close.end, Cow::Borrowed("")));
        }
        let key = tag
            .value(text, &["name", "key", "label", "property"])
            .and_then(|range| text.get(range))
            .unwrap_or(tag.name);
        let lead = lead(key, tag.unit(text));
        self.edits.push_front((close, Cow::Borrowed("\n")));
        let blank = value.len() - value.trim_start().len();
        Some((at..tag.end + blank, Cow::Owned(lead)))
    }

    /// An element with a number and its unit in elements of their own.
    fn pair(&mut self, text: &str, at: usize, outer: &Tag<'_>) -> Option<Edit> {
        let mut parts: Vec<(&str, Range<usize>)> = Vec::new();
        let mut here = outer.end;
        loop {
            let rest = text.get(here..)?;
            here += rest.len() - rest.trim_start().len();
            let rest = text.get(here..)?;
            if rest.starts_with("</") || parts.len() > 2 || here > at + LONGEST_PAIR {
                break;
            }
            let inner = tag(text, here).filter(|inner| !inner.empty)?;
            let closing = leaf(text, &inner)?;
            parts.push((
                text.get(inner.end..closing.start)?.trim(),
                inner.end..closing.start,
            ));
            here = closing.end;
        }
        let end = here + text.get(here..)?.find('>')? + 1;
        let [(first, first_range), (second, second_range)] = parts.as_slice() else {
            return None;
        };
        let (unit, number) = if is_number(first) && is_unit(second) {
            (second, first_range)
        } else if is_number(second) && is_unit(first) {
            (first, second_range)
        } else {
            return None;
        };
        self.edits
            .push_front((number.end..end, Cow::Borrowed("\n")));
        Some((at..number.start, Cow::Owned(lead(outer.name, Some(unit)))))
    }

    /// Each attribute as a field; one called `value` belongs to the name beside it or to that of the element.
    fn attributes(&mut self, text: &str, at: usize, tag: &Tag<'_>) -> Edit {
        let of = |range: &Range<usize>| text.get(range.clone()).unwrap_or("");
        if let Some(value) = tag.value(text, &["value", "val", "amount"]) {
            let key = tag
                .value(text, &["name", "key", "label", "property", "id"])
                .map_or(tag.name, |range| text.get(range).unwrap_or(tag.name));
            self.edits
                .push_front((value.end..tag.end, Cow::Borrowed("\n")));
            return (at..value.start, Cow::Owned(lead(key, tag.unit(text))));
        }
        let mut from = at;
        let mut edits = Vec::new();
        for (name, value) in &tag.attributes {
            let own = of(name);
            if own.starts_with("xml") || own.starts_with("xsi") || value.is_empty() {
                continue;
            }
            edits.push((from..name.start, Cow::Borrowed("\n")));
            edits.push((name.end..value.start, Cow::Borrowed(": ")));
            from = value.end;
        }
        edits.push((from..tag.end, Cow::Borrowed("\n")));
        let first = edits.remove(0);
        for edit in edits.into_iter().rev() {
            self.edits.push_front(edit);
        }
        first
    }

    /// A table of figures as one with bars; one whose cells hold pages stays as it is.
    fn table(&mut self, text: &str, at: usize) -> Option<Edit> {
        let opening = tag(text, at).filter(|opening| opening.name == "table")?;
        // Its end is the nearest one: no table stands inside a table of figures.
        let close = next(&mut self.table_end, text, opening.end, "</table>")?;
        let inside = next(&mut self.table_start, text, opening.end, "<table");
        if inside.is_some_and(|inside| inside < close) {
            return None;
        }
        let edits = rows::rows(text, opening.end, close)?;
        let stop = close + opening.name.len() + 3;
        self.edits.push_front((close..stop, Cow::Borrowed("\n\n")));
        for edit in edits.into_iter().rev() {
            self.edits.push_front(edit);
        }
        Some((at..opening.end, Cow::Borrowed("\n\n")))
    }
}

/// Where something ends that holds no words: a comment, a declaration, an instruction.
fn unspoken(text: &str, at: usize) -> Option<usize> {
    let rest = text.get(at..)?;
    let (end, len) = if rest.starts_with("<!--") {
        (find(text, at + 4, LONGEST_TAG, "-->")?, 3)
    } else if rest.starts_with("<?") {
        (find(text, at + 2, LONGEST_TAG, "?>")?, 2)
    } else if rest.starts_with("<!D") || rest.starts_with("<!d") {
        (find(text, at + 2, LONGEST_TAG, ">")?, 1)
    } else {
        return None;
    };
    Some(end + len)
}

/// The next place of `what`, within reach.
fn find(text: &str, from: usize, reach: usize, what: &str) -> Option<usize> {
    let bytes = text.as_bytes();
    let window = bytes.get(from..bytes.len().min(from.saturating_add(reach)))?;
    memchr::memmem::find(window, what.as_bytes()).map(|at| from + at)
}

/// The next place of `what`; one that lies ahead is looked for once.
fn next(known: &mut usize, text: &str, from: usize, what: &str) -> Option<usize> {
    if *known < from {
        *known = find(text, from, text.len(), what).unwrap_or(usize::MAX);
    }
    (*known < usize::MAX).then_some(*known)
}

/// The name that a tag begins with.
fn name_of(text: &str) -> Option<&str> {
    let len = text
        .bytes()
        .take(60)
        .take_while(|byte| {
            byte.is_ascii_alphanumeric() || matches!(byte, b'_' | b'-' | b':' | b'.')
        })
        .count();
    let name = text.get(..len)?;
    let ends = matches!(
        text.as_bytes().get(len),
        Some(b'>' | b' ' | b'/' | b'\n' | b'\r' | b'\t')
    );
    (ends && name.starts_with(|c: char| c.is_ascii_alphabetic())).then_some(name)
}

/// Whether a name is one of those of running text and lists in pages, which are resolved one by one.
fn is_hypertext(name: &str) -> bool {
    [
        "br", "hr", "p", "div", "tr", "table", "ul", "ol", "dl", "h1", "h2", "h3", "h4", "h5",
        "h6", "li", "td", "th", "dd", "dt", "b", "i", "u", "em", "strong", "span", "a", "sup",
        "sub", "small", "big", "font", "img", "tbody", "thead", "code",
    ]
    .iter()
    .any(|own| own.eq_ignore_ascii_case(name))
}

/// The opening tag at `at`, with its attributes in quotation marks.
fn tag(text: &str, at: usize) -> Option<Tag<'_>> {
    let limit = text.floor_char_boundary(at + LONGEST_TAG);
    let name = name_of(text.get(at + 1..limit)?)?;
    let mut here = at + 1 + name.len();
    let mut attributes = Vec::new();
    loop {
        let rest = text.get(here..limit)?;
        here += rest.len() - rest.trim_start().len();
        let rest = text.get(here..limit)?;
        let empty = rest.starts_with("/>");
        if empty || rest.starts_with('>') {
            return Some(Tag {
                name,
                attributes,
                empty,
                end: here + 1 + usize::from(empty),
            });
        }
        let len = rest.find(['=', '>', '<', '/']).filter(|len| *len > 0)?;
        let own = rest.get(..len)?;
        let sign = rest.as_bytes().get(len)?;
        if *sign != b'=' {
            // A word without a value.
            here += own.trim_end().len();
            if own.contains(char::is_whitespace) && *sign == b'<' {
                return None;
            }
            continue;
        }
        let value = rest.get(len + 1..)?.trim_start();
        let quote = value.chars().next().filter(|c| matches!(c, '"' | '\''))?;
        let open = limit - value.len() + 1;
        let close = open + text.get(open..limit)?.find(quote)?;
        attributes.push((here..here + own.trim_end().len(), open..close));
        here = close + 1;
    }
}

/// Where the closing tag stands of an element that holds words and no other element.
fn leaf(text: &str, tag: &Tag<'_>) -> Option<Range<usize>> {
    let limit = text.floor_char_boundary(tag.end + LONGEST_VALUE);
    let at = tag.end + text.get(tag.end..limit)?.find('<')?;
    let rest = text.get(at..)?;
    let name = rest.strip_prefix("</")?.strip_prefix(tag.name)?;
    name.starts_with('>').then_some(at..at + tag.name.len() + 3)
}

/// The start of a line that gives a key its value: `\nkey (unit): `.
fn lead(key: &str, unit: Option<&str>) -> String {
    let mut lead = String::with_capacity(key.len() + 16);
    lead.push('\n');
    let key = key.rsplit(':').next().unwrap_or(key);
    // "crossSection" is two words.
    let mut before = ' ';
    for letter in key.chars() {
        if letter.is_uppercase() && before.is_lowercase() {
            lead.push(' ');
        }
        lead.push(letter);
        before = letter;
    }
    if let Some(unit) = unit {
        lead.push_str(" (");
        lead.push_str(unit);
        lead.push(')');
    }
    lead.push_str(": ");
    lead
}

/// Whether a value is a number and nothing else.
fn is_number(value: &str) -> bool {
    value.bytes().any(|byte| byte.is_ascii_digit())
        && value
            .bytes()
            .all(|byte| byte.is_ascii_digit() || b".,-+/eE ".contains(&byte))
}

/// Whether a value is a unit; one letter may be one here, where a number stands beside it.
fn is_unit(value: &str) -> bool {
    quantity::is_unit(value) || matches!(value, "A" | "C" | "K" | "F")
}

/// A tag of HTML: those that end a line give a line end, the others nothing.
pub(super) fn tag_of_page(decoded: &str, at: usize) -> Option<Swap> {
    const LONGEST: usize = 200;
    let bytes = decoded.as_bytes();
    let window = bytes.get(at + 1..bytes.len().min(at + LONGEST))?;
    let (closing, rest) = match window.strip_prefix(b"/") {
        Some(rest) => (1, rest),
        None => (0, window),
    };
    let letters = rest
        .iter()
        .take(12)
        .take_while(|byte| byte.is_ascii_alphanumeric())
        .count();
    let name = std::str::from_utf8(rest.get(..letters)?)
        .ok()?
        .to_ascii_lowercase();
    let instead = match name.as_str() {
        "tr" if closing == 1 => "",
        "dt" if closing == 0 => "\n",
        // A term and what it means stand side by side.
        "dt" => {
            if let Some(end) = definition(decoded, at) {
                let colon = decoded.get(..at)?.trim_end().ends_with(':');
                let sign = if colon { " " } else { ": " };
                return Some((end - at, Cow::Borrowed(sign)));
            }
            ""
        }
        "br" | "hr" | "p" | "div" | "tr" | "table" | "ul" | "ol" | "dl" | "h1" | "h2" | "h3"
        | "h4" | "h5" | "h6" => "\n",
        "li" if closing == 0 => "\n- ",
        "td" | "th" | "dd" if closing == 0 => "\t",
        "li" | "td" | "th" | "dd" | "b" | "i" | "u" | "em" | "strong" | "span" | "a" | "sup"
        | "sub" | "small" | "big" | "font" | "img" | "tbody" | "thead" | "code" => "",
        _ => return None,
    };
    let after = window.get(closing + letters..)?;
    if !matches!(after.first(), Some(b'>' | b' ' | b'/')) {
        return None;
    }
    let end = memchr::memchr2(b'>', b'<', after)?;
    if after.get(end) != Some(&b'>') {
        return None;
    }
    Some((1 + closing + letters + end + 1, Cow::Borrowed(instead)))
}

/// Where the definition begins that follows the end of its term at `at`.
fn definition(decoded: &str, at: usize) -> Option<usize> {
    let term = at + decoded.get(at..)?.find('>')? + 1;
    let rest = decoded.get(term..)?;
    let next = term + rest.len() - rest.trim_start().len();
    let found = tag(decoded, next)?;
    found.name.eq_ignore_ascii_case("dd").then_some(found.end)
}
