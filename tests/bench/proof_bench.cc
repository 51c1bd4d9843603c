// How long the proof takes as policies grow, with z3 (a solver) beside it in the same run; no test. Machines are noisy,
// so each figure is the median of several runs, and ratios say more than times.
//
//   .build/tests/proof_bench
//
// The first tables follow a published protocol: Calvanese, Dumas, Laurson, Maggi, Montali, Teinemaa: Semantics and
// Analysis of DMN Decision Tables, BPM 2016. They come from a random decision tree of which a tenth of the rows are
// perturbed; for 1,500 rows and 5 columns it reports under 3 s for the overlaps and under 2 s for the missing rows. The
// same trees as they are stand below: an owner's policy is sound most of the time.
//
// The two are not asked the same. The proof gives every gap and every clash, each with a player, and its remarks. z3
// says whether there is any player without a row, and whether any has two; each is one question, timed without the
// making of its formulas.
#include <fmt/format.h>
#include <z3++.h>

#include <algorithm>
#include <chrono>
#include <limits>
#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

#include "compiler/check/compile.hpp"
#include "compiler/proof/memory.hpp"
#include "tests/bench/proof_cases.hpp"

namespace {

using namespace lacestay;
using bench::CaseTable;
using compiler::Finding;
using Policy = std::shared_ptr<const compiler::Policy>;

constexpr unsigned z3_limit_ms = 20'000;

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

Policy compiled(const std::string& text) {
  const auto read_none = [](const std::string&) { return Problem{"file-5", "there is none"}; };
  const auto made = compiler::compile("case.fitting", text, read_none);
  if (!made.policy) throw std::runtime_error(render(made.diagnostics));
  return made.policy;
}

struct Proved {
  double ms = 0;
  std::size_t gaps = 0, clashes = 0, left_out = 0;
  bool settled = true;
};

Proved proved(const Policy& policy) {
  compiler::ProofBudget budget;
  // A player for each finding.
  budget.shown = std::numeric_limits<std::size_t>::max();
  budget.boxes = 20'000;
  compiler::Proof proof;
  Proved out;
  out.ms = median_ms(5, [&] { proof = compiler::prove(*policy, budget); });
  out.left_out = proof.left_out;
  for (const auto& finding : proof.findings) {
    out.gaps += finding.kind == Finding::Kind::gap ? 1 : 0;
    out.clashes += finding.kind == Finding::Kind::two_answers ? 1 : 0;
    out.settled = out.settled && finding.kind != Finding::Kind::not_settled;
  }
  return out;
}

// A table as z3 reads it: an integer for each column, and for each row whether it takes them.
class Judge {
 public:
  explicit Judge(const CaseTable& table) : domain_(context_.bool_val(true)), rows_(context_) {
    std::vector<z3::expr> values;
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
      values.push_back(context_.int_const(fmt::format("d{}", c).c_str()));
      domain_ = domain_ && values[c] >= 0 && values[c] < static_cast<int>(table.columns[c].values);
    }
    for (const auto& row : table.rows) {
      auto taken = context_.bool_val(true);
      for (std::size_t c = 0; c < row.size(); ++c)
        if (!table.open(c, row[c])) taken = taken && takes(table.columns[c], row[c], values[c]);
      rows_.push_back(taken);
    }
  }

  struct Verdict {
    double ms = 0;
    z3::check_result some = z3::unknown;
  };
  Verdict player_without_row() { return asked(!z3::mk_or(rows_)); }
  Verdict player_with_two_rows() { return asked(z3::atleast(rows_, 2)); }

 private:
  z3::expr takes(const bench::CaseColumn& column, const bench::CaseCell& cell, const z3::expr& value) {
    if (column.numeric) {
      const auto low = value >= static_cast<int>(cell.low), high = value <= static_cast<int>(cell.high);
      return cell.low == 0 ? high : cell.high + 1 == column.values ? low : low && high;
    }
    z3::expr_vector members(context_);
    for (std::uint32_t member = 0; member < column.values; ++member)
      if ((cell.members >> member & 1) != 0) members.push_back(value == static_cast<int>(member));
    return z3::mk_or(members);
  }

  Verdict asked(const z3::expr& question) {
    Verdict verdict;
    verdict.ms = median_ms(1, [&] {
      z3::solver solver(context_);
      solver.set("timeout", z3_limit_ms);
      solver.add(domain_ && question);
      verdict.some = solver.check();
    });
    return verdict;
  }

  z3::context context_;
  z3::expr domain_;
  z3::expr_vector rows_;
};

std::string written(const Judge::Verdict& verdict) {
  if (verdict.some == z3::unknown) return fmt::format("gave up at {} s", z3_limit_ms / 1000);
  return fmt::format("{} in {:.0f} ms", verdict.some == z3::sat ? "some" : "none", verdict.ms);
}

