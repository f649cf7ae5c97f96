//! The trees of a stand, by crosswalk: single columns, numbered slots, rows of a table, or one text for the whole
//! composition. In go the cells of a feature, out come claims about members; names and shares are settled later.

use crate::order::Lookup;

use serde_json::Value;

use super::composition::{self, Grammar, Writing};
use super::joined::Joined;
use super::rows::TreeRows;
use super::units::{self, PARTS, Whole, whole};
use super::way::{Common, Outcome, Way};
use super::written::{Column, LayerColumn, Names, Order, TreeEntry, Unstated};
use crate::stand::Layer;
use crate::standmap::cell::{self, Amount, quote};
use crate::standmap::columns::{Columns, fold};
use crate::standmap::facts::{Desk, LAYER, word};
use crate::standmap::finding::{Oddity, Severity};
use crate::standmap::mixture::{Claim, Claimed, Named};
use crate::units::Absence;

/// One entry of `trees`, its slots told apart.
#[derive(Debug)]
pub(crate) enum TreeWay {
    Members { slots: Vec<Slot>, whole: Whole },
    Rows(Box<TreeRows>),
    Composition(Box<Composed>),
}

#[derive(Debug)]
pub(crate) struct Slot {
    /// The slots end where this column says nothing.
    stop: Option<Way>,
    name: Way,
    /// Whether a name that its list does not hold may still be a name.
    may_be_name: bool,
    share: Option<Way>,
    unstated: Option<Unstated>,
    layer: Layer,
    layer_way: Option<Way>,
}

#[derive(Debug)]
pub(crate) struct Composed {
    way: Way,
    writing: Writing,
    factor: f64,
    whole: Whole,
    list: Option<Lookup<String, Value>>,
    layer: Layer,
}

const LAYERS: [Layer; 3] = [Layer::Canopy, Layer::Understorey, Layer::Retained];

impl TreeWay {
    /// Lays the ways of one entry.
    pub(crate) fn lay(
        entry: &TreeEntry,
        common: &Common<'_>,
        joined: &[Joined],
        columns: &mut Columns,
    ) -> Option<TreeWay> {
        let layer = match &entry.layer {
            Some(LayerColumn::Word(told)) => word(LAYER, told).unwrap_or(Layer::Canopy),
            _ => Layer::Canopy,
        };
        if entry.rows.is_some() {
            return TreeRows::lay(entry, common, joined, columns).map(|rows| TreeWay::Rows(Box::new(rows)));
        }
        if let Some(written) = &entry.composition {
            let grammar = match written.order {
                Order::CodeShare => Grammar::CodeShare,
                Order::ShareCode => Grammar::ShareCode,
                Order::Digits => Grammar::Digits(written.slots.clone()),
                Order::Positional => Grammar::Positional {
                    width: written.width.unwrap_or(1).max(1),
                    weights: written.weights.clone(),
                },
            };
            let column = Column {
                from: written.from.clone(),
                missing: written.missing.clone(),
                ..Column::default()
            };
            let unit = written.unit.as_deref().unwrap_or("tenths");
            return Some(TreeWay::Composition(Box::new(Composed {
                way: Way::lay(&column, 1.0, common, columns),
                writing: Writing {
                    grammar,
                    trace: written.trace.as_ref().and_then(|mark| mark.chars().next()),
                    layer_mark: written.layer_mark.as_ref().and_then(|mark| mark.chars().next()),
                    ignore: written.ignore.clone().unwrap_or_default(),
                },
                factor: units::factor(PARTS, unit).unwrap_or(1.0),
                whole: whole(unit),
                list: written
                    .list
                    .as_ref()
                    .and_then(|name| common.lists.get(name).cloned()),
                layer,
            })));
        }
        let no_slots = [String::new()];
        let fillers = entry
            .repeat
            .as_ref()
            .map_or(no_slots.as_slice(), |repeat| repeat.slot.as_slice());
        let slots: Option<Vec<Slot>> = fillers
            .iter()
            .map(|filler| Slot::lay(entry, filler, layer, common, columns))
            .collect();
        Some(TreeWay::Members {
            slots: slots?,
            whole: whole_of(entry),
        })
    }

