//! `new`: starter spreads that are built into the program.

use std::fs;
use std::path::Path;

use cutleaf::description::{Problem, nearest};

use super::args::NewArguments;
use super::{Failure, say};

/// A starter spread: its files, the spec first.
struct Template {
    name: &'static str,
    about: &'static str,
    files: &'static [(&'static str, &'static [u8])],
}

/// The starter that is no spread.
pub const STOCK: &str = "stock";

const TEMPLATES: [Template; 8] = [
    Template {
        name: "kite-day",
        about: "two 12 x 12 in pages: banks on mats, a strip across both, title, story",
        files: &[
            ("kite-day.yaml", include_bytes!("../../templates/kite-day.yaml")),
            ("kite-day/kite.svg", include_bytes!("../../templates/kite-day/kite.svg")),
            ("kite-day/launch.jpg", include_bytes!("../../templates/kite-day/launch.jpg")),
            ("kite-day/tangle.jpg", include_bytes!("../../templates/kite-day/tangle.jpg")),
            ("kite-day/crest.jpg", include_bytes!("../../templates/kite-day/crest.jpg")),
            ("kite-day/gull.jpg", include_bytes!("../../templates/kite-day/gull.jpg")),
            ("kite-day/socks.jpg", include_bytes!("../../templates/kite-day/socks.jpg")),
        ],
    },
    Template {
        name: "tide-pool",
        about: "one 8.5 x 11 in page",
        files: &[("tide-pool.yaml", include_bytes!("../../templates/tide-pool.yaml"))],
    },
    Template {
        name: "beach-walk",
        about: "one A4 page in millimetres",
        files: &[("beach-walk.yaml", include_bytes!("../../templates/beach-walk.yaml"))],
    },
    Template {
        name: "shapes",
        about: "every shape that a few numbers describe, on one page",
        files: &[("shapes.yaml", include_bytes!("../../templates/shapes.yaml"))],
    },
    Template {
        name: "folded",
        about: "envelope, pocket, tent, accordion and other folded things, on one page",
        files: &[("folded.yaml", include_bytes!("../../templates/folded.yaml"))],
    },
    Template {
        name: "titles",
        about: "titles stacked, on a circle, along a line, as a stencil, in layers, on one page",
        files: &[
            ("titles.yaml", include_bytes!("../../templates/titles.yaml")),
            ("titles/wave.svg", include_bytes!("../../templates/titles/wave.svg")),
        ],
    },
    Template {
        name: "printed",
        about: "pieces that are printed first and then cut in register, on one page",
        files: &[
            ("printed.yaml", include_bytes!("../../templates/printed.yaml")),
            ("kite-day/gull.jpg", include_bytes!("../../templates/kite-day/gull.jpg")),
            ("kite-day/crest.jpg", include_bytes!("../../templates/kite-day/crest.jpg")),
        ],
    },
    Template {
        name: STOCK,
        about: "stock.yaml, the paper on hand, to fill in",
        files: &[("stock.yaml", include_bytes!("../../templates/stock/stock.yaml"))],
    },
];

/// Lists or copies starters.
pub fn run(arguments: &NewArguments) -> Result<(), Failure> {
    let Some(name) = &arguments.template else {
        for template in &TEMPLATES {
            say(format_args!("{:<12} {}", template.name, template.about));
        }
        return Ok(());
    };
    copy(name, &arguments.folder)
}

/// Copies a starter into a folder.
pub fn copy(name: &str, folder: &Path) -> Result<(), Failure> {
    let Some(template) = TEMPLATES.iter().find(|template| template.name == name) else {
        let names = TEMPLATES.iter().map(|template| template.name);
        let help = match nearest(name, names.clone()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => format!("there are: {}", names.collect::<Vec<_>>().join(", ")),
        };
        return Err(Problem::input(format!("there is no starter `{name}`"), help).into());
    };
    // Starters share pictures: one that is there already, byte for byte, is as good.
    let is_there = |path: &Path, bytes: &[u8]| {
        path.extension().is_none_or(|extension| extension != "yaml")
            && fs::read(path).is_ok_and(|found| found == bytes)
    };
    for (file, bytes) in template.files {
        let path = folder.join(file);
        if path.exists() && !is_there(&path, bytes) {
            let message = format!("`{}` stands there already", path.display());
            return Err(Problem::input(message, "name another folder").into());
        }
    }
    for (file, bytes) in template.files {
        let path = folder.join(file);
        if is_there(&path, bytes) {
            say(format_args!("{} (there already)", path.display()));
            continue;
        }
        let written = path.parent().map_or(Ok(()), fs::create_dir_all);
        written.and_then(|()| fs::write(&path, bytes)).map_err(|error| {
            let message = format!("`{}` can't be written: {error}", path.display());
            Problem::input(message, "check the folder's permissions")
        })?;
        say(format_args!("{}", path.display()));
    }
    Ok(())
}
