//! The way from a row of cells to one target: which columns, which markers mean missing, which part of the text, how
//! it is read, which table it is looked up in. In goes a row, out comes a value in the plain form's terms, or why
//! there is none.

use std::borrow::Cow;

use serde_json::Value;

use super::written::{AsOf, Class, Column, Decimal, Names, Otherwise, Pairs, Read, Slice, YearUse};
use crate::order::Lookup;
use crate::standmap::cell::{self, Amount, is_blank, parse_number};
use crate::standmap::columns::{Columns, fold, with_folded};
use crate::standmap::facts::OLDEST;

/// Where a value is looked for: a column, or a member inside one.
#[derive(Debug, Clone)]
struct Source {
    whole: usize,
    /// For a dotted name, its column and the members inside it.
    inside: Option<(usize, Vec<String>)>,
}

impl Source {
    /// What stands there.
    fn found<'c>(&self, cells: &'c [Option<Value>]) -> Option<&'c Value> {
        cells[self.whole].as_ref().or_else(|| {
            let (column, members) = self.inside.as_ref()?;
            members
                .iter()
                .try_fold(cells[*column].as_ref()?, |value, member| {
                    // Of several rows the first tells what a stand has once.
                    let value = if let Value::Array(rows) = value {
                        rows.first()?
                    } else {
                        value
                    };
                    value.get(member)
                })
        })
    }
}

/// The way to one target.
#[derive(Debug, Clone)]
pub(crate) struct Way {
    /// The property's name, for findings.
    pub(crate) property: String,
    sources: Vec<Source>,
    constant: Option<Value>,
    missing: Vec<String>,
    /// Those of the markers that are numbers.
    missing_numbers: Vec<f64>,
    slice: Option<Slice>,
    read: Option<Read>,
    decimal: Option<Decimal>,
    tables: Vec<Lookup<String, Value>>,
    otherwise: Otherwise,
    class: Option<ClassTable>,
    factor: f64,
    year: Option<(YearUse, i32, Option<AsOfWay>)>,
    pub(crate) split: Option<String>,
}

#[derive(Debug, Clone)]
enum ClassTable {
    Table(Lookup<String, [Option<f64>; 2]>),
    Rule { width: f64, first: [f64; 2] },
}

#[derive(Debug, Clone)]
enum AsOfWay {
    Year(i32),
    Column(Box<Way>),
}

/// What a way led to.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Outcome<'v> {
    /// Nothing: the cell is missing, null, or a declared marker.
    Missing,
    /// A value in the plain form's terms.
    Value(Cow<'v, Value>),
    /// A number or range in the plain form's unit.
    Amount(Amount),
    /// A code that no table holds.
    Unmapped(String),
    /// Something that makes no sense: the cell, and what was expected.
    Bad(Value, &'static str),
}

/// What a column's ways share.
pub(crate) struct Common<'w> {
    pub(crate) missing: &'w [Value],
    pub(crate) lists: &'w Lookup<String, Lookup<String, Value>>,
    pub(crate) reference_year: Option<i32>,
}

impl Way {
    /// Lays the way of one column.
    pub(crate) fn lay(column: &Column, factor: f64, common: &Common<'_>, columns: &mut Columns) -> Way {
        let mut tables: Vec<Lookup<String, Value>> = column.codes.iter().map(table).collect();
        if let Some(list) = column.list.as_ref().and_then(|name| common.lists.get(name)) {
            tables.push(list.clone());
        }
        let missing = column.missing.iter().chain(common.missing);
        let missing: Vec<String> = missing.filter_map(cell::text).map(|text| fold(&text)).collect();
        let as_of = column.as_of.as_ref().and_then(|as_of| match as_of {
            AsOf::Reference => None,
            AsOf::Year(year) => Some(AsOfWay::Year(*year)),
            AsOf::Column(column) => Some(AsOfWay::Column(Box::new(Way::lay(column, 1.0, common, columns)))),
        });
        Way {
            property: column.from.0.first().cloned().unwrap_or_default(),
            sources: sources(&column.from, columns),
            constant: column.constant.clone(),
            missing_numbers: missing
                .iter()
                .filter_map(|marker| cell::parse_number(marker))
                .collect(),
            missing,
            slice: column.slice.clone(),
            read: column.read.or(column.decimal.map(|_| Read::Number)),
            decimal: column.decimal,
            tables,
            otherwise: column.otherwise.unwrap_or(Otherwise::Unmapped),
            class: column.class.as_ref().map(|class| match class {
                Class::Table(Pairs(rows)) => {
                    ClassTable::Table(rows.iter().map(|(code, range)| (fold(code), *range)).collect())
                }
                Class::Rule { width, first } => ClassTable::Rule {
                    width: *width,
                    first: *first,
                },
            }),
            factor,
            year: column
                .year
                .zip(common.reference_year)
                .map(|(year, reference)| (year, reference, as_of)),
            split: column.split.clone(),
        }
    }

