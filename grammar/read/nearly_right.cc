#include "grammar/read/nearly_right.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <vector>

#include "grammar/read/messages.hpp"
#include "grammar/read/not_said.hpp"
#include "grammar/text/letters.hpp"

namespace lacestay::grammar {

namespace {

bool in_word(char c) { return is_letter(c) || is_digit(c) || c == '_' || (static_cast<unsigned char>(c) & 0x80) != 0; }
bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; }

std::string_view without_first_blanks(std::string_view text) {
  while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
  return text;
}

bool has(std::string_view text, std::string_view words) { return text.find(words) != text.npos; }

template <std::size_t size>
bool is_one_of(std::string_view word, const std::array<std::string_view, size>& words) {
  return std::find(words.begin(), words.end(), word) != words.end();
}

std::vector<std::string_view> words_of(std::string_view text) {
  std::vector<std::string_view> words;
  for (text = without_first_blanks(text); !text.empty(); text = without_first_blanks(text)) {
    const auto size = std::max<std::size_t>(first_word(text).size(), 1);
    words.push_back(text.substr(0, size));
    text.remove_prefix(size);
  }
  return words;
}

// A word of the language where something is called by a name: `piece over always`, `choice never, once`.
std::optional<ToldAs> word_taken(const Stopped& at) {
  const auto before = without_last_blanks(at.before);
  auto rest = at.rest;
  if (at.code == "reading-3") {
    const bool declares = at.kind == LineKind::property || first_word(at.line) == "ask";
    if (!declares || rest.empty() || rest.front() != ',' || !(has(at.line, "grades ") || has(at.line, "choice ")))
      return std::nullopt;
    rest = without_first_blanks(rest.substr(1));
  } else if (at.code == "reading-6") {
    if (!before.ends_with("grades") && !before.ends_with("choice")) return std::nullopt;
  } else if (at.code != "reading-2") {
    return std::nullopt;
  }
  const auto word = first_word(rest);
  if (!is_word_of_the_language(word)) return std::nullopt;
  return ToldAs{fmt::format("'{}' is a word of the language, so nothing can be called so.", word),
                "write another word, or join it to one with _, as in: end_of_season", at.rest.size() - rest.size()};
}

// `four steps up in stick length`, `2 steps down in skates tier`.
std::optional<ToldAs> steps_otherwise(const Stopped& at) {
  if (at.code != "reading-5" && at.code != "reading-30" && at.code != "reading-34") return std::nullopt;
  static constexpr std::array<std::string_view, 3> in_words = {"one", "two", "three"};
  static constexpr std::array<std::string_view, 3> in_digits = {"1", "2", "3"};
  static constexpr std::array<std::string_view, 9> more = {"four", "five", "six",  "seven",  "eight",
                                                           "nine", "ten",  "some", "several"};
  const auto number = first_word(at.rest);
  const auto behind = without_first_blanks(at.rest.substr(number.size()));
  const auto step = first_word(behind);
  if (step != "step" && step != "steps") return std::nullopt;
  const std::string message = "Steps are one, two or three at most, in words.";
  const auto known = std::find(in_digits.begin(), in_digits.end(), number);
  if (number == "a" || known != in_digits.end()) {
    const auto word = number == "a" ? in_words[0] : in_words[static_cast<std::size_t>(known - in_digits.begin())];
    return ToldAs{message, fmt::format("write {} {}", word, behind)};
  }
  if (!is_one_of(number, more) && (number.empty() || !is_digit(number.front()))) return std::nullopt;
  return ToldAs{message, at.code == "reading-5"
                             ? "write two rules or more, each with the same for: what they step is added up"
                             : "declare the property in longer steps, so that three of them reach; or write three "
                               "steps, if no more is meant"};
}

// A sum of money, or a time, behind what is done over the limit.
std::optional<ToldAs> plan_costs(const Stopped& at) {
  const auto word = first_word(at.rest), does = first_word(at.line);
  static constexpr std::array<std::string_view, 4> a_time = {"a", "per", "each", "every"};
  if (at.code == "reading-3" && has(at.before, " for ") && (is_one_of(word, a_time) || at.rest.front() == '/'))
    return ToldAs{"What is paid over the limit is one sum, for no time.",
                  "write the sum alone, as in: hire boots for 45 GBP; for how long, a caution may say"};
  if (at.code != "reading-16" || !without_last_blanks(at.before).ends_with(" for") || !is_digit(at.rest.front()))
    return std::nullopt;
  if (does == "settle")
    return ToldAs{"What is settled for is an item in stock, at the price on its tag.",
                  "take the sum out; or, if it is used goods or hired for that sum, write it as in: buy used boots for "
                  "30 GBP; or hire boots for 45 GBP"};
  return ToldAs{"What is borrowed or put off costs nothing on this bill.",
                "take the sum out; or, if it is hired for that sum, write it as in: hire boots for 45 GBP"};
}

// Something more behind a step, or behind any: of the item, of another piece, or another step.
std::optional<ToldAs> more_behind_a_step(const Stopped& at) {
  if (at.code != "reading-3") return std::nullopt;
  auto rest = at.rest;
  auto word = first_word(rest);
  if (word == "with") {
    for (const std::string_view of_items : {"price", "advised", "condition", "made", "new", "used", "at", "under"})
      for (const auto each : words_of(rest))
        if (each == of_items)
          return ToldAs{
              "Behind a step nothing more is said of an item: all else that the accept line asks holds of it.",
              "say it in the accept line, where it holds of the advised one too, as in: accept boots with "
              "tier as advised, price at most 80 GBP"};
    return ToldAs{"A step changes this piece alone, and puts no other one on the bill.",
                  "take it out; a caution may say it to everybody whom it may concern, as in: caution \"A wider boot "
                  "takes an insole.\""};
  }
  if (word != "and" && rest.front() != ',') return std::nullopt;
  word = first_word(without_first_blanks(rest.substr(std::max<std::size_t>(word.size(), 1))));
  static constexpr std::array<std::string_view, 4> another = {"one", "two", "three", "any"};
  if (!is_one_of(word, another)) return std::nullopt;
  return ToldAs{"Such a line changes one property, from the advice again.",
                "write a line for each; they are tried in their order, each by itself"};
}

// `over 300 GBP` behind a deal of a whole kit or of a number of pieces.
std::optional<ToldAs> bill_bounded(const Stopped& at) {
  static constexpr std::array<std::string_view, 5> bounds = {"over", "at", "under", "from", "above"};
  const bool of_many = has(at.line, "the whole kit") || has(at.line, " or more");
  if (at.code != "reading-3" || !of_many || !is_one_of(first_word(at.rest), bounds)) return std::nullopt;
  return ToldAs{no_bills, kit_deals};
}

// A condition that counts from today.
std::optional<ToldAs> from_today(const Stopped& at) {
  const auto words = words_of(at.rest);
  const bool counts = !words.empty() && (words[0] == "ago" || (words.size() > 1 && words[1] == "today"));
  if (at.code != "reading-3" || !counts) return std::nullopt;
  return ToldAs{no_day_today,
                "ask how long ago it was, as in: ask since_blow 0 to 240 months, whole; and write it as in: for "
                "since_blow under 12 months; or ask the day, and compare it with a day that is written out"};
}

// `work out reach = height + 5 cm shown in ft and in`.
std::optional<ToldAs> formula_shown_in(const Stopped& at) {
  if (at.code != "reading-3" || at.line.substr(0, 9) != "work out " || !has(at.line, " shown in ")) return std::nullopt;
  return ToldAs{formula_units, take_shown_in_out};
}

// `make sure gloves tier is within one of boots tier`. Which words are pieces, the file shows.
std::optional<ToldAs> sure_of_two_pieces(const Stopped& at) {
  if ((at.code != "reading-14" && at.code != "reading-3") || at.line.substr(0, 10) != "make sure ") return std::nullopt;
  auto claim = at.line.substr(0, std::min(at.line.find(" for "), at.line.size()));
  if (has(claim, " never ")) return std::nullopt;
  const auto begin = std::min(claim.find(" is "), claim.find(" within "));
  if (begin == claim.npos) return std::nullopt;
  for (const auto word : words_of(claim.substr(begin))) {
    const auto declared = at.file.find(fmt::format("\npiece {}", word));
    if (declared != at.file.npos && is_letter(word.front())) return ToldAs{held_to_another, let_both_follow};
  }
  return std::nullopt;
}

}  // namespace

std::string_view first_word(std::string_view text) {
  std::size_t size = 0;
  while (size < text.size() && in_word(text[size])) ++size;
  return text.substr(0, size);
}

std::string_view without_last_blanks(std::string_view text) {
  while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
  return text;
}

std::optional<ToldAs> nearly_right(const Stopped& at) {
  if (auto told = sure_of_two_pieces(at)) return told;  // it may be the line's end that is missed
  if (at.rest.empty()) return std::nullopt;
  std::optional<ToldAs> told = word_taken(at);
  if (!told) told = steps_otherwise(at);
  if (!told && at.kind == LineKind::plan) told = plan_costs(at);
  if (!told && (at.kind == LineKind::accept || at.kind == LineKind::plan)) told = more_behind_a_step(at);
  if (!told && at.kind == LineKind::deal) told = bill_bounded(at);
  if (!told && at.kind == LineKind::item) told = formula_shown_in(at);
  if (!told && (at.kind == LineKind::rule || at.kind == LineKind::chart || at.kind == LineKind::item))
    told = from_today(at);
  return told;
}

}  // namespace lacestay::grammar
