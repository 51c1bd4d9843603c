// z3 asked about one policy: is there a player (or are there two) of whom something holds; does it hold of this one.
#pragma once

#include <functional>
#include <memory>

#include "tests/compiler/proof/z3_model.hpp"

namespace lacestay::judges {

using Steps = std::vector<std::int64_t>;  // a player, by asked detail

enum class Verdict { none, some, unknown };

// A claim about unknowns, in one encoding.
struct Claim {
  z3::expr about;
  std::vector<z3::expr> unknowns;
};
// Whether it holds anywhere. The relaxed encoding is made, and `relaxed` counted, only where the exact one alone does
// not settle it.
[[nodiscard]] Verdict settle(const Claim& exact, const std::function<Claim()>& loose, std::size_t& relaxed);
[[nodiscard]] bool true_at(const Claim& claim, const Steps& values);

class Judge {
 public:
  explicit Judge(const naive::Policy& policy);

  // What is asked, of one player; made for an encoding when that encoding is tried.
  using Question = std::function<z3::expr(Model& player)>;
  [[nodiscard]] Verdict ask(const Question& question);
  [[nodiscard]] bool holds(const Question& question, const Steps& player);

  // Of two players who may differ in some asked details alone; of the first of these the earlier has less.
  using Apart = std::vector<std::size_t>;
  using Pair = std::function<z3::expr(Model& earlier, Model& later)>;
  [[nodiscard]] Verdict ask(const Pair& question, const Apart& apart);
  [[nodiscard]] bool holds(const Pair& question, const Apart& apart, const Steps& earlier, const Steps& later);

  [[nodiscard]] const std::vector<AskedRange>& asked() const { return asked_; }
  // Some question so far multiplied two details that can each have many values.
  [[nodiscard]] bool multiplied() const;
  [[nodiscard]] std::size_t relaxed() const { return relaxed_; }  // questions the exact encoding alone did not settle

 private:
  // One encoding: the models of the two players, who share their unknowns but for some.
  struct Encoding {
    std::unique_ptr<Model> earlier, later;  // only `later` where one player is asked about
    std::vector<z3::expr> unknowns;         // the later player's steps, then the earlier one's own
    z3::expr domain;
  };
  Encoding& exact(const Apart& apart);
  Encoding& loose(const Apart& apart);
  std::unique_ptr<Encoding> encode(const Apart& apart, bool relaxed);
  Verdict settle_both(const Apart& apart, const std::function<z3::expr(Encoding&)>& question);

  z3::context context_;
  const naive::Policy& policy_;
  std::vector<AskedRange> asked_;
  std::map<Apart, std::unique_ptr<Encoding>> exact_, loose_;  // by none, of one player
  std::size_t relaxed_ = 0;
};

}  // namespace lacestay::judges
