//! Forms: every field of a thing, described so that the page can show it without knowing it.

use super::{Thing, ThingKind, to_page};

to_page! {
    /// How a field is typed.
    pub enum FieldKind {
        /// A length in any unit, or an expression over the named dimensions.
        Length,
        /// A number.
        Number,
        /// Free text.
        #[default]
        Text,
        /// Several lines of free text.
        Note,
        /// One of [`Field::choices`].
        Choice,
        /// `yes` or `no`.
        Flag,
    }
}

to_page! {
    /// Where in its form a field stands.
    pub enum FieldPlace {
        /// At the start: what is filled in each time.
        #[default]
        Start,
        /// Below the tables.
        Below,
        /// Under details: what is seldom needed.
        Details,
    }
}

to_page! {
    /// A small picture, 80 by 30 units: two paths of an SVG.
    pub struct SmallPicture {
        /// The wood.
        pub wood: String,
        /// What is looked at or laid on it.
        pub sign: String,
    }
}

to_page! {
    /// What a cupped board finishes at if it is ripped into staves first.
    pub struct Ripped {
        /// How many staves; one is the whole board.
        pub staves: u32,
        /// How wide each is.
        pub width: String,
        /// How thick each is once it is flat.
        pub finishes_at: String,
    }
}

to_page! {
    /// One choice.
    pub struct Choice {
        /// The text to hand back.
        pub value: String,
        /// What a person reads.
        pub label: String,
        /// What it looks like.
        pub picture: Option<SmallPicture>,
    }
}

to_page! {
    /// One field of a form.
    pub struct Field {
        /// Handed back to `set`; also the path named by problems.
        pub name: String,
        /// Where in the form it stands.
        pub place: FieldPlace,
        /// The heading under which it stands.
        pub group: String,
        /// What a person reads beside it.
        pub label: String,
        /// How it is typed.
        pub kind: FieldKind,
        /// What stands in it now, to the letter; `yes` or `no` for a flag.
        pub text: String,
        /// What holds while it is empty.
        pub when_empty: Option<String>,
        /// Where what holds while it is empty comes from: a source, common practice or memory.
        pub standing: Option<String>,
        /// What it leaves open, although it can be used.
        pub question: Option<String>,
        /// Answers to the question or ways out of the problem: texts to put into it.
        pub offers: Vec<Choice>,
        /// What is understood, where that reads otherwise than the text ("= 1400 mm").
        pub reads_as: Option<String>,
        /// For a choice.
        pub choices: Vec<Choice>,
        /// One plain sentence of help.
        pub hint: Option<String>,
        /// How it is measured.
        pub picture: Option<SmallPicture>,
        /// What is wrong with it.
        pub problem: Option<String>,
    }
}

to_page! {
    /// One row of a table inside a form.
    pub struct TableRow {
        /// What the row is, to remove, move or open it.
        pub thing: Thing,
        /// How a person would call it.
        pub title: String,
        /// One field for each column; handed back with the form's own thing.
        pub cells: Vec<Field>,
    }
}

to_page! {
    /// A table inside a form: the widths by tape of a board, its zones, corners of an outline.
    pub struct Table {
        /// Heading.
        pub label: String,
        /// Column headings.
        pub columns: Vec<String>,
        /// Rows.
        pub rows: Vec<TableRow>,
        /// The kind to `add`, with the form's thing as owner.
        pub adds: ThingKind,
        /// Label of the button that adds a row.
        pub add_label: String,
        /// True where a row opens a form of its own.
        pub opens: bool,
        /// Another row is still to come after the last: the far end was not measured yet.
        pub goes_on: bool,
        /// One plain sentence of help.
        pub hint: Option<String>,
    }
}

to_page! {
    /// A form.
    pub struct Form {
        /// What it is about; null when there is no such thing (any more).
        pub thing: Option<Thing>,
        /// Heading.
        pub title: String,
        /// Fields in order; neighbours of one group belong together.
        pub fields: Vec<Field>,
        /// Tables after the fields.
        pub tables: Vec<Table>,
        /// A board with a measured cup: what it finishes at, whole and ripped into more and more staves.
        pub ripped: Vec<Ripped>,
        /// Problems of this thing that belong to no single field.
        pub problems: Vec<String>,
        /// It can be removed.
        pub removable: bool,
    }
}
