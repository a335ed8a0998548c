//! The command line: arguments in one file, a file a command. It reads files, prints and exits; the
//! library decides.

mod args;
mod build;
mod chain;
mod check;
mod cut;
#[cfg(feature = "page")]
mod dry_fit;
mod files;
mod folder;
mod fonts;
mod new;
mod print_scale;
mod progress;
mod redo;
mod schema;
mod sketch;
mod stock;
mod to_buy;

use std::cell::RefCell;
use std::ffi::OsString;
use std::fmt;
use std::io::{self, ErrorKind, IsTerminal, Write};
use std::process::ExitCode;
use std::sync::{Arc, OnceLock};

use clap::builder::Styles;
use clap::{CommandFactory, Parser};
use cutleaf::description::{Problem, Problems, printable, printable_json};

use args::{Arguments, Command};

/// Runs the command that was asked for.
pub fn main() -> ExitCode {
    leave_caught_panics_unreported();
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) if error.use_stderr() => return misused(error),
        Err(help) => {
            note(help.print());
            return all_told(ExitCode::SUCCESS);
        }
    };
    let result = match arguments.command {
        Command::New(arguments) => new::run(&arguments).map(Done::whole),
        Command::Check(arguments) => check::run(&arguments),
        Command::Build(arguments) => build::run(&arguments),
        #[cfg(feature = "page")]
        Command::DryFit(arguments) => dry_fit::run(&arguments).map(Done::whole),
        Command::Redo(arguments) => redo::run(&arguments),
        Command::Sketch(arguments) => sketch::run(&arguments),
        Command::Fonts(arguments) => fonts::run(&arguments).map(Done::whole),
        Command::PrintScale(arguments) => print_scale::run(&arguments).map(Done::whole),
        Command::Cut(arguments) => cut::run(&arguments).map(Done::whole),
        Command::Stock(arguments) => stock::run(&arguments),
        Command::Undo(arguments) => stock::undo(&arguments).map(Done::whole),
        Command::Schema(arguments) => schema::schema(&arguments).map(Done::whole),
        Command::Completions(arguments) => schema::completions(&arguments).map(Done::whole),
        Command::Manual => schema::manual().map(Done::whole),
    };
    all_told(match result {
        Ok(Done::Whole) => ExitCode::SUCCESS,
        Ok(Done::ShortOfPaper) => ExitCode::from(SHORT_OF_PAPER),
        Err(failure) => {
            failure.print();
            ExitCode::from(failure.problems.exit_code())
        }
    })
}

/// Says what is wrong with the command line. Where it holds letters that a terminal would obey, they are
/// escaped, and the message has no styles of its own.
fn misused(error: clap::Error) -> ExitCode {
    let written: Vec<OsString> = std::env::args_os().collect();
    let is_plain =
        |written: &OsString| written.to_str().is_some_and(|written| one_line(written) == written);
    let told = if written.iter().all(is_plain) {
        error.print()
    } else {
        // Without styles all that a terminal would obey is from outside.
        let plain = Arguments::command().styles(Styles::plain());
        let error = plain.try_get_matches_from(written).err().unwrap_or(error);
        io::stderr().write_all(printable(&error.render().ansi().to_string()).as_bytes())
    };
    let _ = told;
    ExitCode::from(MISUSE)
}

/// Keeps panics that the library catches, and answers another way, off the terminal.
fn leave_caught_panics_unreported() {
    let before = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |panic| {
        if !cutleaf::geometry::boolean::panic_is_caught() {
            before(panic);
        }
    }));
}

/// The exit code, or that of a fault where not all that was to be printed could be.
fn all_told(code: ExitCode) -> ExitCode {
    note(io::stdout().flush());
    let Some(error) = UNTOLD.get() else { return code };
    let help =
        "check the disk that the output goes to; files that a command wrote are there, whole";
    Failure::from(Problem::input(format!("the output can't be written: {error}"), help)).print();
    ExitCode::FAILURE
}

/// Why something could not be printed, if it couldn't.
static UNTOLD: OnceLock<String> = OnceLock::new();

/// Notes that something could not be printed; a reader that has gone away is no fault.
fn note(printed: io::Result<()>) {
    if let Err(error) = printed
        && error.kind() != ErrorKind::BrokenPipe
    {
        let _ = UNTOLD.set(error.to_string());
    }
}

/// The exit code where the command line can't be understood.
const MISUSE: u8 = 2;
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

impl Failure {
    /// The problems alone.
    #[cfg(feature = "page")]
    pub fn into_problems(self) -> Problems {
        self.problems
    }

    /// Prints the problems as a person reads them.
    fn print(&self) {
        let color = io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none();
        let told = self.problems.render(&self.file, &self.text, color);
        let _ = io::stderr().write_all(told.as_bytes());
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

/// Prints a line. What comes from outside is shown, never obeyed.
pub(crate) fn say(line: impl fmt::Display) {
    say_as_is(one_line(&line.to_string()));
}

/// Text from outside on one line, as a terminal may show it.
pub(crate) fn one_line(text: &str) -> String {
    printable(text).replace('\n', " ")
}

/// Prints JSON.
pub(crate) fn say_json(value: &impl serde::Serialize) {
    say_as_is(printable_json(&serde_json::to_string_pretty(value).unwrap_or_default()));
}

/// Prints what the program itself made.
pub(crate) fn say_as_is(text: impl fmt::Display) {
    if !heard(&text) {
        note(writeln!(io::stdout(), "{text}"));
    }
}

/// Says something beside the results: on standard error.
pub(crate) fn say_beside(line: &str) {
    let line = one_line(line);
    if !heard(&line) {
        let _ = writeln!(io::stderr(), "{line}");
    }
}

thread_local! {
    /// What this thread says, while somebody listens who shows it elsewhere.
    static HEARD: RefCell<Option<Vec<String>>> = const { RefCell::new(None) };
    /// Who is told what this thread is doing.
    static STAGE: RefCell<Option<Stage>> = const { RefCell::new(None) };
}

/// Called with what is done just now.
pub(crate) type Stage = Arc<dyn Fn(&str) + Send + Sync>;

/// Tells what is done just now to whoever listens.
pub(crate) fn stage(what: &str) {
    STAGE.with_borrow(|stage| {
        if let Some(stage) = stage {
            stage(what);
        }
    });
}

/// Whether somebody listens, who has heard it then.
fn heard(text: &impl fmt::Display) -> bool {
    HEARD.with_borrow_mut(|heard| {
        heard
            .as_mut()
            .map(|lines| lines.extend(text.to_string().lines().map(str::to_owned)))
            .is_some()
    })
}

/// What a command says while it runs on this thread, and how it ends.
#[cfg(feature = "page")]
pub(crate) fn listen(
    stage: Option<Stage>,
    command: impl FnOnce() -> Result<Done, Failure>,
) -> (Vec<String>, bool) {
    HEARD.set(Some(Vec::new()));
    STAGE.set(stage);
    let result = command();
    STAGE.set(None);
    let mut lines = HEARD.take().unwrap_or_default();
    let well = result.is_ok();
    if let Err(failure) = result {
        let told = failure.problems.render(&failure.file, &failure.text, false);
        lines.extend(told.lines().map(str::to_owned));
    }
    (lines, well)
}
