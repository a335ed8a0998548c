//! What `stock` and `undo` take.

use std::path::PathBuf;

use clap::{Args, Subcommand};

/// Arguments of `stock`.
#[derive(Debug, Args)]
#[command(
    args_conflicts_with_subcommands = true,
    after_help = "Examples:\n  cutleaf stock init                    a stock.yaml to fill in\n  cutleaf stock                         what is on hand\n  cutleaf stock --html stock.html       the same as a picture, to scale\n  cutleaf stock add \"oat 8.5 x 11\" 2    two sheets were bought\n  cutleaf stock find 4 x 6 --paper navy which offcut holds it\n  cutleaf undo                          take the last entry back\n\
    The stock is `stock.yaml` in this folder or the nearest above, or what --stock names.\n\
    You may change it by hand; the next command takes note of it."
)]
pub struct StockArguments {
    /// What to do; without it, show what is on hand.
    #[command(subcommand)]
    pub command: Option<StockCommand>,
    /// What to show it as.
    #[command(flatten)]
    pub shown: ShownArguments,
}

/// Where the stock is, and what is drawn and printed of it.
#[derive(Debug, Args)]
pub struct ShownArguments {
    /// Draw all sheets and offcuts to scale, as an HTML file.
    #[arg(long, value_name = "FILE")]
    pub html: Option<PathBuf>,
    /// The file of which.
    #[command(flatten)]
    pub place: PlaceArguments,
    /// Print as JSON.
    #[arg(long)]
    pub json: bool,
}

/// Where the stock is.
#[derive(Debug, Args)]
pub struct PlaceArguments {
    /// The stock's file, in place of the `stock.yaml` in this folder or the nearest above.
    #[arg(long = "stock", value_name = "FILE")]
    pub file: Option<PathBuf>,
}

/// Which stock a spread is cut from.
#[derive(Clone, Debug, Default, Args)]
pub struct FromStockArguments {
    /// The stock's file, in place of the `stock.yaml` beside the spec or in the nearest folder above.
    #[arg(long = "stock", value_name = "FILE", conflicts_with = "no_stock")]
    pub file: Option<PathBuf>,
    /// Leave the stock alone: only the paper that the spec lists is on hand.
    #[arg(long)]
    pub no_stock: bool,
}

/// What to do with the stock.
#[derive(Debug, Subcommand)]
pub enum StockCommand {
    /// Write a stock.yaml to fill in.
    #[command(after_help = "Example: cutleaf stock init albums")]
    Init {
        /// Folder to write it to: that of the spreads, or one above.
        #[arg(default_value = ".")]
        folder: PathBuf,
    },
    /// Enter sheets that were bought or given.
    #[command(
        after_help = "Examples:\n  cutleaf stock add \"oat 8.5 x 11\" 2\n  cutleaf stock add \"sage 12 x 12\" 5 --color \"#a3b18a\"    a paper that is new"
    )]
    Add {
        /// Which sheets and how many.
        #[command(flatten)]
        what: WhatArguments,
        /// The colour of a paper that isn't listed yet, `#rrggbb`.
        #[arg(long, value_name = "COLOR")]
        color: Option<String>,
    },
    /// Enter sheets or an offcut that were taken for something else.
    #[command(
        after_help = "Examples:\n  cutleaf stock take \"oat 8.5 x 11\" 2\n  cutleaf stock take B7"
    )]
    Take(WhatArguments),
    /// Enter sheets or an offcut that were spoiled.
    #[command(
        after_help = "Examples:\n  cutleaf stock spoil \"oat 12 x 12\"\n  cutleaf stock spoil B7"
    )]
    Spoil(WhatArguments),
    /// Enter how many sheets there are, counted.
    #[command(after_help = "Example: cutleaf stock count \"oat 8.5 x 11\" 5")]
    Count {
        /// Paper and size.
        what: String,
        /// How many there are.
        #[arg(value_parser = clap::value_parser!(u32).range(0..=i64::from(MOST_SHEETS)))]
        count: u32,
        /// Where the stock is.
        #[command(flatten)]
        place: PlaceArguments,
    },
    /// Find offcuts and sheets that hold a piece, those with the least left over first.
    #[command(
        after_help = "Examples:\n  cutleaf stock find 4 x 6\n  cutleaf stock find 4 x 6 --paper navy"
    )]
    Find {
        /// Size of the piece.
        #[arg(required = true)]
        size: Vec<String>,
        /// Only of this paper.
        #[arg(long, value_name = "NAME")]
        paper: Option<String>,
        /// Where the stock is.
        #[command(flatten)]
        place: PlaceArguments,
        /// Print as JSON.
        #[arg(long)]
        json: bool,
    },
    /// One shopping list for several spreads that are cut from the same paper.
    #[command(after_help = "Example: cutleaf stock buy kite-day.yaml tide-pool.yaml\n\
        Each spread is planned by itself; an offcut that two of them use is taken for both. The exit code\n\
        is 3 where something has to be bought.")]
    Buy(BuyArguments),
    /// List the entries of the ledger, the newest first.
    #[command(after_help = "Example: cutleaf stock history")]
    History {
        /// Where the stock is.
        #[command(flatten)]
        place: PlaceArguments,
        /// Print as JSON.
        #[arg(long)]
        json: bool,
    },
}

/// Arguments of `stock buy`.
#[derive(Debug, Args)]
pub struct BuyArguments {
    /// The spreads' descriptions, in the order in which they are cut: each has what those before it leave.
    #[arg(required = true)]
    pub specs: Vec<PathBuf>,
    /// Folder of builds: what they have cut already isn't counted again.
    #[arg(long, default_value = "out")]
    pub out: PathBuf,
    /// Where the stock is.
    #[command(flatten)]
    pub place: PlaceArguments,
    /// Print as JSON.
    #[arg(long)]
    pub json: bool,
}

/// Sheets that one command may enter: a shop's.
const MOST_SHEETS: u32 = 100_000;

/// Which paper and how much.
#[derive(Debug, Args)]
pub struct WhatArguments {
    /// Paper and size, in quotes; or the label of an offcut.
    pub what: String,
    /// How many sheets.
    #[arg(default_value = "1", value_parser = clap::value_parser!(u32).range(1..=i64::from(MOST_SHEETS)))]
    pub count: u32,
    /// Where the stock is.
    #[command(flatten)]
    pub place: PlaceArguments,
}

/// Arguments of `undo`.
#[derive(Debug, Args)]
#[command(
    after_help = "Example: cutleaf undo\n`cutleaf stock history` lists the entries; undo takes back the newest, and stock.yaml is as it was before."
)]
pub struct UndoArguments {
    /// Where the stock is.
    #[command(flatten)]
    pub place: PlaceArguments,
}
