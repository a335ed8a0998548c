//! Kits: many copies of the demo, and of a card with mats, letters and strips, nested by patterns. For each
//! paper the new sheets, against as many separate builds and against the bound, the kinds of sheets that are
//! cut, seconds, and the peak of memory.
//!
//! `cargo bench --bench kits -- [copies 30] [quick|normal|long] [paper NAME]`: one number of copies alone in
//! place of 30 and 300, an effort, `normal` if not given, and one paper alone. The peak is read from `/proc`,
//! so it is told on Linux alone; it counts everything before, so the largest run comes last.

use std::fs;
use std::path::Path;
use std::time::Instant;

use cutleaf::layout::lay_out;
use cutleaf::lettering::fonts::FontBook;
use cutleaf::model::length::{Length, Size};
use cutleaf::nest::{Effort, Form, Item, Job, Nested, Rules, Stock, Tool, Turns, nest};
use cutleaf::{description, shapes};
use kurbo::{Affine, BezPath, Shape as _};
use rayon::prelude::*;

/// A paper's job of one kit.
struct Paper {
    name: String,
    job: Job,
}

/// The papers of the demo; strips of the story and photos are printed, so they are no part of this.
fn demo() -> Vec<Paper> {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("templates/kite-day.yaml");
    let text = fs::read_to_string(&file).expect("the demo is there");
    let folder = file.parent().expect("in a folder");
    let spec = description::parse(&text).expect("a spec");
    let layout = lay_out(&spec, folder, &FontBook::new(Vec::new())).expect("a layout");
    let paper = |(number, paper): (usize, &cutleaf::layout::PaperOnHand)| {
        let pieces = layout.pieces.iter().filter(|piece| piece.paper == number);
        let items = pieces.filter(|piece| piece.kind != "journaling" && piece.print.is_none());
        let items = items.map(|piece| Item {
            id: piece.id.to_string(),
            form: match piece.tool {
                Tool::Machine => Form::Outline(piece.drawing.outline.clone()),
                Tool::Trimmer | Tool::Hand => Form::Rectangle(piece.size),
            },
            copies: 1,
            tool: piece.tool,
            turns: piece.turns,
            together: piece.together.clone().map(Into::into),
        });
        let items: Vec<Item> = items.collect();
        let stock = paper.stock.iter().filter(|stock| stock.offcut.is_none()).cloned().collect();
        let job = Job { stock, items, rules: layout.rules, effort: Effort::Normal };
        Paper { name: paper.name.clone(), job }
    };
    let papers = layout.papers.iter().enumerate().map(paper);
    papers.filter(|paper| !paper.job.items.is_empty()).collect()
}

fn item(form: Form, copies: u32, tool: Tool) -> Item {
    let turns = Turns::Quarter;
    Item { id: "pond".to_owned(), form, copies, tool, turns, together: None }
}

fn outline(path: &BezPath) -> Form {
    let bounds = path.bounding_box();
    Form::Outline(Affine::translate((-bounds.x0, -bounds.y0)) * path.clone())
}

/// A folded card with mats of one paper, a title of five letters, two hearts and strips of three lengths.
fn card() -> Paper {
    let rectangle = |width: f64, height: f64, copies| {
        item(Form::Rectangle(Size::inches(width, height)), copies, Tool::Trimmer)
    };
    let letter = |points: &[(f64, f64)]| {
        let mut path = BezPath::new();
        path.move_to(points[0]);
        points[1..].iter().for_each(|&point| path.line_to(point));
        path.close_path();
        item(outline(&path), 1, Tool::Machine)
    };
    let l = [(0.0, 0.0), (0.3, 0.0), (0.3, 0.9), (0.8, 0.9), (0.8, 1.25), (0.0, 1.25)];
    let t = [
        (0.0, 0.0),
        (0.9, 0.0),
        (0.9, 0.3),
        (0.6, 0.3),
        (0.6, 1.25),
        (0.3, 1.25),
        (0.3, 0.3),
        (0.0, 0.3),
    ];
    let v =
        [(0.0, 0.0), (0.3, 0.0), (0.5, 0.8), (0.7, 0.0), (1.0, 0.0), (0.65, 1.25), (0.35, 1.25)];
    let heart = shapes::heart(1.0, 0.9).expect("a heart").outline;
    let items = vec![
        rectangle(8.5, 5.5, 1),
        rectangle(3.75, 5.0, 1),
        rectangle(3.25, 4.5, 1),
        rectangle(4.0, 0.5, 2),
        rectangle(3.0, 0.5, 2),
        rectangle(2.25, 0.5, 1),
        letter(&l),
        letter(&t),
        letter(&v),
        letter(&l),
        letter(&t),
        item(outline(&heart), 2, Tool::Machine),
    ];
    let stock = [(12.0, 12.0), (8.5, 11.0)]
        .map(|(width, height)| Stock { size: Size::inches(width, height), ..Stock::default() });
    let rules = Rules {
        spacing: Length::part(1, 16),
        machine_margin: Length::part(1, 4),
        ..Rules::default()
    };
    Paper {
        name: "card".to_owned(),
        job: Job { stock: stock.to_vec(), items, rules, effort: Effort::Normal },
    }
}