// One line; false where the two contradict each other.
bool print_beside(const std::string& title, const CaseTable& table, const std::string& aim) {
  const auto proof = proved(compiled(bench::policy_of({table})));
  Judge judge(table);
  const auto gap = judge.player_without_row(), clash = judge.player_with_two_rows();
  const auto found = [&](std::size_t count) {
    return fmt::format("{}{}", count, proof.left_out > 0 || !proof.settled ? "+" : "");
  };
  const bool gave_up = gap.some == z3::unknown || clash.some == z3::unknown;
  const auto times = fmt::format("{}{:.1f} x", gave_up ? "over " : "", (gap.ms + clash.ms) / proof.ms);
  fmt::print("{:<26}{:>9.1f} ms{:>8} {:>8}  {:<12}  {:<19}{:<19}{:>14}  {}\n", title, proof.ms, found(proof.gaps),
             found(proof.clashes), proof.settled ? "" : "not settled", written(gap), written(clash),
             proof.settled ? times : "", aim);
  std::fflush(stdout);
  const auto contradict = [&](const Judge::Verdict& verdict, std::size_t count) {
    return proof.settled && verdict.some != z3::unknown && (verdict.some == z3::sat) != (count > 0);
  };
  if (!contradict(gap, proof.gaps) && !contradict(clash, proof.clashes)) return true;
  fmt::print(stderr, "The proof and z3 contradict each other about {}.\n", title);
  return false;
}

void print_heading(const char* text) {
  fmt::print("\n{}\n{:<26}{:>12}{:>8} {:>8}  {:<12}  {:<19}{:<19}{:>15}\n", text, "", "the proof", "gaps", "clashes",
             "", "z3: any gap?", "z3: any clash?", "z3 ÷ the proof");
}

// One row of a policy of twenty properties edited, again and again, before an editor that remembers what it proved.
void print_proved_again() {
  std::vector<CaseTable> tables;
  for (std::uint64_t seed = 1; seed <= 20; ++seed) tables.push_back(bench::decision_tree(seed, 500, 5));
  const auto policy = compiled(bench::policy_of(tables));
  auto& row = tables[7].rows.front();
  const auto number = std::find_if(row.begin(), row.end(), [](const auto& cell) { return cell.low < cell.high; });
  ++number->low;
  const auto edited = compiled(bench::policy_of(tables));
  compiler::ProofMemory memory;
  const auto from_nothing = median_ms(1, [&] { static_cast<void>(compiler::prove(*policy, memory)); });
  bool once = false;
  const auto again =
      median_ms(5, [&] { static_cast<void>(compiler::prove((once = !once) ? *edited : *policy, memory)); });
  fmt::print(
      "\none row of 20 properties x 500 rows x 5 columns edited: {:.1f} ms ({} of {} tables proved again), "
      "{:.1f} ms from nothing\n",
      again, memory.proved, memory.proved + memory.reused, from_nothing);
}

}  // namespace

int main() {
  bool agree = true;
  const std::size_t sizes[] = {500, 1'000, 1'500}, widths[] = {3, 5, 7};
  const auto aim = [](std::size_t rows, std::size_t columns) {
    return rows == 1'500 && columns == 5 ? "(aim: 50 ms)" : "";
  };
  print_heading("tables from a decision tree, a tenth of their rows perturbed");
  for (const auto rows : sizes)
    for (const auto columns : widths)
      agree &= print_beside(fmt::format("{} rows x {} columns", rows, columns), bench::perturbed_tree(1, rows, columns),
                            aim(rows, columns));
  agree &= print_beside("10000 rows x 12 columns", bench::perturbed_tree(1, 10'000, 12), "(aim: 1000 ms)");

  print_heading("the same, not perturbed");
  for (const auto rows : sizes)
    for (const auto columns : widths)
      agree &= print_beside(fmt::format("{} rows x {} columns", rows, columns), bench::decision_tree(1, rows, columns),
                            aim(rows, columns));
  agree &= print_beside("10000 rows x 12 columns", bench::decision_tree(1, 10'000, 12), "(aim: 1000 ms)");

  print_heading("100 rows over 12 columns, each with conditions on three of them");
  for (std::uint64_t seed = 1; seed <= 4; ++seed)
    agree &=
        print_beside(fmt::format("one side of an edge, {}", seed), bench::mostly_any(seed, 100, 12), "(aim: 1000 ms)");
  for (const std::uint32_t percent : {20, 50, 80})
    for (std::uint64_t seed = 1; seed <= 2; ++seed)
      agree &= print_beside(fmt::format("{} % of the values, {}", percent, seed),
                            bench::mostly_any(seed, 100, 12, percent), "(aim: 1000 ms)");

  fmt::print("\nhow times grow, 5 columns, perturbed\n");
  double before = 0;
  for (const std::size_t rows : {1'000, 2'000, 4'000, 8'000}) {
    const auto proof = proved(compiled(bench::policy_of({bench::perturbed_tree(1, rows, 5)})));
    fmt::print("{:>6} rows{:>11.1f} ms{}{}\n", rows, proof.ms,
               before > 0 ? fmt::format("   {:.1f} times that of half as many", proof.ms / before) : "",
               proof.settled ? "" : "   not settled");
    before = proof.ms;
  }
  print_proved_again();
  return agree ? 0 : 1;
}
