//! The JSON schema of the vehicle file, for editors. Draft-07, since common TOML language servers
//! know no later one.

use super::fields::{AXLES, FILE, Field, Holds, LONGEST_NAME, Table, WHEELS_AND_AXLES};
use serde_json::{Map, Value, json};

/// The schema, made from the same list of fields that the reader uses.
#[must_use]
pub fn schema() -> Value {
    let mut root = table(&FILE);
    if let Some(map) = root.as_object_mut() {
        map.insert("$schema".to_owned(), json!("http://json-schema.org/draft-07/schema#"));
        map.insert("title".to_owned(), json!("Axlestand vehicle file, format version 1"));
    }
    root
}

fn table(spec: &Table) -> Value {
    let properties: Map<String, Value> =
        spec.fields.iter().map(|field| (field.key.to_owned(), property(field))).collect();
    let required: Vec<_> = spec.fields.iter().filter(|field| field.required).map(|field| field.key).collect();
    json!({
        "type": "object",
        "description": spec.what,
        "properties": properties,
        "required": required,
        "additionalProperties": false,
    })
}

fn property(field: &Field) -> Value {
    let mut value = match field.holds {
        Holds::Text
        | Holds::Thread
        | Holds::Drive
        | Holds::Steps
        | Holds::AnyQuantity
        | Holds::Quantity(_) => text(),
        Holds::Names | Holds::Texts => json!({ "anyOf": [text_list(), text()] }),
        Holds::Count if field.key == "format" => json!({ "const": super::read::FORMAT }),
        Holds::Flag => json!({ "type": "boolean" }),
        Holds::Count => json!({ "type": "integer", "minimum": 1, "maximum": 1000 }),
        Holds::Number(limit) => json!({ "type": "number", "minimum": 0, "maximum": limit }),
        Holds::Word(words) => json!({ "enum": words }),
        Holds::Table(spec) => table(spec),
        Holds::Tables(spec) => json!({ "type": "array", "items": table(spec) }),
        Holds::Quantities(_) => json!({
            "type": "object",
            "propertyNames": { "enum": WHEELS_AND_AXLES },
            "additionalProperties": text(),
        }),
        Holds::Point => point(),
        Holds::Points => json!({ "type": "object", "additionalProperties": point() }),
        Holds::Items(spec) if field.key == "axle" => json!({
            "type": "object",
            "propertyNames": { "enum": AXLES },
            "additionalProperties": table(spec),
        }),
        Holds::Items(spec) => json!({
            "type": "object",
            "propertyNames": { "maxLength": LONGEST_NAME },
            "patternProperties": { "^[a-z][a-z0-9]*(-[a-z0-9]+)*$": table(spec) },
            "additionalProperties": false,
        }),
    };
    if let Some(map) = value.as_object_mut() {
        map.insert("description".to_owned(), json!(field.doc));
    }
    value
}

fn point() -> Value {
    json!({
        "type": "array", "items": { "type": "number", "minimum": -10000, "maximum": 10000 },
        "minItems": 3, "maxItems": 3,
    })
}

fn text_list() -> Value {
    json!({ "type": "array", "items": text() })
}

fn text() -> Value {
    json!({ "type": "string", "minLength": 1 })
}
