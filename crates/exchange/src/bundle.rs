//! A job with its photographs in one file, or the files that leave a plan: a ZIP file of stored entries.
//!
//! Only what is needed of the published format is written and read (APPNOTE 6.3.10, sections 4.3 and 4.4): pictures
//! are packed already, so nothing is compressed, and nothing that is compressed is read. The pictures themselves
//! never pass through here: whoever writes puts the headers between them, whoever reads learns where they lie.

use std::ops::Range;

use heartside_geometry::Arrange;
use thiserror::Error;

/// What the job is called in it.
const JOB: &str = "job.heartside.json";

/// Entries and sizes are written in so many bits; no file is larger.
const MOST_BYTES: u64 = u32::MAX as u64;

/// More entries than any job has photographs; reading each costs a look at its bytes.
const MOST_ENTRIES: usize = 5_000;

/// Local header, entry of the directory, and end of the directory.
const LOCAL: u32 = 0x0403_4b50;
const ENTRY: u32 = 0x0201_4b50;
const END: u32 = 0x0605_4b50;

/// Why a file cannot be read as a job with photographs.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum BundleError {
    /// It has no directory of a ZIP file.
    #[error("this is no ZIP file, or its end is missing: copy it again from where it was saved")]
    NoDirectory,
    /// The directory or an entry leads out of the file, or into another entry.
    #[error("this ZIP file is broken: copy it again from where it was saved")]
    Broken,
    /// The bytes of an entry are not those that were written.
    #[error(
        "\u{201c}{name}\u{201d} in this ZIP file is broken: copy the file again from where it was saved"
    )]
    Changed {
        /// Its name.
        name: String,
    },
    /// An entry is compressed or locked.
    #[error(
        "this ZIP file was packed by another program: unpack it, and open the job in it (*.heartside.json)"
    )]
    PackedElsewhere,
    /// More entries or bytes than are read.
    #[error("this ZIP file is too large to be a job with its photos")]
    TooLarge,
    /// There is no job in it.
    #[error("there is no job in this ZIP file (*.heartside.json)")]
    NoJob,
    /// There are several.
    #[error("there are several jobs in this ZIP file: unpack it, and open one of them")]
    SeveralJobs,
}

/// Writes a bundle piece by piece.
#[derive(Debug, Clone)]
pub struct Packing {
    directory: Vec<u8>,
    entries: u16,
    /// Time and day of every entry, as the format has them.
    moment: [u32; 2],
    /// How many bytes stand before the next header.
    at: u64,
}

impl Default for Packing {
    /// All of it from 1 January 1980.
    fn default() -> Packing {
        Packing::of([1980, 1, 1, 0, 0])
    }
}

impl Packing {
    /// A file whose entries are of this year, month, day, hour and minute (APPNOTE 4.4.6, from 1980 to 2107).
    pub fn of([year, month, day, hour, minute]: [u32; 5]) -> Packing {
        Packing {
            directory: Vec::new(),
            entries: 0,
            moment: [
                (hour.min(23) << 11) | (minute.min(59) << 5),
                ((year.clamp(1980, 2107) - 1980) << 9)
                    | (month.clamp(1, 12) << 5)
                    | day.clamp(1, 31),
            ],
            at: 0,
        }
    }

    /// What stands before the text of the job. It comes first.
    pub fn job(&mut self, text: &str) -> Vec<u8> {
        self.header(JOB, text.as_bytes())
    }

    /// What stands before the bytes of a picture, the SHA-256 of whose file is `hash`; none where the whole would be
    /// larger than a ZIP file can be.
    pub fn photo(&mut self, hash: &str, bytes: &[u8]) -> Option<Vec<u8>> {
        self.file(&format!("photos/{hash}.jpg"), bytes)
    }

    /// What stands before the bytes of any file; none where the whole would be larger than a ZIP file can be.
    pub fn file(&mut self, name: &str, bytes: &[u8]) -> Option<Vec<u8>> {
        let after = self.at + self.directory.len() as u64 + bytes.len() as u64;
        let has_room = after + 1000 < MOST_BYTES && usize::from(self.entries) < MOST_ENTRIES;
        has_room.then(|| self.header(name, bytes))
    }

