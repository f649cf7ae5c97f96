//! TopoJSON, in which stands share their borders. In goes the text of a topology (the TopoJSON Format Specification,
//! version 1), out come the members of its one layer of polygons, their rings put together from arcs. What the members
//! make of stands is left to the reader.

use std::collections::BTreeMap;
use std::fmt;

use serde::Deserialize;
use serde::de::{Deserializer, IgnoredAny, SeqAccess, Visitor};
use serde_json::value::RawValue;

use super::shape::{Geometry, Shape};
use super::unreadable::Unreadable;
use crate::geometry::Polygons;

/// A topology as it is written.
#[derive(Deserialize)]
struct Written<'a> {
    #[serde(borrow, default)]
    objects: BTreeMap<String, &'a RawValue>,
    #[serde(default)]
    arcs: Vec<Vec<At>>,
    transform: Option<Transform>,
}

/// How whole numbers become positions.
#[derive(Debug, Clone, Copy, Deserialize)]
struct Transform {
    scale: [f64; 2],
    translate: [f64; 2],
}

/// The first two numbers of a position.
#[derive(Debug, Clone, Copy)]
struct At([f64; 2]);

impl<'de> Deserialize<'de> for At {
    fn deserialize<D: Deserializer<'de>>(json: D) -> Result<At, D::Error> {
        struct Position;

        impl<'de> Visitor<'de> for Position {
            type Value = At;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a position of two numbers or more")
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut members: A) -> Result<At, A::Error> {
                let mut numbers = [0.0; 2];
                for (place, number) in numbers.iter_mut().enumerate() {
                    *number = members
                        .next_element()?
                        .ok_or_else(|| serde::de::Error::invalid_length(place, &self))?;
                }
                while members.next_element::<IgnoredAny>()?.is_some() {}
                Ok(At(numbers))
            }
        }

        json.deserialize_seq(Position)
    }
}

/// A layer: a collection of members, or one member alone.
#[derive(Deserialize)]
struct Layer<'a> {
    #[serde(rename = "type")]
    kind: Option<String>,
    #[serde(borrow)]
    geometries: Option<Vec<&'a RawValue>>,
}

/// A member of a layer, as far as its outline goes.
#[derive(Deserialize)]
struct Member {
    #[serde(rename = "type")]
    kind: Option<String>,
    #[serde(default)]
    arcs: Option<Arcs>,
    #[serde(default)]
    geometries: Vec<Member>,
}

/// Arcs of a line, a polygon or several polygons; the number of an arc that runs backwards is counted from -1 down.
#[derive(Deserialize)]
#[serde(untagged)]
enum Arcs {
    Line(Vec<i64>),
    Polygon(Vec<Vec<i64>>),
    Polygons(Vec<Vec<Vec<i64>>>),
}

/// A topology, read.
pub(crate) struct Topology<'a> {
    /// The arcs, in positions of the map.
    arcs: Vec<Vec<[f64; 2]>>,
    /// The members of the layer of stands, as text.
    pub(crate) members: Vec<&'a RawValue>,
    /// Layers without polygons, by name.
    pub(crate) without_polygons: Vec<String>,
}

