//! `redo`: pieces, letters, strips, photos or whole sheets again, from the paper that is left.

use std::path::{Path, PathBuf};

use cutleaf::description::{Problem, Problems};
use cutleaf::emit;
use cutleaf::layout::Layout;
use cutleaf::plan::{self, Chain, Redo, Spending, redo_name};
use cutleaf::record::Record;
use cutleaf::stock::Stock;

use super::args::RedoArguments;
use super::folder::Folder;
use super::stock::{OfSpread, of_spread, reserve};
use super::{
    Done, Failure, build, chain, check, files, print_scale, progress, say, say_as_is, say_beside,
    say_json, to_buy,
};

/// Redoes pieces and sheets of a built spread, or takes the last redo back.
pub fn run(arguments: &RedoArguments) -> Result<Done, Failure> {
    let shown = &chain::folder_of(&arguments.build, &arguments.out)?;
    // Held from the first look at what is left to the last file: no build or redo comes between.
    let folder = Folder::of_spread(shown)?;
    if arguments.undo {
        return undo(&folder, shown, arguments).map(|()| Done::Whole);
    }
    let chain = chain::read(&folder, shown)?;
    let spec = chain::spec_of(&arguments.build, &folder, &chain);
    if arguments.piece.is_empty() && arguments.sheet.is_empty() && !arguments.changed {
        return list_changes(&chain, spec.as_deref(), arguments);
    }
    let number = chain.next_number();
    let wanted = wanted(arguments, &chain)?;
    let mut layout = match arguments.changed {
        true => changed(&chain, spec.as_deref(), arguments)?,
        false => again(arguments, &chain, &wanted, folder.path(), spec.as_deref())?,
    };
    if let Some(start) = &arguments.start {
        plan::below_start(&mut layout, &chain, start)?;
    }
    print_scale::correct(&mut layout)?;
    layout.strict = arguments.strict;
    let search = progress::stop_on_interrupt();
    let repeated = plan::repeat(&mut layout, &chain, &wanted);
    let plan = progress::with("nesting", || plan::plan_with(&layout, &repeated, &search))?;
    let record = plan.record();
    if arguments.r#try {
        return Ok(show(&record));
    }
    let files = build::drawn(&record, &layout)?;
    folder.write_redo(number, &files)?;
    let done = build::told(&shown.join(redo_name(number)), &record, &files, arguments.json);
    if let Some(spec) = &spec {
        reserve(&arguments.stock, spec, &chain.then(record)?)?;
    }
    Ok(done)
}

/// The layout of the pieces and sheets that are named.
fn again(
    arguments: &RedoArguments,
    chain: &Chain,
    wanted: &[Redo],
    folder: &Path,
    spec: Option<&Path>,
) -> Result<Layout, Failure> {
    let build = chain.build();
    let from = arguments.from.clone().unwrap_or_else(|| beside_spec(folder, build.spec.as_deref()));
    let mut layout = plan::redo_layout(chain, wanted, &files::font_book(&from))?;
    plan::add_photos(&mut layout, chain, wanted, &from)?;
    let Some(spec) = spec else { return Ok(layout) };
    let stock = offer(&mut layout, chain, wanted, spec, arguments)?;
    // A spec that is being worked on says nothing of paper that was bought or of changes.
    if let Ok(spread) = files::read_spread(spec, stock.as_ref()) {
        plan::add_bought(&mut layout, chain, &spread.layout);
        let changes = plan::changes(chain, &spread.layout)?;
        let changed: Vec<String> = changes.changed.into_iter().map(|change| change.id).collect();
        if !changed.is_empty() {
            say_beside(&format!(
                "The spec has changed since for {}: what is named is cut as it was built; --changed cuts \
                 what has changed.",
                changed.join(", ")
            ));
        }
    }
    Ok(layout)
}

/// The layout of what has changed in the spec.
fn changed(
    chain: &Chain,
    spec: Option<&Path>,
    arguments: &RedoArguments,
) -> Result<Layout, Failure> {
    let spec = chain::known(spec)?;
    let spread = read_spread(spec, arguments)?;
    let changes = plan::changes(chain, &spread.layout)?;
    if changes.is_empty() {
        let message = "the spec asks for nothing that has not been cut";
        let help = "to cut a piece once more, name it with --piece, or its sheet with --sheet";
        return Err(Problem::input(message, help).into());
    }
    let mut layout = plan::changed_layout(chain, &spread.layout, &changes)?;
    offer(&mut layout, chain, &[], spec, arguments)?;
    Ok(layout)
}

/// Offers a redo what the stock has, if it is cut from one; gives that stock.
fn offer(
    layout: &mut Layout,
    chain: &Chain,
    wanted: &[Redo],
    spec: &Path,
    arguments: &RedoArguments,
) -> Result<Option<Stock>, Failure> {
    let Some(mut held) = of_spread::open(&arguments.stock, spec)? else { return Ok(None) };
    held.say_noticed();
    held.note();
    let name = held.name_of(spec);
    Spending::new(chain, &held.shelf, &name).offer(layout, wanted);
    Ok(Some(held.shelf.stock_for(&name)))
}

