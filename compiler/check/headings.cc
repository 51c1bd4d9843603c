// What a file says of itself: policy, part or pack; edition; money.
#include <fmt/format.h>

#include "compiler/check/checker.hpp"
#include "compiler/values/days.hpp"
#include "compiler/values/names.hpp"

namespace lacestay::compiler {

static std::string in_year(const grammar::Date& date, int year) {
  return show(day_number(year, date.month, date.day), Dimension::day, {ShownUnit{}});
}

void Checker::read_headings() {
  std::optional<grammar::Span> edition, money;
  const auto once = [&](std::optional<grammar::Span>& first, const grammar::Item& item, const char* what) {
    if (first)
      diagnostics
          .add("names-2", item.head, fmt::format("The policy says its {} twice.", what), "keep one of the two lines")
          .notes.push_back({"the first one", *first});
    else
      first = item.head;
  };
  each<grammar::Heading>([&](const grammar::Heading& heading, const grammar::Item&, std::size_t file) {
    if (file == 0) policy.title = heading.title.text;
  });
  each<grammar::Edition>([&](const grammar::Edition& form, const grammar::Item& item, std::size_t) {
    once(edition, item, "edition");
    const auto number = ticks(form.number, {}).value_or(0);
    policy.edition = number / ticks_per({});
    if (number % ticks_per({}) != 0)
      diagnostics.add("units-6", form.number.span, "Editions are counted in whole numbers.",
                      "write it as in: edition 4");
    policy.in_force_from = day_number(form.from);
    if (!form.to) return;
    policy.in_force_to = day_number(*form.to);
    if (*policy.in_force_to < policy.in_force_from) {
      // The years nearest to those written that put the two days right.
      const bool later_in_the_year =
          std::pair(form.to->month, form.to->day) >= std::pair(form.from.month, form.from.day);
      const auto ends = in_year(*form.to, form.from.year + (later_in_the_year ? 0 : 1));
      const auto begins = in_year(form.from, form.to->year - (later_in_the_year ? 0 : 1));
      diagnostics.add("domain-1", form.to->span, "The edition ends before it begins.",
                      fmt::format("mend the year of one of the two: to {}, or from {}", ends, begins));
    }
  });
  each<grammar::Money>([&](const grammar::Money& form, const grammar::Item& item, std::size_t) {
    once(money, item, "money");
    policy.currency = form.code.text;
    for (char& c : policy.currency) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
    if (!grammar::currency_digits(policy.currency))
      diagnostics.add("units-8", form.code.span,
                      fmt::format("'{}' is not the code of a currency (ISO 4217).", policy.currency),
                      "write a code of three letters, such as GBP, EUR, USD or CAD");
  });
  if (!edition)
    diagnostics.add("policy-1", files.front().tree.items.front().head, "The policy doesn't say which edition it is.",
                    "add a line such as: edition 1, in force from 1 September 2026");
}

}  // namespace lacestay::compiler
