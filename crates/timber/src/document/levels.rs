//! Levels of a map as they stand in a file: text of bytes, in base64 (RFC 4648, section 4).

use std::sync::Arc;

use serde::{Deserialize, Serialize};

/// What was measured, a byte a cell. Shared, so that undo and jobs keep them at no cost.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(try_from = "LevelsForm", into = "String")]
pub struct Levels(pub Arc<[u8]>);

/// The forms in which a file may give them.
#[derive(Deserialize)]
#[cfg_attr(not(target_arch = "wasm32"), derive(schemars::JsonSchema))]
#[cfg_attr(not(target_arch = "wasm32"), schemars(rename = "Levels"))]
#[serde(untagged)]
pub(super) enum LevelsForm {
    /// Bytes in base64.
    Text(String),
    /// Each cell by itself, from 0 to 255; what lies beyond or between is read as the nearest of them.
    Numbers(#[cfg_attr(not(target_arch = "wasm32"), schemars(with = "Vec<u8>"))] Vec<f64>),
}

const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

impl From<Levels> for String {
    fn from(levels: Levels) -> String {
        let mut text = String::with_capacity(levels.0.len().div_ceil(3) * 4);
        for bytes in levels.0.chunks(3) {
            let byte = |at: usize| bytes.get(at).map_or(0, |&b| u32::from(b));
            let bits = byte(0) << 16 | byte(1) << 8 | byte(2);
            for at in 0..4 {
                let letter = LETTERS[(bits >> (18 - 6 * at) & 63) as usize];
                text.push(if at > bytes.len() {
                    '='
                } else {
                    char::from(letter)
                });
            }
        }
        text
    }
}

impl TryFrom<LevelsForm> for Levels {
    type Error = &'static str;

    fn try_from(form: LevelsForm) -> Result<Levels, &'static str> {
        match form {
            LevelsForm::Numbers(levels) => {
                let nearest = |level: f64| level.round().clamp(0.0, 255.0) as u8;
                Ok(Levels(levels.into_iter().map(nearest).collect()))
            }
            LevelsForm::Text(text) => {
                let bytes = bytes_of(&text).ok_or("this is no text of bytes in base64")?;
                Ok(Levels(bytes.into()))
            }
        }
    }
}

fn bytes_of(text: &str) -> Option<Vec<u8>> {
    let letters = text.trim_end_matches('=').as_bytes();
    let is_padded = text.len() - letters.len() <= 2 && text.len().is_multiple_of(4);
    if !is_padded || letters.len() % 4 == 1 {
        return None;
    }
    let mut bytes = Vec::with_capacity(letters.len() / 4 * 3 + 2);
    for four in letters.chunks(4) {
        let mut bits = 0;
        for at in 0..4 {
            bits = bits << 6 | four.get(at).map_or(Some(0), |&letter| value_of(letter))?;
        }
        let [_, a, b, c] = u32::to_be_bytes(bits);
        bytes.extend_from_slice(&[a, b, c][..four.len() - 1]);
    }
    Some(bytes)
}

fn value_of(letter: u8) -> Option<u32> {
    let value = match letter {
        b'A'..=b'Z' => letter - b'A',
        b'a'..=b'z' => letter - b'a' + 26,
        b'0'..=b'9' => letter - b'0' + 52,
        b'+' => 62,
        b'/' => 63,
        _ => return None,
    };
    Some(u32::from(value))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use serde_json::json;

    use super::*;

    #[test]
    fn the_text_is_that_of_the_standard() {
        // RFC 4648, section 10.
        let vectors = [
            "", "Zg==", "Zm8=", "Zm9v", "Zm9vYg==", "Zm9vYmE=", "Zm9vYmFy",
        ];
        for (length, text) in vectors.iter().enumerate() {
            let levels = Levels(b"foobar"[..length].into());
            assert_eq!(serde_json::to_value(&levels).unwrap(), json!(text));
            assert_eq!(
                serde_json::from_value::<Levels>(json!(text)).unwrap(),
                levels
            );
        }
        let numbers: Levels = serde_json::from_value(json!([0, 128, 255, 256, -1, 0.6])).unwrap();
        assert_eq!(*numbers.0, [0, 128, 255, 255, 0, 1]);
    }

    #[test]
    fn what_is_damaged_is_refused() {
        for text in [
            "Z", "Zg", "Zg=", "Zg===", "Z=g=", "Zm9v\n", "Zm 9v===", "====", "Zm9é",
        ] {
            assert!(
                serde_json::from_value::<Levels>(json!(text)).is_err(),
                "{text}"
            );
        }
        for numbers in [json!([1, "2"]), json!([null]), json!(7)] {
            assert!(serde_json::from_value::<Levels>(numbers).is_err());
        }
    }

    proptest! {
        #[test]
        fn any_levels_come_back(levels in proptest::collection::vec(any::<u8>(), 0..90)) {
            let text = String::from(Levels(levels.clone().into()));
            prop_assert_eq!(bytes_of(&text), Some(levels));
        }
    }
}
