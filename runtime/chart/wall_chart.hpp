// A policy's decision tables as wall charts: a model that text and pages are drawn from.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "compiler/tables/policy.hpp"

namespace lacestay::runtime {

// One field of a chart: a heading, or an answer and the table's rows it stands for.
struct WallCell {
  std::string text;
  std::vector<std::uint32_t> rows;  // none: a heading
};

// One rule or chart of a table.
struct WallBlock {
  compiler::RuleId rule = 0;
  std::string heading;                       // "[flex_chart, for role skater]"; none where the only line says it
  std::vector<std::vector<WallCell>> lines;  // a grid with its headings, or one field alone
};

struct WallTable {
  compiler::TableId id = 0;
  std::string title;
  std::vector<WallBlock> blocks;
  std::vector<std::pair<compiler::RuleId, compiler::RuleId>> outranks;
};

// The tables about each property and piece whose name is in `names` (a piece's name stands for all its properties too),
// and those in which a chart or rule so named speaks; or all where it is empty.
[[nodiscard]] std::vector<WallTable> wall_tables(const compiler::Policy& policy, const std::vector<std::string>& names);

// What is put behind a field, or after an outranks, where a caller marks it; empty leaves it unmarked.
struct WallMarks {
  std::function<std::vector<std::string>(compiler::TableId, const std::vector<std::uint32_t>& rows)> field;
  std::function<std::string(compiler::TableId, const std::pair<compiler::RuleId, compiler::RuleId>&)> outranks;
  std::function<std::vector<std::string>(compiler::TableId)> below;  // more items under a table
};

// For the terminal, where the items under a table are marked with ○. Ends with a line end.
[[nodiscard]] std::string text_of(const compiler::Policy& policy, const std::vector<WallTable>& tables,
                                  const WallMarks& marks = {});

// Who cannot be, and what the fitter is told of them, below the charts; empty where the policy does not say.
[[nodiscard]] std::string text_of_nobody(const compiler::Policy& policy);

}  // namespace lacestay::runtime
