//! One program of tests: linked once, where one for each file would be linked for minutes together.

mod best_figure;
mod disturbed;
mod floor;
mod giving;
mod giving_at_the_bench;
mod panels;
mod searched;
mod sideboard;
mod spent_once;
mod the_rest;
mod why_not;
