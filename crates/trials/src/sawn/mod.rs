//! Phases for boards that are sawn by line, beside nest's own.

mod exact_packing;
mod squeeze;

use heartside_nest::kit::{Floor, Phase, Tools};
use heartside_timber::job::Goal;

use self::exact_packing::ExactPacking;
use self::squeeze::Squeeze;

/// Where nothing is lost between parts, boards are filled exactly.
pub(crate) fn puzzle(tools: &mut Tools<'_>, floor: &Floor) -> Option<Box<dyn Phase>> {
    let puzzle = ExactPacking::new(tools, floor)?;
    Some(Box::new(puzzle))
}

/// A strip is made shorter.
pub(crate) fn squeeze(tools: &mut Tools<'_>, floor: &Floor) -> Option<Box<dyn Phase>> {
    if tools.job.goal != Goal::StripLength {
        return None;
    }
    let squeeze = Squeeze::start(tools, floor)?;
    Some(Box::new(squeeze))
}
