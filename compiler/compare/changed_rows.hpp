// The rows of two editions in one numbering, matched: which both have, and which one alone has. Inner to compiler/.
#pragma once

#include <map>
#include <span>
#include <vector>

#include "compiler/compare/editions.hpp"

namespace lacestay::compiler {

class ChangedRows {
 public:
  using Tables = OfSides<const Table*>;                // that give one answer; absent where an edition lacks it
  using Pair = OfSides<std::optional<std::uint32_t>>;  // one row as it stands in the editions that have it

  explicit ChangedRows(const Editions& editions) : editions_(editions) {}

  // Reads a table; `meaning` tells a property's steps from those of the other edition. Cost: linear in its cells.
  void read(Side side, const Table& table, std::span<const std::int64_t> meaning);
  // The two give one answer. After both were read; before rules are matched.
  void pair(const Table& earlier, const Table& later);
  // Rules of one name are one rule; of the others, those whose rows are the same: it was renamed.
  void match_rules();
  [[nodiscard]] std::vector<std::pair<RuleId, RuleId>> matched() const;

  struct Found {
    std::vector<Box> where;  // shared boxes outside which the editions' rows do the same
    std::vector<Pair> near;  // all rows that apply somewhere in them
  };
  // `everywhere` takes the whole space for changed.
  [[nodiscard]] Found changed(const Tables& tables, bool everywhere) const;
  [[nodiscard]] std::vector<Pair> near(const Tables& tables, const std::vector<Box>& where) const;
  // A row's box in the shared space.
  [[nodiscard]] Box box(const Tables& tables, const Pair& row) const;

 private:
  // Cells one after another: the column, how many ranges, then each range's first and last place.
  using Flat = std::vector<std::uint32_t>;
  struct FlatRow {
    std::size_t first, last;  // in Read::cells
    std::uint64_t content;    // a hash of all it says and where, but not of its rule
    bool met;                 // by some player of the shared space
  };
  struct Read {
    Side side;
    const Table* table;
    Flat cells;
    std::vector<FlatRow> rows;
    std::vector<std::pair<std::int64_t, std::int64_t>> answers;  // by row, in both editions' meaning
    [[nodiscard]] std::span<const std::uint32_t> cells_of(std::uint32_t row) const {
      return {cells.data() + rows[row].first, cells.data() + rows[row].last};
    }
  };

  [[nodiscard]] std::vector<Pair> matched_rows(const Tables& tables) const;
  [[nodiscard]] bool equal(const Read& earlier, std::uint32_t a, const Read& later, std::uint32_t b) const;
  [[nodiscard]] std::vector<Pair> overlapping(const Tables& tables, const std::vector<Pair>& rows,
                                              const std::vector<Box>& where) const;
  void add_outranks(const Tables& tables, std::vector<Box>& where) const;
  [[nodiscard]] const Read& of(const Table* table) const { return read_.at(table); }

  const Editions& editions_;
  std::map<const Table*, Read> read_;
  std::vector<std::pair<const Table*, const Table*>> pairs_;
  OfSides<std::vector<std::optional<RuleId>>> other_;  // by rule: the same one in the other edition
};

}  // namespace lacestay::compiler
