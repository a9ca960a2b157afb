//! One program of tests: linked once, where one for each file would be linked for minutes together.

mod command;
mod done_cuts;
mod engine_name;
mod figure;
mod photos;
mod run;
mod same_plans;
mod sheets;
mod told;