    /// Its ways that a map must have columns for.
    pub(crate) fn ways(&self) -> Vec<&Way> {
        match self {
            // Later slots may be empty on the whole map, and then be left out of it.
            TreeWay::Members { slots, .. } => slots
                .iter()
                .take(1)
                .flat_map(|slot| {
                    [
                        Some(&slot.name),
                        slot.share.as_ref(),
                        slot.layer_way.as_ref(),
                        slot.stop.as_ref(),
                    ]
                })
                .flatten()
                .collect(),
            // The columns of a table are known before any map is read.
            TreeWay::Rows(_) => Vec::new(),
            TreeWay::Composition(composed) => vec![&composed.way],
        }
    }

    /// The properties that name its trees, with what stands there where one property names one tree.
    pub(crate) fn sources(&self, cells: &[Option<Value>], columns: &Columns) -> Vec<(String, Value)> {
        match self {
            TreeWay::Members { slots, .. } => slots
                .iter()
                .map(|slot| slot.name.read_from(cells, columns))
                .collect(),
            TreeWay::Rows(rows) => vec![(rows.named().to_owned(), Value::Null)],
            TreeWay::Composition(composed) => {
                vec![(composed.way.read_from(cells, columns).0, Value::Null)]
            }
        }
    }

    /// The claims of one feature; whether its shares are parts of a sum that makes no sense.
    pub(crate) fn claims(
        &self,
        cells: &[Option<Value>],
        joined: &[Joined],
        desk: &mut Desk<'_>,
    ) -> (Vec<Claim>, bool) {
        match self {
            TreeWay::Members { slots, whole } => {
                let mut claims = Vec::new();
                for slot in slots {
                    if slot.stop.as_ref().is_some_and(|stop| stop.cell(cells).is_none()) {
                        break;
                    }
                    slot.claims(cells, desk, &mut claims);
                }
                let off = !part_of(&mut claims, *whole);
                (claims, off)
            }
            TreeWay::Rows(rows) => rows.claims(cells, joined, desk),
            TreeWay::Composition(composed) => composed.claims(cells, desk),
        }
    }
}

/// What the shares of an entry are parts of.
pub(super) fn whole_of(entry: &TreeEntry) -> Whole {
    let unit = entry.share.as_ref().and_then(|share| share.unit.as_deref());
    unit.map_or(Whole::Unit, whole)
}

impl Slot {
    /// Lays the ways of one slot.
    pub(super) fn lay(
        entry: &TreeEntry,
        filler: &str,
        layer: Layer,
        common: &Common<'_>,
        columns: &mut Columns,
    ) -> Option<Slot> {
        let name = entry.name.as_ref()?;
        let stop = entry
            .repeat
            .as_ref()
            .and_then(|repeat| repeat.stop_on_missing.as_ref());
        let mut lay =
            |column: &Column, factor: f64| Way::lay(&filled(column, filler), factor, common, columns);
        let factor = |share: &Column| {
            let unit = share.unit.as_deref();
            unit.and_then(|unit| units::factor(PARTS, unit)).unwrap_or(1.0)
        };
        Some(Slot {
            name: lay(name, 1.0),
            may_be_name: name.read != Some(super::written::Read::Code),
            share: entry
                .share
                .as_ref()
                .filter(|share| !share.from.0.is_empty() || share.constant.is_some())
                .map(|share| lay(share, factor(share))),
            unstated: entry.share.as_ref().and_then(|share| share.unstated),
            layer,
            layer_way: match &entry.layer {
                Some(LayerColumn::Column(column)) => Some(lay(column, 1.0)),
                _ => None,
            },
            stop: stop.map(|stop| Way::straight(&stop.replace("{slot}", filler), common, columns)),
        })
    }

