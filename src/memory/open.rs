//! The file: opened, made when first needed, brought up from an older form.
//!
//! A rollback journal, not a write-ahead log: the memory is then one file that can be copied, it can be read from a disk that
//! cannot be written, and it may lie on a share. Every change is one immediate transaction, synced to the disk before it counts.

use std::path::Path;
use std::time::Duration;

use rusqlite::{Connection, OpenFlags, TransactionBehavior};

use super::fault::{no_folder, told};
use crate::error::{Error, MemoryFault, Result};

/// "MWMM": marks the file as a shop's memory. See the table of application ids that `SQLite` keeps.
pub(super) const APPLICATION_ID: i32 = 0x4d57_4d4d;

/// One step for each form of the file, oldest first.
pub(super) const FORMS: &[&str] = &[include_str!("form_1.sql"), include_str!("form_2.sql")];

/// How long one program waits for another's change. [s]
const PATIENCE_S: u64 = 5;

/// The shop's memory: one file.
///
/// ```
/// use mountwright::memory::Memory;
/// let folder = std::env::temp_dir().join("mountwright-memory-example");
/// std::fs::create_dir_all(&folder).unwrap();
/// let path = folder.join("shop.db");
/// # let _ = std::fs::remove_file(&path);
/// let memory = Memory::open(&path.to_string_lossy())?;
/// assert!(memory.rack()?.is_empty());
/// # let _ = std::fs::remove_file(&path);
/// # Ok::<(), mountwright::Error>(())
/// ```
#[derive(Debug)]
pub struct Memory {
    pub(super) db: Connection,
    pub(super) path: String,
}

impl Memory {
    /// Opens a memory, and makes it where there is none.
    ///
    /// # Errors
    /// [`Error::Memory`] for a file that is something else, damaged, from a newer program, or of an older form where it can only
    /// be read; [`Error::Io`] where it cannot be opened.
    pub fn open(path: &str) -> Result<Self> {
        if path.is_empty() || path.contains('\0') {
            return Err(Error::Shape {
                what: "path of the memory".into(),
                given: format!("{path:?}"),
                allowed: "the name of a file".into(),
            });
        }
        let mut memory = Self::unchecked(path)?;
        memory.bring_up(FORMS)?;
        Ok(memory)
    }

    /// Opens a memory that is there; `None` where there is no file. Makes nothing.
    ///
    /// # Errors
    /// As [`Memory::open`].
    pub fn existing(path: &str) -> Result<Option<Self>> {
        let there = Path::new(path);
        match there.try_exists() {
            Ok(true) => Self::open(path).map(Some),
            Ok(false) => Ok(None),
            Err(e) => Err(Error::io(path, &e)),
        }
    }

    /// Opens a memory to ask it: where there is no file, or one of no length (a program may have been killed as it made it), it is empty and lives in the working memory alone. Makes nothing on the disk.
    ///
    /// # Errors
    /// As [`Memory::open`]; [`Error::Io`] where there is no folder for the file either: then its name is wrong.
    pub fn reading(path: &str) -> Result<Self> {
        let nothing = std::fs::metadata(path).is_ok_and(|m| m.is_file() && m.len() == 0);
        if !nothing && let Some(memory) = Self::existing(path)? {
            return Ok(memory);
        }
        let folder = Path::new(path).parent();
        if folder.is_some_and(|f| !f.as_os_str().is_empty() && !f.is_dir()) {
            return Err(no_folder(path));
        }
        let mut memory = Self::open(":memory:")?;
        memory.path = path.into();
        Ok(memory)
    }

    /// The file.
    pub fn path(&self) -> &str {
        &self.path
    }

    fn unchecked(path: &str) -> Result<Self> {
        if Path::new(path).is_dir() {
            return Err(Error::io(path, &std::io::ErrorKind::IsADirectory.into()));
        }
        let flags = OpenFlags::SQLITE_OPEN_READ_WRITE
            | OpenFlags::SQLITE_OPEN_CREATE
            | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let open = || -> rusqlite::Result<Connection> {
            let db = Connection::open_with_flags(path, flags)?;
            db.busy_timeout(Duration::from_secs(PATIENCE_S))?;
            db.pragma_update(None, "foreign_keys", true)?;
            db.pragma_update(None, "trusted_schema", false)?;
            // Also the folder is synced, so that an accepted plan outlives the power.
            db.pragma_update(None, "synchronous", "EXTRA")?;
            Ok(db)
        };
        let db = open().map_err(|e| told(path, &e))?;
        Ok(Self {
            db,
            path: path.into(),
        })
    }

