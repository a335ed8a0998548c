//! `build`: everything that is cut and printed for a spread.

use std::fs;
use std::path::{Component, Path, PathBuf};

use cutleaf::description::{Problem, slug};
use cutleaf::emit::{self, SmallCopies};
use cutleaf::layout::Layout;
use cutleaf::nest::Effort;
use cutleaf::plan::{self, Chain, redo_name};
use cutleaf::record::Record;

use super::args::BuildArguments;
use super::folder::{Folder, Keeps, Standing};
use super::stock::{OfSpread, reserve};
use super::{Done, Failure, chain, files, progress, say, say_json, to_buy};

/// Files of a run: paths in its folder, and what they hold.
type Files = Vec<(String, Vec<u8>)>;

/// Builds a spread.
pub fn run(arguments: &BuildArguments) -> Result<Done, Failure> {
    let spec = files::read_spec(&arguments.spec)?.with_copies(arguments.copies);
    let shown = arguments.out.join(slug(spec.name()));
    let folder = Folder::to_build(&shown)?;
    let keeps = if arguments.set_aside { Keeps::Aside } else { Keeps::Foreign };
    // What a run that is set aside took, is taken.
    let before = match keeps {
        Keeps::Foreign if shown.is_dir() => chain::read(&folder, &shown).ok(),
        Keeps::Foreign | Keeps::Aside => None,
    };
    let stock = OfSpread::find(&arguments.stock, &arguments.spec, before.as_ref())?;
    let mut spread = spec.lay_out(stock.as_ref().map(|known| &known.stock))?;
    match arguments.effort.as_deref() {
        Some("quick") => spread.layout.effort = Effort::Quick,
        Some("normal") => spread.layout.effort = Effort::Normal,
        Some("long") => spread.layout.effort = Effort::Long,
        _ => {}
    }
    spread.layout.strict = arguments.strict;
    if let Some(spec) = seen_from(folder.path(), &arguments.spec) {
        spread.layout.spec = Some(spec);
    }
    let search = progress::stop_on_interrupt();
    // What is shown of photos is known before the pieces are nested.
    let (pictures, at_hand) = (plan::pictures(&spread.layout), spread.layout.picture_files());
    let nested = progress::with("nesting", || {
        let plan = || plan::record_in(&spread.layout, &search);
        rayon::join(plan, || SmallCopies::ahead(&pictures, &at_hand)).0
    });
    let record =
        nested.map_err(|problems| Failure::of_spec(problems, &spread.file, &spread.text))?;
    if keeps == Keeps::Foreign
        && let Some(standing) = folder.standing()?
    {
        // One that decides the very same is the same spread, wherever its spec has gone.
        if !standing.decided_as(&record) {
            refuse_another_spec(&folder, &shown, &standing, &record, &arguments.spec)?;
        }
        if !standing.takes_paper_as(&record) {
            refuse_over_redos(&folder, &shown)?;
            let entered = stock.as_ref().map(|known| known.entered.as_slice()).unwrap_or_default();
            let same = before
                .as_ref()
                .is_some_and(|before| before.build().sheets_digest() == record.sheets_digest());
            if !same {
                refuse_over_cut(&folder, &shown, &arguments.spec, entered)?;
            }
        }
    }
    let files = drawn(&record, &spread.layout)?;
    folder.write(&files, keeps)?;
    let done = told(&shown, &record, &files, arguments.json);
    if stock.is_some() {
        let chain = chain::read(&folder, &shown).unwrap_or_else(|_| Chain::of(record.clone()));
        reserve(&arguments.stock, &arguments.spec, &chain)?;
    }
    Ok(done)
}

