//! The JSON Schema of a crosswalk, made from the types that read it and from the tables that its lint checks with. In
//! go the types, out comes a schema that editors can follow; what needs the whole file or a map is left to the lint.

use std::borrow::Cow;

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde_json::{Value, json};

use super::FORMAT;
use super::lint::{Target, targets};
use super::written::{AsOf, Class, Column, Key, LayerColumn, Names, Pairs, Unstated, Written};

/// The schema of a crosswalk (JSON Schema 2020-12).
pub fn schema() -> Value {
    let generator = SchemaSettings::draft2020_12().into_generator();
    let mut schema = generator.into_root_schema_for::<Written>().to_value();
    schema["title"] = json!("Hostwood crosswalk");
    schema["properties"]["format"] =
        json!({"description": "The format's name and version.", "const": FORMAT});
    let column = schema["$defs"]["Column"].clone();
    let column_for = |schema: &mut Value, name: &str, target: &Target| {
        let own = format!("{name}_column");
        schema["$defs"][&own] = narrowed(column.clone(), target);
        json!({"$ref": format!("#/$defs/{own}")})
    };
    for (name, _, target) in targets(&Written::default()) {
        let description = schema["properties"][name]["description"].clone();
        let mut own = column_for(&mut schema, name, &target);
        if !description.is_null() {
            own["description"] = description;
        }
        schema["properties"][name] = own;
    }
    let attribute = column_for(&mut schema, "attribute", &Target::Attribute);
    schema["properties"]["attributes"]["additionalProperties"] = attribute;
    let tree = column_for(&mut schema, "tree", &Target::Tree);
    let share = column_for(&mut schema, "share", &Target::Share);
    schema["$defs"]["TreeEntry"]["properties"]["name"] = tree;
    schema["$defs"]["TreeEntry"]["properties"]["share"] = share;
    let list = json!({"type": "object", "additionalProperties": meaning(&Target::Tree)});
    schema["$defs"]["List"]["properties"]["codes"] = list;
    schema["properties"]["attributes"]
        .as_object_mut()
        .map(|attributes| attributes.remove("$ref"));
    schema["properties"]["attributes"]["type"] = json!("object");

    // What goes together. Ages that follow from years need the year that they are meant for.
    let dated = json!({"properties": {"age": {"required": ["year"]}}, "required": ["age"]});
    constrain(
        &mut schema,
        json!({"if": dated, "then": {"required": ["reference_year"]}}),
    );
    constrain(
        &mut schema,
        json!({"dependentRequired": {"planted": ["reference_year"]}}),
    );
    let defs = &mut schema["$defs"];
    defs["Repeat"]["properties"]["slot"]["minItems"] = json!(1);
    constrain(&mut defs["List"], one_of(&["codes", "from_file"], false));
    constrain(&mut defs["TagColumn"], json!({"required": ["from"]}));
    constrain(&mut defs["TagColumn"], one_of(&["tag", "codes"], true));
    let parts = json!({"required": ["split", "part"], "not": {"required": ["chars"]}});
    let chars =
        json!({"required": ["chars"], "not": {"anyOf": [{"required": ["split"]}, {"required": ["part"]}]}});
    constrain(&mut defs["Slice"], json!({"anyOf": [parts, chars]}));
    for cases in ["Case", "Test"] {
        constrain(
            &mut defs[cases],
            one_of(&["eq", "in", "present", "between"], true),
        );
    }
    constrain(&mut defs["Cases"], json!({"required": ["else"]}));
    let entry = &mut defs["TreeEntry"];
    constrain(entry, one_of(&["name", "composition"], true));
    constrain(entry, json!({"dependentRequired": {"where": ["rows"]}}));
    for beside in [
        ["rows", "repeat"],
        ["rows", "composition"],
        ["share", "composition"],
    ] {
        constrain(entry, json!({"not": {"required": beside}}));
    }
    let composition = &mut defs["Composition"];
    for mark in ["trace", "layer_mark"] {
        composition["properties"][mark] = json!({"type": "string", "minLength": 1, "maxLength": 1});
    }
    composition["properties"]["unit"] = json!({"enum": Target::Share.unit_names()});
    constrain(composition, json!({"required": ["from"]}));
    let digits = json!({"properties": {"order": {"const": "digits"}}});
    let by_place = json!({"properties": {"order": {"const": "positional"}}});
    constrain(
        composition,
        json!({"if": digits, "then": {"required": ["slots"]}, "else": {
            "required": ["unit", "list"], "properties": {"slots": false}}}),
    );
    constrain(
        composition,
        json!({"if": by_place, "then": {"required": ["width", "weights"]}, "else": {
            "properties": {"width": false, "weights": false}}}),
    );
    schema
}

