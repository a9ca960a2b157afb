//! How a face is to look.

use super::form::{document_struct, word_enum};

word_enum! {
    /// How the halves and parts of a face answer each other.
    pub enum Answer {
        /// It does not matter.
        #[default]
        Any,
        /// The halves mirror each other about the middle line along the grain.
        Mirror,
        /// The figure runs on across the joints.
        RunOn,
    }
}

word_enum! {
    /// Where the figure of a face is.
    pub enum Spread {
        /// It does not matter.
        #[default]
        Any,
        /// The liveliest of it in the middle.
        Middle,
        /// Alike from end to end.
        Even,
    }
}

word_enum! {
    /// What is seen of sapwood on a face.
    pub enum SapwoodSeen {
        /// It does not matter.
        #[default]
        Any,
        /// As much on one long edge as on the other.
        Both,
        /// None.
        None,
    }
}

document_struct! {
    /// What counts in a face that is put together; nothing unless chosen.
    pub struct Wish {
        /// How the halves and parts answer each other.
        pub answer: Answer,
        /// Where the figure is.
        pub spread: Spread,
        /// What is seen of sapwood.
        pub sapwood: SapwoodSeen,
    }
}

impl Wish {
    /// Nothing was chosen.
    pub fn is_empty(&self) -> bool {
        *self == Wish::default()
    }
}
