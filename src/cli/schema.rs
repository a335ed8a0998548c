//! `schema`, `completions`, `manual`: what editors, shells and readers of manuals want.

use clap::CommandFactory;

use super::args::{Arguments, CompletionsArguments, SchemaArguments};
use super::{Failure, say_as_is, say_json};

/// Prints the JSON Schema of a spec, a stock or a sketch, or the manual of a spec.
pub fn schema(arguments: &SchemaArguments) -> Result<(), Failure> {
    if arguments.markdown {
        say_as_is(cutleaf::description::manual().trim_end());
    } else if arguments.stock {
        say_json(&cutleaf::stock::schema());
    } else if arguments.sketch {
        say_json(&cutleaf::sketch::schema());
    } else {
        say_json(&cutleaf::description::schema());
    }
    Ok(())
}

/// Prints completions for a shell.
pub fn completions(arguments: &CompletionsArguments) -> Result<(), Failure> {
    let mut out = Vec::new();
    clap_complete::generate(arguments.shell, &mut Arguments::command(), "cutleaf", &mut out);
    say_as_is(String::from_utf8_lossy(&out));
    Ok(())
}

/// Prints the manual page.
pub fn manual() -> Result<(), Failure> {
    let mut out = Vec::new();
    if clap_mangen::Man::new(Arguments::command()).render(&mut out).is_ok() {
        say_as_is(String::from_utf8_lossy(&out));
    }
    Ok(())
}
