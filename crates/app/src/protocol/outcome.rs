//! What a call did.

use super::{Choice, CopyOf, Thing, to_page};

to_page! {
    /// A row of pasted or read text that could not be used.
    pub struct BadRow {
        /// Line of the text, from 1.
        pub line: u32,
        /// What is wrong and how to mend it.
        pub message: String,
    }
}

to_page! {
    /// A column of a pasted list whose heading is not known.
    pub struct OpenColumn {
        /// Which it is, from 0.
        pub at: u32,
        /// Its heading.
        pub heading: String,
        /// What it can be said to mean.
        pub meanings: Vec<Choice>,
    }
}

to_page! {
    /// An offer after a drop that no straight cuts can reach.
    pub struct SawOffer {
        /// The part to saw by line: the argument of `saw_by_line`.
        pub part: CopyOf,
        /// Label of the button.
        pub label: String,
    }
}

to_page! {
    /// What a call did.
    pub struct Outcome {
        /// The job was changed (or the thing asked for was done).
        pub done: bool,
        /// Why not, or what is wrong with what was typed: a sentence with its mend.
        pub problem: Option<String>,
        /// What was added, changed or moved: select it.
        pub thing: Option<Thing>,
        /// A sentence to show and to read aloud.
        pub announce: Option<String>,
        /// Rows that could not be used.
        pub bad_rows: Vec<BadRow>,
        /// Columns of a pasted list to be asked about.
        pub columns: Vec<OpenColumn>,
        /// Parts that no straight cut can separate.
        pub inseparable: Vec<CopyOf>,
        /// How to get out of that.
        pub offers: Vec<SawOffer>,
    }
}

impl Outcome {
    /// It was done.
    pub fn done() -> Outcome {
        Outcome {
            done: true,
            ..Outcome::default()
        }
    }

    /// It was not done, and why.
    pub fn refused(problem: impl Into<String>) -> Outcome {
        Outcome {
            problem: Some(problem.into()),
            ..Outcome::default()
        }
    }

    /// The same with a thing to select.
    pub fn with_thing(mut self, thing: Thing) -> Outcome {
        self.thing = Some(thing);
        self
    }

    /// The same with a sentence to show.
    pub fn saying(mut self, sentence: impl Into<String>) -> Outcome {
        self.announce = Some(sentence.into());
        self
    }
}

to_page! {
    /// What opening a file did.
    pub struct Opened {
        /// The file is now the job on the floor. Where not, the old job is still there.
        pub accepted: bool,
        /// What is wrong with the file or with the job in it.
        pub problems: Vec<super::ProblemRow>,
    }
}

to_page! {
    /// A length as it was understood.
    pub struct LengthRead {
        /// Millimetres; null where it could not be read.
        pub mm: Option<f64>,
        /// As the job shows lengths.
        pub shown: Option<String>,
        /// What is wrong, with the mend.
        pub problem: Option<String>,
    }
}

to_page! {
    /// What a search needs to start.
    pub struct SetOutStart {
        /// False where nothing can be set out; see `problem`.
        pub ready: bool,
        /// Why not.
        pub problem: Option<String>,
        /// Some boards are cut already: the rest is set out, and what still holds stays if it can.
        pub rest: bool,
        /// What is looked at: "40 boards and 300 parts".
        pub what: String,
        /// The job for `new Search(document, ...)`.
        pub document: String,
        /// Handed back with every offer.
        pub revision: u32,
        /// Steps each worker makes in a round.
        pub steps_per_round: u32,
        /// Workers by default.
        pub workers: u32,
    }
}

to_page! {
    /// What became of an offered plan.
    pub struct Offered {
        /// It was checked, is better than what was there, and is shown now.
        pub taken: bool,
        /// Why not.
        pub problem: Option<String>,
        /// A sentence to show and to read aloud.
        pub announce: Option<String>,
    }
}
