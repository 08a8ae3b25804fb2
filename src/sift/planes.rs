//! A small number for each taxon, kept as planes of bits: sixty-four comparisons at a time.

use super::bits::{LANE, words_for};

/// A number below `2^bits` for each row. Plane 0 holds the highest bit; the planes of one block of
/// rows stand together, so that a comparison reads memory once from front to back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Planes {
    bits: usize,
    data: Vec<u64>,
}

impl Planes {
    /// Planes for numbers up to `most`.
    pub fn new(rows: usize, most: u32) -> Planes {
        let bits = (u32::BITS - most.leading_zeros()) as usize;
        Planes { bits, data: vec![0; words_for(rows) * bits] }
    }

    pub fn bits(&self) -> usize {
        self.bits
    }

    /// How many bytes they take.
    pub fn bytes(&self) -> usize {
        self.data.len() * 8
    }

    fn place(&self, row: usize, plane: usize) -> usize {
        let word = row / 64;
        ((word / LANE) * self.bits + plane) * LANE + word % LANE
    }

    pub fn put(&mut self, row: usize, number: u32) {
        for plane in 0..self.bits {
            let at = self.place(row, plane);
            let bit = u64::from(number >> (self.bits - 1 - plane) & 1);
            self.data[at] = self.data[at] & !(1 << (row % 64)) | bit << (row % 64);
        }
    }

    pub fn get(&self, row: usize) -> u32 {
        (0..self.bits).fold(0, |n, plane| {
            n << 1 | (self.data[self.place(row, plane)] >> (row % 64) & 1) as u32
        })
    }

    /// Which rows of a block of `LANE` words hold a number below `limit`.
    #[inline]
    pub fn below(&self, block: usize, limit: u32) -> [u64; LANE] {
        if u64::from(limit) >= 1 << self.bits {
            return [u64::MAX; LANE];
        }
        let mut less = [0u64; LANE];
        let mut equal = [u64::MAX; LANE];
        let planes = &self.data[block * self.bits * LANE..(block + 1) * self.bits * LANE];
        for (plane, words) in planes.as_chunks::<LANE>().0.iter().enumerate() {
            if limit >> (self.bits - 1 - plane) & 1 == 1 {
                for i in 0..LANE {
                    less[i] |= equal[i] & !words[i];
                    equal[i] &= words[i];
                }
            } else {
                for i in 0..LANE {
                    equal[i] &= !words[i];
                }
            }
        }
        less
    }

    /// One plane of a block.
    #[inline]
    pub(super) fn plane(&self, block: usize, plane: usize) -> &[u64; LANE] {
        &self.data.as_chunks::<LANE>().0[block * self.bits + plane]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_come_back_and_compare() {
        for most in [0u32, 1, 2, 5, 255, 300] {
            let rows = 700;
            let number = |row: usize| (row as u32 * 7919) % (most + 1);
            let mut planes = Planes::new(rows, most);
            (0..rows).for_each(|row| planes.put(row, number(row)));
            for limit in [0, 1, 2, 3, most / 2, most, most + 1, most + 70] {
                for row in 0..rows {
                    assert_eq!(planes.get(row), number(row));
                    let words = planes.below(row / 64 / LANE, limit);
                    let got = words[row / 64 % LANE] >> (row % 64) & 1 == 1;
                    assert_eq!(got, number(row) < limit, "row {row} below {limit} of {most}");
                }
            }
        }
    }
}
