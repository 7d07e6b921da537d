//! Files and streams to documents. Only plain files are opened, so that no pipe or device can hold up the run.

use super::{MAX_BYTES, Refusal, Source};
use std::fs::File;
use std::io::Read;
use std::path::Path;

/// Reads a file.
///
/// # Errors
/// When it cannot be opened, is no plain file, is too large or is no text.
pub fn from_path(path: &Path) -> Result<Source, Refusal> {
    check(&std::fs::metadata(path).map_err(Refusal::Unreadable)?)?;
    let file = File::open(path).map_err(Refusal::Unreadable)?;
    // The name may lead elsewhere by now.
    let about = file.metadata().map_err(Refusal::Unreadable)?;
    check(&about)?;
    // One byte more, so that the end is met without asking for more room.
    let length = usize::try_from(about.len().saturating_add(1)).unwrap_or(0);
    read(path.display().to_string(), file, Vec::with_capacity(length))
}

fn check(about: &std::fs::Metadata) -> Result<(), Refusal> {
    if about.is_dir() {
        Err(Refusal::Folder)
    } else if !about.is_file() {
        Err(Refusal::NotAFile)
    } else if about.len() > MAX_BYTES {
        Err(Refusal::TooLarge)
    } else {
        Ok(())
    }
}

/// Reads a stream, such as standard input, up to the limit: one that never ends, or a file that grows while it is read,
/// is refused there.
///
/// # Errors
/// When reading fails, or what it gives is too large or no text.
pub fn from_reader(name: impl Into<String>, reader: impl Read) -> Result<Source, Refusal> {
    read(name, reader, Vec::new())
}

fn read(name: impl Into<String>, reader: impl Read, mut bytes: Vec<u8>) -> Result<Source, Refusal> {
    reader
        .take(MAX_BYTES + 1)
        .read_to_end(&mut bytes)
        .map_err(Refusal::Unreadable)?;
    Source::decode(name, bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folders_and_missing_files_are_refused() {
        let folder = tempfile::tempdir().expect("a folder");
        assert!(matches!(from_path(folder.path()), Err(Refusal::Folder)));
        let missing = folder.path().join("missing.txt");
        assert!(matches!(from_path(&missing), Err(Refusal::Unreadable(_))));
    }

    #[cfg(unix)]
    #[test]
    fn a_device_is_refused_without_opening_it() {
        assert!(matches!(
            from_path(Path::new("/dev/zero")),
            Err(Refusal::NotAFile)
        ));
    }

    #[test]
    fn an_endless_stream_is_refused_at_the_limit() {
        struct Endless(u64);
        impl Read for Endless {
            fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
                into.fill(b'a');
                self.0 += u64::try_from(into.len()).expect("a length");
                assert!(self.0 < MAX_BYTES * 3, "reading goes on past the limit");
                Ok(into.len())
            }
        }
        assert!(matches!(
            from_reader("-", Endless(0)),
            Err(Refusal::TooLarge)
        ));
    }

    #[test]
    fn a_file_is_read() {
        let mut file = tempfile::NamedTempFile::new().expect("a file");
        std::io::Write::write_all(&mut file, "8 Ω".as_bytes()).expect("written");
        assert_eq!(from_path(file.path()).expect("text").text(), "8 Ω");
    }
}