    /// Adds the claims of one slot: one, or as many as its split column names.
    pub(super) fn claims(&self, cells: &[Option<Value>], desk: &mut Desk<'_>, claims: &mut Vec<Claim>) {
        let Some(names) = self.name.parts(cells) else {
            claims.extend(self.claim(cells, desk));
            return;
        };
        let mut shares = self.share.as_ref().and_then(|share| share.parts(cells));
        if let (Some(parts), Some(way)) = (&shares, &self.share)
            && parts.len() != names.len()
        {
            let found = way.cell(cells).cloned().unwrap_or_default();
            desk.bad_value(
                &way.property,
                &found,
                &format!("{} shares, one for each tree", names.len()),
            );
            shares = None;
        }
        for (place, name) in names.iter().enumerate() {
            let share = match (&self.share, &shares) {
                (Some(way), Some(parts)) => Some((way, way.follow_value(&parts[place]))),
                (Some(way), None) => Some((way, Outcome::Missing)),
                (None, _) => None,
            };
            let outcome = self.name.follow_value(name);
            let raw = cell::text(name).unwrap_or_default();
            claims.extend(self.claim_of(raw, outcome, share, cells, desk));
        }
    }

    fn claim(&self, cells: &[Option<Value>], desk: &mut Desk<'_>) -> Option<Claim> {
        let raw = self.name.raw(cells)?;
        let share = self.share.as_ref().map(|way| (way, way.follow(cells)));
        self.claim_of(raw, self.name.follow(cells), share, cells, desk)
    }

