//! Time to build the demo, by stage; and as a whole beside another build of the program.
//!
//! `cargo bench --bench demo` prints how long the first and the second layout in one process take, then, at
//! `quick` and `normal`, a first nest and the fastest of five runs of each stage when all of it was done
//! before. `cargo bench --bench demo -- path/to/another/cutleaf` also runs both programs in turn, built with
//! the same profile for a fair comparison, and prints the ratios of their middle wall and CPU times. CPU
//! times come from `/proc`, so they are told on Linux alone.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Instant;

use cutleaf::layout::{Layout, lay_out};
use cutleaf::lettering::fonts::FontBook;
use cutleaf::nest::Effort;
use cutleaf::{description, emit, plan};

const RUNS: usize = 5;
/// Runs of each program when two are compared.
const COMPARED: usize = 9;
/// Clock ticks in a second of `/proc` (Linux: `USER_HZ` is 100 on all common machines).
const TICKS: f64 = 100.0;

fn main() {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("templates/kite-day.yaml");
    // Before anything else is laid out: nothing is known yet.
    let [first, second] = [laid_out(&file).1, laid_out(&file).1];
    println!("layout: {first:.3} s, again {second:.3} s ({:.2})", second / first);
    for effort in [Effort::Quick, Effort::Normal] {
        let [_, nesting, _] = stages(&file, effort);
        let mut fastest = [f64::MAX; 3];
        for _ in 0..RUNS {
            for (least, time) in fastest.iter_mut().zip(stages(&file, effort)) {
                *least = least.min(time);
            }
        }
        let [layout, again, drawing] = fastest;
        println!(
            "{}: nesting {nesting:.3} s; what is kept in one process: layout {layout:.3} s, nesting {again:.3} s, \
             drawing {drawing:.3} s",
            effort.name()
        );
    }
    // Cargo itself adds `--bench`.
    if let Some(other) = std::env::args().skip(1).find(|argument| !argument.starts_with("--")) {
        for effort in ["quick", "normal"] {
            compare(&file, effort, &other);
        }
    }
}

/// The demo laid out, and the seconds that took.
fn laid_out(file: &Path) -> (Layout, f64) {
    let text = fs::read_to_string(file).expect("the demo is there");
    let folder = file.parent().expect("in a folder");
    let start = Instant::now();
    let spec = description::parse(&text).expect("a spec");
    let layout = lay_out(&spec, folder, &FontBook::new(Vec::new())).expect("a layout");
    (layout, start.elapsed().as_secs_f64())
}

/// Seconds of layout, nesting and drawing. What is kept within one process is warm from the second run on,
/// so the fastest of several flatters; a whole program starts cold.
fn stages(file: &Path, effort: Effort) -> [f64; 3] {
    let (mut layout, laid_out) = laid_out(file);
    layout.effort = effort;
    let start = Instant::now();
    let record = plan::record(&layout).expect("a plan");
    let nested = start.elapsed().as_secs_f64();
    emit::all(&record, &layout.fonts, &layout.picture_files()).expect("drawn");
    [laid_out, nested, start.elapsed().as_secs_f64() - nested]
}

/// Runs this program and another in turn and prints the ratios.
fn compare(file: &Path, effort: &str, other: &str) {
    let (mut ours, mut theirs) = (Vec::new(), Vec::new());
    for _ in 0..COMPARED {
        ours.push(built(env!("CARGO_BIN_EXE_cutleaf"), file, effort));
        theirs.push(built(other, file, effort));
    }
    let [ours, theirs] = [ours, theirs].map(|times| [0, 1].map(|one| middle(&times, one)));
    println!(
        "{effort}: wall {:.2} s of {:.2} s ({:.2}), CPU {:.2} s of {:.2} s ({:.2})",
        ours[0],
        theirs[0],
        ours[0] / theirs[0],
        ours[1],
        theirs[1],
        ours[1] / theirs[1],
    );
}

/// Wall and CPU seconds of a whole build.
fn built(program: &str, file: &Path, effort: &str) -> [f64; 2] {
    let out = tempfile::tempdir().expect("a folder for the outcome");
    let (start, before) = (Instant::now(), cpu_of_children());
    let status = Command::new(program)
        .args(["build", "--effort", effort, "--out"])
        .arg(out.path())
        .arg(file)
        .stdout(Stdio::null())
        .status();
    assert!(status.expect("the program runs").success(), "{program} builds the demo");
    [start.elapsed().as_secs_f64(), cpu_of_children() - before]
}

/// CPU seconds of all programs that were run and have ended (proc(5): fields 16 and 17 of `stat`).
fn cpu_of_children() -> f64 {
    let stat = fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let after_name = stat.rsplit(')').next().unwrap_or_default();
    let ticks = after_name.split_whitespace().skip(13).take(2);
    ticks.filter_map(|field| field.parse::<f64>().ok()).sum::<f64>() / TICKS
}

fn middle(times: &[[f64; 2]], one: usize) -> f64 {
    let mut times: Vec<f64> = times.iter().map(|both| both[one]).collect();
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}
