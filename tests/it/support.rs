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
