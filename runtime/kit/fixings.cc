#include "runtime/kit/fixings.hpp"

#include <algorithm>
#include <map>

namespace lacestay::runtime {
namespace {

// Every line is of one make at most, so the lines that applications over some makes require are not there for another
// make: an application whose required lines and theirs together exceed the kit can't be earned.
void fix_unearnable(const KitOffers& offers, std::vector<Fixing>& fixings) {
  std::map<int, std::size_t> needed;  // lines, by make
  for (std::size_t a = 0; a < fixings.size(); ++a) {
    const auto& application = offers.applications()[a];
    if (fixings[a] != Fixing::in || application.make == -1) continue;
    auto& lines = needed[application.make];
    lines = std::max(lines, application.at_least);
  }
  std::size_t all = 0;
  for (const auto& [make, lines] : needed) all += lines;
  for (std::size_t a = 0; a < fixings.size(); ++a) {
    const auto& application = offers.applications()[a];
    if (fixings[a] != Fixing::free || application.make == -1) continue;
    const auto there = needed.find(application.make);
    const auto held = there == needed.end() ? 0 : there->second;
    if (all - held + std::max(held, application.at_least) > offers.pieces().size()) fixings[a] = Fixing::out;
  }
}

}  // namespace

// A part or a sum off only lowers the price, so a kit that qualifies has it: where a implies b and a is in, b is in;
// where b is out, a is out. One price is different: it may exceed its lines' sum, and then it does not stand.
bool fix_implied(const KitOffers& offers, std::vector<Fixing>& fixings) {
  const auto& applications = offers.applications();
  for (std::size_t a = 0; a < fixings.size(); ++a) {
    for (std::size_t b = 0; b < fixings.size(); ++b) {
      if (a == b || !offers.implies(a, b) || !applications[b].share.empty()) continue;
      if (fixings[a] == Fixing::in && fixings[b] == Fixing::out) return false;
      if (fixings[a] == Fixing::in) fixings[b] = Fixing::in;
      if (fixings[b] == Fixing::out) fixings[a] = Fixing::out;
    }
  }
  fix_unearnable(offers, fixings);
  return true;
}

std::vector<bool> to_be_earned(const KitOffers& offers, std::span<const Fixing> fixings) {
  std::vector<bool> earned(fixings.size(), false);
  for (std::size_t b = 0; b < fixings.size(); ++b) {
    earned[b] = fixings[b] == Fixing::in;
    for (std::size_t a = 0; a < fixings.size() && earned[b]; ++a)
      if (a != b && fixings[a] == Fixing::in && offers.implies(a, b) && (a < b || !offers.implies(b, a)))
        earned[b] = false;
  }
  return earned;
}

}  // namespace lacestay::runtime
