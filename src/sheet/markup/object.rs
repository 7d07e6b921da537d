//! Objects of exports that hold a number and its unit apart. Knows one object.

use super::{Edit, LONGEST_PAIR, is_number, is_unit};
use std::borrow::Cow;
use std::ops::Range;

/// An object that holds a number and its unit, from its brace at `at`: `{"value": 14, "unit": "AWG"}` stands for `"14 AWG"`.
pub(super) fn measured(text: &str, at: usize) -> Option<(Edit, [Edit; 2])> {
    let limit = text.floor_char_boundary(at + LONGEST_PAIR);
    let mut here = at + 1;
    let mut parts: Vec<Range<usize>> = Vec::with_capacity(2);
    let skip = |at: usize| -> Option<usize> {
        let rest = text.get(at..limit)?;
        Some(at + rest.len() - rest.trim_start().len())
    };
    let sign = |at: usize, sign: &str| -> Option<usize> {
        text.get(at..limit)?
            .starts_with(sign)
            .then_some(at + sign.len())
    };
    let quoted = |at: usize| -> Option<Range<usize>> {
        let open = sign(at, "\"")?;
        Some(open..open + text.get(open..limit)?.find('"')?)
    };
    loop {
        let name = quoted(skip(here)?)?;
        let value = skip(sign(skip(name.end + 1)?, ":")?)?;
        let (range, end) = match quoted(value) {
            Some(range) => (range.clone(), range.end + 1),
            None => {
                let len = text
                    .get(value..limit)?
                    .find([',', '}', '\n', '{', '[', ' '])?;
                (value..value + len, value + len)
            }
        };
        parts.push(range);
        here = skip(end)?;
        match sign(here, ",") {
            Some(next) if parts.len() < 2 => here = next,
            Some(_) => return None,
            None => break,
        }
    }
    let end = sign(here, "}")?;
    let [first, second] = parts.as_slice() else {
        return None;
    };
    let of = |range: &Range<usize>| text.get(range.clone()).unwrap_or("").trim();
    let lead = |number: &Range<usize>| (at..number.start, Cow::Borrowed("\""));
    if is_number(of(first)) && is_unit(of(second)) {
        // The unit stands behind its number already.
        let between = (first.end..second.start, Cow::Borrowed(" "));
        let close = (second.end..end, Cow::Borrowed("\""));
        return Some((lead(first), [between, close]));
    }
    if !(is_number(of(second)) && is_unit(of(first))) {
        return None;
    }
    let unit = (
        second.end..second.end,
        Cow::Owned(format!(" {}", of(first))),
    );
    let close = (second.end..end, Cow::Borrowed("\""));
    Some((lead(second), [unit, close]))
}
