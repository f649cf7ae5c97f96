//! The geometry of a feature as it stands in the file, whatever its order of members. In goes the JSON of a
//! geometry, out come its type and its positions with the nesting they had; repair is left to `geometry`.
//!
//! Nothing here fails: what is not a number where a number must stand is kept as a flaw in words.

use std::borrow::Cow;
use std::fmt;

use serde::Deserializer;
use serde::de::{DeserializeSeed, IgnoredAny, MapAccess, SeqAccess, Visitor};

use super::outline::POSITIONS_AT_MOST;
use crate::geometry::Polygons;

/// A geometry in its parts.
#[derive(Debug, Default)]
pub(crate) struct Geometry {
    /// The member `type`.
    pub(crate) kind: Option<Cow<'static, str>>,
    /// The member `coordinates`.
    pub(crate) shape: Shape,
    /// The member `geometries`.
    pub(crate) members: Vec<Geometry>,
}

/// Positions with the nesting they had.
#[derive(Debug, Default)]
pub(crate) struct Shape {
    /// Longitude and latitude of every position, as far as they are kept; further numbers are left off.
    pub(crate) positions: Vec<[f64; 2]>,
    /// Positions beyond those that are kept.
    pub(crate) beyond: usize,
    /// Where each array of positions ends.
    ring_ends: Vec<usize>,
    /// Where each array of such arrays ends, in rings.
    polygon_ends: Vec<usize>,
    /// The first thing that stood where it must not, in words.
    pub(crate) flaw: Option<String>,
    /// How deep the arrays are nested: 1 a position, 2 a line, 3 a polygon, 4 several polygons.
    pub(crate) height: u8,
    number: f64,
}

impl Shape {
    /// Where each ring ends, in positions.
    pub(crate) fn ring_ends(&self) -> &[usize] {
        &self.ring_ends
    }

    /// Where each polygon ends, in rings: one where the arrays are nested three deep, several where four deep.
    pub(crate) fn polygon_ends(&self) -> &[usize] {
        &self.polygon_ends
    }

    /// Takes in the polygons of another.
    pub(crate) fn take_in(&mut self, other: Shape) {
        if self.positions.is_empty() {
            *self = other;
            return;
        }
        let (positions, rings) = (self.positions.len(), self.ring_ends.len());
        self.positions.extend(other.positions);
        self.ring_ends
            .extend(other.ring_ends.iter().map(|end| end + positions));
        self.polygon_ends
            .extend(other.polygon_ends.iter().map(|end| end + rings));
    }

    /// How many rings there are.
    pub(crate) fn rings(&self) -> usize {
        self.ring_ends.len()
    }

    /// These polygons, as coordinates nested four deep.
    pub(crate) fn of_polygons(polygons: &Polygons) -> Shape {
        let mut shape = Shape {
            height: 4,
            ..Shape::default()
        };
        for rings in polygons {
            for ring in rings {
                shape.positions.extend_from_slice(ring);
                shape.ring_ends.push(shape.positions.len());
            }
            shape.polygon_ends.push(shape.ring_ends.len());
        }
        shape
    }

    /// Ends a ring of the positions since the last one.
    pub(super) fn end_ring(&mut self) {
        self.ring_ends.push(self.positions.len());
    }

    /// Ends a polygon of the rings since the last one.
    pub(super) fn end_polygon(&mut self) {
        self.polygon_ends.push(self.ring_ends.len());
    }

    fn flawed(&mut self, flaw: impl FnOnce() -> String) -> u8 {
        self.flaw.get_or_insert_with(flaw);
        ODD
    }
}

/// So many positions of one geometry are kept, one more than a stand can have.
const POSITIONS_KEPT: usize = POSITIONS_AT_MOST + 1;

/// Heights of an array of coordinates; a number has none.
const NUMBER: u8 = 0;
const POSITION: u8 = 1;
const LINE: u8 = 2;
const POLYGON: u8 = 3;
/// An empty array, which fits anywhere.
const EMPTY: u8 = 254;
/// Something that is no coordinate.
const ODD: u8 = 255;

