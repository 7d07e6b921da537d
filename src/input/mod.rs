//! Bytes to decoded text whose offsets lead back to the file. Knows nothing of cables.

mod decode;
mod open;

pub use decode::Encoding;
pub use open::{from_path, from_reader};

use std::borrow::Cow;
use std::fmt;
use std::ops::Range;

/// Largest file that is read, in bytes. A longer one is refused with a line that says so.
pub const MAX_BYTES: u64 = 256 * 1024 * 1024;

/// Why a file is not read.
#[derive(Debug)]
pub enum Refusal {
    /// The system would not open or read it.
    Unreadable(std::io::Error),
    /// It is a folder.
    Folder,
    /// It is a device, a pipe or a socket.
    NotAFile,
    /// It is longer than [`MAX_BYTES`].
    TooLarge,
    /// It has no words in it.
    Empty,
    /// Its bytes are not text.
    Binary,
    /// It is a page description, whose text has to be taken out first.
    PageDescription,
    /// It is rich text, whose commands stand between the words.
    RichText,
}

impl fmt::Display for Refusal {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unreadable(error) => write!(to, "cannot be read: {error}"),
            Self::Folder => to.write_str("is a folder, not a file"),
            Self::NotAFile => to.write_str("is a device, a pipe or a socket, not a file"),
            Self::TooLarge => write!(
                to,
                "is larger than the limit of {} MiB",
                MAX_BYTES / (1024 * 1024)
            ),
            Self::Empty => to.write_str("holds no text"),
            Self::Binary => to.write_str("is not text: it holds the bytes of a binary file"),
            Self::PageDescription => {
                to.write_str("is a PDF, not text: save its text to a file and give that")
            }
            Self::RichText => to.write_str(
                "is rich text (RTF), not plain text: save it as plain text and give that",
            ),
        }
    }
}

impl std::error::Error for Refusal {}

/// A document as it was read.
#[derive(Debug)]
pub struct Source {
    name: String,
    text: String,
    encoding: Encoding,
    /// Length of the file in bytes.
    file_len: usize,
    /// Bytes of the byte order mark.
    mark_len: usize,
    /// Bytes that are no UTF-8 in a file that otherwise is.
    strays: Vec<Stray>,
    /// One for every [`STRIDE`] bytes of the text.
    milestones: Vec<Kept>,
}

/// Where a range of the decoded text stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    /// Line of the first character, from 1.
    pub line: usize,
    /// Column of the first character, from 1, in characters.
    pub column: usize,
    /// Line of the end.
    pub end_line: usize,
    /// Column one past the last character.
    pub end_column: usize,
    /// Offset of the first byte in the file on disk.
    pub byte_start: usize,
    /// Offset one past the last byte in the file on disk.
    pub byte_end: usize,
}

/// A byte that is no UTF-8 and was read as Windows-1252.
#[derive(Debug, Clone, Copy)]
struct Stray {
    /// One past the character that it became, in the decoded text.
    after: u32,
    /// By how many bytes the text has run ahead of the file there.
    ahead: u32,
}

/// Distance of the milestones in bytes of the text: the longest walk that a look-up takes.
const STRIDE: usize = 1024;

/// What is known at a multiple of [`STRIDE`], or at the next character border after it.
#[derive(Debug, Clone, Copy)]
struct Milestone {
    at: usize,
    /// Line, from 0.
    line: usize,
    /// Characters of that line before `at`.
    column: usize,
    /// Where that line starts.
    line_start: usize,
    /// Offset in the file; of use for encodings that have no fixed distance to the text.
    byte: usize,
}

/// A milestone in 32 bits a number: no text is longer than a few times [`MAX_BYTES`].
#[derive(Debug, Clone, Copy)]
struct Kept([u32; 5]);

impl From<Milestone> for Kept {
    fn from(milestone: Milestone) -> Self {
        let Milestone {
            at,
            line,
            column,
            line_start,
            byte,
        } = milestone;
        Self([at, line, column, line_start, byte].map(|one| u32::try_from(one).unwrap_or(u32::MAX)))
    }
}

impl From<Kept> for Milestone {
    fn from(Kept(kept): Kept) -> Self {
        let [at, line, column, line_start, byte] = kept.map(|one| one as usize);
        Self {
            at,
            line,
            column,
            line_start,
            byte,
        }
    }
}