/// Says what has changed in the spec since the build.
fn list_changes(
    chain: &Chain,
    spec: Option<&Path>,
    arguments: &RedoArguments,
) -> Result<Done, Failure> {
    let changes = plan::changes(chain, &read_spread(chain::known(spec)?, arguments)?.layout)?;
    if arguments.json {
        let changed = changes.changed.iter();
        let changed = changed.map(|one| serde_json::json!({"id": one.id, "what": one.what}));
        say_json(&serde_json::json!({
            "changed": changed.collect::<Vec<_>>(), "added": changes.added, "gone": changes.gone,
            "moved": changes.moved,
        }));
        return Ok(Done::Whole);
    }
    for change in &changes.changed {
        say(format_args!("changed  {}: {}", change.id, change.what));
    }
    for (what, ids) in [("new", &changes.added), ("moved", &changes.moved), ("gone", &changes.gone)]
    {
        ids.iter().for_each(|id| say(format_args!("{what:<7}  {id}")));
    }
    say(match (changes.is_empty(), changes.moved.is_empty() && changes.gone.is_empty()) {
        (true, true) => {
            "Nothing has changed since the build. Name what to redo with --piece or --sheet."
        }
        (true, false) => "Nothing has to be cut for that.",
        (false, _) => "`--changed` cuts what is new or changed; everything else keeps its cut.",
    });
    Ok(Done::Whole)
}

/// Reads and lays out the spec, with what the stock knows of its papers.
fn read_spread(spec: &Path, arguments: &RedoArguments) -> Result<files::Spread, Failure> {
    let stock = OfSpread::find(&arguments.stock, spec, None)?;
    files::read_spread(spec, stock.as_ref().map(|known| &known.stock))
}

/// What is to be done again, by the words of the command line.
fn wanted(arguments: &RedoArguments, chain: &Chain) -> Result<Vec<Redo>, Problems> {
    let pieces = plan::wanted(chain, &arguments.piece)?.into_iter();
    Ok(pieces.chain(arguments.sheet.iter().map(|id| Redo::Sheet(id.as_str().into()))).collect())
}

/// Shows what a redo would be: its sheets drawn in letters.
fn show(record: &Record) -> Done {
    check::summary(record);
    for sheet in record.sheets.iter().chain(&record.prints) {
        say("");
        say_as_is(emit::sheet_in_letters(record, sheet).trim_end());
    }
    say("");
    say("Nothing was written. Without --try the files are made.");
    to_buy::told(record)
}

/// Takes the last redo back.
fn undo(folder: &Folder, shown: &Path, arguments: &RedoArguments) -> Result<(), Failure> {
    let Some(last) = folder.redos().last().copied() else {
        let message = format!("`{}` has no redo to take back", shown.display());
        return Err(
            Problem::input(message, "a build is replaced by the next `cutleaf build`").into()
        );
    };
    // A chain that is damaged is taken back all the same; what it reserved is known no more.
    let before = chain::read(folder, shown).ok();
    let spec = before.as_ref().and_then(|chain| chain::spec_of(&arguments.build, folder, chain));
    if let (Some(chain), Some(spec)) = (&before, &spec) {
        refuse_over_cut(chain, spec, arguments)?;
    }
    folder.take_back(last)?;
    if let (Ok(chain), Some(spec)) = (chain::read(folder, shown), &spec) {
        reserve(&arguments.stock, spec, &chain)?;
    }
    let path = shown.join(redo_name(last));
    say(format_args!("Took back {}: the paper that it used counts as left again.", path.display()));
    Ok(())
}

/// A redo whose sheets are entered as cut is not taken back: its paper has gone.
fn refuse_over_cut(chain: &Chain, spec: &Path, arguments: &RedoArguments) -> Result<(), Failure> {
    let Some(held) = of_spread::open(&arguments.stock, spec)? else { return Ok(()) };
    let name = held.name_of(spec);
    let spending = Spending::new(chain, &held.shelf, &name);
    let Some(first) = spending.entered(true).first().copied() else { return Ok(()) };
    let message = format!("`{first}` of that redo is entered as cut");
    let help = "if it is not cut, take that entry back first: `cutleaf undo`";
    Err(Problem::input(message, help).into())
}

/// The folder in which the spec of a run stood, for its photos and fonts; this one if that isn't known.
fn beside_spec(run: &Path, spec: Option<&str>) -> PathBuf {
    let folder = spec.and_then(|spec| run.join(spec).parent().map(Path::to_owned));
    folder.filter(|folder| folder.is_dir()).unwrap_or_else(|| ".".into())
}