impl<'de> DeserializeSeed<'de> for &mut Shape {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, json: D) -> Result<(), D::Error> {
        let height = json.deserialize_any(Level(self))?;
        self.height = if height >= EMPTY { 0 } else { height };
        Ok(())
    }
}

/// One level of nested coordinates; gives its height.
struct Level<'s>(&'s mut Shape);

impl<'de> DeserializeSeed<'de> for Level<'_> {
    type Value = u8;

    fn deserialize<D: Deserializer<'de>>(self, json: D) -> Result<u8, D::Error> {
        json.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Level<'_> {
    type Value = u8;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("coordinates")
    }

    fn visit_f64<E>(self, number: f64) -> Result<u8, E> {
        self.0.number = number;
        Ok(NUMBER)
    }

    fn visit_i64<E: serde::de::Error>(self, number: i64) -> Result<u8, E> {
        self.visit_f64(number as f64)
    }

    fn visit_u64<E: serde::de::Error>(self, number: u64) -> Result<u8, E> {
        self.visit_f64(number as f64)
    }

    fn visit_unit<E>(self) -> Result<u8, E> {
        Ok(self.0.flawed(|| "`null` in place of a number".to_owned()))
    }

    fn visit_bool<E>(self, found: bool) -> Result<u8, E> {
        Ok(self.0.flawed(|| format!("`{found}` in place of a number")))
    }

    fn visit_str<E>(self, found: &str) -> Result<u8, E> {
        let found: String = found.chars().take(40).collect();
        Ok(self
            .0
            .flawed(|| format!("the text \"{found}\" in place of a number")))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut members: A) -> Result<u8, A::Error> {
        while members.next_entry::<IgnoredAny, IgnoredAny>()?.is_some() {}
        Ok(self.0.flawed(|| "an object among the coordinates".to_owned()))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut members: A) -> Result<u8, A::Error> {
        let shape = self.0;
        let mut numbers = [0.0; 2];
        let mut count = 0;
        let mut height = EMPTY;
        while let Some(found) = members.next_element_seed(Level(shape))? {
            if found == NUMBER && count < 2 {
                numbers[count] = shape.number;
            }
            count += 1;
            height = match (height, found) {
                (ODD, _) | (_, ODD) => ODD,
                (EMPTY, any) | (any, EMPTY) => any,
                (one, other) if one == other => one,
                _ => shape.flawed(|| "arrays of unequal depth among the coordinates".to_owned()),
            };
        }
        Ok(match height {
            NUMBER if count < 2 => shape.flawed(|| "a position of one number, expected two".to_owned()),
            NUMBER => {
                if shape.positions.len() < POSITIONS_KEPT {
                    shape.positions.push(numbers);
                } else {
                    shape.beyond += 1;
                }
                POSITION
            }
            POSITION => {
                shape.end_ring();
                LINE
            }
            LINE => {
                shape.end_polygon();
                POLYGON
            }
            EMPTY | ODD => height,
            deeper => deeper.saturating_add(1),
        })
    }
}

/// Reads a geometry, or null.
pub(crate) struct GeometrySeed;

impl GeometrySeed {
    /// Reads an array of geometries.
    pub(crate) fn list() -> GeometryListSeed {
        GeometryListSeed
    }
}

impl<'de> DeserializeSeed<'de> for GeometrySeed {
    type Value = Option<Geometry>;

    fn deserialize<D: Deserializer<'de>>(self, json: D) -> Result<Self::Value, D::Error> {
        json.deserialize_any(self)
    }
}

fn not_a_geometry<E>(what: impl fmt::Display) -> Result<Option<Geometry>, E> {
    let mut geometry = Geometry::default();
    geometry.shape.flaw = Some(format!("{what} in place of a geometry"));
    Ok(Some(geometry))
}

