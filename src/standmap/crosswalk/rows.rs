//! Trees that stand in rows of their own: of a joined table, or of a property that holds an array of objects. In go
//! the rows of one stand, out come claims about members; which rows belong to a stand is left to the join.

use serde_json::Value;

use super::apply::holds;
use super::joined::Joined;
use super::trees::{Slot, part_of, whole_of};
use super::units::Whole;
use super::way::{Common, Way};
use super::written::{LayerColumn, Test, TreeEntry};
use crate::stand::Layer;
use crate::standmap::columns::Columns;
use crate::standmap::facts::{Desk, LAYER, word};
use crate::standmap::mixture::Claim;

/// One entry of `trees` whose members stand in rows.
#[derive(Debug)]
pub(crate) struct TreeRows {
    of: RowsOf,
    only: Option<(Way, Test)>,
    slot: Slot,
    whole: Whole,
    /// The columns that the ways read within a row.
    columns: Columns,
}

#[derive(Debug)]
enum RowsOf {
    /// A joined table, and where it has the columns that are wanted of it.
    Table {
        joined: usize,
        name: String,
        places: Vec<Option<usize>>,
    },
    /// A property of the map, and its name.
    Property(usize, String),
}

impl TreeRows {
    /// Lays the ways of an entry over the columns of its rows.
    pub(crate) fn lay(
        entry: &TreeEntry,
        common: &Common<'_>,
        joined: &[Joined],
        columns: &mut Columns,
    ) -> Option<TreeRows> {
        let named = entry.rows.as_deref()?;
        let layer = match &entry.layer {
            Some(LayerColumn::Word(told)) => word(LAYER, told).unwrap_or(Layer::Canopy),
            _ => Layer::Canopy,
        };
        let mut own = Columns::default();
        let slot = Slot::lay(entry, "", layer, common, &mut own)?;
        let only = entry.only.as_ref();
        let only = only.map(|test| (Way::straight(&test.col, common, &mut own), test.clone()));
        let of = match joined.iter().position(|joined| joined.name == named) {
            Some(place) => RowsOf::Table {
                joined: place,
                name: named.to_owned(),
                places: (0..own.len())
                    .map(|cell| joined[place].place(own.name(cell)))
                    .collect(),
            },
            None => RowsOf::Property(columns.want(named), named.to_owned()),
        };
        Some(TreeRows {
            of,
            only,
            slot,
            whole: whole_of(entry),
            columns: own,
        })
    }

    /// The table or property that holds the rows.
    pub(crate) fn named(&self) -> &str {
        match &self.of {
            RowsOf::Table { name, .. } | RowsOf::Property(_, name) => name,
        }
    }

    /// The claims of one feature; whether its shares are parts of a sum that makes no sense.
    pub(crate) fn claims(
        &self,
        cells: &[Option<Value>],
        joined: &[Joined],
        desk: &mut Desk<'_>,
    ) -> (Vec<Claim>, bool) {
        let mut claims = Vec::new();
        match &self.of {
            RowsOf::Table {
                joined: place,
                places,
                ..
            } => {
                for row in joined[*place].rows(places) {
                    self.claim(&row, desk, &mut claims);
                }
            }
            RowsOf::Property(place, name) => match &cells[*place] {
                None | Some(Value::Null) => {}
                Some(Value::Array(rows)) if rows.iter().all(Value::is_object) => {
                    for row in rows {
                        self.claim(&self.cells_of(row), desk, &mut claims);
                    }
                }
                Some(other) => drop(desk.bad_value(name, other, "an array of objects, one for each tree")),
            },
        }
        let off = !part_of(&mut claims, self.whole);
        (claims, off)
    }

    fn claim(&self, row: &[Option<Value>], desk: &mut Desk<'_>, claims: &mut Vec<Claim>) {
        let fits = |(way, test): &(Way, Test)| holds(test, way.cell(row));
        if self.only.as_ref().is_none_or(fits) {
            self.slot.claims(row, desk, claims);
        }
    }

    fn cells_of(&self, row: &Value) -> Vec<Option<Value>> {
        let mut cells = vec![None; self.columns.len()];
        for (name, value) in row.as_object().into_iter().flatten() {
            if let Some(place) = self.columns.place(name) {
                cells[place] = Some(value.clone());
            }
        }
        cells
    }
}
