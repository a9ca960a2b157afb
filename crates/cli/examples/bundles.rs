//! ZIP files for the oracle: one of our own with no argument, as hexadecimal digits; else what lies in the files that are
//! named, a line each.

#![allow(clippy::print_stdout, clippy::unwrap_used)]

use heartside_exchange::bundle::{Packing, unpack};

fn main() {
    let names: Vec<String> = std::env::args().skip(1).collect();
    if names.is_empty() {
        println!("{}", serde_json::json!({ "zip": hex(&own()) }));
    }
    for name in names {
        let bytes = std::fs::read(&name).unwrap();
        let line = match unpack(&bytes) {
            Ok(found) => serde_json::json!({
                "job": String::from_utf8_lossy(&bytes[found.job]),
                "photos": found.photos.into_iter().map(|(hash, at)| (hash, hex(&bytes[at]))).collect::<Vec<_>>(),
                "others": found.others,
            }),
            Err(error) => serde_json::json!({ "problem": error.to_string() }),
        };
        println!("{line}");
    }
}

fn own() -> Vec<u8> {
    let mut packing = Packing::default();
    let job = "{\"title\": \"T\u{e4}fel\"}";
    let mut whole = packing.job(job);
    whole.extend(job.bytes());
    for (digit, size) in [("a", 0usize), ("b", 1), ("c", 70_000)] {
        let bytes: Vec<u8> = (0..size).map(|k| (k * k / 7) as u8).collect();
        whole.extend(packing.photo(&digit.repeat(64), &bytes).unwrap());
        whole.extend(bytes);
    }
    whole.extend(packing.finish());
    whole
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|b| format!("{b:02x}")).collect()
}
