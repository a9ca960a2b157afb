//! How a set-out came to its plan, in one sentence and a few points: what got better, and never more.

use heartside_timber::plan::Bound;

use super::Session;
use super::judged::Judged;
use super::picture::total_words;
use super::set_out::Passed;
use crate::protocol::Progress;
use crate::words::better_in;

impl Session {
    /// The way to the plan on the floor; none for a plan that no set-out of this session brought.
    pub(super) fn progress(&self, judged: &Judged, bound: &Bound) -> Option<Progress> {
        // Costs from before a cut and after it leave out different boards.
        let first = self.progress.first()?;
        let is_cut_since = first.spent != self.job.spent;
        // A plan changed by hand, or made for an older job, is not what the search came to.
        let is_of_search = self.document.plan.as_ref()?.made.steps > 0;
        if !is_of_search || is_cut_since || self.is_stale() || !judged.is_sound() {
            return None;
        }
        let words = |cost: f64| total_words(&self.job, cost);
        let bound_text = self.floor_words(bound);
        let is_complete = judged.is_complete();
        let least = if is_complete {
            format!("; {bound_text}")
        } else {
            String::new()
        };
        let fewest = self.progress.iter().map(|p| p.point.missing).min();
        let first_full = self
            .progress
            .iter()
            .find(|p| Some(p.point.missing) == fewest)?;
        Some(Progress {
            sentence: self.sentence_of_progress(first, judged) + &least,
            bound: is_complete.then_some(bound.value),
            cost_text: words(judged.totals.cost),
            first_text: words(first_full.point.cost),
            bound_text: words(bound.value),
            points: self.progress.iter().map(|p| p.point.clone()).collect(),
        })
    }

    fn sentence_of_progress(&self, first: &Passed, judged: &Judged) -> String {
        let words = |cost: f64| total_words(&self.job, cost);
        let now = words(judged.totals.cost);
        let plans = self.progress.len();
        let wanted = judged.wanted;
        let before = first.wanted.saturating_sub(u64::from(first.point.missing));
        let placed = judged.placed as u64;
        if plans == 1 {
            return if placed < wanted {
                format!(
                    "The first plan places {placed} of {}",
                    self.parts_words(wanted as usize)
                )
            } else {
                format!("The first plan costs {now}")
            };
        }
        let better = format!("{plans} plans, each better than the one before");
        let (left, left_before) = (wanted.saturating_sub(placed), first.point.missing);
        if left != u64::from(left_before) {
            let all = if placed >= wanted {
                format!("all {}", self.parts_words(wanted as usize))
            } else {
                format!("{placed} of {}", self.parts_words(wanted as usize))
            };
            return format!(
                "{better}: {before} of {} placed at first, now {all}, for {now}",
                self.parts_words(first.wanted as usize)
            );
        }
        let was = words(first.point.cost);
        if was == now {
            return match better_in(&self.job.order, &first.score, &judged.score) {
                Some(what) => format!("{better}: {what}, for the same {now}"),
                None => format!("{better}, for {now}"),
            };
        }
        if judged.totals.cost < first.point.cost {
            return format!("{better}: from {was} down to {now}");
        }
        match better_in(&self.job.order, &first.score, &judged.score) {
            Some(what) => format!("{better}: {what}, for {now} where the first cost {was}"),
            None => format!("{better}, for {now} where the first cost {was}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use heartside_timber::document::Aim;
    use heartside_timber::job::Job;

    use super::*;
    use crate::protocol::PageName;
    use crate::protocol::View;

    const STOOL: &str = include_str!("../../../../fixtures/step-stool.heartside.json");

    /// The stool set out, as if by way of a plan with this cost, sawing and missing parts.
    fn sentence(change: impl FnOnce(&mut Job, &mut Passed)) -> String {
        let mut session = Session::default();
        assert!(session.open(STOOL).accepted);
        let start = session.begin_set_out();
        let mut search = heartside_nest::Search::new(&session.job, Default::default()).unwrap();
        search.step(1_000);
        let best = serde_json::to_string(search.best()).unwrap();
        assert!(session.offer(&best, start.revision).taken);
        session.end_set_out();
        let mut first = session.progress[0].clone();
        change(&mut session.job, &mut first);
        session.progress.insert(0, first);
        let plan = session.state(PageName::SettingOut, &View::default()).plan;
        plan.unwrap().progress.unwrap().sentence
    }

    #[test]
    fn the_sentence_says_what_got_better_and_down_only_where_it_fell() {
        let fell = sentence(|_, first| first.point.cost += 10.0);
        assert!(
            fell.contains("each better") && fell.contains(" down to "),
            "{fell}"
        );
        let rose = sentence(|_, first| {
            first.point.cost -= 1.0;
            first.point.missing = 2;
        });
        assert!(rose.contains("placed at first, now all"), "{rose}");
        assert!(!rose.contains("down"), "{rose}");
        let sawing = sentence(|job, first| {
            job.order = vec![Aim::Labour, Aim::Timber, Aim::Offcuts];
            first.point.cost -= 1.0;
            first.score.cost -= 1.0;
            first.score.labour += 5.0;
        });
        assert!(sawing.contains("less sawing, for"), "{sawing}");
        assert!(sawing.contains("where the first cost"), "{sawing}");
        assert!(!sawing.contains("down"), "{sawing}");
        let offcuts = sentence(|_, first| first.score.offcuts += 5.0);
        assert!(
            offcuts.contains("more useful offcuts, for the same"),
            "{offcuts}"
        );
    }
}
