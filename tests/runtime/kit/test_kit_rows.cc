// Kits and bills worked out by hand, and what holds of every shop.
#include <algorithm>
#include <catch2/catch.hpp>
#include <numeric>
#include <tuple>

#include "runtime/kit/builder.hpp"
#include "tests/runtime/kit/shops.hpp"

namespace {

using namespace lacestay;
using runtime::Deal;
using runtime::KitProblem;
using runtime::KitResult;
using runtime::KitStatus;
using runtime::Rounding;
using Choice = std::vector<std::size_t>;

// A deal that reaches every item of the first so many pieces.
Deal over(const KitProblem& problem, std::size_t pieces, std::size_t at_least, decltype(Deal::effect) effect) {
  Deal deal{{}, false, at_least, effect, {}};
  for (std::size_t p = 0; p < problem.pieces.size(); ++p)
    deal.reaches.emplace_back(p < pieces ? problem.pieces[p].size() : 0, true);
  return deal;
}

void let_all_add(KitProblem& problem) {
  problem.adds.assign(problem.deals.size(), std::vector<bool>(problem.deals.size(), true));
}

KitResult built(const KitProblem& problem) {
  REQUIRE(runtime::fault_of(problem) == std::nullopt);
  return runtime::build_kit(problem);
}

}  // namespace

TEST_CASE("an item may cost nothing, and the first of several alike is taken") {
  KitProblem problem;
  problem.pieces = {{{500, 0, -1}, {0, 0, -1}, {0, 0, -1}}, {{700, 300, -1}, {400, 0, -1}}};
  const auto kit = built(problem);
  CHECK(kit.choice == Choice{1, 1});  // 700 less 300 is 400 too, and dearer
  CHECK(kit.bill.total == 400);
  CHECK(kit.value == 400);
}

