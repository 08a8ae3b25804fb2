//! The questions of `hilum adopt` on a real terminal: asked, answered, and seen on the screen.

use std::io::{Read, Write};
use std::num::NonZeroU16;
use std::path::Path;
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use crate::support::{TREES, hilum};
use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};

/// A terminal of 30 rows and 100 columns in which the program runs.
struct Screen {
    shown: Arc<Mutex<vt100::Parser>>,
    keys: Box<dyn Write + Send>,
    child: Box<dyn Child + Send + Sync>,
    _master: Box<dyn MasterPty + Send>,
}

impl Screen {
    fn start(folder: &Path, arguments: &[&str]) -> Screen {
        let (rows, cols) = (30, 100);
        let pair = native_pty_system()
            .openpty(PtySize { rows, cols, pixel_width: 0, pixel_height: 0 })
            .unwrap();
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_hilum"));
        command.args(arguments);
        command.cwd(folder);
        command.env_clear();
        command.env("TERM", "xterm-256color");
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let size = |n| NonZeroU16::new(n).unwrap();
        let shown = Arc::new(Mutex::new(vt100::Parser::new(size(rows), size(cols), 0)));
        let mut reader = pair.master.try_clone_reader().unwrap();
        let keys = pair.master.take_writer().unwrap();
        let screen = Arc::clone(&shown);
        std::thread::spawn(move || {
            let mut bytes = [0; 4096];
            while let Ok(n @ 1..) = reader.read(&mut bytes) {
                screen.lock().unwrap().process(&bytes[..n]);
            }
        });
        Screen { shown, keys, child, _master: pair.master }
    }

    fn text(&self) -> String {
        self.shown.lock().unwrap().screen().contents()
    }

    /// Waits until a text stands on the screen, and returns the whole screen.
    fn wait(&mut self, text: &str) -> String {
        let began = Instant::now();
        loop {
            let now = self.text();
            if now.contains(text) {
                return now;
            }
            assert!(began.elapsed() < Duration::from_secs(30), "no `{text}` on the screen:\n{now}");
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    fn type_in(&mut self, text: &str) {
        self.keys.write_all(text.as_bytes()).unwrap();
        self.keys.flush().unwrap();
    }

    fn status(&mut self) -> u32 {
        self.child.wait().unwrap().exit_code()
    }
}

#[test]
fn characters_are_taken_and_declined_one_by_one() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("trees.txt"), TREES).unwrap();
    let mut screen = Screen::start(folder.path(), &["adopt", "--characters", "trees.txt"]);
    let first = screen.wait("Declare it?");
    assert!(first.contains("1 of 3: "), "{first}");
    assert!(first.contains("from couplet 1"), "{first}");
    screen.type_in("maybe\r");
    let again = screen.wait("Say y, n, a or q");
    assert!(!again.contains("2 of 3"), "an answer that is none is asked again:\n{again}");
    screen.type_in("n\r");
    screen.wait("2 of 3: ");
    screen.type_in("y\r");
    screen.wait("3 of 3: ");
    screen.type_in("q\r");
    let last = screen.wait("trees.txt became trees.key");
    assert!(last.contains("1 of 3 proposed characters"), "{last}");
    assert_eq!(screen.status(), 0);
    let key = std::fs::read_to_string(folder.path().join("trees.key")).unwrap();
    assert_eq!(key.matches(" _").count(), 1, "one character is declared:\n{key}");
}

/// Labels that say one thing and an indentation that says another.
const UNSURE: &str = "\
Key to the trees
of the Oren valley.

1. Leaves opposite, on long stalks
   Leaves pinnate ..... Fraxinus excelsior
   Leaves lobed ..... Acer campestre
2. Leaves alternate, on short stalks
   Base oblique ..... Ulmus glabra
   Base equal ..... Quercus robur
";

#[test]
fn the_layout_is_asked_for_where_two_fit() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("trees.txt"), UNSURE).unwrap();
    let mut screen = Screen::start(folder.path(), &["adopt", "trees.txt"]);
    let asked = screen.wait("Which is it?");
    assert!(asked.contains("belong together\n"), "no word is cut in two:\n{asked}");
    assert!(asked.contains("1  indented") && asked.contains("2  number-first"), "{asked}");
    screen.type_in("7\r");
    screen.wait("A number from 1 to 2, please");
    screen.type_in("2\r");
    let last = screen.wait("trees.txt became trees.key");
    assert!(last.contains("layout   number-first") && last.contains("you said"), "{last}");
    screen.status();
    // In a script the question stands in the report, and one reading is written.
    let ran = hilum(folder.path(), &["--json", "adopt", "-o", "-", "trees.txt"], "");
    let json: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    assert_eq!(json["report"]["questions"][0]["about"], "layout");
    let ran = hilum(folder.path(), &["adopt", "-o", "-", "-"], UNSURE);
    assert!(ran.err.contains("Say it with --layout"), "{}", ran.err);
    assert!(ran.out.contains("\nkey\n\n1a  "), "{}", ran.out);
}

#[test]
fn an_open_genus_is_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    let text = "Key\n\n1a. Leaves lobed ..... Q. robur\n1b. Leaves toothed ..... Q. cerris\n";
    std::fs::write(folder.path().join("oaks.txt"), text).unwrap();
    let mut screen = Screen::start(folder.path(), &["adopt", "oaks.txt"]);
    let asked = screen.wait("Which genus is it?");
    assert!(asked.contains("`Q.` stands for no genus"), "{asked}");
    screen.type_in("Quercus\r");
    let last = screen.wait("oaks.txt became oaks.key");
    assert!(!last.contains("open"), "{last}");
    assert_eq!(screen.status(), 0);
    let key = std::fs::read_to_string(folder.path().join("oaks.key")).unwrap();
    assert!(key.contains("Quercus robur") && key.contains("Quercus cerris"), "{key}");
}

#[test]
fn the_end_of_input_writes_what_was_found() {
    let folder = tempfile::tempdir().unwrap();
    let text = "Key\n\n1a. Leaves lobed ..... Q. robur\n1b. Leaves toothed ..... Q. cerris\n";
    std::fs::write(folder.path().join("oaks.txt"), text).unwrap();
    let mut screen = Screen::start(folder.path(), &["adopt", "oaks.txt"]);
    screen.wait("Which genus is it?");
    screen.type_in("\u{4}");
    screen.wait("oaks.txt became oaks.key");
    // An abbreviated genus that nothing tells is an error of the manuscript.
    assert_eq!(screen.status(), 1);
}
