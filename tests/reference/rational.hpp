// Exact fractions over 128-bit integers, always in lowest terms. What does not fit throws: an oracle that wraps
// around would agree with a wrong engine.
#pragma once

#include <compare>
#include <cstdint>
#include <numeric>
#include <stdexcept>
#include <string>

namespace lacestay::naive {

__extension__ typedef __int128 Wide;

class Rational {
 public:
  Rational(std::int64_t whole = 0) : top_(whole) {}  // implicit: whole numbers are numbers

  // top / bottom, whatever their signs; bottom must not be 0.
  static Rational of(Wide top, Wide bottom) {
    if (bottom == 0) throw std::domain_error("a division by nothing");
    if (bottom < 0) top = -top, bottom = -bottom;
    const Wide shared = common(top < 0 ? -top : top, bottom);
    Rational made;
    made.top_ = top / shared;
    made.bottom_ = bottom / shared;
    return made;
  }

  [[nodiscard]] Wide top() const { return top_; }
  [[nodiscard]] Wide bottom() const { return bottom_; }  // > 0
  [[nodiscard]] bool is_whole() const { return bottom_ == 1; }

  // The largest whole number that is not above it; the smallest that is not below it.
  [[nodiscard]] std::int64_t floor() const {
    Wide whole = top_ / bottom_;
    if (top_ % bottom_ < 0) --whole;
    const auto small = static_cast<std::int64_t>(whole);
    if (small != whole) throw std::overflow_error("a whole number past 64 bits");
    return small;
  }
  [[nodiscard]] std::int64_t ceiling() const { return -(-*this).floor(); }

  Rational operator-() const {
    Rational made = *this;
    made.top_ = -top_;
    return made;
  }
  friend Rational operator+(const Rational& a, const Rational& b) {
    return of(plus(times(a.top_, b.bottom_), times(b.top_, a.bottom_)), times(a.bottom_, b.bottom_));
  }
  friend Rational operator-(const Rational& a, const Rational& b) { return a + -b; }
  friend Rational operator*(const Rational& a, const Rational& b) {
    return of(times(a.top_, b.top_), times(a.bottom_, b.bottom_));
  }
  friend Rational operator/(const Rational& a, const Rational& b) {
    return of(times(a.top_, b.bottom_), times(a.bottom_, b.top_));
  }
  friend bool operator==(const Rational& a, const Rational& b) { return a.top_ == b.top_ && a.bottom_ == b.bottom_; }
  friend std::strong_ordering operator<=>(const Rational& a, const Rational& b) {
    return times(a.top_, b.bottom_) <=> times(b.top_, a.bottom_);
  }

 private:
  static Wide times(Wide a, Wide b) {
    Wide out = 0;
    if (__builtin_mul_overflow(a, b, &out)) throw std::overflow_error("a product past 128 bits");
    return out;
  }
  static Wide plus(Wide a, Wide b) {
    Wide out = 0;
    if (__builtin_add_overflow(a, b, &out)) throw std::overflow_error("a sum past 128 bits");
    return out;
  }
  // Both not negative, b > 0. Nearly all numbers fit 64 bits, where this is several times quicker.
  static Wide common(Wide a, Wide b) {
    while (a != 0) {
      if ((a >> 63) == 0 && (b >> 63) == 0) return std::gcd(static_cast<std::int64_t>(a), static_cast<std::int64_t>(b));
      const Wide rest = b % a;
      b = a;
      a = rest;
    }
    return b;
  }

  Wide top_ = 0;
  Wide bottom_ = 1;
};

}  // namespace lacestay::naive
