//! Small damage to a plan file, wherever it has a number, a word, a switch or a list.

use serde_json::{Number, Value};
use traywright::random::Random;

/// A step into a JSON value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Step {
    /// A key of an object.
    Key(String),
    /// An index of a list.
    Item(usize),
}

/// Where something stands in a plan file.
pub type Path = Vec<Step>;

/// A path as text: `tight/trays/0/at/1`.
pub fn shown(path: &Path) -> String {
    let steps = path.iter().map(|s| match s {
        Step::Key(k) => k.clone(),
        Step::Item(i) => i.to_string(),
    });
    steps.collect::<Vec<_>>().join("/")
}

/// Every value within a plan file, with its path.
pub fn all(value: &Value) -> Vec<(Path, Value)> {
    fn walk(value: &Value, path: &mut Path, out: &mut Vec<(Path, Value)>) {
        out.push((path.clone(), value.clone()));
        match value {
            Value::Object(map) => {
                for (key, inner) in map {
                    path.push(Step::Key(key.clone()));
                    walk(inner, path, out);
                    path.pop();
                }
            }
            Value::Array(list) => {
                for (i, inner) in list.iter().enumerate() {
                    path.push(Step::Item(i));
                    walk(inner, path, out);
                    path.pop();
                }
            }
            _ => {}
        }
    }
    let mut out = Vec::new();
    walk(value, &mut Path::new(), &mut out);
    out
}

/// The value at a path, for changing it.
pub fn at<'a>(value: &'a mut Value, path: &[Step]) -> Option<&'a mut Value> {
    path.iter().try_fold(value, |v, step| match step {
        Step::Key(k) => v.get_mut(k.as_str()),
        Step::Item(i) => v.get_mut(*i),
    })
}

/// Decimals kept of every number: a cubic nanometre is 1e-18 mm³.
const PLACES: usize = 18;
const ONE: i128 = 1_000_000_000_000_000_000;

fn read(number: &Number) -> Option<i128> {
    let text = number.to_string();
    let (sign, digits) = text.strip_prefix('-').map_or((1, text.as_str()), |rest| (-1, rest));
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    // Shares with more decimals (a gap) are cut off: a hair is far more.
    let part = format!("{part:0<PLACES$}");
    Some(sign * (whole.parse::<i128>().ok()?.checked_mul(ONE)? + part.get(..PLACES)?.parse::<i128>().ok()?))
}

fn write(value: i128) -> Value {
    let (whole, part) = ((value / ONE).unsigned_abs(), (value % ONE).unsigned_abs());
    let sign = if value < 0 { "-" } else { "" };
    let part = format!("{part:018}");
    let part = part.trim_end_matches('0');
    let text = if part.is_empty() { format!("{sign}{whole}") } else { format!("{sign}{whole}.{part}") };
    text.parse::<Number>().map_or(Value::Null, Value::Number)
}

/// The least step of the number at this path: 1 nm, 1 nm², 1 nm³, a whole for counts, a millionth for shares.
fn hair(path: &Path) -> i128 {
    let keys: Vec<&str> =
        path.iter().filter_map(|s| if let Step::Key(k) = s { Some(k.as_str()) } else { None }).collect();
    let last = keys.last().copied().unwrap_or("");
    let whole = ["version", "copy", "lean_deg", "more", "seed", "nodes"].contains(&last);
    if keys.iter().any(|k| k.ends_with("_mm3")) {
        1
    } else if last == "area_mm2" {
        1_000_000
    } else if whole || (last == "layers" && !matches!(path.last(), Some(Step::Key(_)))) {
        ONE
    } else {
        ONE / 1_000_000
    }
}

/// Every number moved: by a hair, by a tenth, to nothing, to its opposite, to twice and to a million times itself.
pub fn numbers(path: &Path, value: &Value) -> Vec<Value> {
    let Value::Number(number) = value else { return Vec::new() };
    let Some(v) = read(number) else { return Vec::new() };
    let hair = hair(path);
    let mut out = vec![v + hair, v - hair];
    if hair < ONE {
        out.extend([v + ONE / 10, v - ONE / 10]);
    }
    out.extend([0, -v, v.saturating_mul(2), v.saturating_mul(1_000_000)]);
    out.sort_unstable();
    out.dedup();
    out.into_iter().filter(|o| *o != v).map(write).collect()
}

/// Whether two numbers are at most a millionth apart.
pub fn near(a: &Value, b: &Value) -> bool {
    match (a, b) {
        (Value::Number(a), Value::Number(b)) => match (read(a), read(b)) {
            (Some(a), Some(b)) => (a - b).abs() <= ONE / 1_000_000,
            _ => false,
        },
        _ => false,
    }
}

/// Another value for a word, a switch, a list or an object: words of the same plan, lists with something lost,
/// doubled or exchanged, objects without one of their keys.
pub fn others(value: &Value, words: &[String], random: &mut Random) -> Vec<Value> {
    match value {
        Value::Bool(b) => vec![Value::Bool(!b)],
        Value::String(text) => {
            let other = words.get(random.below(words.len())).cloned().unwrap_or_default();
            let out = [String::new(), format!("{text} "), other];
            out.into_iter().filter(|o| o != text).map(Value::String).collect()
        }
        Value::Array(list) if !list.is_empty() => {
            let (i, j) = (random.below(list.len()), random.below(list.len()));
            let (mut lost, mut doubled, mut exchanged) = (list.clone(), list.clone(), list.clone());
            lost.remove(i);
            doubled.push(list[i].clone());
            exchanged.swap(i, j);
            let out = [lost, doubled, exchanged];
            out.into_iter().filter(|o| o != list).map(Value::Array).collect()
        }
        Value::Object(map) if !map.is_empty() => {
            let mut out = Vec::new();
            if let Some(key) = map.keys().nth(random.below(map.len())) {
                let mut less = map.clone();
                less.remove(key);
                out.push(Value::Object(less));
            }
            out
        }
        _ => Vec::new(),
    }
}
