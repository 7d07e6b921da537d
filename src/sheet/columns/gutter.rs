//! Running text beside its heads, with one drawn line all the way down between them: `THE METAL   |   We take pains with it. Copper` over
//! `            |   that is drawn slowly stays soft.` Each head is the key of the text beside it.

use crate::sheet::lines::{BAR, Line};
use crate::sheet::marks;

/// Fewest lines.
const LEAST: usize = 3;
/// Words on a line of the text, on the average.
const WORDS: usize = 4;

/// What stands on either side of the drawn line.
struct Sides {
    left: Option<Line>,
    right: Option<Line>,
}

/// Puts each head over the text beside it.
pub(in crate::sheet) fn unfold(text: &str, lines: Vec<Line>) -> Vec<Line> {
    if lines.iter().filter(|line| line.has(BAR)).count() < LEAST {
        return lines;
    }
    let mut out = Vec::with_capacity(lines.len());
    let mut at = 0;
    while let Some(line) = lines.get(at) {
        let column = drawn_at(text, line);
        let below = lines.get(at..).unwrap_or(&[]);
        let same = |line: &&Line| column.is_some() && drawn_at(text, line) == column;
        let first = below.iter().take(1);
        let rest = below.iter().skip(1);
        let region: Vec<Line> = first
            .chain(rest.take_while(|line| same(line) && line.blank == 0 && !line.page))
            .copied()
            .collect();
        at += region.len();
        let sides: Option<Vec<Sides>> = column
            .is_some()
            .then(|| region.iter().filter_map(|line| cut(text, line)).collect());
        match sides.filter(|sides| is_prose(text, sides)) {
            Some(sides) => put(text, sides, &mut out),
            None => out.extend(region),
        }
    }
    out
}

fn is_bar(sign: char) -> bool {
    matches!(sign, '|' | '\u{2502}' | '\u{2503}' | '\u{2551}')
}

/// The column of the one bar of a line.
fn drawn_at(text: &str, line: &Line) -> Option<usize> {
    if !line.has(BAR) {
        return None;
    }
    let words = line.of(text);
    let mut bars = words.chars().enumerate().filter(|(_, sign)| is_bar(*sign));
    let (first, _) = bars.next()?;
    let one = bars.next().is_none();
    (one && (words.len() <= 3 || !marks::is_rule(words))).then(|| usize::from(line.indent) + first)
}

fn cut(text: &str, line: &Line) -> Option<Sides> {
    let words = line.of(text);
    let bar = words.find(is_bar)?;
    let behind = bar + words.get(bar..)?.chars().next()?.len_utf8();
    let ahead = words.get(..bar)?.trim_end();
    let told = words.get(behind..)?;
    let from = behind + (told.len() - told.trim_start().len());
    let indent = usize::from(line.indent) + words.get(..from)?.chars().count();
    let start = line.start();
    Some(Sides {
        left: (!ahead.is_empty())
            .then(|| line.part(text, start..start + ahead.len(), usize::from(line.indent))),
        right: (from < words.len()).then(|| line.part(text, start + from..line.end(), indent)),
    })
}

/// Whether running text stands behind the drawn line, and goes on below its heads.
fn is_prose(text: &str, sides: &[Sides]) -> bool {
    let told = || sides.iter().filter(|row| row.right.is_some());
    let count = told().count();
    let alone = told().filter(|row| row.left.is_none()).count();
    let lines = sides.iter().filter_map(|row| row.right);
    let words = lines.map(|line| line.of(text).split_whitespace().count());
    count >= LEAST && alone * 3 >= count && words.sum::<usize>() >= WORDS * count
}

/// Appends the heads with their texts: the next one begins below a line without words, or where a text has come to its end.
fn put(text: &str, sides: Vec<Sides>, out: &mut Vec<Line>) {
    let shift = (sides.iter().filter_map(|row| row.right))
        .map(|line| line.indent)
        .min()
        .unwrap_or(0);
    let mut heads: Vec<Line> = Vec::new();
    let mut told: Vec<Line> = Vec::new();
    let mut flush = |heads: &mut Vec<Line>, told: &mut Vec<Line>| {
        for part in [heads, told] {
            if let Some(first) = part.first_mut() {
                first.blank = first.blank.max(1);
            }
            out.append(part);
        }
    };
    let mut apart = false;
    for row in sides {
        let empty = row.left.is_none() && row.right.is_none();
        if let Some(head) = row.left {
            let capital = head.of(text).starts_with(char::is_uppercase);
            let ended = told
                .last()
                .is_some_and(|line| line.of(text).ends_with(['.', '!', '?']));
            if apart || capital && ended {
                flush(&mut heads, &mut told);
            }
            apart = false;
            heads.push(head);
        }
        apart |= empty;
        if let Some(mut line) = row.right {
            line.indent -= shift;
            told.push(line);
        }
    }
    flush(&mut heads, &mut told);
}