    /// A way to a column as it stands.
    pub(crate) fn straight(name: &str, common: &Common<'_>, columns: &mut Columns) -> Way {
        let column = Column {
            from: Names(vec![name.to_owned()]),
            ..Column::default()
        };
        Way::lay(&column, 1.0, common, columns)
    }

    /// The places of its columns, for telling which were never met.
    pub(crate) fn places(&self) -> impl Iterator<Item = usize> + '_ {
        self.sources.iter().flat_map(|source| {
            std::iter::once(source.whole).chain(source.inside.as_ref().map(|(column, _)| *column))
        })
    }

    /// The property that is read, and what stands there: the first that says something, else the first that has
    /// anything, such as a marker for missing, else the first.
    pub(crate) fn read_from(&self, cells: &[Option<Value>], columns: &Columns) -> (String, Value) {
        let name = |source: &Source| columns.name(source.whole).to_owned();
        let said = self.sources.iter().find_map(|source| {
            let cell = source.found(cells)?;
            (!self.says_nothing(cell)).then(|| (name(source), cell.clone()))
        });
        let any = || {
            let found = self
                .sources
                .iter()
                .find_map(|source| Some((source, source.found(cells)?)));
            found.map(|(source, cell)| (name(source), cell.clone()))
        };
        said.or_else(any)
            .unwrap_or_else(|| match (self.sources.first(), &self.constant) {
                (Some(source), _) => (name(source), Value::Null),
                (None, Some(constant)) => ("(const)".to_owned(), constant.clone()),
                (None, None) => (String::new(), Value::Null),
            })
    }

    /// The first cell that says something.
    pub(crate) fn cell<'c>(&self, cells: &'c [Option<Value>]) -> Option<&'c Value> {
        let mut found = self.sources.iter().filter_map(|source| source.found(cells));
        found.find(|cell| !self.says_nothing(cell))
    }

    /// The cell's parts, where the column is split: those between the marks of a text, or the members of an array.
    /// `None` where it is not split, or says nothing.
    pub(crate) fn parts(&self, cells: &[Option<Value>]) -> Option<Vec<Value>> {
        let mark = self.split.as_deref()?;
        match self.cell(cells)? {
            Value::Array(members) => Some(members.clone()),
            cell => {
                let text = cell::text(cell)?;
                let parts = text.split(mark).map(str::trim).filter(|part| !part.is_empty());
                Some(parts.map(Value::from).collect())
            }
        }
    }

    /// Whether a cell is one of the markers for missing.
    pub(crate) fn says_nothing(&self, cell: &Value) -> bool {
        if is_blank(cell) {
            return true;
        }
        // Most numbers are no marker, and making a text of one costs more than all else about it.
        let may_be_marker = match cell {
            Value::Number(number) => number
                .as_f64()
                .is_none_or(|number| self.missing_numbers.contains(&number)),
            _ => !self.missing.is_empty(),
        };
        let is_marker = |text: &str| self.missing.iter().any(|marker| marker == text);
        may_be_marker && cell::as_text(cell).is_some_and(|text| with_folded(&text, is_marker))
    }

    /// The text that a cell is read from, for people: before any table.
    pub(crate) fn raw(&self, cells: &[Option<Value>]) -> Option<String> {
        self.cell(cells).or(self.constant.as_ref()).and_then(cell::text)
    }

    /// Follows the way to its end.
    pub(crate) fn follow<'v>(&'v self, cells: &'v [Option<Value>]) -> Outcome<'v> {
        let Some(found) = self.cell(cells).or(self.constant.as_ref()) else {
            return Outcome::Missing;
        };
        self.follow_value(found)
    }

    /// Follows the way from a value on.
    pub(crate) fn follow_value<'v>(&'v self, found: &'v Value) -> Outcome<'v> {
        let mut value = Cow::Borrowed(found);
        if let Some(slice) = &self.slice {
            match cell::as_text(found).and_then(|text| cut(&text, slice)) {
                Some(part) => value = Cow::Owned(Value::String(part)),
                None => return Outcome::Bad(found.clone(), "a text long enough for its `slice`"),
            }
        }
        if let Some(read) = self.read {
            let read = match &value {
                Cow::Borrowed(value) => read_as(value, read, self.decimal),
                Cow::Owned(value) => {
                    read_as(value, read, self.decimal).map(|read| Cow::Owned(read.into_owned()))
                }
            };
            value = match read {
                Ok(read) => read,
                Err(expected) => return Outcome::Bad(value.into_owned(), expected),
            };
        }
        if !self.tables.is_empty() {
            let Some(code) = cell::as_text(&value) else {
                return Outcome::Bad(value.into_owned(), "a code");
            };
            let meaning = with_folded(&code, |code| self.tables.iter().find_map(|table| table.get(code)));
            match (meaning, self.otherwise) {
                (Some(Value::Null), _) | (None, Otherwise::Absent) => return Outcome::Missing,
                (Some(meaning), _) => value = Cow::Borrowed(meaning),
                (None, Otherwise::Keep) => {}
                (None, Otherwise::Unmapped) => return Outcome::Unmapped(code.into_owned()),
            }
        }
        let amount = match &self.class {
            Some(class) => match class_of(class, &value) {
                Ok(amount) => Some(amount),
                Err(outcome) => return outcome,
            },
            None => None,
        };
        let Some(amount) = amount.or_else(|| if self.counts() { cell::amount(&value) } else { None }) else {
            return Outcome::Value(value);
        };
        let amount = amount.times(self.factor);
        match &self.year {
            None => Outcome::Amount(amount),
            Some((year, reference, as_of)) => match self.age(*year, *reference, as_of.as_ref(), amount) {
                Some(amount) => Outcome::Amount(amount),
                None => Outcome::Bad(value.into_owned(), "a year that makes an age from 0 to 1000"),
            },
        }
    }

    /// Whether the way changes numbers on its way.
    fn counts(&self) -> bool {
        self.factor != 1.0 || self.year.is_some()
    }

    fn age(&self, year: YearUse, reference: i32, as_of: Option<&AsOfWay>, amount: Amount) -> Option<Amount> {
        let reference = f64::from(reference);
        let aged = match year {
            YearUse::Origin => Amount {
                low: reference - amount.high,
                high: reference - amount.low,
                mid: amount.mid.map(|mid| reference - mid),
            },
            YearUse::Age => {
                let taken = match as_of {
                    None => reference,
                    Some(AsOfWay::Year(year)) => f64::from(*year),
                    // Filled in by `follow_aged`, which has the row.
                    Some(AsOfWay::Column(_)) => return Some(amount),
                };
                let since = reference - taken;
                Amount {
                    low: amount.low + since,
                    high: amount.high + since,
                    mid: amount.mid.map(|mid| mid + since),
                }
            }
        };
        let sensible = |age: f64| (0.0..=OLDEST).contains(&age);
        let is_year = year == YearUse::Age || amount.low > 0.0;
        (is_year && sensible(aged.low) && sensible(aged.high)).then_some(aged)
    }

    /// Follows the way of an age, whose year of taking may stand in a column of its own.
    pub(crate) fn follow_aged<'v>(&'v self, cells: &'v [Option<Value>]) -> Outcome<'v> {
        let outcome = self.follow(cells);
        let Some((YearUse::Age, reference, Some(as_of))) = &self.year else {
            return outcome;
        };
        let (AsOfWay::Column(way), Outcome::Amount(amount)) = (as_of, &outcome) else {
            return outcome;
        };
        let taken = match way.follow(cells) {
            Outcome::Missing => return Outcome::Missing,
            Outcome::Amount(taken) if taken.is_one() => taken.low,
            Outcome::Value(value) => match cell::number(&value) {
                Some(taken) => taken,
                None => return Outcome::Bad(value.into_owned(), "the year in which the age was taken"),
            },
            other => return other,
        };
        let since = f64::from(*reference) - taken;
        let aged = Amount {
            low: amount.low + since,
            high: amount.high + since,
            mid: amount.mid.map(|mid| mid + since),
        };
        if (0.0..=OLDEST).contains(&since) && aged.high <= OLDEST {
            Outcome::Amount(aged)
        } else {
            Outcome::Bad(Value::from(taken), "a year that makes an age from 0 to 1000")
        }
    }
}

