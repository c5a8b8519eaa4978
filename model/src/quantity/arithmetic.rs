//! The arithmetic that a length and an angle share: sums, differences, multiples by a plain number, and ratios.
//! In: a newtype over one `f64`. Out: its operator impls; units stay those of the type.

/// Gives a newtype over `f64` the operators of a one-dimensional vector space, and the ratio of two as a plain number.
macro_rules! linear_arithmetic {
    ($quantity:ident) => {
        impl $quantity {
            /// Nothing.
            pub const ZERO: Self = Self(0.0);

            /// The size without its sign.
            #[must_use]
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// The smaller of two; of a number and a NaN, the number.
            #[must_use]
            pub const fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// The larger of two; of a number and a NaN, the number.
            #[must_use]
            pub const fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }

            /// Neither infinite nor NaN.
            #[must_use]
            pub const fn is_finite(self) -> bool {
                self.0.is_finite()
            }

            /// A total order, for sorting (IEEE 754 `totalOrder`).
            #[must_use]
            pub fn total_cmp(&self, other: &Self) -> std::cmp::Ordering {
                self.0.total_cmp(&other.0)
            }
        }

        impl std::ops::Add for $quantity {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl std::ops::Sub for $quantity {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl std::ops::Neg for $quantity {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl std::ops::Mul<f64> for $quantity {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl std::ops::Mul<$quantity> for f64 {
            type Output = $quantity;
            fn mul(self, quantity: $quantity) -> $quantity {
                quantity * self
            }
        }

        impl std::ops::Div<f64> for $quantity {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }

        impl std::ops::Div for $quantity {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }

        impl std::ops::AddAssign for $quantity {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }

        impl std::ops::SubAssign for $quantity {
            fn sub_assign(&mut self, other: Self) {
                self.0 -= other.0;
            }
        }

        impl std::iter::Sum for $quantity {
            fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
                all.fold(Self::ZERO, std::ops::Add::add)
            }
        }
    };
}

pub(super) use linear_arithmetic;
