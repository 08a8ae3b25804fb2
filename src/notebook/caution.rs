//! What is said once where a gathering is begun: restraint, and permits.

/// The rule of one in twenty, in a sentence (D. H. Wagner 1995).
pub const RESTRAINT: &str = "Take no more than one plant in twenty, and none before you have \
                             found twenty (Wagner 1995); from protected plants nothing without \
                             a permit.";

/// How many plants must stand there before one is taken.
pub const BEFORE_ONE: u32 = 20;

/// What to say where the number of plants was noted, and it is too few; nothing otherwise.
pub fn too_few(plants: Option<u32>) -> Option<String> {
    let n = plants.filter(|n| *n < BEFORE_ONE)?;
    Some(format!(
        "{n} plants seen: by the rule of one in twenty none is to be taken; a photograph and a \
         note are a record too."
    ))
}