fn sources(names: &Names, columns: &mut Columns) -> Vec<Source> {
    let source = |name: &String| Source {
        whole: columns.want(name),
        inside: name.split_once('.').map(|(column, members)| {
            (
                columns.want(column),
                members.split('.').map(str::to_owned).collect(),
            )
        }),
    };
    names.0.iter().map(source).collect()
}

/// A table of codes, folded.
pub(crate) fn table(codes: &Pairs<Value>) -> Lookup<String, Value> {
    codes
        .0
        .iter()
        .map(|(code, meaning)| (fold(code), meaning.clone()))
        .collect()
}

fn cut(text: &str, slice: &Slice) -> Option<String> {
    if let Some([from, to]) = slice.chars {
        let letters: Vec<char> = text.chars().collect();
        return letters
            .get(from.checked_sub(1)?..to)
            .map(|part| part.iter().collect());
    }
    let part = text
        .split(slice.split.as_deref()?)
        .nth(slice.part?.checked_sub(1)?)?;
    Some(part.trim().to_owned())
}

fn read_as(value: &Value, read: Read, decimal: Option<Decimal>) -> Result<Cow<'_, Value>, &'static str> {
    let read = match read {
        Read::Code | Read::Text => match value {
            Value::String(text) if text.trim().len() == text.len() => return Ok(Cow::Borrowed(value)),
            _ => cell::text(value).map(Value::String).ok_or("a code or a text"),
        },
        Read::Number => match value {
            Value::Number(_) => return Ok(Cow::Borrowed(value)),
            _ => cell::as_text(value)
                .and_then(|text| written_number(&text, decimal))
                .map(Value::from),
        }
        .ok_or("a number"),
        Read::NumberInText => {
            let text = cell::text(value).map(|text| fold(&text)).unwrap_or_default();
            let begins = text
                .find(|letter: char| letter.is_ascii_digit())
                .ok_or("a text with a number in it")?;
            let rest = &text[begins..];
            let ends = rest.find(|letter: char| !(letter.is_ascii_digit() || letter == '.' || letter == ','));
            let number = rest[..ends.unwrap_or(rest.len())].trim_end_matches(['.', ',']);
            written_number(number, decimal)
                .map(Value::from)
                .ok_or("a text with a number in it")
        }
        Read::Year => {
            let text = cell::text(value).map(|text| fold(&text)).unwrap_or_default();
            let runs = text.split(|letter: char| !letter.is_ascii_digit());
            let year = runs
                .filter(|run| run.len() == 4)
                .find_map(|run| run.parse::<i32>().ok());
            // A date without separators, such as 20210630.
            let joined = || {
                (text.len() == 8)
                    .then(|| text.get(..4)?.parse::<i32>().ok())
                    .flatten()
            };
            year.or_else(joined).map(Value::from).ok_or("a year or a date")
        }
    };
    read.map(Cow::Owned)
}

