//! One feature of a stand map, read on its own: type, id, outline, and the wanted cells of its properties. In goes
//! the JSON text of one feature, out comes its parts; whether they make a stand is left to the reader.
//!
//! Everything else in the feature is skipped while parsing. A bare geometry is a feature without properties.

use std::borrow::Cow;
use std::fmt;

use serde::Deserializer;
use serde::de::{DeserializeSeed, IgnoredAny, MapAccess, Visitor};
use serde_json::Value;

use super::columns::Columns;
use super::shape::{Geometry, GeometrySeed, TypeSeed};

/// A feature in its parts.
#[derive(Debug, Default)]
pub(crate) struct Feature {
    /// The member `type`.
    pub(crate) kind: Option<Cow<'static, str>>,
    /// The member `id`.
    pub(crate) id: Option<Value>,
    /// The member `geometry`; `None` where it is missing or null.
    pub(crate) geometry: Option<Geometry>,
    /// The geometry's own members, where the feature is a bare geometry.
    pub(crate) bare: Geometry,
    /// The wanted cells, in the order of the columns.
    pub(crate) cells: Vec<Option<Value>>,
    /// What `properties` is where it is neither an object nor null.
    pub(crate) odd_properties: Option<String>,
    /// The member `crs`.
    pub(crate) crs: Option<Value>,
    /// What the member `features` is, where there is one.
    pub(crate) features: Option<Features>,
    /// The member `reference_year`, in a document.
    pub(crate) reference_year: Option<i32>,
}

/// What the member `features` of a document is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Features {
    /// An array.
    Array,
    /// Null.
    Null,
    /// Anything else.
    Other,
}

/// Reads one feature, or a document less its features.
///
/// # Errors
/// Where the text is not JSON, or not a JSON object.
pub(crate) fn read(text: &str, columns: &mut Columns) -> Result<Feature, serde_json::Error> {
    let mut json = serde_json::Deserializer::from_str(text);
    let feature = FeatureSeed { columns }.deserialize(&mut json)?;
    json.end()?;
    Ok(feature)
}

struct FeatureSeed<'c> {
    columns: &'c mut Columns,
}

impl<'de> DeserializeSeed<'de> for FeatureSeed<'_> {
    type Value = Feature;

    fn deserialize<D: Deserializer<'de>>(self, json: D) -> Result<Feature, D::Error> {
        json.deserialize_map(self)
    }
}

impl<'de> Visitor<'de> for FeatureSeed<'_> {
    type Value = Feature;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an object of type `Feature`")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut members: A) -> Result<Feature, A::Error> {
        let mut feature = Feature::default();
        while let Some(name) = members.next_key_seed(NameSeed)? {
            match name {
                Name::Type => {
                    feature.kind = members.next_value_seed(TypeSeed)?;
                    feature.bare.kind.clone_from(&feature.kind);
                }
                Name::Id => feature.id = Some(members.next_value()?),
                Name::Geometry => feature.geometry = members.next_value_seed(GeometrySeed)?,
                Name::Properties => members.next_value_seed(PropertiesSeed {
                    columns: self.columns,
                    feature: &mut feature,
                })?,
                Name::Coordinates => members.next_value_seed(&mut feature.bare.shape)?,
                Name::Geometries => feature.bare.members = members.next_value_seed(GeometrySeed::list())?,
                Name::Crs => feature.crs = Some(members.next_value()?),
                Name::Features => {
                    feature.features = Some(match members.next_value::<Value>()? {
                        Value::Array(_) => Features::Array,
                        Value::Null => Features::Null,
                        _ => Features::Other,
                    });
                }
                Name::ReferenceYear => {
                    let year = members.next_value::<Value>()?.as_i64();
                    feature.reference_year = year.and_then(|year| i32::try_from(year).ok());
                }
                Name::Other => {
                    members.next_value::<IgnoredAny>()?;
                }
            }
        }
        if feature.cells.is_empty() {
            feature.cells.resize_with(self.columns.len(), || None);
        }
        Ok(feature)
    }
}

