//! The command line: arguments in one file, a file a command. It reads files, prints and exits; the
//! library decides.

mod args;
mod build;
mod check;
mod files;
mod fonts;
mod new;
mod print_scale;
mod progress;
mod redo;
mod schema;
mod to_buy;

use std::fmt;
use std::io::{IsTerminal, Write};
use std::process::ExitCode;

use clap::Parser;
use cutleaf::spec::{Problem, Problems};

use args::{Arguments, Command};

/// Runs the command that was asked for.
pub fn main() -> ExitCode {
    let result = match Arguments::parse().command {
        Command::New(arguments) => new::run(&arguments).map(Done::whole),
        Command::Check(arguments) => check::run(&arguments),
        Command::Build(arguments) => build::run(&arguments),
        Command::Redo(arguments) => redo::run(&arguments),
        Command::Fonts(arguments) => fonts::run(&arguments).map(Done::whole),
        Command::PrintScale(arguments) => print_scale::run(&arguments).map(Done::whole),
        Command::Schema => schema::schema().map(Done::whole),
        Command::Completions(arguments) => schema::completions(&arguments).map(Done::whole),
        Command::Manual => schema::manual().map(Done::whole),
    };
    match result {
        Ok(Done::Whole) => ExitCode::SUCCESS,
        Ok(Done::ShortOfPaper) => ExitCode::from(SHORT_OF_PAPER),
        Err(failure) => {
            let color = std::io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none();
            let told = failure.problems.render(&failure.file, &failure.text, color);
            let _ = std::io::stderr().write_all(told.as_bytes());
            ExitCode::from(failure.problems.exit_code())
        }
    }
}

/// The exit code where everything is planned, and paper has to be bought before it can be cut.
const SHORT_OF_PAPER: u8 = 3;

/// How far a command that succeeded has come.
pub(crate) enum Done {
    /// All that was asked for.
    Whole,
    /// All that was asked for, but paper has to be bought for it.
    ShortOfPaper,
}

impl Done {
    /// The outcome of a command that needs no paper.
    fn whole((): ()) -> Self {
        Self::Whole
    }
}

/// A number of things, in words that fit one as well as many.
pub(crate) fn counted(count: impl fmt::Display, one: &str) -> String {
    let count = count.to_string();
    let end = if count == "1" { "" } else { "s" };
    format!("{count} {one}{end}")
}

/// Problems beside the text they point into.
pub(crate) struct Failure {
    problems: Problems,
    file: String,
    text: String,
}

impl Failure {
    /// Problems of a spec.
    pub fn of_spec(problems: Problems, file: &std::path::Path, text: &str) -> Self {
        Self { problems, file: file.display().to_string(), text: text.to_owned() }
    }
}

impl From<Problem> for Failure {
    fn from(problem: Problem) -> Self {
        Self { problems: problem.into(), file: String::new(), text: String::new() }
    }
}

impl From<Problems> for Failure {
    fn from(problems: Problems) -> Self {
        Self { problems, file: String::new(), text: String::new() }
    }
}

/// Prints a result; a reader that has gone away is no fault.
pub(crate) fn say(line: impl fmt::Display) {
    let _ = writeln!(std::io::stdout(), "{line}");
}
