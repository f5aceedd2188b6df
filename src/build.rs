//! Builds again when a file of the embedded library changes.

fn main() {
    for folder in ["protocols", "templates"] {
        println!("cargo::rerun-if-changed={folder}");
    }
}
