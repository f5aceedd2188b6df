//! One real example for each command, printed under its help; a test runs every one.

/// Under `intake --help`.
pub const INTAKE: &str = "On a terminal, what is missing is asked, one line at a time:
  banister intake records/

By flags alone:
  banister intake r.toml --token AR-0001-E1 --side left --operation 2026-03-02
    --surgeon SURG-A --conditions none --date 2026-03-04 --by PT-1 --screen none
    --block-gone yes --flexion 62 --next-visit 2026-03-16";

/// Under `visit --help`.
pub const VISIT: &str = "On a terminal, what is missing is asked, one line at a time:
  banister visit r.toml

By flags alone:
  banister visit r.toml --date 2026-03-16 --by PT-1 --screen none --did most
    --pain 4 --morning same --swelling less --flexion 84 --next-visit 2026-03-30";

/// Under `order --help`.
pub const ORDER: &str = r#"Example:
  banister order r.toml flexion-cap 90 --by SURG-B --document "clinic letter"
    --on 2026-03-04 --until 2026-03-29"#;

/// Under `clear --help`.
pub const CLEAR: &str = r#"Example:
  banister clear r.toml calf --by "ultrasound, vascular lab" --on 2026-03-18"#;

/// Under `override --help`.
pub const OVERRIDE: &str = r#"Example:
  banister override r.toml squat-depth --by PT-1 --on 2026-03-04
    --until 2026-03-20 --because "Squats deep without pain""#;

/// Under `adjust --help`.
pub const ADJUST: &str = r#"Example:
  banister adjust r.toml sit-to-stand --leave-out --because "No firm chair"
    --by PT-1"#;

/// Under `handout --help`.
pub const HANDOUT: &str = "Example:
  banister handout r.toml -o sheet.pdf";

/// Under `form --help`.
pub const FORM: &str = "Example:
  banister form visit --first -o blank.pdf";

/// Under `figures --help`.
pub const FIGURES: &str = "Example:
  banister figures -o pictures --side left";

/// Under `explain --help`.
pub const EXPLAIN: &str = "Example:
  banister explain r.toml chair-bend";

/// Under `rules --help`.
pub const RULES: &str = "Example:
  banister rules D714";

/// Under `due --help`.
pub const DUE: &str = "Example:
  banister due records/ --date 2026-03-18";

/// Under `check --help`.
pub const CHECK: &str = "Example:
  banister check records/";

/// Under `completions --help`.
pub const COMPLETIONS: &str = "Example:
  banister completions bash > banister.bash";

/// Under `man --help`.
pub const MAN: &str = "Example:
  banister man -o man/";

/// Under `correct --help`.
pub const CORRECT: &str = r#"Example:
  banister correct r.toml operation 2026-03-01 --because "Read again"
    --by PT-1"#;
