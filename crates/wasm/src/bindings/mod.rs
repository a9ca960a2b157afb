//! The JavaScript classes. Nothing happens here but the crossing.
//!
//! Arguments of a type of [`heartside_app::protocol`] arrive as [`Ts`] and are read inside the
//! method: a value of the wrong form gives an [`Outcome`] that says so and never throws
//! (a throw would leave the object borrowed for ever).

mod bundle;
mod drawing_out;
mod floor;
mod photo;
mod rounds;
mod search;
mod session;
mod timing;

pub use bundle::{PagePacking, unpack};
pub use floor::{floor_style, ruler_marks};
pub use photo::PagePhotograph;
pub use rounds::PageRounds;
pub use search::{PageSearch, PageSizeAsked};
pub use session::PageSession;

use serde::{Serialize, de::DeserializeOwned};
use serde_wasm_bindgen::Serializer;
use tsify::{Ts, Tsify};
use wasm_bindgen::JsValue;

use heartside_app::protocol::Outcome;

/// A value for JavaScript, what is missing in it as `null`.
///
/// Every type of the protocol consists of strings, numbers, lists and records, which
/// always convert; `null` stands for the failure that cannot be.
pub(crate) fn give<T>(value: &T) -> Ts<T>
where
    T: Tsify + Serialize,
{
    let form = Serializer::new().serialize_missing_as_null(true);
    Ts::new_unchecked(value.serialize(&form).unwrap_or(JsValue::NULL))
}

/// A list for JavaScript.
pub(crate) fn give_all<T>(values: &[T]) -> Vec<Ts<T>>
where
    T: Tsify + Serialize,
{
    values.iter().map(give).collect()
}

/// A value from JavaScript, or the outcome that says it was not one.
pub(crate) fn take<T>(value: &Ts<T>) -> Result<T, Box<Outcome>>
where
    T: Tsify<JsType: Clone> + DeserializeOwned,
{
    value.to_rust().map_err(|e| {
        Box::new(Outcome::refused(format!(
            "the page asked for something the program does not know: {e}"
        )))
    })
}