/// A number as people write it: spaces between thousands, a comma or point before decimals, never both.
fn written_number(text: &str, decimal: Option<Decimal>) -> Option<f64> {
    let text: String = fold(text)
        .chars()
        .filter(|letter| !letter.is_whitespace())
        .collect();
    match (decimal, text.contains(','), text.contains('.')) {
        (_, true, true) | (Some(Decimal::Point), true, _) | (Some(Decimal::Comma), _, true) => None,
        (_, true, false) => parse_number(&text.replacen(',', ".", 1)),
        _ => parse_number(&text),
    }
}

fn class_of<'v>(class: &ClassTable, value: &Value) -> Result<Amount, Outcome<'v>> {
    match class {
        ClassTable::Table(rows) => {
            let code = cell::as_text(value).ok_or_else(|| Outcome::Bad(value.clone(), "a class"))?;
            let [low, high] = with_folded(&code, |code| rows.get(code))
                .ok_or_else(|| Outcome::Unmapped(code.into_owned()))?;
            Ok(match (low, high) {
                (Some(low), Some(high)) => Amount::class(*low, *high),
                // An open class says nothing about its middle.
                (low, high) => Amount {
                    low: low.unwrap_or(0.0),
                    high: high.unwrap_or(f64::INFINITY),
                    mid: None,
                },
            })
        }
        ClassTable::Rule { width, first } => {
            let number = cell::number(value).filter(|number| *number >= 1.0 && number.fract() == 0.0);
            let steps =
                number.ok_or_else(|| Outcome::Bad(value.clone(), "the number of a class, from 1"))? - 1.0;
            Ok(Amount::class(first[0] + steps * width, first[1] + steps * width))
        }
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    fn column(written: Value) -> Column {
        serde_json::from_value(written).expect("a column")
    }

    fn v(value: Value) -> Outcome<'static> {
        Outcome::Value(Cow::Owned(value))
    }

    fn follow(written: Value, row: Value) -> Outcome<'static> {
        let lists = Lookup::default();
        let common = Common {
            missing: &[],
            lists: &lists,
            reference_year: Some(2026),
        };
        let mut columns = Columns::default();
        let way = Way::lay(&column(written), 1.0, &common, &mut columns);
        let mut cells = vec![None; columns.len()];
        for (name, value) in row.as_object().expect("a row") {
            if let Some(place) = columns.meet(name) {
                cells[place] = Some(value.clone());
            }
        }
        match way.follow_aged(&cells) {
            Outcome::Missing => Outcome::Missing,
            Outcome::Value(value) => v(value.into_owned()),
            Outcome::Amount(amount) => Outcome::Amount(amount),
            Outcome::Unmapped(code) => Outcome::Unmapped(code),
            Outcome::Bad(found, expected) => Outcome::Bad(found, expected),
        }
    }

    #[test]
    fn cells_are_followed_in_the_fixed_order_of_steps() {
        use Outcome::{Amount as A, Bad, Missing, Unmapped};
        for (written, row, expected) in [
            // from: the first of several names that says something; case and width do not matter; members inside
            (
                json!({"from": ["Area_ha", "HECTARES"]}),
                json!({"Hectares": 3.2}),
                v(json!(3.2)),
            ),
            (
                json!({"from": ["A", "B"]}),
                json!({"A": " ", "B": "x"}),
                v(json!("x")),
            ),
            (json!({"from": "第１歩合"}), json!({"第1歩合": 7}), v(json!(7))),
            (
                json!({"from": "site.moisture"}),
                json!({"site": {"moisture": "dry"}}),
                v(json!("dry")),
            ),
            (
                json!({"from": "site.moisture"}),
                json!({"site.moisture": "wet"}),
                v(json!("wet")),
            ),
            (
                json!({"from": "strata.age"}),
                json!({"strata": [{"age": 60}, {"age": 20}]}),
                v(json!(60)),
            ),
            (json!({"from": "strata.age"}), json!({"strata": []}), Missing),
            (json!({"from": "A"}), json!({"B": 1}), Missing),
            // missing: numbers and texts alike
            (
                json!({"from": "A", "missing": [0, "-"]}),
                json!({"A": 0.0}),
                Missing,
            ),
            (
                json!({"from": "A", "missing": [0, "-"]}),
                json!({"A": "0"}),
                Missing,
            ),
            (
                json!({"from": "A", "missing": [0, "-"]}),
                json!({"A": "-"}),
                Missing,
            ),
            (
                json!({"from": ["A", "B"], "missing": [0]}),
                json!({"A": 0, "B": 5}),
                v(json!(5)),
            ),
            // const
            (json!({"const": "Robinia"}), json!({}), v(json!("Robinia"))),
            // slice
            (
                json!({"from": "A", "slice": {"chars": [3, 4]}}),
                json!({"A": "3050"}),
                v(json!("50")),
            ),
            (
                json!({"from": "A", "slice": {"chars": [3, 4]}}),
                json!({"A": "30"}),
                Bad(json!("30"), "a text long enough for its `slice`"),
            ),
            (
                json!({"from": "A", "slice": {"split": "-", "part": 2}}),
                json!({"A": "FF2-52-53"}),
                v(json!("52")),
            ),
            // read: codes keep their zeros and gain none; numbers with comma, spaces, words around them; years of dates
            (
                json!({"from": "A", "read": "code"}),
                json!({"A": "02"}),
                v(json!("02")),
            ),
            (
                json!({"from": "A", "read": "code"}),
                json!({"A": 2.0}),
                v(json!("2")),
            ),
            (
                json!({"from": "A", "read": "number", "decimal": ","}),
                json!({"A": "6541655,25537"}),
                v(json!(6541655.25537)),
            ),
            (
                json!({"from": "A", "read": "number"}),
                json!({"A": "1 234,5"}),
                v(json!(1234.5)),
            ),
            (
                json!({"from": "A", "read": "number"}),
                json!({"A": "1.234,5"}),
                Bad(json!("1.234,5"), "a number"),
            ),
            (
                json!({"from": "A", "decimal": "."}),
                json!({"A": "1,5"}),
                Bad(json!("1,5"), "a number"),
            ),
            (
                json!({"from": "A", "read": "number-in-text"}),
                json!({"A": "Bonitet 14"}),
                v(json!(14.0)),
            ),
            (
                json!({"from": "A", "read": "number-in-text"}),
                json!({"A": "none"}),
                Bad(json!("none"), "a text with a number in it"),
            ),
            (
                json!({"from": "A", "read": "year"}),
                json!({"A": "30.06.2021"}),
                v(json!(2021)),
            ),
            (
                json!({"from": "A", "read": "year"}),
                json!({"A": "20210630"}),
                v(json!(2021)),
            ),
            (
                json!({"from": "A", "read": "year"}),
                json!({"A": "June"}),
                Bad(json!("June"), "a year or a date"),
            ),
            // codes and else
            (
                json!({"from": "A", "codes": {"1": "moist"}}),
                json!({"A": 1.0}),
                v(json!("moist")),
            ),
            (
                json!({"from": "A", "codes": {"1": "moist"}}),
                json!({"A": "01"}),
                Unmapped("01".into()),
            ),
            (
                json!({"from": "A", "codes": {"1": null}}),
                json!({"A": 1}),
                Missing,
            ),
            (
                json!({"from": "A", "codes": {"1": "x"}, "else": "absent"}),
                json!({"A": 2}),
                Missing,
            ),
            (
                json!({"from": "A", "codes": {"1": "x"}, "else": "keep"}),
                json!({"A": "y"}),
                v(json!("y")),
            ),
            // class
            (
                json!({"from": "A", "class": {"B": [0.6, 0.8]}}),
                json!({"A": "b"}),
                A(Amount {
                    low: 0.6,
                    high: 0.8,
                    mid: Some(0.7),
                }),
            ),
            (
                json!({"from": "A", "class": {"B": [0.6, 0.8]}}),
                json!({"A": "X"}),
                Unmapped("X".into()),
            ),
            (
                json!({"from": "A", "class": {"VIN": [120, null]}}),
                json!({"A": "VIN"}),
                A(Amount {
                    low: 120.0,
                    high: f64::INFINITY,
                    mid: None,
                }),
            ),
            (
                json!({"from": "A", "class": {"width": 5, "first": [1, 5]}}),
                json!({"A": 13}),
                A(Amount {
                    low: 61.0,
                    high: 65.0,
                    mid: Some(63.0),
                }),
            ),
            (
                json!({"from": "A", "class": {"width": 5, "first": [1, 5]}}),
                json!({"A": 0}),
                Bad(json!(0), "the number of a class, from 1"),
            ),
            // year
            (
                json!({"from": "A", "year": "origin"}),
                json!({"A": 1987}),
                A(Amount::one(39.0)),
            ),
            (
                json!({"from": "A", "year": "origin"}),
                json!({"A": [1980, 1990]}),
                A(Amount {
                    low: 36.0,
                    high: 46.0,
                    mid: Some(41.0),
                }),
            ),
            (
                json!({"from": "A", "year": "origin"}),
                json!({"A": 0}),
                Bad(json!(0), "a year that makes an age from 0 to 1000"),
            ),
            (
                json!({"from": "A", "year": "origin"}),
                json!({"A": 2030}),
                Bad(json!(2030), "a year that makes an age from 0 to 1000"),
            ),
            (
                json!({"from": "A", "year": "age", "as_of": 2021}),
                json!({"A": 110}),
                A(Amount::one(115.0)),
            ),
            (
                json!({"from": "A", "year": "age", "as_of": {"from": "D", "read": "year"}}),
                json!({"A": 110, "D": "2021-09-01"}),
                A(Amount::one(115.0)),
            ),
            (
                json!({"from": "A", "year": "age", "as_of": {"from": "D", "read": "year"}}),
                json!({"A": 110}),
                Missing,
            ),
        ] {
            assert_eq!(
                follow(written.clone(), row.clone()),
                expected,
                "{written} on {row}"
            );
        }
    }
}
