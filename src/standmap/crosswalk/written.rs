//! A crosswalk as it is written: the members of its JSON, typed. In goes JSON, out comes what its writer wrote; what
//! the members may mean together is left to the lint.

use std::fmt;
use std::marker::PhantomData;

use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use serde_json::Value;

/// The whole file.
#[derive(Debug, Clone, PartialEq, Default, serde::Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, expecting = "an object")]
pub(crate) struct Written {
    pub(crate) format: String,
    #[serde(default, rename = "$schema")]
    pub(crate) _schema: Option<String>,
    #[serde(default, rename = "$comment")]
    pub(crate) _comment: Option<Value>,
    /// The one-byte encoding of the map's letters, such as `windows-1250`, where the map is not UTF-8.
    pub(crate) encoding: Option<String>,
    /// The reference system of the map's coordinates, such as `EPSG:3067`.
    pub(crate) crs: Option<String>,
    /// The box that the map lies in: west, south, east, north, in degrees.
    pub(crate) region: Option<[f64; 4]>,
    /// The language of the map's tree names, such as `de` or `fr-CA`; several, the first counting first.
    pub(crate) language: Option<Names>,
    pub(crate) reference_year: Option<i32>,
    #[serde(default)]
    pub(crate) missing: Vec<Value>,
    #[serde(default)]
    pub(crate) lists: Pairs<List>,
    /// Tables joined to the map, by the name that `rows` and `table.column` use.
    #[serde(default)]
    pub(crate) tables: Pairs<Table>,
    pub(crate) kind: Option<Cases>,
    pub(crate) id: Option<Column>,
    pub(crate) name: Option<Column>,
    #[serde(default)]
    pub(crate) trees: Vec<TreeEntry>,
    pub(crate) age: Option<Column>,
    pub(crate) planted: Option<Column>,
    pub(crate) canopy: Option<Column>,
    pub(crate) basal_area: Option<Column>,
    pub(crate) height: Option<Column>,
    pub(crate) nitrogen: Option<Column>,
    pub(crate) soil_reaction: Option<Column>,
    pub(crate) moisture: Option<Column>,
    pub(crate) nutrients: Option<Column>,
    pub(crate) aspect: Option<Column>,
    pub(crate) disturbance: Option<Column>,
    pub(crate) since: Option<Column>,
    pub(crate) elevation: Option<Column>,
    pub(crate) deadwood: Option<Column>,
    pub(crate) setting: Option<Column>,
    pub(crate) designation: Option<Column>,
    pub(crate) ownership: Option<Column>,
    #[serde(rename = "use")]
    pub(crate) land_use: Option<Column>,
    pub(crate) climate: Option<Column>,
    #[serde(default)]
    pub(crate) attributes: Pairs<Column>,
    #[serde(default)]
    pub(crate) keep: Vec<String>,
}

/// A list of codes, shared by columns.
#[derive(Debug, Clone, PartialEq, Default, serde::Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, expecting = "an object")]
pub(crate) struct List {
    #[serde(default, rename = "$comment")]
    pub(crate) _comment: Option<Value>,
    pub(crate) source: Option<String>,
    pub(crate) codes: Option<Pairs<Value>>,
    pub(crate) from_file: Option<String>,
}

/// A second file whose rows belong to stands.
#[derive(Debug, Clone, PartialEq, Default, serde::Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, expecting = "an object")]
pub(crate) struct Table {
    #[serde(default, rename = "$comment")]
    pub(crate) _comment: Option<Value>,
    #[serde(rename = "source")]
    pub(crate) _source: Option<String>,
    /// The file, CSV or a JSON array of objects, by its address relative to the crosswalk.
    pub(crate) from_file: String,
    /// The columns that say which stand a row belongs to.
    pub(crate) key: Key,
    /// The one-byte encoding of its letters, such as `windows-1250`, where it is not UTF-8.
    pub(crate) encoding: Option<String>,
    /// The character between the cells of CSV; else the one the line of names has most of.
    pub(crate) separator: Option<String>,
}

/// The columns of a key: of the same names in map and table, or told for each.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Key {
    Same(Names),
    Each { map: Names, table: Names },
}