    fn header(&mut self, name: &str, bytes: &[u8]) -> Vec<u8> {
        let mut fields = Vec::new();
        // Version needed: 1.0, or 2.0 for folders. Names are in UTF-8. Stored.
        for field in [20, 1 << 11, 0, self.moment[0], self.moment[1]] {
            put(&mut fields, field, 2);
        }
        put(&mut fields, crc_32(bytes), 4);
        put(&mut fields, bytes.len() as u32, 4);
        put(&mut fields, bytes.len() as u32, 4);
        put(&mut fields, name.len() as u32, 2);
        put(&mut fields, 0, 2);
        let entry = &mut self.directory;
        put(entry, ENTRY, 4);
        put(entry, 20, 2);
        entry.extend(&fields);
        // No comment, first disk, no attributes.
        for (field, size) in [(0, 2), (0, 2), (0, 2), (0, 4)] {
            put(entry, field, size);
        }
        put(entry, self.at as u32, 4);
        entry.extend(name.as_bytes());
        let mut header = Vec::new();
        put(&mut header, LOCAL, 4);
        header.extend(fields);
        header.extend(name.as_bytes());
        self.entries += 1;
        self.at += (header.len() + bytes.len()) as u64;
        header
    }

    /// What stands at the end.
    pub fn finish(mut self) -> Vec<u8> {
        let size = self.directory.len() as u32;
        let end = &mut self.directory;
        put(end, END, 4);
        put(end, 0, 4);
        put(end, self.entries.into(), 2);
        put(end, self.entries.into(), 2);
        put(end, size, 4);
        put(end, self.at as u32, 4);
        put(end, 0, 2);
        self.directory
    }
}

/// Where things lie in a bundle.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unpacked {
    /// The text of the job.
    pub job: Range<usize>,
    /// Pictures, each with the hash that it is called by.
    pub photos: Vec<(String, Range<usize>)>,
    /// Names of what is neither.
    pub others: Vec<String>,
}

/// Whether a file begins as a ZIP file does.
pub fn is_bundle(bytes: &[u8]) -> bool {
    number(bytes, 0, 4) == Some(LOCAL as usize)
}

/// Finds the job and its photographs. Names in it never become names of files, so none can lead anywhere.
///
/// # Errors
/// [`BundleError`]. Whether a picture is the one that its name says is for the caller to find out.
///
/// # Cost
/// O(bytes).
pub fn unpack(bytes: &[u8]) -> Result<Unpacked, BundleError> {
    let mut found = entries(bytes)?;
    let mut job = None;
    let (mut photos, mut others) = (Vec::new(), Vec::new());
    // Two entries in the same bytes would make a small file a huge one.
    found.arrange_by(|a, b| a.1.start.cmp(&b.1.start));
    if found.windows(2).any(|w| w[1].1.start < w[0].1.end) {
        return Err(BundleError::Broken);
    }
    for (name, place, crc) in found {
        if crc_32(&bytes[place.clone()]) as usize != crc {
            return Err(BundleError::Changed { name });
        }
        let file = name.rsplit(['/', '\\']).next().unwrap_or_default();
        let stem = file.split('.').next().unwrap_or_default();
        // Some systems put hidden twins of every file beside it.
        if file.starts_with('.') || file.is_empty() {
            continue;
        }
        if file.ends_with(".heartside.json") {
            if job.replace(place).is_some() {
                return Err(BundleError::SeveralJobs);
            }
        } else if stem.len() == 64 && stem.bytes().all(|b| b.is_ascii_hexdigit()) {
            photos.push((stem.to_ascii_lowercase(), place));
        } else {
            others.push(name);
        }
    }
    Ok(Unpacked {
        job: job.ok_or(BundleError::NoJob)?,
        photos,
        others,
    })
}

