// The tables of a loaded policy: every list as long as what it is by, edges that rise, boxes of places that exist, rows
// that say what their table can be told.
#include <algorithm>
#include <set>
#include <unordered_map>

#include "compiler/law/law.hpp"
#include "compiler/space/reach.hpp"
#include "runtime/seal/holding.hpp"

namespace lacestay::runtime {

using compiler::Column;
using compiler::Cut;
using compiler::Policy;
using compiler::Row;
using compiler::RuleId;
using compiler::Table;
using compiler::Tables;

namespace {

constexpr std::int64_t most_moved = 3;  // steps, by one row
constexpr std::size_t most_rows = 400'000, most_cuts = 200'000;
// Rules about one answer, squared and added up: what a player to whom all of them apply costs to lay out.
constexpr std::uint64_t most_together = 300'000'000;
// Places of columns that tables look at, table by table.
constexpr std::uint64_t most_looked_at = 100'000'000;

void hold_answer(const Policy& policy, const Table& table, const Row& row, const std::string& of) {
  if (table.kind == Table::Kind::detail) {
    hold(row.low == row.high && within_ticks(row.low), "{} gives no one value", of);
    const auto& scale = policy.worked_out[table.target].scale;
    if (scale.kind == compiler::Scale::Kind::day) hold(is_day(row.low), "{} gives no day", of);
    if (scale.has_members())
      hold(0 <= row.low && row.low < static_cast<std::int64_t>(scale.members.size()), "{} gives no member", of);
    return;
  }
  if (compiler::moves_base(row.effect)) {
    const auto& space = policy.tables.answers[table.target];
    hold(row.low == row.high && row.low != 0 && -most_moved <= row.low && row.low <= most_moved,
         "{} moves by no one to three steps", of);
    hold(space.ordered && !space.band && policy.tables.safety_reaches_items, "{} moves what it may not", of);
    return;
  }
  if (!compiler::names_steps(row.effect)) {
    hold(row.low == 0 && row.high == 0, "{} gives steps where there are none", of);
    return;
  }
  const auto& space = policy.tables.answers[table.target];
  const bool open = compiler::leaves_open(row.low);
  hold(0 <= row.low && row.low <= row.high && (open || row.high < space.steps), "{} gives steps that there are not",
       of);
  hold(space.band || row.low == row.high, "{} gives two ends where one value is due", of);
  if (open || (compiler::narrows_band(row.effect) && !space.ordered)) {
    hold(!space.ordered && space.steps <= compiler::most_left_open, "{} leaves open what is no choice", of);
    const auto members = compiler::members_of(row.low);
    hold(
        (members & ~compiler::all_members(space.steps)) == 0 && members != 0 && compiler::answer_of(members) == row.low,
        "{} gives members that there are not", of);
  }
  hold(!compiler::narrows_band(row.effect) || space.band || !space.ordered, "{} narrows what is no band", of);
  hold(!compiler::moves_answer(row.effect) || (space.ordered && !space.band), "{} lifts what has no order, or a band",
       of);
}

// Closed, without a circle, between rules that speak in this table. As sets of bits, each pair costs a word for every
// 64 rules.
void hold_outranks(const Table& table, const std::set<RuleId>& rules, const std::string& of) {
  std::unordered_map<RuleId, std::size_t> index;
  for (const auto& [over, under] : table.outranks) {
    hold(over != under && rules.count(over) != 0 && rules.count(under) != 0,
         "{}/outranks names a rule that does not speak there", of);
    index.emplace(over, index.size());
    index.emplace(under, index.size());
  }
  hold(std::adjacent_find(table.outranks.begin(), table.outranks.end(),
                          [](const auto& a, const auto& b) { return a >= b; }) == table.outranks.end(),
       "{}/outranks is out of order", of);
  const auto words = (index.size() + 63) / 64;
  std::vector<std::vector<std::uint64_t>> below(index.size(), std::vector<std::uint64_t>(words));
  for (const auto& [over, under] : table.outranks) below[index[over]][index[under] / 64] |= 1ull << index[under] % 64;
  for (const auto& [over, under] : table.outranks) {
    const auto &high = below[index[over]], &low = below[index[under]];
    for (std::size_t word = 0; word < words; ++word)
      hold((low[word] & ~high[word]) == 0, "{}/outranks leaves out what follows from it", of);
    hold((low[index[over] / 64] >> index[over] % 64 & 1) == 0, "{}/outranks runs in a circle", of);
  }
}

void hold_table(const Policy& policy, std::size_t id, const std::string& of) {
  const auto& table = policy.tables.tables[id];
  hold(table.kind != Table::Kind::shop_line || table.rows.size() <= 1, "{} is of more than one line", of);
  std::set<compiler::ColumnId> columns;
  std::set<RuleId> rules;
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    const auto& row = table.rows[i];
    const auto place = fmt::format("{}/rows/{}", of, i);
    hold(row.rule < policy.rules.size(), "{} is of no rule", place);
    hold(compiler::kind_of_table(row.effect) == table.kind, "{} says what such a table is not told", place);
    hold_answer(policy, table, row, place);
    const bool upper_end = policy.rules[row.rule].is_upper_end(row);
    const bool may = !upper_end && compiler::binds_items(row.effect, row.safety, true);
    const bool must = may && policy.tables.safety_reaches_items && compiler::binds_items(row.effect, row.safety, false);
    hold(must <= row.binds && row.binds <= may, "{} binds items where it may not, or does not where it must", place);
    hold_box(policy.tables, row.box, place);
    for (const auto& cell : row.box) columns.insert(cell.column);
    rules.insert(row.rule);
    hold(row.entry < policy.rules[row.rule].entries.size(), "{} is of no entry of its rule", place);
    if (policy.rules[row.rule].sized_from)
      hold(compiler::gives_answer(row.effect) || upper_end, "{} is sized, but no size", place);
  }
  hold(std::equal(columns.begin(), columns.end(), table.columns.begin(), table.columns.end()),
       "{}/columns are not those its rows look at", of);
  hold_outranks(table, rules, of);
}

}  // namespace

