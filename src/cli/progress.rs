//! A line of progress on standard error for work that takes more than half a second.

use std::io::Write;
use std::time::Duration;

use cutleaf::nest::Search;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// Exit code of a program that was ended by Ctrl-C (common practice: 128 and the signal's number).
const INTERRUPTED: i32 = 130;

/// A search that Ctrl-C stops with the best it has; a second Ctrl-C ends the program.
///
/// Where the system gives no such signal, Ctrl-C ends the program at once.
pub fn stop_on_interrupt() -> Search {
    let search = Search::new();
    let handle = search.clone();
    let _ = ctrlc::set_handler(move || {
        if handle.is_stopped() {
            std::process::exit(INTERRUPTED);
        }
        handle.stop();
        let _ = writeln!(
            std::io::stderr(),
            "Stopping: keeping the best found so far. Press Ctrl-C again to leave without it."
        );
    });
    search
}

/// Runs `work`, with a moving line that shows `what` once half a second has passed.
pub fn with<T: Send>(what: &'static str, work: impl FnOnce() -> T + Send) -> T {
    super::stage(what);
    let (done, waiting) = std::sync::mpsc::channel::<()>();
    std::thread::scope(|scope| {
        scope.spawn(move || {
            let half_a_second = Duration::from_millis(500);
            if waiting.recv_timeout(half_a_second)
                != Err(std::sync::mpsc::RecvTimeoutError::Timeout)
            {
                return;
            }
            let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::stderr());
            if let Ok(style) = ProgressStyle::with_template("{spinner} {msg} ({elapsed})") {
                bar.set_style(style);
            }
            bar.set_message(what);
            bar.enable_steady_tick(Duration::from_millis(120));
            let _ = waiting.recv();
            bar.finish_and_clear();
        });
        let result = work();
        drop(done);
        result
    })
}
