//! One real example for each command, printed under its help; a test runs every one.

/// Under `handout --help`.
pub const HANDOUT: &str = "Example:
  banister handout r.toml -o sheet.pdf";

/// Under `explain --help`.
pub const EXPLAIN: &str = "Example:
  banister explain r.toml chair-bend";

/// Under `rules --help`.
pub const RULES: &str = "Example:
  banister rules D714";

/// Under `check --help`.
pub const CHECK: &str = "Example:
  banister check records/";

/// Under `completions --help`.
pub const COMPLETIONS: &str = "Example:
  banister completions bash > banister.bash";

/// Under `man --help`.
pub const MAN: &str = "Example:
  banister man -o man/";
