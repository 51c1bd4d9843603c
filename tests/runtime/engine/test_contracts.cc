// Preconditions that headers state and a release does not look at: here the sources that state them are compiled with
// assertions on, and each is broken once. The program must end there, and must not where the precondition holds.
#include <sys/resource.h>

#include <catch2/catch.hpp>
#include <csignal>
#include <cstdio>
#include <functional>
#include <string>

#include "compiler/check/compile.hpp"
#include "compiler/space/box_partition.hpp"
#include "compiler/space/branch_and_prune.hpp"
#include "compiler/space/reach.hpp"
#include "compiler/space/uncovered.hpp"
#include "runtime/engine/engine.hpp"
#include "tests/support/process.hpp"

namespace {

using namespace lacestay;
using compiler::Box;
using compiler::BranchAndPrune;

// Whether an assertion ends a process that does this.
bool asserts(const std::function<void()>& work) {
  std::fflush(nullptr);
  tests::Forked apart([&] {
    std::signal(SIGABRT, SIG_DFL);
    const rlimit no_core{0, 0};
    setrlimit(RLIMIT_CORE, &no_core);
    if (!std::freopen("/dev/null", "w", stderr)) return 2;
    work();
    return 0;
  });
  const auto ran = apart.ended();
  if (ran.signal == 0) REQUIRE(ran.code == 0);
  return ran.signal == SIGABRT;
}

std::shared_ptr<const compiler::Policy> small_policy() {
  return compiler::compile("small.fitting",
                           "policy \"Small\"\nedition 1, in force from 1 September 2026\nask age 4 to 20 years, whole\n"
                           "piece p always\n  q grades a, b\nchart c gives p q\n  down age\n    under 9: a\n"
                           "    the rest: b\n",
                           [](const std::string&) {
                             return Problem{"file-5", "there is none"};
                           })
      .policy;
}

TEST_CASE("a precondition that is broken ends a build with assertions") {
  const auto policy = small_policy();
  REQUIRE(policy);
  const auto engine = runtime::Engine::build(policy).value();
  const auto age = [&](std::int64_t years) {
    const auto& domain = policy->tables.asked.front();
    return domain.lowest + (years - 4) * domain.grain;
  };
  const auto answer = [&](std::vector<std::int64_t> readings, std::size_t answers) {
    auto scratch = engine->scratch();
    std::vector<runtime::ClassId> out(answers);
    engine->answer(readings, scratch, out);
  };
  const auto place = [](std::vector<std::int64_t> edges, std::int64_t value) {
    static_cast<void>(runtime::Ruler(std::move(edges), 0, 100).reached(value));
  };
  const auto look_for = [&](const Box& box, const Box& within) {
    const Box* boxes[] = {&box};
    static_cast<void>(compiler::uncovered(policy->tables, boxes, within, 10, 1'000));
  };
  const auto bounded = [&](const std::vector<compiler::ValueRange>& ranges) {
    static_cast<void>(compiler::Reach(policy->tables).over(ranges));
  };
  const auto split = [&](std::int64_t last_below) {
    BranchAndPrune space(policy->tables, {{age(4), age(20)}}, 100);
    bool first = true;
    const auto look = [&](const BranchAndPrune::Part&) -> BranchAndPrune::Next {
      if (!std::exchange(first, false)) return BranchAndPrune::Prune{};
      return BranchAndPrune::Split{0, last_below};
    };
    space.run(look);
  };
  const Box young{{0, {{0, 0}}}}, empty{{0, {}}};
  struct Case {
    const char* what;
    std::function<void()> held, broken;
  };
  const Case cases[] = {
      {"an engine is built of a policy", [&] { static_cast<void>(runtime::Engine::build(policy)); },
       [&] { static_cast<void>(runtime::Engine::build(nullptr)); }},
      {"a reading for each asked detail", [&] { answer({age(9)}, engine->answers()); },
       [&] { answer({}, engine->answers()); }},
      {"room for each answer", [&] { answer({age(9)}, engine->answers()); }, [&] { answer({age(9)}, 0); }},
      {"edges ascend",
       [&] {
         place({10, 20}, 15);
       },
       [&] {
         place({20, 10}, 15);
       }},
      {"a value is not below the range",
       [&] {
         place({10, 20}, 0);
       },
       [&] {
         place({10, 20}, -1);
       }},
      {"a value is not above the range",
       [&] {
         place({10, 20}, 100);
       },
       [&] {
         place({10, 20}, 1'000);
       }},
      {"no box has an empty cell", [&] { look_for(young, {}); }, [&] { look_for(empty, {}); }},
      {"nor has the box within which is searched", [&] { look_for(young, young); }, [&] { look_for(young, empty); }},
      {"a range for each asked detail",
       [&] {
         bounded({{age(4), age(20)}});
       },
       [&] { bounded({}); }},
      {"a split leaves something on both sides", [&] { split(age(12)); }, [&] { split(age(20)); }},
  };
  for (const auto& each : cases) {
    INFO(each.what);
    CHECK_FALSE(asserts(each.held));
    CHECK(asserts(each.broken));
  }
}

}  // namespace
