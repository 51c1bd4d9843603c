// A player fitted by the shipped policy, for tests that compare it with the trade's figures.
//
// Each starts from a whole player (a grown-up beginner of middling build) and says only what is different.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "runtime/advice/advice.hpp"

namespace lacestay::tests {

// The ends of a band or the two times the same number: "200 to 250 GBP", "147%", "300 mm".
struct Ends {
  double low = 0, high = 0;
};

class Fitted {
 public:
  explicit Fitted(const std::map<std::string, std::string>& different = {});

  // The one answer of a property as text, or "refer".
  [[nodiscard]] std::string answer(const std::string& piece, const std::string& property) const;
  [[nodiscard]] Ends ends(const std::string& piece, const std::string& property) const;
  // "needed", "suggested", "left out" …
  [[nodiscard]] std::string presence(const std::string& piece) const;
  [[nodiscard]] bool in_kit(const std::string& piece) const;
  // Whether a rule spoke about a piece, or about one of its properties.
  [[nodiscard]] bool spoke(const std::string& rule, const std::string& piece, const std::string& property = "") const;
  // The reasons given beside an answer, by every rule that speaks.
  [[nodiscard]] std::string because(const std::string& piece, const std::string& property) const;
  // Whether a caution at the foot has these words in it, and whether the first one has.
  [[nodiscard]] bool warned(const std::string& words) const;
  [[nodiscard]] bool warned_first(const std::string& words) const;
  // The exact value of a worked-out detail, in its tick's unit (mm for lengths) or in ones.
  [[nodiscard]] double worked_out(const std::string& detail) const;

  [[nodiscard]] const runtime::Advice& advice() const { return advice_; }

 private:
  [[nodiscard]] const runtime::PieceAdvice& piece(const std::string& name) const;
  [[nodiscard]] const runtime::Answer& property(const std::string& piece, const std::string& name) const;

  runtime::Player player_;
  runtime::Advice advice_;
};

}  // namespace lacestay::tests
