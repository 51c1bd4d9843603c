#include "runtime/compare/changed_marks.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <map>
#include <memory>
#include <set>

#include "compiler/space/diagram.hpp"
#include "compiler/tables/boxes.hpp"
#include "runtime/advice/words.hpp"
#include "runtime/compare/comparison.hpp"

namespace lacestay::runtime {

using compiler::Box;
using compiler::Policy;
using compiler::Row;
using compiler::RuleId;
using compiler::Side;
using compiler::Table;
using compiler::TableId;

namespace {

constexpr std::size_t most_edges = 200'000;  // of one rule's diagrams
constexpr std::size_t most_boxes = 8;        // in one mark: more say nothing to a reader

using RulePair = std::pair<RuleId, RuleId>;

struct Found {
  std::map<std::pair<TableId, std::uint32_t>, std::vector<std::string>> rows;  // what to put behind each row
  std::map<TableId, std::set<RulePair>> outranks;                              // new ones
  std::map<TableId, std::vector<std::string>> below;
};

class Marking {
 public:
  explicit Marking(const compiler::Difference& difference)
      : editions_(*difference.editions), space_(editions_.space()), difference_(difference) {
    for (const auto& [earlier, later] : difference.rules) later_[earlier] = later, earlier_[later] = earlier;
  }

  Found run() {
    for (const auto& change : difference_.changes) {
      const auto& answer = change.answer;
      if (!answer.target.earlier || !answer.target.later || answer.kind == Table::Kind::caution) continue;
      const auto& before = policy(Side::earlier).tables;
      const auto& after = policy(Side::later).tables;
      const auto id = answer.table_in(after, Side::later);
      compare(before.tables[answer.table_in(before, Side::earlier)], after.tables[id], id);
    }
    return std::move(found_);
  }

 private:
  using Rows = std::vector<std::pair<std::uint32_t, Box>>;  // number and shared box, of those some shared player meets

  const Policy& policy(Side side) const { return editions_.edition(side); }

  std::map<RuleId, Rows> by_rule(Side side, const Table& table) const {
    std::map<RuleId, Rows> rules;
    for (std::uint32_t row = 0; row < table.rows.size(); ++row) {
      Box box;
      for (const auto& cell : table.rows[row].box) editions_.share(side, cell, box.emplace_back());
      if (compiler::is_empty(box)) continue;
      std::sort(box.begin(), box.end(), [](const auto& a, const auto& b) { return a.column < b.column; });
      rules[table.rows[row].rule].emplace_back(row, std::move(box));
    }
    return rules;
  }

  void compare(const Table& before, const Table& after, TableId id) {
    const auto was = by_rule(Side::earlier, before), is = by_rule(Side::later, after);
    for (const auto& [rule, rows] : is) {
      const auto known = earlier_.find(rule);
      const auto old = known == earlier_.end() ? was.end() : was.find(known->second);
      for (const auto& [row, box] : rows) {
        auto& notes = found_.rows[{id, row}];
        if (old == was.end())
          notes = {"new"};
        else
          compare_row(before, old->second, says(policy(Side::later), after, after.rows[row]), box, notes);
      }
    }
    for (const auto& [rule, rows] : was) {
      const auto known = later_.find(rule);
      const auto now = known == later_.end() ? is.end() : is.find(known->second);
      for (const auto& [row, box] : rows)
        for (const auto& left : left_of(box, now == is.end() ? Rows{} : now->second)) {
          const auto who = in_words(space_, without_whole(left));
          found_.below[id].push_back(
              fmt::format("no longer: {}{} [{}]", says(policy(Side::earlier), before, before.rows[row]),
                          who.empty() ? "" : " for " + who, policy(Side::earlier).rules[rule].name));
        }
    }
    compare_outranks(before, after, id);
  }

