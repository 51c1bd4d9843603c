// Details as terms of z3: exact numbers over the steps of the asked details.
//
// Two encodings. The exact one counts steps in Int and rounds with to_int. The relaxed one lets steps be Real, which
// z3 decides even where two details are multiplied: every player is still among its solutions, so "none" there is
// none; a solution rounded down to whole steps is only a guess, to be tried in the exact one.
#pragma once

#include <z3++.h>

#include <map>
#include <optional>
#include <stdexcept>
#include <vector>

#include "tests/compiler/proof/asked.hpp"

namespace lacestay::judges {

struct NotEncoded : std::runtime_error {
  using std::runtime_error::runtime_error;
};

// top / bottom, the bottom above 0; and what is known of its range.
struct Term {
  z3::expr top;
  std::optional<z3::expr> bottom;
  Rational low, high;
  // Where it can have but a few values: when it has which. Then a product with it is a choice of multiples.
  std::vector<std::pair<z3::expr, Rational>> cases;
};

class Terms {
 public:
  Terms(z3::context& context, const naive::Policy& policy, const std::vector<AskedRange>& asked,
        std::vector<z3::expr> steps, bool relaxed);

  [[nodiscard]] z3::context& context() const { return context_; }
  [[nodiscard]] const naive::Policy& policy() const { return policy_; }

  // A detail at or past an edge; past it.
  [[nodiscard]] z3::expr at_least(std::size_t detail, const Rational& edge);
  [[nodiscard]] z3::expr over(std::size_t detail, const Rational& edge);
  [[nodiscard]] z3::expr is_member(std::size_t detail, std::size_t member);
  // The cell of a chart this player is in: one Bool for each cell, row by row.
  [[nodiscard]] std::vector<z3::expr> cells(const grammar::Chart& chart);

  // All conditions together. Names are looked up here, not in the prepared policy, which knows no `make sure`.
  [[nodiscard]] z3::expr meets(const std::vector<grammar::Condition>& conditions);
  [[nodiscard]] std::size_t detail_named(const grammar::Phrase& phrase) const;

  // The steps lie within the domains.
  [[nodiscard]] z3::expr inside() const;
  [[nodiscard]] const std::vector<z3::expr>& steps() const { return steps_; }
  // Two details were multiplied somewhere in what was asked so far.
  [[nodiscard]] bool multiplied() const { return multiplied_; }

  [[nodiscard]] z3::expr yes(bool value) const { return context_.bool_val(value); }
  [[nodiscard]] z3::expr any(const std::vector<z3::expr>& of) const;
  [[nodiscard]] z3::expr all(const std::vector<z3::expr>& of) const;

 private:
  const Term& term(std::size_t detail);
  [[nodiscard]] Term asked_term(std::size_t detail) const;
  [[nodiscard]] Term chart_term(const naive::Detail& detail);
  [[nodiscard]] Term formula(const grammar::Expression& expression);
  [[nodiscard]] Term sum(const Term& a, const Term& b, bool minus);
  [[nodiscard]] Term product(const Term& a, const Term& b);
  [[nodiscard]] Term quotient(const Term& a, const Term& b);
  [[nodiscard]] Term extreme(const Term& a, const Term& b, bool larger);
  [[nodiscard]] Term rounded(const Term& a, const Rational& step, grammar::Expression::Kind kind);
  [[nodiscard]] Term whole_years(const Term& from, const Term& to);
  [[nodiscard]] Term one_of(std::vector<std::pair<z3::expr, Rational>> cases) const;

  [[nodiscard]] z3::expr number(const Rational& value) const;
  [[nodiscard]] Term constant(const Rational& value) const;
  [[nodiscard]] z3::expr times(const z3::expr& a, const z3::expr& b);
  [[nodiscard]] z3::expr times(const z3::expr& a, const std::optional<z3::expr>& b) { return b ? times(a, *b) : a; }
  [[nodiscard]] z3::expr reaches(const Term& a, const Rational& edge);
  [[nodiscard]] z3::expr passes(const Term& a, const Rational& edge);
  [[nodiscard]] std::optional<std::size_t> asked_place(std::size_t detail) const;
  [[nodiscard]] std::vector<z3::expr> heads(const std::vector<const grammar::Head*>& all, std::size_t detail);

  z3::context& context_;
  const naive::Policy& policy_;
  const std::vector<AskedRange>& asked_;
  std::vector<z3::expr> steps_;
  bool relaxed_;
  bool multiplied_ = false;
  std::map<std::size_t, Term> terms_;
};

}  // namespace lacestay::judges
