#include "grammar/read/unread_units.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <vector>

#include "grammar/text/letters.hpp"
#include "grammar/tree/units.hpp"

namespace lacestay::grammar {

namespace {

using Words = std::vector<std::string_view>;

bool in_word(char c) { return is_letter(c) || is_digit(c) || c == '_'; }

// Words and numbers (`4`, `12.5`); whatever stands between them is passed over.
Words words_of(std::string_view text) {
  Words words;
  for (std::size_t at = 0; at < text.size();) {
    const auto from = at;
    while (at < text.size() && (in_word(text[at]) || (text[at] == '.' && at > from && is_digit(text[at - 1])))) ++at;
    if (at == from)
      ++at;
    else
      words.push_back(text.substr(from, at - from));
  }
  return words;
}

// The units of one kind, as they are offered; empty for a share.
std::string_view units_like(Unit unit) {
  switch (unit) {
    case Unit::millimetre:
    case Unit::centimetre:
    case Unit::metre:
    case Unit::inch:
    case Unit::foot: return "mm, cm, m, in or ft";
    case Unit::gram:
    case Unit::kilogram:
    case Unit::ounce:
    case Unit::pound:
    case Unit::stone: return "g, kg, oz, lb or st";
    case Unit::year:
    case Unit::month: return "years or months";
    case Unit::flex: return "flex";
    case Unit::percent: break;
  }
  return "";
}

// What people call a unit that the language calls otherwise, in the singular.
constexpr std::pair<std::string_view, Unit> called_otherwise[] = {{"millimetre", Unit::millimetre},
                                                                  {"millimeter", Unit::millimetre},
                                                                  {"centimetre", Unit::centimetre},
                                                                  {"centimeter", Unit::centimetre},
                                                                  {"metre", Unit::metre},
                                                                  {"meter", Unit::metre},
                                                                  {"gram", Unit::gram},
                                                                  {"gramme", Unit::gram},
                                                                  {"kilogram", Unit::kilogram},
                                                                  {"kilogramme", Unit::kilogram},
                                                                  {"ounce", Unit::ounce},
                                                                  {"yr", Unit::year},
                                                                  {"yo", Unit::year},
                                                                  {"mth", Unit::month}};

std::optional<Unit> unit_called(std::string_view word) {
  const auto lowered = lower_case(std::string(word));
  std::string_view one = lowered;
  for (const int round : {0, 1}) {
    if (const auto unit = unit_named(one)) return unit;
    for (const auto& [name, unit] : called_otherwise)
      if (name == one) return unit;
    if (round == 1 || one.size() < 3 || one.back() != 's') break;
    one.remove_suffix(1);
  }
  return std::nullopt;
}

struct Declared {
  std::string_view name;
  Unit unit;
};

// What the text says a number of, as `ask weight 12 to 180 kg` and, under a piece, `flex band 20 to 110 flex step …`.
std::vector<Declared> declared_in(std::string_view text) {
  std::vector<Declared> all;
  for (std::size_t begin = 0; begin < text.size();) {
    const auto end = std::min(text.find('\n', begin), text.size());
    const auto line = text.substr(begin, end - begin);
    begin = end + 1;
    const auto words = words_of(line.substr(0, line.find_first_of("#\"")));
    const bool asks = !words.empty() && words.front() == "ask";
    const bool indented = !line.empty() && (line.front() == ' ' || line.front() == '\t');
    const bool steps = indented && std::find(words.begin(), words.end(), "step") != words.end();
    if (words.size() < 5 || (!asks && !steps)) continue;
    const auto name = words[asks ? 1 : 0];
    const auto next = words[asks ? 2 : 1];
    if (!is_digit(next.front()) && next != "band") continue;
    for (std::size_t i = 1; i + 2 < words.size(); ++i) {
      if (words[i] != "to" || !is_digit(words[i + 1].front())) continue;
      if (const auto unit = unit_named(words[i + 2])) all.push_back({name, *unit});
      break;
    }
  }
  return all;
}

// The last detail or property that the text before the number speaks of: in a chart's row, what its head is of; in a
// cell, what the chart gives.
const Declared* spoken_of(const std::vector<Declared>& all, std::string_view before) {
  auto item = before.size();
  while (item > 0) {
    const auto line = before.rfind('\n', item - 1);
    item = line == before.npos ? 0 : line;
    const auto first = item == 0 ? 0 : item + 1;
    if (first < before.size() && before[first] != ' ' && before[first] != '\t' && before[first] != '\r') break;
  }
  auto said = before.substr(item == 0 ? 0 : item + 1);
  const auto last_line = said.substr(said.rfind('\n') == said.npos ? 0 : said.rfind('\n') + 1);
  if (said.substr(0, 6) == "chart " && last_line.find(':') != last_line.npos) said = said.substr(0, said.find('\n'));
  const auto words = words_of(said);
  for (auto word = words.rbegin(); word != words.rend(); ++word) {
    const auto found = std::find_if(all.begin(), all.end(), [&](const Declared& each) { return each.name == *word; });
    if (found != all.end()) return &*found;
  }
  return nullptr;
}

}  // namespace

std::string unit_to_write(std::string_view text, std::size_t at, std::string_view word, bool in_sheet) {
  const auto before = text.substr(0, at);
  const auto all = declared_in(text);
  const auto* declared = spoken_of(all, before);
  const auto kind = declared ? units_like(declared->unit) : "";
  const auto unit = unit_called(word);
  const auto in_its_place = [&](std::string_view named) {
    return fmt::format("write {} in place of '{}'", named, word);
  };
  if (unit && (kind.empty() || kind == units_like(*unit))) return in_its_place(spelling(*unit));
  const auto otherwise = fmt::format("; or, if '{}' begins something else, {}", word,
                                     in_sheet ? "give that a cell of its own" : "put a comma before it");
  if (kind.empty())
    return "write the unit as mm, cm, m, in, ft, g, kg, oz, lb, st, years, months, flex, % or a currency in capitals" +
           otherwise;
  if (kind == "flex") return in_its_place(kind) + otherwise;
  return fmt::format("{} is in {}: write {}", declared->name, spelling(declared->unit), kind) + otherwise;
}

}  // namespace lacestay::grammar
