#include "tests/compiler/law/both_forms.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <functional>
#include <optional>
#include <tuple>
#include <vector>

#include "compiler/law/regions.hpp"
#include "tests/support/settings.hpp"

namespace lacestay::law {
namespace {

using namespace compiler;
using Set = Regions::Set;
using Players = std::uint32_t;  // a bit for each

constexpr std::uint32_t columns = 4, all_players = 1 << columns;
constexpr Players everybody = (1u << all_players) - 1;
constexpr std::int64_t most_steps = 3;
constexpr std::size_t budget = 1'000'000;

struct Case {
  std::string kind;
  Tables tables;
  bool of_piece = false;   // the piece's table is compared, not the property's
  bool shared = false;     // the first two rows are of one rule
  std::vector<Row> rows;   // of the table that is compared
  std::vector<Row> piece;  // of the property's piece

  [[nodiscard]] const Table& table() const { return tables.tables[of_piece ? 1 : 0]; }
  [[nodiscard]] const Table& piece_table() const { return tables.tables[1]; }
};

// One property of one piece.
Tables one_property(AnswerSpace space, Presence presence) {
  Tables tables;
  for (std::uint16_t i = 0; i < columns; ++i) {
    tables.asked.push_back({true, false, 0, 1, 1});
    tables.columns.push_back({false, i, {}, 2});
  }
  tables.answers = {space};
  tables.piece_of = {0};
  tables.presence = {presence};
  tables.tables.resize(2);
  tables.tables[1].kind = Table::Kind::piece;
  return tables;
}

Row row(Effect effect, std::int64_t low = 0, std::int64_t high = 0, bool safety = false) {
  Row made;
  made.effect = effect;
  made.low = low, made.high = high, made.safety = safety;
  made.binds = binds_items(effect, safety, false);
  return made;
}

std::vector<Row> of_numbers(std::int64_t steps) {
  std::vector<Row> all = {row(Effect::refer)};
  for (std::int64_t step = 0; step < steps; ++step) {
    for (const auto effect : {Effect::base, Effect::floor, Effect::cap})
      for (const bool safety : {false, true}) all.push_back(row(effect, step, step, safety));
  }
  for (const std::int64_t by : {-1, 1})
    for (const bool safety : {false, true}) all.push_back(row(Effect::step, by, by, safety));
  return all;
}

std::vector<Row> of_bands(std::int64_t steps) {
  std::vector<Row> all = {row(Effect::refer)};
  for (std::int64_t low = 0; low < steps; ++low)
    for (auto high = low; high < steps; ++high)
      for (const auto effect : {Effect::base, Effect::keep})
        for (const bool safety : {false, true}) all.push_back(row(effect, low, high, safety));
  return all;
}

// The members have no order, so of those that a base leaves open only the first few are tried.
std::vector<Row> of_choices(std::int64_t members) {
  std::vector<Row> all = {row(Effect::refer)};
  for (std::uint32_t count = 1; count <= members; ++count)
    for (const bool safety : {false, true}) {
      const auto some = answer_of(all_members(count));
      all.push_back(row(Effect::base, some, some, safety));
    }
  for (MemberSet some = 1; some <= all_members(static_cast<std::uint32_t>(members)); ++some)
    for (const bool safety : {false, true}) all.push_back(row(Effect::keep, answer_of(some), answer_of(some), safety));
  return all;
}

std::vector<Row> of_piece(Presence presence) {
  std::vector<Row> all = {row(Effect::need), row(Effect::suggest)};
  if (presence == Presence::optional) all.push_back(row(Effect::omit));
  if (presence == Presence::conditional) all.push_back(row(Effect::present));
  return all;
}

// As rules of a pack say it: floors, caps and keeps that bind items without being for safety.
std::vector<Row> of_packs(std::vector<Row> kinds) {
  std::erase_if(kinds, [](const Row& kind) { return kind.safety; });
  for (auto& kind : kinds) kind.binds = binds_items(kind.effect, false, true);
  return kinds;
}

// Less the safety rules, which differ from others under a refer and for items alone.
std::vector<Row> fewer(std::vector<Row> kinds) {
  std::erase_if(kinds, [](const Row& kind) { return kind.safety; });
  return kinds;
}

// Four rows of every kind would be millions of tables: of the safety rules only floors, of which two may stand
// together.
std::vector<Row> floors_for_safety(std::vector<Row> kinds) {
  std::erase_if(kinds, [](const Row& kind) { return kind.safety && kind.effect != Effect::floor; });
  return kinds;
}

// Every multiset of up to `most` of the kinds.
void each_multiset(const std::vector<Row>& kinds, std::size_t most,
                   const std::function<void(const std::vector<Row>&)>& visit) {
  std::vector<Row> chosen;
  const auto choose = [&](auto&& self, std::size_t from) -> void {
    visit(chosen);
    if (chosen.size() == most) return;
    for (auto i = from; i < kinds.size(); ++i) {
      chosen.push_back(kinds[i]);
      self(self, i);
      chosen.pop_back();
    }
  };
  choose(choose, 0);
}

// Every way in which some rules can outrank each other: without a circle, and closed.
const std::vector<std::vector<RulePair>>& orders(std::size_t rules) {
  static std::map<std::size_t, std::vector<std::vector<RulePair>>> known;
  auto& all = known[rules];
  if (!all.empty()) return all;
  std::vector<RulePair> pairs;
  for (RuleId over = 0; over < rules; ++over)
    for (RuleId under = 0; under < rules; ++under)
      if (over != under) pairs.emplace_back(over, under);
  for (std::uint32_t bits = 0; bits < 1u << pairs.size(); ++bits) {
    const auto holds = [&](RuleId over, RuleId under) {
      if (over == under) return false;
      return (bits >> (over * (rules - 1) + under - (under > over ? 1 : 0)) & 1) != 0;
    };
    std::vector<RulePair> held;
    bool closed = true;
    for (const auto& [over, under] : pairs) {
      if (!holds(over, under)) continue;
      held.emplace_back(over, under);
      for (RuleId next = 0; next < rules; ++next) closed &= !holds(under, next) || holds(over, next);
    }
    if (closed) all.push_back(std::move(held));
  }
  return all;
}

// Of one table: every player's outcome, and every set of players beside it.
class Comparison {
 public:
  Comparison(const Case& one, Tally& tally)
      : case_(one), tables_(one.tables), table_(one.table()), tally_(tally), who_(tables_, table_, budget) {
    for (std::uint32_t player = 0; player < all_players; ++player) {
      const auto piece = decide(tables_, one.piece_table(), applying(one.piece_table(), player));
      outcomes_.push_back(outcome(applying(table_, player)));
      present_ |= bit(player, in_kit(piece.standing));
    }
  }

