//! Blanks parted by straight cuts right across.
//!
//! # What is searched
//! A board is cut up from the whole: a blank is laid in the first free place of an open
//! workpiece and freed by at most four cuts, which leave smaller workpieces to be filled
//! in turn, to any number of stages. Each cut is looked up with the tools when it is made,
//! for the workpiece as it then is, so every tree is one that can be sawn (`cuts`).
//! Obstacles are convex pieces asked by slabs; shifting a
//! blank past them is the idea of Libralesso & Fontan (2020) for guillotine cutting with
//! defects. One board is filled by randomised preferences (`priority_rule`, `fill`); across boards
//! and within one, parts of the plan are destroyed and repaired (Shaw 1998; Schrimpf,
//! Schneider, Stamm-Wilbrandt & Dueck 2000) under late acceptance (Burke & Bykov 2017).
//! Parts that are left out weigh more next time (Joslin & Clements 1999), and fillings met on
//! the way are chosen anew, one for each board (`pattern_pool`).
//! Sawn parts ride in a rectangle, alone or two of them nested head to tail (`cuts::pair`). Engines that
//! prove what clear boards can give (`clear`) take part where they are given in from outside.
//!
//! # What is pruned, and why that is safe
//! Nothing is proved by this search itself, so pruning can lose quality but never validity:
//! blanks are tried at the x where obstacles end only, a workpiece is given up after a
//! set number of candidates, a chain of cuts takes each cut as soon as a tool can. What the
//! proving engines prune, and why nothing is lost by it, stands with each of them.

pub(crate) mod askew;
pub(crate) mod clear;
mod deal;
pub(crate) mod fill;
pub(crate) mod handier;
pub(crate) mod layouts;
mod pattern_pool;
mod priority_rule;
mod repair;
pub(crate) mod separator;
pub(crate) mod spare;
pub(crate) mod stockroom;
pub(crate) mod takes;
pub(crate) mod tree_for;

use heartside_timber::job::Job;

use crate::engine::Engine;
use crate::task::Task;

/// The engine for a task.
pub(crate) fn engine(job: &Job, task: Task) -> Box<dyn Engine> {
    Box::new(repair::Repair::new(job, task))
}
