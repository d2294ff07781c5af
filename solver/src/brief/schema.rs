//! The JSON Schema of a brief, from the same declaration as the reader.

use std::collections::BTreeMap;

use serde_json::{Map, Value, json};

use super::form::{Form, Read, TableForm};
use super::keys::BriefKeys;

/// A JSON Schema (2020-12) of briefs, for editors: TOML and JSON briefs have the same keys.
///
/// ```
/// let schema = traywright::brief::schema();
/// assert_eq!(schema["required"], serde_json::json!(["box", "stock"]));
/// assert_eq!(schema["properties"]["unit"]["oneOf"][2]["const"], "in");
/// assert_eq!(schema["additionalProperties"], false);
/// ```
pub fn schema() -> Value {
    let mut defs = BTreeMap::new();
    let mut root = match BriefKeys::form() {
        Form::Table(table) => table_schema(&table, &mut defs),
        _ => Map::new(),
    };
    root.insert("$schema".into(), "https://json-schema.org/draft/2020-12/schema".into());
    root.insert("title".into(), "Traywright brief".into());
    defs.insert(
        "length",
        json!({
            "description": "A length: a number in the brief's unit, or a text with a unit.",
            "type": ["number", "string"],
            "examples": [12.5, "63.5 mm", "2 1/2 in"],
        }),
    );
    defs.insert(
        "volume",
        json!({
            "description": "A volume: a text with a unit, or a number in the brief's unit, cubed.",
            "type": ["number", "string"],
            "examples": ["45 ml", "2.75 in3", "1 1/2 fl oz"],
        }),
    );
    defs.insert(
        "mass",
        json!({
            "description": "A mass with its unit.",
            "type": "string",
            "pattern": "^[0-9.]+ *(mg|g|kg|oz|lb)$",
            "examples": ["4 g", "0.9 kg"],
        }),
    );
    let defs: Map<String, Value> = defs.into_iter().map(|(k, v)| (k.to_owned(), v)).collect();
    root.insert("$defs".into(), Value::Object(defs));
    Value::Object(root)
}

fn reference(name: &str) -> Value {
    json!({ "$ref": format!("#/$defs/{name}") })
}

fn number(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or(Value::Null)
}

fn form_schema(form: &Form, defs: &mut BTreeMap<&'static str, Value>) -> Value {
    match form {
        Form::Text => json!({ "type": "string", "minLength": 1 }),
        Form::Length => reference("length"),
        Form::Volume => reference("volume"),
        Form::Mass => reference("mass"),
        Form::Whole(least, most) => json!({ "type": "integer", "minimum": least, "maximum": most }),
        Form::Number(least, most) => {
            json!({ "type": "number", "minimum": number(least), "maximum": number(most) })
        }
        Form::Truth => json!({ "type": "boolean" }),
        Form::Words(words) => {
            let all: Vec<Value> = words
                .iter()
                .map(|(word, about)| json!({ "const": word, "description": about.trim() }))
                .collect();
            json!({ "oneOf": all })
        }
        Form::List(of, least, most) => {
            let mut list = json!({ "type": "array", "items": form_schema(of, defs) });
            if *least > 0 {
                list["minItems"] = (*least).into();
            }
            if *most < usize::MAX {
                list["maxItems"] = (*most).into();
            }
            list
        }
        Form::Tuple(of) => {
            let items: Vec<Value> = of.iter().map(|f| form_schema(f, defs)).collect();
            json!({ "type": "array", "prefixItems": items, "minItems": of.len(), "maxItems": of.len() })
        }
        Form::Table(table) => {
            // The mark stands in before the table is walked, so that trays within trays come to an end.
            let name = table.name;
            if !defs.contains_key(name) {
                defs.insert(name, Value::Null);
                let schema = Value::Object(table_schema(table, defs));
                defs.insert(name, schema);
            }
            reference(name)
        }
        Form::Either(all) => {
            let any: Vec<Value> = all.iter().map(|f| form_schema(f, defs)).collect();
            json!({ "anyOf": any })
        }
    }
}

fn table_schema(table: &TableForm, defs: &mut BTreeMap<&'static str, Value>) -> Map<String, Value> {
    let mut properties = Map::new();
    let mut needed = Vec::new();
    for key in (table.keys)() {
        let mut schema = form_schema(&(key.form)(), defs);
        schema["description"] = key.about.trim().into();
        properties.insert(key.name.to_owned(), schema);
        if key.needed {
            needed.push(key.name);
        }
    }
    let mut out = Map::new();
    out.insert("description".into(), table.about.trim().into());
    out.insert("type".into(), "object".into());
    out.insert("properties".into(), Value::Object(properties));
    out.insert("required".into(), json!(needed));
    out.insert("additionalProperties".into(), false.into());
    out
}

#[cfg(test)]
mod tests;
