//! Which encoding the bytes are in, and the text that they give.

use super::{MAX_BYTES, Refusal, Stray};
use std::borrow::Cow;

/// An encoding that is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Encoding {
    /// UTF-8, with or without a byte order mark.
    Utf8,
    /// UTF-16, the low byte first.
    Utf16Le,
    /// UTF-16, the high byte first.
    Utf16Be,
    /// Windows-1252, when the bytes are no UTF-8.
    Windows1252,
}

pub(super) struct Decoded {
    pub(super) text: String,
    pub(super) encoding: Encoding,
    pub(super) mark_len: usize,
    pub(super) strays: Vec<Stray>,
}

pub(super) fn decode(bytes: Cow<'_, [u8]>) -> Result<Decoded, Refusal> {
    if u64::try_from(bytes.len()).is_ok_and(|len| len > MAX_BYTES) {
        return Err(Refusal::TooLarge);
    }
    if bytes.starts_with(b"%PDF-") {
        return Err(Refusal::PageDescription);
    }
    if bytes.starts_with(b"{\\rtf") {
        return Err(Refusal::RichText);
    }
    let decoded = if let Some(rest) = bytes.strip_prefix(&[0xEF, 0xBB, 0xBF]) {
        eight_bit(Cow::Borrowed(rest), 3)?
    } else if let Some(rest) = bytes.strip_prefix(&[0xFF, 0xFE]) {
        sixteen_bit(rest, Encoding::Utf16Le, 2)?
    } else if let Some(rest) = bytes.strip_prefix(&[0xFE, 0xFF]) {
        sixteen_bit(rest, Encoding::Utf16Be, 2)?
    } else if let Some(encoding) = unmarked_utf16(&bytes) {
        sixteen_bit(&bytes, encoding, 0)?
    } else {
        eight_bit(bytes, 0)?
    };
    if decoded.text.trim_start().is_empty() {
        return Err(Refusal::Empty);
    }
    Ok(decoded)
}

/// How many bytes at the start are looked at to tell the encoding.
const SAMPLE: usize = 4096;

/// UTF-16 without a mark: text in Latin letters has a zero in nearly every other byte, always on the same side.
fn unmarked_utf16(bytes: &[u8]) -> Option<Encoding> {
    let sample = bytes.get(..bytes.len().min(SAMPLE)).unwrap_or(bytes);
    let pairs = sample.len() / 2;
    if pairs < 2 {
        return None;
    }
    let zeros = |side: usize| {
        sample
            .as_chunks::<2>()
            .0
            .iter()
            .filter(|pair| pair.get(side) == Some(&0))
            .count()
    };
    let (first, second) = (zeros(0), zeros(1));
    let (few, many) = (pairs / 50, pairs * 6 / 10);
    if first <= few && second > many {
        Some(Encoding::Utf16Le)
    } else if second <= few && first > many {
        Some(Encoding::Utf16Be)
    } else {
        None
    }
}

fn sixteen_bit(bytes: &[u8], encoding: Encoding, mark_len: usize) -> Result<Decoded, Refusal> {
    let decoder = if encoding == Encoding::Utf16Be {
        encoding_rs::UTF_16BE
    } else {
        encoding_rs::UTF_16LE
    };
    let text = decoder.decode_without_bom_handling(bytes).0.into_owned();
    refuse_binary(text.as_bytes())?;
    Ok(Decoded {
        text,
        encoding,
        mark_len,
        strays: Vec::new(),
    })
}

fn eight_bit(bytes: Cow<'_, [u8]>, mark_len: usize) -> Result<Decoded, Refusal> {
    refuse_binary(&bytes)?;
    // Bytes of its own become the text where they lie: a copy would be in memory beside them.
    let text = match bytes {
        Cow::Owned(bytes) => String::from_utf8(bytes).map_err(|other| other.into_bytes().into()),
        Cow::Borrowed(bytes) => std::str::from_utf8(bytes)
            .map(str::to_owned)
            .map_err(|_| Cow::Borrowed(bytes)),
    };
    let bytes: Cow<'_, [u8]> = match text {
        Ok(text) => {
            return Ok(Decoded {
                text,
                encoding: Encoding::Utf8,
                mark_len,
                strays: Vec::new(),
            });
        }
        Err(bytes) => bytes,
    };
    let (mut strays, mut letters) = (0_usize, 0_usize);
    for chunk in bytes.utf8_chunks() {
        letters += chunk.valid().bytes().filter(|byte| *byte >= 0xC0).count();
        strays += chunk.invalid().len();
    }
    // In Windows-1252 hardly two accented letters meet so as to look like UTF-8; a text with more good letters than
    // stray bytes is UTF-8 with something pasted in, or cut off.
    if letters >= strays || mark_len > 0 {
        Ok(patched(&bytes, mark_len))
    } else {
        Ok(Decoded {
            text: encoding_rs::WINDOWS_1252
                .decode_without_bom_handling(&bytes)
                .0
                .into_owned(),
            encoding: Encoding::Windows1252,
            mark_len: 0,
            strays: Vec::new(),
        })
    }
}

/// UTF-8 in which each byte that does not fit is read as Windows-1252.
fn patched(bytes: &[u8], mark_len: usize) -> Decoded {
    let mut text = String::with_capacity(bytes.len());
    let mut strays = Vec::new();
    let mut ahead = 0_u32;
    for chunk in bytes.utf8_chunks() {
        text.push_str(chunk.valid());
        for byte in chunk.invalid() {
            let before = text.len();
            text.push_str(
                &encoding_rs::WINDOWS_1252
                    .decode_without_bom_handling(std::slice::from_ref(byte))
                    .0,
            );
            let longer = (text.len() - before).saturating_sub(1);
            ahead = ahead.saturating_add(u32::try_from(longer).unwrap_or(0));
            strays.push(Stray {
                after: u32::try_from(text.len()).unwrap_or(u32::MAX),
                ahead,
            });
        }
    }
    Decoded {
        text,
        encoding: Encoding::Utf8,
        mark_len,
        strays,
    }
}

/// Refuses bytes of which more than one in a thousand is NUL, or more than one in twenty a control character that text
/// does not use.
fn refuse_binary(bytes: &[u8]) -> Result<(), Refusal> {
    let nuls = memchr::memchr_iter(0, bytes).count();
    if nuls > 0 && nuls.saturating_mul(1000) >= bytes.len() {
        return Err(Refusal::Binary);
    }
    let control = |byte: &u8| matches!(byte, 0x01..=0x08 | 0x0E..=0x1A | 0x1C..=0x1F);
    // Counted in stretches whose sum fits in a byte, which processors do for many bytes at once.
    let controls: usize = bytes
        .chunks(255)
        .map(|stretch| {
            stretch
                .iter()
                .map(|byte| u8::from(control(byte)))
                .sum::<u8>()
        })
        .map(usize::from)
        .sum();
    if controls > 4 && controls.saturating_mul(20) >= bytes.len() {
        return Err(Refusal::Binary);
    }
    Ok(())
}
