// Writes a policy as C++ the way a programmer without Lacestay would: nested ifs over a player's details, one
// function, nothing shared between properties. The benchmark compiles what this prints and runs it beside the
// engine, after checking that both say the same.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "compiler/check/compile.hpp"

namespace {

using namespace lacestay::compiler;

std::string number(Int128 value) { return fmt::format("{}LL", static_cast<std::int64_t>(value)); }

class Writer {
 public:
  explicit Writer(const Policy& policy) : policy_(policy), tables_(policy.tables) {}

  std::string run() {
    std::string out =
        "#include \"tests/bench/nested_ifs.hpp\"\n\nnamespace lacestay::bench {\n\nvoid nested_ifs(const std::int64_t* "
        "r, Result* out) {\n";
    for (std::size_t i = 0; i < tables_.worked_out.size(); ++i) out += worked_out(i);
    const auto answers = tables_.first_caution_table() + policy_.cautions.size();
    for (std::size_t id = 0; id < answers; ++id) {
      const auto& table = tables_.tables[id];
      out += "  {\n" +
             (table.kind == Table::Kind::property ? property(table)
              : table.kind == Table::Kind::piece  ? piece(table)
                                                  : caution(table)) +
             fmt::format("    out[{}] = result;\n  }}\n", id);
    }
    return out + "}\n\n}  // namespace lacestay::bench\n";
  }

 private:
  std::string fraction(ColumnId column) const {
    const auto& known = tables_.columns[column];
    if (known.worked_out) return fmt::format("w{}", known.detail);
    return fmt::format("Fraction{{r[{}], {}}}", known.detail,
                       tables_.asked[known.detail].plain_number ? "1000000000" : "1");
  }

  std::string worked_out(std::size_t index) const {
    const auto& detail = tables_.worked_out[index];
    if (detail.formula.empty()) {
      std::string out = fmt::format("  Fraction w{}{{0, {}}};\n", index, detail.plain_number ? "1000000000" : "1");
      return out + ladder(
                       tables_.tables[detail.chart].rows,
                       [&](const Row& row) { return fmt::format("w{}.n = {};", index, number(row.low)); }, 2);
    }
    std::vector<std::string> stack;
    for (const auto& step : detail.formula) {
      using Kind = FormulaStep::Kind;
      static const std::map<Kind, const char*> names = {{Kind::add, "add"},
                                                        {Kind::subtract, "subtract"},
                                                        {Kind::multiply, "multiply"},
                                                        {Kind::divide, "divide"},
                                                        {Kind::larger, "larger"},
                                                        {Kind::smaller, "smaller"},
                                                        {Kind::whole_years, "years_between"},
                                                        {Kind::round_up, "up"},
                                                        {Kind::round_down, "down"},
                                                        {Kind::round_nearest, "nearest"}};
      if (step.kind == Kind::detail)
        stack.push_back(fraction(step.index));
      else if (step.kind == Kind::shrink)
        continue;
      else if (step.kind == Kind::constant)
        stack.push_back(fmt::format("Fraction{{{}, {}}}", number(step.numerator), number(step.denominator)));
      else if (step.kind >= Kind::round_up)
        stack.back() = fmt::format("{}({}, Fraction{{{}, {}}})", names.at(step.kind), stack.back(),
                                   number(step.numerator), number(step.denominator));
      else {
        const auto second = stack.back();
        stack.pop_back();
        stack.back() = fmt::format("{}({}, {})", names.at(step.kind), stack.back(), second);
      }
    }
    return fmt::format("  [[maybe_unused]] const Fraction w{} = {};\n", index, stack.back());
  }

  // "the value lies before this edge"
  std::string before(ColumnId column, std::uint32_t cut) const {
    const auto& known = tables_.columns[column];
    if (!known.worked_out) return fmt::format("r[{}] < {}", known.detail, number(known.cuts[cut].at));
    const auto scale = tables_.worked_out[known.detail].plain_number ? " * 1000000000" : "";
    return fmt::format("w{0}.n{1} {2} w{0}.d * {3}", known.detail, scale, known.cuts[cut].after ? "<=" : "<",
                       number(known.cuts[cut].at));
  }

