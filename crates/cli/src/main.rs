//! `heartside`: sets out parts on boards, checks plans, measures the engines.

mod add_boards;
mod add_photo;
mod check;
mod failure;
mod figure;
mod folder;
mod marks;
mod pdf;
mod photos;
mod picture;
mod progress;
mod set_out;
mod sheets;
mod summary;
mod team;
mod trial;

use std::process::ExitCode;

use clap::{Parser, Subcommand};

/// Decides which part comes out of which board, where, which way round and in which order of cuts.
#[derive(Parser)]
#[command(name = "heartside", version, about, long_about = None)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Set a job out: write the plan, a drawing of every board cut and an overview.
    SetOut(set_out::Arguments),
    /// Write a plan out: drawings for other programs, lists for spreadsheets, pages to print.
    Sheets(sheets::Arguments),
    /// Take a photograph of a board into a job, straightened by the board's corners.
    AddPhoto(add_photo::Arguments),
    /// Tell how well the faces of a job are balanced, and look for better ones.
    Figure(figure::Arguments),
    /// Check the plan in a job against every rule.
    Check(check::Arguments),
    /// Add boards to a job from drawings and tables.
    AddBoards(add_boards::Arguments),
    /// Run published instances and compare with the best published values.
    Trial(trial::Arguments),
}

fn main() -> ExitCode {
    let outcome = match Arguments::parse().command {
        Command::SetOut(arguments) => set_out::run(&arguments),
        Command::Sheets(arguments) => sheets::run(&arguments),
        Command::AddPhoto(arguments) => add_photo::run(&arguments),
        Command::Figure(arguments) => figure::run(&arguments),
        Command::Check(arguments) => check::run(&arguments),
        Command::AddBoards(arguments) => add_boards::run(&arguments),
        Command::Trial(arguments) => trial::run(&arguments),
    };
    match outcome {
        Ok(code) => ExitCode::from(code),
        Err(failure) => {
            failure.tell();
            ExitCode::from(2)
        }
    }
}
