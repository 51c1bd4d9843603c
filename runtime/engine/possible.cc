#include "runtime/engine/possible.hpp"

#include <algorithm>
#include <cassert>
#include <iterator>
#include <set>

#include "compiler/space/branch_and_prune.hpp"
#include "compiler/space/reach.hpp"

namespace lacestay::runtime {

using compiler::BranchAndPrune;
using compiler::ColumnId;
using compiler::PlaceRange;

namespace {

// The most parts of a player's blank details that are looked at for one table: 50,000 splits.
constexpr std::size_t most_parts = 100'001;

// The completions of a player that count for a property: those whose class in the table of its piece has the piece.
struct Among {
  TableId piece;
  std::vector<ClassId> has;  // ascending
};

class Search {
 public:
  // Of all completions, or of those that count.
  Search(const Engine& engine, TableId table, const Player& player, const Among* among = nullptr)
      : engine_(engine),
        tables_(engine.tables()),
        id_(table),
        player_(player),
        among_(among),
        columns_(tables_.tables[table].columns),
        all_columns_(among ? joined(columns_, tables_.tables[among->piece].columns) : columns_),
        reach_(tables_, all_columns_),
        bound_(bound_among(columns_)),
        all_bound_(bound_among(all_columns_)) {
    assert(player.readings.size() == tables_.asked.size());
    if (among) note_shared();
  }

  // No classes where no completion counts.
  Possible run() {
    BranchAndPrune::Part whole;
    for (std::size_t i = 0; i < tables_.asked.size(); ++i) {
      const auto& domain = tables_.asked[i];
      const auto& reading = player_.readings[i];
      whole.push_back(reading ? compiler::ValueRange{*reading, *reading}
                              : compiler::ValueRange{domain.lowest, domain.highest});
    }
    BranchAndPrune space(tables_, std::move(whole), most_parts);
    const auto look_at = [&](const BranchAndPrune::Part& part) { return look(space, part); };
    space.run(look_at);
    return {{found_.begin(), found_.end()}, exact_};
  }

 private:
  using Places = std::vector<PlaceRange>;  // by column
  using Columns = std::vector<ColumnId>;   // ascending

  // How many of those in some places count.
  enum class Count : std::uint8_t { none, some, all };

  static Columns joined(const Columns& a, const Columns& b) {
    Columns all;
    std::set_union(a.begin(), a.end(), b.begin(), b.end(), std::back_inserter(all));
    return all;
  }

  // Columns that can't be chosen freely: worked-out ones, and blank details that one of those rests on.
  [[nodiscard]] Columns bound_among(const Columns& columns) const {
    std::vector<bool> worked_from(tables_.asked.size());
    for (const auto column : columns)
      if (tables_.columns[column].worked_out)
        tables_.each_asked_under(column, [&](std::uint16_t input) { worked_from[input] = true; });
    Columns bound;
    for (const auto column : columns)
      if (tables_.columns[column].worked_out || (worked_from[column] && !player_.readings[column]))
        bound.push_back(column);
    return bound;
  }

  void note_shared() {
    const auto& piece = tables_.tables[among_->piece];
    for (const auto column : columns_) {
      if (!std::binary_search(piece.columns.begin(), piece.columns.end(), column)) continue;
      std::set<std::uint32_t> begins;
      for (const auto* table : {&tables_.tables[id_], &piece})
        for (const auto& row : table->rows)
          if (const auto* held = compiler::places_in(row.box, column))
            for (const auto& range : *held) begins.insert({range.first, range.last + 1});
      shared_.push_back({column, {begins.begin(), begins.end()}});
    }
  }

  BranchAndPrune::Next look(const BranchAndPrune& space, const BranchAndPrune::Part& part) {
    const auto reached = reach_.over(part);
    const Places places(reached.begin(), reached.end());
    const auto count = count_in(places);
    if (count == Count::none) return BranchAndPrune::Prune{};
    const auto could = possible(places);
    const auto& bound = count == Count::all ? bound_ : all_bound_;
    const bool settled = std::all_of(bound.begin(), bound.end(),
                                     [&](ColumnId column) { return places[column].first == places[column].last; });
    if (settled || nothing_new(could)) {
      add(could);
      return BranchAndPrune::Prune{};
    }
    if (space.spent()) {
      add(could);
      exact_ = false;
      return BranchAndPrune::Prune{};
    }
    add(at_a_point(part, places, bound));
    if (nothing_new(could)) return BranchAndPrune::Prune{};
    // Splitting what the columns in doubt don't rest on would settle nothing.
    std::vector<std::size_t> doubts;
    for (const auto column : bound)
      if (places[column].first != places[column].last)
        tables_.each_asked_under(column, [&](std::uint16_t asked) { doubts.push_back(asked); });
    const auto split = space.split(part, doubts, BranchAndPrune::SplitAt::middle);
    // At one point bounds can be wider than what is reached; the point itself has been added.
    if (!split) return BranchAndPrune::Prune{};
    return *split;
  }

