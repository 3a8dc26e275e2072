//! A case file in the order of writing, and changes of one entry in it.

use serde::ser::{Serialize, SerializeMap, Serializer};
use serde_json::{Map, Value};

/// Sets or removes what stands at a dotted path, with the objects on the way.
pub(super) fn set(root: &mut Value, key: &str, v: Option<Value>) {
    let (home, name) = match key.rsplit_once('.') {
        Some((home, name)) => (Some(home), name),
        None => (None, key),
    };
    let Some(object) = root.as_object_mut() else {
        return;
    };
    let inside = match home {
        None => Some(object),
        Some(home) => object
            .entry(home)
            .or_insert_with(|| Value::Object(Map::new()))
            .as_object_mut(),
    };
    match (inside, v) {
        (Some(o), Some(v)) => {
            o.insert(name.to_owned(), v);
        }
        (Some(o), None) => {
            o.remove(name);
        }
        (None, _) => {}
    }
}

/// Lays one object over another, object by object.
pub(super) fn merge(under: &mut Value, over: Value) {
    match (under, over) {
        (Value::Object(a), Value::Object(b)) => {
            for (k, v) in b {
                match a.get_mut(&k) {
                    Some(old @ Value::Object(_)) if v.is_object() => merge(old, v),
                    _ => {
                        a.insert(k, v);
                    }
                }
            }
        }
        (a, b) => *a = b,
    }
}

/// A piece of the file.
pub(super) enum Node {
    /// One value.
    Value(Value),
    /// Entries in their own order.
    Group(Vec<(String, Value)>),
}

/// Entries in the order of a list; a JSON object of the library would sort them.
pub(super) struct Ordered<'o>(pub(super) &'o [(String, Node)]);

impl Serialize for Ordered<'_> {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        let mut map = s.serialize_map(Some(self.0.len()))?;
        for (key, node) in self.0 {
            match node {
                Node::Value(v) => map.serialize_entry(key, v)?,
                Node::Group(all) => map.serialize_entry(key, &Pairs(all))?,
            }
        }
        map.end()
    }
}

struct Pairs<'o>(&'o [(String, Value)]);

impl Serialize for Pairs<'_> {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        let mut map = s.serialize_map(Some(self.0.len()))?;
        for (key, v) in self.0 {
            map.serialize_entry(key, v)?;
        }
        map.end()
    }
}