/// So many copies of a job, with paper enough.
fn copies_of(job: &Job, copies: u32, effort: Effort) -> Job {
    let mut job = Job { effort, ..job.clone() };
    job.items.iter_mut().for_each(|item| item.copies *= copies);
    let pieces: u32 = job.items.iter().map(|item| item.copies).sum();
    job.stock.iter_mut().for_each(|stock| stock.count = pieces);
    job
}

/// The paper of the new sheets in square inches, and their number.
fn paper(job: &Job, nested: &Nested) -> (f64, usize) {
    let area = |sheet: &cutleaf::nest::SheetCut| {
        job.stock[sheet.stock].size.area() * f64::from(sheet.count)
    };
    (nested.sheets.iter().map(area).sum(), nested.new_sheets(&job.stock))
}

/// The peak of memory so far, in MB (proc(5): `VmHWM`).
fn peak() -> f64 {
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|line| line.starts_with("VmHWM:"));
    let kilobytes = line.and_then(|line| line.split_whitespace().nth(1)?.parse::<f64>().ok());
    kilobytes.unwrap_or(0.0) / 1024.0
}

fn run(name: &str, papers: &[Paper], copies: u32, effort: Effort) {
    let jobs: Vec<Job> = papers.iter().map(|one| copies_of(&one.job, copies, effort)).collect();
    let begun = Instant::now();
    let found: Vec<(Nested, f64)> = jobs
        .par_iter()
        .map(|job| {
            let begun = Instant::now();
            let nested = nest(job);
            (nested, begun.elapsed().as_secs_f64())
        })
        .collect();
    let seconds = begun.elapsed().as_secs_f64();
    println!(
        "{copies} copies of the {name}, {}: {seconds:.2} s, peak {:.0} MB",
        effort.name(),
        peak()
    );
    let (mut ours, mut separate) = (0.0, 0.0);
    let (mut sheets, mut apart) = (0, 0);
    for ((one, job), (nested, seconds)) in papers.iter().zip(&jobs).zip(&found) {
        assert!(nested.left_out.is_empty(), "{}: {:?}", one.name, nested.left_out);
        let (area, number) = paper(job, nested);
        let single = copies_of(&one.job, 1, effort);
        let (one_area, one_number) = paper(&single, &nest(&single));
        let covered: f64 = job.items.iter().map(|item| item.area() * f64::from(item.copies)).sum();
        let pieces: u32 = job.items.iter().map(|item| item.copies).sum();
        println!(
            "  {:<9} {pieces:>5} pieces  {number:>4} sheets of {:>4} apart ({:.3} of the paper), bound {:>4}, \
             {:.3} of the area, {:>2} kinds, {seconds:.2} s",
            one.name,
            one_number * copies as usize,
            area / (one_area * f64::from(copies)),
            nested.bound,
            area / covered,
            nested.sheets.len()
        );
        ours += area;
        separate += one_area * f64::from(copies);
        sheets += number;
        apart += one_number * copies as usize;
    }
    println!(
        "  all: {sheets} sheets of {apart} apart ({:.3}), {:.3} of the paper",
        sheets as f64 / apart as f64,
        ours / separate
    );
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let after = |name: &str| {
        let place = words.iter().position(|word| word == name)?;
        words.get(place + 1)
    };
    let copies: Option<u32> = after("copies").and_then(|word| word.parse().ok());
    let effort = Effort::ALL.into_iter().find(|effort| words.iter().any(|w| w == effort.name()));
    let effort = effort.unwrap_or_default();
    let mut papers = demo();
    let mut cards = vec![card()];
    if let Some(only) = after("paper") {
        papers.retain(|paper| paper.name == *only);
        cards.retain(|paper| paper.name == *only);
    }
    for copies in copies.map_or_else(|| vec![30, 300], |copies| vec![copies]) {
        for (name, papers) in [("demo", &papers), ("card", &cards)] {
            if !papers.is_empty() {
                run(name, papers, copies, effort);
            }
        }
    }
}
