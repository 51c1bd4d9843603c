// `nobody has`: players that cannot be. Formulas, charts and divisors stay total over the whole domains, so nothing of
// what was checked before rests on these lines.
#include <fmt/format.h>

#include <algorithm>

#include "compiler/check/checker.hpp"

namespace lacestay::compiler {
namespace {

// A search for a player looks at each of them.
constexpr std::size_t most_lines = 64;

}  // namespace

void Checker::check_nobody() {
  std::size_t lines = 0;
  each<grammar::Nobody>([&](const grammar::Nobody& form, const grammar::Item& item, std::size_t) {
    if (++lines > most_lines) {
      if (lines == most_lines + 1)
        diagnostics.add("limits-10", item.head,
                        fmt::format("More than {0} lines say which players cannot be; {0} is the most.", most_lines),
                        "keep those that shut out the likeliest mistakes");
      return;
    }
    if (form.sentence.text.find_first_not_of(' ') == std::string::npos)
      diagnostics.add("nobody-2", form.sentence.span,
                      "Nothing stands between the quotes: it is what the fitter is told.",
                      "write what to do, as in: \"Ask again.\"");
    auto has = tests(form.has, false);
    if (!has) return;
    std::vector<bool> under(policy.details.size());
    for (const auto& test : *has)
      policy.tables.each_asked_under(test.column, [&](std::uint16_t detail) { under[detail] = true; });
    // Of a choice some members may be asked and yet be nobody's, so that whoever names one is told what to do.
    const bool a_choice = policy.scale_of(has->front().column).kind == Scale::Kind::choice;
    if (std::count(under.begin(), under.end(), true) < 2 && !a_choice) {
      const auto& name = policy.name_of(has->front().column);
      diagnostics.add(
          "nobody-1", item.head,
          fmt::format("This line is about {} alone; it takes two details that don't go together.", name),
          fmt::format("name the other detail as well; what {} can't be at all is said where it is asked", name));
      return;
    }
    nobody.push_back({std::move(*has), static_cast<std::uint32_t>(policy.nobody.size())});
    policy.nobody.push_back({form.sentence.text, item.head});
  });
}

}  // namespace lacestay::compiler
