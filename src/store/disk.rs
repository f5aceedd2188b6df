//! The steps at which a disk may refuse, each by its name.
//!
//! In the program a step does nothing. Tests make each of them fail, one after the other.

#[cfg(not(test))]
#[expect(clippy::unnecessary_wraps, reason = "tests make it fail")]
pub(super) fn step(_doing: &'static str) -> std::io::Result<()> {
    Ok(())
}

#[cfg(test)]
pub(crate) use faults::{Fault, steps_under};

#[cfg(test)]
pub(super) use faults::step;

#[cfg(test)]
mod faults {
    use std::cell::Cell;
    use std::io;

    /// What goes wrong.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub(crate) enum Fault {
        /// This step fails; the disk is well again after it.
        Once(usize),
        /// This step and all after it fail, as when the power goes.
        From(usize),
    }

    thread_local! {
        static PLAN: Cell<Option<Fault>> = const { Cell::new(None) };
        static DONE: Cell<usize> = const { Cell::new(0) };
    }

    pub(in super::super) fn step(doing: &'static str) -> io::Result<()> {
        let now = DONE.get();
        DONE.set(now.saturating_add(1));
        let fails = match PLAN.get() {
            Some(Fault::Once(at)) => now == at,
            Some(Fault::From(at)) => now >= at,
            None => false,
        };
        if fails {
            return Err(io::Error::new(io::ErrorKind::StorageFull, doing));
        }
        Ok(())
    }

    /// Does something while the disk fails as planned; returns how many steps were taken too.
    pub(crate) fn steps_under<T>(plan: Option<Fault>, act: impl FnOnce() -> T) -> (T, usize) {
        PLAN.set(plan);
        DONE.set(0);
        let done = act();
        PLAN.set(None);
        (done, DONE.get())
    }
}
