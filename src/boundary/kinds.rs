//! A region's own tables of kinds, in a session. In go files, out comes what each added and corrected, or what is wrong in
//! it; reading the tables is left to `knowledge`.

use std::sync::Arc;

use super::{BookBytes, KindsFileReport, KindsReport, Session, Trouble};
use crate::knowledge::{Knowledge, RegionFile, TableError};

impl Session {
    /// What is known: the shipped tables, with the region's own where it has some.
    pub(super) fn knowledge(&self) -> &Arc<Knowledge> {
        self.regional.as_ref().unwrap_or_else(|| Knowledge::shipped())
    }

    /// Takes a region's own tables of kinds in place of those taken before; an empty list goes back to the shipped ones.
    /// All or nothing: with a mistake in any file the shipped tables stand alone, and sheets say so. Colours never
    /// change. Rule books that were read before are read again, since they may name the region's kinds.
    pub fn set_kinds(&mut self, files: &[BookBytes]) -> KindsReport {
        let mut report = KindsReport {
            files: files
                .iter()
                .map(|file| KindsFileReport {
                    name: file.name.clone(),
                    title: file.name.clone(),
                    added: 0,
                    corrected: 0,
                    mistakes: Vec::new(),
                })
                .collect(),
        };
        let mut read = Vec::new();
        for (file, told) in files.iter().zip(&mut report.files) {
            match &file.bytes {
                Some(bytes) => read.push(RegionFile {
                    name: file.name.clone(),
                    bytes: bytes.clone(),
                }),
                None => told.mistakes.push(Trouble {
                    book: Some(file.name.clone()),
                    ..Trouble::new(
                        "missing-kinds",
                        "error",
                        format!(
                            "{}: the file of kinds could not be fetched, so only the shipped kinds are shown; check \
                             the address",
                            file.name
                        ),
                    )
                }),
            }
        }
        let missing = read.len() < files.len();
        self.regional = None;
        self.kinds_unread = missing;
        if files.is_empty() {
            // The shipped tables were read already, or are read once when they are first asked for.
            self.take_up_kinds();
            return report;
        }
        match Knowledge::with_region(&read) {
            Ok((knowledge, counts)) if !missing => {
                for (told, count) in report.files.iter_mut().zip(counts) {
                    told.title = count.title;
                    told.added = count.added;
                    told.corrected = count.corrected;
                }
                self.regional = Some(Arc::new(knowledge));
            }
            Ok(_) => {}
            Err(mistakes) => {
                self.kinds_unread = true;
                for mistake in &mistakes {
                    let place = report.files.iter().position(|file| file.name == mistake.table);
                    if let Some(told) = report.files.get_mut(place.unwrap_or(0)) {
                        told.mistakes.push(of_table(mistake, &told.name));
                    }
                }
            }
        }
        self.take_up_kinds();
        report
    }

    /// Lets the map and the rule books that were read before know of other kinds.
    fn take_up_kinds(&mut self) {
        let knowledge = Arc::clone(self.knowledge());
        if let Some(ground) = &mut self.ground {
            ground.set_kinds(&knowledge, self.kinds_unread);
        }
        if !self.book_bytes.is_empty() {
            let books = std::mem::take(&mut self.book_bytes);
            self.set_rules(&books);
        }
        self.painted = None;
    }
}

fn of_table(mistake: &TableError, file: &str) -> Trouble {
    Trouble {
        book: Some(file.to_owned()),
        property: mistake.column.map(ToOwned::to_owned),
        line: usize::try_from(mistake.line).ok().filter(|line| *line > 0),
        column: mistake.cell,
        ..Trouble::new("kinds-table", "error", mistake.to_string())
    }
}
