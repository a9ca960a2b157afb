//! Words that several places of the application say.

use std::cmp::Ordering;

use heartside_timber::document::Aim;
use heartside_timber::score::Score;

use crate::protocol::ThingKind;

/// What was asked about was taken away meanwhile.
pub(crate) const GONE: &str = "this is not there any more";
/// The same of a part, which may also have become unusable.
pub(crate) const NO_PART: &str =
    "this part is not there any more, or has a problem that must be mended first";

/// A kind of thing as it is added: "a board".
pub(crate) fn kind_words(kind: ThingKind) -> &'static str {
    match kind {
        ThingKind::Job => "a job",
        ThingKind::Workshop => "a workshop",
        ThingKind::Allowances => "extra wood",
        ThingKind::Board => "a board",
        ThingKind::Station => "a width",
        ThingKind::Corner => "a corner",
        ThingKind::Zone => "a marked area",
        ThingKind::Part => "a part",
        ThingKind::Tool => "a tool",
        ThingKind::Dimension => "a dimension",
        ThingKind::Match => "a match",
        ThingKind::Species => "a species",
    }
}

/// What a maker may put first.
pub(crate) fn aim_words(aim: Aim) -> &'static str {
    match aim {
        Aim::Timber => "Least timber",
        Aim::Sizes => "Sizes as you like them best",
        Aim::Figure => "Best figure",
        Aim::Labour => "Least sawing",
        Aim::Offcuts => "Useful offcuts",
    }
}

/// What a plan with as many parts is better in: the first of what decides that differs.
pub(crate) fn better_in(order: &[Aim], before: &Score, now: &Score) -> Option<&'static str> {
    if now.missing != before.missing {
        return Some("parts that matter more are placed");
    }
    if now.reluctant.total_cmp(&before.reluctant) == Ordering::Less {
        return Some("boards are used as you asked");
    }
    order.iter().find_map(|aim| match aim {
        Aim::Timber => (now.cost < before.cost).then_some("less timber"),
        Aim::Sizes => (now.sizes < before.sizes).then_some("sizes nearer to those you like best"),
        Aim::Figure => (now.figure < before.figure).then_some("better figure"),
        Aim::Labour => (now.labour < before.labour).then_some("less sawing"),
        Aim::Offcuts => (now.offcuts < before.offcuts).then_some("more useful offcuts"),
    })
}
