//! What the command line takes.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};

use super::sketch::args::SketchArguments;
use super::stock::args::{FromStockArguments, StockArguments, UndoArguments};

/// Turns a written description of a paper-craft spread into everything that is cut and printed for it.
#[derive(Debug, Parser)]
#[command(name = "cutleaf", version, about, max_term_width = 100)]
#[command(after_help = "Start with `cutleaf new kite-day`, then `cutleaf build kite-day.yaml`.\n\
    Exit codes: 0 done, 1 the input is at fault or something can't be written, 2 misuse,\n\
    3 paper has to be bought (everything is written, and what to buy is listed) or it can't be cut at all.")]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// List the starter spreads, or copy one.
    New(NewArguments),
    /// Read, measure and nest a spread without writing anything.
    Check(CheckArguments),
    /// Make everything that is cut and printed for a spread.
    Build(BuildArguments),
    /// Open a page on this machine that shows the spread as it is, where pieces can be moved.
    #[cfg(feature = "page")]
    DryFit(DryFitArguments),
    /// Cut one piece or one sheet again from the paper that is left.
    Redo(RedoArguments),
    /// Say that the sheets of a spread have been cut: they leave the stock, what is left of them comes in.
    Cut(CutArguments),
    /// Fit sketches to the photos at hand, and write the one that is taken as a spec.
    Sketch(SketchArguments),
    /// List the fonts that a title can use.
    Fonts(FontsArguments),
    /// Store what six inches measure on this printer, so that later pages come out true.
    PrintScale(PrintScaleArguments),
    /// Show the paper on hand, enter what comes and goes, find what holds a piece.
    Stock(StockArguments),
    /// Take the last entry of the stock's ledger back.
    Undo(UndoArguments),
    /// Print the JSON Schema of a spec or of a stock, for editors; or every key of a spec, to read.
    #[command(
        after_help = "Examples:\n  cutleaf schema > cutleaf.schema.json\n  cutleaf schema --stock > stock.schema.json\n  cutleaf schema --markdown | less"
    )]
    Schema(SchemaArguments),
    /// Print completions for a shell.
    #[command(
        after_help = "Example: cutleaf completions bash > ~/.local/share/bash-completion/completions/cutleaf"
    )]
    Completions(CompletionsArguments),
    /// Print the manual page.
    #[command(after_help = "Example: cutleaf manual > cutleaf.1")]
    Manual,
}

/// A number of copies.
fn copies() -> clap::builder::RangedI64ValueParser<u32> {
    clap::value_parser!(u32).range(1..=i64::from(cutleaf::description::MOST_COPIES))
}

/// Arguments of `new`.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  cutleaf new\n  cutleaf new kite-day albums/")]
pub struct NewArguments {
    /// Name of the starter; without one, they are listed.
    pub template: Option<String>,
    /// Folder to copy it to.
    #[arg(default_value = ".")]
    pub folder: PathBuf,
}

/// Arguments of `schema`.
#[derive(Debug, Args)]
pub struct SchemaArguments {
    /// Print every key with what it takes and means, as Markdown.
    #[arg(long)]
    pub markdown: bool,
    /// Print the JSON Schema of stock.yaml.
    #[arg(long, conflicts_with = "markdown")]
    pub stock: bool,
    /// Print the JSON Schema of a sketch.
    #[arg(long, conflicts_with_all = ["markdown", "stock"])]
    pub sketch: bool,
}

/// Arguments of `check`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  cutleaf check kite-day.yaml\n  cutleaf check kite-day.yaml --strict\n\
    Exit codes: 0 there is paper for everything; 3 some has to be bought, and is listed with prices, or\n\
    a piece fits no sheet; 1 the spec is at fault."
)]
pub struct CheckArguments {
    /// The spread's description.
    pub spec: PathBuf,
    /// Folder of builds: what this spread's build has cut already counts as there.
    #[arg(long, default_value = "out")]
    pub out: PathBuf,
    /// How many of the whole spread are made, in place of what the spec says.
    #[arg(long, value_name = "NUMBER", value_parser = copies())]
    pub copies: Option<u32>,
    /// Refuse where the paper on hand does not do, instead of planning with sheets to buy.
    #[arg(long)]
    pub strict: bool,
    /// Print the record instead of a summary.
    #[arg(long)]
    pub json: bool,
    /// The stock.
    #[command(flatten)]
    pub stock: FromStockArguments,
}