impl Source {
    /// Decodes a document. Bytes that are handed over whole (a `Vec`) become its text without a copy where they are UTF-8.
    ///
    /// ```
    /// use claimgauge::input::Source;
    /// let source = Source::decode("sheet.txt", "Area: 2.5 mm²\nLength: 3 m".as_bytes())?;
    /// let place = source.place(15..21);
    /// assert_eq!((place.line, place.column), (2, 1));
    /// assert_eq!(source.text().get(15..21), Some("Length"));
    /// # Ok::<(), claimgauge::input::Refusal>(())
    /// ```
    ///
    /// # Errors
    /// When it is empty, too large or no text.
    pub fn decode<'b>(
        name: impl Into<String>,
        bytes: impl Into<Cow<'b, [u8]>>,
    ) -> Result<Self, Refusal> {
        let bytes = bytes.into();
        let file_len = bytes.len();
        let decoded = decode::decode(bytes)?;
        let mut source = Self {
            name: name.into(),
            text: decoded.text,
            encoding: decoded.encoding,
            file_len,
            mark_len: decoded.mark_len,
            strays: decoded.strays,
            milestones: Vec::new(),
        };
        source.set_milestones();
        Ok(source)
    }

    /// Path or name as the user gave it.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The decoded text.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// How the file is encoded.
    #[must_use]
    pub fn encoding(&self) -> Encoding {
        self.encoding
    }

    fn set_milestones(&mut self) {
        let mut here = Milestone {
            at: 0,
            line: 0,
            column: 0,
            line_start: 0,
            byte: self.mark_len,
        };
        let mut milestones = Vec::with_capacity(self.text.len() / STRIDE + 1);
        milestones.push(here.into());
        let mut next = STRIDE;
        while next < self.text.len() {
            let border = self.text.ceil_char_boundary(next);
            here = self.walk(here, border);
            milestones.push(here.into());
            next += STRIDE;
        }
        self.milestones = milestones;
    }

    /// Goes on from a milestone to `to`, which is a character border at or after it.
    fn walk(&self, from: Milestone, to: usize) -> Milestone {
        let mut here = from;
        let stretch = self.text.get(from.at..to).unwrap_or("");
        let bytes = self.text.as_bytes();
        let mut line_from = from.at;
        for end in memchr::memchr2_iter(b'\n', b'\r', stretch.as_bytes()) {
            let end = from.at + end;
            // The line ends after the pair.
            if bytes.get(end) == Some(&b'\r') && bytes.get(end + 1) == Some(&b'\n') {
                continue;
            }
            here.line += 1;
            here.column = 0;
            here.line_start = end + 1;
            line_from = end + 1;
        }
        here.column += chars(self.text.get(line_from..to).unwrap_or(""));
        here.byte += match self.encoding {
            Encoding::Utf8 => to - from.at,
            Encoding::Windows1252 => chars(stretch),
            Encoding::Utf16Le | Encoding::Utf16Be => 2 * utf16_units(stretch),
        };
        here.at = to;
        here
    }

    fn at(&self, offset: usize) -> Milestone {
        let offset = self.text.floor_char_boundary(offset.min(self.text.len()));
        let after = self
            .milestones
            .partition_point(|&milestone| Milestone::from(milestone).at <= offset);
        let from = after
            .checked_sub(1)
            .and_then(|index| self.milestones.get(index))
            .map(|&milestone| Milestone::from(milestone))
            .unwrap_or(Milestone {
                at: 0,
                line: 0,
                column: 0,
                line_start: 0,
                byte: self.mark_len,
            });
        let mut here = self.walk(from, offset);
        if self.encoding == Encoding::Utf8 {
            let before = self
                .strays
                .partition_point(|stray| usize::try_from(stray.after).is_ok_and(|at| at <= offset));
            let ahead = before
                .checked_sub(1)
                .and_then(|index| self.strays.get(index))
                .and_then(|stray| usize::try_from(stray.ahead).ok())
                .unwrap_or(0);
            here.byte = (offset + self.mark_len).saturating_sub(ahead);
        }
        here.byte = here.byte.min(self.file_len);
        here
    }

    /// Where a range of the decoded text stands in the file. A range that lies outside the text or inside a character is
    /// pulled to the nearest border.
    #[must_use]
    pub fn place(&self, range: Range<usize>) -> Place {
        let start = self.at(range.start);
        let end_offset = self
            .text
            .ceil_char_boundary(range.end.max(range.start).min(self.text.len()));
        let end = self.at(end_offset);
        Place {
            line: start.line + 1,
            column: start.column + 1,
            end_line: end.line + 1,
            end_column: end.column + 1,
            byte_start: start.byte,
            byte_end: end.byte,
        }
    }

    /// The line that holds byte `offset` of the decoded text, without its end. It may be as long as the whole text.
    #[must_use]
    pub fn line_at(&self, offset: usize) -> Range<usize> {
        let start = self.at(offset).line_start;
        let rest = self.text.as_bytes().get(start..).unwrap_or(&[]);
        start..start + memchr::memchr2(b'\n', b'\r', rest).unwrap_or(rest.len())
    }

    /// The bytes of line `line` (from 1) in the decoded text, without its end.
    #[must_use]
    pub fn line(&self, line: usize) -> Option<Range<usize>> {
        let wanted = line.checked_sub(1)?;
        let after = self
            .milestones
            .partition_point(|&milestone| Milestone::from(milestone).line < wanted);
        let from = after
            .checked_sub(1)
            .and_then(|index| self.milestones.get(index))
            .map(|&milestone| Milestone::from(milestone));
        let (mut current, mut start) = from.map_or((0, 0), |from| (from.line, from.line_start));
        let bytes = self.text.as_bytes();
        while current < wanted {
            let rest = bytes.get(start..)?;
            let mut end = memchr::memchr2(b'\n', b'\r', rest)?;
            if rest.get(end) == Some(&b'\r') && rest.get(end + 1) == Some(&b'\n') {
                end += 1;
            }
            start += end + 1;
            current += 1;
        }
        Some(self.line_at(start))
    }
}