  void run() {
    auto& counts = tally_.counts[case_.kind];
    ++counts.tables;
    counts.players += all_players;
    case_.of_piece ? piece() : property();
    clashes();
    for (std::uint32_t i = 0; i < table_.rows.size(); ++i) left_out(i);
    const Outranking outranking(table_.outranks);
    for (const auto& pair : outranking.direct()) left_out(outranking.resting_on(pair));
  }

 private:
  static Players bit(std::uint32_t player, bool in) { return Players{in} << player; }
  static std::uint32_t place(std::uint32_t player, ColumnId column) { return player >> column & 1; }
  static bool meets(const Box& box, std::uint32_t player) {
    for (const auto& cell : box)
      if (!contains(cell.places, place(player, cell.column))) return false;
    return true;
  }
  static std::vector<std::uint32_t> applying(const Table& table, std::uint32_t player) {
    std::vector<std::uint32_t> rows;
    for (std::uint32_t i = 0; i < table.rows.size(); ++i)
      if (meets(table.rows[i].box, player)) rows.push_back(i);
    return rows;
  }

  // What `decide` says of some of the table's rows.
  const Outcome& outcome(const std::vector<std::uint32_t>& rows) {
    std::uint32_t bits = 0;
    for (const auto row : rows) bits |= 1u << row;
    auto& known = of_rows_[bits];
    if (!known) known = decide(tables_, table_, rows);
    return *known;
  }

  Players in(Set set) {
    auto& sets = who_.sets();
    Players all = 0;
    for (std::uint32_t player = 0; player < all_players; ++player) {
      auto at = set;
      while (!sets.is_terminal(at)) at = sets.next(at, place(player, sets.column(at)));
      all |= bit(player, sets.value(at) == 1);
    }
    return all;
  }
  template <typename Says>
  Players whose(Says says) const {
    Players all = 0;
    for (std::uint32_t player = 0; player < all_players; ++player) all |= bit(player, says(outcomes_[player]));
    return all;
  }
  Players standing(Standing sought) const {
    return whose([&](const Outcome& outcome) { return outcome.standing == sought; });
  }