/// Name, place and check sum of every entry.
fn entries(bytes: &[u8]) -> Result<Vec<(String, Range<usize>, usize)>, BundleError> {
    use BundleError::Broken;
    // The end is followed by a comment of 65,535 bytes at most.
    let last = bytes
        .len()
        .checked_sub(22)
        .ok_or(BundleError::NoDirectory)?;
    let end = (last.saturating_sub(65_535)..=last)
        .rev()
        .find(|at| number(bytes, *at, 4) == Some(END as usize))
        .ok_or(BundleError::NoDirectory)?;
    let field = |at: usize, size: usize| number(bytes, at, size).ok_or(Broken);
    let count = field(end + 10, 2)?;
    let mut at = field(end + 16, 4)?;
    if count > MOST_ENTRIES || at == u32::MAX as usize {
        return Err(BundleError::TooLarge);
    }
    let directory = at;
    let mut found = Vec::new();
    for _ in 0..count {
        if field(at, 4)? != ENTRY as usize || at >= end {
            return Err(Broken);
        }
        let (flags, method) = (field(at + 8, 2)?, field(at + 10, 2)?);
        let (crc, size) = (field(at + 16, 4)?, field(at + 24, 4)?);
        let name_end = at + 46 + field(at + 28, 2)?;
        let name = bytes.get(at + 46..name_end).ok_or(Broken)?;
        let name = String::from_utf8_lossy(name).into_owned();
        let header = field(at + 42, 4)?;
        at = name_end + field(at + 30, 2)? + field(at + 32, 2)?;
        if size == u32::MAX as usize || header == u32::MAX as usize {
            return Err(BundleError::TooLarge);
        }
        if name.ends_with('/') {
            continue;
        }
        if flags & 1 != 0 || method != 0 {
            return Err(BundleError::PackedElsewhere);
        }
        if field(header, 4)? != LOCAL as usize {
            return Err(Broken);
        }
        let start = header + 30 + field(header + 26, 2)? + field(header + 28, 2)?;
        let own = start.checked_add(size).filter(|end| *end <= directory);
        found.push((name, start..own.ok_or(Broken)?, crc));
    }
    Ok(found)
}

fn put(to: &mut Vec<u8>, value: u32, size: usize) {
    to.extend(&value.to_le_bytes()[..size]);
}

/// A number, its least byte first; none beyond the end.
fn number(bytes: &[u8], at: usize, size: usize) -> Option<usize> {
    let own = bytes.get(at..at.checked_add(size)?)?;
    let value = own.iter().rev().fold(0u32, |n, b| n << 8 | u32::from(*b));
    Some(value as usize)
}

