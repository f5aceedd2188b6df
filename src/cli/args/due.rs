//! Flags of the list of who is due.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::Args;

use super::ExplainForm;

/// Who is due.
#[derive(Debug, Args)]
pub struct DueArgs {
    /// A folder of records; folders below it are read too.
    pub folder: PathBuf,
    /// The day to look at; today if not given, and said. Later visits and orders are left out.
    #[arg(long, value_name = "DATE")]
    pub date: Option<NaiveDate>,
    /// Form.
    #[arg(long = "as", value_enum, default_value = "text")]
    pub form: ExplainForm,
}