  std::string condition(const Box& box) const {
    std::string out;
    const auto add = [&](const std::string& part) { out += (out.empty() ? "" : " && ") + part; };
    for (const auto& cell : box) {
      const auto& known = tables_.columns[cell.column];
      if (!known.worked_out && tables_.asked[known.detail].members) {
        std::string members;
        for (const auto& range : cell.places)
          for (auto member = range.first; member <= range.last; ++member)
            members += (members.empty() ? "" : " || ") + fmt::format("r[{}] == {}", known.detail, member);
        add("(" + members + ")");
        continue;
      }
      if (cell.places.front().first > 0) add("!(" + before(cell.column, cell.places.front().first - 1) + ")");
      if (cell.places.back().last < known.cuts.size()) add(before(cell.column, cell.places.back().last));
    }
    return out.empty() ? "true" : out;
  }

  // The rows of one rule as nested ifs: what all share outside, then the column that takes the fewest values.
  template <typename Say>
  std::string ladder(const std::vector<Row>& rows, Say say, int indent) const {
    const std::string pad(static_cast<std::size_t>(indent), ' ');
    if (rows.size() == 1) return pad + "if (" + condition(rows.front().box) + ") " + say(rows.front()) + "\n";
    std::map<ColumnId, std::set<std::vector<PlaceRange>>> seen;
    for (const auto& row : rows)
      for (const auto& cell : row.box) seen[cell.column].insert(cell.places);
    Box shared;
    ColumnId split = 0;
    std::size_t fewest = 0;
    for (const auto& [column, places] : seen) {
      if (places.size() == 1)
        shared.push_back({column, *places.begin()});
      else if (fewest == 0 || places.size() < fewest)
        fewest = places.size(), split = column;
    }
    std::string out = pad + "if (" + condition(shared) + ") {\n";
    const char* lead = "";
    for (const auto& places : seen[split]) {
      std::vector<Row> inner;
      for (auto row : rows) {
        const auto cell =
            std::find_if(row.box.begin(), row.box.end(), [&](const Cell& held) { return held.column == split; });
        if (cell == row.box.end() || cell->places != places) continue;
        std::erase_if(row.box, [&](const Cell& held) { return held.column == split || seen[held.column].size() == 1; });
        inner.push_back(std::move(row));
      }
      // Rising edges: what lies below has been taken by the branches before.
      auto head = places;
      if (lead[0] != '\0' && !tables_.columns[split].cuts.empty()) head.front().first = 0;
      out += pad + "  " + lead + "if (" + condition({{split, head}}) + ") {\n" + ladder(inner, say, indent + 4) + pad +
             "  }\n";
      lead = "else ";
    }
    return out + pad + "}\n";
  }

  std::map<RuleId, std::vector<Row>> by_rule(const Table& table) const {
    std::map<RuleId, std::vector<Row>> rules;
    for (const auto& row : table.rows) rules[row.rule].push_back(row);
    return rules;
  }

  // Flags for rules that outrank others.
  std::string flags(const Table& table) const {
    std::set<RuleId> needed;
    for (const auto& pair : table.outranks) needed.insert(pair.first);
    std::string out;
    for (const auto& [rule, rows] : by_rule(table)) {
      if (needed.count(rule) == 0) continue;
      out += fmt::format("    bool is{} = false;\n", rule) +
             ladder(
                 rows, [&, rule = rule](const Row&) { return fmt::format("is{} = true;", rule); }, 4);
    }
    return out;
  }
  std::string unless(const Table& table, RuleId rule) const {
    std::string out;
    for (const auto& [over, under] : table.outranks)
      if (under == rule) out += (out.empty() ? "" : " && ") + fmt::format("!is{}", over);
    return out.empty() ? "" : "if (" + out + ") ";
  }
  std::string blocks(const Table& table, Effect effect, const std::string& statement, bool of_safety = false) const {
    std::string out;
    for (const auto& [rule, rows] : by_rule(table)) {
      if (rows.front().effect != effect || (of_safety && !rows.front().safety)) continue;
      const auto guard = unless(table, rule);
      if (!guard.empty()) out += "    " + guard + "{\n";
      out += ladder(
          rows,
          [&](const Row& row) {
            return "{ const long long low = " + number(row.low) + ", high = " + number(row.high) +
                   "; (void)low; (void)high; " + statement + " }";
          },
          guard.empty() ? 4 : 6);
      if (!guard.empty()) out += "    }\n";
    }
    return out;
  }