/// Arguments of `build`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  cutleaf build kite-day.yaml --out albums\n  cutleaf build kite-day.yaml --copies 12\n  cutleaf build kite-day.yaml --set-aside\n\
    Where paper is lacking, everything is planned and written with sheets to buy, which are marked, and\n\
    listed with prices; the exit code is then 3. With --strict nothing is planned with paper to buy."
)]
pub struct BuildArguments {
    /// The spread's description.
    pub spec: PathBuf,
    /// Folder in which the spread's folder is made.
    #[arg(long, default_value = "out")]
    pub out: PathBuf,
    /// How long to search for a good nest, in place of what the spec says.
    #[arg(long, value_parser = ["quick", "normal", "long"])]
    pub effort: Option<String>,
    /// How many of the whole spread are made, in place of what the spec says.
    #[arg(long, value_name = "NUMBER", value_parser = copies())]
    pub copies: Option<u32>,
    /// Refuse where the paper on hand does not do, instead of planning with sheets to buy.
    #[arg(long)]
    pub strict: bool,
    /// Keep the run that stands in the spread's folder whole, redos and all, beside it as NAME-earlier-1.
    #[arg(long)]
    pub set_aside: bool,
    /// Print the written files and totals as JSON.
    #[arg(long)]
    pub json: bool,
    /// The stock.
    #[command(flatten)]
    pub stock: FromStockArguments,
}

/// Arguments of `cut`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  cutleaf cut kite-day.yaml                    all that is not entered yet\n  cutleaf cut kite-day.yaml --sheet navy-1     one sheet\n\
    Where several sheets are cut alike, navy-1 x 12, its id stands for all of them.\n\
    Sheets leave stock.yaml, and offcuts worth keeping come in, each with a short label to pencil on its\n\
    back. `cutleaf undo` takes the last entry back."
)]
pub struct CutArguments {
    /// The spec that was built, the folder of its build, or that of one of its redos.
    #[arg(value_name = "SPEC")]
    pub build: PathBuf,
    /// Folder in which the spread's folder stands, where a spec is named.
    #[arg(long, default_value = "out")]
    pub out: PathBuf,
    /// Id of a sheet that was cut, all that are cut alike with it; may be given several times.
    #[arg(long, value_name = "ID")]
    pub sheet: Vec<String>,
    /// The stock.
    #[command(flatten)]
    pub stock: FromStockArguments,
}

/// Arguments of `dry-fit`.
#[cfg(feature = "page")]
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  cutleaf dry-fit kite-day.yaml           prints an address; open it in a browser\n  \
    cutleaf dry-fit kite-day.yaml --share   prints a second one for a tablet in the same house\n\
    The page shows the file as it is, follows it when you save it in an editor, and writes what you move back\n\
    into it: only the measures that change, your comments and the layout of the text stay. It is served from\n\
    this machine to this machine; nothing leaves it. Ctrl-C ends it."
)]
pub struct DryFitArguments {
    /// The spread's description.
    pub spec: PathBuf,
    /// Folder in which the spread's folder is made.
    #[arg(long, default_value = "out")]
    pub out: PathBuf,
    /// The port; any that is free if not given.
    #[arg(long, value_name = "NUMBER")]
    pub port: Option<u16>,
    /// Let another device in the same house open the page, with an address that works once. What is sent can
    /// be read by others in that net.
    #[arg(long)]
    pub share: bool,
    /// The stock.
    #[command(flatten)]
    pub stock: FromStockArguments,
}