/// How one target is read.
#[derive(Debug, Clone, PartialEq, Default, serde::Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, expecting = "an object")]
pub(crate) struct Column {
    #[serde(default, rename = "$comment")]
    pub(crate) _comment: Option<Value>,
    #[serde(default)]
    pub(crate) from: Names,
    #[serde(rename = "const")]
    pub(crate) constant: Option<Value>,
    #[serde(default)]
    pub(crate) missing: Vec<Value>,
    pub(crate) slice: Option<Slice>,
    pub(crate) read: Option<Read>,
    pub(crate) decimal: Option<Decimal>,
    pub(crate) list: Option<String>,
    pub(crate) codes: Option<Pairs<Value>>,
    #[serde(rename = "else")]
    pub(crate) otherwise: Option<Otherwise>,
    pub(crate) class: Option<Class>,
    pub(crate) unit: Option<String>,
    pub(crate) unstated: Option<Unstated>,
    pub(crate) year: Option<YearUse>,
    pub(crate) as_of: Option<AsOf>,
    pub(crate) split: Option<String>,
    #[serde(default)]
    pub(crate) tags: Vec<TagColumn>,
}

/// One or several columns that become a designation or setting each.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, expecting = "an object")]
pub(crate) struct TagColumn {
    #[serde(default, rename = "$comment")]
    pub(crate) _comment: Option<Value>,
    #[serde(default)]
    pub(crate) from: Names,
    #[serde(default)]
    pub(crate) missing: Vec<Value>,
    pub(crate) tag: Option<String>,
    pub(crate) codes: Option<Pairs<Value>>,
    #[serde(rename = "else")]
    pub(crate) otherwise: Option<Otherwise>,
}

/// One entry of `trees`.
#[derive(Debug, Clone, PartialEq, Default, serde::Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, expecting = "an object")]
pub(crate) struct TreeEntry {
    #[serde(default, rename = "$comment")]
    pub(crate) _comment: Option<Value>,
    pub(crate) repeat: Option<Repeat>,
    /// A joined table, or a property that holds an array of objects: each of its rows is one tree.
    pub(crate) rows: Option<String>,
    /// Only the rows for which this holds.
    #[serde(rename = "where")]
    pub(crate) only: Option<Test>,
    pub(crate) name: Option<Column>,
    pub(crate) share: Option<Column>,
    pub(crate) layer: Option<LayerColumn>,
    pub(crate) composition: Option<Composition>,
}

/// A layer: one word for the entry, or a column.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum LayerColumn {
    Word(String),
    Column(Box<Column>),
}

/// Numbered slots.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, expecting = "an object")]
pub(crate) struct Repeat {
    #[serde(default, rename = "$comment")]
    pub(crate) _comment: Option<Value>,
    pub(crate) slot: Vec<String>,
    pub(crate) stop_on_missing: Option<String>,
}

/// A concatenated composition.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, expecting = "an object")]
pub(crate) struct Composition {
    #[serde(default, rename = "$comment")]
    pub(crate) _comment: Option<Value>,
    #[serde(default)]
    pub(crate) from: Names,
    #[serde(default)]
    pub(crate) missing: Vec<Value>,
    pub(crate) order: Order,
    pub(crate) unit: Option<String>,
    pub(crate) list: Option<String>,
    pub(crate) trace: Option<String>,
    pub(crate) layer_mark: Option<String>,
    /// Characters that mean no more than a space does, such as `%,-`.
    pub(crate) ignore: Option<String>,
    #[serde(default)]
    pub(crate) slots: Vec<String>,
    pub(crate) width: Option<usize>,
    #[serde(default)]
    pub(crate) weights: Vec<Vec<f64>>,
}

/// In what order codes and shares stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Order {
    CodeShare,
    ShareCode,
    Positional,
    Digits,
}

/// How the text of a cell is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Read {
    Code,
    Text,
    Number,
    NumberInText,
    Year,
}

/// The decimal mark of numbers in texts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub(crate) enum Decimal {
    #[serde(rename = ",")]
    Comma,
    #[serde(rename = ".")]
    Point,
}

/// What a code that its table does not hold becomes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub(crate) enum Otherwise {
    Unmapped,
    Keep,
    Absent,
}

/// A part of a text: characters from and to (from 1, ends included), or a part between separators (from 1).
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, expecting = "an object")]
pub(crate) struct Slice {
    pub(crate) chars: Option<[usize; 2]>,
    pub(crate) split: Option<String>,
    pub(crate) part: Option<usize>,
}

/// Classes: a table from code to range, or a rule for numbered classes of one width.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Class {
    Table(Pairs<[Option<f64>; 2]>),
    Rule { width: f64, first: [f64; 2] },
}

