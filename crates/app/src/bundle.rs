//! A job with its photographs in one file, for the page: what to write between the pictures, and where they lie.

pub use heartside_exchange::bundle::Packing;
use heartside_exchange::bundle::unpack;

use crate::protocol::{BundleFound, BundlePhoto};

/// Finds the job and its photographs in a ZIP file; says why there is none.
pub fn find_in_bundle(bytes: &[u8]) -> BundleFound {
    match unpack(bytes) {
        Ok(found) => BundleFound {
            problem: None,
            job: String::from_utf8_lossy(&bytes[found.job]).into_owned(),
            photos: found
                .photos
                .into_iter()
                .map(|(hash, place)| BundlePhoto {
                    hash,
                    from: place.start as f64,
                    to: place.end as f64,
                })
                .collect(),
            others: found.others,
        },
        Err(error) => BundleFound {
            problem: Some(error.to_string()),
            ..BundleFound::default()
        },
    }
}