    /// Checks whose file it is and of which form, and brings an older one up.
    pub(super) fn bring_up(&mut self, forms: &[&str]) -> Result<()> {
        let newest = i64::try_from(forms.len()).unwrap_or(i64::MAX);
        if form(&self.db, &self.path, newest)? == newest {
            return Ok(());
        }
        if self.db.is_readonly("main").unwrap_or(false) {
            return Err(self.fault(
                MemoryFault::ReadOnly,
                "it is of an older form and can only be read",
                "let it be written once, or copy it to where it can be",
            ));
        }
        let path = self.path.clone();
        self.change(|tx| {
            // Another program may have brought it up meanwhile: the form is read again inside.
            let from = usize::try_from(form(tx, &path, newest)?).unwrap_or(usize::MAX);
            let bring = || {
                for sql in forms.get(from..).unwrap_or(&[]) {
                    tx.execute_batch(sql)?;
                }
                tx.pragma_update(None, "application_id", APPLICATION_ID)?;
                tx.pragma_update(None, "user_version", newest)
            };
            bring().map_err(|e| told(&path, &e))
        })
    }

    /// Several changes as one: all of them or none, after every change that another program is making.
    ///
    /// # Errors
    /// Those of `work`; [`Error::Memory`] where the file cannot be written. Nothing is changed then.
    ///
    /// ```
    /// use mountwright::memory::Memory;
    /// let mut memory = Memory::open(":memory:")?;
    /// assert!(memory.at_once(|memory| memory.scrap("K-001")).is_err());
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn at_once<T>(&mut self, work: impl FnOnce(&mut Self) -> Result<T>) -> Result<T> {
        let run = |db: &Connection, sql: &str| db.execute_batch(sql);
        run(&self.db, "BEGIN IMMEDIATE").map_err(|e| told(&self.path, &e))?;
        let done = work(self).and_then(|done| {
            run(&self.db, "COMMIT").map_err(|e| told(&self.path, &e))?;
            Ok(done)
        });
        if !self.db.is_autocommit() {
            run(&self.db, "ROLLBACK").map_err(|e| told(&self.path, &e))?;
        }
        done
    }

    /// One change: all of it or nothing, after every change that another program is making; inside [`Memory::at_once`] a part of one.
    pub(super) fn change<T>(&mut self, work: impl FnOnce(&Connection) -> Result<T>) -> Result<T> {
        if !self.db.is_autocommit() {
            return work(&self.db);
        }
        let path = self.path.clone();
        let tx = self
            .db
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(|e| told(&path, &e))?;
        // A fault drops the transaction, which takes it back.
        let done = work(&tx)?;
        tx.commit().map_err(|e| told(&path, &e))?;
        Ok(done)
    }

    /// A fault of this file.
    pub(super) fn fault(
        &self,
        fault: MemoryFault,
        what: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Error {
        Error::Memory {
            fault,
            path: self.path.clone(),
            what: what.into(),
            remedy: remedy.into(),
        }
    }
}

/// The form of a file; 0 for an empty one.
///
/// # Errors
/// A form above `newest`, a database of another program.
fn form(db: &Connection, path: &str, newest: i64) -> Result<i64> {
    let one = |sql: &str| -> Result<i64> {
        db.query_row(sql, [], |row| row.get(0))
            .map_err(|e| told(path, &e))
    };
    let fault = |fault, what: String, remedy: &str| {
        Err(Error::Memory {
            fault,
            path: path.into(),
            what,
            remedy: remedy.into(),
        })
    };
    let (id, form) = (one("PRAGMA application_id")?, one("PRAGMA user_version")?);
    if id == i64::from(APPLICATION_ID) && form > newest {
        return fault(
            MemoryFault::Newer,
            format!("its form is {form}, this program knows {newest} and older"),
            "update mountwright; the file is as it was",
        );
    }
    let empty = || Ok(id == 0 && form == 0 && one("SELECT count(*) FROM sqlite_schema")? == 0);
    if id != i64::from(APPLICATION_ID) && !empty()? {
        return fault(
            MemoryFault::NotAMemory,
            "it is a database of another program".into(),
            "name the shop's memory, or a file that is not there yet",
        );
    }
    Ok(form)
}
