//! The cuts as a short list: a heading for each set-up, a line for each cut under it.

use heartside_timber::job::Job;
use heartside_timber::length::write_length;

use crate::step::{Action, Setting, Step};

/// Cuts that follow each other at one tool and one setting, or to marks with one tool.
#[derive(Debug, Clone, PartialEq)]
pub struct SetUp {
    /// "Mitre saw, stop at 1220 mm"; "Mitre saw, to marks".
    pub heading: String,
    /// Places of its cuts in the list of steps: one stretch of it.
    pub steps: std::ops::Range<usize>,
}

/// How often a tool or its setting has to be changed; every mark counts.
pub fn set_up_count(steps: &[Step]) -> usize {
    steps.iter().filter(|s| !s.same_setting).count()
}

/// The steps gathered under headings, in their order; every step is in exactly one.
pub fn set_ups(job: &Job, steps: &[Step]) -> Vec<SetUp> {
    let mut found: Vec<SetUp> = Vec::new();
    for (place, step) in steps.iter().enumerate() {
        let joins = place > 0
            && (step.same_setting || is_to_mark(step) && is_to_mark(&steps[place - 1]))
            && step.tool == steps[place - 1].tool;
        match found.last_mut() {
            Some(last) if joins => last.steps.end = place + 1,
            _ => found.push(SetUp {
                heading: set_up_words(job, step),
                steps: place..place + 1,
            }),
        }
    }
    found
}

fn is_to_mark(step: &Step) -> bool {
    step.action != Action::TrueEdge
        && step
            .setting
            .as_ref()
            .is_some_and(|s| !s.by_fence && !s.by_stop)
}

/// The tool of a step and what it is set to: "Mitre saw, stop at 1220 mm", "Track saw, to marks".
pub fn set_up_words(job: &Job, step: &Step) -> String {
    let tool = match step.tool.trim() {
        "" => "By hand",
        named => named,
    };
    let how = match &step.setting {
        None => "by line".to_owned(),
        Some(_) if step.action == Action::TrueEdge => {
            return tool.to_owned();
        }
        Some(setting) if step.action == Action::Resaw && setting.by_fence => {
            format!("high fence at {}", with_unit(setting, job))
        }
        Some(setting) if setting.by_fence => format!("fence at {}", with_unit(setting, job)),
        Some(setting) if setting.by_stop => format!("stop at {}", with_unit(setting, job)),
        Some(_) => "to marks".to_owned(),
    };
    format!("{tool}, {how}")
}

fn with_unit(setting: &Setting, job: &Job) -> String {
    write_length(setting.scale, &job.units)
}

/// "C2" of "piece C2", "C" of "board C": as it is chalked on the wood.
pub fn chalk_name(workpiece: &str) -> &str {
    ["board ", "piece "]
        .iter()
        .find_map(|kind| workpiece.strip_prefix(kind))
        .unwrap_or(workpiece)
}

/// The line of a straight cut under its set-up's heading, which has fence or stop already.
pub(crate) fn brief_words(action: Action, workpiece: &str, setting: &Setting) -> String {
    let name = chalk_name(workpiece);
    if action == Action::TrueEdge {
        let edge = setting.kerf_side.trim_start_matches("towards the ");
        return format!("True {name}, {edge}");
    }
    // The same cut may have lost its stop to a mark since it was worded.
    let measured = setting.brief.starts_with(|c: char| c.is_ascii_digit());
    let comma = if measured || setting.brief.starts_with("on ") {
        ","
    } else {
        ""
    };
    format!("{} {name}{comma} {}", action.words(), setting.brief)
}
