//! Where a number may begin, and where a code, a date, a price or an address does.

use super::*;

impl<'t> Reader<'t, '_> {
    /// Whether the digits at `pos` begin a number, and no code, date, price, address or name.
    pub(super) fn startable(&self, pos: usize) -> bool {
        let Some(previous) = self.char_before(pos) else {
            return true;
        };
        if is_blank(previous) {
            return !self.priced(pos);
        }
        if pos == self.floor + previous.len_utf8()
            && matches!(previous, '-' | '\u{2010}' | '\u{2011}' | '/' | ',' | ':')
        {
            return true;
        }
        let left = &self.text[self.span.start()..pos - previous.len_utf8()];
        let second = left.chars().next_back();
        match previous {
            '_' => self.ends_key(pos),
            // `[^1]`, the sign of a note, and `14 AWG [1]`.
            '^' => false,
            '[' if self.is_reference(pos) => false,
            'Ø' | 'ø' | 'Φ' | 'φ' => !second.is_some_and(char::is_alphanumeric),
            c if c.is_alphabetic() => {
                let word =
                    last_word(&self.text[before_start(self.text, self.span.start(), pos)..pos])
                        .map_or("", |(_, word, _)| word);
                // 3G1.5 mm²: three cores of which one is for earth.
                let cores = word.len() == 2
                    && word.ends_with('G')
                    && word.starts_with(|c: char| ('2'..='5').contains(&c));
                one_of!(word, "awg swg vf") || cores
            }
            '-' | '\u{2010}' | '\u{2011}' => match second {
                Some(c) if c.is_alphabetic() => {
                    let word = last_word(before(self.text, self.span.start(), pos))
                        .map_or("", |(_, word, _)| word);
                    one_of!(word, "awg swg gauge guage")
                }
                Some(c) => !c.is_numeric() && c != '/',
                None => true,
            },
            '.' | ',' | ':' => !second.is_some_and(|c| c.is_ascii_digit()) && !self.address(pos),
            '/' | '=' | '?' | '&' | '@' => {
                !second.is_some_and(|c| c.is_ascii_digit()) && !self.address(pos)
            }
            '\'' | '’' | '‘' => false,
            '£' | '$' | '€' | '¥' | '¢' | '§' | '©' => false,
            _ => true,
        }
    }

    /// Whether a number ends a key whose words are joined by strokes: the frequency of `r_rise_20kHz = 62 %`.
    fn ends_key(&self, pos: usize) -> bool {
        let rest = self.text.get(pos..self.span.end()).unwrap_or("");
        let own = rest
            .find(|sign: char| !sign.is_ascii_alphanumeric())
            .unwrap_or(rest.len());
        let behind = rest.get(own..).unwrap_or("").trim_start_matches(is_blank);
        let word = self.before(pos);
        let word = word.rsplit(is_blank).next().unwrap_or(word);
        behind.starts_with(['=', ':'])
            && rest.starts_with(|digit: char| digit.is_ascii_digit())
            && word.starts_with(|letter: char| letter.is_ascii_alphabetic())
    }

    /// The number stands in square brackets behind what it refers to: the sign of a note, or of a source.
    fn is_reference(&self, pos: usize) -> bool {
        let left = self.before(pos);
        let digits = self
            .behind(pos)
            .bytes()
            .take_while(u8::is_ascii_digit)
            .count();
        let closed = self.behind(pos).as_bytes().get(digits) == Some(&b']');
        closed && digits <= 2 && !left.trim_end_matches('[').trim().is_empty()
    }

    /// A currency stands before the number.
    pub(super) fn priced(&self, pos: usize) -> bool {
        let left = self.before(pos).trim_end_matches(is_blank);
        left.ends_with(['£', '$', '€', '¥', '§', '©'])
            || last_word(left).is_some_and(|(_, word, gap)| {
                gap.is_empty() && one_of!(word, "usd eur gbp chf euro isbn issn ean")
            })
    }

    /// The number lies in a web or mail address.
    pub(super) fn address(&self, pos: usize) -> bool {
        let left = self.before(pos);
        let token = left
            .rfind(is_blank)
            .map_or(left, |at| &left[at..])
            .trim_start();
        token.contains("://") || token.starts_with("www.") || token.contains('@')
    }

    /// Behind the code, date or address that the digits at `pos` belong to.
    pub(super) fn skip_code(&self, pos: usize) -> usize {
        let bytes = self.text.as_bytes();
        let mut at = pos;
        while at < self.span.end() {
            let byte = bytes[at];
            let inner = matches!(
                byte,
                b'-' | b'_' | b'.' | b'/' | b':' | b'?' | b'&' | b'=' | b'@' | b',' | b'\''
            ) && bytes.get(at + 1).is_some_and(u8::is_ascii_alphanumeric);
            if !byte.is_ascii_alphanumeric() && !inner {
                break;
            }
            at += 1;
        }
        at.max(pos + 1)
    }
}