void hold_box(const Tables& tables, const compiler::Box& box, const std::string& of) {
  for (std::size_t i = 0; i < box.size(); ++i) {
    const auto& cell = box[i];
    hold(cell.column < tables.columns.size() && (i == 0 || box[i - 1].column < cell.column),
         "{}/cells has columns out of order, or none of the policy's", of);
    hold(!cell.places.empty(), "{}/cells/{} has no places", of, i);
    for (std::size_t k = 0; k < cell.places.size(); ++k) {
      const auto& range = cell.places[k];
      hold(range.first <= range.last && range.last < tables.columns[cell.column].places &&
               (k == 0 || cell.places[k - 1].last + 1 < range.first),
           "{}/cells/{} has places out of order, or none of its column's", of, i);
    }
  }
}

void hold_tables_shape(const Policy& policy) {
  const auto& tables = policy.tables;
  const auto as_long = [](std::size_t one, std::size_t other, const char* what) {
    hold(one == other, "{} is not as long as what it is by", what);
  };
  as_long(tables.asked.size(), policy.details.size(), "tables/asked");
  as_long(tables.worked_out.size(), policy.worked_out.size(), "tables/worked_out");
  as_long(tables.columns.size(), tables.asked.size() + tables.worked_out.size(), "tables/columns");
  as_long(tables.answers.size(), policy.properties.size(), "tables/answers");
  as_long(tables.piece_of.size(), policy.properties.size(), "tables/piece_of");
  as_long(tables.presence.size(), policy.pieces.size(), "tables/presence");
  for (std::size_t i = 0; i < tables.columns.size(); ++i) {
    const bool worked_out = i >= tables.asked.size();
    hold(tables.columns[i].worked_out == worked_out &&
             tables.columns[i].detail == (worked_out ? i - tables.asked.size() : i),
         "tables/columns/{} is another detail's", i);
  }
  std::size_t id = 0;
  const auto next = [&](Table::Kind kind, std::size_t target) {
    hold(id < tables.tables.size() && tables.tables[id].kind == kind && tables.tables[id].target == target,
         "tables/tables/{} is missing, or about something else", id);
    ++id;
  };
  for (std::size_t i = 0; i < policy.properties.size(); ++i) next(Table::Kind::property, i);
  for (std::size_t i = 0; i < policy.pieces.size(); ++i) next(Table::Kind::piece, i);
  for (std::size_t i = 0; i < policy.cautions.size(); ++i) next(Table::Kind::caution, i);
  for (std::size_t i = 0; i < tables.worked_out.size(); ++i) {
    if (!tables.worked_out[i].formula.empty()) continue;
    hold(tables.worked_out[i].chart == id, "tables/worked_out/{} comes from another chart", i);
    next(Table::Kind::detail, i);
  }
  for (std::size_t line = 0; id < tables.tables.size() && line < compiler::most_shop_lines; ++line)
    next(Table::Kind::shop_line, line);
  hold(id == tables.tables.size(), "tables/tables/{} is about nothing", id);
  for (std::size_t i = 0; i < policy.cautions.size(); ++i)
    hold(policy.cautions[i] < policy.rules.size(), "cautions/{} is of no rule", i);
  for (std::size_t i = 0; i < policy.rules.size(); ++i) {
    const auto& rule = policy.rules[i];
    for (const auto& end : {rule.sized_from, rule.sized_to})
      hold(!end || *end < tables.columns.size(), "rules/{} is sized from no detail", i);
    hold(rule.sized_from || !rule.sized_to, "rules/{} has an upper end alone", i);
  }
}

