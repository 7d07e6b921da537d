//! Letter by letter: entities, ligatures, soft hyphens, invisible marks, terminal controls and inline markup are resolved
//! before the layout is looked at. A document without any of them is taken over as it stands.

use super::entity;
use super::flow::{Flow, Map};
use super::markup::{self, Markup};
use std::borrow::Cow;
use std::ops::Range;

/// Decoded text without its inline markup.
pub(super) struct Clean<'t> {
    text: Cow<'t, str>,
    /// None when the text stands as it was.
    map: Option<Map>,
}

/// Bytes that a replacement may begin with.
static SUSPECT: [bool; 256] = {
    let mut table = [false; 256];
    let mut byte = 0;
    while byte < 0x20 {
        table[byte] = true;
        byte += 1;
    }
    table[b'\t' as usize] = false;
    table[b'\n' as usize] = false;
    table[b'\r' as usize] = false;
    table[0x7F] = true;
    table[b'&' as usize] = true;
    table[b'*' as usize] = true;
    table[b'_' as usize] = true;
    table[b'`' as usize] = true;
    table[b']' as usize] = true;
    table[b'<' as usize] = true;
    table[b'{' as usize] = true;
    // Lead bytes of the letters that are replaced or dropped.
    table[0xC2] = true;
    table[0xC3] = true;
    table[0xD8] = true;
    table[0xE1] = true;
    table[0xE2] = true;
    table[0xE3] = true;
    table[0xEF] = true;
    table[0xF3] = true;
    table
};

