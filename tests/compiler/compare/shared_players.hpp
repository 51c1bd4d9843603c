// The players two editions share, and what each edition's answers mean, as the judges of a difference see them: read
// off the trees of both editions, without the compiler's tables.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "compiler/compare/difference.hpp"
#include "tests/compiler/compare/pairs.hpp"
#include "tests/compiler/proof/asked.hpp"

namespace lacestay::judges {

using compiler::OfSides;
using compiler::Side;

// A detail one edition or both ask. Of one that both ask, the range holds what both take, in their common steps.
struct SharedDetail {
  AskedRange range;                        // its `detail` means nothing
  OfSides<std::optional<std::size_t>> in;  // its place among that edition's asked ranges
};

class SharedPlayers {
 public:
  // Keeps references to the policies.
  SharedPlayers(const naive::Policy& earlier, const naive::Policy& later);

  [[nodiscard]] const std::vector<SharedDetail>& details() const { return details_; }
  [[nodiscard]] const std::vector<AskedRange>& asked(Side side) const { return asked_[side]; }
  [[nodiscard]] const naive::Policy& policy(Side side) const { return *policies_[side]; }
  [[nodiscard]] bool apart() const;
  // How many there are; nothing for more than `most`.
  [[nodiscard]] std::optional<std::size_t> count(std::size_t most) const;

  // Of players given by steps above each range's lowest value.
  using Steps = std::vector<std::int64_t>;
  [[nodiscard]] Steps at(std::size_t number) const;
  [[nodiscard]] naive::Player player(Side side, const Steps& steps) const;
  // An edition's step of a detail, for the shared one of a detail that has it.
  [[nodiscard]] std::int64_t own_step(Side side, std::size_t detail, std::int64_t step) const;
  // As the difference numbers details, and back.
  [[nodiscard]] compiler::Readings readings(const compiler::Difference& difference, const Steps& steps) const;
  [[nodiscard]] Steps steps(const compiler::Difference& difference, const compiler::Readings& readings) const;
  // By detail: its place in the difference's space.
  [[nodiscard]] std::vector<std::size_t> places(const compiler::Difference& difference) const;

 private:
  void share(std::optional<std::size_t> earlier, std::optional<std::size_t> later);

  OfSides<const naive::Policy*> policies_;
  OfSides<std::vector<AskedRange>> asked_;
  std::vector<SharedDetail> details_;
};

// An answer both editions can be asked for, by name: `skates`, `skates tier`, the name of a caution's rule.
struct SharedAnswer {
  enum class Kind { property, piece, caution } kind = Kind::property;
  OfSides<std::optional<std::size_t>> piece;  // for a property too
  OfSides<std::size_t> property;
  OfSides<std::optional<std::size_t>> voice;  // of a caution
  // Of a property, by its steps: what one means, alike where the two editions mean the same.
  OfSides<std::vector<std::string>> meaning;

  // What an edition says, as one text; alike where a customer is told the same. `steps` are a property's.
  [[nodiscard]] std::string said(Side side, const std::string& standing, std::int64_t low, std::int64_t high) const;
};
[[nodiscard]] std::map<std::string, SharedAnswer> shared_answers(const naive::Policy& earlier,
                                                                 const naive::Policy& later);
// What a matched answer is called here.
[[nodiscard]] std::string name_of(const compiler::Difference& difference, const compiler::MatchedAnswer& answer);
// What the difference says an edition says.
[[nodiscard]] std::string said(const SharedAnswer& answer, Side side, const compiler::Outcome& outcome);
// What the naive evaluator says; nothing of a property whose piece the player does not have.
[[nodiscard]] std::optional<std::string> said(const SharedAnswer& answer, Side side, const naive::Policy& policy,
                                              const naive::Outcome& outcome);

// A pair of editions as the judges see it, for one of them to try.
class PairTrial {
 public:
  explicit PairTrial(const EditionPair& pair)
      : pair_(pair),
        earlier_(naive::prepare(pair.editions.earlier.files)),
        later_(naive::prepare(pair.editions.later.files)),
        players_(earlier_, later_),
        answers_(shared_answers(earlier_, later_)) {}
  PairTrial(const PairTrial&) = delete;
  PairTrial& operator=(const PairTrial&) = delete;

 protected:
  const EditionPair& pair_;
  naive::Policy earlier_, later_;
  SharedPlayers players_;
  std::map<std::string, SharedAnswer> answers_;
  compiler::Difference difference_;
};

}  // namespace lacestay::judges
