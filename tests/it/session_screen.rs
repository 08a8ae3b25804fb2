//! The session on a real screen: a pseudo-terminal of 80 × 24 and what stands on it.
//!
//! Every wait is for what is on the screen, with a deadline that is generous; the time that passes
//! proves nothing.

use std::io::{Read, Write};
use std::num::NonZero;
use std::path::Path;
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};

const DEADLINE: Duration = Duration::from_secs(60);

/// Everything the program has written: the screen it makes, and the bytes.
struct Written {
    screen: vt100::Parser,
    bytes: Vec<u8>,
    ended: bool,
}

struct Session {
    master: Box<dyn MasterPty + Send>,
    keyboard: Box<dyn Write + Send>,
    child: Box<dyn Child + Send + Sync>,
    written: Arc<Mutex<Written>>,
}

fn cells(n: u16) -> NonZero<u16> {
    NonZero::new(n).expect("a screen has cells")
}

impl Drop for Session {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Session {
    fn begin(state: &Path, arguments: &[&str], surroundings: &[(&str, &str)]) -> Session {
        let size = PtySize { rows: 24, cols: 80, pixel_width: 0, pixel_height: 0 };
        let pair = native_pty_system().openpty(size).expect("a pseudo-terminal");
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_hilum"));
        command.args(arguments);
        command.env_clear();
        command.env("TERM", "xterm-256color");
        command.env("HILUM_STATE", state);
        command.cwd(state);
        for (name, value) in surroundings {
            command.env(name, value);
        }
        let child = pair.slave.spawn_command(command).expect("the program starts");
        // Only the program holds the other end, so that it is closed when the program ends.
        drop(pair.slave);
        let mut reader = pair.master.try_clone_reader().expect("a reader");
        let keyboard = pair.master.take_writer().expect("a writer");
        let written = Arc::new(Mutex::new(Written {
            screen: vt100::Parser::new(cells(24), cells(80), 1000),
            bytes: Vec::new(),
            ended: false,
        }));
        let shared = Arc::clone(&written);
        std::thread::spawn(move || {
            let mut buffer = [0; 4096];
            loop {
                let n = reader.read(&mut buffer).unwrap_or(0);
                let mut written = shared.lock().expect("no panic while it is held");
                if n == 0 {
                    written.ended = true;
                    return;
                }
                written.screen.process(&buffer[..n]);
                written.bytes.extend(&buffer[..n]);
            }
        });
        Session { master: pair.master, keyboard, child, written }
    }

    fn press(&mut self, keys: &str) {
        self.keyboard.write_all(keys.as_bytes()).expect("the keys are taken");
        self.keyboard.flush().expect("the keys are taken");
    }

    /// What stands on the screen.
    fn screen(&self) -> String {
        self.written.lock().expect("no panic").screen.screen().contents()
    }

    /// Everything written so far, terminal codes included.
    fn raw(&self) -> String {
        String::from_utf8_lossy(&self.written.lock().expect("no panic").bytes).into_owned()
    }