/// What stands in place of `.0` bytes.
pub(super) type Swap = (usize, Cow<'static, str>);

impl<'t> Clean<'t> {
    pub(super) fn new(decoded: &'t str) -> Self {
        let bytes = decoded.as_bytes();
        let mut out = String::new();
        let mut map = Map::default();
        let mut changed = false;
        let mut taken = 0;
        let mut at = 0;
        let mut limits = Limits::default();
        while let Some(rest) = bytes.get(at..).filter(|rest| !rest.is_empty()) {
            let due = limits.markup.due(at).map(|due| due - at);
            let reach = rest.get(..due.unwrap_or(rest.len())).unwrap_or(rest);
            let found = reach.iter().position(|byte| SUSPECT[usize::from(*byte)]);
            let swapped = match (found, due) {
                (Some(ahead), _) => {
                    at += ahead;
                    swap(decoded, at, &mut limits)
                }
                (None, Some(ahead)) => {
                    at += ahead;
                    limits
                        .markup
                        .take()
                        .map(|(range, instead)| (range.len(), instead))
                }
                (None, None) => break,
            };
            let Some((len, instead)) = swapped else {
                at += 1;
                while !decoded.is_char_boundary(at) {
                    at += 1;
                }
                continue;
            };
            if !changed {
                changed = true;
                out.reserve(decoded.len());
            }
            let before = decoded.get(taken..at).unwrap_or("");
            map.note(out.len(), before.len(), taken, before.len());
            out.push_str(before);
            map.note(out.len(), instead.len(), at, len);
            out.push_str(&instead);
            at += len;
            taken = at;
        }
        if !changed {
            return Self {
                text: Cow::Borrowed(decoded),
                map: None,
            };
        }
        let rest = decoded.get(taken..).unwrap_or("");
        map.note(out.len(), rest.len(), taken, rest.len());
        out.push_str(rest);
        Self {
            text: Cow::Owned(out),
            map: Some(map),
        }
    }

    pub(super) fn text(&self) -> &str {
        &self.text
    }

    /// Where the byte at `at` stands in the decoded text.
    pub(super) fn decoded(&self, at: usize) -> usize {
        let source = |map: &Map| map.source(at..at + 1).start;
        self.map.as_ref().map_or(at, source)
    }

    /// Appends a stretch as it stands.
    pub(super) fn push(&self, flow: &mut Flow, range: Range<usize>) {
        let Some(map) = &self.map else {
            flow.push(self.text.get(range.clone()).unwrap_or(""), range.start);
            return;
        };
        map.pieces(range, |here, source| {
            let words = self.text.get(here).unwrap_or("");
            flow.push_as(words, source.start, source.len());
        });
    }

    /// Appends `words` for a stretch.
    pub(super) fn push_as(&self, flow: &mut Flow, words: &str, range: Range<usize>) {
        let source = match &self.map {
            None => range,
            Some(map) => map.source(range),
        };
        flow.push_as(words, source.start, source.len());
    }
}

/// How far look-ahead has been in vain, so that it is not tried again.
#[derive(Default)]
struct Limits {
    /// No closing bracket before this offset.
    bracket: usize,
    /// No end of a terminal string before this offset.
    string: usize,
    markup: Markup,
}

fn swap(decoded: &str, at: usize, limits: &mut Limits) -> Option<Swap> {
    let bytes = decoded.as_bytes();
    let first = *bytes.get(at)?;
    match first {
        b'&' => entity::entity(decoded, at),
        b'<' => match limits.markup.element(decoded, at) {
            Some((range, instead)) => Some((range.len(), instead)),
            None => markup::tag_of_page(decoded, at),
        },
        b'{' => limits.markup.object(decoded, at),
        b'*' | b'_' | b'`' => emphasis(decoded, at, first),
        b']' => link(decoded, at, limits),
        0x1B => Some((escape_sequence(bytes, at, limits), Cow::Borrowed(""))),
        0x0B => Some((1, Cow::Borrowed("\n"))),
        // A page begins on a line of its own.
        0x0C if at == 0 || matches!(bytes.get(at - 1), Some(b'\n' | b'\r' | 0x0C)) => None,
        0x0C => Some((1, Cow::Borrowed("\n\u{C}"))),
        _ if first < 0x80 => Some((1, Cow::Borrowed(""))),
        _ => {
            let letter = decoded.get(at..)?.chars().next()?;
            if let Some(swap) = twice_encoded(decoded, at, letter) {
                return Some(swap);
            }
            let instead = replaced(letter)?;
            if letter == SOFT_HYPHEN && ends_line(bytes, at + letter.len_utf8()) {
                return None;
            }
            Some((letter.len_utf8(), Cow::Borrowed(instead)))
        }
    }
}

/// Kept at a line end, where it tells that a word goes on.
pub(super) const SOFT_HYPHEN: char = '\u{AD}';

pub(super) fn ends_line(bytes: &[u8], at: usize) -> bool {
    matches!(bytes.get(at), Some(b'\n' | b'\r'))
}

/// What a letter becomes, if it does not stay.
pub(super) fn replaced(letter: char) -> Option<&'static str> {
    Some(match letter {
        '\u{FB00}' => "ff",
        '\u{FB01}' => "fi",
        '\u{FB02}' => "fl",
        '\u{FB03}' => "ffi",
        '\u{FB04}' => "ffl",
        '\u{FB05}' | '\u{FB06}' => "st",
        '\u{A0}' | '\u{2000}'..='\u{200A}' | '\u{202F}' | '\u{205F}' | '\u{3000}' => " ",
        '\u{85}' | '\u{2028}' | '\u{2029}' => "\n",
        '\u{2010}' | '\u{2011}' => "-",
        SOFT_HYPHEN
        | '\u{80}'..='\u{84}'
        | '\u{86}'..='\u{9F}'
        | '\u{61C}'
        | '\u{180E}'
        | '\u{200B}'..='\u{200F}'
        | '\u{202A}'..='\u{202E}'
        | '\u{2060}'..='\u{206F}'
        | '\u{FE00}'..='\u{FE0F}'
        | '\u{FEFF}'
        | '\u{FFF9}'..='\u{FFFB}'
        | '\u{E0000}'..='\u{E007F}' => "",
        '\u{FF01}'..='\u{FF5E}' => return full_width(letter),
        _ => return None,
    })
}

/// Letters and digits as wide as the signs of East Asian writing.
fn full_width(letter: char) -> Option<&'static str> {
    const NARROW: &str = "!\"#$%&'()*+,-./0123456789:;<=>?@ABCDEFGHIJKLMNOPQRSTUVWXYZ[\\]^_`abcdefghijklmnopqrstuvwxyz{|}~";
    let at = usize::try_from(u32::from(letter).checked_sub(0xFF01)?).ok()?;
    NARROW.get(at..=at)
}

/// UTF-8 that was taken for Windows-1252 and written as UTF-8 once more: `Â²` for ², `Î©` for Ω, `â€“` for –.
fn twice_encoded(decoded: &str, at: usize, letter: char) -> Option<Swap> {
    let length = match letter {
        'Â' | 'Ã' | 'Î' | 'Ï' => 2,
        'â' => 3,
        _ => return None,
    };
    let rest = decoded.get(at..)?;
    let mut bytes = [0_u8; 3];
    let mut letters = rest.chars();
    for byte in bytes.get_mut(..length)? {
        *byte = single_byte(letters.next()?)?;
    }
    let meant = std::str::from_utf8(bytes.get(..length)?).ok()?;
    let meant = meant.chars().next().filter(|meant| !meant.is_control())?;
    let instead = replaced(meant).map_or_else(|| Cow::Owned(meant.to_string()), Cow::Borrowed);
    Some((rest.len() - letters.as_str().len(), instead))
}

