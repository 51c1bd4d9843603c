// Who the rules of one table speak to, as sets of players. Inner to compiler/.
#pragma once

#include <map>
#include <optional>
#include <vector>

#include "compiler/space/diagram.hpp"
#include "compiler/tables/tables.hpp"

namespace lacestay::compiler {

class Regions {
 public:
  using Set = Diagrams::Node;

  // For a property its piece's table too, which says who owes an answer.
  Regions(const Tables& tables, const Table& table, std::size_t budget);

  Diagrams& sets() { return sets_; }
  [[nodiscard]] const Table& table() const { return table_; }

  // Rows of an effect, and of those `keep` lets pass: who they apply to, less who their rules yield to.
  template <typename Keep>
  Set speaking(Effect effect, Keep keep) {
    std::map<RuleId, std::vector<const Box*>> boxes;
    for (const auto& row : table_.rows)
      if (row.effect == effect && keep(row) && !is_empty(row.box)) boxes[row.rule].push_back(&row.box);
    // Rules that yield to nobody are joined in one go.
    std::vector<const Box*> plain;
    auto all = sets_.nobody();
    for (auto& [rule, held] : boxes) {
      if (yields(rule))
        all = sets_.either(all, sets_.without(sets_.any_of(held), outrankers_of(rule)));
      else
        plain.insert(plain.end(), held.begin(), held.end());
    }
    return sets_.either(all, sets_.any_of(std::move(plain)));
  }
  Set speaking(Effect effect) {
    return speaking(effect, [](const Row&) { return true; });
  }
  // One row, less who its rule yields to.
  Set of_row(std::uint32_t row) {
    return sets_.without(sets_.box(table_.rows[row].box), outrankers_of(table_.rows[row].rule));
  }

  // Everybody a rule applies to, whether it yields or not.
  Set of_rule(RuleId rule);
  // Everybody to whom a rule that outranks this one applies.
  Set outrankers_of(RuleId rule);
  [[nodiscard]] bool yields(RuleId rule) const { return outranked_by_.count(rule) != 0; }
  [[nodiscard]] bool related(RuleId a, RuleId b) const;

  // Of a property: who has the piece. Of a piece: who has it, needed or suggested, where nothing clashes.
  Set present();
  // For whom the table's outcome means anything: of a property those present, of all else everybody.
  Set concerned() { return table_.kind == Table::Kind::property ? present() : sets_.everybody(); }
  // Who is left to the fitter.
  Set referred();
  // Who must get an answer from the rules: present and not referred.
  Set owed();
  // To whom a floor and a cap below it speak. (They clash, base or no base.)
  Set crossed();
  // The bases' boxes, where who is owed an answer gets one just where one of them applies, whoever yields to whom: each
  // rule that outranks a base is one itself, or leaves the answer to the fitter. Nothing elsewhere.
  [[nodiscard]] std::optional<std::vector<const Box*>> bases_together() const;
  // To be called where all who are owed an answer have a base.
  void all_answered() {
    if (crossed() == sets_.nobody()) answered_ = owed();
  }
  // Owed, answered by one base and clash-free: where an answer can be compared.
  Set answered();
  // Among `answered`: whose answer is at least a step; of a band, whose lower (or upper) end is.
  Set at_least(std::int64_t step, bool upper_end);

 private:
  Set piece_present(const Table& piece);
  Set lazily(std::optional<Set>& known, Set (Regions::*make)());
  Set make_present();
  Set make_referred();
  Set make_owed();
  Set make_crossed();
  Set make_answered();
  Set make_at_least(std::int64_t step, bool upper_end);

  const Tables& tables_;
  const Table& table_;
  Diagrams sets_;
  std::map<RuleId, std::vector<RuleId>> outranked_by_;
  std::map<RuleId, Set> of_rule_, outrankers_;
  std::optional<Set> present_, referred_, owed_, crossed_, answered_;
  std::map<std::pair<std::int64_t, bool>, Set> at_least_;
};

}  // namespace lacestay::compiler