    fn claim_of(
        &self,
        raw: String,
        name: Outcome<'_>,
        share: Option<(&Way, Outcome<'_>)>,
        cells: &[Option<Value>],
        desk: &mut Desk<'_>,
    ) -> Option<Claim> {
        let tree = match name {
            Outcome::Missing => return None,
            Outcome::Value(meaning) => meant(&meaning),
            // A name list need not be whole: what it does not hold may be a name as it stands.
            Outcome::Unmapped(name) if self.may_be_name => Named::Text(name),
            Outcome::Unmapped(code) => Named::UnknownCode(code),
            Outcome::Bad(found, expected) => {
                desk.bad_value(&self.name.property, &found, expected);
                return None;
            }
            Outcome::Amount(_) => Named::UnknownCode(raw.clone()),
        };
        let share = match share {
            None => self.without_share(Absence::NotMapped),
            Some((_, Outcome::Missing)) => self.without_share(Absence::Empty),
            Some((_, Outcome::Value(value))) if value.as_str() == Some("trace") => Claimed::Trace,
            Some((_, Outcome::Amount(amount))) => Claimed::Stated(amount),
            Some((way, Outcome::Value(value))) => match cell::amount(&value) {
                Some(amount) => Claimed::Stated(amount),
                None => Claimed::Unstated(desk.bad_value(&way.property, &value, "a share")),
            },
            Some((way, Outcome::Bad(found, expected))) => {
                Claimed::Unstated(desk.bad_value(&way.property, &found, expected))
            }
            Some((way, Outcome::Unmapped(code))) => {
                desk.unmapped(&way.property, &code);
                Claimed::Unstated(Absence::UnmappedCode(code))
            }
        };
        let told = self.layer_way.as_ref().map(|way| (way, way.follow(cells)));
        let layer = match told {
            Some((way, Outcome::Value(value))) => desk
                .one_word(&way.property, &value, LAYER)
                .known()
                .copied()
                .unwrap_or(self.layer),
            Some((way, Outcome::Unmapped(code))) => {
                desk.unmapped(&way.property, &code);
                self.layer
            }
            _ => self.layer,
        };
        Some(Claim {
            raw,
            tree,
            share,
            layer,
        })
    }

    fn without_share(&self, why: Absence) -> Claimed {
        match self.unstated {
            Some(Unstated::Leading) => Claimed::Leading,
            Some(Unstated::Between(low, high)) => Claimed::Stated(Amount { low, high, mid: None }),
            None => Claimed::Unstated(why),
        }
    }
}

impl Composed {
    fn claims(&self, cells: &[Option<Value>], desk: &mut Desk<'_>) -> (Vec<Claim>, bool) {
        let Some(text) = self.way.raw(cells) else {
            return (Vec::new(), false);
        };
        let parts = match composition::read(&text, &self.writing) {
            Ok(parts) => parts,
            Err(reason) => {
                desk.tell(Oddity {
                    code: "bad-composition",
                    severity: Severity::Warning,
                    property: Some(&self.way.property),
                    found: &format!(
                        "the composition {} is refused: {reason}",
                        quote(&Value::from(text.as_str()))
                    ),
                    done: "its trees are not known",
                    advice: "Correct the text, or the crosswalk's `composition`",
                    apart: "",
                });
                let share = Claimed::Unstated(Absence::Illegal(text.clone()));
                return (
                    vec![Claim {
                        raw: text,
                        tree: Named::Nothing,
                        share,
                        layer: self.layer,
                    }],
                    false,
                );
            }
        };
        let first = LAYERS.iter().position(|layer| *layer == self.layer).unwrap_or(0);
        let mut claims: Vec<Claim> = parts
            .into_iter()
            .filter_map(|part| {
                let tree = match &self.list {
                    None => Named::Text(part.code.clone()),
                    Some(list) => match list.get(&fold(&part.code)) {
                        Some(Value::Null) => return None,
                        Some(meaning) => meant(meaning),
                        None => Named::UnknownCode(part.code.clone()),
                    },
                };
                let number = part.number.map(|number| number * self.factor);
                Some(Claim {
                    raw: part.code,
                    tree,
                    share: number.map_or(Claimed::Trace, |number| Claimed::Stated(Amount::one(number))),
                    layer: LAYERS[(first + part.layer).min(LAYERS.len() - 1)],
                })
            })
            .collect();
        let off = !part_of(&mut claims, self.whole);
        (claims, off)
    }
}

/// What a list says of a code.
fn meant(meaning: &Value) -> Named {
    match meaning {
        Value::String(name) => Named::Text(name.clone()),
        Value::Object(members) if members.get("not_tree") == Some(&Value::Bool(true)) => Named::NoTree,
        Value::Object(members) => match members.get("group").and_then(Value::as_str) {
            Some(group) => Named::Group(group.to_owned()),
            None => Named::UnknownCode(meaning.to_string()),
        },
        other => Named::UnknownCode(other.to_string()),
    }
}

/// Makes shares of each layer parts of one. Of a round sum: tenths where they add up to about 10, percent where to
/// about 100; false where they add up to neither, and are then parts of their own sum. Of any sum: parts of it; where
/// one of them is not told, the whole is not known, and a part of what is told is the most that each can be.
pub(super) fn part_of(claims: &mut [Claim], whole: Whole) -> bool {
    let mut sound = true;
    for layer in LAYERS.into_iter().filter(|_| whole != Whole::Unit) {
        let of_layer = |claim: &&mut Claim| claim.layer == layer;
        let mut all_told = true;
        let total: f64 = claims
            .iter_mut()
            .filter(of_layer)
            .map(|claim| match claim.share {
                Claimed::Stated(amount) => amount.low,
                _ => {
                    all_told = false;
                    0.0
                }
            })
            .sum();
        let divisor = match (whole, total) {
            (Whole::Any, _) => total,
            (_, 0.9..=1.1) => 1.0,
            (_, 9.0..=11.0) => 10.0,
            (_, 90.0..=110.0) => 100.0,
            _ => total,
        };
        if divisor <= 0.0 {
            continue;
        }
        sound &= whole == Whole::Any || [1.0, 10.0, 100.0].contains(&divisor);
        for claim in claims.iter_mut().filter(of_layer) {
            if let Claimed::Stated(amount) = &mut claim.share {
                *amount = amount.times(1.0 / divisor);
                if whole == Whole::Any && !all_told {
                    *amount = Amount {
                        low: 0.0,
                        high: amount.high,
                        mid: None,
                    };
                }
            }
        }
    }
    sound
}

/// A column with a slot's filler in its names.
fn filled(column: &Column, filler: &str) -> Column {
    let mut column = column.clone();
    column.from = Names(
        column
            .from
            .0
            .iter()
            .map(|name| name.replace("{slot}", filler))
            .collect(),
    );
    column
}
