//! What several subjects need: the shared outside data and a scratch folder.
#![allow(dead_code)]

use std::path::PathBuf;

/// The folder of outside data (manuscripts, datasets): `HILUM_SHARED`, else beside the checkout.
/// Where it is missing, says by name what is not tested and returns `None`.
pub fn shared(path: &str) -> Option<PathBuf> {
    let base = std::env::var_os("HILUM_SHARED")
        .map(PathBuf::from)
        .unwrap_or_else(|| PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../shared"));
    let full = base.join(path);
    if full.exists() {
        return Some(full);
    }
    eprintln!("NOT TESTED: {path} is not at hand (set HILUM_SHARED to the folder that holds it)");
    None
}

/// A path inside the checkout.
pub fn checkout(path: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// What the program printed and how it ended.
pub struct Ran {
    pub out: String,
    pub err: String,
    pub status: i32,
}

/// Runs the program in `folder` with nothing of the caller's surroundings, and `input` on its
/// standard input.
pub fn hilum(folder: &std::path::Path, arguments: &[&str], input: &str) -> Ran {
    use std::io::Write;
    use std::process::{Command, Stdio};
    let mut child = Command::new(env!("CARGO_BIN_EXE_hilum"))
        .args(arguments)
        .current_dir(folder)
        .env_clear()
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    // Whether the program reads all of it is its own business.
    let _ = child.stdin.take().expect("a pipe").write_all(input.as_bytes());
    let done = child.wait_with_output().expect("the program ends");
    Ran {
        out: String::from_utf8(done.stdout).expect("UTF-8"),
        err: String::from_utf8(done.stderr).expect("UTF-8"),
        status: done.status.code().expect("no signal"),
    }
}

/// A small manuscript with characters in it.
pub const TREES: &str = "\
Key to three trees

1a. Leaves opposite; leaf stalk 2-5 cm long ..... Acer campestre
1b. Leaves alternate; leaf stalk 1-2 cm long ..... 2
2a. Leaves lobed ..... Quercus robur
2b. Leaves toothed ..... Ulmus glabra
";
