//! The JSON Schema (draft 2020-12) of a rule book. In goes nothing, out comes the schema, for editors that complete and
//! explain fields and for whoever makes books by machine. Types of words are those that the reader fills; what is written
//! down here once more is which fields there are, and tests hold that against the reader.
//!
//! A schema can tell the shape of a book, not its sense: whether ids lead somewhere, whether days exist, whether rules
//! contradict each other is left to the reader.

#![expect(dead_code, reason = "only the shape of these types is used, never a value")]

mod head;
mod objects;
mod places;
mod rules;
mod words;

pub(super) use head::Book;
#[cfg(test)]
pub(super) use rules::Common;

use schemars::generate::SchemaSettings;
use serde_json::Value;

/// The schema of a rule book.
pub fn schema() -> Value {
    let generator = SchemaSettings::draft2020_12().into_generator();
    let mut schema = generator.into_root_schema_for::<Book>();
    schema.insert("title".to_owned(), "Hostwood rule book".into());
    schema.to_value()
}

/// The names of the fields of a type, sorted, to be held against those that the reader knows.
#[cfg(test)]
pub(super) fn fields_of<T: schemars::JsonSchema>() -> Vec<String> {
    let schema = SchemaSettings::draft2020_12()
        .into_generator()
        .into_root_schema_for::<T>();
    let mut names: Vec<String> = schema
        .get("properties")
        .and_then(Value::as_object)
        .map(|properties| properties.keys().cloned().collect())
        .unwrap_or_default();
    names.sort();
    names
}

/// The fields of what a rule of some kind says, sorted; empty for kinds whose words say it.
#[cfg(test)]
pub(super) fn fields_of_kind(kind: super::kind::Kind) -> Vec<String> {
    let mut generator = SchemaSettings::draft2020_12().into_generator();
    let (objects::Said::Fields(of_type) | objects::Said::MayHave(of_type)) =
        objects::said(kind, &mut generator)
    else {
        return Vec::new();
    };
    let name = of_type
        .get("$ref")
        .and_then(Value::as_str)
        .and_then(|path| path.rsplit('/').next())
        .unwrap_or_default()
        .to_owned();
    let mut names: Vec<String> = generator
        .definitions()
        .get(&name)
        .and_then(|schema| schema["properties"].as_object())
        .map(|properties| properties.keys().cloned().collect())
        .unwrap_or_default();
    names.sort();
    names
}