  void compare_row(const Table& before, const Rows& old, const std::string& now, const Box& box,
                   std::vector<std::string>& notes) const {
    std::map<std::string, std::vector<Box>> other;  // by what was said
    for (const auto& [row, was] : old) {
      if (!compiler::meet(box, was)) continue;
      const auto said = says(policy(Side::earlier), before, before.rows[row]);
      if (said != now) other[said].push_back(compiler::shared_box(box, was));
    }
    for (auto& [said, where] : other) {
      compiler::join_boxes(space_.tables, where);
      notes.push_back("was " + said + within(box, where));
    }
    auto fresh = left_of(box, old);
    if (!fresh.empty()) notes.push_back("new" + within(box, fresh));
  }

  // A box minus the rows' boxes, as few boxes.
  std::vector<Box> left_of(const Box& box, const Rows& rows) const {
    std::vector<const Box*> taken;
    for (const auto& [row, other] : rows)
      if (compiler::meet(box, other)) taken.push_back(&other);
    std::vector<Box> left;
    try {
      compiler::Diagrams store(space_.tables.place_counts(), most_edges);
      store.each_box(store.without(store.box(box), store.any_of(taken)), [&](const Box& part) {
        left.push_back(part);
        return true;
      });
    } catch (const compiler::Diagrams::OverBudget&) {
      return {box};
    }
    compiler::join_boxes(space_.tables, left);
    return left;
  }

  // For whom, beside what the field says of itself already; nothing for all its players.
  std::string within(const Box& field, const std::vector<Box>& where) const {
    std::vector<std::string> all;
    for (const auto& box : where) {
      auto rest = without_whole(box);
      std::erase_if(rest, [&](const compiler::Cell& cell) {
        const auto* own = compiler::places_in(field, cell.column);
        return own && *own == cell.places;
      });
      if (rest.empty()) return "";
      all.push_back(in_words(space_, rest));
    }
    return all.size() > most_boxes ? " for some of them" : fmt::format(" for {}", fmt::join(all, "; or "));
  }

  Box without_whole(Box box) const {
    std::erase_if(box, [&](const compiler::Cell& cell) {
      return cell.places == compiler::Places{{0, space_.tables.columns[cell.column].places - 1}};
    });
    return box;
  }

  void compare_outranks(const Table& before, const Table& after, TableId id) {
    const auto in_other = [](const RulePair& pair, const std::map<RuleId, RuleId>& other, const Table& table) {
      const auto over = other.find(pair.first), under = other.find(pair.second);
      return over != other.end() && under != other.end() &&
             std::find(table.outranks.begin(), table.outranks.end(), RulePair{over->second, under->second}) !=
                 table.outranks.end();
    };
    for (const auto& pair : after.outranks)
      if (!in_other(pair, earlier_, before)) found_.outranks[id].insert(pair);
    const auto& rules = policy(Side::earlier).rules;
    for (const auto& pair : before.outranks)
      if (!in_other(pair, later_, after))
        found_.below[id].push_back(
            fmt::format("no longer: {} outranks {}", rules[pair.first].name, rules[pair.second].name));
  }

  const compiler::Editions& editions_;
  const Policy& space_;
  const compiler::Difference& difference_;
  std::map<RuleId, RuleId> later_, earlier_;  // the same rule in the other edition
  Found found_;
};

}  // namespace

WallMarks changed_marks(const compiler::Difference& difference) {
  const auto found = std::make_shared<const Found>(Marking(difference).run());
  WallMarks marks;
  marks.field = [found](TableId id, const std::vector<std::uint32_t>& rows) {
    std::vector<std::string> all;
    for (const auto row : rows) {
      const auto known = found->rows.find({id, row});
      if (known == found->rows.end()) continue;
      for (const auto& note : known->second)
        if (std::find(all.begin(), all.end(), note) == all.end()) all.push_back(note);
    }
    return all;
  };
  marks.outranks = [found](TableId id, const RulePair& pair) -> std::string {
    const auto known = found->outranks.find(id);
    return known != found->outranks.end() && known->second.count(pair) != 0 ? "new" : "";
  };
  marks.below = [found](TableId id) {
    const auto known = found->below.find(id);
    return known == found->below.end() ? std::vector<std::string>() : known->second;
  };
  return marks;
}

}  // namespace lacestay::runtime
