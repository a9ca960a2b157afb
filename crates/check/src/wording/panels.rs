//! Rule 8 for panels: the staves that they are glued up from.

use heartside_timber::document::{BoardCopy, Hearts, PartCopy};
use heartside_timber::job::Panel;
use heartside_timber::words::{capital, counted, plural};

use super::names::Words;

/// Which stave: its panel's copy and its number; and which of its pieces, 0 for all of it.
type Which = (u32, u32, u32);

impl Words<'_> {
    fn stave(&self, panel: &Panel, (copy, number, piece): Which) -> String {
        let stave = format!("stave {number} of {}", panel.part.copy_name(copy));
        match piece {
            0 => stave,
            piece => format!("piece {piece} of {stave}"),
        }
    }

    pub(crate) fn panel_missing(&self, panel: &Panel, copy: u32) -> String {
        format!(
            "The plan does not say which staves {} is glued up from.",
            panel.part.copy_name(copy)
        )
    }

    pub(crate) fn panel_twice(&self, panel: &Panel, copy: u32) -> String {
        format!(
            "The plan says twice which staves {} is glued up from.",
            panel.part.copy_name(copy)
        )
    }

    pub(crate) fn panel_unknown(&self, panel: &PartCopy) -> String {
        format!(
            "The plan glues up {}, which is no panel of this job.",
            self.part(panel)
        )
    }

    pub(crate) fn stave_no_width(&self, panel: &Panel, copy: u32) -> String {
        format!(
            "The plan gives a stave of {} a width that is none.",
            panel.part.copy_name(copy)
        )
    }

    pub(crate) fn stave_twice(&self, panel: &Panel, copy: u32, number: u32) -> String {
        format!(
            "The plan has two staves of {} with the number {number}.",
            panel.part.copy_name(copy)
        )
    }

    pub(crate) fn stave_count(&self, panel: &Panel, copy: u32, count: usize) -> String {
        format!(
            "{} is glued up from {count} {}; it may have from 1 to {}.",
            panel.part.copy_name(copy),
            plural(count, "stave", "staves"),
            panel.max_count
        )
    }

    pub(crate) fn stave_width(&self, panel: &Panel, which: Which, wide: bool, by: f64) -> String {
        let (word, limit, (least, most)) = if wide {
            ("wider", "widest", panel.widths)
        } else {
            ("narrower", "narrowest", panel.widths)
        };
        format!(
            "{} is {} {word} than the {limit} that is allowed, {}.",
            capital(&self.stave(panel, which)),
            self.gap(by),
            self.length(if wide { most } else { least })
        )
    }

    pub(crate) fn stave_not_of_job(
        &self,
        panel: &Panel,
        which: Which,
        widths: Option<(f64, f64)>,
    ) -> String {
        let stave = self.stave(panel, which);
        match widths {
            None => format!("The plan was made with {stave}, which the job does not have."),
            Some((planned, worked_out)) => format!(
                "The plan was made with {stave} {} wide, but the parts were worked out with {}.",
                self.length(planned),
                self.length(worked_out)
            ),
        }
    }

    pub(crate) fn stave_left_out(&self, panel: &Panel, which: Which) -> String {
        format!(
            "The plan was made without {}, which the job has.",
            self.stave(panel, which)
        )
    }

    pub(crate) fn stave_too_short(&self, panel: &Panel, which: Which, by: f64) -> String {
        let than = if which.2 == 0 { "the panel" } else { "planned" };
        format!(
            "{} is {} shorter than {than}.",
            capital(&self.stave(panel, which)),
            self.gap(by)
        )
    }

    pub(crate) fn stave_too_long(&self, panel: &Panel, which: Which, by: f64) -> String {
        format!(
            "{} is {} longer than the panel once it is joined.",
            capital(&self.stave(panel, which)),
            self.gap(by)
        )
    }

    pub(crate) fn piece_too_short(&self, panel: &Panel, which: Which, by: f64) -> String {
        format!(
            "{} is {} shorter than the shortest that is allowed, {}.",
            capital(&self.stave(panel, which)),
            self.gap(by),
            self.length(panel.ends.least)
        )
    }

    pub(crate) fn stave_joined(&self, panel: &Panel, which: Which, count: usize) -> String {
        let stave = capital(&self.stave(panel, which));
        match count {
            0 | 1 => format!("{stave} is said to be joined end to end, of one piece."),
            _ => format!("{stave} is joined end to end, which this panel does not allow."),
        }
    }

    pub(crate) fn ends_near(
        &self,
        panel: &Panel,
        copy: u32,
        (low, high): (u32, u32),
        nearest: f64,
    ) -> String {
        format!(
            "End joints of staves {low} and {high} of {} stand {} apart; neighbouring ones are to stand {} apart.",
            panel.part.copy_name(copy),
            self.gap(nearest),
            self.length(panel.ends.apart)
        )
    }

    pub(crate) fn stave_too_thin(&self, panel: &Panel, which: Which, by: f64) -> String {
        format!(
            "{} is {} too thin to be flattened after gluing.",
            capital(&self.stave(panel, which)),
            self.gap(by)
        )
    }

    pub(crate) fn stave_told_other(
        &self,
        stave: &PartCopy,
        along: bool,
        told: f64,
        is: f64,
    ) -> String {
        format!(
            "The plan lays {} as {} {}; it is {}.",
            self.part(stave),
            self.length(told),
            if along { "long" } else { "wide" },
            self.length(is)
        )
    }

    pub(crate) fn staves_not_equal(&self, panel: &Panel, copy: u32, spread: f64) -> String {
        format!(
            "The staves of {} are to be of one width, but differ by {}.",
            panel.part.copy_name(copy),
            self.gap(spread)
        )
    }

    pub(crate) fn panel_too_narrow(&self, panel: &Panel, copy: u32, by: f64) -> String {
        format!(
            "The staves of {} make up {} less than its {}.",
            panel.part.copy_name(copy),
            self.gap(by),
            self.length(panel.width)
        )
    }

    pub(crate) fn panel_too_wide(&self, panel: &Panel, copy: u32, by: f64) -> String {
        format!(
            "The staves of {} make up {} more than its {}.",
            panel.part.copy_name(copy),
            self.gap(by),
            self.length(panel.width)
        )
    }

    pub(crate) fn heart_wrong(
        &self,
        panel: &Panel,
        (stave, is_up): (&PartCopy, bool),
        (other, other_is_up): (&PartCopy, bool),
        between: Option<usize>,
    ) -> String {
        let way = |up| if up { "up" } else { "down" };
        let (apart, asked) = match panel.hearts {
            Hearts::Alternate if between.is_none() => {
                (String::new(), "pieces of one stave are to show one side")
            }
            Hearts::Alternate if between > Some(0) => {
                let between = counted(between.unwrap_or(0), "stave", "staves");
                (
                    format!(", {between} between them"),
                    "heart sides are to alternate",
                )
            }
            Hearts::Alternate => (String::new(), "heart sides are to alternate"),
            _ => (String::new(), "all are to show the same side"),
        };
        format!(
            "{} lies heart side {} and {} heart side {}{apart}: {asked}.",
            self.part(stave),
            way(is_up),
            self.part(other),
            way(other_is_up)
        )
    }

    pub(crate) fn heart_unknown(
        &self,
        panel: &Panel,
        board: &BoardCopy,
        staves: &[PartCopy],
    ) -> String {
        let asked = match panel.hearts {
            Hearts::Alternate => "whether heart sides alternate",
            _ => "whether all show the same side",
        };
        format!(
            "Nobody has said which face of {} is its heart side, so {asked} is open for {}. Look at its end grain.",
            self.board(board),
            self.parts(staves)
        )
    }
}