/// The run of another spec is never replaced, were it one of the same name.
fn refuse_another_spec(
    folder: &Folder,
    shown: &Path,
    standing: &Standing,
    record: &Record,
    spec: &Path,
) -> Result<(), Failure> {
    let theirs = standing.spec.as_deref().map(|theirs| folder.path().join(theirs));
    let real = theirs.as_ref().and_then(|theirs| fs::canonicalize(theirs).ok());
    let is_same = match (&theirs, real, fs::canonicalize(spec)) {
        // A record without a spec's place says nothing of it.
        (None, ..) => standing.name == record.name,
        (Some(_), Some(theirs), Ok(ours)) => theirs == ours,
        (Some(_), ..) => standing.spec == record.spec,
    };
    if is_same {
        return Ok(());
    }
    let name = standing.spec.as_ref().map(|theirs| plain(&shown.join(theirs)));
    let message = match name {
        None => format!("`{}` is the folder of the spread `{}`", shown.display(), standing.name),
        Some(name) if theirs.is_some_and(|theirs| theirs.is_file()) => {
            format!("`{}` was built from another spec, `{}`", shown.display(), name.display())
        }
        Some(name) => format!(
            "`{}` was built from another spec, `{}`, which is not there any more",
            shown.display(),
            name.display()
        ),
    };
    let help = format!(
        "give this spread another name, or another folder with --out; if it is the same spread and its file \
         has moved, {}",
        folder.set_aside_told()
    );
    Err(Problem::input(message, help).into())
}

/// Redos took paper that a spec which changed knows nothing of: they are never dropped or mixed with
/// another run.
fn refuse_over_redos(folder: &Folder, shown: &Path) -> Result<(), Failure> {
    let redos: Vec<String> =
        folder.redos().into_iter().map(|number| format!("`{}`", redo_name(number))).collect();
    let what = match &redos[..] {
        [] => return Ok(()),
        [one] => format!("{one} belongs"),
        several => format!("{} belong", several.join(", ")),
    };
    let message = format!(
        "{what} to the run in `{}`, and this build cuts the sheets otherwise than that run",
        shown.display()
    );
    let help = format!(
        "take what is cut already off the papers in the spec; then {}, or name another folder with --out",
        folder.set_aside_told()
    );
    Err(Problem::input(message, help).into())
}

/// Sheets that were entered as cut belong to the run that stands: another one never takes its place unasked.
fn refuse_over_cut(
    folder: &Folder,
    shown: &Path,
    spec: &Path,
    entered: &[String],
) -> Result<(), Failure> {
    let (first, more) = match entered {
        [] => return Ok(()),
        [one] => (one, String::new()),
        [first, rest @ ..] => (first, format!(" and {} more", rest.len())),
    };
    let message = format!(
        "`{first}`{more} of the run in `{}` are entered as cut, and this build cuts otherwise",
        shown.display()
    );
    let help = format!(
        "`cutleaf redo {} --changed` cuts only what has changed; if they are not cut, `cutleaf undo` takes \
         the entry back; or {}",
        spec.display(),
        folder.set_aside_told()
    );
    Err(Problem::input(message, help).into())
}

/// Draws everything of a record.
pub fn drawn(record: &Record, layout: &Layout) -> Result<Files, Failure> {
    Ok(progress::with("drawing", || emit::all(record, &layout.fonts, &layout.picture_files()))?)
}

/// Says what was written.
pub fn told(folder: &Path, record: &Record, files: &[(String, Vec<u8>)], json: bool) -> Done {
    let names: Vec<&str> = files.iter().map(|(name, _)| name.as_str()).collect();
    if json {
        say_json(&serde_json::json!({
            "folder": folder, "files": names, "totals": record.totals, "warnings": record.warnings,
            "to_buy": to_buy::lines(record),
        }));
        return to_buy::told(record);
    }
    super::check::summary(record);
    say(format_args!("Written to {}:", folder.display()));
    for name in names {
        say(format_args!("  {name}"));
    }
    say(format_args!("Open {} to dry-fit.", folder.join("proof.html").display()));
    to_buy::told(record)
}

/// The way from a folder to a file, with `/` between names; none where they lie on different disks.
fn seen_from(folder: &Path, file: &Path) -> Option<String> {
    let file = fs::canonicalize(file).ok()?;
    let shared = folder.components().zip(file.components()).take_while(|(one, other)| one == other);
    let shared = shared.count();
    if shared == 0 {
        return None;
    }
    let up = folder.components().skip(shared).map(|_| "..".to_owned());
    let down = file.components().skip(shared);
    let down = down.map(|part| part.as_os_str().to_string_lossy().into_owned());
    Some(up.chain(down).collect::<Vec<_>>().join("/"))
}

/// A path without steps down and up again, for a person to read.
fn plain(path: &Path) -> PathBuf {
    let mut plain = PathBuf::new();
    for part in path.components() {
        let last = plain.components().next_back();
        match (part, last) {
            (Component::ParentDir, Some(Component::Normal(_))) => {
                plain.pop();
            }
            _ => plain.push(part),
        }
    }
    plain
}
