//! How JSON is written: signs that a terminal would obey are escaped.

use crate::report::escape;
use serde::Serialize;
use serde_json::ser::{CompactFormatter, Formatter, PrettyFormatter};
use std::io;

/// Writes control characters that JSON would let through, and such as turn the reading direction, as `\u` escapes: the
/// value stays the same, and a terminal that shows the report is not steered by it.
struct Shown<F>(F);

impl<F: Formatter> Formatter for Shown<F> {
    fn write_string_fragment<W: ?Sized + io::Write>(
        &mut self,
        writer: &mut W,
        fragment: &str,
    ) -> io::Result<()> {
        if fragment.bytes().all(|byte| matches!(byte, b' '..=b'~')) {
            return writer.write_all(fragment.as_bytes());
        }
        let mut from = 0;
        for (at, letter) in fragment.char_indices() {
            if escape::is_hidden(letter) {
                writer.write_all(fragment.get(from..at).unwrap_or("").as_bytes())?;
                let mut units = [0; 2];
                for unit in letter.encode_utf16(&mut units) {
                    write!(writer, "\\u{unit:04x}")?;
                }
                from = at + letter.len_utf8();
            }
        }
        writer.write_all(fragment.get(from..).unwrap_or("").as_bytes())
    }

    fn begin_array<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.begin_array(writer)
    }
    fn end_array<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_array(writer)
    }
    fn begin_array_value<W: ?Sized + io::Write>(
        &mut self,
        writer: &mut W,
        first: bool,
    ) -> io::Result<()> {
        self.0.begin_array_value(writer, first)
    }
    fn end_array_value<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_array_value(writer)
    }
    fn begin_object<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.begin_object(writer)
    }
    fn end_object<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_object(writer)
    }
    fn begin_object_key<W: ?Sized + io::Write>(
        &mut self,
        writer: &mut W,
        first: bool,
    ) -> io::Result<()> {
        self.0.begin_object_key(writer, first)
    }
    fn begin_object_value<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.begin_object_value(writer)
    }
    fn end_object_value<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_object_value(writer)
    }
}

/// `value` as JSON on one line.
#[must_use]
pub fn compact<T: Serialize>(value: &T) -> String {
    in_memory(|bytes| compact_to(value, bytes))
}

/// `value` as JSON over lines.
#[must_use]
pub fn pretty<T: Serialize>(value: &T) -> String {
    in_memory(|bytes| pretty_to(value, bytes))
}

/// Writes `value` as JSON on one line.
///
/// # Errors
/// Those of `to`.
pub fn compact_to<T: Serialize>(value: &T, to: &mut (impl io::Write + ?Sized)) -> io::Result<()> {
    written(value, Shown(CompactFormatter), to)
}

/// Writes `value` as JSON over lines.
///
/// # Errors
/// Those of `to`.
pub fn pretty_to<T: Serialize>(value: &T, to: &mut (impl io::Write + ?Sized)) -> io::Result<()> {
    written(value, Shown(PrettyFormatter::with_indent(b" ")), to)
}

fn written<T: Serialize>(
    value: &T,
    formatter: impl Formatter,
    to: &mut (impl io::Write + ?Sized),
) -> io::Result<()> {
    // A report is written in a great many small pieces.
    let mut pieces = io::BufWriter::new(to);
    let mut serializer = serde_json::Serializer::with_formatter(&mut pieces, formatter);
    value.serialize(&mut serializer).map_err(io::Error::from)?;
    io::Write::flush(&mut pieces)
}

fn in_memory(write: impl FnOnce(&mut Vec<u8>) -> io::Result<()>) -> String {
    let mut bytes = Vec::new();
    match write(&mut bytes) {
        Ok(()) => String::from_utf8(bytes).unwrap_or_default(),
        Err(error) => unreachable!("plain structs into memory: {error}"),
    }
}
