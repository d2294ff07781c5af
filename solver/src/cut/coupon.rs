//! Test coupons.
