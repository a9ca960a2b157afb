//! The plan in words and figures.

use super::{CopyOf, Line, to_page};

to_page! {
    /// What the checker says of the plan as a whole.
    pub enum VerdictKind {
        /// Every rule is kept and everything is placed.
        Checked,
        /// Every rule is kept, but not everything is placed.
        NotAllPlaced,
        /// A rule is broken.
        #[default]
        Wrong,
    }
}

to_page! {
    /// Copies that found no place.
    pub struct UnplacedRow {
        /// The copies.
        pub parts: Vec<CopyOf>,
        /// "Leg 2 and Leg 3".
        pub name: String,
        /// Why, as a sentence.
        pub reason: String,
        /// The least board that would take one, as a sentence.
        pub least_board: Option<String>,
    }
}

to_page! {
    /// One better plan on the way.
    pub struct ProgressPoint {
        /// Steps made when it was found.
        pub steps: f64,
        /// Its cost as a number.
        pub cost: f64,
        /// Copies not placed.
        pub missing: u32,
    }
}

to_page! {
    /// The way to the plan, for a small measure from the bound to the first plan.
    pub struct Progress {
        /// Better and better plans of this set-out, oldest first.
        pub points: Vec<ProgressPoint>,
        /// The bound as a number; null while parts are missing, of which it does not speak.
        pub bound: Option<f64>,
        /// Cost of the plan on the floor.
        pub cost_text: String,
        /// Cost of the first plan with as many parts.
        pub first_text: String,
        /// The bound in words: "113.90".
        pub bound_text: String,
        /// What got better, in one sentence.
        pub sentence: String,
    }
}

to_page! {
    /// The plan on the floor.
    pub struct PlanSummary {
        /// "All 25 parts placed", "22 of 25 parts placed".
        pub sentence: String,
        /// What the checker says.
        pub verdict: VerdictKind,
        /// In words: "Checked against every rule", "3 things are wrong".
        pub verdict_text: String,
        /// The plan was made before the last change: a sentence that says so.
        pub stale: Option<String>,
        /// "Timber used": what is spent and what is still to be.
        pub cost: String,
        /// "60.00 spent, 56.30 still to spend"; none before the first cut.
        pub spent: Option<String>,
        /// "no plan can be under 113.90"; null where there is no bound yet.
        pub bound: Option<String>,
        /// Why the bound holds.
        pub bound_because: Option<String>,
        /// Label and value for the figures shown under the line.
        pub figures: Vec<Line>,
        /// Each size that is otherwise than preferred, and what is in the way: "reach is 455 mm, 500 mm
        /// preferred. At 500 mm: Leg 1 sticks out of board A."
        pub sizes: Vec<String>,
        /// What found no place.
        pub unplaced: Vec<UnplacedRow>,
        /// "starting number 1, 4,000 steps, 2 workers"; null for a plan laid by hand.
        pub made: Option<String>,
        /// The way to it.
        pub progress: Option<Progress>,
        /// Copies placed.
        pub placed_count: u32,
        /// Copies wanted.
        pub wanted_count: u32,
    }
}

to_page! {
    /// A kept plan.
    pub struct KeptRow {
        /// Its name.
        pub name: String,
        /// "25 of 25 placed, 116.30".
        pub text: String,
        /// It is the plan on the floor.
        pub shown: bool,
        /// What the checker says of it now.
        pub verdict: VerdictKind,
    }
}

to_page! {
    /// One figure of two plans.
    pub struct ComparedRow {
        /// What.
        pub label: String,
        /// Of the first.
        pub first: String,
        /// Of the second.
        pub second: String,
        /// Which is better: -1 the first, 1 the second, 0 neither.
        pub better: i32,
    }
}

to_page! {
    /// Two plans side by side.
    pub struct Comparison {
        /// Heading of the first.
        pub first: String,
        /// Heading of the second.
        pub second: String,
        /// Figures.
        pub rows: Vec<ComparedRow>,
        /// Which is better in the maker's order, as a sentence.
        pub sentence: String,
    }
}
