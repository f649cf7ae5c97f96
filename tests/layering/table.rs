//! The table "Rooms and who may know whom" of `DEVELOPERS.md`, read.
//!
//! In: the text of the document. Out: for each room what it may know. Whether the code keeps to it is left to the test.

use std::fmt;

/// The heading under which the table stands.
const HEADING: &str = "## Rooms and who may know whom";

/// What one room may know.
pub(crate) enum Known {
    /// Every room there is.
    Everything,
    /// These and no others; `room` opens the whole room, `room::Name` one of its doors.
    Only(Vec<String>),
}

impl Known {
    /// Whether the path, from the room on, lies within what may be known.
    pub(crate) fn may_know(&self, path: &[String]) -> bool {
        let within = |known: &String| {
            let mut parts = path.iter();
            known
                .split("::")
                .all(|part| parts.next().is_some_and(|found| found == part))
        };
        match self {
            Self::Everything => true,
            Self::Only(rooms) => rooms.iter().any(within),
        }
    }
}

impl fmt::Display for Known {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Everything => f.write_str("every room"),
            Self::Only(rooms) if rooms.is_empty() => f.write_str("nothing"),
            Self::Only(rooms) => f.write_str(
                &rooms
                    .iter()
                    .map(|room| format!("`{room}`"))
                    .collect::<Vec<_>>()
                    .join(", "),
            ),
        }
    }
}

/// Rows in the order they stand.
pub(crate) struct Table {
    rows: Vec<(String, Known)>,
}

impl Table {
    /// Reads the table; an error names the row that cannot be understood.
    pub(crate) fn read(document: &str) -> Result<Self, String> {
        let (_, section) = document
            .split_once(HEADING)
            .ok_or(format!("no heading `{HEADING}`"))?;
        let lines = section
            .lines()
            .skip_while(|line| !line.starts_with('|'))
            .take_while(|line| line.starts_with('|'));
        let rows = lines.skip(2).map(row).collect::<Result<Vec<_>, _>>()?;
        let table = Self { rows };
        for (room, known) in &table.rows {
            if let Known::Only(others) = known
                && let Some(other) = others
                    .iter()
                    .map(|other| room_of(other))
                    .find(|other| table.known_to(other).is_none())
            {
                return Err(format!("the row of `{room}` names `{other}`, which has no row"));
            }
        }
        if table.rows.is_empty() {
            return Err(format!("no table under `{HEADING}`"));
        }
        Ok(table)
    }

    pub(crate) fn rooms(&self) -> impl Iterator<Item = &str> {
        self.rows.iter().map(|(room, _)| room.as_str())
    }

    pub(crate) fn known_to(&self, room: &str) -> Option<&Known> {
        self.rows
            .iter()
            .find(|(name, _)| name == room)
            .map(|(_, known)| known)
    }
}

fn row(line: &str) -> Result<(String, Known), String> {
    let misread = || format!("the row `{line}` is not of the form | `room` | `other`, `other` |");
    let mut cells = line.trim_matches('|').split('|').map(str::trim);
    let (Some(room), Some(known), None) = (cells.next(), cells.next(), cells.next()) else {
        return Err(misread());
    };
    let known = match known {
        "every room" => Known::Everything,
        "nothing" => Known::Only(Vec::new()),
        list => Known::Only(
            list.split(", ")
                .map(|name| quoted(name).ok_or_else(misread))
                .collect::<Result<_, _>>()?,
        ),
    };
    Ok((quoted(room).ok_or_else(misread)?, known))
}

/// The room of `room` or `room::Name`.
fn room_of(door: &str) -> &str {
    door.split("::").next().unwrap_or(door)
}

fn quoted(cell: &str) -> Option<String> {
    let name = cell.strip_prefix('`')?.strip_suffix('`')?;
    let is_name =
        |part: &str| !part.is_empty() && part.chars().all(|c| c.is_ascii_alphanumeric() || c == '_');
    name.split("::").all(is_name).then(|| name.to_owned())
}

mod rejected {
    //! Tables that must be refused, each with its exact message.

    use super::Table;

    #[test]
    fn tables_that_cannot_be_held_to() {
        let head = "## Rooms and who may know whom\n\n| room | may know |\n|---|---|\n";
        let refused = [
            (
                String::from("# For developers\n"),
                "no heading `## Rooms and who may know whom`",
            ),
            (
                String::from("## Rooms and who may know whom\n\ntext\n"),
                "no table under `## Rooms and who may know whom`",
            ),
            (
                format!("{head}| `rules` | law |\n"),
                "the row `| `rules` | law |` is not of the form | `room` | `other`, `other` |",
            ),
            (
                format!("{head}| `rules` | `stands` |\n"),
                "the row of `rules` names `stands`, which has no row",
            ),
        ];
        for (document, message) in refused {
            assert_eq!(
                Table::read(&document).err().as_deref(),
                Some(message),
                "{document}"
            );
        }
    }
}
