//! The forms that all types of the file have.

use std::collections::BTreeMap;

/// Fields of a file that have no place in the type; kept so that saving loses nothing.
pub type Unknown = BTreeMap<String, serde_json::Value>;

/// A struct of the file: every field may be missing, and what is not known is kept.
macro_rules! document_struct {
    ($(#[$meta:meta])* pub struct $name:ident { $($body:tt)* }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, PartialEq, Default, serde::Serialize, serde::Deserialize)]
        #[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
        #[cfg_attr(feature = "page", derive(tsify::Tsify))]
        #[serde(default)]
        pub struct $name {
            $($body)*
            /// Fields that this version does not know; kept and written back.
            #[serde(flatten)]
            #[cfg_attr(feature = "page", tsify(type = "Record<string, unknown>"))]
            pub unknown: $crate::document::form::Unknown,
        }
    };
}

/// A choice that a file writes as one word.
macro_rules! word_enum {
    ($(#[$meta:meta])* pub enum $name:ident { $($body:tt)* }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default, serde::Serialize, serde::Deserialize)]
        #[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
        #[cfg_attr(feature = "page", derive(tsify::Tsify))]
        #[serde(rename_all = "snake_case")]
        pub enum $name { $($body)* }
    };
}
pub(crate) use {document_struct, word_enum};

/// Left out of a file where it is usual.
pub(crate) fn is_false(flag: &bool) -> bool {
    !flag
}

/// The copy that is meant where none is named.
pub(crate) fn one() -> u32 {
    1
}
