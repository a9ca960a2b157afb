//! How the page names the thing it means.

use heartside_timber::document::BoardCopy;

use super::{from_page, to_page};

to_page! {
    /// The kinds of thing that have a form, or can be added and removed.
    pub enum ThingKind {
        /// The job: title, units, currency, what matters most.
        #[default]
        Job,
        /// Kerfs, trims and limits of the workshop.
        Workshop,
        /// Extra wood on every blank.
        Allowances,
        /// A board.
        Board,
        /// A width by tape of a board: `row` is the board's, `index` the station's.
        Station,
        /// A corner of a board's or part's outline that is drawn corner by corner; `index` is the corner's.
        Corner,
        /// A marked area: `row` is the board's, `index` the zone's.
        Zone,
        /// A part.
        Part,
        /// A tool.
        Tool,
        /// A named dimension.
        Dimension,
        /// Parts that must look related.
        Match,
        /// A species of the maker's own.
        Species,
    }
}

from_page! {
    /// One thing of the job.
    ///
    /// Rows and not ids say which, because a job as typed may hold two boards of one id
    /// (and the way to mend that is to edit the second).
    pub struct Thing {
        /// What it is.
        pub kind: ThingKind,
        /// Its place in the job's list, from 0; for zones, stations and corners the place of their owner.
        #[serde(default)]
        pub row: u32,
        /// Its place in its owner's list, from 0: zones, stations, corners.
        #[serde(default)]
        pub index: Option<u32>,
        /// For a corner: it belongs to a part and not to a board.
        #[serde(default)]
        pub of_part: bool,
    }
}

impl Thing {
    /// A thing of a kind that is there once.
    pub fn only(kind: ThingKind) -> Thing {
        Thing {
            kind,
            ..Thing::default()
        }
    }

    /// A thing of one of the job's lists.
    pub fn row(kind: ThingKind, row: usize) -> Thing {
        Thing {
            kind,
            row: row as u32,
            ..Thing::default()
        }
    }

    /// A thing of a list that a board or part owns.
    pub fn inner(kind: ThingKind, row: usize, index: usize) -> Thing {
        Thing {
            kind,
            row: row as u32,
            index: Some(index as u32),
            of_part: false,
        }
    }

    /// Its owner's (or its own) row as an index.
    pub fn at(&self) -> usize {
        self.row as usize
    }

    /// Its index in its owner's list; 0 where none was given.
    pub fn within(&self) -> usize {
        self.index.unwrap_or(0) as usize
    }
}

from_page! {
    /// One copy of a board or of a part, by id.
    pub struct CopyOf {
        /// The id.
        pub id: String,
        /// 1, 2, ...
        pub copy: u32,
    }
}

impl From<&BoardCopy> for CopyOf {
    fn from(board: &BoardCopy) -> CopyOf {
        CopyOf {
            id: board.board.clone(),
            copy: board.copy,
        }
    }
}

impl From<&CopyOf> for BoardCopy {
    fn from(of: &CopyOf) -> BoardCopy {
        BoardCopy {
            board: of.id.clone(),
            copy: of.copy,
        }
    }
}
