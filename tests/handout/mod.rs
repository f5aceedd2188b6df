//! What a sheet says: whole pages as text, and the promises each page keeps.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test may stop at the first surprise"
)]

mod cases;
mod explain;
mod pages;
mod patient;
mod procedure;
pub(crate) mod readback;
mod sample;
mod words;
