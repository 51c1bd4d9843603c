// The passes, in order, each with what it takes and what it leaves.
#include "compiler/check/compile.hpp"

#include <fmt/format.h>

#include "compiler/check/checker.hpp"
#include "compiler/check/files.hpp"
#include "compiler/check/lower.hpp"

namespace lacestay::compiler {

namespace {

std::size_t rows_in(const std::vector<PolicyFile>& files) {
  std::size_t rows = 0;
  for (const auto& file : files)
    for (const auto& item : file.tree.items) {
      if (const auto* chart = std::get_if<grammar::Chart>(&item.form)) rows += chart->rows.size();
      rows += std::holds_alternative<grammar::Rule>(item.form) ? 1 : 0;
    }
  return rows;
}

// Above this many details or properties a table's numbers would not hold them.
constexpr std::size_t most_names = 1000;

bool within_limits(const std::vector<PolicyFile>& files, grammar::Diagnostics& diagnostics) {
  const grammar::Span whole{files.front().tree.source.get(), 0, 0};
  const auto before = diagnostics.size();
  if (const auto rows = rows_in(files); rows > most_rows)
    diagnostics.add("limits-3", whole, fmt::format("The policy has {} rows; the most is {}.", rows, most_rows),
                    "join rows that say the same, or split the shop's work over two policies");
  std::size_t names = 0;
  for (const auto& file : files)
    for (const auto& item : file.tree.items) {
      names += std::holds_alternative<grammar::Ask>(item.form) || std::holds_alternative<grammar::WorkOut>(item.form)
                   ? 1
                   : 0;
      if (const auto* piece = std::get_if<grammar::Piece>(&item.form)) names += 1 + piece->properties.size();
      if (const auto* group = std::get_if<grammar::PieceGroup>(&item.form)) names += 1 + group->pieces.size();
    }
  if (names > most_names)
    diagnostics.add(
        "limits-4", whole,
        fmt::format("The policy names {} details, pieces, properties and groups; the most is {}.", names, most_names),
        "leave out what no rule uses");
  return diagnostics.size() == before;
}

}  // namespace

Compiled compile(const std::string& name, std::string text, const ReadFile& read_file) {
  Compiled compiled;
  grammar::Diagnostics diagnostics;
  // text → trees: the policy's own file, then each part and pack
  auto files = gather_files(name, std::move(text), read_file, diagnostics);
  for (const auto& file : files) compiled.sources.push_back(file.tree.source);
  auto policy = std::make_shared<Policy>();
  policy->sources = compiled.sources;
  // A file that could not be read whole would only give rise to messages about names it should have declared.
  if (diagnostics.empty() && within_limits(files, diagnostics)) {
    Checker checker(*policy, files, diagnostics);
    checker.read_headings();       // headings            → title, edition, currency
    checker.declare_details();     // ask                 → details, columns
    checker.declare_kit();         // piece, property     → pieces, answer spaces
    checker.declare_groups();      // group               → names of several pieces
    checker.declare_worked_out();  // work out, charts    → formulas over columns, bounds proved
    checker.check_reliance();      // relies on           → held to what is asked and worked out
    checker.check_rules();         // rule, chart         → drafts: edges in ticks, answers in steps
    checker.check_outranks();      // outranks            → its transitive closure
    checker.check_sures();         // make sure           → claims
    checker.check_nobody();        // nobody has          → players that cannot be
    checker.check_stock();         // accept, worth, deal → the shop's side: shelf and till
    if (diagnostics.empty()) checker.check_owed();
    checker.show_edges_as_written();  // edges written in other units → shown so
    if (diagnostics.empty()) {
      lower(checker);  // drafts              → decision tables
      compiled.policy = std::move(policy);
    }
  }
  compiled.diagnostics = diagnostics.sorted();
  return compiled;
}

}  // namespace lacestay::compiler
