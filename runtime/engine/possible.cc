#include "runtime/engine/possible.hpp"

#include <algorithm>
#include <cassert>
#include <iterator>
#include <set>

#include "compiler/space/branch_and_prune.hpp"
#include "compiler/space/reach.hpp"
#include "compiler/space/witness.hpp"

namespace lacestay::runtime {

using compiler::BranchAndPrune;
using compiler::ColumnId;
using compiler::PlaceRange;

namespace {

// The most parts of a player's blank details that are looked at for one table: 200,000 splits.
constexpr std::size_t most_parts = 400'001;

// The most parts in which it is asked, for one table, whether anybody can be there; and the most looked at for each.
constexpr std::size_t most_asked = 20'000, most_parts_asked = 8'000;

// The completions of a player that count for a property: those whose class in the table of its piece has the piece.
struct Among {
  TableId piece;
  std::vector<ClassId> has;  // ascending
};

class Search {
 public:
  // Of all completions, or of those that count. `witnesses` are there where the policy says who cannot be, and somebody
  // may be like the player.
  Search(const Engine& engine, TableId table, const Player& player, compiler::Witnesses* witnesses,
         const Among* among = nullptr)
      : engine_(engine),
        tables_(engine.tables()),
        id_(table),
        player_(player),
        witnesses_(witnesses),
        among_(among),
        columns_(tables_.tables[table].columns),
        all_columns_(among ? joined(columns_, tables_.tables[among->piece].columns) : columns_),
        tied_(tables_.asked.size()),
        shut_out_(witnesses ? those_that_matter() : std::vector<const compiler::Box*>()),
        reach_(tables_, with_shut_out(all_columns_)),
        bound_(bound_among(columns_)),
        all_bound_(bound_among(all_columns_)) {
    assert(player.readings.size() == tables_.asked.size());
    if (among) note_shared();
  }

  // No classes where no completion counts.
  Possible run() {
    auto possible = search();
    if (!possible.classes.empty() || among_ || shut_out_.empty()) return possible;
    shut_out_.clear();  // it was not settled whether somebody may be: as if he could
    exact_ = true;
    return search();
  }

 private:
  Possible search() {
    BranchAndPrune space(tables_, ranges_of(tables_, player_), most_parts);
    const auto look_at = [&](const BranchAndPrune::Part& part) { return look(space, part); };
    space.run(look_at);
    return {{found_.begin(), found_.end()}, exact_};
  }

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

  // Lines that may tell which of the table's answers are possible: those tied to what it looks at by blank details,
  // straight or through other lines. Of the others it matters only that somebody is left.
  std::vector<const compiler::Box*> those_that_matter() {
    for (const auto column : all_columns_)
      tables_.each_asked_under(column, [&](std::uint16_t asked) { tied_[asked] = !player_.readings[asked]; });
    std::vector<const compiler::Box*> matter, others;
    for (const auto& each : tables_.shut_out)
      if (!is_empty(each.box)) others.push_back(&each.box);
    const auto ties = [&](const compiler::Box* box) {
      const auto under = tables_.asked_under(*box);
      bool shares = false;
      for (std::size_t i = 0; i < under.size(); ++i) shares = shares || (under[i] && tied_[i]);
      for (std::size_t i = 0; i < under.size() && shares; ++i)
        if (under[i] && !player_.readings[i]) tied_[i] = true;
      return shares;
    };
    for (auto tied = others.begin(); (tied = std::find_if(others.begin(), others.end(), ties)) != others.end();) {
      matter.push_back(*tied);
      others.erase(tied);
      tied = others.begin();
    }
    return matter;
  }

  [[nodiscard]] Columns with_shut_out(Columns columns) const {
    for (const auto* box : shut_out_)
      for (const auto& cell : *box) columns.push_back(cell.column);
    std::sort(columns.begin(), columns.end());
    columns.erase(std::unique(columns.begin(), columns.end()), columns.end());
    return columns;
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
    bool in_doubt = false;  // whether somebody of the part is shut out
    for (const auto* box : shut_out_) {
      const auto fit = fit_of(*box, places);
      if (fit == compiler::Fit::all) return BranchAndPrune::Prune{};
      in_doubt = in_doubt || fit == compiler::Fit::some;
    }
    const auto count = count_in(places);
    if (count == Count::none) return BranchAndPrune::Prune{};
    const auto could = possible(places);
    auto bound = count == Count::all ? bound_ : all_bound_;
    if (in_doubt) add_tied(bound);
    const bool settled = std::all_of(bound.begin(), bound.end(),
                                     [&](ColumnId column) { return places[column].first == places[column].last; });
    if (nothing_new(could)) return BranchAndPrune::Prune{};
    if (!in_doubt && settled) {
      add(could);
      return BranchAndPrune::Prune{};
    }
    if (space.spent()) {
      add(could);
      exact_ = false;
      return BranchAndPrune::Prune{};
    }
    // Whoever is left in the part has these classes: all that is asked of the lines is whether somebody is.
    if (in_doubt && (settled || (count == Count::all && could.size() == 1))) {
      add_if_somebody(part, could);
      return BranchAndPrune::Prune{};
    }
    add(at_a_point(part, places, bound));
    if (nothing_new(could)) return BranchAndPrune::Prune{};
    // Splitting what the columns in doubt don't rest on would settle nothing.
    std::vector<std::size_t> doubts;
    for (const auto column : bound)
      if (places[column].first != places[column].last)
        tables_.each_asked_under(column, [&](std::uint16_t asked) { doubts.push_back(asked); });
    using SplitAt = BranchAndPrune::SplitAt;
    const auto split = space.split(part, doubts, in_doubt ? SplitAt::edge : SplitAt::middle);
    // At one point bounds can be wider than what is reached; the point itself has been added.
    if (!split) return BranchAndPrune::Prune{};
    return *split;
  }

