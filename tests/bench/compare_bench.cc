// How long the comparison of two editions takes as they grow and as more of them is edited; no test. Machines are
// noisy, so each figure is the median of several runs, and ratios against two plainer ways say more than times.
//
//   .build/tests/compare_bench
//
// The tables are leaves of random decision trees, edited so that they stay sound: every other edit moves an edge
// between two rows, the others change a row's answer. Timed is everything from two compiled policies to the statements,
// each with a player. Published for a like task (decision diagrams of two rule sets, joined; Liu & Gouda, IEEE TPDS
// 2008): seconds at about 3,000 rules over five fields.
//
// The two plainer ways are told only the rows, not what was edited: "row by row" lays every row of one edition over
// every row of the other; "two diagrams" builds a diagram of each whole edition and joins the two. Row by row is exact
// for sound tables, so its changed share of all players must be the comparison's, and its time is the baseline.
#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <chrono>
#include <cmath>
#include <limits>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

#include "compiler/check/compile.hpp"
#include "compiler/compare/difference.hpp"
#include "compiler/space/diagram.hpp"
#include "tests/bench/proof_cases.hpp"

namespace {

using namespace lacestay;
using bench::CaseCell;
using bench::CaseTable;
using Policy = std::shared_ptr<const compiler::Policy>;

template <typename Work>
double median_ms(int runs, Work work) {
  using Clock = std::chrono::steady_clock;
  std::vector<double> times;
  for (int i = 0; i < runs; ++i) {
    const auto start = Clock::now();
    work();
    times.push_back(std::chrono::duration<double, std::milli>(Clock::now() - start).count());
  }
  std::sort(times.begin(), times.end());
  return times[times.size() / 2];
}

Policy compiled(const CaseTable& table) {
  const auto read_none = [](const std::string&) { return Problem{"file-5", "there is none"}; };
  const auto made = compiler::compile("case.fitting", bench::policy_of({table}), read_none);
  if (!made.policy) throw std::runtime_error(render(made.diagnostics));
  return made.policy;
}

struct Compared {
  double ms = 0, share = 0;
  std::size_t statements = 0, regions = 0;
  bool settled = true;
};

Compared compared(const Policy& earlier, const Policy& later) {
  compiler::DifferenceBudget budget;
  budget.shown = std::numeric_limits<std::size_t>::max();
  std::optional<compiler::Difference> difference;
  Compared out;
  out.ms = median_ms(5, [&] { difference = compiler::differences(*earlier, *later, budget); });
  out.settled = difference->settled();
  for (const auto& change : difference->changes) {
    out.statements += change.statements.size();
    for (const auto& statement : change.statements)
      for (const auto& becomes : statement.becomes) {
        out.regions += becomes.where.size();
        out.share += becomes.share;
      }
  }
  return out;
}

// The share of all players who are in both rows.
double shared(const CaseTable& table, const std::vector<CaseCell>& a, const std::vector<CaseCell>& b) {
  double share = 1;
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    const auto& column = table.columns[c];
    if (column.numeric) {
      const auto low = std::max(a[c].low, b[c].low), high = std::min(a[c].high, b[c].high);
      if (low > high) return 0;
      share *= static_cast<double>(high - low + 1) / column.values;
    } else {
      const auto members = a[c].members & b[c].members;
      if (members == 0) return 0;
      share *= static_cast<double>(std::popcount(members)) / column.values;
    }
  }
  return share;
}

struct RowByRow {
  double ms = 0, share = 0;
};

RowByRow row_by_row(const CaseTable& earlier, const CaseTable& later) {
  RowByRow out;
  out.ms = median_ms(1, [&] {
    for (std::size_t i = 0; i < earlier.rows.size(); ++i)
      for (std::size_t k = 0; k < later.rows.size(); ++k)
        if (earlier.answer(i) != later.answer(k)) out.share += shared(earlier, earlier.rows[i], later.rows[k]);
  });
  return out;
}

