//! Bytes to decoded text whose offsets lead back to the file. Knows nothing of cables.
