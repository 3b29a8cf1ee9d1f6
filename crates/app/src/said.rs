//! What the page is told of a job: parts by their names, each written as JSON once, on the thread that worked it out. A part that the page
//! holds already is named and not told again.

use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hash, Hasher};

use serde::Serialize;
use serde_json::value::{RawValue, to_raw_value};

/// Parts as they go out.
#[derive(Debug, Default, Serialize)]
pub struct Said {
    #[serde(flatten)]
    parts: BTreeMap<String, Box<RawValue>>,
    /// Marks of the parts, by which the page says later what it holds.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    marks: BTreeMap<String, String>,
    /// Parts that are as the page holds them.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    same: Vec<String>,
}

/// A part of a job, written.
pub struct Part {
    name: String,
    words: Box<RawValue>,
    mark: String,
}

impl Part {
    /// Writes a part.
    pub fn new(name: &str, value: &impl Serialize) -> Self {
        let words = written(value);
        let mut hash = DefaultHasher::new();
        words.get().hash(&mut hash);
        Self {
            name: name.to_owned(),
            words,
            mark: format!("{:016x}", hash.finish()),
        }
    }
}

/// Nothing that is told of a job has keys that are no words, so that it can always be written.
fn written(value: &impl Serialize) -> Box<RawValue> {
    to_raw_value(value).unwrap_or_else(|_| RawValue::NULL.to_owned())
}

impl Said {
    /// Tells something small.
    pub fn put(&mut self, name: &str, value: &impl Serialize) {
        self.parts.insert(name.to_owned(), written(value));
    }

    /// Tells a part, unless it is among what the page holds: names and marks, `plan:0123456789abcdef`, with commas between.
    pub fn part(&mut self, part: Part, held: &str) {
        let known = held
            .split(',')
            .filter_map(|one| one.split_once(':'))
            .any(|(name, mark)| name == part.name && mark == part.mark);
        if known {
            self.same.push(part.name);
        } else {
            self.marks.insert(part.name.clone(), part.mark);
            self.parts.insert(part.name, part.words);
        }
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    fn told(words: &str, held: &str) -> serde_json::Value {
        let mut said = Said::default();
        said.part(Part::new("text", &words), held);
        json!(said)
    }

    #[test]
    fn a_part_that_is_held_is_named_and_no_other() {
        let first = told("a", "");
        assert_eq!(
            (&first["text"], &first["same"]),
            (&json!("a"), &json!(null))
        );
        let held = format!(
            "plan:0,text:{}",
            first["marks"]["text"].as_str().unwrap_or_default()
        );
        assert_eq!(told("a", &held), json!({ "same": ["text"] }));
        // The same words as another part are not held.
        assert_eq!(told("a", &held.replace("text", "iso"))["text"], json!("a"));
        assert_eq!(told("b", &held)["text"], json!("b"));
    }
}