// Nothing where the diagrams grow past what the comparison allows itself.
std::optional<double> two_diagrams(const Policy& earlier, const Policy& later) {
  const compiler::Editions editions(*earlier, *later);
  try {
    return median_ms(1, [&] {
      compiler::Diagrams store(editions.space().tables.place_counts(), compiler::DifferenceBudget{}.edges);
      std::vector<compiler::Diagrams::Node> wholes;
      for (const auto side : compiler::both_sides) {
        const auto& table = editions.edition(side).tables.tables.front();
        std::vector<compiler::Diagrams::Node> parts;
        for (const auto& row : table.rows) {
          compiler::Box box;
          for (const auto& cell : row.box) editions.share(side, cell, box.emplace_back());
          parts.push_back(store.box(box, store.terminal(static_cast<std::uint32_t>(row.low) + 1), store.terminal(0)));
        }
        store.forget_applied();
        for (; parts.size() > 1; parts.resize((parts.size() + 1) / 2))
          for (std::size_t i = 0; i < parts.size(); i += 2)
            parts[i / 2] = i + 1 == parts.size()
                               ? parts[i]
                               : store.apply(parts[i], parts[i + 1], [](auto a, auto b) { return std::max(a, b); });
        wholes.push_back(parts.front());
      }
      store.forget_applied();
      static_cast<void>(
          store.apply(wholes[0], wholes[1], [](std::uint32_t a, std::uint32_t b) { return a == b ? 0u : 1u; }));
    });
  } catch (const compiler::Diagrams::OverBudget&) {
    return std::nullopt;
  }
}

constexpr bool with_plain_ways = true;

// One line; false where the two ways contradict each other. `ms` becomes the comparison's time.
bool print_beside(const CaseTable& table, std::size_t edits, const char* aim, double& ms, bool plain_ways = false) {
  const auto edited = bench::edited_tree(table, 7, edits);
  const auto earlier = compiled(table), later = compiled(edited);
  const auto found = compared(earlier, later);
  ms = found.ms;
  fmt::print("{:<23} {:>5} edited{:>9.1f} ms{:>9} {:>9}",
             fmt::format("{} x {}", table.rows.size(), table.columns.size()), edits, found.ms, found.statements,
             found.regions);
  bool agree = true;
  if (plain_ways) {
    const auto rows = row_by_row(table, edited);
    const auto diagrams = two_diagrams(earlier, later);
    fmt::print("{:>10.0f} ms{:>7.0f} x{:>14}", rows.ms, rows.ms / found.ms,
               diagrams ? fmt::format("{:.0f} ms", *diagrams) : "too large");
    agree = std::abs(rows.share - found.share) <= 1e-9 * rows.share;
    if (!agree) fmt::print(stderr, "\nRow by row finds a share of {}, the comparison {}.\n", rows.share, found.share);
  }
  fmt::print("  {}{}\n", found.settled ? "" : "not settled ", aim);
  std::fflush(stdout);
  return agree && found.settled;
}

void print_heading(const char* text) {
  fmt::print("\n{}\n{:<23} {:>12}{:>12}{:>9} {:>9}{:>13}{:>9}{:>14}\n", text, "rows x columns", "", "compare", "told",
             "regions", "row by row", "÷", "two diagrams");
}

}  // namespace

int main() {
  bool agree = true;
  double ms = 0;
  print_heading("beside the plainer ways");
  agree &= print_beside(bench::decision_tree(1, 3'000, 5), 30, "", ms, with_plain_ways);
  const auto large = bench::decision_tree(1, 10'000, 12);
  agree &= print_beside(large, 100, "(aim: 100 ms)", ms, with_plain_ways);
  agree &= print_beside(large, 1, "(aim: 10 ms)", ms, with_plain_ways);

  print_heading("as rows grow, 1 % of them edited");
  for (const std::size_t rows : {1'250, 2'500, 5'000, 10'000})
    agree &= print_beside(bench::decision_tree(1, rows, 12), rows / 100, "", ms);
  print_heading("as rows grow, one of them edited");
  for (const std::size_t rows : {1'250, 2'500, 5'000, 10'000})
    agree &= print_beside(bench::decision_tree(1, rows, 12), 1, "", ms);
  print_heading("as more is edited");
  for (const std::size_t edits : {10, 30, 100, 300, 1'000}) agree &= print_beside(large, edits, "", ms);
  return agree ? 0 : 1;
}
