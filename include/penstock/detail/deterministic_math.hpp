// Square root, logarithm and powers that give the same bits everywhere. The C library's pow, exp and log differ
// between libraries and even between processors; these use + - * / and the bits of a double alone, so that g++
// and clang agree at -O0 and -O3, at compile time and at run time.
// Compile with -ffp-contract=off (see DEVELOPERS.md) where the processor can fuse a product and a sum.
#pragma once

#include <bit>
#include <cstdint>
#include <type_traits>

namespace penstock::inline v1::detail {

inline constexpr double largest_double = 0x1.fffffffffffffp1023;

/// The square root that IEEE 754 asks for, digit by digit: for constant expressions. See square_root.
[[nodiscard]] constexpr double square_root_by_digits(double x) {
  if (!(x > 0.0)) return 0.0;
  if (x > largest_double) return x;
  int scale = 0;
  if (x < 0x1p-1022) {
    x *= 0x1p54;
    scale = -27;
  }
  const auto bits = std::bit_cast<std::uint64_t>(x);
  int exponent = static_cast<int>(bits >> 52) - 1023;
  std::uint64_t mantissa = (bits & 0xF'FFFF'FFFF'FFFFu) | 0x10'0000'0000'0000u;
  if (exponent % 2 != 0) {
    mantissa *= 2;
    exponent -= 1;
  }
  // mantissa = m * 2^52 with m in [1, 4); find 54 binary digits of its root, the last of them for rounding.
  std::uint64_t root = 0;
  std::uint64_t rest = 0;
  for (int digit = 0; digit < 54; ++digit) {
    const int shift = 52 - 2 * digit;
    rest = rest * 4 + (shift >= 0 ? (mantissa >> shift) & 3u : 0u);
    const std::uint64_t trial = root * 4 + 1;
    root *= 2;
    if (rest >= trial) {
      rest -= trial;
      root += 1;
    }
  }
  // A root of 53 digits is never exactly in the middle between two doubles, so the last digit decides.
  root = (root + 1) / 2;
  const auto half = static_cast<std::uint64_t>(exponent / 2 + scale + 1023 - 1);
  return std::bit_cast<double>((half << 52) + root);
}

/// Square root; 0 for what has none (negative, NaN).
[[nodiscard]] constexpr double square_root(double x) {
  if (std::is_constant_evaluated()) return square_root_by_digits(x);
  // The instruction rounds correctly too; <cmath> would cost every includer 250 kB of text.
  return x > 0.0 ? __builtin_sqrt(x) : 0.0;
}

/// Logarithm to base 2 of x > 0. The error is at most 4e-16 x max(1, |result|).
/// 0, negative numbers and NaN give -1075, which is below the logarithm of every positive double.
[[nodiscard]] constexpr double log2(double x) {
  if (!(x > 0.0)) return -1075.0;
  if (x > largest_double) return 1024.0;
  int exponent = -1023;
  if (x < 0x1p-1022) {
    x *= 0x1p54;
    exponent -= 54;
  }
  const auto bits = std::bit_cast<std::uint64_t>(x);
  exponent += static_cast<int>(bits >> 52);
  double m = std::bit_cast<double>((bits & 0xF'FFFF'FFFF'FFFFu) | 0x3FF0'0000'0000'0000u);
  if (m > 1.4142135623730951) {
    m *= 0.5;
    exponent += 1;
  }
  // ln m = 2 artanh s with |s| <= 0.1716: the first term left out is below 1e-18.
  const double s = (m - 1.0) / (m + 1.0);
  const double z = s * s;
  double sum = 0.0;
  for (int odd = 21; odd >= 3; odd -= 2) sum = (sum + 1.0 / odd) * z;
  const double two_over_ln2 = 2.8853900817779268147;
  return exponent + two_over_ln2 * (s + s * sum);
}

/// 2 to the power of x. Relative error at most 4e-16 for -1022 <= x < 1024; below, and for NaN, 0; above, the
/// largest double.
[[nodiscard]] constexpr double exp2(double x) {
  if (!(x >= -1022.0)) return 0.0;
  if (x >= 1024.0) return largest_double;
  const auto whole = static_cast<int>(x >= 0.0 ? x + 0.5 : x - 0.5);
  // e to the power of z with |z| <= 0.3466: the first term left out is below 1e-17.
  const double z = (x - whole) * 0.69314718055994530942;
  double sum = 1.0;
  for (int n = 13; n >= 1; --n) sum = 1.0 + sum * z / n;
  // Two factors, because 2^1024 is no double although its product with a number below 1 may be one.
  const int half = whole / 2;
  const auto two_to = [](int n) { return std::bit_cast<double>(static_cast<std::uint64_t>(n + 1023) << 52); };
  return sum * two_to(half) * two_to(whole - half);
}

/// x to the power of y for x > 0. Relative error at most 4e-16 x (1 + |log2 of the result|): 4e-15 for results
/// between 1/500 and 500. 0 for x = 0, for negative x and where the result is too small; never NaN for finite y.
[[nodiscard]] constexpr double pow(double x, double y) {
  if (!(x > 0.0)) return 0.0;
  return exp2(y * log2(x));
}

}  // namespace penstock::inline v1::detail
