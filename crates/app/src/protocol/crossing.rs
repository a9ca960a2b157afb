//! How a type that crosses is declared.

/// Declares a type that goes to the page.
macro_rules! to_page {
    ($(#[$meta:meta])* pub struct $name:ident { $($body:tt)* }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, PartialEq, Default, serde::Serialize)]
        #[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
        pub struct $name { $($body)* }
    };
    ($(#[$meta:meta])* pub enum $name:ident { $($body:tt)* }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, serde::Serialize, serde::Deserialize)]
        #[cfg_attr(feature = "page", derive(tsify::Tsify))]
        #[serde(rename_all = "snake_case")]
        pub enum $name { $($body)* }
    };
}

/// Declares a type that comes from the page (and may go back to it).
macro_rules! from_page {
    ($(#[$meta:meta])* pub struct $name:ident { $($body:tt)* }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, PartialEq, Default, serde::Serialize, serde::Deserialize)]
        #[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
        pub struct $name { $($body)* }
    };
}

pub(crate) use {from_page, to_page};
