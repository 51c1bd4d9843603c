// A policy sealed and loaded again is the same policy: every advice, every quote, every chart and every finding is the
// same byte for byte, and it seals to the same document.
#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <regex>

#include "compiler/proof/proof.hpp"
#include "compiler/values/days.hpp"
#include "runtime/advice/json.hpp"
#include "runtime/advice/text.hpp"
#include "runtime/chart/chart_json.hpp"
#include "runtime/chart/findings.hpp"
#include "runtime/chart/wall_chart.hpp"
#include "runtime/compare/comparison.hpp"
#include "runtime/quote/json.hpp"
#include "runtime/rehearse/rehearsal.hpp"
#include "runtime/seal/sealed_policy.hpp"
#include "tests/runtime/seal/policies.hpp"
#include "tests/support/places.hpp"
#include "tests/support/settings.hpp"

namespace {

using namespace lacestay;
using namespace lacestay::tests;
using Policy = std::shared_ptr<const compiler::Policy>;

// A few thousand players where whole runs are asked for (DEVELOPERS.md).
const std::size_t many_players = whole() ? 2000 : 200;
const std::int64_t today = compiler::day_number(2026, 11, 25);

Policy loaded(const std::string& document) {
  const auto unsealed = runtime::unseal(document).value();
  CHECK(unsealed.sha256 == runtime::sha256_in(document));
  return unsealed.policy;
}

// Both policies, each with its engine.
struct Two {
  explicit Two(Policy policy)
      : plain(engine_of(policy)), sealed(engine_of(loaded(runtime::seal(*policy)))), seed(policy->title.size()) {}

  std::shared_ptr<const runtime::Engine> plain, sealed;
  std::uint64_t seed;

  void same_advice(const runtime::Player& player) const {
    const auto before = runtime::advise(*plain, player, today), now = runtime::advise(*sealed, player, today);
    const auto json = runtime::json_text(runtime::json_of(before));
    if (json != runtime::json_text(runtime::json_of(now))) CHECK(json == runtime::json_text(runtime::json_of(now)));
    if (runtime::text_of(before) != runtime::text_of(now)) CHECK(runtime::text_of(before) == runtime::text_of(now));
  }
  void same_advice(std::size_t players) const {
    naive::Draw draw(seed);
    for (std::size_t i = 0; i < players; ++i) same_advice(random_player(plain->policy(), draw, i % 4 == 0 ? 4 : 0));
  }
  void same_charts() const {
    const auto text = [](const runtime::Engine& engine) {
      return runtime::text_of(engine.policy(), runtime::wall_tables(engine.policy(), {}));
    };
    CHECK(text(*plain) == text(*sealed));
    CHECK(runtime::json_text(runtime::chart_json(plain->policy())) ==
          runtime::json_text(runtime::chart_json(sealed->policy())));
  }
  void same_findings() const {
    const auto text = [](const runtime::Engine& engine) {
      const auto proof = compiler::prove(engine.policy());
      std::string out;
      for (const auto& each : runtime::told(engine, proof))
        out += render(each) + runtime::json_text(runtime::json_of(each));
      return out;
    };
    CHECK(text(*plain) == text(*sealed));
  }
  void no_difference() const {
    for (const auto& [earlier, later] : {std::pair{plain, sealed}, {sealed, plain}}) {
      const auto difference = compiler::differences(earlier->policy(), later->policy());
      CHECK_FALSE(runtime::comparison_of(*earlier, *later, difference).any());
    }
  }
  void same_document() const {
    const auto document = runtime::seal(plain->policy());
    CHECK(runtime::seal(sealed->policy()) == document);
    CHECK(runtime::seal(*loaded(runtime::seal(sealed->policy()))) == document);
  }
};

std::string with_line_ends(const std::string& text, const std::string& end) {
  return std::regex_replace(text, std::regex("\n"), end);
}

TEST_CASE("the shipped policies answer the same when sealed") {
  for (const auto* file : {"northgate.fitting", "northgate_edition_3.fitting"}) {
    INFO(file);
    const Two two(shipped_policy(file));
    two.same_document();
    two.same_charts();
    two.same_findings();
    two.no_difference();
    two.same_advice(many_players);
    grammar::Diagnostics problems;
    for (const auto* name : {"policies/saturday.players", "policies/noticing.players"}) {
      const auto players = runtime::read_players(two.sealed->policy(), name, text_of_file(name), problems);
      REQUIRE(problems.empty());
      REQUIRE(players.players.size() > 5);
      for (const auto& each : players.players) two.same_advice(each.player);
    }
  }
}

TEST_CASE("quotes from the shipped stock are the same when sealed") {
  const Two two(shipped_policy("northgate.fitting"));
  const auto folder = std::filesystem::path(in_policies("stock"));
  const auto stock = runtime::read_stock(two.plain->policy(), folder, {});
  const auto sealed_stock = runtime::read_stock(two.sealed->policy(), folder, {});
  const auto same_quote = [&](const runtime::Player& player, std::optional<std::int64_t> limit) {
    const auto json = [&](const runtime::Engine& engine, const runtime::Stock& from) {
      return runtime::json_text(runtime::json_of(runtime::quote(engine, player, from, today, limit)));
    };
    CHECK(json(*two.plain, stock) == json(*two.sealed, sealed_stock));
  };
  grammar::Diagnostics problems;
  const auto name = "policies/saturday.players";
  for (const auto& each : runtime::read_players(two.plain->policy(), name, text_of_file(name), problems).players)
    for (const auto limit : {std::optional<std::int64_t>(), std::optional<std::int64_t>(40'000), each.can_spend})
      same_quote(each.player, limit);
  naive::Draw draw(7);
  for (int i = 0; i < 60; ++i) same_quote(random_player(two.plain->policy(), draw), std::nullopt);
}

void all_the_same(const Policy& policy, std::size_t players) {
  const Two two(policy);
  two.same_document();
  two.same_charts();
  two.same_findings();
  two.no_difference();
  two.same_advice(players);
}

TEST_CASE("a policy with every construct, and any line ends, answers the same when sealed") {
  for (const auto* end : {"\n", "\r\n", "\r"}) all_the_same(compiled(with_line_ends(corner_shop(), end)), 400);
}

TEST_CASE("the reference page's policies answer the same when sealed") {
  const auto all = reference_policies();
  REQUIRE(all.size() > 10);
  for (const auto& each : all) {
    INFO(each.name);
    all_the_same(each.policy, 100);
  }
}

TEST_CASE("random policies answer the same when sealed") {
  for (const auto& each : random_policies(1, 150)) {
    INFO(each.name);
    all_the_same(each.policy, 40);
  }
}

}  // namespace
