//! A page of HTML as PDF, through a browser of the Chromium kind where one is at hand.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// Names under which such a browser is installed.
const BROWSERS: &[&str] =
    &["chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "msedge"];

/// How long a browser may take.
const PATIENCE: Duration = Duration::from_secs(120);

/// Why there is no PDF.
#[derive(Debug, thiserror::Error)]
pub enum NoPdf {
    #[error(
        "no browser that writes PDF is on the path (looked for {}); install Chromium, or open the \
         page in any browser and print it to PDF",
        BROWSERS.join(", ")
    )]
    NoBrowser,
    #[error("{} could not be run", .browser.display())]
    NotRun { browser: PathBuf, source: std::io::Error },
    #[error("{} wrote no PDF: {said}", .browser.display())]
    NotWritten { browser: PathBuf, said: String },
    #[error("there is no folder {} for the PDF; make it, or name another", .0.display())]
    NoPlace(PathBuf),
    #[error("{} cannot be written", .path.display())]
    NoFile { path: PathBuf, source: std::io::Error },
    #[error("no folder for the browser's own files")]
    NoFolder(#[source] std::io::Error),
}

/// The first browser on the path.
pub fn browser() -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    let folders: Vec<PathBuf> = std::env::split_paths(&path).collect();
    let file = |name: &str| {
        let name = format!("{name}{}", std::env::consts::EXE_SUFFIX);
        folders.iter().map(|f| f.join(&name)).find(|p| p.is_file())
    };
    BROWSERS.iter().find_map(|name| file(name))
}

/// Prints the HTML file `page` to the file `pdf`. The page must not refer to anything outside it;
/// the browser is told to keep off the network all the same.
///
/// # Errors
/// Where there is no browser, or it writes nothing.
pub fn print(page: &Path, pdf: &Path) -> Result<(), NoPdf> {
    // Before a browser is started for nothing.
    if let Some(folder) = pdf.parent().filter(|f| !f.as_os_str().is_empty() && !f.is_dir()) {
        return Err(NoPdf::NoPlace(folder.to_path_buf()));
    }
    let browser = browser().ok_or(NoPdf::NoBrowser)?;
    // The browser's sandbox cannot be had everywhere (not by the superuser, not in a container);
    // the page is this program's own, so it is tried without when it fails with.
    match run(&browser, page, pdf, &[]) {
        Err(NoPdf::NotWritten { .. }) => run(&browser, page, pdf, &["--no-sandbox"]),
        result => result,
    }
}

fn run(browser: &Path, page: &Path, pdf: &Path, more: &[&str]) -> Result<(), NoPdf> {
    let own = tempfile::tempdir().map_err(NoPdf::NoFolder)?;
    let written = own.path().join("page.pdf");
    let not_run = |source| NoPdf::NotRun { browser: browser.to_path_buf(), source };
    let not_written = |said: String| NoPdf::NotWritten { browser: browser.to_path_buf(), said };
    let page = std::path::absolute(page).map_err(not_run)?;
    let errors = std::fs::File::create(own.path().join("said")).map_err(NoPdf::NoFolder)?;
    let mut child = Command::new(browser)
        .args(["--headless", "--disable-gpu", "--no-first-run", "--disable-extensions"])
        .args(["--disable-background-networking", "--disable-component-update", "--disable-sync"])
        .args(["--disable-quic", "--no-pdf-header-footer"])
        .args(more)
        .arg(format!("--user-data-dir={}", own.path().join("profile").display()))
        .arg(format!("--print-to-pdf={}", written.display()))
        .arg(file_url(&page))
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(errors)
        .spawn()
        .map_err(not_run)?;
    let start = Instant::now();
    loop {
        match child.try_wait().map_err(not_run)? {
            Some(_) => break,
            None if start.elapsed() > PATIENCE => {
                let _ = child.kill();
                let _ = child.wait();
                return Err(not_written(format!("it took over {} s", PATIENCE.as_secs())));
            }
            None => std::thread::sleep(Duration::from_millis(20)),
        }
    }
    let bytes = std::fs::read(&written).unwrap_or_default();
    if !bytes.starts_with(b"%PDF") {
        let said = std::fs::read(own.path().join("said")).unwrap_or_default();
        let said = String::from_utf8_lossy(&said);
        let last = said.lines().rev().find(|l| !l.trim().is_empty()).unwrap_or("it said nothing");
        return Err(not_written(last.to_string()));
    }
    std::fs::write(pdf, bytes).map_err(|source| NoPdf::NoFile { path: pdf.to_path_buf(), source })
}

/// `file://` and the path, with what a URL does not hold escaped.
fn file_url(path: &Path) -> String {
    let mut out = String::from("file://");
    for b in path.to_string_lossy().replace('\\', "/").bytes() {
        match b {
            b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'/' | b'-' | b'_' | b'.' | b'~' | b':' => {
                out.push(b as char);
            }
            b => out.push_str(&format!("%{b:02X}")),
        }
    }
    out
}