/// The byte of a letter in Windows-1252.
fn single_byte(letter: char) -> Option<u8> {
    /// From 0x80; what has none stands for itself.
    const HIGH: &str = "€\u{81}‚ƒ„…†‡ˆ‰Š‹Œ\u{8D}Ž\u{8F}\u{90}‘’“”•–—˜™š›œ\u{9D}žŸ";
    if let Ok(byte) = u8::try_from(u32::from(letter)) {
        return Some(byte);
    }
    let place = HIGH.chars().position(|high| high == letter)?;
    u8::try_from(0x80 + place).ok()
}

/// Length of a terminal control sequence at `at`, which holds ESC.
fn escape_sequence(bytes: &[u8], at: usize, limits: &mut Limits) -> usize {
    const LONGEST: usize = 4096;
    let rest = bytes.get(at + 1..).unwrap_or(&[]);
    match rest.first() {
        // Control sequence: parameters, then one letter (ECMA-48, 5.4).
        Some(b'[') => {
            let parameters = rest
                .iter()
                .skip(1)
                .take(64)
                .take_while(|byte| matches!(byte, 0x20..=0x3F))
                .count();
            match rest.get(1 + parameters) {
                Some(0x40..=0x7E) => 3 + parameters,
                _ => 2,
            }
        }
        // Control string: up to its terminator (ECMA-48, 5.6) or BEL.
        Some(b']' | b'P' | b'X' | b'^' | b'_') => {
            if at < limits.string {
                return 2;
            }
            let window = rest.get(..rest.len().min(LONGEST)).unwrap_or(rest);
            let mut from = 1;
            while let Some(found) = window
                .get(from..)
                .and_then(|rest| memchr::memchr3(0x07, 0x1B, b'\n', rest))
            {
                let end = from + found;
                match window.get(end) {
                    Some(0x07) => return 2 + end,
                    Some(0x1B) if window.get(end + 1) == Some(&b'\\') => return 3 + end,
                    Some(0x1B) => from = end + 1,
                    _ => break,
                }
            }
            limits.string = at + window.len();
            2
        }
        _ => 1,
    }
}

/// Marks of emphasis hold on to a word on one side and to none on the other. A mark by itself (a bullet, a footnote, a
/// sign of multiplication) and one inside a word stay.
fn emphasis(decoded: &str, at: usize, mark: u8) -> Option<Swap> {
    let bytes = decoded.as_bytes();
    let run = bytes
        .get(at..)?
        .iter()
        .take(4)
        .take_while(|byte| **byte == mark)
        .count();
    if run > 3 {
        // A rule or a line to write on.
        let whole = bytes
            .get(at..)?
            .iter()
            .take_while(|byte| **byte == mark)
            .count();
        return keep(decoded, at, whole);
    }
    let before = decoded.get(..at)?.chars().next_back();
    let after = decoded.get(at + run..)?.chars().next();
    let open = |letter: Option<char>| letter.is_none_or(|letter| letter.is_whitespace());
    let word = |letter: Option<char>| letter.is_some_and(char::is_alphanumeric);
    let drops = if mark == b'`' {
        true
    } else if open(before) && open(after) {
        false
    } else if word(before) && word(after) {
        // `2*2.5` and `R_loop` stay; `**HD**Flow` does not.
        run >= 2 && mark == b'*'
    } else if mark == b'_' {
        !(word(before) && open(after)) || run == 1
    } else {
        // A mark that nothing opened is a footnote's: “Eco*”, “Eco (*)”.
        !(mark == b'*' && notes(decoded, at, run))
    };
    if drops {
        Some((run, Cow::Borrowed("")))
    } else {
        keep(decoded, at, run)
    }
}

/// Whether a star behind a word or in brackets marks a footnote, as nothing before it in the line opened an emphasis.
fn notes(decoded: &str, at: usize, run: usize) -> bool {
    const REACH: usize = 200;
    let before = decoded.get(..at).unwrap_or("");
    let after = decoded.get(at + run..).unwrap_or("");
    if before.ends_with('(') && after.starts_with(')') {
        return true;
    }
    let closes = before.ends_with(|letter: char| letter.is_alphanumeric() || letter == ')')
        && after
            .chars()
            .next()
            .is_none_or(|letter| letter.is_whitespace() || matches!(letter, '|' | ';'));
    let from = before.ceil_char_boundary(before.len().saturating_sub(REACH));
    let near = before.get(from..).unwrap_or("");
    let line = near.rsplit('\n').next().unwrap_or("");
    let whole = from == 0 || line.len() < near.len();
    closes && whole && !line.contains('*')
}