/// The schema of a column that leads to a target.
fn narrowed(mut column: Value, target: &Target) -> Value {
    if let Some(members) = column["properties"].as_object_mut() {
        members.retain(|member, _| target.takes(member));
    }
    let members = &mut column["properties"];
    if target.takes("unit") {
        members["unit"] = json!({"description": "The unit of the map.", "enum": target.unit_names()});
    }
    members["codes"] = json!({
        "description": "What each code means; null for nothing.",
        "type": "object",
        "additionalProperties": meaning(target),
    });
    let mut ways = vec!["from", "const"];
    ways.extend(["tags", "unstated"].into_iter().filter(|way| target.takes(way)));
    constrain(&mut column, one_of(&ways, false));
    constrain(&mut column, json!({"not": {"required": ["from", "const"]}}));
    let looked_up = json!({"anyOf": [{"required": ["codes"]}, {"required": ["list"]}]});
    constrain(
        &mut column,
        json!({"if": {"required": ["else"]}, "then": looked_up}),
    );
    if target.needs_unit() {
        let told = json!({"required": ["from"], "not": {"anyOf": [{"required": ["class"]}, {"required": ["codes"]}]}});
        constrain(&mut column, json!({"if": told, "then": {"required": ["unit"]}}));
    }
    if target.takes("year") {
        let aged = json!({"properties": {"year": {"const": "age"}}, "required": ["year"]});
        constrain(&mut column, json!({"if": aged, "then": {"required": ["as_of"]}}));
        constrain(&mut column, json!({"dependentRequired": {"as_of": ["year"]}}));
    }
    if matches!(target, Target::Tree) {
        let coded = json!({"properties": {"read": {"const": "code"}}, "required": ["read"]});
        constrain(&mut column, json!({"if": coded, "then": looked_up}));
    }
    column
}

/// The schema of what a code may stand for.
fn meaning(target: &Target) -> Value {
    let pair = |items: Value| json!({"type": "array", "items": items, "minItems": 2, "maxItems": 2});
    let words = json!({"enum": target.meanings()});
    let number = json!({"type": ["number", "string"]});
    let nothing = json!({"type": "null"});
    match target {
        Target::Tree => json!({"anyOf": [
            {"type": "string", "minLength": 1},
            {"type": "object", "properties": {"group": {"type": "string"}}, "required": ["group"],
                "additionalProperties": false},
            {"type": "object", "properties": {"not_tree": {"const": true}}, "required": ["not_tree"],
                "additionalProperties": false},
            nothing,
        ]}),
        Target::Words(_) => json!({"anyOf": [words, pair(words.clone()), nothing]}),
        Target::Settings => json!({"anyOf": [words, nothing]}),
        Target::Share | Target::Deadwood => {
            json!({"anyOf": [words, {"type": "number"}, pair(number), nothing]})
        }
        target if target.counts() => json!({"anyOf": [number, pair(number.clone()), nothing]}),
        _ => json!({"type": ["string", "number", "boolean", "null"]}),
    }
}

/// Exactly one of the members, or at least one.
fn one_of(members: &[&str], exactly: bool) -> Value {
    let required: Vec<Value> = members
        .iter()
        .map(|member| json!({"required": [member]}))
        .collect();
    if exactly {
        json!({"oneOf": required})
    } else {
        json!({"anyOf": required})
    }
}

/// Adds a condition to a schema.
fn constrain(schema: &mut Value, condition: Value) {
    match schema["allOf"].as_array_mut() {
        Some(all) => all.push(condition),
        None => schema["allOf"] = json!([condition]),
    }
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
