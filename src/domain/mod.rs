//! The words of the trade as types: what a record, a library and a verdict hold.
//!
//! No files, no sentences, no clock. Data flows on to `engine`.

pub mod asked;
pub mod assessed;
pub mod care;
pub mod clinic;
pub mod correction;
pub mod dose;
pub mod due;
pub mod exercise;
pub mod fact;
pub mod fitted;
pub mod found;
pub mod ids;
pub mod keep;
pub mod library;
pub mod limit;
pub mod line;
pub mod order_kind;
pub mod overtaken;
pub mod page;
pub mod phrase;
pub mod pose;
pub mod procedure;
pub mod quantity;
pub mod question;
pub mod record;
pub mod recorded;
pub mod reprint;
pub mod source;
pub mod stage;
pub mod stop;
pub mod time;
pub mod timeline;
pub mod verdict;
pub mod why;
pub mod word;
