// Proving again after an edit: the same findings as from nothing, and only what the edit touches proved again.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <random>

#include "compiler/proof/memory.hpp"
#include "runtime/chart/findings.hpp"
#include "tests/support/policy/compiled.hpp"

namespace {

using namespace lacestay;

// Forty properties over six details, each with a chart and some rules; `variant` changes one thing.
std::string policy(int variant) {
  std::string text = "policy \"Large\"\nedition 1, in force from 1 September 2026\nask age 4 to 90 years, whole\n";
  for (int i = 0; i < 5; ++i) text += fmt::format("ask d{} 0 to 200 kg\n", i);
  text += "work out both = d0 + d1\npiece p always\n";
  for (int i = 0; i < 40; ++i) text += fmt::format("  q{} grades a, b, c, d\n", i);
  text += "piece o optional\n";
  for (int i = 0; i < 40; ++i) {
    const bool edited = i == 7;
    text += fmt::format("chart c{0} gives p q{0}\n  across age  under {1}, the rest\n  down d{2}\n", i, 10 + i, i % 5);
    for (int k = 1; k < 20; ++k)
      text += fmt::format("    under {} kg: {}, c\n", k * 10 - (edited && k == 5 && variant == 1 ? 1 : 0),
                          edited && k == 3 && variant == 2 ? "d" : "b");
    text += "    the rest: c, d\n";
    text += fmt::format("rule f{0}\n  floor p q{0} at b\n  for d{1} over 150 kg, both at least {2} kg\n", i,
                        (i + 1) % 5, 100 + i);
  }
  if (variant == 3) text += "rule late\n  set p q7 to a\n  for age under 6\n";
  text +=
      "rule young\n  need o\n  for age under 18\nrule warm\n  suggest o\nmake sure o is needed for age under 12\nmake "
      "sure p q3 never falls as d3 rises\n";
  return text;
}

std::string told(const std::shared_ptr<const compiler::Policy>& policy, const compiler::Proof& proof) {
  const auto engine = tests::engine_of(policy);
  return render(runtime::told(*engine, proof)) +
         fmt::format("{} proved, {} left out", proof.tables_proved, proof.left_out);
}

TEST_CASE("after an edit only the properties it touches are proved again, with the findings of a fresh proof") {
  compiler::ProofMemory memory;
  const auto first = tests::policy_of("large.fitting", policy(0));
  const auto from_nothing = compiler::prove(*first);
  CHECK(told(first, compiler::prove(*first, memory)) == told(first, from_nothing));
  CHECK(memory.reused == 0);
  CHECK(memory.proved == 42);
  // Nothing changed; an edge moved; an answer changed; a rule added that clashes. Each touches one property.
  const auto again = compiler::prove(*first, memory);
  CHECK(memory.proved == 0);
  CHECK(memory.reused == 42);
  CHECK(told(first, again) == told(first, from_nothing));
  for (const int variant : {1, 2, 3, 0, 3, 1}) {
    const auto edited = tests::policy_of("large.fitting", policy(variant));
    const auto proof = compiler::prove(*edited, memory);
    INFO("variant " << variant);
    CHECK(memory.proved == 1);
    CHECK(memory.reused == 41);
    CHECK(told(edited, proof) == told(edited, compiler::prove(*edited)));
    CHECK(proof.refused() == (variant == 3));
  }
}

}  // namespace
