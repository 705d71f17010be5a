use num_integer::Integer;
use num_rational::Ratio;
use num_traits::{CheckedAdd, CheckedDiv, CheckedMul, CheckedSub, Signed, Zero};

/// An exact rational number. Every operation is checked: `None` means that the result needs more than 128 bits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Exact(Ratio<i128>);

/// Which way a value goes to the nearest multiple of a grid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rounding {
    Down,
    Up,
    Nearest,
}

impl Exact {
    pub const ZERO: Exact = Exact(Ratio::new_raw(0, 1));
    pub const ONE: Exact = Exact(Ratio::new_raw(1, 1));

    pub const fn whole(n: i64) -> Self {
        Exact(Ratio::new_raw(n as i128, 1))
    }

    /// `numerator / denominator`; `None` when the denominator is zero.
    pub fn ratio(numerator: i128, denominator: i128) -> Option<Self> {
        (denominator != 0).then(|| Exact(Ratio::new(numerator, denominator)))
    }

    /// Reads `12`, `0.375`, `3/8` or `4 1/2`. `None` when it is none of these or too large.
    pub fn parse(text: &str) -> Option<Self> {
        let mut parts = text.split_whitespace();
        let first = Self::parse_simple(parts.next()?)?;
        let value = match parts.next() {
            None => first,
            Some(fraction) if fraction.contains('/') && first.is_whole() => {
                first.plus(Self::parse_simple(fraction)?)?
            }
            Some(_) => return None,
        };
        parts.next().is_none().then_some(value)
    }

    fn parse_simple(text: &str) -> Option<Self> {
        if let Some((top, bottom)) = text.split_once('/') {
            return Self::ratio(digits(top)?, digits(bottom)?);
        }
        let (whole, fraction) = text.split_once('.').unwrap_or((text, ""));
        let scale = 10i128.checked_pow(u32::try_from(fraction.len()).ok()?)?;
        let whole = digits(whole)?.checked_mul(scale)?;
        let part = if fraction.is_empty() { 0 } else { digits(fraction)? };
        Self::ratio(whole.checked_add(part)?, scale)
    }

    pub fn plus(self, other: Self) -> Option<Self> {
        self.0.checked_add(&other.0).map(Exact)
    }

    pub fn minus(self, other: Self) -> Option<Self> {
        self.0.checked_sub(&other.0).map(Exact)
    }

    pub fn times(self, other: Self) -> Option<Self> {
        self.0.checked_mul(&other.0).map(Exact)
    }

    /// `None` on division by zero as well; ask [`Exact::is_zero`] first to tell the two apart.
    pub fn over(self, other: Self) -> Option<Self> {
        if other.is_zero() { None } else { self.0.checked_div(&other.0).map(Exact) }
    }

    pub fn negated(self) -> Self {
        Exact(-self.0)
    }

    pub fn abs(self) -> Self {
        Exact(self.0.abs())
    }

    pub fn is_zero(self) -> bool {
        self.0.is_zero()
    }

    pub fn is_negative(self) -> bool {
        self.0.is_negative()
    }

    pub fn is_positive(self) -> bool {
        self.0.is_positive()
    }

    pub fn is_whole(self) -> bool {
        self.0.is_integer()
    }

    pub fn to_f64(self) -> f64 {
        *self.0.numer() as f64 / *self.0.denom() as f64
    }

    pub fn to_i64(self) -> Option<i64> {
        if self.is_whole() { i64::try_from(self.0.to_integer()).ok() } else { None }
    }

    pub fn numerator(self) -> i128 {
        *self.0.numer()
    }

    pub fn denominator(self) -> i128 {
        *self.0.denom()
    }

    /// The multiple of `step` next to this value; `None` when `step` is not positive or the numbers are too large.
    pub fn round_to(self, step: Self, rounding: Rounding) -> Option<Self> {
        if !step.is_positive() {
            return None;
        }
        let steps = self.over(step)?;
        let (top, bottom) = (steps.numerator(), steps.denominator());
        let count = match rounding {
            Rounding::Down => Integer::div_floor(&top, &bottom),
            Rounding::Up => Integer::div_ceil(&top, &bottom),
            Rounding::Nearest => {
                Integer::div_floor(&top.checked_mul(2)?.checked_add(bottom)?, &bottom.checked_mul(2)?)
            }
        };
        Exact(Ratio::from_integer(count)).times(step)
    }

    /// The value as a short decimal when it has one of at most `places` digits.
    pub fn to_decimal(self, places: u32) -> Option<String> {
        let scale = 10i128.checked_pow(places)?;
        let scaled = self.times(Exact(Ratio::from_integer(scale)))?;
        if !scaled.is_whole() {
            return None;
        }
        let digits = scaled.numerator();
        let sign = if digits < 0 { "-" } else { "" };
        let (whole, part) = (digits.abs() / scale, digits.abs() % scale);
        let part = format!("{part:0width$}", width = places as usize);
        let part = part.trim_end_matches('0');
        Some(if part.is_empty() { format!("{sign}{whole}") } else { format!("{sign}{whole}.{part}") })
    }
}

fn digits(text: &str) -> Option<i128> {
    let plain = !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    if plain { text.parse().ok() } else { None }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_fractions_and_decimals() {
        assert_eq!(Exact::parse("4 1/2"), Exact::ratio(9, 2));
        assert_eq!(Exact::parse("0.375"), Exact::parse("3/8"));
        assert_eq!(Exact::parse("1/0"), None);
        assert_eq!(Exact::parse("1 2"), None);
        assert_eq!(Exact::parse(""), None);
        assert_eq!(Exact::parse("99999999999999999999999999999999999999999999"), None);
    }

    #[test]
    fn rounds_both_ways() {
        let v = Exact::ratio(33, 10).unwrap();
        let half = Exact::ratio(1, 2).unwrap();
        assert_eq!(v.round_to(half, Rounding::Down), Exact::ratio(3, 1));
        assert_eq!(v.round_to(half, Rounding::Up), Exact::ratio(7, 2));
        assert_eq!(v.negated().round_to(half, Rounding::Down), Exact::ratio(-7, 2));
        assert_eq!(v.round_to(half, Rounding::Nearest), Exact::ratio(7, 2));
        assert_eq!(v.round_to(Exact::ZERO, Rounding::Up), None);
    }
}