  // What is possible with the bound columns as they are in the middle of the part.
  std::vector<ClassId> at_a_point(const BranchAndPrune::Part& part, Places places, const Columns& bound) {
    std::vector<std::int64_t> point(part.size());
    for (std::size_t i = 0; i < part.size(); ++i) {
      const auto grain = tables_.asked[i].grain;
      point[i] = part[i].low + (part[i].high - part[i].low) / 2 / grain * grain;
    }
    const auto reached = reach_.at(point);
    for (const auto column : bound) places[column] = reached[column];
    return possible(places);
  }

  [[nodiscard]] Count count_in(const Places& places) const {
    if (!among_) return Count::all;
    const auto pieces = engine_.possible(among_->piece, places);
    const auto counting = std::count_if(pieces.begin(), pieces.end(), [&](ClassId found) {
      return std::binary_search(among_->has.begin(), among_->has.end(), found);
    });
    return counting == 0                                            ? Count::none
           : counting == static_cast<std::ptrdiff_t>(pieces.size()) ? Count::all
                                                                    : Count::some;
  }

  // The classes of those in some places who count, every column chosen freely.
  [[nodiscard]] std::vector<ClassId> possible(const Places& places) const {
    if (!among_) return engine_.possible(id_, places);
    std::set<ClassId> found;
    add_of_those_who_count(places, found);
    return {found.begin(), found.end()};
  }

  // Columns that the two tables share are cut until all count, or none does, or the two have nothing left to agree on:
  // then whoever counts may have any class.
  void add_of_those_who_count(const Places& places, std::set<ClassId>& found) const {
    const auto count = count_in(places);
    if (count == Count::none) return;
    const auto could = engine_.possible(id_, places);
    const bool known = std::all_of(could.begin(), could.end(),
                                   [&](ClassId each) { return found.count(each) != 0 || found_.count(each) != 0; });
    const auto cut = known || count == Count::all ? std::nullopt : cut_of(places);
    if (!cut) {
      found.insert(could.begin(), could.end());
      return;
    }
    auto half = places;
    half[cut->column].last = cut->begins - 1;
    add_of_those_who_count(half, found);
    half[cut->column] = {cut->begins, places[cut->column].last};
    add_of_those_who_count(half, found);
  }

  struct PlaceCut {
    ColumnId column;
    std::uint32_t begins;  // the upper half
  };
  // Through the middle of the shared column that rows cut most often there; nothing where they cut none.
  [[nodiscard]] std::optional<PlaceCut> cut_of(const Places& places) const {
    std::optional<PlaceCut> best;
    std::ptrdiff_t most = 0;
    for (const auto& [column, begins] : shared_) {
      const auto first = std::upper_bound(begins.begin(), begins.end(), places[column].first);
      const auto inside = std::upper_bound(first, begins.end(), places[column].last) - first;
      if (inside <= most) continue;
      most = inside;
      best = PlaceCut{column, *(first + inside / 2)};
    }
    return best;
  }

  void add(const std::vector<ClassId>& classes) { found_.insert(classes.begin(), classes.end()); }
  [[nodiscard]] bool nothing_new(const std::vector<ClassId>& classes) const {
    return std::includes(found_.begin(), found_.end(), classes.begin(), classes.end());
  }

  const Engine& engine_;
  const compiler::Tables& tables_;
  TableId id_;
  const Player& player_;
  const Among* among_;
  Columns columns_, all_columns_;  // the table's; with those of its piece's table, where that matters
  compiler::Reach reach_;
  Columns bound_, all_bound_;
  // Columns that both tables look at, and the places at which a row of either begins, or has just ended.
  std::vector<std::pair<ColumnId, std::vector<std::uint32_t>>> shared_;
  std::set<ClassId> found_;
  bool exact_ = true;
};

// What is possible for one player, table by table.
class Answers {
 public:
  Answers(const Engine& engine, const Player& player)
      : engine_(engine), tables_(engine.tables()), player_(player), pieces_(tables_.presence.size()) {}

  Possible of(TableId table) {
    switch (tables_.tables[table].kind) {
      case compiler::Table::Kind::property: return of_property(table);
      case compiler::Table::Kind::piece: return of_piece(tables_.tables[table].target);
      default: return Search(engine_, table, player_).run();
    }
  }

 private:
  // Searched for once: all the piece's properties ask.
  const Possible& of_piece(std::uint32_t piece) {
    auto& known = pieces_[piece];
    if (!known) known = Search(engine_, static_cast<TableId>(tables_.piece_table(piece)), player_).run();
    return *known;
  }

  Possible of_property(TableId table) {
    const auto piece = tables_.piece_of[tables_.tables[table].target];
    if (tables_.presence[piece] == compiler::Presence::always) return Search(engine_, table, player_).run();
    Among among{static_cast<TableId>(tables_.piece_table(piece)), {}};
    const auto& found = of_piece(piece).classes;
    std::copy_if(found.begin(), found.end(), std::back_inserter(among.has),
                 [&](ClassId each) { return may_be_in_kit(engine_.outcome(among.piece, each).standing); });
    const bool everybody = among.has.size() == found.size();
    Possible possible;
    if (!among.has.empty() && !everybody) possible = Search(engine_, table, player_, &among).run();
    if (!possible.classes.empty()) return possible;
    possible = Search(engine_, table, player_).run();
    possible.concerns = everybody;
    return possible;
  }

