// What is said in the headings and cells of the shop's tables, whoever reads them: names, counts, decimal commas.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "grammar/text/letters.hpp"

namespace lacestay::runtime {

// Without the blanks around it.
[[nodiscard]] std::string_view trimmed(std::string_view text);

using grammar::plain_name;

// A heading: `Size (mm)` is the column size, and mm the unit of its bare numbers.
struct Heading {
  std::string name, unit;
};
[[nodiscard]] Heading read_heading(std::string_view text);

// A whole number from 0, of at most 15 digits (past that spreadsheets round), with blanks around it or none.
[[nodiscard]] std::optional<std::int64_t> whole_number(std::string_view text);

// A number with a point where some countries write a comma: "26.5 cm" for "26,5 cm". Nothing where it could be either:
// 1,200 may be meant for 1200.
[[nodiscard]] std::optional<std::string> with_point(std::string_view text);

}  // namespace lacestay::runtime