  void add_if_somebody(const BranchAndPrune::Part& part, const std::vector<ClassId>& classes) {
    using Found = compiler::Search::Kind;
    const auto found = ++asked_ > most_asked ? Found::not_settled : witnesses_->find(part).kind;
    if (found == Found::none) return;
    add(classes);
    exact_ = exact_ && found == Found::found;
  }

  // What is possible with the bound columns as they are in the middle of the part.
  std::vector<ClassId> at_a_point(const BranchAndPrune::Part& part, Places places, const Columns& bound) {
    std::vector<std::int64_t> point(part.size());
    for (std::size_t i = 0; i < part.size(); ++i) {
      const auto grain = tables_.asked[i].grain;
      point[i] = part[i].low + (part[i].high - part[i].low) / 2 / grain * grain;
    }
    const auto reached = reach_.at(point);
    const Places here(reached.begin(), reached.end());
    if (std::any_of(shut_out_.begin(), shut_out_.end(),
                    [&](const auto* box) { return fit_of(*box, here) == compiler::Fit::all; }))
      return {};
    for (const auto column : bound) places[column] = here[column];
    return possible(places);
  }

  static compiler::Fit fit_of(const compiler::Box& box, const Places& places) {
    auto whole = compiler::Fit::all;
    for (const auto& cell : box) whole = std::min(whole, compiler::fit_of(cell, places[cell.column]));
    return whole;
  }

  // While a line is in doubt, the blank details it is tied to can't be chosen freely.
  void add_tied(Columns& bound) const {
    for (const auto column : all_columns_)
      if (!tables_.columns[column].worked_out && tied_[column]) bound.push_back(column);
    std::sort(bound.begin(), bound.end());
    bound.erase(std::unique(bound.begin(), bound.end()), bound.end());
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
  compiler::Witnesses* witnesses_;
  const Among* among_;
  Columns columns_, all_columns_;  // the table's; with those of its piece's table, where that matters
  std::vector<bool> tied_;         // by asked detail: blank, and tied to what the table looks at
  std::vector<const compiler::Box*> shut_out_;
  compiler::Reach reach_;
  Columns bound_, all_bound_;
  // Columns that both tables look at, and the places at which a row of either begins, or has just ended.
  std::vector<std::pair<ColumnId, std::vector<std::uint32_t>>> shared_;
  std::set<ClassId> found_;
  std::size_t asked_ = 0;
  bool exact_ = true;
};

// What is possible for one player, table by table.
class Answers {
 public:
  Answers(const Engine& engine, const Player& player)
      : engine_(engine), tables_(engine.tables()), player_(player), pieces_(tables_.presence.size()) {
    if (tables_.shut_out.empty()) return;
    witnesses_.emplace(engine.policy(), tables_, most_parts_asked);
    may_be_ = witnesses_->find(ranges_of(tables_, player)).kind != compiler::Search::Kind::none;
  }

  // Somebody can be like that, or it could not be settled.
  [[nodiscard]] bool may_be() const { return may_be_; }

  Possible of(TableId table) {
    switch (tables_.tables[table].kind) {
      case compiler::Table::Kind::property: return of_property(table);
      case compiler::Table::Kind::piece: return of_piece(tables_.tables[table].target);
      default: return search(table).run();
    }
  }

 private:
  // Searched for once: all the piece's properties ask.
  const Possible& of_piece(std::uint32_t piece) {
    auto& known = pieces_[piece];
    if (!known) known = search(static_cast<TableId>(tables_.piece_table(piece))).run();
    return *known;
  }

  Search search(TableId table, const Among* among = nullptr) {
    // A player who cannot be, and was recorded all the same, is answered as if he could.
    return Search(engine_, table, player_, witnesses_ && may_be_ ? &*witnesses_ : nullptr, among);
  }

  Possible of_property(TableId table) {
    const auto piece = tables_.piece_of[tables_.tables[table].target];
    if (tables_.presence[piece] == compiler::Presence::always) return search(table).run();
    Among among{static_cast<TableId>(tables_.piece_table(piece)), {}};
    const auto& found = of_piece(piece).classes;
    std::copy_if(found.begin(), found.end(), std::back_inserter(among.has),
                 [&](ClassId each) { return may_be_in_kit(engine_.outcome(among.piece, each).standing); });
    const bool everybody = among.has.size() == found.size();
    Possible possible;
    if (!among.has.empty() && !everybody) possible = search(table, &among).run();
    if (!possible.classes.empty()) return possible;
    possible = search(table).run();
    possible.concerns = everybody;
    return possible;
  }

  const Engine& engine_;
  const compiler::Tables& tables_;
  const Player& player_;
  std::vector<std::optional<Possible>> pieces_;  // by piece
  std::optional<compiler::Witnesses> witnesses_;
  bool may_be_ = true;
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
      if (!answers.may_be()) continue;
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
