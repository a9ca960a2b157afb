//! The published description of the job file, as JSON Schema.

use serde_json::{Value, json};

use crate::document::{Document, FORMAT, VERSION};

/// The schema of the job file: what a document may hold, with the meaning of every field.
///
/// It is lenient where opening is: unknown fields are allowed everywhere, and every field
/// may be missing but the two that say what the file is.
pub fn schema() -> Value {
    let mut schema = schemars::schema_for!(Document).to_value();
    if let Some(fields) = schema.as_object_mut() {
        fields.insert("title".into(), json!("Heartside job"));
        fields.insert("required".into(), json!(["format", "version"]));
    }
    if let Some(format) = schema.pointer_mut("/properties/format") {
        *format = json!({"description": "What the file is.", "const": FORMAT});
    }
    if let Some(version) = schema.pointer_mut("/properties/version") {
        *version = json!({"description": "The version of the form.", "const": VERSION});
    }
    schema
}

/// The schema as the text of a file.
pub fn schema_text() -> String {
    let mut text = serde_json::to_string_pretty(&schema()).unwrap_or_default();
    text.push('\n');
    text
}
