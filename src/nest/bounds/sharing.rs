//! Why a job needs the sheets it needs: pieces that can't share one.

use crate::nest::rectangles::{holds, inside_rim, kerf, trim_margin};
use crate::nest::{Form, Item, Job, Tool};

/// Trimmer items of which no two fit on one new sheet together, largest first: each needs a sheet of
/// its own. Only what can be seen from two at a time; empty if there are no two of the kind.
pub fn cannot_share(job: &Job) -> Vec<usize> {
    let mut items: Vec<(usize, [i64; 2])> = job
        .items
        .iter()
        .enumerate()
        .filter(|(_, item)| item.tool != Tool::Machine)
        .filter_map(|(index, item)| Some((index, size(item)?)))
        .collect();
    items.sort_by_key(|(_, [width, height])| {
        std::cmp::Reverse(i128::from(*width) * i128::from(*height))
    });
    let mut alone: Vec<(usize, [i64; 2])> = Vec::new();
    for (index, size) in items {
        let item = &job.items[index];
        let twins = item.copies > 1;
        let lonely = |&(other, placed): &(usize, [i64; 2])| {
            !share(job, (item, size), (&job.items[other], placed))
        };
        if alone.iter().all(lonely) && (!twins || !share(job, (item, size), (item, size))) {
            alone.push((index, size));
        }
    }
    let several = alone.len() > 1 || alone.iter().any(|(index, _)| job.items[*index].copies > 1);
    if several { alone.into_iter().map(|(index, _)| index).collect() } else { Vec::new() }
}

fn size(item: &Item) -> Option<[i64; 2]> {
    match &item.form {
        Form::Rectangle(size) => Some([size.width, size.height].map(|side| side.to_nanometres())),
        Form::Outline(_) => None,
    }
}

/// Whether two rectangles fit on one new sheet of the job, side by side or one above the other.
fn share(job: &Job, one: (&Item, [i64; 2]), other: (&Item, [i64; 2])) -> bool {
    let kerf = kerf(job);
    let margin = trim_margin(job);
    let sheets: Vec<[i64; 2]> = job
        .stock
        .iter()
        .filter(|stock| stock.offcut.is_none() && stock.count > 0)
        .filter_map(|stock| inside_rim(stock, margin))
        .map(|patch| patch.size)
        .collect();
    let ways = |(item, [width, height]): (&Item, [i64; 2])| {
        let turned = item.turns.crosswise().then_some([height, width]);
        std::iter::once([width, height]).chain(turned).collect::<Vec<_>>()
    };
    ways(one).into_iter().any(|first| {
        ways(other).into_iter().any(|second| {
            let beside = [first[0] + kerf + second[0], first[1].max(second[1])];
            let below = [first[0].max(second[0]), first[1] + kerf + second[1]];
            sheets.iter().any(|&sheet| holds(sheet, beside) || holds(sheet, below))
        })
    })
}
