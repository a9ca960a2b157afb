//! Thin bindings for the page: a Session for its thread, a Search for its workers.
