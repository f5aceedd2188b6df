//! Digests over sets of files: which library a sheet was made with.

use std::fmt::Write as _;

use sha2::{Digest as _, Sha256};

/// One file of a digest: its path and the digest of its bytes.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Listed {
    path: String,
    bytes: String,
}

/// Lists one file.
pub fn listed(path: &str, bytes: &[u8]) -> Listed {
    Listed {
        path: path.to_owned(),
        bytes: hex(&Sha256::digest(bytes)),
    }
}

/// Returns `sha256:` and the digest over the sorted list `path NUL digest LF`.
pub fn over(files: &[Listed]) -> String {
    let mut sorted: Vec<&Listed> = files.iter().collect();
    sorted.sort();
    let mut sum = Sha256::new();
    for file in sorted {
        sum.update(format!("{}\0{}\n", file.path, file.bytes));
    }
    format!("sha256:{}", hex(&sum.finalize()))
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut text, byte| {
        let written = write!(text, "{byte:02x}");
        debug_assert!(written.is_ok(), "writing to a String cannot fail");
        text
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_order_of_files_does_not_matter_and_each_byte_does() {
        let (a, b) = (listed("a", b"1"), listed("b", b"2"));
        let both = over(&[a.clone(), b.clone()]);
        assert_eq!(both, over(&[b, a.clone()]));
        assert_ne!(both, over(&[a, listed("b", b"3")]));
        // SHA-256 of no bytes, from FIPS 180-4 test vectors.
        assert_eq!(
            over(&[]),
            "sha256:e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
        );
    }
}
