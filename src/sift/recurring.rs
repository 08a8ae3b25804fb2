//! A function of numbers that come again and again, worked out once for each of them.

/// So many numbers are remembered; one that falls on the place of another takes it.
const PLACES_BITS: u32 = 8;

/// Remembers what a function made of the numbers it met: of thousands of taxa few differ in what
/// an observation says of them, and a logarithm takes as long as twenty additions. The results
/// are those of the function, bit for bit.
pub(super) struct Recurring {
    of: fn(f64) -> f64,
    /// Each number met, as its bits, with its result.
    met: [(u64, f64); 1 << PLACES_BITS],
}

impl Recurring {
    pub fn new(of: fn(f64) -> f64) -> Recurring {
        Recurring { of, met: [(0f64.to_bits(), of(0.0)); 1 << PLACES_BITS] }
    }

    #[inline]
    pub fn at(&mut self, x: f64) -> f64 {
        let bits = x.to_bits();
        // Multiplied by the golden ratio's share of 2^64, so that near numbers part.
        let place = bits.wrapping_mul(0x9E37_79B9_7F4A_7C15) >> (64 - PLACES_BITS);
        let met = &mut self.met[place as usize];
        if met.0 != bits {
            *met = (bits, (self.of)(x));
        }
        met.1
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_the_function_however_often_and_in_whatever_order_it_is_asked() {
        let mut ln = Recurring::new(f64::ln);
        let numbers = (0..2000u32).map(|i| f64::from(i * i % 977) / 7.0).chain([-0.0, 0.0, -1.0]);
        for x in numbers.clone().chain(numbers) {
            assert_eq!(ln.at(x).to_bits(), x.ln().to_bits(), "{x}");
        }
    }
}
