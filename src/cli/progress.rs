//! A line of progress on standard error for work that takes more than half a second.

use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// Runs `work`, with a moving line that shows `what` once half a second has passed.
pub fn with<T: Send>(what: &'static str, work: impl FnOnce() -> T + Send) -> T {
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