impl<'de> Visitor<'de> for GeometrySeed {
    type Value = Option<Geometry>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a geometry or null")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut members: A) -> Result<Self::Value, A::Error> {
        let mut geometry = Geometry::default();
        while let Some(name) = members.next_key::<String>()? {
            match name.as_str() {
                "type" => geometry.kind = members.next_value_seed(TypeSeed)?,
                "coordinates" => members.next_value_seed(&mut geometry.shape)?,
                "geometries" => geometry.members = members.next_value_seed(GeometrySeed::list())?,
                _ => {
                    members.next_value::<IgnoredAny>()?;
                }
            }
        }
        Ok(Some(geometry))
    }

    fn visit_unit<E>(self) -> Result<Self::Value, E> {
        Ok(None)
    }

    fn visit_bool<E>(self, found: bool) -> Result<Self::Value, E> {
        not_a_geometry(format_args!("`{found}`"))
    }

    fn visit_i64<E>(self, found: i64) -> Result<Self::Value, E> {
        not_a_geometry(format_args!("the number {found}"))
    }

    fn visit_u64<E>(self, found: u64) -> Result<Self::Value, E> {
        not_a_geometry(format_args!("the number {found}"))
    }

    fn visit_f64<E>(self, found: f64) -> Result<Self::Value, E> {
        not_a_geometry(format_args!("the number {found}"))
    }

    fn visit_str<E>(self, _: &str) -> Result<Self::Value, E> {
        not_a_geometry("a text")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut members: A) -> Result<Self::Value, A::Error> {
        while members.next_element::<IgnoredAny>()?.is_some() {}
        not_a_geometry("an array")
    }
}

/// Reads an array of geometries; anything else is none.
pub(crate) struct GeometryListSeed;

impl<'de> DeserializeSeed<'de> for GeometryListSeed {
    type Value = Vec<Geometry>;

    fn deserialize<D: Deserializer<'de>>(self, json: D) -> Result<Self::Value, D::Error> {
        json.deserialize_seq(self)
    }
}

impl<'de> Visitor<'de> for GeometryListSeed {
    type Value = Vec<Geometry>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an array of geometries")
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut members: A) -> Result<Self::Value, A::Error> {
        let mut list = Vec::new();
        while let Some(member) = members.next_element_seed(GeometrySeed)? {
            list.extend(member);
        }
        Ok(list)
    }
}

/// Reads a `type`: a text, or nothing where it is not one.
pub(crate) struct TypeSeed;

impl<'de> DeserializeSeed<'de> for TypeSeed {
    type Value = Option<Cow<'static, str>>;

    fn deserialize<D: Deserializer<'de>>(self, json: D) -> Result<Self::Value, D::Error> {
        json.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for TypeSeed {
    type Value = Option<Cow<'static, str>>;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a type")
    }

    fn visit_str<E>(self, text: &str) -> Result<Self::Value, E> {
        Ok(Some(text.chars().take(40).collect::<String>().into()))
    }

    fn visit_unit<E>(self) -> Result<Self::Value, E> {
        Ok(None)
    }

    fn visit_bool<E>(self, found: bool) -> Result<Self::Value, E> {
        Ok(Some(found.to_string().into()))
    }

    fn visit_i64<E>(self, found: i64) -> Result<Self::Value, E> {
        Ok(Some(found.to_string().into()))
    }

    fn visit_u64<E>(self, found: u64) -> Result<Self::Value, E> {
        Ok(Some(found.to_string().into()))
    }

    fn visit_f64<E>(self, found: f64) -> Result<Self::Value, E> {
        Ok(Some(found.to_string().into()))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut members: A) -> Result<Self::Value, A::Error> {
        while members.next_element::<IgnoredAny>()?.is_some() {}
        Ok(Some("an array".into()))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut members: A) -> Result<Self::Value, A::Error> {
        while members.next_entry::<IgnoredAny, IgnoredAny>()?.is_some() {}
        Ok(Some("an object".into()))
    }
}
