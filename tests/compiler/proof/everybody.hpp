// A generated policy so coarse that every player can be tried: the proof's findings, and beside them what the naive
// evaluator and the table's own rows say of each player. The tests that compare the two build on it.
#pragma once

#include <bitset>
#include <functional>
#include <map>
#include <memory>
#include <set>
#include <string>
#include <vector>

#include "compiler/proof/proof.hpp"
#include "compiler/tables/policy.hpp"
#include "tests/compiler/proof/asked.hpp"
#include "tests/reference/evaluator.hpp"

namespace lacestay::judges {

constexpr std::size_t most_players = 300;
using Players = std::bitset<most_players>;
using RulePair = std::pair<compiler::RuleId, compiler::RuleId>;

// What was compared, how often, and what differed; of each difference the shortest policy that shows it is kept.
class Tally {
 public:
  void count(const std::string& subject, const std::string& what, std::size_t times) {
    counts_[subject][what] += times;
  }
  void differs(const std::string& what, const std::string& where, std::uint64_t seed, const std::string& policy);
  [[nodiscard]] bool differs() const { return !differences_.empty(); }
  [[nodiscard]] std::size_t counted(const std::string& subject, const std::string& what) {
    return counts_[subject][what];
  }
  // A line for each subject, and all of each difference.
  [[nodiscard]] std::string told() const;

 private:
  struct Difference {
    std::size_t times = 0;
    std::uint64_t seed = 0;
    std::string policy, where;
  };
  std::map<std::string, std::map<std::string, std::size_t>> counts_;
  std::map<std::string, Difference> differences_;
};

class Everybody {
 public:
  Everybody(std::uint64_t seed, Tally& tally);
  [[nodiscard]] bool compiles() const { return policy_ != nullptr; }
  // Proves the policy and tries every player. False where nobody can be: then the proof says so, and nothing else.
  bool try_all();

 protected:
  // Of players, who are numbered: the value of an asked detail, in steps from the lowest.
  [[nodiscard]] std::int64_t step(std::size_t player, std::size_t detail) const;
  [[nodiscard]] std::vector<std::int64_t> steps(std::size_t player) const;
  [[nodiscard]] std::size_t shown(const compiler::Finding& finding, std::size_t which = 0) const {
    return by_readings_.at(finding.players.at(which));
  }
  // Who is in a box over the proof's tables.
  [[nodiscard]] Players who(const compiler::Box& box) const;

  // Of the table at hand, `table_`.
  [[nodiscard]] const compiler::Table& table() const { return policy_->tables.tables[table_]; }
  [[nodiscard]] bool of_property() const { return table().kind == compiler::Table::Kind::property; }
  [[nodiscard]] std::vector<const compiler::Finding*> findings(const std::set<compiler::Finding::Kind>& kinds) const;
  // Those that apply to a player.
  [[nodiscard]] std::vector<std::uint32_t> rows_of(std::size_t player) const;
  // By a gap or a clash: a claim that is broken, or has nobody to compare, leaves everybody an answer.
  [[nodiscard]] bool refused() const;
  // Whether the piece's need, omit and suggest say nothing new, since its declaration tells who has it.
  [[nodiscard]] bool declared() const;
  // Of any table: to whom a row applies and no rule that outranks it; of a property's, to whom a refer speaks.
  [[nodiscard]] Players speaks(compiler::TableId id, std::uint32_t row) const;
  [[nodiscard]] Players to_fitter(compiler::TableId id) const;
  [[nodiscard]] Players present() const;  // who has the piece, or the property's piece
  [[nodiscard]] Players standing(naive::Standing standing) const;
  [[nodiscard]] Players told(naive::PropertyOutcome::Kind kind) const;
  [[nodiscard]] const naive::PropertyOutcome* property(
      std::size_t player) const;  // null where the piece is not present
  // Whether a refer speaks of the property to the player, who may be one who cannot be.
  [[nodiscard]] bool is_referred(std::size_t player) const;
  [[nodiscard]] const naive::Standing& standing(std::size_t player) const;

  void count(const std::string& subject, const std::string& what, std::size_t times = 1) {
    tally_.count(subject, what, times);
  }
  void same(const std::string& what, bool is, const std::string& where = "");

  std::uint64_t seed_;
  Tally& tally_;
  std::vector<naive::TextFile> files_;
  naive::Policy naive_;
  std::shared_ptr<const compiler::Policy> policy_;
  compiler::Proof proof_;
  compiler::TableId table_ = 0, tables_ = 0;  // at hand; of properties and pieces

  std::size_t count_ = 1;
  Players everybody_;  // who can be; no other set but `raw_claimed_` has others
  std::vector<AskedRange> asked_;
  std::vector<std::size_t> stride_;  // by asked detail: from one player to the next step of it
  std::vector<naive::Outcome> outcomes_;
  std::vector<std::vector<std::uint32_t>> places_;  // by player, by column of the proof's tables
  std::vector<std::vector<Players>> applies_;       // by table, by row
  std::vector<Players> claimed_, raw_claimed_;      // by claim: who it speaks of; also of those who cannot be

 private:
  [[nodiscard]] const naive::PieceOutcome& piece(std::size_t player) const;

  std::string text_;
  std::map<compiler::Readings, std::size_t> by_readings_;
};

// Policies from 800 seeds, ten times as many where LACESTAY_WHOLE is set, or the one of LACESTAY_SEED. Checks is an
// Everybody that can `check()`. Prints the tally, and fails the test on any difference.
void try_policies(const std::function<void(std::uint64_t seed, Tally& tally)>& check);
template <typename Checks>
void try_policies() {
  try_policies([](std::uint64_t seed, Tally& tally) {
    Checks checks(seed, tally);
    tally.count("policies", checks.compiles() ? "tried" : "that do not compile", 1);
    if (!checks.compiles()) return;
    if (checks.try_all()) checks.check();
  });
}

}  // namespace lacestay::judges