void hold_columns(const Policy& policy) {
  const auto& tables = policy.tables;
  std::size_t cuts = 0;
  for (std::size_t i = 0; i < tables.columns.size(); ++i) {
    const auto& column = tables.columns[i];
    const auto of = fmt::format("tables/columns/{}", i);
    cuts += column.cuts.size();
    if (!column.worked_out && tables.asked[column.detail].members) {
      hold(column.cuts.empty() && column.places == policy.details[i].scale.members.size(),
           "{} has other places than its members", of);
      continue;
    }
    hold(column.places == column.cuts.size() + 1, "{} has {} places between {} edges", of, column.places,
         column.cuts.size());
    for (std::size_t k = 0; k < column.cuts.size(); ++k)
      hold(k == 0 || column.cuts[k - 1] < column.cuts[k], "{} has its edges out of order", of);
    if (column.worked_out) {  // those lie between bounds that are still to be proved
      const auto& scale = policy.worked_out[column.detail].scale;
      for (const auto& cut : column.cuts)
        hold(!scale.has_members() ||
                 (!cut.after && 0 < cut.at && cut.at < static_cast<std::int64_t>(scale.members.size())),
             "{} has an edge that is no member's", of);
      continue;
    }
    const auto& domain = tables.asked[column.detail];
    for (const auto& cut : column.cuts)
      hold(!cut.after && domain.lowest < cut.at && cut.at <= domain.highest && cut.at % domain.grain == 0,
           "{} has an edge where its detail has none", of);
  }
  hold(cuts <= most_cuts, "tables/columns have more than {} edges", most_cuts);
}

void hold_tables(const Policy& policy) {
  const auto& tables = policy.tables;
  std::size_t rows = 0;
  std::uint64_t together = 0, looked_at = 0;
  for (const auto& table : tables.tables) rows += table.rows.size();
  hold(rows <= most_rows, "tables have more than {} rows", most_rows);
  for (std::size_t id = 0; id < tables.tables.size(); ++id) {
    const auto& table = tables.tables[id];
    hold_table(policy, id, fmt::format("tables/tables/{}", id));
    std::set<RuleId> rules;
    for (const auto& row : table.rows) rules.insert(row.rule);
    together += std::uint64_t{rules.size()} * rules.size();
    for (const auto column : table.columns) looked_at += tables.columns[column].places;
  }
  hold(together <= most_together, "tables have too many rules about one answer");
  hold(looked_at <= most_looked_at, "tables look at too many places");
}

}  // namespace lacestay::runtime
