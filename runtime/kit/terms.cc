#include "runtime/kit/terms.hpp"

#include <algorithm>
#include <map>

namespace lacestay::runtime {
namespace {

// Every line is of one make at most, so what some makes need is not there for others.
void leave_out_unearnable(const KitOffers& offers, std::vector<Term>& terms) {
  std::map<int, std::size_t> needed;  // lines, by make
  for (std::size_t a = 0; a < terms.size(); ++a) {
    const auto& application = offers.applications()[a];
    if (terms[a] != Term::in || application.make == -1) continue;
    auto& lines = needed[application.make];
    lines = std::max(lines, application.at_least);
  }
  std::size_t all = 0;
  for (const auto& [make, lines] : needed) all += lines;
  for (std::size_t a = 0; a < terms.size(); ++a) {
    const auto& application = offers.applications()[a];
    if (terms[a] != Term::free || application.make == -1) continue;
    const auto there = needed.find(application.make);
    const auto held = there == needed.end() ? 0 : there->second;
    if (all - held + std::max(held, application.at_least) > offers.pieces().size()) terms[a] = Term::out;
  }
}

}  // namespace

// A part or a sum that is earned is never turned down, for it only takes off: so with what earns it, it is in, and
// where it is out, so is all that would earn it. One price may be turned down.
bool settle(const KitOffers& offers, std::vector<Term>& terms) {
  const auto& applications = offers.applications();
  for (std::size_t a = 0; a < terms.size(); ++a) {
    for (std::size_t b = 0; b < terms.size(); ++b) {
      if (a == b || !offers.earns(a, b) || !applications[b].share.empty()) continue;
      if (terms[a] == Term::in && terms[b] == Term::out) return false;
      if (terms[a] == Term::in) terms[b] = Term::in;
      if (terms[b] == Term::out) terms[a] = Term::out;
    }
  }
  leave_out_unearnable(offers, terms);
  return true;
}

std::vector<bool> to_be_earned(const KitOffers& offers, std::span<const Term> terms) {
  std::vector<bool> earned(terms.size(), false);
  for (std::size_t b = 0; b < terms.size(); ++b) {
    earned[b] = terms[b] == Term::in;
    for (std::size_t a = 0; a < terms.size() && earned[b]; ++a)
      if (a != b && terms[a] == Term::in && offers.earns(a, b) && (a < b || !offers.earns(b, a))) earned[b] = false;
  }
  return earned;
}

}  // namespace lacestay::runtime
