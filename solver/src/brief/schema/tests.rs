//! The schema held against the reader: what one refuses for its form, the other refuses too.

use serde_json::{Value, json};

use super::schema;
use crate::brief::{Format, Starter, starter};
use crate::finding::Finding;
use crate::job::Source;

/// A brief in which every key stands.
const SAMPLE: &str = include_str!("../sample.toml");

/// A validator of just the keywords that our schema uses; another one is a fault of the test.
fn valid(root: &Value, schema: &Value, value: &Value) -> bool {
    schema.as_object().unwrap().iter().all(|(keyword, want)| match keyword.as_str() {
        "$ref" => {
            let name = want.as_str().unwrap().strip_prefix("#/$defs/").unwrap();
            valid(root, &root["$defs"][name], value)
        }
        "type" => match want {
            Value::Array(any) => any.iter().any(|t| is_type(t.as_str().unwrap(), value)),
            one => is_type(one.as_str().unwrap(), value),
        },
        "properties" => value.as_object().is_none_or(|o| {
            want.as_object().unwrap().iter().all(|(k, s)| o.get(k).is_none_or(|v| valid(root, s, v)))
        }),
        "additionalProperties" => {
            assert_eq!(want, &json!(false));
            value.as_object().is_none_or(|o| o.keys().all(|k| schema["properties"].get(k).is_some()))
        }
        "required" => value
            .as_object()
            .is_none_or(|o| want.as_array().unwrap().iter().all(|k| o.contains_key(k.as_str().unwrap()))),
        "items" => value.as_array().is_none_or(|a| a.iter().all(|v| valid(root, want, v))),
        "prefixItems" => value
            .as_array()
            .is_none_or(|a| a.iter().zip(want.as_array().unwrap()).all(|(v, s)| valid(root, s, v))),
        "minItems" => value.as_array().is_none_or(|a| a.len() as u64 >= want.as_u64().unwrap()),
        "maxItems" => value.as_array().is_none_or(|a| a.len() as u64 <= want.as_u64().unwrap()),
        "anyOf" => want.as_array().unwrap().iter().any(|s| valid(root, s, value)),
        "oneOf" => want.as_array().unwrap().iter().filter(|s| valid(root, s, value)).count() == 1,
        "const" => want == value,
        "minimum" => value.as_f64().is_none_or(|v| v >= want.as_f64().unwrap()),
        "maximum" => value.as_f64().is_none_or(|v| v <= want.as_f64().unwrap()),
        "minLength" => value.as_str().is_none_or(|v| v.len() as u64 >= want.as_u64().unwrap()),
        "$schema" | "$defs" | "title" | "description" | "examples" | "pattern" => true,
        other => panic!("the test does not know the keyword {other}"),
    })
}

fn is_type(name: &str, value: &Value) -> bool {
    match name {
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "number" => value.is_number(),
        "integer" => value.as_f64().is_some_and(|v| v.fract() == 0.0),
        "boolean" => value.is_boolean(),
        other => panic!("the test does not know the type {other}"),
    }
}

fn sample() -> Value {
    serde_json::to_value(toml::from_str::<toml::Table>(SAMPLE).unwrap()).unwrap()
}

fn findings(brief: &Value) -> Vec<Finding> {
    let source = Source {
        name: "brief.json".into(),
        text: brief.to_string(),
        format: Format::Json,
        inventory: Some(("oddlewick.csv".into(), "name;loose.volume\nrope;2 ml\n".into())),
        stock_list: Some(("s.csv".into(), "id;name;thickness\ngreyboard-2;greyboard;2\n".into())),
        corrections: Some(("c.toml".into(), String::new())),
    };
    source.read(&[]).map_or_else(|f| f, |job| job.findings)
}

#[test]
fn samples_are_valid() {
    let schema = schema();
    assert!(valid(&schema, &schema, &sample()));
    let start: toml::Table = toml::from_str(starter(Starter::Brief)).unwrap();
    assert!(valid(&schema, &schema, &serde_json::to_value(start).unwrap()));
}

#[test]
fn every_key_is_described_and_every_reference_is_there() {
    fn walk(root: &Value, value: &Value) {
        if let Some(properties) = value.get("properties") {
            for (key, schema) in properties.as_object().unwrap() {
                assert!(schema["description"].as_str().is_some_and(|d| d.len() > 5), "{key}");
            }
        }
        if let Some(name) = value.get("$ref") {
            let name = name.as_str().unwrap().strip_prefix("#/$defs/").unwrap();
            assert!(root["$defs"][name].is_object(), "{name}");
        }
        match value {
            Value::Object(o) => o.values().for_each(|v| walk(root, v)),
            Value::Array(a) => a.iter().for_each(|v| walk(root, v)),
            _ => {}
        }
    }
    let schema = schema();
    walk(&schema, &schema);
}

/// All places in a document, as pointers.
fn pointers(value: &Value, here: String, into: &mut Vec<String>) {
    match value {
        Value::Object(o) => {
            o.iter().for_each(|(k, v)| pointers(v, format!("{here}/{k}"), into));
        }
        Value::Array(a) => a.iter().enumerate().for_each(|(i, v)| pointers(v, format!("{here}/{i}"), into)),
        _ => {}
    }
    into.push(here);
}

/// Findings about form, which a schema can express.
const FORM: &[&str] = &["B007", "B008", "B009", "B010", "B014"];

/// Beyond a schema: a tray within a tray may do without a name and a stock may go by its identifier instead.
fn beyond_schema(f: &Finding) -> bool {
    f.cause.starts_with("`name` is missing in the table of tray")
        || f.cause.starts_with("`name` is missing in the table of stock")
}

#[test]
fn the_schema_and_the_reader_refuse_the_same_forms() {
    let schema = schema();
    let sample = sample();
    let mut all = Vec::new();
    pointers(&sample, String::new(), &mut all);
    let others = [
        json!(true),
        json!("x"),
        json!(-1),
        json!(2.5),
        json!([]),
        json!({}),
        json!([1, 2, 3, 4]),
        json!(null),
    ];
    let mut tried = 0;
    let mut check = |brief: &Value, how: &str| {
        tried += 1;
        let found = findings(brief);
        let refused = found.iter().any(|f| f.severity == crate::finding::Severity::Fault);
        let for_form = found.iter().any(|f| FORM.contains(&f.code) && !beyond_schema(f));
        let valid = valid(&schema, &schema, brief);
        assert!(valid || refused, "the schema refuses {how}, the reader takes it");
        assert!(!(valid && for_form), "the schema takes {how}, the reader says {found:#?}");
    };
    for at in &all {
        for other in &others {
            let mut brief = sample.clone();
            *brief.pointer_mut(at).unwrap() = other.clone();
            check(&brief, &format!("{at} = {other}"));
        }
        let Some((table, key)) = at.rsplit_once('/') else { continue };
        let mut without = sample.clone();
        if let Some(Value::Object(table)) = without.pointer_mut(table) {
            let value = table.remove(key).unwrap();
            check(&without, &format!("nothing at {at}"));
            if let Some(Value::Object(table)) = without.pointer_mut(table_of(at)) {
                table.insert(format!("{key}x"), value);
            }
            check(&without, &format!("{at}x"));
        }
    }
    assert!(tried > 500, "{tried}");
}

fn table_of(pointer: &str) -> &str {
    pointer.rsplit_once('/').map_or("", |(table, _)| table)
}