/// The cyclic redundancy check of ISO 3309 (polynomial 0xedb88320), as ZIP files have it; by half bytes, so that
/// its table is small.
fn crc_32(bytes: &[u8]) -> u32 {
    let table: [u32; 16] = std::array::from_fn(|k| {
        (0..4).fold(k as u32, |c, _| {
            if c & 1 == 1 {
                0xedb8_8320 ^ c >> 1
            } else {
                c >> 1
            }
        })
    });
    let mut crc = u32::MAX;
    for byte in bytes {
        crc ^= u32::from(*byte);
        crc = table[(crc & 15) as usize] ^ crc >> 4;
        crc = table[(crc & 15) as usize] ^ crc >> 4;
    }
    !crc
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hash(digit: char) -> String {
        digit.to_string().repeat(64)
    }

    fn packed(photos: &[(String, Vec<u8>)]) -> Vec<u8> {
        let mut packing = Packing::default();
        let job = "{\"format\": \"heartside-job\"}";
        let mut whole = packing.job(job);
        whole.extend(job.as_bytes());
        for (hash, bytes) in photos {
            whole.extend(packing.photo(hash, bytes).expect("there is room"));
            whole.extend(bytes);
        }
        whole.extend(packing.finish());
        whole
    }

    fn two_photos() -> Vec<(String, Vec<u8>)> {
        vec![(hash('a'), vec![1, 2, 3]), (hash('b'), vec![0; 5000])]
    }

    #[test]
    fn what_was_packed_is_found_again() {
        // The check value of the algorithm.
        assert_eq!(crc_32(b"123456789"), 0xcbf4_3926);
        let photos = two_photos();
        let whole = packed(&photos);
        assert!(is_bundle(&whole) && !is_bundle(b"{}"));
        let found = unpack(&whole).expect("it opens");
        assert!(whole[found.job].starts_with(b"{\"format\""));
        assert!(found.others.is_empty());
        for ((hash, bytes), (name, place)) in photos.iter().zip(found.photos) {
            assert_eq!((hash.as_str(), &bytes[..]), (name.as_str(), &whole[place]));
        }
    }

    #[test]
    fn any_file_is_packed_with_the_moment_that_is_told() {
        let mut packing = Packing::of([2026, 11, 30, 4, 8]);
        let header = packing.file("list.csv", b"a,b").expect("there is room");
        assert_eq!(number(&header, 10, 2), Some((4 << 11) | (8 << 5)));
        assert_eq!(number(&header, 12, 2), Some((46 << 9) | (11 << 5) | 30));
        assert!(header.ends_with(b"list.csv"));
        let early = Packing::of([0; 5]).file("a", b"").expect("there is room");
        assert_eq!(number(&early, 10, 4), Some(0x21 << 16));
    }

    #[test]
    fn every_cut_and_every_changed_byte_is_noticed_or_harmless() {
        let whole = packed(&two_photos());
        let sound = unpack(&whole).expect("it opens");
        for end in 0..whole.len() {
            assert!(unpack(&whole[..end]).is_err(), "cut at {end}");
        }
        for at in (0..whole.len())
            .step_by(7)
            .chain(whole.len() - 300..whole.len())
        {
            for flip in [1, 0x80, 0xff] {
                let mut changed = whole.clone();
                changed[at] ^= flip;
                if let Ok(found) = unpack(&changed) {
                    assert_eq!(changed[found.job.clone()], whole[sound.job.clone()]);
                    assert!(
                        found
                            .photos
                            .iter()
                            .all(|(_, place)| place.end <= whole.len())
                    );
                }
            }
        }
    }

    #[test]
    fn tricks_are_refused_or_lead_nowhere() {
        let whole = packed(&two_photos());
        let renamed = |from: &str, to: &str| {
            assert_eq!(from.len(), to.len());
            let mut bytes = whole.clone();
            for at in 0..bytes.len() - from.len() {
                if bytes[at..].starts_with(from.as_bytes()) {
                    bytes[at..at + to.len()].copy_from_slice(to.as_bytes());
                }
            }
            unpack(&bytes)
        };
        let found = renamed("photos/a", "/../../a").expect("it opens");
        assert_eq!(found.photos.len(), 2, "only the hash counts");
        let other = renamed("photos/aa", "photos/a?").expect("it opens");
        assert_eq!((other.photos.len(), other.others.len()), (1, 1));
        assert_eq!(renamed("job.heart", "job.heaxt"), Err(BundleError::NoJob));
        // Two entries of the directory that lie in the same bytes.
        let mut twice = whole.clone();
        let directory = twice.len() - 22 - 3 * 46 - 18 - 2 * 75;
        let second = directory + 46 + 18;
        let third = second + 46 + 75;
        let place = twice[second + 42..second + 46].to_vec();
        twice[third + 42..third + 46].copy_from_slice(&place);
        assert!(unpack(&twice).is_err());
        let mut method = whole.clone();
        method[second + 10] = 8;
        assert_eq!(unpack(&method), Err(BundleError::PackedElsewhere));
        let mut locked = whole;
        locked[second + 8] |= 1;
        assert_eq!(unpack(&locked), Err(BundleError::PackedElsewhere));
        assert_eq!(unpack(&[]), Err(BundleError::NoDirectory));
        assert_eq!(unpack(&[0x50; 100_000]), Err(BundleError::NoDirectory));
    }
}
