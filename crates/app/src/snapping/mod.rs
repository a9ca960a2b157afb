//! Where a part that is held near a place was meant to lie.
//!
//! [`to_contact`] touches what is nearest, [`places_near`] offers the places that a saw would
//! leave it at. Both ask the checker what lies there and what is free; neither judges.

mod contact;
mod near;
mod places;
#[cfg(test)]
mod tests;

pub use contact::to_contact;
pub(crate) use near::on_grid;
pub use places::places_near;