  // What bases, floors, caps and keeps come to, all of them or those of safety alone; `standing` where one base speaks.
  std::string together(const Table& table, const char* standing, bool of_safety) const {
    const bool band = tables_.answers[table.target].band;
    auto out = blocks(table, Effect::base, "++bases; result.low = low; result.high = high;", of_safety) +
               blocks(table, Effect::floor, "if (low > floor) floor = low;", of_safety) +
               blocks(table, Effect::cap, "if (low < cap) cap = low;", of_safety) +
               blocks(table, Effect::keep, "if (low > least) least = low; if (high < most) most = high;", of_safety);
    // What a safety rule gives is moved by no ordinary step.
    const bool stepped =
        std::any_of(table.rows.begin(), table.rows.end(), [](const Row& row) { return row.effect == Effect::step; });
    if (stepped)
      out += "    int all_steps = 0, safe_steps = 0; long long moved = 0; bool safe_base = false;\n" +
             blocks(table, Effect::step, "++all_steps; moved += low;", of_safety) +
             blocks(table, Effect::step, "++safe_steps;", true) +
             blocks(table, Effect::base, "safe_base = true;", true) +
             "      if (safe_base && all_steps > safe_steps) bases = 2;\n";
    out += fmt::format(
        "      if (bases > 1 || floor > cap) result = {{Standing::clash, 0, 0}};\n      else if (bases == 1) {{\n      "
        "  "
        "result.standing = Standing::{};\n",
        standing);
    if (band)
      out +=
          "        if (least > result.low) result.low = least;\n        if (most < result.high) result.high = most;\n  "
          "      if (result.low > result.high) result = {Standing::clash, 0, 0};\n";
    else if (stepped)
      out += fmt::format(
          "        result.low += moved; result.high += moved;\n        if (result.low < 0 || result.high >= {}) result "
          "= "
          "{{Standing::gap, 0, 0}};\n        else if (floor > result.low) result.low = result.high = floor;\n        "
          "else if (cap < result.low) result.low = result.high = cap;\n",
          tables_.answers[table.target].steps);
    else
      out +=
          "        if (floor > result.low) result.low = result.high = floor;\n        if (cap < result.low) result.low "
          "= result.high = cap;\n";
    return out + "      }\n";
  }

  std::string property(const Table& table) const {
    std::string out =
        "    Result result{Standing::gap, 0, 0};\n    constexpr long long none = 1LL << 60;\n    int bases = 0; bool "
        "refer = false; long long floor = -1, cap = none, least = -1, most = none;\n    (void)floor; (void)cap; "
        "(void)least; (void)most;\n";
    out += flags(table);
    out += blocks(table, Effect::refer, "refer = true;");
    out += "    if (refer) {\n" + together(table, "referred", true);
    // Safety rules need no base to stand beside a refer.
    out += tables_.answers[table.target].band
               ? "      else if (least > most) result = {Standing::clash, 0, 0};\n      else result = "
                 "{Standing::referred, least, most == none ? -1 : most};\n"
               : "      else result = {Standing::referred, floor, cap == none ? -1 : cap};\n";
    return out + "    }\n    else {\n" + together(table, "answered", false) + "    }\n";
  }

  std::string piece(const Table& table) const {
    if (tables_.presence[table.target] == Presence::always) return "    const Result result{Standing::needed, 0, 0};\n";
    std::string out = "    bool need = false, suggest = false, omit = false;\n    (void)suggest; (void)omit;\n";
    out += flags(table) + blocks(table, Effect::present, "need = true;") + blocks(table, Effect::need, "need = true;") +
           blocks(table, Effect::omit, "omit = true;") + blocks(table, Effect::suggest, "suggest = true;");
    return out +
           "    const Result result{need && omit ? Standing::clash : need ? Standing::needed : omit ? "
           "Standing::left_out : suggest ? Standing::suggested : Standing::not_in_kit, 0, 0};\n";
  }

  std::string caution(const Table& table) const {
    return "    bool said = false;\n" + blocks(table, Effect::caution, "said = true;") +
           "    const Result result{said ? Standing::spoken : Standing::silent, 0, 0};\n";
  }

  const Policy& policy_;
  const Tables& tables_;
};

}  // namespace

int main(int count, char** words) {
  if (count != 2) return 2;
  const auto compiled = compile_file(words[1]);
  if (!compiled.policy) {
    fmt::print(stderr, "{}", lacestay::render(compiled.diagnostics));
    return 1;
  }
  fmt::print("{}", Writer(*compiled.policy).run());
}
