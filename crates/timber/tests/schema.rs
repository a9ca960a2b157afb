//! The published schema is the one that the types give.

use heartside_timber::schema;

/// `HEARTSIDE_BLESS=1` writes the file anew.
#[test]
#[allow(clippy::disallowed_methods)]
fn the_published_schema_is_up_to_date() {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../fixtures/heartside-job.schema.json"
    );
    let text = schema::schema_text();
    if std::env::var_os("HEARTSIDE_BLESS").is_some() {
        std::fs::write(path, &text).expect("the schema can be written");
    }
    let published = std::fs::read_to_string(path).unwrap_or_default();
    assert!(
        published == text,
        "fixtures/heartside-job.schema.json is stale: run `HEARTSIDE_BLESS=1 cargo test -p heartside-timber --test schema`"
    );
}

#[test]
fn the_schema_knows_the_fields_that_people_write() {
    let schema = schema::schema();
    for pointer in [
        "/properties/boards",
        "/$defs/Board/properties/outline",
        "/$defs/Board/properties/use",
        "/$defs/Part/properties/shape",
        "/$defs/Zone/properties/margin",
        "/$defs/Length",
    ] {
        assert!(schema.pointer(pointer).is_some(), "{pointer} is missing");
    }
    // Unknown fields are kept, so the schema must not forbid them.
    assert!(
        !schema
            .to_string()
            .contains("\"additionalProperties\":false")
    );
}
