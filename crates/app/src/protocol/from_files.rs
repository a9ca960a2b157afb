//! Boards of files that were given, as they are understood.

use super::{BoardRead, Choice, LineTold, to_page};

to_page! {
    /// What files of boards come to. Nothing of it is in the job before it is taken.
    pub struct FilesRead {
        /// Each file, in the order in which they were given.
        pub files: Vec<FileRead>,
        /// How many boards would be taken.
        pub count: u32,
        /// Why nothing can be taken yet.
        pub missing: Option<String>,
        /// What a drawing can be measured in.
        pub units: Vec<Choice>,
        /// What a layer or an id can mean.
        pub meanings: Vec<Choice>,
    }
}

to_page! {
    /// A file read back.
    pub struct FileRead {
        /// Its name.
        pub name: String,
        /// How far all that is drawn reaches, in its own numbers, where its unit is not known.
        pub asks_unit: Option<String>,
        /// The unit that was said; empty where none was.
        pub unit: String,
        /// Some of its boards have no thickness of their own.
        pub asks_thickness: bool,
        /// The thickness that was said, as it was typed.
        pub thickness: String,
        /// Layers, ids and groups of a drawing, and what they are taken for.
        pub names: Vec<NameRead>,
        /// Its boards; `line` is the place of each, from 0.
        pub boards: Vec<BoardRead>,
        /// The places of those that are left out.
        pub without: Vec<u32>,
        /// What could not be used, by the lines of the file.
        pub told: Vec<LineTold>,
    }
}

to_page! {
    /// A name in a drawing.
    pub struct NameRead {
        /// As it is written there.
        pub name: String,
        /// "3 shapes".
        pub shapes: String,
        /// What it was taken for; empty where the shapes' place tells.
        pub meaning: String,
    }
}
