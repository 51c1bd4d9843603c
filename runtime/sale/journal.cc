#include "runtime/sale/journal.hpp"

#include "grammar/text/csv.hpp"
#include "runtime/base/csv_line.hpp"
#include "runtime/base/sha256.hpp"

namespace lacestay::runtime {

std::string journal_text(const Journal& journal) {
  auto text = csv_line({"file", "before", "after", "by hand"});
  for (const auto& file : journal.files) text += csv_line({file.name, file.before, file.after, file.by_hand});
  return text + csv_line({"", sha256(text), "", journal.subject});  // no file is called ""
}

std::optional<Journal> read_journal(std::string text) {
  const grammar::Source source("journal", std::move(text));
  grammar::Diagnostics problems;
  const auto table = grammar::read_csv(source, problems);
  if (!problems.empty() || table.heading.size() != 4 || table.rows.empty()) return std::nullopt;
  Journal journal;
  for (const auto& row : table.rows)
    journal.files.push_back({row.cells[0].text, row.cells[1].text, row.cells[2].text, row.cells[3].text});
  journal.subject = journal.files.back().by_hand;
  journal.files.pop_back();
  return journal_text(journal) == source.text() ? std::optional(journal) : std::nullopt;
}

}  // namespace lacestay::runtime
