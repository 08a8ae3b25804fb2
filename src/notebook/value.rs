//! What a record's fields hold before they are understood, so that nothing unknown is lost.

use indexmap::IndexMap;
use serde::Serialize;

/// A value as written. Scalars stay text to the last digit written (`33.50` is not `33.5`).
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(untagged)]
pub enum Value {
    Text(String),
    List(Vec<Value>),
    Map(Fields),
}

/// Fields by name, in the order written.
pub type Fields = IndexMap<String, Value>;

impl Value {
    pub fn text(text: impl Into<String>) -> Value {
        Value::Text(text.into())
    }

    /// The text of a scalar.
    pub fn as_text(&self) -> Option<&str> {
        match self {
            Value::Text(t) => Some(t),
            _ => None,
        }
    }

    /// Empty text, list or map: as good as not written.
    pub fn is_empty(&self) -> bool {
        match self {
            Value::Text(t) => t.trim().is_empty(),
            Value::List(l) => l.is_empty(),
            Value::Map(m) => m.is_empty(),
        }
    }

    /// In one line, for messages and for pages: lists with `; `, maps as `name: value`.
    pub fn in_a_line(&self) -> String {
        let join = |parts: Vec<String>| parts.join("; ");
        match self {
            Value::Text(t) => t.split_whitespace().collect::<Vec<_>>().join(" "),
            Value::List(l) => join(l.iter().map(Value::in_a_line).collect()),
            Value::Map(m) => {
                join(m.iter().map(|(k, v)| format!("{k}: {}", v.in_a_line())).collect())
            }
        }
    }
}
