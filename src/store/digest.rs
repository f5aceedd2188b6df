//! SHA-256 as 64 lower-case hex digits.

use std::fmt::Write;

use sha2::{Digest, Sha256};

/// Returns the SHA-256 of some bytes as 64 lower-case hex digits.
pub fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .fold(String::with_capacity(64), |mut hex, byte| {
            // Writing to a string cannot fail.
            let _ = write!(hex, "{byte:02x}");
            hex
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The test value "abc" of FIPS 180-2, appendix B.1.
    #[test]
    fn the_standard_s_own_value() {
        assert_eq!(
            sha256(b"abc"),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }
}