TEST_CASE("a limit one penny short") {
  KitProblem problem;
  problem.pieces = {{{1'000, 0, 0}, {1'200, 900, 0}}, {{2'000, 0, 0}}};
  problem.limit = 3'200;
  CHECK(built(problem).choice == Choice{1, 0});
  problem.limit = 3'199;
  CHECK(built(problem).choice == Choice{0, 0});
  problem.limit = 3'000;
  CHECK(built(problem).bill.total == 3'000);
  problem.limit = 2'999;
  CHECK(built(problem).status == KitStatus::none);
  problem.limit.reset();
  problem.objective = runtime::KitObjective::price;
  CHECK(built(problem).bill.total == 3'000);
}

// By what fits what: the second's items have a name each.
runtime::KitLink link(std::size_t first, std::size_t second, const std::vector<std::vector<bool>>& fits) {
  runtime::KitLink made{first, second, {}, {}};
  for (const auto& row : fits) {
    auto& names = made.first_names.emplace_back();
    for (std::uint32_t c = 0; c < row.size(); ++c)
      if (row[c]) names.push_back(c);
  }
  for (std::uint32_t c = 0; c < fits.front().size(); ++c) made.second_names.push_back({c});
  return made;
}

TEST_CASE("of two linked pieces, two are taken that go together, and the cheapest of each may not be") {
  KitProblem problem;
  problem.pieces = {{{5'000, 0, 0}, {6'000, 0, 1}}, {{900, 0, -1}}, {{2'000, 0, 0}, {2'500, 0, 1}, {2'500, 100, 1}}};
  problem.links = {link(0, 2, {{false, true, false}, {true, false, true}})};
  CHECK(built(problem).choice == Choice{0, 0, 1});  // 8,400 beside 8,900 and 9,300
  problem.links = {link(0, 2, {{false, false, false}, {true, false, true}})};
  CHECK(built(problem).choice == Choice{1, 0, 0});
  problem.pieces[2][2].worth = 600;  // dearer than the first, and no item of the same partners is better
  auto kit = built(problem);
  CHECK(kit.choice == Choice{1, 0, 2});
  problem.limit = 9'399;
  CHECK(built(problem).choice == Choice{1, 0, 0});
  // The other helmet has no cage, so the runner-up to a cage keeps the helmet, and the helmet has none.
  problem.limit.reset();
  const auto other = runtime::runner_up(problem, kit, 2);
  REQUIRE(other);
  CHECK(other->choice == Choice{1, 0, 0});
  CHECK_FALSE(runtime::runner_up(problem, kit, 0));
  problem.links = {link(0, 2, {{false, false, false}, {false, false, false}})};
  CHECK(built(problem).status == KitStatus::none);
}

TEST_CASE("what several pieces leave to one is what all of them do") {
  KitProblem problem;
  problem.pieces = {{{100, 0, 0}, {200, 0, 0}},
                    {{100, 0, 0}, {300, 0, 0}},
                    {{100, 0, 0}, {400, 0, 0}},
                    {{10, 0, 0}, {10, 0, 0}, {10, 0, 0}}};
  problem.links = {link(0, 3, {{true, false, false}, {true, true, false}}),
                   link(1, 3, {{false, true, true}, {true, false, true}}),
                   link(2, 3, {{false, true, false}, {true, true, true}})};
  CHECK(built(problem).choice == Choice{1, 0, 0, 1});  // 410; by the first item of the last it is 810
  problem.links[0] = link(0, 3, {{true, false, false}, {true, false, false}});
  CHECK(built(problem).choice == Choice{0, 1, 1, 0});
}

TEST_CASE("links that are of no two pieces, of other candidates, or that close a circle are faults") {
  KitProblem problem;
  problem.pieces = {{{1, 0, -1}}, {{1, 0, -1}}, {{1, 0, -1}}};
  using Names = std::vector<std::vector<std::uint32_t>>;
  const Names one = {{7}};
  const auto fault = [&](std::vector<runtime::KitLink> links) {
    problem.links = std::move(links);
    const auto found = runtime::fault_of(problem);
    return found ? found->message : "none";
  };
  CHECK(fault({{0, 1, one, one}, {0, 2, one, Names{{}}}}) == "none");
  CHECK(fault({{1, 1, one, one}}) == "link 0 is between no two pieces");
  CHECK(fault({{0, 3, one, one}}) == "link 0 is between no two pieces");
  CHECK(fault({{0, 1, {}, one}}) == "link 0 is of other candidates");
  CHECK(fault({{0, 1, one, {{1}, {2}}}}) == "link 0 is of other candidates");
  CHECK(fault({{0, 1, one, {{1, 1}}}}) == "link 0 has names that do not rise");
  CHECK(fault({{0, 1, one, one}, {0, 2, one, one}, {1, 2, one, one}}) == "link 2 closes a circle");
}

TEST_CASE("deals stand together only where they add, and parts are of the list price") {
  KitProblem problem;
  problem.pieces = {{{1'000, 0, 3}}, {{2'000, 0, 3}}};
  problem.deals = {over(problem, 2, 2, runtime::PartOff{1, 10}), over(problem, 2, 2, runtime::SumOff{250}),
                   over(problem, 1, 1, runtime::PartOff{1, 5})};
  auto bill = built(problem).bill;
  CHECK(bill.total == 2'700);
  REQUIRE(bill.applications.size() == 1);
  CHECK(bill.applications[0].deal == 0);
  CHECK(bill.applications[0].off == 300);
  let_all_add(problem);
  problem.adds[0][1] = problem.adds[1][0] = false;
  bill = built(problem).bill;  // 100 + 200 + 200
  CHECK(bill.total == 2'500);
  REQUIRE(bill.applications.size() == 2);
  CHECK(bill.applications[1].deal == 2);
  CHECK(bill.lines[0].off == 300);
  CHECK(bill.saved == 500);
  let_all_add(problem);
  CHECK(built(problem).bill.total == 2'250);
}

TEST_CASE("of two deals that come to the same, the first stands") {
  KitProblem problem;
  problem.pieces = {{{1'000, 0, 0}}};
  problem.deals = {over(problem, 1, 1, runtime::SumOff{100}), over(problem, 1, 1, runtime::PartOff{1, 10})};
  CHECK(built(problem).bill.applications[0].deal == 0);
  std::swap(problem.deals[0], problem.deals[1]);
  CHECK(built(problem).bill.applications[0].deal == 0);
}

TEST_CASE("a deal over one make counts each make's lines, and never those of no make") {
  KitProblem problem;
  problem.pieces = {{{1'000, 0, 1}}, {{1'000, 0, 2}}, {{1'000, 0, 1}}, {{1'000, 0, -1}}, {{1'000, 0, -1}}};
  problem.deals = {over(problem, 5, 2, runtime::PartOff{1, 4})};
  problem.deals[0].one_make = true;
  const auto bill = built(problem).bill;
  REQUIRE(bill.applications.size() == 1);
  CHECK(bill.applications[0].make == 1);
  CHECK(bill.applications[0].lines == Choice{0, 2});
  CHECK(bill.total == 4'500);
  problem.pieces[1][0].make = 1;
  CHECK(built(problem).bill.total == 4'250);
}

TEST_CASE("a bundle dearer than its lines does not stand") {
  KitProblem problem;
  problem.pieces = {{{3'000, 0, 0}, {6'000, 2'900, 0}}, {{1'000, 0, 0}}};
  problem.deals = {over(problem, 2, 2, runtime::OnePrice{4'100})};
  auto kit = built(problem);
  CHECK(kit.choice == Choice{1, 0});  // 4,100 less 2,900
  CHECK(kit.bill.saved == 2'900);
  problem.limit = 4'000;
  kit = built(problem);
  CHECK(kit.choice == Choice{0, 0});
  CHECK(kit.bill.total == 4'000);
  CHECK(kit.bill.applications.empty());
}

TEST_CASE("a total is never below nothing") {
  KitProblem problem;
  problem.pieces = {{{300, 0, 0}, {500, 100, 0}, {900, 150, 0}}};
  problem.deals = {over(problem, 1, 1, runtime::SumOff{800})};
  const auto kit = built(problem);
  CHECK(kit.choice == Choice{1});  // 0 less 100; the third is 100 less 150
  CHECK(kit.bill.total == 0);
  CHECK(kit.bill.saved == 500);
  CHECK(kit.bill.applications[0].off == 800);
}

TEST_CASE("parts are rounded line by line, or once a bill, halves in the customer's favour") {
  KitProblem problem;
  problem.pieces = {{{105, 0, 0}}, {{105, 0, 0}}, {{104, 0, 0}}};
  problem.deals = {over(problem, 3, 3, runtime::PartOff{1, 10})};
  auto bill = built(problem).bill;  // 10.5, 10.5, 10.4
  CHECK(bill.lines[0].off == 11);
  CHECK(bill.lines[2].off == 10);
  CHECK(bill.total == 314 - 32);
  problem.rounding = Rounding::per_bill;
  const auto kit = built(problem);
  CHECK(kit.bill.total == 314 - 31);  // 31.4
  CHECK(kit.scale == 10);
  CHECK(kit.value == 2'826);
  CHECK(std::accumulate(kit.bill.lines.begin(), kit.bill.lines.end(), std::int64_t{0},
                        [](std::int64_t sum, const auto& line) { return sum + line.off; }) == 31);
}

TEST_CASE("what is asked wrongly is refused, and no pieces are a kit of nothing") {
  KitProblem problem;
  CHECK(built(problem).status == KitStatus::best);
  CHECK(built(problem).bill.total == 0);
  problem.pieces = {{{100, 0, 0}}, {}};
  CHECK(runtime::fault_of(problem).value().message == "piece 1 has no candidates");
  CHECK(runtime::build_kit(problem).status == KitStatus::refused);
  problem.pieces[1] = {{100, 0, 0}};
  problem.deals = {over(problem, 2, 1, runtime::OnePrice{100})};
  CHECK(runtime::fault_of(problem).value().message == "deal 0 has one price for some of its pieces only");
  problem.deals[0].at_least = 2;
  CHECK_FALSE(runtime::runner_up(problem, built(problem), 0));
}

TEST_CASE("one more item, or a higher limit, never makes it worse") {
  for (std::uint64_t seed = 1; seed <= 150; ++seed) {
    INFO("seed " << seed);
    auto problem = kits::any_shop(seed);
    const auto whole = built(problem);
    kits::Chance chance(seed);
    auto fewer = problem;
    const auto p = static_cast<std::size_t>(chance.between(0, static_cast<std::int64_t>(problem.pieces.size()) - 1));
    if (fewer.pieces[p].size() > 1) {
      fewer.pieces[p].pop_back();
      for (auto& deal : fewer.deals)
        if (!deal.reaches[p].empty()) deal.reaches[p].pop_back();
      for (auto& link : fewer.links) {
        if (link.first == p) link.first_names.pop_back();
        if (link.second == p) link.second_names.pop_back();
      }
      const auto without = built(fewer);
      if (without.has_kit()) {
        REQUIRE(whole.has_kit());
        REQUIRE(whole.value <= without.value);
      }
    }
    if (!problem.limit) continue;
    *problem.limit += chance.between(1, 500);
    const auto higher = built(problem);
    if (!whole.has_kit()) continue;
    REQUIRE(higher.has_kit());
    REQUIRE(higher.value <= whole.value);
  }
}

TEST_CASE("the order of the pieces changes no value") {
  for (std::uint64_t seed = 1; seed <= 150; ++seed) {
    INFO("seed " << seed);
    auto problem = kits::any_shop(seed);
    const auto kit = built(problem);
    std::reverse(problem.pieces.begin(), problem.pieces.end());
    for (auto& deal : problem.deals) {
      std::reverse(deal.reaches.begin(), deal.reaches.end());
      std::reverse(deal.off.begin(), deal.off.end());
    }
    for (auto& link : problem.links) {
      const auto last = problem.pieces.size() - 1;
      std::tie(link.first, link.second) = std::pair(last - link.second, last - link.first);
      std::swap(link.first_names, link.second_names);
    }
    const auto other = built(problem);
    REQUIRE(other.status == kit.status);
    REQUIRE(other.value == kit.value);
    REQUIRE(other.bill.total == kit.bill.total);
  }
}

TEST_CASE("where the budget ends, the kit is a true one and the gap is honest") {
  std::size_t so_far = 0, unsettled = 0;
  for (std::uint64_t seed = 1; seed <= 150; ++seed) {
    INFO("seed " << seed);
    const auto problem = kits::any_shop(seed);
    const auto best = built(problem);
    for (std::uint64_t budget = 0; budget < best.work; budget = budget * 3 + 100) {
      const auto kit = runtime::build_kit(problem, budget);
      REQUIRE(kit.work <= budget);
      REQUIRE((kit.status == KitStatus::best_so_far || kit.status == KitStatus::unsettled));
      if (best.has_kit()) REQUIRE(kit.bound <= best.value);
      unsettled += kit.has_kit() ? 0 : 1;
      if (!kit.has_kit()) continue;
      ++so_far;
      REQUIRE(kit.value >= best.value);
      REQUIRE(kit.bill.total == runtime::bill_of(problem, kit.choice).total);
      if (problem.limit) REQUIRE(kit.bill.total <= *problem.limit);
    }
    REQUIRE(runtime::build_kit(problem, best.work).status == best.status);
  }
  CHECK(so_far > 100);
  CHECK(unsettled > 100);
}

TEST_CASE("the runner-up of a large shop is what is built without the item") {
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    INFO("seed " << seed);
    const auto problem = kits::any_shop(seed);
    const auto kit = built(problem);
    if (!kit.has_kit()) continue;
    for (std::size_t p = 0; p < problem.pieces.size(); ++p) {
      // Nobody takes an item worth that little where there is another.
      auto without = problem;
      without.pieces[p][kit.choice[p]].worth = -largest_sum / 100;
      const auto expected = built(without);
      const auto other = runtime::runner_up(problem, kit, p);
      const bool there_is_one = expected.has_kit() && expected.choice[p] != kit.choice[p];
      REQUIRE(other.has_value() == there_is_one);
      if (!other) continue;
      REQUIRE(other->choice == expected.choice);
      REQUIRE(other->value == expected.value);
    }
  }
}
