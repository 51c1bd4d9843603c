// A player fitted by the policy of Haverdike, for tests that compare it with the trade's figures.
//
// Each starts from a whole player (a grown-up beginner of middling build) and says only what is different.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "runtime/advice/advice.hpp"
#include "runtime/engine/engine.hpp"

namespace lacestay::tests {

// policies/haverdike.fitting, compiled and built once.
[[nodiscard]] const runtime::Engine& haverdike();

// The ends of a band or the two times the same number: "140 to 165 EUR", "147%", "300 mm".
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
  // The rule's name where it spoke about a piece, or about one of its properties; else the names of those that did.
  [[nodiscard]] std::string speaker(const std::string& rule, const std::string& piece,
                                    const std::string& property = "") const;
  // The same, but nothing where it did not speak.
  [[nodiscard]] std::string if_spoke(const std::string& rule, const std::string& piece,
                                     const std::string& property = "") const;
  // The reasons given beside an answer, by every rule that speaks.
  [[nodiscard]] std::string because(const std::string& piece, const std::string& property) const;
  // These words where a caution at the foot, or the first one, has them; else what the cautions say.
  [[nodiscard]] std::string warning(const std::string& words) const;
  [[nodiscard]] std::string first_warning(const std::string& words) const;
  // The same, but nothing where none has them.
  [[nodiscard]] std::string if_warned(const std::string& words) const;
  [[nodiscard]] std::string if_warned_first(const std::string& words) const;
  [[nodiscard]] bool warned(const std::string& words) const { return !if_warned(words).empty(); }
  // The exact value of a worked-out detail, in its tick's unit (mm for lengths) or in ones.
  [[nodiscard]] double worked_out(const std::string& detail) const;

  [[nodiscard]] const runtime::Advice& advice() const { return advice_; }

 private:
  [[nodiscard]] const runtime::PieceAdvice& piece(const std::string& name) const;
  [[nodiscard]] const std::vector<runtime::Part>& parts(const std::string& piece, const std::string& name) const;
  [[nodiscard]] const runtime::Answer& property(const std::string& piece, const std::string& name) const;

  runtime::Player player_;
  runtime::Advice advice_;
};

using Details = std::map<std::string, std::string>;
[[nodiscard]] Details with(Details details, const Details& more);
[[nodiscard]] std::string cm(double length);  // "174.00 cm"
[[nodiscard]] std::string mm(double length);

// Players the trade names without their measures. The measures are ours.
extern const Details child_of_nine, light_adult, heavy_beginner, teenager, keeper;

extern const char* const common;  // the source of most of its figures
[[nodiscard]] bool says(const std::string& text, const std::string& words);

// A ratio of the trade's and the shop's: they may stand 15 % apart. Sums are the shop's own, so the trade's are held as
// ratios of one piece, or one customer, to another.
void stands_near(const std::string& what, const std::string& source, double trade, double shop);
[[nodiscard]] double middle(const Ends& ends);

// A figure of the trade's: what it is, where it is from, what is expected by it, and what the shop's policy gives.
struct Figure {
  std::string what, source, expected, measured;
};
// Checks each; of one whose measured is not what is expected, all four are shown.
void hold(const std::vector<Figure>& figures);

// Measured, in the words of what is expected where it is so; else what there is instead.
[[nodiscard]] std::string found(const std::string& words, const std::string& text);  // the words, or the whole text
[[nodiscard]] std::string other_than(const std::string& not_wanted, const std::string& is);  // "other than heavy"
[[nodiscard]] std::string at_most(double limit, double is);                                  // "at most 63"
[[nodiscard]] std::string at_least(double limit, double is);
[[nodiscard]] std::string over(double limit, double is);
// Expected: the words where that is so, else nothing.
[[nodiscard]] std::string said_if(bool so, const std::string& words);

}  // namespace lacestay::tests
