//! Which copy of a part each blank is, where the rest of a job is planned.
//!
//! Engines know blanks and not copies, and deal the copies out at last. So that nothing counts as moved
//! that lies where a copy of its part lay before, that copy is the one that lies there.

use heartside_timber::document::PartCopy;
use heartside_timber::job::Job;
use heartside_timber::plan::Layout;

/// Numbers the copies of each part so that as many as can be lie where they lay in [`Job::earlier`].
pub(crate) fn as_they_lay(job: &Job, layouts: &mut [Layout]) {
    if job.earlier.is_empty() {
        return;
    }
    for part in &job.parts {
        let copy = |copy: u32| PartCopy {
            part: part.id.clone(),
            copy,
        };
        let mut free: Vec<u32> = part.wanted().collect();
        free.retain(|c| !is_one_of_its_own(job, &copy(*c)));
        let mut open: Vec<(usize, usize)> = Vec::new();
        for (l, layout) in layouts.iter().enumerate() {
            let placements = layout.placements.iter().enumerate();
            let alike = placements.filter(|(_, p)| p.part == part.id);
            let alike = alike.filter(|(_, p)| !is_one_of_its_own(job, &p.part_copy()));
            open.extend(alike.map(|(k, _)| (l, k)));
        }
        let mut take = |number: u32| {
            let place = free.iter().position(|c| *c == number);
            place.map(|place| free.remove(place))
        };
        let mut give = |layouts: &mut [Layout], wish: &dyn Fn(&Layout, usize) -> Option<u32>| {
            open.retain(|(l, k)| {
                let number = wish(&layouts[*l], *k).and_then(&mut take);
                if let Some(number) = number {
                    layouts[*l].placements[*k].copy = number;
                }
                number.is_none()
            });
        };
        give(layouts, &|layout, k| {
            let now = &layout.placements[k];
            let mut before = job.earlier.iter().filter(|e| e.board == layout.board);
            before.find_map(|e| {
                let mut lay = e.placements.iter();
                let same = lay.find(|p| p.part == now.part && p.at == now.at);
                same.map(|p| p.copy)
            })
        });
        give(layouts, &|layout, k| Some(layout.placements[k].copy));
        for ((l, k), number) in open.into_iter().zip(free) {
            layouts[l].placements[k].copy = number;
        }
    }
}

/// True for a copy that is not just any of its part.
fn is_one_of_its_own(job: &Job, copy: &PartCopy) -> bool {
    job.pins.iter().any(|p| p.part == *copy) || job.matches.iter().any(|m| m.parts.contains(copy))
}
