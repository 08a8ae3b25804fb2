//! Every block of the README is run, in one folder and in the order of the page.

use std::path::PathBuf;
use std::process::{Command, Stdio};

use super::support::checkout;

/// The `sh` blocks of a page, in order.
fn blocks(page: &str) -> Vec<String> {
    let mut out = Vec::new();
    let mut open: Option<String> = None;
    for line in page.lines() {
        match (&mut open, line) {
            (None, "```sh") => open = Some(String::new()),
            (Some(_), "```") => out.extend(open.take()),
            (Some(block), line) => {
                block.push_str(line);
                block.push('\n');
            }
            _ => {}
        }
    }
    out
}

#[test]
fn every_block_of_the_readme_runs() {
    let page = std::fs::read_to_string(checkout("README.md")).expect("README.md");
    let blocks = blocks(&page);
    assert!(blocks.len() >= 6, "the tour has its blocks");
    let program = PathBuf::from(env!("CARGO_BIN_EXE_hilum"));
    let folder = tempfile::tempdir().expect("a folder");
    let path = format!(
        "{}:{}",
        program.parent().expect("a folder").display(),
        std::env::var("PATH").unwrap_or_default()
    );
    for block in blocks {
        // Building, installing and testing are what runs this test.
        let block = block.replace("cargo run --release -- ", "hilum ");
        if block.starts_with("cargo test") || block.starts_with("cargo install") {
            continue;
        }
        let done = Command::new("bash")
            .args(["-euo", "pipefail", "-c", &block])
            .current_dir(folder.path())
            .env("PATH", &path)
            .env("HILUM_STATE", folder.path().join("state"))
            .stdin(Stdio::null())
            .output()
            .expect("bash runs");
        // A session whose input ends at once was left open: that is status 1.
        let left = block.starts_with("hilum determine ") && done.status.code() == Some(1);
        assert!(
            done.status.success() || left,
            "{block}\n{}\n{}",
            String::from_utf8_lossy(&done.stdout),
            String::from_utf8_lossy(&done.stderr)
        );
        assert!(!done.stdout.is_empty() || block.starts_with("cat >"), "{block} prints nothing");
    }
}

#[test]
fn every_command_is_in_the_reference() {
    let page = std::fs::read_to_string(checkout("README.md")).expect("README.md");
    let help = super::support::hilum(&checkout(""), &["--help"], "").out;
    let listed = help.split("Commands:").nth(1).expect("a list").split("Options:").next();
    let names: Vec<&str> = listed
        .expect("a list")
        .lines()
        .filter(|l| l.starts_with("  ") && !l.starts_with("   "))
        .filter_map(|l| l.split_whitespace().next())
        .filter(|name| *name != "help")
        .collect();
    assert!(names.len() >= 10, "{names:?}");
    let rows: Vec<&str> = page.lines().filter(|l| l.starts_with("| `hilum ")).collect();
    for name in names {
        assert!(rows.iter().any(|r| r.contains(&format!("`hilum {name}"))), "{name} has no row");
    }
}
