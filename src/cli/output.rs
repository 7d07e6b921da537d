//! Where a report goes: to standard output as it comes, or to a file as a whole.

use super::held::Held;
use std::fs::File;
use std::io::{self, BufWriter, Seek, StdoutLock, Write};
use std::path::{Path, PathBuf};

/// A place for a report.
pub enum Output {
    /// Standard output.
    Stream(BufWriter<StdoutLock<'static>>),
    /// A device or a pipe, which is written as it comes: a file put in its place would do away with it.
    Device {
        /// The device.
        out: BufWriter<File>,
        /// What it is called.
        target: PathBuf,
    },
    /// A file, which is put in place when all is written. Until then the report lies in a nameless file, so that
    /// nothing is left behind when the program is stopped.
    File {
        /// The nameless file.
        spool: BufWriter<File>,
        /// Where it goes.
        target: PathBuf,
    },
}

impl Output {
    /// Opens `target`, or standard output.
    ///
    /// # Errors
    /// When the folder of `target` is not there or cannot be written, with a line that names it.
    pub fn open(target: Option<&Path>) -> io::Result<Self> {
        let Some(target) = target.filter(|target| *target != Path::new("-")) else {
            return Ok(Self::Stream(BufWriter::new(io::stdout().lock())));
        };
        let named = |error: io::Error| named(target, &error);
        if target.is_dir() {
            return Err(named(io::Error::other("is a folder")));
        }
        if std::fs::metadata(target).is_ok_and(|about| !about.is_file()) {
            let device = File::options().write(true).open(target).map_err(named)?;
            return Ok(Self::Device {
                out: BufWriter::new(device),
                target: target.to_owned(),
            });
        }
        // What a link leads to is replaced, not the link.
        let place = std::fs::canonicalize(target);
        let target = place.as_deref().unwrap_or(target);
        // Found out now and not after a long run.
        drop(tempfile::tempfile_in(folder(target)).map_err(named)?);
        Ok(Self::File {
            spool: BufWriter::new(tempfile::tempfile().map_err(named)?),
            target: target.to_owned(),
        })
    }

    /// Writes on.
    ///
    /// # Errors
    /// Those of the system.
    pub fn write(&mut self, text: &str) -> io::Result<()> {
        self.bytes(text.as_bytes())
    }

    /// Writes a report that was held back.
    ///
    /// # Errors
    /// Those of the system.
    pub fn take(&mut self, held: Held) -> io::Result<()> {
        held.pour(|bytes| self.bytes(bytes))
    }

    fn bytes(&mut self, bytes: &[u8]) -> io::Result<()> {
        match self {
            Self::Stream(out) => out.write_all(bytes),
            Self::Device { out, target } => {
                out.write_all(bytes).map_err(|error| named(target, &error))
            }
            Self::File { spool, .. } => spool.write_all(bytes),
        }
    }

    /// Shows what has been written so far, where it is a stream.
    ///
    /// # Errors
    /// Those of the system.
    pub fn flush(&mut self) -> io::Result<()> {
        match self {
            Self::Stream(out) => out.flush(),
            Self::Device { out, target } => out.flush().map_err(|error| named(target, &error)),
            Self::File { .. } => Ok(()),
        }
    }

    /// Puts the report in its place.
    ///
    /// # Errors
    /// Those of the system; the file is then as it was before.
    pub fn finish(self) -> io::Result<()> {
        match self {
            Self::Stream(mut out) => out.flush(),
            Self::Device { mut out, target } => out.flush().map_err(|error| named(&target, &error)),
            Self::File { spool, target } => {
                let mut spool = spool.into_inner().map_err(io::IntoInnerError::into_error)?;
                spool.rewind()?;
                place(&target, &mut spool).map_err(|error| named(&target, &error))
            }
        }
    }
}

/// The error with the name of the file that it speaks of.
fn named(target: &Path, error: &io::Error) -> io::Error {
    io::Error::new(error.kind(), format!("{}: {error}", target.display()))
}

fn folder(target: &Path) -> &Path {
    match target.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// Writes all of `from` to `target`, whole or not at all.
///
/// # Errors
/// Those of the system; the file is then as it was before.
pub fn place(target: &Path, from: &mut impl io::Read) -> io::Result<()> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".claimgauge-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // Less what the umask takes away.
        let mode = std::fs::metadata(target).map_or(0o666, |about| about.permissions().mode());
        builder.permissions(std::fs::Permissions::from_mode(mode & 0o777));
    }
    let mut file = builder.tempfile_in(folder(target))?;
    io::copy(from, &mut file)?;
    file.as_file().sync_all()?;
    file.persist(target).map_err(|error| error.error)?;
    Ok(())
}
