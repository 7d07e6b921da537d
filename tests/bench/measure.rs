//! A program run once: how long it took, what it used of a processor and of memory.

#[cfg(unix)]
use nix::sys::resource::{UsageWho, getrusage};
use std::io;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// What one run took.
#[derive(Debug, Clone, Copy)]
pub struct Took {
    /// By the clock on the wall.
    pub wall: Duration,
    /// Time of processors, the system's part with it.
    pub processor: Duration,
    /// Most memory at once, in bytes; 0 where the system does not tell.
    pub memory: u64,
}

#[cfg(unix)]
fn children() -> Duration {
    let Ok(usage) = getrusage(UsageWho::RUSAGE_CHILDREN) else {
        return Duration::ZERO;
    };
    [usage.user_time(), usage.system_time()]
        .iter()
        .map(|time| {
            Duration::from_secs(u64::try_from(time.tv_sec()).unwrap_or(0))
                + Duration::from_micros(u64::try_from(time.tv_usec()).unwrap_or(0))
        })
        .sum()
}

/// Not known here: the figures of processor time are then 0.
#[cfg(not(unix))]
fn children() -> Duration {
    Duration::ZERO
}

/// The high-water mark of a running program, where the system keeps one to be read.
fn peak(process: u32) -> Option<u64> {
    let about = std::fs::read_to_string(format!("/proc/{process}/status")).ok()?;
    let line = about.lines().find(|line| line.starts_with("VmHWM:"))?;
    let kib: u64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kib * 1024)
}

/// Runs a program to its end, its output thrown away.
pub fn once(command: &mut Command) -> io::Result<Took> {
    command
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    let before = children();
    let start = Instant::now();
    let mut child = command.spawn()?;
    let status = child.wait()?;
    let wall = start.elapsed();
    if status.code().is_none_or(|code| code > 1) {
        return Err(io::Error::other(format!("{command:?} ended with {status}")));
    }
    Ok(Took {
        wall,
        processor: children().saturating_sub(before),
        memory: 0,
    })
}

/// Runs a program and looks at its memory while it runs, which disturbs its time a little.
pub fn memory(command: &mut Command) -> io::Result<Took> {
    command
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    let start = Instant::now();
    let mut child = command.spawn()?;
    let mut memory = 0;
    while child.try_wait()?.is_none() {
        memory = peak(child.id()).unwrap_or(0).max(memory);
        std::thread::sleep(Duration::from_micros(
            if start.elapsed().as_millis() < 100 {
                100
            } else {
                2000
            },
        ));
    }
    Ok(Took {
        wall: start.elapsed(),
        processor: Duration::ZERO,
        memory,
    })
}

/// The quickest of several runs: what others do on the machine only ever makes them longer.
pub fn quickest(times: usize, mut run: impl FnMut() -> io::Result<Took>) -> io::Result<Took> {
    let mut best = run()?;
    for _ in 1..times {
        let next = run()?;
        best.wall = best.wall.min(next.wall);
        best.processor = best.processor.min(next.processor);
        best.memory = best.memory.max(next.memory);
    }
    Ok(best)
}