/// A share that the map does not give.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Unstated {
    Leading,
    Between(f64, f64),
}

/// How an age is worked out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub(crate) enum YearUse {
    /// The value is the year of origin.
    Origin,
    /// The value is the age in the year of `as_of`.
    Age,
}

/// The year an age was taken in.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum AsOf {
    /// The reference year itself.
    Reference,
    Year(i32),
    Column(Box<Column>),
}

/// Cases that decide what a feature is.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, expecting = "an object")]
pub(crate) struct Cases {
    #[serde(default, rename = "$comment")]
    pub(crate) _comment: Option<Value>,
    pub(crate) when: Vec<Case>,
    #[serde(rename = "else")]
    pub(crate) otherwise: Option<FeatureKind>,
}

/// One case: a test on a column, and what the feature then is.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, expecting = "an object")]
pub(crate) struct Case {
    pub(crate) col: String,
    pub(crate) eq: Option<Value>,
    #[serde(rename = "in")]
    pub(crate) any_of: Option<Vec<Value>>,
    pub(crate) present: Option<bool>,
    pub(crate) between: Option<[f64; 2]>,
    pub(crate) then: FeatureKind,
}

/// A test on a column of a row.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, expecting = "an object")]
pub(crate) struct Test {
    pub(crate) col: String,
    pub(crate) eq: Option<Value>,
    #[serde(rename = "in")]
    pub(crate) any_of: Option<Vec<Value>>,
    pub(crate) present: Option<bool>,
    pub(crate) between: Option<[f64; 2]>,
}

/// What a feature is; only stands are kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub(crate) enum FeatureKind {
    Stand,
    Open,
    NotForest,
    NoData,
}

/// One name or several.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Names(pub(crate) Vec<String>);

/// The members of an object in their order, doubles kept.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Pairs<T>(pub(crate) Vec<(String, T)>);

impl<T> Default for Pairs<T> {
    fn default() -> Self {
        Pairs(Vec::new())
    }
}

impl<'de> Deserialize<'de> for Names {
    fn deserialize<D: Deserializer<'de>>(json: D) -> Result<Self, D::Error> {
        struct OneOrMany;
        impl<'de> Visitor<'de> for OneOrMany {
            type Value = Names;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("the name of a property, or an array of names")
            }
            fn visit_str<E>(self, name: &str) -> Result<Names, E> {
                Ok(Names(vec![name.to_owned()]))
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut names: A) -> Result<Names, A::Error> {
                let mut all = Vec::new();
                while let Some(name) = names.next_element()? {
                    all.push(name);
                }
                Ok(Names(all))
            }
        }
        json.deserialize_any(OneOrMany)
    }
}

impl Default for Key {
    fn default() -> Self {
        Key::Same(Names::default())
    }
}

impl<'de> Deserialize<'de> for Key {
    fn deserialize<D: Deserializer<'de>>(json: D) -> Result<Self, D::Error> {
        #[derive(serde::Deserialize)]
        #[serde(deny_unknown_fields, expecting = "an object")]
        struct Each {
            map: Names,
            table: Names,
        }
        struct SameOrEach;
        impl<'de> Visitor<'de> for SameOrEach {
            type Value = Key;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("the name of a column, an array of names, or an object with `map` and `table`")
            }
            fn visit_str<E>(self, name: &str) -> Result<Key, E> {
                Ok(Key::Same(Names(vec![name.to_owned()])))
            }
            fn visit_seq<A: SeqAccess<'de>>(self, names: A) -> Result<Key, A::Error> {
                Names::deserialize(serde::de::value::SeqAccessDeserializer::new(names)).map(Key::Same)
            }
            fn visit_map<A: MapAccess<'de>>(self, members: A) -> Result<Key, A::Error> {
                let Each { map, table } =
                    Each::deserialize(serde::de::value::MapAccessDeserializer::new(members))?;
                Ok(Key::Each { map, table })
            }
        }
        json.deserialize_any(SameOrEach)
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Pairs<T> {
    fn deserialize<D: Deserializer<'de>>(json: D) -> Result<Self, D::Error> {
        struct InOrder<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for InOrder<T> {
            type Value = Pairs<T>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("an object")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut members: A) -> Result<Pairs<T>, A::Error> {
                let mut all = Vec::new();
                while let Some(member) = members.next_entry()? {
                    all.push(member);
                }
                Ok(Pairs(all))
            }
        }
        json.deserialize_map(InOrder(PhantomData))
    }
}