  void same(const std::string& what, Players sets, Players law, Players among = everybody) {
    ++tally_.counts[case_.kind].comparisons;
    if ((sets & among) == (law & among) || !tally_.first_difference.empty()) return;
    tally_.first_difference = fmt::format("{}: by the sets {:016b}, by the rows {:016b}, of {:016b}\n{}", what, sets,
                                          law, among, described());
  }
  std::string described() const {
    const auto say = [](const Table& table) {
      std::string out;
      for (const auto& row : table.rows) {
        out += fmt::format("  effect {} {}..{}{} of rule {}, where", static_cast<int>(row.effect), row.low, row.high,
                           row.safety  ? " safety"
                           : row.binds ? " of a pack"
                                       : "",
                           row.rule);
        for (const auto& cell : row.box) out += fmt::format(" column {} is {}", cell.column, cell.places.front().first);
        out += "\n";
      }
      for (const auto& [over, under] : table.outranks) out += fmt::format("  {} outranks {}\n", over, under);
      return out;
    };
    auto out = case_.kind + "\n" + say(table_);
    if (!case_.of_piece) out += "its piece\n" + say(case_.piece_table());
    return out;
  }

  void property() {
    same("present", in(who_.present()), present_);
    const auto referred = standing(Standing::referred), answered = standing(Standing::answered) & present_;
    same("referred", in(who_.referred()), referred & present_);
    const auto to_fitter = in(who_.to_fitter());
    same("to the fitter, but for clashes and steps past the range",
         to_fitter & ~standing(Standing::clash) & ~standing(Standing::gap), referred & present_);
    same("owed", in(who_.owed()), present_ & ~to_fitter);
    same("gap", in(who_.gap()), standing(Standing::gap) & present_);
    same("past the range", in(who_.past_range()), stepped_past());
    same("clash", in(who_.clash()), standing(Standing::clash) & present_);
    same("crossed, and owed", in(who_.sets().both(who_.crossed(), who_.owed())) & ~standing(Standing::clash), 0);
    same("answered", in(who_.answered()), answered);
    for (std::int64_t step = 0; step <= most_steps && !who_.left_open(); ++step) {
      same(fmt::format("at least {}", step), in(who_.at_least(step, false)),
           answered & whose([&](const Outcome& outcome) { return outcome.low >= step; }));
      same(fmt::format("up to {} or past it", step), in(who_.at_least(step, true)),
           answered & whose([&](const Outcome& outcome) { return outcome.high >= step; }));
      same(fmt::format("referred, from {}", step), in(who_.referred_from(step)),
           referred & present_ & whose([&](const Outcome& outcome) { return outcome.low >= step; }));
      same(fmt::format("referred, up to {}", step), in(who_.referred_up_to(step)),
           referred & present_ &
               whose([&](const Outcome& outcome) { return 0 <= outcome.high && outcome.high <= step; }));
    }
    for (std::int64_t step = 0; step < most_steps; ++step) {
      Players forbidden = 0;
      for (std::uint32_t player = 0; player < all_players; ++player) {
        const auto bounds = item_bounds(tables_, table_, applying(table_, player));
        const bool lacks = bounds.among && !has_member(*bounds.among, step);
        forbidden |= bit(player, step < bounds.low || bounds.high < step || lacks);
      }
      same(fmt::format("items may not have {}", step), in(who_.forbidden(step)), forbidden);
    }
    Players bound = 0;
    for (std::uint32_t player = 0; player < all_players; ++player)
      bound |= bit(player, item_bounds(tables_, table_, applying(table_, player)).base);
    same("a safety rule's base", in(who_.with_binding_base()), bound);
    if (const auto boxes = who_.bases_together()) {
      Players met = 0;
      for (const auto* box : *boxes)
        for (std::uint32_t player = 0; player < all_players; ++player) met |= bit(player, meets(*box, player));
      same("a gap where no base's box is", ~met, standing(Standing::gap),
           present_ & ~to_fitter & ~in(who_.crossed()) & ~stepped_past());
    }
    reached(answered);
  }

  // To whom steps speak that lead the one base, of those that count, past the range.
  Players stepped_past() {
    Players all = 0;
    for (std::uint32_t player = 0; player < all_players; ++player) {
      std::vector<Role> roles;
      static_cast<void>(decide(tables_, table_, applying(table_, player), &roles));
      all |= bit(player, std::any_of(roles.begin(), roles.end(), [&](const Role& role) {
                   return role.kind == Role::Kind::lifts && outcomes_[player].standing == Standing::gap;
                 }));
    }
    return all & present_;
  }

  // Who gets which step.
  void reached(Players answered) {
    std::vector<Players> got(most_steps);
    for (const auto& together : who_.steps_together()) {
      const auto gets = in(who_.who_gets(together));
      for (auto step = together.first; step <= together.last; ++step) got[step] |= gets;
    }
    for (std::int64_t step = 0; step < most_steps; ++step)
      same(fmt::format("gets step {}", step), got[static_cast<std::size_t>(step)],
           answered & whose([&](const Outcome& outcome) {
             if (leaves_open(outcome.low)) return has_member(members_of(outcome.low), step);
             return outcome.low <= step && step <= outcome.high;
           }));
  }