/// The members of a feature or document that are read.
enum Name {
    Type,
    Id,
    Geometry,
    Properties,
    Coordinates,
    Geometries,
    Crs,
    Features,
    ReferenceYear,
    Other,
}

struct NameSeed;

impl<'de> DeserializeSeed<'de> for NameSeed {
    type Value = Name;

    fn deserialize<D: Deserializer<'de>>(self, json: D) -> Result<Name, D::Error> {
        json.deserialize_str(self)
    }
}

impl Visitor<'_> for NameSeed {
    type Value = Name;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the name of a member")
    }

    fn visit_str<E>(self, name: &str) -> Result<Name, E> {
        Ok(match name {
            "type" => Name::Type,
            "id" => Name::Id,
            "geometry" => Name::Geometry,
            "properties" => Name::Properties,
            "coordinates" => Name::Coordinates,
            "geometries" => Name::Geometries,
            "crs" => Name::Crs,
            "features" => Name::Features,
            "reference_year" => Name::ReferenceYear,
            _ => Name::Other,
        })
    }
}

/// Reads `properties`: wanted cells into the feature's row, the names of the others into the counts.
pub(super) struct PropertiesSeed<'a> {
    pub(super) columns: &'a mut Columns,
    pub(super) feature: &'a mut Feature,
}

impl<'de> DeserializeSeed<'de> for PropertiesSeed<'_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, json: D) -> Result<(), D::Error> {
        json.deserialize_any(self)
    }
}

impl PropertiesSeed<'_> {
    fn odd<E>(self, what: impl fmt::Display) -> Result<(), E> {
        self.feature.odd_properties = Some(what.to_string());
        Ok(())
    }
}

impl<'de> Visitor<'de> for PropertiesSeed<'_> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an object or null")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut members: A) -> Result<(), A::Error> {
        let cells = &mut self.feature.cells;
        cells.clear();
        cells.resize_with(self.columns.len(), || None);
        while let Some(column) = members.next_key_seed(ColumnSeed(self.columns))? {
            match column {
                Some(column) => {
                    let cell = members.next_value()?;
                    // Of two names for one column, such as `AGE` and `Age`, the first that holds something stays.
                    if cells[column].as_ref().is_none_or(Value::is_null) {
                        cells[column] = Some(cell);
                    }
                }
                None => {
                    members.next_value::<IgnoredAny>()?;
                }
            }
        }
        Ok(())
    }

    fn visit_unit<E>(self) -> Result<(), E> {
        Ok(())
    }

    fn visit_bool<E>(self, found: bool) -> Result<(), E> {
        self.odd(found)
    }

    fn visit_i64<E>(self, found: i64) -> Result<(), E> {
        self.odd(found)
    }

    fn visit_u64<E>(self, found: u64) -> Result<(), E> {
        self.odd(found)
    }

    fn visit_f64<E>(self, found: f64) -> Result<(), E> {
        self.odd(found)
    }

    fn visit_str<E>(self, _: &str) -> Result<(), E> {
        self.odd("a text")
    }

    fn visit_seq<A: serde::de::SeqAccess<'de>>(self, mut members: A) -> Result<(), A::Error> {
        while members.next_element::<IgnoredAny>()?.is_some() {}
        self.odd("an array")
    }
}

struct ColumnSeed<'c>(&'c mut Columns);

impl<'de> DeserializeSeed<'de> for ColumnSeed<'_> {
    type Value = Option<usize>;

    fn deserialize<D: Deserializer<'de>>(self, json: D) -> Result<Option<usize>, D::Error> {
        json.deserialize_str(self)
    }
}

impl Visitor<'_> for ColumnSeed<'_> {
    type Value = Option<usize>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the name of a property")
    }

    fn visit_str<E>(self, name: &str) -> Result<Option<usize>, E> {
        Ok(self.0.meet(name))
    }
}
