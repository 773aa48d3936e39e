//! Work on many things at once, by as many threads as there are processors.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::Duration;

/// The most threads.
const MOST: usize = 8;

/// How long the calling thread waits for the others before it asks again whether to go on.
const PAUSE: Duration = Duration::from_micros(200);

/// Asked now and then whether to go on.
pub(crate) type GoOn<'a> = &'a mut dyn FnMut() -> bool;

/// Does `work` for each item, which is given its place and what to ask whether to go on; the results in the order
/// of the items, nothing for those not come to. `keep_going` is asked by the calling thread alone.
pub(crate) fn spread<R: Send>(
    items: usize,
    keep_going: GoOn<'_>,
    work: &(dyn Fn(usize, GoOn<'_>) -> R + Sync),
) -> Vec<Option<R>> {
    let threads = std::thread::available_parallelism().map_or(1, usize::from).min(MOST).min(items);
    let (next, stop) = (AtomicUsize::new(0), AtomicBool::new(false));
    let take = |go_on: GoOn<'_>| -> Vec<(usize, R)> {
        let mut done = Vec::new();
        while go_on() {
            let at = next.fetch_add(1, Ordering::Relaxed);
            if at >= items {
                break;
            }
            done.push((at, work(at, go_on)));
        }
        done
    };
    let mut results: Vec<Option<R>> = (0..items).map(|_| None).collect();
    let (caller, busy) = (std::thread::current(), AtomicUsize::new(threads.saturating_sub(1)));
    let done: Vec<Vec<(usize, R)>> = std::thread::scope(|scope| {
        let other = || {
            let done = take(&mut || !stop.load(Ordering::Relaxed));
            busy.fetch_sub(1, Ordering::Release);
            caller.unpark();
            done
        };
        let others: Vec<_> = (1..threads).map(|_| scope.spawn(other)).collect();
        let mut asked = || {
            let go_on = !stop.load(Ordering::Relaxed) && keep_going();
            stop.fetch_or(!go_on, Ordering::Relaxed);
            go_on
        };
        let mut done = vec![take(&mut asked)];
        let busy = || busy.load(Ordering::Acquire) > 0 && others.iter().any(|other| !other.is_finished());
        while busy() && asked() {
            std::thread::park_timeout(PAUSE);
        }
        // What a thread had, is lost with it where it panicked; then the panic goes on here.
        for other in others {
            match other.join() {
                Ok(more) => done.push(more),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        done
    });
    for (at, result) in done.into_iter().flatten() {
        results[at] = Some(result);
    }
    results
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn results_are_in_the_order_of_the_items() {
        let squares = spread(100, &mut || true, &|at, _| at * at);
        assert_eq!(squares, (0..100).map(|at| Some(at * at)).collect::<Vec<_>>());
    }

    /// What is not come to any more is missing, and nothing else is wrong.
    #[test]
    fn what_is_stopped_is_missing() {
        let mut asked = 0;
        let some = spread(
            1000,
            &mut || {
                asked += 1;
                asked <= 3
            },
            &|at, go_on| {
                while at >= 500 && go_on() {
                    std::thread::sleep(PAUSE);
                }
                at
            },
        );
        assert!(some.iter().enumerate().all(|(at, result)| result.is_none_or(|result| result == at)));
        assert!(some.iter().filter(|result| result.is_none()).count() > 400);
        assert!(spread(5, &mut || false, &|at, _| at).iter().filter(|result| result.is_some()).count() <= 5);
    }
}