impl<'de> Deserialize<'de> for LayerColumn {
    fn deserialize<D: Deserializer<'de>>(json: D) -> Result<Self, D::Error> {
        struct WordOrColumn;
        impl<'de> Visitor<'de> for WordOrColumn {
            type Value = LayerColumn;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("`canopy`, `understorey`, `retained`, or a column")
            }
            fn visit_str<E>(self, word: &str) -> Result<LayerColumn, E> {
                Ok(LayerColumn::Word(word.to_owned()))
            }
            fn visit_map<A: MapAccess<'de>>(self, members: A) -> Result<LayerColumn, A::Error> {
                let column = Column::deserialize(serde::de::value::MapAccessDeserializer::new(members))?;
                Ok(LayerColumn::Column(Box::new(column)))
            }
        }
        json.deserialize_any(WordOrColumn)
    }
}

impl<'de> Deserialize<'de> for AsOf {
    fn deserialize<D: Deserializer<'de>>(json: D) -> Result<Self, D::Error> {
        struct YearOrColumn;
        impl<'de> Visitor<'de> for YearOrColumn {
            type Value = AsOf;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a year, `reference`, or a column")
            }
            fn visit_str<E: serde::de::Error>(self, word: &str) -> Result<AsOf, E> {
                if word == "reference" {
                    Ok(AsOf::Reference)
                } else {
                    Err(E::unknown_variant(word, &["reference"]))
                }
            }
            fn visit_u64<E: serde::de::Error>(self, year: u64) -> Result<AsOf, E> {
                i32::try_from(year)
                    .map(AsOf::Year)
                    .map_err(|_| E::invalid_value(serde::de::Unexpected::Unsigned(year), &self))
            }
            fn visit_map<A: MapAccess<'de>>(self, members: A) -> Result<AsOf, A::Error> {
                let column = Column::deserialize(serde::de::value::MapAccessDeserializer::new(members))?;
                Ok(AsOf::Column(Box::new(column)))
            }
        }
        json.deserialize_any(YearOrColumn)
    }
}

impl<'de> Deserialize<'de> for Unstated {
    fn deserialize<D: Deserializer<'de>>(json: D) -> Result<Self, D::Error> {
        struct WordOrPair;
        impl<'de> Visitor<'de> for WordOrPair {
            type Value = Unstated;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("`leading`, or a pair of shares from low to high")
            }
            fn visit_str<E: serde::de::Error>(self, word: &str) -> Result<Unstated, E> {
                if word == "leading" {
                    Ok(Unstated::Leading)
                } else {
                    Err(E::unknown_variant(word, &["leading"]))
                }
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut pair: A) -> Result<Unstated, A::Error> {
                let ends = (
                    pair.next_element()?,
                    pair.next_element()?,
                    pair.next_element::<f64>()?,
                );
                match ends {
                    (Some(low), Some(high), None) => Ok(Unstated::Between(low, high)),
                    _ => Err(serde::de::Error::invalid_type(serde::de::Unexpected::Seq, &self)),
                }
            }
        }
        json.deserialize_any(WordOrPair)
    }
}

impl<'de> Deserialize<'de> for Class {
    fn deserialize<D: Deserializer<'de>>(json: D) -> Result<Self, D::Error> {
        struct TableOrRule;
        impl<'de> Visitor<'de> for TableOrRule {
            type Value = Class;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(
                    "an object of ranges such as {\"A\": [0.8, 1]}, or {\"width\": 5, \"first\": [1, 5]}",
                )
            }
            fn visit_map<A: MapAccess<'de>>(self, mut members: A) -> Result<Class, A::Error> {
                let mut all: Vec<(String, [Option<f64>; 2])> = Vec::new();
                let mut width = None;
                while let Some(name) = members.next_key::<String>()? {
                    if name == "width" {
                        width = Some(members.next_value()?);
                    } else {
                        all.push((name, members.next_value()?));
                    }
                }
                match (width, all.as_slice()) {
                    (Some(width), [(first, [Some(low), Some(high)])]) if first == "first" => {
                        Ok(Class::Rule {
                            width,
                            first: [*low, *high],
                        })
                    }
                    (Some(_), _) => Err(serde::de::Error::missing_field("first")),
                    (None, _) => Ok(Class::Table(Pairs(all))),
                }
            }
        }
        json.deserialize_map(TableOrRule)
    }
}
