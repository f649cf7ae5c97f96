//! The JSON Schema of a crosswalk, made from the types that read it and from the tables that its lint checks with. In
//! go the types, out comes a schema that editors can follow; what needs the whole file or a map is left to the lint.

use std::borrow::Cow;

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde_json::Value;

use super::FORMAT;
use super::written::{AsOf, Class, Column, Key, LayerColumn, Names, Pairs, Unstated, Written};

/// The schema of a crosswalk (JSON Schema 2020-12).
pub fn schema() -> Value {
    let generator = SchemaSettings::draft2020_12().into_generator();
    let mut schema = generator.into_root_schema_for::<Written>().to_value();
    schema["title"] = Value::from("Hostwood crosswalk");
    schema["properties"]["format"] = serde_json::json!({
        "description": "The format's name and version.",
        "const": FORMAT,
    });
    schema
}

macro_rules! schema_of {
    ($type:ty, $name:literal, |$generator:ident| $schema:expr) => {
        impl JsonSchema for $type {
            fn schema_name() -> Cow<'static, str> {
                $name.into()
            }

            fn json_schema($generator: &mut SchemaGenerator) -> Schema {
                $schema
            }
        }
    };
}

schema_of!(Names, "Names", |_generator| json_schema!({
    "description": "One name, or several of which the first that says something is taken.",
    "anyOf": [
        {"type": "string", "minLength": 1},
        {"type": "array", "items": {"type": "string"}, "minItems": 1},
    ],
}));

schema_of!(Key, "Key", |generator| {
    let names = generator.subschema_for::<Names>();
    json_schema!({
        "description": "The columns of a key: of the same names in map and table, or told for each.",
        "anyOf": [
            names.clone(),
            {
                "type": "object",
                "properties": {"map": names.clone(), "table": names},
                "required": ["map", "table"],
                "additionalProperties": false,
            },
        ],
    })
});

schema_of!(LayerColumn, "Layer", |generator| {
    let column = generator.subschema_for::<Column>();
    json_schema!({
        "description": "A layer: one word for the entry, or a column.",
        "anyOf": [{"enum": ["canopy", "understorey", "retained"]}, column],
    })
});

schema_of!(AsOf, "AsOf", |generator| {
    let column = generator.subschema_for::<Column>();
    json_schema!({
        "description": "The year an age was taken in.",
        "anyOf": [{"const": "reference"}, {"type": "integer"}, column],
    })
});

schema_of!(Unstated, "Unstated", |_generator| json_schema!({
    "description": "A share that the map does not give: that of the leading tree, or a pair from low to high.",
    "anyOf": [
        {"const": "leading"},
        {"type": "array", "items": {"type": "number", "minimum": 0, "maximum": 1}, "minItems": 2, "maxItems": 2},
    ],
}));

schema_of!(Class, "Class", |_generator| json_schema!({
    "description": "Ranges by code, or a rule for numbered classes of one width.",
    "anyOf": [
        {
            "type": "object",
            "properties": {
                "width": {"type": "number", "exclusiveMinimum": 0},
                "first": {"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2},
            },
            "required": ["width", "first"],
            "additionalProperties": false,
        },
        {
            "type": "object",
            "properties": {"width": false},
            "additionalProperties": {
                "type": "array",
                "items": {"type": ["number", "null"], "minimum": 0},
                "minItems": 2,
                "maxItems": 2,
            },
        },
    ],
}));

impl<T: JsonSchema> JsonSchema for Pairs<T> {
    fn schema_name() -> Cow<'static, str> {
        format!("{}ByName", T::schema_name()).into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let member = generator.subschema_for::<T>();
        json_schema!({"type": "object", "additionalProperties": member})
    }
}
