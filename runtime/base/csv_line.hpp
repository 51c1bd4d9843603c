// One line of a table, written so that grammar/text/csv.hpp reads the same cells back.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace lacestay::runtime {

// A cell is put in quotes where it would otherwise be read as another text.
[[nodiscard]] std::string csv_line(const std::vector<std::string>& cells, char separator = ',',
                                   std::string_view line_end = "\n");

}  // namespace lacestay::runtime
