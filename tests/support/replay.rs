//! A trimmer plan is cut again, cut by cut, by code that knows nothing of how it was found.

use std::collections::BTreeSet;

use cutleaf::model::length::Length;
use cutleaf::nest::{Area, CutLine, Fall, Falls, Form, Job, Nested, PlacedItem, SheetCut, Turns};

pub fn sides(area: &Area) -> [i64; 4] {
    [
        area.left.to_nanometres(),
        area.top.to_nanometres(),
        (area.left + area.size.width).to_nanometres(),
        (area.top + area.size.height).to_nanometres(),
    ]
}

fn square(area: &Area) -> i128 {
    let [left, top, right, bottom] = sides(area);
    i128::from(right - left) * i128::from(bottom - top)
}

pub fn apart(one: &Area, other: &Area) -> bool {
    let (one, other) = (sides(one), sides(other));
    one[2] <= other[0] || other[2] <= one[0] || one[3] <= other[1] || other[3] <= one[1]
}

fn within(inner: &Area, outer: &Area) -> bool {
    let (inner, outer) = (sides(inner), sides(outer));
    inner[0] >= outer[0] && inner[1] >= outer[1] && inner[2] <= outer[2] && inner[3] <= outer[3]
}

pub fn whole(job: &Job, sheet: &SheetCut) -> Area {
    Area { size: job.stock[sheet.stock].size, ..Area::default() }
}

/// Cuts a sheet as its plan says and returns what lies on the table at the end.
pub fn replay(job: &Job, sheet: &SheetCut) -> Vec<Falls> {
    let kerf = job.rules.kerf.to_nanometres();
    let mut table = vec![Falls { what: Fall::More, area: whole(job, sheet) }];
    for cut in &sheet.cuts {
        let place = table
            .iter()
            .position(|falls| falls.area == cut.in_hand && falls.what == Fall::More)
            .expect("the paper in hand lies on the table");
        let hand = sides(&table.swap_remove(place).area);
        let (axis, line) = match cut.line {
            CutLine::Down(line) => (0, line.to_nanometres()),
            CutLine::Across(line) => (1, line.to_nanometres()),
        };
        assert!(hand[axis] < line && line < hand[axis + 2], "the blade meets the paper");
        let (kept, dropped) = (sides(&cut.keeps.area), sides(&cut.drops.area));
        for half in [kept, dropped] {
            assert_eq!(half[1 - axis], hand[1 - axis], "from edge");
            assert_eq!(half[3 - axis], hand[3 - axis], "to edge");
        }
        assert_eq!(kept[axis + 2] - kept[axis], cut.fence.to_nanometres());
        if kept[axis + 2] == line {
            assert_eq!(kept[axis], hand[axis]);
            assert_eq!(dropped[axis], (line + kerf).min(hand[axis + 2]));
            assert_eq!(dropped[axis + 2], hand[axis + 2]);
        } else {
            assert_eq!(kept[axis], line);
            assert_eq!(kept[axis + 2], hand[axis + 2]);
            assert_eq!(dropped[axis], hand[axis]);
            assert_eq!(dropped[axis + 2], (line - kerf).max(hand[axis]));
        }
        table.push(cut.keeps);
        table.push(cut.drops);
    }
    if sheet.cuts.is_empty() {
        return Vec::new();
    }
    assert!(table.iter().all(|falls| falls.what != Fall::More), "nothing is left uncut");
    table
}

pub fn piece_area(job: &Job, placed: &PlacedItem) -> Area {
    let Form::Rectangle(size) = job.items[placed.item].form else { panic!("a rectangle") };
    let size = if placed.turn == 0.0 { size } else { size.turned() };
    assert!(placed.turn == 0.0 || job.items[placed.item].turns != Turns::Never);
    Area { left: Length::inches(placed.at[0]), top: Length::inches(placed.at[1]), size }
}

/// Checks a whole outcome whose items are all trimmer rectangles.
pub fn check(job: &Job, nested: &Nested) {
    let mut seen = BTreeSet::new();
    for sheet in &nested.sheets {
        let pieces: Vec<(usize, u32, Area)> =
            sheet.placed.iter().map(|p| (p.item, p.copy, piece_area(job, p))).collect();
        assert!(sheet.count >= 1);
        for one in (0..sheet.count).flat_map(|number| sheet.on(number)) {
            assert!(seen.insert((one.item, one.copy)), "each copy once");
            assert!(one.copy < job.items[one.item].copies);
        }
        for (index, (_, _, area)) in pieces.iter().enumerate() {
            assert!(within(area, &whole(job, sheet)), "inside its sheet");
            assert!(pieces[..index].iter().all(|(_, _, other)| apart(area, other)));
            assert!(sheet.offcuts.iter().all(|offcut| apart(area, offcut)), "offcuts are free");
        }
        for pair in sheet.offcuts.windows(2) {
            assert!(square(&pair[0]) >= square(&pair[1]), "largest first");
        }
        check_table(job, sheet, &pieces);
    }
    let left_out: usize = nested.left_out.iter().map(|left| left.copies as usize).sum();
    let wanted: usize = job.items.iter().map(|item| item.copies as usize).sum();
    assert_eq!(seen.len() + left_out, wanted, "each copy placed or left out");
    for (stock, sheets) in job.stock.iter().enumerate() {
        let of_it = nested.sheets.iter().filter(|sheet| sheet.stock == stock);
        let used: u32 = of_it.map(|sheet| sheet.count).sum();
        assert!(used <= sheets.count, "no more sheets than there are");
    }
    if nested.left_out.is_empty() {
        assert!(new_sheets(job, nested) >= nested.bound as usize, "the bound holds");
    }
}

/// What lies on the table at the end is what the plan promises, and nothing is lost but kerfs.
fn check_table(job: &Job, sheet: &SheetCut, pieces: &[(usize, u32, Area)]) {
    let table = replay(job, sheet);
    if table.is_empty() {
        assert_eq!(pieces.len(), 1, "one piece is the whole sheet");
        assert_eq!(pieces[0].2, whole(job, sheet));
        return;
    }
    let (mut found, mut offcuts) = (0, 0);
    for falls in &table {
        match falls.what {
            Fall::Piece(item, copy) => {
                assert!(pieces.contains(&(item, copy, falls.area)), "the piece at its size");
                found += 1;
            }
            Fall::Offcut(place) => {
                assert_eq!(sheet.offcuts[place], falls.area);
                offcuts += 1;
            }
            Fall::Scrap => {
                let [width, height] = falls.area.size.to_inches();
                assert!(width.min(height) < 1.0 || width.max(height) < 2.0, "scrap is small");
            }
            Fall::Machine => panic!("no machine here"),
            Fall::More => unreachable!("checked in the replay"),
        }
    }
    assert_eq!((found, offcuts), (pieces.len(), sheet.offcuts.len()));
    let kept: i128 = table.iter().map(|falls| square(&falls.area)).sum();
    let halves = sheet.cuts.iter().map(|cut| square(&cut.keeps.area) + square(&cut.drops.area));
    let hands = sheet.cuts.iter().map(|cut| square(&cut.in_hand));
    let lost = hands.sum::<i128>() - halves.sum::<i128>();
    assert_eq!(kept + lost, square(&whole(job, sheet)), "areas balance");
    assert!(lost == 0 || job.rules.kerf > Length::ZERO);
}

pub fn new_sheets(job: &Job, nested: &Nested) -> usize {
    let new = nested.sheets.iter().filter(|sheet| job.stock[sheet.stock].offcut.is_none());
    new.map(|sheet| sheet.count as usize).sum()
}