/// Number of characters.
fn chars(text: &str) -> usize {
    if text.is_ascii() {
        text.len()
    } else {
        text.chars().count()
    }
}

/// Number of UTF-16 code units.
fn utf16_units(text: &str) -> usize {
    if text.is_ascii() {
        text.len()
    } else {
        text.chars().map(char::len_utf16).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(bytes: &[u8]) -> Source {
        Source::decode("test", bytes).expect("text")
    }

    fn utf16(text: &str, big: bool) -> Vec<u8> {
        text.encode_utf16()
            .flat_map(|unit| {
                if big {
                    unit.to_be_bytes()
                } else {
                    unit.to_le_bytes()
                }
            })
            .collect()
    }

    /// The bytes of the file that the first `needle` of the decoded text leads back to.
    fn bytes_of<'f>(file: &'f [u8], needle: &str) -> &'f [u8] {
        let source = read(file);
        let start = source.text().find(needle).expect("the needle");
        let place = source.place(start..start + needle.len());
        &file[place.byte_start..place.byte_end]
    }

    #[test]
    fn offsets_lead_back_to_the_file_in_every_encoding() {
        let text = "Loop: 8 Ω\nfour µm, 2 × 2.5 mm²\n";
        let plain = text.as_bytes().to_vec();
        let with_mark = [&[0xEF, 0xBB, 0xBF][..], text.as_bytes()].concat();
        for file in [&plain, &with_mark] {
            assert_eq!(bytes_of(file, "mm²"), "mm²".as_bytes());
        }
        for big in [false, true] {
            let bare = utf16(text, big);
            let mark: &[u8] = if big { &[0xFE, 0xFF] } else { &[0xFF, 0xFE] };
            for file in [bare.clone(), [mark, &bare].concat()] {
                assert_eq!(bytes_of(&file, "mm²"), utf16("mm²", big));
            }
        }
        let western = b"Gr\xF6\xDFe: 2 \xD7 2,5 mm\xB2 f\xFCr 4 m";
        assert_eq!(bytes_of(western, "mm²"), b"mm\xB2");
        assert_eq!(read(western).encoding(), Encoding::Windows1252);
    }

    #[test]
    fn a_stray_byte_in_utf8_shifts_nothing_that_follows() {
        let file = b"\xC2\xB5H and \xCE\xA9 but a stray \x93quote\x94 before 4 mm\xC2\xB2";
        let source = read(file);
        assert_eq!(source.encoding(), Encoding::Utf8);
        assert!(source.text().contains("“quote”"));
        assert_eq!(bytes_of(file, "“quote”"), b"\x93quote\x94");
        assert_eq!(bytes_of(file, "mm²"), "mm²".as_bytes());
    }

    #[test]
    fn bytes_that_are_handed_over_give_what_borrowed_ones_give() {
        let text = "Loop: 8 Ω\nfour µm, 2 × 2.5 mm²\n";
        let files = [
            text.as_bytes().to_vec(),
            [&[0xEF, 0xBB, 0xBF][..], text.as_bytes()].concat(),
            utf16(text, true),
            b"Gr\xF6\xDFe: 2 \xD7 2,5 mm\xB2 f\xFCr 4 m".to_vec(),
            b"\xC2\xB5H and \xCE\xA9 but a stray \x93quote\x94".to_vec(),
        ];
        for file in files {
            let (lent, own) = (read(&file), Source::decode("test", file.clone()));
            let own = own.expect("text");
            assert_eq!((own.text(), own.encoding()), (lent.text(), lent.encoding()));
            let all = 0..own.text().len();
            assert_eq!(own.place(all.clone()), lent.place(all));
        }
    }

    #[test]
    fn lines_end_with_any_usual_end() {
        let source = read("a\nb\r\nc\rd\u{c}e\n".as_bytes());
        let line = |needle: &str| {
            let start = source.text().find(needle).expect("the needle");
            let place = source.place(start..start + 1);
            (place.line, place.column)
        };
        assert_eq!(line("a"), (1, 1));
        assert_eq!(line("b"), (2, 1));
        assert_eq!(line("c"), (3, 1));
        assert_eq!(line("d"), (4, 1));
        assert_eq!(line("e"), (4, 3), "a form feed ends no line");
        for (number, text) in [(1, "a"), (2, "b"), (3, "c"), (4, "d\u{c}e"), (5, "")] {
            let range = source.line(number).expect("the line");
            assert_eq!(&source.text()[range], text);
        }
        assert_eq!(source.line(6), None);
        assert_eq!(source.line(0), None);
    }

    #[test]
    fn columns_count_characters_far_into_a_long_line() {
        let text = format!("x\n{}y", "Ω".repeat(10_000));
        let source = read(text.as_bytes());
        let place = source.place(text.len() - 1..text.len());
        assert_eq!((place.line, place.column), (2, 10_001));
        assert_eq!((place.end_line, place.end_column), (2, 10_002));
        assert_eq!(place.byte_end, text.len());
    }

    #[test]
    fn a_pair_of_line_ends_on_a_milestone_is_one() {
        for pad in STRIDE - 3..STRIDE + 3 {
            let text = format!("{}\r\nb", "a".repeat(pad));
            let source = read(text.as_bytes());
            let place = source.place(text.len() - 1..text.len());
            assert_eq!((place.line, place.column), (2, 1), "{pad}");
            assert_eq!(source.line(2), Some(pad + 2..pad + 3));
        }
    }

    #[test]
    fn what_is_no_text_is_refused() {
        for (bytes, wanted) in [
            (&b""[..], "holds no text"),
            (&b" \r\n\t"[..], "holds no text"),
            (&b"\xEF\xBB\xBF"[..], "holds no text"),
            (&b"\x7FELF\x02\x01\x01\0\0\0\0\0\0\0\0"[..], "binary"),
            (&b"\x01\x02\x03\x04\x05ab\x06\x07"[..], "binary"),
            (&b"%PDF-1.7 anything"[..], "PDF"),
            (&b"{\\rtf1 12 AWG\\par}"[..], "rich text"),
        ] {
            let refusal = Source::decode("test", bytes).expect_err("a refusal");
            assert!(refusal.to_string().contains(wanted), "{refusal}");
        }
    }

    #[test]
    fn broken_utf16_is_read_with_replacements() {
        let mut file = vec![0xFF, 0xFE];
        file.extend(utf16("12 AWG ", false));
        file.extend([0x00, 0xD8]); // a high surrogate by itself
        file.extend(utf16(" and 8 Ω", false));
        file.push(0x41); // half a unit
        let source = read(&file);
        assert!(source.text().starts_with("12 AWG \u{FFFD} and 8 Ω"));
        assert_eq!(bytes_of(&file, "8 Ω"), utf16("8 Ω", false));
        let end = source.text().len();
        assert_eq!(source.place(end..end).byte_end, file.len());
    }
}
