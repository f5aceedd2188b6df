//! Checks the first two keys of every file: `schema` and `kind`.

use super::codes::Code;
use super::kind::{Key, Kind, need, need_as};
use super::node::{Node, Value};
use super::problem::Problem;
use super::reader::TableReader;
use super::reading::Reading;
use super::source::Span;
use super::values::{At, Readable as _};

/// The form of files this program reads.
pub const SCHEMA: i64 = 1;

const FORM: Kind = Kind::Number {
    min: SCHEMA,
    max: SCHEMA,
    unit: "",
};

/// Declares `schema`.
pub const SCHEMA_KEY: Key = need_as("schema", FORM, "The form this file is written in, 1.");
/// Declares `kind`.
pub const KIND_KEY: Key = need::<String>("kind", "What this file is.");

/// Checks both keys of a tree of which only a few other keys will be read.
pub fn check_node(tree: &Node, kind: &str, reading: &mut Reading) {
    let form = tree.get("schema").map(|entry| &entry.node);
    if let Some(problem) = schema(form, &tree.at) {
        reading.tell(problem);
    }
    "kind".clone_into(&mut reading.key);
    let found = tree
        .get("kind")
        .and_then(|entry| At::<String>::read(&entry.node, reading));
    if let Some(problem) = found.and_then(|found| other_kind(&found, kind)) {
        reading.tell(problem);
    }
}

/// Checks both keys.
pub fn check(table: &mut TableReader<'_>, kind: &str) {
    let form = table.may_any("schema");
    if let Some(problem) = schema(form.as_ref(), &table.at()) {
        table.tell(problem);
    }
    let found = table.need::<At<String>>("kind");
    if let Some(problem) = found.and_then(|found| other_kind(&found, kind)) {
        table.tell(problem);
    }
}

fn other_kind(found: &At<String>, kind: &str) -> Option<Problem> {
    (found.value != kind).then(|| {
        let message = format!("this is a file of kind \"{}\", not \"{kind}\"", found.value);
        Problem::new(Code::FileKind, found.at.clone(), message, "another kind")
            .help("check that this is the right file")
    })
}

fn schema(form: Option<&Node>, file: &Span) -> Option<Problem> {
    let Some(form) = form else {
        let problem = Problem::new(Code::Schema, file.clone(), "the file needs `schema`", "");
        return Some(problem.help(format!("begin it with: schema = {SCHEMA}")));
    };
    if form.value == Value::Number(SCHEMA) {
        return None;
    }
    let at = form.at.clone();
    let message = format!(
        "schema {} is not known to this version of banister",
        at.text()
    );
    let newer = matches!(form.value, Value::Number(n) if n > SCHEMA);
    let help = if newer {
        "the file needs a newer banister"
    } else {
        "the form is 1"
    };
    Some(Problem::new(Code::Schema, at, message, "not 1").help(help))
}
