// Every completion of a player with blanks, put to the engine one by one: the plain way to what is possible. For
// policies whose details can be counted through.
#pragma once

#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <set>
#include <string>
#include <tuple>
#include <vector>

#include "runtime/engine/possible.hpp"
#include "tests/reference/draw.hpp"

namespace lacestay::tests {

using runtime::ClassId;
using runtime::Engine;
using runtime::TableId;

using Plain = std::tuple<compiler::Standing, std::int64_t, std::int64_t>;  // an outcome, to be kept in sets
inline Plain plain(const compiler::Outcome& outcome) { return {outcome.standing, outcome.low, outcome.high}; }

// All values of a detail.
inline std::vector<std::int64_t> values_of(const Engine& engine, std::size_t detail) {
  const auto& domain = engine.policy().tables.asked[detail];
  std::vector<std::int64_t> values;
  for (auto value = domain.lowest; value <= domain.highest; value += domain.grain) values.push_back(value);
  REQUIRE(values.size() < 2'000);  // else the detail can't be counted through
  return values;
}

// Whether a player with these answers may have what the table is about: any but a property's is about everybody.
inline bool counts(const Engine& engine, const std::vector<ClassId>& answers, TableId id) {
  const auto& tables = engine.policy().tables;
  if (tables.tables[id].kind != compiler::Table::Kind::property) return true;
  const auto piece = static_cast<TableId>(tables.piece_table(tables.piece_of[tables.tables[id].target]));
  return runtime::may_be_in_kit(engine.outcome(piece, answers[piece]).standing);
}

// By table: the classes and the outcomes some completion of the player gets; of a property, some completion that may
// have its piece, or any where none may.
struct Counted {
  std::vector<std::set<ClassId>> classes;
  std::vector<std::set<Plain>> outcomes;
  std::size_t completions = 0;
  std::vector<bool> concerns;  // some completion counts
};

inline Counted count_through(const Engine& engine, const runtime::Player& player) {
  Counted counted;
  counted.classes.resize(engine.answers());
  counted.outcomes.resize(engine.answers());
  counted.concerns.resize(engine.answers());
  auto scratch = engine.scratch();
  std::vector<ClassId> answers(engine.answers());
  std::vector<std::int64_t> readings(player.readings.size());
  const auto visit = [&](auto&& self, std::size_t detail) -> void {
    if (detail == readings.size()) {
      engine.answer(readings, scratch, answers);
      if (!engine.can_be(scratch)) return;
      ++counted.completions;
      for (TableId table = 0; table < engine.answers(); ++table) {
        const bool here = counts(engine, answers, table);
        if (here && !counted.concerns[table])
          counted.concerns[table] = true, counted.classes[table].clear(), counted.outcomes[table].clear();
        if (!here && counted.concerns[table]) continue;
        if (counted.classes[table].insert(answers[table]).second)
          counted.outcomes[table].insert(plain(engine.outcome(table, answers[table])));
      }
      return;
    }
    const auto values = player.readings[detail] ? std::vector{*player.readings[detail]} : values_of(engine, detail);
    for (const auto value : values) {
      readings[detail] = value;
      self(self, detail + 1);
    }
  };
  visit(visit, 0);
  return counted;
}

// Whose every detail is known, and who can be.
inline runtime::Player somebody(const Engine& engine, naive::Draw& draw) {
  auto scratch = engine.scratch();
  for (;;) {
    std::vector<std::int64_t> readings;
    for (const auto& domain : engine.policy().tables.asked)
      readings.push_back(domain.lowest +
                         draw.between(0, (domain.highest - domain.lowest) / domain.grain) * domain.grain);
    engine.place(readings, scratch);
    if (engine.can_be(scratch)) return runtime::player_of(readings);
  }
}

inline std::string described(const Engine& engine, const runtime::Player& player) {
  std::string out;
  for (std::size_t i = 0; i < player.readings.size(); ++i) {
    const auto& text = engine.policy().details[i];
    out += fmt::format("{} {}, ", text.name, player.readings[i] ? text.scale.write(*player.readings[i]) : "blank");
  }
  return out;
}

}  // namespace lacestay::tests
