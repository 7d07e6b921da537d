//! The report of one document until its turn comes. A report that breaks off is never shown, and long ones do not fill the memory.

use std::fs::File;
use std::io::{self, Read, Seek, Write};

/// So much of one report is held in memory. What is longer lies in a nameless file, which is gone with the process.
const IN_MEMORY: usize = 1 << 18;

/// A report that is held back.
#[derive(Debug, Default)]
pub struct Held {
    /// What stands before `tail`.
    file: Option<File>,
    tail: Vec<u8>,
    /// There is no place for files: all stays in memory.
    no_place: bool,
}

impl From<String> for Held {
    fn from(text: String) -> Self {
        Self {
            tail: text.into_bytes(),
            ..Self::default()
        }
    }
}

impl Write for Held {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if self.tail.len() + bytes.len() > IN_MEMORY && !self.no_place {
            self.put_aside()?;
        }
        self.tail.extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl Held {
    /// Whether there is nothing in it.
    pub fn is_empty(&self) -> bool {
        self.file.is_none() && self.tail.is_empty()
    }

    fn put_aside(&mut self) -> io::Result<()> {
        if self.file.is_none() {
            match tempfile::tempfile() {
                Ok(file) => self.file = Some(file),
                Err(_) => self.no_place = true,
            }
        }
        if let Some(file) = &mut self.file {
            file.write_all(&self.tail)?;
            self.tail.clear();
        }
        Ok(())
    }

    /// Hands over all of it, piece by piece.
    ///
    /// # Errors
    /// Those of the file and of `to`.
    pub fn pour(self, mut to: impl FnMut(&[u8]) -> io::Result<()>) -> io::Result<()> {
        if let Some(mut file) = self.file {
            file.rewind()?;
            let mut piece = vec![0; 1 << 16];
            loop {
                let read = file.read(&mut piece)?;
                match piece.get(..read) {
                    Some(bytes) if read > 0 => to(bytes)?,
                    _ => break,
                }
            }
        }
        to(&self.tail)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_report_comes_back_as_it_was_written() {
        for length in [0, 9, IN_MEMORY, IN_MEMORY + 1, 3 * IN_MEMORY + 7] {
            let report: Vec<u8> = (0..=250).cycle().take(length).collect();
            let mut held = Held::default();
            for piece in report.chunks(1000) {
                held.write_all(piece).expect("room");
            }
            assert_eq!(held.is_empty(), length == 0);
            assert!(held.tail.len() <= IN_MEMORY);
            let mut back = Vec::new();
            let poured = held.pour(|bytes| {
                back.extend_from_slice(bytes);
                Ok(())
            });
            assert!(poured.is_ok() && back == report);
        }
    }
}
