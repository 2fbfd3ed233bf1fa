//! Bits that look thrown, from numbers that say what for.

/// A bijection of 64 bits whose results look like throws.
///
/// # Source
/// The finaliser of `SplitMix64`: Steele, Lea and Flood 2014, Fast splittable pseudorandom number
/// generators (from memory).
pub(crate) fn mixed(bits: u64) -> u64 {
    let bits = bits.wrapping_add(0x9E37_79B9_7F4A_7C15);
    let bits = (bits ^ (bits >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    let bits = (bits ^ (bits >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    bits ^ (bits >> 31)
}

/// Evenly in [0, 1), from bits that look thrown.
pub(crate) fn unit(bits: u64) -> f64 {
    (bits >> 11) as f64 / (1_u64 << 53) as f64
}