impl<'a> Topology<'a> {
    /// Reads a topology.
    ///
    /// # Errors
    /// [`Unreadable`] where it is none, or has several layers of polygons.
    pub(crate) fn read(text: &'a str) -> Result<Topology<'a>, Unreadable> {
        let wrong = |found: String, advice: &str| Unreadable::new("topojson", found, advice);
        let broken = |what: &str, error: &serde_json::Error| {
            let said = error.to_string();
            let said = said.split(" at line ").next().unwrap_or_default().to_owned();
            wrong(
                format!("{what} of the TopoJSON file cannot be read: {said}"),
                "Have the file written by a TopoJSON writer, or convert it to GeoJSON",
            )
        };
        let written: Written<'a> =
            serde_json::from_str(text).map_err(|error| broken("the arcs or layers", &error))?;
        let mut layers: Vec<(String, Vec<&RawValue>)> = Vec::new();
        let mut without_polygons = Vec::new();
        for (name, object) in written.objects {
            let layer: Layer<'a> = serde_json::from_str(object.get())
                .map_err(|error| broken(&format!("the layer `{name}`"), &error))?;
            let members = match layer.kind.as_deref() {
                Some("GeometryCollection") => layer.geometries.unwrap_or_default(),
                _ => vec![object],
            };
            let has_polygons = members.iter().any(|member| {
                serde_json::from_str::<Member>(member.get()).is_ok_and(|member| member.has_polygons())
            });
            if has_polygons {
                layers.push((name, members));
            } else {
                without_polygons.push(name);
            }
        }
        if layers.len() > 1 {
            let named: Vec<String> = layers
                .iter()
                .map(|(name, members)| format!("`{name}` ({})", members.len()))
                .collect();
            return Err(wrong(
                format!(
                    "the TopoJSON file has {} layers of polygons, {}, expected one",
                    layers.len(),
                    named.join(", ")
                ),
                "Publish the layer of stands in a file of its own",
            ));
        }
        let arcs = written
            .arcs
            .into_iter()
            .map(|arc| placed(arc, written.transform))
            .collect();
        Ok(Topology {
            arcs,
            members: layers.pop().map(|(_, members)| members).unwrap_or_default(),
            without_polygons,
        })
    }

    /// The geometry of a member. What is wrong with it is kept in words, as for GeoJSON.
    pub(crate) fn geometry(&self, member: &RawValue) -> Option<Geometry> {
        match serde_json::from_str::<Member>(member.get()) {
            Ok(member) => self.of_member(member),
            Err(_) => Some(flawed(None, "arcs that are not whole numbers")),
        }
    }

    fn of_member(&self, member: Member) -> Option<Geometry> {
        let kind = member.kind?;
        let polygons = match (kind.as_str(), member.arcs) {
            ("GeometryCollection", _) => {
                return Some(Geometry {
                    kind: Some(kind.into()),
                    members: member
                        .geometries
                        .into_iter()
                        .filter_map(|member| self.of_member(member))
                        .collect(),
                    ..Geometry::default()
                });
            }
            ("Polygon", Some(Arcs::Polygon(rings))) => self.polygons(&[rings]),
            ("MultiPolygon", Some(Arcs::Polygons(polygons))) => self.polygons(&polygons),
            // An empty array fits anywhere.
            ("Polygon" | "MultiPolygon", Some(Arcs::Line(none))) if none.is_empty() => Ok(Polygons::new()),
            ("Polygon" | "MultiPolygon", _) => {
                Err("arcs that are nested otherwise than its type says".to_owned())
            }
            _ => {
                return Some(Geometry {
                    kind: Some(kind.into()),
                    ..Geometry::default()
                });
            }
        };
        Some(match polygons {
            Ok(polygons) => Geometry {
                kind: Some("MultiPolygon".into()),
                shape: Shape::of_polygons(&polygons),
                ..Geometry::default()
            },
            Err(flaw) => flawed(Some(kind), flaw),
        })
    }

    fn polygons(&self, polygons: &[Vec<Vec<i64>>]) -> Result<Polygons, String> {
        let rings = |rings: &Vec<Vec<i64>>| rings.iter().map(|ring| self.ring(ring)).collect();
        polygons.iter().map(rings).collect()
    }

    /// A ring put together from arcs; each begins where the one before ends.
    fn ring(&self, arcs: &[i64]) -> Result<Vec<[f64; 2]>, String> {
        let mut ring: Vec<[f64; 2]> = Vec::new();
        for &number in arcs {
            let backwards = number < 0;
            let place = if backwards { !number } else { number };
            let arc = usize::try_from(place).ok().and_then(|place| self.arcs.get(place));
            let Some(arc) = arc else {
                return Err(format!("the arc {number}, of {}", self.arcs.len()));
            };
            let skipped = usize::from(!ring.is_empty());
            if backwards {
                ring.extend(arc.iter().rev().skip(skipped));
            } else {
                ring.extend(arc.iter().skip(skipped));
            }
        }
        Ok(ring)
    }
}

impl Member {
    fn has_polygons(&self) -> bool {
        matches!(self.kind.as_deref(), Some("Polygon" | "MultiPolygon"))
            || self.geometries.iter().any(Member::has_polygons)
    }
}

/// The positions of an arc: as they stand, or each counted from the one before.
fn placed(arc: Vec<At>, transform: Option<Transform>) -> Vec<[f64; 2]> {
    let Some(Transform { scale, translate }) = transform else {
        return arc.into_iter().map(|At(position)| position).collect();
    };
    let mut sum = [0.0; 2];
    arc.into_iter()
        .map(|At(step)| {
            sum = [sum[0] + step[0], sum[1] + step[1]];
            [sum[0] * scale[0] + translate[0], sum[1] * scale[1] + translate[1]]
        })
        .collect()
}

fn flawed(kind: Option<String>, flaw: impl Into<String>) -> Geometry {
    let mut geometry = Geometry {
        kind: Some(kind.map_or("Polygon".into(), Into::into)),
        ..Geometry::default()
    };
    geometry.shape.flaw = Some(flaw.into());
    geometry
}