/// Arguments of `redo`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  cutleaf redo kite-day.yaml --piece left.sky\n  cutleaf redo kite-day.yaml --piece title.hold --piece journaling.3,5-7\n  cutleaf redo kite-day.yaml --piece title.tight.t:2 --try\n  cutleaf redo kite-day.yaml --piece journaling.3,5-7 --start '4 1/2'\n  cutleaf redo out/kite-day --sheet harbour-1\n  cutleaf redo out/kite-day --piece right.crest --from templates\n  cutleaf redo out/kite-day --undo\n  cutleaf redo kite-day.yaml              what has changed in the spec since the build\n  cutleaf redo kite-day.yaml --changed    just that\n\
    A piece is named by its id, a group by what its ids begin with (title.hold, journaling, left), a letter\n\
    that occurs several times by its number (title.tight.t:2, or :all), strips by theirs (3,5-7). Of a\n\
    piece with copies one is cut again, or as many as stand behind it: 'left.sky x 3', 'left.sky x all';\n\
    of sheets that are cut alike, one."
)]
pub struct RedoArguments {
    /// The spec that was built, the folder of its build, or that of one of its redos.
    #[arg(value_name = "SPEC")]
    pub build: PathBuf,
    /// Folder in which the spread's folder stands, where a spec is named.
    #[arg(long, default_value = "out")]
    pub out: PathBuf,
    /// A piece to cut again, a group, letters, strips, or a photo to print again; may be given several
    /// times.
    #[arg(long, value_name = "ID")]
    pub piece: Vec<String>,
    /// Id of a sheet to cut again; may be given several times.
    #[arg(long, value_name = "ID")]
    pub sheet: Vec<String>,
    /// Print the strips on a sheet that was printed once and is whole still, below this length from its top
    /// edge; what has no room there goes on further sheets.
    #[arg(long, value_name = "LENGTH", requires = "piece", conflicts_with_all = ["changed", "undo"])]
    pub start: Option<String>,
    /// Show what would be cut, as a picture in letters, and write nothing.
    #[arg(long = "try")]
    pub r#try: bool,
    /// Cut or print what has changed in the spec since the build; what is the same keeps its cut.
    #[arg(long, conflicts_with_all = ["piece", "sheet"])]
    pub changed: bool,
    /// Take the last redo back: its files go, and the paper that it used counts as left again.
    #[arg(long, conflicts_with_all = ["piece", "sheet", "try", "changed"])]
    pub undo: bool,
    /// Folder with the photos and fonts, if it is no longer where the spec stood when the spread was built.
    #[arg(long, value_name = "FOLDER")]
    pub from: Option<PathBuf>,
    /// Refuse where the paper on hand does not do, instead of planning with sheets to buy.
    #[arg(long)]
    pub strict: bool,
    /// Print the written files and totals as JSON.
    #[arg(long, conflicts_with = "try")]
    pub json: bool,
    /// The stock.
    #[command(flatten)]
    pub stock: FromStockArguments,
}

/// Arguments of `fonts`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  cutleaf fonts\n  cutleaf fonts lobster\n  cutleaf fonts --sample fonts.svg"
)]
pub struct FontsArguments {
    /// Only families whose name holds this.
    pub name: Option<String>,
    /// Draw a sheet with a sample of each, as an SVG file.
    #[arg(long, value_name = "FILE")]
    pub sample: Option<PathBuf>,
    /// Print as JSON.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `print-scale`.
#[derive(Debug, Args)]
#[command(
    after_help = "Print a page at 100 %, measure its ruler, and store what it measured:\n  cutleaf print-scale 5.97          6 in measured 5.97 in both ways\n  cutleaf print-scale 5.97 x 5.99   across, and down as for 6 in\n  cutleaf print-scale 149.3 mm      a ruler of 150 mm measured 149.3 mm\n  cutleaf print-scale               show what is stored\n  cutleaf print-scale off           remove it\nPages that are built later are corrected. `printer: {scale: 5.97}` in a spec wins. It is stored in\nthe user's folder for settings, or in the folder that CUTLEAF_SETTINGS names."
)]
pub struct PrintScaleArguments {
    /// What six printed inches measured, across, or across x down; `off` to remove it; nothing to show it.
    #[arg(value_name = "MEASURED", allow_hyphen_values = true)]
    pub measured: Vec<String>,
}

/// Arguments of `completions`.
#[derive(Debug, Args)]
pub struct CompletionsArguments {
    /// The shell.
    #[arg(value_enum)]
    pub shell: clap_complete::Shell,
}
