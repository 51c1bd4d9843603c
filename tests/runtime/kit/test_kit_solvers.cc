// The builder against solvers from outside the project: GLPK's glpsol on each of 1,000 shops, CBC's cbc on 100 of them.
// A solver's kit must be worth exactly what ours is, and where it says that there is none, so must we. Its kit is
// priced by the plain bill of every_kit.hpp, so the builder's own is judged too.
//
// By default a sample; LACESTAY_WHOLE takes all; LACESTAY_SEED the one of that seed.
#include <catch2/catch.hpp>
#include <iostream>
#include <string>

#include "runtime/kit/builder.hpp"
#include "tests/runtime/kit/every_kit.hpp"
#include "tests/runtime/kit/shops.hpp"
#include "tests/runtime/kit/solver_model.hpp"
#include "tests/support/process.hpp"
#include "tests/support/settings.hpp"

namespace {

using namespace lacestay;
using kits::SolverModel;
using runtime::KitProblem;
using runtime::KitStatus;

constexpr int limit_s = 20;

// The exact value of a kit in 1/denominator minor units, or nothing where it is beyond the limit, or its items do not
// go together.
std::optional<std::int64_t> plain_value(const KitProblem& problem, const std::vector<std::size_t>& choice) {
  if (!kits::go_together(problem, choice)) return std::nullopt;
  const auto bill = kits::plain_bill(problem, choice);
  if (problem.limit && bill.paid > *problem.limit) return std::nullopt;
  auto value = bill.exact;
  for (std::size_t p = 0; p < choice.size(); ++p)
    value -= problem.pieces[p][choice[p]].worth * kits::denominator(problem);
  return value;
}

std::vector<std::size_t> cheapest_of_each(const KitProblem& problem) {
  std::vector<std::size_t> choice;
  for (const auto& piece : problem.pieces) {
    std::size_t cheapest = 0;
    for (std::size_t c = 0; c < piece.size(); ++c)
      if (piece[c].price < piece[cheapest].price) cheapest = c;
    choice.push_back(cheapest);
  }
  return choice;
}

struct Seeds {
  std::uint64_t first, step, last;
};

template <typename Ask>
void judge(const std::string& solver, Seeds seeds, Ask ask) {
  if (!tests::installed(solver)) return tests::skipped("there is no " + solver + " here");
  if (!tests::whole()) seeds.step *= 5;
  if (const auto seed = tests::one_seed()) seeds = {*seed, 1, *seed};
  std::size_t all = 0, none = 0, not_cheapest = 0, linked = 0, gave_up = 0;
  double seconds = 0;
  for (auto seed = seeds.first; seed <= seeds.last; seed += seeds.step) {
    INFO("seed " << seed);
    const auto problem = kits::any_shop(seed);
    REQUIRE(runtime::fault_of(problem) == std::nullopt);
    const auto kit = runtime::build_kit(problem);
    REQUIRE((kit.status == KitStatus::best || kit.status == KitStatus::none));
    ++all;
    linked += problem.links.empty() ? 0 : 1;
    if (kit.status == KitStatus::best) {
      REQUIRE(kit.bound == kit.value);
      const auto whole = kits::denominator(problem);
      REQUIRE(plain_value(problem, kit.choice).value() * kit.scale == kit.value * whole);
      const auto cheapest = plain_value(problem, cheapest_of_each(problem));
      if (!cheapest || *cheapest * kit.scale > kit.value * whole) ++not_cheapest;
    } else {
      ++none;
    }
    const auto answer = ask(SolverModel(problem));
    seconds += answer.seconds;
    if (answer.verdict == SolverModel::Verdict::gave_up) {
      ++gave_up;
      std::cout << solver << " gave up on seed " << seed << '\n';
      continue;
    }
    REQUIRE((answer.verdict == SolverModel::Verdict::none) == (kit.status == KitStatus::none));
    if (kit.status == KitStatus::none) continue;
    REQUIRE(answer.choice.size() == problem.pieces.size());
    REQUIRE(plain_value(problem, answer.choice) == plain_value(problem, kit.choice));
  }
  std::cout << solver << ": " << all << " shops, " << linked << " of them with items that go together, " << none
            << " without a kit, " << not_cheapest << " not the cheapest of each, " << gave_up << " given up, "
            << seconds << " s\n";
  if (tests::one_seed()) return;
  CHECK(not_cheapest * 2 >= all);
  CHECK(none > 0);
  CHECK(linked * 2 >= all);
  CHECK(gave_up * 50 <= all);
}

SolverModel::Answer glpsol(const SolverModel& model) { return model.ask_glpsol(limit_s); }
SolverModel::Answer cbc(const SolverModel& model) { return model.ask_cbc(limit_s); }

}  // namespace

// In parts, so that they run side by side.
TEST_CASE("kits as good as glpsol's, odd seeds", "[odd]") { judge("glpsol", {1, 2, 999}, glpsol); }
TEST_CASE("kits as good as glpsol's, even seeds", "[even]") { judge("glpsol", {2, 2, 1'000}, glpsol); }
TEST_CASE("kits as good as cbc's", "[cbc]") { judge("cbc", {5, 10, 1'000}, cbc); }
