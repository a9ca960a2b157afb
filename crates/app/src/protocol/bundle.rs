//! A job with its photographs in one file.

use super::to_page;

to_page! {
    /// A picture in a ZIP file.
    pub struct BundlePhoto {
        /// The hash that it is called by; whether it is that picture is for the page to find out.
        pub hash: String,
        /// Its first byte, from 0.
        pub from: f64,
        /// The byte after its last one.
        pub to: f64,
    }
}

to_page! {
    /// What lies in a ZIP file.
    pub struct BundleFound {
        /// Why it cannot be opened.
        pub problem: Option<String>,
        /// The text of the job.
        pub job: String,
        /// Its pictures.
        pub photos: Vec<BundlePhoto>,
        /// Names of what is neither.
        pub others: Vec<String>,
    }
}