  void piece() {
    same("present", in(who_.present()), present_);
    same("needed", in(who_.needed()), standing(Standing::needed));
    same("suggested", in(who_.suggested()), standing(Standing::suggested));
    same("left out", in(who_.left_out()), standing(Standing::left_out));
    same("clash", in(who_.clash()), standing(Standing::clash));
  }

  // What the proof looks at: rows two by two.
  void clashes() {
    auto pairs = who_.opposed();
    const auto bases = who_.bases();
    for (const auto first : bases)
      for (const auto second : bases)
        if (first < second) pairs.push_back({first, second, Clash::two_bases});
    Players all = 0;
    for (const auto& pair : pairs) {
      if (!who_.may_speak_together(pair.first, pair.second)) continue;
      const auto these = in(who_.clash(pair));
      all |= these;
      if (!who_.clash_wherever_they_meet(pair)) continue;
      const auto &first = table_.rows[pair.first].box, &second = table_.rows[pair.second].box;
      for (std::uint32_t player = 0; player < all_players; ++player)
        same("clash wherever they meet", these, bit(player, true),
             bit(player, meets(first, player) && meets(second, player)));
    }
    // Of a choice that is left open, three may leave nothing where each two leave something.
    if (who_.left_open()) all |= in(who_.emptied_together());
    same("rows clash", all, standing(Standing::clash) & (case_.of_piece ? everybody : present_));
  }

  // Among those without a gap or a clash, whose outcome a table without something changes.
  Players concerned() const {
    return (case_.of_piece ? everybody : present_) & ~standing(Standing::gap) & ~standing(Standing::clash);
  }

  // The outcome, or what binds items, is another than the player's.
  bool otherwise(const Table& table, const std::vector<std::uint32_t>& rows, std::uint32_t player) const {
    if (decide(tables_, table, rows) != outcomes_[player]) return true;
    if (case_.of_piece) return false;
    return item_bounds(tables_, table, rows) != item_bounds(tables_, table_, applying(table_, player));
  }

  void left_out(std::uint32_t index) {
    if (who_.stands_by_itself(index)) return;
    const auto changed = in(who_.changed_without(index));
    Players expected = 0, applies = 0;
    for (std::uint32_t player = 0; player < all_players; ++player) {
      auto rows = applying(table_, player);
      if (std::erase(rows, index) == 0) continue;
      applies |= bit(player, true);
      const auto& row = table_.rows[index];
      expected |= bit(player, row.safety || row.binds || otherwise(table_, rows, player));
    }
    same(fmt::format("changed without row {}", index), changed, expected, concerned());
    if (who_.changes_all_it_applies_to(index))
      same(fmt::format("row {} changes all it applies to", index), expected, applies, concerned());
  }

  void left_out(const std::vector<RulePair>& outranks) {
    auto fewer = table_;
    std::erase_if(fewer.outranks, [&](const RulePair& pair) {
      return std::find(outranks.begin(), outranks.end(), pair) != outranks.end();
    });
    const auto changed = in(who_.changed_without(outranks));
    Players expected = 0;
    for (std::uint32_t player = 0; player < all_players; ++player)
      expected |= bit(player, otherwise(fewer, applying(fewer, player), player));
    const auto what = fmt::format("changed without {} outranks {}", outranks.front().first, outranks.front().second);
    same(what, changed, expected, concerned());
    same(what + ", where both apply", expected & ~in(who_.met_by_both(outranks)), 0, concerned());
  }

