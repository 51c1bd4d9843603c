#include "compiler/values/names.hpp"

#include <algorithm>

namespace lacestay::compiler {
namespace {

// Damerau's distance in its restricted form: a swap of neighbours counts once.
std::size_t distance(std::string_view a, std::string_view b) {
  std::vector<std::vector<std::size_t>> table(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
  for (std::size_t i = 0; i <= a.size(); ++i) table[i][0] = i;
  for (std::size_t j = 0; j <= b.size(); ++j) table[0][j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t change = table[i - 1][j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
      table[i][j] = std::min({table[i - 1][j] + 1, table[i][j - 1] + 1, change});
      const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
      if (swapped) table[i][j] = std::min(table[i][j], table[i - 2][j - 2] + 1);
    }
  }
  return table[a.size()][b.size()];
}

// Whether the words of one stand in the other, next to each other and in this order.
bool is_part(std::string_view part, std::string_view whole) {
  return ("_" + std::string(whole) + "_").find("_" + std::string(part) + "_") != std::string::npos;
}

}  // namespace

std::string nearest_name(std::string_view name, const std::vector<std::string>& candidates) {
  constexpr std::size_t longest_name = 64;  // keeps a hostile file from costing more than it should
  std::string nearest;
  std::size_t nearest_distance = name.size() / 3 + 1;
  if (name.size() > longest_name) return nearest;
  for (const auto& candidate : candidates) {
    if (candidate.size() > longest_name) continue;
    const auto steps = distance(name, candidate);
    if (steps < nearest_distance || (nearest.empty() && steps == nearest_distance && steps <= candidate.size() / 3))
      nearest = candidate, nearest_distance = steps;
  }
  return nearest;
}

std::vector<std::string> names_sharing_words(std::string_view name, const std::vector<std::string>& candidates) {
  std::vector<std::string> found;
  for (const auto& candidate : candidates)
    if (is_part(name, candidate) || is_part(candidate, name)) found.push_back(candidate);
  return found;
}

std::string listed(const std::vector<std::string>& names, std::string_view last) {
  std::string out;
  for (std::size_t i = 0; i < names.size(); ++i) {
    if (i > 0 && i + 1 == names.size())
      out.append(" ").append(last).append(" ");
    else if (i > 0)
      out += ", ";
    out += names[i];
  }
  return out;
}

}  // namespace lacestay::compiler
