//! Faults of `SQLite` in the words of a shop.

use rusqlite::ErrorCode;

use crate::error::{Error, MemoryFault};

/// The folder of the memory is not there.
pub(super) fn no_folder(path: &str) -> Error {
    Error::Io {
        kind: std::io::ErrorKind::NotFound,
        errno: None,
        path: path.into(),
        text: "the folder of this memory is not there: mend its name, or make the folder".into(),
    }
}

/// A fault of `SQLite` with the file that it belongs to.
pub(super) fn told(path: &str, error: &rusqlite::Error) -> Error {
    let (fault, what, remedy) = match error.sqlite_error_code() {
        Some(ErrorCode::NotADatabase) => (
            MemoryFault::NotAMemory,
            "it is not a shop's memory".to_string(),
            "name the shop's memory, or a file that is not there yet",
        ),
        Some(ErrorCode::ReadOnly) => (
            MemoryFault::ReadOnly,
            "it can only be read".into(),
            "let it be written, or copy it to where it can be",
        ),
        Some(ErrorCode::DiskFull) => (
            MemoryFault::Full,
            "the disk is full, so nothing was changed".into(),
            "make room, then do it again",
        ),
        Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => (
            MemoryFault::Busy,
            "another program has been changing it for some seconds".into(),
            "wait until it is done, then do it again",
        ),
        Some(ErrorCode::CannotOpen) => {
            return match std::path::Path::new(path).parent() {
                Some(folder) if !folder.as_os_str().is_empty() && !folder.is_dir() => {
                    no_folder(path)
                }
                _ => Error::io(path, &std::io::ErrorKind::PermissionDenied.into()),
            };
        }
        Some(ErrorCode::SystemIoFailure) => {
            return Error::Io {
                kind: std::io::ErrorKind::Other,
                errno: None,
                path: path.into(),
                text: format!("{error}; nothing was changed"),
            };
        }
        _ => (
            MemoryFault::Damaged,
            format!("it holds what it should not ({error})"),
            "take the last copy, and keep this file for whoever mends it",
        ),
    };
    Error::Memory {
        fault,
        path: path.into(),
        what,
        remedy: remedy.into(),
    }
}