  const Case& case_;
  const Tables& tables_;
  const Table& table_;
  Tally& tally_;
  Regions who_;
  std::array<std::optional<Outcome>, 1 << columns> of_rows_;  // by a bit for each row
  std::vector<Outcome> outcomes_;                             // by player
  Players present_ = 0;
};

// Rows with their rules and boxes: row i applies in the second place of its column.
void place_rows(std::vector<Row> rows, ColumnId first_column, bool shared, Table& table) {
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const auto column = static_cast<ColumnId>(first_column + i);
    rows[i].box = {{column, {{1, 1}}}};
    rows[i].rule = static_cast<RuleId>(shared && i > 0 ? i - 1 : i);
  }
  if (shared) rows[1].box = {{first_column, {{0, 0}}}, {static_cast<ColumnId>(first_column + 1), {{1, 1}}}};
  table.rows = std::move(rows);
}

std::size_t rules_of(const Table& table) { return table.rows.empty() ? 0 : table.rows.back().rule + std::size_t{1}; }

bool say_the_same(const Row& a, const Row& b) {
  return std::tie(a.effect, a.low, a.high, a.safety, a.binds) == std::tie(b.effect, b.low, b.high, b.safety, b.binds);
}

// Whether an order of a table's rules is to be compared. A piece's declaration is no rule that could outrank one or be
// outranked. Two rows that say the same can change places; of two orders that this turns into each other one will do.
bool is_to_compare(const std::vector<RulePair>& order, const Table& table) {
  const auto& rows = table.rows;
  const bool of_rules = std::none_of(order.begin(), order.end(), [&](const RulePair& pair) {
    return rows[pair.first].effect == Effect::present || rows[pair.second].effect == Effect::present;
  });
  if (!of_rules || rows.size() != rules_of(table)) return of_rules;
  for (RuleId i = 0; i + 1 < rows.size(); ++i) {
    if (!say_the_same(rows[i], rows[i + 1])) continue;
    const auto turned = [&](RuleId rule) { return rule == i ? i + 1 : rule == i + 1 ? i : rule; };
    auto other = order;
    for (auto& pair : other) pair = {turned(pair.first), turned(pair.second)};
    std::sort(other.begin(), other.end());
    if (other < order) return false;
  }
  return true;
}

// The case with every order of its rules, and of its piece's.
void compare_orders(Case one, Tally& tally) {
  auto &property = one.tables.tables[0], &piece = one.tables.tables[1];
  auto& table = one.of_piece ? piece : property;
  place_rows(one.rows, 0, one.shared, table);
  if (!one.of_piece) place_rows(one.piece, static_cast<ColumnId>(one.rows.size()), false, piece);
  for (const auto& order : orders(rules_of(table))) {
    if (!is_to_compare(order, table)) continue;
    table.outranks = order;
    if (one.piece.empty()) {
      Comparison(one, tally).run();
      if (!tally.first_difference.empty()) return;
      continue;
    }
    for (const auto& other : orders(rules_of(piece))) {
      if (!is_to_compare(other, piece)) continue;
      piece.outranks = other;
      Comparison(one, tally).run();
      if (!tally.first_difference.empty()) return;
    }
  }
}

}  // namespace

std::string Tally::told() const {
  std::string out;
  for (const auto& [kind, count] : counts)
    out += fmt::format("{}: {} tables, {} players, {} comparisons\n", kind, count.tables, count.players,
                       count.comparisons);
  return out;
}

Tally compare_forms() {
  Tally tally;
  const auto compare = [&](const Case& one) {
    if (tally.first_difference.empty()) compare_orders(one, tally);
  };
  const AnswerSpace number{true, false, most_steps}, band{true, true, most_steps}, choice{false, false, most_steps};
  for (const auto presence : {Presence::always, Presence::optional, Presence::conditional})
    each_multiset(of_piece(presence), columns, [&](const std::vector<Row>& rows) {
      compare({"pieces", one_property(number, presence), true, false, rows, {}});
    });
  for (const auto& [kind, space, says] :
       {std::tuple("numbers", number, &of_numbers), std::tuple("bands", band, &of_bands),
        std::tuple("choices", choice, &of_choices)}) {
    const auto alone = [&, kind = kind, space = space](const std::vector<Row>& rows) {
      compare({kind, one_property(space, Presence::always), false, false, rows, {}});
    };
    each_multiset(says(most_steps), 3, alone);
    each_multiset(of_packs(says(most_steps)), 3, alone);
    each_multiset(tests::whole() ? floors_for_safety(says(most_steps)) : fewer(says(2)), columns,
                  [&](const std::vector<Row>& rows) {
                    if (rows.size() == columns) alone(rows);
                  });
    // Two rows of one rule say something of the same kind.
    each_multiset(says(most_steps), 3, [&, kind = kind, space = space](const std::vector<Row>& rows) {
      if (rows.size() > 1 && rows[0].effect == rows[1].effect && rows[0].safety == rows[1].safety)
        compare({std::string(kind) + ", two rows of one rule",
                 one_property(space, Presence::always),
                 false,
                 true,
                 rows,
                 {}});
    });
    for (const auto presence : {Presence::optional, Presence::conditional})
      each_multiset(says(most_steps), 2, [&, kind = kind, space = space](const std::vector<Row>& rows) {
        each_multiset(of_piece(presence), 2, [&](const std::vector<Row>& piece) {
          compare({std::string(kind) + " of a piece not all have", one_property(space, presence), false, false, rows,
                   piece});
        });
      });
  }
  return tally;
}

}  // namespace lacestay::law
