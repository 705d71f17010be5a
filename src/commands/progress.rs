//! A word on how far a long run is: only on a terminal, only after the first second, and gone when it ends.
//!
//! The clock decides what is shown in passing and never what is written.

use super::console::Console;
use std::io::Write;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::Duration;

/// Quiet for this long.
const PATIENCE: Duration = Duration::from_secs(1);
/// Time between two words.
const PACE: Duration = Duration::from_millis(200);

/// Counts what is done of a number of things.
pub struct Counter {
    done: AtomicUsize,
}

impl Counter {
    pub fn step(&self) {
        self.done.fetch_add(1, Ordering::Relaxed);
    }
}

/// Does `work` and says meanwhile, when it takes long, `doing` and how many of `total` are done.
pub fn during<T: Send>(
    console: &Console,
    doing: &str,
    total: usize,
    work: impl FnOnce(&Counter) -> T + Send,
) -> T {
    let counter = Counter { done: AtomicUsize::new(0) };
    if !console.watched {
        return work(&counter);
    }
    let doing = console.err.text(doing);
    std::thread::scope(|scope| {
        let (finished, ended) = channel::<()>();
        let counter = &counter;
        scope.spawn(move || {
            let mut wait = PATIENCE;
            let mut shown = false;
            while let Err(RecvTimeoutError::Timeout) = ended.recv_timeout(wait) {
                wait = PACE;
                shown = true;
                let count = match total {
                    1 => String::new(),
                    _ => format!(" ({} of {total})", counter.done.load(Ordering::Relaxed)),
                };
                write_over(&format!("{doing}{count}"));
            }
            if shown {
                write_over("");
            }
        });
        let result = work(counter);
        drop(finished);
        result
    })
}

/// Replaces the line the cursor stands on.
fn write_over(text: &str) {
    let mut err = std::io::stderr().lock();
    let _ = write!(err, "\r\u{1b}[2K{text}").and_then(|()| err.flush());
}
