// The builder and its bills against every kit of small shops: the same kit, not only one as good.
//
// LACESTAY_WHOLE takes ten times as many shops; LACESTAY_SEED the one of that seed.
#include <catch2/catch.hpp>
#include <string>

#include "runtime/kit/builder.hpp"
#include "tests/runtime/kit/every_kit.hpp"
#include "tests/runtime/kit/shops.hpp"
#include "tests/support/settings.hpp"

namespace {

using namespace lacestay;
using runtime::KitProblem;
using runtime::KitResult;
using runtime::KitStatus;

template <typename Check>
void each_small_shop(std::uint64_t shops, Check check) {
  for (const auto seed : tests::Seeds(1, tests::whole() ? shops * 10 : shops)) {
    INFO("seed " << seed);
    const auto problem = kits::small_shop(seed);
    REQUIRE(runtime::fault_of(problem) == std::nullopt);
    check(problem, seed);
  }
}

// value / scale == expected / whole
void require_same(const KitResult& kit, const kits::PlainKit& expected, std::int64_t whole) {
  REQUIRE(kit.choice == expected.choice);
  REQUIRE(kit.value * whole == expected.value * kit.scale);
}

void require_bill(const KitProblem& problem, const std::vector<std::size_t>& choice) {
  const auto expected = kits::plain_bill(problem, choice);
  const auto bill = runtime::bill_of(problem, choice);
  REQUIRE(bill.total == expected.paid);
  std::vector<kits::PlainBill::Application> applications;
  std::int64_t list = 0, lines_off = 0, off = 0, parts_off = 0;
  for (const auto& each : bill.applications) {
    applications.push_back({each.deal, each.make, each.lines});
    REQUIRE(each.off >= 0);
    off += each.off;
    if (std::holds_alternative<runtime::PartOff>(problem.deals[each.deal].effect)) parts_off += each.off;
  }
  REQUIRE(applications == expected.applications);
  for (std::size_t p = 0; p < choice.size(); ++p) {
    REQUIRE(bill.lines[p].list == problem.pieces[p][choice[p]].price);
    list += bill.lines[p].list;
    lines_off += bill.lines[p].off;
  }
  REQUIRE(bill.list == list);
  REQUIRE(lines_off == parts_off);
  REQUIRE(bill.saved == list - bill.total);
  REQUIRE(bill.total == std::max<std::int64_t>(0, list - off));
}

}  // namespace

TEST_CASE("the kit built is the first of the best of all kits") {
  std::size_t none = 0, not_cheapest = 0, several_deals = 0, linked = 0, held_by_links = 0, gifts = 0;
  each_small_shop(4'000, [&](const KitProblem& problem, std::uint64_t) {
    const auto expected = kits::best_of_every_kit(problem);
    const auto kit = runtime::build_kit(problem);
    if (!expected) {
      REQUIRE(kit.status == KitStatus::none);
      ++none;
      return;
    }
    REQUIRE(kit.status == KitStatus::best);
    require_same(kit, *expected, kits::denominator(problem));
    REQUIRE(kit.bound == kit.value);
    bool cheapest = true;
    for (std::size_t p = 0; p < kit.choice.size(); ++p)
      for (const auto& item : problem.pieces[p])
        cheapest = cheapest && item.price >= problem.pieces[p][kit.choice[p]].price;
    not_cheapest += cheapest ? 0 : 1;
    linked += problem.links.empty() ? 0 : 1;
    auto loose = problem;
    loose.links.clear();
    held_by_links += problem.links.empty() || runtime::build_kit(loose).choice == kit.choice ? 0 : 1;
    several_deals += kit.bill.applications.size() > 1 ? 1 : 0;
    gifts += std::count_if(kit.bill.applications.begin(), kit.bill.applications.end(), [&](const auto& each) {
      return !std::all_of(each.lines.begin(), each.lines.end(),
                          [&](auto piece) { return problem.deals[each.deal].reduces(piece); });
    });
  });
  if (tests::one_seed()) return;
  CHECK(none > 100);
  CHECK(not_cheapest > 1'000);
  CHECK(several_deals > 400);
  CHECK(linked > 1'000);
  CHECK(held_by_links > 200);
  CHECK(gifts > 100);
}

TEST_CASE("the bill is the least any admissible set of deals gives, and adds up") {
  each_small_shop(4'000, [](const KitProblem& problem, std::uint64_t seed) {
    kits::Chance chance(seed);
    for (int i = 0; i < 4; ++i) {
      std::vector<std::size_t> choice;
      for (const auto& piece : problem.pieces)
        choice.push_back(static_cast<std::size_t>(chance.between(0, static_cast<std::int64_t>(piece.size()) - 1)));
      require_bill(problem, choice);
    }
  });
}

TEST_CASE("the runner-up is the best kit without the item") {
  each_small_shop(1'000, [](const KitProblem& problem, std::uint64_t) {
    const auto kit = runtime::build_kit(problem);
    if (!kit.has_kit()) return;
    for (std::size_t p = 0; p < problem.pieces.size(); ++p) {
      const auto expected = kits::best_of_every_kit(problem, std::pair(p, kit.choice[p]));
      const auto other = runtime::runner_up(problem, kit, p);
      REQUIRE(other.has_value() == expected.has_value());
      if (!other) continue;
      REQUIRE(other->status == KitStatus::best);
      require_same(*other, *expected, kits::denominator(problem));
    }
  });
}
