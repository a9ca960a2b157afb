//! Files that leave a plan for other programs, spreadsheets and paper.

use super::{Choice, Paper, from_page, to_page};

to_page! {
    /// A kind of files. A further kind is a variant here and what `files_out` makes of it.
    pub enum FileKind {
        /// A drawing for other programs of every board that is cut, and of every part.
        #[default]
        Dxf,
        /// Lists for spreadsheets: boards, parts, cuts, offcuts, what is still to find.
        Csv,
        /// A picture of every board that is cut, in true size, and of all boards together.
        Svg,
        /// Pages to be printed, as pictures.
        Pages,
        /// Labels for parts and offcuts, as pages to be printed.
        Labels,
        /// Parts that are no rectangles and boards sawn by line at full size, over sheets that are joined.
        Templates,
    }
}

to_page! {
    /// What stands between the cells of lists.
    pub enum BetweenCells {
        /// Commas; points part decimals.
        #[default]
        Commas,
        /// Semicolons; commas part decimals.
        Semicolons,
    }
}

from_page! {
    /// Which files are wanted, and how. What is typed may be empty: then the usual counts.
    pub struct FilesWanted {
        /// In this order.
        pub kinds: Vec<FileKind>,
        /// The files themselves are wanted, and not only their names.
        pub texts: bool,
        /// Paper of pages and templates; labels lie on A4 or Letter.
        pub paper: Paper,
        /// Of lists.
        pub between: BetweenCells,
        /// The sheet of labels: a value of `grids`, or "own" for one that is typed.
        pub grid: String,
        /// One that is typed: rows, columns, width and height of a label, margins left and top, gaps across and down.
        pub measures: Vec<String>,
        /// The first label that is still on the first sheet.
        pub first: String,
        /// By how much the sheets of a template overlap.
        pub overlap: String,
        /// As it shall stand on labels and templates.
        pub date: String,
    }
}

to_page! {
    /// A file.
    pub struct FileOut {
        /// Of this kind.
        pub kind: FileKind,
        /// In safe letters, with its ending.
        pub name: String,
        /// The whole file; empty where only names were wanted.
        pub text: String,
    }
}

to_page! {
    /// What is wrong with something that was typed.
    pub struct WrongField {
        /// "first", "overlap", "grid", or the place of a measure, from 0.
        pub field: String,
        /// The kind that has no files because of it.
        pub kind: FileKind,
        /// What is wrong, and how to mend it.
        pub words: String,
    }
}

to_page! {
    /// Files, and what is to be known of them.
    pub struct FilesOut {
        /// A file name for all of them together.
        pub name: String,
        /// The files, kind by kind.
        pub files: Vec<FileOut>,
        /// What keeps files from being made.
        pub wrong: Vec<WrongField>,
        /// Usual sheets of labels for this paper; that to be cut out of plain paper is called "plain".
        pub grids: Vec<Choice>,
        /// Which of them is used.
        pub grid: String,
        /// Its measures, as they would be typed.
        pub measures: Vec<String>,
        /// How many labels a sheet has; 0 where its measures are wrong.
        pub on_a_sheet: u32,
        /// The overlap where none is typed.
        pub usual_overlap: String,
    }
}
