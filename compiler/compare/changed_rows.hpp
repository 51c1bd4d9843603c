// The rows of two editions over the shared space, matched: which both have, and which one alone has. Inner to
// compiler/.
//
// Usage: `read` every table, `pair` the tables that give one answer, `match_rules` once; then ask for what changed.
// Rows are kept flat, hashed by content, so that matching is linear.
#pragma once

#include <map>
#include <span>
#include <vector>

#include "compiler/compare/editions.hpp"

namespace lacestay::compiler {

// What an answer means by a scale's own meanings, so that answers of two editions compare as numbers. Of several
// members it is what each of them means, in bits turned over: no member's own number. The meanings of members that may
// be left open are under 64.
[[nodiscard]] std::int64_t means(std::span<const std::int64_t> meaning, std::int64_t step);

class ChangedRows {
 public:
  using Tables = OfSides<const Table*>;                // the tables of one answer; nullptr where an edition lacks it
  using Pair = OfSides<std::optional<std::uint32_t>>;  // a row's number in each edition that has it

  explicit ChangedRows(const Editions& editions) : editions_(editions) {}

  // Reads a table, which must outlive this. `meaning` (of a property, by step) gives answers that can be compared
  // between editions; steps beyond it stand for themselves. Cost: linear in its cells.
  void read(Side side, const Table& table, std::span<const std::int64_t> meaning);
  [[nodiscard]] bool has_read(const Table& table) const { return read_.count(&table) != 0; }
  // Says that two tables give the same answer. After both were read; before rules are matched.
  void pair(const Table& earlier, const Table& later);
  // Rules of the same name are the same rule; of the others, those with the same rows: the rule was renamed.
  void match_rules();
  [[nodiscard]] std::vector<std::pair<RuleId, RuleId>> matched() const;

  struct Found {
    std::vector<Box> where;  // shared boxes; outside them the same rows apply in both editions
    std::vector<Pair> near;  // all rows of either edition that meet one of them
  };
  // Where rows differ. `everywhere`: the whole space counts as changed, as where an edition lacks the table.
  [[nodiscard]] Found changed(const Tables& tables, bool everywhere) const;
  // Where what binds items differs by the rows: in the boxes of changed rows that bind, of those that are silenced by
  // other rules now, or no longer. Both editions must have the table.
  [[nodiscard]] std::vector<Box> changed_bounds(const Tables& tables) const;
  // All rows that meet one of these boxes.
  [[nodiscard]] std::vector<Pair> near(const Tables& tables, const std::vector<Box>& where) const;
  // A row's box in the shared space.
  [[nodiscard]] Box box(const Tables& tables, const Pair& row) const;

 private:
  // Cells one after another: the column, how many ranges, then each range's first and last place.
  using Flat = std::vector<std::uint32_t>;
  struct FlatRow {
    std::size_t first, last;  // in Read::cells
    std::uint64_t content;    // a hash of what it says and where; its rule is left out, for rules may be renamed
    bool met;                 // some player of the shared space may be in it
  };
  struct Read {
    Side side;
    const Table* table;
    Flat cells;
    std::vector<FlatRow> rows;
    std::vector<std::pair<std::int64_t, std::int64_t>> answers;  // by row, comparable between editions
    [[nodiscard]] std::span<const std::uint32_t> cells_of(std::uint32_t row) const {
      return {cells.data() + rows[row].first, cells.data() + rows[row].last};
    }
  };

  [[nodiscard]] std::vector<Pair> matched_rows(const Tables& tables) const;
  [[nodiscard]] bool equal(const Read& earlier, std::uint32_t a, const Read& later, std::uint32_t b) const;
  [[nodiscard]] std::vector<Pair> overlapping(const Tables& tables, const std::vector<Pair>& rows,
                                              const std::vector<Box>& where) const;
  // Adds the boxes of rows, of those that bind alone or of all, whose rule is outranked in one edition alone.
  void add_outranked(const Tables& tables, bool binding_alone, std::vector<Box>& where) const;
  [[nodiscard]] const Read& of(const Table* table) const { return read_.at(table); }

  const Editions& editions_;
  std::map<const Table*, Read> read_;
  std::vector<std::pair<const Table*, const Table*>> pairs_;
  OfSides<std::vector<std::optional<RuleId>>> other_;  // by rule: the same one in the other edition
};

}  // namespace lacestay::compiler
