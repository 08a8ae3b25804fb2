//! Words of which the first letters answered couplets, because a lead's letter answers at once.
//!
//! Whoever types `back` where a couplet has a lead b has taken that lead before the word is out.
//! When the rest of the line means nothing alone, and the letters before it make a word with it,
//! the word was meant: the answers are taken back.

use anyhow::Result;

use super::said::Said;
use super::session::Session;

impl Session<'_, '_> {
    /// A key that answered at once; a letter may yet turn out to begin a word.
    pub(super) fn pressed(&mut self, key: char) {
        if key.is_ascii_alphabetic() {
            self.letters_pressed.push(key);
        } else {
            self.letters_pressed.clear();
        }
    }

    /// What a line means together with the letters that were pressed before it, their answers
    /// taken back; `None` where the line stands for itself.
    pub(super) fn joined(&mut self, line: &str, leads: &[char]) -> Result<Option<Said>> {
        let pressed = std::mem::take(&mut self.letters_pressed);
        if pressed.is_empty() || line.starts_with(char::is_whitespace) || line.trim().is_empty() {
            return Ok(None);
        }
        let alone = self.read(line, leads);
        if !matches!(alone, Said::Statement(..)) || self.means(line).is_some() {
            return Ok(None);
        }
        for from in 0..pressed.len() {
            let letters = &pressed[from..];
            let word = format!("{}{line}", letters.iter().collect::<String>());
            let Some(said) = self.means(&word) else { continue };
            for _ in letters {
                self.take_back()?;
            }
            self.tell(&format!("Taken as one line, its first letters are no answers: {word}\n"))?;
            return Ok(Some(said));
        }
        // A line that begins with a capital was begun as one.
        if line.starts_with(char::is_lowercase) {
            self.tell(
                "Was the beginning cut off? A letter that is a lead answers at once: take it back \
                 with -, and begin such a line with a blank or a capital.\n",
            )?;
        }
        Ok(None)
    }

    /// What a line says, if it says anything.
    fn means(&self, line: &str) -> Option<Said> {
        let said = self.read(line, &[]);
        match &said {
            Said::Statement(text, _) => {
                let view = self.walk.view();
                self.understands(text, &view).then_some(said)
            }
            Said::Again if line.trim().is_empty() => None,
            _ => Some(said),
        }
    }
}