/// Takes over `len` bytes at once, so that a long run is not looked at byte by byte.
fn keep(decoded: &str, at: usize, len: usize) -> Option<Swap> {
    if len < 2 {
        return None;
    }
    // A run of marks says no more than a few of them.
    let mark = decoded.get(at..=at)?;
    Some((len, Cow::Owned(mark.repeat(len.min(200)))))
}

/// The target of a Markdown link, after its words.
fn link(decoded: &str, at: usize, limits: &mut Limits) -> Option<Swap> {
    const LONGEST: usize = 500;
    let bytes = decoded.as_bytes();
    if bytes.get(at + 1) != Some(&b'(') || at < limits.bracket {
        return None;
    }
    let window = bytes.get(at + 2..bytes.len().min(at + LONGEST))?;
    let Some(end) = memchr::memchr2(b')', b'\n', window) else {
        limits.bracket = at + window.len();
        return None;
    };
    let target = window.get(..end)?;
    let looks = target.starts_with(b"http")
        || target.starts_with(b"mailto:")
        || target.starts_with(b"#")
        || target.starts_with(b"/")
        || target.starts_with(b"www.");
    (window.get(end) == Some(&b')') && looks).then_some((end + 3, Cow::Borrowed("]")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_are_resolved() {
        for (decoded, wanted) in [
            ("plain text stays", "plain text stays"),
            ("8&nbsp;&Omega; at 20&thinsp;&deg;C", "8 Ω at 20 °C"),
            (
                "3.3&nbsp;mm&sup2;, 2 &times; &frac12; in",
                "3.3 mm², 2 × ½ in",
            ),
            ("&#937; &#x3A9; &amp;Omega; &amp;", "Ω Ω Ω &"),
            ("R&D & more; &unknown; &", "R&D & more; &unknown; &"),
            ("ﬁne ﬂex, ampliﬁer, oﬃce", "fine flex, amplifier, office"),
            ("there\u{AD}fore", "therefore"),
            ("there\u{AD}\nfore", "there\u{AD}\nfore"),
            ("a\u{200B}b\u{202E}c\u{FEFF}d", "abcd"),
            ("1\u{202F}000\u{A0}m", "1 000 m"),
            (
                "**bold** and *slanted* and `code`",
                "bold and slanted and code",
            ),
            ("* a bullet", "* a bullet"),
            ("** 24K ENDS **", "** 24K ENDS **"),
            ("2*2.5 R_loop _so_", "2*2.5 R_loop so"),
            (
                "see [the page](https://example.org/a) now",
                "see [the page] now",
            ),
            (
                "\u{1B}[31mred\u{1B}[0m \u{1B}]8;;x:y\u{1B}\\link\u{1B}]8;;\u{1B}\\",
                "red link",
            ),
            ("2.5 mm<sup>2</sup><br>next", "2.5 mm2\nnext"),
            ("<tr><td>a</td><td>b</td></tr>", "\n\ta\tb"),
            (
                "<table>\n<tr><th>a</th><th>b</th></tr>\n<tr><td>1</td><td></td></tr>\n</table>",
                "\n\n\n| a | b |\n|---|\n| 1 |  |\n\n",
            ),
            ("<size unit=\"AWG\">14</size>", "\nsize (AWG): 14\n"),
            ("<wireSize>14 AWG</wireSize>", "\nwire Size: 14 AWG\n"),
            (
                "<lead name=\"Rill\" awg=\"14\"/>",
                "\nname: Rill\nawg: 14\n",
            ),
            ("<size value=\"14\" unit=\"AWG\"/>", "\nsize (AWG): 14\n"),
            (
                "<size><unit>AWG</unit> <value>14</value></size>",
                "\nsize (AWG): 14\n",
            ),
            ("a <lead>Rill</lead> of it", "a Rill of it"),
            ("no <lead> without an end", "no <lead> without an end"),
            (
                "<dl><dt>Size</dt>\n<dd>14 AWG</dd></dl>",
                "\n\nSize: 14 AWG\n",
            ),
            (
                "{\"size\": {\"value\": 14, \"unit\": \"AWG\"}}",
                "{\"size\": \"14 AWG\"}",
            ),
            ("a < b > c", "a < b > c"),
            ("bell\u{7}", "bell"),
        ] {
            assert_eq!(Clean::new(decoded).text(), wanted, "{decoded:?}");
        }
    }
}
