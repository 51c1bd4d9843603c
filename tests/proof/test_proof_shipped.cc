// The proof of the shipped policy, and of what a slip of the pen makes of it: each planted edit is refused, about the
// right rule, with a player the engine shows it on and a person can check by hand (the messages are printed). And the
// hard case: many details, each rule looking at a few of them, ends within its budget.
#include <sys/resource.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <chrono>
#include <filesystem>
#include <iostream>
#include <sstream>

#include "compiler/compile.hpp"
#include "compiler/proof.hpp"
#include "runtime/findings.hpp"
#include "tests/bench/proof_cases.hpp"

namespace {

using namespace lacestay;
using compiler::Finding;
using compiler::Proof;
using Kind = Finding::Kind;
using Standing = compiler::Standing;

const std::filesystem::path policies = std::filesystem::path(LACESTAY_ROOT) / "policies";

std::string text_of(const std::filesystem::path& path) {
  const auto held = compiler::read_text_file(path);
  INFO(path);
  REQUIRE(held.text);
  return *held.text;
}

// One edit of the shipped policy, made on its text. What stands there must stand there once.
struct Edit {
  std::string file, was, is;
};

std::shared_ptr<const compiler::Policy> shipped(const Edit& edit) {
  bool made = edit.file.empty();
  const auto read = [&](const std::string& path) {
    auto text = text_of(policies / path);
    if (path == edit.file) {
      INFO(edit.was);
      const auto at = text.find(edit.was);
      REQUIRE(at != std::string::npos);
      REQUIRE(text.find(edit.was, at + 1) == std::string::npos);
      text.replace(at, edit.was.size(), edit.is);
      made = true;
    }
    return compiler::FileText{text, ""};
  };
  const std::string own = "northgate.fitting";
  const auto text = read(own).text.value();
  const auto compiled = compiler::compile(own, text, read);
  INFO(grammar::render(compiled.diagnostics));
  REQUIRE(compiled.policy);
  REQUIRE(made);
  return compiled.policy;
}

// The findings that refuse the policy, each as its owner reads it.
std::vector<std::string> messages(const runtime::Engine& engine, const Proof& proof) {
  std::vector<std::string> all;
  const auto told = runtime::told(engine, proof);
  for (std::size_t i = 0; i < told.size(); ++i)
    if (proof.findings[i].refuses()) all.push_back(grammar::render(told[i]));
  return all;
}

std::string named(const compiler::Policy& policy, compiler::TableId id) {
  const auto& table = policy.tables.tables[id];
  if (table.kind == compiler::Table::Kind::piece) return policy.pieces[table.target].name;
  const auto& property = policy.properties[table.target];
  return policy.pieces[property.piece].name + " " + property.name;
}

// What the engine says of a player.
compiler::Outcome outcome(const runtime::Engine& engine, compiler::TableId table, const compiler::Readings& player) {
  auto scratch = engine.scratch();
  engine.place(player, scratch);
  return engine.outcome(table, engine.look_up(table, scratch.places));
}

// What is expected of one edit: one finding, of a kind, about a property or a piece, naming these rules; and the whole
// message its owner reads.
struct Expected {
  std::string title;
  Edit edit;
  Kind kind;
  std::string about;
  std::vector<std::string> rules;
  std::string message;
};

void check(const Expected& expected) {
  INFO(expected.title);
  const auto policy = shipped(expected.edit);
  std::string why;
  const auto engine = runtime::Engine::build(policy, why);
  REQUIRE(engine);
  const auto proof = compiler::prove(*policy);
  CHECK(proof.refused());
  const auto told = messages(*engine, proof);
  std::cout << "--- " << expected.title << "\n";
  for (const auto& message : told) std::cout << message;
  std::cout << std::flush;
  REQUIRE(told.size() == 1);
  CHECK(told.front() == expected.message);
  const auto& finding = proof.findings.front();
  CHECK(finding.kind == expected.kind);
  CHECK(named(*policy, finding.table) == expected.about);
  std::vector<std::string> rules;
  for (const auto rule : finding.rules) rules.push_back(policy->rules[rule].name);
  CHECK(rules == expected.rules);
  REQUIRE(finding.players.size() == 1);
  const auto shows = outcome(*engine, finding.table, finding.players.front());
  switch (expected.kind) {
    case Kind::gap: CHECK(shows.standing == Standing::gap); break;
    case Kind::two_answers: CHECK(shows.standing == Standing::clash); break;
    default: {
      const auto& sure = policy->sures[finding.sure];
      REQUIRE(finding.kind == Kind::sure_broken);
      CHECK(shows.standing == Standing::answered);
      CHECK((sure.kind == compiler::Sure::Kind::at_most ? shows.high > sure.high
                                                        : shows.low < sure.low || shows.high > sure.high));
    }
  }
}

TEST_CASE("the shipped policy is proved, and all it makes sure of holds") {
  const auto policy = shipped({});
  const auto proof = compiler::prove(*policy);
  std::string why;
  const auto engine = runtime::Engine::build(policy, why);
  REQUIRE(engine);
  CHECK(messages(*engine, proof).empty());
  CHECK_FALSE(proof.refused());
  CHECK(proof.left_out == 0);
  CHECK(proof.tables_proved == policy->properties.size() + policy->pieces.size());
  const auto text = text_of(policies / "northgate.fitting");
  std::size_t lines = 0;
  for (auto at = text.find("\nmake sure "); at != std::string::npos; at = text.find("\nmake sure ", at + 1)) ++lines;
  CHECK(lines > 0);
  CHECK(policy->sures.size() == lines);
}

TEST_CASE("an edge moved") {
  check({"a boot's last length moved from 315 mm to 310 mm",
         {"northgate/skater.fitting", "size skates size from boot_length\n  for foot_length at most 315 mm",
          "size skates size from boot_length\n  for foot_length at most 310 mm"},
         Kind::gap,
         "skates size",
         {},
         R"(proof-1: x
)"});
  check({"a weight in the flex chart moved from 50 kg to 55 kg",
         {"northgate/skater.fitting", "under 50 kg:  40 to  55 flex", "under 55 kg:  40 to  55 flex"},
         Kind::sure_broken,
         "stick flex",
         {},
         R"(x
)"});
}

TEST_CASE("a row or a rule dropped") {
  check({"the flex chart without its row from 40 kg up to 50 kg",
         {"northgate/skater.fitting", "    under 50 kg:  40 to  55 flex\n", ""},
         Kind::sure_broken,
         "stick flex",
         {},
         R"(x
)"});
  check({"no rule for the stick of a very tall player",
         {"northgate/skater.fitting", "rule very_tall\n  refer stick length\n  for height over 200 cm\n", ""},
         Kind::gap,
         "stick length",
         {},
         R"(x
)"});
}

TEST_CASE("an outranks removed") {
  check({"the sums of young boots no longer go before those of all boots",
         {"northgate/skater.fitting", "for age under 16, weight under 60 kg\n  outranks boot_sum\n",
          "for age under 16, weight under 60 kg\n"},
         Kind::two_answers,
         "skates sum",
         {"boot_sum", "young_boot_sum"},
         R"(x
)"});
}

// A finding in words, to tell two apart.
std::string written(const compiler::Policy& policy, const Proof& proof, const Finding& finding) {
  std::ostringstream out;
  out << static_cast<int>(finding.kind) << " table " << finding.table << " sure " << finding.sure << " share "
      << finding.share << " for " << runtime::as_conditions(policy, proof.tables, finding.region) << " rules";
  for (const auto rule : finding.rules) out << " " << rule;
  out << " rows";
  for (const auto row : finding.rows) out << " " << row;
  for (const auto& player : finding.players) {
    out << " player";
    for (const auto value : player) out << " " << value;
  }
  return out.str();
}

// The rows of the drawn table that take the player, worked out from the draw, not from what was compiled.
std::vector<std::string> rules_for(const bench::CaseTable& table, const compiler::Readings& player) {
  std::vector<std::string> rules;
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    bool taken = true;
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
      const auto& cell = table.rows[i][c];
      taken = taken && (table.columns[c].numeric ? player[c] >= cell.low * compiler::ticks_per_one &&
                                                       player[c] <= cell.high * compiler::ticks_per_one
                                                 : (cell.members >> player[c] & 1) != 0);
    }
    if (taken) rules.push_back("r" + std::to_string(i));
  }
  return rules;
}

std::shared_ptr<const compiler::Policy> compiled(const bench::CaseTable& table) {
  const auto none = [](const std::string&) { return compiler::FileText{std::nullopt, "there is none"}; };
  const auto made = compiler::compile("many.fitting", table.text(), none);
  INFO(grammar::render(made.diagnostics));
  REQUIRE(made.policy);
  return made.policy;
}

TEST_CASE("many details, each rule looking at three of them") {
  for (std::uint64_t seed = 1; seed <= 4; ++seed) {
    const auto table = bench::mostly_any(seed, 100, 12);
    const auto policy = compiled(table);
    const auto start = std::chrono::steady_clock::now();
    const auto proof = compiler::prove(*policy);
    const std::chrono::duration<double, std::milli> took = std::chrono::steady_clock::now() - start;
    REQUIRE(proof.refused());
    std::size_t gaps = 0, clashes = 0, not_settled = 0;
    for (const auto& finding : proof.findings) {
      if (!finding.refuses()) continue;
      INFO(written(*policy, proof, finding));
      if (finding.kind == Kind::not_settled) {
        ++not_settled;
        continue;
      }
      REQUIRE(finding.players.size() == 1);
      const auto rules = rules_for(table, finding.players.front());
      if (finding.kind == Kind::gap) {
        ++gaps;
        CHECK(rules.empty());
        continue;
      }
      REQUIRE(finding.kind == Kind::two_answers);
      ++clashes;
      for (const auto rule : finding.rules)
        CHECK(std::count(rules.begin(), rules.end(), policy->rules[rule].name) == 1);
    }
    CHECK(gaps + clashes + not_settled > 0);
    std::cout << "12 details, 100 rules of three conditions, seed " << seed << ": " << gaps << " gaps, " << clashes
              << " clashes, " << proof.left_out << " left out, " << not_settled << " not settled, in " << took.count()
              << " ms\n";
    const auto again = compiler::prove(*policy);
    REQUIRE(again.findings.size() == proof.findings.size());
    CHECK(again.left_out == proof.left_out);
    for (std::size_t i = 0; i < proof.findings.size(); ++i)
      CHECK(written(*policy, again, again.findings[i]) == written(*policy, proof, proof.findings[i]));
  }
  rusage used{};
  getrusage(RUSAGE_SELF, &used);
  std::cout << "at most " << used.ru_maxrss / 1024 << " MiB of memory\n";
  CHECK(used.ru_maxrss < 2 * 1024 * 1024);  // KiB
}

TEST_CASE("a policy that could not be settled is refused") {
  // Told by a budget too small for it: the shipped policy itself is proved.
  const auto policy = shipped({});
  compiler::ProofBudget budget;
  budget.edges = 10;
  const auto proof = compiler::prove(*policy, budget);
  CHECK(proof.refused());
  CHECK(proof.tables_proved < policy->properties.size() + policy->pieces.size());
  for (const auto& finding : proof.findings)
    if (finding.refuses()) CHECK(finding.kind == Kind::not_settled);
  std::string why;
  const auto engine = runtime::Engine::build(policy, why);
  REQUIRE(engine);
  std::cout << messages(*engine, proof).front();
}

}  // namespace
