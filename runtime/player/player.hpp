// A player's details: from JSON, from a players file, from the command line.
//
// Every number is read as a decimal and turned into ticks exactly; binary floating point is never involved.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "compiler/tables/places.hpp"
#include "compiler/tables/policy.hpp"
#include "grammar/text/diagnostic.hpp"
#include "grammar/tree/tree.hpp"

namespace lacestay::runtime {

struct Player {
  std::vector<std::optional<std::int64_t>> readings;  // by asked detail; nothing where it is not known
  std::vector<std::uint32_t> owns;                    // pieces, ascending
  // By asked detail, the units it was told in; fewer, or none of one, where that is not known. Shown, and nothing else.
  std::vector<std::vector<compiler::ShownUnit>> told_in;

  [[nodiscard]] bool complete() const;
};

// What is known of a detail, which must be known, in the units it was told in. For people alone: what is hashed says it
// in the policy's.
[[nodiscard]] std::string as_told(const compiler::Policy& policy, const Player& player, std::size_t detail);
// It was told in inches where the policy shows centimetres, or the other way round; likewise a weight.
[[nodiscard]] bool told_in_another_system(const compiler::Policy& policy, const Player& player, std::size_t detail);

// All details known, by asked detail; and back, of a player who is complete.
[[nodiscard]] Player player_of(const std::vector<std::int64_t>& readings);
[[nodiscard]] std::vector<std::int64_t> readings_of(const Player& complete);
// What each asked detail may be: the value that is known, or all its domain.
[[nodiscard]] std::vector<compiler::ValueRange> ranges_of(const compiler::Tables& tables, const Player& player);

// Puts a player together against one policy. Each call that can't be carried out adds to `problems` what is wrong
// and what the policy accepts, and leaves the detail unset.
class PlayerReader {
 public:
  PlayerReader(const compiler::Policy& policy, grammar::Diagnostics& problems);
  // Details of these names are no business of this policy, and are passed over.
  void pass_over(std::vector<std::string> names) { passed_over_ = std::move(names); }

  // A detail as text: "9", "4 st 10 lb", "improving", "2014-05-03"; empty text leaves it blank.
  void set(std::string_view name, std::string_view text);
  // A detail as a JSON number, by its digits: only for counts, plain numbers and ages in whole years.
  void set_number(std::string_view name, std::string_view digits);
  // A detail as JSON's true or false, which no detail can be.
  void refuse_truth(std::string_view name, bool held);
  void set_owned(std::string_view piece);
  // From a players file; problems point into it.
  void set(const grammar::Player& player);

  // What could be set so far, whether or not the policy has anybody like that: for a fitter's own record.
  [[nodiscard]] const Player& told() const { return player_; }
  // The player, with what could be set. Nothing where the policy has nobody like that, whatever is left blank, which is
  // then added to the problems in the owner's words: so whoever comes from outside is refused here, at every entrance.
  // Cost: a search for somebody like that, where the policy says who cannot be.
  [[nodiscard]] std::optional<Player> take() { return take(problems_); }
  // The same, and that alone is told to others.
  [[nodiscard]] std::optional<Player> take(grammar::Diagnostics& refusals);

 private:
  std::optional<std::size_t> detail_named(const std::string& name, const grammar::Span& span);
  [[nodiscard]] bool passed_over(const std::string& name) const;
  void set_value(std::size_t detail, const grammar::Value& value, const grammar::Span& span);
  void set_words(std::size_t detail, std::string_view text, const grammar::Span& span);
  void set_member(std::size_t detail, const std::string& name, std::string_view written, const grammar::Span& span);
  void put(std::size_t detail, std::int64_t value, const grammar::Span& span);
  void set_reading(const grammar::Reading& reading);
  void refuse(const std::vector<compiler::ShutOut>& by, grammar::Diagnostics& refusals) const;
  void own(const std::string& piece, const grammar::Span& span);
  [[nodiscard]] std::string accepts(std::size_t detail) const;

  const compiler::Policy& policy_;
  grammar::Diagnostics& problems_;
  std::vector<std::string> passed_over_;
  Player player_;
  grammar::Span span_;  // of a players file: where the player stands
};

// One JSON object: details by name, and "owns" with a list of pieces. A key that stands twice is refused. Details
// named in `passed_over` are left to others.
[[nodiscard]] std::optional<Player> player_from_json(const compiler::Policy& policy, std::string_view json,
                                                     grammar::Diagnostics& problems,
                                                     std::vector<std::string> passed_over = {});

// A name as people type it: capitals, dots, and blanks in it or around it make no difference.
[[nodiscard]] std::string folded(std::string_view name);

}  // namespace lacestay::runtime