  const Engine& engine_;
  const compiler::Tables& tables_;
  const Player& player_;
  std::vector<std::optional<Possible>> pieces_;  // by piece
};

// Answers beyond one.
std::size_t left_open(const Engine& engine, TableId table, const Possible& possible) {
  return possible.concerns ? different_outcomes(engine, table, possible.classes) - 1 : 0;
}

// By asked detail: whether what a table could answer may turn on it.
std::vector<bool> asked_for(const compiler::Tables& tables, TableId id) {
  const auto& table = tables.tables[id];
  auto asked = tables.asked_under(table);
  if (table.kind != compiler::Table::Kind::property) return asked;
  const auto piece = tables.piece_of[table.target];
  if (tables.presence[piece] == compiler::Presence::always) return asked;
  const auto of_piece = tables.asked_under(tables.tables[tables.piece_table(piece)]);
  for (std::size_t i = 0; i < asked.size(); ++i) asked[i] = asked[i] || of_piece[i];
  return asked;
}

// One value for each place of a detail, and some spread over its range.
std::vector<std::int64_t> values_to_try(const compiler::Tables& tables, std::size_t detail) {
  const auto& domain = tables.asked[detail];
  std::set<std::int64_t> values = {domain.lowest, domain.highest};
  if (domain.members) {
    for (auto value = domain.lowest; value <= domain.highest; ++value) values.insert(value);
    return {values.begin(), values.end()};
  }
  for (const auto& cut : tables.columns[detail].cuts) values.insert(cut.at);
  constexpr std::int64_t spread = 8;
  const auto steps = (domain.highest - domain.lowest) / domain.grain;
  for (std::int64_t i = 1; i < spread; ++i) values.insert(domain.lowest + steps / spread * i * domain.grain);
  return {values.begin(), values.end()};
}

}  // namespace

Possible possible_answers(const Engine& engine, TableId table, const Player& player) {
  return Answers(engine, player).of(table);
}

std::vector<Possible> possible_answers(const Engine& engine, const Player& player) {
  std::vector<Possible> all(engine.answers());
  if (!player.complete()) {
    Answers answers(engine, player);
    for (TableId table = 0; table < all.size(); ++table) all[table] = answers.of(table);
    return all;
  }
  auto scratch = engine.scratch();
  std::vector<ClassId> classes(all.size());
  engine.answer(readings_of(player), scratch, classes);
  const auto& tables = engine.tables();
  for (TableId table = 0; table < all.size(); ++table) {
    all[table].classes = {classes[table]};
    if (tables.tables[table].kind != compiler::Table::Kind::property) continue;
    const auto piece = static_cast<TableId>(tables.piece_table(tables.piece_of[tables.tables[table].target]));
    all[table].concerns = may_be_in_kit(engine.outcome(piece, classes[piece]).standing);
  }
  return all;
}

std::size_t different_outcomes(const Engine& engine, TableId table, const std::vector<ClassId>& classes) {
  std::vector<Outcome> distinct;
  for (const auto found : classes) {
    const auto& outcome = engine.outcome(table, found);
    if (std::find(distinct.begin(), distinct.end(), outcome) == distinct.end()) distinct.push_back(outcome);
  }
  return distinct.size();
}

std::optional<NextDetail> next_to_take(const Engine& engine, const Player& player,
                                       const std::vector<Possible>& possible) {
  std::vector<std::size_t> left(possible.size());
  std::vector<std::vector<bool>> on;
  std::size_t total = 0;
  for (std::size_t table = 0; table < possible.size(); ++table) {
    left[table] = left_open(engine, static_cast<TableId>(table), possible[table]);
    total += left[table];
    on.push_back(asked_for(engine.policy().tables, static_cast<TableId>(table)));
  }
  std::optional<NextDetail> best;
  for (std::size_t detail = 0; detail < player.readings.size() && total > 0; ++detail) {
    if (player.readings[detail]) continue;
    std::size_t worst = 0;
    bool tells = false;
    for (std::size_t table = 0; table < possible.size(); ++table)
      tells = tells || (on[table][detail] && left[table] > 0);
    if (!tells) continue;
    for (const auto value : values_to_try(engine.tables(), detail)) {
      auto with = player;
      with.readings[detail] = value;
      Answers answers(engine, with);
      std::size_t remaining = total;
      for (std::size_t table = 0; table < possible.size(); ++table) {
        if (!on[table][detail] || left[table] == 0) continue;
        const auto id = static_cast<TableId>(table);
        remaining = remaining - left[table] + left_open(engine, id, answers.of(id));
      }
      worst = std::max(worst, remaining);
      if (best && worst >= best->left) break;
    }
    if (!best || worst < best->left) best = NextDetail{detail, worst};
  }
  return best;
}

}  // namespace lacestay::runtime
