//! Reads only what says which library a record needs.
//!
//! Whatever else is wrong with the record is told by `read`, once the library is there.

use std::sync::Arc;

use crate::domain::ids::{ClinicId, ProcedureId};

use super::super::codes::Code;
use super::super::head::check_node;
use super::super::node::{self, Node};
use super::super::problem::{Problem, Problems};
use super::super::reading::{Reading, Vouching};
use super::super::source::SourceFile;
use super::super::values::Readable;

/// The clinic and the operation a record names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Head {
    /// The clinic.
    pub clinic: ClinicId,
    /// The operation.
    pub procedure: ProcedureId,
    /// The token as written, if there is one.
    pub token: Option<String>,
}

/// Reads the clinic and the operation of a record, and passes over the rest.
pub fn head(file: &Arc<SourceFile>) -> Result<Head, Problems> {
    let tree = node::parse(file)?;
    let mut reading = Reading::new(Vouching::NotAsked);
    check_node(&tree, "record", &mut reading);
    let clinic = of_episode(&tree, "clinic", &mut reading);
    let procedure = of_episode(&tree, "procedure", &mut reading);
    let both = clinic.zip(procedure);
    let token = tree
        .get("episode")
        .and_then(|entry| entry.node.get("token"));
    let token = token.map(|entry| entry.node.at.text().trim_matches('"').to_owned());
    let head = both.map(|(clinic, procedure)| Head {
        clinic,
        procedure,
        token,
    });
    reading.settle(file, head)
}

fn of_episode<T: Readable>(tree: &Node, name: &str, reading: &mut Reading) -> Option<T> {
    name.clone_into(&mut reading.key);
    let episode = tree.get("episode").map(|entry| &entry.node);
    if let Some(entry) = episode.and_then(|episode| episode.get(name)) {
        return T::read(&entry.node, reading);
    }
    let at = episode.map_or_else(|| tree.at.clone(), |episode| episode.at.clone());
    let message = format!("the episode needs `{name}`");
    reading.tell(Problem::new(Code::MissingKey, at, message, "missing"));
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::files::codes::Code;

    fn codes(text: &str) -> Vec<Code> {
        let problems = head(&SourceFile::new("r.toml", text)).unwrap_err();
        problems.iter().map(|problem| problem.code).collect()
    }

    #[test]
    fn the_rest_of_the_record_is_passed_over() {
        let text = "schema = 1\nkind = \"record\"\nnonsense = 1\n[episode]\n\
                    clinic = \"mill-lane\"\nprocedure = \"knee-total\"\nside = 7\n[[visit]]\n";
        let head = head(&SourceFile::new("r.toml", text)).unwrap();
        assert_eq!(head.clinic.to_string(), "mill-lane");
        assert_eq!(head.procedure.to_string(), "knee-total");
    }

    #[test]
    fn what_is_no_record_is_refused() {
        assert_eq!(
            codes("schema = 2\nkind = \"clinic\"\n[episode]\nclinic = \"A B\"\n"),
            [Code::Schema, Code::FileKind, Code::MissingKey, Code::BadId]
        );
        assert_eq!(
            codes("schema = 1\nkind = \"record\"\n"),
            [Code::MissingKey; 2]
        );
        assert_eq!(codes("schema = "), [Code::Syntax]);
    }
}
