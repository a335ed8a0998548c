//! Strips on what is blank of a sheet that went through the printer once.

use std::collections::BTreeSet;

use crate::description::Problem;
use crate::layout::Layout;
use crate::model::Warning;
use crate::model::length::parse_length;

use super::Chain;

/// Has the first page of a redo's strips printed below `start`, a length from the top edge in the spread's
/// units, on a sheet that was fed once and that no count has. All strips must be of one paper.
pub fn below_start(layout: &mut Layout, chain: &Chain, start: &str) -> Result<(), Problem> {
    let read = parse_length(start, layout.units);
    let length = read.map_err(|fault| Problem::input(fault.message, fault.help))?;
    let papers: BTreeSet<usize> = layout.strips.iter().map(|strip| strip.paper).collect();
    let name = |paper: &usize| layout.papers.get(*paper).map_or("", |paper| &paper.name);
    let least = layout.printer.margin.max(layout.rules.kerf);
    let paper = match papers.iter().collect::<Vec<_>>()[..] {
        _ if length <= least => {
            let message = format!(
                "--start {start}: nothing is printed on the first {}",
                least.show(layout.units)
            );
            let help = "measure from the sheet's top edge to below what was printed on it, marks and notes too";
            return Err(Problem::input(message, help));
        }
        [] => {
            let help = "name strips of the story with --piece, such as journaling.3,5-7; nothing else is \
                        printed on a sheet that was fed once";
            return Err(Problem::input("--start takes strips, and none is named", help));
        }
        [paper] => name(paper),
        _ => {
            let names: Vec<&str> = papers.iter().map(name).collect();
            let message = format!("the strips are of several papers: {}", names.join(", "));
            let help = "with --start, name strips of one paper; redo the others by themselves";
            return Err(Problem::input(message, help));
        }
    };
    let warning = counted_still(layout, chain, paper);
    layout.start = Some(length);
    layout.warnings.extend(warning);
    Ok(())
}

/// What is blank of an earlier page of strips may count as an offcut: if that is the sheet, it is used twice.
fn counted_still(layout: &Layout, chain: &Chain, paper: &str) -> Option<Warning> {
    let stock = layout.papers.iter().filter(|known| known.name == paper);
    let left: BTreeSet<&str> =
        stock.flat_map(|known| &known.stock).filter_map(|one| one.offcut.as_deref()).collect();
    let printed = chain.whole().sheets.iter().filter(|sheet| sheet.printed.is_some());
    let rests: Vec<&str> = printed
        .filter(|sheet| sheet.paper == paper)
        .flat_map(|sheet| &sheet.offcuts)
        .map(|rest| rest.id.as_str())
        .filter(|id| left.contains(id))
        .collect();
    (!rests.is_empty()).then(|| Warning {
        kind: "counted still".to_owned(),
        message: format!("what is left of earlier pages counts as on hand: {}", rests.join(", ")),
        help: "if the sheet that is fed is one of those, its rest is used up now: cut nothing else from it"
            .to_owned(),
        piece: None,
        line: None,
    })
}
