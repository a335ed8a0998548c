//! What `sketch` takes.

use std::path::PathBuf;

use clap::Args;

use super::super::stock::args::FromStockArguments;

/// Arguments of `sketch`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  cutleaf sketch \"4x6, 4x6 facing left, 3x3, 5x7, 3 1/2 x 5\"\n  cutleaf sketch photos/ --title \"At the pond\"\n  cutleaf sketch photos/ --take 3 --name pond    writes pond.yaml and builds it\n  cutleaf sketch photos/ --take 3 --papers 2     in the second set of papers\n  cutleaf sketch \"4x6, 6x4\" --page 8.5x11\n\
    A size is width x height of the print, in inches: 4x6 stands upright, 6x4 lies level.\n\
    Pictures of a folder become common prints with 240 dots an inch or more, cropped round the middle, or round what \
    photos.yaml in the folder says: `crest.jpg: {focus: [0.6, 0.3], facing: left}`; `socks.jpg: {size: 4 x 6}` is a print on hand.\n\
    Sketches of your own stand in the folder `sketches` here, or in one that --sketches names."
)]
pub struct SketchArguments {
    /// Sizes of the photos, with commas between them; or a folder of pictures to print.
    #[arg(required = true, value_name = "PHOTOS")]
    pub photos: Vec<String>,
    /// Size of a page.
    #[arg(long, default_value = "12 x 12", value_name = "SIZE")]
    pub page: String,
    /// Folder of your own sketches, in place of `sketches` here.
    #[arg(long, value_name = "FOLDER")]
    pub sketches: Option<PathBuf>,
    /// Try this sketch alone, by its name; may be given several times.
    #[arg(long, value_name = "NAME")]
    pub only: Vec<String>,
    /// Write the sketch of this number in the list as a spec, and build it.
    #[arg(long, value_name = "NUMBER")]
    pub take: Option<usize>,
    /// The set of papers that is taken: the first, second or third that the colours of the photos propose.
    #[arg(long, value_name = "NUMBER", default_value = "1")]
    pub papers: usize,
    /// With --take, write the spec and build nothing.
    #[arg(long, requires = "take")]
    pub no_build: bool,
    /// Name of the spread and of its file.
    #[arg(long)]
    pub name: Option<String>,
    /// Words of the title; the name if not given.
    #[arg(long, value_name = "WORDS")]
    pub title: Option<String>,
    /// The story.
    #[arg(long, value_name = "TEXT")]
    pub story: Option<String>,
    /// File in which the sketches are drawn side by side.
    #[arg(long, value_name = "FILE", default_value = "sketches.html")]
    pub html: PathBuf,
    /// Folder in which the spread's folder is made.
    #[arg(long, default_value = "out")]
    pub out: PathBuf,
    /// Print as JSON; no picture is drawn.
    #[arg(long, conflicts_with = "take")]
    pub json: bool,
    /// The stock.
    #[command(flatten)]
    pub stock: FromStockArguments,
}