    /// Waits until the screen satisfies `wanted`.
    fn wait(&self, what: &str, wanted: impl Fn(&str) -> bool) -> String {
        let begun = Instant::now();
        loop {
            let screen = self.screen();
            if wanted(&screen) {
                return screen;
            }
            assert!(begun.elapsed() < DEADLINE, "waited for {what}; the screen is\n{screen}");
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    /// Waits for words on the screen, with the prompt under them waiting for a key.
    fn see(&self, words: &str) -> String {
        self.wait(words, |s| {
            s.rfind(words).is_some_and(|at| s[at..].lines().last().is_some_and(|l| l.trim() == ">"))
        })
    }

    /// Waits until the couplet asked last is that one, and a key is waited for.
    fn asked(&self, head: &str) -> String {
        self.wait(head, |s| {
            let last = s.lines().rfind(|l| l.contains("Step "));
            last.is_some_and(|l| l.contains(head))
                && s.lines().last().is_some_and(|l| l.trim() == ">")
        })
    }

    /// Waits for words among all that was written, wherever they have scrolled to.
    fn see_written(&self, words: &str) -> String {
        let begun = Instant::now();
        loop {
            let raw = self.raw();
            if raw.contains(words) {
                return raw;
            }
            assert!(begun.elapsed() < DEADLINE, "waited for {words}; written was\n{raw}");
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    fn resize(&self, rows: u16, cols: u16) {
        self.written
            .lock()
            .expect("no panic")
            .screen
            .screen_mut()
            .set_size(cells(rows), cells(cols));
        let size = PtySize { rows, cols, pixel_width: 0, pixel_height: 0 };
        self.master.resize(size).expect("another size");
    }

    /// Waits for the end; the status.
    fn end(mut self) -> (u32, String) {
        let begun = Instant::now();
        loop {
            if let Some(status) = self.child.try_wait().expect("a status")
                && self.written.lock().expect("no panic").ended
            {
                return (status.exit_code(), self.raw());
            }
            assert!(
                begun.elapsed() < DEADLINE,
                "the program did not end; the screen is\n{}",
                self.screen()
            );
            std::thread::sleep(Duration::from_millis(10));
        }
    }
}

fn folder() -> tempfile::TempDir {
    tempfile::tempdir().expect("a folder")
}

#[test]
fn a_couplet_is_shown_and_one_key_answers_it() {
    let state = folder();
    let mut s = Session::begin(state.path(), &["determine", "field-weeds"], &[]);
    let first = s.see("a or b fits");
    assert!(first.contains("Step 1 · couplet 1 · 79 taxa possible"), "{first}");
    let lead = |letter: char| {
        let begin = format!("  {letter}  ");
        first.lines().find(|l| l.starts_with(&begin)).expect("the lead is shown").to_string()
    };
    assert!(lead('a').contains("Green leaves none") && lead('a').ends_with("1 taxon"), "{first}");
    assert!(lead('b').ends_with("78 taxa"), "{first}");

    // One key, no Enter.
    s.press("b");
    let second = s.asked("Step 2 · couplet 2 · 78 taxa possible");
    assert!(second.contains("fits · * either"), "{second}");
    // Back with one key, and forward again.
    s.press("-");
    s.asked("Step 1 · couplet 1 · 79 taxa possible");
    s.press("+");
    s.asked("Step 2 · couplet 2 · 78 taxa possible");
    // Backspace on an empty line is back as well.
    s.press("\x7f");
    s.asked("Step 1 · couplet 1 · 79 taxa possible");
    // A word that begins with a lead's letter begins with a capital, or a blank.
    s.press("Account papaver rhoeas\r");
    s.see("Papaver rhoeas");
    s.press(" again\r");
    s.asked("Step 1 · couplet 1 · 79 taxa possible");
    s.press("b");
    s.asked("Step 2 · couplet 2 · 78 taxa possible");
    s.press("quit\r");
    let (status, raw) = s.end();
    assert_eq!(status, 1, "left open");
    assert!(raw.contains("hilum determine --resume"), "{raw}");
}

#[test]
fn either_follows_both_and_says_how_many_wait() {
    let state = folder();
    let mut s = Session::begin(state.path(), &["determine", "field-weeds"], &[]);
    s.see("a or b fits");
    s.press("*");
    // Lead a ends at once with a name; the other branch is asked.
    let both = s.asked("Step 2 · couplet 2 · 79 taxa possible");
    assert!(both.contains("a or b"), "{both}");
    s.press("*");
    let both = s.asked("Step 3 · couplet 1 · key to the grasses · 79 taxa possible");
    assert!(both.contains("1 more branch"), "{both}");
    s.press("trail\r");
    s.see("1. 1b [either]");
}

#[test]
fn what_is_typed_at_a_couplet_is_taken_or_kindly_refused() {
    let state = folder();
    let mut s = Session::begin(state.path(), &["determine", "field-weeds"], &[]);
    s.see("a or b fits");
    s.press("petals red\r");
    s.see("these agree with what you saw:");
    s.press("seen\r");
    s.see("1. petals red (fresh)");
    s.press("petals rde\r");
    let refused = s.see("Not taken:");
    assert!(refused.contains("red"), "the word that was meant is named\n{refused}");
    s.press("zzz\r");
    s.wait("a second refusal", |t| t.matches("Not taken:").count() == 2);
    // The couplet is still there to be answered.
    s.press("b");
    s.asked("Step 2 · couplet 2");
    s.press("help\r");
    s.see("quit          leave; `hilum determine --resume` takes it up again");
}

#[test]
fn a_narrower_window_is_filled_and_not_overrun() {
    let state = folder();
    let mut s = Session::begin(state.path(), &["determine", "field-weeds"], &[("NO_COLOR", "1")]);
    s.see("a or b fits");
    let before = s.raw().len();
    s.resize(20, 50);
    s.press("\r");
    s.see("- back ·\nhelp · quit");
    s.press("petals red\r");
    s.see("Of the taxa behind each lead");
    s.press("help\r");
    s.see("quit          leave;");
    s.press("ranking\r");
    s.wait("the ranking", |t| t.trim_end().ends_with('>') && !t.contains("quit          leave;"));
    let raw = s.raw();
    for line in plain(&raw[before..]).lines() {
        let wide = unicode_width::UnicodeWidthStr::width(line);
        assert!(wide <= 50, "{wide} columns: {line:?}");
    }
}

/// Text without terminal codes; what rewrites a line begins a new one.
fn plain(raw: &str) -> String {
    let mut out = String::new();
    let mut rest = raw;
    while let Some(c) = rest.chars().next() {
        match c {
            '\x1b' => {
                let end =
                    rest[1..].find(|c: char| c.is_ascii_alphabetic()).map_or(rest.len(), |i| i + 2);
                rest = &rest[end..];
                continue;
            }
            '\r' => out.push('\n'),
            c => out.push(c),
        }
        rest = &rest[c.len_utf8()..];
    }
    out
}

#[test]
fn a_session_that_was_killed_is_taken_up_at_the_same_couplet() {
    let state = folder();
    let mut s = Session::begin(state.path(), &["determine", "field-weeds"], &[]);
    s.see("a or b fits");
    s.press("b");
    s.asked("Step 2 · couplet 2 · 78 taxa possible");
    s.press("b");
    let stood = s.asked("Step 3");
    let head = |screen: &str| {
        let line = screen.lines().rfind(|l| l.contains("Step 3")).expect("a couplet");
        line.trim_matches(['─', ' ']).to_string()
    };
    // SIGKILL: the program has no chance to save anything.
    s.child.kill().expect("it is running");
    s.end();
    let mut s = Session::begin(state.path(), &["determine", "--resume"], &[]);
    let again = s.asked("Step 3");
    assert_eq!(head(&again), head(&stood));
    s.press("trail\r");
    s.see("1. 1b");
}

#[test]
fn without_colour_no_code_sets_any() {
    let state = folder();
    let run = |surroundings: &[(&str, &str)]| {
        let mut s = Session::begin(state.path(), &["determine", "tree-leaves"], surroundings);
        s.see("fits · * either");
        s.press("pos");
        s.wait("what was typed", |t| t.contains("> pos"));
        s.press("\x15");
        s.press("quit\r");
        s.end().1
    };
    // Setting a colour or a weight ends in m; moving the cursor does not.
    let sets = |raw: &str| {
        raw.split("\x1b[").skip(1).any(|code| {
            code.find(|c: char| c.is_ascii_alphabetic()).is_some_and(|i| code[i..].starts_with('m'))
        })
    };
    assert!(!sets(&run(&[("NO_COLOR", "1")])), "NO_COLOR is honoured");
    assert!(sets(&run(&[])), "and without it the screen has strong words");
}

#[test]
fn breaking_off_leaves_cleanly() {
    for (key, name) in [("\x03", "Ctrl-C"), ("\x04", "Ctrl-D")] {
        let state = folder();
        let mut s = Session::begin(state.path(), &["determine", "field-weeds"], &[]);
        s.see("a or b fits");
        s.press("b");
        s.asked("Step 2 · couplet 2");
        s.press(key);
        let (status, raw) = s.end();
        assert_eq!(status, 1, "{name} leaves a session open");
        assert!(raw.contains("Left with 78 taxa possible."), "{name}\n{raw}");
        assert!(!raw.contains("panicked"), "{name}\n{raw}");
    }
}

#[test]
fn a_name_comes_with_its_cautions_and_the_warning() {
    let state = folder();
    let mut s = Session::begin(state.path(), &["determine", "field-weeds"], &[]);
    s.see("a or b fits");
    // Lead after lead, the second where there are but two: whatever the key, it ends.
    for step in 2.. {
        s.press("b");
        let screen = s.wait("the next step or an end", |t| {
            t.trim_end().ends_with('>')
                && (t.contains(&format!("Step {step} ·")) || t.contains("Enter leaves"))
        });
        if screen.contains("Enter leaves") {
            break;
        }
        assert!(step < 40, "no end is reached");
    }
    let screen = s.see("Enter leaves");
    assert!(screen.contains("A key only proves what a plant is not."), "{screen}");
    // The name is on the last screen, however long the account is.
    assert!(screen.contains("Result: "), "{screen}");
    let raw = s.see_written("The way here:");
    assert!(raw.contains("CAUTION: "), "the key's own caution at least\n{raw}");
    s.press("\r");
    assert_eq!(s.end().0, 0, "a session that has a name is done");
}

#[test]
fn every_branch_is_named_on_the_last_screen() {
    let state = folder();
    let mut s = Session::begin(state.path(), &["determine", "tree-leaves"], &[]);
    s.asked("Step 1 · couplet 1");
    s.press("b");
    s.asked("Step 2 · couplet 2");
    // One of the two branches ends at once, with a name.
    s.press("?");
    for (key, next) in [("a", "Step 3"), ("b", "Step 4"), ("b", "Step 5"), ("b", "Step 6")] {
        s.asked(next);
        s.press(key);
    }
    let screen = s.see("Enter leaves");
    let all = screen.lines().find(|l| l.starts_with("All branches: ")).expect("a summary");
    assert!(all.contains("Ginkgo biloba") && all.contains("Juglans regia"), "{screen}");
}

#[test]
fn a_word_typed_letter_by_letter_is_a_word_though_its_letters_are_leads() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut session = Session::begin(folder.path(), &["determine", "field-weeds"], &[]);
    session.asked("Step 1 · couplet 1 ");
    session.press("b");
    session.asked("Step 2 · couplet 2 ");
    // `back`: b and a are leads here, and answer at once
    session.press("b");
    session.asked("Step 3 ");
    session.press("a");
    session.wait("step 4", |s| {
        s.lines().rfind(|l| l.contains("Step ")).is_some_and(|l| !l.contains("Step 3"))
    });
    session.press("ck\r");
    session.see_written("Taken as one line");
    // the two answers are taken back, and the one before them
    session.asked("Step 1 · couplet 1 ");
    // a sentence of the key whose first letter is a lead
    session.press("b");
    session.asked("Step 2 · couplet 2 ");
    session.press("a");
    session.wait("step 3", |s| {
        s.lines().rfind(|l| l.contains("Step ")).is_some_and(|l| l.contains("Step 3"))
    });
    session.press("nnual plant of the moon\r");
    session.see_written("Was the beginning cut off?");
    session.see_written("Not taken");
    session.press("quit\r");
}
