//! A hash of bytes that is the same on every machine.

/// The 128-bit FNV-1a hash (Fowler, Noll, Vo; draft-eastlake-fnv).
pub fn fingerprint(bytes: &[u8]) -> u128 {
    const OFFSET: u128 = 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d;
    const PRIME: u128 = 0x0000_0000_0100_0000_0000_0000_0000_013b;
    bytes.iter().fold(OFFSET, |hash, byte| (hash ^ u128::from(*byte)).wrapping_mul(PRIME))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Offset basis, and the hash of `a`: test vectors of draft-eastlake-fnv, appendix C [from memory].
    #[test]
    fn the_fingerprint_agrees_with_its_test_vectors() {
        assert_eq!(fingerprint(b""), 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d);
        assert_eq!(fingerprint(b"a"), 0xd228_cb69_6f1a_8caf_7891_2b70_4e4a_8964);
    }
}
