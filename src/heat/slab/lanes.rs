//! `W` numbers side by side: one for a single slab, several for rows of a batch in vector lanes.

use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

/// `W` numbers, computed side by side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Lanes<const W: usize>(pub(crate) [f64; W]);

impl<const W: usize> Lanes<W> {
    pub(crate) const ZERO: Self = Self([0.0; W]);

    #[inline(always)]
    pub(crate) fn all(value: f64) -> Self {
        Self([value; W])
    }

    #[inline(always)]
    pub(crate) fn map(self, f: impl Fn(f64) -> f64) -> Self {
        Self(std::array::from_fn(|w| f(self.0[w])))
    }

    #[inline(always)]
    pub(crate) fn zip(self, other: Self, f: impl Fn(f64, f64) -> f64) -> Self {
        Self(std::array::from_fn(|w| f(self.0[w], other.0[w])))
    }
}

macro_rules! operator {
    ($name:ident, $method:ident, $sign:tt) => {
        impl<const W: usize> $name for Lanes<W> {
            type Output = Self;
            #[inline(always)]
            fn $method(self, other: Self) -> Self {
                self.zip(other, |a, b| a $sign b)
            }
        }
        impl<const W: usize> $name<f64> for Lanes<W> {
            type Output = Self;
            #[inline(always)]
            fn $method(self, other: f64) -> Self {
                self.map(|a| a $sign other)
            }
        }
    };
}

operator!(Add, add, +);
operator!(Sub, sub, -);
operator!(Mul, mul, *);
operator!(Div, div, /);

impl<const W: usize> Neg for Lanes<W> {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        self.map(|a| -a)
    }
}

impl<const W: usize> AddAssign for Lanes<W> {
    #[inline(always)]
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}
