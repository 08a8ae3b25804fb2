//! Sets of taxa as bits, and the counts over them that narrowing and ranking are made of.

/// Words are padded to whole lanes of this many, so that loops run over fixed lengths.
pub const LANE: usize = 8;

/// A set of rows `0..len`. Bits beyond `len` are zero.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Bits {
    words: Vec<u64>,
    len: usize,
}

/// How many words hold `len` bits, whole lanes of them.
pub fn words_for(len: usize) -> usize {
    len.div_ceil(64).next_multiple_of(LANE)
}

impl Bits {
    pub fn none(len: usize) -> Bits {
        Bits { words: vec![0; words_for(len)], len }
    }

    pub fn all(len: usize) -> Bits {
        let mut bits = Bits { words: vec![u64::MAX; words_for(len)], len };
        bits.trim();
        bits
    }

    pub fn of(len: usize, rows: impl IntoIterator<Item = usize>) -> Bits {
        let mut bits = Bits::none(len);
        for row in rows {
            bits.insert(row);
        }
        bits
    }

    fn trim(&mut self) {
        let full = self.len / 64;
        if let Some(word) = self.words.get_mut(full) {
            *word &= (1u64 << (self.len % 64)) - 1;
        }
        for word in self.words.iter_mut().skip(full + 1) {
            *word = 0;
        }
    }

    pub fn len(&self) -> usize {
        self.len
    }

    pub fn is_empty(&self) -> bool {
        self.words.iter().all(|w| *w == 0)
    }

    pub fn words(&self) -> &[u64] {
        &self.words
    }

    /// One block of words.
    #[inline]
    pub(super) fn block(&self, block: usize) -> [u64; LANE] {
        self.words.as_chunks::<LANE>().0[block]
    }

    /// The words, to be written to; bits beyond the length must stay zero.
    pub(super) fn words_mut(&mut self) -> &mut [u64] {
        &mut self.words
    }

    pub fn insert(&mut self, row: usize) {
        debug_assert!(row < self.len);
        self.words[row / 64] |= 1 << (row % 64);
    }

    pub fn remove(&mut self, row: usize) {
        self.words[row / 64] &= !(1 << (row % 64));
    }

    pub fn set(&mut self, row: usize, on: bool) {
        if on { self.insert(row) } else { self.remove(row) }
    }

    pub fn contains(&self, row: usize) -> bool {
        self.words.get(row / 64).is_some_and(|w| w >> (row % 64) & 1 == 1)
    }

    pub fn count(&self) -> usize {
        self.words.iter().map(|w| w.count_ones() as usize).sum()
    }

    pub fn and(&mut self, other: &Bits) {
        for (a, b) in self.words.iter_mut().zip(&other.words) {
            *a &= b;
        }
    }

    pub fn or(&mut self, other: &Bits) {
        for (a, b) in self.words.iter_mut().zip(&other.words) {
            *a |= b;
        }
    }

    /// Takes every row of `other` away.
    pub fn without(&mut self, other: &Bits) {
        for (a, b) in self.words.iter_mut().zip(&other.words) {
            *a &= !b;
        }
    }

    pub fn overlaps(&self, other: &Bits) -> bool {
        self.words.iter().zip(&other.words).any(|(a, b)| a & b != 0)
    }

    /// The rows, lowest first.
    pub fn iter(&self) -> impl Iterator<Item = usize> + '_ {
        self.words.iter().enumerate().flat_map(|(i, &word)| Ones(word).map(move |b| i * 64 + b))
    }
}

/// The places of the ones of a word, lowest first.
pub(super) struct Ones(pub u64);

impl Iterator for Ones {
    type Item = usize;

    fn next(&mut self) -> Option<usize> {
        if self.0 == 0 {
            return None;
        }
        let at = self.0.trailing_zeros() as usize;
        self.0 &= self.0 - 1;
        Some(at)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_holds_what_was_put_in_and_nothing_beyond_its_length() {
        for len in [0, 1, 63, 64, 65, 511, 512, 513] {
            assert_eq!(Bits::all(len).count(), len);
            assert_eq!(Bits::all(len).iter().collect::<Vec<_>>(), (0..len).collect::<Vec<_>>());
        }
        let some = Bits::of(130, [0, 64, 129]);
        assert_eq!(some.iter().collect::<Vec<_>>(), [0, 64, 129]);
        assert!(some.contains(129) && !some.contains(128) && !some.contains(4000));
    }
}
