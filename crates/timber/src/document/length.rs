//! A length as it stands in a file.

use serde::{Deserialize, Serialize};

/// A length as it stands in a file.
///
/// `1400` is millimetres; `{"mm": 1400, "typed": "1.4 m"}` remembers what the person
/// wrote (the writing is read again on opening and wins over `mm`), and a bare text
/// (`"1.4 m"`) is taken for that too;
/// `{"expr": "top_length - 2 * overhang"}` is worked out from the named dimensions.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(feature = "page", derive(tsify::Tsify))]
#[serde(untagged, from = "LengthForm")]
pub enum Length {
    /// Millimetres.
    Mm(f64),
    /// What the person wrote, and its value when it could be read.
    Typed {
        /// Millimetres, if the writing could be read.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        mm: Option<f64>,
        /// The writing, to the letter.
        typed: String,
    },
    /// An expression over the named dimensions.
    Expr {
        /// The expression.
        expr: String,
    },
}

impl Length {
    /// Millimetres, where they stand there and are not worked out or still to be read.
    pub fn plain_mm(&self) -> Option<f64> {
        match self {
            Length::Mm(mm) => Some(*mm),
            Length::Typed { mm, .. } => *mm,
            Length::Expr { .. } => None,
        }
    }
}

/// The forms in which a file may give a length.
#[derive(Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[serde(untagged)]
#[cfg_attr(not(target_arch = "wasm32"), schemars(rename = "Length"))]
enum LengthForm {
    /// Millimetres.
    Mm(f64),
    /// What the person wrote, and its value when it could be read.
    Typed {
        /// Millimetres, if the writing could be read.
        #[serde(default)]
        mm: Option<f64>,
        /// The writing, to the letter.
        typed: String,
    },
    /// An expression over the named dimensions.
    Expr {
        /// The expression.
        expr: String,
    },
    /// What the person wrote.
    Text(String),
}

impl From<LengthForm> for Length {
    fn from(form: LengthForm) -> Length {
        match form {
            LengthForm::Mm(mm) => Length::Mm(mm),
            LengthForm::Typed { mm, typed } => Length::Typed { mm, typed },
            LengthForm::Expr { expr } => Length::Expr { expr },
            LengthForm::Text(typed) => Length::Typed { mm: None, typed },
        }
    }
}
